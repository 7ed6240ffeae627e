"""Lengths of bent tube: developed length, gain, legs to the outside, the trade's offset multipliers, marks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

__all__ = [
    "bend_marks",
    "bend_starts",
    "developed_length",
    "gain",
    "offset_multiplier",
    "offset_shrink",
    "outside_leg_allowance",
]

Feed = Literal["start", "end"]


def developed_length(straights: Sequence[float], used: Sequence[float]) -> float:
    """Return the length of the straight tube [mm] before kerf and trim.

    Args:
        straights: The n + 1 straights between tangent points [mm].
        used: Length that each of the n bends uses [mm].

    Raises:
        ValueError: If there is not exactly one more straight than bends.

    Source: plane geometry, sum of straights + sum of R A - stretch.

    >>> round(developed_length([400.0, 400.0], [100 * math.pi / 2]), 2)
    957.08
    """
    if len(straights) != len(used) + 1:
        raise ValueError(f"{len(used)} bends need {len(used) + 1} straights, got {len(straights)}")
    return math.fsum(straights) + math.fsum(used)


def gain(radius: float, angle_rad: float) -> float:
    """Return how much shorter a bend of radius [mm] and angle [rad] is than its two legs to the corner [mm].

    Source: 2 R tan(A/2) - R A, plane geometry; for 90 degrees 0.4292 R.

    >>> round(gain(1.0, math.pi / 2), 4)
    0.4292
    """
    return 2 * radius * math.tan(angle_rad / 2) - radius * angle_rad


def outside_leg_allowance(inside_radius: float, size: float) -> float:
    """Return what is taken off two legs measured to the outside of one 90 degree bend [mm].

    Args:
        inside_radius: Radius on the inside of the bend [mm].
        size: Outside size of the bar or tube in the plane of the bend [mm].

    Source: 2 (r + d) - (r + d/2) pi/2, plane geometry; bar-bending codes round it to 0.5 r + d.

    >>> round(outside_leg_allowance(20.0, 10.0), 3)
    20.73
    """
    return 2 * (inside_radius + size) - (inside_radius + size / 2) * math.pi / 2


def offset_multiplier(angle_rad: float) -> float:
    """Return travel between the two bends of an offset over its set [-].

    Source: 1/sin A, plane geometry of the centrelines' corners, A the bend angle [rad]. The trade's tables round it.

    >>> round(offset_multiplier(math.radians(30)), 6)
    2.0
    """
    return 1 / math.sin(angle_rad)


def offset_shrink(angle_rad: float) -> float:
    """Return how much an offset shortens the run, over its set [-].

    Source: 1/sin A - 1/tan A = tan(A/2), plane geometry with sharp corners, A the bend angle [rad].

    >>> round(offset_shrink(math.radians(30)), 4)
    0.2679
    """
    return math.tan(angle_rad / 2)


def bend_starts(straights: Sequence[float], used: Sequence[float]) -> list[float]:
    """Return where each bend starts on the straight tube [mm].

    Args:
        straights: n + 1 straights between tangent points [mm], the first from where the tape is hooked.
        used: Length that each of the n bends uses [mm].

    Source: start_1 = straight_1, start_{i+1} = start_i + used_i + straight_{i+1} (conventions).

    >>> bend_starts([100.0, 200.0, 50.0], [120.0, 120.0])
    [100.0, 420.0]
    """
    out, run = [], 0.0
    for straight, use in zip(straights, used, strict=False):
        run += straight
        out.append(run)
        run += use
    return out


def bend_marks(
    straights: Sequence[float], used: Sequence[float], offsets: Sequence[float], feeds: Sequence[Feed]
) -> list[float]:
    """Return the marks for the die's reference line on the straight tube [mm].

    Args:
        straights: n + 1 straights between tangent points [mm], the first from where the tape is hooked.
        used: Length that each of the n bends uses [mm].
        offsets: Reference offset of the die of each bend [mm].
        feeds: Which side is held at each bend; `end`: the tube is fed the other way round, so that the bend starts at
            its far tangent point and the reference line lies beyond it.

    Source: the conventions: mark = start of bend - offset, or end of bend + offset.

    >>> bend_marks([100.0, 200.0, 50.0], [120.0, 120.0], [14.0, 14.0], ["start", "end"])
    [86.0, 554.0]
    """
    starts = bend_starts(straights, used)
    return [
        start - offset if feed == "start" else start + use + offset
        for start, use, offset, feed in zip(starts, used, offsets, feeds, strict=True)
    ]
