"""Fit-up: where joints sit, in which order pieces are added, how long the welds are, what is checked after tacking."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from handbarrow.design.reader import read_design
from handbarrow.design.values import Target
from handbarrow.job.build import build_job
from handbarrow.job.fitup import fit_up, laid
from handbarrow.job.fitup_contacts import contacts
from handbarrow.job.fitup_values import FitJoint, Weldment
from handbarrow.job.values import Job
from handbarrow.workshop.reader import read_workshop

EXAMPLES = Path(__file__).parents[2] / "examples"

TWO_BRANCHES = """
handbarrow: design 1
name: Straight tube with two branches
revision: A
stock: {main: tube 26.9x2.3, light: tube 21.3x2, foot: plate 5, wheel: wheel 47-406}
parts:
  rail:
    stock: main
    points: [[0, 0, 0], [1000, 0, 0]]
    start: free
    end: free
  square-on:
    stock: light
    points: [[300, 0, 0], [300, 0, 200]]
    end: square
  slanting:
    stock: light
    points: [[800, 0, 0], [900, 0, 100]]
    end: free
  foot:
    stock: foot
    outline: [[-30, -25], [40, -25], [40, 25], [-30, 25]]
    at: [300, 0, 200]
    along: forward
    facing: up
    on: square-on
"""

U_HOOP = """
handbarrow: design 1
name: Hoop with two ties
revision: A
stock: {main: tube 26.9x2.3, light: tube 21.3x2}
parts:
  hoop:
    stock: main
    points: [[0, 250, 0], [900, 250, 0], [900, -250, 0], [0, -250, 0]]
    start: free
    end: free
  near-tie:
    stock: light
    points: [[100, 250, 0], [100, -250, 0]]
  far-tie:
    stock: light
    points: [[700, 250, 0], [700, -250, 0]]
  post:
    stock: light
    points: [[400, 250, 0], [400, 250, 300]]
    end: free
    mirrored: left-right
