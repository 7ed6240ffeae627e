"""Spacing rods: what keeps two slotted plates the right distance apart while they are welded round a wheel's place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.design.values import Bought, Panel, PlateShape, Run, Sheet, Strap
from handbarrow.job.jig_bodies import Body
from handbarrow.job.jig_values import SpacingRod
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Floats
from handbarrow.laws.hardware.pin_holes import stud_for

__all__ = ["spacing_rods"]

SAME = 0.05
"""Rods that differ by less than this are one [mm]."""
BESIDE = 80.0
"""A slot's centre may lie so far from the wheel's axis: the axle sits at its closed end [mm]."""


@dataclass(frozen=True, slots=True, eq=False)
class _Slot:
    """An open slot: its centre, unit normal of its plate, how far the faces lie from the centre along it."""

    part: str
    copy: int
    at: Floats
    normal: Floats
    faces: tuple[float, float]
    width: float


def spacing_rods(job: Job, bodies: Sequence[Body]) -> tuple[SpacingRod, ...]:
    """Return the rods for all wheels that sit between two slotted plates facing each other.

    Args:
        job: The job.
        bodies: Every copy of every run, product axes.
    """
    slots = [*_slots_of_runs(job, bodies), *_slots_of_plates(job)]
    found: list[SpacingRod] = []
    for wheel, at, axis in _wheels(job):
        one = _nearest(slots, at, axis, 1.0)
        other = _nearest(slots, at, axis, -1.0)
        if one is None or other is None:
            continue
        length, width = one[0] + other[0], min(one[1].width, other[1].width)
        parts = (one[1].part, other[1].part)
        for i, rod in enumerate(found):
            same = abs(rod.length - length) < SAME and abs(rod.slot_width - width) < SAME
            if rod.wheel == wheel and same and sorted(rod.parts) == sorted(parts):
                found[i] = _rod(wheel, rod.parts, rod.pairs + 1, rod.length, rod.slot_width)
                break
        else:
            found.append(_rod(wheel, parts, 1, length, width))
    return tuple(found)


def _rod(wheel: str, parts: tuple[str, str], pairs: int, length: float, width: float) -> SpacingRod:
    return SpacingRod(wheel=wheel, parts=parts, pairs=pairs, length=length, slot_width=width, stud=stud_for(width))


def _shapes(job: Job) -> dict[str, Run | PlateShape | Sheet | Panel | Strap | Bought]:
    return {part.id: part.shape for part in job.design.parts}


def _wheels(job: Job) -> Iterator[tuple[str, Floats, Floats]]:
    """Every copy of every wheel: part, hub centre, unit axis."""
    shapes = _shapes(job)
    for part in job.parts:
        shape = shapes.get(part.id)
        if isinstance(shape, Bought) and shape.wheel is not None and shape.at is not None:
            at = np.add(shape.at, (0.0, 0.0, job.product.lift))
            axis = np.asarray(shape.axis, float) / np.linalg.norm(shape.axis)
            for place in job.product.of_part(part.id):
                m = np.asarray(place.transform, float)
                yield part.id, m[:3, :3] @ at + m[:3, 3], m[:3, :3] @ axis


def _nearest(slots: Sequence[_Slot], at: Floats, axis: Floats, side: float) -> tuple[float, _Slot] | None:
    """The nearest slotted plate square to the axis on one side of a wheel: distance of its inner face, the slot."""
    best: tuple[float, _Slot] | None = None
    for slot in slots:
        if abs(float(slot.normal @ axis)) < 0.999:
            continue
        gap = slot.at - at
        along = side * float(gap @ axis)
        away = float(np.linalg.norm(gap - axis * float(gap @ axis)))
        towards = side * float(slot.normal @ axis)
        inner = along + min(f * towards for f in slot.faces)
        if away <= BESIDE and inner > 0 and (best is None or inner < best[0] - 1e-9):
            best = (inner, slot)
    return best


def _slots_of_runs(job: Job, bodies: Sequence[Body]) -> Iterator[_Slot]:
    """Open slots of straight runs."""
    shapes = _shapes(job)
    for body in bodies:
        shape = shapes.get(body.part)
        if not isinstance(shape, Run) or len(body.legs) != 1:
            continue
        leg, section = body.legs[0], body.section
        for hole in shape.holes:
            if not (hole.length and hole.open_edge):
                continue
            s = leg.size - hole.from_end if hole.from_end is not None else hole.from_start or 0.0
            at = leg.at + leg.way * s
            half_h, half_w, wall = section.height / 2, section.width / 2, section.wall
            normal, across, faces = {
                "height leg": (leg.side, leg.up, (0.0, wall)),
                "width leg": (leg.up, leg.side, (0.0, wall)),
                "crown": (leg.up, leg.side, (-half_h, half_h)),
                "bottom": (leg.up, leg.side, (-half_h, half_h)),
                "left": (leg.side, leg.up, (-half_w, half_w)),
                "right": (leg.side, leg.up, (-half_w, half_w)),
            }[hole.face]
            yield _Slot(body.part, body.copy, at + across * hole.across, normal, faces, hole.diameter)


def _slots_of_plates(job: Job) -> Iterator[_Slot]:
    """Open slots of plates."""
    shapes = _shapes(job)
    for part in job.parts:
        shape = shapes.get(part.id)
        if not isinstance(shape, PlateShape) or part.thickness is None:
            continue
        z = np.asarray(shape.facing, float) / np.linalg.norm(shape.facing)
        x = np.asarray(shape.along, float)
        x = x - z * float(x @ z)
        x = x / np.linalg.norm(x)
        origin = np.add(shape.at, (0.0, 0.0, job.product.lift))
        for hole in shape.holes:
            if not (hole.length and hole.open_edge):
                continue
            at = origin + x * hole.at[0] + np.cross(z, x) * hole.at[1]
            for place in job.product.of_part(part.id):
                m = np.asarray(place.transform, float)
                there = m[:3, :3] @ at + m[:3, 3]
                yield _Slot(part.id, place.copy, there, m[:3, :3] @ z, (0.0, part.thickness), hole.diameter)
