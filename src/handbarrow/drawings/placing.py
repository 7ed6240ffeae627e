"""Putting texts and dimensions where nothing else stands."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from handbarrow.drawings.boxes import Quad, clear_of, text_box
from handbarrow.drawings.dimensions import dimension_strokes, dimension_text
from handbarrow.drawings.ink import Dimension, Point, Stroke, Text
from handbarrow.laws.geometry.path import Floats

__all__ = ["PLACES", "Room", "spread"]

PLACES = (0.5, 0.35, 0.65, 0.22, 0.78)
"""Where along a dimension line its text may stand."""
DETOUR = 14.0
"""How much further out a dimension line goes rather than cross an outline [mm]."""


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Move places along a line so that neighbours are `gap` apart within [low, high], each as little as can be.

    Places must come sorted. Where they cannot all have the gap, they share the room evenly. Source: pool adjacent
    violators (isotonic least squares) on wanted - i gap.

    >>> spread([0.0, 1.0, 50.0], 6.0, 0.0, 100.0)
    [0.0, 6.0, 50.0]
    """
    n = len(wanted)
    if n == 0:
        return []
    gap = min(gap, (high - low) / max(n - 1, 1))
    pools: list[list[float]] = []
    for i, value in enumerate(wanted):
        pools.append([value - i * gap, 1.0])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (a, p), (b, q) = pools[-2:]
            pools[-2:] = [[(a * p + b * q) / (p + q), p + q]]
    flat = [mean for mean, size in pools for _ in range(int(size))]
    limit = high - (n - 1) * gap
    return [min(max(v, low), limit) + i * gap for i, v in enumerate(flat)]


