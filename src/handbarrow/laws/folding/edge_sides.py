"""What is folded along the edges of a flat: the end view of each side, and how sides share the corners. Lengths mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.folding.hems import SheetHem, hem_folds
from handbarrow.laws.folding.limits import corner_relief
from handbarrow.laws.folding.strip import Fold, FoldedStrip, strip_from_sizes
from handbarrow.laws.folding.uses import outside_reach

__all__ = ["EdgeSide", "SideWish", "set_sides", "side_strip"]

Floats = NDArray[np.float64]
SQUARE_ENOUGH = math.radians(0.5)
NEAR = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class SideWish:
    """What is to be folded along an edge; as `FlatPart` wants it once its place along the edge is settled.

    Attributes:
        edge: Number of the edge, from 0.
        heights: Outside sizes of its sides, outwards [mm].
        folds: The fold before each of them.
        hem: Of its free edge.
        hem_up: Whether the hem is folded up.
        start: Where along the edge it begins [mm]; None: as far as there is room.
        end: Where it ends [mm]; None: as far as there is room.
    """

    edge: int
    heights: tuple[float, ...]
    folds: tuple[Fold, ...]
    hem: SheetHem
    hem_up: bool
    start: float | None = None
    end: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeSide:
    """What is folded along an edge, set in its place.

    Attributes:
        edge: Number of the edge, from 0.
        strip: Its end view from where its first fold begins: the first flat is 0 long.
        inset: From the line of the edge in to where the first fold begins [mm].
        start: Where along the edge it begins, beyond its first fold [mm].
        end: Where it ends [mm].
        from_corner: Whether it begins at the corner, without a relief.
        to_corner: Whether it ends at the corner.
    """

    edge: int
    strip: FoldedStrip
    inset: float
    start: float
    end: float
    from_corner: bool
    to_corner: bool

    @property
    def first_uses(self) -> float:
        """What its first fold uses of the blank [mm]."""
        return self.strip.uses[0]


def side_strip(wish: SideWish, thickness: float) -> tuple[FoldedStrip, float]:
    """Return the end view of a side from where its first fold begins, and the inset of that from the edge's line [mm].

    Args:
        wish: The side.
        thickness: Of the sheet [mm].

    Raises:
        ValueError: If a side or a hem is too short for its folds, or there is nothing to fold.

    Source: plane geometry; sizes to the outside, hems to their outermost point.
    """
    turn = math.pi if wish.hem_up else -math.pi
    more = hem_folds(wish.hem, thickness)
    folds = [*wish.folds, *(Fold(angle_rad=turn, radius=r, share=wish.hem.share) for _, r in more)]
    if not folds:
        raise ValueError("nothing is folded along the edge")
    inset = outside_reach(folds[0].angle_rad, folds[0].radius + thickness)
    sizes = [inset, *wish.heights, *(size for size, _ in more)]
    strip = strip_from_sizes(sizes, folds, thickness)
    return replace(strip, flats=(0.0, *strip.flats[1:])), inset


def set_sides(outline: Floats, wishes: Sequence[SideWish], thickness: float, gap: float = 0.0) -> tuple[EdgeSide, ...]:
    """Return the sides in their places along the edges.

    Args:
        outline: (n, 2) of the flat [mm].
        wishes: The sides, in the order in which they have the corners: where two square sides fold the same way at a
            square corner, the first goes through and the second stands between; else both stand back.
        thickness: Of the sheet [mm].
        gap: Left between two sides at a corner [mm].

    Raises:
        ValueError: If a side is too short for its folds or has no room along its edge.

    Source: plane geometry.
    """
    made = [side_strip(wish, thickness) for wish in wishes]
    insets = {(w.edge, end): inset for w, (_, inset) in zip(wishes, made, strict=True) for end in _free_ends(w)}
    out = []
    for number, (wish, (strip, inset)) in enumerate(zip(wishes, made, strict=True)):
        length = float(np.hypot(*(np.roll(outline, -1, axis=0)[wish.edge] - outline[wish.edge])))
        start, end = wish.start, wish.end
        if start is None:
            start = _stands_back(outline, (wishes, number), insets, "start", thickness, gap)
        if end is None:
            end = length - _stands_back(outline, (wishes, number), insets, "end", thickness, gap)
        if end - start < thickness or start < -NEAR or end > length + NEAR:
            raise ValueError(f"from {start:.2f} to {end:.2f} mm of {length:.2f} mm: no room along the edge")
        sliver = corner_relief(thickness, strip.folds[0].radius)[0] + thickness
        out.append(
            EdgeSide(
                edge=wish.edge, strip=strip, inset=inset, start=start, end=end,
                from_corner=wish.start is None or start < sliver, to_corner=wish.end is None or length - end < sliver,
            )
        )  # fmt: skip
    return tuple(out)


def _free_ends(wish: SideWish) -> tuple[str, ...]:
    return tuple(end for end, given in (("start", wish.start), ("end", wish.end)) if given is None)


def _stands_back(
    outline: Floats,
    which: tuple[Sequence[SideWish], int],
    insets: dict[tuple[int, str], float],
    end: Literal["start", "end"],
    thickness: float,
    gap: float,
) -> float:
    """How far a side stands back from the corner at one of its ends."""
    wishes, number = which
    wish, n = wishes[number], len(outline)
    beside = (wish.edge - 1) % n if end == "start" else (wish.edge + 1) % n
    other = "end" if end == "start" else "start"
    inset = insets.get((beside, other))
    if inset is None:
        return 0.0
    corner = wish.edge if end == "start" else beside
    before, after = outline[corner] - outline[corner - 1], outline[(corner + 1) % n] - outline[corner]
    turn = math.atan2(before[0] * after[1] - before[1] * after[0], float(before @ after))
    rival = next(i for i, w in enumerate(wishes) if w.edge == beside and other in _free_ends(w))
    square = abs(turn - math.pi / 2) < SQUARE_ENOUGH and _square_alike(wish, wishes[rival])
    if square:
        return 0.0 if number < rival else thickness + gap
    back = max(inset / math.sin(turn), 0.0) if 0.1 < turn < math.pi - 0.1 else inset
    hem = wishes[rival].hem.width if not wishes[rival].folds and number > rival else 0.0
    return back + hem + gap


def _square_alike(one: SideWish, other: SideWish) -> bool:
    if not (one.folds and other.folds):
        return False
    a, b = one.folds[0].angle_rad, other.folds[0].angle_rad
    return a * b > 0 and all(abs(abs(v) - math.pi / 2) < SQUARE_ENOUGH for v in (a, b))
