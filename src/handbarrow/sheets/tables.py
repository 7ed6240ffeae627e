"""Tables of the job for spreadsheets: one XLSX workbook and CSV files. The same job and date give the same bytes."""

from __future__ import annotations

import csv
import datetime
import io
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from handbarrow.job.values import Job, JobPart, MaterialLine
from handbarrow.language import said, say, spoken
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
    import xlsxwriter

    book = xlsxwriter.Workbook(memory, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    book.set_properties(
        {
            "title": job.design.name,
            "comments": say(
                "Revision {revision}, digest {design} / {shop}",
                revision=job.design.revision,
                design=job.design.digest,
                shop=job.workshop.digest,
            ),
            "created": datetime.datetime.fromisoformat(date),
        }
    )
    head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
    for table in tables(job):
        sheet = book.add_worksheet(spoken(table.name)[:31])
        sheet.freeze_panes(1, 0)
        sheet.repeat_rows(0)
        sheet.set_landscape()
        sheet.set_paper(PAPER[job.workshop.paper])
        sheet.fit_to_pages(1, 0)
        footer = say(
            "{name}, revision {revision}, {digest}",
            name=job.design.name,
            revision=job.design.revision,
            digest=job.design.digest[:8],
        ).replace("&", "&&")
        sheet.set_footer(f"&L{footer}&R&P / &N")
        for column, (heading, width) in enumerate(table.columns):
            sheet.set_column(column, column, width)
            sheet.write_string(0, column, spoken(heading), head)
        for number, row in enumerate(table.rows, start=1):
            for column, value in enumerate(row):
                if isinstance(value, str):
                    sheet.write_string(number, column, spoken(value))
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
CODES: Mapping[str, str] = {
    word: word
    for word in (
        said("tube"), said("bar"), said("plate"), said("bought"), said("square"), said("plane"), said("cope"),
        said("double"), said("shop"), said("rack"), said("start"), said("end"), said("piece"), said("consumable"),
        said("leg"), said("none"),
    )
}  # fmt: skip
"""Words of the job data that stand in columns: as they are for programs (CSV), said in the workbook."""


def coded(word: str) -> str:
    """Return a word of the job data so that it can be said in another language."""
    return CODES.get(word, word)


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
        (said("part"), 22),
        (said("name"), 28),
        (said("kind"), 9),
        (said("assembly"), 14),
        (said("from"), 22),
        (said("a unit"), 8),
        (said("batch"), 8),
        (said("mirrored in batch"), 10),
        (said("cut length ({unit})", unit=length), 12),
        (said("developed length ({unit})", unit=length), 12),
        (said("mass each ({unit})", unit=mass), 11),
        (said("start cut"), 10),
        (said("end cut"), 10),
        (said("note"), 30),
    )
    return Table(name=said("Parts"), columns=columns, rows=tuple(_part_row(job, part) for part in job.parts))


def _part_row(job: Job, part: JobPart) -> tuple[Value, ...]:
    count, shown = part.quantity * part.items, job.workshop.shown
    return (
        part.id,
        part.title,
        coded(part.kind),
        part.assembly,
        part.stock,
        count,
        count * job.units,
        part.mirrored * part.items * job.units,
        _opt(shown.number, part.cut_length),
        _opt(shown.number, part.developed_length),
        _opt(shown.mass_number, part.mass_kg),
        coded(part.start.kind) if part.start else None,
        coded(part.end.kind) if part.end else None,
        part.note or None,
    )


