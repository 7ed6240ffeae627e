"""The sheet on curves that are pulled round formers: what to saw, how far to pull, how to check."""

from __future__ import annotations

import math
from collections.abc import Iterator

from handbarrow.job.former_values import Pull, PulledBend
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.blocks import Block, Cell, section, strong, table, tight, unbroken
from handbarrow.sheets.shown import pieces, soft
from handbarrow.sheets.words_formers import FORMERS

__all__ = ["former_pages", "lengths_to_saw", "pulled_parts"]


def pulled_parts(job: Job) -> tuple[JobPart, ...]:
    """Return the parts that are pulled round formers."""
    return tuple(part for part in job.parts if part.pull is not None)


def lengths_to_saw(part: JobPart, units: int) -> int:
    """Return how many lengths are sawn for the batch."""
    return 0 if part.pull is None else math.ceil(part.quantity / part.pull.pieces) * units


def former_pages(job: Job) -> list[Block]:
    """Return the sheet; nothing for a job without such parts."""
    found = [(part, part.pull) for part in pulled_parts(job) if part.pull is not None]
    if not found:
        return []
    remarks: list[Cell] = [FORMERS["caution"]]
    remarks += [FORMERS["formers_print"]] if any(pull.over == "former" for _, pull in found) else []
    remarks += [FORMERS["guess"]] if any(not pull.trial for _, pull in found) else []
    out = [section(FORMERS["title"], lead=FORMERS["lead"], remarks=remarks, code="+formers")]
    for part, pull in found:
        rows: list[list[Cell]] = [[strong(key), value] for key, value in _facts(job, part, pull)]
        facts: Block = tight(unbroken(table([("", 0.8, "l"), ("", 2.0, "l")], rows)))
        out.append(section(f"{soft(part.title)}, {soft(part.stock)}, {pieces(job, part)}", facts, level=2))
        out.append(section("", tight(unbroken(_bends(job, pull))), level=2))
    return out


def _facts(job: Job, part: JobPart, pull: Pull) -> Iterator[tuple[str, str]]:
    shown = job.workshop.shown
    yield FORMERS["saw"], _length(shown, pull.saw_length)
    yield FORMERS["lengths"], str(lengths_to_saw(part, job.units))
    if pull.before > 0:
        yield FORMERS["before"], _length(shown, pull.before)
    if pull.after > 0:
        yield FORMERS["after"], _length(shown, pull.after)
    yield FORMERS["with"], f"{pull.hand_n:.0f} N"
    if pull.pieces > 1:
        yield FORMERS["pieces"], str(pull.pieces)
    if pull.pieces > 1 or pull.before > 0 or pull.after > 0:
        yield FORMERS["cut"], "; ".join(f"{shown.length(a)} – {shown.length(b)}" for a, b in pull.marks)


def _length(shown: Shown, value: float) -> str:
    tape = shown.tape(value)
    plain = shown.length(value, with_unit=True)
    return f"{plain} ({tape})" if tape else plain


def _bends(job: Job, pull: Pull) -> Block:
    columns = [
        (FORMERS["bend"], 0, "c"),
        (FORMERS["face"], 0.8, "r"),
        (FORMERS["pull"], 0.7, "r"),
        (FORMERS["made"], 0.9, "r"),
        (FORMERS["check"], 1.6, "l"),
    ]
    steps = any(bend.steps for bend in pull.bends)
    columns += [(FORMERS["steps"], 1.6, "l")] if steps else []
    return table(columns, [_bend(job, pull, bend, steps) for bend in pull.bends])


def _bend(job: Job, pull: Pull, bend: PulledBend, steps: bool) -> list[Cell]:
    shown = job.workshop.shown
    guess = "" if pull.trial else "*"
    row: list[Cell] = [
        str(bend.number),
        strong(f"{shown.length(bend.face)}{guess}"),
        f"{math.degrees(bend.pulled_rad):.1f}°{guess}",
        shown.length(bend.radius),
        FORMERS["check_says"].format(rise=shown.length(bend.rise), chord=shown.length(bend.chord)),
    ]
    return [*row, ", ".join(shown.length(mark) for mark in bend.steps)] if steps else row
