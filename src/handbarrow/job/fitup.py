"""What is fitted up and welded, in which order, where each joint sits, and what is checked before welding.

Pure: read from the job. Welded is every pair of pieces of one assembly that meet, unless a bought part goes through
both, one stands in a hole of the other, or one lies round the other; the design says no more than that.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from handbarrow.design.values import Target
from handbarrow.job.fitup_checks import checks_of
from handbarrow.job.fitup_contacts import contacts
from handbarrow.job.fitup_place import Sitting, sitting
from handbarrow.job.fitup_sits import welded_sits
from handbarrow.job.fitup_values import Contact, FitJoint, FitStep, Laid, Weld, Weldment
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.remembered import remembered
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.mitre.outline import outline

__all__ = ["THROAT", "fit_up", "laid", "wall_of"]

SMALL = 200.0
"""A piece of tube or bar shorter than this whose ends meet nothing is fitted late, with the plates [mm]."""
THROAT = 0.7
"""Throat of a fillet over the thinner wall. Source: common practice, no source; a starting value."""
TACK_EVERY, TACK_EVERY_EDGE = 30.0, 100.0
"""A tack for so much girth, or so much straight edge [mm]. Source: common practice, no source."""


def fit_up(job: Job, met: tuple[Contact, ...] | None = None) -> tuple[Weldment, ...]:
    """Return everything that is welded, assembly by assembly, in the order of the design.

    Args:
        job: The job.
        met: What `contacts` says of it, if that is known already.
    """
    return _fit_up(job, contacts(job.product, job.workshop) if met is None else met)


@remembered
def _fit_up(job: Job, met: tuple[Contact, ...]) -> tuple[Weldment, ...]:
    parts = {part.id: part for part in job.parts}
    scene = Scene(job.product)
    sits = welded_sits(job.product, job.workshop, job.parts)
    found = _of_job(parts, met)
    welds = [c for c in found if c.joined == "weld" and parts[c.piece.part].assembly == parts[c.to.part].assembly]
    out = []
    for assembly in dict.fromkeys(part.assembly for part in job.parts):
        mine = [c for c in welds if parts[c.piece.part].assembly == assembly]
        for number, group in enumerate(_groups(mine), start=1):
            steps, made = _ordered(parts, group, found)
            joints = _joints(scene, parts, steps, made, sits)
            base = steps[0].pieces[0]
            checks = checks_of(job, scene, base, steps, joints)
            out.append(
                Weldment(
                    assembly=assembly, number=number, base=base, steps=steps, joints=joints, checks=checks,
                    around=_around(parts, found, assembly, steps),
                )
            )  # fmt: skip
    return tuple(out)


def laid(job: Job, met: tuple[Contact, ...] | None = None) -> tuple[Laid, ...]:
    """Return what is put on something without welding, in the order of the design: bolted, bought, or resting.

    Args:
        job: The job.
        met: What `contacts` says of it, if that is known already.
    """
    parts = {part.id: part for part in job.parts}
    found = _of_job(parts, contacts(job.product, job.workshop) if met is None else met)
    loose = {(c.piece.part, c.to.part): c.joined for c in found if c.joined != "weld"}
    out: list[Laid] = []
    for part in (p for p in job.design.parts if p.id in parts):
        for to in dict.fromkeys(parts[t.part].assembly for t in part.on if t.part in parts):
            on = tuple(dict.fromkeys(t.part for t in part.on if t.part in parts and parts[t.part].assembly == to))
            held = {loose[(part.id, name)] for name in on if (part.id, name) in loose}
            if parts[part.id].kind == "bought":
                how = "bought"
            elif any(_holds(parts[name], part.id) for name in on):
                how = "bolt"
            elif held:
                how = sorted(held)[0]
            elif to != part.assembly:
                how = "rests"
            else:
                continue
            if held and how not in ("bought", "rests"):
                on = tuple(n for n in on if loose.get((part.id, n)) == how)
            out.append(Laid(part=part.id, on=on, assembly=part.assembly, to_assembly=to, how=how))  # type: ignore[arg-type]
    return tuple(out)


def _holds(part: JobPart, held: str) -> bool:
    """Whether a part is a bolt that goes through another one."""
    return part.fastener is not None and any(one.part == held for one in part.fastener.clamped)


def _of_job(parts: Mapping[str, JobPart], met: Iterable[Contact]) -> list[Contact]:
    """Contacts between parts that the job has."""
    return [c for c in met if c.piece.part in parts and c.to.part in parts]


# ------------------------------------------------------------------------------------------------ order
def _groups(welds: Sequence[Contact]) -> list[list[Contact]]:
    """Contacts that hold together, one group for each thing that is welded."""
    owner: dict[Target, int] = {}
    groups: dict[int, list[Contact]] = {}
    for i, contact in enumerate(welds):
        met = sorted({owner[p] for p in (contact.piece, contact.to) if p in owner})
        groups[i] = [*(c for k in met for c in groups.pop(k)), contact]
        for c in groups[i]:
            owner[c.piece] = owner[c.to] = i
    places = {id(c): k for k, c in enumerate(welds)}
    ordered = [sorted(group, key=lambda c: places[id(c)]) for group in groups.values()]
    return sorted(ordered, key=lambda group: places[id(group[0])])


def _length(part: JobPart) -> float:
    return part.cut_length or 0.0


def _base(parts: Mapping[str, JobPart], group: Sequence[Contact]) -> Target:
    """The piece with the most joints; the longest of those."""
    count: dict[Target, int] = {}
    for c in group:
        for piece in {c.piece, c.to}:
            count[piece] = count.get(piece, 0) + 1
    rank = list(parts)
    return max(count, key=lambda p: (count[p], _length(parts[p.part]), -rank.index(p.part), -p.copy))


def _ordered(
    parts: Mapping[str, JobPart], group: Sequence[Contact], found: Iterable[Contact]
) -> tuple[tuple[FitStep, ...], list[tuple[int, Target, Contact]]]:
    """Steps, and for each contact the step that makes it and the piece that is added then.

    After the base: pieces of which all that their ends are cut to is there come first, those that close what is there
    before others, small pieces and plates last; alike pieces in one step. Ties: the order of the design.
    """
    base = _base(parts, group)
    sleeves = [c for c in found if c.joined == "sleeve"]
    placed: dict[Target, int] = {base: 1}
    made = [(1, base, c) for c in group if c.piece == c.to == base]
    steps = [FitStep(number=1, part=base.part, pieces=(base,), threaded=_threaded(parts, sleeves, (base,), placed))]
    left = [p for p in dict.fromkeys(p for c in group for p in (c.piece, c.to)) if p != base]
    while left:
        ranks = {p: r for p in left if (r := _rank(parts, group, placed, p)) is not None}
        first = min(ranks, key=lambda p: (ranks[p], p.copy))
        pieces = tuple(sorted((p for p in ranks if ranks[p] == ranks[first]), key=lambda p: p.copy))
        number = len(steps) + 1
        threaded = _threaded(parts, sleeves, pieces, placed)
        steps.append(FitStep(number=number, part=first.part, pieces=pieces, threaded=threaded))
        placed |= dict.fromkeys(pieces, number)
        made += [
            (number, p, c)
            for p in pieces
            for c in group
            if p in (c.piece, c.to)
            and (other := c.to if c.piece == p else c.piece) in placed
            and (placed[other] < number or other == p or (c.piece == p and other in pieces))
        ]
        left = [p for p in left if p not in placed]
    return tuple(steps), made


def _rank(
    parts: Mapping[str, JobPart], group: Sequence[Contact], placed: Mapping[Target, int], piece: Target
) -> tuple[bool, int, bool, int] | None:
    """How late a piece is to be added; None: nothing that it meets is there yet."""
    part = parts[piece.part]
    meets = [c for c in group if piece in (c.piece, c.to)]
    if not any((c.to if c.piece == piece else c.piece) in placed for c in meets):
        return None
    wanted = {c.to for c in meets if c.piece == piece and c.to != piece and parts[c.to.part].kind != "plate"}
    missing = sum(to not in placed for to in wanted)
    closes = any(c.to == piece and c.piece in placed and c.end for c in meets)
    ends = any(c.end and c.piece == piece for c in meets)
    small = part.kind == "plate" or (_length(part) < SMALL and not ends)
    return small, missing, not closes, list(parts).index(piece.part)


def _threaded(
    parts: Mapping[str, JobPart], sleeves: Sequence[Contact], pieces: Sequence[Target], placed: Mapping[Target, int]
) -> tuple[tuple[Target, Target], ...]:
    """Sleeves that lie round these pieces and are not there yet: they go on before the ends are closed."""
    pairs = dict.fromkeys(_outer_first(parts, c) for c in sleeves)
    return tuple((outer, inner) for outer, inner in pairs if inner in pieces and outer not in placed)


def _outer_first(parts: Mapping[str, JobPart], contact: Contact) -> tuple[Target, Target]:
    """The two pieces of a sleeve contact, the one that lies round the other first."""
    a, b = parts[contact.piece.part].section, parts[contact.to.part].section
    inner_first = a is not None and b is not None and a.height < b.height
    return (contact.to, contact.piece) if inner_first else (contact.piece, contact.to)


def _around(
    parts: Mapping[str, JobPart], found: Iterable[Contact], assembly: str, steps: Sequence[FitStep]
) -> tuple[tuple[Target, Target], ...]:
    """Pieces that lie round a piece of another assembly, with that one."""
    mine = {piece for step in steps for piece in step.pieces}
    pairs = [_outer_first(parts, c) for c in found if c.joined == "sleeve"]
    return tuple((a, b) for a, b in pairs if a in mine and parts[b.part].assembly != assembly)


# ------------------------------------------------------------------------------------------------ joints
def _joints(
    scene: Scene, parts: Mapping[str, JobPart], steps: Sequence[FitStep], made: Sequence[tuple[int, Target, Contact]],
    known: Mapping[Contact, Sitting],
) -> tuple[FitJoint, ...]:  # fmt: skip
    out = []
    for number, (step, added, contact) in enumerate(made, start=1):
        sits = known.get(contact) or sitting(scene, parts, contact)
        both = [parts[contact.piece.part], parts[contact.to.part]]
        fillet = contact.kind not in ("mitre", "butt")
        weld = Weld(
            kind="fillet" if fillet else "butt",
            all_round=not sits.both_sides,
            sides=2 if sits.both_sides else 1,
            length=sits.length,
            throat=THROAT * min(wall_of(part) for part in both),
            tacks=_tacks(both[0], sits.length, edge=sits.both_sides),
        )
        joint = FitJoint(
            number=number, step=step, added=added, contact=contact, place=sits.place, angle_rad=sits.angle_rad,
            offset=sits.offset, weld=weld, own=sits.own, reach=sits.reach,
        )  # fmt: skip
        out.append(joint)
    return tuple(out)


def wall_of(part: JobPart) -> float:
    """Return the thickness that a weld melts into [mm]: wall, leg of an angle, plate; of solid bars the lesser size."""
    if part.section is None:
        return part.thickness or 0.0
    return part.section.wall or min(part.section.height, part.section.width)


def _tacks(part: JobPart, length: float | None, *, edge: bool) -> int:
    """How many tacks: by girth round an end, by length along both sides of an edge."""
    if not edge and part.section is not None:
        return min(max(2, math.ceil(outline(part.section).girth / TACK_EVERY - 1e-9)), 8)
    if length is None or length <= TACK_EVERY:
        return 2
    return 2 * (math.ceil(length / TACK_EVERY_EDGE - 1e-9) + 1)