class Room:
    """What is taken on a drawing: boxes of texts and pieces of lines. Texts are only put where they are clear."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self.boxes: list[Quad] = []
        self._bounds: Floats = np.zeros((0, 4))
        self.lines: Floats = np.zeros((0, 4))
        """All pieces of line that no text may cross."""
        self._spans: Floats = np.zeros((0, 4))
        self.hard: Floats = np.zeros((0, 4))
        """Those of them that no dimension line should cross."""

    def block(self, strokes: Iterable[Stroke], hard: bool = False) -> None:
        """Take the lines of strokes: no text may cross them; `hard`: no dimension line either, if it can be helped."""
        rows = []
        for stroke in strokes:
            points = [*stroke.points, stroke.points[0]] if stroke.closed else list(stroke.points)
            p = np.asarray(points, dtype=float)
            if len(p) > 1:
                rows.append(np.hstack([p[:-1], p[1:]]))
        if rows:
            self.lines = np.concatenate([self.lines, *rows])
            self._spans = np.concatenate([self._spans, *(_spans(row) for row in rows)])
            self.hard = np.concatenate([self.hard, *rows]) if hard else self.hard

    def is_clear(self, text: Text, margin: float = 0.5, cross_lines: bool = False) -> bool:
        """Whether a text lies within the drawing and clear of all that is taken."""
        quad = text_box(text, margin)
        if not all(0 <= x <= self.width and 0 <= y <= self.height for x, y in quad):
            return False
        return self._is_free(quad) and (cross_lines or not crosses(quad, self.lines[_near(_bounds(quad), self._spans)]))

    def _is_free(self, quad: Quad) -> bool:
        """Whether a box is clear of all boxes; those far away are told by their bounds."""
        return clear_of(quad, [self.boxes[i] for i in _near(_bounds(quad), self._bounds)])

    def _take_box(self, quad: Quad) -> None:
        self.boxes.append(quad)
        self._bounds = np.concatenate([self._bounds, [_bounds(quad)]])

    def take(self, text: Text, margin: float = 0.5) -> Text:
        """Take the box of a text, clear or not."""
        self._take_box(text_box(text, margin))
        return text

    def reserve(self, low: Point, high: Point) -> None:
        """Keep a rectangle free for what is put there later."""
        self._take_box((low, (high[0], low[1]), high, (low[0], high[1])))

    def put(self, text: Text, places: Iterable[Point], margin: float = 0.5) -> Text | None:
        """Put a text at the first place where it is clear; None: there is none."""
        for x, y in places:
            tried = replace(text, x=x, y=y)
            if self.is_clear(tried, margin):
                return self.take(tried, margin)
        return None

    def put_dimension(
        self, dimension: Dimension, offsets: Iterable[float], places: Sequence[float] = PLACES
    ) -> Dimension | None:
        """Draw a dimension where its text and its line are clear; None: there is no such place.

        Args:
            dimension: What to draw.
            offsets: How far the dimension line may lie beside the first measured point, to the right of its direction
                [mm]; the nearest good one is taken, and one that crosses an outline counts as DETOUR further away.
            places: Where along its line the text may stand.
        """
        nx, ny = -math.sin(dimension.direction_rad), math.cos(dimension.direction_rad)
        x, y = dimension.p1
        ways = list(offsets)
        cut = self._cut_outline(dimension, ways)
        for d in sorted(ways, key=lambda d: abs(d) + (DETOUR if d != 0 and cut[d] else 0.0)):
            tried = replace(dimension, line=(x + nx * d, y + ny * d))
            strokes = [s for s in dimension_strokes(tried) if s.fill == "none"]
            if self.is_crossed(strokes) or (d != 0 and self._lies_on_line(tried)):
                continue
            for put in (replace(tried, text_at=at) for at in places):
                if self.is_clear(dimension_text(put)):
                    self.take(dimension_text(put))
                    self.block(strokes)
                    return put
        return None

    def _cut_outline(self, dimension: Dimension, offsets: Iterable[float]) -> dict[float, bool]:
        """Whether the dimension line, moved aside by each offset, crosses an outline; 0.6 mm at its ends left out."""
        (px, py), ux, uy = dimension.p1, math.cos(dimension.direction_rad), math.sin(dimension.direction_rad)
        size = (dimension.p2[0] - px) * ux + (dimension.p2[1] - py) * uy
        low, high = min(0.0, size) + 0.6, max(0.0, size) - 0.6
        p = self.hard.reshape(-1, 2, 2) - (px, py)
        u, v = p[:, :, 0] * ux + p[:, :, 1] * uy, -p[:, :, 0] * uy + p[:, :, 1] * ux
        beside = (u.max(axis=1, initial=-math.inf) > low) & (u.min(axis=1, initial=math.inf) < high)
        u, v = u[beside], v[beside]
        out = {}
        for d in offsets:
            across = (v[:, 0] > d) != (v[:, 1] > d)
            (a, b), (f, g) = u[across].T, v[across].T - d
            at = a + (b - a) * f / (f - g)
            out[d] = bool(np.any((at > low) & (at < high)))
        return out

    def is_crossed(self, strokes: Iterable[Stroke]) -> bool:
        """Whether straight strokes leave the drawing or run through a text that is there."""
        rows = np.array([[*s.points[0], *s.points[-1]] for s in strokes])
        if not np.all((rows >= 0) & (rows <= [self.width, self.height] * 2)):
            return True
        near = (_near((x0, y0, x1, y1), self._bounds) for x0, y0, x1, y1 in _spans(rows).tolist())
        return any(crosses(self.boxes[i], rows) for i in dict.fromkeys(np.concatenate(list(near)).tolist()))

    def _lies_on_line(self, dimension: Dimension) -> bool:
        """Whether the dimension line runs along a line that is taken, closer than 2 mm."""
        (ax, ay), (bx, by) = dimension.ends
        size = math.hypot(bx - ax, by - ay)
        if size < 1e-9 or not len(self.lines):
            return False
        ux, uy = (bx - ax) / size, (by - ay) / size
        p = self.lines.reshape(-1, 2, 2) - (ax, ay)
        along, off = p[:, :, 0] * ux + p[:, :, 1] * uy, np.abs(p[:, :, 0] * -uy + p[:, :, 1] * ux)
        shared = np.minimum(along.max(axis=1), size) - np.maximum(along.min(axis=1), 0.0)
        return bool(np.any((off.max(axis=1) < 2.0) & (shared > 1.0)))


def _spans(lines: Floats) -> Floats:
    """Bounds (k, 4) of pieces of line."""
    ax, ay, bx, by = lines.T
    return np.stack([np.minimum(ax, bx), np.minimum(ay, by), np.maximum(ax, bx), np.maximum(ay, by)], axis=1)


def _near(bounds: tuple[float, float, float, float], others: Floats) -> NDArray[np.intp]:
    """Numbers of those whose bounds (k, 4) meet the given ones."""
    x0, y0, x1, y1 = bounds
    a, b, c, d = others.T
    return np.flatnonzero((a <= x1) & (c >= x0) & (b <= y1) & (d >= y0))


def _bounds(quad: Quad) -> tuple[float, float, float, float]:
    xs, ys = zip(*quad, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def crosses(quad: Quad, lines: Floats) -> bool:
    """Whether any piece of line (k, 4) meets a rectangle given by its corners. Source: separating axes, exact."""
    if not len(lines):
        return False
    (x0, y0), (x1, y1), _, (x3, y3) = quad
    w, h = math.hypot(x1 - x0, y1 - y0), math.hypot(x3 - x0, y3 - y0)
    if w < 1e-9 or h < 1e-9:
        return False
    ux, uy, vx, vy = (x1 - x0) / w, (y1 - y0) / w, (x3 - x0) / h, (y3 - y0) / h
    p = lines.reshape(-1, 2, 2) - (x0, y0)
    u, v = p[:, :, 0] * ux + p[:, :, 1] * uy, p[:, :, 0] * vx + p[:, :, 1] * vy
    near = (u.max(axis=1) > 0) & (u.min(axis=1) < w) & (v.max(axis=1) > 0) & (v.min(axis=1) < h)
    if not near.any():
        return False
    u, v = u[near], v[near]
    # the line's own normal: all four corners on one side means clear
    nx, ny = -(v[:, 1] - v[:, 0]), u[:, 1] - u[:, 0]
    corners = np.array([(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)])
    side = np.outer(nx, corners[:, 0]) + np.outer(ny, corners[:, 1]) - (nx * u[:, 0] + ny * v[:, 0])[:, None]
    return bool(np.any((side.max(axis=1) > 1e-9) & (side.min(axis=1) < -1e-9)))
