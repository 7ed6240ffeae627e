"""The way of a rigid motion, as a screw: every state between the start and the end. Lengths mm, angles rad."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Screw", "screw"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Screw:
    """A turn about an axis and a move along it, both at once.

    Attributes:
        point: (3,) a point of the axis [mm].
        axis: (3,) its unit direction.
        angle_rad: How far it turns in all, right-handed.
        shift: How far it moves along the axis in all [mm].
    """

    point: Floats
    axis: Floats
    angle_rad: float
    shift: float

    def at(self, share: Floats) -> Floats:
        """Return the transforms (n, 4, 4) after shares (n,) of the way, 0 to 1."""
        x, y, z = self.axis
        k = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        turn = self.angle_rad * share[:, None, None]
        out = np.zeros((len(share), 4, 4))
        out[:, :3, :3] = np.eye(3) + np.sin(turn) * k + (1 - np.cos(turn)) * (k @ k)
        out[:, :3, 3] = self.point - out[:, :3, :3] @ self.point + self.axis * (self.shift * share)[:, None]
        out[:, 3, 3] = 1.0
        return out

    def longest(self, points: Floats) -> Floats:
        """Return how far each of some points (n, 3) travels in all [mm]."""
        w = points - self.point
        aside = w - np.outer(w @ self.axis, self.axis)
        out: Floats = np.hypot(np.linalg.norm(aside, axis=1) * self.angle_rad, self.shift)
        return out


def screw(transform: Floats) -> Screw:
    """Return the screw that ends in a rigid transform (4, 4) [mm].

    Source: M. Chasles: every rigid motion is a screw (from memory). A motion that mirrors is none.

    Raises:
        ValueError: If the transform mirrors.

    >>> quarter = screw(np.array([[0, -1, 0, 10], [1, 0, 0, 0], [0, 0, 1, 5], [0, 0, 0, 1]], float))
    >>> [round(float(v), 6) for v in (*quarter.point[:2], math.degrees(quarter.angle_rad), quarter.shift)]
    [5.0, 5.0, 90.0, 5.0]
    """
    turn, move = transform[:3, :3], transform[:3, 3]
    if np.linalg.det(turn) < 0:
        raise ValueError("a mirrored place is not reached by moving")
    about = np.array([turn[2, 1] - turn[1, 2], turn[0, 2] - turn[2, 0], turn[1, 0] - turn[0, 1]])
    sine, cosine = float(np.linalg.norm(about)) / 2, (float(np.trace(turn)) - 1) / 2
    angle = math.atan2(sine, cosine)
    if angle < 1e-9:
        far = float(np.linalg.norm(move))
        return Screw(np.zeros(3), move / far if far > 0 else np.array([0.0, 0.0, 1.0]), 0.0, far)
    if sine > 1e-6:
        axis = about / (2 * sine)
    else:  # half a turn
        both = (turn + np.eye(3)) / 2
        axis = both[np.argmax(np.diag(both))]
        axis = axis / np.linalg.norm(axis)
    shift = float(move @ axis)
    flat = move - axis * shift
    point = (flat + np.cross(axis, flat) / math.tan(angle / 2)) / 2
    return Screw(point, axis, angle, shift)
