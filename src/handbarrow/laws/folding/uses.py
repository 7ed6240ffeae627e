"""How much sheet a fold uses, and by how much a blank is shorter than the sum of its outside sizes.

A fold turns the sheet by an angle (0: flat) about an inside radius. The neutral line lies at a share of the thickness
from the inside face and keeps its length. Handbooks write the share as k/2 (DIN 6935) or K.
"""

from __future__ import annotations

import math

__all__ = [
    "fold_uses",
    "neutral_share",
    "outside_reach",
    "share_from_test_fold",
    "shortening",
    "shortening_din6935",
]

SQUARE = math.pi / 2
FLAT_ENOUGH_RAD = math.radians(15)
"""DIN 6935: no shortening is reckoned for opening angles above 165 degrees."""


def neutral_share(radius: float, thickness: float) -> float:
    """Return where the neutral line lies: its distance from the inside face over the thickness [-].

    Args:
        radius: Inside radius of the fold [mm].
        thickness: Of the sheet [mm].

    Raises:
        ValueError: For a fold without radius.

    Source: DIN 6935, k/2 with k = 0.65 + 0.5 lg(r/s), at most 1 (formula read at second hand on a handbook page);
    at least 0, which the formula reaches at r = s/20.

    >>> round(2 * neutral_share(6.0, 5.0), 4)
    0.6896
    """
    _check(radius, thickness)
    if radius == 0:
        raise ValueError("DIN 6935 says nothing about a fold without radius: give the neutral share of a test fold")
    return min(max(0.65 + 0.5 * math.log10(radius / thickness), 0.0), 1.0) / 2


def fold_uses(angle_rad: float, radius: float, thickness: float, share: float | None = None) -> float:
    """Return the length of flat sheet that a fold uses [mm].

    Args:
        angle_rad: By how much the sheet turns [rad]; the sign does not count.
        radius: Inside radius [mm].
        thickness: Of the sheet [mm].
        share: Neutral line's distance from the inside face over the thickness [-]; None: DIN 6935.

    Source: plane geometry, A (r + share x s).

    >>> round(fold_uses(math.pi / 2, 10.0, 10.0, 0.33), 4)
    20.8916
    """
    _check(radius, thickness)
    where = neutral_share(radius, thickness) if share is None else share
    return abs(angle_rad) * (radius + where * thickness)


def outside_reach(angle_rad: float, radius: float) -> float:
    """Return how far a size runs beyond the end of the flat to what it is measured to [mm].

    Up to a square fold that is the corner where the two faces would meet; beyond it, the tangent that stands square
    on the size (the outermost point of the fold).

    Args:
        angle_rad: By how much the sheet turns [rad].
        radius: Of the face that is measured [mm]: inside radius, or inside radius and thickness.

    Source: DIN 6935, as sizes are put to its formula (read at second hand): r tan(A/2) up to 90 degrees, r beyond.

    >>> outside_reach(math.pi, 3.0), round(outside_reach(math.pi / 2, 3.0), 9)
    (3.0, 3.0)
    """
    angle = abs(angle_rad)
    return radius * math.tan(angle / 2) if angle < SQUARE else radius


def shortening(angle_rad: float, radius: float, thickness: float, share: float | None = None) -> float:
    """Return by how much the blank is shorter than the two outside sizes beside a fold together [mm].

    Args:
        angle_rad: By how much the sheet turns [rad].
        radius: Inside radius [mm].
        thickness: Of the sheet [mm].
        share: Neutral line's distance from the inside face over the thickness [-]; None: DIN 6935.

    Source: plane geometry; equals the compensation value v of DIN 6935 with its neutral line for turns of 15 degrees
    and more.

    >>> round(shortening(math.radians(120), 6.0, 5.0, share=0.35), 3)
    5.768
    """
    return 2 * outside_reach(angle_rad, radius + thickness) - fold_uses(angle_rad, radius, thickness, share)


def shortening_din6935(angle_rad: float, radius: float, thickness: float) -> float:
    """Return the compensation value v as the standard says it: 0 for turns under 15 degrees [mm].

    Args:
        angle_rad: By how much the sheet turns [rad]; 180 degrees less the opening angle.
        radius: Inside radius [mm].
        thickness: Of the sheet [mm].

    Source: DIN 6935 (formula read at second hand). Leaving out small turns makes a blank up to 0.2 (r + s) too long.

    >>> shortening_din6935(math.radians(10), 6.0, 5.0)
    0.0
    """
    return 0.0 if abs(angle_rad) < FLAT_ENOUGH_RAD else shortening(angle_rad, radius, thickness)


def share_from_test_fold(blank: float, outside: tuple[float, float], fold: tuple[float, float, float]) -> float:
    """Return the shop's own neutral share from one folded test strip [-].

    Args:
        blank: Length of the strip before folding [mm].
        outside: Its two outside sizes after folding [mm].
        fold: Turn [rad], inside radius [mm], thickness [mm].

    Returns:
        The share; a value outside 0 to 0.5 says that a size or the radius was measured wrong.

    Raises:
        ValueError: If nothing was folded.

    Source: plane geometry, the blank's formula solved for the share.

    >>> round(share_from_test_fold(blank=96.43, outside=(50.0, 50.0), fold=(math.pi / 2, 2.0, 2.0)), 3)
    0.41
    """
    angle, radius, thickness = abs(fold[0]), fold[1], fold[2]
    if angle == 0:
        raise ValueError("a strip that was not folded tells nothing")
    _check(radius, thickness)
    used = blank - sum(outside) + 2 * outside_reach(angle, radius + thickness)
    return (used / angle - radius) / thickness


def _check(radius: float, thickness: float) -> None:
    if not thickness > 0:
        raise ValueError(f"thickness={thickness:g} mm must be positive")
    if not radius >= 0:
        raise ValueError(f"radius={radius:g} mm must not be negative")
