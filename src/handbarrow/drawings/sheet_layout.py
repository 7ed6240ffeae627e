"""A sheet as it is cut, to scale: blanks with their names and sizes, cuts from edge to edge with their numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, WORD, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.widths import CAPITAL, broken, text_width
from handbarrow.drawings.words import ALT
from handbarrow.job.sheet_values import CutSheet, SheetPiece
from handbarrow.job.values import Job
from handbarrow.laws.units.shown import Shown

__all__ = ["sheet_layout", "useful_cuts"]

TOP, LEFT, SIDE = 8.0, 14.0, 5.0
"""Room for the size along, across, and white on the other sides [mm]."""
LINE, SMALLEST = 4.2, 2.6
"""Pitch of lines of words; letters smaller than this are not read at the bench [mm]."""
BALL = 2.6
"""Half the size of a cut's number's ring [mm]."""
WASTE = 0.1
"""A cut so near to an edge takes nothing away [mm]."""

Cut = tuple[float, float, float, float]


def useful_cuts(cut: CutSheet) -> tuple[Cut, ...]:
    """Return the cuts that bound a blank on one of their sides at least; others part waste from waste."""
    out = []
    for x0, y0, x1, y1 in cut.cuts:
        level = abs(y1 - y0) < WASTE
        if any(_bounds(piece, (x0, y0, x1, y1), level) for piece in cut.pieces):
            out.append((x0, y0, x1, y1))
    return tuple(out)


def _bounds(piece: SheetPiece, cut: Cut, level: bool) -> bool:
    """Whether a cut runs along a piece; kerfs lie beside it."""
    x0, y0, x1, y1 = cut
    low, high, at = (piece.y, piece.y + piece.width, y0) if level else (piece.x, piece.x + piece.length, x0)
    along = (
        min(x1, piece.x + piece.length) - max(x0, piece.x)
        if level
        else min(y1, piece.y + piece.width) - max(y0, piece.y)
    )
    return along > WASTE and (low - 25.0 <= at <= low + WASTE or high - WASTE <= at <= high + 25.0)


def sheet_layout(job: Job, cut: CutSheet, box: tuple[float, float]) -> Drawing:
    """Return a sheet to scale in a box [mm], its length across the paper.

    Args:
        job: The job.
        cut: A sheet of the cutting plan.
        box: Room across and down.
    """
    shown = job.workshop.shown
    scale = min((box[0] - LEFT - SIDE) / cut.length, (box[1] - TOP - SIDE) / cut.width)
    high = cut.width * scale

    def on(x: float, y: float) -> Point:
        return (LEFT + x * scale, TOP + high - y * scale)

    corners = (on(0, 0), on(cut.length, 0), on(cut.length, cut.width), on(0, cut.width))
    strokes = [Stroke(points=corners, weight=HEAVY, closed=True, layer="sheet")]
    words = [
        Text(x=on(cut.length / 2, 0)[0], y=TOP - 2.5, string=shown.length(cut.length), size=NUMBER, anchor="middle"),
        Text(
            x=LEFT - 3.0, y=TOP + high / 2, string=shown.length(cut.width), size=NUMBER, anchor="middle",
            rotation_rad=-math.pi / 2,
        ),
    ]  # fmt: skip
    for piece in cut.pieces:
        a, b = on(piece.x, piece.y), on(piece.x + piece.length, piece.y + piece.width)
        strokes.append(Stroke(points=(a, (b[0], a[1]), b, (a[0], b[1])), weight=MEDIUM, closed=True, layer="blanks"))
        words += _label(job.part(piece.part).title, piece, (a, b), shown)
    for number, (x0, y0, x1, y1) in enumerate(useful_cuts(cut), start=1):
        a, b = on(x0, y0), on(x1, y1)
        strokes.append(Stroke(points=(a, b), weight=HEAVY, layer="cuts"))
        found = _numbered(number, (a, b))
        strokes.append(found[0])
        words.append(found[1])
    names = sorted({job.part(piece.part).title for piece in cut.pieces})
    size = f"{shown.length(cut.length)} × {shown.length(cut.width)}"
    return Drawing(
        width=LEFT + cut.length * scale + SIDE, height=TOP + high + SIDE, strokes=tuple(strokes), words=tuple(words),
        scale=scale, name="sheet-layout", alt=ALT["sheet_layout"].format(size=size, parts=", ".join(names)),
    )  # fmt: skip


def _numbered(number: int, line: tuple[Point, Point]) -> tuple[Stroke, Text]:
    """A cut's number in a ring, near the end where it starts."""
    (x0, y0), (x1, y1) = line
    length = math.dist(*line)
    f = min(0.5, (BALL * 1.6 + (number % 3) * BALL * 2.2) / max(length, 1e-6))
    x, y = x0 + (x1 - x0) * f, y0 + (y1 - y0) * f
    ring = tuple((x + BALL * math.cos(a), y + BALL * math.sin(a)) for a in (math.pi * k / 12 for k in range(24)))
    text = Text(x=x, y=y + CAPITAL * SMALLEST / 2, string=str(number), size=SMALLEST, anchor="middle", bold=True)
    return Stroke(points=ring, weight=FINE, closed=True, fill="white", layer="cuts"), text


def _label(title: str, piece: SheetPiece, box: tuple[Point, Point], shown: Shown) -> list[Text]:
    """Name and size in the blank, upright if it is narrow; smaller where there is no room, nothing at the last."""
    (x0, y0), (x1, y1) = box
    across, down = abs(x1 - x0) - 1.6, abs(y1 - y0) - 1.6
    size = f"{shown.length(piece.length)} × {shown.length(piece.width)}"
    upright = down > across * 1.4
    wide, tall = (down, across) if upright else (across, down)
    for em in (WORD, 3.0, SMALLEST):
        lines = _lines((title, size), wide, em)
        pitch = LINE * em / WORD
        if len(lines) * pitch <= tall and all(text_width(line, em) <= wide for line in lines):
            return _set(lines, ((x0 + x1) / 2, (y0 + y1) / 2), (em, pitch), upright)
    single = f"{title}  {size}"
    if text_width(single, SMALLEST) <= wide and tall >= SMALLEST:
        return _set([single], ((x0 + x1) / 2, (y0 + y1) / 2), (SMALLEST, 0.0), upright)
    return []


def _lines(texts: Sequence[str], wide: float, em: float) -> list[str]:
    return [line for text in texts for line in broken(text, wide, em)]


def _set(lines: Sequence[str], middle: Point, sizes: tuple[float, float], upright: bool) -> list[Text]:
    em, pitch = sizes
    first = -(len(lines) - 1) * pitch / 2 + CAPITAL * em / 2
    turn = -math.pi / 2 if upright else 0.0
    out = []
    for k, line in enumerate(lines):
        off = first + k * pitch
        x, y = (middle[0] + off, middle[1]) if upright else (middle[0], middle[1] + off)
        out.append(Text(x=x, y=y, string=line, size=em, anchor="middle", rotation_rad=turn, layer="names"))
    return out
