"""The blank of a part small, with its fold lines and their numbers, and the end view of what is folded, to scale."""

from __future__ import annotations

import math

from handbarrow.drawings.blanks import DASHES, FOLD_LAYERS
from handbarrow.drawings.ink import HEAVY, MEDIUM, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.shapes import balloon
from handbarrow.drawings.words import ALT
from handbarrow.job.values import Job

__all__ = ["fold_sketch"]

EDGE = 6.0
"""White round it [mm]."""


def fold_sketch(job: Job, part_id: str, box: tuple[float, float]) -> Drawing:
    """Return the blank of a part in a box [mm]: outline, holes, fold lines with their numbers.

    Args:
        job: The job.
        part_id: A part of sheet.
        box: Room across and down.

    Raises:
        ValueError: If the part is not of sheet.
    """
    part = job.part(part_id)
    sheet = part.sheet
    if sheet is None:
        raise ValueError(f"{part_id} is not of sheet")
    scale = min((box[0] - 2 * EDGE) / sheet.length, (box[1] - 2 * EDGE) / sheet.width, 1.0)

    def on(point: Point) -> Point:
        return (EDGE + (point[0] - sheet.low[0]) * scale, EDGE + (sheet.high[1] - point[1]) * scale)

    strokes = [Stroke(points=tuple(on(p) for p in part.outline), weight=HEAVY, closed=True, layer="cut")]
    for hole in part.holes:
        reach = max(hole.length - hole.diameter, 0.0) / 2
        c, s, r = math.cos(hole.angle_rad), math.sin(hole.angle_rad), hole.diameter / 2
        around: list[Point] = []
        for k in range(24):
            a = hole.angle_rad + math.pi * (k + 0.5) / 12 - math.pi / 2
            side = 1.0 if k < 12 else -1.0
            around.append((hole.x + side * reach * c + r * math.cos(a), hole.y + side * reach * s + r * math.sin(a)))
        strokes.append(Stroke(points=tuple(on(p) for p in around), weight=MEDIUM, closed=True, layer="drill"))
    words: list[Text] = []
    for fold in sheet.folds:
        one, other = on(fold.start), on(fold.end)
        strokes.append(Stroke(points=(one, other), weight=MEDIUM, dash=DASHES[fold.way], layer=FOLD_LAYERS[fold.way]))
        f = 0.5 + 0.12 * ((fold.number % 3) - 1)
        middle = (one[0] + (other[0] - one[0]) * f, one[1] + (other[1] - one[1]) * f)
        ring, number = balloon(middle, str(fold.number))
        strokes.append(ring)
        words.append(number)
    return Drawing(
        width=2 * EDGE + sheet.length * scale, height=2 * EDGE + sheet.width * scale, strokes=tuple(strokes),
        words=tuple(words), scale=scale, name=f"folds-{part_id}",
        alt=ALT["fold_sketch"].format(part=part.title, folds=len(sheet.folds)),
    )  # fmt: skip
