"""Hems, seams, thread, webbing, rope and cables against manuals, textbooks and closed forms.

[FM 10-16] US Army, General Fabric Repair (2000), fig. 8-2, 8-3. [Tayal] A. K. Tayal, Engineering Mechanics, ch. 10, as
worked in a public notebook (FOSSEE Python textbook companions, commit 4c33218): read there, the book was not seen.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from handbarrow.laws.geometry.section import Section
from handbarrow.laws.sewing.cable import (
    catenary_from_length,
    catenary_from_sag,
    loaded_cable,
    low_point,
    parabola_length,
    parabola_pull,
    point_load_depths,
    point_load_pull,
    sag_for_pull,
    slung_strip_pull,
)
from handbarrow.laws.sewing.edges import SEAM_ALLOWANCES, ClothEdge, ClothPanel, cut_panel, edge_takes, hem_lines
from handbarrow.laws.sewing.stitching import seam_strength, sewing_minutes, thread_needed
from handbarrow.laws.sewing.webbing import (
    PP_ROPE_STRENGTH_N,
    WebbingEnd,
    knot_guess,
    rubber_pull,
    splice_length,
    webbing_cut,
    working_pull,
)

IN, FT = 25.4, 304.8


def test_cloth_hem_of_the_repair_manual() -> None:
    # X01, read [FM 10-16]: 1/2 in turned under and a hem of 1 in take 1 1/2 in; stitches 1/8 in from the inner fold
    hem = ClothEdge(kind="double hem", width=1.0 * IN, turn_under=0.5 * IN)
    assert edge_takes(hem) == pytest.approx(1.5 * IN)
    first, second, stitches = hem_lines(hem)
    assert (first, second) == pytest.approx((0.5 * IN, 1.5 * IN))
    assert 2.5 * IN - stitches == pytest.approx(IN / 8, abs=0.2)


def test_double_hem_of_equal_folds() -> None:
    # X02, read (draperyu.com): a finished hem of 4 in takes 8 in
    assert edge_takes(ClothEdge(kind="double hem", width=4.0)) == 8.0


def test_seam_allowances_of_sewing_pages() -> None:
    # X03, read: plain 10, french, flat felled and bound 15 mm
    assert SEAM_ALLOWANCES == {"plain": 10, "french": 15, "flat felled": 15, "bound": 15}


def test_cloth_cut_500_by_2000_with_hems_of_50_finishes_at_400_by_1900() -> None:
    # common practice, no source
    hem = ClothEdge(kind="hem", width=50.0)
    finished = ClothPanel(length=1900.0, width=400.0, head=hem, foot=hem, left=hem, right=hem)
    assert cut_panel(finished) == (2000.0, 500.0)


def test_reinforced_webbing_loop() -> None:
    # X04, read (TM 10-8340-208-13): a loop cut 8 1/4 in, marked 2 1/8 in from each end, leaves 4 in to reinforce
    end = WebbingEnd(kind="folded", overlap=1.125 * IN, turn_under=1.0 * IN)
    assert webbing_cut(4.0 * IN, end, end) == pytest.approx(8.25 * IN)


def test_webbing_splice() -> None:
    # X05: rule read (TM 10-1670-281-23&P: 4 in beyond each side), number computed here: 3 in of damage, 11 in
    assert splice_length(3 * IN, 4 * IN) == pytest.approx(11 * IN)


def test_knot_takes_at_least_the_tightest_trefoil() -> None:
    # X06, read: 16.372 diameters; 25 % on top, a rule of thumb (read)
    assert knot_guess(6.0) / 1.25 == pytest.approx(98.2, abs=0.1)


def test_loop_round_a_tube_takes_half_its_girth_and_the_way_back() -> None:
    # closed form
    tube = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
    loop = WebbingEnd(kind="loop", overlap=60.0, turn_under=10.0, around=tube, webbing=1.5)
    assert webbing_cut(400.0, loop, WebbingEnd()) == pytest.approx(400 + math.pi * 28.4 / 2 + 13.45 + 70)


def test_thread_of_a_lockstitch_seam() -> None:
    # PRC-THREAD-USE, read: 220 cm of seam take 550 cm
    assert thread_needed(2200.0) == 5500.0


@pytest.mark.parametrize(("spi", "lbf_in"), [(6, 23.4), (8, 31.2), (10, 39.0), (12, 46.8)])
def test_strength_of_a_seam(spi: int, lbf_in: float) -> None:
    # PRC-SEAM-STRENGTH, read: thread of 2.6 lbf
    assert seam_strength(2.6, 1 / spi) == pytest.approx(lbf_in, rel=1e-3)


def test_seam_length_per_minute() -> None:
    # PRC-SEWING-RATE, read: 5000 stitches a minute, 8 to the inch: 15.9 m/min (17.4 yd/min)
    assert 15900 * sewing_minutes(1.0, IN / 8, 5000) == pytest.approx(1.0, rel=0.005)


def test_rope_of_10_mm_carries_900_newton() -> None:
    # PRC-WEBBING, read: 10.8 kN over 12 is 0.90 kN, 91.7 kg
    assert working_pull(PP_ROPE_STRENGTH_N[10.0], 12) == pytest.approx(900)
    assert PP_ROPE_STRENGTH_N == {6: 5000, 8: 7610, 10: 10800, 12: 16800}


def test_rubber_strap_near_its_doubtful_figures() -> None:
    # X15, doubtful (a maker's figures at second hand): 105 psi at 100 %, 154 at 200 %. G from the first
    psi = 6.894757e-3
    shear = 105 * psi / (2 - 1 / 4)
    assert shear == pytest.approx(0.41, abs=0.005)
    assert rubber_pull(1.0, shear, 3.0) == pytest.approx(154 * psi, rel=0.15)


def test_catenary_from_length_and_sag() -> None:
    # X07, read (pinoybix.org): 0.4 kg/m, 800 m long, sag 80 m: 416 kgf; span computed here 778.493 m
    cable = catenary_from_length(800.0, sag=80.0)
    assert 0.4 * (cable.parameter + cable.sag) == pytest.approx(416.0, abs=1e-6)
    assert cable.span == pytest.approx(778.493, abs=0.001)


def test_parabola_between_supports_of_different_heights() -> None:
    # X08, read [Tayal, example 10.3]: x_B 8 m, T_min 11.772 kN, T_max 14.715 kN
    x = low_point(20.0, 4.5, 2.0)
    w = 75 * 9.81 / 1000
    assert x == pytest.approx(8.0, abs=1e-9)
    level, _ = parabola_pull(w, 2 * x, 2.0)
    assert level == pytest.approx(11.772, abs=1e-6)
    assert math.hypot(level, w * (20 - x)) == pytest.approx(14.715, abs=1e-6)


def test_shallow_cable_over_a_pulley() -> None:
    # X09, read [Tayal, example 10.4]: 1106.0748 N, 3.814075 deg, 30.022222 m (two-term series; exact 15 um less)
    w = 0.5 * 9.81
    level, pull = parabola_pull(w, 30.0, 0.5)
    assert pull == pytest.approx(1106.0748, abs=1e-3)
    assert math.degrees(math.acos(level / pull)) == pytest.approx(3.814075, abs=1e-5)
    assert parabola_length(30.0, 0.5) == pytest.approx(30.022222, abs=2e-5)


def test_smallest_sag_for_a_largest_pull() -> None:
    # X10, read [Tayal, example 10.5]: 0.849141 m
    assert sag_for_pull(3.0, 30.0, 400.0) == pytest.approx(0.849141, abs=1e-6)
    with pytest.raises(ValueError, match="no sag keeps the pull"):
        sag_for_pull(3.0, 30.0, 44.0)


def test_cable_with_three_loads() -> None:
    # X11, read [Tayal, example 10.1]: loads 400, 600, 400 N every 2 m; A 2 m below B, the middle 2.25 m below B:
    # H 1600, V_B 1100, third load 1.375 m below B, T_max 1941.6488 N
    x, p = np.array([2.0, 4.0, 6.0]), np.array([400.0, 600.0, 400.0])
    level, at_a, at_b = point_load_pull(x, p, 8.0, (1, 0.25), drop=-2.0)
    assert (level, at_a, at_b) == pytest.approx((1600, 300, 1100), abs=1e-6)
    depths = point_load_depths(x, p, 8.0, level, drop=-2.0)
    assert depths[2] + 2.0 == pytest.approx(1.375, abs=1e-9)
    assert math.hypot(level, at_b) == pytest.approx(1941.6488, abs=1e-3)
    # the same cable by its lengths, exact equilibrium found from nothing
    places = np.vstack([[0, 0], np.stack([x, depths], axis=1), [8, -2.0]])
    lengths = np.hypot(*np.diff(places, axis=0).T)
    again = loaded_cable(lengths, np.full(4, np.inf), p, 8.0, drop=-2.0)
    assert again.level_pull == pytest.approx(1600, rel=1e-6)
    assert again.pulls.max() == pytest.approx(1941.6488, rel=1e-6)


def test_catenary_only_just_longer_than_its_span() -> None:
    # X12: inputs read, answers computed here
    cable = catenary_from_length(1002.54, span=1000.0)
    assert cable.parameter == pytest.approx(4051.752, abs=0.01)
    assert cable.sag == pytest.approx(30.89, abs=0.001)


def test_load_that_a_cable_may_carry() -> None:
    # X13: inputs read, answer computed here: 50 ft, sag 10 ft, 10 000 lb: 12 493.9 lb in all
    _, pull = parabola_pull(12493.9 / 50, 50.0, 10.0)
    assert pull == pytest.approx(10000, abs=0.5)


def test_catenary_that_a_page_got_wrong() -> None:
    # X14: inputs read, answers computed here; the page prints a = 199.35 after too few steps
    cable = catenary_from_sag(200.0, 25.0)
    assert cable.parameter == pytest.approx(204.036, abs=0.01)
    assert 10 * (cable.parameter + 25) == pytest.approx(2290.36, abs=0.1)
    assert cable.length == pytest.approx(208.104, abs=0.01)


def test_heavy_chain_of_many_links_hangs_as_a_catenary() -> None:
    # closed form: 400 links, half a link's load at each end
    n, span, length, weight = 400, 800.0, 900.0, 0.02
    chain = loaded_cable(np.full(n, length / n), np.full(n, np.inf), np.full(n - 1, weight * length / n), span)
    exact = catenary_from_length(length, span=span)
    assert chain.sag == pytest.approx(exact.sag, rel=2e-5)
    assert chain.level_pull == pytest.approx(weight * exact.parameter, rel=2e-5)
    assert chain.miss < 1e-6


def test_elastic_catenary() -> None:
    # closed form (Irvine, Cable Structures, from memory): span = H L0/EA + 2 H/w asinh(w L0 / 2H),
    # sag = w L0^2/(8 EA) + H/w (sqrt(1 + (w L0/2H)^2) - 1); a taut strip that stretches by several percent
    n, l0, w, ea, level = 600, 800.0, 0.5, 4000.0, 300.0
    half = w * l0 / (2 * level)
    span = level * l0 / ea + 2 * level / w * math.asinh(half)
    sag = w * l0**2 / (8 * ea) + level / w * (math.sqrt(1 + half**2) - 1)
    found = loaded_cable(np.full(n, l0 / n), np.full(n, ea), np.full(n - 1, w * l0 / n), span)
    assert found.level_pull == pytest.approx(level, rel=1e-5)
    assert found.sag == pytest.approx(sag, rel=1e-4)


def test_shallow_slung_strip_by_its_cubic_and_exactly() -> None:
    # closed form of a shallow strip against exact equilibrium: strip of 600 on two stays of 100, sag 1/16 of the span
    n, ea, stay = 300, 20000.0, 40.0
    slack = np.concatenate([[100.0], np.full(n, 600 / n), [100.0]])
    stiffness = np.concatenate([[stay * 100], np.full(n, ea), [stay * 100]])
    w = 0.3
    loads = np.concatenate([[w * 101.0], np.full(n - 1, w * 600 / n), [w * 101.0]])
    exact = loaded_cable(slack, stiffness, loads, 800.0)
    places = exact.places[1:-1, 0]
    pull, sag = slung_strip_pull(w, 800.0, 0.0, 600 / ea + 2 / stay)
    even = np.diff(np.concatenate([[0.0], (places[1:] + places[:-1]) / 2, [800.0]])) * w
    again = loaded_cable(slack, stiffness, even, 800.0)  # the load even along the span, stays included
    assert again.level_pull == pytest.approx(pull, rel=0.04)
    assert again.sag == pytest.approx(sag, rel=0.04)


def test_slack_cable_without_load_and_stiff_one_too_short_are_refused() -> None:
    with pytest.raises(ValueError, match="no shape of its own"):
        loaded_cable(np.array([500.0, 500.0]), np.full(2, 1e4), np.zeros(1), 800.0)
    with pytest.raises(ValueError, match="does not reach"):
        loaded_cable(np.array([300.0, 300.0]), np.full(2, np.inf), np.ones(1), 800.0)
    with pytest.raises(ValueError, match="has no sag"):
        slung_strip_pull(0.5, 800.0, -1.0, 0.0)
