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

from handbarrow.design.shapes import (
    BarHole,
    Bolted,
    Bought,
    Corner,
    EndSpec,
    PlateHole,
    PlateShape,
    Run,
    Step,
    StepsRoute,
    StockRole,
    Target,
    WheelSize,
)
from handbarrow.design.sheet_shapes import Rolled, Sheet, SheetHole
from handbarrow.design.soft_shapes import Panel, Strap
from handbarrow.design.uses import NO_USES, Carried, Lift, ResultPoint, Uses
from handbarrow.laws.geometry.path import Centreline, Matrix4, Vec3
from handbarrow.laws.geometry.section import Section

__all__ = [
    "Assembly",
    "BarHole",
    "Bolted",
    "Bought",
    "Carried",
    "Copy",
    "Corner",
    "Design",
    "EndSpec",
    "Find",
    "Joint",
    "Lift",
    "Member",
    "Panel",
    "Part",
    "Placement",
    "PlateHole",
    "PlateShape",
    "Position",
    "Product",
    "RadiusRule",
    "Result",
    "ResultPoint",
    "Rolled",
    "Run",
    "Sheet",
    "SheetHole",
    "Size",
    "Step",
    "StepsRoute",
    "StockRole",
    "Strap",
    "Target",
    "Uses",
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
class Copy:
    """One copy of a part: rigid transform from copy 1, design axes. `mirrored`: the transform contains a reflection."""

    transform: Matrix4
    mirrored: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the design. `copies[0]` is the identity. `on`: parts it is fixed to (drawn, checked for contact)."""

    id: str
    title: str
    shape: Run | PlateShape | Sheet | Panel | Strap | Bought
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
    uses: Uses = NO_USES

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