def _cuts(job: Job) -> Table:
    say, unit = job.workshop.shown.number, job.workshop.show_length
    columns = (
        (said("stock"), 22),
        (said("pattern"), 8),
        (said("bars"), 7),
        (said("source"), 9),
        (said("bar length ({unit})", unit=unit), 12),
        (said("cut"), 6),
        (said("part"), 22),
        (said("test piece for die"), 16),
        (said("at ({unit})", unit=unit), 11),
        (said("length ({unit})", unit=unit), 11),
        (said("left over ({unit})", unit=unit), 11),
    )
    rows: list[tuple[Value, ...]] = []
    for number, bar in enumerate(patterns(job), start=1):
        for cut, piece in enumerate(bar.pieces, start=1):
            left = say(bar.left) if cut == len(bar.pieces) else None
            place = (bar.stock, number, bar.count, coded(bar.source), say(bar.length), cut)
            rows.append(
                (*place, piece.part or None, piece.die or None, say(piece.at), say(piece.length), left),
            )
    return Table(name=said("Cuts"), columns=columns, rows=tuple(rows))


def _bends(job: Job) -> Table:
    say, unit = job.workshop.shown.number, job.workshop.show_length
    columns = (
        (said("part"), 22),
        (said("do"), 5),
        (said("bend"), 6),
        (said("hold"), 8),
        (said("mark ({unit})", unit=unit), 11),
        (said("stop ({unit})", unit=unit), 11),
        (said("stop touches"), 9),
        (said("die"), 14),
        (said("turn in bender (deg)"), 11),
        (said("turn along tube (deg)"), 11),
        (said("set angle (deg)"), 10),
        (said("finished angle (deg)"), 10),
        (said("radius ({unit})", unit=unit), 10),
        (said("uses ({unit})", unit=unit), 10),
        (said("test bends behind it"), 10),
        (said("batch"), 8),
    )
    rows: list[tuple[Value, ...]] = []
    for part in job.parts:
        for row in part.card.in_order if part.card else ():
            stop = _opt(say, row.stop)
            place = (
                part.id,
                row.order,
                row.number,
                coded(row.feed),
                say(row.mark),
                stop,
                coded(row.stop_touches),
                row.die,
            )
            turns = (_deg(row.bender_turn_rad), _deg(row.turn_rad), _deg(row.set_angle_rad), _deg(row.angle_rad))
            sizes = (say(row.radius), say(row.uses), row.law.test_bends, part.quantity * job.units)
            rows.append((*place, *turns, *sizes))
    return Table(name=said("Bends"), columns=columns, rows=tuple(rows))


def _stops(job: Job) -> Table:
    say, unit = job.workshop.shown.number, job.workshop.show_length
    columns = (
        (said("die"), 14),
        (said("stop ({unit})", unit=unit), 11),
        (said("touches"), 9),
        (said("part"), 22),
        (said("bend"), 6),
        (said("pieces"), 8),
    )
    rows = tuple(
        (stop.die, say(stop.value), coded(stop.touches), part, bend, pieces)
        for stop in job.stops
        for part, bend, pieces in stop.uses
    )
    return Table(name=said("Stops"), columns=columns, rows=rows)


def _materials(job: Job) -> Table:
    columns = (
        (said("item"), 34),
        (said("kind"), 9),
        (said("standard"), 12),
        (said("quantity"), 10),
        (said("unit"), 8),
        (said("mass ({unit})", unit=job.workshop.show_mass), 10),
        (said("supplier"), 22),
        (said("price ({unit})", unit=job.workshop.currency), 11),
        (said("needed"), 9),
        (said("how it was reckoned"), 40),
    )
    return Table(
        name=said("Materials"), columns=columns, rows=tuple(_material_row(job, line) for line in job.materials)
    )


def _material_row(job: Job, line: MaterialLine) -> tuple[Value, ...]:
    shown = job.workshop.shown
    quantity, unit = bought_words(line, shown)
    return (
        item_words(line, shown),
        coded(line.kind),
        line.standard or None,
        rounded(quantity, 0.001),
        coded(unit),
        _opt(shown.mass_number, line.mass_kg),
        line.supplier or None,
        _opt(_money, line.price),
        _opt(lambda needed: rounded(needed, 0.001), line.needed),
        line.rule or None,
    )
