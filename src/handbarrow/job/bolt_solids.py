"""Bolts that find their length, and nuts that are drilled out, as round solids where they sit. Lengths mm."""

from __future__ import annotations

import math

import numpy as np

from handbarrow.design.values import Bought, Target
from handbarrow.job.bolt_values import Fastener
from handbarrow.job.clearance_bodies import Measured
from handbarrow.job.frame_values import Subject
from handbarrow.laws.clearance.solids import Solids, joined, run_solids
from handbarrow.laws.geometry.path import Centreline, Floats, crown_by_rule, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.hardware.sizes import fastener_size

__all__ = ["bolts"]


def bolts(job: Subject) -> list[Measured]:
    """Return every copy of every bolt whose length is known: head, shank, nut as wide as their corners."""
    out = []
    for part in job.parts:
        shape = job.design.part(part.id).shape
        if part.fastener is None or not isinstance(shape, Bought) or shape.at is None:
            continue
        at = np.add(shape.at, (0.0, 0.0, job.product.lift))
        way = np.asarray(shape.axis, float)
        first = _bolt(part.fastener, at, way / np.linalg.norm(way))
        for place in job.product.of_part(part.id):
            solids = first.at(np.asarray(place.transform, float))
            out.append(Measured(Target(part=part.id, copy=place.copy), part.assembly, False, solids, solids))
    return out


def _bolt(bolt: Fastener, at: Floats, way: Floats) -> Solids:
    size = fastener_size(bolt.thread)
    if size is None:
        raise ValueError(f"{bolt.thread} is not in the table")
    corners = 2 * size.flats / math.sqrt(3)
    under_nut = min(bolt.washers, 1) if bolt.nut in ("lock", "plain", "thin") and bolt.washers > 1 else 0
    head = bolt.start - (bolt.washers - under_nut) * bolt.washer
    nut = bolt.start + bolt.grip + under_nut * bolt.washer
    pieces = [(head - size.head, head, corners), (head, head + bolt.length, size.diameter)]
    if bolt.nut_height:
        pieces.append((nut, nut + bolt.nut_height, corners))
    return joined([_round(at + way * a, at + way * b, wide) for a, b, wide in pieces])


def _round(a: Floats, b: Floats, wide: float) -> Solids:
    line = Centreline((vec3(a), vec3(b)))
    section = Section(shape="round bar", height=wide, width=wide)
    return run_solids(line, section, crown_by_rule(vec3((b - a) / np.linalg.norm(b - a))), (0.0, 0.0))
