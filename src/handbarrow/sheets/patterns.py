"""The patterns of the cutting plan as the saw sees them: bars cut alike are one pattern, whichever copy a piece is."""

from __future__ import annotations

from dataclasses import replace

from handbarrow.job.values import CutBar, Job
from handbarrow.laws.units.shown import rounded

__all__ = ["patterns"]


def patterns(job: Job) -> tuple[CutBar, ...]:
    """Return the bars of the plan, those that are cut alike put together, in the plan's order."""
    out: dict[tuple[object, ...], CutBar] = {}
    for bar in job.cutting.bars:
        pieces = tuple((piece.part, piece.die, rounded(piece.length, 0.01)) for piece in bar.pieces)
        key = (bar.stock, bar.source, bar.length, bar.price, pieces)
        before = out.get(key)
        out[key] = bar if before is None else replace(before, count=before.count + bar.count)
    return tuple(out.values())
