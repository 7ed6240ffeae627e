"""Findings about the ends of runs."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Joint, Member, Target
from handbarrow.findings import Finding, Severity

__all__ = [
    "comes_back",
    "copies_differ",
    "cuts_meet",
    "doubts",
    "lies_along",
    "not_checked",
    "nothing",
    "reaches_bend",
]

Floats = NDArray[np.float64]

FLAT_RAD = math.radians(30.0)
"""Copes at less than this were not checked [rad]."""
NO_MATTER = 0.01
"""Lines that miss by less than this, or meet that little beyond an end, are rounding [mm]."""
GROSS = 1.0
"""Copies whose cuts differ by more than this cannot be filed to fit [mm]."""


def nothing(joint: Joint) -> Target:
    """Return a stand-in target for a plane cut that meets nothing."""
    return Target(part=joint.part)


def _where(member: Member, end: str) -> str:
    return f"{member.part.path}.{end}"


def _met(joint: Joint) -> str:
    return " and ".join(t.part if t.copy == 1 else f"{t.part} copy {t.copy}" for t in joint.against) or "its plane"


def not_checked(member: Member, joint: Joint, why: str) -> Finding:
    """Return the finding for an end whose cut cannot be computed."""
    return Finding(
        code="mitre-not-checked",
        where=_where(member, joint.end),
        wrong=f"the cut of {member.part.id} against {_met(joint)} is not computed: {why}",
        expected="a tube or bar on a straight or on a bend along its faces, or the face of a plate",
        fix="fit this end by hand on the first unit, or move the joint to a straight stretch",
        severity=Severity.WARNING,
    )


def comes_back(member: Member, joint: Joint, jump: float) -> Finding:
    """Return the finding for a run that leaves its receiver and runs into it again."""
    return Finding(
        code="mitre-not-checked",
        where=_where(member, joint.end),
        wrong=f"the cut of {member.part.id} jumps by {jump:.1f} mm: beside the joint it runs into {_met(joint)} again",
        expected="a run that leaves its receiver for good",
        fix="lead the end on more steeply, or move the joint away from the inside of the bend",
        severity=Severity.WARNING,
    )


def lies_along(member: Member, joint: Joint, angle_rad: float) -> Finding:
    """Return the finding for an end that lies along what it meets."""
    return Finding(
        code="cut-too-flat",
        where=_where(member, joint.end),
        wrong=f"{member.part.id} meets {_met(joint)} at {math.degrees(angle_rad):.1f} degrees",
        expected="at least 3 degrees to cut at all, 30 degrees for a cope that can be welded all round",
        fix="lead the end on more steeply, or cut it square and weld it along its side",
    )


def doubts(member: Member, joint: Joint, angles_rad: list[float], beside: Floats, past_end: Floats) -> list[Finding]:
    """Return findings about a cut that was computed but does not fit everywhere."""
    out, where = [], _where(member, joint.end)
    missed, past = beside > NO_MATTER, past_end > NO_MATTER
    if missed.any():
        out.append(
            Finding(
                code="branch-misses-receiver",
                where=where,
                wrong=f"{missed.mean() * 100:.0f} % of the girth of {member.part.id} passes beside {_met(joint)}, "
                f"by up to {beside.max():.1f} mm",
                expected="an end that is no wider than what it meets, and whose offset leaves it within its width",
                fix="take a wider tube for what is met, a narrower one for the end, or less offset",
                severity=Severity.WARNING,
            )
        )
    if past.any():
        out.append(
            Finding(
                code="receiver-ends-too-soon",
                where=where,
                wrong=f"{past.mean() * 100:.0f} % of the cut of {member.part.id} lies beyond the end of {_met(joint)}, "
                f"by up to {past_end.max():.1f} mm",
                expected="a receiver that goes on past the whole cut",
                fix=f"make {_met(joint)} at least {math.ceil(float(past_end.max()))} mm longer there, or move the end",
                severity=Severity.WARNING,
            )
        )
    if joint.kind == "member" and min(angles_rad) < FLAT_RAD:
        out.append(
            Finding(
                code="cut-too-flat",
                where=where,
                wrong=f"{member.part.id} meets {_met(joint)} at {math.degrees(min(angles_rad)):.1f} degrees",
                expected="30 degrees or more: flatter copes were not checked, and a torch does not reach their heel",
                fix="lead the end on more steeply, or fit it by hand and look at the weld's root",
                severity=Severity.WARNING,
            )
        )
    return out


def copies_differ(member: Member, joint: Joint, copy: int, other: str, amount: float) -> Finding:
    """Return the finding for a copy that would have to be cut differently from copy 1."""
    part, end = member.part.id, joint.end
    by = f"by {amount:.1f} mm" if math.isfinite(amount) else "it meets no copy of it, nor another part of that section"
    return Finding(
        code="copies-meet-differently",
        where=_where(member, end),
        wrong=f"copy {copy} of {part} does not meet {other} as copy 1 does at its {end}: {by}",
        expected="all copies of a part cut alike",
        fix=f"make copy {copy} a part of its own, or place it as copy 1 lies to {other}",
        severity=Severity.ERROR if amount > GROSS else Severity.WARNING,
    )


def reaches_bend(member: Member, end: str, deepest: float, room: float) -> Finding:
    """Return the finding for a cut that is deeper than the straight it is made in."""
    return Finding(
        code="cut-deeper-than-straight",
        where=_where(member, end),
        wrong=f"the cut at the {end} of {member.part.id} reaches {deepest:.1f} mm into the tube, "
        f"its straight there is {room:.1f} mm long",
        expected="a cut that stays on the straight beside it",
        fix=f"make the straight at least {math.ceil(deepest - room)} mm longer, or take a die of smaller radius",
    )


def cuts_meet(member: Member, lack: float) -> Finding:
    """Return the finding for a straight run whose two cuts leave nothing between them."""
    return Finding(
        code="cut-deeper-than-straight",
        where=member.part.path,
        wrong=f"the cuts at both ends of {member.part.id} overlap by {lack:.1f} mm",
        expected="two cuts that leave metal between them",
        fix=f"make {member.part.id} at least {math.ceil(lack)} mm longer, or leave it out and weld the joint over",
    )
