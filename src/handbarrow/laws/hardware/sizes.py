"""Metric bolts, screws, nuts and washers: sizes of the standards, and their holes.

Pitches, stress areas, tap drills, clearance holes (ISO 273), widths across flats and nut heights (ISO 4032) were read
at second hand in dealers' lists and a workshop handbook; washers (ISO 7089) and head heights (ISO 4014, 4017) on a
page of fastener tables; thread lengths 2 d + 6 and ranges of lengths are from memory. Bolts of old DIN make differ:
M10 and M12 come with 17 and 19 mm across flats; measure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

__all__ = [
    "FASTENER_SIZES",
    "PREFERRED_LENGTHS",
    "FastenerSize",
    "Fit",
    "clearance_hole",
    "fastener_size",
    "stress_area",
]

Fit = Literal["fine", "medium", "coarse"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerSize:
    """One metric size with coarse thread.

    Attributes:
        name: As `M10`.
        diameter: Nominal [mm].
        pitch: [mm].
        tap_drill: For cutting its thread [mm].
        holes: Clearance holes, ISO 273: fine, medium, coarse [mm].
        flats: Width across flats of head and nut [mm].
        head: Height of the head, ISO 4014 and 4017 [mm].
        nut: Height of the nut, ISO 4032, at most [mm].
        washer: ISO 7089: hole, outside, thickness [mm].
        bolt_lengths: Shortest and longest ISO 4014 bolt [mm].
        screw_lengths: Shortest and longest ISO 4017 screw, thread up to the head [mm].
    """

    name: str
    diameter: float
    pitch: float
    tap_drill: float
    holes: tuple[float, float, float]
    flats: float
    head: float
    nut: float
    washer: tuple[float, float, float]
    bolt_lengths: tuple[float, float]
    screw_lengths: tuple[float, float]


def _size(
    diameter: int,
    thread: tuple[float, float],
    holes: tuple[float, float, float],
    heights: tuple[float, float, float],
    washer: tuple[float, float, float],
    lengths: tuple[float, float, float, float],
) -> FastenerSize:
    return FastenerSize(
        name=f"M{diameter}",
        diameter=float(diameter),
        pitch=thread[0],
        tap_drill=thread[1],
        holes=holes,
        flats=heights[0],
        head=heights[1],
        nut=heights[2],
        washer=washer,
        bolt_lengths=lengths[:2],
        screw_lengths=lengths[2:],
    )


FASTENER_SIZES = (
    _size(3, (0.5, 2.5), (3.2, 3.4, 3.6), (5.5, 2.0, 2.4), (3.2, 7.0, 0.5), (20, 30, 6, 30)),
    _size(4, (0.7, 3.3), (4.3, 4.5, 4.8), (7.0, 2.8, 3.2), (4.3, 9.0, 0.8), (25, 40, 8, 40)),
    _size(5, (0.8, 4.2), (5.3, 5.5, 5.8), (8.0, 3.5, 4.7), (5.3, 10.0, 1.0), (25, 50, 10, 50)),
    _size(6, (1.0, 5.0), (6.4, 6.6, 7.0), (10.0, 4.0, 5.2), (6.4, 12.0, 1.6), (30, 60, 12, 60)),
    _size(8, (1.25, 6.8), (8.4, 9.0, 10.0), (13.0, 5.3, 6.8), (8.4, 16.0, 1.6), (40, 80, 16, 80)),
    _size(10, (1.5, 8.5), (10.5, 11.0, 12.0), (16.0, 6.4, 8.4), (10.5, 20.0, 2.0), (45, 100, 20, 100)),
    _size(12, (1.75, 10.2), (13.0, 13.5, 14.5), (18.0, 7.5, 10.8), (13.0, 24.0, 2.5), (50, 120, 25, 120)),
    _size(16, (2.0, 14.0), (17.0, 17.5, 18.5), (24.0, 10.0, 14.8), (17.0, 30.0, 3.0), (65, 160, 30, 150)),
    _size(20, (2.5, 17.5), (21.0, 22.0, 24.0), (30.0, 12.5, 18.0), (21.0, 37.0, 3.0), (80, 200, 40, 150)),
)
PREFERRED_LENGTHS = (
    *(6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 80.0, 90.0),
    *(100.0, 110.0, 120.0, 130.0, 140.0, 150.0, 160.0, 180.0, 200.0),
)
"""Lengths in which bolts and screws are made [mm]: ISO 4014 and 4017, from memory."""


def fastener_size(name: str) -> FastenerSize | None:
    """Return a size by its name, as `M10`; None: not in the table [mm].

    Source: the table above.

    >>> size = fastener_size("M10")
    >>> size.washer if size else ()
    (10.5, 20.0, 2.0)
    """
    return next((size for size in FASTENER_SIZES if size.name == name), None)


def clearance_hole(size: FastenerSize, fit: Fit = "medium") -> float:
    """Return the diameter of the hole that a bolt goes through [mm].

    Args:
        size: The bolt.
        fit: Series of the standard; `fine` turns freely without rattling, as for a nut drilled out for a pivot.

    Source: ISO 273, read at second hand in a dealer's list.

    >>> clearance_hole(FASTENER_SIZES[5], "fine")
    10.5
    """
    return dict(zip(("fine", "medium", "coarse"), size.holes, strict=True))[fit]


def stress_area(size: FastenerSize) -> float:
    """Return the area of a thread that counts under pull [mm2].

    Args:
        size: The bolt.

    Source: ISO 898-1, pi/4 ((d2 + d3)/2)^2 with d2 = d - 0.649519 P and d3 = d - 1.226869 P (read at
    second hand).

    >>> round(stress_area(FASTENER_SIZES[5]), 2)
    57.99
    """
    mean = size.diameter - (0.649519 + 1.226869) / 2 * size.pitch
    return math.pi / 4 * mean**2
