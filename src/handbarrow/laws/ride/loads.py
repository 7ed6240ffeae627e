"""Loads on wheels, hitch and the bicycle's axles: on slopes, pulling off, braking, in a turn.

The carrier has two wheels on one line and a hitch before it. Angles up the hill are positive. Slopes are met along the
axes of the carrier: the ground is its x-y plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.ride.mass import GRAVITY

__all__ = [
    "Bicycle",
    "BicycleLoads",
    "Carrier",
    "CarrierLoads",
    "bicycle_loads",
    "carrier_loads",
    "lifting_slope",
    "positions_in_band",
]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Carrier:
    """A two-wheeled carrier on the ground.

    Attributes:
        axle: Place of the wheels along x [mm].
        track: Between the middles of the tyres [mm].
        hitch: Place of the hitch: along x and above the ground [mm].
    """

    axle: float
    track: float
    hitch: tuple[float, float]

    def __post_init__(self) -> None:
        if not self.track > 0:
            raise ValueError(f"track={self.track:g} mm must be above 0")
        if not self.hitch[0] > self.axle:
            raise ValueError(f"the hitch at x = {self.hitch[0]:g} mm must lie before the axle at {self.axle:g} mm")

    @property
    def reach(self) -> float:
        """From the axle to the hitch [mm]."""
        return self.hitch[0] - self.axle


class CarrierLoads(NamedTuple):
    """What a carrier does to the ground and to the bicycle [N].

    hitch: (...) down on the bicycle, square to the ground; below 0 it lifts.
    pull: (...) back on the bicycle, along the ground; below 0 it pushes.
    sideways: (...) of the hitch on the bicycle, to the outside of the turn or downhill.
    wheels: (...) both wheels together.
    outer: (...) the wheel on the outside of the turn, or downhill.
    inner: (...) the other one; below 0 it has lifted and the carrier tips.
    """

    hitch: Floats
    pull: Floats
    sideways: Floats
    wheels: Floats
    outer: Floats
    inner: Floats


def carrier_loads(
    carrier: Carrier, mass_kg: ArrayLike, centre: ArrayLike, *, slope_rad: ArrayLike = 0.0,
    ahead_m_s2: ArrayLike = 0.0, aside_m_s2: ArrayLike = 0.0, rolling: ArrayLike = 0.0, brake: ArrayLike = 0.0,
) -> CarrierLoads:  # fmt: skip
    """Return loads of a carrier [N].

    Args:
        carrier: Its wheels and hitch.
        mass_kg: (...) of carrier and load [kg].
        centre: (..., 3) of both; y to the outside of the turn, or downhill, is positive [mm].
        slope_rad: (...) up the hill positive [rad].
        ahead_m_s2: (...) gain of speed; braking negative [m/s2].
        aside_m_s2: (...) to the inside of the turn; on a side slope g times its sine [m/s2].
        rolling: (...) resistance of the wheels over the load on them [-].
        brake: (...) force of the carrier's own brakes at the ground [N].

    Source: statics of a stiff body with D'Alembert's force, a ball as hitch, wheels without mass (closed form). On a
    side slope the weight square to the ground is less by its cosine: that is left out, on the safe side for the hitch.
    """
    m, at = np.asarray(mass_kg, float), np.asarray(centre, float)
    x, y, z = at[..., 0] - carrier.axle, at[..., 1], at[..., 2]
    slope, gain = np.asarray(slope_rad, float), np.asarray(ahead_m_s2, float)
    high = carrier.hitch[1]
    down, back = m * GRAVITY * np.cos(slope), m * (GRAVITY * np.sin(slope) + gain)
    pull = back + np.asarray(brake, float)
    first = (x * down - z * back + high * pull) / carrier.reach
    c = np.asarray(rolling, float)
    wheels = (down - first) / (1 + c * high / carrier.reach)
    drag = c * np.maximum(wheels, 0.0)
    pull, wheels = pull + drag, np.where(wheels > 0, wheels, down - first)
    hitch = down - wheels
    outwards = m * np.asarray(aside_m_s2, float)
    sideways = outwards * x / carrier.reach
    shifted = (outwards * z - sideways * high + y * down) / carrier.track
    loads = np.broadcast_arrays(hitch, pull, sideways, wheels, wheels / 2 + shifted, wheels / 2 - shifted)
    return CarrierLoads(*(np.asarray(load, float) for load in loads))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bicycle:
    """A bicycle with its rider; x counts from the rear axle's foot on the ground.

    Attributes:
        mass_kg: Of both [kg].
        wheelbase: [mm].
        centre: Of both: before the rear axle and above the ground [mm].
        hitch: Of the hitch: before the rear axle (behind it: below 0) and above the ground [mm].
    """

    mass_kg: float
    wheelbase: float
    centre: tuple[float, float]
    hitch: tuple[float, float]

    def __post_init__(self) -> None:
        for name in ("mass_kg", "wheelbase"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name}={getattr(self, name):g} must be above 0")


class BicycleLoads(NamedTuple):
    """Loads on the axles [N] and the force that its wheels must drive (above 0) or brake with [N]."""

    rear: Floats
    front: Floats
    drive: Floats


def bicycle_loads(
    bicycle: Bicycle, hitch: ArrayLike, pull: ArrayLike, *, slope_rad: ArrayLike = 0.0, ahead_m_s2: ArrayLike = 0.0
) -> BicycleLoads:
    """Return loads on a bicycle's axles [N]; front below 0: it rears up; rear below 0: it goes over the front wheel.

    Args:
        bicycle: The bicycle.
        hitch: (...) down on it [N].
        pull: (...) back on it [N].
        slope_rad: (...) up the hill positive [rad].
        ahead_m_s2: (...) gain of speed [m/s2].

    Source: statics with D'Alembert's force (closed form).
    """
    v, p = np.asarray(hitch, float), np.asarray(pull, float)
    slope, gain = np.asarray(slope_rad, float), np.asarray(ahead_m_s2, float)
    down = bicycle.mass_kg * GRAVITY * np.cos(slope)
    back = bicycle.mass_kg * (GRAVITY * np.sin(slope) + gain)
    nose = bicycle.centre[0] * down + bicycle.hitch[0] * v - bicycle.centre[1] * back - bicycle.hitch[1] * p
    front = nose / bicycle.wheelbase
    out = np.broadcast_arrays(down + v - front, front, back + p)
    return BicycleLoads(*(np.asarray(load, float) for load in out))


def lifting_slope(carrier: Carrier, centre: ArrayLike) -> Floats:
    """Return (...) the steepest slope [rad] up which a towed carrier still presses on its hitch; pi/2: any.

    Args:
        carrier: Its wheels and hitch.
        centre: (..., 3) [mm].

    Source: `carrier_loads` with a hitch load of 0: tan = (x - x_axle) / (z - z_hitch).

    >>> cart = Carrier(axle=0, track=700, hitch=(1500, 400))
    >>> round(math.tan(float(lifting_slope(cart, (60.0, 0.0, 700.0)))), 3)
    0.2
    """
    at = np.asarray(centre, float)
    out: Floats = np.arctan2(at[..., 0] - carrier.axle, np.maximum(at[..., 2] - carrier.hitch[1], 0.0))
    return np.where(at[..., 2] <= carrier.hitch[1], np.where(at[..., 0] >= carrier.axle, math.pi / 2, out), out)


def positions_in_band(
    carrier: Carrier, fixed: tuple[float, tuple[float, float, float]], moved: tuple[float, tuple[float, float, float]],
    band: tuple[float, float], *, slopes_rad: ArrayLike = 0.0, rolling: float = 0.0,
) -> tuple[float, float] | None:  # fmt: skip
    """Return how far a load may be shifted along x so that the hitch load stays in a band [mm].

    Args:
        carrier: Its wheels and hitch.
        fixed: What stays: mass [kg], centre [mm].
        moved: What is shifted: mass [kg], centre before it is shifted [mm].
        band: Least and largest hitch load [N].
        slopes_rad: Slopes on which it must hold, all of them [rad].
        rolling: Resistance of the wheels over the load on them [-].

    Returns:
        Shift backward-most and forward-most; None: there is none.

    Source: the hitch load rises along a straight line with the shift (`carrier_loads`): two points give it.
    """
    slopes = np.atleast_1d(np.asarray(slopes_rad, float))
    (m0, c0), (m1, c1) = fixed, moved
    if not m1 > 0:
        raise ValueError(f"what is shifted weighs {m1:g} kg: it cannot change the hitch load")
    loads = []
    for shift in (0.0, 1.0):
        at = (m0 * np.asarray(c0) + m1 * (np.asarray(c1) + np.array([shift, 0.0, 0.0]))) / (m0 + m1)
        loads.append(carrier_loads(carrier, m0 + m1, at, slope_rad=slopes, rolling=rolling).hitch)
    rise = loads[1] - loads[0]
    low, high = float(np.max((band[0] - loads[0]) / rise)), float(np.min((band[1] - loads[0]) / rise))
    return (low, high) if low <= high else None
