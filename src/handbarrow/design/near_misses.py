"""Ends that nearly meet something, and ends that run into each other."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from handbarrow.design import joint_findings as tell
from handbarrow.design.ends import TOUCHES, End, Known
from handbarrow.design.nearness import Hit, half_outside
from handbarrow.design.values import Joint
from handbarrow.laws.geometry.path import closest, layout, vec3

__all__ = ["NEARLY", "missed", "overlaps"]

NEARLY = 12.0
"""An end that comes nearer than this to a surface, and touches nothing, has probably missed [mm]."""
FILED = 3.0
"""Two ends that run into each other by less than this beside their member are filed to fit [mm]."""
STEEP = 0.3
"""A run that comes to a plate at less than about 17 degrees is not taken to be heading for it."""


def missed(known: Known, end: End, hits: Sequence[Hit]) -> None:
    """Tell of the nearest thing that an end passes without touching it, if nobody has said that it shall.

    Args:
        known: What is known; a finding is added to it.
        end: An end that meets nothing.
        hits: The runs near it, nearest first.
    """
    for hit in hits:
        owner = known.table.owners[hit.owner]
        if frozenset((end.part, owner.target.part)) in known.related:
            continue
        if any(closest(end.member.centreline, vec3(p)).distance <= TOUCHES for p in owner.ends):
            continue  # it comes to this run, near this end
        apart = float(np.linalg.norm(owner.ends - np.asarray(hit.foot), axis=1).min())
        what = "ends" if apart < 1e-6 else "axis"
        known.findings.append(tell.missed(end.where, end.part, owner.target, hit.distance, what))
        return
    for face in known.plates.near(end.point, end.into, end.member.section.outside, NEARLY):
        steep = abs(float(face.normal @ end.into)) >= STEEP
        told = frozenset((end.part, face.target.part)) in known.related
        if steep and face.gap > TOUCHES and not told:
            known.findings.append(tell.missed(end.where, end.part, face.target, face.gap, "face"))
            return


def overlaps(known: Known, ends: Sequence[End], joints: Sequence[Joint]) -> None:
    """Tell of pairs of ends that lie in one point of a member and run into each other beside it.

    Args:
        known: What is known; findings are added to it.
        ends: All ends.
        joints: Their joints, in the same order.
    """
    by_member: dict[tuple[str, int], list[int]] = {}
    for i, joint in enumerate(joints):
        if joint.kind == "member" and len(joint.against) == 1:
            by_member.setdefault((joint.against[0].part, joint.against[0].copy), []).append(i)
    for group in by_member.values():
        for n, i in enumerate(group):
            for j in group[n + 1 :]:
                if ends[i].part != ends[j].part and _run_into(known, ends[i], ends[j], joints[i]):
                    on = joints[i].against[0]
                    first, second = sorted((ends[i], ends[j]), key=lambda end: end.part)
                    known.findings.append(tell.ends_overlap(first.where, first.part, second.part, on))


def _run_into(known: Known, a: End, b: End, joint: Joint) -> bool:
    """Whether two runs from one point of a member still lie in each other where they leave its surface.

    The edges of two runs at an angle psi part at (r_a cos psi + r_b) / sin psi along the first from the point.
    """
    if float(np.linalg.norm(a.point - b.point)) > TOUCHES:
        return False
    r_a, r_b = half_outside(a.member), half_outside(b.member)
    cosine = float(np.clip(a.into @ b.into, -1.0, 1.0))
    sine = math.sqrt(1 - cosine * cosine)
    if sine < 1e-3:
        return cosine > 0
    along = (r_a * cosine + r_b) / sine
    aside = (b.into - cosine * a.into) / sine
    parting = a.point + along * a.into + r_a * aside
    target = joint.against[0]
    element = joint.stretch[0]
    if element % 2 == 0:
        m = known.scene.transform(target.part, target.copy)
        axis = m[:3, :3] @ layout(known.members[target.part].centreline).directions[element // 2]
        w = parting - a.point
        gap = float(np.linalg.norm(w - axis * float(w @ axis)))
    else:
        gap = closest(known.line(target), vec3(parting)).distance
    return gap > half_outside(known.members[target.part]) + FILED
