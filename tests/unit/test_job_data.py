"""The job data: keys as the contract names them, every key described, same text from the same job."""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from factories import job_with, make_job, random_tube
from handbarrow.design.values import Assembly, Find, Position, Size
from handbarrow.findings import Finding, Place, Severity
from handbarrow.job.values import EndCut, Job, MaterialLine
from handbarrow.sheets.jobdata import job_document, job_schema, job_text
from handbarrow.sheets.schema import reference_page

ROOT = Path(__file__).parents[2]
Json = dict[str, Any]


def full_job() -> Job:
    """The small job with everything that a document can hold."""
    job = job_with(random_tube([200, 150, 300], [40, 60], [0, 75]))
    first = job.parts[0]
    double = EndCut(kind="double", against=("front-beam", "cross-tube"), against_copies=(1, 2), wrap=((0.0, 1.0),))
    first = replace(first, start=double, note="seam down", items=3, standard="EN 10305-3")
    raised = Position(name="raised", transform=((0, 0, 1, 5.0), (0, 1, 0, 0), (-1, 0, 0, 0), (0, 0, 0, 1)))
    design = replace(job.design, assemblies=(Assembly(name="frame", positions=(raised,)),))
    place = Place(file="trailer.yaml", line=3, column=7)
    finding = Finding(
        code="die-has-no-test-bends", where="dies[1]", wrong="none", expected="3", fix="bend", place=place,
        severity=Severity.WARNING,
    )  # fmt: skip
    sizes = (
        Size(name="slope", value=math.radians(12), unit="deg", formula="24 / 2", says="gentle"),
        Size(name="tyre_pressure", value=0.2, unit="kPa"),
        Size(name="riser", value=55.0, find=Find(result="eye", equals=780.0, low=40.0, high=400.0)),
    )
    product = replace(job.product, results={"eye": 780.0}, lift=100.0)
    return replace(job, design=design, product=product, parts=(first, *job.parts[1:]), findings=(finding,), sizes=sizes)


def test_document_follows_its_schema() -> None:
    schema = job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for job in (make_job(), make_job(1), full_job()):
        validator.validate(json.loads(job_text(job_document(job))))


def test_schema_refuses_a_key_that_it_does_not_describe() -> None:
    document = job_document(make_job())
    document["parts"][0]["colour"] = "red"
    with pytest.raises(jsonschema.ValidationError, match="colour"):
        jsonschema.validate(document, job_schema())


def objects(schema: Any, path: str = "") -> Iterator[tuple[str, Json]]:
    if isinstance(schema, dict):
        if "properties" in schema:
            yield path, schema
        for key, value in schema.items():
            yield from objects(value, f"{path}.{key}")
    elif isinstance(schema, list):
        for value in schema:
            yield from objects(value, path)


def test_every_key_is_described_and_no_other_is_allowed() -> None:
    found = list(objects(job_schema()))
    assert len(found) > 20
    for path, thing in found:
        assert thing["additionalProperties"] is False, path
        for key, value in thing["properties"].items():
            assert len(value.get("description", "")) >= 4, f"{path}.{key} is not described"


def test_reference_page_is_made_from_the_schema() -> None:
    page = (ROOT / "docs/reference/job-data.md").read_text(encoding="utf-8")
    assert page == reference_page(job_schema()), "run `python -m handbarrow.sheets.schema > docs/reference/job-data.md`"


# The contract with programs outside: these keys stay (recorded from the agreed list of keys).
CONTRACT = {
    "": "schema design workshop units sizes parts placements cutting cutting_bounds materials findings",
    "design": "name revision digest",
    "workshop": "name digest",
    "section": "shape outside height width wall",
    "part": "id name kind quantity stock section mass_kg centreline developed_length cut_length crown bends straights "
    "ends holes",
    "bend": "number mark angle set_angle turn uses die die_radius radius stop",
    "end": "kind against offset wrap square_cuts",
    "placement": "part copy transform mirrored",
    "cutting": "stock form length width kerf trim count layout left",
    "piece": "part copy at length",
    "bound": "stock used lower_bound proven",
    "material": "item quantity unit mass_kg price supplier",
}


def test_keys_are_those_of_the_contract() -> None:
    document = job_document(make_job())
    hoop = document["parts"][0]
    things = {
        "": document,
        "design": document["design"],
        "workshop": document["workshop"],
        "section": hoop["section"],
        "part": hoop,
        "bend": hoop["bends"][0],
        "end": hoop["ends"]["start"],
        "placement": document["placements"][0],
        "cutting": document["cutting"][0],
        "piece": document["cutting"][0]["layout"][0],
        "bound": document["cutting_bounds"][0],
        "material": document["materials"][0],
    }
    for name, keys in CONTRACT.items():
        assert set(keys.split()) <= set(things[name]), name
    assert set(hoop["ends"]) == {"start", "end"}
    assert set(document["sizes"]["bed_length"]) == {"value", "unit", "formula"}


