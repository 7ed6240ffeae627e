"""Whatever the sizes: forces on carrier and bicycle are in balance, and what tips, tips where the sums say."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pytest import approx

from handbarrow.laws.ride.body import Person, Posture, person_centre
from handbarrow.laws.ride.effort import resistance, speed_at_power, steepest, tow_power
from handbarrow.laws.ride.lifting import hand_loads
from handbarrow.laws.ride.loads import Bicycle, Carrier, bicycle_loads, carrier_loads
from handbarrow.laws.ride.mass import GRAVITY, MassPoint, centre_of, centres
from handbarrow.laws.ride.tipping import parked_tipping, tipping_threshold
from handbarrow.laws.ride.turning import follow, steady_turn, tightest_turn

places = st.floats(-500, 1500)
heights = st.floats(100, 1500)
carriers = st.builds(
    Carrier, axle=st.floats(-300, 300), track=st.floats(300, 1200), hitch=st.tuples(st.floats(800, 2500), heights)
)
slopes = st.floats(-0.3, 0.3)
pulls = st.floats(-3, 3)


@given(carriers, st.floats(5, 300), st.tuples(places, st.floats(-100, 100), heights), slopes, pulls, pulls)
def test_carrier_is_in_balance(
    carrier: Carrier, mass: float, at: tuple[float, float, float], slope: float, ahead: float, aside: float
) -> None:
    found = carrier_loads(
        carrier, mass, at, slope_rad=slope, ahead_m_s2=ahead, aside_m_s2=aside, rolling=0.02, brake=30.0
    )
    down, back, out = (
        mass * GRAVITY * math.cos(slope), mass * (GRAVITY * math.sin(slope) + ahead), mass * aside,
    )  # fmt: skip
    drag = float(found.pull) - back - 30
    wheel_side = out - float(found.sideways)
    # forces on the carrier and where they act; x forward, y outwards, z up
    acting = [
        ((at[0], at[1], at[2]), (-back, out, -down)),
        ((carrier.hitch[0], 0, carrier.hitch[1]), (float(found.pull), -float(found.sideways), float(found.hitch))),
        ((carrier.axle, carrier.track / 2, 0), (0, 0, float(found.outer))),
        ((carrier.axle, -carrier.track / 2, 0), (0, 0, float(found.inner))),
        ((carrier.axle, 0, 0), (-drag - 30, -wheel_side, 0)),
    ]
    force = np.sum([f for _, f in acting], axis=0)
    moment = np.sum([np.cross(p, f) for p, f in acting], axis=0)
    size = down + abs(back) + abs(out) + 1
    assert force == approx(0, abs=1e-9 * size)
    assert moment[0] == approx(0, abs=1e-6 * size), "rolling over"
    assert moment[1] == approx(0, abs=1e-6 * size), "pitching"
    assert drag == approx(0.02 * max(float(found.wheels), 0.0), abs=1e-9 * size)


@given(carriers, st.floats(5, 300), st.tuples(places, st.just(0.0), heights))
def test_inner_wheel_lifts_at_the_threshold(carrier: Carrier, mass: float, at: tuple[float, float, float]) -> None:
    g = float(tipping_threshold(carrier, at))
    assume(0 < g < 50)
    found = carrier_loads(carrier, mass, at, aside_m_s2=g * GRAVITY)
    assert float(found.inner) == approx(0, abs=1e-6 * mass * GRAVITY)
    before = carrier_loads(carrier, mass, at, aside_m_s2=0.9 * g * GRAVITY)
    assert float(before.inner) > 0


@given(st.floats(0, 500), st.floats(-500, 500), slopes, pulls)
def test_bicycle_is_in_balance(hitch: float, pull: float, slope: float, ahead: float) -> None:
    bicycle = Bicycle(mass_kg=85, wheelbase=1050, centre=(450, 1000), hitch=(-80, 600))
    found = bicycle_loads(bicycle, hitch, pull, slope_rad=slope, ahead_m_s2=ahead)
    down, back = 85 * GRAVITY * math.cos(slope), 85 * (GRAVITY * math.sin(slope) + ahead)
    assert float(found.rear + found.front) == approx(down + hitch)
    assert float(found.drive) == approx(back + pull)
    # about the rear wheel's foot; a force forward at height z turns the nose down by -z F
    nose = 1050 * float(found.front) - 450 * down + 80 * hitch + 1000 * back + 600 * pull
    assert nose == approx(0, abs=1e-6 * (down + hitch + abs(pull)) * 1000)


feet = st.lists(st.tuples(st.integers(-10, 10), st.integers(-5, 5)), min_size=3, max_size=7, unique=True)


@given(feet, st.floats(-0.9, 0.9), st.floats(-0.9, 0.9), st.floats(2, 10))
def test_parked_carrier_tips_where_its_plumb_line_leaves_its_feet(
    spots: list[tuple[int, int]], a: float, b: float, high: float
) -> None:
    points = np.array(spots, float)
    flat = np.linalg.matrix_rank(points[1:] - points[0]) < 2
    assume(not flat)
    share = np.full(len(points), 1 / len(points))
    middle = share @ points + np.array([a, b])
    found = parked_tipping([tuple(p) for p in points.tolist()], (middle[0], middle[1], high))  # type: ignore[misc]
    for way, slope in (
        ((1, 0), found.forward),
        ((-1, 0), found.backward),
        ((0, 1), found.left),
        ((0, -1), found.right),
    ):
        reach = high * math.tan(slope)
        for factor, inside in ((0.99, True), (1.01, False)):
            if slope > 1e-3:
                foot = middle + np.array(way) * reach * factor
                assert _within(points, foot) == inside
        if slope < -1e-3:
            assert not _within(points, middle)


def _within(points: np.ndarray, spot: np.ndarray) -> bool:  # type: ignore[type-arg]
    """Whether a spot can be mixed of the points with shares of 0 and more: judged by every triangle of them."""
    n = len(points)
    for i in range(n):
        for j in range(i + 1, n):
            for k in range(j + 1, n):
                rows = np.vstack((points[[i, j, k]].T, np.ones(3)))
                if abs(np.linalg.det(rows)) > 1e-9 and (np.linalg.solve(rows, [*spot, 1.0]) >= -1e-9).all():
                    return True
    return False


@given(st.floats(30, 130), st.floats(1400, 2000), st.floats(0, 1.5), st.floats(0, 1.0), st.floats(0, 1.5))
def test_head_to_the_front_is_the_mirror_of_head_to_the_back(
    mass: float, tall: float, back: float, thigh: float, shank: float
) -> None:
    person = Person(mass_kg=mass, stature=tall)
    bent = {"back_rad": back, "thigh_rad": thigh, "shank_rad": shank}
    front = person_centre(person, Posture(hip=(0, 0, 0), head="front", **bent))  # type: ignore[arg-type]
    rear = person_centre(person, Posture(hip=(0, 0, 0), head="back", **bent))  # type: ignore[arg-type]
    assert (front.at[0], front.at[2]) == approx((-rear.at[0], rear.at[2]))
    assert front.mass_kg == approx(mass)
    assert math.hypot(front.at[0], front.at[2]) < 0.3 * tall


@given(st.lists(st.tuples(st.floats(0.1, 50), places, places, heights), min_size=1, max_size=6))
def test_centre_of_many_sets_is_each_by_itself(rows: list[tuple[float, float, float, float]]) -> None:
    points = [MassPoint(name=str(i), mass_kg=m, at=(x, y, z)) for i, (m, x, y, z) in enumerate(rows)]
    mass, at = np.array([p.mass_kg for p in points]), np.array([p.at for p in points])
    whole, middle = centres(np.stack((mass, 2 * mass)), np.stack((at, at + 5)))
    assert middle[0] == approx(centre_of(points).at) and middle[1] == approx(middle[0] + 5)
    assert whole.tolist() == approx([mass.sum(), 2 * mass.sum()])


@given(st.floats(100, 900), st.floats(-100, 100), st.floats(50, 2000))
def test_carriers_hold_a_load_in_balance(x: float, y: float, weight: float) -> None:
    hands = np.array([(0, 300), (0, -300), (1000, 300), (1000, -300)], float)
    each = hand_loads(hands, weight, (x, y))
    assert each.sum() == approx(weight)
    assert each @ hands / weight == approx(np.array([x, y]), abs=1e-6)


@given(st.floats(20, 400), st.floats(60, 300), st.floats(0.002, 0.1), st.floats(-0.02, 0.15))
def test_speed_at_a_power_needs_that_power(power: float, mass: float, rolling: float, grade: float) -> None:
    speed = float(speed_at_power(power, mass, rolling, grade))
    needs = float(tow_power(resistance(mass, rolling, grade, speed).total, speed))
    assert needs == approx(power, rel=1e-6)
    force = float(resistance(mass, rolling, grade).total)
    assert float(steepest(force, mass, rolling)) == approx(grade, abs=1e-9)


@settings(max_examples=20)
@given(st.floats(0, 300), st.floats(900, 2000), st.floats(1.05, 3.0))
def test_carrier_pulled_round_and_round_runs_on_the_circle_of_the_sums(
    behind: float, reach: float, times: float
) -> None:
    turn = steady_turn(times * reach, behind, reach, wheelbase=1050, half_width=400, tail=900)
    angle = np.linspace(0, 24.0, 1201)
    path = float(turn.hitch) * np.column_stack((np.sin(angle), 1 - np.cos(angle))) - [0, float(turn.hitch)]
    end = follow(path, reach, 0.0)[-1]
    assert math.hypot(*end) == approx(float(turn.axle), rel=2e-3)
    assert tightest_turn(behind, reach, float(turn.bend_rad)) == approx(float(turn.rear), rel=1e-6)
    assert turn.outside >= turn.axle + 400 and turn.swing > 0


@given(st.floats(500, 2000), st.floats(-1.5, 1.5), st.floats(10, 5000))
def test_carrier_pulled_straight_swings_in_as_the_tractrix_says(reach: float, off: float, way: float) -> None:
    # however the straight is cut into pieces, the answer is the same; the drawbar keeps its length
    once = follow([(0, 0), (way, 0)], reach, off)
    cut = follow(np.column_stack((np.linspace(0, way, 8), np.zeros(8))), reach, off)
    assert cut[-1] == approx(once[-1])
    assert math.hypot(once[-1][0] - way, once[-1][1]) == approx(reach)
    assert math.tan(math.asin(abs(once[-1][1]) / reach) / 2) == approx(
        abs(math.tan(off / 2)) * math.exp(-way / reach), abs=1e-9
    )
