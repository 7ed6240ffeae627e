"""Bolts whose length follows from what they clamp: shear, pull, bearing, bending, from the forces of the frame."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, cast

import numpy as np

from handbarrow.design.values import Bought, PlateShape, Run, Target
from handbarrow.job.bolt_values import Fastener
from handbarrow.job.frame_checks import Solved
from handbarrow.job.frame_values import Check, Subject
from handbarrow.job.frame_verdicts import verdict
from handbarrow.job.joint_forces import Tied, steel_of
from handbarrow.job.values import JobPart
from handbarrow.language import Said, said
from handbarrow.laws.geometry.path import Floats
from handbarrow.laws.hardware.sizes import FastenerSize, clearance_hole, fastener_size, stress_area
from handbarrow.laws.joints.bolts import BoltClass, bolt_bearing, bolt_class, bolt_shear, bolt_together
from handbarrow.laws.joints.pins import Pin, pin_use

__all__ = ["bolt_checks", "to_edge"]

SOFTEST = "5.6"
"""The softest class in which ISO 4014 bolts are sold (from memory): the design does not name one."""
PULL_SHARE, PARTIAL = 0.9, 1.25
"""k2 and gamma_M2: EN 1993-1-8 tables 3.4 and 2.1, read at second hand."""
EDGES = 1.2
"""From the middle of a hole to an edge that is not known, over the hole: EN 1993-1-8 table 3.3, from memory."""
BRIDGED = 1.0
"""Two plates further apart than this hold something between them that is not clamped on its own [mm]."""


class _Acts(NamedTuple):
    """Forces on one bolt (k, 3), product axes [N], its direction, names of the cases."""

    forces: Floats
    axis: Floats
    cases: tuple[str, ...]


def bolt_checks(job: Subject, ways: Sequence[Solved], ties: Sequence[Tied]) -> list[Check]:
    """Return one check for each bolt through which a force of the frame goes, worst copy and case."""
    out = []
    for part in job.parts:
        if part.fastener is None:
            continue
        acts = [*_hitched(job, part, ways), *_tied(job, part, ties)]
        check = _check(job, part, part.fastener, acts) if acts else None
        if check is not None:
            out.append(check)
    return out


# ------------------------------------------------------------------------------------------------ what acts on a bolt
def _axis(job: Subject, part: JobPart) -> Floats:
    way = np.asarray(cast(Bought, job.design.part(part.id).shape).axis, float)
    out: Floats = way / np.linalg.norm(way)
    return out


def _hitched(job: Subject, part: JobPart, ways: Sequence[Solved]) -> list[_Acts]:
    """A bolt of the hitch carries all that the bicycle pulls and holds."""
    towed = job.design.uses.towed_at
    if towed is None or part.fastener is None:
        return []
    beyond = {name for swivel in job.design.uses.swivel for name in swivel.turns}
    of_hitch = {p.id for p in job.parts if p.assembly in beyond} | {towed.target.part}
    if not of_hitch & {one.part for one in part.fastener.clamped}:
        return []
    out = []
    for one in ways:
        if one.way.id != "rolling":
            continue
        names = [spring.name for spring in one.way.frame.springs]
        k = names.index(one.way.holds[0].name)
        cases = tuple(case.name for case in one.solution.cases)
        out.append(_Acts(one.solution.spring_forces[:, k, :3], _axis(job, part), cases))
    return out


def _tied(job: Subject, part: JobPart, ties: Sequence[Tied]) -> list[_Acts]:
    """A bolt that holds two pieces together; several bolts share alike."""
    fastener = cast(Fastener, part.fastener)
    clamped = {one.part for one in fastener.clamped}
    groups: dict[tuple[Target, Target, int], list[Tied]] = {}
    for one in ties:
        contact = one.tie.contact
        if contact is None or contact.joined != "bolt" or one.tie.kind != "stiff":
            continue
        if {contact.piece.part, contact.to.part} <= clamped:
            groups.setdefault((contact.piece, contact.to, id(one.solved)), []).append(one)
    pairs = len({(piece, to) for piece, to, _ in groups})
    share = max(part.quantity // pairs, 1) if pairs else 1
    out = []
    for (piece, _, _), mine in groups.items():
        total = sum(one.forces[:, :3] * (1.0 if one.tie.one.piece == piece else -1.0) for one in mine)
        out.append(_Acts(np.asarray(total) / share, _axis(job, part), mine[0].cases))
    return out


# ------------------------------------------------------------------------------------------------ checks
def _check(job: Subject, part: JobPart, fastener: Fastener, acts: Sequence[_Acts]) -> Check | None:
    size, grade = fastener_size(fastener.thread), bolt_class(SOFTEST)
    if size is None or grade is None:
        return None
    best: tuple[float, str] = (-1.0, "")
    for one in acts:
        use = _use(job, (size, grade), fastener, one)
        if use is None:
            return None
        k = int(np.argmax(use))
        if use[k] > best[0]:
            best = float(use[k]), one.cases[k]
    margin = 1 / max(best[0], 1e-9) - 1
    return Check(
        id=f"bolt-{part.id}", title=said("{bolt} in shear, pull, bearing, bending", bolt=part.title),
        value=100 * best[0], limit=100.0, unit="%", margin=margin, verdict=verdict(margin),
        rule=said("EN 1993-1-8 tables 3.4 and 3.10 (read at second hand; edges from memory); safety 1.5 to hold"),
        assumes=_assumes(grade), parts=(part.id, *dict.fromkeys(one.part for one in fastener.clamped)), case=best[1],
    )  # fmt: skip


def _assumes(grade: BoltClass) -> Said:
    return said(
        "class {grade}, the softest on sale: nobody named it; thread in the joint; tightened, and the nut cannot come "
        "off; levers between the hitch's own pivots left out",
        grade=grade.name,
    )


def _use(job: Subject, bolt: tuple[FastenerSize, BoltClass], fastener: Fastener, acts: _Acts) -> Floats | None:
    """(k,) the largest share of shear with pull, bearing in every part, bending; None: a steel is not known."""
    size, grade = bolt
    pull = np.abs(acts.forces @ acts.axis)
    shear = np.linalg.norm(acts.forces - (acts.forces @ acts.axis)[:, None] * acts.axis, axis=1)
    between = max(one.before for one in fastener.clamped)
    double = len(fastener.clamped) > 2 or between > BRIDGED
    planes = shear / (2.0 if double else 1.0)
    most = PULL_SHARE * grade.strength_mpa * stress_area(size) / PARTIAL
    out = bolt_together(planes, pull, bolt_shear(size, grade), most)
    yields = []
    for k, one in enumerate(fastener.clamped):
        steel = steel_of(job, one.part)
        if steel.tensile_mpa is None or steel.yield_mpa is None:
            return None
        yields.append(steel.yield_mpa)
        outer = double and k in (0, len(fastener.clamped) - 1)
        bears = bolt_bearing(
            size, grade, (_metal(job, one.part, one.thickness), steel.tensile_mpa), _edges(job, one.part, size),
            clearance_hole(size, "coarse"),
        )  # fmt: skip
        out = np.maximum(out, (planes if outer else shear) / bears)
    if double:
        inner = sum(one.thickness for one in fastener.clamped[1:-1]) or between
        ends = (fastener.clamped[0].thickness, fastener.clamped[-1].thickness)
        gap = between if len(fastener.clamped) > 2 else 0.0
        pin = Pin(
            diameter=size.diameter, strength_mpa=grade.strength_mpa, yield_mpa=grade.yield_mpa, outer=min(ends),
            inner=inner, gap=gap, plate_yield_mpa=min(yields),
        )  # fmt: skip
        out = np.maximum(out, pin_use(pin, shear).together)
    return np.asarray(out)


def _metal(job: Subject, part: str, thickness: float) -> float:
    """What a bolt bears on: of a tube both walls, but all of a bush that it lies in lengthwise [mm]."""
    section = job.part(part).section
    if section is None or not section.is_hollow or thickness > section.outside + 1.0:
        return thickness
    return min(2 * section.wall, thickness)


def _edges(job: Subject, part: str, size: FastenerSize) -> tuple[float, float]:
    """From the middle of the bolt's hole to the nearest edge, for both directions [mm]."""
    shape, hole = job.design.part(part).shape, clearance_hole(size, "coarse")
    near: list[float] = []
    if isinstance(shape, PlateShape):
        ring = np.asarray(shape.outline, float)
        own = [h for h in shape.holes if not h.length and size.diameter - 0.1 <= h.diameter <= hole + 1.5]
        near = [to_edge(ring, np.asarray(h.at, float)) for h in own]
    elif isinstance(shape, Run):
        own_holes = [h for h in shape.holes if size.diameter - 0.1 <= h.diameter <= hole + 1.5]
        ends = [h.from_start if h.from_start is not None else h.from_end for h in own_holes]
        near = [end for end in ends if end is not None]
    edge = min([value for value in near if value > 0], default=EDGES * hole)
    return edge, edge


def to_edge(ring: Floats, point: Floats) -> float:
    """Return how far a point is from the nearest edge of an outline (m, 2) [mm]."""
    edge = np.roll(ring, -1, axis=0) - ring
    share = np.clip(((point - ring) * edge).sum(axis=1) / (edge * edge).sum(axis=1), 0.0, 1.0)
    return float(np.linalg.norm(ring + share[:, None] * edge - point, axis=1).min())
