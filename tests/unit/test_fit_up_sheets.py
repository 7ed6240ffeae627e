"""Fit-up, weld and assembly sheets: every joint on one row, pictures that stay clear, words that a helper needs."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import jsonschema
import numpy as np
import pytest

from handbarrow.design.reader import read_design
from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.drawings.exploded import Body, bodies_of_pieces, exploded_view, shifts, ways_of
from handbarrow.drawings.fitup import ADDED, THERE, detail_view, laid_view, piece_solids, step_view
from handbarrow.drawings.weld_symbols import SYMBOL, weld_symbol
from handbarrow.job.build import build_job
from handbarrow.job.fitup import fit_up, laid
from handbarrow.job.fitup_values import Weld
from handbarrow.job.values import Job
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.assembly import groups_of
from handbarrow.sheets.choice import Choice
from handbarrow.sheets.fitup_rows import rows_of
from handbarrow.sheets.jobdata import job_document, job_schema
from handbarrow.sheets.pack import write_pack
from handbarrow.sheets.pictures import pack_drawings
from handbarrow.workshop.reader import read_workshop
from printed import texts

EXAMPLES = Path(__file__).parents[2] / "examples"
BOTH = pytest.mark.parametrize("name", ["hut-trailer", "handcart"])


@cache
def example(name: str) -> Job:
    shop, _, _ = read_workshop((EXAMPLES / "ridge-workshop.yaml").read_bytes(), "shop")
    source, findings = read_design((EXAMPLES / f"{name}.yaml").read_bytes(), "design")
    assert source is not None and shop is not None, findings
    job, findings = build_job(source, shop, 8, with_cutting=False)
    assert job is not None, findings
    return job


@cache
def text_of(name: str, station: str, paper: str = "A4", length: str = "mm") -> str:
    """The text in the order in which it is told, so that numbers in a picture don't run into the words beside it."""
    job = example(name)
    job = replace(job, workshop=replace(job.workshop, paper=paper, show_length=length))  # type: ignore[arg-type]
    pdf = write_pack(job, pack_drawings(job), "2026-06-01", Choice(station=station))
    return " ".join(" ".join(texts(pdf)).split())


# ------------------------------------------------------------------------------------------------ rows
@BOTH
def test_every_joint_is_on_exactly_one_row(name: str) -> None:
    for weldment in fit_up(example(name)):
        rows = [row for step in weldment.steps for row in rows_of(weldment, step)]
        numbers = [joint.number for row in rows for joint in row.joints]
        assert sorted(numbers) == [joint.number for joint in weldment.joints]
        assert len({row.label for row in rows}) == len(rows)


def test_a_pair_of_mirrored_joints_is_said_once() -> None:
    frame = fit_up(example("hut-trailer"))[0]
    step = next(step for step in frame.steps if step.part == "bearer-post")
    assert [len(row.joints) for row in rows_of(frame, step)] == [2, 2]


def test_the_sheet_says_where_a_post_stands_in_plain_words() -> None:
    # closed form: the post at x = 700 stands 200 before the corner at 900 whose outside lies 13.45 further: 213.45
    # numbers counted in the design file: the bearer post is its 9th part, the hinge sleeve its 24th
    text = text_of("hut-trailer", "weld")
    for words in (
        "bearer post × 4 (No. 9)",
        "from the outside of its front bend near side 202.8 middle 213.5",
        "square on · 3 tacks · × 2",
        "fillet, all",
        "Strength-checked only where",
        "grind the zinc off",
        "First slide hinge sleeve × 2 (No. 24) on the back tie",
        "diagonals A–D and B–C: both the same",
    ):
        assert words in text, words


def test_a_shop_that_reads_inches_gets_inches() -> None:
    text = text_of("hut-trailer", "weld", "Letter", "in")
    assert "near side 7.98 middle 8.4" in text  # computed here: 202.8 / 25.4 and 213.45 / 25.4
    assert "202.8" not in text and "583.4" not in text


# ------------------------------------------------------------------------------------------------ assembly
def test_bolts_come_with_what_they_hold_and_nuts_after_their_bolts() -> None:
    job = example("hut-trailer")
    groups = groups_of(job, laid(job))
    assert (groups[0].assembly, groups[0].to) == ("frame", "frame")
    assert [(g.assembly, g.to) for g in groups].index(("cot", "frame")) > 0
    for group in groups:
        names = [line.part for line in group.lines]
        for line in group.lines:
            assert all(names.index(on) < names.index(line.part) for on in line.on if on in names)
    once = {(line.part, "" if line.how == "bought" else line.to_assembly) for line in laid(job)}
    assert sum(len(group.lines) for group in groups) == len(once)


def test_a_bolt_through_two_bows_comes_in_the_step_of_the_second_bow() -> None:
    job = example("hut-trailer")
    groups = groups_of(job, laid(job))
    steps = {line.part: k for k, group in enumerate(groups) for line in group.lines}
    assert steps["hood-bow"] < steps["visor-bow"] == steps["hood-bolt"]
    assert "Its bolt comes in step 7." in text_of("hut-trailer", "assembly").replace("\n", " ")


def test_bushes_go_in_first_and_the_tow_bolt_when_the_bush_is_between_its_cheeks() -> None:
    job = example("hut-trailer")
    group = next(g for g in groups_of(job, laid(job)) if (g.assembly, g.to) == ("hitch yoke", "frame"))
    assert [line.part for line in group.lines] == ["tow-sleeve", "hitch-cheek", "tow-bolt"]


