"""The sheets that are lists: parts, straight pieces, stops, cutting, materials, rack, findings."""

from __future__ import annotations

from collections.abc import Sequence

from handbarrow.drawings.drilled import is_drilled_bar
from handbarrow.drawings.model import Drawing
from handbarrow.findings import Severity
from handbarrow.job.values import CutBar, CuttingBound, EndCut, Job, JobPart, MaterialLine, SquareCut
from handbarrow.language import spoken
from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.units.shown import Shown, short_text
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks
from handbarrow.sheets.drilling import counted_openings
from handbarrow.sheets.patterns import patterns
from handbarrow.sheets.shown import (
    bought_words,
    degrees,
    end_words,
    fixed,
    head,
    holes_words,
    item_words,
    named,
    soft,
    title_of,
)
from handbarrow.sheets.signs import sawing_caution
from handbarrow.sheets.words import COUNTED, SEVERITY, TOUCHES, WORDS

__all__ = ["cutting", "findings", "hacksaw", "materials", "parts", "stops", "straights"]

MOST_TICKS = 28
"""Bars of one kind that get a box to tick each; more are counted in writing."""


# ------------------------------------------------------------------------------------------------ parts
def parts(job: Job) -> list[Block]:
    """Return the parts list and the masses."""
    columns = [
        (WORDS["number"], 0, "r"),
        (WORDS["part"], 3, "l"),
        (WORDS["assembly"], 1.4, "l"),
        (WORDS["stock"], 2.4, "l"),
        (head("length", job.workshop.show_length), 1.2, "r"),
        (WORDS["mass_each"].format(unit=job.workshop.show_mass), 0.9, "r"),
        (WORDS["per_unit"], 0, "r"),
        (WORDS["in_batch"], 0, "r"),
    ]
    rows = [_part_cells(job, number, part) for number, part in enumerate(job.parts, start=1)]
    out = [section(WORDS["parts"], table(columns, rows), lead=WORDS["parts_lead"])]
    if job.masses:
        out.append(_masses(job))
    return out


def _part_cells(job: Job, number: int, part: JobPart) -> list[Cell]:
    count, shown = part.quantity * part.items, job.workshop.shown
    return [
        str(number),
        named(part),
        soft(part.assembly, 9),
        soft(part.stock),
        "" if part.cut_length is None else shown.column(part.cut_length),
        WORDS["not_known"] if part.mass_kg is None else shown.mass_column(part.mass_kg, 0.001),
        str(count),
        strong(str(count * job.units)),
    ]


def _masses(job: Job) -> Block:
    shown = job.workshop.shown
    columns = [
        (WORDS["assembly"], 1, "l"),
        (head("mass", shown.mass_unit), 0.6, "r"),
        (WORDS["centre"].format(unit=shown.length_unit), 2, "r"),
    ]
    rows: list[list[Cell]] = [
        [
            WORDS["whole"] if line.name == "whole" else soft(line.name),
            shown.mass_column(line.mass_kg),
            _point(line.centre, shown),
        ]
        for line in job.masses
    ]
    missing = dict.fromkeys(title_of(job, part) for line in job.masses for part in line.missing)
    unplaced = dict.fromkeys(title_of(job, part) for line in job.masses for part in line.unplaced)
    lacking = (("mass_missing", missing), ("mass_unplaced", unplaced))
    remarks = [WORDS[key].format(parts=", ".join(names)) for key, names in lacking if names]
    return section(WORDS["masses"], table(columns, rows), level=2, remarks=remarks)


def _point(centre: Vec3 | None, shown: Shown) -> str:
    return WORDS["not_known"] if centre is None else ",  ".join(shown.column(v, "coarse") for v in centre)


