"""Turning circles, how the carrier follows and swings out, and what the hitch must turn through."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["Swivel", "SwivelUse", "Turn", "follow", "steady_turn", "swivel_need", "swivel_use", "tightest_turn"]

Floats = NDArray[np.float64]


class Turn(NamedTuple):
    """A turn on a circle that lasts.

    rear: radius of the bicycle's rear wheel [mm].
    hitch: of the hitch [mm].
    axle: of the middle between the carrier's wheels [mm].
    bend_rad: angle between carrier and bicycle [rad].
    inside: smallest radius of the carrier [mm].
    outside: largest radius of bicycle and carrier [mm].
    swing: how far the carrier's tail runs outside its own wheels and flank [mm].
    """

    rear: Floats
    hitch: Floats
    axle: Floats
    bend_rad: Floats
    inside: Floats
    outside: Floats
    swing: Floats


def steady_turn(
    rear: ArrayLike, hitch_behind: float, reach: float, *, wheelbase: float, half_width: float, tail: float
) -> Turn:
    """Return how bicycle and carrier run on a circle [mm].

    Args:
        rear: (...) radius on which the bicycle's rear wheel runs [mm].
        hitch_behind: Of the hitch behind the rear axle; before it below 0 [mm].
        reach: From the hitch to the carrier's axle [mm].
        wheelbase: Of the bicycle [mm].
        half_width: Of the carrier over all [mm].
        tail: From its axle to its end [mm].

    Returns:
        The turn; where the carrier cannot follow, its axle has radius 0 and it pivots.

    Source: plane geometry of wheels that roll without slip (closed form).

    >>> turn = steady_turn(3000.0, 0.0, 1500.0, wheelbase=1050.0, half_width=400.0, tail=900.0)
    >>> round(float(turn.axle)), round(math.degrees(float(turn.bend_rad)))
    (2598, 30)
    """
    r = np.asarray(rear, float)
    at_hitch = np.hypot(r, hitch_behind)
    axle = np.sqrt(np.maximum(at_hitch**2 - reach**2, 0.0))
    bend = np.arctan2(hitch_behind, r) + np.arctan2(reach, axle)
    corner = np.hypot(axle + half_width, tail)
    out = np.broadcast_arrays(
        r, at_hitch, axle, bend, np.maximum(axle - half_width, 0.0),
        np.maximum(np.hypot(r, wheelbase), corner), corner - (axle + half_width),
    )  # fmt: skip
    return Turn(*(np.asarray(value, float) for value in out))


def tightest_turn(hitch_behind: float, reach: float, bend_rad: float) -> float:
    """Return the smallest radius of the rear wheel at which the hitch need not turn further than it can [mm].

    Args:
        hitch_behind: Of the hitch behind the rear axle [mm].
        reach: From the hitch to the carrier's axle [mm].
        bend_rad: How far the hitch can turn [rad].

    Source: plane geometry: (reach + behind cos) / sin of the angle, up to a quarter turn; beyond that, on a circle that
    lasts, the carrier pivots about its own axle at sqrt(reach^2 - behind^2).

    >>> round(tightest_turn(0.0, 1500.0, math.radians(30)), 6)
    3000.0
    """
    if not bend_rad > 0:
        return math.inf
    pivots = math.sqrt(max(reach**2 - hitch_behind**2, 0.0))
    most = math.pi / 2 + math.atan2(hitch_behind, pivots)
    if bend_rad >= most:
        return pivots
    return (reach + hitch_behind * math.cos(bend_rad)) / math.sin(bend_rad)


def follow(path: ArrayLike, reach: float, heading_rad: float) -> Floats:
    """Return (n, 2) where the middle of the carrier's axle is while its hitch runs along a path [mm].

    Args:
        path: (n, 2) places of the hitch, straight between them [mm].
        reach: From the hitch to the axle [mm].
        heading_rad: Direction of the carrier at the start, from x to y [rad].

    Source: tractrix, exact for each straight piece: tan(b / 2) falls by e^(-step / reach), b the angle between carrier
    and way (closed form).
    """
    spots = np.asarray(path, float)
    heading = heading_rad
    out = [spots[0] - reach * np.array([math.cos(heading), math.sin(heading)])]
    for here, there in pairwise(spots):
        step = there - here
        length = float(np.hypot(*step))
        if length > 0:
            way = math.atan2(step[1], step[0])
            off = math.remainder(heading - way, 2 * math.pi)
            if abs(abs(off) - math.pi) > 1e-12:  # pushed straight back it stays so
                off = 2 * math.atan(math.tan(off / 2) * math.exp(-length / reach))
            heading = way + off
        out.append(there - reach * np.array([math.cos(heading), math.sin(heading)]))
    return np.asarray(out)


@dataclass(frozen=True, slots=True, kw_only=True)
class Swivel:
    """How far a hitch can turn before something touches [rad]: nodding either way, to either side, rolling."""

    pitch_rad: float
    yaw_rad: float
    roll_rad: float


class SwivelUse(NamedTuple):
    """What is needed over what there is [-]: nodding, to the side, rolling."""

    pitch: float
    yaw: float
    roll: float

    @property
    def worst(self) -> float:
        """The largest of them [-]."""
        return max(self)


def swivel_need(
    carrier: tuple[float, float], bicycle: tuple[float, float], *, bend_rad: float, step: float, grade: float,
    lean_rad: float,
) -> Swivel:  # fmt: skip
    """Return how far a hitch must turn on a road [rad].

    Args:
        carrier: Reach from hitch to axle, track [mm].
        bicycle: Wheelbase, hitch behind the rear axle [mm].
        bend_rad: Angle to the side in the tightest turn [rad].
        step: A kerb or a ditch that a wheel meets [mm].
        grade: Largest change of slope from one stretch of road to the next [-].
        lean_rad: How far the bicycle leans, or lies when it has fallen [rad].

    Source: plane geometry: nodding: change of slope, and the step under the rear wheel (bicycle and carrier tilt
    against each other); rolling: lean and one carrier wheel on the step.
    """
    reach, track = carrier
    wheelbase, behind = bicycle
    lift = step * (1 + behind / wheelbase)
    nod = math.atan2(step, wheelbase) + math.atan2(lift, reach)
    return Swivel(
        pitch_rad=max(nod, math.atan(grade)), yaw_rad=bend_rad,
        roll_rad=lean_rad + math.asin(min(step / track, 1.0)),
    )  # fmt: skip


def swivel_use(need: Swivel, has: Swivel) -> SwivelUse:
    """Return what a road needs over what a hitch has [-]; infinite where it cannot turn at all.

    Args:
        need: On the road.
        has: Of the hitch.

    Source: division, each way by itself (the joint's limits are taken as independent).
    """

    def over(a: float, b: float) -> float:
        return a / b if b > 0 else (math.inf if a > 0 else 0.0)

    return SwivelUse(
        over(need.pitch_rad, has.pitch_rad), over(need.yaw_rad, has.yaw_rad), over(need.roll_rad, has.roll_rad)
    )