"""


def job_of(text: str) -> Job:
    shop, _, _ = read_workshop((EXAMPLES / "ridge-workshop.yaml").read_bytes(), "shop")
    source, findings = read_design(text.encode(), "design")
    assert source is not None and shop is not None, findings
    job, findings = build_job(source, shop, 1, with_cutting=False)
    assert job is not None, findings
    return job


@cache
def example(name: str) -> Job:
    return job_of((EXAMPLES / f"{name}.yaml").read_text())


def joint_of(weldment: Weldment, piece: str, end: str, copy: int = 1) -> FitJoint:
    found = [j for j in weldment.joints if j.contact.piece == Target(part=piece, copy=copy) and j.contact.end == end]
    assert len(found) == 1
    return found[0]


# ------------------------------------------------------------------------------------------------ places
def test_branches_on_a_straight_tube_are_measured_from_its_nearest_end() -> None:
    # closed form: square on, the near side of a round branch lies its radius before its centre
    (weldment,) = fit_up(job_of(TWO_BRANCHES))
    square = joint_of(weldment, "square-on", "start").place
    assert (square.datum, square.side) == ("start", "top")
    assert square.centre == pytest.approx(300.0)
    assert square.near == pytest.approx(300.0 - 21.3 / 2, abs=1e-3)
    assert square.far == pytest.approx(300.0 + 21.3 / 2, abs=1e-3)


def test_a_slanting_branch_has_its_heel_and_toe_where_its_outside_meets_the_tube() -> None:
    # closed form: on the top line of the receiver (height R over its axis) the outside lines of a branch at 45 degrees
    # through (800, 0) lie at 800 + R -+ r sqrt(2); the curve's furthest points are these two
    (weldment,) = fit_up(job_of(TWO_BRANCHES))
    joint = joint_of(weldment, "slanting", "start")
    big, small = 26.9 / 2, 21.3 / 2
    assert joint.place.datum == "end"
    assert joint.angle_rad == pytest.approx(math.pi / 4)
    assert joint.place.centre == pytest.approx(200.0)
    assert joint.place.near == pytest.approx(1000 - (800 + big + small * math.sqrt(2)), abs=0.05)


def test_a_joint_on_a_leg_of_a_hoop_is_measured_from_the_outside_of_the_bend_beside_it() -> None:
    # closed form: the far tie lies 200 before the corner of the centreline, whose bend's outside is 13.45 beyond:
    # at 90 degrees the outside stands R tan(45) + half beyond the tangent point, whatever the radius
    (weldment,) = fit_up(job_of(U_HOOP))
    for end, leg, bend, side in (("start", 1, 1, "left"), ("end", 3, 2, "right")):
        place = joint_of(weldment, "far-tie", end).place
        assert (place.datum, place.leg, place.bend, place.leg_side) == ("bend", leg, bend, side)
        assert place.datum_side == "front"
        assert place.centre == pytest.approx(200 + 26.9 / 2)
        assert place.near == pytest.approx(200 + 26.9 / 2 - 21.3 / 2, abs=1e-3)
    near = joint_of(weldment, "near-tie", "start").place
    assert (near.datum, near.datum_side, near.centre) == ("start", "rear", pytest.approx(100.0))


def test_mirrored_pieces_come_in_one_step_at_mirrored_places() -> None:
    (weldment,) = fit_up(job_of(U_HOOP))
    step = next(step for step in weldment.steps if step.part == "post")
    assert {piece.copy for piece in step.pieces} == {1, 2}
    left, right = (joint_of(weldment, "post", "start", copy).place for copy in (1, 2))
    assert (left.leg_side, right.leg_side) == ("left", "right")
    assert (left.near, left.centre, left.datum_side) == pytest.approx((right.near, right.centre, right.datum_side))


def test_an_end_on_a_plate_is_placed_from_the_plates_edges_and_welded_once_round() -> None:
    # closed form: a round tube square on a plate has a weld of pi D
    (weldment,) = fit_up(job_of(TWO_BRANCHES))
    joint = joint_of(weldment, "square-on", "end")
    assert joint.contact.to == Target(part="foot")
    assert joint.place.datum == "edges"
    assert (joint.place.centre, joint.place.across) == pytest.approx((30.0, 25.0))
    assert joint.weld.all_round
    assert joint.weld.length == pytest.approx(math.pi * 21.3, rel=1e-4)
    assert joint.weld.throat == pytest.approx(0.7 * 2.0)


# ------------------------------------------------------------------------------------------------ order
@pytest.mark.parametrize("name", ["hut-trailer", "handcart"])
def test_what_a_piece_is_joined_to_was_there_before(name: str) -> None:
    for weldment in fit_up(example(name)):
        there: set[Target] = set()
        for step in weldment.steps:
            joints = weldment.of_step(step.number)
            for joint in joints:
                other = joint.contact.to if joint.contact.piece == joint.added else joint.contact.piece
                assert other in there
            assert step.number == 1 or {joint.added for joint in joints} == set(step.pieces)
            there |= set(step.pieces)


@pytest.mark.parametrize("name", ["hut-trailer", "handcart"])
def test_every_end_that_is_cut_to_something_is_welded_once(name: str) -> None:
    job = example(name)
    welded = [j.contact for w in fit_up(job) for j in w.joints]
    assert len(welded) == len(set(welded)) > 15
    known = {c for c in contacts(job.product, job.workshop) if c.joined == "weld"}
    parts = {part.id: part.assembly for part in job.parts}
    assert {c for c in known if parts[c.piece.part] == parts[c.to.part]} == set(welded)
    for joint in job.product.joints:
        for copy in range(1, len(job.design.part(joint.part).copies) + 1) if joint.kind == "member" else ():
            piece = Target(part=joint.part, copy=copy)
            ends = [c for c in welded if c.piece == piece and c.end == joint.end]
            assert len(ends) == len(joint.against), (piece, joint.end)


def test_a_bolted_stay_and_an_axle_in_its_holes_are_not_welded() -> None:
    how = {line.part: line.how for line in laid(example("hut-trailer"))}
    assert (how["back-stay"], how["clamp-plate"], how["hinge-sleeve"]) == ("bolt", "bolt", "sleeve")
    assert (how["cot-hoop"], how["wheel"]) == ("rests", "bought")
    assert {line.part: line.how for line in laid(example("handcart"))}["axle"] == "hole"


def test_sleeves_are_slid_on_before_the_tube_is_closed_in() -> None:
    cot = next(w for w in fit_up(example("hut-trailer")) if w.assembly == "cot")
    step = next(step for step in cot.steps if step.part == "back-tie")
    assert [outer.part for outer, _ in step.threaded] == ["hinge-sleeve", "hinge-sleeve"]
    assert {inner for _, inner in step.threaded} == {Target(part="back-tie", copy=1)}


def test_a_tube_under_both_legs_of_a_hoop_is_joined_to_both() -> None:
    # closed form: a tube across under a hoop 500 wide, 530 long: it crosses the legs 15 from its ends
    text = (
        U_HOOP
        + """
  under:
    stock: light
    points: [[550, 265, -24.1], [550, -265, -24.1]]
    start: free
    end: free
    on: hoop
