"""What every end of every run meets: named in the file, or found where the working points lie."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from handbarrow.design import joint_findings as tell
from handbarrow.design.ends import TOUCHES, End, Known, Other, ends_of, known_of, reach_of
from handbarrow.design.faces import Face
from handbarrow.design.naming import unknown_target
from handbarrow.design.near_misses import NEARLY, missed, overlaps
from handbarrow.design.nearness import Hit, near
from handbarrow.design.placing import Scene
from handbarrow.design.values import Bought, Joint, Member, PlateShape, Target
from handbarrow.findings import Finding
from handbarrow.laws.geometry.approach import axis_to_centreline, axis_to_element
from handbarrow.laws.geometry.path import Centreline, Vec3, closest, cross, vec3
from handbarrow.laws.geometry.section import Section

__all__ = ["find_joints"]

IN_LINE_RAD = 2e-3
"""Two tubes that butt with less than this between their axes are cut square (0.05 mm over a tube of 27 mm)."""
ALONG = math.sin(math.radians(3.0))
"""An end that meets a member at less than 3 degrees lies along it: no mitre can be cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Meeting:
    """What an end meets in one target."""

    kind: Literal["square", "plane", "member", "plate"]
    target: Target
    stretch: int = -1
    """-1 for a plate."""
    offset: float = 0.0
    normal: Vec3 | None = None
    point: Vec3 | None = None
    along: bool = False
    """Two runs that leave one point in the same direction: there is no cut that fits."""


def find_joints(scene: Scene, members: dict[str, Member]) -> tuple[tuple[Joint, ...], list[Finding]]:
    """Return the joint of every end of copy 1 of every run, start before end, in the order of the parts.

    Args:
        scene: The design in product axes.
        members: Copy 1 of every run that makes a centreline.
    """
    known = known_of(scene, members)
    ends = [end for member in members.values() for end in ends_of(member)]
    hits = _hits(known, ends)
    joints = [_joint(known, end, near_it) for end, near_it in zip(ends, hits, strict=True)]
    overlaps(known, ends, joints)
    for end, joint, near_it in zip(ends, joints, hits, strict=True):
        if end.spec.kind == "auto" and joint.kind == "square" and not joint.against:
            missed(known, end, near_it)
    return tuple(joints), known.findings


def _hits(known: Known, ends: list[End]) -> list[list[Hit]]:
    """For each end the runs that pass near it; of the run itself only its other end."""
    points = np.array([end.point for end in ends]).reshape(-1, 3)
    halves = {owner.target.part: owner.half for owner in known.table.owners}
    own = np.array([halves[end.part] for end in ends])
    theirs = np.array([owner.half for owner in known.table.owners])
    out = []
    for end, hits in zip(ends, near(known.table, points, own[:, None] + theirs[None, :] + NEARLY), strict=True):
        itself = Target(part=end.part)
        kept = [hit for hit in hits if known.target(hit) != itself]
        closing = known.own_other_end(end)
        out.append(kept if closing is None else [*kept, closing])
    return out


def _joint(known: Known, end: End, hits: list[Hit]) -> Joint:
    match end.spec.kind:
        case "auto":
            return _found(known, end, [hit for hit in hits if hit.distance <= TOUCHES])
        case "meets":
            return _named(known, end)
        case "angled":
            return _angled(known, end)
        case _:
            return _made(end, (), found=False)


def _made(end: End, meetings: tuple[_Meeting, ...], *, found: bool) -> Joint:
    """The joint of one or two meetings; square if there is none."""
    plane = next((m for m in meetings if m.normal is not None), None)
    kinds = {m.kind for m in meetings}
    kind = meetings[0].kind if len(kinds) == 1 else ("member" if kinds else "square")
    return Joint(
        part=end.part,
        end=end.name,
        kind=kind,
        against=tuple(m.target for m in meetings),
        stretch=tuple(m.stretch for m in meetings),
        offset=tuple(m.offset for m in meetings),
        normal=plane.normal if plane else None,
        plane_point=plane.point if plane else None,
        gap=end.spec.gap,
        found=found,
    )


