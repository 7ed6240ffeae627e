"""Contacts that push and never pull: which of them touch under each load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.factor import Factor
from handbarrow.laws.frame.model import Model

__all__ = ["Touching", "touching"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ALL_AT_ONCE = 20
"""Rounds in which every wrong contact is changed; after them one by one, which always ends."""
ROUNDS = 400


@dataclass(frozen=True, slots=True)
class Touching:
    """What came out.

    Attributes:
        moved: (q, c) movements with every contact closed, pushing or pulling.
        pressed: (q, k) what each contact puts on the movements for what its gap is short of.
        touch: (c, k) which contacts push.
        settled: (c,) whether a state was found in which no contact pulls and none is passed through.
    """

    moved: Floats
    pressed: Floats
    touch: Bools
    settled: Bools


def touching(ready: Model, factor: Factor, right: Floats) -> Touching:
    """Find which contacts touch in each case.

    Args:
        ready: The frame.
        factor: Its stiffness with all contacts closed.
        right: (q, c) loads [N, N mm] on the independent movements.

    Returns:
        Which contacts push; movements only for the state with all of them closed.

    Source: linear complementarity of gap and force; active sets changed together (primal-dual), then one at a time,
    least number first (Murty, Linear Complementarity, 1988; from memory). Opening a contact is a small change of the
    factored matrix (Woodbury).
    """
    contacts, cases = ready.frame.contacts, right.shape[1]
    if not contacts:
        none = np.zeros((cases, 0), bool)
        return Touching(factor.solved(right), np.zeros((len(right), 0)), none, np.ones(cases, bool))
    hard = np.array([c.stiffness for c in contacts], float)
    gap = np.array([c.gap for c in contacts], float)
    spots = np.zeros((len(contacts), len(ready.at) + 1, 6))
    for side in (0, 1):
        part = ready.touch_rows[:, 6 * side : 6 * side + 6]
        spots[np.arange(len(contacts)), ready.touch_nodes[:, side]] += part
    rows = ready.gathered(spots)
    pressed = rows * (hard * gap)
    moved = factor.solved(right + pressed.sum(axis=1, keepdims=True))
    share = hard[:, None] * (rows.T @ factor.solved(rows))
    pull = hard[:, None] * (rows.T @ moved - gap[:, None])
    out = [_settled(pull[:, c], share) for c in range(cases)]
    touch = np.array([o[0] for o in out], bool).reshape(cases, len(contacts))
    return Touching(moved, pressed, touch, np.array([o[1] for o in out], bool))


def _settled(pull: Floats, share: Floats) -> tuple[Bools, bool]:
    """Which touch, and whether all is right; from what they carry when all are closed."""
    touch = np.ones(len(pull), bool)
    for turn in range(ROUNDS):
        e = _carried_open(pull, share, touch)
        small = 1e-9 * max(float(np.abs(pull).max()), 1e-9)
        wrong = np.where(touch, e < -small, e > small)
        if not wrong.any():
            return touch, True
        if turn < ALL_AT_ONCE:
            touch = touch ^ wrong
        else:
            first = int(np.argmax(wrong))
            touch[first] = ~touch[first]
    return touch, False


def _carried_open(pull: Floats, share: Floats, touch: Bools) -> Floats:
    """What each contact would carry once the open ones carry nothing: e = pull + share e_open.

    A trace of stiffness stands in where opening them lets parts go, so that they fly to where they touch again.
    """
    away = np.flatnonzero(~touch)
    if len(away) == 0:
        return pull
    inner = np.eye(len(away)) * (1 + 1e-9) - share[np.ix_(away, away)]
    e_open = np.linalg.solve(inner, pull[away])
    out: Floats = pull + share[:, away] @ e_open
    out[away] = e_open
    return out
