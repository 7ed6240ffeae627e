"""Fatigue curves and damage sums against EN 1993-1-9 at second hand, and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import gamma

from handbarrow.laws.fatigue.categories import CATEGORIES, LADDER, DetailCategory, detail_category
from handbarrow.laws.fatigue.life import (
    Spectrum,
    bounce_spectrum,
    cycles_to_failure,
    damage,
    life,
    straight_line_spectrum,
)


def category(value: float, slope: str = "3 then 5") -> DetailCategory:
    return DetailCategory(key="record", category_mpa=value, slope=slope, source="record")  # type: ignore[arg-type]


def test_knee_and_cut_off_of_the_curve() -> None:
    # WLD-FATIGUE-SN: ratios read on a page about steel design, 0.737 at 5e6 and 0.404 at 1e8 (the standard: 0.405)
    detail = category(71.0)
    assert float(cycles_to_failure(71.0, detail)) == pytest.approx(2e6)
    assert float(cycles_to_failure(0.736806 * 71, detail)) == pytest.approx(5e6, rel=1e-4)
    assert float(cycles_to_failure(0.404714 * 71, detail)) == pytest.approx(1e8, rel=1e-4)
    assert math.isinf(float(cycles_to_failure(0.4047 * 71, detail)))


@pytest.mark.parametrize(
    ("value", "total", "parts"),
    [(71.0, 0.071, [0.0143, 0.0319, 0.0248, 0.0]), (36.0, 1.014, [0.1097, 0.2679, 0.5787, 0.0578])],
)
def test_damage_of_four_blocks(value: float, total: float, parts: list[float]) -> None:
    # WLD-FATIGUE-MINER: computed here with the two-slope rule read on that page
    ranges, cycles = [80.0, 50.0, 30.0, 15.0], [20_000.0, 200_000.0, 2_000_000.0, 5_000_000.0]
    assert float(damage(ranges, cycles, category(value))) == pytest.approx(total, rel=0.001)
    each = damage(np.array(ranges)[:, None], np.array(cycles)[:, None], category(value))
    assert each == pytest.approx(parts, abs=6e-5)


def test_categories_stand_on_the_ladder() -> None:
    # ladder read in a public module; categories of tube on plate 40 and 36 read, others from memory
    assert {detail.category_mpa for detail in CATEGORIES} <= set(LADDER)
    assert detail_category("round tube fillet welded to a plate").category_mpa == 40
    assert detail_category("square tube fillet welded to a plate").category_mpa == 36
    assert all("read" in d.source or "memory" in d.source for d in CATEGORIES)
    with pytest.raises(KeyError):
        detail_category("glued")


def test_bouncing_on_one_frequency_agrees_with_the_gamma_function() -> None:
    # closed form: mean of (2 peak)^m over Rayleigh peaks = (2 sqrt(2) rms)^m Gamma(1 + m / 2); slope 5, no cut-off hit
    detail = category(36.0, "5")
    rms = 200.0
    found = life(rms, bounce_spectrum(1.0, 1000.0, 4000), detail, 50.0, wall=5.0)
    sharp = 1000.0 * (2 * math.sqrt(2) * rms) ** 5 * gamma(3.5) / (2e6 * 36.0**5)
    assert float(found.damage_per_km) == pytest.approx(sharp, rel=0.002)


def test_kilometres_become_years() -> None:
    # by hand: 40 MPa, category 40: 2e6 cycles; 100 a km: 20,000 km; 100 km a week: 3.85 years
    once = Spectrum(share=np.array([1.0]), per_km=np.array([100.0]), source="by hand")
    found = life([40.0, 10.0], once, detail_category("round tube fillet welded to a plate"), 100.0, wall=1.5)
    assert found.km.tolist() == pytest.approx([20_000.0, math.inf])
    assert float(found.years[0]) == pytest.approx(200 / 52)
    assert found.outside and found.doubt == 3.0


def test_straight_line_spectrum_counts_every_cycle_once() -> None:
    found = straight_line_spectrum(2000.0, 50.0)
    assert float(found.per_km.sum()) == pytest.approx(2000.0)
    assert found.share[-1] == 1.0
    assert float(found.per_km[-1]) * 50 > 1.0, "the reference cycle and those just below it"
    assert (np.diff(found.per_km[:-1]) < 0).all()
    with pytest.raises(ValueError, match="not more than one"):
        straight_line_spectrum(0.1, 5.0)
