"""What of a line lies within a box."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from handbarrow.drawings.ink import Point
from handbarrow.laws.geometry.path import Floats

__all__ = ["clipped"]


def clipped(line: Floats, low: Floats, high: Floats) -> list[Floats]:
    """Return the pieces of a flat polyline within a box. Source: Liang and Barsky's cut of each segment.

    Args:
        line: Points; x and y are looked at.
        low: Lower left corner.
        high: Upper right corner.
    """
    points = line[:, :2]
    if np.any(points.max(axis=0) < low) or np.any(points.min(axis=0) > high):
        return []
    if np.all(points >= low) and np.all(points <= high):
        return [points]
    out: list[list[tuple[float, float]]] = []
    box = (float(low[0]), float(high[0])), (float(low[1]), float(high[1]))
    for a, b in pairwise(points.tolist()):
        lo, hi = _span(a, b, box)
        if lo >= hi:
            continue
        p, q = ((a[0] + (b[0] - a[0]) * f, a[1] + (b[1] - a[1]) * f) for f in (lo, hi))
        if out and lo == 0.0 and out[-1][-1] == p:
            out[-1].append(q)
        else:
            out.append([p, q])
    return [np.array(piece) for piece in out]


def _span(a: Sequence[float], b: Sequence[float], box: tuple[Point, Point]) -> tuple[float, float]:
    """From which to which part of the way from a to b lies within a box; (1, 0): none."""
    lo, hi = 0.0, 1.0
    for p, q, (low, high) in zip(a, b, box, strict=True):
        d = q - p
        if abs(d) < 1e-12:
            if not low <= p <= high:
                return 1.0, 0.0
            continue
        s, e = sorted(((low - p) / d, (high - p) / d))
        lo, hi = max(lo, s), min(hi, e)
    return lo, hi
