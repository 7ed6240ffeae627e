"""Curves that are pulled round formers, from the design file to what is sawn."""

from __future__ import annotations

import json
import math

import pytest
from jsonschema import Draft202012Validator

from handbarrow.design.reader import read_design
from handbarrow.drawings.formers import former_drawing
from handbarrow.findings import Finding
from handbarrow.job.build import build_job
from handbarrow.job.values import Job
from handbarrow.laws.bending.former import radius_from_rise, radius_when_released
from handbarrow.sheets.formers import former_pages, lengths_to_saw
from handbarrow.sheets.jobdata import job_document, job_schema, job_text
from handbarrow.sheets.templates import former_keys
from handbarrow.workshop.reader import read_workshop

DESIGN = """\
handbarrow: design 1
name: Rails
revision: A
stock: {rod: bar 10, bow: square tube 15x1.5}
parts:
  arc:
    stock: rod
    over: former
    radius: 250
    points: [[0, 250, 200], [250, 250, 200], [250, 0, 200]]
    start: free
    end: free
    mirrored: left-right
  hoop:
    stock: rod
    over: former
    radius: 300
    points: [[-500, 300, 0], [300, 300, 0], [300, -300, 0], [-500, -300, 0]]
    start: free
    end: free
  bow:
    stock: bow
    over: vice
    radius: 160
    points: [[-100, 200, 400], [400, 200, 400], [400, -200, 400], [-100, -200, 400]]
    start: free
    end: free
"""
SHOP = """\
handbarrow: workshop 1
name: Ridge
stock:
  bar 10: {steel: S235JR, yield: 235 MPa, lengths: [{length: 6000}]}
  square tube 15x1.5: {lengths: [{length: 6000}]}
formers:
  hand force: 300 N
  held: 60
  pieces in one length: 2
  step in the vice: 20
  trials:
    - {for: bar 10, former: 250, made: 291}
saw: {kerf: 2}
"""


def worked_out(design: str = DESIGN, shop: str = SHOP, units: int = 4) -> tuple[Job | None, list[Finding]]:
    source, found = read_design(design, "design.yaml")
    workshop, told, _ = read_workshop(shop, "shop.yaml")
    if source is None or workshop is None:
        return None, [*found, *told]
    return build_job(source, workshop, units)


def job() -> Job:
    made, findings = worked_out()
    assert made is not None, findings
    return made


def test_a_bar_that_is_let_go_comes_back_to_the_radius_that_was_drawn() -> None:
    arc = job().part("arc")
    assert arc.pull is not None and arc.section is not None
    (bend,) = arc.pull.bends
    assert radius_when_released(arc.section, bend.on_former, arc.pull.yield_mpa) == pytest.approx(250, rel=1e-6)
    assert bend.on_former * bend.pulled_rad == pytest.approx(250 * math.pi / 2), "its arc keeps its length"
    assert bend.face == pytest.approx(bend.on_former - 5)


def test_the_shops_trial_counts_before_the_steel_that_the_list_states() -> None:
    trial = job().part("arc").pull
    guess, findings = worked_out(shop=SHOP.replace("    - {for: bar 10, former: 250, made: 291}\n", "    []\n"))
    assert guess is not None and trial is not None
    plain = guess.part("arc").pull
    assert plain is not None and (trial.trial, plain.trial) == (True, False)
    assert trial.yield_mpa > 300 > plain.yield_mpa == 235
    assert trial.bends[0].face < plain.bends[0].face, "what springs more wants a smaller former"
    assert {f.where for f in findings if f.code == "former-without-trial"} == {
        f"parts.{p}.over" for p in ("arc", "hoop", "bow")
    }


def test_two_quarters_are_pulled_in_one_length_with_room_for_clamp_and_hands() -> None:
    arc = job().part("arc")
    assert arc.pull is not None and arc.pull.pieces == 2
    quarter = 250 * math.pi / 2
    assert arc.pull.before == pytest.approx(60)
    grip = arc.pull.bends[0].moment_nmm / 300
    assert arc.pull.after == pytest.approx(grip)
    assert arc.pull.saw_length == pytest.approx(60 + 2 * quarter + 2 + grip)
    assert [b - a for a, b in arc.pull.marks] == pytest.approx([quarter, quarter])


