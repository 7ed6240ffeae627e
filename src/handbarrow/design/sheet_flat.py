"""A part of sheet as a flat with folded sides, and where its holes lie on the blank and in its own axes."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np

from handbarrow.design.shapes import PlateShape
from handbarrow.design.sheet_shapes import Sheet, SheetHole
from handbarrow.laws.folding.edge_sides import SideWish, set_sides
from handbarrow.laws.folding.flat_part import FlatPart, rolled_strip
from handbarrow.laws.folding.strip import fold_marks
from handbarrow.laws.folding.uses import outside_reach
from handbarrow.laws.geometry.path import Floats, Vec2, cross

__all__ = ["at_home", "clear_of_holes", "flat_part", "hole_side", "on_blank", "own_axes", "side_turn", "zone_frame"]


def at_home(shape: Sheet) -> Sheet:
    """Return a shape in its own axes: what is worked out of that holds wherever it stands, and is kept."""
    return replace(shape, at=(0.0, 0.0, 0.0), along=(1.0, 0.0, 0.0), facing=(0.0, 0.0, 1.0))


@lru_cache(maxsize=256)
def flat_part(shape: Sheet, thickness: float, share: float | None = None) -> FlatPart:
    """Return the part's geometry.

    Args:
        shape: What the design says.
        thickness: Of the sheet [mm].
        share: The shop's own neutral share for folds that have none of their own [-]; None: DIN 6935.

    Raises:
        ValueError: If a side is too short for its folds or has no room along its edge.
    """
    rolled = shape.rolled
    if rolled is not None:
        hems = rolled.right, rolled.left
        return rolled_strip(rolled.inside_radius, rolled.arc_rad, rolled.width, thickness, hems)
    outline = np.asarray(shape.outline, float)
    wishes = shape.sides if share is None else [_with_share(wish, share) for wish in shape.sides]
    return FlatPart(outline=outline, thickness=thickness, sides=set_sides(outline, wishes, thickness, shape.gap))


def _with_share(wish: SideWish, share: float) -> SideWish:
    folds = tuple(fold if fold.share is not None else replace(fold, share=share) for fold in wish.folds)
    return replace(wish, folds=folds)


def hole_side(part: FlatPart, shape: Sheet, hole: SheetHole) -> int | None:
    """Return the side of a part that a hole lies on, None: the flat."""
    return hole.side if shape.rolled is None and hole.side is not None and hole.side < len(part.sides) else None


def side_turn(part: FlatPart, side: int | None) -> float:
    """Return how a side's own x, along its edge, is turned on the blank [rad]."""
    if side is None:
        return 0.0
    _, t, _, _ = part.edge(part.sides[side].edge)
    return math.atan2(float(t[1]), float(t[0]))


def on_blank(part: FlatPart, shape: Sheet, hole: SheetHole) -> Vec2:
    """Return where a hole's centre lies on the blank [mm]."""
    x, y = hole.at
    if shape.rolled is not None:
        low, high = part.outline.min(axis=0), part.outline.max(axis=0)
        return (float(low[0]) + x, float(high[1]) - y)
    side = hole_side(part, shape, hole)
    if side is None:
        return (x, y)
    one = part.sides[side]
    panel = min(hole.panel, len(one.strip.folds) - 1)
    fold = one.strip.folds[panel]
    out = fold_marks(one.strip)[panel].end + y - outside_reach(fold.angle_rad, fold.radius + part.thickness)
    at = part.on_blank(side, np.array([one.start + x]), np.array([out]))[0]
    return (float(at[0]), float(at[1]))


def clear_of_holes(part: FlatPart, shape: Sheet) -> tuple[tuple[float, float], ...]:
    """Return from where to where along x a rolled part has holes [mm]: a zone must not end there."""
    if shape.rolled is None:
        return ()
    out = []
    for hole in shape.holes:
        x, _ = on_blank(part, shape, hole)
        reach = max(hole.length, hole.diameter) / 2 + 0.5
        out.append((x - reach, x + reach))
    return tuple(out)


def zone_frame(part: FlatPart, side: int | None, outline: Floats) -> tuple[Floats, Floats, Floats]:
    """Return origin, axes as rows and outline in them of a zone taken as a flat plate, in the part's own axes.

    The middle of its thickness goes through the corners of the zone.
    """
    low = part.folded(side, outline, np.zeros(len(outline)))
    high = part.folded(side, outline, np.full(len(outline), part.thickness))
    middle = (low + high) / 2
    z = (high - low).sum(axis=0)
    z = z / np.linalg.norm(z)
    spread = middle - middle[0]
    x = spread[int(np.argmax(np.linalg.norm(spread, axis=1)))]
    x = x - z * float(x @ z)
    x = x / np.linalg.norm(x)
    axes = np.array([x, np.cross(z, x), z])
    return middle[0] - z * part.thickness / 2, axes, spread @ axes[:2].T


def own_axes(shape: PlateShape | Sheet) -> Floats:
    """Return the own axes of a plate or a part of sheet as rows, unit and square to each other."""
    z = np.asarray(shape.facing, float)
    z = z / np.linalg.norm(z)
    x = np.asarray(shape.along, float)
    x = x - z * float(x @ z)
    x = x / np.linalg.norm(x)
    return np.array([x, cross(z, x), z])
