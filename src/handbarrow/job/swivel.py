"""How far a hitch turns each way before something touches, against what the bicycle needs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.design.uses import Swivel
from handbarrow.design.values import Product, Target
from handbarrow.findings import Finding
from handbarrow.job.bolt_solids import bolts
from handbarrow.job.clearance_bodies import Flags, Measured, measured, not_met
from handbarrow.job.frame_values import Check, Subject, not_made
from handbarrow.job.remembered import remembered
from handbarrow.job.values import JobPart
from handbarrow.language import Said, said
from handbarrow.laws.clearance.depth import depth
from handbarrow.laws.clearance.gaps import gaps, least_gaps
from handbarrow.laws.clearance.search import DEEP, Bodies, bodies_of
from handbarrow.laws.clearance.solids import Solids
from handbarrow.laws.geometry.approach import segments_apart
from handbarrow.laws.geometry.path import Floats, rotation
from handbarrow.workshop.values import Workshop

__all__ = ["Reach", "checks", "reaches"]

STEP_RAD = math.radians(3.0)
FINE_RAD = math.radians(0.5)
TOUCHES = 1.0
"""What is nearer than this as drawn lies on each other and slides [mm]."""
HALF_TURN = math.pi


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far a hitch turns one way.

    Attributes:
        swivel: The way.
        forth_rad: Right-handed about its axis, until something touches; pi: nothing does.
        back_rad: The other way round.
        forth_hits: What touches then; None: nothing.
        back_hits: The same the other way round.
    """

    swivel: Swivel
    forth_rad: float
    back_rad: float
    forth_hits: tuple[Target, Target] | None
    back_hits: tuple[Target, Target] | None

    @property
    def least_rad(self) -> float:
        """The lesser of the two."""
        return min(self.forth_rad, self.back_rad)

    @property
    def hits(self) -> tuple[Target, Target] | None:
        """What touches at the lesser of the two."""
        return self.forth_hits if self.forth_rad <= self.back_rad else self.back_hits


def reaches(job: Subject) -> tuple[Reach, ...]:
    """Return how far the hitch turns, one for each way that the design names."""
    return _reaches(job.product, job.workshop, job.parts)


@remembered
def _reaches(product: Product, workshop: Workshop, parts: tuple[JobPart, ...]) -> tuple[Reach, ...]:
    job = Subject(product, workshop, parts)
    if not job.design.uses.swivel:
        return ()
    each = _near(job)
    bodies = bodies_of([one.coarse for one in each])
    apart = _against(job, each, bodies)
    return tuple(_reach(product.lift, each, bodies, apart, swivel) for swivel in job.design.uses.swivel)


def _near(job: Subject) -> list[Measured]:
    """What turns, and what lies where it may come, bolts among it: all else is left out."""
    turns = {name for swivel in job.design.uses.swivel for name in swivel.turns}
    pieces = measured(job)[0]
    moving = [one for one in pieces if one.assembly in turns]
    still = [one for one in pieces if one.assembly not in turns]
    each = [*moving, *bolts(job)]
    going = [one for one in each if one.assembly in turns]
    if not going:
        return each
    low, high = _box(going)
    point = np.add(job.design.uses.swivel[0].about, (0.0, 0.0, job.product.lift))
    far = float(np.linalg.norm(np.maximum(high - point, point - low)))
    each += still
    return [one for one in each if one.assembly in turns or _away(point, *_box([one])) <= far]


def _away(point: Floats, low: Floats, high: Floats) -> float:
    return float(np.linalg.norm(np.clip(point, low, high) - point))


def _box(each: Sequence[Measured]) -> tuple[Floats, Floats]:
    boxes = [one.coarse.boxes for one in each]
    return np.min([b[0].min(axis=0) for b in boxes], axis=0), np.max([b[1].max(axis=0) for b in boxes], axis=0)


def _against(job: Subject, each: Sequence[Measured], bodies: Bodies) -> Flags:
    """Which are measured against each other: not what meets by design or lies on each other as drawn."""
    out = not_met(job, each)
    i, j = (np.asarray(rows, np.intp) for rows in np.nonzero(np.triu(out)[np.ix_(bodies.owner, bodies.owner)]))
    close = np.flatnonzero(least_gaps(bodies.solids.rows(i), bodies.solids.rows(j)) < TOUCHES)
    i, j = i[close], j[close]
    touch = gaps(bodies.solids.rows(i), bodies.solids.rows(j), TOUCHES).gap < TOUCHES
    one, other = bodies.owner[i[touch]], bodies.owner[j[touch]]
    out[one, other] = out[other, one] = False
    return out


def _reach(lift: float, each: Sequence[Measured], bodies: Bodies, apart: Flags, swivel: Swivel) -> Reach:
    goes = np.array([one.assembly in swivel.turns for one in each])
    if not goes.any() or goes.all():
        return Reach(swivel=swivel, forth_rad=math.pi, back_rad=math.pi, forth_hits=None, back_hits=None)
    point = np.add(swivel.about, (0.0, 0.0, lift))
    axis = np.asarray(swivel.axis, float)
    mine = bodies.only(goes)
    others = bodies.only(~goes)
    forth, ahead = _turned(each, mine, others, apart, point, axis)
    back, behind = _turned(each, mine, others, apart, point, -axis)
    return Reach(swivel=swivel, forth_rad=forth, back_rad=back, forth_hits=ahead, back_hits=behind)


