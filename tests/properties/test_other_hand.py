"""A piece of the other hand, made by exactly what the sheets say, is the mirror image of the designed one.

Closed form: the expectation is the design itself, mirrored left to right. The bending is simulated step by step, the
paper of each wrap is read back from its drawing and laid on the tube printed side in; the cut must lie on the surface
of the mirrored receiver.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from handbarrow.design.reader import read_design
from handbarrow.drawings.wraps import wrap
from handbarrow.findings import Finding
from handbarrow.job.build import build_job
from handbarrow.job.values import BendRow, EndCut, Job, JobPart
from handbarrow.laws.bending.simulate import BendInstruction, bend_tube
from handbarrow.laws.geometry.path import Centreline, Vec3, closest, crown_on_straights, layout, rotation, vec3
from handbarrow.sheets.cards import card_block
from handbarrow.sheets.shown import pieces
from handbarrow.workshop.reader import read_workshop
from handbarrow.workshop.values import Workshop

Floats = NDArray[np.float64]

MIRROR = np.diag([1.0, -1.0, 1.0])
TUBES = {"main": 26.9, "wide": 33.7}
SHOP = """\
handbarrow: workshop 1
name: Test shop
stock:
  tube 26.9x2.3: {steel: S235JRH, lengths: [{length: 6000, price: 23}]}
  tube 33.7x2.6: {steel: S235JRH, lengths: [{length: 6000, price: 31}]}
dies:
  - name: D27
    for: tube 26.9x2.3
    radius: 82
    set angle: {a: 0.984, b: 0.6, test bends: 6}
    stretch: 0.9 per 90
    reference offset: 14
    straight before: 55
    straight after: 60
