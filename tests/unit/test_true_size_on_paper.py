"""What is measured on the sheets of both examples: rules, wraps, holes, where a tube sits; nothing lies on anything.

Closed forms: the printed lines are held to the numbers of the job data, within 0.01 mm.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pikepdf
import pytest
from numpy.typing import NDArray
from pdfplumber.page import Page

from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.sheets.jobdata import job_document
from printed import MM, drawn_for, example, level_lines, pack, pages, texts
from read_card import read_card

Floats = NDArray[np.float64]
TRAILER, CART = ("hut-trailer", "ridge-workshop"), ("handcart", "valley-workshop")
BOTH = pytest.mark.parametrize("of", [TRAILER, CART], ids=["trailer", "cart"])
CLAIM = "exactly 100 mm|must be 100 mm|true size"
"""What a sheet says that has something to be measured or cut out on it."""


@cache
def document(of: tuple[str, str]) -> dict[str, Any]:
    return job_document(example(*of))


def with_words(of: tuple[str, str], words: str) -> list[tuple[Page, str]]:
    """Sheets with these words (a pattern), and their text."""
    both = zip(pages(pack(*of)), texts(pack(*of)), strict=True)
    return [(page, text) for page, text in both if re.search(words, text)]


def polylines(page: Page, weight: float) -> Iterator[Floats]:
    """Lines of a weight [mm] on a sheet: (k, 2) from its upper left corner [mm]."""
    for item in [*page.curves, *page.lines]:
        if abs(item["linewidth"] * MM - weight) < 0.01 and item["stroke"]:
            yield np.array(item["pts"]) * MM


# ------------------------------------------------------------------------------------------------ rules
@BOTH
def test_every_sheet_that_claims_true_size_has_a_rule_of_100_mm(of: tuple[str, str]) -> None:
    claims = with_words(of, f"(?i){CLAIM}")
    assert claims
    for page, text in claims:
        lengths = level_lines(page)
        assert min(abs(length - 100.0) for length in lengths) < 0.01, text[:200]
        if "lengths in inches" in text and "exactly 100 mm" in text:
            assert min(abs(length - 101.6) for length in lengths) < 0.01, text[:200]
    heads = " ".join(text for _, text in claims)
    for words in ("Mitre wraps, true size", "Drill and slot, true size"):
        assert words in heads


def test_a_spacing_rod_is_as_long_on_paper_as_the_gap_that_it_keeps() -> None:
    ((page, text),) = with_words(TRAILER, r"^Spacing rods$|\nSpacing rods\n")
    rod = float(re.search(r"Length ([\d.]+) mm between", text)[1])  # type: ignore[index]
    assert rod == pytest.approx(document(TRAILER)["sizes"]["axle_gap"]["value"], abs=0.05)
    spans = [(r["x1"] - r["x0"]) * MM for r in page.rects if abs(r["linewidth"] * MM - 0.5) < 0.01]
    assert min(abs(span - rod) for span in spans) < 0.01


# ------------------------------------------------------------------------------------------------ wraps
def curve_of(wrap: list[list[float]], end: str, diameter: float, paper: float) -> Floats:
    """The curve on the paper from its left edge and its longest point: girth pi (D + paper), heights true."""
    s, h = np.array(wrap).T
    turns = s / (math.pi * diameter)
    if turns[-1] < 1 - 1e-9:
        turns, h = np.append(turns, 1.0), np.append(h, h[0])
    across = turns * math.pi * (diameter + paper)
    if end == "start":  # seen with the tube hanging down, the girth counts to the left
        across = (across[-1] - across)[::-1]
        h = h[::-1]
    return np.column_stack([across, h - h.min()])


def lies_on(drawn: Floats, wanted: Floats) -> float:
    """How far a drawn curve is from the wanted one, whichever way the paper is turned [mm]."""
    best = math.inf
    for turned in (drawn, np.column_stack([drawn[:, 1], drawn[:, 0].max() - drawn[:, 0]])):
        line = turned[np.argsort(turned[:, 0], kind="stable")]
        line = line - line.min(axis=0)
        if np.abs(np.ptp(line, axis=0) - np.ptp(wanted, axis=0)).max() < 0.02:
            off = np.abs(np.interp(wanted[:, 0], line[:, 0], line[:, 1]) - wanted[:, 1]).max()
            best = min(best, float(off))
    return best


@BOTH
def test_every_wrap_on_the_sheets_is_the_curve_of_the_job_data(of: tuple[str, str]) -> None:
    paper = example(*of).workshop.limits.paper_thickness
    sheets = with_words(of, "exactly 100 mm")
    drawn = [line for page, _ in sheets for line in polylines(page, 0.5) if len(line) > 8]
    count = 0
    for part in document(of)["parts"]:
        for end, cut in part.get("ends", {}).items():
            if len(cut.get("wrap", ())) > 2 and part["section"]["shape"] == "round tube":
                wanted = curve_of(cut["wrap"], end, part["section"]["outside"], paper)
                assert min(lies_on(line, wanted) for line in drawn) < 0.01, f"{part['id']} {end}"
                count += 1
    assert count >= 4


# ------------------------------------------------------------------------------------------------ plates
def circles(page: Page) -> list[tuple[float, float, float]]:
    """(x, y, diameter) of the round holes on a sheet [mm]: least squares through the corners of each ring."""
    out = []
    for line in polylines(page, 0.35):
        if len(line) < 24:
            continue
        (a, b, c), *_ = np.linalg.lstsq(np.column_stack([line, np.ones(len(line))]), (line**2).sum(axis=1), rcond=None)
        middle = np.array([a, b]) / 2
        radius = math.sqrt(c + float(middle @ middle))
        if np.abs(np.linalg.norm(line - middle, axis=1) - radius).max() < 0.005:
            out.append((float(middle[0]), float(middle[1]), 2 * radius))
    return out


def from_heavy_edges(page: Page) -> list[tuple[float, float, float]]:
    """(diameter, distance from a heavy upright edge, from a heavy level edge) of every hole, edges near it [mm]."""
    edges = [line for line in polylines(page, 1.1) if len(line) == 2]
    out = []
    for x, y, diameter in circles(page):
        upright = [abs(x - e[0, 0]) for e in edges if abs(e[0, 0] - e[1, 0]) < 1e-3 and abs(e[:, 1].mean() - y) < 60]
        level = [abs(y - e[0, 1]) for e in edges if abs(e[0, 1] - e[1, 1]) < 1e-3 and abs(e[:, 0].mean() - x) < 60]
        out += [(diameter, u, v) for u in upright for v in level]
    return out


def numbers_of(text: str, title: str) -> set[float]:
    """Numbers that stand at the edges of a plate, in mm."""
    lines = text.partition(f"\n{title}\n")[2].splitlines()
    unit = 25.4 if "lengths in inches" in text else 1.0
    out: set[float] = set()
    for line in lines:
        if re.fullmatch(r"[\d. ]+", line):
            out |= {float(v) * unit for v in line.split()}
        elif out and not re.match(r"[RØ]", line):
            break
    return out


@pytest.mark.parametrize(
    ("of", "plate"),
    [(TRAILER, p) for p in ("clamp-plate", "pitch-lug", "hood-bracket", "cot-guide", "hitch-cheek")]
    + [(CART, "axle-plate")],
)
def test_holes_of_a_plate_are_marked_from_heavy_edges_by_the_printed_numbers(of: tuple[str, str], plate: str) -> None:
    part = next(p for p in document(of)["parts"] if p["id"] == plate)
    ((page, text),) = with_words(of, rf"(?s)[+]drilling/.*\n{part['name']}\n.*exactly 100 mm")
    printed, step = numbers_of(text, part["name"]), 0.254 if of == CART else 0.1
    measured = from_heavy_edges(page)
    outline = np.array(part["blank"]["outline"])
    low, high = outline.min(axis=0), outline.max(axis=0)
    holes = [(h["diameter"], np.array([h["x"], h["y"]])) for h in part["holes"]]
    assert holes and printed

    def fits(flip_x: bool, flip_y: bool) -> bool:
        for diameter, at in holes:
            x, y = np.where((flip_x, flip_y), high - at, at - low)
            if min(max(abs(d - diameter), abs(u - x), abs(v - y)) for d, u, v in measured) > 0.01:
                return False
            if any(min(abs(n - v) for n in printed) > step / 2 + 1e-9 for v in (x, y)):
                return False
        return True

    assert any(fits(a, b) for a in (False, True) for b in (False, True))


# ------------------------------------------------------------------------------------------------ where a tube sits
def test_a_cross_member_set_by_the_printed_distances_sits_where_it_is_designed() -> None:
    said = texts(pack(*TRAILER))
    hoop = read_card([t for t in said if "Code of this sheet: inner-hoop/" in t])
    fit = " ".join(" ".join(t for t in said if "+weld.frame/" in t).split())
    block = re.search(r"\d+\. cross member × 2 \(No\. \d+\)(.*?)\d+\. outer hoop", fit)
    assert block
    front = re.search(r"from the outside of its front bend near side ([\d.]+) middle ([\d.]+)", block[1])
    rear = re.search(r"from its rear end near side ([\d.]+) middle ([\d.]+)", block[1])
    assert front and rear
    length = hoop.legs[0] + hoop.section / 2  # rear end of the hoop to the outside of its front leg
    found = sorted([float(rear[2]), length - float(front[2])])
    for one in (front, rear):
        assert float(one[2]) - float(one[1]) == pytest.approx(26.9 / 2, abs=0.1)
    parts = {p["id"]: p for p in document(TRAILER)["parts"]}
    start, corner = (np.array(p) for p in parts["inner-hoop"]["centreline"]["points"][:2])
    along = (corner - start) / np.linalg.norm(corner - start)
    middle = np.array(parts["cross-member"]["centreline"]["points"]).mean(axis=0)
    wanted = sorted(
        float((np.array(p["transform"]) @ [*middle, 1.0])[:3] @ along - start @ along)
        for p in document(TRAILER)["placements"]
        if p["part"] == "cross-member"
    )
    assert len(wanted) == 2
    assert found == pytest.approx(wanted, abs=hoop.leg_doubt()[0] + 0.1)


def test_straight_pieces_are_as_long_as_from_longest_point_to_longest_point() -> None:
    ((_, text),) = with_words(TRAILER, r"\nStraight pieces\n")
    flat = " ".join(text.split())
    count = 0
    for part in document(TRAILER)["parts"]:
        line = part.get("centreline")
        if line is None or line["radii"] or part["kind"] not in ("tube", "bar"):
            continue
        length = float(np.linalg.norm(np.diff(np.array(line["points"]), axis=0)))
        length -= sum(min((h for _, h in cut.get("wrap", ())), default=0.0) for cut in part["ends"].values())
        printed = re.search(rf"{part['name']} {part['stock']} ([\d.]+) (\d+) ", flat)
        assert printed, part["id"]
        assert float(printed[1]) == pytest.approx(length, abs=0.0501), part["id"]
        assert int(printed[2]) == 8 * part["quantity"]
        count += 1
    assert count >= 8


# ------------------------------------------------------------------------------------------------ every sheet
@BOTH
def test_every_sheet_has_its_stamp_its_number_and_its_code(of: tuple[str, str]) -> None:
    said = texts(pack(*of))
    digests = [document(of)[key]["digest"][:8] for key in ("design", "workshop")]
    for number, text in enumerate(said, start=1):
        assert f"digest {digests[0]} / {digests[1]}" in text
        assert f"Sheet {number} of {len(said)}" in text
        assert "2026-06-01. Sheets with another revision or digest are out of date" in text
        assert len(re.findall(r"Code of this sheet: \S+/8/\w{6}/\w{6}/\w\w$", text, re.M)) == 1


def walk(node: Any) -> Iterator[pikepdf.Dictionary]:
    """Nodes of the structure tree."""
    if isinstance(node, pikepdf.Array):
        for one in node:
            yield from walk(one)
    elif isinstance(node, pikepdf.Dictionary):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from walk(node.K)


@BOTH
def test_every_picture_says_what_it_shows_to_those_who_cannot_see_it(of: tuple[str, str]) -> None:
    with pikepdf.open(io.BytesIO(pack(*of))) as book:
        nodes = list(walk(book.Root.StructTreeRoot))
        figures = [node for node in nodes if node.S == "/Figure"]
        kinds = {str(node.S) for node in nodes}
        alts = [str(node.get("/Alt", "")) for node in figures]
        assert book.Root.MarkInfo.Marked
        assert str(book.Root.Lang).startswith("en")
    assert {"/H1", "/Table", "/TH", "/TD", "/P", "/Figure"} <= kinds
    assert all(len(alt.split()) >= 2 for alt in alts), [alt for alt in alts if len(alt.split()) < 2]
    bent = [p for p in document(of)["parts"] if p.get("bends")]
    assert len(figures) > 2 * len(bent)
    for part in bent:
        assert any(part["name"] in alt and "1:" in alt for alt in alts), part["id"]


@BOTH
def test_no_words_lie_on_each_other_on_any_card_strip_bar_or_bender_view(of: tuple[str, str]) -> None:
    drawings = drawn_for(*of)
    assert len(drawings) > 10
    for drawing in drawings:
        assert overlaps(drawing) == [], drawing.name
        # figures that stand on end at the very edge of a bar reach 0.08 mm into the margin of the sheet
        assert outside(replace(drawing, width=drawing.width + 0.1)) == [], drawing.name
