"""What clearances say: verdicts as drawn, at the tyres, on every way; and what is not measured."""

from __future__ import annotations

from collections.abc import Sequence

from handbarrow.findings import Finding
from handbarrow.job.clearance import NEAR, NEAR_TYRE, Clearance, Room, Way, clearances
from handbarrow.job.clearance_person import person_checks
from handbarrow.job.frame_values import Check, Subject, Verdict
from handbarrow.language import Said, said

__all__ = ["checks"]

LEAST_MOVING = 1.0
"""Common practice, no source: what passes nearer than this rubs sooner or later [mm]."""
LEAST_TYRE, MUD = 6.0, 10.0
"""Between tyre and anything fixed [mm]: ISO 4210-2 (from memory); where mud sticks (common practice, no source)."""


def checks(job: Subject) -> tuple[tuple[Check, ...], list[Finding]]:
    """Return the checks of clearance and no findings: what fails is told by its check."""
    room = clearances(job)
    out = [_standing(job, room)]
    if room.tyres:
        out.append(_tyres(job, room))
    out += [_way(job, room, way) for way in room.ways]
    if any(one.assembly != other.assembly for one in room.ways for other in room.ways):
        out.append(_at_once(job, room))
    out += person_checks(job)
    return tuple(out), []


def _titled(job: Subject, near: Clearance) -> tuple[str, str]:
    return job.part(near.one.part).title, job.part(near.other.part).title


def _verdict(near: Clearance | None, limit: float, enough: float) -> Verdict:
    if near is None or near.gap >= enough:
        return "holds"
    return "doubtful" if near.gap >= limit else "fails"


# ------------------------------------------------------------------------------------------------ each of them
RULE = said("distance between surfaces: closed forms; Gilbert, Johnson and Keerthi 1988 (from memory)")


def _full(room: Room) -> Said:
    if not room.left_out:
        return said("tubes full and without holes; the ears of mitred ends left out; nothing bends")
    return said(
        "tubes full and without holes; the ears of mitred ends left out; nothing bends; not measured: {parts}",
        parts=", ".join(room.left_out),
    )


def _standing(job: Subject, room: Room) -> Check:
    clashes = [c for c in room.near if c.kind == "standing" and c.clash]
    return Check(
        id="clearance-standing", title=_worst(job, said("parts that lie in each other, as drawn"), clashes),
        value=float(len(clashes)), limit=0.0, unit="", margin=None if clashes else 0.0,
        verdict="fails" if clashes else "holds", rule=RULE, assumes=_full(room), parts=_parts(clashes),
    )  # fmt: skip


def _worst(job: Subject, title: Said, near: Sequence[Clearance]) -> Said:
    if not near:
        return title
    one, other = _titled(job, near[0])
    return said("{title}: {one}, {other}", title=title, one=one, other=other)


def _parts(near: Sequence[Clearance]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(part for c in near for part in (c.one.part, c.other.part)))


def _tyres(job: Subject, room: Room) -> Check:
    near = next((c for c in room.near if c.kind == "tyre"), None)
    gap = NEAR_TYRE if near is None else near.gap
    return Check(
        id="clearance-tyre", title=_worst(job, said("room round the tyres"), [near] if near else []), value=gap,
        limit=LEAST_TYRE, unit="mm", margin=gap / LEAST_TYRE - 1, verdict=_verdict(near, LEAST_TYRE, MUD),
        rule=said("ISO 4210-2 (from memory); {mud:g} mm where mud sticks (common practice, no source)", mud=MUD),
        assumes=said("wheels true and tyres as their size says; hubs left out"), parts=_parts([near] if near else []),
    )  # fmt: skip


def _way(job: Subject, room: Room, way: Way) -> Check:
    near = [c for c in room.near if (c.assembly, c.position) == way][:1]
    title = said("{assembly} on the way to {position}", assembly=way.assembly, position=way.position)
    gap = near[0].gap if near else NEAR
    return Check(
        id=f"clearance-{way.assembly}-{way.position}".replace(" ", "-"), title=_worst(job, title, near), value=gap,
        limit=LEAST_MOVING, unit="mm", margin=gap / LEAST_MOVING - 1,
        verdict=_verdict(near[0] if near else None, 0.0, LEAST_MOVING),
        rule=said("what passes nearer than {least:g} mm rubs (common practice, no source)", least=LEAST_MOVING),
        assumes=said("moves in one go, all else as drawn; what lies on each other as drawn may slide off"),
        parts=_parts(near),
    )  # fmt: skip


def _at_once(job: Subject, room: Room) -> Check:
    clashes = [c for c in room.near if c.kind == "both" and c.clash]
    return Check(
        id="clearance-at-once", title=_worst(job, said("two positions at once"), clashes), value=float(len(clashes)),
        limit=0.0, unit="", margin=None if clashes else 0.0, verdict="doubtful" if clashes else "holds", rule=RULE,
        assumes=said("doubtful: one of the two must be taken first; written on the care sheet by hand"),
        parts=_parts(clashes),
    )  # fmt: skip
