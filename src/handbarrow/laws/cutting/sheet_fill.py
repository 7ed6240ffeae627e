"""Sheets filled piece by piece, cut from edge to edge: quick, and often as good as can be. Lengths are whole units.

Each free rectangle is what cuts have left whole. A piece goes into the corner of the one that it fits best; two cuts
part what is left beside and above it.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from handbarrow.laws.cutting.guillotine import Cut, Placed, Rectangle, SheetPattern

__all__ = ["fill_sheets"]

Free = tuple[int, int, int, int]
"""x, y, length, width."""
Split = Literal["short", "long", "along", "across"]
ORDERS: tuple[Callable[[Rectangle], tuple[int, int]], ...] = (
    lambda p: (p.length * p.width, max(p.length, p.width)),
    lambda p: (max(p.length, p.width), min(p.length, p.width)),
    lambda p: (min(p.length, p.width), max(p.length, p.width)),
    lambda p: (p.width, p.length),
    lambda p: (p.length, p.width),
)
FITS: tuple[Callable[..., tuple[int, int]], ...] = (
    lambda a, b, *_: (min(a, b), max(a, b)),
    lambda a, b, along, across: ((a + along) * (b + across) - along * across, min(a, b)),
    lambda a, b, *_: (max(a, b), min(a, b)),
)
Fit = Callable[..., tuple[int, int]]
GOLDEN, SILVER = 0.6180339887498949, 0.41421356237309515
CLIMBS = 6
"""So many of the best ways are bettered further."""
SPLITS: tuple[Split, ...] = ("short", "long", "along", "across")


@dataclass(slots=True)
class _Open:
    """A sheet that is being filled."""

    free: list[Free]
    pieces: list[Placed] = field(default_factory=list)
    cuts: list[Cut] = field(default_factory=list)


def fill_sheets(
    pieces: Sequence[Rectangle], demand: Sequence[int], size: tuple[int, int], enough: int, tries: int = 0
) -> list[SheetPattern]:
    """Return the fewest sheets that some sixty ways of filling them come to.

    Args:
        pieces: What is to be cut, each with one kerf.
        demand: How many of each.
        size: Length and width of the sheet with one kerf [whole units].
        enough: So few sheets that no fewer can do: then it stops.
        tries: So many more ways: pieces change places in the order; always the same for the same asking.

    Raises:
        ValueError: If a piece fits no sheet.

    Source: guillotine placing with free rectangles (J. Jylanki 2010, from memory).
    """
    best: list[SheetPattern] | None = None
    starts: list[tuple[tuple[int, int], int, list[int], tuple[Fit, Split]]] = []
    for order, fit, split in itertools.product(ORDERS, FITS, SPLITS):
        kinds = sorted(range(len(pieces)), key=lambda k: order(pieces[k]), reverse=True)
        row = [k for k in kinds for _ in range(demand[k])]
        found = _filled(row, pieces, size, (fit, split))
        starts.append((_key(found, pieces), len(starts), row, (fit, split)))
        if best is None or starts[-1][0] < _key(best, pieces):
            best = found
        if len(best) <= enough:
            return best
    starts.sort(key=lambda start: start[:2])
    for key, _, row, rules in starts[:CLIMBS] if sum(demand) > 1 else ():
        better = _climbed(row, key, (pieces, size, rules), enough, tries // CLIMBS)
        if better is not None and (best is None or _key(better, pieces) < _key(best, pieces)):
            best = better
        if best is not None and len(best) <= enough:
            break
    return best or []


def _climbed(
    row: list[int],
    key: tuple[int, int],
    problem: tuple[Sequence[Rectangle], tuple[int, int], tuple[Fit, Split]],
    enough: int,
    tries: int,
) -> list[SheetPattern] | None:
    """Change places of two pieces in the order, again and again, and keep what is no worse: no chance in it."""
    pieces, size, rules = problem
    best = None
    for number in range(1, tries + 1):
        i, j = (int(number * step % 1.0 * len(row)) for step in (GOLDEN, SILVER))
        if row[i] == row[j]:
            continue
        tried = row.copy()
        tried[i], tried[j] = tried[j], tried[i]
        found = _filled(tried, pieces, size, rules)
        now = _key(found, pieces)
        if now <= key:
            best, key, row = found if now < key or best is None else best, now, tried
        if now[0] <= enough:
            return found
    return best


def _key(found: Sequence[SheetPattern], pieces: Sequence[Rectangle]) -> tuple[int, int]:
    """Fewer sheets first; then the emptier the emptiest."""
    areas = [sum(pieces[p.piece].length * pieces[p.piece].width for p in sheet.pieces) for sheet in found]
    return len(found), min(areas, default=0)


def _filled(
    row: Sequence[int],
    pieces: Sequence[Rectangle],
    size: tuple[int, int],
    rules: tuple[Fit, Split],
) -> list[SheetPattern]:
    sheets: list[_Open] = []
    for piece in row:
        seat = _seat(pieces[piece], sheets, rules[0])
        if seat is None:
            sheets.append(_Open([(0, 0, *size)]))
            seat = _seat(pieces[piece], sheets[-1:], rules[0])
            if seat is None:
                raise ValueError(f"piece {piece} fits no sheet")
        _put(*seat, piece, rules[1])
    return [SheetPattern(pieces=tuple(s.pieces), cuts=tuple(s.cuts)) for s in sheets]


def _seat(rect: Rectangle, sheets: Sequence[_Open], fit: Fit) -> tuple[_Open, int, tuple[int, int, bool]] | None:
    """Sheet, free rectangle and way to lie that fit best, of the first sheet that has room."""
    for sheet in sheets:
        best, chosen = None, None
        for number, (_, _, length, width) in enumerate(sheet.free):
            for way in rect.ways():
                a, b = length - way[0], width - way[1]
                if a >= 0 and b >= 0:
                    key = fit(a, b, way[0], way[1])
                    if best is None or key < best:
                        best, chosen = key, (sheet, number, way)
        if chosen is not None:
            return chosen
    return None


def _put(sheet: _Open, number: int, way: tuple[int, int, bool], piece: int, split: Split) -> None:
    x, y, length, width = sheet.free.pop(number)
    along, across, turned = way
    a, b = length - along, width - across
    sheet.pieces.append(Placed(piece=piece, x=x, y=y, turned=turned))
    first_across = {"short": a >= b, "long": a < b, "along": False, "across": True}[split]
    if first_across:  # the first cut runs across the sheet, beside the piece
        if a:
            sheet.cuts.append(Cut(x0=x + along, y0=y, x1=x + along, y1=y + width))
            sheet.free.append((x + along, y, a, width))
        if b:
            sheet.cuts.append(Cut(x0=x, y0=y + across, x1=x + along, y1=y + across))
            sheet.free.append((x, y + across, along, b))
    else:
        if b:
            sheet.cuts.append(Cut(x0=x, y0=y + across, x1=x + length, y1=y + across))
            sheet.free.append((x, y + across, length, b))
        if a:
            sheet.cuts.append(Cut(x0=x + along, y0=y, x1=x + along, y1=y + across))
            sheet.free.append((x + along, y, a, across))
