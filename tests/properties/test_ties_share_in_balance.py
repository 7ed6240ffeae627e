"""Whatever is tied to whatever: each piece gets from its ties what the frame says it gets, and no tie makes force."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.laws.frame.stiff_ties import moved_wrench, tie_forces

# equilibrium is the outside reference: sums of forces and moments, computed here


@st.composite
def clusters(draw: st.DrawFn):  # type: ignore[no-untyped-def]
    count = draw(st.integers(2, 7))
    seed = draw(st.integers(0, 2**31))
    rng = np.random.default_rng(seed)
    pairs = [(int(rng.integers(0, k)), k) for k in range(1, count)]
    rings = draw(st.integers(0, 2))
    pairs += [(a, b) for a, b in ((int(rng.integers(count)), int(rng.integers(count))) for _ in range(rings)) if a != b]
    places, at = rng.normal(0, 50, (count, 3)), rng.normal(0, 50, (len(pairs), 3))
    gets = rng.normal(0, 100, (3, count, 6))
    gets[:, 0] = 0.0  # the first gets what balances all others
    gets[:, 0] = -sum(moved_wrench(gets[:, k], places[k] - places[0]) for k in range(count))
    return places, gets, pairs, at


def summed(places, pairs, at, forces):  # type: ignore[no-untyped-def]
    out = np.zeros((len(forces), len(places), 6))
    for e, (a, b) in enumerate(pairs):
        out[:, a] += moved_wrench(forces[:, e], at[e] - places[a])
        out[:, b] -= moved_wrench(forces[:, e], at[e] - places[b])
    return out


@settings(max_examples=60, deadline=None)
@given(clusters())
def test_every_piece_is_in_balance_with_its_ties(found) -> None:  # type: ignore[no-untyped-def]
    places, gets, pairs, at = found
    forces = tie_forces(places, gets, pairs, at, 15.0)
    assert np.allclose(summed(places, pairs, at, forces), gets, atol=1e-5 * np.abs(gets).max())


def test_two_ties_alike_carry_half_each() -> None:
    places = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]])
    gets = np.zeros((1, 2, 6))
    gets[0, 0, 2], gets[0, 1, 2] = 100.0, -100.0
    at = np.array([[50.0, 0.0, 0.0], [-50.0, 0.0, 0.0]])
    forces = tie_forces(places, gets, [(0, 1), (0, 1)], at, 1e-3)
    assert np.allclose(forces[0, :, 2], 50.0)


def test_what_hangs_on_nothing_else_is_reckoned_apart() -> None:
    places = np.zeros((4, 3))
    gets = np.zeros((1, 4, 6))
    gets[0, :, 0] = (5.0, -5.0, 7.0, -7.0)
    forces = tie_forces(places, gets, [(0, 1), (2, 3)], np.zeros((2, 3)), 15.0)
    assert forces[0, :, 0].tolist() == [5.0, 7.0]
