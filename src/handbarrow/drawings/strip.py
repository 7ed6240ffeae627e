"""The straight tube lying down, with its bend marks and holes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, WORD, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import spread
from handbarrow.drawings.running import PITCH, Running, running
from handbarrow.drawings.shapes import CHAIN, arrow, balloon
from handbarrow.drawings.widths import CAPITAL, text_width
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.values import BendRow, Job, JobHole, JobPart
from handbarrow.laws.units.shown import Shown, short_text

__all__ = ["tube_strip"]

TUBE = 8.0
"""Height of the tube on the paper [mm]."""
SIDE = 6.0
"""White at both ends [mm]."""
RING, ROW = 3.3, 9.6
"""Half a bend number's ring; height of the row of bends [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """A place on the straight tube: distance from the datum end, what is printed, the bend or hole it belongs to."""

    at: float
    x: float
    number: str
    row: BendRow | None = None
    hole: JobHole | None = None


def tube_strip(job: Job, part_id: str, width: float) -> Drawing:
    """Return the straight tube with its bend marks and holes, numbers running from the datum end.

    Args:
        job: The job.
        part_id: A tube or bar.
        width: Of the drawing [mm].

    Marks that would stand too close are moved apart on the paper; the numbers stay true and the drawing says so.

    Raises:
        ValueError: If the part is no tube or bar.
    """
    part, shown = job.part(part_id), job.workshop.shown
    if part.cut_length is None or part.section is None:
        raise ValueError(f"{part_id} is no tube or bar")
    left, right = SIDE, width - SIDE
    marks, true = _marks(part, part.cut_length, (left, right), shown)
    numbers = _numbers(marks, width)
    top = numbers.top
    strokes = [*_tube(left, right, top), *_feet(part, left, right, top)]
    for mark in marks:
        if mark.row is not None:
            strokes += _bend_mark(mark, part.cut_length, (left, right), top)
        elif mark.hole is not None:
            strokes += _hole_mark(mark, top)
    strokes += numbers.strokes
    more, said, y = _bend_words([m for m in marks if m.row is not None], top + TUBE, width)
    strokes += more
    words = [*numbers.words, *said, *_strip_words(part, left, right, y, true)]
    return Drawing(
        width=width, height=y + 6.5, strokes=tuple(strokes), words=tuple(words),
        scale=(right - left) / part.cut_length if true else None,
        alt=ALT["strip"].format(
            part=part.title, length=shown.length(part.cut_length, with_unit=True),
            marks=", ".join(m.number for m in marks),
        ),
        name=f"strip-{part.id}",
    )  # fmt: skip


def _marks(part: JobPart, length: float, ends: Point, shown: Shown) -> tuple[list[_Mark], bool]:
    """Marks, holes and both ends with their places on the paper; whether they stand to scale."""
    left, right = ends
    scale = (right - left) / length
    items: list[tuple[float, BendRow | None, JobHole | None]] = [(0.0, None, None), (length, None, None)]
    items += [(row.mark, row, None) for row in (part.card.rows if part.card else ())]
    items += [(hole.x, None, hole) for hole in part.holes]
    items.sort(key=lambda item: item[0])
    wanted = [left + min(max(at, 0.0), length) * scale for at, _, _ in items]
    placed = spread(wanted, PITCH * 1.3, left, right)
    true = all(abs(a - b) < 0.05 for a, b in zip(wanted, placed, strict=True))
    marks = [
        _Mark(at=at, x=x, number=shown.length(at), row=row, hole=hole)
        for (at, row, hole), x in zip(items, placed, strict=True)
    ]
    return marks, true


def _numbers(marks: Sequence[_Mark], width: float) -> Running:
    """Level numbers where there is room for them, else upright ones."""
    places, numbers = [m.x for m in marks], [m.number for m in marks]
    level = running(places, numbers, width, upright=False)
    if level is not None:
        return level
    upright = running(places, numbers, width, upright=True)
    if upright is None:
        raise ValueError(f"{len(marks)} marks have no room on {width:g} mm")
    return upright


def _tube(left: float, right: float, top: float) -> list[Stroke]:
    """The tube from outside with its crown line along the middle."""
    corners = ((left, top), (right, top), (right, top + TUBE), (left, top + TUBE))
    middle = top + TUBE / 2
    return [
        Stroke(points=corners, weight=HEAVY, closed=True, layer="tube"),
        Stroke(points=((left, middle), (right, middle)), weight=FINE, dash=CHAIN, layer="crown"),
    ]


