"""Pieces of line that are taken on a drawing, and the quick questions about them: many are asked, most are far away."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from handbarrow.drawings.boxes import Quad
from handbarrow.drawings.ink import Stroke
from handbarrow.laws.geometry.path import Floats

__all__ = ["Bounds", "Lines", "Piece", "bounds_of", "crosses", "meet", "pieces"]

Bounds = tuple[float, float, float, float]
"""Left, top, right and bottom of what lies on the paper."""
Piece = tuple[float, float, float, float]
"""A straight piece of line: x and y of its ends."""


def pieces(strokes: Iterable[Stroke]) -> Floats:
    """Return the straight pieces (k, 4) of strokes."""
    rows = []
    for stroke in strokes:
        points = (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points
        if len(points) > 1:
            p = np.array(points, dtype=float)
            rows.append(np.hstack((p[:-1], p[1:])))
    return np.concatenate(rows) if rows else np.zeros((0, 4))


class Lines:
    """Pieces of line by columns, with their bounds; room for more is made by doubling."""

    def __init__(self) -> None:
        self.count = 0
        self._columns: Floats = np.zeros((8, 64))

    def add(self, rows: Floats) -> None:
        """Take pieces (k, 4)."""
        count = self.count + len(rows)
        if count > self._columns.shape[1]:
            larger = np.zeros((8, 2 * count))
            larger[:, : self.count] = self._columns[:, : self.count]
            self._columns = larger
        new = self._columns[:, self.count : count]
        new[:4] = rows.T
        np.minimum(new[0:2], new[2:4], out=new[4:6])
        np.maximum(new[0:2], new[2:4], out=new[6:8])
        self.count = count

    @property
    def ends(self) -> Floats:
        """(4, k): x and y of the first ends, x and y of the others."""
        return self._columns[:4, : self.count]

    def near(self, bounds: Bounds) -> list[Piece]:
        """Return those whose bounds meet the given ones."""
        x0, y0, x1, y1 = bounds
        left, top, right, low = self._columns[4:, : self.count]
        met = left <= x1
        met &= right >= x0
        met &= top <= y1
        met &= low >= y0
        found = met.nonzero()[0]
        if not found.size:
            return []
        return list(zip(*self._columns[:4, found].tolist(), strict=True))


def bounds_of(quad: Quad) -> Bounds:
    """Return the bounds of a box."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = quad
    return min(ax, bx, cx, dx), min(ay, by, cy, dy), max(ax, bx, cx, dx), max(ay, by, cy, dy)


def meet(one: Bounds, other: Bounds) -> bool:
    """Whether two bounds have a point in common."""
    return one[0] <= other[2] and one[2] >= other[0] and one[1] <= other[3] and one[3] >= other[1]


def crosses(quad: Quad, lines: Iterable[Piece]) -> bool:
    """Whether any piece of line meets a rectangle given by its corners. Source: separating axes, exact."""
    (x0, y0), (x1, y1), _, (x3, y3) = quad
    w, h = math.hypot(x1 - x0, y1 - y0), math.hypot(x3 - x0, y3 - y0)
    if w < 1e-9 or h < 1e-9:
        return False
    ux, uy, vx, vy = (x1 - x0) / w, (y1 - y0) / w, (x3 - x0) / h, (y3 - y0) / h
    for ax, ay, bx, by in lines:
        ax, ay, bx, by = ax - x0, ay - y0, bx - x0, by - y0
        a, b = ax * ux + ay * uy, bx * ux + by * uy
        if (a <= 0 and b <= 0) or (a >= w and b >= w):
            continue
        f, g = ax * vx + ay * vy, bx * vx + by * vy
        if (f <= 0 and g <= 0) or (f >= h and g >= h):
            continue
        # the line's own normal: all four corners on one side means clear
        nx, ny = f - g, b - a
        level = nx * a + ny * f
        across, down = nx * w, ny * h
        sides = (-level, across - level, across + down - level, down - level)
        if max(sides) > 1e-9 and min(sides) < -1e-9:
            return True
    return False