def _turned(
    each: Sequence[Measured], mine: Bodies, others: Bodies, apart: Flags, point: Floats, axis: Floats
) -> tuple[float, tuple[Target, Target] | None]:
    """How far it turns right-handed about an axis until something touches, to half a degree; and what."""
    found = _first(mine, others, apart, (point, axis), np.arange(STEP_RAD, HALF_TURN + STEP_RAD / 2, STEP_RAD))
    if found is None:
        return HALF_TURN, None
    late = found[0]
    fine = np.arange(late - STEP_RAD + FINE_RAD, late - FINE_RAD / 2, FINE_RAD)
    angle, one, other = _first(mine, others, apart, (point, axis), fine) or found
    return angle - FINE_RAD, (each[one].target, each[other].target)


def _first(
    mine: Bodies, others: Bodies, apart: Flags, about: tuple[Floats, Floats], angles: Floats
) -> tuple[float, int, int] | None:
    """The first of some rising angles at which two bodies lie in each other, with their numbers; None: at none."""
    point, axis = about
    moves = np.tile(np.eye(4), (len(angles), 1, 1))
    moves[:, :3, :3] = [rotation(axis, angle) for angle in angles]
    moves[:, :3, 3] = point - moves[:, :3, :3] @ point
    i, j = np.nonzero(apart[np.ix_(mine.owner, others.owner)] & _may_meet(mine.solids, others.solids, point, axis))
    at = np.repeat(np.arange(len(angles)), len(i))
    i, j = np.tile(i, len(angles)), np.tile(j, len(angles))
    a, b, turn = mine.solids, others.solids, moves[at, :3, :3]
    start = np.einsum("nij,nj->ni", turn, a.start[i]) + moves[at, :3, 3]
    p, q = segments_apart(start, np.einsum("nij,nj->ni", turn, a.along[i]), b.start[j], b.along[j])
    near = np.flatnonzero(np.linalg.norm(p - q, axis=1) < a.girth[i] + b.girth[j])
    i, j, at = i[near], j[near], at[near]
    turned, still = mine.solids.rows(i).at(moves[at]), others.solids.rows(j)
    for k in np.flatnonzero(gaps(turned, still, 0.0).gap <= 0.0):  # angles rise
        if depth(turned, still, int(k), int(k)) > DEEP:
            return float(angles[at[k]]), int(mine.owner[i[k]]), int(others.owner[j[k]])
    return None


def _may_meet(mine: Solids, others: Solids, point: Floats, axis: Floats) -> Flags:
    """Which solids can meet at all when the first turn: those that lie at one height and one distance of the axis."""
    (low, high, near, far), (low2, high2, near2, far2) = (_drum(solids, point, axis) for solids in (mine, others))
    along = (low[:, None] <= high2[None]) & (low2[None] <= high[:, None])
    out: Flags = along & (near[:, None] <= far2[None]) & (near2[None] <= far[:, None])
    return out


def _drum(solids: Solids, point: Floats, axis: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Lowest and highest place along an axis and least and largest distance from it of each solid [mm]."""
    a, d = solids.start - point, solids.along
    heights = np.stack([a @ axis, (a + d) @ axis])
    a, d = a - np.outer(heights[0], axis), d - np.outer(d @ axis, axis)
    share = np.clip(-np.einsum("ni,ni->n", a, d) / np.maximum(np.einsum("ni,ni->n", d, d), 1e-12), 0.0, 1.0)
    near = np.linalg.norm(a + d * share[:, None], axis=1) - solids.girth
    far = np.maximum(np.linalg.norm(a, axis=1), np.linalg.norm(a + d, axis=1)) + solids.girth
    return heights.min(axis=0) - solids.girth, heights.max(axis=0) + solids.girth, near, far


# ------------------------------------------------------------------------------------------------ checks
def checks(job: Subject) -> tuple[tuple[Check, ...], list[Finding]]:
    """Return one check for each way that a hitch must turn; ways of which the design is silent are not checked."""
    if job.design.uses.towed_at is None:
        return (), []
    found: dict[str, Reach] = {reach.swivel.way: reach for reach in reaches(job)}
    return tuple(_check(job, name, title, found.get(name)) for name, title in TITLES.items()), []


TITLES: dict[str, Said] = {
    "sideways": said("how far the hitch turns sideways"),
    "up and down": said("how far the hitch turns up and down"),
    "leaning": said("how far the bicycle leans in the hitch"),
}


def _check(job: Subject, name: str, title: Said, reach: Reach | None) -> Check:
    label = f"swivel-{name.replace(' ', '-')}"
    if reach is None:
        why = said("the design does not say what turns there: `swivel`")
        return not_made(label, title, why)
    turns, needs = math.degrees(reach.least_rad), math.degrees(reach.swivel.needs_rad)
    hits = said("nothing touches in half a turn")
    if reach.hits is not None:
        one, other = (job.part(target.part).title for target in reach.hits)
        hits = said("there {one} touches {other}", one=one, other=other)
    return Check(
        id=label, title=title, value=turns, limit=needs, unit="°", margin=turns / needs - 1,
        verdict="holds" if turns >= needs else "fails",
        rule=said("turned in steps of 3 degrees until solids touch, then of half a degree (practice, no source)"),
        assumes=said("{hits}; bolts as thick as their corners, other bought parts and the bicycle left out", hits=hits),
        parts=() if reach.hits is None else tuple(dict.fromkeys(target.part for target in reach.hits)),
    )  # fmt: skip