def _angled(known: Known, end: End) -> Joint:
    normal = np.asarray(end.spec.normal if end.spec.normal is not None else end.into, dtype=float)
    size = float(np.linalg.norm(normal))
    slant = float(normal @ end.into) / size if size > 1e-9 else 0.0
    if abs(slant) < ALONG:
        known.findings.append(tell.cut_along_run(end.where, end.part))
        return _made(end, (), found=False)
    return Joint(
        part=end.part,
        end=end.name,
        kind="plane",
        normal=vec3(normal * math.copysign(1 / size, slant)),
        plane_point=vec3(end.point),
        gap=end.spec.gap,
        found=False,
    )


# ------------------------------------------------------------------------------------------------ found
def _found(known: Known, end: End, hits: list[Hit]) -> Joint:
    """A member that runs through comes first, then ends in the same point, then a tube that the end stands in."""
    through: list[_Meeting] = []
    at_ends: list[_Meeting] = []
    along: list[Hit] = []
    for hit in hits:
        other = known.other_end(end, hit)
        if other is not None:
            at_ends.append(_at_end(known, end, hit, other))
        elif _runs_along(end, hit.tangent):
            along.append(hit)
        else:
            through.append(_on_member(known, end, hit))
    through += _on_faces(known, end, met_member=bool(through))
    for choice in (through, at_ends):
        if len(choice) > 1:
            known.findings.append(tell.ambiguous(end.where, end.part, [m.target for m in choice]))
        if choice:
            if choice[0].along:
                known.findings.append(tell.lies_along(end.where, end.part, choice[0].target, named=False))
            return _made(end, (choice[0],), found=True)
    for hit in along[:1]:
        target = known.target(hit)
        if not _fits(end.member.section, known.members[target.part].section):
            known.findings.append(tell.lies_along(end.where, end.part, target, named=False))
        return _made(end, (_Meeting(kind="square", target=target, stretch=hit.element),), found=True)
    return _made(end, (), found=True)


def _runs_along(end: End, tangent: Vec3) -> bool:
    cosine = float(end.into @ np.asarray(tangent))
    return 1 - cosine * cosine < ALONG * ALONG


def _on_member(known: Known, end: End, hit: Hit) -> _Meeting:
    target = known.target(hit)
    offset = _offset(known.line(target), end, hit.element, hit.foot, hit.tangent)
    return _Meeting(kind="member", target=target, stretch=hit.element, offset=offset)


def _offset(line: Centreline, end: End, element: int, foot: Vec3, tangent: Vec3) -> float:
    """Distance at which the end's axis passes the axis of a stretch [mm]."""
    if element % 2:
        return axis_to_element(line, element, vec3(end.point), vec3(end.into), 100.0).distance
    across = cross(end.into, np.asarray(tangent))
    return abs(float((np.asarray(foot) - end.point) @ across)) / math.sqrt(float(across @ across))


def _at_end(known: Known, end: End, hit: Hit, other: Other) -> _Meeting:
    """Two ends in one point: mitred with each other, square where they butt in line.

    An end that is cut square, free or against something else is no partner: the run is coped round it.
    """
    target = known.target(hit)
    bisector = end.into - other.into
    if end.into @ other.into < -math.cos(IN_LINE_RAD):
        return _Meeting(kind="square", target=target, stretch=hit.element, offset=hit.distance)
    partner = other.spec.kind == "auto" or any(t.part == end.part for t in other.spec.against)
    if _runs_along(end, vec3(other.into)) and end.into @ other.into > 0:
        return _Meeting(kind="square", target=target, stretch=hit.element, along=True)
    if partner or _runs_along(end, vec3(other.into)):
        normal = vec3(bisector / np.linalg.norm(bisector))
        return _Meeting(
            kind="plane",
            target=target,
            stretch=hit.element,
            offset=hit.distance,
            normal=normal,
            point=vec3(end.point),
        )
    return _on_member(known, end, hit)


def _on_faces(known: Known, end: End, *, met_member: bool) -> list[_Meeting]:
    """Plates on whose face the end lies; one that is `on` the run does not count beside a member."""
    faces = known.plates.near(end.point, end.into, end.member.section.outside, TOUCHES)
    if met_member:
        faces = [f for f in faces if frozenset((end.part, f.target.part)) not in known.related]
    return [_on_face(face) for face in faces]


def _on_face(face: Face) -> _Meeting:
    if face.hole:
        return _Meeting(kind="square", target=face.target)
    return _Meeting(kind="plate", target=face.target, normal=vec3(face.normal), point=vec3(face.point))


