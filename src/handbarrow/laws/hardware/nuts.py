"""Nuts of several kinds, and what bolts, nuts and washers weigh.

Heights of ISO 4032 are in `sizes`. ISO 7040 M3 to M10: read in a table of ASME B18.16.3M, whose nuts of these sizes are
the same; larger ones and ISO 4035 from memory. All are largest heights, so that a bolt is never too short.
"""

from __future__ import annotations

import math
from typing import Literal

from handbarrow.laws.geometry.section_properties import STEEL_DENSITY_KG_MM3
from handbarrow.laws.hardware.sizes import FastenerSize

__all__ = ["NUT_KINDS", "NUT_STANDARDS", "NutKind", "bolt_mass_kg", "nut_height", "nut_mass_kg", "washer_mass_kg"]

NutKind = Literal["lock", "plain", "thin", "welded", "tapped"]
NUT_KINDS: tuple[NutKind, ...] = ("lock", "plain", "thin", "welded", "tapped")
"""`welded`: a plain nut that is welded on; `tapped`: no nut, the last part has a thread."""
NUT_STANDARDS: dict[NutKind, tuple[str, str]] = {
    "lock": ("Lock nut", "ISO 7040"),
    "plain": ("Hex nut", "ISO 4032"),
    "thin": ("Thin nut", "ISO 4035"),
    "welded": ("Hex nut", "ISO 4032"),
}
"""Kind -> name in the shop, standard."""
LOCK = {"M3": 4.5, "M4": 6.0, "M5": 6.8, "M6": 8.0, "M8": 9.5, "M10": 11.9, "M12": 14.9, "M16": 19.1, "M20": 22.8}
THIN = {"M3": 1.8, "M4": 2.2, "M5": 2.7, "M6": 3.2, "M8": 4.0, "M10": 5.0, "M12": 6.0, "M16": 8.0, "M20": 10.0}


def nut_height(size: FastenerSize, kind: NutKind) -> float:
    """Return the height of a nut [mm]; 0 where the last part has the thread.

    Args:
        size: Its thread.
        kind: Which nut.

    Source: ISO 4032, 4035, 7040, as said at the head of this module.

    >>> from handbarrow.laws.hardware.sizes import FASTENER_SIZES
    >>> [nut_height(FASTENER_SIZES[4], kind) for kind in NUT_KINDS]
    [9.5, 6.8, 4.0, 6.8, 0.0]
    """
    tables = {"lock": LOCK, "thin": THIN}
    return 0.0 if kind == "tapped" else tables[kind][size.name] if kind in tables else size.nut


def _hexagon(flats: float) -> float:
    return math.sqrt(3) / 2 * flats**2


def bolt_mass_kg(size: FastenerSize, length: float) -> float:
    """Return what a steel bolt with hexagon head weighs [kg]: a guess until one is weighed.

    Args:
        size: Its thread.
        length: From under the head to the end [mm].

    Source: closed form (computed here): head a full hexagon, shank and thread a cylinder of the mean of nominal
    diameter and core; about 5 % from makers' lists.

    >>> from handbarrow.laws.hardware.sizes import FASTENER_SIZES
    >>> round(bolt_mass_kg(FASTENER_SIZES[5], 60.0), 3)
    0.045
    """
    mean = size.diameter - 0.613 * size.pitch
    shank = math.pi / 8 * (size.diameter**2 + mean**2)
    return (_hexagon(size.flats) * size.head + shank * length) * STEEL_DENSITY_KG_MM3


def nut_mass_kg(size: FastenerSize, kind: NutKind) -> float:
    """Return what a steel nut weighs [kg]: a guess until one is weighed.

    Args:
        size: Its thread.
        kind: Which nut.

    Source: closed form (computed here): hexagon less a hole of the mean thread diameter; the ring of a lock nut counts
    as steel, so it comes out up to a fifth too heavy.

    >>> from handbarrow.laws.hardware.sizes import FASTENER_SIZES
    >>> round(nut_mass_kg(FASTENER_SIZES[5], "plain"), 4)
    0.0103
    """
    hole = math.pi / 4 * (size.diameter - 0.613 * size.pitch) ** 2
    return (_hexagon(size.flats) - hole) * nut_height(size, kind) * STEEL_DENSITY_KG_MM3


def washer_mass_kg(size: FastenerSize) -> float:
    """Return what a steel washer of ISO 7089 weighs [kg].

    Args:
        size: The bolt that it belongs to.

    Source: closed form, a flat ring (computed here).

    >>> from handbarrow.laws.hardware.sizes import FASTENER_SIZES
    >>> round(washer_mass_kg(FASTENER_SIZES[5]), 4)
    0.0036
    """
    hole, outside, thickness = size.washer
    return math.pi / 4 * (outside**2 - hole**2) * thickness * STEEL_DENSITY_KG_MM3
