"""Quantities as people write them: `1900`, `12 deg`, `1 1/4 in`, `200 kPa`."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from handbarrow.laws.units.table import UNITS, Kind

__all__ = ["Quantity", "UnknownUnit", "parse_quantity"]

LONGEST = 60
"""No quantity is written with more characters."""
DECIMAL = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
PATTERN = re.compile(
    rf"(?P<sign>[+-]?)\s*(?:(?:(?P<whole>\d+)[ -])?(?P<over>\d+)/(?P<under>\d+)(?=\s*[A-Za-z])|(?P<decimal>{DECIMAL}))"
    r"\s*(?P<unit>[A-Za-z\u00b0\u00b5\"']*)",
    re.ASCII,
)


class Quantity(NamedTuple):
    """A number with its unit (empty: none was written); `value` is in the inside unit of `kind`."""

    value: float
    kind: Kind
    unit: str


class UnknownUnit(NamedTuple):
    """A number followed by something that is no unit of the table."""

    unit: str


def parse_quantity(text: str) -> Quantity | UnknownUnit | None:
    """Read a quantity.

    Args:
        text: As written. Whole numbers with a fraction (`1 1/4 in`, `1-1/4 in`) need a unit.

    Returns:
        The quantity in inside units (mm, kg, N, MPa, rad); `UnknownUnit`; or None if this is no quantity at all.
        The value can be infinite if the number is too large to hold: the caller has limits.

    Source: the table of units; any unit.

    >>> parse_quantity("1 1/4 in")
    Quantity(value=31.75, kind='length', unit='in')
    >>> parse_quantity("35 stone")
    UnknownUnit(unit='stone')
    >>> parse_quantity("bed_length / 2") is None
    True
    """
    text = text.strip()
    found = PATTERN.fullmatch(text) if len(text) <= LONGEST else None
    if found is None:
        return None
    name = found["unit"]
    unit = UNITS.get(name)
    if name and unit is None:
        return UnknownUnit(name)
    if found["under"] and int(found["under"]) == 0:
        return None
    value = _value(found, 1.0 if unit is None else unit.size)
    if found["sign"] == "-":
        value = -value
    return Quantity(value, "number" if unit is None else unit.kind, name)


def _value(found: re.Match[str], size: float) -> float:
    """The number times the size of its unit, rounded once, so that 3.5 in is 88.9 mm and not a little less."""
    if found["decimal"] is None:
        number = int(found["whole"] or 0) + Fraction(int(found["over"]), int(found["under"]))
    else:
        plain = float(found["decimal"])
        if size == 1.0 or not 1e-30 < plain < 1e30:
            return plain * size
        number = Fraction(found["decimal"])
    return float(number * Fraction(repr(size)))
