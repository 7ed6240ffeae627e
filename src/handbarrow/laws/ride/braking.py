"""Braking downhill: how hard the carrier pushes on the bicycle, and whether the bicycle's rear wheel can stand it."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.ride.loads import Bicycle, Carrier, bicycle_loads, carrier_loads

__all__ = ["Braking", "braking", "stopping_distance", "stopping_limit"]

Floats = NDArray[np.float64]


class Braking(NamedTuple):
    """What braking asks of the bicycle.

    push: (...) of the carrier on the bicycle, forward [N]; below 0 it still drags.
    hitch: (...) down on the bicycle [N].
    rear: (...) load on its rear wheel [N].
    front: (...) load on its front wheel [N].
    braked: (...) force that its brakes must make [N].
    sideways: (...) of the rear tyre on the road, from the push at an angle [N].
    rear_use: (...) grip of the rear tyre that is used, along and sideways together [-]; above 1 it slides away and the
        carrier folds up against the bicycle. Infinite where the rear wheel is off the ground.
    """

    push: Floats
    hitch: Floats
    rear: Floats
    front: Floats
    braked: Floats
    sideways: Floats
    rear_use: Floats


def braking(
    carrier: Carrier, mass_kg: ArrayLike, centre: ArrayLike, bicycle: Bicycle, *, slowing_m_s2: ArrayLike,
    downhill_rad: ArrayLike = 0.0, bend_rad: ArrayLike = 0.0, rear_share: ArrayLike = 0.3, grip: ArrayLike = 0.5,
    carrier_brake: ArrayLike = 0.0,
) -> Braking:  # fmt: skip
    """Return what braking with a carrier asks of the bicycle [N].

    Args:
        carrier: Its wheels and hitch.
        mass_kg: (...) of carrier and load [kg].
        centre: (..., 3) of both [mm].
        bicycle: Bicycle and rider.
        slowing_m_s2: (...) loss of speed [m/s2].
        downhill_rad: (...) slope, down the hill positive [rad].
        bend_rad: (...) angle between carrier and bicycle, seen from above [rad].
        rear_share: (...) of the bicycle's brake force made by its rear wheel [-].
        grip: (...) of the tyres on the road [-]: 0.5 for dry earth is common practice, no source.
        carrier_brake: (...) force of the carrier's own brakes at the ground [N].

    Source: statics with D'Alembert's force (closed form). An indicator: no swing, no bump, no rider who steers.
    """
    slope, gain = -np.asarray(downhill_rad, float), -np.asarray(slowing_m_s2, float)
    towed = carrier_loads(carrier, mass_kg, centre, slope_rad=slope, ahead_m_s2=gain, brake=carrier_brake)
    bend = np.asarray(bend_rad, float)
    push = -towed.pull
    along = push * np.cos(bend)
    loads = bicycle_loads(bicycle, towed.hitch, -along, slope_rad=slope, ahead_m_s2=gain)
    braked = np.maximum(-loads.drive, 0.0)
    sideways = push * np.sin(bend) * (1 - bicycle.hitch[0] / bicycle.wheelbase)
    used = np.hypot(np.asarray(rear_share, float) * braked, sideways)
    can = np.asarray(grip, float) * loads.rear
    used, can = np.broadcast_arrays(used, can)
    rear_use = np.divide(used, can, out=np.full(used.shape, np.inf), where=can > 0)
    out = np.broadcast_arrays(push, towed.hitch, loads.rear, loads.front, braked, sideways, rear_use)
    return Braking(*(np.asarray(value, float) for value in out))


def stopping_limit(carrier: Carrier, mass_kg: float, centre: tuple[float, float, float], bicycle: Bicycle, *,
                   downhill_rad: float = 0.0, grip: float = 0.5) -> float:  # fmt: skip
    """Return the hardest loss of speed of bicycle and carrier in one line [m/s2]; below 0: they cannot be held.

    Args:
        carrier: Its wheels and hitch.
        mass_kg: Of carrier and load [kg].
        centre: Of both [mm].
        bicycle: Bicycle and rider.
        downhill_rad: Slope, down the hill positive [rad].
        grip: Of the tyres on the road [-].

    Source: both bicycle wheels at the limit of their grip, or the rear wheel lifting (loads are straight lines over the
    loss of speed: closed form). The carrier's wheels do not brake.
    """
    at = np.array([0.0, 1.0])
    done = braking(carrier, mass_kg, centre, bicycle, slowing_m_s2=at, downhill_rad=downhill_rad)
    raw = -bicycle_loads(bicycle, done.hitch, -done.push, slope_rad=-downhill_rad, ahead_m_s2=-at).drive
    carried = done.rear + done.front
    limits = []
    for left in (grip * carried - raw, done.rear):
        fall = float(left[0] - left[1])
        if fall > 0:
            limits.append(float(left[0]) / fall)
        elif left[0] < 0:
            return -math.inf
    return min(limits, default=math.inf)


def stopping_distance(speed_mm_s: ArrayLike, slowing_m_s2: ArrayLike, reaction_s: float = 1.0) -> Floats:
    """Return (...) the distance to stop [mm].

    Args:
        speed_mm_s: (...) [mm/s].
        slowing_m_s2: (...) loss of speed, above 0 [m/s2].
        reaction_s: Before the brakes take hold [s].

    Source: v t + v^2 / 2 a (closed form).

    >>> float(stopping_distance(4000.0, 2.0))
    8000.0
    """
    v = np.asarray(speed_mm_s, float)
    out: Floats = v * reaction_s + v**2 / (2000 * np.asarray(slowing_m_s2, float))
    return out
