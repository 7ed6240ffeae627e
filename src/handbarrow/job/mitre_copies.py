"""Whether all copies of a run meet their receivers as copy 1 does: one card, one wrap, one jig for all of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Joint, Member, Target
from handbarrow.findings import Finding
from handbarrow.job import mitre_findings as tell
from handbarrow.job.mitre_surfaces import LEAST_ANGLE_RAD, Against, Scene, end_frame
from handbarrow.laws.geometry.path import layout
from handbarrow.laws.geometry.rigid import moved
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.outline import Outline, outline
from handbarrow.laws.mitre.receiver import Hits, Receiver, meeting

__all__ = ["SAME_CUT", "check_copies"]

Floats = NDArray[np.float64]

SAME_CUT = 0.1
"""Cuts that differ by less than this are one cut in any workshop [mm]."""
SAME_PLACE = 1e-7
"""Places nearer than this are one [mm]."""
EVERY = 8
"""Copies are compared at every eighth station."""


class _Ends(NamedTuple):
    """The end of a copy, its stations, the cut of copy 1, and from how far away it may still be cut to a surface."""

    copy: EndFrame
    ring: Outline
    first: Hits
    reach: float


def check_copies(scene: Scene, member: Member, joint: Joint, each: Sequence[Hits]) -> list[Finding]:
    """Return a finding for each copy of a run that would have to be cut differently at one end.

    Args:
        scene: The product.
        member: The run.
        joint: The joint of copy 1.
        each: The cut of copy 1 against each of `joint.against` by itself [mm], or against the cutting plane.

    Each copy's end is carried into the axes of every copy of the receiver, then of other runs of the same section; the
    best of these must give the cut of copy 1, and reach no further past its own end than there. A mirrored copy is the
    mirror image of the same cut, so the same numbers must come out.
    """
    frame = end_frame(member, joint.end)
    findings = []
    for copy in scene.copies.get(member.part.id, [])[1:]:
        transform = scene.transforms[(member.part.id, copy)]
        for target, first in zip(joint.against, each, strict=False):
            if joint.kind == "plane":
                amount = _corner_differs(scene, frame, target, transform, outline(member.section).reach)
            else:
                amount = _cut_differs(scene, joint, target, transform, (frame, outline(member.section), first))
            if amount > SAME_CUT:
                findings.append(tell.copies_differ(member, joint, copy, target.part, amount))
    return findings


def _lies_alike(scene: Scene, target: Target, transform: Floats) -> bool:
    """Whether some copy of the receiver lies to this copy exactly as the one that is met lies to copy 1."""
    there = transform @ scene.transforms[(target.part, target.copy)]
    copies = np.array([scene.transforms[(target.part, copy)] for copy in scene.copies[target.part]])
    if (np.abs(copies - there).max(axis=(1, 2)) < SAME_PLACE).any():
        return True
    member = scene.product.members.get(target.part)
    if member is None or not member.section.is_round:
        return False
    points = np.asarray(member.centreline.points)  # a round run may be carried into itself
    here, each = moved(there, points), points @ copies[:, :3, :3].transpose(0, 2, 1) + copies[:, None, :3, 3]
    backwards = member.centreline.radii == member.centreline.radii[::-1]
    ways = (here, here[::-1]) if backwards else (here,)
    return any(bool((np.abs(each - way).max(axis=(1, 2)) < SAME_PLACE).any()) for way in ways)


def _cut_differs(
    scene: Scene, joint: Joint, target: Target, transform: Floats, first: tuple[EndFrame, Outline, Hits]
) -> float:
    """Largest difference in h to copy 1 [mm]; inf if the copy's end meets no copy of the receiver, nor its like.

    `first` is copy 1: its end, its stations, its cut.
    """
    if _lies_alike(scene, target, transform):
        return 0.0
    reach = first[1].reach + max((_distance(a) for a in scene.against(joint, target, first[0])), default=0.0)
    ends = _Ends(first[0].moved(transform), first[1], first[2], reach)
    best = _least(scene, joint, [Target(part=target.part, copy=copy) for copy in scene.copies[target.part]], ends)
    return best if best <= SAME_CUT else min(best, _least(scene, joint, _twins(scene, target), ends))


def _least(scene: Scene, joint: Joint, targets: list[Target], ends: _Ends) -> float:
    """Least of the largest differences in h over what the copy's end may meet [mm]; inf if it meets none of it."""
    best = math.inf
    for target in targets:
        for against in scene.against(joint, target, ends.copy):
            if best <= SAME_CUT:
                return best
            if _distance(against) < ends.reach + _size(against) and against.angle_rad >= LEAST_ANGLE_RAD:
                best = min(best, _difference(against.cut(ends.ring.uv[::EVERY], joint.gap), ends.first))
    return best


def _difference(other: Hits, first: Hits) -> float:
    """Largest difference to the cut of copy 1, or how much further it lies past the receiver's end [mm].

    It is inf where copy 1 meets the receiver and the copy nowhere does.
    """
    past = float(np.max(other.past_end - first.past_end[::EVERY]))
    if np.all(_off(other)) and not np.all(_off(first)):
        return math.inf
    return max(float(np.max(np.abs(other.h - first.h[::EVERY]))), past)


def _off(cut: Hits) -> NDArray[np.bool_]:
    """Stations that pass beside the receiver or beyond its end."""
    out: NDArray[np.bool_] = (cut.past_end > 0) | (cut.beside > 0)
    return out


def _twins(scene: Scene, target: Target) -> list[Target]:
    """All copies of other runs of the same section: a copy may meet another part in the very same way."""
    members = scene.product.members
    if target.part not in members:
        return []
    section = members[target.part].section
    same = [name for name, member in members.items() if member.section == section and name != target.part]
    return [Target(part=name, copy=copy) for name in same for copy in scene.copies.get(name, [])]


def _distance(against: Against) -> float:
    """From the end's working point to the centreline of what it meets [mm]; 0 for a plane."""
    return meeting(against.frame, against.surface).distance if isinstance(against.surface, Receiver) else 0.0


def _size(against: Against) -> float:
    """How far what is met may reach from its centreline, on the safe side [mm]."""
    if not isinstance(against.surface, Receiver):
        return 1.0
    return math.hypot(against.surface.section.height, against.surface.section.width)


def _corner_differs(scene: Scene, frame: EndFrame, target: Target, transform: Floats, reach: float) -> float:
    """For an end-to-end corner: how differently the other run's end lies to this copy's end [mm]."""
    other = scene.product.members.get(target.part)
    if other is None or (target.part, target.copy) not in scene.inverses:
        return 0.0
    place = layout(other.centreline)
    ends = [np.array([place.start, place.directions[0]]), np.array([place.end, -place.directions[-1]])]
    seen = _signatures(frame.moved(scene.inverses[(target.part, target.copy)]), ends)
    own = min(seen, key=lambda sign: float(np.linalg.norm(sign[0])))
    best = math.inf
    for copy in scene.copies[target.part]:
        for sign in _signatures(frame.moved(scene.inverses[(target.part, copy)] @ transform), ends):
            apart = float(np.linalg.norm(sign[0] - own[0]))
            best = min(best, apart + reach * float(np.linalg.norm(sign[1] - own[1])))
    return best


def _signatures(frame: EndFrame, ends: list[Floats]) -> list[Floats]:
    """Place and direction of the other run's ends as seen from an end."""
    axes = np.array([frame.into, frame.u, frame.v])
    return [np.array([axes @ (end[0] - np.asarray(frame.point)), axes @ end[1]]) for end in ends]
