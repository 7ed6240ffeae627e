"""Where round the tube its weld seam goes: near the neutral side of every bend, where that can be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np

__all__ = ["NEUTRAL_RAD", "SeamPlace", "seam_place"]

NEUTRAL_RAD = math.radians(30)
"""Within this angle of the neutral line the seam sees at most half of the strain (common practice, no source)."""


class SeamPlace(NamedTuple):
    """Direction of the seam from the crown line [rad], bends (from 0) that get it, and on which side.

    Where some bends get it on the outside, those are named; others may have it on their inside.
    """

    from_crown_rad: float
    taken_by: tuple[int, ...]
    side: Literal["neutral", "inside", "outside"]


def seam_place(normals_rad: Sequence[float], tightness: Sequence[float], *, faces_only: bool = False) -> SeamPlace:
    """Choose where the weld seam goes.

    Args:
        normals_rad: n directions of the bends' normals from the crown line, right-handed about the run [rad].
        tightness: n strains at the outside of each bend, half outside size over radius [-].
        faces_only: Only the middles of the four faces (square tube).

    Returns:
        The place: fewest bends with the seam on their outside, then fewest with it on the inside, then the smallest
        strain, then nearest to the crown line.

    Source: strain at an angle d from the neutral line is sin d times the outer one (closed form).
    """
    normals, tight = np.asarray(normals_rad, float), np.asarray(tightness, float)
    ring = np.arange(4) * math.pi / 2 if faces_only else np.radians(np.arange(360))
    # The inside of a bend lies a quarter turn back from its normal, the outside a quarter turn on.
    out = np.sin(ring[:, None] - normals[None, :])
    limit = math.sin(NEUTRAL_RAD) + 1e-9
    outside, taken = (out > limit).sum(axis=1), (np.abs(out) > limit).sum(axis=1)
    strain = np.round((np.abs(out) * tight).max(axis=1), 6)
    away = np.round(np.abs(np.arctan2(np.sin(ring), np.cos(ring))), 9)
    best = int(np.lexsort((ring, away, strain, taken, outside))[0])
    side: Literal["neutral", "inside", "outside"] = "neutral"
    if taken[best]:
        side = "outside" if outside[best] else "inside"
    hit = np.flatnonzero((out[best] if side == "outside" else np.abs(out[best])) > limit)
    return SeamPlace(from_crown_rad=float(ring[best]), taken_by=tuple(int(k) for k in hit), side=side)