def _feet(part: JobPart, left: float, right: float, top: float) -> list[Stroke]:
    """Mitred ends get a curved line inside the tube's end, so that they are not taken for square ones."""
    out = []
    for cut, x, sign in ((part.start, left, 1.0), (part.end, right, -1.0)):
        if cut is None or cut.kind == "square":
            continue
        depth = 2.6 * sign
        points = tuple((x + depth * math.sin(math.pi * i / 12), top + TUBE * i / 12) for i in range(13))
        out.append(Stroke(points=points, weight=MEDIUM, layer="tube"))
    return out


def _bend_mark(mark: _Mark, length: float, ends: Point, top: float) -> list[Stroke]:
    """The mark right round the tube, the stretch that is bent in grey, and an arrow to the side that is swept."""
    row = mark.row
    if row is None:
        return []
    scale = (ends[1] - ends[0]) / length
    sign = 1.0 if row.feed == "start" else -1.0
    begin = mark.x + sign * row.reference_offset * scale
    end = begin + sign * row.uses * scale
    lo, hi = max(min(begin, end), ends[0] + 0.4), min(max(begin, end), ends[1] - 0.4)
    grey = ((lo, top + 0.4), (hi, top + 0.4), (hi, top + TUBE - 0.4), (lo, top + TUBE - 0.4))
    y = top + TUBE * 0.75
    return [
        Stroke(points=grey, weight=0.0, closed=True, fill="grey", layer="bent"),
        Stroke(points=((mark.x, top - 1.0), (mark.x, top + TUBE + 1.5)), weight=HEAVY, layer="marks"),
        *arrow((mark.x, y), (mark.x + sign * 4.4, y), layer="marks", size=2.2),
    ]


def _hole_mark(mark: _Mark, top: float) -> list[Stroke]:
    """A cross for a hole's centre."""
    y = top + TUBE / 2
    return [
        Stroke(points=((mark.x - 1.6, y), (mark.x + 1.6, y)), weight=MEDIUM, layer="holes"),
        Stroke(points=((mark.x, y - 1.6), (mark.x, y + 1.6)), weight=MEDIUM, layer="holes"),
        Stroke(points=((mark.x, top - 1.0), (mark.x, top)), weight=FINE, layer="holes"),
    ]


def _bend_words(marks: Sequence[_Mark], y: float, width: float) -> tuple[list[Stroke], list[Text], float]:
    """Below the tube, for each bend: its number in a ring and beside it the angle to set.

    Where the angles have no room in one row, the rings stand alone: the card's table has them.
    """
    if not marks:
        return [], [], y
    lines = [
        DRAWN["set"].format(angle=short_text(math.degrees(m.row.set_angle_rad))) for m in marks if m.row is not None
    ]
    room = max(text_width(text, WORD, True) for text in lines) + 4.0
    if (room + 2 * RING) * len(marks) > width:
        room = 1.0
    places = spread([m.x for m in marks], room + 2 * RING, RING, width - room - RING)
    strokes: list[Stroke] = []
    words: list[Text] = []
    for mark, x, said in zip(marks, places, lines, strict=True):
        at = y + 2.6 + RING
        ring, number = balloon((x, at), str(mark.row.number) if mark.row else "")
        strokes += [Stroke(points=((mark.x, y + 1.5), (x, at - RING)), weight=FINE, layer="marks"), ring]
        words.append(number)
        if room > 1.0:
            words.append(Text(x=x + RING + 1.2, y=at + CAPITAL * WORD / 2, string=said, bold=True, layer="bends"))
    return strokes, words, y + ROW


def _strip_words(part: JobPart, left: float, right: float, y: float, true: bool) -> list[Text]:
    """Names of the ends and of the crown line, and whether the drawing is to scale."""
    keys = ("strip" if part.card else "strip_straight", "strip_short")
    said = [DRAWN[key if true else f"{key}_unscaled"] for key in keys] + ([] if true else [DRAWN["unscaled"]])
    low = y + 4.5
    start = Text(x=left - 2.0, y=low, string=DRAWN["start_datum"], bold=True, layer="ends")
    end = Text(x=right + 2.0, y=low, string=DRAWN["end"], anchor="end", bold=True, layer="ends")
    words = [start, end]
    between = (left + text_width(start.string, WORD, True) + right - text_width(end.string, WORD, True)) / 2
    room = right - left - text_width(start.string + end.string, WORD, True) - 6.0
    for text in said:
        if text_width(text, WORD) <= room:
            words.append(Text(x=between, y=low, string=text, anchor="middle", layer="notes"))
            break
    return words
