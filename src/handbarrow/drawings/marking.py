"""Marking out: faces at true size with openings, scribed lines and running numbers from two datum edges.

A figure is what is cut and drilled, in its own axes (mm, y up). `set_out` puts it on the paper: numbers across above
it, numbers up beside it, each with a line to its place, the sizes of holes and slots beside them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from handbarrow.drawings import running
from handbarrow.drawings.contours import Contour, flattened, notched, slot_outline, way_out
from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, WORD, Anchor, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room, spread
from handbarrow.drawings.shapes import CHAIN, circle
from handbarrow.drawings.widths import CAPITAL, text_width
from handbarrow.drawings.words import DRAWN
from handbarrow.job.values import JobHole
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import Shown

__all__ = [
    "DATUM",
    "Figure",
    "Marked",
    "Opening",
    "Place",
    "Running",
    "distinct",
    "figure",
    "opening_strokes",
    "set_out",
]

SAME = 0.05
"""Places closer than this get one number [mm]."""
ROW = 5.0
"""Pitch of the numbers in a column [mm]."""
CROSS = 3.0
"""Reach of a centre cross beyond what is smallest to see [mm]."""
SIDE, NAMES, RADIUS, BELOW = 3.0, 14.0, 6.0, 6.0
"""White round a face where no number stands; room for names right of it, for notes alone, and below it [mm]."""
DATUM = 1.1
"""Weight of the line along an edge that is measured from [mm]."""
STRAY = 5.0
"""How far a level number may stand from its line before all stand upright [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A hole or a slot.

    Attributes:
        centres: Where to drill: one centre for a hole, the centres of both round ends for a slot.
        diameter: Of the drill, or the width of the slot.
        length: Of a slot over all; 0 for a hole.
        contour: Outline of a slot that is closed; None for a hole and for a slot that runs out over the edge.
        runs_out: Whether the slot runs out over the edge.
    """

    centres: tuple[Vec2, ...]
    diameter: float
    length: float = 0.0
    contour: Contour | None = None
    runs_out: bool = False

    def label(self, shown: Shown) -> str:
        """As `Ø8.5`, `slot 10.5 × 24`, `open slot 10.5`."""
        wide = shown.length(self.diameter, "fine")
        if self.runs_out:
            return DRAWN["open_slot"].format(width=wide)
        if not self.length:
            return f"Ø{wide}"
        return DRAWN["slot"].format(width=wide, length=shown.length(self.length, "fine"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """An outline with what is drilled in it. `missed`: slots that should run out over the edge but do not reach it."""

    contour: Contour
    openings: tuple[Opening, ...]
    missed: int = 0


def figure(contour: Contour, holes: Iterable[JobHole], out: Vec2 | None = None) -> Figure:
    """Return a figure; `out`: the way in which open slots run out, if it is not the way to the nearest edge."""
    openings: list[Opening] = []
    missed = 0
    for hole in holes:
        at = (hole.x, hole.y)
        if hole.length <= hole.diameter and not hole.open_edge:
            openings.append(Opening(centres=(at,), diameter=hole.diameter))
            continue
        if hole.open_edge:
            way = out or way_out(contour, at, hole.angle_rad)
            cut = notched(contour, at, hole.diameter, max(hole.length, hole.diameter), way)
            if cut is not None:
                contour, centre = cut
                openings.append(Opening(centres=(centre,), diameter=hole.diameter, length=hole.length, runs_out=True))
                continue
            missed += 1
        openings.append(_slot(hole))
    return Figure(contour=contour, openings=tuple(openings), missed=missed)


def _slot(hole: JobHole) -> Opening:
    reach = (hole.length - hole.diameter) / 2
    dx, dy = reach * math.cos(hole.angle_rad), reach * math.sin(hole.angle_rad)
    return Opening(
        centres=((hole.x - dx, hole.y - dy), (hole.x + dx, hole.y + dy)),
        diameter=hole.diameter,
        length=hole.length,
        contour=slot_outline((hole.x, hole.y), hole.diameter, hole.length, hole.angle_rad),
    )


# ------------------------------------------------------------------------------------------------ on the paper
@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a figure lies on the paper, at 1:1: its zero, and whether its y runs down (`flip`) instead of up."""

    left: float
    base: float
    flip: bool = False

    def at(self, point: Sequence[float]) -> Point:
        """Place of a point on the paper."""
        return (self.left + point[0], self.base + (point[1] if self.flip else -point[1]))

    def outline(self, contour: Contour, layer: str = "cut", weight: float = HEAVY) -> Stroke:
        """A contour as a stroke."""
        points = tuple(self.at(p) for p in flattened(contour))
        return Stroke(points=points, weight=weight, closed=True, layer=layer)


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """A running number: its place along the edge, what is printed, how far its line reaches into the face."""

    at: float
    number: str
    reach: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """A face (or faces in one) to be marked out. Paper axes, zero at its own top left corner.

    Attributes:
        width: Of the faces [mm].
        height: Of the faces [mm].
        strokes: What is drawn of them.
        openings: Holes and slots, each with where its figure lies.
        across: Running numbers above, sorted.
        down: Running numbers beside, sorted.
        notes: Words, each with the places where it may stand.
    """

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    openings: tuple[tuple[Opening, Place], ...]
    across: tuple[Running, ...]
    down: tuple[Running, ...]
    notes: tuple[tuple[Text, tuple[Point, ...]], ...] = ()


def set_out(face: Marked, shown: Shown, name: str, alt: str) -> Drawing:
    """Return a marked face at 1:1: numbers above and to the left, names of openings where it is clear."""
    left = max((text_width(r.number, NUMBER) for r in face.down), default=0.0) + 6.5 if face.down else SIDE
    width = left + face.width + SIDE + (NAMES if face.openings else RADIUS if face.notes else 0.0)
    width = max(width, running.PITCH * (len(face.across) + 1))
    row = _across(face.across, left, width - 0.5)
    spare = max(0.0, (len(face.down) - 1) * ROW - face.height) / 2 + 2.0
    top = max(row.top, spare + (row.top if spare > row.top - 6.0 else 0.0))
    room = Room(width, top + face.height + max(spare, SIDE) + BELOW)
    strokes = [*(_moved(s, 0.0, top - row.top) for s in row.strokes)]
    words = [replace(w, y=w.y + top - row.top) for w in row.words]
    more, said = _beside(face.down, left, top, (top - spare + 2.0, top + face.height + spare - 2.0))
    strokes += more
    words += said
    strokes += [_scribed((left + r.at, top), (left + r.at, top + r.reach)) for r in face.across if r.reach > 0.3]
    strokes += [_scribed((left, top + r.at), (left + r.reach, top + r.at)) for r in face.down if r.reach > 0.3]
    strokes += [_moved(s, left, top) for s in face.strokes]
    placed = [(o, replace(p, left=p.left + left, base=p.base + top)) for o, p in face.openings]
    strokes += [s for o, p in placed for s in opening_strokes(o, p)]
    for word in words:
        room.take(word)
    room.block(strokes)
    for text, places in face.notes:
        put = room.put(text, [(x + left, y + top) for x, y in places])
        words += [put] if put else []
    leaders, names = label_openings(room, placed, shown)
    strokes += leaders
    return Drawing(
        width=width, height=room.height, strokes=tuple(strokes), words=(*words, *names), scale=1.0, name=name, alt=alt
    )


def opening_strokes(opening: Opening, place: Place) -> list[Stroke]:
    """The opening's outline and a cross on each centre to punch."""
    out = []
    if opening.contour is not None:
        out.append(place.outline(opening.contour, "cut", MEDIUM))
    for centre in opening.centres:
        x, y = place.at(centre)
        round_ = not opening.length
        out.append(circle((x, y), opening.diameter / 2, MEDIUM if round_ else FINE, "drill"))
        reach = max(CROSS, opening.diameter / 2 + 1.5)
        out.append(Stroke(points=((x - reach, y), (x + reach, y)), weight=FINE, layer="mark"))
        out.append(Stroke(points=((x, y - reach), (x, y + reach)), weight=FINE, layer="mark"))
    return out


def distinct(values: Iterable[Vec2]) -> list[Vec2]:
    """Sorted (place, how far its line reaches); places closer than SAME become one, with the longest reach.

    >>> distinct([(5.0, 1.0), (0.0, 0.0), (5.01, 3.0)])
    [(0.0, 0.0), (5.0, 3.0)]
    """
    out: list[Vec2] = []
    for value, reach in sorted(values):
        if out and value - out[-1][0] < SAME:
            out[-1] = (out[-1][0], max(out[-1][1], reach))
        else:
            out.append((value, reach))
    return out


def _across(items: Sequence[Running], left: float, width: float) -> running.Running:
    """Running numbers above: level where they stand by their lines, else upright."""
    wanted, numbers = [left + r.at for r in items], [r.number for r in items]
    level = running.running(wanted, numbers, width, upright=False)
    if level is not None and level.moved <= STRAY:
        return level
    upright = running.running(wanted, numbers, width, upright=True) or level
    if upright is None:
        raise ValueError(f"{len(numbers)} running sizes have no room on {width:g} mm")
    return upright


def _beside(
    items: Sequence[Running], edge: float, top: float, limits: tuple[float, float]
) -> tuple[list[Stroke], list[Text]]:
    """Running numbers to the left of a face, moved apart where they are close."""
    strokes, words = [], []
    wanted = [top + r.at for r in items]
    for y, item, shown in zip(wanted, items, spread(wanted, ROW, *limits), strict=True):
        x = edge - 5.6
        bent = ((x + 0.6, shown), (x + 1.8, shown), (edge - 1.4, y), (edge - 0.4, y))
        line = (bent[0], bent[-1]) if abs(shown - y) < SAME else bent
        strokes.append(Stroke(points=line, weight=FINE, layer="running"))
        low = shown + CAPITAL * NUMBER / 2
        words.append(Text(x=x, y=low, string=item.number, size=NUMBER, anchor="end", layer="running"))
    return strokes, words


def _moved(stroke: Stroke, dx: float, dy: float) -> Stroke:
    return replace(stroke, points=tuple((x + dx, y + dy) for x, y in stroke.points))


def _scribed(a: Point, b: Point) -> Stroke:
    """A line to scribe."""
    return Stroke(points=(a, b), weight=FINE, dash=CHAIN, layer="mark")


# ------------------------------------------------------------------------------------------------ names of openings
def label_openings(
    room: Room, openings: Iterable[tuple[Opening, Place]], shown: Shown
) -> tuple[list[Stroke], list[Text]]:
    """Say what each opening is, close by and clear of all lines; where there is no clear place, across fine lines."""
    strokes: list[Stroke] = []
    words: list[Text] = []
    for opening, place in openings:
        text = Text(x=0.0, y=0.0, string=opening.label(shown), size=WORD, bold=True, layer="names")
        x, y = place.at(opening.centres[-1])
        found = _put(room, text, (x, y), opening.diameter / 2)
        if found is None:
            continue
        put, leader = found
        words.append(put)
        if leader is not None:
            strokes.append(leader)
            room.block([leader])
    return strokes, words


def _put(room: Room, text: Text, at: Point, radius: float) -> tuple[Text, Stroke | None] | None:
    for cross_lines, cross_words in ((False, False), (True, False), (True, True)):
        for x, y, anchor, far in _seats(at, radius):
            tried = Text(x=x, y=y, string=text.string, size=text.size, anchor=anchor, bold=True, layer=text.layer)
            leader = _leader(tried, at, radius) if far else None
            if leader is not None and not cross_words and room.is_crossed([leader]):
                continue
            if room.is_clear(tried, 0.5, cross_lines):
                return room.take(tried, 0.5), leader
    return None


def _seats(at: Point, radius: float) -> Iterator[tuple[float, float, Anchor, bool]]:
    """Places for a name: right up of the hole, and the other three quarters, nearest first."""
    for more in (1.0, 3.0, 6.0, 10.0, 15.0, 22.0, 30.0, 40.0, 55.0, 75.0):
        reach = radius * 0.75 + more
        for sx, sy in ((1, -1), (1, 1), (-1, -1), (-1, 1)):
            anchor: Anchor = "start" if sx > 0 else "end"
            y = at[1] + sy * reach + (CAPITAL * WORD if sy > 0 else 0.0)
            yield at[0] + sx * reach, y, anchor, more > 3.0


def _leader(text: Text, at: Point, radius: float) -> Stroke:
    """From the name to the rim of the opening."""
    x, y = text.x + (-0.5 if text.anchor == "start" else 0.5), text.y - CAPITAL * text.size / 2
    away = math.dist((x, y), at)
    rim = (at[0] + (x - at[0]) * radius / away, at[1] + (y - at[1]) * radius / away)
    return Stroke(points=((x, y), rim), weight=FINE, layer="names")
