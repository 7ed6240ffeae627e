"""Fixtures, spacing rods and check boards: places that plane geometry gives, and what a fixture refuses to say."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handbarrow.job.jig_values import Fixture, JigSpot
from handbarrow.job.jigs import build_jigs
from jig_frames import HOOP, RECTANGLE, example, job_of

HALF, PIN, CLEAR = 26.9 / 2, 10.0, 3.0 / 2
"""Tube 26.9, pin M10, and half of the ridge workshop's limit for bent parts."""
OFF = HALF + CLEAR + PIN / 2
EDGE = 30.0
"""Outside to board edge: clearance + pin + 10 mm, up to a whole 10 mm."""


def only_fixture(parts: str) -> Fixture:
    (fixture,) = build_jigs(job_of(parts)).fixtures
    return fixture


def of(fixture: Fixture, part: str) -> list[JigSpot]:
    return [spot for spot in fixture.spots if spot.part == part]


def test_pins_of_a_u_hoop_stand_off_its_legs_by_half_the_tube_and_clearance_and_half_the_pin() -> None:
    # closed form: the beam's outside is the lowest x, its ends the lowest y
    fixture = only_fixture(HOOP)
    x0, y0 = EDGE + HALF, EDGE + 340.0
    radius = job_of(HOOP).part("hoop").centreline.radii[0]  # type: ignore[union-attr]
    first = 5 * math.ceil((x0 + math.sqrt((HALF + 30.0) ** 2 - OFF**2)) / 5)  # 30 mm from the weld's tube
    last = 5 * math.floor((x0 + 1000.0 - radius - 10.0) / 5)
    wanted = {(x, y0 + leg + side) for x in (first, last) for leg in (300.0, -300.0) for side in (OFF, -OFF)}
    low, high = 5 * math.ceil((y0 - 300 + radius + 10) / 5), 5 * math.floor((y0 + 300 - radius - 10) / 5)
    wanted |= {(x0 + 1000.0 + side, y) for y in (low, high) for side in (OFF, -OFF)}
    found = {(round(spot.x, 6), round(spot.y, 6)) for spot in of(fixture, "hoop")}
    assert found == {(round(x, 6), round(y, 6)) for x, y in wanted}


def test_a_free_end_gets_a_stop_on_its_axis_and_a_coped_end_none() -> None:
    fixture = only_fixture(HOOP)
    stops = [spot for spot in fixture.spots if spot.kind == "end stop"]
    assert {spot.part for spot in stops} == {"beam"}
    assert sorted(round(spot.y, 6) for spot in stops) == [
        round(EDGE - CLEAR - PIN / 2, 6),
        round(EDGE + 680.0 + CLEAR + PIN / 2, 6),
    ]
    assert all(spot.x == pytest.approx(EDGE + HALF) for spot in stops)


def test_a_rectangle_of_straight_tubes_is_held_by_a_pair_of_pins_at_both_ends_of_each() -> None:
    fixture = only_fixture(RECTANGLE)
    assert (fixture.width, fixture.height) == (2 * EDGE + 830.0, 2 * EDGE + 530.0)  # up to a whole 10 mm
    near = math.sqrt((HALF + 30.0) ** 2 - OFF**2)
    corner = EDGE + HALF
    low = 5 * math.ceil((corner + near) / 5)
    for part, axis, along, size in (("front", 0, 0.0, 500.0), ("back", 0, 800.0, 500.0), ("right", 1, 0.0, 800.0)):
        high = 5 * math.floor((corner + size - near) / 5)
        spots = [(spot.x, spot.y) if axis == 0 else (spot.y, spot.x) for spot in of(fixture, part)]
        wanted = [(corner + along + side, at) for at in (low, high) for side in (OFF, -OFF)]
        assert np.array(sorted(spots)) == pytest.approx(np.array(sorted(wanted)))
    assert len(fixture.spots) == 16
    assert all(spot.kind == "pin" for spot in fixture.spots)


