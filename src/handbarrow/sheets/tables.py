"""Tables of the job for spreadsheets: one XLSX workbook and CSV files. The same job and date give the same bytes."""

from __future__ import annotations

import csv
import datetime
import io
import math
from collections.abc import Callable
from dataclasses import dataclass

import xlsxwriter

from handbarrow.job.values import Job, JobPart, MaterialLine
from handbarrow.laws.units.shown import rounded
from handbarrow.sheets.patterns import patterns
from handbarrow.sheets.shown import bought_words, item_words

__all__ = ["Table", "csv_files", "tables", "workbook"]

Value = str | float | int | None

PAPER = {"Letter": 1, "A3": 8, "A4": 9}
"""Numbers of paper sizes in workbooks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table: columns as (heading with its unit, width in letters), rows of values; None is an empty cell."""

    name: str
    columns: tuple[tuple[str, int], ...]
    rows: tuple[tuple[Value, ...], ...]


def tables(job: Job) -> tuple[Table, ...]:
    """Return the tables Parts, Cuts, Bends, Stops and Materials."""
    return (_parts(job), _cuts(job), _bends(job), _stops(job), _materials(job))


def workbook(job: Job, date: str) -> bytes:
    """Return the XLSX workbook; `date` (YYYY-MM-DD) is the file's own."""
    memory = io.BytesIO()
    book = xlsxwriter.Workbook(memory, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    book.set_properties(
        {
            "title": job.design.name,
            "comments": f"Revision {job.design.revision}, digest {job.design.digest} / {job.workshop.digest}",
            "created": datetime.datetime.fromisoformat(date),
        }
    )
    head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
    for table in tables(job):
        sheet = book.add_worksheet(table.name)
        sheet.freeze_panes(1, 0)
        sheet.repeat_rows(0)
        sheet.set_landscape()
        sheet.set_paper(PAPER[job.workshop.paper])
        sheet.fit_to_pages(1, 0)
        footer = f"{job.design.name}, revision {job.design.revision}, {job.design.digest[:8]}".replace("&", "&&")
        sheet.set_footer(f"&L{footer}&R&P / &N")
        for column, (heading, width) in enumerate(table.columns):
            sheet.set_column(column, column, width)
            sheet.write_string(0, column, heading, head)
        for number, row in enumerate(table.rows, start=1):
            for column, value in enumerate(row):
                if isinstance(value, str):
                    sheet.write_string(number, column, value)
                elif value is not None:
                    sheet.write_number(number, column, value)
    book.close()
    return memory.getvalue()


def csv_files(job: Job) -> dict[str, bytes]:
    """Return the CSV files parts, cuts, bends and materials: name -> bytes (UTF-8 with its mark, commas)."""
    wanted = {"Parts", "Cuts", "Bends", "Materials"}
    return {f"{table.name.lower()}.csv": _csv(table) for table in tables(job) if table.name in wanted}


def _csv(table: Table) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(heading for heading, _ in table.columns)
    for row in table.rows:
        writer.writerow(_plain(value) if isinstance(value, str) else value for value in row)
    return text.getvalue().encode("utf-8-sig")


def _plain(text: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


# ------------------------------------------------------------------------------------------------ values
def _deg(value_rad: float) -> float:
    return rounded(math.degrees(value_rad), 0.01)


def _opt(say: Callable[[float], float], value: float | None) -> float | None:
    return None if value is None else say(value)


def _money(value: float) -> float:
    return rounded(value, 0.01)


# ------------------------------------------------------------------------------------------------ the tables
def _parts(job: Job) -> Table:
    length, mass = job.workshop.show_length, job.workshop.show_mass
    columns = (
        ("part", 22), ("name", 28), ("kind", 9), ("assembly", 14), ("from", 22), ("a unit", 8), ("batch", 8),
        ("mirrored in batch", 10), (f"cut length ({length})", 12), (f"developed length ({length})", 12),
        (f"mass each ({mass})", 11), ("start cut", 10), ("end cut", 10), ("note", 30),
    )  # fmt: skip
    return Table(name="Parts", columns=columns, rows=tuple(_part_row(job, part) for part in job.parts))


def _part_row(job: Job, part: JobPart) -> tuple[Value, ...]:
    count, shown = part.quantity * part.items, job.workshop.shown
    return (
        part.id,
        part.title,
        part.kind,
        part.assembly,
        part.stock,
        count,
        count * job.units,
        part.mirrored * part.items * job.units,
        _opt(shown.number, part.cut_length),
        _opt(shown.number, part.developed_length),
        _opt(shown.mass_number, part.mass_kg),
        part.start.kind if part.start else None,
        part.end.kind if part.end else None,
        part.note or None,
    )


def _cuts(job: Job) -> Table:
    say, unit = job.workshop.shown.number, job.workshop.show_length
    columns = (
        ("stock", 22), ("pattern", 8), ("bars", 7), ("source", 9), (f"bar length ({unit})", 12), ("cut", 6),
        ("part", 22), ("test piece for die", 16), (f"at ({unit})", 11), (f"length ({unit})", 11),
        (f"left over ({unit})", 11),
    )  # fmt: skip
    rows: list[tuple[Value, ...]] = []
    for number, bar in enumerate(patterns(job), start=1):
        for cut, piece in enumerate(bar.pieces, start=1):
            left = say(bar.left) if cut == len(bar.pieces) else None
            place = (bar.stock, number, bar.count, bar.source, say(bar.length), cut)
            rows.append(
                (*place, piece.part or None, piece.die or None, say(piece.at), say(piece.length), left),
            )
    return Table(name="Cuts", columns=columns, rows=tuple(rows))


def _bends(job: Job) -> Table:
    say, unit = job.workshop.shown.number, job.workshop.show_length
    columns = (
        ("part", 22), ("do", 5), ("bend", 6), ("hold", 8), (f"mark ({unit})", 11), (f"stop ({unit})", 11),
        ("stop touches", 9), ("die", 14), ("turn in bender (deg)", 11), ("turn along tube (deg)", 11),
        ("set angle (deg)", 10), ("finished angle (deg)", 10), (f"radius ({unit})", 10), (f"uses ({unit})", 10),
        ("test bends behind it", 10), ("batch", 8),
    )  # fmt: skip
    rows: list[tuple[Value, ...]] = []
    for part in job.parts:
        for row in part.card.in_order if part.card else ():
            stop = _opt(say, row.stop)
            place = (part.id, row.order, row.number, row.feed, say(row.mark), stop, row.stop_touches, row.die)
            turns = (_deg(row.bender_turn_rad), _deg(row.turn_rad), _deg(row.set_angle_rad), _deg(row.angle_rad))
            sizes = (say(row.radius), say(row.uses), row.law.test_bends, part.quantity * job.units)
            rows.append((*place, *turns, *sizes))
    return Table(name="Bends", columns=columns, rows=tuple(rows))


def _stops(job: Job) -> Table:
    say, unit = job.workshop.shown.number, job.workshop.show_length
    columns = (("die", 14), (f"stop ({unit})", 11), ("touches", 9), ("part", 22), ("bend", 6), ("pieces", 8))
    rows = tuple(
        (stop.die, say(stop.value), stop.touches, part, bend, pieces)
        for stop in job.stops
        for part, bend, pieces in stop.uses
    )
    return Table(name="Stops", columns=columns, rows=rows)


def _materials(job: Job) -> Table:
    columns = (
        ("item", 34), ("kind", 9), ("standard", 12), ("quantity", 10), ("unit", 8),
        (f"mass ({job.workshop.show_mass})", 10), ("supplier", 22), (f"price ({job.workshop.currency})", 11),
    )  # fmt: skip
    return Table(name="Materials", columns=columns, rows=tuple(_material_row(job, line) for line in job.materials))


def _material_row(job: Job, line: MaterialLine) -> tuple[Value, ...]:
    shown = job.workshop.shown
    quantity, unit = bought_words(line, shown)
    return (
        item_words(line, shown),
        line.kind,
        line.standard or None,
        rounded(quantity, 0.001),
        unit,
        _opt(shown.mass_number, line.mass_kg),
        line.supplier or None,
        _opt(_money, line.price),
    )
