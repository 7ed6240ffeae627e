"""Hubs between plates, axles in slots, tyres under load: whole designs, sums by hand."""

from __future__ import annotations

import pytest

from handbarrow.design.reader import read_design
from handbarrow.job.build import build_job
from handbarrow.job.frame_values import Check, Subject
from handbarrow.job.values import Job
from handbarrow.job.wheel_checks import checks, wheel_loads_kg
from handbarrow.workshop.reader import read_workshop

SHOP = """\
handbarrow: workshop 1
name: Test shop
stock:
  bar 20: {steel: S235JR, lengths: [{length: 6000, price: 12}]}
  plate 5: {steel: S235JR, price per kg: 2}
packing washers: [1, 1.5, 2]
prices:
  wheel 54-559: {price: 30, mass: 2 kg}
"""
DESIGN = """\
handbarrow: design 1
name: Barrow
stock: {beam: bar 20, gusset: plate 5, wheel: wheel 54-559}
carries:
  load: {mass: 80 kg, on: beam, at: [0, 0, 0]}
held at: [beam end]
parts:
  beam:
    stock: beam
    points: [[-100, 0, 400], [900, 0, 400]]
    start: free
    end: free
  fork:
    stock: gusset
    outline: [[-20, -20], [20, -20], [20, 400], [-20, 400]]
    slots: [{at: [0, -5], width: 10.5, length: 30, angle: 90, open: yes}]
    at: [0, 50.25, 0]
    facing: left
    along: back
    mirrored: left-right
    on: wheel
  wheel:
    stock: wheel
    at: [0, 0, 0]
    on: fork
"""


def job_of(marks: str = "") -> Job:
    shop, told, _ = read_workshop(SHOP, "shop.yaml")
    assert shop is not None, told
    source, told = read_design(DESIGN + "".join(f"    {line}\n" for line in marks.split("; ") if line), "barrow.yaml")
    assert source is not None, told
    job, told = build_job(source, shop, 3, with_cutting=False)
    assert job is not None, told
    return job


def checked(marks: str = "") -> dict[str, Check]:
    job = job_of(marks)
    found, told = checks(Subject(job.product, job.workshop, job.parts))
    assert told == []
    return {check.id: check for check in found}


def test_a_hub_of_100_in_plates_100_5_apart_has_half_a_millimetre_of_play() -> None:
    check = checked("hub: 100")["hub-wheel"]  # common practice, no source
    assert (check.value, check.verdict) == (pytest.approx(0.5), "holds")


@pytest.mark.parametrize(
    ("hub", "washers"),
    # hubs that are made (a page of hub widths, read); washers by hand: what is left of 100.5, less 0.5 of play, in two
    [(96, {"Axle washer 2 mm": 2}), (91, {"Axle washer 1.5 mm": 2, "Axle washer 1 mm": 2, "Axle washer 2 mm": 2})],
)
def test_a_narrow_hub_is_packed_and_the_washers_are_bought(hub: float, washers: dict[str, int]) -> None:
    job = job_of(f"hub: {hub}")
    bought = {line.item: line.quantity for line in job.materials if line.item.startswith("Axle washer")}
    thick = sum(float(item.split()[2]) * count for item, count in washers.items())
    assert thick == pytest.approx(100.5 - hub - 0.5)
    packed = sum(float(item.split()[2]) * count for item, count in bought.items())
    assert packed == pytest.approx(3 * thick)
    (check,) = [one for one in checks(Subject(job.product, job.workshop, job.parts))[0] if one.id == "hub-wheel"]
    assert (check.value, check.verdict) == (pytest.approx(0.5), "holds")


def test_a_hub_that_is_too_wide_fails_and_one_that_nobody_measured_is_not_checked() -> None:
    assert checked("hub: 110")["hub-wheel"].verdict == "fails"
    unknown = checked()["hub-wheel"]
    assert (unknown.verdict, unknown.value) == ("not checked", None)


@pytest.mark.parametrize(("axle", "verdict"), [(10, "holds"), (9, "doubtful"), (12, "fails")])
def test_an_axle_goes_into_its_slots(axle: float, verdict: str) -> None:
    check = checked(f"axle: {axle}")["axle-wheel"]
    assert check.value == pytest.approx(10.5 - axle)
    assert check.verdict == verdict


def test_the_tyre_carries_load_and_barrow_and_gives_by_its_pressure() -> None:
    job = job_of()
    mass = job.masses[-1].mass_kg + 80  # the centre lies before the axle: the hands help, which is not counted
    assert wheel_loads_kg(Subject(job.product, job.workshop, job.parts))["wheel"] == pytest.approx(mass)
    found = checked("largest load: 80 kg; pressure: 200 kPa")
    assert found["tyre-load-wheel"].verdict == "fails"
    assert found["tyre-load-wheel"].value == pytest.approx(mass)
    # by hand: load over pressure is the area of an ellipse, 2 pi d sqrt(333.5 x 27) (tyre 54-559 at 200 kPa)
    by_hand = mass * 9.81 / 0.2 / (2 * 3.14159265 * (333.5 * 27) ** 0.5)
    assert found["tyre-gives-wheel"].value == pytest.approx(by_hand)
    assert found["tyre-gives-wheel"].limit == pytest.approx(0.15 * 54)
    assert found["tyre-gives-wheel"].verdict == ("holds" if by_hand <= 8.1 else "doubtful")
    assert checked("pressure: 60 kPa")["tyre-gives-wheel"].verdict == "fails"
    assert checked("largest load: 120 kg")["tyre-load-wheel"].verdict == "holds"


def test_a_tyre_of_which_nobody_says_anything_is_not_checked() -> None:
    found = checked()
    for name in ("tyre-load-wheel", "tyre-gives-wheel", "axle-wheel"):
        assert found[name].verdict == "not checked"
        assert found[name].assumes


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("pressure: 20 kg", "wrong-unit"), ("pressure: 5000 kPa", "number-out-of-range"),
        ("hub: 0", "number-out-of-range"), ("axle: 200", "number-out-of-range"),
        ("largest load: 0 kg", "number-out-of-range"),
    ],
)  # fmt: skip
def test_what_is_said_wrongly_of_a_wheel_is_told(line: str, code: str) -> None:
    source, told = read_design(DESIGN + f"    {line}\n", "barrow.yaml")
    assert source is None
    assert code in {finding.code for finding in told}