def test_what_is_too_small_in_the_whole_is_drawn_enlarged_beside_it() -> None:
    job = example("hut-trailer")
    scenery = piece_solids(job)
    there = [piece for piece in scenery.solids if job.part(piece.part).assembly == "frame"]
    added = [piece for piece in scenery.solids if job.part(piece.part).assembly == "hitch yoke"]
    drawing = laid_view(scenery, there, added, {}, (186.0, 62.0))
    heavy = [x for s in drawing.strokes if s.layer == "added" for x, _ in s.points]
    assert max(heavy) - min(x for x in heavy if x > 0.6 * 186.0) > 20.0
    assert [s.closed for s in drawing.strokes if s.layer == "detail"] == [True, True]
    assert outside(drawing) == [] and overlaps(drawing) == []


def test_assembly_sheet_says_positions_as_a_person_would() -> None:
    # closed form: the cot's position is a move of 400 up, the back rest's a turn of 40 degrees
    text = text_of("hut-trailer", "assembly")
    for words in ("moved 400 mm up", "turned 40°", "Hex bolt ISO 4014 M8x45", "not in the design: ask the lead"):
        assert words in text, words


def test_every_bought_part_is_in_one_step() -> None:
    job = example("hut-trailer")
    listed = [line.part for group in groups_of(job, laid(job)) for line in group.lines]
    for part in job.parts:
        if part.kind == "bought":
            assert listed.count(part.id) == 1, part.id


# ------------------------------------------------------------------------------------------------ pictures
def test_what_a_step_adds_is_heavy_and_what_was_there_light() -> None:
    job = example("handcart")
    (weldment,), scenery = fit_up(job), piece_solids(job)
    first = step_view(scenery, weldment, 1, (84, 56), ())
    assert {s.weight for s in first.strokes if s.layer in ("there", "added")} == {ADDED}
    second = step_view(scenery, weldment, 2, (84, 56), weldment.of_step(2)[:1])
    assert {s.weight for s in second.strokes if s.layer in ("there", "added")} == {ADDED, THERE}
    assert [d.text for d in second.dimensions] == ["29.4"]  # closed form: 40 - 21.3 / 2 = 29.35
    assert [t.string for t in second.words] == ["2"]


@BOTH
def test_pictures_stay_in_their_boxes_and_no_text_lies_on_another(name: str) -> None:
    job = example(name)
    scenery = piece_solids(job)
    for weldment in fit_up(job):
        on = {j.added: j.contact.to if j.contact.piece == j.added else j.contact.piece for j in weldment.joints}
        bodies = bodies_of_pieces(weldment.pieces, on, ways_of(weldment.joints))
        drawn = [exploded_view(scenery, bodies, (180, 108), "apart")]
        for step in weldment.steps:
            joints = weldment.of_step(step.number)
            drawn.append(step_view(scenery, weldment, step.number, (84, 56), joints[:2]))
            if joints:
                detail = detail_view(scenery, weldment, step.number, (54, 30), joints[0])
                assert detail is not None
                drawn.append(detail)
        for drawing in drawn:
            assert overlaps(drawing) == [] and outside(drawing) == []
            points = np.array([p for s in drawing.all_strokes for p in s.points])
            assert points.min() >= -0.01 and np.all(points <= [drawing.width + 0.01, drawing.height + 0.01])


def test_a_post_on_a_frame_is_pulled_up_and_a_hoop_beside_it_outwards() -> None:
    boxes = {
        "frame": (np.array([0.0, -300, 0]), np.array([1000.0, 300, 30])),
        "post": (np.array([490.0, -310, 30]), np.array([510.0, -290, 130])),
        "hoop": (np.array([300.0, 300, 0]), np.array([700.0, 430, 30])),
        "tie": (np.array([400.0, -290, 5]), np.array([420.0, 290, 25])),
    }
    bodies = [Body("frame", (), ""), *(Body(name, (), "frame") for name in ("post", "hoop", "tie"))]
    moves = shifts(boxes, bodies)
    assert moves["frame"].tolist() == [0, 0, 0]
    assert [int(np.argmax(np.abs(moves[n]))) for n in ("post", "hoop", "tie")] == [2, 1, 2]
    assert moves["post"][2] > 0 and moves["hoop"][1] > 0 and moves["tie"][2] > 0
    assert boxes["tie"][0][2] + moves["tie"][2] > boxes["frame"][1][2]


def test_weld_symbols_say_their_signs_in_words() -> None:
    # ISO 2553 (from memory): circle on the knee for all round, flag for site, triangle for a fillet
    round_it = Weld(kind="fillet", all_round=True, sides=1, length=84.5, throat=1.61, tacks=3)
    drawing = weld_symbol(round_it, Shown())
    assert "fillet weld all round" in drawing.alt and [t.string for t in drawing.words] == ["a1.6"]
    both = weld_symbol(replace(round_it, all_round=False, sides=2), Shown())
    assert sum(s.closed and len(s.points) == 3 and s.fill == "none" for s in both.strokes) == 2
    site = weld_symbol(round_it, Shown(), site=True)
    assert len(site.strokes) == len(drawing.strokes) + 1
    for one in (drawing, both, site):
        assert (one.width, one.height) == SYMBOL and outside(one) == []
        assert all(0 <= x <= SYMBOL[0] and 0 <= y <= SYMBOL[1] for s in one.strokes for x, y in s.points)


# ------------------------------------------------------------------------------------------------ data
@BOTH
def test_job_data_holds_fit_up_by_its_schema(name: str) -> None:
    document = job_document(example(name))
    jsonschema.validate(document, job_schema())
    joints = [joint for thing in document["fit_up"] for joint in thing["joints"]]
    assert {joint["weld"]["strength"] for joint in joints} == {"not checked"}
    square = [j for j in joints if j["kind"] == "cope" and j["angle"] == pytest.approx(90.0)]
    assert square and all(j["weld"]["length"] > math.pi * 10.0 for j in square)
