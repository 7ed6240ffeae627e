"""The product as frozen values, before and after it is placed.

`Design` is what a design file says once its formulas are evaluated. `Product` is the design resolved for one
workshop: every member with the bend radii that the shop's dies really make, every copy placed, every joint found.
Lengths are mm, angles radians. Design axes: x forward, y to the left, z up; the reader's z has no fixed zero, in a
`Product` the ground is z = 0.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from handbarrow.laws.geometry.path import Centreline, Matrix4, Vec2, Vec3
from handbarrow.laws.geometry.section import Section

__all__ = [
    "Assembly",
    "BarHole",
    "Bought",
    "Copy",
    "Corner",
    "Design",
    "EndSpec",
    "Find",
    "Joint",
    "Member",
    "Part",
    "Placement",
    "PlateHole",
    "PlateShape",
    "Position",
    "Product",
    "RadiusRule",
    "Result",
    "ResultPoint",
    "Run",
    "Size",
    "Step",
    "StepsRoute",
    "StockRole",
    "Target",
    "WheelSize",
]


# ------------------------------------------------------------------------------------------------ what the file says
@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """Ask for a size so that a named result reaches a target: the root is sought in [low, high]."""

    result: str
    equals: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A named size.

    Attributes:
        name: Name used in formulas.
        value: Evaluated value in the inside unit (mm, rad, kg, ...), or as found.
        unit: `mm`, `deg`, `kg`, `N`, `MPa` or `` (a plain number); what `value` is shown in.
        formula: The text as written where it was a formula, else None.
        find: Set where the size was asked for instead of given.
        says: The person's own remark.
    """

    name: str
    value: float
    unit: str = "mm"
    formula: str | None = None
    find: Find | None = None
    says: str = ""


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
    """What a role of the design is made from. Exactly one of `section`, `thickness`, `wheel` is set."""

    role: str
    label: str
    """Canonical designation, as `tube 26.9x2.3`, `plate 5`, `wheel 47-406`."""
    section: Section | None = None
    thickness: float | None = None
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Tube or bar along a centreline given by its corners or by steps: `routes.corners_of` gives the corners of both.

    Attributes:
        stock: Role.
        corners: P0..Pn; empty if the run is given by steps.
        face: Direction the section's height points to, design axes; None: the crown rule of the conventions.
        turned_rad: Extra turn of the section about the run, right-handed along it.
    """

    stock: str
    corners: tuple[Corner, ...] = ()
    route: StepsRoute | None = None
    """The steps; set exactly if `corners` is empty."""
    face: Vec3 | None = None
    turned_rad: float = 0.0
    start: EndSpec = EndSpec()
    end: EndSpec = EndSpec()
    holes: tuple[BarHole, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateHole:
    """A hole (`length` 0) or slot in a plate: centre, diameter or width, slot length over all, slot direction."""

    at: Vec2
    diameter: float
    length: float = 0.0
    angle_rad: float = 0.0
    open_edge: bool = False
    note: str = ""


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
class Bought:
    """A bought part: wheel, fastener, hook. `wheel` is set for wheels; `size` is an outline [x, y, z] for drawing."""

    item: str
    mass_kg: float | None = None
    standard: str = ""
    stock: str | None = None
    wheel: WheelSize | None = None
    at: Vec3 | None = None
    axis: Vec3 = (0.0, 1.0, 0.0)
    count: int = 1
    """How many of the item one copy stands for (8 washers in one line)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """One copy of a part: rigid transform from copy 1, design axes. `mirrored`: the transform contains a reflection."""

    transform: Matrix4
    mirrored: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the design. `copies[0]` is the identity. `on`: parts it is fixed to (drawn, checked for contact)."""

    id: str
    title: str
    shape: Run | PlateShape | Bought
    assembly: str
    copies: tuple[Copy, ...]
    on: tuple[Target, ...] = ()
    note: str = ""

    @property
    def path(self) -> str:
        """Path of the part in its file, for findings."""
        return f"parts.{self.id}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A named position of an assembly: rigid transform from as drawn, design axes."""

    name: str
    transform: Matrix4


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """A group of parts that stays together. `within`: the assembly that carries it along."""

    name: str
    within: str | None = None
    positions: tuple[Position, ...] = ()
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultPoint:
    """A point of a part: `start`, `end`, `corner k` (`at` = k, from 0), `middle`, or `centre` (plates, bought)."""

    target: Target
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A named result of the placed product.

    `height` of one point above ground; `distance` between two points (`along` None: straight line; else |dx|, |dy|
    or |dz|); `length`: developed length of a part; `value`: a formula of sizes (already evaluated in `value`).
    """

    name: str
    kind: Literal["height", "distance", "length", "value"]
    points: tuple[ResultPoint, ...] = ()
    along: Literal["x", "y", "z"] | None = None
    part: str = ""
    value: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """A design with every formula evaluated."""

    name: str
    revision: str
    digest: str
    sizes: tuple[Size, ...]
    stock: Mapping[str, StockRole]
    assemblies: tuple[Assembly, ...]
    parts: tuple[Part, ...]
    results: tuple[Result, ...]
    about: str = ""

    def part(self, part_id: str) -> Part:
        """Return the part of that id; KeyError if there is none."""
        for part in self.parts:
            if part.id == part_id:
                return part
        raise KeyError(part_id)


# ------------------------------------------------------------------------------------------------ once it is placed
RadiusRule = Callable[[StockRole, float, float | None], float | None]
"""(stock, bend angle [rad], wanted radius or None) -> centreline radius as made [mm], or None: no die makes it.