# ------------------------------------------------------------------------------------------------ straight pieces
def straights(job: Job) -> list[Block]:
    """Return straight tubes and bars, and plates."""
    runs = [part for part in job.parts if part.section is not None and (part.card is None or not part.card.rows)]
    plates = [part for part in job.parts if part.kind == "plate"]
    unit = job.workshop.show_length
    out = []
    if runs:
        columns = [
            (WORDS["part"], 1.7, "l"),
            (head("length", unit), 0.85, "r"),
            (WORDS["in_batch"], 0, "r"),
            (WORDS["start_cut"], 1.8, "l"),
            (WORDS["end_cut"], 1.8, "l"),
            (head("holes", unit), 1.9, "l"),
            (WORDS["done"], 0, "c"),
        ]
        content = table(columns, [_straight_cells(job, part) for part in runs])
        out.append(section(WORDS["straight"], content, remarks=[sawing_caution()]))
    if plates:
        columns = [
            (WORDS["part"], 2, "l"),
            (WORDS["stock"], 1, "l"),
            (head("plate_size", unit), 1.2, "r"),
            (WORDS["in_batch"], 0, "r"),
            (head("plate_holes", unit), 2, "l"),
            (WORDS["done"], 0, "c"),
        ]
        content = table(columns, [_plate_cells(job, part) for part in plates])
        out.append(section(WORDS["plates"], content, level=2 if runs else 1))
    return out


def _straight_count(job: Job, part: JobPart) -> Cell:
    count = str(part.quantity * job.units)
    if not (part.mirrored and part.other_hand):
        return count
    return {"plain": count, "sub": WORDS["of_them_mirrored"].format(mirrored=part.mirrored * job.units)}


def _straight_holes(part: JobPart, shown: Shown) -> Cell:
    """Holes of a straight piece, or which sheet draws them.

    Those of the other hand lie as in a mirror across the crown line, or end for end.
    """
    drawn = is_drilled_bar(part)
    holes = soft(counted_openings(part.holes, shown) if drawn else holes_words(part.holes, shown))
    if not (part.holes and part.mirrored and part.other_hand):
        return {"plain": holes, "sub": WORDS["see_drilling"]} if drawn else holes
    is_angle = part.section is not None and part.section.shape == "angle"
    return {"plain": holes, "sub": WORDS["holes_mirrored_angle" if is_angle else "holes_mirrored"]}


def _straight_cells(job: Job, part: JobPart) -> list[Cell]:
    shown = job.workshop.shown
    ends = [end_words(job, part, end).partition(": ")[2] for end in ("start", "end")]
    return [
        {"plain": named(part), "sub": soft(part.stock)},
        "" if part.cut_length is None else strong(shown.column(part.cut_length), shown.tape(part.cut_length)),
        _straight_count(job, part),
        *(soft(end) for end in ends),
        _straight_holes(part, shown),
        ticks(),
    ]


def _plate_cells(job: Job, part: JobPart) -> list[Cell]:
    xs = [x for x, _ in part.outline] or [0.0]
    ys = [y for _, y in part.outline] or [0.0]
    shown = job.workshop.shown
    size = f"{shown.length(max(xs) - min(xs))} × {shown.length(max(ys) - min(ys))}"
    if part.corner_radius > 0:
        size = f"{size}, R {shown.length(part.corner_radius)}"
    return [
        named(part),
        soft(part.stock),
        size,
        str(part.quantity * job.units),
        soft(counted_openings(part.holes, shown)),
        ticks(),
    ]


# ------------------------------------------------------------------------------------------------ stops, hacksaw
def stops(job: Job) -> list[Block]:
    """Return the stop settings of the batch."""
    if not job.stops:
        return []
    shown = job.workshop.shown
    columns = [
        (WORDS["die"], 1, "l"),
        (head("stop_setting", shown.length_unit), 1, "r"),
        (WORDS["stop_touches"], 1, "l"),
        (WORDS["stop_bends"], 4, "l"),
        (WORDS["done"], 0, "c"),
    ]
    rows: list[list[Cell]] = [
        [
            soft(stop.die, 10),
            strong(shown.column(stop.value), shown.tape(stop.value)),
            TOUCHES[stop.touches],
            soft(
                "; ".join(
                    WORDS["stop_use"].format(part=title_of(job, part), bend=bend, pieces=count)
                    for part, bend, count in stop.uses
                )
            ),
            ticks(),
        ]
        for stop in job.stops
    ]
    return [section(WORDS["stops"], table(columns, rows), lead=WORDS["stops_lead"])]


