"""Parts of sheet: blank, fold lines and their order, holes on the blank, mass; and what is wrong with them."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import cast

import numpy as np

from handbarrow.design.sheet_flat import at_home, clear_of_holes, flat_part, hole_side, on_blank, own_axes, side_turn
from handbarrow.design.values import Part, Product, Sheet
from handbarrow.findings import Finding
from handbarrow.job.fold_order import fold_steps
from handbarrow.job.sheet_findings import sheet_findings
from handbarrow.job.sheet_values import RolledSizes, SheetFold, SheetJob
from handbarrow.job.values import JobHole, JobPart
from handbarrow.laws.folding.flat_part import FlatPart
from handbarrow.laws.folding.uses import outside_reach
from handbarrow.laws.geometry.path import Floats, Vec2, Vec3, vec3
from handbarrow.laws.geometry.polygon import area_and_centroid
from handbarrow.laws.geometry.section_properties import STEEL_DENSITY_KG_MM3
from handbarrow.workshop.values import Workshop

__all__ = ["sheet_part"]


def sheet_part(part: Part, shape: Sheet, product: Product, workshop: Workshop) -> tuple[JobPart, list[Finding]]:
    """Return a part of sheet, and what is wrong with it."""
    role = product.design.stock[shape.stock]
    thickness = cast(float, role.thickness)
    share = workshop.sheet_work.share(role.label)
    flat = flat_part(shape, thickness, share)
    steps, findings = fold_steps(part, flat, workshop.sheet_work)
    made = SheetJob(
        flat=flat,
        share=share,
        folds=_folds(flat, steps),
        low=_pair(flat.blank.min(axis=0)),
        high=_pair(flat.blank.max(axis=0)),
        grain=shape.grain,
        rule="DIN 6935" if share is None else "test folds",
        rolled=_rolled(shape, thickness),
    )
    holes = _holes(flat, shape)
    mass, centre = _mass(shape, (thickness, share), product.lift)
    mirrored = sum(copy.mirrored for copy in part.copies)
    findings += sheet_findings(part, shape, flat)
    return JobPart(
        id=part.id,
        title=part.title,
        kind="sheet",
        assembly=part.assembly,
        quantity=len(part.copies),
        mirrored=mirrored,
        other_hand=bool(mirrored) and _has_hand(flat, holes),
        stock=role.label,
        mass_kg=mass,
        centre_of_mass=centre,
        outline=tuple(_pair(p) for p in flat.blank),
        thickness=thickness,
        holes=holes,
        sheet=made,
        note=part.note,
    ), findings


def _pair(point: Floats) -> Vec2:
    return (float(point[0]), float(point[1]))


def _folds(flat: FlatPart, steps: dict[tuple[int, int], tuple[int, bool]]) -> tuple[SheetFold, ...]:
    out = []
    for number, line in enumerate(flat.fold_lines(), start=1):
        side = flat.sides[line.side]
        order, over = steps.get((line.side, line.number), (0, False))
        beyond = side.strip.flats[line.number + 1]
        reach = outside_reach(line.mark.angle_rad, line.radius + flat.thickness)
        out.append(
            SheetFold(
                number=number, order=order, side=line.side + 1, start=line.start, end=line.end,
                angle_rad=abs(line.mark.angle_rad), way="up" if line.mark.angle_rad > 0 else "down",
                radius=line.radius, uses=line.mark.end - line.mark.start,
                hem=("open" if line.radius > flat.thickness / 2 else "closed") if line.hem else "",
                turned_over=over, height=beyond + reach + _next_reach(flat, line.side, line.number + 1),
            )
        )  # fmt: skip
    return tuple(out)


def _next_reach(flat: FlatPart, side: int, number: int) -> float:
    """What the fold after a side adds to its outside size [mm]."""
    folds = flat.sides[side].strip.folds
    if number >= len(folds):
        return 0.0
    return outside_reach(folds[number].angle_rad, folds[number].radius + flat.thickness)


def _rolled(shape: Sheet, thickness: float) -> RolledSizes | None:
    rolled = shape.rolled
    if rolled is None:
        return None
    r, arc = rolled.inside_radius, rolled.arc_rad
    return RolledSizes(
        inside_radius=r, arc_rad=arc, chord=2 * r * math.sin(arc / 2), rise=r * (1 - math.cos(arc / 2)),
        outside_arc=(r + thickness) * arc,
    )  # fmt: skip


def _holes(flat: FlatPart, shape: Sheet) -> tuple[JobHole, ...]:
    """Holes where they lie on the blank."""
    out = []
    for hole in shape.holes:
        x, y = on_blank(flat, shape, hole)
        turn = side_turn(flat, hole_side(flat, shape, hole))
        out.append(
            JobHole(
                x=x, y=y, face="", diameter=hole.diameter, length=hole.length, angle_rad=hole.angle_rad + turn,
                through=True, note=hole.note, screw=hole.screw, fit=hole.fit,
            )
        )  # fmt: skip
    return tuple(out)


def _mass(shape: Sheet, sheet: tuple[float, float | None], lift: float) -> tuple[float, Vec3]:
    """Mass [kg] and centre of mass of copy 1, product axes. `sheet`: thickness [mm], neutral share of the shop."""
    mass, own = _own_mass(at_home(shape), *sheet)
    return mass, vec3(np.asarray(own) @ own_axes(shape) + np.add(shape.at, (0.0, 0.0, lift)))


@lru_cache(maxsize=64)
def _own_mass(shape: Sheet, thickness: float, share: float | None) -> tuple[float, Vec3]:
    """Mass [kg] and centre of mass in the part's own axes: zone by zone, holes taken off."""
    flat = flat_part(shape, thickness, share)
    whole, moment = 0.0, np.zeros(3)
    middle = np.array([flat.thickness / 2])
    for zone in flat.zones(whole=clear_of_holes(flat, shape)):
        area, centre = area_and_centroid(zone.outline)
        whole += area
        moment += area * flat.folded(zone.side, np.array([centre]), middle)[0]
    for hole in shape.holes:
        area = math.pi * hole.diameter**2 / 4 + max(hole.length - hole.diameter, 0.0) * hole.diameter
        at = np.array([on_blank(flat, shape, hole)])
        whole -= area
        moment -= area * flat.folded(hole_side(flat, shape, hole), at, middle)[0]
    return whole * flat.thickness * STEEL_DENSITY_KG_MM3, vec3(moment / whole)


def _has_hand(flat: FlatPart, holes: tuple[JobHole, ...]) -> bool:
    """Whether the mirror image is another piece: no mirror line through the middle of the blank carries it into itself.

    A blank without folds that is turned over is its own mirror image.
    """
    if not flat.sides and flat.rolled is None:
        return False
    middle = (flat.blank.min(axis=0) + flat.blank.max(axis=0)) / 2
    lines = flat.fold_lines()
    marks = [np.array([*line.start, line.mark.angle_rad * 100]) for line in lines]
    marks += [np.array([*line.end, line.mark.angle_rad * 100]) for line in lines]
    marks += [np.array([*p, 0.0]) for p in flat.blank]
    marks += [np.array([hole.x, hole.y, hole.diameter + 1000.0]) for hole in holes]
    points = np.array(marks)
    for axis in (0, 1):
        image = points.copy()
        image[:, axis] = 2 * middle[axis] - image[:, axis]
        gaps = np.abs(image[:, None] - points[None]).max(axis=2)
        if float(gaps.min(axis=1).max()) < 0.01:
            return False
    return True
