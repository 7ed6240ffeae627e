"""The job: every number that the shop needs for N units, as frozen values.

Lengths mm, angles radians, masses kg, money in the shop's currency. What the printed sheets and the job data say is
read from here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from handbarrow.design.values import Design, Placement, Product, Size
from handbarrow.findings import Finding
from handbarrow.job.bolt_values import Fastener, FastenerItem
from handbarrow.job.former_values import Pull
from handbarrow.job.sheet_values import CutSheet, SheetJob
from handbarrow.job.soft_values import PanelWork, StrapWork
from handbarrow.laws.geometry.path import Centreline, Vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import SetAngleLaw, Workshop

__all__ = [
    "BendCard",
    "BendRow",
    "CheckSize",
    "CutBar",
    "CutPiece",
    "CuttingBound",
    "CuttingPlan",
    "EndCut",
    "Job",
    "JobHole",
    "JobPart",
    "MassSum",
    "MaterialLine",
    "RackLine",
    "Seam",
    "SquareCut",
    "StopSetting",
]


# ------------------------------------------------------------------------------------------------ bends
@dataclass(frozen=True, slots=True, kw_only=True)
class BendRow:
    """One bend of a card.

    Attributes:
        number: Along the tube from the datum end, from 1.
        order: When it is bent, from 1.
        feed: `start`: the side towards the datum end is held; `end`: the far side is held.
        mark: From the tube's datum end (the longest point of the start cut) to the mark for the die's reference line.
        angle_rad: Finished bend angle.
        set_angle_rad: Angle to set.
        turn_rad: Turn before this bend, counted along the tube from the datum end whatever the feed.
        bender_turn_rad: Turn of the tube in the bender since the bend made before it, right-handed about the
            feed direction (0 for the first). Where the feed changes, the tube is first swapped end for end with the
            same side kept up.
        die: Name of the die.
        die_radius: Its radius.
        law: The set-angle law that was used (with its number of test bends; a guess says so).
        radius: Radius as made, R x set angle / angle.
        uses: Length of straight tube that the bend consumes, radius x angle - stretch.
        reference_offset: The die's, repeated so that the card is complete.
        stop_end: Setting of a stop that touches the tube's end on the held side, from the reference line; None: the
            held side is not straight to its end any more, or the stop is not long enough.
        stop_leg: Setting of a stop that touches the leg bent before, on the held side; None: there is none.
        stop: The one the shop uses: `stop_end` or `stop_leg` by its preference, else None (set to the mark).
        crown_rad: Where the crown line stands in the bender at this bend, from up, right-handed about the feed
            direction.
    """

    number: int
    order: int
    feed: Literal["start", "end"]
    mark: float
    angle_rad: float
    set_angle_rad: float
    turn_rad: float
    bender_turn_rad: float
    die: str
    die_radius: float
    law: SetAngleLaw
    radius: float
    uses: float
    reference_offset: float
    stop_end: float | None
    stop_leg: float | None
    stop: float | None
    stop_touches: Literal["end", "leg", "none"]
    crown_rad: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckSize:
    """A size to measure on the bent part.

    Attributes:
        id: Stable short name, as `width-start`, `leg-2`, `diagonal`, `flatness`.
        title: Words for the card.
        value: Wanted value (0 for flatness) [mm, or rad for kind `angle`].
        minus: Lower deviation allowed (positive number).
        plus: Upper deviation allowed.
        measured: Between what: `outside`, `centreline`, `inside`.
        from_point: Where on the part the measure starts, product axes (for drawing it), None where it has no ends.
        to_point: Where it ends.
    """

    id: str
    title: str
    value: float
    minus: float
    plus: float
    measured: Literal["outside", "centreline", "inside", "flat"]
    kind: Literal["length", "angle"] = "length"
    from_point: Vec3 | None = None
    to_point: Vec3 | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Where the weld seam of the tube goes.

    Attributes:
        from_crown_rad: Direction of the seam from the crown line, right-handed about the run.
        clear: Whether it lies near the neutral side in every bend.
        taken_by: Numbers of the bends that get it on their inside or outside.
        side: For those, which side: `inside` or `outside`.
    """

    from_crown_rad: float
    clear: bool
    taken_by: tuple[int, ...] = ()
    side: Literal["neutral", "inside", "outside"] = "neutral"


