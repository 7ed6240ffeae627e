"""Room for the people who are carried: their head and their drawn-up knees against everything round them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.design.ride_values import Guest, Lying
from handbarrow.design.values import Product
from handbarrow.job.clearance import moving
from handbarrow.job.clearance_bodies import Measured, measured
from handbarrow.job.frame_values import Check, Subject, Verdict, not_made
from handbarrow.job.remembered import remembered
from handbarrow.job.ride_stand import posture_of
from handbarrow.job.values import JobPart
from handbarrow.language import Said, said
from handbarrow.laws.clearance.search import Bodies, bodies_of, nearest
from handbarrow.laws.clearance.solids import Solids
from handbarrow.laws.geometry.path import Floats
from handbarrow.laws.ride.body import HIP, HIP_DEPTH, KNEE, Posture
from handbarrow.workshop.values import Workshop

__all__ = ["Meets", "person_checks", "rooms_of"]

HEAD, HEAD_RADIUS = 0.935, 110.0
"""Middle of the head over stature, Drillis and Contini (from memory); its ball with a helmet, common practice [mm]."""
KNEES_RAD, KNEE_RADIUS, APART = math.radians(50), 65.0, 110.0
"""Thighs drawn up, knees as balls beside each other: common practice, no source [mm]."""
REACH = 400.0
"""What is further away is out of the way [mm]."""
ABOVE = 30.0
"""What is nearer than this to the bed or the raised back is what they lie on [mm]."""
BUMP = 40.0
"""Common practice, no source: so far a body bounces on a rough path [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meets:
    """What comes nearest to a head or to knees.

    Attributes:
        what: `head` or `knees`.
        guest: Who.
        lying: How they lie.
        gap: To the nearest part [mm]; None: nothing within reach.
        part: The part.
        position: In which position of an assembly; empty: as drawn.
    """

    what: str
    guest: str
    lying: str
    gap: float | None
    part: str = ""
    position: str = ""


def person_checks(job: Subject) -> list[Check]:
    """Return the checks of room for head and knees; one that is not made where the design names no people."""
    found = rooms_of(job)
    if not found:
        why = said("the design does not say who lies in it: `people` and `lying` of `ride`; lie in it before the ride")
        return [not_made("clearance-person", said("room for the person"), why)]
    titles = {"head": said("room for the head"), "knees": said("room for knees that are drawn up")}
    return [
        _check(f"clearance-person-{what}", title, _least(found, what), _assumes(found, what))
        for what, title in titles.items()
    ]


def _least(found: Sequence[Meets], what: str) -> float:
    return min((one.gap for one in found if one.what == what and one.gap is not None), default=REACH)


def _assumes(found: Sequence[Meets], what: str) -> Said:
    near = [one for one in found if one.what == what and one.gap is not None]
    if not near:
        return said("nothing within {reach:g} mm; a ball each, arms and blankets left out", reach=REACH)
    one = min(near, key=lambda meets: meets.gap or 0.0)
    where = one.position or said("as drawn")
    return said(
        "{guest}, {lying}, nearest to {part}, {position}; a ball each, arms and blankets left out; what they lie on "
        "does not count",
        guest=one.guest, lying=one.lying, part=one.part, position=where,
    )  # fmt: skip


def _check(name: str, title: Said, gap: float, assumes: Said) -> Check:
    verdict: Verdict = "fails" if gap < 0 else "doubtful" if gap < BUMP else "holds"
    rule = said("distance of surfaces; {bump:g} mm for a bump, below 0 fails (common practice, no source)", bump=BUMP)
    return Check(
        id=name, title=title, value=gap, limit=BUMP, unit="mm", margin=gap / BUMP - 1, verdict=verdict, rule=rule,
        assumes=assumes,
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ who and how
def rooms_of(job: Subject) -> tuple[Meets, ...]:
    """Return what comes nearest to heads and knees, for everybody in every way of lying."""
    return _rooms_of(job.product, job.workshop, job.parts)


@remembered
def _rooms_of(product: Product, workshop: Workshop, parts: tuple[JobPart, ...]) -> tuple[Meets, ...]:
    job = Subject(product, workshop, parts)
    ride = job.design.uses.ride
    each = measured(job)[0] if ride is not None and ride.guests else []
    if ride is None or not each:
        return ()
    states = list(_states(job, each))
    out = []
    for guest in ride.guests:
        for way in ride.lying:
            posture = posture_of(way, guest, product.lift)
            for what, body in (("head", _head(posture, guest)), ("knees", _knees(posture, guest))):
                out.append(_meets(what, guest, way, body, posture, each, states))
    return tuple(out)


def _states(job: Subject, each: Sequence[Measured]) -> Iterator[tuple[str, Bodies]]:
    """The product as drawn and in every position that does not carry the people along, by name."""
    yield "", bodies_of([one.solids for one in each])
    carriers = {job.part(target.part).assembly for load in job.design.uses.carries for target in load.on}
    for assembly in job.design.assemblies:
        for position in assembly.positions:
            moves = moving(job, {assembly.name: position.name})
            if moves and not moves.keys() & carriers:
                posed = [one.solids.at(moves[one.assembly]) if one.assembly in moves else one.solids for one in each]
                yield f"{assembly.name} {position.name}", bodies_of(posed)


def _meets(
    what: str, guest: Guest, way: Lying, body: Solids, posture: Posture, each: Sequence[Measured],
    states: Sequence[tuple[str, Bodies]],
) -> Meets:  # fmt: skip
    hip, up = np.asarray(posture.hip), _off(posture, what)
    mine = bodies_of([body])
    best = Meets(what=what, guest=guest.name, lying=way.name, gap=None)
    allowed = np.ones((1, len(each)), bool)
    for name, bodies in states:
        for near in nearest(mine, bodies, allowed, REACH):
            off = float((near.at_other - hip) @ up) + HIP_DEPTH
            if off > ABOVE and (best.gap is None or near.gap < best.gap):
                best = Meets(
                    what=what, guest=guest.name, lying=way.name, gap=near.gap, part=each[near.other].target.part,
                    position=name,
                )  # fmt: skip
    return best


def _off(posture: Posture, what: str) -> Floats:
    """Unit direction off what they lie on: the raised back behind the head, the bed under the knees."""
    if what == "knees":
        return np.array([0.0, 0.0, 1.0])
    x, _, z = _along(posture, posture.back_rad, True)
    return np.array([-math.copysign(z, x), 0.0, abs(x)])


def _along(posture: Posture, angle_rad: float, to_head: bool) -> Floats:
    """Unit direction from the hips, risen from the bed by an angle: towards the head or towards the feet."""
    sign = 1.0 if (posture.head == "front") == to_head else -1.0
    return np.array([sign * math.cos(angle_rad), 0.0, math.sin(angle_rad)])


def _head(posture: Posture, guest: Guest) -> Solids:
    at = np.asarray(posture.hip) + (HEAD - HIP) * guest.tall * _along(posture, posture.back_rad, True)
    return _ball(at, np.zeros(3), HEAD_RADIUS)


def _knees(posture: Posture, guest: Guest) -> Solids:
    """A rounded bar across both knees."""
    at = np.asarray(posture.hip) + (HIP - KNEE) * guest.tall * _along(posture, KNEES_RAD, False)
    side = np.array([0.0, 2 * APART, 0.0])
    return _ball(at - side / 2, side, KNEE_RADIUS)


def _ball(start: Floats, along: Floats, radius: float) -> Solids:
    one, r = np.zeros(1), np.array([radius])
    points = np.stack([start, start + along])[None]
    group = np.zeros(1, dtype=np.intp)
    return Solids(points, one, np.array([[0.0, 0.0, 1.0]]), r, start[None], along[None], r, group)
