"""How joints are said: alike joints in one row, each with its places and sizes as a tape measures them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from handbarrow.design.values import Target
from handbarrow.job.fitup_sides import end_side, named_pieces
from handbarrow.job.fitup_values import FitJoint, FitStep, Place, Side, Weldment
from handbarrow.job.values import Job
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.shown import degrees, title_of
from handbarrow.sheets.words_fitup import ENDS, FIT, SIDES, WAYS

__all__ = ["SQUARE", "Row", "piece_words", "row_block", "rows_of"]

SQUARE = 1e-4
"""As near to a right angle as that is square on [rad]."""
SAME = 0.05
"""Distances that differ by less are one on a tape [mm]."""
OPPOSITE: Mapping[Side, Side] = {
    "front": "rear", "rear": "front", "left": "right", "right": "left", "top": "bottom", "bottom": "top",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Row:
    """Joints that are made alike: same parts, same distances, same weld. `label` as `3a`."""

    label: str
    joints: tuple[FitJoint, ...]

    @property
    def first(self) -> FitJoint:
        """The one that stands for all."""
        return self.joints[0]


def rows_of(weldment: Weldment, step: FitStep) -> list[Row]:
    """Return the joints of a step, alike ones in one row; every joint is in exactly one."""
    groups: dict[tuple[object, ...], list[FitJoint]] = {}
    for joint in weldment.of_step(step.number):
        groups.setdefault(_key(joint), []).append(joint)
    letters = "abcdefghijklmnopqrstuvwxyz"
    return [
        Row(FIT["step_label"].format(step=step.number, letter=letters[i % 26] * (i // 26 + 1)), tuple(joints))
        for i, joints in enumerate(groups.values())
    ]


def _key(joint: FitJoint) -> tuple[object, ...]:
    place, weld, c = joint.place, joint.weld, joint.contact
    datum = "end" if place.datum == "start" else place.datum
    sizes = [round(v / SAME) for v in (place.near, place.centre, place.far, place.across)]
    angle = None if joint.angle_rad is None else round(joint.angle_rad, 4)
    length = None if weld.length is None else round(weld.length / 0.5)
    bend = place.bend if not place.leg and datum == "bend" else 0
    reach = None if joint.reach is None else sorted(round(v / SAME) for v in (joint.reach.one, joint.reach.other))
    own = None if joint.own is None else (joint.own.leg, round(joint.own.centre / SAME))
    alike = (c.piece.part, c.to.part, c.kind, datum, bend, *sizes, angle, round(joint.offset / SAME), str(reach), own)
    return (*alike, length, weld.sides)


# ------------------------------------------------------------------------------------------------ words
def joined(words: Iterable[str]) -> str:
    """Return words once each, as `left and right`."""
    each = list(dict.fromkeys(word for word in words if word))
    return FIT["both"].format(one=", ".join(each[:-1]), other=each[-1]) if len(each) > 1 else "".join(each)


def piece_words(job: Job, weldment: Weldment, pieces: Sequence[Target]) -> str:
    """Say a part by its title and where its pieces are, if the weldment has more of them."""
    title = title_of(job, pieces[0].part)
    every = [p for p in weldment.pieces if p.part == pieces[0].part]
    if len(set(pieces)) == len(every):
        return title
    sides = named_pieces(job, every)
    said = [" ".join(ENDS[s] for s in sides[p]) for p in dict.fromkeys(pieces)]
    return FIT["sided"].format(sides=joined(said), part=title) if all(said) else title


def _end_words(job: Job, row: Row) -> str:
    """Which end: both, or by the side on which it lies and its mark."""
    ends = {j.contact.end for j in row.joints}
    if len(ends) > 1:
        return FIT["both_ends"]
    sides = joined(ENDS[end_side(job, j.contact.piece, j.contact.end)] for j in row.joints)
    return FIT["end_of"].format(side=sides, end=FIT[next(iter(ends))])


def _where(row: Row) -> str:
    """On which leg and side of the receiver."""
    places = [j.place for j in row.joints]
    out = []
    if all(p.leg and p.leg_side for p in places):
        legs = list(dict.fromkeys(ENDS[p.leg_side] for p in places if p.leg_side))
        out.append(FIT["leg" if len(legs) == 1 else "legs"].format(sides=joined(legs)))
    elif all(p.leg and p.datum != "edges" for p in places) and max(p.leg for p in places) > 1:
        out.append(FIT["leg_number"].format(number=joined(str(p.leg) for p in places)))
    side = _side_words(places)
    if side:
        out.append(side)
    return "".join(f", {word}" for word in out)


def _side_words(places: Sequence[Place]) -> str:
    if any(p.datum in ("face", "edges") for p in places):
        return ""
    said = joined(SIDES[p.side] for p in places)
    if len(places) > 1 and all(p.leg_side and p.side == OPPOSITE[p.leg_side] for p in places):
        said = FIT["inner"]
    elif len(places) > 1 and all(p.leg_side and p.side == p.leg_side for p in places):
        said = FIT["outer"]
    lean, towards = places[0].lean_rad, [p.lean_to for p in places if p.lean_to]
    if lean < math.radians(0.5) or not towards:
        return said
    return FIT["lean"].format(side=said, lean=degrees(lean), towards=joined(SIDES[side] for side in towards))


def _from(places: Sequence[Place]) -> str:
    place = places[0]
    if place.datum == "edges":
        return FIT["from_edges"]
    if place.datum == "face":
        return FIT["end_to_end"]
    sides = list(dict.fromkeys(ENDS[p.datum_side] for p in places if p.datum_side))
    key = "from_bend" if place.datum == "bend" else "from_end"
    return FIT[key if len(sides) == 1 else f"{key}s"].format(side=joined(sides))


def row_block(job: Job, weldment: Weldment, step: FitStep, row: Row) -> Block:
    """Return a row as the page template takes it: label, what, from where, sizes, the rest."""
    joint, places = row.first, [j.place for j in row.joints]
    place, contact, shown = joint.place, joint.contact, job.workshop.shown
    to = piece_words(job, weldment, [j.contact.to for j in row.joints])
    if contact.end and contact.piece.part != step.part:
        piece = piece_words(job, weldment, [j.contact.piece for j in row.joints])
        what = FIT["what_of"].format(end=_end_words(job, row), piece=piece)
    elif contact.end:
        what = FIT["what"].format(end=_end_words(job, row), to=to, where=_where(row))
    elif contact.piece.part != step.part:
        piece = piece_words(job, weldment, [j.contact.piece for j in row.joints])
        what = FIT["what_takes"].format(piece=piece, where=_where(row))
    else:
        key = "what_stands" if contact.kind == "edge" else "what_lies"
        what = FIT[key].format(to=to, where=_where(row))
    if place.datum == "edges":
        sizes = FIT["edges"].format(centre=shown.length(place.centre), across=shown.length(place.across))
    elif place.datum == "face":
        sizes = ""
    elif not place.leg:
        sizes = FIT["on_bend"].format(bend=place.bend, centre=shown.length(place.centre))
    else:
        sizes = _sizes(job, joint)
    return {"label": row.label, "what": what, "from": _from(places) if place.leg or place.datum != "bend" else "",
            "sizes": sizes, "rest": _rest(job, row)}  # fmt: skip


def _sizes(job: Job, joint: FitJoint) -> str:
    place, shown = joint.place, job.workshop.shown
    near, far, centre = (shown.length(v) for v in (place.near, place.far, place.centre))
    if joint.angle_rad is None or joint.angle_rad < math.radians(3.0):
        return FIT["from_to"].format(near=near, far=far)
    is_middle = abs((place.near + place.far) / 2 - place.centre) < SAME
    last = FIT["middle"].format(centre=centre) if is_middle else FIT["far"].format(far=far)
    return f"{FIT['near'].format(near=near)}   {last}"


def _rest(job: Job, row: Row) -> str:
    joint = row.first
    out = []
    if joint.angle_rad is not None:
        angle = joint.angle_rad
        square, along = abs(angle - math.pi / 2) < SQUARE, angle < math.radians(3.0)
        out.append(FIT["square"] if square else FIT["along"] if along else FIT["angle"].format(angle=degrees(angle)))
    if joint.offset >= SAME:
        out.append(FIT["offset"].format(offset=job.workshop.shown.length(joint.offset)))
    if joint.own is not None and joint.own.leg:
        centre = job.workshop.shown.length(joint.own.centre)
        out.append(FIT["own"].format(where=_from([j.own for j in row.joints if j.own]), centre=centre))
    elif joint.own is not None and joint.own.datum == "edges":
        sizes = [job.workshop.shown.length(v) for v in (joint.own.centre, joint.own.across)]
        piece = title_of(job, joint.contact.piece.part)
        out.append(FIT["own_edges"].format(piece=piece, centre=sizes[0], across=sizes[1]))
    if joint.reach is not None:
        out.append(_reach_words(job, row))
    out.append(FIT["tacks"].format(tacks=joint.weld.tacks))
    if len(row.joints) > 1:
        out.append(FIT["times"].format(count=len(row.joints)))
    return "  ·  ".join(out)


def _reach_words(job: Job, row: Row) -> str:
    """How far a plate or bar reaches across its tube; alike for all pieces of the row."""
    reach, shown = row.first.reach, job.workshop.shown
    if reach is None:
        return ""
    if abs(reach.one - reach.other) < SAME:
        return FIT["reach_same"].format(one=shown.length(reach.one))
    one, other = (joined(words) for words in zip(*(_ways(j) for j in row.joints), strict=True))
    return FIT["reach"].format(
        one=shown.length(max(reach.one, reach.other)), other=shown.length(min(reach.one, reach.other)),
        one_side=one, other_side=other,
    )  # fmt: skip


def _ways(joint: FitJoint) -> tuple[str, str]:
    """Where the longer and where the shorter side of a reach lies."""
    reach = joint.reach
    if reach is None:
        return "", ""
    names = (WAYS[reach.one_side], WAYS[reach.other_side])
    return names if reach.one >= reach.other else (names[1], names[0])
