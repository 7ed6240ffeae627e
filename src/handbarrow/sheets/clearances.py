"""The list of what comes near what, for the sheets on checks."""

from __future__ import annotations

from handbarrow.job.clearance import NEAR as NEAR_BY
from handbarrow.job.clearance import Clearance, clearances
from handbarrow.job.frame_values import Subject
from handbarrow.job.values import Job
from handbarrow.language import spoken
from handbarrow.sheets.blocks import Block, Cell, section, table, tight
from handbarrow.sheets.shown import soft, title_of
from handbarrow.sheets.words_clearance import NEAR

__all__ = ["clearance_section"]

MOST_LINES = 24


def clearance_section(job: Job) -> Block:
    """Return the list: each pair of parts once for each occasion, its nearest copies, nearest first."""
    room = clearances(Subject(job.product, job.workshop, job.parts))
    lines: dict[tuple[str, str, str], Clearance] = {}
    for near in room.near:
        lines.setdefault((near.one.part, near.other.part, near.when), near)
    rows: list[list[Cell]] = [
        [
            NEAR["pair"].format(one=title_of(job, near.one.part), other=title_of(job, near.other.part)),
            soft(spoken(near.when)),
            _gap(job, near),
        ]
        for near in list(lines.values())[:MOST_LINES]
    ]
    if not rows:
        rows = [[NEAR["none"].format(near=job.workshop.shown.length(NEAR_BY, with_unit=True)), "", ""]]
    columns = [(NEAR["parts"], 2.0, "l"), (NEAR["when"], 1.2, "l"), (NEAR["gap"], 0, "r")]
    return section(NEAR["title"], tight(table(columns, rows)), level=2, lead=NEAR["lead"])


def _gap(job: Job, near: Clearance) -> str:
    shown = job.workshop.shown
    if near.clash:
        return NEAR["inside"].format(depth=shown.length(-near.gap, with_unit=True))
    return shown.length(max(near.gap, 0.0), with_unit=True)
