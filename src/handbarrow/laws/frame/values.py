"""What a frame is made of, as frozen values: nodes, members, supports, links, springs, contacts, masses, loads.

A member runs from one node to another, straight or as an arc. Its own axes at a place are (t, v, u): t along it, v the
crown direction (the height of the section), u = t x v (the width). A displacement or a load of a node has six numbers:
three along the product's axes x, y, z [mm or N], three about them [rad or N mm].
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.geometry.section import Section

__all__ = [
    "STEEL",
    "Arc",
    "BeamSection",
    "Contact",
    "Distributed",
    "Frame",
    "Freedom",
    "Link",
    "LoadCase",
    "Mass",
    "Material",
    "Member",
    "Node",
    "NodeLoad",
    "PointOnMember",
    "Release",
    "Spring",
    "Support",
]

Six = tuple[float, float, float, float, float, float]
NOWHERE: Vec3 = (0.0, 0.0, 0.0)
Release = Literal["t", "v", "u", "turn t", "turn v", "turn u"]
"""What an end of a member does not carry: force along, or moment about, one of the member's axes at that end."""
RELEASES: tuple[Release, ...] = ("t", "v", "u", "turn t", "turn v", "turn u")
ALL_SIX = (True,) * 6


def _positive(name: str, value: float, *, endless: bool = False) -> None:
    if not (value > 0 and (endless or math.isfinite(value))):
        raise ValueError(f"{name}={value:g} must be above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Elastic constants [MPa] and density [kg/mm3]."""

    youngs_mpa: float
    shear_mpa: float
    density_kg_mm3: float = 0.0

    def __post_init__(self) -> None:
        for name in ("youngs_mpa", "shear_mpa"):
            _positive(name, getattr(self, name))

    @property
    def poisson(self) -> float:
        """Poisson's ratio E / 2G - 1 [-]."""
        return self.youngs_mpa / (2 * self.shear_mpa) - 1


STEEL = Material(youngs_mpa=210000.0, shear_mpa=210000.0 / 2.6, density_kg_mm3=7.85e-6)
"""Steel: EN 1993-1-1 3.2.6 (E = 210000 MPa, nu = 0.3) and EN 1991-1-1 table A.4 (7850 kg/m3), both from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamSection:
    """What bending, pulling and twisting need to know of a section, about its centroid.

    Attributes:
        area: Area of metal [mm2].
        inertia_height: Integral of v squared: bending in the plane of the height [mm4].
        inertia_width: Integral of u squared: bending in the plane of the width [mm4].
        torsion: Torsion constant [mm4].
        shear_height: Shear area for a force along v [mm2]; infinite leaves shear out.
        shear_width: Shear area for a force along u [mm2]; infinite leaves shear out.
        product: Integral of u times v [mm4]: zero but for angles.
        shape: The section it was worked out from; needed for stresses.
    """

    area: float
    inertia_height: float
    inertia_width: float
    torsion: float
    shear_height: float = math.inf
    shear_width: float = math.inf
    product: float = 0.0
    shape: Section | None = None

    def __post_init__(self) -> None:
        for name in ("area", "inertia_height", "inertia_width", "torsion", "shear_height", "shear_width"):
            _positive(name, getattr(self, name), endless=name.startswith("shear"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A named place [mm]."""

    name: str
    at: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A bend: unit normal (t_in x t_out) and bend angle [rad], below half a turn; ends and angle give the radius."""

    normal: Vec3
    angle_rad: float

    def __post_init__(self) -> None:
        if not 0 < self.angle_rad < math.pi:
            raise ValueError(f"angle_rad={self.angle_rad:g} must lie between 0 and pi; split longer arcs")


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A beam between two nodes.

    Attributes:
        name: Its name in messages.
        start: Name of the node at its start.
        end: Name of the node at its end.
        section: Its section.
        material: What it is made of.
        crown: Direction of the section's height at the start; None: by rule (nearest to +z, else +y). Only the part of
            it across the member counts.
        arc: Set where the member is a bend.
        softer: How many times softer than a beam it is against bending: 1, or the flexibility factor of a thin bend.
        start_free: What its start does not carry.
        end_free: What its end does not carry.
        start_offset: From the start node to where the member starts [mm], rigid.
        end_offset: From the end node to where the member ends [mm], rigid.
    """

    name: str
    start: str
    end: str
    section: BeamSection
    material: Material = STEEL
    crown: Vec3 | None = None
    arc: Arc | None = None
    softer: float = 1.0
    start_free: frozenset[Release] = frozenset()
    end_free: frozenset[Release] = frozenset()
    start_offset: Vec3 = NOWHERE
    end_offset: Vec3 = NOWHERE

    def __post_init__(self) -> None:
        _positive("softer", self.softer)
        for word in self.start_free | self.end_free:
            if word not in RELEASES:
                raise ValueError(f"{word!r} is no release; there are {', '.join(RELEASES)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """A node that the ground holds: which of its six displacements are nought."""

    node: str
    held: tuple[bool, bool, bool, bool, bool, bool] = ALL_SIX


@dataclass(frozen=True, slots=True, kw_only=True)
class Freedom:
    """A movement that a link leaves: along or about an axis through the second node."""

    kind: Literal["turn", "slide"]
    axis: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A stiff connection of a second node to a first one (or to the ground), less what it leaves free.

    A hinge is a link with one turn, a ball three turns about three axes. A node is the second one of one link at most.
    """

    name: str
    first: str | None
    second: str
    free: tuple[Freedom, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """A spring between a first node (or the ground) and a second one.

    Attributes:
        name: Its name in messages.
        first: Name of the first node; None: the ground.
        second: Name of the second node.
        stiffness: Along three axes [N/mm], about three axes [N mm/rad].
        at: Where it sits [mm], with stiff arms to both nodes; None: at the second node.
        axes: The three axes; any that are square to each other.
    """

    name: str
    first: str | None
    second: str
    stiffness: Six
    at: Vec3 | None = None
    axes: tuple[Vec3, Vec3, Vec3] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))

    def __post_init__(self) -> None:
        if not all(math.isfinite(k) and k >= 0 for k in self.stiffness):
            raise ValueError(f"spring {self.name}: stiffness {self.stiffness} must be finite and not below 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A second node that rests against a first one (or the ground): pushes, never pulls, without friction.

    Attributes:
        name: Its name in messages.
        first: Name of the node that it rests on; None: the ground.
        second: Name of the node that rests.
        direction: From the first to the second: the way in which the second is pushed.
        gap: Play before they touch [mm]; negative: pressed together from the start.
        stiffness: How hard the two are [N/mm].
        at: Where they touch [mm], with stiff arms to both nodes; None: at the second node.
    """

    name: str
    first: str | None
    second: str
    direction: Vec3
    gap: float = 0.0
    stiffness: float = 1e5
    at: Vec3 | None = None

    def __post_init__(self) -> None:
        _positive("stiffness", self.stiffness)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """A mass [kg] carried by a node; `at` [mm] is where it sits, held by a stiff arm (None: at the node)."""

    node: str
    mass_kg: float
    at: Vec3 | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NodeLoad:
    """Force [N] and moment [N mm] on a node, along and about x, y, z."""

    node: str
    force: Vec3 = NOWHERE
    moment: Vec3 = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class PointOnMember:
    """Force [N] and moment [N mm] on a member, `along` [mm] its centreline from its start."""

    member: str
    along: float
    force: Vec3 = NOWHERE
    moment: Vec3 = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Distributed:
    """Force per length of a member's centreline [N/mm], along x, y, z; from `first` to `last` it changes evenly.

    `begin` and `end` [mm] count along the centreline from the member's start; `end` None: to the member's end.
    """

    member: str
    first: Vec3
    last: Vec3 | None = None
    begin: float = 0.0
    end: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """Loads that act together.

    Attributes:
        name: Its name in messages.
        loads: On nodes and members.
        field_mm_s2: What pulls on every mass [mm/s2]: (0, 0, -9810) is own weight, three times that a 3 g bump.
    """

    name: str
    loads: tuple[NodeLoad | PointOnMember | Distributed, ...] = ()
    field_mm_s2: Vec3 = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A whole frame.

    Raises:
        ValueError: If a name stands twice, or a node is named that there is not.
    """

    nodes: tuple[Node, ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...] = ()
    links: tuple[Link, ...] = ()
    springs: tuple[Spring, ...] = ()
    contacts: tuple[Contact, ...] = ()
    masses: tuple[Mass, ...] = ()

    def __post_init__(self) -> None:
        known = _once("node", (n.name for n in self.nodes))
        _once("member", (m.name for m in self.members))
        _once("spring", (s.name for s in self.springs))
        _once("contact", (c.name for c in self.contacts))
        _once("second node of a link", (link.second for link in self.links))
        asked: list[str | None] = [n for m in self.members for n in (m.start, m.end)]
        asked += [n for s in self.springs for n in (s.first, s.second)]
        asked += [n for c in self.contacts for n in (c.first, c.second)]
        asked += [n for k in self.links for n in (k.first, k.second)]
        asked += [s.node for s in self.supports] + [m.node for m in self.masses]
        if unknown := {n for n in asked if n is not None} - known:
            raise ValueError(f"there is no node {', '.join(sorted(unknown))}")
        if both := {link.second for link in self.links} & {s.node for s in self.supports}:
            raise ValueError(f"node {', '.join(sorted(both))} is held and linked: link it to the ground instead")


def _once(kind: str, names: Iterable[str]) -> set[str]:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise ValueError(f"{kind} {name} stands twice")
        seen.add(name)
    return seen
