"""One rounding rule for everything shown: half away from zero, on the decimal text. Expectations are closed forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbarrow.laws.units.quantity import Quantity, UnknownUnit, parse_quantity
from handbarrow.laws.units.shown import (
    Shown,
    rounded,
    rounded_text,
    short_text,
    show_angle,
    show_length,
    show_mass,
    show_money,
)
from handbarrow.laws.units.table import PLAIN, UNITS, kind_words, of_inside, to_inside


@pytest.mark.parametrize(
    ("value", "step", "out"),
    [
        (413.45, 0.1, 413.5),
        (413.449999, 0.1, 413.4),
        (413.44999999999999, 0.1, 413.5),  # the last bits of a computation are no reason to round down
        (2.5, 1, 3.0),
        (-2.5, 1, -3.0),
        (0.125, 0.01, 0.13),
        (1.005, 0.01, 1.01),
        (237.25, 0.5, 237.5),
        (237.24, 0.5, 237.0),
        (12.0, 5, 10.0),
        (12.5, 5, 15.0),
        (-0.04, 0.1, 0.0),
    ],
)
def test_halves_round_away_from_zero_as_with_a_pencil(value: float, step: float, out: float) -> None:
    assert rounded(value, step) == out
    assert math.copysign(1.0, rounded(value, step)) == (1.0 if out == 0 else math.copysign(1.0, value))


@given(st.floats(-1e6, 1e6), st.sampled_from([0.01, 0.1, 0.5, 1.0, 5.0]))
def test_rounding_is_odd_settled_and_never_off_by_more_than_half_a_step(value: float, step: float) -> None:
    once = rounded(value, step)
    assert rounded(once, step) == once
    assert rounded(-value, step) == -once
    assert abs(once - value) <= step / 2 + 1e-6


@pytest.mark.parametrize(("value", "step"), [(math.nan, 1.0), (math.inf, 1.0), (1.0, 0.0), (1.0, -1.0)])
def test_what_is_no_number_is_not_shown(value: float, step: float) -> None:
    with pytest.raises(ValueError, match="only finite values"):
        rounded(value, step)


def test_numbers_are_shown_in_the_units_of_the_shop() -> None:
    assert show_length(413.45) == "413.5"
    assert show_length(413.45, step=0.5) == "413.5"
    assert show_length(413.45, step=1, with_unit=True) == "413 mm"
    assert show_length(413.45, "cm") == "41.35"
    assert show_length(25.4, "in", with_unit=True) == "1.00 in"
    assert show_angle(math.radians(89.95)) == "90.0"
    assert show_angle(math.radians(12.345), 0.01, with_unit=True) == "12.35 deg"
    assert show_mass(0.45359237, "lb") == "1.00"
    assert show_mass(12.345, with_unit=True) == "12.35 kg"
    assert show_money(31.2, "EUR") == "31.20 EUR"
    assert show_money(1234567.895) == "1 234 567.90"
    assert rounded_text(7.0, 0.25) == "7.00"


def test_a_number_on_a_drawing_has_no_needless_zeros() -> None:
    said = [short_text(v) for v in (413.45, 413.449, -0.04, -2.25, 0.05, 1500.0, 1e-9)]
    assert said == ["413.5", "413.4", "0", "-2.3", "0.1", "1500", "0"]
    assert short_text(84.82300, 0.01) == "84.82"


def test_a_shop_reads_every_size_in_its_own_units() -> None:
    # closed form: 1 in = 25.4 mm and 1 lb = 0.45359237 kg exactly
    metric, inches = Shown(), Shown(length_unit="in", mass_unit="lb")
    assert (metric.length(413.45), metric.column(413.0), metric.number(413.456)) == ("413.5", "413.0", 413.46)
    assert (inches.length(508.0), inches.column(508.0), inches.number(508.0127)) == ("20", "20.00", 20.001)
    assert Shown(length_unit="cm").length(413.45, with_unit=True) == "41.35 cm"
    assert (inches.mass(4.5359237, with_unit=True), metric.mass_column(4.536)) == ("10 lb", "4.54")
    assert inches.mass_number(1.0) == 2.205
    assert (inches.length(0.1, "fine"), metric.column(237.4, "coarse")) == ("0.004", "237")


def test_a_tape_in_inches_is_read_to_the_nearest_sixteenth() -> None:
    assert Shown(length_unit="in").tape(20.375 * 25.4 + 0.7) == "20 3/8"
    assert Shown().tape(517.5) == Shown(length_unit="cm").tape(517.5) == ""


@pytest.mark.parametrize(
    ("text", "value", "kind"),
    [
        ("1900", 1900.0, "number"),
        ("-12.5", -12.5, "number"),
        ("+3", 3.0, "number"),
        (".5", 0.5, "number"),
        ("1e3", 1000.0, "number"),
        ("1 1/4 in", 31.75, "length"),
        ("1-1/4 in", 31.75, "length"),
        ("- 3/4 in", -19.05, "length"),
        ("3.5 in", 88.9, "length"),
        ("46in", 1168.4, "length"),
        ("35 kg", 35.0, "mass"),
        ("70 g", 0.07, "mass"),
        ("2 kN", 2000.0, "force"),
        ("290 MPa", 290.0, "pressure"),
        ("180 deg", math.pi, "angle"),
        ("1 rad", 1.0, "angle"),
    ],
)
def test_quantities_are_read_as_people_write_them(text: str, value: float, kind: str) -> None:
    found = parse_quantity(f"  {text} ")
    assert isinstance(found, Quantity)
    assert found.kind == kind
    assert found.value == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize("text", ["", "mm", "1 1/4", "1/2", "bed / 2", "1,5 mm", "1 2 mm", "5 x 3", "1/0 in", "--3"])
def test_what_is_no_quantity_is_left_to_the_formulas(text: str) -> None:
    assert parse_quantity(text) is None


def test_a_number_with_a_strange_unit_is_told_apart() -> None:
    assert parse_quantity("35 stone") == UnknownUnit("stone")
    assert parse_quantity("12 MM") == UnknownUnit("MM")
    assert parse_quantity("12 °") == UnknownUnit("°")


def test_every_unit_goes_in_and_out_again() -> None:
    for name, unit in UNITS.items():
        assert of_inside(to_inside(7.25, name), name) == pytest.approx(7.25, rel=1e-14)
        assert name in kind_words(unit.kind)
        assert UNITS[PLAIN[unit.kind]].kind == unit.kind
    assert to_inside(3.0, "") == of_inside(3.0, "") == 3.0
    assert kind_words("number") == "a plain number"
