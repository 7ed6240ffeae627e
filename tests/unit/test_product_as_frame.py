"""The product as a frame: nothing lost, what is welded moves as one, what rests can lift off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from examples_checked import checked, example_job, job_of, text_of
from handbarrow.design.values import Target
from handbarrow.job.checks import checked as all_checks
from handbarrow.job.frame_build import frame_of
from handbarrow.job.frame_checks import settings, strength
from handbarrow.job.frame_values import FrameOfProduct, Subject
from handbarrow.job.frame_verdicts import verdict

G = 9.81


def frame(name: str, only: frozenset[str] | None = None) -> FrameOfProduct:
    job = example_job(name)
    return frame_of(job.product, job.workshop, job.parts, {}, only)


@pytest.mark.parametrize("name", ["handcart", "hut-trailer"])
def test_the_frame_weighs_what_the_job_weighs(name: str) -> None:
    # members run to the axes of what they meet, the metal only to its surface: a little more, never less
    found, job = frame(name), example_job(name)
    assert found.missing == ()
    assert job.masses[-1].mass_kg <= found.mass_kg <= 1.02 * job.masses[-1].mass_kg


@pytest.mark.parametrize("name", ["handcart", "hut-trailer"])
def test_every_tube_and_bar_is_in_the_frame_with_all_its_copies(name: str) -> None:
    found, job = frame(name), example_job(name)
    wanted = {Target(part=p.id, copy=k + 1) for p in job.parts if p.section for k in range(p.quantity)}
    assert set(found.owner.values()) == wanted
    lengths: dict[Target, float] = {}
    at = {n.name: np.array(n.at) for n in found.frame.nodes}
    for m in found.frame.members:
        chord = float(np.linalg.norm(at[m.end] - at[m.start]))
        arc = 1.0 if m.arc is None else m.arc.angle_rad / (2 * np.sin(m.arc.angle_rad / 2))
        lengths[found.owner[m.name]] = lengths.get(found.owner[m.name], 0.0) + chord * arc
    for part in job.parts:
        if part.section is not None and part.card is None and part.developed_length is not None:
            assert lengths[Target(part=part.id)] == pytest.approx(part.developed_length, abs=1e-6)


def test_the_cot_rests_on_its_two_bearers_and_the_back_rest_on_its_stop() -> None:
    found = frame("hut-trailer")
    pairs = sorted(name.rsplit(" ", 1)[0] for name in found.rests)
    assert pairs == [
        *["back-hoop on cot-cross copy 2"] * 2, *["cot-hoop on bearer"] * 2, *["cot-hoop on bearer copy 2"] * 2,
    ]  # fmt: skip
    for contact in found.frame.contacts:  # the back rest lies down on its stop by the 6.2 mm that it is lower
        lean = 6.2 / 448.9 if contact.name.startswith("back-hoop") else 0.0
        assert np.allclose(contact.direction, (-lean, 0.0, 1.0), atol=1e-4)


def test_both_wheels_are_held_on_both_sides_of_the_hub() -> None:
    found = frame("hut-trailer")
    assert [hub for _, hub, _ in found.hubs] == [(0.0, 348.5, 250.0), (0.0, -348.5, 250.0)]
    root = {link.second: link.first for link in found.frame.links}
    for hub, _, _ in found.hubs:
        welded = {n for n in (*root, *root.values()) if n is not None and root.get(n, n) == root.get(hub, hub)}
        plates = [t for t, nodes in found.nodes.items() if t.part == "axle-plate" and welded & {n for n, _ in nodes}]
        assert len(plates) == 2


def test_a_cot_that_is_carried_has_nothing_of_the_frame() -> None:
    found = frame("hut-trailer", frozenset({"cot", "back rest", "hood", "visor"}))
    assert {t.part for t in found.nodes} & {"inner-hoop", "drawbar", "bearer", "wheel"} == set()
    assert found.hubs == ()


def test_what_is_the_same_left_and_right_carries_the_same() -> None:
    cases = {case.id: case for case in checked("handcart")[0].cases}
    left, right = cases["turning-left"], cases["turning-right"]
    assert np.array(left.ground[0]) * (1, -1, 1) == pytest.approx(np.array(right.ground[1]), abs=1e-3)
    assert np.array(left.ground[1]) * (1, -1, 1) == pytest.approx(np.array(right.ground[0]), abs=1e-3)


def test_twice_and_three_times_the_weight_is_twice_and_three_times_the_force() -> None:
    for name in ("handcart", "hut-trailer"):
        cases = {case.id: case for case in checked(name)[0].cases}
        for key in [k for k in cases if k.startswith("standing")]:
            one = np.array(cases[key].ground)
            for times in (2, 3):
                more = np.array(cases[key.replace("standing", f"bump-{times}g")].ground)
                assert more == pytest.approx(times * one, rel=1e-6, abs=1e-3)


def test_every_case_of_the_trailer_is_in_balance() -> None:
    # ground and hitch put on the trailer what gravity and the turn pull: the sum of all forces
    job, (found, _) = example_job("hut-trailer"), checked("hut-trailer")
    kg = frame("hut-trailer").mass_kg
    loads = {load.name: load.mass_kg for load in job.design.uses.carries}
    for case in found.cases:
        assert case.state == "solved" and case.residual < 1e-6
        if case.id.startswith("lift-"):
            continue
        put = np.sum([*case.ground, *(force for _, force in case.hands)], axis=0)
        whole = G * (kg + loads[case.carried])
        wanted = {"bump-2g": 2.0, "bump-3g": 3.0}.get(case.id[:7], 1.0)
        if not case.id.startswith("slope"):
            assert put[2] == pytest.approx(wanted * whole, rel=1e-3)


def test_a_thicker_tube_is_used_less() -> None:
    text = text_of("handcart")
    thick, _ = checked("handcart")
    thin, _ = strength(job_of(text.replace("axle: bar 16", "axle: bar 12").replace("16.5}]", "12.5}]")))
    before, after = (next(w for w in s.worst if w.part == "axle").stress_mpa for s in (thin, thick))
    assert after < before * (12 / 16) ** 3 * 1.1


def test_verdicts_follow_the_margin() -> None:
    assert [verdict(m) for m in (None, -0.01, 0.0, 0.49, 0.5, 9.0)] == [
        "not checked", "fails", "doubtful", "doubtful", "holds", "holds",
    ]  # fmt: skip


def test_the_same_job_gives_the_same_checks() -> None:
    job = example_job("handcart")
    again, _ = all_checks(replace(job, product=replace(job.product)))
    assert again.checks == checked("handcart")[0].checks


def test_ways_of_standing_are_those_that_the_design_names() -> None:
    for name, wanted in (
        ("handcart", ["rolling", "parked"]),
        ("hut-trailer", ["rolling", "lift-by-two", "lift-by-four"]),
    ):
        job = example_job(name)
        ways, findings = settings(Subject(job.product, job.workshop, job.parts))
        assert ([way.id for way in ways], findings) == (wanted, [])