@dataclass(frozen=True, slots=True, kw_only=True)
class BendCard:
    """Everything the bender station needs for one part. Rows are in order of number."""

    part: str
    rows: tuple[BendRow, ...]
    straights: tuple[float, ...]
    """Finished straights between tangent points; the first and last run to the working points."""
    datum_shift: float
    """From the start's working point into the tube to its longest point: marks count from there."""
    seam: Seam
    check_sizes: tuple[CheckSize, ...]
    planar: bool

    @property
    def in_order(self) -> tuple[BendRow, ...]:
        """Rows in the order in which they are bent."""
        return tuple(sorted(self.rows, key=lambda row: row.order))


@dataclass(frozen=True, slots=True, kw_only=True)
class StopSetting:
    """One setting of the stop for the batch: value, and which bends of which parts use it."""

    value: float
    touches: Literal["end", "leg"]
    die: str
    uses: tuple[tuple[str, int, int], ...]
    """(part, bend number, pieces in the batch)."""


# ------------------------------------------------------------------------------------------------ ends
@dataclass(frozen=True, slots=True, kw_only=True)
class SquareCut:
    """One of the straight cuts that a hacksaw can make instead of a curve.

    Attributes:
        direction_rad: Where round the girth the cut is deepest (towards which side it falls), from the crown.
        angle_rad: Angle of the cut from square.
        at: h where the cutting plane meets the centreline [mm].
        greatest_gap: Largest gap left between this shape and the true curve [mm].
        filing_depth: Deepest metal left to file away [mm].
    """

    direction_rad: float
    angle_rad: float
    at: float
    greatest_gap: float
    filing_depth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EndCut:
    """How one end of a run is cut.

    Attributes:
        kind: `square`, `plane`, `cope` (round a member) or `double` (two members).
        against: Parts met; `against_copies` their copy numbers.
        offset: Distance by which the axes pass, for the first member met [mm].
        wrap: (s, h) pairs round the outside from the crown line; empty for a square end.
        inner_wrap: h of the same stations on the inside of the wall (bevel), empty if solid or square.
        shortest: Smallest h: where the longest point of the tube lies [mm].
        deepest: Largest h [mm].
        bevel_depth: Largest amount by which the inner edge must be relieved [mm].
        square_cuts: One-cut and two-cut stand-ins for a hacksaw: the tuples hold one or two cuts.
        checked: False where the wall-to-diameter or the angle lies outside what was checked; printed on the paper.
    """

    kind: Literal["square", "plane", "cope", "double"]
    against: tuple[str, ...] = ()
    against_copies: tuple[int, ...] = ()
    offset: float = 0.0
    angle_rad: float = 0.0
    """Angle between the run and what it meets (pi/2: square on)."""
    wrap: tuple[tuple[float, float], ...] = ()
    inner_wrap: tuple[float, ...] = ()
    shortest: float = 0.0
    deepest: float = 0.0
    bevel_depth: float = 0.0
    square_cuts: tuple[tuple[SquareCut, ...], ...] = ()
    checked: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class JobHole:
    """A hole or slot to drill: on a run `x` counts along the straight tube from its datum end, on a plate along it.

    `screw` goes through it, or is turned in where `fit` is `tapped`; else `fit` is the series of ISO 273. A nut that is
    drilled out has the face `middle`.
    """

    x: float
    y: float
    face: str
    diameter: float
    length: float = 0.0
    angle_rad: float = 0.0
    open_edge: bool = False
    through: bool = False
    note: str = ""
    screw: str = ""
    fit: str = ""


