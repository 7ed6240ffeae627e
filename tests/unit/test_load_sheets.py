"""The sheets on loads and checks: every check stands there with its verdict, and the caution is on them."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from examples_checked import checked, example_job
from handbarrow.drawings.loads import used_view
from handbarrow.drawings.model import FINE, HEAVY
from handbarrow.language import speaking
from handbarrow.sheets.cover import cover
from handbarrow.sheets.jobdata import job_document, job_schema, job_text
from handbarrow.sheets.loads import load_pages

ROOM = (186.0, 258.0)


def rows(name: str, which: int | str) -> list[list[Any]]:
    """Rows of a section by its number or title."""
    pages = load_pages(example_job(name), ROOM)
    page = pages[which] if isinstance(which, int) else next(page for page in pages if page["title"] == which)
    return page["table"]["rows"]  # type: ignore[no-any-return]


@pytest.mark.parametrize("name", ["handcart", "hut-trailer"])
def test_every_check_stands_on_the_sheet_once_with_its_verdict(name: str) -> None:
    found, _ = checked(name)
    made = {cells[0]["plain"]: cells[4]["strong"] for cells in rows(name, 1)}
    silent = [cells[0] for cells in rows(name, 2)]
    wanted = {str(c.title): c.verdict for c in found.checks}
    assert made == {title: v for title, v in wanted.items() if v != "not checked"}
    assert silent == [title for title, v in wanted.items() if v == "not checked"]
    verdicts = [cells[4]["strong"] for cells in rows(name, 1)]
    assert verdicts == sorted(verdicts, key=["fails", "doubtful", "holds"].index), "what fails comes first"


def test_each_limit_says_whether_it_is_the_most_or_the_least() -> None:
    limits = {cells[0]["plain"]: cells[2] for cells in rows("handcart", 1)}
    assert limits["lowest frequency, loaded"] == "at least 3 Hz"
    assert limits["deepest sag, standing loaded"].startswith("at most ")
    assert limits["speed at which it tips in the tightest turn"] == "at least 4 km/h"


def test_the_cover_counts_the_checks_and_names_only_what_was_not_reckoned() -> None:
    found, _ = checked("handcart")
    page = cover(example_job("handcart"), "2026-05-31")
    fails, doubtful = (sum(c.verdict == v for c in found.checks) for v in ("fails", "doubtful"))
    assert dict(page["facts"])["Checks"].startswith(f"{fails} fail, {doubtful} doubtful, ")
    assert "strength of tubes" not in page["not_checked"]
    for left_out in ("hitch and its lock", "corrosion", "plates", "walls of tubes at other joints"):
        assert left_out in page["not_checked"]
    assert "not proven" in page["not_checked_lead"]


def test_the_caution_and_the_doubt_about_the_factors_stand_on_the_sheet() -> None:
    first = load_pages(example_job("hut-trailer"), ROOM)[0]
    said = " ".join(first["remarks"])
    assert "never replace" in said and "load test" in said and "without a source" in said


def test_the_proof_load_is_half_as_much_again_as_the_heaviest_load() -> None:
    proof = {cells[0]: cells[1] for cells in rows("hut-trailer", "Proof load")}
    assert proof["How heavy"].startswith("142.5 kg")  # 1.5 x 95 kg, the large guest
    assert "cot hoop" in proof["Where it lies"]
    assert "nobody under it" in proof["Its grips"]


def test_what_comes_near_what_stands_on_the_sheet_nearest_first() -> None:
    near = rows("hut-trailer", "What comes near what")
    pairs = [(cells[0], cells[1], cells[2]) for cells in near]
    assert ("cot guide and cot hoop", "as drawn", "2 mm") in pairs
    assert ("cot hoop and cot guide", "cot on the way to lifted off", "2 mm") in pairs
    gaps = [float(cells[2].removesuffix(" mm")) for cells in near]
    assert gaps == sorted(gaps)


def test_a_design_that_does_not_say_what_it_carries_has_neither_load_cases_nor_a_proof_load() -> None:
    job = example_job("handcart")
    bare = replace(job.design, uses=replace(job.design.uses, carries=()))
    product = replace(job.product, design=bare)
    titles = {page["title"] for page in load_pages(replace(job, design=bare, product=product), ROOM)}
    assert "What comes near what" in titles, "what needs no load is checked all the same"
    assert not titles & {"Load cases", "Proof load"}


def test_parts_that_are_used_hard_are_drawn_heavy_with_their_share() -> None:
    job = example_job("handcart")
    drawing = used_view(job, {"axle": 0.9, "leg": 0.4, "handle": 0.01}, (180.0, 100.0))
    assert {text.string for text in drawing.texts} == {"90", "40"}, "one per cent is no number worth reading"
    weights = {stroke.weight for stroke in drawing.strokes}
    assert {FINE, HEAVY} <= weights
    assert all(0 <= x <= 180 and 0 <= y <= 100 for stroke in drawing.strokes for x, y in stroke.points)
    assert "percent" in drawing.alt


def test_job_data_hold_loads_and_checks_only_when_asked() -> None:
    job = example_job("handcart")
    plain = job_document(job, making=False)
    assert "loads" not in plain and "checks" not in plain
    document = json.loads(job_text(job_document(job, making=False, checks=True)))
    Draft202012Validator(job_schema()).validate(document)
    axle = next(check for check in document["checks"] if check["id"] == "stress-axle")
    assert axle["verdict"] == "holds" and axle["margin"] == pytest.approx(axle["limit"] / axle["value"] - 1, abs=1e-5)
    assert axle["place"]["part"] == "axle"
    assert {case["id"] for case in document["loads"]} >= {
        "standing",
        "bump-3g",
        "braking",
        "parked-standing",
        axle["case"],
    }


@pytest.mark.parametrize("language", ["fr", "hi"])
def test_load_sheets_speak_the_shops_language(language: str) -> None:
    job = example_job("handcart")
    english = {cell for row in rows("handcart", 2) for cell in row}
    with speaking(language):
        there = {cell for row in rows("handcart", 2) for cell in row}
        title = load_pages(job, ROOM)[0]["title"]
    assert not english & there
    assert title != "Loads and checks"