def test_the_board_lies_square_to_the_tubes_with_them_on_strips_that_clear_the_nuts() -> None:
    fixture = only_fixture(RECTANGLE)
    matrix = np.asarray(fixture.to_board)
    assert matrix[:3, :3] @ matrix[:3, :3].T == pytest.approx(np.eye(3))
    assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0)
    assert fixture.bed == 15.0  # nut of M10 8.4, washer 2, up to a whole 5 mm
    assert fixture.plane == pytest.approx(15.0 + HALF)
    assert {spot.height for spot in fixture.spots} == {40.0}  # 15 + three quarters of 26.9, up to a whole 5 mm
    assert (matrix @ [0, 0, 50 + job_of(RECTANGLE).product.lift, 1])[:3] == pytest.approx(
        [EDGE + HALF, EDGE + HALF, 15.0 + HALF]
    )


def test_a_clearance_that_is_asked_for_moves_every_pin_and_is_stated() -> None:
    job = job_of(RECTANGLE)
    (tight,), (usual,) = build_jigs(job, 0.5).fixtures, build_jigs(job).fixtures
    assert (tight.clearance, usual.clearance) == (0.5, 1.5)
    (a, _, c, _) = sorted(spot.x for spot in of(tight, "front"))
    assert c - a == pytest.approx(2 * (HALF + 0.5 + 5.0))


def test_what_stands_on_the_frame_gets_supports_as_high_as_its_underside() -> None:
    posts = """\
  post:
    stock: light
    points: [[400, 300, 0], [400, 300, 120]]
    mirrored: left-right
  rail:
    stock: main
    points: [[400, 330, 120], [400, -330, 120]]
    start: free
    end: free
"""
    fixture = only_fixture(HOOP + posts)
    supports = [spot for spot in fixture.spots if spot.kind == "support"]
    assert [spot.part for spot in supports] == ["rail", "rail"]
    assert {round(spot.height, 6) for spot in supports} == {round(15.0 + HALF + 120.0 - HALF, 6)}
    assert {round(spot.x, 6) for spot in supports} == {round(EDGE + HALF + 400.0, 6)}
    assert {m.part: m.lies for m in fixture.members} == {
        "hoop": "flat", "beam": "flat", "post": "above", "rail": "above"
    }  # fmt: skip
    assert fixture.lifts_off


def test_a_frame_lies_the_way_round_on_which_more_can_be_put_in() -> None:
    leg = "  leg: {stock: light, points: [[500, 300, 0], [500, 300, -200]], end: free, mirrored: left-right}\n"
    assert not only_fixture(HOOP).turned_over
    turned = only_fixture(HOOP + leg)
    assert turned.turned_over
    assert [m.part for m in turned.members if m.lies == "above"] == ["leg", "leg"]
    assert max(m.top for m in turned.members) == pytest.approx(15.0 + HALF + 200.0)


def test_what_reaches_under_the_board_is_fitted_afterwards() -> None:
    both = (
        "  low: {stock: light, points: [[500, 300, 0], [500, 300, -200]], end: free}\n"
        "  high: {stock: light, points: [[500, 300, 0], [500, 300, 200]], end: free, mirrored: left-right}\n"
    )
    fixture = only_fixture(HOOP + both)
    assert [(one.part, one.count, one.below) for one in fixture.later] == [("low", 1, True)]


def test_parts_that_do_not_meet_in_one_plane_get_no_fixture() -> None:
    alone = "  elbow: {stock: main, points: [[0, 300, 0], [900, 300, 0], [900, -300, 0]], start: free, end: free}\n"
    apart = alone + "  bar: {stock: main, points: [[0, 0, 9], [900, 0, 9]], start: free, end: free, on: elbow}\n"
    assert build_jigs(job_of(alone)).fixtures == ()
    assert build_jigs(job_of(apart)).fixtures == ()


def test_a_thinner_tube_lies_on_higher_strips() -> None:
    cross = "  cross: {stock: light, points: [[500, 300, 0], [500, -300, 0]]}\n"
    packing = {m.part: m.packing for m in only_fixture(HOOP + cross).members}
    assert packing["hoop"] == pytest.approx(15.0)
    assert packing["cross"] == pytest.approx(15.0 + (26.9 - 21.3) / 2)


