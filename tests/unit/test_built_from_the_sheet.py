"""A stranger with nothing but the paper: bent tubes are built from the words of their card and held to the job.

Closed forms on both sides: the tube is put together anew from what is printed (`read_card`, which uses nothing of the
program), and every bound follows from what the numbers are rounded to.
"""

from __future__ import annotations

import math
import re
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from handbarrow.sheets.jobdata import job_document
from printed import MM, example, pack, pages, texts
from read_card import SLIP, Card, Check, read_card, rotation

Floats = NDArray[np.float64]
TRAILER, CART = ("hut-trailer", "ridge-workshop"), ("handcart", "valley-workshop")
PARTS = pytest.mark.parametrize(
    ("of", "part"),
    [
        (TRAILER, "drawbar"),  # bent in two planes, one end square, turned between all bends
        (TRAILER, "outer-hoop"),  # bends of less than a right angle, copes at both ends, mirrored copies
        (TRAILER, "wheel-guard"),  # short legs between copes, mirrored copies
        (TRAILER, "back-hoop"),  # the second stop touches the bent leg
        (TRAILER, "hood-bow"),  # square tube round a small former, to the mark, drilled
        (TRAILER, "inner-hoop"),  # long legs, far end first
        (CART, "handle"),  # inches, copes at both ends
        (CART, "frame-hoop"),  # inches, square ends
    ],
)


@cache
def document(of: tuple[str, str]) -> dict[str, Any]:
    return job_document(example(*of))


def data_of(of: tuple[str, str], part: str) -> dict[str, Any]:
    return next(p for p in document(of)["parts"] if p["id"] == part)


def sheets_of(of: tuple[str, str], part: str) -> list[int]:
    """Places of the sheets of a part's card in the pack, by what is printed at their heads."""
    heads = re.compile(rf"^Code of this sheet: {part}/", re.M)
    cards = re.compile(r"^(Bend card|Check) \d+: ", re.M)
    found = [i for i, text in enumerate(texts(pack(*of))) if heads.search(text) and cards.search(text)]
    assert 1 <= len(found) <= 2
    return found


@cache
def card_of(of: tuple[str, str], part: str) -> Card:
    return read_card([texts(pack(*of))[i] for i in sheets_of(of, part)])


def longest(end: dict[str, Any]) -> float:
    """How far the longest point of a cut lies from the working point."""
    return min((h for _, h in end.get("wrap", ())), default=0.0)


def wanted_points(data: dict[str, Any], unit: float) -> Floats:
    """(n + 2, 3) centreline of the job data between the longest points of its cuts, in axes of the start: x along the
    tube, z the crown line."""
    points = np.array(data["centreline"]["points"])
    first, last = points[1] - points[0], points[-1] - points[-2]
    first, last = first / np.linalg.norm(first), last / np.linalg.norm(last)
    points[0] += first * longest(data["ends"]["start"])
    points[-1] -= last * longest(data["ends"]["end"])
    crown = np.array(data["crown"])
    return (points - points[0]) @ np.array([first, np.cross(crown, first), crown]).T / unit


def wrapped(angle: float) -> float:
    return math.remainder(angle, 2 * math.pi)


# ------------------------------------------------------------------------------------------------ the tube
def wrong_with(card: Card, data: dict[str, Any]) -> list[str]:
    """What of a tube that is bent by its card is not as designed."""
    wanted = wanted_points(data, card.unit)
    points, legs = card.points(), np.linalg.norm(np.diff(wanted, axis=0), axis=1)
    ways = np.diff(wanted, axis=0) / legs[:, None]
    planes = np.cross(ways[:-1], ways[1:])
    planes /= np.linalg.norm(planes, axis=1)[:, None]
    out = []
    for k, (found, right, doubt) in enumerate(zip(card.legs, legs, card.leg_doubt(), strict=True)):
        out += [f"leg {k + 1}"] if abs(found - right) > doubt else []
    for k, (row, normal, right) in enumerate(zip(card.bends, card.directions()[1], planes, strict=True)):
        angle = math.acos(float(ways[k] @ ways[k + 1]))
        out += [f"angle {k + 1}"] if abs(row.angle - angle) > SLIP + 1e-6 else []
        out += [f"plane {k + 1}"] if math.acos(min(1.0, float(normal @ right))) > (3 * k + 1) * SLIP + 1e-6 else []
    for k, (found, right, doubt) in enumerate(zip(points, wanted, card.doubt(), strict=True)):
        out += [f"point {k}"] if float(np.linalg.norm(found - right)) > doubt else []
    return out


