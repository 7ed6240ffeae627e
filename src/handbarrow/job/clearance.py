"""Does it clear? Distances between all pieces as drawn, in every position and on the way there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Literal, NamedTuple

import numpy as np

from handbarrow.design.placing import pose
from handbarrow.design.values import Product, Target
from handbarrow.job.clearance_bodies import Flags, Measured, measured, not_met
from handbarrow.job.frame_values import Subject
from handbarrow.job.remembered import remembered
from handbarrow.job.values import JobPart
from handbarrow.language import Said, said
from handbarrow.laws.clearance.motion import screw
from handbarrow.laws.clearance.search import DEEP, Bodies, Near, bodies_of, nearest, nearest_on_the_way
from handbarrow.laws.geometry.path import Floats, Vec3, vec3
from handbarrow.workshop.values import Workshop

__all__ = ["Clearance", "Room", "Way", "clearances", "moving"]

Kind = Literal["standing", "tyre", "way", "both"]

NEAR = 5.0
"""Pieces that come nearer than this are listed [mm]."""
NEAR_TYRE = 40.0
"""What comes nearer than this to a tyre is listed [mm]."""
TOUCHES = 1.0
"""What is nearer than this as drawn lies on each other, and does so when it begins to move [mm]."""
STILL = 1e-9


class Way(NamedTuple):
    """An assembly and the position that it goes to."""

    assembly: str
    position: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """Two pieces that come near each other, or lie in each other.

    Attributes:
        one: A piece.
        other: Another.
        gap: Between their surfaces [mm]; below zero: they lie in each other by that much.
        at_one: The nearest point of the one, product axes, where it then is.
        at_other: Of the other.
        kind: `standing` as drawn; `tyre`: as drawn, one is a wheel; `way`: while an assembly moves to a position;
            `both`: in two positions at once.
        when: The same in words.
        assembly: What moves.
        position: Where it goes.
        share: How far on its way, 0 to 1.
    """

    one: Target
    other: Target
    gap: float
    at_one: Vec3
    at_other: Vec3
    kind: Kind
    when: str
    assembly: str = ""
    position: str = ""
    share: float = 0.0

    @property
    def clash(self) -> bool:
        """Whether they lie in each other."""
        return self.gap < -DEEP


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """All that comes near, nearest first; which ways were gone; parts whose shape is not known."""

    near: tuple[Clearance, ...]
    ways: tuple[Way, ...]
    left_out: tuple[str, ...]
    tyres: int


def clearances(job: Subject) -> Room:
    """Return what comes near what, nearest first. Pieces that meet by design are not measured against each other."""
    return _clearances(job.product, job.workshop, job.parts)


@remembered
def _clearances(product: Product, workshop: Workshop, parts: tuple[JobPart, ...]) -> Room:
    job = Subject(product, workshop, parts)
    each, left = measured(job)
    if not each:
        return Room(near=(), ways=(), left_out=tuple(left), tyres=0)
    bodies = bodies_of([one.solids for one in each])
    apart = _measured_against(job, each)
    found = list(_standing(each, bodies, apart))
    resting = {frozenset((c.one, c.other)) for c in found if c.gap < TOUCHES}
    ways = [
        Way(assembly.name, position.name)
        for assembly in job.design.assemblies
        for position in assembly.positions
        if moving(job, {assembly.name: position.name})
    ]
    coarse = bodies_of([one.coarse for one in each])
    for way in ways:
        found += (c for c in _gone(job, each, coarse, apart, way) if frozenset((c.one, c.other)) not in resting)
    found += _two_at_once(job, each, bodies, apart, ways)
    found.sort(key=lambda c: (c.gap, c.one.part, c.one.copy, c.other.part, c.other.copy))
    return Room(near=tuple(found), ways=tuple(ways), left_out=tuple(left), tyres=sum(m.wheel for m in each))


def _measured_against(job: Subject, each: Sequence[Measured]) -> Flags:
    """Which are measured against each other (bodies, bodies): not what meets by design, nor a wheel and its axle."""
    out = not_met(job, each)
    for i, one in enumerate(each):
        if one.wheel:
            on = {target.part for target in job.design.part(one.target.part).on}
            held = [j for j, other in enumerate(each) if other.target.part in on]
            out[i, held] = out[held, i] = False
    return out


# ------------------------------------------------------------------------------------------------ as drawn
def _standing(each: Sequence[Measured], bodies: Bodies, apart: Flags) -> Iterator[Clearance]:
    once = np.triu(apart)
    wheels = np.array([one.wheel for one in each])
    words = said("as drawn")
    for near in nearest(bodies, bodies, once & ~(wheels[:, None] | wheels[None]), NEAR):
        yield _clearance(each, near, "standing", words)
    for near in nearest(bodies.only(wheels), bodies, apart, NEAR_TYRE):
        yield _clearance(each, near, "tyre", words)


def _clearance(each: Sequence[Measured], near: Near, kind: Kind, when: Said) -> Clearance:
    return Clearance(
        one=each[near.one].target, other=each[near.other].target, gap=near.gap, at_one=vec3(near.at_one),
        at_other=vec3(near.at_other), kind=kind, when=when, share=near.share,
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ in motion
def moving(job: Subject, chosen: Mapping[str, str]) -> dict[str, Floats]:
    """Return the transform of every assembly that such positions move."""
    posed = {name: np.array(m) for name, m in pose(job.design, chosen).items()}
    return {name: m for name, m in posed.items() if np.abs(m - np.eye(4)).max() > STILL}


def _gone(job: Subject, each: Sequence[Measured], bodies: Bodies, apart: Flags, way: Way) -> Iterator[Clearance]:
    """What comes near while one assembly moves to a position, all others as drawn."""
    moves = moving(job, {way.assembly: way.position})
    goes = np.array([one.assembly in moves for one in each])
    if not goes.any() or goes.all():
        return
    mine, others = bodies.only(goes), bodies.only(~goes)
    when = said("{assembly} on the way to {position}", assembly=way.assembly, position=way.position)
    for near in nearest_on_the_way(mine, others, apart, screw(moves[way.assembly]), NEAR):
        yield replace(_clearance(each, near, "way", when), assembly=way.assembly, position=way.position)


def _two_at_once(
    job: Subject, each: Sequence[Measured], bodies: Bodies, apart: Flags, ways: Sequence[Way]
) -> Iterator[Clearance]:
    """What comes near between two assemblies that are both not as drawn."""
    for one, other in combinations(ways, 2):
        if one.assembly == other.assembly:
            continue
        first, second = (moving(job, {way.assembly: way.position}) for way in (one, other))
        both = moving(job, {one.assembly: one.position, other.assembly: other.position})
        when = said("{one} and {other} at once", one=one.position, other=other.position)
        for a, b in ((a, b) for a in first for b in second if a not in second and b not in first):
            mine = np.array([body.assembly == a for body in each])
            theirs = np.array([body.assembly == b for body in each])
            if mine.any() and theirs.any():
                relative = np.linalg.inv(both[b]) @ both[a]
                for near in nearest(bodies.only(mine), bodies.only(theirs), apart, NEAR, relative):
                    yield _clearance(each, near, "both", when)
