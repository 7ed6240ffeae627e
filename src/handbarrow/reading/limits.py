"""Limits of numbers, in the plain unit of their kind (mm, degrees, kg, N, MPa)."""

from __future__ import annotations

import math
from typing import NamedTuple

from handbarrow.language import Said, said
from handbarrow.laws.units.table import PLAIN, Kind

__all__ = [
    "ANY",
    "AXLES",
    "BEND_ANGLE",
    "FULL_TURN",
    "HUBS",
    "MOST",
    "NOT_NEGATIVE",
    "POSITIVE",
    "Limits",
    "RangeFault",
]

MOST: dict[Kind, float] = {
    "length": 100_000.0,
    "angle": 3600.0,
    "mass": 100_000.0,
    "force": 1e9,
    "pressure": 1e5,
    "number": 1e9,
}
"""No number of a design goes beyond (lengths: 100 m)."""


class RangeFault(NamedTuple):
    """Why a number is out of its limits."""

    wrong: Said
    expected: Said
    fix: Said


class Limits(NamedTuple):
    """From `low` to `high`; `above`: the low end itself is not allowed; `below`: nor the high end."""

    low: float = -math.inf
    high: float = math.inf
    above: bool = False
    below: bool = False

    @property
    def stand_in(self) -> float:
        """A value inside the limits, used after a finding."""
        if not math.isfinite(self.low):
            return min(1.0, self.high)
        if not self.above:
            return self.low
        return (self.low + self.high) / 2 if math.isfinite(self.high) else self.low + 1.0

    def fault(self, value: float, kind: Kind) -> RangeFault | None:
        """Return what is wrong with a value, or None."""
        most = MOST[kind]
        if not abs(value) <= most:
            return RangeFault(
                said("no number goes that far"),
                said("at most {high}", high=_number(most, kind)),
                said("look at the decimal point and the unit"),
            )
        if value < self.low or (self.above and value == self.low):
            return RangeFault(said("that is too small"), self.words(kind), self._fix(value))
        if value > self.high or (self.below and value == self.high):
            return RangeFault(said("that is too large"), self.words(kind), said("write a smaller value"))
        return None

    def _fix(self, value: float) -> Said:
        return said("write a value above zero") if value <= 0 <= self.low else said("write a larger value")

    def words(self, kind: Kind) -> Said:
        """The limits in words, with the plain unit of their kind."""
        low, high = self.low, _number(self.high, kind)
        if not math.isfinite(self.high):
            low_alone = _number(self.low, kind)
            return said("more than {low}", low=low_alone) if self.above else said("at least {low}", low=low_alone)
        if not math.isfinite(self.low):
            return said("less than {high}", high=high) if self.below else said("at most {high}", high=high)
        if self.above:
            if self.below:
                return said("more than {low:g} and less than {high}", low=low, high=high)
            return said("more than {low:g} and at most {high}", low=low, high=high)
        if self.below:
            return said("at least {low:g} and less than {high}", low=low, high=high)
        return said("at least {low:g} and at most {high}", low=low, high=high)


def _number(value: float, kind: Kind) -> str:
    return f"{value:g} {PLAIN[kind]}".rstrip()


ANY = Limits()
POSITIVE = Limits(0.0, above=True)
NOT_NEGATIVE = Limits(0.0)
BEND_ANGLE = Limits(0.0, 180.0, above=True, below=True)
FULL_TURN = Limits(-360.0, 360.0)
AXLES = Limits(3.0, 50.0)
"""Diameter of a wheel's axle."""
HUBS = Limits(20.0, 300.0)
"""A hub over its locknuts."""
