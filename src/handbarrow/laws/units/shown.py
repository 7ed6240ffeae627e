"""How numbers are shown: one rounding rule for every sheet, file and screen.

Round half away from zero, on the decimal text of the value: 413.45 to one place is 413.5, as a person with a pencil
does it. The text is taken with 12 digits, so that the last bits of a computation on another machine change nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from typing import Literal

from handbarrow.language import said
from handbarrow.laws.units.table import of_inside

__all__ = [
    "Grade",
    "LengthUnit",
    "MassUnit",
    "Shown",
    "rounded",
    "rounded_text",
    "short_text",
    "show_angle",
    "show_length",
    "show_mass",
    "show_money",
    "show_sixteenths",
]

LengthUnit = Literal["mm", "cm", "in"]
MassUnit = Literal["kg", "lb"]
Grade = Literal["coarse", "usual", "fine"]
"""How finely a length is shown: centres of mass; what a tape measures; drills, paper, files for programs."""

LENGTH_STEPS: dict[LengthUnit, float] = {"mm": 0.1, "cm": 0.01, "in": 0.01}
GRADES: dict[Grade, dict[LengthUnit, float]] = {
    "coarse": {"mm": 1.0, "cm": 0.1, "in": 0.1},
    "usual": LENGTH_STEPS,
    "fine": {"mm": 0.01, "cm": 0.001, "in": 0.001},
}
MASS_STEPS: dict[MassUnit, float] = {"kg": 0.01, "lb": 0.01}


def _decimal(value: float, step: float) -> Decimal:
    """The value rounded to whole steps, exactly."""
    if not (math.isfinite(value) and math.isfinite(step) and step > 0):
        raise ValueError(f"value={value:g} and step={step:g}: only finite values round, to a step above zero")
    unit = Decimal(f"{step:.12g}")
    whole = (Decimal(f"{value:.12g}") / unit).to_integral_value(rounding=ROUND_HALF_UP)
    out = whole * unit
    return out if out else Decimal(0)


def rounded(value: float, step: float) -> float:
    """Round to a multiple of a step, half away from zero, on the decimal text of the value.

    Args:
        value: Any finite number [any unit].
        step: Step in the same unit, above zero: 1, 0.5, 0.1 ...

    Source: common practice, no source (round half away from zero; not the banker's rule of `round`).

    >>> rounded(413.45, 0.1), rounded(-0.25, 0.5), rounded(2.5, 1), rounded(-0.04, 0.1)
    (413.5, -0.5, 3.0, 0.0)
    """
    return float(_decimal(value, step))


def rounded_text(value: float, step: float) -> str:
    """Round as `rounded` does and return the text with as many places as the step has [any unit].

    Source: as `rounded`.

    >>> rounded_text(413.45, 0.1), rounded_text(413.0, 0.5), rounded_text(7, 1)
    ('413.5', '413.0', '7')
    """
    return f"{_decimal(value, step):.{_places(step)}f}"


@cache
def _places(step: float) -> int:
    return max(0, -int(Decimal(f"{step:.12g}").normalize().as_tuple().exponent))


def short_text(value: float, step: float = 0.1) -> str:
    """Round as `rounded` does and return the text without needless zeros [any unit].

    Source: as `rounded`.

    >>> [short_text(v) for v in (413.45, 100.0, -0.04, 26.9)], short_text(0.125, 0.01)
    (['413.5', '100', '0', '26.9'], '0.13')
    """
    text = rounded_text(value, step)
    return text.rstrip("0").rstrip(".") if "." in text else text


def show_length(mm: float, unit: LengthUnit = "mm", step: float | None = None, *, with_unit: bool = False) -> str:
    """Return a length for people.

    Args:
        mm: Length [mm].
        unit: What to show it in: mm, cm or in (inches as a decimal; fractions: `show_sixteenths`).
        step: Step in the shown unit; left out: 0.1 mm, 0.01 cm, 0.01 in.
        with_unit: Whether the unit is written behind it.

    Source: as `rounded`; 1 in = 25.4 mm exactly.

    >>> show_length(413.45), show_length(31.75, "in"), show_length(413.45, "cm", with_unit=True)
    ('413.5', '1.25', '41.35 cm')
    """
    text = rounded_text(of_inside(mm, unit), step or LENGTH_STEPS[unit])
    return f"{text} {unit}" if with_unit else text


def show_sixteenths(mm: float, *, with_unit: bool = False) -> str:
    """Return a length in inches and sixteenths, in lowest terms.

    Args:
        mm: Length [mm].
        with_unit: Whether ` in` is written behind it.

    Source: as `rounded`, to 1/16 in; 1 in = 25.4 mm exactly.

    >>> show_sixteenths(31.75), show_sixteenths(3.175), show_sixteenths(-50.8, with_unit=True)
    ('1 1/4', '1/8', '-2 in')
    """
    sixteenths = int(_decimal(of_inside(mm, "in") * 16, 1.0))
    whole, rest = divmod(abs(sixteenths), 16)
    part = Fraction(rest, 16)
    words = [str(whole)] if whole or not rest else []
    words += [f"{part.numerator}/{part.denominator}"] if rest else []
    text = ("-" if sixteenths < 0 else "") + " ".join(words)
    return f"{text} in" if with_unit else text


def show_angle(angle_rad: float, step_deg: float = 0.1, *, with_unit: bool = False) -> str:
    """Return an angle [rad] in degrees for people, rounded to a step in degrees.

    Source: as `rounded`; 180 degrees = pi rad.

    >>> show_angle(math.pi / 4), show_angle(math.pi, 1, with_unit=True)
    ('45.0', '180 deg')
    """
    text = rounded_text(of_inside(angle_rad, "deg"), step_deg)
    return f"{text} deg" if with_unit else text


def show_mass(kg: float, unit: MassUnit = "kg", step: float | None = None, *, with_unit: bool = False) -> str:
    """Return a mass [kg] for people in kg or lb; the step is 0.01 if left out.

    Source: as `rounded`; 1 lb = 0.45359237 kg exactly.

    >>> show_mass(1.905), show_mass(1.0, "lb", 0.1, with_unit=True)
    ('1.91', '2.2 lb')
    """
    text = rounded_text(of_inside(kg, unit), step or MASS_STEPS[unit])
    return f"{text} {unit}" if with_unit else text


def show_money(amount: float, currency: str = "") -> str:
    """Return an amount of money [currency unit] with two places, thousands apart by a thin gap as `1 234.50`.

    Source: as `rounded`, to 0.01.

    >>> show_money(1234.5, "EUR"), show_money(0.125)
    ('1 234.50 EUR', '0.13')
    """
    text = f"{_decimal(amount, 0.01):,.2f}".replace(",", " ")
    return f"{text} {currency}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The units that a shop reads: what every drawing, sheet and table is written in. Values come in as mm and kg.

    >>> Shown().length(413.45), Shown().column(413.0), Shown(length_unit="in").length(31.75, with_unit=True)
    ('413.5', '413.0', '1.25 in')
    """

    length_unit: LengthUnit = "mm"
    mass_unit: MassUnit = "kg"

    @property
    def length_name(self) -> str:
        """The unit of lengths in a sentence."""
        return said("inches") if self.length_unit == "in" else self.length_unit

    def length(self, mm: float, grade: Grade = "usual", *, with_unit: bool = False) -> str:
        """A length in a sentence or on a drawing, without needless zeros."""
        text = short_text(of_inside(mm, self.length_unit), GRADES[grade][self.length_unit])
        return f"{text} {self.length_unit}" if with_unit else text

    def column(self, mm: float, grade: Grade = "usual") -> str:
        """A length in a column: always the same count of places."""
        return rounded_text(of_inside(mm, self.length_unit), GRADES[grade][self.length_unit])

    def tape(self, mm: float) -> str:
        """The nearest sixteenth for a tape, as `20 3/8`, where the shop reads inches; else nothing."""
        return show_sixteenths(mm) if self.length_unit == "in" else ""

    def number(self, mm: float) -> float:
        """A length for a spreadsheet."""
        return rounded(of_inside(mm, self.length_unit), GRADES["fine"][self.length_unit])

    def mass(self, kg: float, step: float = 0.1, *, with_unit: bool = False) -> str:
        """A mass in a sentence, without needless zeros."""
        text = short_text(of_inside(kg, self.mass_unit), step)
        return f"{text} {self.mass_unit}" if with_unit else text

    def mass_column(self, kg: float, step: float = 0.01) -> str:
        """A mass in a column."""
        return rounded_text(of_inside(kg, self.mass_unit), step)

    def mass_number(self, kg: float) -> float:
        """A mass for a spreadsheet."""
        return rounded(of_inside(kg, self.mass_unit), 0.001)
