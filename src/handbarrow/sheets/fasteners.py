"""Fasteners and bought parts as the sheets say them: what is taken for each step, what a bolt clamps."""

from __future__ import annotations

from collections.abc import Sequence

from handbarrow.job.bolt_values import Fastener
from handbarrow.job.bolting import bought_items
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.blocks import Block, Cell, section, strong, table, ticks
from handbarrow.sheets.shown import soft, title_of
from handbarrow.sheets.words_hardware import FASTENERS

__all__ = ["by_step", "clamp_words", "items_words", "stack_words"]


def items_words(part: JobPart) -> str:
    """Return what is bought for one copy of a part in words: a bolt with its washers and nut, a wheel's packing."""
    items = bought_items(part)
    first, *others = items
    return " + ".join([first.item, *(FASTENERS["count"].format(count=one.count, item=one.item) for one in others)])


def stack_words(job: Job, fastener: Fastener) -> str:
    """Return what a bolt goes through, from its head to its nut."""
    shown = job.workshop.shown
    out = []
    for one in fastener.clamped:
        if one.before > 0.05:
            out.append(FASTENERS["room"].format(size=shown.length(one.before)))
        out.append(FASTENERS["layer"].format(part=title_of(job, one.part), thickness=shown.length(one.thickness)))
    return ", ".join(out)


def clamp_words(job: Job, part: JobPart) -> str:
    """Return how a bolt sits, or how a wheel's hub is packed; empty for all else."""
    shown: Shown = job.workshop.shown
    bolt = part.fastener
    if bolt is not None:
        words = FASTENERS["grip"].format(
            grip=shown.length(bolt.grip, with_unit=True), showing=shown.length(bolt.showing, with_unit=True)
        )
        return f"{words} {FASTENERS['welded']}" if bolt.nut == "welded" else words
    if part.beside:
        washers = ", ".join(FASTENERS["count"].format(count=one.count, item=one.item) for one in part.beside)
        return FASTENERS["packing"].format(washers=washers)
    return ""


def by_step(job: Job, steps: Sequence[Sequence[str]]) -> list[Block]:
    """Return the table of what is taken for each step: bolts with their lengths, washers, nuts, other bought parts.

    Args:
        job: The job.
        steps: Parts of each step, in the order of the sheets.
    """
    rows: list[list[Cell]] = []
    taken: set[str] = set()
    for number, names in enumerate(steps, start=1):
        counts: dict[str, int] = {}
        for name in (name for name in dict.fromkeys(names) if name not in taken):
            taken.add(name)
            part = job.part(name)
            for one in bought_items(part) if part.kind == "bought" else ():
                counts[one.item] = counts.get(one.item, 0) + part.quantity * one.count
        rows += [
            [str(number) if first == 0 else "", soft(item), str(count), strong(str(count * job.units)), ticks()]
            for first, (item, count) in enumerate(counts.items())
        ]
    if not rows:
        return []
    columns = [
        (FASTENERS["step"], 0, "r"),
        (FASTENERS["item"], 3, "l"),
        (FASTENERS["one"], 0, "r"),
        (FASTENERS["batch"], 0, "r"),
        ("", 0, "c"),
    ]
    return [section(FASTENERS["title"], table(columns, rows), level=2, lead=FASTENERS["lead"])]
