"""The sewing station: cloth on the roll, panels marked out with their order of work, webbing and lacing."""

from __future__ import annotations

import math
from collections.abc import Iterator

from handbarrow.design.soft_shapes import Panel, Side, Strap, StrapEnd
from handbarrow.drawings.cloths import panel_view, roll_view
from handbarrow.job.soft_rolls import RollPlan, roll_plans
from handbarrow.job.soft_values import PanelWork, Seam, StrapPiece, StrapWork
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.sewing.edges import ClothEdge
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks, tight, unbroken
from handbarrow.sheets.shown import fixed, pieces, soft, title_of
from handbarrow.sheets.words_sewing import SEAM_WORDS, SEWING

__all__ = ["sewing_pages"]

VIEW = 105.0
"""Height of a drawing on a sheet [mm]."""
SIDES: tuple[Side, ...] = ("head", "foot", "left", "right")


def sewing_pages(job: Job, across: float) -> list[Block]:
    """Return the sheets; none for a job without cloth and webbing.

    Args:
        job: The job.
        across: Room across a sheet [mm].
    """
    panels = [part for part in job.parts if isinstance(part.soft, PanelWork)]
    straps = [part for part in job.parts if isinstance(part.soft, StrapWork)]
    out = _rolls(job, across)
    for part in panels:
        out += _panel(job, part, across)
    return out + (_straps(job, straps) if straps else [])


# ------------------------------------------------------------------------------------------------ rolls
def _rolls(job: Job, across: float) -> list[Block]:
    plans = roll_plans(job.parts, job.workshop, job.units)
    out = []
    for number, plan in enumerate(plans):
        first = number == 0
        sheet = section(
            SEWING["roll_title"] if first else "", _roll_table(job, plan), level=1 if first else 2,
            lead=SEWING["roll_lead"] if first else "", remarks=[_roll_says(job, plan)], code="+roll" if first else "",
        )  # fmt: skip
        out.append({**sheet, "view": picture(roll_view(job, plan, (across, VIEW)))})
    return out


def _roll_table(job: Job, plan: RollPlan) -> Block:
    """What is cut, by the numbers that stand on narrow pieces."""
    shown = job.workshop.shown
    columns = [
        (SEWING["number"], 0, "c"), (SEWING["part"], 1.5, "l"), (SEWING["size"], 1.2, "r"), (SEWING["count"], 0, "r"),
        (SEWING["done"], 0, "c"),
    ]  # fmt: skip
    rows: list[list[Cell]] = [
        [
            str(k), soft(title_of(job, piece.name)),
            strong(f"{shown.length(piece.length)} × {shown.length(piece.width)}"), str(piece.count), ticks(),
        ]
        for k, piece in enumerate(plan.pieces, start=1)
    ]  # fmt: skip
    return table(columns, rows)


