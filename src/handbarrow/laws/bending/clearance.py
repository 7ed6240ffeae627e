"""Whether a half-bent tube stays clear of boxes round the bender, while it lies there and while it is swept.

Bender axes: origin on the centreline where the bend starts, x from the held side to the swept side, y towards the
inside of the bend (the die's centre is at y = R), z up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.bending.blank import Blank, BlankBend, Feed, Made
from handbarrow.laws.geometry.path import Steps, Vec3

__all__ = ["Hit", "Obstacle", "box_distance", "held_hit", "sweep", "swept_hit", "walk"]

Floats = NDArray[np.float64]
POINT_STEP, SWEEP_STEP = 10.0, 15.0
"""Spacing of points along the tube and of their places while they are swept [mm]."""
COARSE = 6
"""A first look takes steps so many times wider; what it finds clear by more than it may have missed is clear."""
ARC_CHORD_RAD = math.radians(7.5)


class Obstacle(NamedTuple):
    """A box in bender axes: name, low and high corner [mm]."""

    name: str
    low: Vec3
    high: Vec3


class Hit(NamedTuple):
    """Which box is too near, and how much is lacking [mm]; more than what is needed where the tube runs into it."""

    box: str
    lack: float


def box_distance(points: Floats, low: Vec3, high: Vec3) -> Floats:
    """Return the distance of points (..., 3) to a box [mm], inside it less than 0: the depth below the nearest face.

    Source: plane geometry.

    >>> float(box_distance(np.array([[3.0, 4.0, 1.0]]), (-1, -1, -1), (0, 0, 2))[0])
    5.0
    """
    return _distance((points[..., 0], points[..., 1], points[..., 2]), low, high)


def _distance(places: tuple[Floats, Floats, Floats], low: Vec3, high: Vec3) -> Floats:
    """Distance to a box by components (reductions over a short last axis are slow)."""
    x, y, z = (np.maximum(a - p, p - b) for p, a, b in zip(places, low, high, strict=True))
    deep = np.minimum(np.maximum(np.maximum(x, y), z), 0.0)
    for out in (x, y, z):
        np.maximum(out, 0.0, out=out)
    distance: Floats = np.sqrt(x * x + y * y + z * z) + deep
    return distance


def _dense(points: Floats, step: float = POINT_STEP) -> Floats:
    """Put points no further apart than a step along a polyline."""
    legs = np.diff(points, axis=0)
    counts = np.maximum(np.ceil(np.sqrt(np.einsum("ij,ij->i", legs, legs)) / step), 1.0).astype(int)
    leg = np.repeat(np.arange(len(legs)), counts)
    part = (np.arange(len(leg)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[leg]
    inner = points[leg] + part[:, None] * legs[leg]
    return np.concatenate([inner, points[-1:]])


def walk(start_x: float, forward: float, steps: Steps) -> Floats:
    """Return points along one side of the tube in bender axes.

    Args:
        start_x: Where the side begins, on the x axis [mm].
        forward: 1: it leaves along +x with the bend's normal up; -1: along -x with the normal, seen that way, down.
        steps: Straights [mm], angles, turns [rad] and radii [mm] met on the way.

    Returns:
        (m, 3) points [mm], arcs in chords of at most 7.5 degrees.

    Source: the conventions of steps (computed here).
    """
    at = np.array([start_x, 0.0, 0.0])
    t, n = np.array([forward, 0.0, 0.0]), np.array([0.0, 0.0, forward])
    side = np.array([0.0, 1.0, 0.0])  # n x t: towards the inside of a bend about n
    rows = [at[None, :]]
    for straight, angle, turn, radius in zip(steps.straights, steps.angles, steps.turns, steps.radii, strict=False):
        at = at + t * straight
        n, side = math.cos(turn) * n - math.sin(turn) * side, math.cos(turn) * side + math.sin(turn) * n
        phi = np.linspace(0.0, angle, max(1, math.ceil(angle / ARC_CHORD_RAD)) + 1)[:, None]
        rows.append(at + radius * np.sin(phi) * t + radius * (1 - np.cos(phi)) * side)
        at = rows[-1][-1]
        t, side = math.cos(angle) * t + math.sin(angle) * side, math.cos(angle) * side - math.sin(angle) * t
    rows.append((at + t * steps.straights[-1])[None, :])
    return np.concatenate(rows)


def _nearest(points: Floats, obstacles: Sequence[Obstacle], need: float) -> Hit | None:
    """Return the box that is too near by most, None if all are clear."""
    worst: Hit | None = None
    for box in obstacles:
        lack = need - float(box_distance(points, box.low, box.high).min())
        if lack > 1e-9 and (worst is None or lack > worst.lack):
            worst = Hit(box.name, lack)
    return worst


def held_hit(
    blank: Blank, k: int, feed: Feed, made: Made, obstacles: Sequence[Obstacle], clearance: float
) -> Hit | None:
    """Return the box that the held side of the tube touches while bend k is made, None if it is clear [mm].

    Args:
        blank: The piece.
        k: The bend, from 0.
        feed: Which side is held.
        made: Bends made before.
        obstacles: Boxes in bender axes [mm].
        clearance: Kept free round the tube [mm].

    Source: distance of the sampled centreline to boxes (computed here).
    """
    if not obstacles:
        return None
    points = walk(0.0, -1.0, blank.side(k, feed, made))
    need = blank.bends[k].half_outside + clearance
    low, high = points.min(axis=0) - need, points.max(axis=0) + need
    near = [box for box in obstacles if np.all(low < box.high) and np.all(high > box.low)]
    return _nearest(_dense(points), near, need) if near else None


def sweep(points: Floats, radius: float, angles: Floats) -> Floats:
    """Carry the swept side round a die.

    Args:
        points: (m, 3) points of the straight-on tube beyond the start of the bend, in bender axes [mm].
        radius: Radius of the die [mm].
        angles: (k,) angles of the arm [rad].

    Returns:
        (k, m, 3) their places [mm]: at angle A the length R A lies round the die, and what is beyond has turned by A.

    Source: rigid-body motion (computed here).
    """
    x, y = _swept(points, radius, angles)
    return np.stack([x, y, np.broadcast_to(points[None, :, 2], x.shape)], axis=-1)


def _swept(points: Floats, radius: float, angles: Floats) -> tuple[Floats, Floats]:
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    x = points[None, :, 0] - radius * angles[:, None]
    y = points[None, :, 1] - radius
    return c * x - s * y, s * x + c * y + radius


def swept_hit(
    blank: Blank, k: int, feed: Feed, made: Made, obstacles: Sequence[Obstacle], clearance: float
) -> Hit | None:
    """Return the box that the swept side touches between 0 and the set angle of bend k, None if it is clear [mm].

    Args:
        blank: The piece.
        k: The bend, from 0.
        feed: Which side is held; the other one is swept.
        made: Bends made before.
        obstacles: Boxes in bender axes [mm].
        clearance: Kept free round the tube [mm].

    Source: distance of the sampled centreline to boxes at steps of the sweep (computed here).
    """
    bend = blank.bends[k]
    need = bend.half_outside + clearance
    beyond = blank.side(k, "end" if feed == "start" else "start", made)
    line = walk(bend.used, 1.0, beyond)
    near = [box for box in obstacles if _can_meet(line, box, need, bend)]
    if not near:
        return None
    reach = float(np.hypot(line[:, 0], line[:, 1] - bend.die_radius).max())
    angles = np.linspace(0.0, bend.set_angle_rad, max(2, math.ceil(reach * bend.set_angle_rad / SWEEP_STEP) + 1))
    coarse = _dense(line, COARSE * POINT_STEP)
    worst: Hit | None = None
    for box in near:
        if _clears(coarse, box, bend, (need, reach), angles):
            continue
        points = _dense(line)
        x, y = _swept(points, bend.die_radius, angles)
        lack = need - float(_distance((x, y, points[None, :, 2]), box.low, box.high).min())
        if lack > 1e-9 and (worst is None or lack > worst.lack):
            worst = Hit(box.name, lack)
    return worst


def _clears(points: Floats, box: Obstacle, bend: BlankBend, sizes: tuple[float, float], angles: Floats) -> bool:
    """Whether a coarse look shows that all is clear; `sizes`: what is kept free, and how far out the tube reaches.

    `points` are coarse steps apart, `angles` fine ones. No place of the fine look lies further than `missed` from one
    that is looked at: half a coarse step along the tube and half a coarse step of the sweep.
    """
    need, reach = sizes
    some = np.append(angles[:-1:COARSE], angles[-1])
    fastest = reach + bend.die_radius * (1 + bend.set_angle_rad)  # of any point, in mm for each radian of the arm
    missed = COARSE / 2 * (POINT_STEP + (angles[1] - angles[0]) * fastest)
    x, y = _swept(points, bend.die_radius, some)
    least = float(_distance((x, y, points[None, :, 2]), box.low, box.high).min())
    return least > need + float(missed)


def _can_meet(corners: Floats, box: Obstacle, need: float, bend: BlankBend) -> bool:
    """Whether a polyline can come near a box: z does not change in the sweep, the distance from the die hardly."""
    z = corners[:, 2]
    if z.min() >= box.high[2] + need or z.max() <= box.low[2] - need:
        return False
    along = np.maximum(np.abs(corners[:, 0]), np.abs(corners[:, 0] - bend.die_radius * bend.set_angle_rad))
    furthest = float(np.hypot(along, corners[:, 1] - bend.die_radius).max())
    x = max(box.low[0], -box.high[0], 0.0)
    y = max(box.low[1] - bend.die_radius, bend.die_radius - box.high[1], 0.0)
    return furthest + need > math.hypot(x, y)