The design room does not know the workshop; the job room hands this in, built from the shop's dies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """Copy 1 of a run in product axes: centreline with radii as made, crown direction at the datum end (unit)."""

    part: Part
    section: Section
    centreline: Centreline
    crown: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """A copy of a part: transform from copy 1 to this copy, product axes."""

    part: str
    copy: int
    transform: Matrix4
    mirrored: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """One end of copy 1 of a run and what it meets.

    Attributes:
        part: The run that is cut.
        end: Which end.
        kind: `square`; `plane` (an angled cut or an end-to-end corner: `normal` is the cutting plane's); `member`
            (coped round the surface of `against`); `plate` (cut along the face of `against`).
        against: What it meets, one or two.
        stretch: For `member`: index of the receiver's centreline element that it lies on, one for each `against`;
            element 2k is straight k, element 2k + 1 is the arc of bend k.
        offset: Distance by which the axes pass each other (eccentricity), one for each `against` [mm].
        normal: Unit normal of the cutting plane for `plane` and `plate`, pointing into the run that is cut.
        plane_point: A point of that plane.
        found: Whether it was found (True) or named in the file (False).
    """

    part: str
    end: Literal["start", "end"]
    kind: Literal["square", "plane", "member", "plate"]
    against: tuple[Target, ...] = ()
    stretch: tuple[int, ...] = ()
    offset: tuple[float, ...] = ()
    normal: Vec3 | None = None
    plane_point: Vec3 | None = None
    gap: float = 0.0
    found: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """A design resolved for one workshop, in product axes (ground at z = 0)."""

    design: Design
    lift: float
    """How far the design axes were moved along z to set the wheels on the ground [mm]."""
    members: Mapping[str, Member]
    placements: tuple[Placement, ...]
    joints: tuple[Joint, ...]
    results: Mapping[str, float] = field(default_factory=dict)

    def joint(self, part: str, end: str) -> Joint:
        """Return the joint at one end of a run; KeyError if the part is no run."""
        for joint in self.joints:
            if joint.part == part and joint.end == end:
                return joint
        raise KeyError((part, end))

    def of_part(self, part: str) -> tuple[Placement, ...]:
        """Return the placements of one part, copy 1 first."""
        return tuple(p for p in self.placements if p.part == part)
