"""Closed outlines of straight edges and true arcs: plates, legs of angles, slots, also those that run out of an edge.

Lengths mm, y up, counter-clockwise. A vertex holds the bulge of the edge that leaves it: tan(sweep / 4), 0 for a
straight edge, above zero for an arc that turns left; 1 is half a circle (as in DXF polylines).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from handbarrow.laws.geometry.path import Vec2

__all__ = [
    "Contour",
    "Vertex",
    "area_of",
    "bounds",
    "flattened",
    "notched",
    "rectangle",
    "rounded",
    "slot_outline",
    "way_out",
]

TOLERANCE = 0.004
"""How far a chord of a flattened arc may lie from it [mm]."""


@dataclass(frozen=True, slots=True)
class Vertex:
    """A corner of a contour and the bulge of the edge that leaves it."""

    x: float
    y: float
    bulge: float = 0.0

    @property
    def at(self) -> Vec2:
        """Its place."""
        return (self.x, self.y)


Contour = tuple[Vertex, ...]


def rectangle(width: float, height: float) -> Contour:
    """Return a rectangle that stands on the origin [mm]."""
    return (Vertex(0.0, 0.0), Vertex(width, 0.0), Vertex(width, height), Vertex(0.0, height))


def rounded(outline: Sequence[Vec2], radius: float) -> tuple[Contour, int]:
    """Return an outline with its corners rounded, and how many stay sharp for want of room.

    A corner needs half of each of its edges at most, so that neighbours never run into each other.
    """
    out: list[Vertex] = []
    sharp = 0
    n = len(outline)
    for i, q in enumerate(outline):
        p, r = outline[i - 1], outline[(i + 1) % n]
        a, b = _unit(q, p), _unit(q, r)
        turn = math.atan2(-a[0] * b[1] + a[1] * b[0], -a[0] * b[0] - a[1] * b[1])
        back = radius * abs(math.tan(turn / 2))
        room = 0.5 * min(math.dist(p, q), math.dist(q, r)) + 1e-9
        if radius <= 0 or abs(turn) < 1e-9 or back > room:
            sharp += radius > 0 and abs(turn) > 1e-9
            out.append(Vertex(*q))
            continue
        out.append(Vertex(q[0] + a[0] * back, q[1] + a[1] * back, math.tan(turn / 4)))
        out.append(Vertex(q[0] + b[0] * back, q[1] + b[1] * back))
    return tuple(out), sharp


def slot_outline(at: Vec2, width: float, length: float, angle_rad: float) -> Contour:
    """Return a slot with round ends, `length` over all [mm]."""
    reach, r = (length - width) / 2, width / 2
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    corners = ((-reach, -r, 0.0), (reach, -r, 1.0), (reach, r, 0.0), (-reach, r, 1.0))
    return tuple(Vertex(at[0] + x * c - y * s, at[1] + x * s + y * c, bulge) for x, y, bulge in corners)


def notched(contour: Contour, at: Vec2, width: float, length: float, out: Vec2) -> tuple[Contour, Vec2] | None:
    """Cut a slot that runs out over the edge.

    Args:
        contour: The outline.
        at: Middle of the slot [mm].
        width: Of the slot [mm].
        length: Over all [mm]; its round end lies half of it back from the middle.
        out: Unit direction in which it runs out.

    Returns:
        The outline with the slot, and the centre of its round end; None: the slot's sides do not meet the edge.
    """
    r = width / 2
    left = (-out[1] * r, out[0] * r)
    back = (length - width) / 2
    centre = (at[0] - out[0] * back, at[1] - out[1] * back)
    inner_a, inner_b = (centre[0] - left[0], centre[1] - left[1]), (centre[0] + left[0], centre[1] + left[1])
    hit_a, hit_b = _hit(contour, inner_a, out), _hit(contour, inner_b, out)
    if hit_a is None or hit_b is None:
        return None
    if contour[hit_a[0]].bulge or contour[hit_b[0]].bulge:
        flat = tuple(Vertex(*p) for p in flattened(contour))
        return notched(flat, at, width, length, out)
    n = len(contour)
    (i_a, at_a), (i_b, at_b) = hit_a, hit_b
    kept = [Vertex(*at_b)]
    k = i_b + 1
    while True:
        kept.append(contour[k % n])
        if k % n == i_a:
            break
        k += 1
    kept += [Vertex(*at_a), Vertex(*inner_a, -1.0), Vertex(*inner_b)]
    return tuple(kept), centre


def way_out(contour: Contour, at: Vec2, angle_rad: float) -> Vec2:
    """Return the direction along a slot in which the edge is nearer."""
    d = (math.cos(angle_rad), math.sin(angle_rad))
    back = (-d[0], -d[1])
    ahead, behind = _hit(contour, at, d), _hit(contour, at, back)
    if ahead is None or behind is None:
        return d if behind is None else back
    return d if math.dist(at, ahead[1]) <= math.dist(at, behind[1]) else back


def flattened(contour: Contour, tolerance: float = TOLERANCE) -> list[Vec2]:
    """Return the corners with arcs as chords that lie within the tolerance [mm]."""
    out: list[Vec2] = []
    for a, b in _edges(contour):
        out.append(a.at)
        if a.bulge:
            out += _on_arc(a, b, tolerance)
    return out


def bounds(contour: Contour) -> tuple[float, float, float, float]:
    """Return the least x and y and the greatest x and y [mm]."""
    xs, ys = zip(*flattened(contour), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def area_of(contour: Contour) -> float:
    """Return the enclosed area [mm2], arcs taken exactly: the polygon's and each arc's segment."""
    total = 0.0
    for a, b in _edges(contour):
        total += (a.x * b.y - b.x * a.y) / 2
        if a.bulge:
            sweep = 4 * math.atan(a.bulge)
            radius = math.dist(a.at, b.at) / (2 * math.sin(abs(sweep) / 2))
            total += math.copysign(radius**2 * (abs(sweep) - math.sin(abs(sweep))) / 2, sweep)
    return total


# ------------------------------------------------------------------------------------------------ parts of it
def _edges(contour: Contour) -> Iterator[tuple[Vertex, Vertex]]:
    return zip(contour, (*contour[1:], contour[0]), strict=True)


def _unit(p: Vec2, q: Vec2) -> Vec2:
    size = math.dist(p, q)
    return ((q[0] - p[0]) / size, (q[1] - p[1]) / size)


def _on_arc(a: Vertex, b: Vertex, tolerance: float) -> list[Vec2]:
    """Points between the ends of an arc."""
    sweep = 4 * math.atan(a.bulge)
    chord = math.dist(a.at, b.at)
    if chord < 1e-9:
        return []
    radius = chord / (2 * math.sin(abs(sweep) / 2))
    aside = chord / 2 / math.tan(sweep / 2)
    u = _unit(a.at, b.at)
    centre = ((a.x + b.x) / 2 - u[1] * aside, (a.y + b.y) / 2 + u[0] * aside)
    step = 2 * math.acos(max(0.5, 1 - tolerance / radius))
    count = max(2, math.ceil(abs(sweep) / step))
    first = math.atan2(a.y - centre[1], a.x - centre[0])
    turns = (first + sweep * i / count for i in range(1, count))
    return [(centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns]


def _hit(contour: Contour, start: Vec2, d: Vec2) -> tuple[int, Vec2] | None:
    """The first edge that a ray meets, and where."""
    best: tuple[float, int] | None = None
    for i, (a, b) in enumerate(_edges(contour)):
        chain = [a.at, *(_on_arc(a, b, TOLERANCE) if a.bulge else []), b.at]
        for p, q in pairwise(chain):
            side_p = d[0] * (p[1] - start[1]) - d[1] * (p[0] - start[0])
            side_q = d[0] * (q[1] - start[1]) - d[1] * (q[0] - start[0])
            if (side_p > 0) == (side_q > 0):
                continue
            part = side_p / (side_p - side_q)
            x, y = p[0] + (q[0] - p[0]) * part, p[1] + (q[1] - p[1]) * part
            far = d[0] * (x - start[0]) + d[1] * (y - start[1])
            if far >= -1e-9 and (best is None or far < best[0]):
                best = (far, i)
    if best is None:
        return None
    return best[1], (start[0] + d[0] * best[0], start[1] + d[1] * best[0])