def _fits(inner: Section, outer: Section) -> bool:
    """Whether one run can stand inside the other, either way round."""
    for a, b in ((inner, outer), (outer, inner)):
        if b.is_hollow and a.height <= b.height - 2 * b.wall + 0.1 and a.width <= b.width - 2 * b.wall + 0.1:
            return True
    return False


# ------------------------------------------------------------------------------------------------ named
def _named(known: Known, end: End) -> Joint:
    meetings: list[_Meeting] = []
    alone = len(end.spec.against) == 1
    for target in end.spec.against:
        unknown = unknown_target(target, known.scene.design, f"{end.where}.meets")
        if unknown is not None:
            known.findings.append(unknown)
            continue
        shape = known.scene.parts[target.part].shape
        if isinstance(shape, Bought):
            known.findings.append(tell.no_metal(end.where, target))
            continue
        met = _meet_plate(known, end, target) if isinstance(shape, PlateShape) else _meet(known, end, target, alone)
        if met is not None:
            meetings.append(met)
            if met.along:
                known.findings.append(tell.lies_along(end.where, end.part, target, named=True))
    if [m.kind for m in meetings].count("plate") > 1:
        known.findings.append(tell.two_plates(end.where, end.part))
        meetings = [m for i, m in enumerate(meetings) if m.kind != "plate" or i == 0]
    return _made(end, tuple(meetings[:2]), found=False)


def _meet(known: Known, end: End, target: Target, alone: bool) -> _Meeting | None:
    """Against a named run; None if it cannot be."""
    if target.part not in known.members:
        return None  # its own points have been faulted
    if target == Target(part=end.part):
        closing = known.own_other_end(end)
        other = None if closing is None else known.other_end(end, closing)
        if closing is None or other is None:
            gap = float(np.linalg.norm(np.subtract(*(e.point for e in ends_of(end.member)))))
            known.findings.append(tell.meets_itself(end.where, end.part, gap))
            return None
        return _at_end(known, end, closing, other)
    line, receiver = known.line(target), known.members[target.part]
    together = reach_of(receiver.section) + reach_of(end.member.section)
    nearest = closest(line, vec3(end.point))
    if nearest.distance > together + TOUCHES:
        known.findings.append(
            tell.cannot_meet(end.where, end.part, target, nearest.distance, _nearer(known, end, target, together))
        )
        return None
    if alone and nearest.distance <= TOUCHES:
        number = next(i for i, owner in enumerate(known.table.owners) if owner.target == target)
        hit = Hit(number, nearest.distance, nearest.element, nearest.point, (0.0, 0.0, 0.0))
        other = known.other_end(end, hit)
        if other is not None:
            hit = Hit(number, nearest.distance, nearest.element, nearest.point, vec3(other.into))
            return _at_end(known, end, hit, other)
    approach = axis_to_centreline(line, vec3(end.point), vec3(end.into), together + TOUCHES)
    if _runs_along(end, approach.tangent):
        known.findings.append(tell.lies_along(end.where, end.part, target, named=True))
        return None
    offset = _offset(line, end, approach.element, approach.foot, approach.tangent)
    if offset >= together:
        known.findings.append(tell.cannot_meet(end.where, end.part, target, offset, None))
        return None
    return _Meeting(kind="member", target=target, stretch=approach.element, offset=offset)


def _nearer(known: Known, end: End, target: Target, together: float) -> Target | None:
    """Another copy of the same part that the end does reach."""
    for owner in known.table.owners:
        other = owner.target
        if other.part == target.part and other.copy != target.copy and other != Target(part=end.part):
            gap = closest(known.line(other), vec3(end.point)).distance
            if gap <= together + TOUCHES:
                return other
    return None


def _meet_plate(known: Known, end: End, target: Target) -> _Meeting | None:
    """Against a named plate: its face, as far as the run's own outside may reach; None if it cannot be."""
    section = end.member.section
    face = known.plates.of(target, end.point, end.into, section.outside)
    if face is None:
        if any(f.part.id == target.part for f in known.plates.frames):
            known.findings.append(tell.lies_along(end.where, end.part, target, named=True))
        return None
    reach = reach_of(section)
    gap = max(face.gap, face.depth, face.beside)
    if gap > reach + TOUCHES:
        known.findings.append(tell.cannot_meet(end.where, end.part, target, gap, None))
        return None
    return _on_face(face)
