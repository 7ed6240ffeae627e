"""How deep solids that overlap lie in each other. Lengths mm."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.clearance.solids import Solids

__all__ = ["depth"]

Floats = NDArray[np.float64]

ROUNDS = (0.3, 0.1, 0.03, 0.01)
"""How far the search looks round the best direction yet, round by round [rad]."""


def depth(a: Solids, b: Solids, row: int, other: int) -> float:
    """Return how far one solid must be moved to come free of another [mm]; below zero: they are apart by that.

    The least is looked for over directions: faces, axes and what lies square to them first, then all round, then
    closer about the best. The true depth can be a little less, never more.

    Args:
        a: Solids.
        b: Solids.
        row: Which of a.
        other: Which of b.

    Source: the overlap of convex bodies along a direction is the sum of their reaches; least over all directions.
    """
    ways = _candidates(a, b, row, other)
    best = _overlaps(a, b, row, other, ways)
    k = int(np.argmin(best))
    way, least = ways[k], float(best[k])
    for wide in ROUNDS:
        near = way + wide * _BALL
        near = near / np.linalg.norm(near, axis=1)[:, None]
        found = _overlaps(a, b, row, other, near)
        k = int(np.argmin(found))
        if found[k] < least:
            way, least = near[k], float(found[k])
    return least


def _candidates(a: Solids, b: Solids, row: int, other: int) -> Floats:
    own: list[Floats] = []
    for solids, i in ((a, row), (b, other)):
        corners = np.unique(solids.points[i].round(6), axis=0)
        edges = corners[1:] - corners[:-1]
        own += [solids.normal[i], solids.along[i], *edges[:12]]
        own += [np.cross(solids.normal[i], edge) for edge in edges[:12]]
    own.append(np.cross(a.along[row], b.along[other]))
    own.append(a.start[row] + a.along[row] / 2 - b.start[other] - b.along[other] / 2)
    ways = np.concatenate([np.array(own), _BALL])
    size = np.linalg.norm(ways, axis=1)
    ways = ways[size > 1e-9] / size[size > 1e-9][:, None]
    return np.concatenate([ways, -ways])


def _overlaps(a: Solids, b: Solids, row: int, other: int, ways: Floats) -> Floats:
    out: Floats = _reach(a, row, ways) + _reach(b, other, -ways)
    return out


def _reach(solids: Solids, row: int, ways: Floats) -> Floats:
    """How far a solid reaches along directions (m, 3) [mm]."""
    flat = ways - np.outer(ways @ solids.normal[row], solids.normal[row])
    disc = solids.ring[row] * np.linalg.norm(flat, axis=1)
    out: Floats = (ways @ solids.points[row].T).max(axis=1) + disc + solids.ball[row]
    return out


def _even(count: int) -> Floats:
    """Directions spread evenly all round (a golden spiral)."""
    k = np.arange(count) + 0.5
    z = 1 - 2 * k / count
    r, turn = np.sqrt(1 - z * z), math.pi * (1 + math.sqrt(5)) * k
    return np.column_stack([r * np.cos(turn), r * np.sin(turn), z])


_BALL = _even(200)
