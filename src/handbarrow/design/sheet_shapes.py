"""Sheet metal as the design says it: a flat with folded sides and hems, or a strip rolled to an arc. Lengths mm."""

from __future__ import annotations

from dataclasses import dataclass

from handbarrow.laws.folding.edge_sides import SideWish
from handbarrow.laws.folding.hems import SheetHem
from handbarrow.laws.geometry.path import Vec2, Vec3

__all__ = ["RAW", "Rolled", "Sheet", "SheetHole"]

RAW = SheetHem(kind="raw")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetHole:
    """A hole (`length` 0) or slot.

    Attributes:
        at: On the flat in its own x and y; on a side: along its edge from where that starts, and from the outside of
            the flat; on a rolled strip: round its arc from its start, measured on the blank, and from its left edge.
        side: Number of what is folded along an edge, from 0; None: in the flat.
        panel: On which of its sides, from 0: the one that is folded at the edge.
        diameter: Or the width of a slot.
        length: Of a slot over all; 0 for a hole.
        angle_rad: Of a slot.
        screw: As of a `BarHole`.
        fit: As of a `BarHole`.
        note: A remark.
    """

    at: Vec2
    side: int | None = None
    panel: int = 0
    diameter: float
    length: float = 0.0
    angle_rad: float = 0.0
    screw: str = ""
    fit: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rolled:
    """A strip rolled to an arc about its own y, the middle of the arc towards `facing`.

    Attributes:
        inside_radius: Of its inner face [mm].
        arc_rad: How far it goes round.
        width: Over both its edges, along its own y [mm].
        left: Hem of the edge at greater y.
        right: Hem of the other edge.
    """

    inside_radius: float
    arc_rad: float
    width: float
    left: SheetHem = RAW
    right: SheetHem = RAW


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A part of sheet: `outline` with what is folded up and down along its edges, or `rolled`.

    The outline runs to the outside of what is folded; the lower face of the flat lies in the plane z = 0.

    Attributes:
        stock: Role.
        outline: Of the flat in its own x, y, counter-clockwise; empty if it is rolled.
        sides: What is folded along its edges, in the order written.
        holes: Holes and slots.
        rolled: The strip, if it is one.
        gap: Left between two folded sides at a corner [mm].
        grain: How the rolling direction of the sheet must lie: along its own `x`, along `y`, or no matter.
        at: Where its own origin sits; of a rolled strip the middle of its axis.
        along: Its own x.
        facing: Its own z.
    """

    stock: str
    outline: tuple[Vec2, ...] = ()
    sides: tuple[SideWish, ...] = ()
    holes: tuple[SheetHole, ...] = ()
    rolled: Rolled | None = None
    gap: float = 0.0
    grain: str = ""
    at: Vec3 = (0.0, 0.0, 0.0)
    along: Vec3 = (1.0, 0.0, 0.0)
    facing: Vec3 = (0.0, 0.0, 1.0)