"""
MARKS = "same marks, stops and set angles, every turn the other way round."


def shop(stop: str = "end", boxes: str = "") -> Workshop:
    text = SHOP + f"bender:\n  stop: {stop}\n  clearance: 10\n" + boxes
    made, findings, _ = read_workshop(text, "shop.yaml")
    assert made is not None, findings
    return made


def pair(points: Sequence[Vec3], rails: Sequence[tuple[Vec3, Vec3]]) -> str:
    """A design of a stay with a rail through each of its ends, all mirrored left to right."""

    def said(point: Sequence[float] | Floats) -> str:
        return "[" + ", ".join(f"{float(v):.6f}" for v in point) + "]"

    lines = ["handbarrow: design 1", "name: Pair of stays", "stock:", "  main: tube 26.9x2.3", "  wide: tube 33.7x2.6"]
    lines += ["parts:", "  stay:", "    stock: main", f"    points: [{', '.join(said(p) for p in points)}]"]
    lines += ["    start: {meets: rail-1}", "    end: {meets: rail-2}", "    mirrored: left-right"]
    for number, (at, way) in enumerate(rails, start=1):
        a, b = np.asarray(at) - 400 * np.asarray(way), np.asarray(at) + 400 * np.asarray(way)
        lines += [f"  rail-{number}:", "    stock: wide", f"    points: [{said(a)}, {said(b)}]", "    start: free"]
        lines += ["    end: free", "    mirrored: left-right"]
    return "\n".join(lines) + "\n"


def made(text: str, workshop: Workshop) -> tuple[Job | None, list[Finding]]:
    source, findings = read_design(text, "pair.yaml")
    assert source is not None, findings
    return build_job(source, workshop, 4, with_cutting=False)


def job_of(points: Sequence[Vec3], rails: Sequence[tuple[Vec3, Vec3]], workshop: Workshop) -> Job:
    job, findings = made(pair(points, rails), workshop)
    assert job is not None, findings
    return job


# ------------------------------------------------------------------------------------------------ what the sheet says
def told(job: Job, part: JobPart) -> tuple[float, float]:
    """The sense of turns (-1: the other way round) and where the crown line starts, from the words on the card."""
    assert re.fullmatch(r"4 as drawn \+ 4 mirrored", pieces(job, part))
    remarks = card_block(job, part)["remarks"]
    found = re.search(r"Mirrored pieces: (.*?round\.) Start with the crown line (.*?)\.(?: |$)", remarks)
    assert found is not None, remarks
    assert found[1] == MARKS
    if found[2] in ("up", "down"):
        return -1.0, {"up": 0.0, "down": math.pi}[found[2]]
    at = re.fullmatch(r"([\d.]+)° (clockwise|anticlockwise) from up", found[2])
    assert at is not None, found[2]
    return -1.0, math.radians(float(at[1])) * (1 if at[2] == "clockwise" else -1)


def bent(rows: Sequence[BendRow], workshop: Workshop, cut_length: float, sense: float, crown: float) -> Piece:
    """Bend a straight tube by the rows of a card, turns multiplied by the sense."""
    dies = {die.name: die for die in workshop.dies}
    lines = [
        BendInstruction(
            feed=row.feed,
            mark=row.mark,
            set_angle_rad=row.set_angle_rad,
            turn_rad=sense * row.bender_turn_rad,
            die_radius=dies[row.die].radius,
            a=row.law.a,
            b_rad=row.law.b_rad,
            stretch_per_rad=dies[row.die].stretch_per_rad,
            reference_offset=dies[row.die].reference_offset,
        )
        for row in rows
    ]
    tube = bend_tube(cut_length, lines, crown)
    return Piece(tube.points, tube.far_crown)


class Piece:
    """The piece in its own frame: datum end at 0, first straight along x, crown line there along z."""

    def __init__(self, points: Floats, far_crown: Floats) -> None:
        self.points = points
        self.far_crown = far_crown

    def on(self, end: str, depth: Floats, round_rad: Floats, radius: float) -> Floats:
        """Places on the tube: so deep from its end, so far round from the crown line, right-handed along the run."""
        k, crown = (0, np.array([0.0, 0.0, 1.0])) if end == "start" else (-1, self.far_crown)
        way = self.points[1] - self.points[0] if end == "start" else self.points[-1] - self.points[-2]
        way = way / np.linalg.norm(way)
        inwards = way if end == "start" else -way
        spokes = np.cos(round_rad)[:, None] * crown + np.sin(round_rad)[:, None] * np.cross(way, crown)
        out: Floats = self.points[k] + depth[:, None] * inwards + radius * spokes
        return out


def laid(job: Job, part: JobPart, end: str, *, printed_out: bool) -> tuple[Floats, Floats]:
    """Read a wrap's curve off its drawing and lay the paper on: (depth from the sawn end, angle from the crown line).

    Seen from outside, the paper's top pointing out of the tube's end, its right-hand edge lies along top x outwards:
    with the run round the far end, against it round the start. Printed side in, left and right change places.
    """
    drawing = wrap(job, part.id, end)
    strokes = {name: [s for s in drawing.all_strokes if s.layer == name] for name in ("cut", "crown", "sawn end")}
    curve = np.array(strokes["cut"][0].points)
    edges = sorted(stroke.points[0][0] for stroke in strokes["crown"])
    sawn = strokes["sawn end"][0].points[0][1]
    right = (1.0 if end == "end" else -1.0) * (1.0 if printed_out else -1.0)
    round_rad = right * (curve[:, 0] - edges[0]) / (edges[-1] - edges[0]) * 2 * math.pi
    return curve[:, 1] - sawn, round_rad


def frame_of(part: JobPart, mirror: Floats) -> Callable[[Floats], Floats]:
    """From a piece's own frame to where the designed piece, mirrored, has its datum end."""
    assert part.centreline is not None
    assert part.crown is not None
    assert part.start is not None
    place = layout(part.centreline)
    t, c = mirror @ place.directions[0], mirror @ np.asarray(part.crown)
    axes = np.array([t, np.cross(c, t), c])
    datum = mirror @ place.start + t * part.start.shortest
    return lambda points: datum + points @ axes


def off_rail(job: Job, rail: str, mirror: Floats, points: Floats) -> float:
    """Largest distance of points from the surface of a rail, mirrored [mm]."""
    line = job.part(rail).centreline
    assert line is not None
    there = Centreline(tuple(vec3(mirror @ np.asarray(p)) for p in line.points))
    return max(abs(closest(there, vec3(p)).distance - TUBES["wide"] / 2) for p in points)


def off_design(part: JobPart, mirror: Floats, piece: Piece) -> float:
    """Largest distance of corners and ends from the designed ones, mirrored [mm]; and of the far crown line [-]."""
    assert part.centreline is not None
    assert part.crown is not None
    ends = (part.start, part.end)
    wanted = np.asarray(part.centreline.points) @ mirror.T
    place = layout(part.centreline)
    shift = [end.shortest if isinstance(end, EndCut) else 0.0 for end in ends]
    wanted[0] += mirror @ place.directions[0] * shift[0]
    wanted[-1] -= mirror @ place.directions[-1] * shift[1]
    there = frame_of(part, mirror)
    far = mirror @ crown_on_straights(part.centreline, part.crown)[-1]
    tip = there(piece.points[-1:] + 10 * piece.far_crown) - there(piece.points[-1:])
    return max(float(np.abs(there(piece.points) - wanted).max()), float(np.abs(tip - 10 * far).max()))


