"""The shop as frozen values: stock, dies, saws, prices. Lengths mm, angles radians, money in the shop's currency."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.units.shown import LengthUnit, MassUnit, Shown
from handbarrow.workshop.consumable_values import NOTHING_USED, Consumables
from handbarrow.workshop.sheet_values import USUAL_SHEET_WORK, SheetWork
from handbarrow.workshop.soft_values import USUAL_SEWING, Sewing, SoftStock

__all__ = [
    "Bender",
    "Box",
    "Die",
    "FormerTrial",
    "Formers",
    "OffCut",
    "Price",
    "Saw",
    "SetAngleLaw",
    "StockItem",
    "StockLength",
    "StockSheet",
    "Workshop",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLength:
    """A length on sale. `available` None: as many as wanted. `price` None: not in the price list."""

    length: float
    price: float | None = None
    available: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OffCut:
    """Off-cuts in the rack: length and how many."""

    length: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSheet:
    """A size of sheet on sale, its length along the rolling direction [mm]. `available`, `price`: as of a length."""

    length: float
    width: float
    price: float | None = None
    available: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StockItem:
    """A tube, bar or plate that the shop can get.

    Attributes:
        label: Canonical designation, as `tube 26.9x2.3`; equal to `StockRole.label`.
        steel: Grade as the shop calls it.
        steel_source: Where the grade and the yield were taken from.
        yield_mpa: Yield strength that the shop reckons with [MPa].
        lengths: Lengths on sale.
        off_cuts: What is in the rack.
        sheets: Sizes of sheet on sale.
        price_kg: Price by mass, for plates [currency / kg].
    """

    label: str
    steel: str = ""
    steel_source: str = ""
    yield_mpa: float | None = None
    lengths: tuple[StockLength, ...] = ()
    off_cuts: tuple[OffCut, ...] = ()
    price_kg: float | None = None
    sheets: tuple[StockSheet, ...] = ()
    soft: SoftStock | None = None
    supplier: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAngleLaw:
    """Calibration of a die: finished angle = a x set angle - b.

    Attributes:
        a: Slope [-].
        b_rad: Constant [rad].
        test_bends: From how many test bends; 0: a first guess of the physics.
        date: When they were made, as written in the file; empty for a guess.
    """

    a: float
    b_rad: float
    test_bends: int = 0
    date: str = ""

    @property
    def is_guess(self) -> bool:
        """Whether no test bend stands behind it."""
        return self.test_bends == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Die:
    """A die (or a former in the vice) for one stock.

    Attributes:
        name: As painted on it.
        stock: Label of the stock it bends.
        radius: Centreline radius of the die [mm].
        law: Set-angle law; None: no test bends yet, the job room takes the physics' first guess.
        stretch_per_rad: How much longer the tube gets in one radian of finished bend [mm/rad].
        reference_offset: Distance from the die's reference line to the start of the bend [mm]; the mark is set to the
            reference line, so mark = start of bend - offset.
        straight_before: Smallest straight on the held side [mm].
        straight_after: Smallest straight on the side that is swept [mm].
        largest_angle_rad: Largest finished bend angle.
        tool: Where it is used.
        test_length: Length of one test piece [mm], 0: none wanted.
        test_count: Test pieces wanted for a batch.
    """

    name: str
    stock: str
    radius: float
    law: SetAngleLaw | None = None
    stretch_per_rad: float = 0.0
    reference_offset: float = 0.0
    straight_before: float = 0.0
    straight_after: float = 0.0
    largest_angle_rad: float = 3.14159
    tool: Literal["bender", "vice", "former"] = "bender"
    test_length: float = 0.0
    test_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box that a tube must clear, in bender axes (see `Bender`)."""

    name: str
    low: Vec3
    high: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Bender:
    """The bender and what stands round it.

    Bender axes: origin on the tube's centreline where the bend starts; x along the tube from the held side to the
    side that is swept; y towards the inside of the bend (the die's centre is at y = radius); z up. The tube is bent
    towards +y, so the bend normal n = t_in x t_out, taken in the feed direction, points up.
    """

    obstacles: tuple[Box, ...] = ()
    clearance: float = 0.0
    stop: Literal["end", "leg"] = "end"
    """Which stop the shop prefers: one that touches the tube's end, or one that touches the leg bent before."""
    longest_stop: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormerTrial:
    """A trial piece: what a stock came back to from a former, centreline radii [mm]."""

    stock: str
    on_former: float
    made: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Formers:
    """How curves are pulled by hand round formers.

    Attributes:
        hand_n: Force of the hands at the very end of the bar or of the pipe slid over it [N].
        held: Length in the clamp [mm].
        pieces: How many pieces are pulled in one length at most.
        step: Largest step where a curve is made in steps in the vice [mm].
        trials: Trial pieces.
    """

    hand_n: float = 300.0
    held: float = 80.0
    pieces: int = 1
    step: float = 20.0
    trials: tuple[FormerTrial, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """How bars are cut: kerf, trim at each end of a bar, allowance added to every piece cut by hand [mm]."""

    name: str = "saw"
    kerf: float = 2.0
    end_trim: float = 0.0
    hand_allowance: float = 0.0
    only_hacksaw: bool = False
    """The shop has no cope cutter and no disc: mitres are printed as one or two straight cuts and filing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """Price of a bought item by its name or designation.

    `pack`: how much of something used up the price buys, in the unit of the materials; None: one of it. `hub` of a
    wheel: over its locknuts, `axle`: its diameter; `largest_kg`: what is written on its tyre.
    """

    price: float
    supplier: str = ""
    mass_kg: float | None = None
    pack: float | None = None
    hub: float | None = None
    axle: float | None = None
    largest_kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the shop promises and keeps [mm, rad]. `assembled`: sizes of whole units and assemblies.

    `hitch_load`: least and most that a loaded carrier may weigh on its hitch [N]; None: the shop does not say.
    """

    bent_part: float = 3.0
    assembled: float = 3.0
    angle_rad: float = 0.0174533
    flatness: float = 3.0
    useful_off_cut: float = 500.0
    merge_stops: float = 0.5
    paper_thickness: float = 0.1
    hitch_load: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """The shop."""

    name: str
    digest: str
    currency: str
    stock: Mapping[str, StockItem]
    dies: tuple[Die, ...]
    bender: Bender = Bender()
    saw: Saw = Saw()
    formers: Formers = Formers()
    prices: Mapping[str, Price] = field(default_factory=dict)
    limits: Limits = Limits()
    consumables: Consumables = NOTHING_USED
    packing: tuple[float, ...] = ()
    """Thicknesses of the washers that it packs narrow hubs with."""
    sheet_work: SheetWork = USUAL_SHEET_WORK
    sewing: Sewing = USUAL_SEWING
    paper: Literal["A4", "A3", "Letter"] = "A4"
    show_length: LengthUnit = "mm"
    show_mass: MassUnit = "kg"
    language: str = "en"
    """Of its sheets: a code of `language.LANGUAGES`."""

    @property
    def shown(self) -> Shown:
        """The units of everything that a person reads."""
        return Shown(length_unit=self.show_length, mass_unit=self.show_mass)

    def dies_for(self, stock: str) -> tuple[Die, ...]:
        """Return the dies that bend this stock, smallest radius first."""
        return tuple(sorted((d for d in self.dies if d.stock == stock), key=lambda d: (d.radius, d.name)))

    def soft(self, stock: str) -> SoftStock | None:
        """Return what the shop knows of cloth, webbing, cord or elastic; None: nothing, or the stock is not soft."""
        item = self.stock.get(stock)
        return None if item is None else item.soft
