"""Putting texts and dimensions where nothing else stands."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from handbarrow.drawings.boxes import Quad, box_at, box_shape, quads_overlap, text_box
from handbarrow.drawings.dimensions import dimension_strokes, dimension_text
from handbarrow.drawings.ink import Dimension, Point, Stroke, Text
from handbarrow.drawings.taken import Bounds, Lines, bounds_of, crosses, pieces

__all__ = ["PLACES", "Room", "spread"]

PLACES = (0.5, 0.35, 0.65, 0.22, 0.78)
"""Where along a dimension line its text may stand."""
DETOUR = 14.0
"""How much further out a dimension line goes rather than cross an outline [mm]."""
CLOSE = 2.0
"""A dimension line runs no closer along another line [mm]."""


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
        self._boxes: list[tuple[Bounds, Quad]] = []
        self._lines = Lines()
        """All pieces of line that no text may cross."""
        self._hard = Lines()
        """Those of them that no dimension line should cross."""

    def block(self, strokes: Iterable[Stroke], hard: bool = False) -> None:
        """Take the lines of strokes: no text may cross them; `hard`: no dimension line either, if it can be helped."""
        rows = pieces(strokes)
        self._lines.add(rows)
        if hard:
            self._hard.add(rows)

    def is_clear(self, text: Text, margin: float = 0.5, cross_lines: bool = False) -> bool:
        """Whether a text lies within the drawing and clear of all that is taken."""
        return self._is_clear(text_box(text, margin), cross_lines)

    def _is_clear(self, quad: Quad, cross_lines: bool = False) -> bool:
        """As `is_clear`, of the box of a text; asked so often that the bounds are compared in place."""
        bounds = bounds_of(quad)
        if not self._holds(bounds):
            return False
        x0, y0, x1, y1 = bounds
        for (left, top, right, low), box in self._boxes:
            if left <= x1 and right >= x0 and top <= y1 and low >= y0 and quads_overlap(quad, box):
                return False
        return cross_lines or not crosses(quad, self._lines.near(bounds))

    def _holds(self, bounds: Bounds) -> bool:
        x0, y0, x1, y1 = bounds
        return x0 >= 0 and y0 >= 0 and x1 <= self.width and y1 <= self.height

    def _take_box(self, quad: Quad) -> None:
        self._boxes.append((bounds_of(quad), quad))

    def take(self, text: Text, margin: float = 0.5) -> Text:
        """Take the box of a text, clear or not."""
        self._take_box(text_box(text, margin))
        return text

    def reserve(self, low: Point, high: Point) -> None:
        """Keep a rectangle free for what is put there later."""
        self._take_box((low, (high[0], low[1]), high, (low[0], high[1])))

    def put(self, text: Text, places: Iterable[Point], margin: float = 0.5) -> Text | None:
        """Put a text at the first place where it is clear; None: there is none."""
        shape = box_shape(text, margin)
        for at in places:
            quad = box_at(shape, at)
            if self._is_clear(quad):
                self._take_box(quad)
                return replace(text, x=at[0], y=at[1])
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
        for d in sorted(ways, key=lambda d: abs(d) + (DETOUR if d != 0 and d in cut else 0.0)):
            tried = replace(dimension, line=(x + nx * d, y + ny * d))
            strokes = [s for s in dimension_strokes(tried) if s.fill == "none"]
            if self.is_crossed(strokes) or (d != 0 and self._lies_on_line(tried)):
                continue
            for put in (replace(tried, text_at=at) for at in places):
                quad = text_box(dimension_text(put), 0.5)
                if self._is_clear(quad):
                    self._take_box(quad)
                    self.block(strokes)
                    return put
        return None

    def _cut_outline(self, dimension: Dimension, offsets: Sequence[float]) -> set[float]:
        """Those offsets at which the dimension line crosses an outline; 0.6 mm at its ends left out."""
        (px, py), ux, uy = dimension.p1, math.cos(dimension.direction_rad), math.sin(dimension.direction_rad)
        size = (dimension.p2[0] - px) * ux + (dimension.p2[1] - py) * uy
        low, high = min(0.0, size) + 0.6, max(0.0, size) - 0.6
        ax, ay, bx, by = self._hard.ends
        ax, ay, bx, by = ax - px, ay - py, bx - px, by - py
        a, b = ax * ux + ay * uy, bx * ux + by * uy
        beside = (np.maximum(a, b) > low) & (np.minimum(a, b) < high)
        f, g = (-ax * uy + ay * ux)[beside], (-bx * uy + by * ux)[beside]
        a, b = a[beside], b[beside]
        ways = np.array(offsets)
        way, line = np.nonzero((f > ways[:, None]) != (g > ways[:, None]))
        a, b, f, g = a[line], b[line], f[line] - ways[way], g[line] - ways[way]
        at = a + (b - a) * f / (f - g)
        return set(ways[way[(at > low) & (at < high)]].tolist())

    def is_crossed(self, strokes: Iterable[Stroke]) -> bool:
        """Whether straight strokes leave the drawing or run through a text that is there."""
        for stroke in strokes:
            (ax, ay), (bx, by) = stroke.points[0], stroke.points[-1]
            bounds = (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
            if not self._holds(bounds):
                return True
            line, (x0, y0, x1, y1) = ((ax, ay, bx, by),), bounds
            for (left, top, right, low), box in self._boxes:
                if left <= x1 and right >= x0 and top <= y1 and low >= y0 and crosses(box, line):
                    return True
        return False

    def _lies_on_line(self, dimension: Dimension) -> bool:
        """Whether the dimension line runs along a line that is taken, closer than CLOSE."""
        (ax, ay), (bx, by) = dimension.ends
        size = math.hypot(bx - ax, by - ay)
        if size < 1e-9:
            return False
        ux, uy = (bx - ax) / size, (by - ay) / size
        reach = CLOSE + 0.01
        bounds = (min(ax, bx) - reach, min(ay, by) - reach, max(ax, bx) + reach, max(ay, by) + reach)
        for px, py, qx, qy in self._lines.near(bounds):
            px, py, qx, qy = px - ax, py - ay, qx - ax, qy - ay
            if abs(px * -uy + py * ux) < CLOSE and abs(qx * -uy + qy * ux) < CLOSE:
                along, back = px * ux + py * uy, qx * ux + qy * uy
                if min(max(along, back), size) - max(min(along, back), 0.0) > 1.0:
                    return True
        return False
