"""Wheels that do not run straight: toe, camber, what they scrub and drag."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["Scrub", "axle_angles", "camber_track", "scrub"]

Floats = NDArray[np.float64]


class Scrub(NamedTuple):
    """What toe does.

    sideways: (...) distance scrubbed sideways by each wheel on one kilometre [mm].
    drag: (...) force against the way from both wheels [N].
    """

    sideways: Floats
    drag: Floats


def scrub(toe_rad: ArrayLike, load: ArrayLike, stiffness: float = 6.0, grip: float = 0.7) -> Scrub:
    """Return what wheels scrub that stand toe-in or toe-out against each other.

    Args:
        toe_rad: (...) of each wheel from the way straight ahead [rad].
        load: (...) on each wheel [N].
        stiffness: Side force over load for each radian [1/rad]; bicycle tyres about 6 at small angles (from memory).
        grip: Largest side force over load [-].

    Returns:
        Sideways [mm] and drag [N].

    Source: plane geometry, 1 km times tan(toe); drag of both wheels 2 F_side sin(toe) (closed form).

    >>> float(scrub(0.01, 500.0).sideways.round(0)), float(scrub(0.01, 500.0).drag.round(2))
    (10000.0, 0.6)
    """
    toe, weight = np.broadcast_arrays(np.abs(np.asarray(toe_rad, float)), np.asarray(load, float))
    side = np.minimum(stiffness * toe, grip) * weight
    return Scrub(np.asarray(1e6 * np.tan(toe)), np.asarray(2 * side * np.sin(toe)))


def camber_track(track: float, wheel_radius: float, camber_rad: float) -> float:
    """Return the distance between the tyres on the ground [mm].

    Args:
        track: Between the middles of the hubs [mm].
        wheel_radius: [mm].
        camber_rad: Of each wheel; tops together positive [rad].

    Source: plane geometry.

    >>> round(camber_track(700.0, 300.0, 0.05), 1)
    730.0
    """
    return track + 2 * wheel_radius * math.sin(camber_rad)


def axle_angles(offset_along: float, offset_up: float, apart: float) -> tuple[float, float]:
    """Return toe and camber of a wheel whose axle stands askew in its two plates [rad].

    Args:
        offset_along: How far the outer plate's slot lies before the inner one's [mm].
        offset_up: How far it lies above [mm].
        apart: Between the plates [mm].

    Returns:
        Toe: the front of the wheel inwards positive; camber: its top inwards positive.

    Source: plane geometry.

    >>> [round(angle, 4) for angle in axle_angles(1.0, 0.0, 100.0)]
    [0.01, 0.0]
    """
    return math.atan2(offset_along, apart), math.atan2(offset_up, apart)
