"""The hitch sheet: how far it turns each way, what its bolts clamp, what is tried by hand."""

from __future__ import annotations

import math

from handbarrow.design.values import Target
from handbarrow.drawings.bolts import with_bolts
from handbarrow.drawings.fitup import Scenery, laid_view
from handbarrow.job.frame_values import Subject
from handbarrow.job.swivel import Reach, reaches
from handbarrow.job.values import Job
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks
from handbarrow.sheets.fasteners import items_words, stack_words
from handbarrow.sheets.shown import degrees, soft, title_of
from handbarrow.sheets.words_checks import VERDICT
from handbarrow.sheets.words_hardware import HITCH

__all__ = ["hitch_pages"]

VIEW = 95.0
"""Height of the picture [mm]."""


def hitch_pages(job: Job, scenery: Scenery, across: float) -> list[Block]:
    """Return the hitch sheet; nothing where the design does not say what turns.

    Args:
        job: The job.
        scenery: The solids of all pieces.
        across: Room across the sheet [mm].
    """
    found = reaches(Subject(job.product, job.workshop, job.parts))
    towed = job.design.uses.towed_at
    if not found or towed is None:
        return []
    turns = {name for reach in found for name in reach.swivel.turns}
    scenery = with_bolts(scenery, turns)
    heavy = [piece for piece in scenery.solids if job.part(piece.part).assembly in turns]
    light = [Target(part=towed.target.part, copy=towed.target.copy)]
    light = [piece for piece in light if piece in scenery.solids and piece not in heavy]
    sheet = section(
        HITCH["title"], _turns(job, found), lead=HITCH["lead"], remarks=[HITCH["caution"], HITCH["left_out"]],
        code="+hitch",
    )  # fmt: skip
    if heavy:
        sheet = {**sheet, "view": picture(laid_view(scenery, light, heavy, {}, (across, VIEW)))}
    return [sheet, *_bolts(job, turns)]


def _turns(job: Job, found: tuple[Reach, ...]) -> Block:
    columns = [
        (HITCH["way"], 0.8, "l"),
        (HITCH["needs"], 0.5, "r"),
        (HITCH["one_way"], 0.7, "r"),
        (HITCH["other_way"], 0.7, "r"),
        (HITCH["touches"], 1.6, "l"),
        (HITCH["holds"], 0.6, "l"),
        (HITCH["tried"], 0, "c"),
    ]
    rows: list[list[Cell]] = [
        [
            HITCH[reach.swivel.way],
            _angle(reach.swivel.needs_rad),
            strong(_angle(reach.forth_rad)),
            strong(_angle(reach.back_rad)),
            soft(_touches(job, reach)),
            VERDICT["holds" if reach.least_rad >= reach.swivel.needs_rad else "fails"],
            ticks(),
        ]
        for reach in found
    ]
    return table(columns, rows)


def _angle(value_rad: float) -> str:
    return HITCH["free"] if value_rad >= math.pi - 1e-9 else HITCH["angle"].format(angle=degrees(value_rad))


def _touches(job: Job, reach: Reach) -> str:
    if reach.hits is None:
        return HITCH["nothing"]
    one, other = (title_of(job, target.part) for target in reach.hits)
    return HITCH["pair"].format(one=one, other=other)


def _bolts(job: Job, turns: set[str]) -> list[Block]:
    """What the bolts of the hitch clamp."""
    numbers = {part.id: number for number, part in enumerate(job.parts, start=1)}
    rows: list[list[Cell]] = [
        [
            soft(f"{part.title} ({numbers[part.id]})"),
            soft(items_words(part)),
            soft(stack_words(job, part.fastener)),
            soft(part.note),
            ticks(),
        ]
        for part in job.parts
        if part.fastener is not None and part.assembly in turns
    ]
    if not rows:
        return []
    columns = [
        (HITCH["bolt"], 0.6, "l"),
        (HITCH["bought"], 1.4, "l"),
        (HITCH["stack"], 1.4, "l"),
        (HITCH["note"], 1.2, "l"),
        ("", 0, "c"),
    ]
    return [section(HITCH["bolts"], table(columns, rows), level=2)]
