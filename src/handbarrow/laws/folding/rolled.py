"""Strip rolled to a radius, with hemmed edges: guards over wheels, and the side plates that go with them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.folding.hems import SheetHem, hemmed_strip

__all__ = ["GuardSizes", "RolledGuard", "guard_sizes", "ring_sector", "spaced_places"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class RolledGuard:
    """A strip rolled to an arc.

    Attributes:
        inside_radius: Of its inner face [mm].
        arc_rad: How far it goes round [rad].
        width: Over both its edges [mm].
        thickness: Of the sheet [mm].
        left: One long edge, folded before rolling.
        right: The other.
    """

    inside_radius: float
    arc_rad: float
    width: float
    thickness: float
    left: SheetHem
    right: SheetHem

    def __post_init__(self) -> None:
        if not (self.inside_radius > 0 and 0 < self.arc_rad <= 2 * math.pi):
            raise ValueError(f"radius {self.inside_radius:g} mm, arc {math.degrees(self.arc_rad):g} degrees: no arc")


@dataclass(frozen=True, slots=True, kw_only=True)
class GuardSizes:
    """What to cut and what to check.

    Attributes:
        blank_length: Along the arc, before rolling [mm].
        blank_width: Before the hems are folded [mm].
        outside_arc: Along the outer face, as a tape laid over it reads [mm].
        inside_arc: Along the inner face [mm].
        chord: Straight between the ends of the inner face [mm].
        rise: From that chord to the inner face at the middle [mm].
        hem_creep: By how much the inner layer of a hem would stand out at both ends together if it slid freely [mm].
    """

    blank_length: float
    blank_width: float
    outside_arc: float
    inside_arc: float
    chord: float
    rise: float
    hem_creep: float


def guard_sizes(guard: RolledGuard) -> GuardSizes:
    """Return what to cut for a rolled strip with hemmed edges and what to check after rolling.

    Args:
        guard: The strip [mm, rad].

    Source: plane geometry; in rolling to a radius of many thicknesses the middle of the sheet keeps its length. Hems
    lie on the inner face.

    >>> raw = SheetHem(kind="raw")
    >>> guard = RolledGuard(inside_radius=345.0, arc_rad=math.pi, width=90.0, thickness=1.0, left=raw, right=raw)
    >>> round(guard_sizes(guard).blank_length, 2)
    1085.42
    """
    r, t, arc = guard.inside_radius, guard.thickness, guard.arc_rad
    layers = {"raw": 0.0, "closed": 1.0, "double": 2.0}
    creep = 0.0
    for hem in (guard.left, guard.right):
        apart = t + hem.gap if hem.kind == "open" else layers[hem.kind] * t
        creep = max(creep, apart * arc)
    return GuardSizes(
        blank_length=(r + t / 2) * arc,
        blank_width=hemmed_strip(guard.width, guard.left, guard.right, t).blank,
        outside_arc=(r + t) * arc,
        inside_arc=r * arc,
        chord=2 * r * math.sin(min(arc, 2 * math.pi) / 2),
        rise=r * (1 - math.cos(arc / 2)),
        hem_creep=creep,
    )


def ring_sector(inside: float, outside: float, arc_rad: float, chord_rad: float = math.radians(2)) -> Floats:
    """Return the outline of a side plate: the part of a ring between two radii, its middle on +y, (n, 2) places [mm].

    Args:
        inside: Inner radius [mm].
        outside: Outer radius [mm].
        arc_rad: How far it goes round [rad].
        chord_rad: Turn between two points [rad].

    Raises:
        ValueError: If the radii leave nothing between them.

    Source: plane geometry.

    >>> ring_sector(100.0, 150.0, math.pi).round(6).max(axis=0).tolist()
    [150.0, 150.0]
    """
    if not 0 < inside < outside:
        raise ValueError(f"inside {inside:g} mm, outside {outside:g} mm: no plate")
    steps = 2 * max(1, math.ceil(arc_rad / chord_rad / 2))
    angle = np.linspace(-arc_rad / 2, arc_rad / 2, steps + 1)
    ray = np.stack([-np.sin(angle), np.cos(angle)], axis=1)
    return np.vstack([outside * ray, inside * ray[::-1]])


def spaced_places(length: float, edge: float, *, count: int | None = None, pitch: float | None = None) -> Floats:
    """Return places along an edge, the first and the last at the edge distance, the rest evenly between [mm].

    Args:
        length: Of the edge [mm].
        edge: From its ends to the first and last place [mm].
        count: How many places; or
        pitch: the largest distance between two [mm].

    Raises:
        ValueError: If not one of count and pitch is given, or there is no room.

    Source: plane geometry.

    >>> spaced_places(500.0, 25.0, pitch=200.0).tolist()
    [25.0, 175.0, 325.0, 475.0]
    """
    if (count is None) == (pitch is None):
        raise ValueError("say how many places or the largest distance between them, one of the two")
    between = length - 2 * edge
    if between < 0 or (pitch is not None and pitch <= 0) or (count is not None and count < 1):
        raise ValueError(f"no room for places {edge:g} mm from both ends of {length:g} mm")
    if count == 1:
        return np.array([length / 2])
    if count is None and pitch is not None:
        count = max(2, math.ceil(between / pitch - 1e-9) + 1) if between > 0 else 1
    return np.linspace(edge, length - edge, count or 1)
