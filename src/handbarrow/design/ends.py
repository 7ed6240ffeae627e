"""The ends of runs, and what is known while their joints are looked for."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from handbarrow.design.faces import Plates
from handbarrow.design.nearness import Hit, Table, table_of
from handbarrow.design.placing import Scene
from handbarrow.design.values import EndSpec, Member, Run, Target
from handbarrow.findings import Finding
from handbarrow.laws.geometry.path import Centreline, Floats, layout, transformed, vec3
from handbarrow.laws.geometry.rigid import matrix4
from handbarrow.laws.geometry.section import Section

__all__ = ["End", "Known", "Other", "ends_of", "known_of", "reach_of"]

TOUCHES = 1.0
"""A working point within this distance of a centreline, an end or a face lies on it [mm]."""

EndName = Literal["start", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end of copy 1 of a run: working point, unit direction from there into the run, how it shall be cut."""

    member: Member
    name: EndName
    spec: EndSpec
    point: Floats
    into: Floats

    @property
    def part(self) -> str:
        """Id of the run."""
        return self.member.part.id

    @property
    def where(self) -> str:
        """Path of the end in the file."""
        return f"{self.member.part.path}.{self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """An end of some copy of a run on which a working point lies."""

    name: EndName
    spec: EndSpec
    into: Floats


def ends_of(member: Member) -> tuple[End, End]:
    """Return the two ends of copy 1."""
    run, place = member.part.shape, layout(member.centreline)
    assert isinstance(run, Run)  # noqa: S101
    t = place.directions
    return (
        End(member=member, name="start", spec=run.start, point=place.start, into=t[0]),
        End(member=member, name="end", spec=run.end, point=place.end, into=-t[-1]),
    )


def reach_of(section: Section) -> float:
    """How far the corners of a section lie from its centreline [mm]."""
    if section.is_round:
        return section.outside / 2
    diagonal = math.hypot(section.height, section.width)
    return diagonal if section.shape == "angle" else diagonal / 2


@dataclass(slots=True, kw_only=True)
class Known:
    """What is known while joints are looked for; findings are gathered in `findings`."""

    scene: Scene
    members: dict[str, Member]
    table: Table
    plates: Plates
    related: set[frozenset[str]]
    """Pairs of parts whose touching is declared, by `on` or `meets`."""
    findings: list[Finding] = field(default_factory=list)

    def target(self, hit: Hit) -> Target:
        """Return whose centreline was hit."""
        return self.table.owners[hit.owner].target

    def line(self, target: Target) -> Centreline:
        """Return the centreline of one copy of a run, product axes."""
        line = self.members[target.part].centreline
        if target.copy == 1:
            return line
        return transformed(line, matrix4(self.scene.transform(target.part, target.copy)))

    def other_end(self, end: End, hit: Hit) -> Other | None:
        """Return the end of the hit run on which the working point lies; None if it lies between the ends."""
        owner = self.table.owners[hit.owner]
        gaps = np.linalg.norm(owner.ends - end.point, axis=1)
        own = owner.target == Target(part=end.part)
        if own:  # the run itself: only its other end counts
            gaps[0 if end.name == "start" else 1] = math.inf
        number = int(np.argmin(gaps))
        if gaps[number] > TOUCHES:
            return None
        its = ends_of(owner.member)[number]
        m = self.scene.transform(owner.target.part, owner.target.copy)
        return Other(name=its.name, spec=its.spec, into=m[:3, :3] @ its.into)

    def own_other_end(self, end: End) -> Hit | None:
        """Return a hit on the run's own other end, if both working points are one (a closed hoop)."""
        places = ends_of(end.member)
        other = places[1 if end.name == "start" else 0]
        gap = float(np.linalg.norm(end.point - other.point))
        if gap > TOUCHES:
            return None
        itself = Target(part=end.part)
        number = next(i for i, owner in enumerate(self.table.owners) if owner.target == itself)
        element = 2 * len(end.member.centreline.radii) if end.name == "start" else 0
        return Hit(number, gap, element, vec3(other.point), vec3(other.into))


def known_of(scene: Scene, members: dict[str, Member]) -> Known:
    """Gather what the search for joints needs."""
    related = set()
    for part in scene.design.parts:
        named = list(part.on)
        if isinstance(part.shape, Run):
            named += [*part.shape.start.against, *part.shape.end.against]
        related |= {frozenset((part.id, target.part)) for target in named}
    return Known(
        scene=scene,
        members=members,
        table=table_of(scene, members),
        plates=Plates(scene.plates()),
        related=related,
    )
