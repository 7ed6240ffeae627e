"""Which drills and taps the batch needs, and for what: all round holes by their drill."""

from __future__ import annotations

from handbarrow.job.values import Job, JobHole
from handbarrow.sheets.blocks import Block, Cell, section, strong, table, ticks
from handbarrow.sheets.shown import soft
from handbarrow.sheets.words_hardware import FITS, HOLES

__all__ = ["drills", "hole_purpose"]

Kind = tuple[float, str, str, bool]
"""Drill [mm], screw, fit, whether it is a nut that is drilled out."""


def drills(job: Job, level: int) -> list[Block]:
    """Return the table of drills, the smallest first; nothing where nothing is drilled.

    Args:
        job: The job, or some of its parts.
        level: 1 starts a sheet.
    """
    counts: dict[Kind, dict[str, int]] = {}
    for part in job.parts:
        for hole in part.holes:
            if hole.length <= hole.diameter:
                where = counts.setdefault(_kind(hole), {})
                where[part.title] = where.get(part.title, 0) + part.quantity * part.items * job.units
    if not counts:
        return []
    columns = [
        (HOLES["drill"], 0.6, "r"),
        (HOLES["what_for"], 1.6, "l"),
        (HOLES["count"], 0.5, "r"),
        (HOLES["where"], 2.4, "l"),
        ("", 0, "c"),
    ]
    shown = job.workshop.shown
    rows: list[list[Cell]] = [
        [
            strong(f"Ø{shown.length(kind[0], 'fine')}"),
            hole_purpose(*kind[1:]),
            str(sum(where.values())),
            soft(", ".join(HOLES["where_one"].format(part=part, count=count) for part, count in where.items())),
            ticks(),
        ]
        for kind, where in sorted(counts.items())
    ]
    remarks: list[Cell] = [HOLES["source"]] if any(kind[1] for kind in counts) else []
    if any(kind[3] for kind in counts):
        remarks.append(HOLES["nut_caution"])
    return [
        section(HOLES["title"], table(columns, rows), level=level, lead=HOLES["lead"], remarks=remarks, code="+drills")
    ]


def _kind(hole: JobHole) -> Kind:
    return round(hole.diameter, 3), hole.screw, hole.fit, hole.face == "middle"


def hole_purpose(screw: str, fit: str, is_nut: bool) -> str:
    """Say what a hole is for; empty where the design gives no more than its size."""
    if not screw:
        return HOLES["plain"]
    key = "drilled_out" if is_nut else "tap" if fit == "tapped" else "goes_through"
    return HOLES[key].format(screw=screw, fit=FITS.get(fit, fit))
