"""Spreadsheet tables: what they hold, and that the same job gives the same bytes."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from factories import make_job
from handbarrow.job.values import MaterialLine
from handbarrow.sheets.tables import csv_files, tables, workbook

ROOT = Path(__file__).parents[2]


def read(content: bytes) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(content))


def test_workbook_has_the_five_sheets_with_units_in_their_headings() -> None:
    book = read(workbook(make_job(), "2026-06-01"))
    assert book.sheetnames == ["Parts", "Cuts", "Bends", "Stops", "Materials"]
    assert [cell.value for cell in book["Bends"][1]][:6] == ["part", "do", "bend", "hold", "mark (mm)", "stop (mm)"]


def test_cells_hold_the_numbers_of_the_job() -> None:
    job = make_job()
    book = read(workbook(job, "2026-06-01"))
    head = [cell.value for cell in book["Bends"][1]]
    first = dict(zip(head, (cell.value for cell in book["Bends"][2]), strict=True))
    row = job.parts[0].card.in_order[0]  # type: ignore[union-attr]
    assert first["mark (mm)"] == pytest.approx(row.mark, abs=0.0051)
    assert first["set angle (deg)"] == pytest.approx(92.89)  # (90 + 1.5) / 0.985, closed form
    parts = [[cell.value for cell in r] for r in book["Parts"].iter_rows(min_row=2)]
    assert [p[0] for p in parts] == [p.id for p in job.parts]
    assert [p[6] for p in parts] == [p.quantity * job.units for p in job.parts]


def test_a_shop_that_reads_inches_and_pounds_gets_them_with_their_names_in_the_headings() -> None:
    # closed form: 1 in = 25.4 mm, 1 lb = 0.45359237 kg
    job = make_job()
    shop = replace(job, workshop=replace(job.workshop, show_length="in", show_mass="lb"))
    parts, cuts, bends, _, materials = tables(shop)
    row = dict(zip((heading for heading, _ in parts.columns), parts.rows[0], strict=True))
    assert row["cut length (in)"] == pytest.approx(job.parts[0].cut_length / 25.4, abs=0.00051)  # type: ignore[operator]
    assert row["mass each (lb)"] == pytest.approx(job.parts[0].mass_kg / 0.45359237, abs=0.00051)  # type: ignore[operator]
    bar = dict(zip((heading for heading, _ in cuts.columns), cuts.rows[0], strict=True))
    assert (bar["bar length (in)"], bar["at (in)"]) == (236.22, 0.197)
    headings = [heading for table in (parts, cuts, bends, materials) for heading, _ in table.columns]
    assert not any("(mm)" in heading or "(kg)" in heading for heading in headings)


def test_a_bar_to_buy_and_plate_by_mass_are_said_in_the_units_of_the_shop() -> None:
    job = make_job()
    lines = (
        MaterialLine(item="tube 26.9x2.3, 6096 mm", quantity=3, unit="bar", mass_kg=None, price=None, supplier="",
                     kind="bar", length=6096.0),
        MaterialLine(item="plate 5", quantity=4.5359237, unit="kg", mass_kg=4.5359237, price=1.0, supplier=""),
    )  # fmt: skip
    for length, mass, wanted in (
        ("mm", "kg", [("tube 26.9x2.3, 6096 mm", 3.0, "bar"), ("plate 5", 4.536, "kg")]),
        ("in", "lb", [("tube 26.9x2.3, 240 in", 3.0, "bar"), ("plate 5", 10.0, "lb")]),
    ):
        shop = replace(job, materials=lines, workshop=replace(job.workshop, show_length=length, show_mass=mass))  # type: ignore[arg-type]
        rows = tables(shop)[4].rows
        assert [(row[0], row[3], row[4]) for row in rows] == wanted


def test_every_piece_of_every_bar_is_in_the_cuts() -> None:
    job = make_job()
    (cuts,) = (table for table in tables(job) if table.name == "Cuts")
    heads = [heading for heading, _ in cuts.columns]
    rows = [dict(zip(heads, row, strict=True)) for row in cuts.rows]
    for part in job.parts:
        if part.section is not None:
            made = sum(int(r["bars"]) for r in rows if r["part"] == part.id)  # type: ignore[arg-type]
            assert made == part.quantity * job.units
    assert [r["test piece for die"] for r in rows if r["part"] is None] == ["77"]


def test_a_name_is_never_taken_for_a_formula() -> None:
    job = make_job()
    evil = replace(job, parts=(replace(job.parts[0], title="=2+3"), *job.parts[1:]))
    cell = read(workbook(evil, "2026-06-01"))["Parts"]["B2"]
    assert (cell.value, cell.data_type) == ("=2+3", "s")
    rows = list(csv.reader(io.StringIO(csv_files(evil)["parts.csv"].decode("utf-8-sig"))))
    assert rows[1][1] == "'=2+3"


def test_csv_files_read_back() -> None:
    files = csv_files(make_job())
    assert sorted(files) == ["bends.csv", "cuts.csv", "materials.csv", "parts.csv"]
    for content in files.values():
        rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))
        assert len(rows) > 1
        assert len({len(row) for row in rows}) == 1


def test_same_job_and_date_give_the_same_bytes_in_every_process() -> None:
    code = (
        "import sys, hashlib; sys.path.insert(0, 'tests'); from factories import make_job\n"
        "from handbarrow.sheets.tables import workbook\n"
        "print(hashlib.sha256(workbook(make_job(), '2026-06-01')).hexdigest())"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("0", "99")
    }  # fmt: skip
    assert len(seen) == 1
    assert workbook(make_job(), "2026-06-01") != workbook(make_job(), "2026-06-02")
