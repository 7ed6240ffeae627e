"""What is wrong with the holes of plates."""

from __future__ import annotations

import numpy as np

from handbarrow.design.values import Part, PlateShape
from handbarrow.findings import Finding
from handbarrow.language import said
from handbarrow.laws.geometry.approach import outline_distance

__all__ = ["plate_findings"]


def plate_findings(part: Part, shape: PlateShape) -> list[Finding]:
    """Return a finding for each hole or slot whose middle lies outside its plate; an open slot may reach in."""
    if not shape.holes:
        return []
    beside = outline_distance(np.asarray(shape.outline, float), np.asarray([h.at for h in shape.holes], float))
    drilled = sum(not hole.length for hole in shape.holes)  # the reader puts them before the slots
    out = []
    for i, (hole, away) in enumerate(zip(shape.holes, beside, strict=True)):
        if away <= (hole.length / 2 if hole.open_edge else 0.0):
            continue
        x, y = hole.at
        out.append(
            Finding(
                code="hole-outside-part",
                where=f"{part.path}.slots[{i - drilled}]" if hole.length else f"{part.path}.holes[{i}]",
                wrong=said("a hole at ({x:.1f}, {y:.1f}) mm, {away:.1f} mm outside the plate", x=x, y=y, away=away),
                expected=said("a place within the outline of {part}", part=part.id),
                fix=said("change `at`: it counts in the plate's own x and y"),
            )
        )
    return out