def hacksaw(job: Job) -> list[Block]:
    """Return straight cuts that stand in for curves, for a shop that has nothing but a hacksaw."""
    if not job.workshop.saw.only_hacksaw:
        return []
    shown = job.workshop.shown
    rows = [row for part in job.parts for end in ("start", "end") for row in _hacksaw_rows(part, end, shown)]
    if not rows:
        return []
    unit = shown.length_unit
    columns = [
        (WORDS["part"], 2.4, "l"),
        (WORDS["end"], 0, "l"),
        (WORDS["cuts"], 0, "c"),
        (head("cut_where", unit), 1.4, "r"),
        (WORDS["cut_angle"], 1, "r"),
        (head("cut_at", unit), 1.2, "r"),
        (head("cut_gap", unit), 1, "r"),
        (head("cut_file", unit), 1, "r"),
    ]
    return [section(WORDS["hacksaw"], table(columns, rows), lead=WORDS["hacksaw_lead"], remarks=[sawing_caution()])]


def _hacksaw_rows(part: JobPart, end: str, shown: Shown) -> list[list[Cell]]:
    cut: EndCut | None = part.start if end == "start" else part.end
    if cut is None or part.section is None:
        return []
    radius = part.section.outside / 2 if part.section.is_round else None
    out: list[list[Cell]] = []
    for way in cut.square_cuts:
        for number, one in enumerate(way, start=1):
            count = "1" if len(way) == 1 else WORDS["cut_of"].format(number=number, count=len(way))
            out.append([named(part), WORDS[f"end_{end}"], count, *_cut_cells(one, radius, shown)])
    return out


def _cut_cells(cut: SquareCut, radius: float | None, shown: Shown) -> list[Cell]:
    turned = f"{degrees(cut.direction_rad)}°"
    where = turned if radius is None else f"{shown.column(cut.direction_rad * radius)} ({turned})"
    sizes = (cut.at, cut.greatest_gap, cut.filing_depth)
    return [where, f"{degrees(cut.angle_rad)}°", *(shown.column(size) for size in sizes)]


# ------------------------------------------------------------------------------------------------ cutting
def cutting(job: Job, drawings: Sequence[Drawing]) -> list[Block]:
    """Return the cutting plan: for each stock its bars to scale, drawn in the order of `patterns`."""
    plan, bars = job.cutting, patterns(job)
    if not plan.bars:
        return []
    shown = job.workshop.shown
    trim = WORDS["cutting_trim"].format(trim=shown.length(plan.trim, "fine")) if plan.trim > 0 else ""
    lead = WORDS["cutting_lead"].format(unit=spoken(shown.length_name), kerf=shown.length(plan.kerf, "fine"), trim=trim)
    out = [section(WORDS["cutting"], lead=lead, remarks=[sawing_caution()])]
    bounds = {bound.stock: bound for bound in plan.bounds}
    for stock in dict.fromkeys(bar.stock for bar in bars):
        blocks = [
            _bar_block(number, bar, drawing, shown)
            for number, (bar, drawing) in enumerate(zip(bars, drawings, strict=True), start=1)
            if bar.stock == stock
        ]
        said = _bound_words(bounds[stock]) if stock in bounds else ""
        out.append(section(stock, level=2, lead=said, bars=blocks))
    return out


def _bar_block(number: int, bar: CutBar, drawing: Drawing, shown: Shown) -> Block:
    """Which bar, how many times, boxes to tick, what is left; then the bar itself."""
    kind = "bar_rack" if bar.source == "rack" else "bar_count"
    return {
        "name": WORDS["bar"].format(number=number),
        "count": WORDS[kind].format(count=bar.count, length=shown.length(bar.length, with_unit=True)),
        "left": WORDS["bar_left"].format(left=shown.length(bar.left)) if bar.left > 0 else "",
        "drawing": picture(drawing),
        "ticks": bar.count if bar.count <= MOST_TICKS else 0,
    }


def _bound_words(bound: CuttingBound) -> str:
    values = {
        "used": f"{fixed(bound.cost, 2)} {bound.unit}",
        "bars": bound.used,
        "gap": short_text(100 * bound.gap, 0.01),
    }
    kind = "bound_bars" if bound.unit == "bars" else "bound"
    return WORDS[f"{kind}_proven" if bound.proven else f"{kind}_gap"].format(**values)