def off_rails(job: Job, part: JobPart, piece: Piece, mirror: Floats, *, printed_out: bool) -> float:
    worst = 0.0
    for end, rail in (("start", "rail-1"), ("end", "rail-2")):
        depth, round_rad = laid(job, part, end, printed_out=printed_out)
        places = frame_of(part, mirror)(piece.on(end, depth, round_rad, TUBES["main"] / 2))
        worst = max(worst, off_rail(job, rail, mirror, places))
    return worst


# ------------------------------------------------------------------------------------------------ pieces
def size(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


def unit(v: Floats) -> Floats:
    out: Floats = v / np.linalg.norm(v)
    return out


@st.composite
def stays(draw: st.DrawFn, least: int = 2, most: int = 4) -> tuple[list[Vec3], list[tuple[Vec3, Vec3]]]:
    """Corners of a stay in several planes, and at each end a rail across it, slanting and passing a little beside."""
    t = unit(np.array([draw(size(-1, 1)), draw(size(-1, 1)), draw(size(0.3, 1))]))
    assume(float(np.linalg.norm(np.cross(t, [0.2, 1.0, -0.3]))) > 0.05)
    n = unit(np.cross(t, [0.2, 1.0, -0.3]))
    points, headings = [np.array([draw(size(-300, 300)), 500.0, 700.0])], [t]
    for _ in range(draw(st.integers(least, most))):
        points.append(points[-1] + t * draw(size(260, 520)))
        n = rotation(t, draw(size(-math.pi, math.pi))) @ n
        t = rotation(n, draw(size(0.35, 1.7))) @ t
        headings.append(t)
    points.append(points[-1] + t * draw(size(260, 520)))
    rails = []
    for k in (0, -1):
        square = unit(np.cross(headings[k], [0.2, 1.0, -0.3]))
        across = rotation(headings[k], draw(size(0, math.pi))) @ square
        lean = unit(across + headings[k] * draw(size(-0.6, 0.6)))
        beside = unit(np.cross(headings[k], lean)) * draw(size(-0.9, 0.9))  # within what counts as meeting
        rails.append((vec3(points[k] + beside), vec3(lean)))
    return [vec3(p) for p in points], rails


@given(stay=stays(), stop=st.sampled_from(["end", "leg"]))
@settings(max_examples=30, deadline=None)
def test_a_mirrored_stay_made_by_the_words_on_its_sheets_fits_its_mirrored_rails(
    stay: tuple[list[Vec3], list[tuple[Vec3, Vec3]]], stop: str
) -> None:
    workshop = shop(stop)
    job, _ = made(pair(*stay), workshop)
    assume(job is not None)
    assert job is not None
    part = job.part("stay")
    assume(part.card is not None and part.other_hand)
    assert part.card is not None
    assert part.cut_length is not None
    rows = part.card.in_order
    sense, crown = told(job, part)
    # Printed to a tenth of a degree; the exact place, to which it is rounded, is what the job data state.
    exact = math.pi - rows[0].crown_rad
    assert abs(math.remainder(crown - exact, 2 * math.pi)) < math.radians(0.051)
    mirrored = bent(rows, workshop, part.cut_length, sense, exact)
    assert off_design(part, MIRROR, mirrored) < 0.01
    assert off_rails(job, part, mirrored, MIRROR, printed_out=False) < 0.02
    # As drawn: the same reading of card and wrap without the change of hand.
    drawn = bent(rows, workshop, part.cut_length, 1.0, rows[0].crown_rad)
    assert off_design(part, np.eye(3), drawn) < 0.01
    assert off_rails(job, part, drawn, np.eye(3), printed_out=True) < 0.02


PLAIN = (
    [(0.0, 500.0, 700.0), (400.0, 500.0, 700.0), (400.0, 900.0, 700.0), (400.0, 900.0, 1200.0)],
    [((0.0, 500.0, 700.0), (0.2, 0.6, math.sqrt(0.6))), ((400.0, 900.0, 1200.0), (0.8, 0.6, 0.0))],
)


def test_the_other_hand_is_not_made_by_the_words_for_the_piece_as_drawn() -> None:
    """What the property above would find: a turn the wrong way, or a wrap printed side out, is off by far."""
    workshop = shop()
    job = job_of(*PLAIN, workshop)
    part = job.part("stay")
    assert part.card is not None
    assert part.other_hand
    assert part.cut_length is not None
    rows = part.card.in_order
    sense, crown = told(job, part)
    right = bent(rows, workshop, part.cut_length, sense, crown)
    assert off_design(part, MIRROR, right) < 0.01
    assert off_rails(job, part, right, MIRROR, printed_out=True) > 1.0
    assert off_rails(job, part, right, MIRROR, printed_out=False) < 0.02
    assert off_design(part, MIRROR, bent(rows, workshop, part.cut_length, 1.0, crown)) > 100
    assert off_design(part, MIRROR, bent(rows, workshop, part.cut_length, sense, crown + math.pi)) > 100


def test_a_straight_stay_between_twisted_rails_fits_with_its_wraps_printed_side_in() -> None:
    job = job_of(
        [(0.0, 500.0, 700.0), (0.0, 500.0, 1100.0)],
        [((0.0, 500.0, 700.0), (0.8, 0.36, 0.48)), ((0.0, 500.0, 1100.0), (0.0, 0.8, 0.6))],
        shop(),
    )
    part = job.part("stay")
    assert part.other_hand
    assert part.cut_length is not None
    straight = Piece(np.array([[0.0, 0.0, 0.0], [part.cut_length, 0.0, 0.0]]), np.array([0.0, 0.0, 1.0]))
    assert off_rails(job, part, straight, MIRROR, printed_out=False) < 0.02
    assert off_rails(job, part, straight, MIRROR, printed_out=True) > 1.0


# ------------------------------------------------------------------------------------------------ room on the bench
def test_a_mirrored_piece_must_swing_clear_of_the_bench_too() -> None:
    # Two bends in planes square to each other, the bench 160 mm below. Either hand alone can be bent with the leg that
    # is out of plane up, one from this end and one from that; in one order, one of them hangs down.
    bench = "  keep clear of:\n    - {name: bench, from: [-900, -900, -900], to: [900, 900, -160]}\n"
    points, rails = PLAIN
    other = (
        [vec3(MIRROR @ np.asarray(p)) for p in points],
        [(vec3(MIRROR @ np.asarray(p)), vec3(MIRROR @ np.asarray(way))) for p, way in rails],
    )
    for hand in ((points, rails), other):
        text = pair(*hand)
        assert made(text, shop())[0] is not None
        assert made(text.replace("    mirrored: left-right\n", ""), shop(boxes=bench))[0] is not None
        job, findings = made(text, shop(boxes=bench))
        assert job is None
        assert [f.code for f in findings] == ["bend-hits-obstacle"]
        assert findings[0].wrong.endswith(", if the piece as drawn and its mirror image are bent in one order")
        assert "a part of their own" in findings[0].fix


def test_a_piece_that_is_its_own_mirror_image_is_not_held_to_the_room_of_the_other_hand() -> None:
    # A hoop with its legs bent out of its plane, the same on both sides. Bent by its card, legs up, it clears a bench
    # that the image of that card would hit.
    bench = "  keep clear of:\n    - {name: bench, from: [-900, -900, -900], to: [900, 900, -160]}\n"
    points = [(0.0, 300.0, 300.0), (0.0, 300.0, 700.0), (0.0, 900.0, 700.0), (0.0, 900.0, 300.0)]
    points = [(500.0, 300.0, 300.0), *points, (500.0, 900.0, 300.0)]
    rails = [((500.0, 300.0, 300.0), (0.0, 1.0, 0.0)), ((500.0, 900.0, 300.0), (0.0, 1.0, 0.0))]
    open_floor = job_of(points, rails, shop()).part("stay")
    assert not open_floor.other_hand
    assert open_floor.card is not None
    assert not open_floor.card.planar
    assert made(pair(points, rails), shop(boxes=bench))[1] == []
    # A hole near one end only makes two hands of it.
    drilled = pair(points, rails).replace(
        "    start: {meets", "    holes: [{from start: 60, diameter: 8}]\n    start: {meets"
    )
    assert [f.code for f in made(drilled, shop(boxes=bench))[1]] == ["bend-hits-obstacle"]
