"""Order of bends, feed, clamps and obstacles. Closed forms of plane geometry, computed here."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from handbarrow.laws.bending.blank import Blank, BlankBend
from handbarrow.laws.bending.clearance import Obstacle, held_hit, sweep, swept_hit, walk
from handbarrow.laws.bending.order import BenderRoom, BendOrder, Shortfall, free_lengths, order_bends
from handbarrow.laws.geometry.path import Steps, from_steps, sample

QUARTER = BlankBend(
    angle_rad=math.pi / 2, set_angle_rad=math.radians(92), radius=80 * 92 / 90, die_radius=80.0,
    used=80 * math.radians(92), offset=14.0, held=55.0, swept=60.0, half_outside=13.0, die="D27",
)  # fmt: skip


def blank(straights: list[float], normals_deg: list[float], **changes: float) -> Blank:
    bends = [replace(QUARTER, normal_rad=math.radians(n), **changes) for n in normals_deg]
    return Blank(tuple(straights), tuple(bends))


def test_tube_that_is_not_bent_yet_counts_as_straight() -> None:
    piece = blank([100, 30, 200], [0, 0])
    used = QUARTER.used
    assert free_lengths(piece, 0, "start", 0) == pytest.approx((100, 30 + used + 200))
    assert free_lengths(piece, 0, "start", 0b10) == pytest.approx((100, 30))
    assert free_lengths(piece, 1, "end", 0b01) == pytest.approx((200, 30))


def test_a_shop_that_sets_its_stop_to_the_end_bends_away_from_the_held_end() -> None:
    found = order_bends(blank([300, 400, 300], [0, 0]), BenderRoom(stop="end"))
    assert found == BendOrder(steps=((1, "start"), (0, "start")))


def test_a_shop_that_sets_its_stop_to_the_leg_bends_from_the_start() -> None:
    piece = blank([300, 400, 500, 300], [0, 0, 0])
    assert order_bends(piece, BenderRoom(stop="leg")) == BendOrder(steps=((0, "start"), (1, "start"), (2, "start")))


def test_a_stop_out_of_reach_is_not_counted_on() -> None:
    piece = blank([300, 1400, 300], [0, 0])
    assert order_bends(piece, BenderRoom(stop="end")) == BendOrder(steps=((1, "start"), (0, "start")))
    short = order_bends(piece, BenderRoom(stop="end", longest_stop=600.0))
    assert short == BendOrder(steps=((1, "end"), (0, "end"))) or short == BendOrder(steps=((0, "start"), (1, "start")))


def test_a_short_straight_is_clamped_from_the_other_side() -> None:
    # 50 mm before the first bend: too short to hold (55), enough to sweep when the die needs 40 there
    piece = blank([50, 400, 300], [0, 0], swept=40.0)
    found = order_bends(piece, BenderRoom())
    assert isinstance(found, BendOrder)
    assert dict(found.steps)[0] == "end"


def test_two_bends_too_near_each_other_name_the_lack() -> None:
    found = order_bends(blank([300, 30, 300], [0, 0]), BenderRoom())
    assert isinstance(found, Shortfall)
    assert (found.kind, found.lack, found.needed) == ("held", pytest.approx(25.0), 55.0)
    assert found.made in ((0,), (1,))


def test_search_agrees_with_trying_every_order() -> None:
    """Whether an order exists at all, against plain enumeration, on random pieces of up to four bends."""
    rng = np.random.default_rng(3)
    outcomes = set()
    for _ in range(120):
        n = int(rng.integers(1, 5))
        piece = blank(rng.uniform(15, 120, n + 1).tolist(), [0.0] * n)

        def clamps(k: int, feed: str, made: int, piece: Blank = piece) -> bool:
            held, swept = free_lengths(piece, k, feed, made)  # type: ignore[arg-type]
            return held >= 55 and swept >= 60

        possible = any(
            all(
                any(clamps(k, feed, sum(1 << j for j in order[:i])) for feed in ("start", "end"))
                for i, k in enumerate(order)
            )
            for order in itertools.permutations(range(n))
        )
        assert isinstance(order_bends(piece, BenderRoom()), BendOrder) == possible
        outcomes.add(possible)
    assert outcomes == {True, False}


BENCH = Obstacle("bench", (-700.0, -300.0, -500.0), (400.0, 500.0, -60.0))


def test_a_leg_that_would_hang_through_the_bench_is_bent_the_other_way_round() -> None:
    # Turn of +90 degrees before bend 2: with bend 1 made and the start held, leg 1 hangs down from the bender.
    piece = blank([300, 400, 300], [0, 90])
    hit = held_hit(piece, 1, "start", 0b01, [BENCH], 5.0)
    assert hit is not None
    assert hit.box == "bench"
    room = BenderRoom(stop="leg")
    assert order_bends(piece, room) == BendOrder(steps=((0, "start"), (1, "start")))
    clear = order_bends(piece, replace(room, obstacles=(BENCH,), clearance=5.0))
    assert isinstance(clear, BendOrder)
    assert clear != BendOrder(steps=((0, "start"), (1, "start")))
    held_or_swept = [
        held_hit(piece, k, feed, sum(1 << j for j, _ in clear.steps[:i]), [BENCH], 5.0)
        or swept_hit(piece, k, feed, sum(1 << j for j, _ in clear.steps[:i]), [BENCH], 5.0)
        for i, (k, feed) in enumerate(clear.steps)
    ]
    assert held_or_swept == [None, None]


def test_a_plane_part_never_meets_a_bench_below_it() -> None:
    piece = blank([300, 400, 300], [0, 0])
    for k, feed, made in ((0, "start", 0), (1, "start", 1), (0, "end", 2)):
        assert held_hit(piece, k, feed, made, [BENCH], 5.0) is None  # type: ignore[arg-type]
        assert swept_hit(piece, k, feed, made, [BENCH], 5.0) is None  # type: ignore[arg-type]


@pytest.mark.parametrize("y", [300.0, 340.0, 352.0, 372.0, 380.0, 420.0])
def test_a_post_in_the_way_of_the_swept_leg_is_met_as_far_as_the_leg_reaches(y: float) -> None:
    # One bend, 300 mm beyond it. At the angle A the tip lies R - R cos A + (R pi/2 92/90 + 300 - R A) sin A high.
    piece = blank([300, 300], [0])
    a = np.linspace(0, QUARTER.set_angle_rad, 4000)
    tip = 80 - 80 * np.cos(a) + (QUARTER.used + 300 - 80 * a) * np.sin(a)
    reach = float(tip.max()) + 13.0 + 5.0  # half the tube and the clearance
    post = Obstacle("wall", (-1000.0, y, -100.0), (1000.0, y + 1000, 100.0))
    hit = swept_hit(piece, 0, "start", 0, [post], 5.0)
    if hit is None:
        assert y > reach - 0.5
    else:
        assert hit.lack == pytest.approx(reach - y, abs=0.5)


def test_what_lies_beyond_is_carried_round_the_die_without_slipping() -> None:
    # closed form: after 90 degrees a point R pi/2 + 100 along the tube lies at (R, R + 100)
    points = np.array([[80 * math.pi / 2 + 100, 0.0, 7.0]])
    assert sweep(points, 80.0, np.array([math.pi / 2]))[0, 0] == pytest.approx([80.0, 180.0, 7.0])


@pytest.mark.parametrize("forward", [1.0, -1.0])
def test_walking_a_side_visits_the_same_places_as_its_centreline(forward: float) -> None:
    steps = Steps((50.0, 80.0, 120.0), (1.2, 0.7), (0.4, -2.0), (60.0, 90.0))
    line = from_steps((5.0, 0.0, 0.0), (forward, 0.0, 0.0), (0.0, 0.0, forward), steps)
    assert walk(5.0, forward, steps) == pytest.approx(sample(line), abs=1e-9)


def test_no_order_past_a_box_names_the_box_and_the_lack() -> None:
    wall = Obstacle("wall", (-2000.0, 100.0, -2000.0), (2000.0, 120.0, 2000.0))
    found = order_bends(blank([300, 400, 300], [0, 0]), BenderRoom(obstacles=(wall,), clearance=5.0))
    assert isinstance(found, Shortfall)
    assert (found.kind, found.box, found.lack) == ("obstacle", "wall", pytest.approx(18.0 + 10.0, abs=1.0))


def test_bends_in_the_vice_do_not_look_at_the_bender() -> None:
    wall = Obstacle("wall", (-2000.0, 100.0, -2000.0), (2000.0, 120.0, 2000.0))
    piece = blank([300, 300], [0])
    vice = Blank(piece.straights, tuple(replace(b, on_bender=False) for b in piece.bends))
    assert isinstance(order_bends(vice, BenderRoom(obstacles=(wall,))), BendOrder)


def test_a_tube_of_ten_bends_gets_an_order() -> None:
    found = order_bends(blank([200.0] * 11, [0, 90] * 5), BenderRoom(obstacles=(BENCH,), clearance=5.0))
    assert isinstance(found, BendOrder)
    assert sorted(k for k, _ in found.steps) == list(range(10))


def test_stop_against_the_leg_is_its_tangent_point_plus_radius_and_half_the_tube() -> None:
    # closed form: the outside of a leg bent by 90 degrees lies R_f + D/2 beyond its tangent point
    piece = blank([300, 400, 300], [0, 0])
    assert piece.stop_leg(1, "start", 0b01) == pytest.approx(400 - 14 + QUARTER.radius + 13)
    assert piece.stop_leg(1, "start", 0) is None
    assert piece.stop_end(1, "start", 0b01) is None
    assert piece.stop_end(1, "start", 0) == pytest.approx(piece.mark(1, "start"))
    assert piece.stop_end(0, "end", 0) == pytest.approx(piece.length - piece.mark(0, "end"))


def test_a_leg_bent_by_less_than_a_right_angle_gives_no_stop() -> None:
    piece = blank([300, 400, 300], [0, 0], angle_rad=math.radians(85))
    assert piece.stop_leg(1, "start", 0b01) is None
