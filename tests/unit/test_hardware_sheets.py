"""Drills, fasteners by step and the hitch on the sheets: what stands in the tables, without printing."""

from __future__ import annotations

from bolted_parts import LUGGED, worked_out
from handbarrow.drawings.fitup import piece_solids
from handbarrow.job.fitup import laid
from handbarrow.job.values import Job
from handbarrow.sheets.assembly import groups_of
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.drilling import counted_openings
from handbarrow.sheets.drills import drills
from handbarrow.sheets.fasteners import by_step, clamp_words, items_words, stack_words
from handbarrow.sheets.hitch import hitch_pages
from handbarrow.sheets.pages import materials
from handbarrow.sheets.shown import holes_words
from handbarrow.sheets.weld_on import weld_on_pages

NUT = """\
  eye-nut:
    bought: Hex nut ISO 4032 M10
    drilled out: {for: M10}
    count: 2
    mass: 0.01 kg
    on: rail
"""
DRILLED = LUGGED.replace("at: [20, 0], for: M8}", "at: [20, 0], for: M8}, {at: [8, 8], tapped: M6}") + NUT
HOLE = "    holes: [{from start: 50, face: left, for: M8, through: yes}]\n"
HITCHED = LUGGED.replace("parts:\n", (
    "assemblies: {frame: {}, hitch: {}}\ntowed at: rail end\n"
    "swivel:\n  leaning: {turns: hitch, about: [0, 0, 0], needs: 40}\nparts:\n"
)).replace("  rail:\n", "  rail:\n    in: frame\n").replace("  lug:\n", "  lug:\n    in: hitch\n").replace(
    "  lug-bolt:\n", "  lug-bolt:\n    in: hitch\n"
)  # fmt: skip


def job_of(text: str, units: int = 3) -> Job:
    job, findings = worked_out(text, units)
    assert job is not None, findings
    return job


def words(cell: object) -> str:
    """What stands in a cell, without places to break at."""
    if isinstance(cell, dict):
        cell = " ".join(str(cell[key]) for key in ("strong", "plain", "sub") if key in cell)
    return str(cell).replace("\u200b", "").strip()


def rows(block: Block) -> list[list[str]]:
    return [[words(cell) for cell in row] for row in block["table"]["rows"]]


def test_drills_stand_by_size_with_what_they_are_for() -> None:
    (block,) = drills(job_of(DRILLED), 1)
    found = [row[:4] for row in rows(block)]
    # by hand: 3 units; two lugs each with one hole of each kind; one rail drilled through both walls; two nuts
    assert found == [
        ["Ø5", "tap M6: drill first, then cut the thread", "6", "lug: 6"],
        ["Ø9", "M8 goes through (medium)", "9", "rail: 3, lug: 6"],
        ["Ø10.5", "nut drilled out so that it turns on M10", "6", "eye nut: 6"],
    ]
    assert any("never by hand" in str(remark) for remark in block["remarks"])


def test_nothing_to_drill_is_no_sheet() -> None:
    text = LUGGED[: LUGGED.index("  lug:")].replace(
        "    holes: [{from start: 50, face: left, for: M8, through: yes}]\n", ""
    )
    assert drills(job_of(text), 1) == []


def test_a_hole_on_the_drill_sheet_names_its_screw() -> None:
    job = job_of(DRILLED)
    said = counted_openings(job.part("lug").holes, job.workshop.shown)
    assert said == "1 × Ø9 for M8, 1 × Ø5, tap M6"


def test_a_bolt_is_taken_with_washers_and_nut_once_in_the_step_that_needs_it() -> None:
    job = job_of(HITCHED)
    groups = groups_of(job, laid(job))
    steps = [[line.part for line in group.lines] for group in groups]
    assert sum(step.count("lug-bolt") for step in steps) == 1  # it goes through parts of two assemblies
    (block,) = by_step(job, steps)
    assert [row[1:4] for row in rows(block)] == [
        ["Hex bolt ISO 4014 M8x55", "1", "3"],
        ["Washer ISO 7089 8", "2", "6"],
        ["Lock nut ISO 7040 M8", "1", "3"],
    ]


def test_a_bolt_says_what_it_clamps() -> None:
    job = job_of(LUGGED)
    part = job.part("lug-bolt")
    assert part.fastener is not None
    assert stack_words(job, part.fastener) == "lug 5, rail 26.9, lug 5"
    assert clamp_words(job, part) == "Clamps 36.9 mm; 5.4 mm of thread shows."
    assert items_words(part) == "Hex bolt ISO 4014 M8x55 + 2 × Washer ISO 7089 8 + 1 × Lock nut ISO 7040 M8"
    assert clamp_words(job, job.part("rail")) == ""


def test_the_hitch_sheet_says_how_far_each_way_and_asks_to_try_it() -> None:
    job = job_of(HITCHED)
    sheet, bolts = hitch_pages(job, piece_solids(job), 180.0)
    ((way, needs, one, other, *_, verdict, _),) = rows(sheet)
    assert (way, needs, verdict) == ("leaning", "40°", "holds")
    assert one == other == "free"  # lugs on either side of the rail turn round it and meet nothing
    assert "view" in sheet
    assert [row[:3] for row in rows(bolts)] == [
        [
            "lug bolt (3)",
            "Hex bolt ISO 4014 M8x55 + 2 × Washer ISO 7089 8 + 1 × Lock nut ISO 7040 M8",
            "lug 5, rail 26.9, lug 5",
        ]
    ]


def test_no_hitch_sheet_where_the_design_is_silent() -> None:
    job = job_of(LUGGED)
    assert hitch_pages(job, piece_solids(job), 180.0) == []


def test_what_is_used_up_stands_apart_and_is_called_an_estimate() -> None:
    from dataclasses import replace

    from handbarrow.job.values import MaterialLine

    job = job_of(LUGGED)
    line = MaterialLine(
        item="Enamel", quantity=2.5, unit="l", mass_kg=None, price=18.0, supplier="", kind="consumable", needed=1.234,
        rule="estimate: by hand",
    )  # fmt: skip
    blocks = materials(replace(job, materials=(*job.materials, line)))
    used = next(block for block in blocks if block["title"] == "Used up in the batch: estimate")
    assert rows(used) == [["Enamel", "1.2", "2.5", "l", "estimate: by hand", "", "18.00"]]
    assert all("Enamel" not in row for row in rows(blocks[0]))


def test_what_is_welded_on_stands_on_the_weld_sheets() -> None:
    assert weld_on_pages(job_of(LUGGED)) == []
    text = LUGGED.replace("thread: M8}", "thread: M8, nut: welded}") + NUT.replace(
        "on: rail", "welded: yes\n    on: rail"
    )
    (sheet,) = weld_on_pages(job_of(text))
    assert [row[:4] for row in rows(sheet)] == [
        ["Hex nut ISO 4032 M8", "lug", "1", "3"],
        ["Hex nut ISO 4032 M10", "rail", "2", "6"],
    ]
    assert "10.5" in rows(sheet)[1][4]
    assert any("not strength-checked" in str(remark) for remark in sheet["remarks"])


def test_holes_in_words_name_their_screw() -> None:
    job = job_of(DRILLED)
    shown = job.workshop.shown
    assert holes_words(job.part("lug").holes, shown, plate=True) == "9 at (20, 0) for M8; 5 at (8, 8), tap M6"
    assert holes_words(job.part("eye-nut").holes, shown) == "drilled out to Ø10.5 for M10"