def test_features_that_do_not_exist_are_absent() -> None:
    document = job_document(full_job())
    assert not {"loads", "checks", "schedule", "cost", "inspection"} & set(document)
    assert not any("panel" in part for part in document["parts"])


def test_numbers_speak_mm_kg_degrees_and_kpa() -> None:
    document = job_document(full_job())
    assert document["sizes"]["slope"]["value"] == 12.0
    assert document["sizes"]["tyre_pressure"]["value"] == 200.0
    hoop = document["parts"][0]
    assert hoop["bends"][0]["angle"] == pytest.approx(90.0)
    assert hoop["bends"][0]["law"] == {"a": 0.985, "b": 1.5, "test_bends": 3, "guess": False, "date": "2024-03-02"}


def test_second_member_and_other_copies_are_named_only_where_they_are_needed() -> None:
    end = job_document(full_job())["parts"][0]["ends"]["start"]
    assert end["against"] == "front-beam"
    assert "against_copy" not in end
    assert end["also_against"] == [{"part": "cross-tube", "copy": 2}]
    job = make_job()
    cross = replace(job.parts[0], start=EndCut(kind="cope", against=("front-beam",), against_copies=(2,)))
    end = job_document(replace(job, parts=(cross,)))["parts"][0]["ends"]["start"]
    assert (end["against"], end["against_copy"]) == ("front-beam", 2)
    square = job_document(replace(job, parts=(replace(cross, start=EndCut(kind="square")),)))
    assert square["parts"][0]["ends"]["start"]["against"] is None


def test_positions_are_carried_to_the_axes_whose_ground_is_zero() -> None:
    # closed form: T' = L T L^-1 with L a lift of 100 mm; a turn about y takes the lift to x and leaves 100 in z
    (position,) = job_document(full_job())["positions"]
    assert position["transform"] == [[0, 0, 1, -95.0], [0, 1, 0, 0], [-1, 0, 0, 100.0], [0, 0, 0, 1]]


def test_parts_without_mass_and_parts_without_place_are_told_apart() -> None:
    job = make_job()
    job = replace(job, masses=tuple(replace(line, unplaced=("wheel",)) for line in job.masses))
    assert [(m["missing"], m["unplaced"]) for m in job_document(job)["masses"]] == [(["axle-bolt"], ["wheel"])] * 2


def test_a_bar_to_buy_has_its_length_and_nothing_else_has_one() -> None:
    lengths = [(line["kind"], line.get("length")) for line in job_document(make_job())["materials"]]
    assert lengths == [("bar", 6000.0), ("bar", 6000.0), ("plate", None), ("bought", None), ("bought", None)]


def test_prices_that_are_missing_leave_the_total_open() -> None:
    job = make_job()
    totals = job_document(job)["totals"]
    assert totals["price"] is None
    assert totals["price_known"] == pytest.approx(215.0 + 22.4 + 2.4 + 384.0)
    assert totals["mass_complete"] is False
    line = MaterialLine(item="plate 5", quantity=1, unit="kg", mass_kg=1.0, price=1.6, supplier="")
    assert job_document(replace(job, price=1.6, materials=(line,)))["totals"]["price"] == 1.6


def test_a_number_that_is_not_finite_never_leaves_the_program() -> None:
    job = make_job()
    broken = replace(job, parts=(replace(job.parts[0], mass_kg=math.nan),))
    with pytest.raises(ValueError, match="not finite"):
        job_document(broken)


def test_text_is_plain_json_with_number_lists_in_one_line() -> None:
    document = job_document(full_job())
    text = job_text(document)
    assert json.loads(text) == document
    assert text.endswith("}\n")
    assert '"points": [[0' in text
    for odd in ({}, {"a": []}, {"a": [[]]}, {"a": [[[1]]], "b": ["x", "y"], "c": [None, 1]}):
        assert json.loads(job_text(odd)) == odd


def test_same_job_gives_the_same_text_in_every_process() -> None:
    code = (
        "import sys, hashlib; sys.path.insert(0, 'tests'); from factories import make_job\n"
        "from handbarrow.sheets.jobdata import job_document, job_text\n"
        "print(hashlib.sha256(job_text(job_document(make_job())).encode()).hexdigest())"
    )
    seen = set()
    for seed in ("0", "1", "4711"):
        done = subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )  # fmt: skip
        seen.add(done.stdout)
    assert len(seen) == 1
