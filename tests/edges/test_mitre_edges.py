"""Joints that nobody would weld: findings and finite numbers, never an exception."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.design.values import (
    Bought,
    Copy,
    Corner,
    Design,
    Joint,
    Member,
    Part,
    Placement,
    Product,
    Run,
    Target,
)
from handbarrow.job.mitres import end_cuts
from handbarrow.laws.geometry.path import Centreline, Vec3, crown_by_rule, layout, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Workshop

SHOP = Workshop(name="Ridge", digest="", currency="EUR", stock={}, dies=())
SAME = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
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


def member(name: str, section: Section, points: tuple[Vec3, ...], radius: float, copies: int = 1) -> Member:
    line = Centreline(points, (radius,) * (len(points) - 2))
    place = layout(line)
    crown = vec3(place.normals[0]) if len(place.normals) else crown_by_rule(vec3(place.directions[0]))
    part = Part(
        id=name,
        title=name,
        shape=Run(stock=name, corners=tuple(Corner(at=p) for p in points)),
        assembly="a",
        copies=(Copy(transform=SAME),) * copies,
    )
    return Member(part=part, section=section, centreline=line, crown=crown)


def product(members: list[Member], joint: Joint, extra: tuple[Part, ...] = ()) -> Product:
    parts = tuple(m.part for m in members) + extra
    design = Design(
        name="d", revision="A", digest="", sizes=(), stock={}, assemblies=(), parts=parts, results=()
    )  # fmt: skip
    joints = [joint]
    for m in members:
        joints += [
            Joint(part=m.part.id, end=end, kind="square")
            for end in ("start", "end")
            if (m.part.id, end) != (joint.part, joint.end)
        ]
    places = tuple(Placement(part=p.id, copy=i + 1, transform=c.transform, mirrored=False) for p in parts
                   for i, c in enumerate(p.copies))  # fmt: skip
    return Product(
        design=design, lift=0.0, members={m.part.id: m for m in members}, placements=places, joints=tuple(joints)
    )


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
    line = corners if bent else (corners[0], (300.0, 0.0, 0.0))
    made = product(
        [member("rail", receiver, line, 60.0), member("stay", branch, (start, end), 0.0)],
        Joint(part="stay", end="start", kind="member", against=(Target(part="rail"),), gap=gap),
    )
    cuts, findings = end_cuts(made, SHOP)
    cut = cuts[("stay", "start")]
    assert {f.code for f in findings} <= CODES
    assert all(f.wrong and f.expected and f.fix and f.where.startswith("parts.stay") for f in findings)
    numbers = [cut.shortest, cut.deepest, cut.bevel_depth, *(x for pair in cut.wrap for x in pair), *cut.inner_wrap]
    numbers += [x for way in cut.square_cuts for c in way for x in (c.angle_rad, c.at, c.greatest_gap)]
    assert np.all(np.isfinite(numbers))
    assert cut.shortest <= cut.deepest
    doubtful = {f.code for f in findings} & {"branch-misses-receiver", "mitre-not-checked", "cut-too-flat"}
    assert not (doubtful and cut.checked)


def test_an_end_named_to_meet_a_bought_part_is_not_guessed() -> None:
    hub = Part(id="hub", title="hub", shape=Bought(item="Hub"), assembly="a", copies=(Copy(transform=SAME),))
    stay = member("stay", SECTIONS[0], ((0.0, 0.0, 0.0), (0.0, 0.0, 300.0)), 0.0)
    joint = Joint(part="stay", end="start", kind="member", against=(Target(part="hub"),))
    cuts, findings = end_cuts(product([stay], joint, (hub,)), SHOP)
    assert [f.code for f in findings] == ["mitre-not-checked"]
    assert not cuts[("stay", "start")].checked


def test_a_joint_with_a_copy_that_does_not_exist_is_not_guessed() -> None:
    members = [
        member("rail", SECTIONS[0], ((-300.0, 0.0, 0.0), (300.0, 0.0, 0.0)), 0.0),
        member("stay", SECTIONS[0], ((0.0, 0.0, 0.0), (0.0, 0.0, 300.0)), 0.0),
    ]
    joint = Joint(part="stay", end="start", kind="member", against=(Target(part="rail", copy=7),))
    assert [f.code for f in end_cuts(product(members, joint), SHOP)[1]] == ["mitre-not-checked"]


def test_an_end_far_from_what_it_is_named_to_meet_says_that_it_misses() -> None:
    members = [
        member("rail", SECTIONS[0], ((-300.0, 0.0, 0.0), (300.0, 0.0, 0.0)), 0.0),
        member("stay", SECTIONS[0], ((0.0, 900.0, 0.0), (0.0, 900.0, 300.0)), 0.0),
    ]
    joint = Joint(part="stay", end="start", kind="member", against=(Target(part="rail"),))
    findings = end_cuts(product(members, joint), SHOP)[1]
    assert [f.code for f in findings] == ["branch-misses-receiver"]
    assert "100 %" in findings[0].wrong
