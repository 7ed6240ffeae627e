"""Sets of masses and their centres. Axes: x forward, y to the left, z up, ground at z = 0."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Vec3

__all__ = ["GRAVITY", "MassPoint", "centre_of", "centres", "roll_inertia", "shares"]

Floats = NDArray[np.float64]

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s2] = [N/kg]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MassPoint:
    """A mass [kg] and where its centre is [mm]."""

    name: str
    mass_kg: float
    at: Vec3

    def __post_init__(self) -> None:
        if not self.mass_kg >= 0:
            raise ValueError(f"{self.name}: mass_kg={self.mass_kg:g} must not be negative")


def centre_of(points: Sequence[MassPoint], name: str = "together") -> MassPoint:
    """Return masses as one: sum [kg], centre [mm].

    Args:
        points: The masses.
        name: For the result.

    Raises:
        ValueError: If there is no mass.

    Source: statics.

    >>> both = [MassPoint(name="a", mass_kg=1, at=(0, 0, 0)), MassPoint(name="b", mass_kg=3, at=(400, 0, 80))]
    >>> centre_of(both).at
    (300.0, 0.0, 60.0)
    """
    mass, at = centres(np.array([p.mass_kg for p in points]), np.array([p.at for p in points], float).reshape(-1, 3))
    return MassPoint(name=name, mass_kg=float(mass), at=(float(at[0]), float(at[1]), float(at[2])))


def centres(mass_kg: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Return sums [kg] and centres [mm] of many sets of masses.

    Args:
        mass_kg: (..., n) [kg].
        at: (..., n, 3) [mm].

    Returns:
        (...) and (..., 3).

    Raises:
        ValueError: If a set has no mass.

    Source: statics.
    """
    whole = np.asarray(np.sum(mass_kg, axis=-1))
    if not np.all(whole > 0):
        raise ValueError("a set of masses weighs nothing, so it has no centre")
    out: Floats = np.sum(np.asarray(mass_kg)[..., None] * at, axis=-2) / whole[..., None]
    return whole, out


def shares(position: Floats, back: float, front: float) -> Floats:
    """Return (...) which share of a weight the front support carries [-]; outside 0 to 1 the other one is lifted.

    Args:
        position: (...) of the centre [mm].
        back: Place of the support behind [mm].
        front: Place of the support before [mm].

    Source: lever.

    >>> float(shares(np.array(250.0), 0.0, 1000.0))
    0.25
    """
    return np.asarray((np.asarray(position, float) - back) / (front - back))


def roll_inertia(points: Sequence[MassPoint], y: float, z: float, spread: float = 0.0) -> float:
    """Return the inertia about a line along x [kg mm2].

    Args:
        points: The masses.
        y: Of the line [mm].
        z: Of the line [mm].
        spread: Radius of gyration of each mass about its own centre [mm].

    Source: Steiner.

    >>> roll_inertia([MassPoint(name="a", mass_kg=2, at=(0, 300, 400))], 0.0, 0.0)
    500000.0
    """
    return sum(p.mass_kg * ((p.at[1] - y) ** 2 + (p.at[2] - z) ** 2 + spread**2) for p in points)
