"""The pieces of a product as bodies to measure between, and which of them meet by design."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.sheet_flat import own_axes, zone_frame
from handbarrow.design.values import Bought, PlateShape, Product, Sheet, Target
from handbarrow.job.fitup_contacts import contacts
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.frame_values import Subject
from handbarrow.job.remembered import remembered
from handbarrow.job.values import EndCut, JobPart
from handbarrow.laws.clearance.solids import SAGITTA, Solids, joined, prism, run_solids, wheel_solid
from handbarrow.laws.folding.flat_part import FlatPart
from handbarrow.laws.geometry.polygon import rounded, thinned
from handbarrow.workshop.values import Workshop

__all__ = ["Flags", "Measured", "measured", "not_met"]

Flags = NDArray[np.bool_]

FINEST_RAD, SHEET_SAGITTA = math.radians(2), 0.8
"""How far the flat pieces of a folded or rolled part may leave it [mm]."""
COARSE = 0.2
"""How far the chords of bends may leave them where motions are looked at [mm]."""


class Measured(NamedTuple):
    """A piece that is measured, product axes as drawn.

    Attributes:
        target: Which.
        assembly: Of which assembly.
        wheel: Whether it is a wheel.
        solids: Its solids.
        coarse: The same with bends in fewer chords.
    """

    target: Target
    assembly: str
    wheel: bool
    solids: Solids
    coarse: Solids


def measured(job: Subject) -> tuple[list[Measured], list[str]]:
    """Return every piece whose shape is known, and the ids of the parts that are left out."""
    out, left = _measured(job.product, job.workshop, job.parts)
    return list(out), list(left)


@remembered
def _measured(
    product: Product, workshop: Workshop, parts: tuple[JobPart, ...]
) -> tuple[tuple[Measured, ...], tuple[str, ...]]:
    job = Subject(product, workshop, parts)
    out: list[Measured] = []
    left: list[str] = []
    for part in parts:
        first = _first(job, part.id)
        if first is None:
            left.append(part.id)
            continue
        fine, coarse = first
        wheel = part.kind == "bought"
        for place in product.of_part(part.id):
            m, target = np.asarray(place.transform, float), Target(part=part.id, copy=place.copy)
            out.append(Measured(target, part.assembly, wheel, fine.at(m), coarse.at(m)))
    return tuple(out), tuple(left)


def _first(job: Subject, part_id: str) -> tuple[Solids, Solids] | None:
    """Copy 1 of a part as solids, fine and coarse; None: its shape is not known."""
    product, part = job.product, job.part(part_id)
    shape = product.design.part(part_id).shape
    member = product.members.get(part_id)
    if member is not None:
        cut = (_cut(part.start), _cut(part.end))
        fine, coarse = (
            run_solids(member.centreline, member.section, member.crown, cut, sagitta) for sagitta in (SAGITTA, COARSE)
        )
        return fine, coarse
    if isinstance(shape, PlateShape):
        at, axes, thickness = plate_frame(product, shape)
        flat = prism(np.asarray(rounded(shape.outline, shape.corner_radius)), at, axes, thickness)
        return flat, flat
    if isinstance(shape, Sheet) and part.sheet is not None:
        sheet = _sheet(shape, part.sheet.flat, product.lift)
        return sheet, sheet
    if isinstance(shape, Bought) and shape.wheel is not None and shape.at is not None:
        centre = np.add(shape.at, (0.0, 0.0, product.lift))
        wheel = wheel_solid(centre, np.asarray(shape.axis, float), shape.wheel.radius, shape.wheel.width)
        return wheel, wheel
    return None


def _sheet(shape: Sheet, flat: FlatPart, lift: float) -> Solids:
    """Flats, and folds and rolled strips as flat pieces that turn a little from one to the next."""
    axes, at = own_axes(shape), np.add(shape.at, (0.0, 0.0, lift))
    out = []
    for zone in flat.zones(FINEST_RAD, sagitta=SHEET_SAGITTA):
        origin, own, outline = zone_frame(flat, zone.side, thinned(zone.outline, SHEET_SAGITTA))
        out.append(prism(outline, origin @ axes + at, own @ axes, flat.thickness))
    return joined(out)


def _cut(end: EndCut | None) -> float:
    """By how much a run ends before its working point; a cope's ears lie along its receiver and don't count."""
    if end is None:
        return 0.0
    return end.deepest if end.kind in ("cope", "double") else end.shortest


def not_met(job: Subject, each: Sequence[Measured]) -> Flags:
    """Return which are measured against each other (bodies, bodies): all but those that meet by design."""
    number = {one.target: i for i, one in enumerate(each)}
    out = ~np.eye(len(each), dtype=bool)
    for pair in _met(job):
        rows = [number[target] for target in pair if target in number]
        if len(rows) == 2:
            out[rows, rows[::-1]] = False
    return out


def _met(job: Subject) -> set[frozenset[Target]]:
    """The pairs of pieces that meet by design: cut to each other, lying on each other, one in the other.

    A part of sheet meets what it is on, and what is on it.
    """
    out = {frozenset((c.piece, c.to)) for c in contacts(job.product, job.workshop)}
    parts = {part.id: part for part in job.product.design.parts}
    for part in parts.values():
        for other in {target.part for target in part.on}:
            if isinstance(part.shape, Sheet) or isinstance(parts[other].shape, Sheet):
                out |= {
                    frozenset((Target(part=part.id, copy=k + 1), Target(part=other, copy=j + 1)))
                    for k in range(len(part.copies))
                    for j in range(len(parts[other].copies))
                }
    return out
