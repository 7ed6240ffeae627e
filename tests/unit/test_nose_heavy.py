"""The lying person rides a little nose-heavy: a cot that pivots before the axle, carried head backwards.

Common practice, no source: with the cot's pivot 140 mm in front of the axle plates such a person balances a little
nose-heavy. All sizes here are invented: a trailer of the mountain-hut co-operative.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

import numpy as np
import pytest

from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.ride.body import HIP_DEPTH, Person, Posture, person_centre
from handbarrow.laws.ride.braking import braking, stopping_distance, stopping_limit
from handbarrow.laws.ride.loads import Bicycle, Carrier, bicycle_loads, carrier_loads, lifting_slope, positions_in_band
from handbarrow.laws.ride.mass import GRAVITY, MassPoint, centre_of
from handbarrow.laws.ride.people import PEOPLE
from handbarrow.laws.ride.tipping import (
    kerb_jump,
    parked_tipping,
    parking_slope,
    tipping_threshold,
    turning_speed,
)

AXLE, PIVOT, BED, COT_LENGTH = 0.0, 140.0, 520.0, 1980.0
TRAILER = Carrier(axle=AXLE, track=760.0, hitch=(1650.0, 640.0))
FRAME = MassPoint(name="frame and wheels", mass_kg=21.0, at=(160.0, 0.0, 360.0))
COT = MassPoint(name="cot", mass_kg=11.0, at=(PIVOT, 0.0, BED))
BAND = (20.0, 160.0)
"""What the workshop wants on the hitch [N]."""
BICYCLE = Bicycle(mass_kg=88.0, wheelbase=1080.0, centre=(450.0, 1000.0), hitch=(-60.0, 640.0))


def lying(person: Person, head: Literal["front", "back"] = "back", back_rad: float = 0.0) -> MassPoint:
    """On the cot with the soles 40 mm from its end; the cot is pivoted in its middle."""
    feet = PIVOT + (1 if head == "back" else -1) * (COT_LENGTH / 2 - 40.0)
    hip = feet + (-1 if head == "back" else 1) * 0.530 * person.stature
    return person_centre(person, Posture(hip=(hip, 0.0, BED + HIP_DEPTH), head=head, back_rad=back_rad))


def together(*parts: MassPoint) -> tuple[float, Vec3]:
    whole = centre_of([FRAME, COT, *parts])
    return whole.mass_kg, whole.at


@pytest.mark.parametrize("known", PEOPLE, ids=lambda known: known.key)
def test_person_carried_head_backwards_presses_on_the_hitch_within_the_band(known) -> None:  # type: ignore[no-untyped-def]
    loads = carrier_loads(TRAILER, *together(lying(known.person)))
    assert BAND[0] <= float(loads.hitch) <= BAND[1]
    assert float(loads.wheels + loads.hitch) == pytest.approx(together(lying(known.person))[0] * GRAVITY)
    assert float(loads.pull) == 0


def test_a_small_person_weighs_less_on_the_hitch_head_forward() -> None:
    person = PEOPLE[0].person
    backward = float(carrier_loads(TRAILER, *together(lying(person))).hitch)
    forward = float(carrier_loads(TRAILER, *together(lying(person, "front"))).hitch)
    # by hand: soles at 1090, centre 0.5816 x 1599 behind them; soles at -810, centre as far before them
    assert (forward - backward) * 1650 == pytest.approx(58.7 * GRAVITY * (2 * 930.0 - 810.0 - 1090.0), rel=0.01)


def test_empty_trailer_stays_on_its_hitch() -> None:
    mass, at = together()
    assert float(carrier_loads(TRAILER, mass, at).hitch) == pytest.approx(32 * GRAVITY * at[0] / 1650)
    assert at[0] == pytest.approx((21 * 160 + 11 * 140) / 32)


def test_with_the_pivot_over_the_axle_a_tall_person_lifts_the_hitch_uphill() -> None:
    tall = next(known.person for known in PEOPLE if known.key == "man 95 %")
    assert float(carrier_loads(TRAILER, *together(lying(tall))).hitch) > 0
    moved = replace(lying(tall), at=(lying(tall).at[0] - PIVOT, *lying(tall).at[1:]))
    cot = replace(COT, at=(0.0, 0.0, BED))
    whole = centre_of([FRAME, cot, moved])
    assert float(carrier_loads(TRAILER, whole.mass_kg, whole.at).hitch) < 0


def test_shift_of_the_cot_that_keeps_the_band_on_every_hill() -> None:
    person = PEOPLE[5].person
    load = centre_of([COT, lying(person)])
    hills = np.arctan([-0.1, 0.0, 0.1])
    given = positions_in_band(TRAILER, (FRAME.mass_kg, FRAME.at), (load.mass_kg, load.at), BAND, slopes_rad=hills)
    assert given is not None
    low, high = given
    assert low < 0 < high, "the built position lies within it"
    for shift, end in ((low, min), (high, max)):
        at = (load.at[0] + shift, *load.at[1:])
        whole = centre_of([FRAME, replace(load, at=at)])
        hitch = carrier_loads(TRAILER, whole.mass_kg, whole.at, slope_rad=hills).hitch
        assert float(end(hitch)) == pytest.approx(BAND[0] if end is min else BAND[1])
    assert (
        positions_in_band(TRAILER, (FRAME.mass_kg, FRAME.at), (load.mass_kg, load.at), (50, 51), slopes_rad=hills)
        is None
    )


def test_raised_back_makes_the_nose_heavier_and_the_trailer_tip_sooner() -> None:
    person = PEOPLE[5].person
    flat, raised = together(lying(person)), together(lying(person, back_rad=math.radians(45)))
    assert float(carrier_loads(TRAILER, *raised).hitch) > float(carrier_loads(TRAILER, *flat).hitch)
    assert float(tipping_threshold(TRAILER, raised[1])) < float(tipping_threshold(TRAILER, flat[1]))
    assert raised[1][2] > flat[1][2] + 80


def test_steepest_hill_is_where_the_hitch_load_is_nought() -> None:
    mass, at = together(lying(PEOPLE[0].person))
    high = (at[0], 0.0, 900.0)
    slope = float(lifting_slope(TRAILER, high))
    assert float(carrier_loads(TRAILER, mass, high, slope_rad=slope).hitch) == pytest.approx(0, abs=1e-9)
    assert float(lifting_slope(TRAILER, at)) == math.pi / 2, "its centre lies below the hitch"


def test_on_three_wheels_in_a_turn_exactly_at_the_threshold() -> None:
    mass, at = together(lying(PEOPLE[5].person))
    g = float(tipping_threshold(TRAILER, at))
    loads = carrier_loads(TRAILER, mass, at, aside_m_s2=g * GRAVITY)
    assert float(loads.inner) == pytest.approx(0, abs=1e-9)
    assert float(loads.outer) == pytest.approx(float(loads.wheels))
    speed = float(turning_speed(g, 4000.0))
    assert (speed / 1000) ** 2 / 4.0 == pytest.approx(g * GRAVITY)
    assert 3.0 < speed / 1000 * 3.6 < 30.0
    assert float(turning_speed(g, 4000.0, track=760, kerb=100.0)) < speed
    assert float(turning_speed(g, 4000.0, track=760, kerb=500.0)) == 0


def test_kerb_throws_only_a_fast_trailer() -> None:
    # closed form by hand: R 330, k 80: rise = sqrt(2 x 330 x 80 - 6400) / 250
    jump = kerb_jump(760.0, (380.0, 600.0), 250.0, 330.0, 80.0)
    assert jump is not None
    radius, now = math.hypot(380, 600), math.atan2(600, 380) + math.asin(80 / 760)
    rate = math.sqrt(2 * 9806.65 * radius * (1 - math.sin(now)) / (radius**2 + 250**2))
    assert jump.throws_mm_s == pytest.approx(rate * 760 * 250 / math.sqrt(52_800 - 6400))
    low = kerb_jump(760.0, (380.0, 600.0), 250.0, 330.0, 30.0)
    assert low is not None
    assert low.throws_mm_s > jump.throws_mm_s and low.lean_rad < jump.lean_rad
    assert kerb_jump(760.0, (380.0, 600.0), 250.0, 330.0, 400.0) is None


def test_braking_downhill_pushes_the_bicycle() -> None:
    mass, at = together(lying(PEOPLE[5].person))
    straight = braking(TRAILER, mass, at, BICYCLE, slowing_m_s2=1.5, downhill_rad=math.atan(0.08))
    assert float(straight.push) == pytest.approx(mass * (1.5 + GRAVITY * math.sin(math.atan(0.08))))
    total = (mass + 88) * (1.5 + GRAVITY * math.sin(math.atan(0.08)))
    assert float(straight.braked) == pytest.approx(total)
    bent = braking(
        TRAILER, mass, at, BICYCLE, slowing_m_s2=1.5, downhill_rad=math.atan(0.08), bend_rad=np.radians([0, 20, 40])
    )
    assert (np.diff(bent.rear_use) > 0).all(), "the more it is bent, the nearer to folding up"
    eased = braking(TRAILER, mass, at, BICYCLE, slowing_m_s2=1.5, downhill_rad=math.atan(0.08), carrier_brake=250.0)
    assert float(eased.push) == pytest.approx(float(straight.push) - 250)


def test_hardest_braking_is_at_the_grip_or_at_the_lifting_rear_wheel() -> None:
    mass, at = together(lying(PEOPLE[5].person))
    for hill in (0.0, 0.05, 0.1):
        most = stopping_limit(TRAILER, mass, at, BICYCLE, downhill_rad=math.atan(hill), grip=0.5)
        done = braking(TRAILER, mass, at, BICYCLE, slowing_m_s2=most, downhill_rad=math.atan(hill))
        grip = float(done.braked / (done.rear + done.front))
        assert grip == pytest.approx(0.5) or float(done.rear) == pytest.approx(0, abs=1e-6)
    assert float(stopping_distance(15_000 / 3.6, 2.0)) == pytest.approx(4166.7 + 4340.3, abs=0.1)


def test_bicycle_alone_stands_on_both_wheels() -> None:
    loads = bicycle_loads(BICYCLE, 0.0, 0.0)
    assert [float(loads.front), float(loads.rear)] == pytest.approx(
        [88 * GRAVITY * 450 / 1080, 88 * GRAVITY * 630 / 1080]
    )
    hung = bicycle_loads(BICYCLE, 100.0, 0.0)
    assert float(hung.front) < float(loads.front), "the hitch hangs behind the rear axle"


def test_parked_trailer_stands_on_wheels_and_stand() -> None:
    _, at = together(lying(PEOPLE[5].person))
    feet = [(0.0, 380.0), (0.0, -380.0), (1500.0, 0.0)]
    slopes = parked_tipping(feet, at)
    assert slopes.backward == pytest.approx(math.atan2(at[0], at[2]))
    assert slopes.left == slopes.right < slopes.forward
    assert slopes.any <= min(slopes.left, slopes.backward)
    behind = parked_tipping(feet, (-50.0, 0.0, 600.0))
    assert behind.backward < 0, "it sits down on its tail on the level"


def test_braked_wheels_hold_until_they_slip_or_the_brake_gives() -> None:
    # by hand: at the slope found, W sin = friction x load on the wheels
    centre, friction, foot = (150.0, 0.0, 600.0), 0.4, 1500.0
    for nose, sign in (("up", 1), ("down", -1)):
        slope = parking_slope(0.0, foot, centre, friction, nose=nose)  # type: ignore[arg-type]
        wheels = (math.cos(slope) * (foot - 150) + sign * 600 * math.sin(slope)) / foot
        assert math.sin(slope) == pytest.approx(friction * wheels)
    weak = parking_slope(0.0, foot, centre, friction, brake=100.0, weight=1000.0)
    assert math.sin(weak) == pytest.approx(0.1)
