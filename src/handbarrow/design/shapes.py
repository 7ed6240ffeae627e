"""The shapes that parts are made of, as frozen values: wheels, stock roles, runs of tube and bar, plates, bought parts.

Lengths mm, angles rad, design axes. `handbarrow.design.values` builds the product from them and shows them all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.geometry.path import Vec2, Vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.hardware.nuts import NutKind
from handbarrow.laws.materials.soft import Soft

__all__ = [
    "BarHole",
    "Bolted",
    "Bought",
    "Corner",
    "EndSpec",
    "PlateHole",
    "PlateShape",
    "Run",
    "Step",
    "StepsRoute",
    "StockRole",
    "Target",
    "WheelSize",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class WheelSize:
    """A tyre size by ISO 5775: section width and bead-seat diameter [mm]."""

    width: float
    bead_seat: float

    @property
    def radius(self) -> float:
        """Unloaded outer radius of the tyre [mm]: (bead seat + 2 x width) / 2 (rule of ISO 5775-1 practice)."""
        return (self.bead_seat + 2 * self.width) / 2

    @property
    def designation(self) -> str:
        """As `47-406`."""
        return f"{self.width:g}-{self.bead_seat:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRole:
    """What a role of the design is made from. Exactly one of `section`, `thickness`, `wheel`, `soft` is set."""

    role: str
    label: str
    """Canonical designation, as `tube 26.9x2.3`, `plate 5`, `wheel 47-406`."""
    section: Section | None = None
    thickness: float | None = None
    is_sheet: bool = False
    soft: Soft | None = None
    wheel: WheelSize | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Names a part and one of its copies (1 is the part as drawn)."""

    part: str
    copy: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class EndSpec:
    """How one end of a run is to be cut.

    Attributes:
        kind: `auto` (find what it meets, else square), `square`, `free` (square, and no joint is looked for),
            `meets` (mitred against `against`, one or two of them), `angled` (a plane cut through the working point).
        against: The members met, in the order written.
        normal: For `angled`: normal of the cutting plane, design axes.
        gap: Gap left for the weld between the end and what it meets [mm].
    """

    kind: Literal["auto", "square", "free", "meets", "angled"] = "auto"
    against: tuple[Target, ...] = ()
    normal: Vec3 | None = None
    gap: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A corner point of a run; `radius` is the wanted centreline radius, None: what the shop's die makes."""

    at: Vec3
    radius: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a run, in the order written.

    Attributes:
        kind: `straight` (a length between tangent points), `to centreline` (from the corner before, or the start, to
            the next corner, or the end), `to outside` (a first or last leg measured from the tube's end to the outside
            of the bend beside it), `bend` (an angle) or `turn` (before the next bend, right-handed along the run).
        value: Length [mm] or angle [rad].
        radius: Wanted centreline radius of a bend; None: what the shop's die makes.
    """

    kind: Literal["straight", "to centreline", "to outside", "bend", "turn"]
    value: float
    radius: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepsRoute:
    """A run given by steps. Its corners follow once the radii as made are known: `routes.corners_of`.

    Legs and bends alternate and both ends are legs; turns stand anywhere before the bend they belong to.

    Attributes:
        origin: First point P0.
        heading: Unit direction of the first straight.
        normal: Unit normal of the first bend, perpendicular to `heading`.
        steps: The steps.
        half_outside: From the centreline to the outside in the plane of the bends, for `to outside` [mm].
    """

    origin: Vec3
    heading: Vec3
    normal: Vec3
    steps: tuple[Step, ...]
    half_outside: float

    @property
    def bends(self) -> tuple[Step, ...]:
        """The bends in order; bend i makes corner i + 1."""
        return tuple(step for step in self.steps if step.kind == "bend")


@dataclass(frozen=True, slots=True, kw_only=True)
class BarHole:
    """A hole or slot in a run. `length` > 0 makes a slot along the run; `open_edge` runs it out over the edge.

    Exactly one of `from_start` and `from_end` is set.

    Attributes:
        from_start: Distance of its centre along the finished centreline from the start's working point [mm].
        from_end: The same from the end's working point, backwards [mm].
        face: Side of the section that is drilled: `crown`, `left`, `bottom`, `right` looking along the run; for an
            angle `height leg` or `width leg`.
        across: Distance of its centre from the section's centreline, for an angle from the heel [mm].
        diameter: Hole diameter or slot width [mm].
        length: Slot length over all, 0 for a hole [mm].
        slot_along: Whether the slot runs `along` the run or `across` it.
        open_edge: Whether a slot runs out over the free edge (an open slot for an axle).
        through: Whether it goes through both walls.
        screw: The screw that it is for, as `M8`; empty: it is for none.
        fit: Of that screw's hole: `fine`, `medium`, `coarse` (ISO 273) or `tapped`.
    """

    from_start: float | None = None
    from_end: float | None = None
    face: Literal["crown", "left", "bottom", "right", "height leg", "width leg"] = "crown"
    across: float = 0.0
    diameter: float
    length: float = 0.0
    slot_along: Literal["along", "across"] = "along"
    open_edge: bool = False
    through: bool = False
    note: str = ""
    screw: str = ""
    fit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Tube or bar along a centreline given by its corners or by steps: `routes.corners_of` gives the corners of both.

    Attributes:
        stock: Role.
        corners: P0..Pn; empty if the run is given by steps.
        face: Direction the section's height points to, design axes; None: the crown rule of the conventions.
        turned_rad: Extra turn of the section about the run, right-handed along it.
        over: What it is bent on: the shop's `die`; or pulled by hand round a `former`, or over one in the `vice`, that
            the shop makes for it: then every bend has its wanted radius.
    """

    stock: str
    corners: tuple[Corner, ...] = ()
    over: Literal["die", "former", "vice"] = "die"
    route: StepsRoute | None = None
    """The steps; set exactly if `corners` is empty."""
    face: Vec3 | None = None
    turned_rad: float = 0.0
    start: EndSpec = EndSpec()
    end: EndSpec = EndSpec()
    holes: tuple[BarHole, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateHole:
    """A hole (`length` 0) or slot in a plate: centre, diameter or width, slot length over all, slot direction.

    `screw`, `fit`: as of a `BarHole`.
    """

    at: Vec2
    diameter: float
    length: float = 0.0
    angle_rad: float = 0.0
    open_edge: bool = False
    note: str = ""
    screw: str = ""
    fit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateShape:
    """A flat plate: outline in its own x, y (counter-clockwise), thickness towards +facing from the plane z = 0."""

    stock: str
    outline: tuple[Vec2, ...]
    corner_radius: float = 0.0
    holes: tuple[PlateHole, ...] = ()
    at: Vec3 = (0.0, 0.0, 0.0)
    along: Vec3 = (1.0, 0.0, 0.0)
    facing: Vec3 = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolted:
    """A bolt with its washers and nut, whose length follows from what it clamps.

    Attributes:
        through: The parts that it goes through; which of their copies follows from where it sits.
        thread: As `M8`.
        nut: `lock`, `plain`, `thin`, `welded` (on the last part) or `tapped` (the last part has the thread).
        washers: How many.
        full_thread: Whether the thread must go up to the head.
        undrawn: Thickness of what it clamps and is not drawn, as the flanges of bushes [mm].
        bridges: The widest room between two parts that it is meant to bridge, as for bushes or nuts [mm].
    """

    through: tuple[Target, ...]
    thread: str
    nut: NutKind = "lock"
    washers: int = 2
    full_thread: bool = False
    undrawn: float = 0.0
    bridges: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """A bought part: wheel, fastener, hook. `wheel` is set for wheels; `size` is an outline [x, y, z] for drawing.

    `pressure_mpa` and `largest_kg` of a wheel: what it is pumped to, and what is written on the tyre; `hub`: over its
    locknuts, `axle`: its diameter. `drilled_for`: the screw that a nut is drilled out for, `drilled` to which diameter.
    `welded`: on what it is on.
    """

    item: str
    mass_kg: float | None = None
    standard: str = ""
    stock: str | None = None
    wheel: WheelSize | None = None
    at: Vec3 | None = None
    axis: Vec3 = (0.0, 1.0, 0.0)
    count: int = 1
    """How many of the item one copy stands for (8 washers in one line)."""
    bolted: Bolted | None = None
    pressure_mpa: float | None = None
    largest_kg: float | None = None
    hub: float | None = None
    axle: float | None = None
    drilled_for: str = ""
    drilled: float = 0.0
    welded: bool = False
