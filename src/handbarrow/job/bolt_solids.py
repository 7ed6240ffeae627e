"""Bolts that find their length, and nuts that are drilled out, as round solids where they sit. Lengths mm."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Bought, Target
from handbarrow.job.bolt_values import Fastener
from handbarrow.job.clearance_bodies import Measured
from handbarrow.job.frame_values import Subject
from handbarrow.laws.clearance.solids import Solids, joined, run_solids
from handbarrow.laws.geometry.path import Centreline, Floats, crown_by_rule, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.hardware.sizes import fastener_size

__all__ = ["BoltPiece", "bolt_pieces", "bolts"]


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


class BoltPiece(NamedTuple):
    """Head, shank or nut of a bolt, from where to where along it from the part's place; width over its corners [mm]."""

    start: float
    end: float
    wide: float
    hexagon: bool


def bolt_pieces(bolt: Fastener) -> tuple[BoltPiece, ...]:
    """Return head, shank and nut of a bolt, along its axis from the part's place [mm]; washers are left out."""
    size = fastener_size(bolt.thread)
    if size is None:
        raise ValueError(f"{bolt.thread} is not in the table")
    corners = 2 * size.flats / math.sqrt(3)
    under_nut = min(bolt.washers, 1) if bolt.nut in ("lock", "plain", "thin") and bolt.washers > 1 else 0
    head = bolt.start - (bolt.washers - under_nut) * bolt.washer
    nut = bolt.start + bolt.grip + under_nut * bolt.washer
    out = [
        BoltPiece(head - size.head, head, corners, True),
        BoltPiece(head, head + bolt.length, size.diameter, False),
    ]
    if bolt.nut_height:
        out.append(BoltPiece(nut, nut + bolt.nut_height, corners, True))
    return tuple(out)


def _bolt(bolt: Fastener, at: Floats, way: Floats) -> Solids:
    return joined([_round(at + way * one.start, at + way * one.end, one.wide) for one in bolt_pieces(bolt)])


def _round(a: Floats, b: Floats, wide: float) -> Solids:
    line = Centreline((vec3(a), vec3(b)))
    section = Section(shape="round bar", height=wide, width=wide)
    return run_solids(line, section, crown_by_rule(vec3((b - a) / np.linalg.norm(b - a))), (0.0, 0.0))
