"""What is wrong with parts of sheet is said, and nothing is passed over."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bad_sheet import JOB_FAULTS, SHOP, tray
from handbarrow.cli.show import finding_text
from handbarrow.design.reader import read_design
from handbarrow.findings import Finding, errors, with_places
from handbarrow.job.build import build_job
from handbarrow.workshop.reader import read_workshop

PAGES = Path(__file__).parents[2] / "docs" / "findings"


def said_of(design: str, shop: str) -> list[Finding]:
    source, found = read_design(design, "tray.yaml")
    assert source is not None, found
    workshop, found, places = read_workshop(shop, "shop.yaml")
    assert workshop is not None, found
    return with_places(with_places(build_job(source, workshop, 3)[1], source.places), places)


@pytest.mark.parametrize("code", JOB_FAULTS)
def test_each_fault_of_a_part_of_sheet_is_told_and_alone(code: str) -> None:
    told = said_of(*JOB_FAULTS[code])
    others = {"fold-not-reached"} if code == "blank-overlaps" else set()
    assert {finding.code for finding in told} - others == {code}


@pytest.mark.parametrize("code", sorted(set(JOB_FAULTS) - {"hole-outside-part", "stock-too-little"}))
def test_its_page_shows_what_the_program_prints(code: str) -> None:
    (told, *_) = (finding for finding in said_of(*JOB_FAULTS[code]) if finding.code == code)
    example = re.search(r"```\n(.*?)```", (PAGES / f"{code}.md").read_text(), re.DOTALL)
    assert example is not None
    assert [line.rstrip() for line in example[1].splitlines()] == [s.rstrip() for s in finding_text(told).splitlines()]


def test_what_cannot_be_made_stops_the_job_and_what_can_be_mended_at_the_bench_does_not() -> None:
    stops = {code for code, files in JOB_FAULTS.items() if errors(said_of(*files))}
    assert stops == {"hole-outside-part", "hole-in-fold", "blank-overlaps", "blank-too-large"}


@pytest.mark.parametrize(
    "line",
    [
        "folds: [{edge: 5, height: 30}]",
        "folds: [{edge: 1, height: 30, angle: 190}]",
        "folds: [{edge: 1, height: -3}]",
        "folds: [{edge: 1}]",
        "folds: [{edge: 1, height: 30, way: sideways}]",
        "hems: [{edge: 1, kind: folded, width: 10}]",
        "hems: [{edge: 1, kind: closed, width: 2}]",
        "holes: [{at: [10, 10], fold: 1, diameter: 4, tapped: M4}]",
        "screws: [{edge: 1, from edge: 10, from ends: 10, diameter: 4}]",
        "grain: z",
        "bend: 3",
    ],
)
def test_a_line_that_makes_no_sense_is_refused(line: str) -> None:
    source, found = read_design(tray("flat: [[0, 0], [300, 0], [300, 200], [0, 200]]", line), "tray.yaml")
    assert source is None
    assert found


@pytest.mark.parametrize(
    "line",
    [
        "folder: {longest: 1000}",
        "folder: {name: f, nose angle: 5}",
        "folder: {name: f, test folds: [{for: tube 21.3x2, blank: 96, sides: [50, 50], radius: 1}]}",
        "sheet cutting: {by: teeth}",
        "sheet cutting: {by: disc, kerf: 50}",
    ],
)
def test_a_workshop_that_makes_no_sense_is_refused(line: str) -> None:
    assert read_workshop(SHOP + line + "\n", "shop.yaml")[0] is None


def test_a_sheet_without_a_size_is_refused() -> None:
    assert read_workshop(SHOP.replace("[2000, 1000]", "[2000, 1]"), "shop.yaml")[0] is None
