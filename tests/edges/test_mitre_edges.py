"""Joints that nobody would weld: findings and finite numbers, never an exception."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.design.values import Bought, Part, Target
from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.geometry.section import Section
from mitre_scenes import RAIL, cuts_of, onto, product, run

SECTIONS = (
    Section(shape="round tube", height=26.9, width=26.9, wall=2.3),
    Section(shape="round bar", height=0.5, width=0.5),
    Section(shape="round tube", height=5000, width=5000, wall=1),
    Section(shape="square tube", height=15, width=15, wall=7.4),
    Section(shape="rectangular tube", height=40, width=20, wall=2),
    Section(shape="flat", height=30, width=5),
    Section(shape="angle", height=30, width=20, wall=3),
)
CODES = {
    "branch-misses-receiver",
    "copies-meet-differently",
    "cut-deeper-than-straight",
    "cut-too-flat",
    "mitre-not-checked",
    "receiver-ends-too-soon",
}

coordinate = st.floats(-120, 120, allow_nan=False)
ENDS = st.tuples(coordinate, coordinate, coordinate)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(SECTIONS), st.sampled_from(SECTIONS), ENDS, ENDS, st.floats(0, 3), st.booleans())
def test_any_end_against_any_member_gives_numbers_or_findings(
    branch: Section, receiver: Section, start: Vec3, end: Vec3, gap: float, bent: bool
) -> None:
    if math.dist(start, end) < 1e-3:
        return
    corners: tuple[Vec3, ...] = ((-300.0, 0.0, 0.0), (0.0, 0.0, 0.0), (50.0, 200.0, 100.0))
    line = [*corners] if bent else [corners[0], (300.0, 0.0, 0.0)]
    given_parts = [run("rail", receiver, line, radius=60.0), run("stay", branch, [start, end])]
    cuts, findings = cuts_of(product(given_parts, onto("stay", "start", "rail", gap=gap)))
    cut = cuts[("stay", "start")]
    assert {f.code for f in findings} <= CODES
    assert all(f.wrong and f.expected and f.fix and f.where.startswith("parts.stay") for f in findings)
    numbers = [cut.shortest, cut.deepest, cut.bevel_depth, *(x for pair in cut.wrap for x in pair), *cut.inner_wrap]
    numbers += [x for way in cut.square_cuts for c in way for x in (c.angle_rad, c.at, c.greatest_gap)]
    assert np.all(np.isfinite(numbers))
    assert cut.shortest <= cut.deepest
    doubtful = {f.code for f in findings} & {"branch-misses-receiver", "mitre-not-checked", "cut-too-flat"}
    assert not (doubtful and cut.checked)


POST = run("stay", SECTIONS[0], [(0, 0, 0), (0, 0, 300)])


def test_an_end_named_to_meet_a_bought_part_is_not_guessed() -> None:
    hub = Part(id="hub", title="hub", shape=Bought(item="Hub"), assembly="frame", copies=POST[0].copies)
    cuts, findings = cuts_of(product([POST, (hub, None)], onto("stay", "start", "hub")))
    assert [f.code for f in findings] == ["mitre-not-checked"]
    assert not cuts[("stay", "start")].checked


def test_a_joint_with_a_copy_that_does_not_exist_is_not_guessed() -> None:
    findings = cuts_of(product([RAIL, POST], onto("stay", "start", Target(part="rail", copy=7))))[1]
    assert [f.code for f in findings] == ["mitre-not-checked"]


def test_an_end_far_from_what_it_is_named_to_meet_says_that_it_misses() -> None:
    away = run("stay", SECTIONS[0], [(0, 900, 0), (0, 900, 300)])
    findings = cuts_of(product([RAIL, away], onto("stay", "start", "rail")))[1]
    assert [f.code for f in findings] == ["branch-misses-receiver"]
    assert "100 %" in findings[0].wrong
