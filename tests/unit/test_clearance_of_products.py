"""What comes near what, in products of the demo and in small ones that are made to collide."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from examples_checked import example_job
from handbarrow.design.placing import pose
from handbarrow.job.clearance import Room, clearances
from handbarrow.job.clearance_bodies import measured
from handbarrow.job.clearance_checks import checks
from handbarrow.job.frame_values import Subject
from handbarrow.job.values import Job
from handbarrow.laws.clearance.motion import screw
from handbarrow.laws.geometry.rigid import moved


def subject(job: Job) -> Subject:
    return Subject(job.product, job.workshop, job.parts)


def shifted(job: Job, part: str, by: tuple[float, float, float], copy: int = 1) -> Subject:
    """The product with one copy of a part out of its place."""
    move = np.eye(4)
    move[:3, 3] = by
    places = tuple(
        replace(p, transform=tuple(map(tuple, move @ np.array(p.transform)))) if (p.part, p.copy) == (part, copy) else p
        for p in job.product.placements
    )
    return Subject(replace(job.product, placements=places), job.workshop, job.parts)


def verdicts(job: Subject) -> dict[str, str]:
    return {check.id: check.verdict for check in checks(job)[0]}


def gap(room: Room, one: str, other: str, kind: str) -> float:
    return next(c.gap for c in room.near if {c.one.part, c.other.part} == {one, other} and c.kind == kind)


def test_both_examples_clear_standing_and_in_every_motion() -> None:
    for name in ("hut-trailer", "handcart"):
        found = verdicts(subject(example_job(name)))
        made = {verdict for check, verdict in found.items() if check != "clearance-person"}
        assert made == {"holds"}, (name, found)
        assert ("clearance-person" in found) == (name == "handcart"), "no cart carries people"


def test_the_cot_lies_between_its_guides_with_the_play_that_the_design_gives_it() -> None:
    room = clearances(subject(example_job("hut-trailer")))
    assert gap(room, "cot-guide", "cot-hoop", "standing") == pytest.approx(2.0, abs=1e-3)
    assert gap(room, "cot-hoop", "cot-guide", "way") == pytest.approx(2.0, abs=0.5)


def test_a_wheel_that_sits_askew_of_its_fork_comes_too_near_and_then_runs_into_it() -> None:
    job = example_job("hut-trailer")
    free = gap(clearances(subject(job)), "wheel", "wheel-shield", "tyre")
    nearer = shifted(job, "wheel", (0.0, -(free - 8.0), 0.0))
    assert verdicts(nearer)["clearance-tyre"] == "doubtful"
    assert gap(clearances(nearer), "wheel", "wheel-shield", "tyre") == pytest.approx(8.0, abs=1e-3)
    assert verdicts(shifted(job, "wheel", (0.0, -(free - 4.0), 0.0)))["clearance-tyre"] == "fails"


def test_a_part_that_was_set_into_another_is_a_clash_and_says_how_deep() -> None:
    job = example_job("hut-trailer")
    wrong = shifted(job, "visor-bow", (0.0, -(5.0 + 3.0), 0.0))
    assert verdicts(wrong)["clearance-standing"] == "fails"
    assert gap(clearances(wrong), "visor-bow", "hood-bow", "standing") == pytest.approx(-3.0, abs=0.05)


def test_what_is_in_the_way_of_a_motion_is_found_though_both_its_ends_are_free() -> None:
    job = example_job("hut-trailer")
    hood = next(c for c in checks(subject(job))[0] if c.id == "clearance-hood-down")
    assert hood.verdict == "holds"
    line = job.product.members["hood-bow"].centreline
    top = np.mean(line.points[1:3], axis=0)
    way = screw(np.array(pose(job.design, {"hood": "down"})["hood"]))
    half = moved(way.at(np.array([0.5]))[0], top[None])[0]
    guide = next(m for m in measured(subject(job))[0] if m.target.part == "cot-guide" and m.target.copy == 3)
    low = shifted(job, "cot-guide", tuple(half - guide.solids.points[0].mean(axis=0)), copy=3)
    assert verdicts(low)["clearance-standing"] == "holds", "where it begins and ends, nothing is in the way"
    assert gap(clearances(low), "hood-bow", "cot-guide", "way") < 0
    found = next(c for c in checks(low)[0] if c.id == "clearance-hood-down")
    assert found.verdict == "fails" and "cot-guide" in found.parts
