"""The sheets that are lists: cover, parts, straight pieces, stops, cutting, materials, rack, findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from handbarrow.drawings.model import Drawing, rounded
from handbarrow.findings import Severity
from handbarrow.job.values import CutBar, CuttingBound, EndCut, Job, JobPart, SquareCut
from handbarrow.laws.geometry.path import Vec3
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks
from handbarrow.sheets.shown import batch, degrees, end_words, fixed, holes_words, mm, named, soft, title_of
from handbarrow.sheets.words import CAUTIONS, NOT_CHECKED, SEVERITY, TOUCHES, WORDS

__all__ = ["cover", "cover_height", "cutting", "findings", "hacksaw", "materials", "parts", "stops", "straights"]

MOST_RESULTS = 12
"""Named results on the cover; all are in the job data."""
MOST_TICKS = 24


# ------------------------------------------------------------------------------------------------ cover
def cover(job: Job, date: str) -> Block:
    """Return the cover without its view."""
    results = list(job.product.results.items())[:MOST_RESULTS]
    named_results = [(soft(name.replace("_", " ")), mm(value)) for name, value in results]
    return {
        "name": soft(job.design.name),
        "subtitle": WORDS["cover_about"].format(units=batch(job), shop=job.workshop.name),
        "about": soft(job.design.about),
        "facts": [
            (WORDS["made_on"], date),
            (WORDS["revision_fact"], job.design.revision),
            (WORDS["design_digest"], soft(job.design.digest)),
            (WORDS["shop_digest"], soft(job.workshop.digest)),
            (WORDS["mass_one"], _mass_words(job)),
            (WORDS["price_batch"], _price_words(job)),
            (WORDS["warnings"], _warning_words(job)),
        ],
        "results": named_results,
        "print": WORDS["lengths_mm"],
        "cautions": CAUTIONS,
        "not_checked_lead": WORDS["not_checked_lead"],
        "not_checked": ", ".join(NOT_CHECKED) + ".",
    }


def cover_height(block: Block) -> float:
    """Height of the cover without its view [mm], reckoned on the safe side."""
    facts = 6.0 * max(len(block["facts"]) + 1, len(block["results"]) + 1)
    about = 2 + 5 * (1 + len(block["about"]) // 95) if block["about"] else 0
    name = 11 * (len(block["name"]) // 28)
    return 22 + name + about + facts + 72


def _mass_words(job: Job) -> str:
    if not job.masses:
        return WORDS["mass_unknown"]
    whole = job.masses[-1]
    mass = rounded(whole.mass_kg)
    return WORDS["mass_partly"].format(mass=mass) if whole.missing else f"{mass} kg"


def _price_words(job: Job) -> str:
    known = [line.price for line in job.materials if line.price is not None]
    if not known:
        return WORDS["price_unknown"]
    price = f"{fixed(sum(known), 2)} {job.workshop.currency}"
    return price if len(known) == len(job.materials) else WORDS["price_partly"].format(price=price)


def _warning_words(job: Job) -> str:
    count = sum(finding.severity is not Severity.NOTE for finding in job.findings)
    return WORDS["warnings_some"].format(count=count) if count else WORDS["warnings_none"]


# ------------------------------------------------------------------------------------------------ parts
def parts(job: Job) -> list[Block]:
    """Return the parts list and the masses."""
    columns = [
        (WORDS["number"], 0, "r"),
        (WORDS["part"], 3, "l"),
        (WORDS["assembly"], 1.4, "l"),
        (WORDS["stock"], 2.4, "l"),
        (WORDS["length"], 1.2, "r"),
        (WORDS["mass_each"], 0.9, "r"),
        (WORDS["per_unit"], 0, "r"),
        (WORDS["in_batch"], 0, "r"),
    ]
    rows = [_part_cells(job, number, part) for number, part in enumerate(job.parts, start=1)]
    out = [section(WORDS["parts"], table(columns, rows), lead=WORDS["parts_lead"])]
    if job.masses:
        out.append(_masses(job))
    return out


def _part_cells(job: Job, number: int, part: JobPart) -> list[Cell]:
    count = part.quantity * part.items
    return [
        str(number),
        named(part),
        soft(part.assembly, 9),
        soft(part.stock),
        "" if part.cut_length is None else fixed(part.cut_length),
        WORDS["not_known"] if part.mass_kg is None else fixed(part.mass_kg, 2),
        str(count),
        strong(str(count * job.units)),
    ]


def _masses(job: Job) -> Block:
    columns = [(WORDS["assembly"], 1, "l"), (WORDS["mass_kg"], 0.6, "r"), (WORDS["centre"], 2, "r")]
    rows: list[list[Cell]] = [
        [WORDS["whole"] if line.name == "whole" else soft(line.name), fixed(line.mass_kg, 2), _point(line.centre)]
        for line in job.masses
    ]
    missing = list(dict.fromkeys(title_of(job, part) for line in job.masses for part in line.missing))
    remarks = [WORDS["mass_missing"].format(parts=", ".join(missing))] if missing else []
    return section(WORDS["masses"], table(columns, rows), level=2, remarks=remarks)


def _point(centre: Vec3 | None) -> str:
    return WORDS["not_known"] if centre is None else ",  ".join(fixed(v, 0) for v in centre)


# ------------------------------------------------------------------------------------------------ straight pieces
def straights(job: Job) -> list[Block]:
    """Return straight tubes and bars, and plates."""
    runs = [part for part in job.parts if part.section is not None and (part.card is None or not part.card.rows)]
    plates = [part for part in job.parts if part.kind == "plate"]
    out = []
    if runs:
        columns = [
            (WORDS["part"], 1.7, "l"),
            (WORDS["length"], 0, "r"),
            (WORDS["in_batch"], 0, "r"),
            (WORDS["start_cut"], 1.8, "l"),
            (WORDS["end_cut"], 1.8, "l"),
            (WORDS["holes"], 1.9, "l"),
            (WORDS["done"], 0, "c"),
        ]
        out.append(section(WORDS["straight"], table(columns, [_straight_cells(job, part) for part in runs])))
    if plates:
        columns = [
            (WORDS["part"], 2, "l"),
            (WORDS["stock"], 1, "l"),
            (WORDS["plate_size"], 1.2, "r"),
            (WORDS["in_batch"], 0, "r"),
            (WORDS["plate_holes"], 3, "l"),
            (WORDS["done"], 0, "c"),
        ]
        content = table(columns, [_plate_cells(job, part) for part in plates])
        out.append(section(WORDS["plates"], content, level=2 if runs else 1))
    return out


def _straight_cells(job: Job, part: JobPart) -> list[Cell]:
    ends = [end_words(job, part, end).partition(": ")[2] for end in ("start", "end")]
    return [
        {"plain": named(part), "sub": soft(part.stock)},
        "" if part.cut_length is None else strong(fixed(part.cut_length)),
        str(part.quantity * job.units),
        *(soft(end) for end in ends),
        soft(holes_words(part.holes)),
        ticks(),
    ]


def _plate_cells(job: Job, part: JobPart) -> list[Cell]:
    xs = [x for x, _ in part.outline] or [0.0]
    ys = [y for _, y in part.outline] or [0.0]
    size = f"{mm(max(xs) - min(xs))} × {mm(max(ys) - min(ys))}"
    if part.corner_radius > 0:
        size = f"{size}, R {mm(part.corner_radius)}"
    return [
        named(part),
        soft(part.stock),
        size,
        str(part.quantity * job.units),
        soft(holes_words(part.holes, plate=True)),
        ticks(),
    ]


# ------------------------------------------------------------------------------------------------ stops, hacksaw
def stops(job: Job) -> list[Block]:
    """Return the stop settings of the batch."""
    if not job.stops:
        return []
    columns = [
        (WORDS["die"], 1, "l"),
        (WORDS["stop_setting"], 1, "r"),
        (WORDS["stop_touches"], 1, "l"),
        (WORDS["stop_bends"], 4, "l"),
        (WORDS["done"], 0, "c"),
    ]
    rows: list[list[Cell]] = [
        [
            soft(stop.die, 10),
            strong(fixed(stop.value)),
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
    rows = [row for part in job.parts for end in ("start", "end") for row in _hacksaw_rows(part, end)]
    if not rows:
        return []
    columns = [
        (WORDS["part"], 2.4, "l"),
        (WORDS["end"], 0, "l"),
        (WORDS["cuts"], 0, "c"),
        (WORDS["cut_where"], 1.4, "r"),
        (WORDS["cut_angle"], 1, "r"),
        (WORDS["cut_at"], 1.2, "r"),
        (WORDS["cut_gap"], 1, "r"),
        (WORDS["cut_file"], 1, "r"),
    ]
    return [section(WORDS["hacksaw"], table(columns, rows), lead=WORDS["hacksaw_lead"])]


def _hacksaw_rows(part: JobPart, end: str) -> list[list[Cell]]:
    cut: EndCut | None = part.start if end == "start" else part.end
    if cut is None or part.section is None:
        return []
    radius = part.section.outside / 2 if part.section.is_round else None
    out: list[list[Cell]] = []
    for way in cut.square_cuts:
        for number, one in enumerate(way, start=1):
            count = "1" if len(way) == 1 else f"{number} of {len(way)}"
            out.append([named(part), WORDS[f"end_{end}"], count, *_cut_cells(one, radius)])
    return out


def _cut_cells(cut: SquareCut, radius: float | None) -> list[Cell]:
    turned = f"{degrees(cut.direction_rad)}°"
    where = turned if radius is None else f"{fixed(cut.direction_rad * radius)} ({turned})"
    return [where, f"{degrees(cut.angle_rad)}°", fixed(cut.at), fixed(cut.greatest_gap), fixed(cut.filing_depth)]


# ------------------------------------------------------------------------------------------------ cutting
def cutting(job: Job, drawings: Sequence[Drawing]) -> list[Block]:
    """Return the cutting plan: for each stock its bars to scale, in the order of `job.cutting.bars`."""
    plan = job.cutting
    if not plan.bars:
        return []
    lead = WORDS["cutting_lead"].format(kerf=mm(plan.kerf), trim=mm(plan.trim))
    out = [section(WORDS["cutting"], lead=lead)]
    bounds = {bound.stock: bound for bound in plan.bounds}
    for stock in dict.fromkeys(bar.stock for bar in plan.bars):
        shown = [
            _bar_block(job, bar, drawing)
            for bar, drawing in zip(plan.bars, drawings, strict=True)
            if bar.stock == stock
        ]
        remarks = [_bound_words(bounds[stock])] if stock in bounds else []
        out.append(section(stock, level=2, bars=shown, remarks=remarks))
    return out


def _bar_block(job: Job, bar: CutBar, drawing: Drawing) -> Block:
    title = WORDS["bar"].format(count=bar.count, length=mm(bar.length))
    if bar.source == "rack":
        title += WORDS["bar_rack"]
    return {
        "title": title,
        "pieces": soft(", ".join(f"{count} × {piece}" for piece, count in _piece_counts(job, bar).items())),
        "left": WORDS["bar_left"].format(left=mm(bar.left)) if bar.left > 0 else "",
        "drawing": picture(drawing),
        "ticks": bar.count if bar.count <= MOST_TICKS else 0,
    }


def _piece_counts(job: Job, bar: CutBar) -> Counter[str]:
    """Pieces of a bar and how many of each, in the order in which they are cut."""
    return Counter(
        f"{title_of(job, piece.part) if piece.part else WORDS['test_piece'].format(die=piece.die)} {mm(piece.length)}"
        for piece in bar.pieces
    )


def _bound_words(bound: CuttingBound) -> str:
    values = {
        "used": f"{fixed(bound.cost, 2)} {bound.unit}",
        "bars": bound.used,
        "gap": rounded(100 * bound.gap, 2),
    }
    kind = "bound_bars" if bound.unit == "bars" else "bound"
    return WORDS[f"{kind}_proven" if bound.proven else f"{kind}_gap"].format(**values)


# ------------------------------------------------------------------------------------------------ materials
def materials(job: Job) -> list[Block]:
    """Return what to buy with its price, and the rack after the batch."""
    columns = [
        (WORDS["item"], 3, "l"),
        (WORDS["standard"], 1, "l"),
        (WORDS["quantity"], 0.8, "r"),
        (WORDS["unit"], 0.7, "l"),
        (WORDS["mass_kg"], 0.8, "r"),
        (WORDS["supplier"], 1.6, "l"),
        (WORDS["price"].format(currency=job.workshop.currency), 1.1, "r"),
    ]
    rows: list[list[Cell]] = [
        [
            soft(line.item),
            soft(line.standard, 8),
            strong(rounded(line.quantity, 2)),
            line.unit,
            "" if line.mass_kg is None else fixed(line.mass_kg),
            soft(line.supplier, 11),
            WORDS["not_known"] if line.price is None else fixed(line.price, 2),
        ]
        for line in job.materials
    ]
    known = [line.price for line in job.materials if line.price is not None]
    missing = len(job.materials) - len(known)
    if known:
        rows.append([WORDS["price_sum"], "", "", "", "", "", strong(fixed(sum(known), 2))])
    remarks = [WORDS["price_missing"].format(count=missing)] if missing else []
    return [section(WORDS["materials"], table(columns, rows), remarks=remarks), _rack(job)]


def _rack(job: Job) -> Block:
    lines = job.cutting.rack_after
    if not lines:
        return section(WORDS["rack"], level=2, lead=WORDS["rack_none"])
    columns = [(WORDS["item"], 3, "l"), (WORDS["rack_length"], 1, "r"), (WORDS["how_many"], 1, "r")]
    rows: list[list[Cell]] = [[soft(line.stock), strong(fixed(line.length)), str(line.count)] for line in lines]
    return section(WORDS["rack"], table(columns, rows), level=2)


# ------------------------------------------------------------------------------------------------ findings
def findings(job: Job) -> list[Block]:
    """Return the findings, the heavy ones first."""
    if not job.findings:
        return [section(WORDS["findings"], lead=WORDS["findings_none"])]
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
