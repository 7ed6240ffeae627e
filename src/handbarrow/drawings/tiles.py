"""Large drawings at true size on small paper: overlapping windows, crosses at an exact pitch, a map of the sheets."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from handbarrow.drawings.boxes import text_box
from handbarrow.drawings.dimensions import dimension_text
from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, Dimension, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import PLACES
from handbarrow.drawings.words import ALT
from handbarrow.job.remembered import remembered
from handbarrow.laws.geometry.path import Floats

__all__ = ["OVERLAP", "Tiling", "settled", "sheet_map", "sheet_name", "tile", "tiling"]

OVERLAP = 10.0
"""How far neighbours overlap [mm]; the crosses stand in the middle of it."""
WHITE = 2.5
"""Least white between the drawing and the outer lines of the sheets [mm]."""
ARM = 4.0
"""Reach of a cross [mm]."""
MAP = (38.0, 16.0)
"""Largest width and height of the map [mm]."""

Cell = tuple[int, int]
"""(row, column), from 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiling:
    """How a drawing is spread over sheets.

    Attributes:
        rows: Of sheets.
        columns: Of sheets.
        width: Of a window [mm].
        height: Of a window [mm].
        origin: Where the first window starts on the drawing, which lies in the middle, clear of outer crosses [mm].
        used: (row, column) of the sheets that have something on them.
    """

    rows: int
    columns: int
    width: float
    height: float
    origin: Point
    used: tuple[Cell, ...] = ()

    @property
    def pitch(self) -> Point:
        """Distance of crosses across and down [mm]."""
        return (self.width - OVERLAP, self.height - OVERLAP)

    def corner(self, cell: Cell) -> Point:
        """Where the window of a sheet starts on the drawing [mm]."""
        return (self.origin[0] + cell[1] * self.pitch[0], self.origin[1] + cell[0] * self.pitch[1])


