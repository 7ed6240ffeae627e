"""Screws used as pins of a jig: their holes, and which size goes with which tube."""

from __future__ import annotations

from dataclasses import dataclass

from handbarrow.laws.hardware.sizes import FASTENER_SIZES, clearance_hole

__all__ = ["PIN_SIZES", "PinSize", "pin_for", "stud_for"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PinSize:
    """A metric screw size with coarse thread.

    Attributes:
        name: As `M10`.
        diameter: Of the shank [mm].
        tap_drill: For cutting its thread [mm].
        clearance_hole: ISO 273, medium series [mm].
        nut: Height of its hexagon nut, ISO 4032 [mm].
    """

    name: str
    diameter: float
    tap_drill: float
    clearance_hole: float
    nut: float


PIN_SIZES = tuple(
    PinSize(
        name=size.name,
        diameter=size.diameter,
        tap_drill=size.tap_drill,
        clearance_hole=clearance_hole(size),
        nut=size.nut,
    )
    for size in FASTENER_SIZES
    if size.diameter >= 6
)
"""The sizes from M6 on that serve as pins, with their medium holes."""
LEAST_PIN = ((20.0, "M8"), (40.0, "M10"), (60.0, "M12"))
"""(largest outside of the tubes [mm], pin)."""


def pin_for(outside: float) -> PinSize:
    """Return the pin for tubes of an outside size [mm]: M8 up to 20 mm, M10 to 40 mm, M12 to 60 mm, M16 beyond.

    Source: common practice, no source.

    >>> pin_for(26.9).name, pin_for(20.0).name
    ('M10', 'M8')
    """
    name = next((name for largest, name in LEAST_PIN if outside <= largest), "M16")
    return next(size for size in PIN_SIZES if size.name == name)


def stud_for(width: float) -> PinSize | None:
    """Return the thickest screw that goes through a slot of a width [mm]; None: not even the thinnest does.

    Source: common practice, no source.

    >>> stud = stud_for(10.5)
    >>> stud.name if stud else ""
    'M10'
    """
    return next((size for size in reversed(PIN_SIZES) if size.diameter <= width), None)
