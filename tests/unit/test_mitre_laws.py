"""Outlines, notches, lengths of the cut edge: closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handbarrow.laws.geometry.path import Centreline
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.cope import plane_cut, weld_length
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.notch import leg_notches
from handbarrow.laws.mitre.outline import STATIONS, outline
from handbarrow.laws.mitre.receiver import Receiver, hits, meeting
from handbarrow.laws.mitre.shapes import Box, distance, outside
from handbarrow.laws.mitre.straight_cuts import axis_tilt, one_cut, pointed_cuts

UPRIGHT = EndFrame((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
LINE = Centreline(((-500.0, 0.0, 0.0), (500.0, 0.0, 0.0)))
ANGLE = Section(shape="angle", height=30, width=20, wall=3)
FLAT = Section(shape="flat", height=30, width=5)


def tube(diameter: float) -> Section:
    return Section(shape="round tube", height=diameter, width=diameter, wall=2)


def test_a_round_tube_has_a_station_at_every_degree_and_both_ends_are_the_crown() -> None:
    ring = outline(tube(26.9))
    assert len(ring.s) == STATIONS
    assert ring.girth == pytest.approx(math.pi * 26.9)
    assert ring.uv[0] == pytest.approx((0.0, 13.45))
    assert ring.uv[90] == pytest.approx((13.45, 0.0))
    assert ring.inner_uv is not None and ring.inner_uv[180] == pytest.approx((0.0, -11.45))


def test_an_angle_is_walked_from_the_tip_of_its_height_leg_and_has_all_its_corners() -> None:
    ring = outline(ANGLE)
    assert ring.girth == pytest.approx(100.0)
    corners = {(0.0, 30.0), (3.0, 30.0), (3.0, 3.0), (20.0, 3.0), (20.0, 0.0), (0.0, 0.0)}
    assert corners <= {(round(float(u), 9), round(float(v), 9)) for u, v in ring.uv}
    assert ring.uv[0] == pytest.approx(ring.uv[-1])
    assert ring.inner_uv is None


def test_a_flat_has_sharp_corners() -> None:
    ring = outline(FLAT)
    assert ring.girth == pytest.approx(70.0)
    assert {(2.5, 15.0), (-2.5, -15.0)} <= {(round(float(u), 9), round(float(v), 9)) for u, v in ring.uv}


def test_the_cut_edge_of_a_plane_cut_is_an_ellipse() -> None:
    # Closed form for 60 degrees: ellipse of half axes r and 2 r; circumference by Ramanujan's second formula,
    # good to 1e-7 here (from memory).
    ring = outline(tube(20))
    n = (math.sqrt(3) / 2, 0.0, 0.5)
    a, b = 20.0, 10.0
    lam = ((a - b) / (a + b)) ** 2
    around = math.pi * (a + b) * (1 + 3 * lam / (10 + math.sqrt(4 - 3 * lam)))
    assert weld_length(ring.s, plane_cut(UPRIGHT, ring.uv, n, (0, 0, 0))) == pytest.approx(around, rel=1e-4)


def test_the_notches_of_an_angle_on_a_round_tube_take_the_deeper_side_of_the_thickness() -> None:
    ring = outline(ANGLE)
    on = Receiver(tube(80), LINE, (0.0, 0.0, 1.0))
    notches = leg_notches(ANGLE, ring, hits(UPRIGHT, ring.uv, on).h)
    # The receiver runs along x = v, so only u (= y) matters: the height leg lies within 3 mm of its crown.
    height, width = dict(notches["height leg"]), dict(notches["width leg"])
    assert height[0.0] == height[30.0] == pytest.approx(40.0)
    assert width[0.0] == pytest.approx(40.0)
    assert width[20.0] == pytest.approx(math.sqrt(40**2 - 20**2))
    with pytest.raises(ValueError, match="no legs"):
        leg_notches(tube(20), outline(tube(20)), np.zeros(361))


def test_the_notch_of_a_flat_across_a_tube_is_one_curve() -> None:
    turned = EndFrame((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    ring = outline(FLAT)
    notch = leg_notches(FLAT, ring, hits(turned, ring.uv, Receiver(tube(40), LINE, (0.0, 0.0, 1.0))).h)["face"]
    across, h = np.array(notch).T
    assert (across[0], across[-1]) == pytest.approx((-15.0, 15.0))
    assert h == pytest.approx(np.sqrt(20**2 - across**2))


def test_a_gap_rounds_the_corners_of_a_flat() -> None:
    shape = outside(FLAT, gap=1.0)
    corner = np.array([2.5]), np.array([15.0])
    away = math.sqrt(0.5) * 3
    assert distance(shape, corner[0] + away, corner[1] + away) == pytest.approx(2.0)
    assert distance(shape, np.array([3.5]), np.array([0.0])) == pytest.approx(0.0)
    assert outside(FLAT) == (Box(0.0, 0.0, 2.5, 15.0),)


def test_axes_meet_at_the_angle_and_distance_they_are_drawn_at() -> None:
    elbow = Centreline(((-400, 0, 0), (0, 0, 0), (0, 400, 0)), (80.0,))
    on = Receiver(tube(32), elbow, (0.0, 0.0, 1.0))
    a = math.radians(30)
    at = (-80 + 80 * math.sin(a), 80 - 80 * math.cos(a), 3.0)
    outward = (math.sin(a), -math.cos(a), 0.0)
    met = meeting(EndFrame(at, outward, (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)), on)
    assert met.element == 1
    assert met.offset == pytest.approx(3.0)
    assert met.angle_rad == pytest.approx(math.pi / 2)
    assert met.axis == pytest.approx((math.cos(a), math.sin(a), 0.0))
    assert met.along == pytest.approx(320 + 80 * a)


def test_a_run_along_its_receiver_is_refused() -> None:
    along = EndFrame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="parallel"):
        axis_tilt(along, (1.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="does not cut"):
        plane_cut(along, outline(tube(20)).uv, (0.0, 0.0, 1.0), (0.0, 0.0, 0.0))
    # A smaller tube drawn inside its receiver never comes out: no cut, no crash.
    inside = hits(along, outline(tube(20)).uv, Receiver(tube(32), LINE, (0.0, 0.0, 1.0)))
    assert np.all(np.isfinite(inside.h))


def test_one_cut_on_a_face_that_slants_two_ways_is_exact() -> None:
    # A face turned 20 degrees about the receiver's axis and met at 60 degrees: still a plane.
    a, b = math.radians(60), math.radians(20)
    into = (math.cos(a), 0.0, math.sin(a))
    end = EndFrame((0.0, 0.0, 0.0), into, (0.0, -1.0, 0.0), (-math.sin(a), 0.0, math.cos(a)))
    on = Receiver(Section(shape="square tube", height=60, width=60, wall=2), LINE, (0.0, -math.sin(b), math.cos(b)))
    uv = outline(tube(20)).uv
    h = hits(end, uv, on).h
    cut = one_cut(uv, h, *axis_tilt(end, (1.0, 0.0, 0.0)))
    assert np.ptp(h) > 10
    assert cut.depth == pytest.approx(0.0, abs=1e-9)


def test_an_end_into_the_corner_of_two_plates_is_sawn_to_a_point_and_nothing_is_left_to_file() -> None:
    uv = outline(tube(20)).uv
    half = math.sqrt(0.5)
    normals = [(half, 0.0, half), (-half, 0.0, half)]
    each = [plane_cut(UPRIGHT, uv, n, (0.0, 0.0, 0.0)) for n in normals]
    tilts = [np.array([0.0, -1.0]), np.array([0.0, 1.0])]
    cuts = pointed_cuts(uv, (each[0], each[1]), (tilts[0], tilts[1]))
    assert [c.depth for c in cuts] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert [c.at for c in cuts] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert [math.degrees(c.direction_rad) for c in cuts] == pytest.approx([180.0, 0.0])
