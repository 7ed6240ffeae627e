"""Plates that carry an axle, and gussets."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.joints.square_chord import column_factor

__all__ = ["AxlePlate", "AxlePlateUse", "Gusset", "axle_plate_use", "gusset_resistance", "spread_width"]

Floats = NDArray[np.float64]

SPREAD_RAD = math.radians(30.0)
"""How force spreads in a gusset on either side [rad]: Whitmore's rule, from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AxlePlate:
    """A plate that hangs from a tube and holds one end of an axle.

    Attributes:
        thickness: [mm].
        width: Along the direction of travel, where it is bent most [mm].
        drop: From that line (the weld) to the axle [mm].
        hole: Diameter of the axle's hole or width of its slot [mm].
        edge: From the middle of the axle to the edge that it is pushed towards [mm].
        yield_mpa: [MPa].
    """

    thickness: float
    width: float
    drop: float
    hole: float
    edge: float
    yield_mpa: float

    def __post_init__(self) -> None:
        for name in ("thickness", "width", "drop", "hole", "edge", "yield_mpa"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name}={getattr(self, name):g} must be above 0")


class AxlePlateUse(NamedTuple):
    """How much of each is used [-]: bending with pull and shear at the weld, tearing out, bearing of the axle."""

    bending: Floats
    tearing: Floats
    bearing: Floats

    @property
    def worst(self) -> Floats:
        """The largest of them [-]."""
        return np.maximum(np.maximum(self.bending, self.tearing), self.bearing)


def axle_plate_use(plate: AxlePlate, forces: ArrayLike) -> AxlePlateUse:
    """Return how much of an axle plate is used [-].

    Args:
        plate: The plate.
        forces: (..., 3) of the axle on the plate: along the plate's width (braking, a kerb), square to the plate (in a
            turn), along its drop (weight) [N]; signs do not matter.

    Source: beam as a cantilever of the drop, elastic, equivalent stress against yield (computed here); tearing out:
    two planes of edge - hole / 2 with f_y / sqrt(3) (common practice, no source); bearing 1.5 t d f_y as EN 1993-1-8
    table 3.10 (read in an extract). A slot that is open towards the force tears at once: give the metal that is there.
    """
    along, square, weight = np.moveaxis(np.abs(np.asarray(forces, float)), -1, 0)
    t, b = plate.thickness, plate.width
    bent = weight / (t * b) + along * plate.drop / (t * b**2 / 6) + square * plate.drop / (b * t**2 / 6)
    sheared = np.hypot(along, square) / (t * b)
    bending = np.sqrt(bent**2 + 3 * sheared**2) / plate.yield_mpa
    metal = max(plate.edge - plate.hole / 2, 0.0)
    pushed = np.hypot(along, weight)
    most = 2 * metal * t * plate.yield_mpa / math.sqrt(3)
    tearing = np.divide(pushed, most, out=np.where(pushed > 0, np.inf, 0.0), where=most > 0)
    return AxlePlateUse(bending, tearing, pushed / (1.5 * t * plate.hole * plate.yield_mpa))


@dataclass(frozen=True, slots=True, kw_only=True)
class Gusset:
    """A plate between two tubes that takes the force of a third or stiffens their corner.

    Attributes:
        thickness: [mm].
        weld: Length of one of the two welds along the pull [mm].
        apart: Of the two welds, across the pull; 0: one line [mm].
        free: From the end of the welds to what holds the plate [mm].
        free_edge: Longest edge that nothing holds [mm].
        yield_mpa: [MPa].
    """

    thickness: float
    weld: float
    apart: float
    free: float
    free_edge: float
    yield_mpa: float

    def __post_init__(self) -> None:
        for name in ("thickness", "weld", "yield_mpa"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name}={getattr(self, name):g} must be above 0")


def spread_width(gusset: Gusset) -> float:
    """Return the width on which a gusset carries [mm].

    Args:
        gusset: The plate.

    Source: Whitmore (1952), 30 degrees on either side over the length of the weld (from memory).

    >>> plate = Gusset(thickness=3, weld=40, apart=20, free=15, free_edge=60, yield_mpa=235)
    >>> round(spread_width(plate), 1)
    66.2
    """
    return gusset.apart + 2 * gusset.weld * math.tan(SPREAD_RAD)


def gusset_resistance(gusset: Gusset, partial: float = 1.0) -> tuple[float, float, bool]:
    """Return pull and push that a gusset carries [N], and whether its free edge is stiff enough to count on.

    Args:
        gusset: The plate.
        partial: gamma_M0 = gamma_M1 [-].

    Source: pull: width by Whitmore (from memory) times yield; push: that strip as a strut of 0.65 of its free length
    (Thornton's rule, from memory), EN 1993-1-1 curve c; free edge: 14 epsilon t as an outstand of class 3 (from
    memory), taken for the half of an edge held at both ends (common practice, no source).
    """
    t = gusset.thickness
    pull = spread_width(gusset) * t * gusset.yield_mpa / partial
    euler = math.pi * math.sqrt(210000.0 / gusset.yield_mpa)
    slender = 0.65 * gusset.free / (t / math.sqrt(12)) / euler
    stiff = gusset.free_edge / 2 <= 14 * math.sqrt(235.0 / gusset.yield_mpa) * t
    return pull, pull * column_factor(slender), stiff
