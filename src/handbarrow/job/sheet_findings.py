"""What is wrong with parts of sheet: holes outside or near folds, radii too small, blanks that lie over themselves."""

from __future__ import annotations

import math

import numpy as np

from handbarrow.design.sheet_flat import hole_side, on_blank
from handbarrow.design.values import Part, Sheet
from handbarrow.findings import Finding, Severity
from handbarrow.language import said
from handbarrow.laws.folding.flat_part import FlatPart
from handbarrow.laws.folding.limits import least_inside_radius
from handbarrow.laws.geometry.approach import outline_distance
from handbarrow.laws.geometry.path import Floats

__all__ = ["sheet_findings"]


def sheet_findings(part: Part, shape: Sheet, flat: FlatPart) -> list[Finding]:
    """Return what is wrong with a part of sheet."""
    out = [*_overlap(part, flat), *_radii(part, flat)]
    flats = [z for z in flat.zones() if z.flat] if shape.holes and flat.rolled is None else []
    for hole in shape.holes:
        side = hole_side(flat, shape, hole)
        zones = [flat.base] if flat.rolled is not None else [z.outline for z in flats if z.side == side]
        at = np.array([on_blank(flat, shape, hole)])
        out += _hole(part, flat, zones, (at, max(hole.length, hole.diameter) / 2))
    return out


def _hole(part: Part, flat: FlatPart, zones: list[Floats], hole: tuple[Floats, float]) -> list[Finding]:
    at, reach = hole
    where = part.path
    zone = next((z for z in zones if float(outline_distance(z, at)[0]) == 0.0), None)
    x, y = float(at[0, 0]), float(at[0, 1])
    if zone is None:
        return [
            Finding(
                code="hole-outside-part",
                where=where,
                wrong=said("a hole at ({x:.1f}, {y:.1f}) mm on the blank lies in no flat of it", x=x, y=y),
                expected=said("a place within a flat of {part}, not in a fold", part=part.id),
                fix=said("change `at`, or say on which `fold` it lies"),
            )
        ]
    away = min((_to_line(at[0], line.start, line.end) - (line.mark.end - line.mark.start) / 2
                for line in flat.fold_lines()), default=math.inf)  # fmt: skip
    if away - reach < 0:
        return [
            Finding(
                code="hole-in-fold",
                where=where,
                wrong=said("the hole at ({x:.1f}, {y:.1f}) mm on the blank reaches into a fold", x=x, y=y),
                expected=said("holes in the flats: a fold tears or widens them"),
                fix=said("move the hole, or drill it after folding and note it"),
            )
        ]
    if away - reach < 2 * flat.thickness:
        return [
            Finding(
                code="hole-near-fold",
                where=where,
                wrong=said("the hole at ({x:.1f}, {y:.1f}) mm on the blank is {away:.1f} mm from a fold", x=x, y=y,
                           away=away - reach),
                expected=said("twice the thickness, {least:.1f} mm, so that it stays round", least=2 * flat.thickness),
                fix=said("move the hole, or drill it after folding and note it"),
                severity=Severity.WARNING,
            )
        ]  # fmt: skip
    return []


def _to_line(point: Floats, start: tuple[float, float], end: tuple[float, float]) -> float:
    a, b = np.asarray(start), np.asarray(end)
    way = b - a
    f = min(max(float((point - a) @ way) / float(way @ way), 0.0), 1.0)
    return float(np.hypot(*(point - a - f * way)))


def _radii(part: Part, flat: FlatPart) -> list[Finding]:
    least = [
        (line.radius, least_inside_radius(flat.thickness, angle_rad=line.mark.angle_rad))
        for line in flat.fold_lines()
        if not line.hem
    ]
    small = [(radius, smallest) for radius, smallest in least if smallest is not None and radius < smallest - 1e-9]
    if not small:
        return []
    radius, smallest = min(small)
    return [
        Finding(
            code="fold-radius-small",
            where=part.path,
            wrong=said("an inside radius of {radius:g} mm in sheet {thickness:g} mm thick", radius=radius,
                       thickness=flat.thickness),
            expected=said("at least {least:g} mm for mild steel across its grain (DIN 6935)", least=smallest),
            fix=said("take a larger radius, or try it on a strip: the outer face must not crack"),
            severity=Severity.WARNING,
        )
    ]  # fmt: skip


def _overlap(part: Part, flat: FlatPart) -> list[Finding]:
    """Sides that lie over each other or over the flat on the blank: their zones cross."""
    boxes = [(z.side, z.outline) for z in flat.zones() if z.flat]
    for i, (one, a) in enumerate(boxes):
        for other, b in boxes[i + 1 :]:
            if one != other and _cross(a, b):
                return [
                    Finding(
                        code="blank-overlaps",
                        where=part.path,
                        wrong=said("laid flat, two sides of the part lie over each other"),
                        expected=said("a blank that can be cut from one sheet"),
                        fix=said("make one of them shorter with `from start` or `from end`, or lower"),
                    )
                ]
    return []


def _cross(a: Floats, b: Floats) -> bool:
    """Whether two outlines share more than edges: a corner of one, or its middle, lies well inside the other."""
    for one, other in ((a, b), (b, a)):
        low, high = other.min(axis=0), other.max(axis=0)
        if np.any(one.max(axis=0) <= low + 1e-6) or np.any(one.min(axis=0) >= high - 1e-6):
            return False
        middle = one.mean(axis=0)
        inner = middle + (np.vstack([one, (one + np.roll(one, -1, axis=0)) / 2]) - middle) * (1 - 1e-6)
        if np.any(outline_distance(other, np.vstack([inner, middle[None]])) == 0.0):
            return True
    return False
