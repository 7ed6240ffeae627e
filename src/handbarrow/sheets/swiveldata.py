"""How far a hitch turns, in the job data."""

from __future__ import annotations

import math
from typing import Any

from handbarrow.design.values import Target
from handbarrow.job.swivel import Reach
from handbarrow.sheets.jsonnumbers import fine, num, nums

__all__ = ["swivel_document"]

Json = dict[str, Any]


def swivel_document(reach: Reach, lift: float) -> Json:
    """Return one way of a hitch as plain values, product axes."""
    x, y, z = reach.swivel.about
    return {
        "way": reach.swivel.way,
        "turns": list(reach.swivel.turns),
        "axis": fine(reach.swivel.axis),
        "about": nums((x, y, z + lift)),
        "needs": num(math.degrees(reach.swivel.needs_rad)),
        "forth": num(math.degrees(reach.forth_rad)),
        "back": num(math.degrees(reach.back_rad)),
        "forth_hits": _hits(reach.forth_hits),
        "back_hits": _hits(reach.back_hits),
    }


def _hits(found: tuple[Target, Target] | None) -> list[Json]:
    return [{"part": target.part, "copy": target.copy} for target in found or ()]
