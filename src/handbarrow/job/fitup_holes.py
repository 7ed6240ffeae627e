"""Holes in the product's axes: which pieces a bought part goes through, and which run stands in a hole."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import BarHole, Bought, Member, PlateShape, Product, Run, Target
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.laws.geometry.approach import outline_distance
from handbarrow.laws.geometry.path import Floats, closest, cross, crown_on_straights, layout, vec3

__all__ = ["Hole", "Holes", "bolted", "holes_of", "plate_frame", "stands_in_hole"]

LONGEST_BOLT = 150.0
"""What is further than this from a bought part's place is not held by it [mm]."""
SLACK = 0.1
NEAR_AXIS = 2.0
"""A bought part whose place lies this near to a hole's axis sits in the hole [mm]."""


class Hole(NamedTuple):
    """A hole of a piece: a point of its axis, the axis' direction (unit), its diameter [mm]."""

    point: Floats
    axis: Floats
    diameter: float


Holes = Mapping[Target, tuple[Hole, ...]]


def holes_of(scene: Scene) -> Holes:
    """Return the round holes of every piece, product axes."""
    out: dict[Target, tuple[Hole, ...]] = {}
    for part in scene.product.design.parts:
        shape = part.shape
        if isinstance(shape, PlateShape):
            own = _plate_holes(scene.product, shape)
        elif isinstance(shape, Run) and part.id in scene.product.members:
            own = [_bar_hole(scene.product.members[part.id], hole) for hole in shape.holes if not hole.length]
        else:
            continue
        for copy in scene.copies[part.id]:
            m = scene.transforms[(part.id, copy)]
            out[Target(part=part.id, copy=copy)] = tuple(
                Hole(m[:3, :3] @ h.point + m[:3, 3], m[:3, :3] @ h.axis, h.diameter) for h in own
            )
    return out


def plate_frame(product: Product, shape: PlateShape) -> tuple[Floats, Floats, float]:
    """Return origin, axes as rows and thickness of copy 1 of a plate, product axes."""
    z = np.asarray(shape.facing, float)
    z = z / np.linalg.norm(z)
    x = np.asarray(shape.along, float)
    x = x - z * float(x @ z)
    x = x / np.linalg.norm(x)
    origin = np.add(shape.at, (0.0, 0.0, product.lift))
    return origin, np.array([x, np.cross(z, x), z]), product.design.stock[shape.stock].thickness or 0.0


def _plate_holes(product: Product, shape: PlateShape) -> list[Hole]:
    at, (x, y, z), _ = plate_frame(product, shape)
    return [Hole(at + x * h.at[0] + y * h.at[1], z, h.diameter) for h in shape.holes if not h.length]


def _bar_hole(member: Member, hole: BarHole) -> Hole:
    """A hole of a run: where its centre lies on the finished centreline, and which way it is drilled."""
    place = layout(member.centreline)
    whole = float(place.straights.sum() + place.arcs.sum())
    at = hole.from_start if hole.from_start is not None else whole - (hole.from_end or 0.0)
    k, run = 0, 0.0
    while k < len(place.arcs) and at > run + float(place.straights[k]) + float(place.arcs[k]) / 2:
        run += float(place.straights[k]) + float(place.arcs[k])
        k += 1
    start = place.start if k == 0 else place.tangents_out[k - 1]
    t, v = place.directions[k], crown_on_straights(member.centreline, member.crown)[k]
    u = cross(t, v)
    drilled = v if hole.face in ("crown", "bottom", "width leg") else u
    shift = {"height leg": v, "width leg": u}.get(hole.face, u if drilled is v else v) * hole.across
    return Hole(start + t * (at - run) + shift, drilled, hole.diameter)


def bolted(scene: Scene, holes: Holes, one: Target, other: Target) -> bool:
    """Whether a bought part sits in a hole of either piece whose axis goes through the other."""
    places = [p for b in (one, other) for p in _bought_on(scene, b.part)]
    for mine, theirs in ((one, other), (other, one)):
        for hole in holes.get(mine, ()):
            for place in places:
                away = place - hole.point
                along = float(away @ hole.axis)
                beside = float(np.linalg.norm(away - hole.axis * along))
                if beside <= NEAR_AXIS and abs(along) <= LONGEST_BOLT and _goes_through(scene, hole, place, theirs):
                    return True
    return False


def _bought_on(scene: Scene, part_id: str) -> list[Floats]:
    """Places of the bought parts that are `on` a part, and of those on them."""
    out: list[Floats] = []
    for part in scene.product.design.parts:
        shape = part.shape
        if isinstance(shape, Bought) and shape.at is not None and any(t.part == part_id for t in part.on):
            at = np.add(shape.at, (0.0, 0.0, scene.product.lift))
            moves = [scene.transforms[(part.id, copy)] for copy in scene.copies[part.id]]
            out += [m[:3, :3] @ at + m[:3, 3] for m in moves]
    return out


def _goes_through(scene: Scene, hole: Hole, place: Floats, other: Target) -> bool:
    """Whether a hole's axis runs through a piece near a place."""
    m = scene.inverses[(other.part, other.copy)]
    p, t = m[:3, :3] @ hole.point + m[:3, 3], m[:3, :3] @ hole.axis
    here = m[:3, :3] @ place + m[:3, 3]
    shape = scene.product.design.part(other.part).shape
    if isinstance(shape, PlateShape):
        at, axes, _ = plate_frame(scene.product, shape)
        slant = float(axes[2] @ t)
        if abs(slant) < 0.1:
            return False
        met = p + t * (float(axes[2] @ (at - p)) / slant)
        own = (axes @ (met - at))[None, :2]
        inside = float(outline_distance(np.asarray(shape.outline, float), own)[0]) <= 0.0
        return inside and float(np.linalg.norm(met - here)) <= LONGEST_BOLT
    member = scene.product.members.get(other.part)
    if member is None:
        return False
    base = p + t * float((here - p) @ t)
    steps = base + np.linspace(-LONGEST_BOLT, LONGEST_BOLT, 121)[:, None] * t
    return any(closest(member.centreline, vec3(q)).distance < member.section.height / 2 for q in steps)


def stands_in_hole(scene: Scene, holes: Holes, one: Target, other: Target) -> bool:
    """Whether a run lies along the axis of a hole of the other piece that is wide enough for it."""
    for run, drilled in ((one, other), (other, one)):
        member = scene.product.members.get(run.part)
        if member is None:
            continue
        m = scene.inverses[(run.part, run.copy)]
        place = layout(member.centreline)
        starts = np.array([place.start, *place.tangents_out])
        for hole in holes.get(drilled, ()):
            if hole.diameter < member.section.outside - SLACK:
                continue
            p, axis = m[:3, :3] @ hole.point + m[:3, 3], m[:3, :3] @ hole.axis
            for at, t in zip(starts, place.directions, strict=True):
                away = p - at
                beside = float(np.linalg.norm(away - t * (away @ t)))
                if abs(float(t @ axis)) > 0.99 and beside <= hole.diameter / 2:
                    return True
    return False
