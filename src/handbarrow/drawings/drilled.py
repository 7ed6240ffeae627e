"""Bars with holes and slots at true size: the straight piece, or its drilled stretches, each drilled face from outside.

The datum end lies to the left. The legs of an angle are folded out about the heel: the width leg above it, the height
leg below it, both as seen from outside. Numbers across count from the datum end, numbers up from the heel or an edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from handbarrow.drawings.contours import Contour, Vertex, flattened
from handbarrow.drawings.ink import FINE, HEAVY, WORD, Point, Stroke, Text
from handbarrow.drawings.marking import DATUM, Figure, Marked, Opening, Place, Running, distinct, figure, set_out
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.shapes import CHAIN
from handbarrow.drawings.widths import text_width
from handbarrow.drawings.words import ALT, DRAWN, FACES
from handbarrow.job.values import Job, JobHole, JobPart
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.units.shown import Shown

__all__ = ["bar_views", "is_drilled_bar"]

MARGINS = 32.0
"""Room beside a face for its numbers and names [mm]."""
ROUND_HOLE, AT_END = 11.0, 10.0
"""How much of the bar is drawn round a hole, and at an end that has none near [mm]."""
GAP = 7.0
"""White where a stretch is left out [mm]."""
AROUND = ("crown", "left", "bottom", "right")
"""What lies above a face seen from outside with the datum end to the left."""

Stretch = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """A face or leg: from which y to which it goes in its own axes, what it is called, which holes it has."""

    name: str
    low: float
    high: float
    holes: tuple[JobHole, ...]
    is_leg: bool = False


def is_drilled_bar(part: JobPart) -> bool:
    """Whether a part is a bar, flat or angle with holes or slots: tubes are marked on their strip."""
    return part.section is not None and not part.section.is_hollow and bool(part.holes) and part.cut_length is not None


def bar_views(job: Job, part_id: str, width: float) -> tuple[Drawing, ...]:
    """Return the drilled faces of a bar at 1:1, each in as many rows as it needs.

    Args:
        job: The job.
        part_id: A bar with holes or slots.
        width: Largest width of a drawing [mm].

    Raises:
        ValueError: If the part is no bar with holes.
    """
    part, shown = job.part(part_id), job.workshop.shown
    if not is_drilled_bar(part) or part.section is None or part.cut_length is None:
        raise ValueError(f"{part_id} is no bar with holes")
    out: list[Drawing] = []
    for sides in _faces(part.section, part.holes):
        holes = [h for side in sides for h in side.holes]
        for row in _rows(holes, part.cut_length, width - MARGINS):
            face = _marked(_lying(part.section, sides, part.cut_length), row, shown)
            says = ", ".join(side.name for side in sides)
            places = (ALT["from_start"].format(x=shown.length(h.x)) for h in sorted(holes, key=lambda h: h.x))
            alt = ALT["drilled"].format(part=part.title, faces=says, holes="; ".join(places))
            out.append(set_out(face, shown, f"drilled-{part.id}-{len(out) + 1}", alt))
    return tuple(out)


# ------------------------------------------------------------------------------------------------ faces
def _faces(section: Section, holes: Sequence[JobHole]) -> list[tuple[_Side, ...]]:
    """What is drawn together: both legs of an angle, else each drilled face by itself."""
    if section.shape == "angle":
        legs = (("width leg", section.width), ("height leg", section.height))
        return [
            tuple(
                _Side(
                    name=FACES[name], low=0.0, high=size, holes=tuple(h for h in holes if h.face == name), is_leg=True
                )
                for name, size in legs
            )
        ]
    out: list[tuple[_Side, ...]] = []
    for face in AROUND:
        own = tuple(h for h in holes if h.face == face)
        half = (section.width if face in ("crown", "bottom") else section.height) / 2
        if own:
            out.append((_Side(name=_said(section, face), low=-half, high=half, holes=own),))
    return out


def _said(section: Section, face: str) -> str:
    return FACES[f"round {face}" if section.is_round else face]


# ------------------------------------------------------------------------------------------------ stretches
def _rows(holes: Sequence[JobHole], length: float, room: float) -> list[list[Stretch]]:
    """The whole piece in one row if it fits, else stretches round the holes and the ends, in rows."""
    if length <= room:
        return [[(0.0, length)]]
    spots = [(0.0, AT_END), *((h.x - _reach(h), h.x + _reach(h)) for h in holes), (length - AT_END, length)]
    stretches: list[Stretch] = []
    for low, high in sorted((max(0.0, a), min(length, b)) for a, b in spots):
        if stretches and low - stretches[-1][1] < GAP + 8.0 and high - stretches[-1][0] <= room:
            stretches[-1] = (stretches[-1][0], max(high, stretches[-1][1]))
        else:
            stretches.append((max(low, stretches[-1][1]) if stretches else low, high))
    rows: list[list[Stretch]] = [[]]
    for stretch in stretches:
        used = sum(b - a + GAP for a, b in rows[-1])
        if rows[-1] and used + stretch[1] - stretch[0] > room:
            rows.append([])
        rows[-1].append(stretch)
    return rows


def _reach(hole: JobHole) -> float:
    return ROUND_HOLE + max(hole.diameter, hole.length) / 2


def _starts(row: Sequence[Stretch]) -> list[float]:
    """Where each stretch starts on the paper."""
    out = [0.0]
    for low, high in row[:-1]:
        out.append(out[-1] + high - low + GAP)
    return out


# ------------------------------------------------------------------------------------------------ on the paper
@dataclass(frozen=True, slots=True, kw_only=True)
class _Lying:
    """Faces as they lie on the paper, from its top left corner.

    Attributes:
        length: Of the bar.
        sides: The faces.
        bases: Where each lies, as if the bar's start were at the left.
        height: Of all of them.
        datum: The line that numbers up and down count from; None: a round bar, which has no edge.
    """

    length: float
    sides: tuple[_Side, ...]
    bases: tuple[Place, ...]
    height: float
    datum: float | None


def _lying(section: Section, sides: tuple[_Side, ...], length: float) -> _Lying:
    if section.shape == "angle":
        heel = sides[0].high
        bases: tuple[Place, ...] = (Place(left=0.0, base=heel), Place(left=0.0, base=heel, flip=True))
        return _Lying(length=length, sides=sides, bases=bases, height=heel + sides[1].high, datum=heel)
    base = Place(left=0.0, base=-sides[0].low, flip=True)
    height = sides[0].high - sides[0].low
    return _Lying(length=length, sides=sides, bases=(base,), height=height, datum=None if section.is_round else 0.0)


def _marked(lie: _Lying, row: Sequence[Stretch], shown: Shown) -> Marked:
    strokes: list[Stroke] = []
    openings: list[tuple[Opening, Place]] = []
    starts = _starts(row)
    for stretch, start in zip(row, starts, strict=True):
        more, found = _stretch(lie, stretch, start)
        strokes += more
        openings += found
    width = starts[-1] + row[-1][1] - row[-1][0]
    return Marked(
        width=width,
        height=lie.height,
        strokes=tuple(strokes),
        openings=tuple(openings),
        across=tuple(_across(lie, row, openings, shown)),
        down=tuple(_down(lie, openings, shown)),
        notes=tuple(_notes(lie, row, starts)),
    )


def _stretch(lie: _Lying, stretch: Stretch, start: float) -> tuple[list[Stroke], list[tuple[Opening, Place]]]:
    low, high = stretch
    end = start + high - low
    strokes: list[Stroke] = []
    openings = []
    for side, base in zip(lie.sides, lie.bases, strict=True):
        place = replace(base, left=start - low)
        own = _figure(side, stretch)
        strokes += _edges(own.contour, stretch, lie.length, place)
        openings += [(opening, place) for opening in own.openings]
    for x, is_end in ((start, low <= 0.0), (end, high >= lie.length)):
        if not is_end:
            strokes.append(_break(x, lie.height))
    if low <= 0.0:
        strokes.append(Stroke(points=((start, 0.0), (start, lie.height)), weight=DATUM, layer="datum"))
    if lie.datum is None:
        middle = ((start - 1.5, lie.height / 2), (end + 1.5, lie.height / 2))
        strokes.append(Stroke(points=middle, weight=FINE, dash=CHAIN, layer="crown"))
    else:
        strokes.append(Stroke(points=((start, lie.datum), (end, lie.datum)), weight=DATUM, layer="datum"))
    return strokes, openings


def _figure(side: _Side, stretch: Stretch) -> Figure:
    """A stretch of a face; open slots run out over the free edge of a leg, else over the nearest edge."""
    low, high = stretch
    corners = ((low, side.low), (high, side.low), (high, side.high), (low, side.high))
    contour: Contour = tuple(Vertex(*p) for p in corners)
    across = [h for h in side.holes if low <= h.x <= high and abs(math.sin(h.angle_rad)) > 0.5]
    along = [h for h in side.holes if low <= h.x <= high and abs(math.sin(h.angle_rad)) <= 0.5]
    cut = figure(contour, across, (0.0, 1.0) if side.is_leg else None)
    rest = figure(cut.contour, along)
    return Figure(contour=rest.contour, openings=(*cut.openings, *rest.openings), missed=cut.missed + rest.missed)


def _edges(contour: Contour, stretch: Stretch, length: float, place: Place) -> Iterator[Stroke]:
    """The outline without its broken ends."""
    low, high = stretch
    points = flattened(contour)
    chain: list[Point] = []
    for p, q in pairwise([*points, points[0]]):
        broken = any(
            abs(p[0] - x) < 1e-9 and abs(q[0] - x) < 1e-9 and not is_end
            for x, is_end in ((low, low <= 0.0), (high, high >= length))
        )
        if not broken:
            chain = chain or [place.at(p)]
            chain.append(place.at(q))
        elif chain:
            yield Stroke(points=tuple(chain), weight=HEAVY, layer="cut")
            chain = []
    if chain:
        yield Stroke(points=tuple(chain), weight=HEAVY, layer="cut")


def _break(x: float, height: float) -> Stroke:
    """A broken end: a thin line with a kink."""
    middle = height / 2
    kink = min(2.0, height / 6)
    points = ((x, -1.5), (x, middle - kink), (x - kink, middle - kink / 3), (x + kink, middle + kink / 3),
              (x, middle + kink), (x, height + 1.5))  # fmt: skip
    return Stroke(points=points, weight=FINE, layer="break")


def _across(
    lie: _Lying, row: Sequence[Stretch], openings: Sequence[tuple[Opening, Place]], shown: Shown
) -> Iterator[Running]:
    """Distances from the datum end: both ends and all centres in sight."""
    stations = []
    for x, start, low in ((0.0, 0.0, row[0][0]), (lie.length, _starts(row)[-1], row[-1][0])):
        if row[0][0] <= x <= row[-1][1]:
            stations.append((start + x - low, 0.0, x))
    for opening, place in openings:
        for centre in opening.centres:
            stations.append((*place.at(centre), centre[0]))
    real = {at: x for at, _, x in stations}
    for place_x, reach in distinct((at, reach) for at, reach, _ in stations):
        yield Running(at=place_x, number=shown.length(real[place_x]), reach=reach)


def _down(lie: _Lying, openings: Sequence[tuple[Opening, Place]], shown: Shown) -> Iterator[Running]:
    """Distances from the heel or the upper edge."""
    if lie.datum is None:
        return
    stations = [(0.0, 0.0), (lie.datum, 0.0), (lie.height, 0.0)]
    for opening, place in openings:
        stations += [(place.at(centre)[1], place.at(centre)[0]) for centre in opening.centres]
    for at, reach in distinct(stations):
        yield Running(at=at, number=shown.length(abs(at - lie.datum)), reach=reach)


def _notes(lie: _Lying, row: Sequence[Stretch], starts: Sequence[float]) -> Iterator[tuple[Text, tuple[Point, ...]]]:
    """Names of the faces within them or below, and of the datum end."""
    if row[0][0] <= 0.0:
        spots = [(-1.0, lie.height + 4.5 + k) for k in (0.0, 4.5)]
        yield Text(x=0.0, y=0.0, string=DRAWN["start"], bold=True, layer="ends"), tuple(spots)
    right = starts[-1] + row[-1][1] - row[-1][0]
    for side, base in zip(lie.sides, lie.bases, strict=True):
        text = Text(x=0.0, y=0.0, string=side.name, anchor="start", layer="notes")
        inner = base.base + (4.5 if base.flip else -1.5)
        outer = base.at((0.0, side.high))[1] + (-1.5 if base.flip else 4.5)
        spots = [(x, y) for y in (inner, outer) for x in (2.0, right - text_width(side.name, WORD) - 2.0)]
        below = [(x, lie.height + 4.5 + k) for k in (0.0, 4.5) for x in (2.0, 12.0, 24.0)]
        yield text, tuple([*spots, *below] if side.is_leg else below)
