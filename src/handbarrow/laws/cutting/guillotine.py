"""One sheet cut from edge to edge into rectangles: the cuts that give pieces of most worth. Lengths are whole units."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Cut", "Grid", "Placed", "Rectangle", "SheetPattern", "best_pattern", "grid_of"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
MOST_POINTS = 140
"""With more places to cut at in one direction, pieces are rounded up to a coarser grid: layouts stay true."""
LEVELS = 6
"""So many times the way of cutting changes at most."""
SAME = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangle:
    """A piece: its size with the kerf, in whole units, and whether it may lie turned by a quarter."""

    length: int
    width: int
    may_turn: bool = True

    def ways(self) -> tuple[tuple[int, int, bool], ...]:
        """Sizes along and across the sheet, and whether it is turned."""
        if self.may_turn and self.length != self.width:
            return ((self.length, self.width, False), (self.width, self.length, True))
        return ((self.length, self.width, False),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A piece in a pattern: its number, where its lower left corner lies, whether it is turned."""

    piece: int
    x: int
    y: int
    turned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A straight cut through a part of the sheet that is whole until then."""

    x0: int
    y0: int
    x1: int
    y1: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPattern:
    """How one sheet is cut: pieces and the cuts in their order."""

    pieces: tuple[Placed, ...]
    cuts: tuple[Cut, ...]

    def counts(self, kinds: int) -> tuple[int, ...]:
        """How many of each piece it gives."""
        out = [0] * kinds
        for one in self.pieces:
            out[one.piece] += 1
        return tuple(out)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Places where a sheet may be cut, and the pieces as they are laid on it.

    Attributes:
        x: Along the sheet, rising from 0 to its length.
        y: Across it.
        pieces: Sizes on the grid: rounded up where it is coarse.
        exact: Whether no layout is lost by it.
    """

    x: Whole
    y: Whole
    pieces: tuple[Rectangle, ...]
    exact: bool


def grid_of(length: int, width: int, pieces: Sequence[Rectangle]) -> Grid:
    """Return the places where cuts are worth trying.

    Args:
        length: Of the sheet with one kerf [whole units].
        width: Of the sheet with one kerf [whole units].
        pieces: What is to be cut.

    Source: normal patterns: pieces pushed to the left and down lie at sums of lengths (J. C. Herz 1972, from memory).
    """
    along = {way[0] for piece in pieces for way in piece.ways()}
    across = {way[1] for piece in pieces for way in piece.ways()}
    x, y = _sums(along, length), _sums(across, width)
    if x is not None and y is not None:
        return Grid(x=x, y=y, pieces=tuple(pieces), exact=True)
    step = max(math.ceil(max(length, width) / MOST_POINTS), 1)
    coarse = tuple(
        Rectangle(length=-(-p.length // step) * step, width=-(-p.width // step) * step, may_turn=p.may_turn)
        for p in pieces
    )
    xs, ys = (np.unique(np.append(np.arange(0, size + 1, step), size)) for size in (length, width))
    return Grid(x=xs.astype(np.int64), y=ys.astype(np.int64), pieces=coarse, exact=False)


def _sums(sizes: set[int], most: int) -> Whole | None:
    """All sums of sizes up to a limit, and the limit; None: too many."""
    found = {0}
    fresh = [0]
    while fresh:
        at = fresh.pop()
        for size in sizes:
            if at + size <= most and at + size not in found:
                found.add(at + size)
                fresh.append(at + size)
        if len(found) > MOST_POINTS:
            return None
    return np.array(sorted(found | {most}), dtype=np.int64)


def best_pattern(grid: Grid, worth: Sequence[float]) -> tuple[float, SheetPattern]:
    """Return the pattern of most worth, any piece as often as it fits, and its worth.

    Args:
        grid: Places where the sheet may be cut.
        worth: Of each piece [any unit]; one that is worth nothing is left out.

    Source: P. C. Gilmore and R. E. Gomory 1965, the recursion over rectangles that one cut makes of a rectangle, from
    memory; swept along and across in turn until nothing changes.
    """
    value = np.zeros((len(grid.x), len(grid.y)))
    for piece, rect in enumerate(grid.pieces):
        if worth[piece] > 0:
            for along, across, _ in rect.ways():
                fits = np.ix_(grid.x >= along, grid.y >= across)
                value[fits] = np.maximum(value[fits], worth[piece])
    for _ in range(LEVELS):
        before = float(value.sum())
        _sweep(value, grid.x)
        _sweep(value.T, grid.y)
        if float(value.sum()) - before < SAME:
            break
    pieces: list[Placed] = []
    cuts: list[Cut] = []
    _read_off(grid, value, worth, (pieces, cuts))
    return float(value[-1, -1]), SheetPattern(pieces=tuple(pieces), cuts=tuple(cuts))


def _sweep(value: Floats, places: Whole) -> None:
    """Try all cuts square to the first axis, in place."""
    for i in range(1, len(places)):
        first = np.arange(1, i)
        first = first[places[first] * 2 <= places[i]]
        if len(first):
            rest = np.searchsorted(places, places[i] - places[first], side="right") - 1
            value[i] = np.maximum(value[i], (value[first] + value[rest]).max(axis=0))


def _read_off(grid: Grid, value: Floats, worth: Sequence[float], out: tuple[list[Placed], list[Cut]]) -> None:
    """Find again how the worth of the whole sheet came about."""
    waiting = [(len(grid.x) - 1, len(grid.y) - 1, 0, 0)]
    while waiting:
        i, j, x, y = waiting.pop()
        wanted = value[i, j]
        if wanted <= SAME:
            continue
        piece = _single(grid, worth, (i, j), wanted)
        if piece is not None:
            out[0].append(Placed(piece=piece[0], x=x, y=y, turned=piece[1]))
            continue
        found = _parted(value[: i + 1, j], grid.x, i)
        if found is not None:
            at = x + int(grid.x[found[0]])
            out[1].append(Cut(x0=at, y0=y, x1=at, y1=y + int(grid.y[j])))
            waiting += [(found[1], j, at, y), (found[0], j, x, y)]
            continue
        found = _parted(value[i, : j + 1], grid.y, j)
        if found is None:
            continue  # rounding: nothing to be had here after all
        at = y + int(grid.y[found[0]])
        out[1].append(Cut(x0=x, y0=at, x1=x + int(grid.x[i]), y1=at))
        waiting += [(i, found[1], x, at), (i, found[0], x, y)]


def _single(grid: Grid, worth: Sequence[float], at: tuple[int, int], wanted: float) -> tuple[int, bool] | None:
    """A piece that alone is worth as much, and whether it is turned."""
    for piece, rect in enumerate(grid.pieces):
        if abs(worth[piece] - wanted) < 1e-7:
            for along, across, turned in rect.ways():
                if along <= grid.x[at[0]] and across <= grid.y[at[1]]:
                    return piece, turned
    return None


def _parted(line: Floats, places: Whole, i: int) -> tuple[int, int] | None:
    """A cut of a rectangle into two that are worth as much together: where both end."""
    first = np.arange(1, i)
    if not len(first):
        return None
    rest = np.searchsorted(places, places[i] - places[first], side="right") - 1
    both = line[first] + line[rest]
    best = int(np.argmax(both))
    return (int(first[best]), int(rest[best])) if both[best] > line[i] - 1e-7 else None
