"""Loads that lie on several tubes: force and moment of what is shared out are those of the load, whatever the tubes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.laws.frame.spreading import accelerations, blow, inertia, spread

THREE = st.tuples(*[st.floats(-1000, 1000)] * 3)
LINES = st.lists(st.tuples(THREE, THREE), min_size=2, max_size=5)


def resultant(
    starts: np.ndarray, ends: np.ndarray, first: np.ndarray, last: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Force and moment about the origin, by Simpson's rule: exact for force per length and arm that change evenly."""
    size = np.linalg.norm(ends - starts, axis=1)[:, None]
    middle, half = (starts + ends) / 2, (first + last) / 2
    force = (size / 6 * (first + 4 * half + last)).sum(axis=0)
    arms = np.cross(starts, first) + 4 * np.cross(middle, half) + np.cross(ends, last)
    return force, (size / 6 * arms).sum(axis=0)


@settings(max_examples=150, deadline=None)
@given(LINES, THREE, THREE)
def test_what_lies_on_tubes_has_the_force_and_the_moment_of_the_load(
    lines: list[tuple[tuple[float, float, float], tuple[float, float, float]]],
    force: tuple[float, float, float],
    at: tuple[float, float, float],
) -> None:
    starts, ends = (np.array([line[k] for line in lines], float) for k in (0, 1))
    rows = np.concatenate((starts, ends)) - np.concatenate((starts, ends)).mean(axis=0)
    if np.linalg.svd(rows, compute_uv=False)[1] < 50 or np.linalg.norm(ends - starts, axis=1).min() < 20:
        return  # nearly one line, or a tube without length: told apart by the next test
    f, p = np.array(force), np.array(at)
    got, turned = resultant(starts, ends, *spread(starts, ends, f, p))
    size = max(float(np.abs(f).max()), 1.0)
    assert np.allclose(got, f, atol=1e-7 * size)
    assert np.allclose(turned, np.cross(p, f), atol=1e-3 * size)


def test_one_tube_alone_cannot_carry_what_lies_beside_it() -> None:
    starts, ends = np.array([[0.0, 0.0, 0.0]]), np.array([[1000.0, 0.0, 0.0]])
    with pytest.raises(ValueError, match="one line"):
        spread(starts, ends, np.array([0.0, 0.0, -500.0]), np.array([500.0, 40.0, 0.0]))
    first, last = spread(starts, ends, np.array([0.0, 0.0, -500.0]), np.array([500.0, 0.0, 0.0]))
    assert first == pytest.approx(np.array([[0, 0, -0.5]])) and last == pytest.approx(np.array([[0, 0, -0.5]]))


def test_a_load_over_one_rail_is_carried_by_that_rail() -> None:
    # closed form: two rails 400 apart; force per length falls evenly from one to the other, 1 + 3 x and 1 - 3 x share
    starts, ends = np.array([[0, 200.0, 0], [0, -200.0, 0]]), np.array([[1000.0, 200.0, 0], [1000.0, -200.0, 0]])
    first, _ = spread(starts, ends, np.array([0.0, 0.0, -1000.0]), np.array([500.0, 200.0, 0.0]))
    assert first[:, 2] == pytest.approx([-1.0, 0.0], abs=1e-12)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.floats(0.1, 50), THREE), min_size=3, max_size=8), THREE, THREE)
def test_forces_of_moving_masses_balance_a_blow(
    bodies: list[tuple[float, tuple[float, float, float]]],
    force: tuple[float, float, float],
    at: tuple[float, float, float],
) -> None:
    masses, places = np.array([b[0] for b in bodies]), np.array([b[1] for b in bodies])
    _, _, turning = inertia(masses, places)
    if np.linalg.eigvalsh(turning)[0] < 1e3:
        return  # all on one line: nothing resists a turn about it
    f, p = np.array(force), np.array(at)
    against = -masses[:, None] * accelerations(blow(masses, places, f, p), places) / 1000
    size = max(float(np.abs(f).max()), 1.0)
    assert np.allclose(against.sum(axis=0) + f, 0.0, atol=1e-7 * size)
    assert np.allclose(np.cross(places, against).sum(axis=0) + np.cross(p, f), 0.0, atol=1e-2 * size)