def test_straight_legs_serve_as_clamp_and_lever() -> None:
    hoop = job().part("hoop")
    assert hoop.pull is not None
    assert (hoop.pull.before, hoop.pull.after, hoop.pull.pieces) == (0.0, 0.0, 1)
    assert hoop.pull.saw_length == pytest.approx(hoop.cut_length)


def test_the_cutting_plan_saws_the_long_lengths_and_half_as_many() -> None:
    made = job()
    sawn = [p for bar in made.cutting.bars for p in bar.pieces * bar.count if p.part == "arc"]
    arc = made.part("arc")
    assert arc.pull is not None
    assert len(sawn) == 4 == lengths_to_saw(arc, 4), "one length for two pieces, four units"
    assert [p.length for p in sawn] == pytest.approx([arc.pull.saw_length] * 4)


def test_steps_in_the_vice_are_even_and_lie_in_the_curve() -> None:
    bow = job().part("bow")
    assert bow.pull is not None and bow.pull.over == "vice"
    first, second = bow.pull.bends
    length = 160 * math.pi / 2
    assert len(first.steps) == math.ceil(length / 20)
    assert first.steps[0] - length / len(first.steps) / 2 == pytest.approx(500 - 160), "the curve begins after its leg"
    assert second.steps[0] - first.steps[0] == pytest.approx(length + 400 - 2 * 160)


def test_rise_and_chord_on_the_sheet_give_the_radius_back() -> None:
    for part in job().parts:
        for bend in part.pull.bends if part.pull else ():
            depth = 10 if part.id != "bow" else 15
            assert radius_from_rise(bend.chord, bend.rise) == pytest.approx(bend.radius - depth / 2)


def test_each_former_is_drawn_once_at_true_size() -> None:
    made = job()
    assert [(part.id, number) for part, number in former_keys(made)] == [("arc", 1), ("hoop", 1)]
    bend = made.part("arc").pull.bends[0]  # type: ignore[union-attr]
    drawing = former_drawing(made, "arc", 1)
    face = next(s for s in drawing.strokes if s.layer == "outline").points
    centre = (face[1][0], face[1][1] + bend.face)
    on_face = [p for p in face if abs(math.dist(p, centre) - bend.face) < 1e-6]
    around = max(math.atan2(p[0] - centre[0], centre[1] - p[1]) for p in on_face)
    assert around >= bend.pulled_rad, "the board reaches to where one stops"
    assert any("214" in text.string for text in drawing.texts)


def test_the_sheet_says_what_to_saw_how_far_to_pull_and_how_to_check() -> None:
    pages = former_pages(job())
    told = str(pages)
    for words in ("Saw to", "Then cut at", "rise over", "strikes back", "First guess"):
        assert words in told
    straight = DESIGN[: DESIGN.index("  arc:")] + "  stay: {stock: rod, points: [[0, 0, 0], [300, 0, 0]]}\n"
    plain, findings = worked_out(straight)
    assert plain is not None, findings
    assert former_pages(plain) == [], "a job without such parts has no such sheet"


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (("    radius: 250\n", ""), "former-without-radius"),
        (("    radius: 160\n", "    radius: 60\n"), "former-too-tight"),
        (("over: vice", "over: knee"), "choice-unknown"),
    ],
)
def test_what_cannot_be_pulled_is_said(change: tuple[str, str], code: str) -> None:
    made, findings = worked_out(DESIGN.replace(*change))
    assert made is None
    assert code in {f.code for f in findings}, findings


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (("made: 291", "made: 240"), "trial-not-sprung"),
        (("for: bar 10", "for: plate 5"), "stock-of-wrong-kind"),
        (("hand force: 300 N", "hand force: 3 N"), "number-out-of-range"),
        (("held: 60", "holds: 60"), "unknown-key"),
    ],
)
def test_a_shop_that_cannot_be_so_is_said(change: tuple[str, str], code: str) -> None:
    made, findings = worked_out(shop=SHOP.replace(*change))
    assert made is None
    assert code in {f.code for f in findings}, findings


def test_job_data_say_how_a_part_is_pulled() -> None:
    document = json.loads(job_text(job_document(job(), making=False)))
    Draft202012Validator(job_schema()).validate(document)
    arc = next(part for part in document["parts"] if part["id"] == "arc")["pull"]
    assert arc["over"] == "former" and arc["pieces"] == 2
    assert arc["bends"][0]["pulled"] * math.pi / 180 * arc["bends"][0]["on_former"] == pytest.approx(250 * math.pi / 2)
