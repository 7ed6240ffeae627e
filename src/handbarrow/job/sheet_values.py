"""Parts of sheet as the shop works them: blank, fold lines in their order, what to check. Lengths mm, angles rad."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.folding.flat_part import FlatPart
from handbarrow.laws.geometry.path import Vec2

__all__ = ["CutSheet", "RolledSizes", "SheetFold", "SheetJob", "SheetPiece"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFold:
    """A fold of a part.

    Attributes:
        number: As painted on the blank, from 1.
        order: When it is made, from 1; 0: the folder has no order that makes it.
        side: Number of the folded side, from 1.
        start: One end of the fold line on the blank.
        end: The other.
        angle_rad: By how much it turns; 0 is flat.
        way: `up` or `down`, as seen on the marked face, which is the one towards `facing`.
        radius: Inside radius.
        uses: Length of blank that it uses, half of it on each side of the fold line.
        hem: Kind of the hem that it makes; empty: none.
        turned_over: Whether the sheet lies with its marked face down when it is made.
        height: Outside size of what it folds up, to check.
    """

    number: int
    order: int
    side: int
    start: Vec2
    end: Vec2
    angle_rad: float
    way: Literal["up", "down"]
    radius: float
    uses: float
    hem: str
    turned_over: bool
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RolledSizes:
    """What to check on a rolled strip: radius, arc, chord and rise of its inner face, tape over its outer face."""

    inside_radius: float
    arc_rad: float
    chord: float
    rise: float
    outside_arc: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetJob:
    """How a part of sheet is made.

    Attributes:
        flat: Its geometry, own axes.
        share: The shop's neutral share that it was reckoned with; None: DIN 6935.
        folds: Its folds, in the order of their numbers.
        low: Least x and y of the blank.
        high: Greatest x and y of it.
        grain: `x` or `y`: how the rolling direction must lie on the blank; empty: no matter.
        rule: Where the neutral line was taken from: `DIN 6935`, or the shop's test folds.
        rolled: What to check if it is rolled.
    """

    flat: FlatPart
    share: float | None
    folds: tuple[SheetFold, ...]
    low: Vec2
    high: Vec2
    grain: str
    rule: Literal["DIN 6935", "test folds"]
    rolled: RolledSizes | None = None

    @property
    def length(self) -> float:
        """Of the blank along its own x."""
        return self.high[0] - self.low[0]

    @property
    def width(self) -> float:
        """Of the blank along its own y."""
        return self.high[1] - self.low[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPiece:
    """A blank on a sheet: where its lower left corner lies; `turned`: its own x runs across the sheet."""

    part: str
    x: float
    y: float
    length: float
    width: float
    turned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSheet:
    """A sheet that is cut so `count` times. `cuts`: straight cuts from edge to edge in their order (x0, y0, x1, y1)."""

    stock: str
    length: float
    width: float
    count: int
    pieces: tuple[SheetPiece, ...]
    cuts: tuple[tuple[float, float, float, float], ...]
    used: float
    """Share of it that is blanks [-]."""
    price: float | None
