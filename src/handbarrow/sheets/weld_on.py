"""Nuts and other bought parts that are welded on: which, on what, how many, and what keeps their thread whole."""

from __future__ import annotations

from handbarrow.design.values import Bought
from handbarrow.job.values import Job, JobPart
from handbarrow.sheets.blocks import Block, Cell, section, strong, table, ticks
from handbarrow.sheets.shown import soft, title_of
from handbarrow.sheets.signs import CAUTION_SIGNS, with_signs
from handbarrow.sheets.words_fitup import FIT
from handbarrow.sheets.words_hardware import WELD_ON

__all__ = ["weld_on_pages"]


def weld_on_pages(job: Job) -> list[Block]:
    """Return the sheet of bought parts that are welded on; nothing where there are none."""
    rows: list[list[Cell]] = []
    for part in job.parts:
        what, on = _welded(job, part)
        if what:
            count = part.quantity * part.items
            where = ", ".join(title_of(job, name) for name in dict.fromkeys(on))
            tick = ticks()
            rows.append(
                [soft(what), soft(where), str(count), strong(str(count * job.units)), soft(_note(job, part)), tick]
            )
    if not rows:
        return []
    columns = [
        (WELD_ON["what"], 1.2, "l"),
        (WELD_ON["on"], 1.0, "l"),
        (WELD_ON["one"], 0, "r"),
        (WELD_ON["batch"], 0, "r"),
        (WELD_ON["note"], 1.6, "l"),
        ("", 0, "c"),
    ]
    caution = with_signs(FIT["caution"], *CAUTION_SIGNS["welding"])
    remarks: list[Cell] = [WELD_ON["thread"], WELD_ON["not_counted"], caution]
    return [section(WELD_ON["title"], table(columns, rows), lead=WELD_ON["lead"], remarks=remarks, code="+weld-on")]


def _welded(job: Job, part: JobPart) -> tuple[str, list[str]]:
    """What of a bought part is welded on, and on which parts; empty: nothing is."""
    design = job.design.part(part.id)
    if part.fastener is not None and part.fastener.nut == "welded":
        return part.fastener.items[-1].item, [part.fastener.clamped[-1].part]
    if isinstance(design.shape, Bought) and design.shape.welded:
        return part.stock, [target.part for target in design.on]
    return "", []


def _note(job: Job, part: JobPart) -> str:
    drilled = [hole for hole in part.holes if hole.face == "middle"]
    words = [WELD_ON["drilled"].format(hole=job.workshop.shown.length(hole.diameter, "fine")) for hole in drilled]
    return " ".join([*words, part.note])
