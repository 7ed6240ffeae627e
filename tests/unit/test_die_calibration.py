"""Test bends to a die's law. Closed forms; numpy's polynomial fit is the reference."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbarrow.laws.bending.calibration import (
    finished_angle,
    fit_set_angle_law,
    length_used,
    radius_as_made,
    set_angle,
    stretch_per_radian,
)


def test_law_and_uncertainty_agree_with_a_general_fit() -> None:
    # reference: numpy.polyfit with its covariance
    rng = np.random.default_rng(7)
    x = np.radians([20, 20, 60, 60, 110, 110])
    y = 0.984 * x - 0.01 + rng.normal(0, 0.005, 6)
    law = fit_set_angle_law(x.tolist(), y.tolist())
    (slope, constant), covariance = np.polyfit(x, y, 1, cov=True)
    assert law.a == pytest.approx(slope)
    assert -law.b_rad == pytest.approx(constant)
    assert law.u_a == pytest.approx(math.sqrt(covariance[0, 0]))
    assert law.u_b_rad == pytest.approx(math.sqrt(covariance[1, 1]))
    row = np.array([math.radians(90), 1.0])
    assert law.systematic_rad(math.radians(90)) == pytest.approx(math.sqrt(row @ covariance @ row))


@pytest.mark.parametrize(
    ("each", "wanted"), [(1, (0.25, 0.29, 0.43)), (2, (0.18, 0.20, 0.30)), (3, (0.14, 0.16, 0.25))]
)
def test_three_angles_give_the_known_spread_at_45_90_and_120_degrees(
    each: int, wanted: tuple[float, float, float]
) -> None:
    # computed here by simulation (measuring 0.25, tube 0.3 degrees): standard deviation [degrees], angles 20/60/110
    x = np.radians([20, 60, 110] * each)
    law = fit_set_angle_law(x.tolist(), (0.98 * x + np.tile([1e-4, -1e-4, 1e-4], each)).tolist())
    one = math.hypot(0.25, 0.3)
    for at, degrees in zip((45, 90, 120), wanted, strict=True):
        spread = law.systematic_rad(math.radians(at)) or 0.0
        assert spread / (law.scatter_rad or 1.0) * one == pytest.approx(degrees, abs=0.02)


def test_two_test_bends_fix_a_line_but_no_uncertainty() -> None:
    law = fit_set_angle_law([0.5, 1.5], [0.47, 1.45])
    assert law.a == pytest.approx(0.98)
    assert law.u_a is None
    assert law.systematic_rad(1.0) is None


@pytest.mark.parametrize(("sets", "got"), [([1.0], [0.9]), ([1.0, 1.0], [0.9, 0.91]), ([], [])])
def test_bends_at_one_angle_fix_no_line(sets: list[float], got: list[float]) -> None:
    with pytest.raises(ValueError, match="fix no line"):
        fit_set_angle_law(sets, got)


def test_unpaired_test_bends_are_refused() -> None:
    with pytest.raises(ValueError, match="do not pair up"):
        fit_set_angle_law([1.0, 2.0], [0.9])


@given(angle=st.floats(0.05, 3.0), a=st.floats(0.9, 1.0), b=st.floats(0, 0.05), radius=st.floats(20, 200))
def test_the_arc_keeps_its_length_while_it_springs_back(angle: float, a: float, b: float, radius: float) -> None:
    made = radius_as_made(radius, angle, a, b)
    assert finished_angle(set_angle(angle, a, b), a, b) == pytest.approx(angle)
    assert made * angle == pytest.approx(radius * set_angle(angle, a, b))
    assert made >= radius
    assert length_used(made, angle, 0.0) == pytest.approx(made * angle)


def test_stretch_is_what_a_measured_blank_says() -> None:
    # closed form: bend a blank with a known stretch, measure it, get the stretch back
    radius, sets, stretch = 80.0, [0.8, 1.2, 1.6], 0.57
    angles = [0.984 * s - 0.01 for s in sets]
    straights = [200.0, 100.0, 100.0, 200.0]
    blank = sum(straights) + sum(radius * s - stretch * a for s, a in zip(sets, angles, strict=True))
    assert stretch_per_radian(blank, straights, radius, sets, sum(angles)) == pytest.approx(stretch)
