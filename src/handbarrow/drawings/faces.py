"""Views of a part set on the paper: which ones, at what scale, where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.drawings.hidden import SeenLines, View, view_along
from handbarrow.drawings.ink import Point
from handbarrow.drawings.words import DRAWN
from handbarrow.laws.geometry.path import Floats, Layout

__all__ = ["FOOT", "LANE", "SCALES", "Face", "faces_in", "part_views", "scale_words"]

SCALES = (1.0, 1 / 2, 2 / 5, 1 / 4, 1 / 5, 2 / 15, 1 / 8, 1 / 10, 2 / 25, 1 / 15, 1 / 20, 1 / 25, 1 / 30, 1 / 40,
          1 / 50, 1 / 75, 1 / 100, 1 / 200, 1 / 500)  # fmt: skip
"""Scales that a rule can be used with."""
FOOT, LANE = 7.0, 6.6
"""Height of the legend; distance of dimension lines [mm]."""


def scale_words(scale: float) -> str:
    """Return a scale as it is printed.

    >>> scale_words(0.4), scale_words(0.05)
    ('1:2.5', '1:20')
    """
    return f"1:{1 / scale:g}" if scale <= 1 else f"{scale:g}:1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A view set on the paper: `origin` is where the view's zero lands."""

    view: View
    lines: SeenLines
    scale: float
    origin: Point
    name: str = ""
    is_true: bool = True

    def at(self, point: Sequence[float] | Floats) -> Point:
        """Place of a point on the paper."""
        x, y, _ = self.view.matrix @ np.asarray(point, dtype=float)
        return (self.origin[0] + float(x) * self.scale, self.origin[1] - float(y) * self.scale)

    def polyline(self, line: Floats) -> tuple[Point, ...]:
        """A line of the view on the paper."""
        return tuple((x, y) for x, y in self.on_paper(line).tolist())

    def on_paper(self, line: Floats) -> Floats:
        """Places (n, 2) of a line of the view on the paper."""
        return np.asarray(self.origin + line * (self.scale, -self.scale))


def part_views(place: Layout, planar: bool) -> list[tuple[str, View]]:
    """True view of a flat part; else from above (legs 1 and 2 on the bench), front, side and isometric."""
    normal = place.normals[0]
    flat = [t for t in place.directions if abs(float(t @ normal)) < 0.05]
    lengths = [
        float(s) for t, s in zip(place.directions, place.straights, strict=True) if abs(float(t @ normal)) < 0.05
    ]
    right = flat[int(np.argmax(lengths))]
    if planar:
        return [("", view_along(normal, np.cross(normal, right)))]
    up = np.cross(normal, right)
    return [
        (DRAWN["above"], view_along(normal, up)),
        (DRAWN["front"], view_along(-up, normal)),
        (DRAWN["side"], view_along(right, normal)),
        (DRAWN["isometric"], view_along(right * 0.9 - up * 1.1 + normal, normal)),
    ]


def faces_in(
    seen: Sequence[tuple[str, View, SeenLines]], scale: float, box: tuple[float, float], force: bool = False
) -> list[Face] | None:
    """Set the views on the paper: one in the middle, or four in two rows or in one row; None: they do not fit."""
    sizes = [(s.high[0] - s.low[0], s.high[1] - s.low[1]) for _, _, s in seen]
    height, edge = box[1] - FOOT, min(max(box[1] / 8, 8.0), 15.0)
    cells = [(w * scale + 2 * edge, h * scale + 2 * edge) for w, h in sizes]
    for columns in (1,) if len(seen) == 1 else (2, 4):
        order = [0] if len(seen) == 1 else [0, 3, 1, 2] if columns == 2 else [0, 1, 2, 3]
        grid = [order[i : i + columns] for i in range(0, len(seen), columns)]
        scales = [scale] * len(seen)
        if len(seen) > 1:
            scales[3] = _iso_scale(sizes, grid, scale)
            cells[3] = (sizes[3][0] * scales[3] + 2 * edge, sizes[3][1] * scales[3] + 2 * edge)
        wide = [max(cells[row[c]][0] for row in grid) for c in range(columns)]
        high = [max(cells[i][1] for i in row) for row in grid]
        if (sum(wide) <= box[0] and sum(high) <= height) or force:
            across, down = _middles(wide, box[0]), _middles(high, height)
            return [
                _set(seen[i], scales[i], (across[c], down[r])) for r, row in enumerate(grid) for c, i in enumerate(row)
            ]
    return None


def _middles(sizes: Sequence[float], room: float) -> list[float]:
    """Middles of cells in a row, what is left of the room shared out between them [mm]."""
    spare = (room - sum(sizes)) / len(sizes)
    return [sum(sizes[:i]) + spare * (i + 0.5) + size / 2 for i, size in enumerate(sizes)]


def _iso_scale(sizes: Sequence[Point], grid: Sequence[Sequence[int]], scale: float) -> float:
    """Scale of the isometric view: its neighbours make the room, but it may take a little more."""
    row = next(r for r in grid if 3 in r)
    high = max(sizes[i][1] for i in row if i != 3) * scale / sizes[3][1]
    return min(scale, max(high, scale * 0.6))


def _set(seen: tuple[str, View, SeenLines], scale: float, middle: Point) -> Face:
    name, view, lines = seen
    x, y = (lines.low[0] + lines.high[0]) / 2, (lines.low[1] + lines.high[1]) / 2
    origin = (middle[0] - x * scale, middle[1] + y * scale)
    return Face(view=view, lines=lines, scale=scale, origin=origin, name=name, is_true=name != DRAWN["isometric"])
