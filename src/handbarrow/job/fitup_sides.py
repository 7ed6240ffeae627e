"""Sides and names: which side of the product something is on, and how pieces of one part are told apart."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from handbarrow.design.values import Target
from handbarrow.job.fitup_values import Side
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Centreline, Floats, layout
from handbarrow.laws.geometry.rigid import moved

__all__ = ["end_side", "lean_of", "leg_sides", "named_pieces", "piece_sides", "side_of"]

SIDES: tuple[tuple[Side, Side], ...] = (("front", "rear"), ("left", "right"), ("top", "bottom"))
SAME = 1.0
"""Pieces whose middles differ by less than this along an axis are level there [mm]."""


def side_of(way: Floats) -> tuple[Side, float]:
    """Return the side that a direction points to, and by how much it is turned away from it [rad]."""
    size = float(np.linalg.norm(way))
    if size < 1e-9:
        return "top", 0.0
    k = int(np.argmax(np.abs(way) - np.array([0.0, 1e-6, 2e-6]) * size))
    return SIDES[k][0 if way[k] > 0 else 1], math.acos(min(1.0, abs(float(way[k])) / size))


def lean_of(way: Floats) -> Side | None:
    """Return the side towards which a direction is turned from its nearest one; None: it is not."""
    size = float(np.linalg.norm(way))
    rest = np.asarray(way, float).copy()
    rest[int(np.argmax(np.abs(way)))] = 0.0
    return side_of(rest)[0] if float(np.linalg.norm(rest)) > 1e-3 * size else None


def leg_sides(line: Centreline, transform: Floats) -> tuple[Side | None, ...]:
    """Return where each straight lies in a bent run; None where that does not tell the straights apart."""
    place = layout(line)
    count = len(place.straights)
    if count == 1:
        return (None,)
    starts = np.array([place.start, *place.tangents_out])
    middles = moved(transform, starts + place.directions * place.straights[:, None] / 2)
    centre = (middles.min(axis=0) + middles.max(axis=0)) / 2
    ends = moved(transform, np.array(line.points))
    centre = (ends.min(axis=0) + ends.max(axis=0)) / 2 if count <= 3 else centre
    sides = [side_of(middle - centre)[0] for middle in middles]
    return tuple(sides) if len(set(sides)) == count else (None,) * count


def end_side(job: Job, piece: Target, end: str) -> Side:
    """Return on which side of a run's middle one of its ends lies."""
    points = _corners(job, piece)
    here = points[0] if end == "start" else points[-1]
    other = points[-1] if end == "start" else points[0]
    away = here - other
    return side_of(away if float(np.linalg.norm(away)) > SAME else here - points.mean(axis=0))[0]


def _corners(job: Job, piece: Target) -> Floats:
    """Corners of a run's centreline, or the middle of anything else, product axes."""
    line = job.part(piece.part).centreline
    own = np.asarray(line.points if line else [job.part(piece.part).centre_of_mass or (0.0, 0.0, 0.0)], float)
    place = next(p for p in job.placements if p.part == piece.part and p.copy == piece.copy)
    return moved(np.asarray(place.transform, float), own)


def named_pieces(job: Job, pieces: Sequence[Target]) -> dict[Target, tuple[Side, ...]]:
    """Return for each of some pieces the sides that tell it from the other copies of its part."""
    out: dict[Target, tuple[Side, ...]] = {}
    for part in dict.fromkeys(p.part for p in pieces):
        mine = [p for p in pieces if p.part == part]
        out |= dict(zip(mine, piece_sides([_corners(job, p).mean(axis=0) for p in mine]), strict=True))
    return out


def piece_sides(middles: Sequence[Floats]) -> list[tuple[Side, ...]]:
    """Return for each piece of one part the sides that tell it from the others, as front left; empty: they don't."""
    if len(middles) < 2:
        return [() for _ in middles]
    points = np.asarray(middles)
    out: list[list[Side]] = [[] for _ in middles]
    for axis in (0, 2, 1):
        values = points[:, axis]
        low, high = float(values.min()), float(values.max())
        split = np.minimum(np.abs(values - low), np.abs(values - high)) < SAME
        if high - low > SAME and split.all():
            for i, value in enumerate(values):
                out[i].append(SIDES[axis][0 if abs(value - high) < SAME else 1])
    names = [tuple(sides) for sides in out]
    return names if len(set(names)) == len(names) else [() for _ in middles]
