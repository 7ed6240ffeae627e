"""Limits of numbers, in the plain unit of their kind (mm, degrees, kg, N, MPa)."""

from __future__ import annotations

import math
from typing import NamedTuple

from handbarrow.laws.units.table import Kind

__all__ = [
    "ANY",
    "BEND_ANGLE",
    "FULL_TURN",
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

    wrong: str
    expected: str
    fix: str


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
            return RangeFault("no number goes that far", f"at most {most:g}", "look at the decimal point and the unit")
        if value < self.low or (self.above and value == self.low):
            return RangeFault("that is too small", self.words, self._fix(value))
        if value > self.high or (self.below and value == self.high):
            return RangeFault("that is too large", self.words, "write a smaller value")
        return None

    def _fix(self, value: float) -> str:
        return "write a value above zero" if value <= 0 <= self.low else "write a larger value"

    @property
    def words(self) -> str:
        """The limits in words."""
        low = f"{'more than' if self.above else 'at least'} {self.low:g}"
        high = f"{'less than' if self.below else 'at most'} {self.high:g}"
        if not math.isfinite(self.high):
            return low
        return f"{low} and {high}" if math.isfinite(self.low) else high


ANY = Limits()
POSITIVE = Limits(0.0, above=True)
NOT_NEGATIVE = Limits(0.0)
BEND_ANGLE = Limits(0.0, 180.0, above=True, below=True)
FULL_TURN = Limits(-360.0, 360.0)