@PARTS
def test_a_tube_bent_from_its_printed_card_is_the_designed_one(of: tuple[str, str], part: str) -> None:
    card, data = card_of(of, part), data_of(of, part)
    assert len(card.rows) == len(data["bends"]) > 0
    assert wrong_with(card, data) == []
    assert max(card.leg_doubt()) * card.unit < 1.5, "the card is printed finely enough to build from"


@pytest.mark.parametrize(
    ("printed", "instead", "wrong"),
    [
        ("647.5 647.5", "648.5 647.5", "leg 1"),
        ("uses 130.8 180°", "uses 129.8 180°", "leg 2"),
        ("start 17 past", "start 18 past", "leg 1"),
        ("90° anticlockwise 31.2°", "90° clockwise 31.2°", "plane 3"),
        ("Cut length 1994.6", "Cut length 1995.6", "leg 5"),
        ("up 71.9° 70.0°", "up 71.9° 70.2°", "angle 1"),
        (" 107.8 ", " 109.8 ", "leg 1"),
    ],
)
def test_one_number_printed_wrong_makes_another_tube(printed: str, instead: str, wrong: str) -> None:
    text = " ".join(" ".join(texts(pack(*TRAILER))[i] for i in sheets_of(TRAILER, "drawbar")).split())
    assert printed in text
    assert wrong in wrong_with(read_card([text.replace(printed, instead)]), data_of(TRAILER, "drawbar"))


@PARTS
def test_turns_are_those_from_one_place_of_the_crown_line_to_the_next(of: tuple[str, str], part: str) -> None:
    rows = card_of(of, part).rows
    assert [row.order for row in rows] == list(range(1, len(rows) + 1))
    for before, row in pairwise(rows):
        stood = before.crown if before.feed == row.feed else -before.crown
        assert abs(wrapped(row.turn - (row.crown - stood))) <= 3 * SLIP


@PARTS
def test_stops_stand_where_the_tube_that_is_bent_so_far_ends(of: tuple[str, str], part: str) -> None:
    card, made = card_of(of, part), set()
    for row in card.rows:
        k = row.number - 1
        if row.touches == "tube end":
            held = row.mark if row.feed == "start" else card.cut_length - row.mark
            assert row.stop == pytest.approx(held, abs=1.01 * card.step)
        elif row.touches == "bent leg":
            assert row.feed == "start" and made
            before = max(j for j in made if j < k)
            leg = card.spans[before][1] - card.bends[before].radius - card.section / 2
            assert row.stop == pytest.approx(row.mark - leg, abs=3 * card.step)
        made.add(k)


@PARTS
def test_finished_angles_follow_from_set_angles_by_the_law_on_the_card(of: tuple[str, str], part: str) -> None:
    card = card_of(of, part)
    for row in card.rows:
        a, b = card.laws[row.die]
        assert row.angle == pytest.approx(a * row.set_angle - b, abs=(2 + a) * SLIP + 5e-5 * row.set_angle)


def test_every_leg_of_a_part_that_no_plane_view_shows_is_on_its_card() -> None:
    corners = card_of(TRAILER, "drawbar").corners
    points = np.array(data_of(TRAILER, "drawbar")["centreline"]["points"])
    assert corners == pytest.approx(np.linalg.norm(np.diff(points, axis=0), axis=1), abs=0.05)


