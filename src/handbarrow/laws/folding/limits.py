"""What sheet and folder allow: smallest inside radius, shortest side, room left at corners."""

from __future__ import annotations

import bisect
import math

__all__ = ["corner_relief", "least_inside_radius", "least_side", "natural_radius"]

UP_TO_THICKNESS = (1.0, 1.5, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0)
LEAST_RADII: tuple[tuple[float, tuple[float, ...]], ...] = (
    (390.0, (1.0, 1.6, 2.5, 3.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0)),
    (490.0, (1.2, 2.0, 3.0, 4.0, 5.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0)),
    (640.0, (1.6, 2.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0)),
)
"""(tensile strength up to [MPa], radii [mm] for the bands of thickness): DIN 6935:1975, read at second hand in a text
with scrambled columns; the columns from 4 mm on are the least certain."""


def least_inside_radius(
    thickness: float, strength_mpa: float = 390.0, *, angle_rad: float = math.pi / 2, along_grain: bool = False
) -> float | None:
    """Return the smallest inside radius for folding steel cold [mm]; None: beyond the table.

    Args:
        thickness: Of the sheet [mm].
        strength_mpa: Tensile strength [MPa].
        angle_rad: By how much the sheet turns [rad].
        along_grain: Whether the fold line runs along the rolling direction.

    Source: DIN 6935:1975 (read at second hand): across the rolling direction and up to 120 degrees by the table; along
    it, or beyond, the next band of thickness.

    >>> least_inside_radius(2.0), least_inside_radius(2.0, along_grain=True)
    (2.5, 3.0)
    """
    row = next((radii for upto, radii in LEAST_RADII if strength_mpa <= upto), None)
    if row is None or not thickness > 0:
        return None
    band = bisect.bisect_left(UP_TO_THICKNESS, thickness)
    band += along_grain or abs(angle_rad) > math.radians(120) + 1e-9
    return row[band] if band < len(row) else None


def natural_radius(opening: float) -> float:
    """Return the inside radius that mild steel takes by itself over an open die [mm].

    Args:
        opening: Width of the die's opening [mm].

    Source: rule 0.16 V for 450 MPa, read off a tool maker's chart (its values agree within 7 %).

    >>> natural_radius(12.0)
    1.92
    """
    return 0.16 * opening


def least_side(thickness: float, radius: float, opening: float | None = None) -> float:
    """Return the shortest outside size of a side that can still be folded [mm].

    Args:
        thickness: Of the sheet [mm].
        radius: Inside radius of the fold [mm].
        opening: Of an open die [mm]; None: a folder with a clamp.

    Source: over a die 0.7 V, read off a tool maker's chart (its values lie between 0.67 and 0.71 V); at a folder four
    times the thickness (read on a weak page), and no less than the fold and one thickness of flat.

    >>> least_side(1.0, 1.0), round(least_side(1.0, 1.0, opening=8.0), 9)
    (4.0, 5.6)
    """
    if opening is not None:
        return 0.7 * opening
    return max(4 * thickness, radius + 2 * thickness)


def corner_relief(thickness: float, radius: float) -> tuple[float, float]:
    """Return width and depth of the slot that keeps a fold from tearing where it ends inside the sheet [mm].

    Args:
        thickness: Of the sheet [mm].
        radius: Inside radius of the fold [mm].

    Returns:
        Width along the fold line, and depth from the outer face of the folded side into the sheet that stays flat.

    Source: common practice, no source: as wide as the sheet is thick and at least 1 mm; as deep as radius and twice
    the thickness, so that it reaches one thickness beyond where the fold begins.

    >>> corner_relief(1.5, 2.0)
    (1.5, 5.0)
    """
    return max(thickness, 1.0), radius + 2 * thickness
