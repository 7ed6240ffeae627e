"""Edges of cloth: what hems and seams take, cut size from finished size and back, where the fold lines lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = [
    "SEAM_ALLOWANCES",
    "ClothEdge",
    "ClothPanel",
    "EdgeKind",
    "cut_panel",
    "edge_takes",
    "finished_panel",
    "hem_lines",
]

EdgeKind = Literal["raw", "hem", "double hem", "seam"]

SEAM_ALLOWANCES = {"plain": 10.0, "french": 15.0, "flat felled": 15.0, "bound": 15.0}
"""What one panel gives to a seam [mm]: garment practice, read on two sewing pages; coated cloth needs its own."""
STITCH_FROM_FOLD = 3.0
"""From the inner fold of a hem to its stitches [mm]: 1/8 in, read in US Army FM 10-16."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothEdge:
    """How an edge is finished.

    Attributes:
        kind: `raw`; `hem`: folded once; `double hem`: folded twice, the raw edge inside; `seam`: sewn to another panel.
        width: Of the finished hem, or what the seam takes of this panel [mm].
        turn_under: The first fold of a double hem [mm]; None: as wide as the hem.
    """

    kind: EdgeKind = "raw"
    width: float = 0.0
    turn_under: float | None = None

    def __post_init__(self) -> None:
        if self.width < 0 or (self.kind == "raw") != (self.width == 0):
            raise ValueError(f"width={self.width:g} mm does not go with the edge `{self.kind}`")
        if self.turn_under is not None and (self.kind != "double hem" or not 0 < self.turn_under <= self.width):
            raise ValueError(f"turn_under={self.turn_under:g} mm: more than 0, at most the hem, for a double hem only")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothPanel:
    """A rectangular panel.

    Attributes:
        length: Along the panel, from head to foot [mm].
        width: Across it [mm].
        head: The edge at the head end.
        foot: The edge at the foot end.
        left: The edge on the left, seen from the foot.
        right: The edge on the right.
    """

    length: float
    width: float
    head: ClothEdge
    foot: ClothEdge
    left: ClothEdge
    right: ClothEdge


def edge_takes(edge: ClothEdge) -> float:
    """Return what an edge takes of the cut cloth beyond its finished edge [mm].

    Args:
        edge: How it is finished.

    Source: a hem folded once takes its width, a double hem its turn-under as well (US Army FM 10-16, read: 1/2 in and
    1 in make 1 1/2 in).

    >>> edge_takes(ClothEdge(kind="double hem", width=25.0, turn_under=12.5))
    37.5
    """
    if edge.kind == "double hem":
        return edge.width + (edge.width if edge.turn_under is None else edge.turn_under)
    return edge.width


def hem_lines(edge: ClothEdge) -> tuple[float, ...]:
    """Return where to draw lines on the cut cloth: the folds, the first made first, then the stitches [mm].

    Args:
        edge: How it is finished.

    Returns:
        Distances from the cut edge, for the folds; for the stitches likewise, as the cloth lies flat.

    Source: plane geometry; stitches 3 mm from the inner fold (US Army FM 10-16, read: 1/8 in). In a seam the stitches
    run at its allowance.

    >>> hem_lines(ClothEdge(kind="double hem", width=25.0))
    (25.0, 50.0, 72.0)
    """
    if edge.kind == "raw":
        return ()
    if edge.kind == "seam":
        return (edge.width,)
    takes = edge_takes(edge)
    stitches = takes + max(edge.width - STITCH_FROM_FOLD, edge.width / 2)
    return (takes - edge.width, takes, stitches) if edge.kind == "double hem" else (takes, stitches)


def cut_panel(finished: ClothPanel) -> tuple[float, float]:
    """Return length and width to cut for a panel of finished size [mm]. Source: sizes and what the edges take.

    >>> hem = ClothEdge(kind="hem", width=50.0)
    >>> cut_panel(ClothPanel(length=1900.0, width=400.0, head=hem, foot=hem, left=hem, right=hem))
    (2000.0, 500.0)
    """
    return (
        finished.length + edge_takes(finished.head) + edge_takes(finished.foot),
        finished.width + edge_takes(finished.left) + edge_takes(finished.right),
    )


def finished_panel(cut: ClothPanel) -> tuple[float, float]:
    """Return finished length and width of a panel cut to a size [mm]; `cut` holds the sizes as cut.

    Raises:
        ValueError: If the edges take more than there is.

    Source: `cut_panel` turned round.
    """
    length = cut.length - edge_takes(cut.head) - edge_takes(cut.foot)
    width = cut.width - edge_takes(cut.left) - edge_takes(cut.right)
    if length <= 0 or width <= 0:
        raise ValueError(f"cut {cut.length:g} x {cut.width:g} mm: the edges take all of it")
    return length, width