def test_marks_for_a_tape_are_the_nearest_sixteenths_of_an_inch() -> None:
    for part in ("handle", "frame-hoop"):
        text = " ".join(texts(pack(*CART))[sheets_of(CART, part)[0]].split())
        for row in card_of(CART, part).rows:
            (whole, top, below) = re.search(rf"{row.mark} (\d+) (\d+)/(\d+) ", text).groups()  # type: ignore[union-attr]
            assert abs(int(whole) + int(top) / int(below) - row.mark) <= 1 / 32 + 0.005


# ------------------------------------------------------------------------------------------------ check sizes
def measured(card: Card, check: Check) -> tuple[float, float]:
    """A check size measured on the tube that was built from the card, and how far it can be out."""
    points, doubt, bends, half = card.points(), card.doubt(), card.bends, card.section / 2
    backs = [row.radius * math.tan(row.angle / 2) for row in bends]
    ways, normals = card.directions()
    title = check.title

    def centre(k: int) -> Floats:
        tangent = points[k + 1] - ways[k] * backs[k]
        return tangent + np.cross(normals[k], ways[k]) * bends[k].radius

    if found := re.fullmatch(r"bend (\d+)", title):
        return math.degrees(bends[int(found[1]) - 1].angle), 0.05
    if found := re.match(r"leg (\d+), ", title):
        k = int(found[1]) - 1
        over = [int(n) - 1 for n in re.findall(r"outside of bend (\d+)", title)]
        size = card.legs[k] + sum(bends[j].radius + half - backs[j] for j in over)
        return size, card.leg_doubt()[k] + len(over) * card.step
    if found := re.match(r"width over legs (\d+) and (\d+) ", title):
        i, j = int(found[1]) - 1, int(found[2]) - 1
        apart = points[j + 1] - points[i]
        return float(np.linalg.norm(np.cross(ways[i], apart))) + 2 * half, doubt[j + 1] + doubt[i] + card.step
    if found := re.fullmatch(r"diagonal, (.+) to (.+)", title):
        ends, size, out = [], 0.0, card.step
        for name in found.groups():
            if bend := re.search(r"bend (\d+)", name):
                k = int(bend[1]) - 1
                ends.append(centre(k))
                size += bends[k].radius + half
                out += doubt[k + 1] + card.step
            else:
                ends.append(points[0] if name == "start" else points[-1])
                out += doubt[0 if name == "start" else -1]
        return size + float(np.linalg.norm(ends[1] - ends[0])), out
    if title.startswith("start to end, middles"):
        return float(np.linalg.norm(points[-1] - points[0])), doubt[-1]
    if title.startswith("end from the line of leg 1"):
        return float(np.linalg.norm(np.cross(ways[0], points[-1]))), doubt[-1]
    if title.startswith("end off the bench"):
        return abs(float(normals[0] @ points[-1])), doubt[-1]
    raise AssertionError(f"nobody knows how to measure {title!r}")


@PARTS
def test_check_sizes_of_the_card_come_out_on_the_tube_that_it_makes(of: tuple[str, str], part: str) -> None:
    card = card_of(of, part)
    sizes = [check for check in card.checks if not check.title.startswith("flat on the bench")]
    assert [check.letter for check in card.checks] == [chr(ord("A") + i) for i in range(len(card.checks))]
    assert len(sizes) >= len(card.rows) + 1
    limits = example(*of).workshop.limits
    for check in sizes:
        found, doubt = measured(card, check)
        angle = check.title.startswith("bend ")
        step, limit = (0.1, math.degrees(limits.angle_rad)) if angle else (card.step, limits.bent_part / card.unit)
        assert check.wanted == pytest.approx(found, abs=doubt + step / 2), check.title
        assert check.wanted - check.least == pytest.approx(limit, abs=1.01 * step), check.title
        assert check.most - check.wanted == pytest.approx(limit, abs=1.01 * step), check.title


