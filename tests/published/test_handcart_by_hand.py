"""The market handcart by hand: levers, a beam with overhanging ends, weights. Closed forms, computed here.

Nothing here reads the frame that the program built; only its answers are looked at.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from examples_checked import checked, example_job
from handbarrow.job.frame_values import LoadedCase, Worst
from handbarrow.laws.frame.cold_bends import left_after_bending
from handbarrow.laws.geometry.section import Section

G = 9.81
BED_REAR, BED_LENGTH, HANDLE_X, WHEEL_RADIUS = -560.0, 1000.0, -460.0, 332.5
CRATES_KG, CRATES_X = 100.0, BED_REAR + BED_LENGTH / 2


def case(name: str) -> LoadedCase:
    return next(c for c in checked("handcart")[0].cases if c.id == name)


def worst(part: str) -> Worst:
    return next(w for w in checked("handcart")[0].worst if w.part == part)


def test_hands_carry_what_the_lever_says() -> None:
    # moments about the axle: load and own weight against the hands at the grips
    job = example_job("handcart")
    own = job.masses[-1]
    assert own.centre is not None
    grip = job.design.part("grip").shape.at  # type: ignore[union-attr]
    assert grip is not None
    hands = G * (CRATES_KG * CRATES_X + own.mass_kg * own.centre[0]) / grip[0]
    found = case("standing")
    assert sum(force[2] for _, force in found.hands) == pytest.approx(hands, rel=0.015)
    # the frame is drawn to the axes and so weighs 1 % more than the metal: that is the tolerance
    whole = G * (CRATES_KG + own.mass_kg)
    assert sum(force[2] for force in found.ground) == pytest.approx(whole - hands, rel=0.01)
    assert found.ground[0][2] == pytest.approx(found.ground[1][2], rel=1e-6)


def test_the_axle_bends_as_a_beam_with_overhanging_ends() -> None:
    # each wheel stands 35 + 3 + 5 mm outside the plate's face at 300 mm, and leans inward on the ground; between the
    # plates the moment stays, and the bar's own weight adds w L^2 / 8; round bar 16: W = pi d^3 / 32
    found = case("bump-3g")
    wheel_kg, overhang, between = 2.4, 43.0, 600.0
    up, side = found.ground[0][2], found.ground[0][1]
    own = 3 * G * 7.85e-6 * math.pi * 16**2 / 4 * between**2 / 8
    moment = (up - 3 * G * wheel_kg) * overhang - abs(side) * WHEEL_RADIUS + own
    stress = moment / (math.pi * 16**3 / 32)
    assert worst("axle").case == "bump-3g"
    assert worst("axle").stress_mpa == pytest.approx(stress, rel=0.015)  # the plates' pull along it is not in the sum
    assert abs(worst("axle").at[1]) < 300.5


def test_wheels_share_a_side_slope_as_track_and_height_say() -> None:
    # moments about the line on which one wheel stands; hands take next to nothing sideways
    job = example_job("handcart")
    own = job.masses[-1]
    assert own.centre is not None
    track = job.product.results["track"]
    found = case("slope-right")
    (left, right), tilt = found.ground, math.radians(10)
    height = (CRATES_KG * (job.product.results["bed_height"] - 26.9 / 2 + 250) + own.mass_kg * own.centre[2]) * G
    across = height * math.sin(tilt)
    hands = sum(force[1] * 840 for _, force in found.hands) - sum(
        force[2] * y for (_, force), y in zip(found.hands, (180, -180), strict=True)
    )
    assert (right[2] - left[2]) * track / 2 == pytest.approx(across - hands, rel=0.02)


def test_forces_of_every_case_balance_what_acts() -> None:
    # what ground and hands put on the cart is its whole weight times what pulls on it
    kg = (sum(f[2] for f in case("standing").ground) + sum(f[2] for _, f in case("standing").hands)) / G
    for found in checked("handcart")[0].cases:
        assert found.state == "solved"
        put = np.sum([*found.ground, *(force for _, force in found.hands)], axis=0)
        pulls = {"bump-2g": (0, 0, 2), "bump-3g": (0, 0, 3), "pull-off": (0.3, 0, 1), "braking": (-0.3, 0, 1),
                 "turning-left": (0, 0.3, 1), "turning-right": (0, -0.3, 1),
                 "slope-left": (0, -math.sin(math.radians(10)), math.cos(math.radians(10))),
                 "slope-right": (0, math.sin(math.radians(10)), math.cos(math.radians(10)))}  # fmt: skip
        wanted = np.array(pulls.get(found.id, (0, 0, 1))) * G * kg
        assert put == pytest.approx(wanted, abs=0.005 * G * kg), found.id
        assert found.residual < 1e-7


def test_a_cold_bend_keeps_what_the_shape_factor_leaves() -> None:
    # closed forms: thin ring 4 / pi, rectangle 3 / 2, round bar 16 / (3 pi)
    thin = Section(shape="round tube", height=100, width=100, wall=0.1)
    assert left_after_bending(thin) == pytest.approx(2 - 4 / math.pi, abs=2e-3)
    assert left_after_bending(Section(shape="flat", height=20, width=5)) == pytest.approx(0.5)
    assert left_after_bending(Section(shape="round bar", height=12, width=12)) == pytest.approx(2 - 16 / (3 * math.pi))
