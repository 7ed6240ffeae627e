"""The sheets of the shears and of the folder: how sheets are cut, in which order parts are folded, what to check."""

from __future__ import annotations

import math
from collections.abc import Iterator

from handbarrow.drawings.fold_sketch import fold_sketch
from handbarrow.drawings.sheet_layout import sheet_layout, useful_cuts
from handbarrow.job.sheet_values import CutSheet, SheetFold, SheetJob
from handbarrow.job.values import CuttingBound, Job, JobPart
from handbarrow.laws.units.shown import Shown, short_text
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks, tight, unbroken
from handbarrow.sheets.shown import fixed, pieces, soft
from handbarrow.sheets.signs import sawing_caution, with_signs
from handbarrow.sheets.words_sheetmetal import SHEETMETAL

__all__ = ["folder_pages", "shears_pages", "sheet_parts"]

LAYOUT_DOWN, SKETCH_DOWN = 118.0, 88.0
"""Room for the picture of a sheet, and of a blank [mm]."""
MOST_TICKS = 24


def sheet_parts(job: Job) -> tuple[JobPart, ...]:
    """Return the parts of sheet."""
    return tuple(part for part in job.parts if part.sheet is not None)


# ------------------------------------------------------------------------------------------------ shears
def shears_pages(job: Job, across: float) -> list[Block]:
    """Return how sheets are cut; nothing without any.

    Args:
        job: The job.
        across: Room across a sheet of paper [mm].
    """
    if not job.cutting.sheets:
        return []
    shown, work = job.workshop.shown, job.workshop.sheet_work
    lead = SHEETMETAL["shears_lead"]
    if work.cut_by != "shears":
        lead = SHEETMETAL["disc_lead"].format(kerf=shown.length(work.kerf, "fine"))
    caution = with_signs(SHEETMETAL["caution_shears"], "gloves", "crush")
    remarks: list[Cell] = [caution] if work.cut_by == "shears" else [caution, sawing_caution()]
    out = [section(SHEETMETAL["shears"], lead=lead, remarks=remarks, code="+shears")]
    bounds = {bound.stock: bound for bound in job.cutting.bounds}
    for stock in dict.fromkeys(sheet.stock for sheet in job.cutting.sheets):
        said = _bound(bounds[stock]) if stock in bounds else ""
        out.append(section(stock, level=2, lead=said))
        for number, sheet in enumerate((s for s in job.cutting.sheets if s.stock == stock), start=1):
            out.append(section("", level=2, bars=[_layout(job, sheet, number, across)]))
            out.append(section("", tight(_cuts(sheet, shown)), level=2))
    return out


def _bound(bound: CuttingBound) -> str:
    used = f"{fixed(bound.cost, 2)} {bound.unit}"
    if bound.unit == "sheets":
        used = SHEETMETAL["sheets"].format(count=bound.used)
    if bound.proven:
        return SHEETMETAL["proven"].format(used=used)
    return SHEETMETAL["gap"].format(used=used, gap=short_text(100 * bound.gap, 0.1))


def _layout(job: Job, sheet: CutSheet, number: int, across: float) -> Block:
    shown = job.workshop.shown
    return {
        "name": SHEETMETAL["sheet"].format(number=number),
        "count": SHEETMETAL["count"].format(
            count=sheet.count, length=shown.length(sheet.length), width=shown.length(sheet.width)
        ),
        "left": SHEETMETAL["used"].format(share=round(100 * sheet.used)),
        "drawing": picture(sheet_layout(job, sheet, (across, LAYOUT_DOWN))),
        "ticks": sheet.count if sheet.count <= MOST_TICKS else 0,
    }


def _cuts(sheet: CutSheet, shown: Shown) -> Block:
    """Cuts in their order, three beside each other in a row of the table."""
    cells = []
    for number, (x0, y0, _, y1) in enumerate(useful_cuts(sheet), start=1):
        level = abs(y1 - y0) < 0.1
        cells.append((str(number), SHEETMETAL["along" if level else "across"], shown.column(y0 if level else x0)))
    third = math.ceil(len(cells) / 3)
    at = SHEETMETAL["at"].format(unit=shown.length_unit)
    one = [(SHEETMETAL["cut"], 0, "r"), (SHEETMETAL["way"], 0.6, "l"), (at, 1.2, "r")]
    rows: list[list[Cell]] = []
    for first in range(third):
        row: list[Cell] = []
        for k in (first, first + third, first + 2 * third):
            found = cells[k] if k < len(cells) else ("", "", "")
            row += [found[0], found[1], strong(found[2]) if found[2] else ""]
        rows.append(row)
    return table([*one, *one, *one], rows)


