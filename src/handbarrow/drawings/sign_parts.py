"""What signs are drawn with: lines, arcs, boxes, tubes, arrows on a square of 24 units, y down.

Weights are mm on a sign of NOMINAL size: those of the drawings, and one for what stands in a filled sign.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from handbarrow.drawings.ink import HEAVY, MEDIUM, Fill, Point, Stroke

__all__ = [
    "NOMINAL", "THICK", "UNITS", "arc", "around", "arrow", "box", "disc", "line", "oval", "pointer", "ring", "shape",
    "turned",
]  # fmt: skip

UNITS, NOMINAL = 24.0, 10.0
"""Side of the square that a sign is drawn on [units] and of the sign as it is usually printed [mm]."""
THICK = 2 * HEAVY
FLAT = 0.05
"""How far the chords of a curve may lie off it [units]: 0.02 mm on a sign of usual size."""

Strokes = tuple[Stroke, ...]


def line(*points: Point, weight: float = HEAVY) -> Stroke:
    """Return a line through points."""
    return Stroke(points=points, weight=weight, layer="sign")


def shape(points: Iterable[Point], fill: Fill = "black", weight: float = HEAVY) -> Stroke:
    """Return a filled area with its outline; weight 0: no outline."""
    return Stroke(points=tuple(points), weight=weight, closed=True, fill=fill, layer="sign")


def box(x0: float, y0: float, x1: float, y1: float, fill: Fill = "grey", weight: float = HEAVY) -> Stroke:
    """Return a rectangle: a grey one is a tube, a bar or a plate."""
    return shape(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), fill, weight)


def around(centre: Point, radii: float | Point, first: float, last: float) -> tuple[Point, ...]:
    """Return points of an arc; degrees count clockwise from +x as seen on the paper."""
    rx, ry = radii if isinstance(radii, tuple) else (radii, radii)
    step = math.degrees(2 * math.acos(1 - min(0.1, FLAT / max(rx, ry))))
    count = max(2, math.ceil(abs(last - first) / step))
    angles = (math.radians(first + (last - first) * i / count) for i in range(count + 1))
    return tuple((centre[0] + rx * math.cos(a), centre[1] + ry * math.sin(a)) for a in angles)


def arc(centre: Point, radii: float | Point, first: float, last: float, weight: float = HEAVY) -> Stroke:
    """Return an arc of a circle or, with two radii, of an ellipse."""
    return line(*around(centre, radii, first, last), weight=weight)


def oval(centre: Point, radii: float | Point, fill: Fill = "white", weight: float = HEAVY) -> Stroke:
    """Return a filled ellipse or circle."""
    return shape(around(centre, radii, 0, 360)[:-1], fill, weight)


def disc(centre: Point, radius: float, fill: Fill = "black") -> Stroke:
    """Return a filled circle without an outline."""
    return oval(centre, radius, fill, 0.0)


def ring(centre: Point, radius: float, wall: float = 2.0) -> Strokes:
    """Return a tube seen end on."""
    return oval(centre, radius, "grey"), oval(centre, radius - wall, "white", MEDIUM)


def pointer(tip: Point, angle: float, size: float = 4.5) -> Stroke:
    """Return an arrowhead that points along an angle [degrees, clockwise from +x]."""
    along, half = math.radians(angle), 0.42 * size
    ux, uy = math.cos(along), math.sin(along)
    back = (tip[0] - size * ux, tip[1] - size * uy)
    return shape(
        (tip, (back[0] - half * uy, back[1] + half * ux), (back[0] + half * uy, back[1] - half * ux)), weight=0.0
    )


def arrow(*points: Point, weight: float = 0.7, size: float = 4.8, both: bool = False) -> Strokes:
    """Return a line that ends in an arrowhead; `both`: begins with one too."""
    ends = list(points)
    heads = []
    for last, before in ((-1, -2), (0, 1)) if both else ((-1, -2),):
        (x0, y0), (x1, y1) = points[before], points[last]
        angle = math.atan2(y1 - y0, x1 - x0)
        heads.append(pointer((x1, y1), math.degrees(angle), size))
        ends[last] = (x1 - 0.7 * size * math.cos(angle), y1 - 0.7 * size * math.sin(angle))
    return line(*ends, weight=weight), *heads


def turned(strokes: Sequence[Stroke], about: Point, angle: float) -> Strokes:
    """Return strokes turned clockwise about a point [degrees]."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))

    def at(p: Point) -> Point:
        x, y = p[0] - about[0], p[1] - about[1]
        return (about[0] + c * x - s * y, about[1] + s * x + c * y)

    return tuple(
        Stroke(
            points=tuple(at(p) for p in one.points),
            weight=one.weight,
            closed=one.closed,
            fill=one.fill,
            layer=one.layer,
        )
        for one in strokes
    )