# ------------------------------------------------------------------------------------------------ the drawn view
def arc_points(card: Card) -> Floats:
    """Points along the centreline that was built from the card, arcs in steps of 1 degree."""
    points, (ways, normals) = card.points(), card.directions()
    out = [points[0]]
    for k, row in enumerate(card.bends):
        back = row.radius * math.tan(row.angle / 2)
        tangent = points[k + 1] - ways[k] * back
        middle = tangent + np.cross(normals[k], ways[k]) * row.radius
        steps = np.linspace(0.0, row.angle, max(2, math.ceil(math.degrees(row.angle)) + 1))
        out += [middle + rotation(normals[k], float(a)) @ (tangent - middle) for a in steps]
    return np.array([*out, points[-1]])


def drawn_outline(of: tuple[str, str], part: str) -> tuple[Floats, float]:
    """Points of the outline in the true view of a card [mm on paper], and the scale that stands at its foot."""
    for i in sheets_of(of, part):
        page, text = pages(pack(*of))[i], texts(pack(*of))[i]
        scale = re.search(r" 1:([\d.]+)$", text, re.M)
        if scale is None:
            continue
        foot = min(w["top"] for w in page.extract_words() if w["text"] == f"1:{scale[1]}") * MM
        strokes = [
            [(x * MM, y * MM) for x, y in item["pts"]]
            for item in [*page.curves, *page.lines]
            if abs(item["linewidth"] * MM - 0.35) < 0.01 and not item.get("fill")
        ]
        found = [p for pts in strokes if max(y for _, y in pts) < foot and min(y for _, y in pts) > 33 for p in pts]
        return np.array(found), float(scale[1])
    raise AssertionError("the card has no view with a scale")


FLAT = ["outer-hoop", "wheel-guard", "back-hoop", "hood-bow", "inner-hoop"]


@pytest.mark.parametrize(("of", "part"), [*((TRAILER, p) for p in FLAT), (CART, "handle"), (CART, "frame-hoop")])
def test_the_true_view_is_as_large_as_the_tube_that_the_card_makes(of: tuple[str, str], part: str) -> None:
    card, data = card_of(of, part), data_of(of, part)
    outline, scale = drawn_outline(of, part)
    size = np.ptp(outline, axis=0) * scale / card.unit
    line, (ways, _) = arc_points(card), card.directions()
    run = np.gradient(line, axis=0)
    run /= np.linalg.norm(run, axis=1)[:, None]
    side = np.cross((0.0, 0.0, 1.0), run) * card.section / 2
    sides = np.vstack([line + side, line - side])
    keep = np.ones(len(line), dtype=bool)
    for i, end, way in ((0, "start", ways[0]), (-1, "end", -ways[-1])):
        if wrap := data["ends"][end].get("wrap"):  # not cut square: its sides end where the wrap says
            s, h = np.array(wrap).T / card.unit
            keep[i] = False
            u = np.cross(ways[i], (0.0, 0.0, 1.0))
            cut = np.outer(np.sin(2 * s / card.section), u) * card.section / 2 + np.outer(h - h.min(), way)
            sides = np.vstack([sides, line[i] + cut])
    sides = sides[np.concatenate([keep, keep, np.ones(len(sides) - 2 * len(line), dtype=bool)])][:, :2]
    best = []
    for way in ways[:, :2]:
        edges = np.ptp(sides @ np.array([[way[0], -way[1]], [way[1], way[0]]]), axis=0)
        best.append(min(np.abs(size - edges).max(), np.abs(size - edges[::-1]).max()))
    # half of what the drawing's places are rounded to (0.01 mm on paper), and what the printed numbers leave open
    assert min(best) <= card.doubt()[-1] + 0.02 * scale / card.unit
