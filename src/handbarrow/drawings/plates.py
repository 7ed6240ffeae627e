"""A plate at true size: outline, holes and slots, running numbers from two edges that a tape or a square reaches."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from handbarrow.drawings.contours import bounds, rounded
from handbarrow.drawings.ink import Point, Stroke, Text
from handbarrow.drawings.marking import DATUM, Figure, Marked, Place, Running, distinct, figure, set_out
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.words import ALT
from handbarrow.job.values import Job, JobHole, JobPart
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import Shown

__all__ = ["plate_figure", "plate_size", "plate_view"]

SHORTEST = 5.0
"""A straight edge shorter than this is no edge to measure from [mm]."""
FLAT = 0.01
"""An edge that rises less than this lies along an axis [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lie:
    """The plate as it lies on the paper, its own axes turned by `turn_rad`.

    Attributes:
        outline: Corners before they are rounded.
        holes: Its holes.
        figure: Outline with its corners rounded and what is cut in it.
        box: Least x and y, greatest x and y.
        sides: Datum edges (side, start, end along it): `left` or `right`, and `low` or `high`; those that there are.
    """

    outline: tuple[Vec2, ...]
    holes: tuple[JobHole, ...]
    figure: Figure
    box: tuple[float, float, float, float]
    sides: dict[str, tuple[float, float]]

    @property
    def zero(self) -> Vec2:
        """Where the numbers count from; with no edge there, from the outermost point."""
        return (self.box[2 if "right" in self.sides else 0], self.box[3 if "high" in self.sides else 1])


def plate_figure(part: JobPart) -> Figure:
    """Return a plate's true outline with what is cut in it, in the plate's own axes.

    Raises:
        ValueError: If the part is no plate.
    """
    if part.kind != "plate":
        raise ValueError(f"{part.id} is no plate")
    contour, _ = rounded(part.outline, part.corner_radius)
    return figure(contour, part.holes)


def plate_size(part: JobPart) -> tuple[float, float]:
    """Width and height of a plate as `plate_view` lays it [mm]."""
    low_x, low_y, high_x, high_y = _lie(part).box
    return high_x - low_x, high_y - low_y


def plate_view(job: Job, part_id: str) -> Drawing:
    """Return a plate at 1:1 as it is marked out. Heavy edges are those that the numbers count from.

    Its own axes lie across and up where it has edges along both; else its longest straight edge is laid below.

    Args:
        job: The job.
        part_id: A plate.

    Raises:
        ValueError: If the part is no plate.
    """
    part, shown = job.part(part_id), job.workshop.shown
    if part.kind != "plate":
        raise ValueError(f"{part.id} is no plate")
    lie = _lie(part)
    low_x, low_y, high_x, high_y = lie.box
    place = Place(left=-low_x, base=high_y)
    face = Marked(
        width=high_x - low_x,
        height=high_y - low_y,
        strokes=(place.outline(lie.figure.contour), *_datum_edges(lie, place)),
        openings=tuple((opening, place) for opening in lie.figure.openings),
        across=tuple(_across(lie, place, shown)),
        down=tuple(_down(lie, place, shown)),
        notes=tuple(_radius(part, lie, place, shown)),
    )
    size = f"{shown.length(face.width)} × {shown.length(face.height)}"
    holes = ", ".join(o.label(shown) for o in lie.figure.openings)
    alt = ALT["plate"].format(part=part.title, size=size, holes=holes)
    return set_out(face, shown, f"plate-{part.id}", alt)


# ------------------------------------------------------------------------------------------------ how it lies
def _lie(part: JobPart) -> _Lie:
    """As drawn if it has edges along both of its axes, else with its longest edge below, else as drawn."""
    edges = sorted(
        ((math.dist(p, q), -i, p, q) for i, (p, q) in enumerate(_pairs(part.outline))), reverse=True
    )  # longest first
    turns = [0.0, *(-math.atan2(q[1] - p[1], q[0] - p[0]) for _, _, p, q in edges)]
    lies = [_turned(part, turn) for turn in turns]
    return max(lies, key=lambda lie: len(lie.sides))


def _turned(part: JobPart, turn: float) -> _Lie:
    c, s = (1.0, 0.0) if turn == 0 else (math.cos(turn), math.sin(turn))

    def at(p: Vec2) -> Vec2:
        return (p[0] * c - p[1] * s, p[0] * s + p[1] * c)

    outline = tuple(at(p) for p in part.outline)
    holes = tuple(
        replace(h, x=at((h.x, h.y))[0], y=at((h.x, h.y))[1], angle_rad=h.angle_rad + turn) for h in part.holes
    )
    contour, _ = rounded(outline, part.corner_radius)
    box = bounds(contour)
    straight = [(a.at, b.at) for a, b in zip(contour, (*contour[1:], contour[0]), strict=True) if not a.bulge]
    sides: dict[str, tuple[float, float]] = {}
    for axis, names in ((0, ("left", "right")), (1, ("low", "high"))):
        for name, limit in zip(names, (box[axis], box[axis + 2]), strict=True):
            found = _edge_on(straight, axis, limit)
            if found is not None and not sides.keys() & set(names):
                sides[name] = found
    return _Lie(outline=outline, holes=holes, figure=figure(contour, holes), box=box, sides=sides)


def _edge_on(straight: Sequence[tuple[Vec2, Vec2]], axis: int, limit: float) -> tuple[float, float] | None:
    """The longest straight edge on one side of the box, from where to where along it; None: there is none."""
    other = 1 - axis
    found = [
        (min(p[other], q[other]), max(p[other], q[other]))
        for p, q in straight
        if abs(p[axis] - limit) < FLAT and abs(q[axis] - limit) < FLAT
    ]
    longest = max(found, key=lambda span: span[1] - span[0], default=None)
    return longest if longest is not None and longest[1] - longest[0] >= SHORTEST else None


def _pairs(outline: Sequence[Vec2]) -> Iterator[tuple[Vec2, Vec2]]:
    return zip(outline, (*outline[1:], outline[0]), strict=True)


# ------------------------------------------------------------------------------------------------ what is said
def _datum_edges(lie: _Lie, place: Place) -> list[Stroke]:
    out = []
    for side, (a, b) in sorted(lie.sides.items()):
        x = {"left": lie.box[0], "right": lie.box[2]}.get(side)
        y = {"low": lie.box[1], "high": lie.box[3]}.get(side, 0.0)
        ends = ((a, y), (b, y)) if x is None else ((x, a), (x, b))
        out.append(Stroke(points=tuple(place.at(p) for p in ends), weight=DATUM, layer="datum"))
    return out


def _across(lie: _Lie, place: Place, shown: Shown) -> Iterator[Running]:
    """Corners and centres from left to right; a line runs to the corner nearest, to the centre furthest."""
    stations = [(x, -max(y for x2, y in lie.outline if abs(x2 - x) < FLAT)) for x, _ in lie.outline]
    stations = [(x, place.base + y) for x, y in stations]
    stations += [(x, place.base - y) for o in lie.figure.openings for x, y in o.centres]
    for x, reach in distinct(stations):
        yield Running(at=place.left + x, number=shown.length(abs(x - lie.zero[0])), reach=reach)


def _down(lie: _Lie, place: Place, shown: Shown) -> Iterator[Running]:
    stations = [(-y, place.left + min(x for x, y2 in lie.outline if abs(y2 - y) < FLAT)) for _, y in lie.outline]
    stations += [(-y, place.left + x) for o in lie.figure.openings for x, y in o.centres]
    for y, reach in distinct(stations):
        yield Running(at=place.base + y, number=shown.length(abs(-y - lie.zero[1])), reach=reach)


def _radius(part: JobPart, lie: _Lie, place: Place, shown: Shown) -> Iterator[tuple[Text, tuple[Point, ...]]]:
    """The corner radius, by the first corner where there is room."""
    if part.corner_radius <= 0:
        return
    text = Text(x=0.0, y=0.0, string=f"R{shown.length(part.corner_radius)}", layer="names")
    places = []
    for corner in lie.outline:
        x, y = place.at(corner)
        places += [(x + 1.0, y + 4.5), (x + 1.0, y - 1.0), (x - 9.0, y + 4.5), (x - 9.0, y - 1.0)]
    places.sort(key=lambda p: (-p[0], -p[1]))
    yield text, tuple(places)