# ------------------------------------------------------------------------------------------------ materials
def materials(job: Job) -> list[Block]:
    """Return what to buy with its price, and the rack after the batch."""
    shown = job.workshop.shown
    columns = [
        (WORDS["item"], 3, "l"),
        (WORDS["standard"], 1, "l"),
        (WORDS["quantity"], 0.8, "r"),
        (WORDS["unit"], 0.7, "l"),
        (head("mass", shown.mass_unit), 0.8, "r"),
        (WORDS["supplier"], 1.6, "l"),
        (head("price", job.workshop.currency), 1.1, "r"),
    ]
    rows = [_material_cells(line, shown) for line in job.materials if line.kind != "consumable"]
    used_up = [line for line in job.materials if line.kind == "consumable"]
    if used_up:
        priced = [line.price for line in used_up if line.price is not None]
        rows.append([WORDS["used_up_sum"], "", "", "", "", "", fixed(sum(priced), 2)])
    known = [line.price for line in job.materials if line.price is not None]
    missing = len(job.materials) - len(known)
    if known:
        rows.append([WORDS["price_sum"], "", "", "", "", "", strong(fixed(sum(known), 2))])
    remarks = [WORDS["price_missing"].format(count=missing)] if missing else []
    return [section(WORDS["materials"], table(columns, rows), remarks=remarks), *_used_up(used_up), _rack(job)]


def _used_up(lines: Sequence[MaterialLine]) -> list[Block]:
    """What the batch uses up, each line with how it was reckoned."""
    if not lines:
        return []
    columns = [
        (WORDS["item"], 1.4, "l"),
        (WORDS["needed"], 0.75, "r"),
        (WORDS["to_buy"], 0.75, "r"),
        (WORDS["unit"], 0.6, "l"),
        (WORDS["how_reckoned"], 2.8, "l"),
        (WORDS["supplier"], 1, "l"),
        (WORDS["price"], 0.6, "r"),
    ]
    rows: list[list[Cell]] = [
        [
            soft(line.item),
            short_text(line.needed or 0.0, 0.1 if (line.needed or 0.0) >= 1 else 0.001),
            strong(short_text(line.quantity, 0.01)),
            COUNTED.get(line.unit, line.unit),
            spoken(line.rule),
            soft(line.supplier, 11),
            WORDS["not_known"] if line.price is None else fixed(line.price, 2),
        ]
        for line in lines
    ]
    return [section(WORDS["used_up"], table(columns, rows), level=2, lead=WORDS["used_up_lead"])]


def _material_cells(line: MaterialLine, shown: Shown) -> list[Cell]:
    quantity, unit = bought_words(line, shown)
    return [
        soft(item_words(line, shown)),
        soft(line.standard, 8),
        strong(short_text(quantity, 0.01)),
        COUNTED.get(unit, unit),
        "" if line.mass_kg is None else shown.mass_column(line.mass_kg),
        soft(line.supplier, 11),
        WORDS["not_known"] if line.price is None else fixed(line.price, 2),
    ]


def _rack(job: Job) -> Block:
    lines, shown = job.cutting.rack_after, job.workshop.shown
    if not lines:
        return section(WORDS["rack"], level=2, lead=WORDS["rack_none"])
    columns = [
        (WORDS["item"], 3, "l"),
        (head("length_plain", shown.length_unit), 1, "r"),
        (WORDS["how_many"], 1, "r"),
    ]
    rows: list[list[Cell]] = [[soft(line.stock), strong(shown.column(line.length)), str(line.count)] for line in lines]
    return section(WORDS["rack"], table(columns, rows), level=2)


# ------------------------------------------------------------------------------------------------ findings
def findings(job: Job) -> list[Block]:
    """Return the findings, the heavy ones first; without any, the cover says what was not checked."""
    if not job.findings:
        return []
    columns = [
        ("", 0, "l"),
        (WORDS["finding_where"], 1.6, "l"),
        (WORDS["finding_wrong"], 2, "l"),
        (WORDS["finding_expected"], 2, "l"),
        (WORDS["finding_fix"], 2, "l"),
    ]
    weights = list(Severity)
    listed = sorted(job.findings, key=lambda finding: weights.index(finding.severity))
    rows: list[list[Cell]] = [
        [
            strong(SEVERITY[finding.severity]),
            *(soft(text, 14) for text in (finding.where, finding.wrong, finding.expected, finding.fix)),
        ]
        for finding in listed
    ]
    return [section(WORDS["findings"], table(columns, rows))]
