"""How hard each part is used, on the product as it stands: lines as heavy as the part is used, numbers in percent."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise

from handbarrow.drawings.hidden import look, named_view
from handbarrow.drawings.model import FINE, HEAVY, MEDIUM, Drawing, Point, Stroke, Text
from handbarrow.drawings.placing import Room
from handbarrow.drawings.product import job_solids, part_way, put_balloon
from handbarrow.drawings.words import USED
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Floats

__all__ = ["HARD", "LEAST_SHOWN", "used_view"]

HARD, HALF_HARD = 2 / 3, 1 / 3
"""Shares of what a part may bear from which its lines are heavy and medium; at two thirds safety falls below 1.5."""
LEAST_SHOWN = 0.05
"""Parts used less than this have no number."""
MARGIN = 9.0


def used_view(job: Job, used: Mapping[str, float], box: tuple[float, float], view: str = "isometric") -> Drawing:
    """Return the product with the use of its parts.

    Args:
        job: The job.
        used: Share of what it may bear, by the part's id; parts that are not in it are drawn fine.
        box: Width and height of the drawing [mm].
        view: As in `product_view`.
    """
    lines = look(job_solids(job), named_view(view))
    alt = USED["alt"].format(what=job.design.name)
    if not lines.seen:
        return Drawing(width=box[0], height=box[1], alt=alt, name="used")
    wide, high = max(lines.high[0] - lines.low[0], 1.0), max(lines.high[1] - lines.low[1], 1.0)
    scale = min((box[0] - 2 * MARGIN) / wide, (box[1] - 2 * MARGIN) / high)
    left, top = (box[0] - wide * scale) / 2, (box[1] - high * scale) / 2

    def at(line: Floats) -> tuple[Point, ...]:
        return tuple(
            (left + (float(x) - lines.low[0]) * scale, top + (lines.high[1] - float(y)) * scale) for x, y in line
        )

    seen = [(name, at(line)) for name, line in lines.seen]
    strokes = [Stroke(points=points, weight=_weight(used.get(name, 0.0)), layer="outline") for name, points in seen]
    words: list[Text] = []
    room = Room(*box)
    room.block(strokes)
    for name, share in sorted(used.items(), key=lambda item: -item[1]):
        mine = [points for part, points in seen if part == name]
        if share < LEAST_SHOWN or not mine:
            continue
        longest = max(mine, key=lambda line: sum(math.dist(a, b) for a, b in pairwise(line)))
        anchors = [part_way(longest, f) for f in (0.5, 0.3, 0.7, 0.15, 0.85)]
        found = put_balloon(room, f"{100 * share:.0f}", anchors, (box[0] / 2, box[1] / 2))
        if found is not None:
            strokes += found[0]
            words.append(found[1])
    return Drawing(
        width=box[0], height=box[1], strokes=tuple(strokes), words=tuple(words), scale=scale, alt=alt, name="used"
    )


def _weight(share: float) -> float:
    return HEAVY if share >= HARD else MEDIUM if share >= HALF_HARD else FINE
