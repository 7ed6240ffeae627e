"""Rectangles laid one after the other where the roll is least used yet: a short layout where kinds are mixed."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["laid_lowest"]

NEAR = 1e-6


def laid_lowest(sizes: Sequence[tuple[float, float]], width: float) -> list[tuple[float, float]]:
    """Return places (along, across) of rectangles in the order given [mm].

    Args:
        sizes: Along and across, each no wider than the roll [mm].
        width: Of the roll [mm].

    Source: plane geometry: each goes where its far end lies nearest to the start, then nearest to the edge (computed
    here); no layout of pieces overlaps.

    >>> laid_lowest([(9.0, 4.0), (5.0, 6.0), (4.0, 6.0)], 10.0)
    [(0.0, 0.0), (0.0, 4.0), (5.0, 4.0)]
    """
    front = [(0.0, width, 0.0)]  # from, to, how far along it is used
    out = []
    for length, across in sizes:
        best: tuple[float, float] | None = None
        for i, (start, _, _) in enumerate(front):
            if start + across > width + NEAR:
                break
            along = 0.0
            for _, end, used in front[i:]:
                along = max(along, used)
                if end >= start + across - NEAR:
                    break
            if best is None or along < best[0] - NEAR:
                best = (along, start)
        if best is None:
            raise ValueError(f"{across:g} mm is wider than the roll, {width:g} mm")
        out.append(best)
        front = _raised(front, best[1], best[1] + across, best[0] + length)
    return out


def _raised(
    front: Sequence[tuple[float, float, float]], start: float, end: float, used: float
) -> list[tuple[float, float, float]]:
    """The front with one stretch further along."""
    out: list[tuple[float, float, float]] = []
    for a, b, was in front:
        if a < start - NEAR:
            out.append((a, min(b, start), was))
        if b > end + NEAR:
            out.append((max(a, end), b, was))
    out.append((start, end, used))
    return sorted(out)
