"""Fasteners, tyres, weld metal and paint against lists of the standards' sizes and makers' sheets.

Lists of sizes were read at second hand; what is from memory says so. Standards themselves were not seen.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbarrow.laws.hardware.bolts import bolt_for, bolt_pull, pack_hub, thread_length
from handbarrow.laws.hardware.consumables import (
    electrodes_needed,
    fillet_metal_kg,
    paint_coverage,
    paint_litres,
    wire_metres_per_kg,
    wire_needed_kg,
)
from handbarrow.laws.hardware.nuts import bolt_mass_kg, nut_height, nut_mass_kg, washer_mass_kg
from handbarrow.laws.hardware.sizes import (
    FASTENER_SIZES,
    PREFERRED_LENGTHS,
    FastenerSize,
    clearance_hole,
    fastener_size,
    stress_area,
)
from handbarrow.laws.hardware.tyres import (
    HUB_WIDTHS,
    TYRE_LOADS,
    contact_area,
    tyre_drop,
    tyre_load_by_width,
    tyre_pressure_for_drop,
    tyre_radius,
)

# name: stress area (usefastener.com, read), tap drill (handbook p. 299, read), ISO 273 fine, medium, coarse
# (engineeringhardware.com, read; M20 torqyx), ISO 4032 height (trojansf.co.uk, read)
LISTED = {
    "M3": (5.03, 2.5, 3.2, 3.4, 3.6, 2.4),
    "M4": (8.78, 3.3, 4.3, 4.5, 4.8, 3.2),
    "M5": (14.2, 4.2, 5.3, 5.5, 5.8, 4.7),
    "M6": (20.1, 5.0, 6.4, 6.6, 7.0, 5.2),
    "M8": (36.6, 6.8, 8.4, 9.0, 10.0, 6.8),
    "M10": (58.0, 8.5, 10.5, 11.0, 12.0, 8.4),
    "M12": (84.3, 10.2, 13.0, 13.5, 14.5, 10.8),
    "M16": (157.0, 14.0, 17.0, 17.5, 18.5, 14.8),
    "M20": (245.0, 17.5, 21.0, 22.0, 24.0, 18.0),
}
# ISO 7089 hole, outside, thickness; ISO 4017 head height: engineeringhardware.com, read
WASHERS = {
    "M3": (3.2, 7.0, 0.5), "M4": (4.3, 9.0, 0.8), "M5": (5.3, 10.0, 1.0), "M6": (6.4, 12.0, 1.6),
    "M8": (8.4, 16.0, 1.6),
    "M10": (10.5, 20.0, 2.0), "M12": (13.0, 24.0, 2.5), "M16": (17.0, 30.0, 3.0), "M20": (21.0, 37.0, 3.0),
}  # fmt: skip
HEADS = {"M3": 2.0, "M4": 2.8, "M5": 3.5, "M6": 4.0, "M8": 5.3, "M10": 6.4, "M12": 7.5, "M16": 10.0, "M20": 12.5}


@pytest.mark.parametrize("name", LISTED)
def test_fastener_sizes_are_those_of_the_lists(name: str) -> None:
    size = fastener_size(name)
    assert size is not None
    area, tap, fine, medium, coarse, nut = LISTED[name]
    assert stress_area(size) == pytest.approx(area, rel=0.003)
    assert (size.tap_drill, size.nut) == (tap, nut)
    assert [clearance_hole(size, fit) for fit in ("fine", "medium", "coarse")] == [fine, medium, coarse]  # type: ignore[arg-type]
    assert size.washer == WASHERS[name]
    assert size.head == HEADS[name]


def test_tap_drill_is_about_diameter_less_pitch() -> None:
    # rule of the trade, no source; the list rounds to drills on sale
    for size in FASTENER_SIZES:
        assert size.tap_drill == pytest.approx(size.diameter - size.pitch, abs=0.06)


def test_nut_of_m10_drilled_out_to_the_fine_hole_turns_freely_on_its_bolt() -> None:
    # common practice, no source: 10 to 10.5 mm; ISO 273 fine is 10.5 (read)
    size = fastener_size("M10")
    assert size is not None
    assert size.diameter < clearance_hole(size, "fine") <= 10.5


@given(st.sampled_from(FASTENER_SIZES), st.floats(0, 70), st.integers(0, 3), st.booleans())
def test_bolt_is_the_shortest_that_shows_thread_and_its_shank_ends_before_the_nut(
    size: object, grip: float, washers: int, screws: bool
) -> None:
    choice = bolt_for(size, grip, washers=washers, fully_threaded=screws)  # type: ignore[arg-type]
    clamped = grip + washers * size.washer[2]  # type: ignore[attr-defined]
    if choice is None:
        longest = max(size.bolt_lengths[1], size.screw_lengths[1])  # type: ignore[attr-defined]
        assert screws or clamped + size.nut + 2 * size.pitch > longest - 1e-9  # type: ignore[attr-defined]
        return
    assert choice.showing >= 2 * size.pitch - 1e-6  # type: ignore[attr-defined]
    assert choice.shank <= clamped
    assert choice.length in PREFERRED_LENGTHS
    shorter = [length for length in PREFERRED_LENGTHS if choice.needed <= length < choice.length]
    low, high = size.screw_lengths  # type: ignore[attr-defined]
    assert not [length for length in shorter if low <= length <= high]


def test_bolt_through_a_hitch_of_40_mm() -> None:
    # worked by hand: 40 + 2 x 2 + 8.4 + 3 = 55.4, next 60; thread 2 x 10 + 6 = 26 (ISO 4014, from memory), shank 34
    size = fastener_size("M10")
    assert size is not None
    choice = bolt_for(size, 40.0)
    assert choice is not None
    assert choice.designation == "ISO 4014 M10 x 60"
    assert (choice.needed, choice.shank) == pytest.approx((55.4, 34.0))
    assert thread_length(size, 130.0) == 32.0


def test_thin_stack_takes_a_screw_with_thread_to_the_head() -> None:
    # worked by hand: 5 + 2 x 1.6 + 6.8 + 2.5 = 17.5, next 20; an M8 bolt with shank begins at 40
    size = fastener_size("M8")
    assert size is not None
    choice = bolt_for(size, 5.0)
    assert choice is not None
    assert choice.designation == "ISO 4017 M8 x 20"


def test_pull_of_an_m8_bolt() -> None:
    # EN 1993-1-8, BLT records: F_t,Rd 21.08 kN for M8 8.8, 10.54 kN for 4.6 (computed here)
    assert bolt_pull(36.6, 800.0) == pytest.approx(21080, abs=5)
    assert bolt_pull(36.6, 400.0) == pytest.approx(10540, abs=5)


def test_hub_of_100_in_plates_100_5_apart_needs_no_washer() -> None:
    # common practice, no source: play 0.5
    packing = pack_hub(100.0, 100.5, [1.0, 1.5, 2.0])
    assert packing is not None
    assert (packing.left, packing.right) == ((), ())
    assert packing.play == pytest.approx(0.5)


def test_narrow_hubs_are_packed_evenly_and_wide_ones_refused() -> None:
    # worked by hand
    folding = pack_hub(HUB_WIDTHS["folding front"], 100.5, [1.0, 2.0, 3.0])
    assert folding is not None
    assert (sum(folding.left), sum(folding.right), folding.play) == pytest.approx((13, 13, 0.5))
    odd = pack_hub(97.0, 100.5, [1.0])
    assert odd is not None
    assert (sum(odd.left), sum(odd.right)) == (2.0, 1.0)
    assert pack_hub(110.0, 100.5, [1.0]) is None


@given(st.floats(70, 100), st.lists(st.sampled_from([0.5, 0.8, 1.0, 1.5, 1.6, 2.0, 3.0]), min_size=1, max_size=3))
def test_packed_hub_always_goes_in_and_stands_in_the_middle(hub: float, washers: list[float]) -> None:
    packing = pack_hub(hub, 100.5, washers)
    assert packing is not None
    assert hub + sum(packing.left) + sum(packing.right) + packing.play == pytest.approx(100.5)
    assert packing.play >= 0.25 - 1e-6
    assert 0 <= sum(packing.left) - sum(packing.right) <= min(washers) + 1e-9


def test_wheel_54_559_at_200_kilopascal() -> None:
    # radius by rule (read): OD 667, measured 660.4 (read), so 1 %; drop: closed form, an ellipse
    assert 2 * tyre_radius(54, 559) == 667
    assert 2 * tyre_radius(54, 559) == pytest.approx(660.4, rel=0.012)
    load, pressure = 60 * 9.80665, 0.2
    drop = tyre_drop(load, pressure, 54, 559)
    half_length, half_width = math.sqrt(2 * 333.5 * drop), math.sqrt(2 * 27 * drop)
    assert math.pi * half_length * half_width == pytest.approx(contact_area(load, pressure))
    assert 0.05 < drop / 54 < 0.15  # a tenth of the tyre: not flat, not hard
    assert tyre_pressure_for_drop(load, drop, 54, 559) == pytest.approx(pressure)


@pytest.mark.parametrize(
    ("section", "seat", "outside"), [(44, 406, 494), (44, 507, 595), (44, 559, 647), (40, 622, 702)]
)
def test_outside_of_tyres(section: float, seat: float, outside: float) -> None:
    # michelinbicycle.com sizes (read), rule read at two pages
    assert 2 * tyre_radius(section, seat) == outside


def test_tyre_loads_of_the_lists() -> None:
    # JIS D 9112 annex at second hand, read; touring tyres, read: load goes with width, 140/125 = 1.12 for 1.14
    assert [tyre.load_kg for tyre in TYRE_LOADS] == [45, 50, 60, 65, 70, 80, 125, 140]
    assert tyre_load_by_width(2.0, 1.75, 125) == pytest.approx(140, rel=0.03)


def test_weld_metal_of_a_fillet() -> None:
    # WLD-METAL-MASS, read: leg 1/2 in, 1 ft: 0.424 lb; a filler maker's sheet
    assert fillet_metal_kg(12.7, 304.8, over=0) / 0.45359237 == pytest.approx(0.424, rel=0.005)
    for leg, kg_m in ((3, 0.0353), (4, 0.0628), (5, 0.0981), (6, 0.1413)):  # read, printed to 4 places
        assert fillet_metal_kg(leg, 1000, over=0) == pytest.approx(kg_m, abs=6e-5)


def test_electrodes_and_wire_for_ten_metres_of_fillet() -> None:
    # WLD-CONSUMPTION: formula and efficiencies read, example computed here
    metal = fillet_metal_kg(4, 10_000, over=0)
    assert metal == pytest.approx(0.628, rel=0.002)
    assert wire_needed_kg(metal, 0.62) == pytest.approx(1.013, rel=0.002)
    assert wire_needed_kg(metal, 0.93) == pytest.approx(0.675, rel=0.002)


@pytest.mark.parametrize(("diameter", "metres"), [(0.762, 276.9), (0.889, 203.9), (1.143, 122.7)])
def test_metres_of_wire_in_a_kilogram(diameter: float, metres: float) -> None:
    # WLD-MIG-WIRE-LENGTH, read (a filler maker's handbook, inch sizes)
    assert wire_metres_per_kg(diameter) == pytest.approx(metres, rel=0.03)


def test_counted_electrodes_agree_with_the_efficiency_of_the_sheet() -> None:
    # a filler maker's sheet: 62 % for 14 in sticks with 2 in of stub (label from memory); what is bought holds a
    # covering of about 40 % of the core (from memory). Plausibility, within 15 %
    need = electrodes_needed(1.0, 2.5, 350.0)
    assert 1 / (need.core_kg * 1.4) == pytest.approx(0.62, rel=0.15)
    assert need.stubs_kg == pytest.approx(need.core_kg * 50 / 350)


@pytest.mark.parametrize(
    ("solids", "dry", "m2"),
    [(0.65, 125, 5.2), (0.5, 50, 10), (0.4, 75, 5.3), (0.45, 100, 4.5), (0.6, 50, 12), (0.5, 125, 4)],
)
def test_paint_coverage(solids: float, dry: float, m2: float) -> None:
    # PRC-PAINT, read (two paint makers' sheets)
    assert paint_coverage(solids, dry) == pytest.approx(m2, rel=0.01)


def test_paint_for_thirty_metres_of_tube() -> None:
    # closed form: pi x 25 mm x 30 m = 2.36 m2; two coats of 40 um at 50 % solids by brush, 15 % lost
    area = math.pi * 25 * 30_000
    assert area / 1e6 == pytest.approx(2.36, abs=0.005)
    assert paint_litres(area, 2, 0.5, 40, 0.15) == pytest.approx(2 * 2.356 / 12.5 / 0.85, rel=1e-3)


def test_longer_bolts_for_thicker_stacks() -> None:
    size = fastener_size("M6")
    assert size is not None
    chosen = [bolt_for(size, grip) for grip in range(0, 40, 3)]
    lengths = [choice.length for choice in chosen if choice]
    assert all(a <= b for a, b in pairwise(lengths))
    assert len(lengths) == len(chosen)
    with pytest.raises(ValueError, match="must not be negative"):
        bolt_for(size, -1.0)


# Lock nuts: ASME B18.16.3M, property classes 5 and 10, largest thickness with top insert (engineersedge.com, read)
LOCK_NUTS = {"M3": 4.5, "M4": 6.0, "M5": 6.8, "M6": 8.0, "M8": 9.5, "M10": 11.9}


@pytest.mark.parametrize("name", LOCK_NUTS)
def test_lock_nuts_are_as_high_as_the_list_says(name: str) -> None:
    size = fastener_size(name)
    assert size is not None
    assert nut_height(size, "lock") == LOCK_NUTS[name]


@pytest.mark.parametrize("size", FASTENER_SIZES, ids=lambda size: size.name)
def test_thin_nuts_are_thinner_and_lock_nuts_higher_than_plain_ones(size: FastenerSize) -> None:
    heights = [nut_height(size, kind) for kind in ("thin", "plain", "lock")]  # type: ignore[arg-type]
    assert heights == sorted(heights) and heights[0] < heights[1] < heights[2]
    assert nut_height(size, "welded") == nut_height(size, "plain")
    assert nut_height(size, "tapped") == 0.0


def test_masses_of_bolts_grow_by_their_shank() -> None:
    size = fastener_size("M10")
    assert size is not None
    # closed form: 10 mm more of a rod between 9.08 and 10 mm thick
    grown = bolt_mass_kg(size, 70.0) - bolt_mass_kg(size, 60.0)
    assert math.pi / 4 * 9.0**2 * 10 * 7.85e-6 < grown < math.pi / 4 * 10.0**2 * 10 * 7.85e-6
    assert washer_mass_kg(size) == pytest.approx(math.pi / 4 * (20.0**2 - 10.5**2) * 2.0 * 7.85e-6)
    assert 0 < nut_mass_kg(size, "plain") < math.sqrt(3) / 2 * 16.0**2 * 8.4 * 7.85e-6