def test_a_short_sleeve_is_held_by_pins_that_are_marked_as_near_a_weld() -> None:
    back = next(f for f in build_jigs(example("hut-trailer")).fixtures if f.assembly == "back rest")
    sleeve = [spot for spot in back.spots if spot.part == "hinge-sleeve"]
    assert sleeve
    assert all(spot.near_weld for spot in sleeve)
    assert not any(spot.near_weld for spot in back.spots if spot.part == "back-hoop")


# ------------------------------------------------------------------------------------------------ spacing rods
def test_spacing_rod_of_the_trailer_is_as_long_as_hub_and_play() -> None:
    job = example("hut-trailer")
    (gap,) = (size.value for size in job.sizes if size.name == "axle_gap")
    (rod,) = build_jigs(job).rods
    assert rod.length == pytest.approx(gap)
    assert rod.slot_width == pytest.approx(10.5)
    assert rod.stud is not None and rod.stud.name == "M10"
    assert rod.pairs == 2


def test_two_slotted_plates_that_face_each_other_get_a_rod_between_their_inner_faces() -> None:
    plates = """\
  inner:
    stock: gusset
    outline: [[-30, -30], [30, -30], [30, 40], [-30, 40]]
    slots: [{at: [0, -10], width: 12.5, length: 40, angle: 90, open: yes}]
    at: [500, 320, 0]
    along: back
    facing: left
    on: hoop
  outer:
    stock: gusset
    outline: [[-30, -30], [30, -30], [30, 40], [-30, 40]]
    slots: [{at: [0, -10], width: 12.5, length: 40, angle: 90, open: yes}]
    at: [500, 430, 0]
    along: forward
    facing: right
    on: wheel
  wheel: {stock: wheel, at: [500, 375, 0], axis: left, on: inner}
"""
    (rod,) = build_jigs(job_of(HOOP + plates)).rods
    # inner faces at 320 + 5 and 430 - 5
    assert rod.length == pytest.approx(100.0)
    assert rod.stud is not None and rod.stud.name == "M12"
    assert sorted(rod.parts) == ["inner", "outer"]


def test_axle_in_plain_holes_gets_no_rod() -> None:
    assert build_jigs(example("handcart")).rods == ()


# ------------------------------------------------------------------------------------------------ check boards
def test_check_board_of_a_u_hoop_has_its_arcs_where_plane_geometry_puts_them() -> None:
    job = job_of(HOOP)
    (board,) = build_jigs(job).boards
    r = job.part("hoop").centreline.radii[0]  # type: ignore[union-attr]
    edge = 40.0 + HALF
    assert (board.width, board.height) == (
        10 * math.ceil((1000 + 2 * edge) / 10 - 1e-9), 10 * math.ceil((600 + 2 * edge) / 10 - 1e-9)
    )  # fmt: skip
    # ends and centres, measured from the ends' side (x) whichever way it lies
    xs = sorted({round(abs(place[0] - board.start[0]), 6) for place in (board.start, board.bends[0].start)})
    assert xs == [0.0, pytest.approx(1000 - r, abs=1e-6)]
    for bend in board.bends:
        assert math.dist(bend.centre, bend.start) == pytest.approx(r)
        assert math.dist(bend.centre, bend.end) == pytest.approx(r)
        assert bend.angle_rad == pytest.approx(math.pi / 2)
    assert math.dist(board.bends[0].centre, board.bends[1].centre) == pytest.approx(600 - 2 * r)
    assert math.dist(board.start, board.end) == pytest.approx(600.0)


def test_only_flat_bent_parts_get_a_check_board() -> None:
    job = example("hut-trailer")
    flat = {p.id for p in job.parts if p.card is not None and p.card.rows and p.card.planar}
    assert {board.part for board in build_jigs(job).boards} == flat
    assert "drawbar" not in flat