def sheet_name(cell: Cell) -> str:
    """Return the name of a sheet: its row as a letter, its column as a number.

    >>> sheet_name((0, 0)), sheet_name((2, 11)), sheet_name((26, 0))
    ('A1', 'C12', 'AA1')
    """
    row, letters = cell[0] + 1, ""
    while row:
        row, rest = divmod(row - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{cell[1] + 1}"


def tiling(drawing: Drawing, width: float, height: float) -> Tiling:
    """Spread a drawing at 1:1 over windows of a size [mm].

    Raises:
        ValueError: If the drawing is not at 1:1, or the windows are too small to overlap.
    """
    if drawing.scale != 1.0:
        raise ValueError(f"{drawing.name} is not at 1:1")
    if min(width, height) <= 2 * OVERLAP:
        raise ValueError(f"windows of {width:g} × {height:g} mm are too small")
    spread = []
    for size, window in ((drawing.width, width), (drawing.height, height)):
        count = max(1, math.ceil((size + 2 * WHITE - OVERLAP) / (window - OVERLAP) - 1e-9))
        spread.append((count, (size - count * (window - OVERLAP) - OVERLAP) / 2))
    (columns, x), (rows, y) = spread
    whole = Tiling(rows=rows, columns=columns, width=width, height=height, origin=(x, y))
    return replace(whole, used=tuple(_used(drawing, whole)))


def settled(drawing: Drawing, spread: Tiling) -> Drawing:
    """Return the drawing with the numbers of its dimensions moved along their lines so that no sheet cuts one."""
    return replace(drawing, dimensions=tuple(_on_one_sheet(d, spread) for d in drawing.dimensions))


def _on_one_sheet(dimension: Dimension, spread: Tiling) -> Dimension:
    windows = [spread.corner(cell) for cell in spread.used]
    for put in (replace(dimension, text_at=at) for at in PLACES):
        xs, ys = zip(*text_box(dimension_text(put), 1.0), strict=True)
        for x, y in windows:
            if x < min(xs) and max(xs) < x + spread.width and y < min(ys) and max(ys) < y + spread.height:
                return put
    return dimension


def _used(drawing: Drawing, spread: Tiling) -> Iterator[Cell]:
    """Sheets that own some ink: each point belongs to one sheet, shared out along the crosses."""
    pieces = np.concatenate([*(_pieces(s) for s in drawing.all_strokes), *(_box(t) for t in drawing.texts)])
    for row in range(spread.rows):
        for column in range(spread.columns):
            (x, y), edge = spread.corner((row, column)), OVERLAP / 2
            low = (x + edge if column else -math.inf, y + edge if row else -math.inf)
            high = (
                x + spread.width - edge if column < spread.columns - 1 else math.inf,
                y + spread.height - edge if row < spread.rows - 1 else math.inf,
            )
            if _meets(pieces, low, high).any():
                yield row, column


def _pieces(stroke: Stroke) -> Floats:
    """Pieces of line (k, 4)."""
    p = np.asarray([*stroke.points, stroke.points[0]] if stroke.closed else stroke.points, dtype=float)
    return np.hstack([p[:-1], p[1:]])


def _box(text: Text) -> Floats:
    quad = np.asarray(text_box(text), dtype=float)
    return np.hstack([quad, np.roll(quad, -1, axis=0)])


def _meets(pieces: Floats, low: Point, high: Point) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether each piece of line meets a rectangle. Source: Liang and Barsky's clipping, exact (from memory)."""
    first, last = np.zeros(len(pieces)), np.ones(len(pieces))
    for axis in (0, 1):
        start, step = pieces[:, axis], pieces[:, axis + 2] - pieces[:, axis]
        with np.errstate(divide="ignore", invalid="ignore"):
            a, b = (low[axis] - start) / step, (high[axis] - start) / step
        level = np.abs(step) < 1e-12
        inside = (start >= low[axis]) & (start <= high[axis])
        first = np.maximum(first, np.where(level, np.where(inside, 0.0, 2.0), np.minimum(a, b)))
        last = np.minimum(last, np.where(level, 1.0, np.maximum(a, b)))
    return np.asarray(first <= last)


# ------------------------------------------------------------------------------------------------ one sheet
def tile(drawing: Drawing, spread: Tiling, cell: Cell) -> Drawing:
    """Return what one sheet shows: the drawing in its window, four crosses, its name beside them. To be clipped."""
    x, y = spread.corner(cell)
    low, high = (x - 1.0, y - 1.0), (x + spread.width + 1.0, y + spread.height + 1.0)
    strokes = list(_within(drawing, low, high))
    words = [t for t in drawing.texts if _meets(_box(t), low, high).any() or _holds(t, low, high)]
    name = sheet_name(cell)
    return Drawing(
        width=spread.width,
        height=spread.height,
        strokes=(*(replace(s, points=tuple((p - x, q - y) for p, q in s.points)) for s in strokes), *_crosses(spread)),
        words=tuple(replace(t, x=t.x - x, y=t.y - y) for t in words),
        scale=1.0,
        name=f"{drawing.name}-{name}",
        alt=ALT["tile"].format(name=name, drawing=drawing.alt),
    )


def _holds(text: Text, low: Point, high: Point) -> bool:
    return low[0] <= text.x <= high[0] and low[1] <= text.y <= high[1]


@remembered
def _cut_up(drawing: Drawing) -> tuple[tuple[Stroke, ...], Floats, list[int]]:
    """The strokes of a drawing, all their pieces, and where those of each end: the same for all its sheets."""
    strokes = drawing.all_strokes
    pieces = [_pieces(stroke) for stroke in strokes]
    return strokes, np.concatenate(pieces), list(itertools.accumulate(len(p) for p in pieces))


def _within(drawing: Drawing, low: Point, high: Point) -> Iterator[Stroke]:
    """The strokes of a drawing, as far as a window needs them; filled and dashed ones stay whole."""
    strokes, pieces, ends = _cut_up(drawing)
    meets = _meets(pieces, low, high)
    for stroke, start, end in zip(strokes, (0, *ends), ends, strict=False):
        here = meets[start:end]
        if not here.any():
            continue
        if here.all() or stroke.fill != "none" or stroke.dash:
            yield stroke
        else:
            yield from _runs(stroke, pieces[start:end], here.tolist())


def _runs(stroke: Stroke, pieces: Floats, meets: Sequence[bool]) -> Iterator[Stroke]:
    """Pieces of a stroke that follow each other."""
    run: list[Point] = []
    for piece, seen in zip(pieces.tolist(), meets, strict=True):
        if seen:
            run = run or [(piece[0], piece[1])]
            run.append((piece[2], piece[3]))
        elif run:
            yield replace(stroke, points=tuple(run), closed=False)
            run = []
    if run:
        yield replace(stroke, points=tuple(run), closed=False)


def _crosses(spread: Tiling) -> Iterator[Stroke]:
    edge = OVERLAP / 2
    for x in (edge, spread.width - edge):
        for y in (edge, spread.height - edge):
            yield Stroke(points=((x - ARM, y), (x + ARM, y)), weight=FINE, layer="crosses")
            yield Stroke(points=((x, y - ARM), (x, y + ARM)), weight=FINE, layer="crosses")


# ------------------------------------------------------------------------------------------------ the map
def sheet_map(drawing: Drawing, spread: Tiling, here: Cell | None = None, box: tuple[float, float] = MAP) -> Drawing:
    """Return a small map of the sheets: used ones as boxes over the drawing's heavy lines, the one at hand grey."""
    px, py = spread.pitch
    scale = min(box[0] / (spread.columns * px), box[1] / (spread.rows * py))
    zero = (spread.origin[0] + OVERLAP / 2, spread.origin[1] + OVERLAP / 2)
    strokes = []
    for cell in sorted(spread.used, key=lambda c: c == here):
        x, y = cell[1] * px * scale, cell[0] * py * scale
        corners = ((x, y), (x + px * scale, y), (x + px * scale, y + py * scale), (x, y + py * scale))
        fill: Sequence[Stroke] = ()
        if cell == here:
            fill = (Stroke(points=corners, weight=0.0, closed=True, fill="grey", layer="map"),)
        strokes += [*fill, Stroke(points=corners, weight=FINE, closed=True, layer="map")]
    for stroke in drawing.strokes:
        if stroke.weight >= HEAVY:
            strokes.append(_small(stroke, zero, scale))
    names = ", ".join(sheet_name(cell) for cell in spread.used)
    return Drawing(
        width=spread.columns * px * scale, height=spread.rows * py * scale, strokes=tuple(strokes), name="map",
        alt=ALT["map_here"].format(names=names, here=sheet_name(here)) if here else ALT["map"].format(names=names),
    )  # fmt: skip


def _small(stroke: Stroke, zero: Point, scale: float) -> Stroke:
    """A stroke of the map, without the points that nobody would see."""
    kept: list[Point] = []
    for x, y in stroke.points:
        p = ((x - zero[0]) * scale, (y - zero[1]) * scale)
        if not kept or math.dist(p, kept[-1]) > 0.25:
            kept.append(p)
    return replace(stroke, points=tuple(kept), weight=MEDIUM if stroke.closed else FINE * 1.5)
