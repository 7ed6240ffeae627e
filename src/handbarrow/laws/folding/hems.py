"""Hemmed edges of sheet: closed, open, folded twice; what they take of the blank and where their folds lie.

The finished size of a hemmed edge runs to its outermost point.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.folding.strip import Fold, FoldedStrip, strip_from_sizes

__all__ = ["HEM_SHARE", "HemKind", "SheetHem", "hem_adds", "hem_fold_lines", "hem_folds", "hemmed_strip"]

HEM_SHARE = 0.5
"""Where the neutral line lies in a fold shut on itself: the middle of the sheet [-]. It gives the trade's rule that a
closed hem uses 43 % of the thickness less than its two outside sizes: 2 - pi/2 = 0.429 (rule read on weak pages)."""

HemKind = Literal["raw", "closed", "open", "double"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetHem:
    """A hemmed edge.

    Attributes:
        kind: `closed`: folded flat on itself; `open`: round a gap; `double`: folded flat twice, the raw edge inside.
        width: From the outermost point of the edge to where the hem ends [mm]; 0 for a raw edge.
        gap: Between the faces of an open hem [mm]: the wire or rod that it is folded round.
        share: Where the neutral line lies [-].
    """

    kind: HemKind
    width: float = 0.0
    gap: float = 0.0
    share: float = HEM_SHARE

    def __post_init__(self) -> None:
        if (self.kind == "raw") != (self.width == 0) or self.width < 0:
            raise ValueError(f"width={self.width:g} mm does not go with a {self.kind} edge")
        if (self.kind == "open") != (self.gap > 0):
            raise ValueError(f"gap={self.gap:g} mm does not go with a {self.kind} edge")


def hem_folds(hem: SheetHem, thickness: float) -> list[tuple[float, float]]:
    """Return the outside size of the layer beyond each fold and its inside radius, from the sheet to its raw edge [mm].

    Source: plane geometry; a hem folded twice lies round itself.
    """
    if hem.kind == "raw":
        return []
    if hem.kind == "double":
        return [(hem.width, thickness / 2), (hem.width - 1.5 * thickness, 0.0)]
    return [(hem.width, hem.gap / 2)]


def hemmed_strip(
    size: float, start: SheetHem, end: SheetHem, thickness: float, turn: Literal["up", "down"] = "up"
) -> FoldedStrip:
    """Return the strip that has a given size over both its hemmed edges.

    Args:
        size: Over the outermost points of the edges [mm].
        start: The edge at its start.
        end: The edge at its end.
        thickness: Of the sheet [mm].
        turn: To which side both hems are folded.

    Raises:
        ValueError: If a hem or the sheet between them is too short for its folds.

    Source: plane geometry. The layers of a closed hem lie close; in a hem folded twice the raw edge stands back from
    the outer fold by what that fold's radius takes.

    >>> edge = SheetHem(kind="closed", width=10.0)
    >>> round(hemmed_strip(100.0, edge, edge, 1.0).blank, 2)
    119.14
    """
    sign = math.pi if turn == "up" else -math.pi
    first, last = hem_folds(start, thickness), hem_folds(end, thickness)
    sizes = [s for s, _ in reversed(first)] + [size] + [s for s, _ in last]
    shares = [start.share] * len(first) + [end.share] * len(last)
    radii = [r for _, r in reversed(first)] + [r for _, r in last]
    folds = [Fold(angle_rad=sign, radius=r, share=k) for r, k in zip(radii, shares, strict=True)]
    return strip_from_sizes(sizes, folds, thickness)


def hem_adds(hem: SheetHem, thickness: float) -> float:
    """Return what a hem adds to the blank beyond the finished size [mm].

    Args:
        hem: The edge.
        thickness: Of the sheet [mm].

    Source: plane geometry, `hemmed_strip`.

    >>> round(hem_adds(SheetHem(kind="closed", width=10.0), 1.0), 3)
    9.571
    """
    size = 10 * (hem.width + thickness)
    return hemmed_strip(size, SheetHem(kind="raw"), hem, thickness).blank - size


def hem_fold_lines(hem: SheetHem, thickness: float) -> tuple[float, ...]:
    """Return the distances of the fold lines from the raw edge of the blank, the first fold made first [mm].

    Args:
        hem: The edge.
        thickness: Of the sheet [mm].

    Source: plane geometry; a fold line is the middle of its fold.

    >>> [round(line, 3) for line in hem_fold_lines(SheetHem(kind="closed", width=10.0), 1.0)]
    [9.785]
    """
    lines, at = [], 0.0
    strip = hemmed_strip(10 * (hem.width + thickness), hem, SheetHem(kind="raw"), thickness)
    for flat, used in zip(strip.flats, strip.uses, strict=False):
        lines.append(at + flat + used / 2)
        at += flat + used
    return tuple(lines)
