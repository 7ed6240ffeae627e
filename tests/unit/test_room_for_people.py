"""Room for heads and knees, measured by hand beside the program."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from examples_checked import example_job
from handbarrow.design.ride_values import Guest, Lying
from handbarrow.job.clearance_checks import checks
from handbarrow.job.clearance_person import HEAD, HEAD_RADIUS, KNEE_RADIUS, KNEES_RAD, rooms_of
from handbarrow.job.frame_values import Subject
from handbarrow.laws.ride.body import HIP, HIP_DEPTH, KNEE

TALL = 1700.0


def subject(lying: tuple[Lying, ...], tall: float = TALL) -> Subject:
    job = example_job("hut-trailer")
    ride = job.design.uses.ride
    assert ride is not None
    guests = (Guest(name="somebody", mass_kg=80, tall=tall),)
    uses = replace(job.design.uses, ride=replace(ride, guests=guests, lying=lying))
    return Subject(replace(job.product, design=replace(job.design, uses=uses)), job.workshop, job.parts)


def verdict(job: Subject, name: str) -> str:
    return next(check.verdict for check in checks(job)[0] if check.id == name)


def test_the_heads_of_small_and_large_guests_are_clear_of_the_hood_in_the_example() -> None:
    job = example_job("hut-trailer")
    found = {check.id: check for check in checks(Subject(job.product, job.workshop, job.parts))[0]}
    assert found["clearance-person-head"].verdict == "holds"
    assert found["clearance-person-knees"].verdict == "holds"
    assert "large guest" in found["clearance-person-knees"].assumes, "whoever is tallest has the highest knees"


def test_a_head_under_the_bow_is_as_far_from_it_as_by_hand() -> None:
    # the head straight under the middle of the hood's bow: radius and half the bow's depth taken off its height
    job = example_job("hut-trailer")
    bow = job.product.members["hood-bow"]
    x, _, top = bow.centreline.points[1]
    bed, lift = 700.0, job.product.lift
    hip = x + (HEAD - HIP) * TALL
    way = Lying(name="flat", head="back", hips=(hip, 0.0, bed - lift))
    (head,) = (one for one in rooms_of(subject((way,))) if one.what == "head" and one.lying == "flat")
    by_hand = top - bow.section.width / 2 - (bed + HIP_DEPTH) - HEAD_RADIUS
    assert by_hand > 0, "the bow stands over it"
    assert head.gap is not None and head.gap <= by_hand + 0.1
    assert head.part in ("hood-bow", "visor-bow")


def test_knees_drawn_up_under_a_bow_that_is_too_low_are_told() -> None:
    job = example_job("hut-trailer")
    bow = job.product.members["hood-bow"]
    x, _, top = bow.centreline.points[1]
    rise = (HIP - KNEE) * TALL * math.sin(KNEES_RAD)
    hip = x - (HIP - KNEE) * TALL * math.cos(KNEES_RAD)
    bed = top - bow.section.width / 2 - HIP_DEPTH - rise - KNEE_RADIUS
    for lower, told in ((60.0, "holds"), (20.0, "doubtful"), (-10.0, "fails")):
        way = Lying(name="flat", head="back", hips=(hip, 0.0, bed - lower - job.product.lift))
        assert verdict(subject((way,)), "clearance-person-knees") == told, lower


def test_what_they_lie_on_does_not_count() -> None:
    low = Lying(name="flat", head="back", soles=(900.0, 0.0, 160.0))
    for one in rooms_of(subject((low,))):
        assert one.part not in ("cot-hoop", "cot-cross", "cot-tie", "back-hoop", "bearer")


def test_without_people_nothing_is_called_checked() -> None:
    job = subject(())
    assert rooms_of(job) == ()
    assert verdict(job, "clearance-person") == "not checked"


@pytest.mark.parametrize("tall", [1500.0, 1950.0])
def test_the_taller_they_are_the_higher_their_knees(tall: float) -> None:
    way = Lying(name="flat", head="back", hips=(0.0, 0.0, 200.0))
    (knees,) = (one for one in rooms_of(subject((way,), tall)) if one.what == "knees")
    (usual,) = (one for one in rooms_of(subject((way,))) if one.what == "knees")
    assert knees.gap is not None and usual.gap is not None
    assert (knees.gap > usual.gap) == (tall < TALL)