"""
    )
    (weldment,) = fit_up(job_of(text))
    found = [j for j in weldment.joints if j.contact.piece.part == "under"]
    assert [j.place.leg_side for j in found] == ["left", "right"]
    for joint in found:
        assert joint.place.side == "bottom" and joint.weld.length is None
        assert joint.place.centre == pytest.approx(350 + 26.9 / 2)
        assert joint.own is not None and joint.own.centre == pytest.approx(15.0)


def test_a_plate_across_a_hoop_is_joined_to_both_legs() -> None:
    # closed form: from 100 to 300 along both legs
    text = (
        U_HOOP.replace("light: tube 21.3x2}", "light: tube 21.3x2, floor: plate 2}")
        + """
  floor:
    stock: floor
    outline: [[0, 0], [200, 0], [200, 520], [0, 520]]
    at: [400, -260, 13.45]
    along: forward
    facing: up
    on: hoop
"""
    )
    (weldment,) = fit_up(job_of(text))
    found = [j for j in weldment.joints if j.contact.piece.part == "floor"]
    assert [j.place.leg_side for j in found] == ["left", "right"]
    for joint in found:
        assert (joint.place.side, joint.weld.sides) == ("top", 2)
        assert joint.weld.length == pytest.approx(200.0, abs=0.01)
        assert (joint.place.datum, joint.place.near) == ("bend", pytest.approx(900 + 13.45 - 600, abs=0.01))


def test_plates_come_after_all_tubes() -> None:
    job = example("hut-trailer")
    kinds = {part.id: part.kind for part in job.parts}
    frame = fit_up(job)[0]
    order = [kinds[step.part] == "plate" for step in frame.steps]
    assert order == sorted(order)
    assert frame.base == Target(part="inner-hoop")


# ------------------------------------------------------------------------------------------------ welds and checks
def test_weld_round_a_slanting_tube_on_a_plate_is_as_long_as_the_ellipse() -> None:
    # closed form: a plane cut of a round tube is an ellipse with half axes r and r / sin(angle); its length by
    # Ramanujan's second approximation (1914), from memory, good to 1e-5 here
    text = TWO_BRANCHES.replace("end: square", "end: {meets: foot}").replace(
        "[[300, 0, 0], [300, 0, 200]]", "[[300, 0, 0], [500, 0, 200]]"
    ).replace("at: [300, 0, 200]", "at: [500, 0, 200]")  # fmt: skip
    (weldment,) = fit_up(job_of(text))
    a, b = 21.3 / 2 / math.sin(math.pi / 4), 21.3 / 2
    h = ((a - b) / (a + b)) ** 2
    ellipse = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    assert joint_of(weldment, "square-on", "end").weld.length == pytest.approx(ellipse, rel=1e-4)


def test_widths_and_diagonals_follow_from_the_frame() -> None:
    # closed form: ties 600 apart between legs 500 apart: width over the outsides 526.9, diagonals hypot(600, 500)
    (weldment,) = fit_up(job_of(U_HOOP))
    widths = [c.value for c in weldment.checks if c.kind == "width"]
    assert widths == pytest.approx([526.9, 526.9])
    (diagonal,) = (c for c in weldment.checks if c.kind == "diagonals")
    assert diagonal.value == pytest.approx(math.hypot(600, 500))
    assert diagonal.limit == 3.0
    (angle,) = (c for c in weldment.checks if c.kind == "angle")
    assert angle.value == pytest.approx(math.pi / 2)


def test_tacks_grow_with_the_girth() -> None:
    # common practice, no source: one for each 30 mm of girth, 66.9 mm round -> 3
    (weldment,) = fit_up(job_of(TWO_BRANCHES))
    assert joint_of(weldment, "square-on", "start").weld.tacks == 3


def test_gap_between_the_cheeks_of_the_hitch_is_the_length_of_the_tow_bush() -> None:
    # closed form: the cheeks lie against both ends of the bush, which is cut to 60
    job = example("hut-trailer")
    (hitch,) = (w for w in fit_up(job) if w.assembly == "hitch yoke")
    (gap,) = (c for c in hitch.checks if c.kind == "between" and c.pieces[0].part == "hitch-cheek")
    assert gap.value == pytest.approx(60.0, abs=1e-6)
    assert gap.value == pytest.approx(job.part("tow-bush").cut_length, abs=1e-6)
    assert {piece.part for piece in gap.pieces} == {"hitch-cheek"}


def test_plates_side_by_side_in_one_plane_have_no_gap_between_them() -> None:
    (frame,) = (w for w in fit_up(example("hut-trailer")) if w.assembly == "frame")
    assert "drawbar-gusset" not in {p.part for c in frame.checks if c.kind == "between" for p in c.pieces}