# ------------------------------------------------------------------------------------------------ parts
@dataclass(frozen=True, slots=True, kw_only=True)
class JobPart:
    """A part with everything computed. `quantity` is for one unit; `mirrored` of these are the other hand.

    Attributes:
        other_hand: Whether a mirrored copy is a different piece (turns and wraps change sign).
        outline: Plate outline in its own axes, before its corners are rounded.
        thickness: Plate thickness.
    """

    id: str
    title: str
    kind: Literal["tube", "bar", "plate", "sheet", "fabric", "webbing", "bought"]
    assembly: str
    quantity: int
    mirrored: int
    other_hand: bool
    stock: str
    mass_kg: float | None
    centre_of_mass: Vec3 | None
    section: Section | None = None
    centreline: Centreline | None = None
    crown: Vec3 | None = None
    developed_length: float | None = None
    cut_length: float | None = None
    card: BendCard | None = None
    pull: Pull | None = None
    """How it is pulled round formers; None: bent on dies, or not at all."""
    straights: tuple[float, ...] = ()
    start: EndCut | None = None
    end: EndCut | None = None
    holes: tuple[JobHole, ...] = ()
    outline: tuple[tuple[float, float], ...] = ()
    corner_radius: float = 0.0
    thickness: float | None = None
    items: int = 1
    """Bought parts: how many of the item one copy stands for."""
    standard: str = ""
    note: str = ""
    fastener: Fastener | None = None
    """Bought parts: the bolt with its washers and nut; `stock` is the bolt then."""
    sheet: SheetJob | None = None
    """Parts of sheet: blank, folds, what to check; `outline` and `holes` are those of the blank."""
    soft: PanelWork | StrapWork | None = None
    beside: tuple[FastenerItem, ...] = ()
    """Wheels: washers that pack the hub between its plates, for one wheel."""


# ------------------------------------------------------------------------------------------------ cutting
@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """A piece of a bar: `at` is where it starts, from the bar's end; `part` empty and `die` set for a test piece."""

    part: str
    copy: int
    at: float
    length: float
    die: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutBar:
    """A pattern, cut `count` times. `source`: from the shop or from the rack. `left`: useful length left over."""

    stock: str
    source: Literal["shop", "rack"]
    length: float
    count: int
    pieces: tuple[CutPiece, ...]
    left: float
    price: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RackLine:
    """An off-cut to keep after the batch."""

    stock: str
    length: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingBound:
    """How good the plan of one stock is. `lower_bound` and `cost` are in `unit` (currency or bars)."""

    stock: str
    used: int
    cost: float
    lower_bound: float
    unit: str
    proven: bool
    gap: float
    """(cost - lower bound) / lower bound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingPlan:
    """Cutting plan of the batch for all bars."""

    bars: tuple[CutBar, ...]
    bounds: tuple[CuttingBound, ...]
    rack_after: tuple[RackLine, ...]
    kerf: float
    trim: float
    sheets: tuple[CutSheet, ...] = ()


# ------------------------------------------------------------------------------------------------ materials
@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialLine:
    """Something to buy (or to take from the rack) for the batch. `price` is for the whole line; None: not known.

    `length` is that of each bar, said in mm at the end of its `item`; None for all else. What is used up is an
    estimate: `needed` before it was rounded up to packs, `rule` how it was reckoned and where the rule comes from.
    """

    item: str
    quantity: float
    unit: str
    mass_kg: float | None
    price: float | None
    supplier: str
    standard: str = ""
    kind: Literal["bar", "plate", "sheet", "soft", "bought", "consumable"] = "bought"
    length: float | None = None
    needed: float | None = None
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MassSum:
    """Mass and centre of mass of an assembly, one unit, product axes.

    `missing`: parts without a mass (the sum is short of them); `unplaced`: without a place (the centre is).
    """

    name: str
    mass_kg: float
    centre: Vec3 | None
    missing: tuple[str, ...] = ()
    unplaced: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """The whole job for N units."""

    design: Design
    workshop: Workshop
    product: Product
    units: int
    sizes: tuple[Size, ...]
    parts: tuple[JobPart, ...]
    placements: tuple[Placement, ...]
    cutting: CuttingPlan
    stops: tuple[StopSetting, ...]
    materials: tuple[MaterialLine, ...]
    masses: tuple[MassSum, ...]
    """One for each assembly, the last one (`name` "whole") for the unit."""
    price: float | None
    findings: tuple[Finding, ...]

    def part(self, part_id: str) -> JobPart:
        """Return the part of that id; KeyError if there is none."""
        for part in self.parts:
            if part.id == part_id:
                return part
        raise KeyError(part_id)

    def by_kind(self) -> Mapping[str, tuple[JobPart, ...]]:
        """Return the parts grouped by kind."""
        out: dict[str, list[JobPart]] = {}
        for part in self.parts:
            out.setdefault(part.kind, []).append(part)
        return {kind: tuple(parts) for kind, parts in out.items()}
