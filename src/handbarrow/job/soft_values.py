"""Panels and straps with everything computed, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.design.soft_shapes import Side
from handbarrow.laws.geometry.path import Vec2, Vec3

__all__ = ["FoldLine", "PanelWork", "Seam", "Station", "StrapPiece", "StrapWork"]

SeamKind = Literal["hem", "seam", "pocket", "window", "patch", "row", "strap"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Stitching of one kind: how long one row is [mm], how many rows, how often; on which edge or with which strap."""

    kind: SeamKind
    on: str
    length: float
    rows: int
    count: int = 1

    @property
    def stitched(self) -> float:
        """Length of all rows [mm]."""
        return self.length * self.rows * self.count


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldLine:
    """A line to draw on the cut cloth: a fold, or a row of stitches; distances as in `PanelWork`."""

    kind: Literal["fold", "stitch"]
    points: tuple[Vec2, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place on an edge where the panel hangs.

    Attributes:
        edge: Which.
        by: The strap.
        at: Along the finished edge, from the named end or from the left [mm].
        on_cut: The same on the cut cloth, from its edge [mm].
        gap: From the finished edge to the axis of what it is tied to [mm].
        sewn: How much of the strap is sewn on [mm].
        laced: Whether one length runs through all places of the edge.
    """

    edge: Side
    by: str
    at: float
    on_cut: float
    gap: float
    sewn: float
    laced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelWork:
    """A panel of cloth. Its axes: x from the finished edge at the named end, y from its middle to the left.

    Attributes:
        named: What is written at the end that the numbers count from.
        finished: Length and width over all [mm].
        cut: The same of the cut cloth [mm].
        outline: Finished, counter-clockwise.
        cut_outline: Of the cut cloth.
        lines: Folds and stitches.
        seams: What is sewn.
        stations: Where it hangs.
        area: Of the cut cloth [mm2].
        thread: Needle and bobbin together [mm].
        minutes: At the machine.
        twist_rad: Of a strip between bows: how far the cloth is from lying flat.
        space: Triangles of the panel in product axes, for pictures.
    """

    named: str
    finished: Vec2
    cut: Vec2
    outline: tuple[Vec2, ...]
    cut_outline: tuple[Vec2, ...]
    lines: tuple[FoldLine, ...]
    seams: tuple[Seam, ...]
    stations: tuple[Station, ...]
    area: float
    thread: float
    minutes: float
    twist_rad: float | None = None
    space: tuple[tuple[Vec3, Vec3, Vec3], ...] = ()

    @property
    def is_rectangle(self) -> bool:
        """Whether it is cut square."""
        return len(self.cut_outline) == 4 and abs(self.area - self.cut[0] * self.cut[1]) < 1e-6 * self.area


@dataclass(frozen=True, slots=True, kw_only=True)
class StrapPiece:
    """Lengths that are alike, for one copy of the part.

    Attributes:
        cut: To cut [mm].
        finished: Between the finished ends, or from the axis of the tube in a loop [mm].
        gauge: From the finished edge of the cloth to the axis of the tube [mm]; None: it hangs nothing.
        count: How many.
        edge: Edge of the panel; empty: none.
    """

    cut: float
    finished: float
    gauge: float | None
    count: int
    edge: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StrapWork:
    """Webbing, cord or elastic.

    Attributes:
        pieces: What is cut.
        length: Of all of it, for one copy [mm].
        knots: In each length.
        knot: What one takes [mm].
        knot_guessed: Whether nobody tried.
        seams: What is sewn on it.
        thread: Needle and bobbin together [mm].
        minutes: At the machine.
        around: What its loops go round.
    """

    pieces: tuple[StrapPiece, ...]
    length: float
    knots: int
    knot: float
    knot_guessed: bool
    seams: tuple[Seam, ...]
    thread: float
    minutes: float
    around: tuple[str, ...] = ()
