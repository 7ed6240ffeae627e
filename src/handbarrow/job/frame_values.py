"""The product as a frame, and what checks say of it, as frozen values.

Lengths mm, forces N, moments N mm, stresses MPa, masses kg, angles rad; product axes, ground at z = 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from handbarrow.design.values import Design, Product, Target
from handbarrow.job.fitup_values import Contact
from handbarrow.job.values import JobPart
from handbarrow.language import Said
from handbarrow.laws.frame.values import Frame
from handbarrow.laws.geometry.path import Centreline, Vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Workshop

__all__ = [
    "Bed",
    "Check",
    "FrameOfProduct",
    "Joined",
    "LoadedCase",
    "Piece",
    "Spot",
    "Strength",
    "Subject",
    "Tie",
    "Verdict",
    "Worst",
    "not_made",
]


class Subject(NamedTuple):
    """What is checked: one unit, the shop that makes it, its parts."""

    product: Product
    workshop: Workshop
    parts: tuple[JobPart, ...]

    @property
    def design(self) -> Design:
        """The design as resolved."""
        return self.product.design

    def part(self, part_id: str) -> JobPart:
        """Return the part of that id."""
        return next(part for part in self.parts if part.id == part_id)


class Piece(NamedTuple):
    """A copy of a run where it stands: its centreline and crown in product axes."""

    target: Target
    section: Section
    line: Centreline
    crown: Vec3


class Spot(NamedTuple):
    """A place on a piece: how far along its centreline; of plates and wheels the piece alone counts."""

    piece: Target
    along: float = 0.0


class Tie(NamedTuple):
    """Two places that are joined.

    Attributes:
        kind: `stiff` (welded, or bolted tight); `turns` about an axis; `ball` (turns all ways); `rests` (pushes only).
        at: Where [mm].
        axis: Of a turn; of a rest from the second to the first: the way in which the first is pushed.
        contact: Which pieces meet there and how; None: an axle in what holds it.
    """

    one: Spot
    other: Spot
    kind: Literal["stiff", "turns", "ball", "rests"]
    at: Vec3
    axis: Vec3 = (0.0, 0.0, 1.0)
    contact: Contact | None = None


class Joined(NamedTuple):
    """A tie in the frame: the nodes that it joins; name of the spring or of the contact where it is not stiff."""

    tie: Tie
    one: str
    other: str
    name: str = ""


class Bed(NamedTuple):
    """A straight stretch of a member that can carry a load: name of the member, its ends [mm]."""

    member: str
    start: Vec3
    end: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameOfProduct:
    """The product, or some of its assemblies, as a frame without supports.

    Attributes:
        frame: Nodes, members, links, springs, contacts, masses.
        owner: Piece of each member, by its name.
        nodes: Names of the nodes along each piece, with their places along it [mm].
        beds: Straight members of each piece.
        hubs: Node, centre and radius of each wheel.
        rests: Names of the contacts between assemblies.
        joined: What is tied to what.
        mass_kg: Mass of all that is in it.
        missing: Bought parts whose mass is not known.
    """

    frame: Frame
    owner: Mapping[str, Target]
    nodes: Mapping[Target, tuple[tuple[str, float], ...]]
    beds: Mapping[Target, tuple[Bed, ...]]
    hubs: tuple[tuple[str, Vec3, float], ...]
    rests: tuple[str, ...]
    mass_kg: float
    missing: tuple[str, ...]
    joined: tuple[Joined, ...] = ()


Verdict = Literal["holds", "doubtful", "fails", "not checked"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """The highest stress of a part over all its copies and all cases.

    Attributes:
        part: Which.
        copy: Which copy of it.
        case: Id of the load case.
        stress_mpa: Equivalent stress [MPa].
        allowed_mpa: What its steel takes there, less the residual stress of a cold bend; None: yield not known.
        at: Where [mm].
        along: How far along its centreline [mm].
        in_bend: Whether that is in a bend.
    """

    part: str
    copy: int
    case: str
    stress_mpa: float
    allowed_mpa: float | None
    at: Vec3
    along: float
    in_bend: bool

    @property
    def utilisation(self) -> float | None:
        """Stress over what is allowed [-]."""
        return None if self.allowed_mpa is None else self.stress_mpa / self.allowed_mpa


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedCase:
    """A load case that was solved, or why it was not.

    Attributes:
        id: Stable short name.
        title: In words.
        carried: What is carried in it, empty: nothing.
        says: What is assumed: factors and directions.
        source: Where the factor comes from.
        state: `solved`, `loose` (something moves freely), `unsettled` (no balance was found).
        ground: What the ground puts on each wheel [N], in the order of the wheels.
        hands: What hitch, hands or stands put on it [N], by name.
        residual: What nothing balances, as a share of the largest load.
    """

    id: str
    title: str
    carried: str
    says: str
    source: str
    state: Literal["solved", "loose", "unsettled"] = "solved"
    ground: tuple[Vec3, ...] = ()
    hands: tuple[tuple[str, Vec3], ...] = ()
    residual: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A check, made or not.

    Attributes:
        id: Stable short name.
        title: What is checked.
        value: What came out; None: not checked.
        limit: What is allowed.
        unit: Of both.
        margin: How much is left of the limit, as a share of the value: limit / value - 1 (value / limit - 1 where more
            is better).
        verdict: `holds`, `doubtful`, `fails` or `not checked`.
        rule: By which rule, with its source and how it was read.
        assumes: What it takes for granted; of a check that was not made: why, and what to do instead.
        parts: Parts that it is about.
        case: Id of the load case that decides.
    """

    id: str
    title: str
    value: float | None
    limit: float | None
    unit: str
    margin: float | None
    verdict: Verdict
    rule: str
    assumes: str
    parts: tuple[str, ...] = ()
    case: str = ""


def not_made(name: str, title: Said, why: Said, parts: tuple[str, ...] = ()) -> Check:
    """Return a check that was not made, and why."""
    return Check(
        id=name, title=title, value=None, limit=None, unit="", margin=None, verdict="not checked", rule="", assumes=why,
        parts=parts,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """Load cases, checks, and the worst place of each part."""

    cases: tuple[LoadedCase, ...]
    checks: tuple[Check, ...]
    worst: tuple[Worst, ...]
