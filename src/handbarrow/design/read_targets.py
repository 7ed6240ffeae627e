"""Names of parts, copies and points as they are written: `drawbar`, `leg copy 2`, `drawbar corner 2`."""

from __future__ import annotations

import re

from handbarrow.design.values import ResultPoint, Target
from handbarrow.language import said
from handbarrow.reading.spot import Spot

__all__ = ["point_of", "target_of", "targets_of"]

PART = r"(?P<part>[a-z0-9][a-z0-9-]{0,59})(?: copy (?P<copy>[0-9]{1,4}))?"
TARGET = re.compile(PART, re.ASCII)
POINT = re.compile(PART + r" (?P<at>start|end|middle|centre|corner [0-9]{1,3})", re.ASCII)


def target_of(spot: Spot) -> Target | None:
    """Return the part and copy that a text names; whether they exist is asked once all parts are read."""
    text = spot.text(said("a part, as `drawbar` or `leg copy 2`"))
    found = TARGET.fullmatch(text)
    if found is None:
        if text:
            spot.refuse(
                code="target-unclear",
                wrong=said("{seen} names no part", seen=spot.seen),
                expected=said("a part's key, as `drawbar`, or one of its copies, as `leg copy 2`"),
                fix=said("write the part's key as it stands under `parts`"),
            )
        return None
    return Target(part=found["part"], copy=int(found["copy"] or 1))


def targets_of(spot: Spot, most: int | None = None) -> tuple[tuple[Spot, Target], ...]:
    """Return one part or a list of them, each with the value that names it."""
    spots = spot.items(said("parts"), 1, most) if spot.is_list else [spot]
    found = [(one, target_of(one)) for one in spots]
    return tuple((one, target) for one, target in found if target is not None)


def point_of(spot: Spot) -> ResultPoint | None:
    """Return the point that a text names."""
    text = spot.text(said("a point, as `drawbar end`"))
    found = POINT.fullmatch(text)
    if found is None:
        if text:
            spot.refuse(
                code="point-unclear",
                wrong=said("{seen} names no point", seen=spot.seen),
                expected=said("a part and a place: `drawbar start`, `end`, `middle`, `corner 2`, `axle-plate centre`"),
                fix=said("write the part's key, then the place"),
            )
        return None
    return ResultPoint(target=Target(part=found["part"], copy=int(found["copy"] or 1)), at=found["at"])
