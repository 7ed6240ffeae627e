"""A pin through an eye between two cheeks: shear, bearing, bending; EN 1993-1-8 table 3.10."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["Pin", "PinUse", "eye_least", "pin_moment", "pin_resistance", "pin_use"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A pin in double shear.

    Attributes:
        diameter: [mm].
        strength_mpa: Tensile strength of the pin [MPa].
        yield_mpa: Yield of the pin [MPa].
        outer: Thickness of each cheek [mm].
        inner: Thickness of the eye between them [mm].
        gap: Between the eye and each cheek [mm].
        plate_yield_mpa: Yield of the plates [MPa].
    """

    diameter: float
    strength_mpa: float
    yield_mpa: float
    outer: float
    inner: float
    gap: float
    plate_yield_mpa: float

    def __post_init__(self) -> None:
        for name in ("diameter", "strength_mpa", "yield_mpa", "outer", "inner", "plate_yield_mpa"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name}={getattr(self, name):g} must be above 0")
        if self.gap < 0:
            raise ValueError(f"gap={self.gap:g} mm must not be negative")


class PinUse(NamedTuple):
    """How much of each is used [-]: shear of a plane, bearing of the worse plate, bending, bending with shear."""

    shear: Floats
    bearing: Floats
    bending: Floats
    together: Floats

    @property
    def worst(self) -> Floats:
        """The largest of them [-]."""
        return np.maximum(np.maximum(self.shear, self.bearing), np.maximum(self.bending, self.together))


def pin_moment(pin: Pin, force: ArrayLike) -> Floats:
    """Return the largest moment in a pin [N mm].

    Args:
        pin: The pin.
        force: (...) on the eye [N].

    Source: EN 1993-1-8 figure 3.11 (read at second hand), statics of even pressures: F / 8 (b + 4 c + 2 a).
    """
    out: Floats = np.abs(np.asarray(force, float)) / 8 * (pin.inner + 4 * pin.gap + 2 * pin.outer)
    return out


def pin_resistance(pin: Pin, partial: float = 1.25) -> tuple[float, float, float, float]:
    """Return shear of one plane [N], bearing in the eye and in one cheek [N], moment [N mm].

    Args:
        pin: The pin.
        partial: gamma_M2 [-]; gamma_M0 is 1.

    Source: EN 1993-1-8 table 3.10 (read in an extract): 0.6 A f_up / gamma_M2, 1.5 t d f_y / gamma_M0,
    1.5 W f_yp / gamma_M0; f_y is the lower one of pin and plate.
    """
    soft = min(pin.plate_yield_mpa, pin.yield_mpa)
    shear = 0.6 * math.pi * pin.diameter**2 / 4 * pin.strength_mpa / partial
    eye, cheek = (1.5 * t * pin.diameter * soft for t in (pin.inner, pin.outer))
    return shear, eye, cheek, 1.5 * math.pi * pin.diameter**3 / 32 * pin.yield_mpa


def pin_use(pin: Pin, force: ArrayLike, partial: float = 1.25) -> PinUse:
    """Return how much of a pin in double shear is used [-].

    Args:
        pin: The pin.
        force: (...) on the eye [N].
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 table 3.10 (read in an extract): (M / M_Rd)^2 + (F_v / F_v,Rd)^2.
    """
    shear, eye, cheek, moment = pin_resistance(pin, partial)
    acts = np.abs(np.asarray(force, float))
    sheared, bent = acts / 2 / shear, pin_moment(pin, acts) / moment
    bearing = np.maximum(acts / eye, acts / 2 / cheek)
    return PinUse(sheared, bearing, bent, bent**2 + sheared**2)


def eye_least(force: float, thickness: float, hole: float, yield_mpa: float) -> tuple[float, float]:
    """Return the least metal beyond and beside the hole of an eye [mm].

    Args:
        force: Design force [N].
        thickness: Of the plate [mm].
        hole: Diameter [mm].
        yield_mpa: Of the plate [MPa].

    Source: EN 1993-1-8 table 3.9 type A (from memory): a = F / 2 t f_y + 2 d0 / 3, c = F / 2 t f_y + d0 / 3.

    >>> [round(size, 2) for size in eye_least(6000.0, 5.0, 12.5, 235.0)]
    [10.89, 6.72]
    """
    strip = force / (2 * thickness * yield_mpa)
    return strip + 2 * hole / 3, strip + hole / 3
