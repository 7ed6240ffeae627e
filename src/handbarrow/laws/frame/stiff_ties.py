"""What each of several stiff ties carries where pieces are joined at one node without giving.

The frame moves what is tied as one, so its solution knows only what each piece gets from all its ties together. Along
a chain of ties equilibrium tells what each carries; round a ring it does not: there all ties give alike.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import cross

__all__ = ["groups_of", "moved_wrench", "tie_forces"]

Floats = NDArray[np.float64]


def moved_wrench(wrench: Floats, shift: Floats) -> Floats:
    """Return force and moment about another point [N, N mm].

    Args:
        wrench: (..., 6) force and moment about a point.
        shift: (3,) or (..., 3) from the new point to the old one [mm].

    Source: statics: M' = M + shift x F.

    >>> moved_wrench(np.array([0.0, 0.0, 2.0, 0.0, 0.0, 0.0]), np.array([10.0, 0.0, 0.0])).tolist()
    [0.0, 0.0, 2.0, 0.0, -20.0, 0.0]
    """
    force = wrench[..., :3]
    out: Floats = np.concatenate((force, wrench[..., 3:] + cross(shift, force)), axis=-1)
    return out


def groups_of(count: int, pairs: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Return what hangs together: numbers of the pairs of each group [-], in the order of the pairs.

    Args:
        count: How many places there are.
        pairs: Which two places each tie joins.

    Source: none needed.

    >>> groups_of(5, [(0, 1), (3, 4), (1, 2)])
    [[0, 2], [1]]
    """
    root = list(range(count))

    def top(k: int) -> int:
        while root[k] != k:
            root[k] = root[root[k]]
            k = root[k]
        return k

    for a, b in pairs:
        root[top(a)] = top(b)
    out: dict[int, list[int]] = {}
    for e, (a, _) in enumerate(pairs):
        out.setdefault(top(a), []).append(e)
    return list(out.values())


def tie_forces(places: Floats, gets: Floats, pairs: Sequence[tuple[int, int]], at: Floats, reach: float) -> Floats:
    """Return what the first piece of each tie gets from the second, about the tie's own place [N, N mm].

    Args:
        places: (v, 3) of the nodes [mm].
        gets: (c, v, 6) force and moment about its place that each gets from all its ties together; in balance over
            each group.
        pairs: (e) which two each tie joins.
        at: (e, 3) places of the ties [mm].
        reach: Half the size of a joint: how stiff a tie is against turning, next to its stiffness against moving [mm].

    Returns:
        (c, e, 6); exact where ties make no ring, else as springs of equal stiffness share it.

    Source: equilibrium; in rings the stiffness method with equal springs (common practice, no source).
    """
    out = np.zeros((len(gets), len(pairs), 6))
    hard = np.array([1.0, 1.0, 1.0, reach**2, reach**2, reach**2])
    for edges in groups_of(len(places), pairs):
        inside = sorted({k for e in edges for k in pairs[e]})
        number = {k: n for n, k in enumerate(inside)}
        moves = np.zeros((len(edges), 6, 6 * len(inside)))
        for row, e in enumerate(edges):
            for k, sign in zip(pairs[e], (-1.0, 1.0), strict=True):
                moves[row, :, 6 * number[k] : 6 * number[k] + 6] = sign * _follows(at[e] - places[k])
        flat = moves.reshape(-1, 6 * len(inside))
        stiff = flat.T @ (np.tile(hard, len(edges))[:, None] * flat)
        right = -gets[:, inside].reshape(len(gets), -1).T
        moved = np.zeros_like(right)
        moved[6:] = np.linalg.solve(stiff[6:, 6:], right[6:])  # the first stands still: only differences count
        out[:, edges] = hard * np.moveaxis(moves @ moved, -1, 0)
    return out


def _follows(arm: Floats) -> Floats:
    """How a point at `arm` moves with a body (6, 6)."""
    x, y, z = arm
    out = np.eye(6)
    out[:3, 3:] = [[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]]
    return out
