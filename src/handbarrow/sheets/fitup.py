"""Fit-up and weld sheets: pieces, steps with pictures, sizes to check after tacking, welds with their symbols."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from handbarrow.design.values import Target
from handbarrow.drawings.exploded import bodies_of_pieces, exploded_view, ways_of
from handbarrow.drawings.fitup import Scenery, checks_view, detail_view, step_view
from handbarrow.drawings.weld_symbols import weld_symbol
from handbarrow.job.fitup_values import FitCheck, FitStep, Weldment
from handbarrow.job.values import Job
from handbarrow.language import spoken
from handbarrow.laws.geometry.path import Vec3
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks, unbroken
from handbarrow.sheets.fitup_rows import SQUARE, Row, piece_words, row_block, rows_of
from handbarrow.sheets.shown import degrees, named, soft, title_of
from handbarrow.sheets.signs import CAUTION_SIGNS, with_signs
from handbarrow.sheets.words_fitup import FIT

__all__ = ["fitup_pages"]

EXPLODED = 108.0
"""Height of the exploded view [mm]."""
STEP = (84.0, 56.0)
DETAIL = (54.0, 30.0)
"""Boxes of the picture of a step and of a detail [mm]."""
CHECKS = 62.0
"""Height of the picture with the points to measure between [mm]."""
SMALL = 0.06
"""What is smaller than this part of the whole is drawn enlarged beside it."""


def fitup_pages(job: Job, weldments: Sequence[Weldment], scenery: Scenery, across: float) -> list[Block]:
    """Return the sheets of everything that is welded.

    Args:
        job: The job.
        weldments: What is welded.
        scenery: The solids of all pieces.
        across: Room across the sheet [mm].
    """
    return [block for weldment in weldments for block in _sheets(job, weldment, scenery, across)]


def _numbers(job: Job) -> dict[str, int]:
    return {part.id: number for number, part in enumerate(job.parts, start=1)}


def _sheets(job: Job, weldment: Weldment, scenery: Scenery, across: float) -> list[Block]:
    name = _name(job, weldment)
    more = weldment.number > 1
    title = FIT["title_more" if more else "title"].format(assembly=name, number=weldment.number)
    base = weldment.base.part
    lead = FIT["lead"].format(base=title_of(job, base), number=_numbers(job)[base])
    rows = {step.number: rows_of(weldment, step) for step in weldment.steps}
    bodies = bodies_of_pieces(weldment.pieces, _on(weldment), ways_of(weldment.joints))
    view = exploded_view(scenery, bodies, (across, EXPLODED), title)
    return [
        {**section(soft(title), lead=lead, remarks=[*_in_place(job, weldment), _caution()]), "view": picture(view),
         "assembly": weldment.assembly},
        section(FIT["parts"].format(assembly=name), _parts(job, weldment), level=2),
        section(
            FIT["steps"], _steps(job, weldment, scenery, rows), level=2,
            lead=FIT["steps_lead"].format(unit=spoken(job.workshop.shown.length_name)),
        ),
        *_checks(job, weldment, scenery, across),
        section(FIT["welds"], level=2, remarks=[FIT["turns"], FIT["size_rule"], FIT["assumed"]]),
        section("", _welds(job, weldment, rows), level=2),
    ]  # fmt: skip


def _caution() -> Block:
    return with_signs(FIT["caution"], *CAUTION_SIGNS["welding"])


def _in_place(job: Job, weldment: Weldment) -> list[str]:
    """Say which pieces lie round a piece of another assembly, so that this one is welded there."""
    pairs = dict.fromkeys((outer.part, inner.part) for outer, inner in weldment.around)
    return [
        FIT["around"].format(
            outer=title_of(job, outer), inner=title_of(job, inner), assembly=job.part(inner).assembly
        )
        for outer, inner in pairs
    ]  # fmt: skip


def _name(job: Job, weldment: Weldment) -> str:
    only = len({part.assembly for part in job.parts}) == 1
    return job.design.name if only else weldment.assembly


def _on(weldment: Weldment) -> dict[Target, Target]:
    """For each piece the one that was there before it and that it is joined to first."""
    out: dict[Target, Target] = {}
    for joint in weldment.joints:
        other = joint.contact.to if joint.contact.piece == joint.added else joint.contact.piece
        out.setdefault(joint.added, other)
    return out


def _parts(job: Job, weldment: Weldment) -> Block:
    numbers = _numbers(job)
    columns = [
        (FIT["number"], 0, "r"),
        (FIT["part"], 1, "l"),
        (FIT["one"], 0, "r"),
        (FIT["batch"], 0, "r"),
        ("", 0, "c"),
    ]
    rows: list[list[Cell]] = []
    for step in weldment.steps:
        count = len(step.pieces)
        total = strong(str(count * job.units))
        rows.append([str(numbers[step.part]), named(job.part(step.part)), str(count), total, ticks()])
    return table(columns, rows)


# ------------------------------------------------------------------------------------------------ steps
def _steps(job: Job, weldment: Weldment, scenery: Scenery, rows: dict[int, list[Row]]) -> Block:
    columns = [(FIT["picture"], 0, "c"), (FIT["do"], 1, "l")]
    cells: list[list[Cell]] = []
    for step in weldment.steps:
        joints = [row.first for row in rows[step.number]]
        views = [step_view(scenery, weldment, step.number, STEP, joints)]
        if joints and _is_small(job, weldment, step):
            detail = detail_view(scenery, weldment, step.number, DETAIL, joints[0])
            views += [detail] if detail is not None else []
        cells.append([{"kind": "views", "views": [picture(v) for v in views]}, _do(job, weldment, step, rows)])
    return unbroken(table(columns, cells))


def _is_small(job: Job, weldment: Weldment, step: FitStep) -> bool:
    """Whether what is added is too small to be seen well on the whole."""
    part, whole = job.part(step.part), job.part(weldment.base.part)
    size = part.cut_length or max((math.dist(p, q) for p in part.outline for q in part.outline), default=0.0)
    largest = max((job.part(p.part).cut_length or 0.0 for p in weldment.pieces), default=0.0)
    return size < SMALL * max(largest, whole.cut_length or 0.0)


def _do(job: Job, weldment: Weldment, step: FitStep, rows: dict[int, list[Row]]) -> Block:
    numbers, part = _numbers(job), job.part(step.part)
    key = "step" if len(step.pieces) > 1 else "step_one"
    title = FIT[key].format(
        step=step.number, part=part.title, count=len(step.pieces), number=numbers[step.part]
    )  # fmt: skip
    notes = [FIT["base"]] if step.number == 1 else []
    for name in dict.fromkeys(outer.part for outer, _ in step.threaded):
        inner = list(dict.fromkeys(b for a, b in step.threaded if a.part == name))
        count, over = sum(a.part == name for a, _ in step.threaded), piece_words(job, weldment, inner)
        said = title_of(job, name)
        notes.append(FIT["threaded"].format(part=said, count=count, number=numbers[name], over=over))
    if part.note:
        notes.append(FIT["note"].format(note=soft(part.note)))
    lines = [row_block(job, weldment, step, row) for row in rows[step.number]]
    return {"kind": "fit", "title": soft(title), "notes": notes, "lines": lines, "signs": _acts(weldment, step)}


def _acts(weldment: Weldment, step: FitStep) -> list[str]:
    """Signs of what is done in a step, in its order."""
    if step.number == 1:
        return ["lay"]
    joints = weldment.of_step(step.number)
    right = any(j.angle_rad is not None and abs(j.angle_rad - math.pi / 2) < SQUARE for j in joints)
    return ["slide on"] * bool(step.threaded) + ["mark"] + ["square"] * right + ["tack"]


# ------------------------------------------------------------------------------------------------ checks
def _checks(job: Job, weldment: Weldment, scenery: Scenery, across: float) -> list[Block]:
    title = FIT["checks"].format(unit=job.workshop.show_length)
    if not weldment.checks:
        return [section(title, level=2, lead=FIT["no_checks"])]
    letters = _letters(weldment)
    columns = [
        (FIT["check"], 1, "l"),
        *((FIT[key], 0, "r") for key in ("wanted", "least", "most")),
        (FIT["found"], 0.28, "l"),
        (FIT["good"], 0, "c"),
    ]
    content = table(columns, [_check_cells(job, weldment, check, letters) for check in weldment.checks])
    out = section(title, content, level=2, lead=FIT["checks_lead"] if letters else "")
    if letters:
        points = {letter: point for point, letter in letters.items()}
        pairs = [
            (letters[_near(p)], letters[_near(q)])
            for check in weldment.checks
            for p, q in zip(check.points[::2], check.points[1::2], strict=True)
        ]
        view = checks_view(scenery, weldment, points, pairs, (across, CHECKS))
        out = {**out, "view": picture(view)}
    return [out]


def _near(point: Vec3) -> Vec3:
    x, y, z = (round(v, 1) + 0.0 for v in point)
    return x, y, z


def _letters(weldment: Weldment) -> dict[Vec3, str]:
    """A letter for each point that is measured from, in the order of the checks."""
    points = dict.fromkeys(_near(p) for check in weldment.checks for p in check.points)
    return {point: chr(65 + i) if i < 26 else f"A{i - 25}" for i, point in enumerate(points)}


def _check_cells(job: Job, weldment: Weldment, check: FitCheck, letters: dict[Vec3, str]) -> list[Cell]:
    shown = job.workshop.shown
    what = _check_words(job, weldment, check, [letters[_near(p)] for p in check.points])
    if check.kind == "angle":
        value, limit = check.value, check.limit
        return [what, strong(degrees(value)), degrees(value - limit), degrees(value + limit), "", ticks()]
    value = abs(check.value)
    if check.kind == "level":
        return [what, strong(shown.column(0.0)), "", shown.column(check.limit), "", ticks()]
    if check.kind == "between":
        return [what, strong(shown.column(value), shown.tape(value)), shown.column(value),
                shown.column(value + check.limit), "", ticks()]  # fmt: skip
    low, high = shown.column(value - check.limit), shown.column(value + check.limit)
    return [what, strong(shown.column(value), shown.tape(value)), low, high, "", ticks()]


def _check_words(job: Job, weldment: Weldment, check: FitCheck, at: Sequence[str]) -> str:
    part = title_of(job, check.pieces[0].part) if check.pieces else ""
    base = title_of(job, weldment.base.part)
    match check.kind:
        case "width":
            return FIT["check_width"].format(a=at[0], b=at[1])
        case "diagonals" if part:
            return FIT["check_far"].format(a=at[0], b=at[2], part=part, c=at[1])
        case "diagonals":
            return FIT["check_diagonals"].format(a=at[0], b=at[1], c=at[2], d=at[3])
        case "height":
            return FIT["check_height" if check.value > 0 else "check_height_below"].format(part=part, base=base)
        case "level":
            return FIT["check_level" if check.pieces[0] == weldment.base else "check_level_ends"].format(part=part)
        case "angle":
            joint = weldment.joints[check.joints[0] - 1]
            return FIT["check_angle"].format(part=part, to=title_of(job, joint.contact.to.part))
        case "between":
            return FIT["check_between"].format(part=part)
        case _:
            return FIT["check_over"].format(part=part)


# ------------------------------------------------------------------------------------------------ welds
def _welds(job: Job, weldment: Weldment, rows: dict[int, list[Row]]) -> Block:
    shown = job.workshop.shown
    columns = [
        (FIT["where"], 1, "l"),
        (FIT["symbol"], 0, "c"),
        (FIT["weld"], 0.4, "l"),
        (head_of("size", job), 0, "r"),
        (head_of("weld_length", job), 0, "r"),
        (FIT["welds_one"], 0, "r"),
        ("", 0, "c"),
    ]
    alike: dict[tuple[object, ...], list[Row]] = {}
    for row in (row for step in weldment.steps for row in rows[step.number]):
        weld, contact = row.first.weld, row.first.contact
        key = (contact.piece.part, contact.to.part, replace(weld, length=None, tacks=0), _whole(weld.length))
        alike.setdefault(key, []).append(row)
    cells: list[list[Cell]] = []
    for same in alike.values():
        weld, joints = same[0].first.weld, [j for row in same for j in row.joints]
        piece = piece_words(job, weldment, [j.contact.piece for j in joints])
        to = piece_words(job, weldment, [j.contact.to for j in joints])
        words = FIT["fillet" if weld.kind == "fillet" else "butt"]
        words += f", {FIT['all_round']}" if weld.all_round else f", {FIT['both_sides']}" if weld.sides == 2 else ""
        length = FIT["length_unknown"] if weld.length is None else shown.length(weld.length)
        symbol: Cell = {"kind": "view", "view": picture(weld_symbol(weld, shown, site=bool(weldment.around)))}
        labels = ", ".join(row.label for row in same)
        where = f"{labels}  {FIT['weld_between'].format(piece=piece, to=to)}"
        cells.append([soft(where), symbol, words, strong(shown.length(weld.throat)), length, str(len(joints)), ticks()])
    return unbroken(table(columns, cells))


def _whole(length: float | None) -> int | None:
    return None if length is None else round(length)


def head_of(key: str, job: Job) -> str:
    """A heading with the unit in it."""
    return FIT[key].format(unit=job.workshop.show_length)
