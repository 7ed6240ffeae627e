"""What a fillet weld carries: throat, directional and simplified method of EN 1993-1-8.

The standard's words were read at second hand only; each function says so. EN 1993-1-8 4.1 and 4.5.2 ask for metal of
4 mm (hollow sections 2.5 mm) and a throat of 3 mm at least (from memory): thinner welds are judged by the same
formulas, as an indicator.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "LEAST_THROAT",
    "WELD_STEELS",
    "WeldSteel",
    "directional_use",
    "equal_leg_throat",
    "full_strength_throat",
    "gap_leg",
    "simplified_use",
    "weld_shear_strength",
    "weld_steel",
]

Floats = NDArray[np.float64]

LEAST_THROAT = 3.0
"""Smallest throat in the range of EN 1993-1-8 4.5.2(2) [mm], from memory."""
PARTIAL = 1.25
"""gamma_M2 [-]: EN 1993-1-8 table 2.1, read at second hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldSteel:
    """The weaker of the joined steels, as the weld sees it.

    Attributes:
        name: Of the grade, or of the tensile strength that was given.
        strength_mpa: Tensile strength [MPa].
        correlation: beta_w [-].
        source: Where the figures come from and how they were read.
    """

    name: str
    strength_mpa: float
    correlation: float
    source: str

    def __post_init__(self) -> None:
        if not (self.strength_mpa > 0 and self.correlation > 0):
            raise ValueError(f"strength_mpa={self.strength_mpa:g} and correlation={self.correlation:g} must be above 0")


EN_1993_1_8 = "EN 1993-1-8 table 4.1 and EN 1993-1-1 table 3.1, read at second hand on pages about steel design"
WELD_STEELS = (
    WeldSteel(name="S235", strength_mpa=360.0, correlation=0.8, source=EN_1993_1_8),
    WeldSteel(name="S275", strength_mpa=430.0, correlation=0.85, source=EN_1993_1_8),
    WeldSteel(name="S355", strength_mpa=490.0, correlation=0.9, source=EN_1993_1_8),
)


def weld_steel(strength_mpa: float) -> WeldSteel:
    """Return what a weld on steel of any tensile strength [MPa] counts with.

    Source: EN 1993-1-8 table 4.1 (read at second hand); a steel that is not in it takes beta_w of the next stronger one
    that is (common practice, no source), above 490 MPa 1.0 as S420 has it (from memory).

    >>> weld_steel(340.0).correlation, weld_steel(430.0).correlation, weld_steel(510.0).correlation
    (0.8, 0.85, 1.0)
    """
    known = next((one for one in WELD_STEELS if strength_mpa <= one.strength_mpa), None)
    return WeldSteel(
        name=f"{strength_mpa:g} MPa",
        strength_mpa=strength_mpa,
        correlation=known.correlation if known else 1.0,
        source=EN_1993_1_8 if known else "beta_w of S420, EN 1993-1-8 table 4.1, from memory",
    )


def equal_leg_throat(leg: float, corner_rad: float = math.pi / 2) -> float:
    """Return the throat of a fillet with equal legs [mm].

    Args:
        leg: From the root along either face [mm].
        corner_rad: Angle between the faces [rad].

    Source: height of an isosceles triangle, z cos(corner / 2).

    >>> round(equal_leg_throat(4.0), 2)
    2.83
    """
    return leg * math.cos(corner_rad / 2)


def gap_leg(leg: float, gap: float) -> float:
    """Return the leg that makes up for a gap at the root [mm].

    Args:
        leg: That a tight fit would need [mm].
        gap: Between end and receiver [mm].

    Source: AISC Design Guide 24 extract (read): the leg is increased by the gap, up to 5 mm there; in thin wall no more
    than 1 mm (from memory).

    >>> gap_leg(3.0, 1.0)
    4.0
    """
    return leg + gap


def weld_shear_strength(steel: WeldSteel, partial: float = PARTIAL) -> float:
    """Return f_vw.d, the shear strength of the throat [MPa].

    Args:
        steel: The weaker of the joined steels.
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 4.5.3.3 (4.4), read at second hand: f_u / (sqrt(3) beta_w gamma_M2).

    >>> round(weld_shear_strength(WELD_STEELS[0]), 1)
    207.8
    """
    return steel.strength_mpa / (math.sqrt(3) * steel.correlation * partial)


def simplified_use(force_n_mm: Floats | float, throat: float, steel: WeldSteel, partial: float = PARTIAL) -> Floats:
    """Return how much of a weld is used by the simplified method [-].

    Args:
        force_n_mm: (...) size of the force on 1 mm of weld, whatever its direction [N/mm].
        throat: [mm].
        steel: The weaker of the joined steels.
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 4.5.3.3 (read at second hand).

    >>> round(float(simplified_use(415.692, 4.0, WELD_STEELS[0])), 3)
    0.5
    """
    out: Floats = np.asarray(force_n_mm, float) / (throat * weld_shear_strength(steel, partial))
    return out


def directional_use(stress: Floats, steel: WeldSteel, partial: float = PARTIAL) -> Floats:
    """Return how much of a weld is used by the directional method [-]: the larger of its two conditions.

    Args:
        stress: (..., 3) across the throat, shear in the throat across the weld, shear along the weld [MPa].
        steel: The weaker of the joined steels.
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 4.5.3.2 (4.1), read at second hand: sqrt(s^2 + 3 (t_across^2 + t_along^2)) against
    f_u / (beta_w gamma_M2), and s against 0.9 f_u / gamma_M2.

    >>> use = directional_use(np.array([100.0, 100.0, 0.0]), WELD_STEELS[0])
    >>> round(float(use), 3)
    0.556
    """
    across, shear, along = np.moveaxis(np.asarray(stress, float), -1, 0)
    together = np.sqrt(across**2 + 3 * (shear**2 + along**2)) * steel.correlation
    out: Floats = np.maximum(together, np.abs(across) / 0.9) * partial / steel.strength_mpa
    return out


def full_strength_throat(wall: float, yield_mpa: float, steel: WeldSteel, partial: float = PARTIAL) -> float:
    """Return the throat with which a fillet square across the pull carries as much as the wall [mm].

    Args:
        wall: Thickness of the tube's wall [mm].
        yield_mpa: Its yield [MPa].
        steel: The weaker of the joined steels.
        partial: gamma_M2 [-]; gamma_M0 is 1.

    Source: closed form of the directional method for pull at 45 degrees to the throat:
    a = sqrt(2) t f_y beta_w gamma_M2 / f_u; 0.92 t for S235 (so also tables for tube joints, from memory).

    >>> round(full_strength_throat(2.0, 235.0, WELD_STEELS[0]), 2)
    1.85
    """
    return math.sqrt(2) * wall * yield_mpa * steel.correlation * partial / steel.strength_mpa
