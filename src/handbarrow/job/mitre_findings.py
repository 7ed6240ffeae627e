"""Findings about the ends of runs."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.naming import called
from handbarrow.design.values import Joint, Member, Target
from handbarrow.findings import Finding, Severity
from handbarrow.language import Said, listed, said

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


def _met(joint: Joint) -> Said:
    names = [called(target) for target in joint.against]
    if not names:
        return said("its plane")
    return listed(names) if len(names) == 1 else said("{one} and {other}", one=names[0], other=names[1])


def not_checked(member: Member, joint: Joint, why: Said) -> Finding:
    """Return the finding for an end whose cut cannot be computed."""
    return Finding(
        code="mitre-not-checked",
        where=_where(member, joint.end),
        wrong=said(
            "the cut of {part} against {met} is not computed: {why}", part=member.part.id, met=_met(joint), why=why
        ),
        expected=said("a tube or bar on a straight or on a bend along its faces, or the face of a plate"),
        fix=said("fit this end by hand on the first unit, or move the joint to a straight stretch"),
        severity=Severity.WARNING,
    )


def comes_back(member: Member, joint: Joint, jump: float) -> Finding:
    """Return the finding for a run that leaves its receiver and runs into it again."""
    return Finding(
        code="mitre-not-checked",
        where=_where(member, joint.end),
        wrong=said(
            "the cut of {part} jumps by {jump:.1f} mm: beside the joint it runs into {met} again",
            part=member.part.id,
            jump=jump,
            met=_met(joint),
        ),
        expected=said("a run that leaves its receiver for good"),
        fix=said("lead the end on more steeply, or move the joint away from the inside of the bend"),
        severity=Severity.WARNING,
    )


def lies_along(member: Member, joint: Joint, angle_rad: float) -> Finding:
    """Return the finding for an end that lies along what it meets."""
    return Finding(
        code="cut-too-flat",
        where=_where(member, joint.end),
        wrong=said(
            "{part} meets {met} at {angle:.1f} degrees",
            part=member.part.id,
            met=_met(joint),
            angle=math.degrees(angle_rad),
        ),
        expected=said("at least 3 degrees to cut at all, 30 degrees for a cope that can be welded all round"),
        fix=said("lead the end on more steeply, or cut it square and weld it along its side"),
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
                wrong=said(
                    "{share:.0f} % of the girth of {part} passes beside {met}, by up to {most:.1f} mm",
                    share=missed.mean() * 100,
                    part=member.part.id,
                    met=_met(joint),
                    most=beside.max(),
                ),
                expected=said(
                    "an end that is no wider than what it meets, and whose offset leaves it within its width"
                ),
                fix=said("take a wider tube for what is met, a narrower one for the end, or less offset"),
                severity=Severity.WARNING,
            )
        )
    if past.any():
        out.append(
            Finding(
                code="receiver-ends-too-soon",
                where=where,
                wrong=said(
                    "{share:.0f} % of the cut of {part} lies beyond the end of {met}, by up to {most:.1f} mm",
                    share=past.mean() * 100,
                    part=member.part.id,
                    met=_met(joint),
                    most=past_end.max(),
                ),
                expected=said("a receiver that goes on past the whole cut"),
                fix=said(
                    "make {met} at least {length} mm longer there, or move the end",
                    met=_met(joint),
                    length=math.ceil(float(past_end.max())),
                ),
                severity=Severity.WARNING,
            )
        )
    if joint.kind == "member" and min(angles_rad) < FLAT_RAD:
        out.append(
            Finding(
                code="cut-too-flat",
                where=where,
                wrong=said(
                    "{part} meets {met} at {angle:.1f} degrees",
                    part=member.part.id,
                    met=_met(joint),
                    angle=math.degrees(min(angles_rad)),
                ),
                expected=said(
                    "30 degrees or more: flatter copes were not checked, and a torch does not reach their heel"
                ),
                fix=said("lead the end on more steeply, or fit it by hand and look at the weld's root"),
                severity=Severity.WARNING,
            )
        )
    return out


def copies_differ(member: Member, joint: Joint, copy: int, other: str, amount: float) -> Finding:
    """Return the finding for a copy that would have to be cut differently from copy 1."""
    part, end = member.part.id, joint.end
    by = said("it meets no copy of it, nor another part of that section")
    if math.isfinite(amount):
        by = said("by {amount:.1f} mm", amount=amount)
    return Finding(
        code="copies-meet-differently",
        where=_where(member, end),
        wrong=said(
            "copy {copy} of {part} does not meet {other} as copy 1 does at its start: {by}",
            copy=copy,
            part=part,
            other=other,
            by=by,
        )
        if end == "start"
        else said(
            "copy {copy} of {part} does not meet {other} as copy 1 does at its end: {by}",
            copy=copy,
            part=part,
            other=other,
            by=by,
        ),
        expected=said("all copies of a part cut alike"),
        fix=said("make copy {copy} a part of its own, or place it as copy 1 lies to {other}", copy=copy, other=other),
        severity=Severity.ERROR if amount > GROSS else Severity.WARNING,
    )


def reaches_bend(member: Member, end: str, deepest: float, room: float) -> Finding:
    """Return the finding for a cut that is deeper than the straight it is made in."""
    return Finding(
        code="cut-deeper-than-straight",
        where=_where(member, end),
        wrong=said(
            "the cut at the start of {part} reaches {deepest:.1f} mm into the tube, its straight "
            "there is {room:.1f} mm long",
            part=member.part.id,
            deepest=deepest,
            room=room,
        )
        if end == "start"
        else said(
            "the cut at the end of {part} reaches {deepest:.1f} mm into the tube, its straight "
            "there is {room:.1f} mm long",
            part=member.part.id,
            deepest=deepest,
            room=room,
        ),
        expected=said("a cut that stays on the straight beside it"),
        fix=said(
            "make the straight at least {length} mm longer, or take a die of smaller radius",
            length=math.ceil(deepest - room),
        ),
    )


def cuts_meet(member: Member, lack: float) -> Finding:
    """Return the finding for a straight run whose two cuts leave nothing between them."""
    return Finding(
        code="cut-deeper-than-straight",
        where=member.part.path,
        wrong=said("the cuts at both ends of {part} overlap by {lack:.1f} mm", part=member.part.id, lack=lack),
        expected=said("two cuts that leave metal between them"),
        fix=said(
            "make {part} at least {length} mm longer, or leave it out and weld the joint over",
            part=member.part.id,
            length=math.ceil(lack),
        ),
    )
