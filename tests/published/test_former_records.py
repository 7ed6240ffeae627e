"""Formers for hoops: radii found another way, the closed form of a flat, and what must hold for every section."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.laws.bending.former import (
    chord_and_rise,
    former_for,
    least_former_radius,
    pulled_lengths,
    radius_from_rise,
    radius_when_released,
    step_marks,
    yield_from_trial,
)
from handbarrow.laws.bending.springback import Hardening, rectangle_ratio
from handbarrow.laws.geometry.section import Section

SQUARE_15 = Section(shape="square tube", height=15, width=15, wall=1.5)


def tube(outside: float, wall: float) -> Section:
    return Section(shape="round tube", height=outside, width=outside, wall=wall)


@pytest.mark.parametrize(
    ("section", "formers"),
    [
        (tube(25, 1.5), (890, 864, 827)),
        (tube(32, 2), (912, 890, 859)),
        (Section(shape="round bar", height=8, width=8), (678, 624, 557)),
        (Section(shape="round bar", height=10, width=10), (724, 673, 609)),
        (Section(shape="flat", height=30, width=5), (600, 542, 473)),
        (Section(shape="flat", height=30, width=3), (478, 421, 357)),
    ],
)
def test_formers_for_a_radius_of_one_metre(section: Section, formers: tuple[int, ...]) -> None:
    # computed here by another program (perfectly plastic, E 206000), printed to 1 mm
    for yield_mpa, printed in zip((235, 300, 400), formers, strict=True):
        former = former_for(section, (1000.0, math.pi), yield_mpa, modulus_mpa=206000.0)
        assert former is not None
        assert former.centreline == pytest.approx(printed, abs=1.0)
        assert former.face == pytest.approx(former.centreline - section.width / 2)


@pytest.mark.parametrize("wanted", [60.0, 250.0, 900.0])
def test_former_of_a_flat_is_the_root_of_the_closed_form(wanted: float) -> None:
    # closed form of a rectangle, 1 - 3 m + 4 m^3, read at second hand
    flat = Section(shape="flat", height=30, width=5)
    former = former_for(flat, (wanted, 1.0), 300.0)
    assert former is not None
    ratio = rectangle_ratio(5.0, former.centreline, 300.0, 210000.0)
    assert former.centreline / ratio == pytest.approx(wanted, rel=1e-5)


sections = st.sampled_from(
    [
        tube(25, 1.5),
        tube(33.7, 2.6),
        SQUARE_15,
        Section(shape="square tube", height=20, width=20, wall=2),
        Section(shape="round bar", height=8, width=8),
        Section(shape="square bar", height=10, width=10),
        Section(shape="flat", height=25, width=4),
        Section(shape="rectangular tube", height=40, width=20, wall=2),
    ]
)


@settings(max_examples=60, deadline=None)
@given(sections, st.floats(8, 80), st.floats(180, 500), st.sampled_from(["width", "height"]), st.booleans())
def test_bar_pulled_round_its_former_springs_back_to_the_wanted_radius(
    section: Section, times: float, yield_mpa: float, axis: Any, hard: bool
) -> None:
    wanted = times * section.outside
    curve = Hardening(k_mpa=2.2 * yield_mpa, n=0.16) if hard else None
    former = former_for(section, (wanted, 2.0), yield_mpa, axis=axis, hardening=curve)
    assert former is not None
    made = radius_when_released(section, former.centreline, yield_mpa, axis=axis, hardening=curve)
    assert made == pytest.approx(wanted, rel=1e-9)
    assert former.centreline < wanted
    assert former.angle_rad * former.centreline == pytest.approx(2.0 * wanted)  # the arc keeps its length
    assert former.strain == pytest.approx(
        (section.width if axis == "width" else section.height) / 2 / former.centreline
    )


@settings(max_examples=40, deadline=None)
@given(sections, st.floats(8, 60), st.floats(180, 450))
def test_trial_piece_gives_back_the_strength_of_its_steel(section: Section, times: float, yield_mpa: float) -> None:
    former = former_for(section, (times * section.outside, 1.0), yield_mpa)
    assert former is not None
    found = yield_from_trial(section, former.centreline, times * section.outside)
    assert found == pytest.approx(yield_mpa, rel=1e-6)


def test_bar_bent_less_than_it_can_bear_comes_back_straight() -> None:
    # closed form: elastic up to R = E (d/2) / f_y = 2800 mm for a 8 mm bar of 300 MPa
    bar = Section(shape="round bar", height=8, width=8)
    assert radius_when_released(bar, 2900.0, 300.0) == math.inf
    assert 20_000 < radius_when_released(bar, 2000.0, 300.0) < math.inf
    assert yield_from_trial(bar, 500.0, 480.0) is None


def test_pieces_pulled_in_one_length_share_clamp_and_grip() -> None:
    # worked by hand: grip 60 000 / 300 = 200 mm
    one = pulled_lengths(600.0, 1, 2.0, moment_nmm=60_000.0, hand_n=300.0, held=80.0, trim=10.0)
    four = pulled_lengths(600.0, 4, 2.0, moment_nmm=60_000.0, hand_n=300.0, held=80.0, trim=10.0)
    assert one.cut_length == pytest.approx(80 + 10 + 600 + 10 + 200)
    assert 4 * one.cut_length - four.cut_length == pytest.approx(3 * (300 - 2.0))
    assert four.marks[3] == pytest.approx((80 + 10 + 3 * 602, 80 + 10 + 3 * 602 + 600))


@given(st.floats(50, 2000), st.floats(0.1, math.pi))
def test_radius_read_off_with_a_straight_edge(radius: float, angle: float) -> None:
    assert radius_from_rise(*chord_and_rise(radius, angle)) == pytest.approx(radius, rel=1e-6)


def test_smallest_radii_by_rule() -> None:
    # 3 x OD up to DN 25: ikz.de 2/2000 p. 8, read; square tube and bars: common practice, no source
    assert least_former_radius(tube(26.9, 2.3)).centreline == pytest.approx(80.7)
    assert "read" in least_former_radius(tube(26.9, 2.3)).source
    assert least_former_radius(SQUARE_15).centreline == 75
    assert least_former_radius(SQUARE_15).source == "common practice, no source"
    assert least_former_radius(Section(shape="flat", height=30, width=5)).centreline == 10


def test_steps_in_the_vice_share_the_arc_evenly() -> None:
    marks = step_marks(157.0, 40.0, 20.0)
    assert len(marks) == 8
    assert marks[0] - 40 == pytest.approx(197 - marks[-1])
    assert max(b - a for a, b in pairwise(marks)) <= 20
