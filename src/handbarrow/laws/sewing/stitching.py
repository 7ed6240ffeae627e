"""Rows of lockstitch: stitches, thread, strength, time."""

from __future__ import annotations

import math

__all__ = ["boxed_cross", "lockstitch_ratio", "seam_strength", "sewing_minutes", "stitch_count", "thread_needed"]

LOCKSTITCH_RATIO = 2.5
"""Thread, needle and bobbin together, over length of seam [-]: stitch class 301, read on a sewing page."""
LOOP_FACTOR = 1.5
"""Strength of a lockstitch over that of one thread [-]: read on a sewing page and in a thread maker's guide."""


def stitch_count(seam: float, stitch: float) -> int:
    """Return the stitches of a seam.

    Args:
        seam: Its length [mm].
        stitch: Length of a stitch [mm].

    Source: plane counting, seam over stitch, rounded up.

    >>> stitch_count(100.0, 3.0)
    34
    """
    return math.ceil(seam / stitch - 1e-9)


def lockstitch_ratio(stitch: float, thickness: float) -> float:
    """Return length of thread, both together, over length of seam [-].

    Args:
        stitch: Length of a stitch [mm].
        thickness: Of all layers together, as pressed by the stitch [mm].

    Source: closed form (computed here): in each stitch both threads run its length and go down and up through half the
    thickness, 2 (p + t) / p. 3 mm in 0.75 mm of cloth give the 2.5 of sewing pages.

    >>> lockstitch_ratio(3.0, 0.75)
    2.5
    """
    return 2 * (stitch + thickness) / stitch


def thread_needed(seam: float, ratio: float = LOCKSTITCH_RATIO, *, ends: int = 0, tail: float = 100.0) -> float:
    """Return the length of thread for seams, needle and bobbin together [mm].

    Args:
        seam: Length of all rows [mm].
        ratio: Thread over seam [-].
        ends: How many ends of rows leave two tails.
        tail: Length of a tail [mm].

    Source: ratio 2.5 of stitch class 301, read on a sewing page; tails common practice, no source.

    >>> thread_needed(2200.0)
    5500.0
    """
    return seam * ratio + 2 * ends * tail


def seam_strength(thread_n: float, stitch: float, rows: int = 1) -> float:
    """Return what a lockstitch seam holds per length, while cloth and webbing are stronger [N/mm].

    Args:
        thread_n: Breaking strength of the thread [N].
        stitch: Length of a stitch [mm].
        rows: Rows of stitches side by side.

    Source: stitches per length x thread x 1.5 (read in a thread maker's guide and on a sewing page).

    >>> round(seam_strength(2.6 * 4.44822, 25.4 / 8), 2)
    5.46
    """
    return rows * LOOP_FACTOR * thread_n / stitch


def boxed_cross(length: float, width: float, rounds: int = 1) -> float:
    """Return the length of stitching in a box with a cross in it [mm].

    Args:
        length: Of the box along the webbing [mm].
        width: Across it [mm].
        rounds: How often box and cross are sewn.

    Source: plane geometry: four sides and two diagonals.

    >>> boxed_cross(40.0, 30.0)
    240.0
    """
    return rounds * (2 * (length + width) + 2 * math.hypot(length, width))


def sewing_minutes(seam: float, stitch: float, per_minute: float, handling: float = 0.0) -> float:
    """Return minutes for seams: the needle running, and handling.

    Args:
        seam: Length of all rows [mm].
        stitch: Length of a stitch [mm].
        per_minute: Stitches per minute [1/min].
        handling: Share of the time in which the needle stands [-].

    Source: closed form, seam / (stitch x stitches per minute) / (1 - handling).

    >>> round(sewing_minutes(2540.0, 25.4 / 6, 600.0), 6)
    1.0
    """
    if not 0 <= handling < 1:
        raise ValueError(f"handling={handling:g} must lie from 0 to below 1")
    return seam / (stitch * per_minute) / (1 - handling)