# ------------------------------------------------------------------------------------------------ folder
def folder_pages(job: Job, across: float) -> list[Block]:
    """Return how parts are folded and rolled; nothing without any.

    Args:
        job: The job, or the chosen parts of it.
        across: Room across a sheet of paper [mm].
    """
    found = [(p, p.sheet) for p in sheet_parts(job) if p.sheet is not None and (p.sheet.folds or p.sheet.rolled)]
    if not found:
        return []
    remarks: list[Cell] = [with_signs(SHEETMETAL["caution_folder"], "gloves", "crush")]
    if any(sheet.rule == "DIN 6935" and sheet.folds for _, sheet in found):
        remarks.append(SHEETMETAL["guess"])
    out = [section(SHEETMETAL["folder"], lead=SHEETMETAL["folder_lead"], remarks=remarks, code="+folder")]
    for part, sheet in found:
        out += _part(job, part, sheet, across)
    return out


def _part(job: Job, part: JobPart, sheet: SheetJob, across: float) -> Iterator[Block]:
    shown = job.workshop.shown
    count = part.quantity * job.units
    size = SHEETMETAL["blank"].format(length=shown.length(sheet.length), width=shown.length(sheet.width))
    bar: Block = {
        "name": size,
        "count": pieces(job, part),
        "left": "",
        "drawing": picture(fold_sketch(job, part.id, (across, SKETCH_DOWN))),
        "ticks": count if count <= MOST_TICKS else 0,
    }
    yield {**section(f"{soft(part.title)}, {soft(part.stock)}", level=2, bars=[bar]), "part": part.id}
    if sheet.folds:
        yield {**section("", tight(unbroken(_folds(job, sheet))), level=2), "part": part.id}
    if sheet.rolled is not None:
        rows: list[list[Cell]] = [[key, strong(value)] for key, value in _rolled(sheet, shown)]
        facts: Block = tight(unbroken(table([(SHEETMETAL["rolled"], 1.6, "l"), ("", 1, "l")], rows)))
        yield {**section("", facts, level=2), "part": part.id}


def _folds(job: Job, sheet: SheetJob) -> Block:
    unit = job.workshop.show_length
    guess = "*" if sheet.rule == "DIN 6935" else ""
    columns = [
        (SHEETMETAL["order"], 0, "r"),
        (SHEETMETAL["fold"], 0, "c"),
        (SHEETMETAL["face_up"], 0.6, "l"),
        (SHEETMETAL["angle"], 0.6, "r"),
        (f"{SHEETMETAL['radius']} {unit}", 0.6, "r"),
        (f"{SHEETMETAL['uses']}{guess} {unit}", 0.6, "r"),
        (f"{SHEETMETAL['check']} {unit}", 0.8, "r"),
        ("", 1.5, "l"),
        (SHEETMETAL["done"], 0, "c"),
    ]
    ordered = sorted(sheet.folds, key=lambda fold: (fold.order == 0, fold.order, fold.number))
    return table(columns, [_fold(job, fold) for fold in ordered])


def _fold(job: Job, fold: SheetFold) -> list[Cell]:
    shown = job.workshop.shown
    remark = ""
    if fold.hem == "closed":
        remark = SHEETMETAL["hem_closed"]
    elif fold.hem:
        remark = SHEETMETAL["hem_open"].format(gap=shown.length(2 * fold.radius))
    return [
        str(fold.order) if fold.order else SHEETMETAL["by_hand"],
        strong(str(fold.number)),
        SHEETMETAL["down" if fold.way == "down" else "up"],
        f"{round(math.degrees(fold.angle_rad), 1):g}°",
        shown.column(fold.radius, "fine"),
        shown.column(fold.uses, "fine"),
        strong(shown.column(fold.height)),
        remark,
        ticks(),
    ]


def _rolled(sheet: SheetJob, shown: Shown) -> Iterator[tuple[str, str]]:
    rolled = sheet.rolled
    if rolled is not None:
        yield SHEETMETAL["roll_to"], shown.length(rolled.inside_radius)
        yield SHEETMETAL["roll_chord"], shown.length(rolled.chord)
        yield SHEETMETAL["roll_rise"], shown.length(rolled.rise)
        yield SHEETMETAL["roll_tape"], shown.length(rolled.outside_arc)
