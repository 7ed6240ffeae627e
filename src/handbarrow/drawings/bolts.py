"""Bolts in pictures where they are what is to be seen: heads and nuts as hexagons, shanks as rods."""

from __future__ import annotations

import math

import numpy as np

from handbarrow.design.values import Bought, Target
from handbarrow.drawings.fitup import Scenery
from handbarrow.drawings.solids import Solid, cylinder, placed, plate
from handbarrow.job.bolt_solids import BoltPiece, bolt_pieces
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.geometry.path import Floats, crown_by_rule, vec3

__all__ = ["with_bolts"]


def with_bolts(scenery: Scenery, assemblies: set[str]) -> Scenery:
    """Return a scenery that has the bolts of some assemblies too.

    Args:
        scenery: The solids of all pieces.
        assemblies: Whose bolts.
    """
    job, solids = scenery.job, dict(scenery.solids)
    for part in job.parts:
        if part.fastener is None or part.assembly not in assemblies:
            continue
        for place in job.product.of_part(part.id):
            target = Target(part=part.id, copy=place.copy)
            first = _bolt(job, part, f"{target.part}#{target.copy}")
            solids[target] = tuple(placed(solid, place.transform) for solid in first)
    return Scenery(job, solids)


def _bolt(job: Job, part: JobPart, name: str) -> list[Solid]:
    shape = job.design.part(part.id).shape
    if part.fastener is None or not isinstance(shape, Bought) or shape.at is None:
        return []
    way = np.asarray(shape.axis, float) / np.linalg.norm(shape.axis)
    at = np.add(shape.at, (0.0, 0.0, job.product.lift))
    return [_piece(name, at, way, one) for one in bolt_pieces(part.fastener)]


def _piece(name: str, at: Floats, way: Floats, one: BoltPiece) -> Solid:
    if not one.hexagon:
        middle = at + way * (one.start + one.end) / 2
        return cylinder(name, vec3(middle), vec3(way), one.wide / 2, one.end - one.start)
    frame, r = np.eye(4), one.wide / 2
    v = np.asarray(crown_by_rule(vec3(way)))
    frame[:3, 0], frame[:3, 1], frame[:3, 2] = v, np.cross(way, v), way
    frame[:3, 3] = at + way * one.start
    corners = [(r * math.cos(k * math.pi / 3), r * math.sin(k * math.pi / 3)) for k in range(6)]
    return plate(name, corners, one.end - one.start, frame, [])
