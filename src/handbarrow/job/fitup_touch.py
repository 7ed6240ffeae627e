"""Where two pieces touch side by side: straights of runs that cross or lie along each other, plates on straights."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from handbarrow.design.bodies import TOUCHES
from handbarrow.design.values import Target
from handbarrow.job.fitup_plates import nearest_on_plate
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.laws.geometry.approach import segments_apart
from handbarrow.laws.geometry.path import Floats, Layout, layout
from handbarrow.laws.geometry.rigid import moved, turned

__all__ = ["Crossing", "Leg", "Touch", "crossings", "leg_of", "plate_touches"]

STEP = 1.0
"""A run is looked at every so often for what lies on it [mm]."""
SAME_GAP = 0.5
"""A plate touches a run as far as its distance stays within this of the least [mm]."""


class Leg(NamedTuple):
    """A straight of a run: its number from 0, where it begins along the run, its line."""

    number: int
    run: float
    at: Floats
    way: Floats
    size: float


class Crossing(NamedTuple):
    """Two straights that touch: the receiver's, and the other's line and length in the receiver's copy-1 axes."""

    leg: Leg
    at: Floats
    way: Floats
    size: float


class Touch(NamedTuple):
    """A plate on a straight: points of the straight where it touches, and of the plate, in the run's copy-1 axes."""

    leg: Leg
    axis: Floats
    near: Floats


def leg_of(place: Layout, k: int) -> Leg:
    """Return a straight of a run, from 0."""
    run = float(place.straights[:k].sum() + place.arcs[:k].sum())
    at = place.start if k == 0 else place.tangents_out[k - 1]
    return Leg(k, run, at, place.directions[k], float(place.straights[k]))


def crossings(scene: Scene, piece: Target, to: Target) -> list[Crossing]:
    """Return where two runs touch, in the order of the receiver's straights; at least the nearest pair."""
    mine, theirs = (scene.product.members[p.part] for p in (piece, to))
    m = scene.inverses[(to.part, to.copy)] @ scene.transforms[(piece.part, piece.copy)]
    own, there = layout(mine.centreline), layout(theirs.centreline)
    found: list[tuple[float, Crossing]] = []
    for leg in (leg_of(there, k) for k in range(len(there.straights))):
        for line in (leg_of(own, k) for k in range(len(own.straights))):
            at, way = moved(m, line.at[None])[0], turned(m, line.way[None])[0]
            p, q = segments_apart(at[None], (way * line.size)[None], leg.at[None], (leg.way * leg.size)[None])
            found.append((float(np.linalg.norm(p - q)), Crossing(leg, at, way, line.size)))
    least = min(gap for gap, _ in found)
    reach = least + SAME_GAP
    if mine.section.is_round and theirs.section.is_round:
        reach = (mine.section.height + theirs.section.height) / 2 + TOUCHES
    if least > reach:  # they touch on an arc: the nearest straights stand for it
        return [next(crossing for gap, crossing in found if gap == least)]
    return [crossing for gap, crossing in found if gap <= reach]


def plate_touches(scene: Scene, plate: Target, to: Target) -> list[Touch]:
    """Return the straights of a run on which a plate lies or stands, in their order; at least the nearest one."""
    member = scene.product.members[to.part]
    forth = scene.inverses[(plate.part, plate.copy)] @ scene.transforms[(to.part, to.copy)]
    back = scene.inverses[(to.part, to.copy)] @ scene.transforms[(plate.part, plate.copy)]
    place = layout(member.centreline)
    found: list[tuple[float, Touch]] = []
    for leg in (leg_of(place, k) for k in range(len(place.straights))):
        count = max(2, math.ceil(leg.size / STEP) + 1)
        axis = leg.at + np.linspace(0.0, leg.size, count)[:, None] * leg.way
        near = moved(back, nearest_on_plate(scene, plate, moved(forth, axis)))
        gap = np.linalg.norm(near - axis, axis=1)
        rows = gap <= gap.min() + SAME_GAP
        found.append((float(gap.min()), Touch(leg, axis[rows], near[rows])))
    least = min(gap for gap, _ in found)
    reach = max(least, member.section.height / 2 + TOUCHES) if member.section.is_round else least + SAME_GAP
    return [touch for gap, touch in found if gap <= reach]
