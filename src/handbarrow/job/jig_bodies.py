"""Copies of runs as the fixture sees them: straight legs with their section's reach, and what their ends meet."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from handbarrow.design.values import Product
from handbarrow.job.values import JobPart
from handbarrow.laws.geometry.path import Floats, Matrix4, crown_on_straights, layout, sample
from handbarrow.laws.geometry.section import Section

__all__ = ["Body", "BodyEnd", "Leg", "bodies_of", "distances", "nearest_points"]

CHORD_RAD = math.radians(1.5)
"""Bends are looked at in chords of this angle: 0.02 mm off at 200 mm radius."""


@dataclass(frozen=True, slots=True, eq=False)
class Leg:
    """A straight between tangent points: where it starts, its unit direction, length, and the section's axes there."""

    at: Floats
    way: Floats
    size: float
    up: Floats
    side: Floats

    def reach(self, section: Section, along: Floats) -> tuple[float, float]:
        """How far the section reaches from the centreline against and along a unit direction [mm]."""
        a, b = float(self.up @ along), float(self.side @ along)
        if section.is_round:
            far = section.height / 2 * math.hypot(a, b)
            return far, far
        h, w = section.height, section.width
        low_h, high_h, low_w, high_w = (0.0, h, 0.0, w) if section.shape == "angle" else (-h / 2, h / 2, -w / 2, w / 2)
        ends = [a * p + b * q for p in (low_h, high_h) for q in (low_w, high_w)]
        return -min(ends), max(ends)


@dataclass(frozen=True, slots=True, eq=False)
class BodyEnd:
    """An end: where its longest point lies on the axis, unit direction into the run, what it meets (part names)."""

    point: Floats
    into: Floats
    longest: Floats
    meets: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """A copy of a run."""

    part: str
    copy: int
    assembly: str
    on: tuple[str, ...]
    section: Section
    spine: Floats
    """(k, 3) centreline, bends in short chords."""
    legs: tuple[Leg, ...]
    ends: tuple[BodyEnd, BodyEnd]
    normal: Floats | None
    """Normal of the plane of a flat bent run; None: straight, or bent in more than one plane."""

    @property
    def length(self) -> float:
        """Length of the centreline [mm]."""
        return float(np.linalg.norm(np.diff(self.spine, axis=0), axis=1).sum())

    @property
    def half(self) -> float:
        """Largest reach of the section from the centreline [mm]."""
        whole = self.section.shape == "angle"
        return self.section.outside if whole else self.section.outside / 2

    def placed(self, transform: Floats) -> Body:
        """The body after a rigid transform (4, 4); a reflection is allowed."""
        turn, move = transform[:3, :3], transform[:3, 3]
        legs = tuple(Leg(turn @ leg.at + move, turn @ leg.way, leg.size, turn @ leg.up, turn @ leg.side)
                     for leg in self.legs)  # fmt: skip
        first, last = (
            BodyEnd(turn @ end.point + move, turn @ end.into, turn @ end.longest + move, end.meets) for end in self.ends
        )
        normal = None if self.normal is None else turn @ self.normal
        spine = self.spine @ turn.T + move
        return Body(self.part, self.copy, self.assembly, self.on, self.section, spine, legs, (first, last), normal)


def bodies_of(product: Product, parts: tuple[JobPart, ...]) -> list[Body]:
    """Return every copy of every run, product axes, in the order of parts and copies."""
    return [body for part in parts for body in _copies(product, part)]


def _copies(product: Product, part: JobPart) -> Iterator[Body]:
    first = _first(product, part)
    if first is not None:
        for place in product.of_part(part.id):
            moved = first.placed(np.asarray(place.transform, float))
            yield Body(
                moved.part, place.copy, moved.assembly, moved.on, moved.section, moved.spine, moved.legs, moved.ends,
                moved.normal,
            )  # fmt: skip


def _first(product: Product, part: JobPart) -> Body | None:
    if part.centreline is None or part.section is None or part.crown is None or part.id not in product.members:
        return None
    place = layout(part.centreline)
    crowns = crown_on_straights(part.centreline, part.crown)
    starts = [place.start, *place.tangents_out]
    legs = tuple(
        Leg(at, way, float(size), crown, np.cross(way, crown))
        for at, way, size, crown in zip(starts, place.directions, place.straights, crowns, strict=True)
    )
    ends = tuple(
        _end(product, part, name, point, into)
        for name, point, into in (
            ("start", place.start, place.directions[0]),
            ("end", place.end, -place.directions[-1]),
        )
    )
    normal = place.normals[0] if len(place.angles) and bool(np.all(_flat(place.normals))) else None
    on = tuple(target.part for target in product.design.part(part.id).on)
    spine = sample(part.centreline, CHORD_RAD)
    return Body(part.id, 1, part.assembly, on, part.section, spine, legs, (ends[0], ends[1]), normal)


def _flat(normals: Floats) -> Floats:
    return np.asarray(np.abs(np.abs(normals @ normals[0]) - 1.0) < 1e-6)


def _end(product: Product, part: JobPart, name: str, point: Floats, into: Floats) -> BodyEnd:
    joint = product.joint(part.id, name)
    cut = part.start if name == "start" else part.end
    longest = point + into * (cut.shortest if cut is not None else 0.0)
    return BodyEnd(point, into, longest, tuple(target.part for target in joint.against))


def distances(points: Floats, a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """Return (k, m) distances of points (k, d) from pieces of line a-b (m, d), and where on each the foot lies (0..1).

    A piece without length is a point.
    """
    ab = b - a
    size = np.maximum(np.sum(ab * ab, axis=1), 1e-18)
    at = np.clip(np.sum((points[:, None] - a[None]) * ab[None], axis=2) / size[None], 0.0, 1.0)
    gap = points[:, None] - (a[None] + at[:, :, None] * ab[None])
    return np.sqrt(np.sum(gap * gap, axis=2)), at


def nearest_points(one: Body, other: Body) -> tuple[float, Floats]:
    """Return how near two centrelines come [mm] and a point of the first where they do (on straight legs)."""
    best, where = math.inf, one.spine[0]
    for p in one.legs:
        for q in other.legs:
            gap, at = _legs_gap(p, q)
            if gap < best - 1e-9:
                best, where = gap, p.at + p.way * at
    return best, where


def _legs_gap(p: Leg, q: Leg) -> tuple[float, float]:
    """Distance of two straight legs, and where along the first; of parallel ones, from the middle of their overlap."""
    tried = []
    c = float(p.way @ q.way)
    d = q.at - p.at
    if 1 - c * c > 1e-6:
        s = (float(d @ p.way) - c * float(d @ q.way)) / (1 - c * c)
        t = (c * float(d @ p.way) - float(d @ q.way)) / (1 - c * c)
        if 0 <= s <= p.size and 0 <= t <= q.size:
            return float(np.linalg.norm(p.at + p.way * s - q.at - q.way * t)), s
    for s in (0.0, p.size):
        gap, _ = distances((p.at + p.way * s)[None], q.at[None], (q.at + q.way * q.size)[None])
        tried.append((float(gap[0, 0]), s))
    for end in (q.at, q.at + q.way * q.size):
        s = min(max(float((end - p.at) @ p.way), 0.0), p.size)
        tried.append((float(np.linalg.norm(p.at + p.way * s - end)), s))
    return min(tried)


def as_rows(matrix: Floats) -> Matrix4:
    """A (4, 4) transform as plain rows."""
    rows = [tuple(float(v) for v in row) for row in matrix]
    return (rows[0], rows[1], rows[2], rows[3])  # type: ignore[return-value]
