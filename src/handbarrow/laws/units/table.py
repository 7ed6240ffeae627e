"""The table of units: what they measure and how many inside units one is.

Inside units: mm, kg, N, MPa, rad. Sources: the international inch (25.4 mm) and pound (0.45359237 kg) are exact by
agreement (1959); the SI brochure for the prefixes; psi = lbf/in2 with the standard gravity 9.80665 m/s2 (from memory).
"""

from __future__ import annotations

import math
from functools import cache
from typing import Literal, NamedTuple

from handbarrow.language import Said, said

__all__ = ["PLAIN", "UNITS", "Kind", "Unit", "kind_words", "of_inside", "to_inside"]

Kind = Literal["length", "angle", "mass", "force", "pressure", "number"]
"""What a quantity measures; `number` has no unit."""

INCH = 25.4
POUND = 0.45359237
PSI = POUND * 9.80665 / INCH**2


class Unit(NamedTuple):
    """A unit: what it measures, and its size in the inside unit."""

    kind: Kind
    size: float


UNITS: dict[str, Unit] = {
    "mm": Unit("length", 1.0),
    "cm": Unit("length", 10.0),
    "m": Unit("length", 1000.0),
    "in": Unit("length", INCH),
    "ft": Unit("length", 304.8),
    "kg": Unit("mass", 1.0),
    "g": Unit("mass", 0.001),
    "lb": Unit("mass", POUND),
    "N": Unit("force", 1.0),
    "kN": Unit("force", 1000.0),
    "Pa": Unit("pressure", 1e-6),
    "kPa": Unit("pressure", 1e-3),
    "MPa": Unit("pressure", 1.0),
    "bar": Unit("pressure", 0.1),
    "psi": Unit("pressure", PSI),
    "deg": Unit("angle", math.pi / 180),
    "rad": Unit("angle", 1.0),
}

PLAIN: dict[Kind, str] = {"length": "mm", "angle": "deg", "mass": "kg", "force": "N", "pressure": "MPa", "number": ""}
"""The unit of a plain number, by what is expected; formulas reckon in these."""

WORDS: dict[Kind, Said] = {
    "length": said("a length"),
    "angle": said("an angle"),
    "mass": said("a mass"),
    "force": said("a force"),
    "pressure": said("a pressure"),
    "number": said("a plain number"),
}


@cache
def kind_words(kind: Kind) -> Said:
    """Return the words for a kind of quantity and its units, as `a length (mm, cm, m, in, ft)`.

    Source: the table above; any unit.
    """
    names = [name for name, unit in UNITS.items() if unit.kind == kind]
    return said("{kind} ({units})", kind=WORDS[kind], units=", ".join(names)) if names else WORDS[kind]


def to_inside(value: float, unit: str) -> float:
    """Return a value in the inside unit of its kind (mm, kg, N, MPa, rad); a plain number stays as it is.

    Source: the table above; any unit. Raises KeyError for a unit that is not in it.

    >>> to_inside(2.0, "in")
    50.8
    """
    return value * UNITS[unit].size if unit else value


def of_inside(value: float, unit: str) -> float:
    """Return a value given in the inside unit (mm, kg, N, MPa, rad) in another unit of the same kind.

    Source: the table above; any unit. Raises KeyError for a unit that is not in it.

    >>> round(of_inside(31.75, "in"), 6)
    1.25
    """
    return value / UNITS[unit].size if unit else value