def _roll_says(job: Job, plan: RollPlan) -> str:
    shown, layout = job.workshop.shown, plan.layout
    key = "roll_proven" if layout.proven else "roll_bound"
    return SEWING[key].format(
        stock=plan.stock, length=shown.length(layout.length, with_unit=True), used=round(100 * layout.used),
        bound=shown.length(layout.lower_bound, with_unit=True),
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ panels
def _panel(job: Job, part: JobPart, across: float) -> list[Block]:
    work, panel = part.soft, job.design.part(part.id).shape
    if not isinstance(work, PanelWork) or not isinstance(panel, Panel):
        return []
    rows: list[list[Cell]] = [[strong(key), value] for key, value in _facts(job, panel, work)]
    facts: Block = tight(unbroken(table([("", 0.5, "l"), ("", 2.0, "l")], rows)))
    lead = SEWING["panel_lead"] if work.is_rectangle else SEWING["shaped"]
    title = f"{part.title}, {part.stock}, {pieces(job, part)}"
    sheet = section(soft(title), facts, lead=lead, remarks=[part.note] if part.note else [], code=part.id)
    sheet = {**sheet, "view": picture(panel_view(job, part.id, (across, VIEW)))}
    steps = tight(unbroken(table(_columns(), list(_steps(job, work)))))
    remarks: list[Cell] = [_machine(job, part, work), SEWING["needle_caution"]]
    remarks += [SEWING["caution"]] if panel.hung else []
    name = SEWING["order_title"].format(part=part.title)
    return [sheet, section(soft(name), steps, level=2, remarks=remarks)]


def _facts(job: Job, panel: Panel, work: PanelWork) -> Iterator[tuple[str, str]]:
    shown = job.workshop.shown
    for key, size in (("finished", work.finished), ("cut", work.cut)):
        yield SEWING[key], f"{shown.length(size[0])} × {shown.length(size[1], with_unit=True)}"
    edges = {side: panel.edges.of(side) for side in SIDES}
    if len(set(edges.values())) == 1 or panel.outline:
        yield SEWING["edges"], _edge(job, "all_round", panel.edges.head)
    else:
        yield SEWING["edges"], "; ".join(_edge(job, side, edge) for side, edge in edges.items())
    if work.twist_rad is not None:
        yield SEWING["twist"], SEWING["twist_says"].format(angle=f"{math.degrees(work.twist_rad):.0f}")


def _edge(job: Job, side: str, edge: ClothEdge) -> str:
    shown = job.workshop.shown
    under = edge.width if edge.turn_under is None else edge.turn_under
    key = f"edge_{edge.kind}"
    return SEWING[key].format(side=SEWING[side], width=shown.length(edge.width), under=shown.length(under))


def _columns() -> list[tuple[str, float, str]]:
    return [
        (SEWING["step"], 0, "c"), (SEWING["what"], 1.6, "l"), (SEWING["length"], 0.7, "r"), (SEWING["rows"], 0, "r"),
        (SEWING["places"], 2.0, "l"), (SEWING["done"], 0, "c"),
    ]  # fmt: skip


def _steps(job: Job, work: PanelWork) -> Iterator[list[Cell]]:
    """Marking; what lies flat on the cloth, before hems close; hems, the ends last; webbing; seams between panels."""
    shown = job.workshop.shown
    order = {"pocket": 0, "window": 0, "patch": 0, "row": 0, "hem": 1, "strap": 2, "seam": 3}
    yield ["1", SEWING["mark_cut"].format(named=work.named), "", "", "", ticks()]
    for number, seam in enumerate(sorted(work.seams, key=lambda one: order[one.kind]), start=2):
        yield [
            str(number), _says(job, seam), strong(_many(shown.length(seam.length), seam.count)), str(seam.rows),
            _places(job, work, seam), ticks(),
        ]  # fmt: skip


def _many(length: str, count: int) -> str:
    return length if count == 1 else f"{count} × {length}"


def _says(job: Job, seam: Seam) -> str:
    on = seam.on
    if seam.kind == "strap":
        on = title_of(job, seam.on) if seam.on else ""
    elif seam.kind in ("hem", "seam"):
        on = SEWING[seam.on or "all_round"]
    return SEAM_WORDS[seam.kind].format(on=on).strip(" ,")


def _places(job: Job, work: PanelWork, seam: Seam) -> str:
    """Where webbing is sewn on, along the finished edges."""
    if seam.kind != "strap":
        return ""
    shown = job.workshop.shown
    edges: dict[str, list[str]] = {}
    for s in work.stations:
        if s.by == seam.on:
            edges.setdefault(s.edge, []).append(shown.length(s.at))
    return "; ".join(f"{SEWING[edge]}: {', '.join(places)}" for edge, places in edges.items())


def _machine(job: Job, part: JobPart, work: PanelWork | StrapWork) -> str:
    how, shown = job.workshop.sewing, job.workshop.shown
    if not how.given:
        return SEWING["guess"]
    hours = work.minutes * part.quantity * job.units / 60
    says = SEWING["machine"].format(
        minutes=fixed(work.minutes), thread=fixed(work.thread / 1000), all_minutes=fixed(hours)
    )
    set_up = SEWING["set_up"].format(
        needle=how.needle, stitch=shown.length(how.stitch, with_unit=True), thread=how.thread
    )
    return f"{set_up}. {says}"


# ------------------------------------------------------------------------------------------------ straps
def _straps(job: Job, parts: list[JobPart]) -> list[Block]:
    columns = [
        (SEWING["part"], 1.3, "l"), (SEWING["cut_to"], 0.8, "r"), (SEWING["count"], 0, "r"),
        (SEWING["gauge"], 0.8, "r"), (SEWING["edge"], 0.9, "l"), (SEWING["ends"], 1.8, "l"), (SEWING["done"], 0, "c"),
    ]  # fmt: skip
    rows = [row for part in parts for row in _strap_rows(job, part)]
    lead = SEWING["straps_lead"]
    return [
        section(SEWING["straps_title"], table(columns, rows), lead=lead, remarks=[SEWING["caution"]], code="+straps")
    ]


def _strap_rows(job: Job, part: JobPart) -> Iterator[list[Cell]]:
    shown, work, shape = job.workshop.shown, part.soft, job.design.part(part.id).shape
    if not isinstance(work, StrapWork) or not isinstance(shape, Strap):
        return
    for number, piece in enumerate(work.pieces):
        gauge = "" if piece.gauge is None else strong(shown.length(piece.gauge))
        yield [
            {"plain": soft(part.title), "sub": part.stock} if number == 0 else "",
            strong(shown.length(piece.cut), shown.tape(piece.cut)), str(piece.count * part.quantity * job.units), gauge,
            _edges(piece), _ends(job, shape, work) if number == 0 else "", ticks(),
        ]  # fmt: skip


def _edges(piece: StrapPiece) -> str:
    return ", ".join(SEWING[edge] for edge in piece.edge.split(", ") if edge)


def _ends(job: Job, shape: Strap, work: StrapWork) -> str:
    says = [one for end in (shape.start, shape.end) for one in _end(job, end)]
    if work.knots:
        says.append(SEWING["one_knot"] if work.knots == 1 else SEWING["ends_knots"].format(knots=work.knots))
        key = "knot_guess" if work.knot_guessed else "knot"
        says.append(SEWING[key].format(knot=job.workshop.shown.length(work.knot, with_unit=True)))
    return "; ".join(says)


def _end(job: Job, end: StrapEnd) -> Iterator[str]:
    shown = job.workshop.shown
    if end.around:
        yield SEWING["ends_loop"].format(around=title_of(job, end.around), sewn=shown.length(end.sewn))
    elif end.sewn:
        yield SEWING["ends_folded"].format(sewn=shown.length(end.sewn))
