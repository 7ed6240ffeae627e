"""Which pieces a straight line goes through, and from where to where: what a bolt clamps. Lengths mm, product axes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import BarHole, Member, PlateHole, PlateShape, Run, Target
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.laws.geometry.approach import outline_distance
from handbarrow.laws.geometry.path import Floats, cross, crown_on_straights, layout
from handbarrow.laws.geometry.section import Section

__all__ = ["Layer", "Line", "Seat", "layers"]

SQUARE = 0.98
"""A bolt stands square on a plate if the cosine of its lean is above this (11 degrees)."""
FEW = 8
REACH = 400.0
"""No bolt is longer, nor any wheel held wider [mm]."""
BESIDE = 1.0
"""A hole's axis may pass the bolt's line by so much [mm]."""
SLACK = 0.01


class Line(NamedTuple):
    """A straight line: a point and a unit direction, from a bolt's head to its nut."""

    point: Floats
    way: Floats

    def moved(self, matrix: Floats) -> Line:
        """Return the line moved by a rigid transform (4, 4)."""
        return Line(matrix[:3, :3] @ self.point + matrix[:3, 3], matrix[:3, :3] @ self.way)


class Seat(NamedTuple):
    """The hole that a bolt has in a piece: width [mm], the screw and fit that it is for, both walls or one, a bore."""

    width: float
    screw: str = ""
    fit: str = ""
    through: bool = True
    bore: bool = False


class Layer(NamedTuple):
    """A piece on a line: from where to where along it, and its hole there; None: it has none."""

    piece: Target
    start: float
    end: float
    seat: Seat | None


def layers(scene: Scene, part_id: str, line: Line) -> list[Layer]:
    """Return where a line goes through the copies of a part; what it does not stand square on it does not clamp."""
    out = []
    for copy in _near(scene, part_id, line):
        own = line.moved(scene.inverses[(part_id, copy)])
        shape = scene.product.design.part(part_id).shape
        if isinstance(shape, PlateShape):
            found = _through_plate(scene, shape, own)
        elif isinstance(shape, Run) and part_id in scene.product.members:
            found = list(_through_run(scene.product.members[part_id], shape, own))
        else:
            continue
        out += [Layer(Target(part=part_id, copy=copy), a, b, seat) for a, b, seat in found]
    return out


def _near(scene: Scene, part_id: str, line: Line) -> list[int]:
    """Copies of a part that may lie within reach of the line's point: of long rows most do not."""
    copies = scene.copies.get(part_id, [])
    if len(copies) < FEW:
        return copies
    shape, member = scene.product.design.part(part_id).shape, scene.product.members.get(part_id)
    if isinstance(shape, PlateShape):
        at, axes, thickness = plate_frame(scene.product, shape)
        marks = at + np.column_stack([np.asarray(shape.outline, float), np.zeros(len(shape.outline))]) @ axes
        more = thickness
    elif member is not None:
        marks, more = np.asarray(member.centreline.points, float), 2 * member.section.outside
    else:
        return []
    middle = marks.mean(axis=0)
    far = float(np.linalg.norm(marks - middle, axis=1).max()) + more + REACH
    moves = np.array([scene.transforms[(part_id, copy)] for copy in copies])
    away = np.linalg.norm(moves[:, :3, :3] @ middle + moves[:, :3, 3] - line.point, axis=1)
    return [copy for copy, gap in zip(copies, away, strict=True) if gap <= far]


Found = tuple[float, float, Seat | None]


def _through_plate(scene: Scene, shape: PlateShape, line: Line) -> list[Found]:
    at, axes, thickness = plate_frame(scene.product, shape)
    lean = float(axes[2] @ line.way)
    if abs(lean) < SQUARE:
        return []
    near, far = sorted((float(axes[2] @ (at - line.point)) + t) / lean for t in (0.0, thickness))
    flat = (axes @ (line.point + line.way * (near + far) / 2 - at))[:2]
    if float(outline_distance(np.asarray(shape.outline, float), flat[None, :])[0]) > 0.0:
        return []
    return [(near, far, _seat_in_plate(shape, flat))]


def _seat_in_plate(shape: PlateShape, flat: Floats) -> Seat | None:
    for hole in shape.holes:
        away = flat - np.asarray(hole.at)
        along = np.array([math.cos(hole.angle_rad), math.sin(hole.angle_rad)])
        if _sits(hole, float(away @ along), float(away @ np.array([-along[1], along[0]]))):
            return Seat(hole.diameter, hole.screw, hole.fit)
    return None


