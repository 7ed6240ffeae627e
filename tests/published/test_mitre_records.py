"""Mitres against published trade tables and closed forms.

[FKP-T] fitterkipurijankari.com, 2023-09-16, equal tee branch. Read (stored-page excerpt).
[FKP-L] fitterkipurijankari.com, 2023-09-24, unequal lateral tee. Read (stored-page excerpt).
[PE] pipingengineer.org, formula for miter fabrication from pipe. Read (stored-page excerpt).
[FKP-M] fitterkipurijankari.com, 2020-07-29, miter bend formula. Read (stored-page excerpt).
[FG-L] fabricatorguide.com, 2019-04, equal lateral tee. Read (stored-page excerpt).
[FG-T] fabricatorguide.com, 2019-06, equal and unequal tee branch: rules of thumb. Read (stored-page excerpt).
[CTK] cut-the-knot.org, unfolding a cut cylinder. Formula read, numbers computed here.
[REF] The project's own reference data of 2025-11-25, closed forms computed there and compared with a CAD kernel.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from handbarrow.laws.geometry.path import Centreline, Steps, from_steps
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.cope import bevel_depth, plane_cut
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.mitre.receiver import Receiver, hits
from handbarrow.laws.mitre.straight_cuts import StraightCut, axis_tilt, one_cut, two_cuts

LINE = Centreline(((-2000.0, 0.0, 0.0), (2000.0, 0.0, 0.0)))


def bar(diameter: float) -> Section:
    return Section(shape="round bar", height=diameter, width=diameter)


def tube(diameter: float, wall: float) -> Section:
    return Section(shape="round tube", height=diameter, width=diameter, wall=wall)


def end_at(angle_deg: float) -> EndFrame:
    """An end at the origin, its axis at an angle to +x; the crown on the side of the acute angle."""
    a = math.radians(angle_deg)
    into = (math.cos(a), 0.0, math.sin(a))
    v = (math.sin(a), 0.0, -math.cos(a))
    return EndFrame((0.0, 0.0, 0.0), into, tuple(np.cross(into, v)), v)


def cope(branch: float, receiver: float, angle_deg: float) -> np.ndarray:
    """h at every degree round the girth, from the crown."""
    return hits(end_at(angle_deg), outline(bar(branch)).uv, Receiver(bar(receiver), LINE, (0.0, 0.0, 1.0))).h


# ------------------------------------------------------------------------------------------------ published
def test_set_on_tee_of_ten_inch_pipe_has_the_printed_ordinates() -> None:
    # [FKP-T], P01: header 273, inside of the branch 263; printed 0, 36.56, 99.89 (cut off, not rounded).
    h = cope(263, 273, 90)
    ordinates = h[0] - h[[0, 45, 90]]
    assert ordinates == pytest.approx([0, 36.56, 99.89], abs=0.015)


def test_lateral_of_three_on_four_inch_at_45_degrees_has_the_printed_ordinates() -> None:
    # [FKP-L], P02: radii 44 on 57. The page prints 22.95 at 45 degrees and 25.95 at its mirror; 25.95 is right.
    h = cope(88, 114, 45)
    halves = (h[22:180:45] + h[23:181:45]) / 2  # the sheet's half-degree stations lie between two of ours
    printed = {45: 25.95, 90: 73.36, 135: 88.18, 180: 88.0}
    assert [h[0] - h[k] for k in printed] == pytest.approx(list(printed.values()), abs=0.015)
    assert list(h[0] - halves) == pytest.approx([6.94, 51.26, 84.94, 88.24], abs=0.02)


def test_segmented_elbow_of_four_cuts_has_the_printed_cut_back_and_lengths() -> None:
    # [PE], P03: 90 degrees in 4 cuts, pipe 273, centre radius 381: cut-back 27.15, lengths 151.6 and 75.8.
    half = math.radians(90 / 8)
    h = plane_cut(end_at(90), outline(bar(273)).uv, (math.sin(half), 0.0, math.cos(half)), (0.0, 0.0, 0.0))
    assert np.max(h) == pytest.approx(27.15, abs=0.01)
    assert np.min(h) == pytest.approx(-27.15, abs=0.01)
    steps = Steps((75.8, 151.6, 151.6, 151.6, 75.8), (2 * half,) * 4, (0.0,) * 4, (0.0,) * 4)
    end = from_steps((0, 0, 0), (1, 0, 0), (0, 0, 1), steps).points[-1]
    assert end == pytest.approx((381, 381, 0), abs=0.1)


def test_elbow_of_three_cuts_in_168_pipe_has_the_printed_cut_back() -> None:
    # [FKP-M], P04: 22.5.
    half = math.radians(90 / 6)
    h = plane_cut(end_at(90), outline(bar(168)).uv, (math.sin(half), 0.0, math.cos(half)), (0.0, 0.0, 0.0))
    assert np.max(h) == pytest.approx(22.5, abs=0.01)


def test_equal_lateral_at_45_degrees_is_cut_long_and_short_by_the_printed_factors() -> None:
    # [FG-L], P05: 1.2071 and 0.2071 times the outside diameter.
    h = cope(100, 100, 45) / 100
    assert h[0] == pytest.approx(1.2071, abs=5e-5)
    assert h[180] == pytest.approx(0.2071, abs=5e-5)


@pytest.mark.parametrize(
    ("branch", "header", "rule", "rule_at_45", "exact", "exact_at_45"),
    [
        # [FG-T], P06: rules of thumb that are not the closed form; exact values computed there from outside radii.
        (114.3, 114.3, 45.72, 32.3, 57.15, 16.74),
        (114.0, 168.0, 19.33, 13.6, 22.30, 10.30),
    ],
)
def test_rules_of_thumb_for_tees_are_not_what_we_print(
    branch: float, header: float, rule: float, rule_at_45: float, exact: float, exact_at_45: float
) -> None:
    h = cope(branch, header, 90)
    depth, depth_at_45 = h[0] - h[90], h[0] - h[45]
    assert depth == pytest.approx(exact, abs=0.01)
    assert depth_at_45 == pytest.approx(exact_at_45, abs=0.01)
    assert abs(depth - rule) > 2.5
    assert abs(depth_at_45 - rule_at_45) > 2.5


def test_a_plane_cut_at_45_degrees_unrolls_to_a_cosine() -> None:
    # [CTK], P07: z / R at 0, 45, 90, 135, 180 degrees.
    half = math.sqrt(0.5)
    h = plane_cut(end_at(90), outline(bar(2)).uv, (half, 0.0, half), (0.0, 0.0, 0.0))
    assert (h - h[0])[[0, 45, 90, 135, 180]] == pytest.approx([0.0, 0.29289, 1.0, 1.70711, 2.0], abs=1e-5)


# ------------------------------------------------------------------------------------------------ closed form
HACKSAW = [
    # [REF] per receiver radius R: r / R, gap of one cut, gap of two cuts, their angle from square [degrees].
    (0.5, 0.134, 0.035, 15.0),
    (0.625, 0.219, 0.060, 19.3),
    (0.78, 0.374, 0.109, 25.6),
    (0.85, 0.473, 0.145, 29.1),
    (0.9, 0.564, 0.180, 32.1),
    (1.0, 1.0, 0.414, 45.0),
]


def stand_ins(branch: float, receiver: float, angle_deg: float) -> tuple[StraightCut, tuple[StraightCut, StraightCut]]:
    frame, uv, h = end_at(angle_deg), outline(bar(branch)).uv, cope(branch, receiver, angle_deg)
    tilt, across = axis_tilt(frame, (1.0, 0.0, 0.0))
    return one_cut(uv, h, tilt, across), two_cuts(uv, h, tilt, across)


@pytest.mark.parametrize(("ratio", "one", "two", "angle"), HACKSAW)
def test_a_hacksaw_leaves_the_gaps_of_the_closed_form(ratio: float, one: float, two: float, angle: float) -> None:
    single, double = stand_ins(2 * ratio, 2.0, 90)
    assert single.depth == pytest.approx(one, abs=6e-4)
    assert single.angle_rad == pytest.approx(0.0, abs=1e-9)
    for cut in double:
        assert cut.depth == pytest.approx(two, abs=6e-4)
        assert math.degrees(cut.angle_rad) == pytest.approx(angle, abs=0.06)
        assert cut.at == pytest.approx(1.0, abs=1e-9)
    assert abs(double[0].direction_rad - double[1].direction_rad) == pytest.approx(math.pi)


@pytest.mark.parametrize(
    # [REF] branch on receiver: two-cut gap [mm], angle from square.
    ("branch", "receiver", "gap", "angle"),
    [(25.0, 32.0, 1.75, 25.7), (32.0, 38.0, 2.7, 28.7), (25.0, 38.0, 1.3, None), (32.0, 32.0, 6.6, 45.0)],
)
def test_two_straight_cuts_for_the_usual_tubes(branch: float, receiver: float, gap: float, angle: float | None) -> None:
    _, (cut, _) = stand_ins(branch, receiver, 90)
    assert cut.depth == pytest.approx(gap, abs=0.05)
    if angle is not None:
        assert math.degrees(cut.angle_rad) == pytest.approx(angle, abs=0.06)


@pytest.mark.parametrize("angle_deg", [30.0, 45.0, 60.0, 75.0])
def test_at_an_angle_the_gap_grows_by_one_over_the_sine(angle_deg: float) -> None:
    # [REF]: tilt both cuts by the plane x cot(theta); the gap grows by 1 / sin(theta). At 45 degrees 1.41.
    square, slant = stand_ins(25, 32, 90), stand_ins(25, 32, angle_deg)
    factor = 1 / math.sin(math.radians(angle_deg))
    assert slant[0].depth == pytest.approx(square[0].depth * factor, rel=1e-6)
    assert slant[1][0].depth == pytest.approx(square[1][0].depth * factor, rel=1e-6)
    assert slant[0].angle_rad == pytest.approx(math.pi / 2 - math.radians(angle_deg))
    assert slant[0].direction_rad == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("branch", "wall", "receiver", "relief"), [(25.0, 1.5, 32.0, 1.6), (32.0, 2.0, 38.0, 2.6)])
def test_the_inner_edge_touches_first_at_the_ears(branch: float, wall: float, receiver: float, relief: float) -> None:
    # [REF]: 1.6 mm (25x1.5 on 32), 2.6 mm (32x2 on 38).
    ring = outline(tube(branch, wall))
    assert ring.inner_uv is not None
    against = Receiver(bar(receiver), LINE, (0.0, 0.0, 1.0))
    h, inner = hits(end_at(90), ring.uv, against).h, hits(end_at(90), ring.inner_uv, against).h
    assert bevel_depth(h, inner) == pytest.approx(relief, abs=0.05)
    assert int(np.argmax(inner - h)) in (90, 270)
