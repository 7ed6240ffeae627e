"""Somebody stands on the cart, it is let fall, a strut bows out: closed forms, computed here."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from examples_checked import checked, example_job, job_of, text_of
from handbarrow.design.values import Target
from handbarrow.job.frame_mishaps import _slender, checks
from handbarrow.job.frame_values import Check, Subject
from handbarrow.laws.frame.sections import beam_section
from handbarrow.laws.frame.solve import solve
from handbarrow.laws.frame.values import Frame, LoadCase, Material, Member, Node, NodeLoad, Support
from handbarrow.laws.geometry.section import Section

BAR = Section(shape="round bar", height=16, width=16)
E_STEEL, INERTIA = 210000.0, math.pi * 16**4 / 64


def check(name: str, found: tuple[Check, ...]) -> Check:
    return next(one for one in found if one.id == name)


def test_somebody_on_the_middle_of_the_axle_bends_it_between_the_wheels() -> None:
    # beam on two supports, load in the middle: M = F L / 4; round bar: W = pi d^3 / 32; own weight adds w L^2 / 8
    found = check("stood-on", checked("handcart")[0].checks)
    track = example_job("handcart").product.results["track"]
    own = 9.81 * 7.85e-6 * math.pi * 16**2 / 4 * track**2 / 8
    assert found.parts == ("axle",)
    assert found.value == pytest.approx((100 * 9.81 * track / 4 + own) / (math.pi * 16**3 / 32), rel=0.015)
    assert found.limit == 430 and found.verdict == "holds"


def test_what_bends_under_a_foot_fails() -> None:
    # the bar of 12 mm takes (12 / 16)^3 of what the one of 16 mm takes
    thin = job_of(text_of("handcart").replace("axle: bar 16", "axle: bar 12").replace("16.5}]", "12.5}]"))
    found = check("stood-on", checks(Subject(thin.product, thin.workshop, thin.parts))[0])
    thick = check("stood-on", checked("handcart")[0].checks)
    assert found.value == pytest.approx((thick.value or 0) * (16 / 12) ** 3, rel=0.02)
    assert found.verdict == "fails" and found.parts == ("axle",)


def test_a_cart_let_fall_is_hit_harder_than_one_that_stands() -> None:
    # both are linear in what acts: three times the feet's force, less what the masses take up, stays under three times
    job = example_job("handcart")
    found = check("handle-dropped", checks(Subject(job.product, job.workshop, job.parts))[0])
    double = job_of(text_of("handcart").replace("crates: {mass: 100 kg", "crates: {mass: 200 kg"))
    heavy = check("handle-dropped", checks(Subject(double.product, double.workshop, double.parts))[0])
    assert found.value is not None and heavy.value is not None
    assert found.value < heavy.value < 2 * found.value, "its own weight does not double"


def test_somebody_who_sits_up_bends_the_cots_rails_between_the_bearers() -> None:
    # each rail on two bearers, half of 90 kg at 2 g on one place between them: M = F a b / L; its own weight adds
    # w L^2 / 8 less what hangs over at both ends; tube 33.7x2.6: W = pi (D^4 - d^4) / 32 D
    found = check("load-together", checked("hut-trailer")[0].checks)
    front, rear, sits, ends = 700.0, -480.0, 160.0, (1093.0, -790.0)
    span, force = front - rear, 2 * 9.81 * 90 / 2
    own = 2 * 9.81 * 7.85e-6 * math.pi * (33.7**2 - 28.5**2) / 4
    over = ((ends[0] - front) ** 2 + (rear - ends[1]) ** 2) / 4
    moment = force * (front - sits) * (sits - rear) / span + own * (span**2 / 8 - over)
    assert found.parts == ("cot-hoop",)
    assert found.value == pytest.approx(moment * 32 * 33.7 / (math.pi * (33.7**4 - 28.5**4)), rel=0.02)
    assert found.verdict == "holds" and found.limit == 290


def test_a_mast_bows_out_at_eulers_load() -> None:
    # one end held, one free: pi^2 E I / (2 L)^2
    euler = math.pi**2 * E_STEEL * INERTIA / (2 * 1000.0) ** 2
    for share, verdict in ((0.3, "doubtful"), (1.25, "fails"), (0.05, "holds")):
        found = _slender([mast(share * euler)])
        assert found.value == pytest.approx(1 / share, rel=0.01)
        assert found.verdict == verdict and found.parts == ("mast",)


def mast(push: float) -> Any:
    """A mast of four members, pushed down on its top, in the place of a way of standing."""
    section = beam_section(BAR)
    steel = Material(youngs_mpa=E_STEEL, shear_mpa=80000.0)
    nodes = tuple(Node(name=f"{k}", at=(0.0, 0.0, 250.0 * k)) for k in range(5))
    members = tuple(
        Member(name=f"m{k}", start=f"{k}", end=f"{k + 1}", section=section, material=steel, crown=(1.0, 0.0, 0.0))
        for k in range(4)
    )
    frame = Frame(nodes=nodes, members=members, supports=(Support(node="0"),))
    solution = solve(frame, [LoadCase(name="push", loads=(NodeLoad(node="4", force=(0.0, 0.0, -push)),))])
    owner = {m.name: Target(part="mast") for m in members}
    return SimpleNamespace(way=SimpleNamespace(found=SimpleNamespace(owner=owner), frame=frame), solution=solution)
