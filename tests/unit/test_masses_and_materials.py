"""Masses, centres and the shopping list: closed forms on small invented parts."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from factories import make_job
from handbarrow.design.values import PlateHole, PlateShape
from handbarrow.drawings.contours import bounds, slot_outline
from handbarrow.job.masses import centre_of_line, mean_cut, plate_mass, sums
from handbarrow.job.materials import materials, total_price
from handbarrow.job.values import EndCut
from handbarrow.laws.geometry.path import Centreline
from handbarrow.laws.geometry.polygon import area_and_centroid, rounded


def test_a_quarter_arc_balances_where_the_closed_form_says() -> None:
    # closed form: centroid of an arc at R sin(A/2) / (A/2) from its centre; legs of zero length beside it
    line = Centreline(((0, 0, 0), (100, 0, 0), (100, 100, 0)), (100.0,))
    length, centre = centre_of_line(line)
    reach = 100 * math.sin(math.pi / 4) / (math.pi / 4) / math.sqrt(2)
    assert length == pytest.approx(100 * math.pi / 2)
    assert centre == pytest.approx((reach, 100 - reach, 0))


def test_a_u_balances_on_its_axis() -> None:
    line = Centreline(((0, 200, 0), (500, 200, 0), (500, -200, 0), (0, -200, 0)), (80.0, 80.0))
    length, centre = centre_of_line(line)
    arc = 80 * math.pi / 2
    lever = 80 * math.sin(math.pi / 4) / (math.pi / 4) / math.sqrt(2)
    by_hand = (2 * 420 * 210 + 240 * 500 + 2 * arc * (420 + lever)) / (840 + 240 + 2 * arc)
    assert length == pytest.approx(840 + 240 + 2 * arc)
    assert centre == pytest.approx((by_hand, 0, 0), abs=1e-9)


def test_a_cope_takes_its_mean_height_from_the_metal() -> None:
    # closed form: the mean of h = c + a cos(phi) over the girth is c
    r, c, a = 12.0, 9.0, 3.0
    wrap = tuple((r * p, c + a * math.cos(p)) for p in (2 * math.pi * k / 360 for k in range(361)))
    assert mean_cut(EndCut(kind="plane", wrap=wrap, shortest=c - a, deepest=c + a)) == pytest.approx(c)
    assert mean_cut(EndCut(kind="square", shortest=2.0)) == 2.0


def test_a_plate_weighs_its_area_less_its_holes() -> None:
    shape = PlateShape(
        stock="plate",
        outline=((0, 0), (60, 0), (60, 40), (0, 40)),
        holes=(PlateHole(at=(15, 20), diameter=10), PlateHole(at=(45, 20), diameter=8, length=20)),
        at=(100, 0, 50),
    )
    mass, centre = plate_mass(shape, 5.0, lift=250.0)
    hole, slot = math.pi * 25, math.pi * 16 + 12 * 8
    net = 2400 - hole - slot
    assert mass == pytest.approx(net * 5 * 7.85e-6)
    assert centre == pytest.approx((100 + (2400 * 30 - hole * 15 - slot * 45) / net, 20, 302.5))


def test_rounded_corners_take_four_spandrels_away() -> None:
    # closed form: (4 - pi) r^2; chords of 1 degree
    outline = rounded([(0, 0), (60, 0), (60, 40), (0, 40)], 6, math.radians(1))
    area, centre = area_and_centroid(outline)
    assert area == pytest.approx(2400 - (4 - math.pi) * 36, abs=0.01)
    assert centre == pytest.approx((30, 20))
    assert rounded([(0, 0), (1, 0), (0, 1)], 0) == [(0, 0), (1, 0), (0, 1)]


def test_a_slot_is_as_long_and_as_wide_as_said() -> None:
    left, low, right, high = bounds(slot_outline((5, 7), 8, 20, math.pi / 2))
    assert (left, right, low, high) == pytest.approx((1, 9, -3, 17))


def test_the_whole_is_the_sum_of_its_parts_and_names_what_it_does_not_know() -> None:
    job = make_job()
    parts = [replace(p, mass_kg=None) if p.kind == "bought" else p for p in job.parts]
    whole = sums(parts, job.product)[-1]
    known = sum(p.mass_kg * p.quantity for p in parts if p.mass_kg is not None)
    assert whole.name == "whole"
    assert whole.mass_kg == pytest.approx(known)
    assert set(whole.missing) == {p.id for p in parts if p.mass_kg is None} != set()


def test_what_has_no_price_is_a_note_and_leaves_the_total_open() -> None:
    job = make_job()
    shop = replace(job.workshop, prices={})
    lines, findings = materials(job.parts, job.cutting, shop, job.units)
    bought = [line for line in lines if line.kind == "bought"]
    assert bought
    assert {f.code for f in findings} >= {"price-missing"}
    assert len([f for f in findings if f.where.startswith("prices.")]) == len(bought)
    assert total_price(lines) is None


def test_bars_to_buy_are_those_of_the_cutting_plan() -> None:
    job = make_job()
    lines, _ = materials(job.parts, job.cutting, job.workshop, job.units)
    bars = sum(line.quantity for line in lines if line.kind == "bar")
    assert bars == sum(bar.count for bar in job.cutting.bars if bar.source == "shop") > 0
