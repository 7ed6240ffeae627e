"""A workshop file read: stock, steel, dies, bender, saw, limits, prices."""

from __future__ import annotations

import hashlib
import math
import re
from pathlib import Path

import pytest

from bad_files import SHOP, shop
from handbarrow.workshop.reader import read_workshop
from handbarrow.workshop.values import Bender, Limits, OffCut, Saw, StockLength, Workshop

PAGE = (Path(__file__).parents[2] / "docs/reference/workshop-file.md").read_text()
EXAMPLE = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)[0]


def shop_of(text: str) -> Workshop:
    found, findings, _ = read_workshop(text, "shop.yaml")
    assert findings == []
    assert found is not None
    return found


@pytest.fixture(scope="module")
def ridge() -> Workshop:
    """The example of the reference page, as it stands there."""
    return shop_of(EXAMPLE)


def test_head_and_what_sheets_show(ridge: Workshop) -> None:
    assert (ridge.name, ridge.currency, ridge.paper) == ("Ridge workshop", "EUR", "A4")
    assert (ridge.show_length, ridge.show_mass) == ("mm", "kg")
    assert ridge.digest == hashlib.sha256(EXAMPLE.encode()).hexdigest()[:12]


def test_stock_with_steel_lengths_and_off_cuts(ridge: Workshop) -> None:
    tube = ridge.stock["tube 26.9x2.3"]
    assert (tube.steel, tube.yield_mpa, tube.supplier) == ("S235JRH", 290.0, "Valley steel")
    assert tube.steel_source == "supplier's certificate 2026-03"
    assert tube.lengths == (
        StockLength(length=6000, price=31.20),
        StockLength(length=3000, price=17.80, available=4),
    )
    assert tube.off_cuts == (OffCut(length=1180, count=3),)
    assert ridge.stock["plate 5"].price_kg == 1.90


def test_a_yield_left_out_is_the_least_of_the_grade_and_says_so() -> None:
    stock = shop_of(SHOP + "    steel: E220\n    steel source: mill tag\n").stock["tube 26.9x2.3"]
    assert stock.yield_mpa == 220.0
    assert stock.steel_source == "mill tag; yield: least value of E220+CR2 (EN 10305-3, from memory)"
    unknown = shop_of(SHOP + "    steel: market tube\n").stock["tube 26.9x2.3"]
    assert (unknown.yield_mpa, unknown.steel_source) == (None, "")


def test_a_die_with_its_test_bends(ridge: Workshop) -> None:
    die = ridge.dies[0]
    assert (die.name, die.stock, die.radius, die.tool) == ("D27", "tube 26.9x2.3", 80.0, "bender")
    assert die.law is not None
    assert (die.law.a, die.law.test_bends, die.law.date) == (0.984, 6, "2026-05-12")
    assert die.law.b_rad == pytest.approx(math.radians(0.6))
    assert die.stretch_per_rad == pytest.approx(0.9 / (math.pi / 2))
    assert (die.reference_offset, die.straight_before, die.straight_after) == (14.0, 55.0, 60.0)
    assert die.largest_angle_rad == pytest.approx(math.radians(120))
    assert (die.test_length, die.test_count) == (500.0, 1)


def test_a_die_without_test_bends_has_no_law() -> None:
    die = shop_of(shop("dies:", "  - {name: D27, for: tube 26.90 x 2.30, radius: 80}")).dies[0]
    assert die.law is None
    assert die.stock == "tube 26.9x2.3", "the die finds its stock however it is written"
    assert (die.stretch_per_rad, die.test_length, die.test_count) == (0.0, 0.0, 0)


@pytest.mark.parametrize(
    ("stretch", "value"),
    [
        ("0.9 per 90", 0.9 / (math.pi / 2)),
        ("1/32 in per 90 deg", 0.79375 / (math.pi / 2)),
        ("0 per 90", 0.0),
        ("1 per 1 rad", 1.0),
    ],
)
def test_stretch_is_a_length_in_a_bend(stretch: str, value: float) -> None:
    die = shop_of(shop("dies:", f"  - {{name: D27, for: tube 26.9x2.3, radius: 80, stretch: {stretch}}}")).dies[0]
    assert die.stretch_per_rad == pytest.approx(value)


def test_bender_saw_limits_and_prices(ridge: Workshop) -> None:
    assert (ridge.bender.stop, ridge.bender.longest_stop, ridge.bender.clearance) == ("end", 1500.0, 10.0)
    bench = ridge.bender.obstacles[0]
    assert (bench.name, bench.low, bench.high) == ("bench", (-700.0, -300.0, -500.0), (400.0, 500.0, -60.0))
    assert ridge.saw == Saw(kerf=2.0, end_trim=5.0, hand_allowance=0.0, only_hacksaw=False)
    assert ridge.limits.useful_off_cut == 500.0
    assert ridge.limits.angle_rad == pytest.approx(math.radians(1))
    assert ridge.prices["wheel 47-406"].price == 24.50
    assert ridge.prices["wheel 47-406"].mass_kg == 1.9
    assert ridge.prices["Hex bolt ISO 4014 M10x90"].supplier == ""


def test_box_corners_may_be_written_either_way_round() -> None:
    box = shop_of(shop("bender:", "  keep clear of:", "    - {name: wall, from: [9, 8, 7], to: [-1, 10, -3]}"))
    assert (box.bender.obstacles[0].low, box.bender.obstacles[0].high) == ((-1, 8, -3), (9, 10, 7))


def test_what_is_left_out_takes_its_usual_value() -> None:
    plain = shop_of(SHOP)
    assert (plain.bender, plain.saw, plain.limits, plain.paper) == (Bender(), Saw(), Limits(), "A4")
    assert plain.limits.angle_rad == pytest.approx(math.radians(1), abs=1e-6)


def test_yes_and_no_are_only_read_where_they_are_expected() -> None:
    assert shop_of(shop("saw: {only hacksaw: yes}")).saw.only_hacksaw is True
    assert shop_of(SHOP.replace("Ridge workshop", "no")).name == "no"


def test_places_of_the_shops_values() -> None:
    _, _, places = read_workshop(EXAMPLE, "shop.yaml")
    place = places["stock.tube 26.9x2.3.lengths[1].price"]
    assert place.text[place.column - 1 :].startswith("17.80")
    assert places["dies[0].radius"].file == "shop.yaml"