def _sits(hole: PlateHole | BarHole, along: float, across: float) -> bool:
    """Whether a bolt sits in a hole, or anywhere in a slot, by how far it lies from its middle."""
    room = max(hole.length - hole.diameter, 0.0) / 2
    return math.hypot(max(abs(along) - room, 0.0), across) <= BESIDE


# ------------------------------------------------------------------------------------------------ runs
def _through_run(member: Member, shape: Run, line: Line) -> Iterator[Found]:
    place = layout(member.centreline)
    starts = [place.start, *place.tangents_out]
    before = 0.0
    crowns = crown_on_straights(member.centreline, member.crown)
    whole = float(place.straights.sum() + place.arcs.sum())
    for k, (start, t) in enumerate(zip(starts, place.directions, strict=True)):
        length = float(place.straights[k])
        v = crowns[k]
        u = cross(t, v)
        rel = line.point - start
        to = np.array([rel @ t, rel @ u, rel @ v])
        way = np.array([line.way @ t, line.way @ u, line.way @ v])
        for a, b in _in_section(member.section, to, way, length):
            middle = to + way * (a + b) / 2
            seat = _bore(member.section, way) or _seat_in_run(shape, middle, way, (before, whole))
            yield a, b, seat
        before += length + (float(place.arcs[k]) if k < len(place.arcs) else 0.0)


def _in_section(section: Section, to: Floats, way: Floats, length: float) -> list[tuple[float, float]]:
    """Where a line in a straight's axes (along, u, v) is inside its outside; along it, from end to end."""
    if abs(way[0]) > SQUARE:
        if math.hypot(to[1], to[2]) > BESIDE or section.shape == "angle":
            return []
        a, b = sorted((s - to[0]) / way[0] for s in (0.0, length))
        return [(float(a), float(b))]
    if math.hypot(way[1], way[2]) < SQUARE:
        return []
    if section.is_round:
        found = [_in_circle(to[1:], way[1:], section.outside / 2)]
    elif section.shape == "angle":
        legs = (((0.0, section.wall), (0.0, section.height)), ((0.0, section.width), (0.0, section.wall)))
        square = [leg for leg, across in zip(legs, (abs(way[1]), abs(way[2])), strict=True) if across >= SQUARE]
        found = [_in_box(to[1:], way[1:], leg) for leg in square]
    else:
        half_u, half_v = section.width / 2, section.height / 2
        found = [_in_box(to[1:], way[1:], ((-half_u, half_u), (-half_v, half_v)))]
    return [(a, b) for a, b in found if a < b and 0.0 <= to[0] + way[0] * (a + b) / 2 <= length]


def _in_circle(at: Floats, way: Floats, radius: float) -> tuple[float, float]:
    w, half = float(way @ way), float(at @ way)
    root = half**2 - w * (float(at @ at) - radius**2)
    if root <= 0:
        return 1.0, 0.0
    return (-half - math.sqrt(root)) / w, (-half + math.sqrt(root)) / w


def _in_box(at: Floats, way: Floats, box: tuple[tuple[float, float], tuple[float, float]]) -> tuple[float, float]:
    low, high = -math.inf, math.inf
    for p, d, (least, most) in zip(at, way, box, strict=True):
        if abs(d) < 1e-12:
            if not least - SLACK <= p <= most + SLACK:
                return 1.0, 0.0
            continue
        a, b = sorted(((least - p) / d, (most - p) / d))
        low, high = max(low, a), min(high, b)
    return float(low), float(high)


def _bore(section: Section, way: Floats) -> Seat | None:
    """The bore of a tube, if the bolt lies along it."""
    if abs(way[0]) <= SQUARE:
        return None
    inside = min(section.height, section.width) - 2 * section.wall
    return Seat(inside, bore=True) if section.is_hollow else None


def _seat_in_run(shape: Run, at: Floats, way: Floats, stations: tuple[float, float]) -> Seat | None:
    """The hole or slot of a run at a place (along its straight, u, v); `stations`: length before it, whole length."""
    before, whole = stations
    for hole in shape.holes:
        along = whole - hole.from_end if hole.from_end is not None else hole.from_start or 0.0
        drilled_up = hole.face in ("crown", "bottom", "width leg")
        square = way[2] if drilled_up else way[1]
        across = at[1] if drilled_up else at[2]
        gaps = (before + at[0] - along, across - hole.across)
        gaps = gaps if hole.slot_along == "along" or not hole.length else gaps[::-1]
        if abs(square) >= SQUARE and _sits(hole, *map(float, gaps)):
            both = hole.through or hole.face in ("height leg", "width leg")
            return Seat(hole.diameter, hole.screw, hole.fit, both)
    return None
