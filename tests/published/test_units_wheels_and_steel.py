"""Units, wheels and steel against published values.

[SI] The international yard and pound (1959): 1 in = 25.4 mm, 1 lb = 0.45359237 kg, both exact; standard gravity
     9.80665 m/s2 exact; 1 psi = 6 894.757 Pa (NIST SP 811, appendix B). From memory.
[ETRTO] Tyre sizes: rows of a table of tyre sizes, each with how it was read beside it; outside diameter = bead seat +
     2 x width, a rule read at rdrr.io (ghuiber/bicycle) and sheldonbrown.com; diameters computed here.
[EN] Least yield strengths: EN 10025-2 table 7, read at second hand (readle.co.uk); EN 10305-1, read at second hand
     (mistal.pl); EN 10305-3 and EN 10130 from memory.
"""

from __future__ import annotations

import pytest

from handbarrow.design.values import WheelSize
from handbarrow.laws.materials.steel import least_yield
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.laws.units.quantity import Quantity, parse_quantity
from handbarrow.laws.units.shown import show_length, show_sixteenths


def inside(text: str) -> float:
    found = parse_quantity(text)
    assert isinstance(found, Quantity)
    return found.value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1 in", 25.4),  # [SI] exact
        ("1 ft", 304.8),  # [SI] exact
        ("1 lb", 0.45359237),  # [SI] exact
        ("2 1/2 in", 63.5),  # [SI] closed form
        ("15/16 in", 23.8125),  # [SI] closed form
        ("1 bar", 0.1),  # exact
        ("200 kPa", 0.2),  # exact
    ],
)
def test_units_are_those_of_the_standard(text: str, value: float) -> None:
    assert inside(text) == pytest.approx(value, rel=1e-15)


def test_psi_as_printed_by_the_standards_institute() -> None:
    # [SI] 1 psi = 6 894.757 Pa: half a unit of the last digit printed
    assert inside("1 psi") * 1e6 == pytest.approx(6894.757, abs=0.0005)


@pytest.mark.parametrize(
    ("size", "diameter", "how"),
    [
        ("47-203", 297, "michelinbicycle.com"),
        ("47-305", 399, "from memory"),
        ("44-406", 494, "michelinbicycle.com"),
        ("47-406", 500, "from memory"),
        ("54-406", 514, "michelinbicycle.com"),
        ("47-507", 601, "from memory"),
        ("44-559", 647, "michelinbicycle.com"),
        ("54-559", 667, "michelinbicycle.com"),
        ("40-622", 702, "michelinbicycle.com"),
        ("40-635", 715, "from memory"),
    ],
)
def test_outside_diameter_of_a_tyre_follows_from_its_size(size: str, diameter: float, how: str) -> None:
    stock = parse_stock(f"wheel {size}")
    assert isinstance(stock, Stock)
    assert stock.wheel is not None
    wheel = WheelSize(width=stock.wheel[0], bead_seat=stock.wheel[1])
    assert 2 * wheel.radius == diameter, how
    assert wheel.designation == size


def test_a_26_inch_wheel_with_2_1_inch_tyres_stands_332_5_mm_high_at_the_hub() -> None:
    # common practice, no source: tyre radius (559 + 2 x 53) / 2 mm; 2.1 in are 53 mm
    assert WheelSize(width=53, bead_seat=559).radius == (559 + 2 * 53) / 2 == 332.5
    assert show_length(inside("2.1 in"), step=1) == "53"


@pytest.mark.parametrize(
    ("grade", "yield_mpa", "source"),
    [
        ("S235JR", 235, "EN 10025-2"),
        ("S235JRH", 235, "EN 10025-2"),
        ("S275J0H", 275, "EN 10025-2"),
        ("S355J2+N", 355, "EN 10025-2"),
        ("E235", 235, "EN 10305-1"),
        ("E235+SR", 350, "EN 10305-1"),
        ("E220", 220, "EN 10305-3, from memory"),
        ("E260+CR2", 260, "EN 10305-3, from memory"),
        ("DC01", 140, "from memory"),
    ],
)
def test_least_yield_of_the_grades_and_the_words_of_its_source(grade: str, yield_mpa: float, source: str) -> None:
    found = least_yield(grade)
    assert found is not None
    assert found.yield_mpa == yield_mpa
    assert source in found.source


@pytest.mark.parametrize("grade", ["", "S999", "E235+C", "E220+CR1", "A36", "mild steel", "S235X"])
def test_a_grade_that_is_not_known_has_no_yield(grade: str) -> None:
    assert least_yield(grade) is None


@pytest.mark.parametrize(
    ("mm", "sixteenths"),
    # closed form: multiples of 1/16 in = 1.5875 mm, and the halves between them, which round away from zero
    [(1.5875, "1/16"), (25.4, "1"), (31.75, "1 1/4"), (0.0, "0"), (0.79375, "1/16"), (0.79, "0"), (-38.1, "-1 1/2")],
)
def test_inches_are_shown_in_sixteenths_in_lowest_terms(mm: float, sixteenths: str) -> None:
    assert show_sixteenths(mm) == sixteenths
