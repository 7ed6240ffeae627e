"""Plane outlines: area, centroid, rounded corners. Lengths mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Vec2

__all__ = ["area_and_centroid", "rounded", "thinned"]

Floats = NDArray[np.float64]


def area_and_centroid(outline: Sequence[Vec2] | Floats) -> tuple[float, Vec2]:
    """Return signed area [mm2] (counter-clockwise positive) and centroid [mm] of a closed outline.

    Source: the trapezium (surveyor's) formula.

    >>> area_and_centroid([(0, 0), (60, 0), (60, 40), (0, 40)])
    (2400.0, (30.0, 20.0))
    """
    p = np.asarray(outline, dtype=float)
    origin = p[0]
    q = p - origin
    r = np.roll(q, -1, axis=0)
    cross = q[:, 0] * r[:, 1] - r[:, 0] * q[:, 1]
    whole = float(cross.sum()) / 2
    if abs(whole) < 1e-12:
        return 0.0, (float(p[:, 0].mean()), float(p[:, 1].mean()))
    centre = ((q + r) * cross[:, None]).sum(axis=0) / (6 * whole) + origin
    return whole, (float(centre[0]), float(centre[1]))


def rounded(outline: Sequence[Vec2], radius: float, chord_rad: float = math.radians(7.5)) -> list[Vec2]:
    """Return the outline with its corners rounded to a radius [mm], arcs as chords.

    A corner too tight for the radius takes the largest one that leaves half of each side to its neighbour.
    Source: plane geometry, set-back r tan(turn / 2).
    """
    if radius <= 0:
        return list(outline)
    p = np.asarray(outline, dtype=float)
    out: list[Vec2] = []
    for i in range(len(p)):
        before, at, after = p[i - 1], p[i], p[(i + 1) % len(p)]
        d1, d2 = at - before, after - at
        l1, l2 = float(np.hypot(*d1)), float(np.hypot(*d2))
        d1, d2 = d1 / l1, d2 / l2
        turn = math.atan2(float(d1[0] * d2[1] - d1[1] * d2[0]), float(d1 @ d2))
        half = math.tan(abs(turn) / 2)
        if half < 1e-9:
            out.append((float(at[0]), float(at[1])))
            continue
        back = min(radius * half, l1 / 2, l2 / 2)
        r = back / half
        side = np.array([-d1[1], d1[0]]) * math.copysign(1.0, turn)
        start = at - d1 * back
        centre = start + side * r
        spoke = start - centre
        steps = max(1, math.ceil(abs(turn) / chord_rad))
        for k in range(steps + 1):
            a = turn * k / steps
            c, s = math.cos(a), math.sin(a)
            x = centre[0] + c * spoke[0] - s * spoke[1]
            y = centre[1] + s * spoke[0] + c * spoke[1]
            out.append((float(x), float(y)))
    return out


def thinned(outline: Floats, most: float) -> Floats:
    """Return an outline with fewer corners, none of which is missed by more than a distance [mm].

    Source: D. H. Douglas and T. K. Peucker 1973, from memory; the first corner and the one farthest from it stay.

    >>> ring = np.array([(0, 0), (5, 0.01), (10, 0), (10, 10), (0, 10)], float)
    >>> thinned(ring, 0.1).tolist()
    [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]
    """
    far = int(np.argmax(np.hypot(*(outline - outline[0]).T)))
    ring = np.vstack([outline, outline[:1]])
    keep = {0, far}
    waiting = [(0, far), (far, len(outline))]
    while waiting:
        a, b = waiting.pop()
        if b - a < 2:
            continue
        way = ring[b] - ring[a]
        between = ring[a + 1 : b] - ring[a]
        size = float(np.hypot(*way))
        off = np.abs(way[0] * between[:, 1] - way[1] * between[:, 0]) / max(size, 1e-12)
        k = int(np.argmax(off))
        if off[k] > most:
            keep.add(a + 1 + k)
            waiting += [(a, a + 1 + k), (a + 1 + k, b)]
    return outline[sorted(keep)]
