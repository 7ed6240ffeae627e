"""How far a hitch turns before something touches: closed forms for round bars, and what stays silent."""

from __future__ import annotations

import math

import pytest

from handbarrow.design.reader import read_design
from handbarrow.job.build import build_job
from handbarrow.job.frame_values import Subject
from handbarrow.job.swivel import checks, reaches
from handbarrow.workshop.reader import read_workshop

SHOP = """\
handbarrow: workshop 1
name: Test shop
stock:
  bar 20: {steel: S235JR, lengths: [{length: 6000, price: 12}]}
"""
DESIGN = """\
handbarrow: design 1
name: Arm and post
stock: {rod: bar 20}
assemblies: {frame: {}, arm: {}}
towed at: arm end
swivel:
  sideways: {turns: arm, about: [0, 0, 0], needs: NEEDS}
parts:
  arm:
    in: arm
    stock: rod
    points: [[0, 0, 0], [100, 0, 0]]
    start: free
    end: free
  post:
    in: frame
    stock: rod
    points: [[0, 80, -50], [0, 80, 50]]
    start: free
    end: free
"""


def subject(text: str) -> Subject:
    shop, told, _ = read_workshop(SHOP, "shop.yaml")
    assert shop is not None, told
    source, told = read_design(text, "arm.yaml")
    assert source is not None, told
    job, told = build_job(source, shop, 1, with_cutting=False)
    assert job is not None, told
    return Subject(job.product, job.workshop, job.parts)


def test_an_arm_turns_until_it_meets_a_post() -> None:
    (reach,) = reaches(subject(DESIGN.replace("NEEDS", "70")))
    # closed form: two rods of 20 touch where their axes are 20 apart; half a millimetre deep counts, in half degrees
    first, last = (90 - math.degrees(math.asin(apart / 80)) for apart in (20.0, 19.5))
    assert first - 0.5 <= math.degrees(reach.forth_rad) <= last
    assert reach.forth_hits is not None
    assert {target.part for target in reach.forth_hits} == {"arm", "post"}
    assert (reach.back_rad, reach.back_hits) == (math.pi, None)


@pytest.mark.parametrize(("needs", "verdict"), [(70, "holds"), (80, "fails")])
def test_the_reach_is_held_against_what_the_bicycle_needs(needs: float, verdict: str) -> None:
    found, told = checks(subject(DESIGN.replace("NEEDS", str(needs))))
    assert told == []
    by_name = {check.id: check for check in found}
    check = by_name["swivel-sideways"]
    assert (check.verdict, check.limit) == (verdict, pytest.approx(needs))
    assert set(check.parts) == {"arm", "post"}
    for silent in ("swivel-up-and-down", "swivel-leaning"):
        assert (by_name[silent].verdict, by_name[silent].value) == ("not checked", None)


def test_the_lift_of_the_design_moves_axis_and_parts_alike() -> None:
    low = DESIGN.replace("NEEDS", "70")
    high = low.replace("[0, 0, 0]", "[0, 0, 500]").replace("[100, 0, 0]", "[100, 0, 500]")
    high = high.replace("[0, 80, -50], [0, 80, 50]", "[0, 80, 450], [0, 80, 550]")
    assert reaches(subject(low))[0].forth_rad == pytest.approx(reaches(subject(high))[0].forth_rad)


def test_a_product_that_is_not_towed_needs_no_hitch() -> None:
    found, _ = checks(subject(DESIGN.replace("NEEDS", "70").replace("towed at: arm end\n", "")))
    assert found == ()


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("turns: arm", "turns: [frame, arm]", "swivel-turns-all"),
        ("turns: arm", "turns: amr", "unknown-assembly"),
        ("about: [0, 0, 0], ", "", "key-missing"),
        ("sideways:", "side:", "unknown-key"),
        ("needs: NEEDS", "needs: 200", "number-out-of-range"),
        ("needs: NEEDS", "needs: 3 kg", "wrong-unit"),
        ("about: [0, 0, 0]", "axis: [0, 0, 0], about: [0, 0, 0]", "direction-zero"),
    ],
)
def test_what_is_said_wrongly_of_a_swivel_is_told(old: str, new: str, code: str) -> None:
    assert old in DESIGN
    _, told = read_design(DESIGN.replace(old, new).replace("NEEDS", "70"), "arm.yaml")
    assert code in {finding.code for finding in told}


def test_the_job_data_say_how_far_and_what_touches() -> None:
    import jsonschema

    from handbarrow.sheets.jobdata import job_schema
    from handbarrow.sheets.swiveldata import swivel_document

    (reach,) = reaches(subject(DESIGN.replace("NEEDS", "70")))
    document = swivel_document(reach, 5.0)
    schema = job_schema()
    jsonschema.validate(document, {"$defs": schema["$defs"], "$ref": "#/$defs/swivel"})
    assert document["about"] == [0, 0, 5]
    assert [piece["part"] for piece in document["forth_hits"]] == ["arm", "post"]
    assert (document["back"], document["back_hits"]) == (180, [])
