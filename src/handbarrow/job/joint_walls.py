"""Walls of tubes that others stand on: chord face, punching, the standing tube itself; worst copy of each pair."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Target
from handbarrow.job.frame_values import Check, Piece, Subject, Verdict, not_made
from handbarrow.job.frame_verdicts import verdict
from handbarrow.job.joint_forces import Tied, chord_push, steel_of
from handbarrow.job.joint_lines import Seam, way_at
from handbarrow.job.joint_welds import Ground, told
from handbarrow.language import said
from handbarrow.laws.geometry.path import Floats, cross, length
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.joints.tube_joint import joint_resistance
from handbarrow.laws.joints.values import JointKind, JointResistance, TubeJoint, joint_use

__all__ = ["wall_checks"]

ALONG = math.sin(math.radians(10.0))
"""A tube that meets another at less than this lies along it: no rule for joints covers it."""
SQUARE_RAD = math.radians(85.0)
OPPOSITE = -0.7
"""Two tubes stand opposite each other on a third if the cosine between them is below this."""


class _Stand(NamedTuple):
    """A tube on another: its tie, where its axis leads to, the direction of the other, the angle between them."""

    one: Tied
    brace: Target
    chord: Target
    into: Floats
    way: Floats
    angle_rad: float


def wall_checks(ground: Ground, found: Sequence[Seam]) -> list[Check]:
    """Return one check for each pair of tubes; one more names the joints that no rule covers."""
    stands = [stand for seam in found if seam.end for one in seam.ties if (stand := _stand(ground, seam, one))]
    groups: dict[tuple[str, str], list[_Stand]] = {}
    for stand in stands:
        groups.setdefault((stand.brace.part, stand.chord.part), []).append(stand)
    out = [check for alike in groups.values() if (check := _check(ground, alike, stands)) is not None]
    known = {check.parts for check in out}
    out = told(out, "joints-others", said("walls of tubes under all others, the most used"))
    left = dict.fromkeys(seam.pair for seam in found if seam.pair not in known and _on_tube(ground, seam))
    if left:
        job = ground.job
        pairs = "; ".join(f"{job.part(a).title} – {job.part(b).title}" for a, b in left)
        why = said(
            "{pairs}: no rule for joints of tubes covers it, or its steel has no name; the proof load decides",
            pairs=pairs,
        )
        out.append(not_made("joints-left-out", said("walls of tubes at other joints"), why))
    return out


def _on_tube(ground: Ground, seam: Seam) -> bool:
    piece = ground.pieces.get(seam.to)
    return piece is not None and piece.section.is_hollow


def _stand(ground: Ground, seam: Seam, one: Tied) -> _Stand | None:
    """How a tube stands on a tube; None: it does not."""
    brace = ground.pieces[seam.piece]
    spot = one.tie.other if one.tie.one.piece == seam.piece else one.tie.one
    chord = ground.pieces.get(spot.piece)
    if chord is None or not (chord.section.is_hollow and brace.section.is_hollow):
        return None
    if one.tie.contact is None or one.tie.contact.kind != "cope":
        return None
    whole = length(brace.line)
    into = way_at(brace, 0.0) if seam.end == "start" else -way_at(brace, whole)
    way = way_at(chord, spot.along)
    sine = float(np.linalg.norm(cross(into, way)))
    if sine < ALONG:
        return None
    return _Stand(one, seam.piece, spot.piece, into, way, math.asin(min(sine, 1.0)))


def _check(ground: Ground, alike: Sequence[_Stand], stands: Sequence[_Stand]) -> Check | None:
    """The worst copy and case of one pair of parts."""
    job = ground.job
    steels = [steel_of(job, target.part).yield_mpa for target in (alike[0].chord, alike[0].brace)]
    chord_mpa, brace_mpa = steels
    if chord_mpa is None or brace_mpa is None:
        return None
    kinds: dict[JointKind, list[_Stand]] = {}
    for stand in alike:
        kinds.setdefault(_kind(stand, stands), []).append(stand)
    found = []
    for kind, some in kinds.items():
        first = some[0]
        joint = TubeJoint(
            kind=kind, chord=_lying(ground.pieces[first.chord], first), angle_rad=first.angle_rad,
            brace=_lying(ground.pieces[first.brace], first, brace=True), yield_mpa=chord_mpa, brace_yield_mpa=brace_mpa,
        )  # fmt: skip
        push = np.concatenate([chord_push(one.one, one.chord, _node(one), chord_mpa) for one in some])
        limits = joint_resistance(joint, push)
        use = _use(limits, np.concatenate([_acts(ground, one) for one in some]))
        k = int(np.argmax(use))
        cases = [name for one in some for name in one.one.cases]
        found.append((float(use[k]), cases[k], limits))
    used, case, limits = max(found, key=lambda one: one[0])
    pair = (alike[0].brace.part, alike[0].chord.part)
    return _made(job, pair, (used, case), limits.indicator, limits.source)


def _use(limits: JointResistance, acts: Floats) -> Floats:
    """(k,) 1 over the factor by which all loads may grow until the rule is used up; a moment may count squared."""
    plain, in_plane = acts * (1.0, 0.0, 1.0), acts * (0.0, 1.0, 0.0)
    a, b = joint_use(limits, plain), joint_use(limits, in_plane)
    out: Floats = (a + np.sqrt(a * a + 4 * b)) / 2 if limits.square else a + b
    return out


def _made(job: Subject, pair: tuple[str, str], found: tuple[float, str], indicator: bool, source: str) -> Check:
    use, case = found
    margin = 1 / max(use, 1e-9) - 1
    said_so: Verdict = verdict(margin)
    assumes = said("moments at the face of the tube; shear and twist of what stands on it left out of the rule")
    if indicator:
        assumes = said(
            "outside the range of the rule (walls of 2.5 mm, angles of 30 degrees and more, and its other limits): an "
            "indicator, doubtful even with margin. The proof load decides"
        )
    return Check(
        id=f"joints-{pair[0]}-{pair[1]}",
        title=said("wall of {other} under {one}", one=job.part(pair[0]).title, other=job.part(pair[1]).title),
        value=100 * use, limit=100.0, unit="%", margin=margin,
        verdict="doubtful" if indicator and said_so == "holds" else said_so,
        rule=said("wall of a tube under a welded tube: {source}; safety 1.5 to hold (common practice)", source=source),
        assumes=assumes, parts=pair, case=case,
    )  # fmt: skip


def _node(stand: _Stand) -> int:
    return stand.one.other if stand.one.tie.other.piece == stand.chord else stand.one.node


def _kind(stand: _Stand, stands: Sequence[_Stand]) -> JointKind:
    """X where another tube stands opposite at the same place, else Y or T."""
    for other in stands:
        same = other.one.solved is stand.one.solved and other.chord == stand.chord and _node(other) == _node(stand)
        if same and other.brace != stand.brace and float(other.into @ stand.into) < OPPOSITE:
            return "X"
    return "T" if stand.angle_rad > SQUARE_RAD else "Y"


def _lying(piece: Piece, stand: _Stand, *, brace: bool = False) -> Section:
    """The section as the rule counts it: its height in the plane of both axes."""
    section = piece.section
    if section.is_round or section.height == section.width:
        return section
    along = stand.into if brace else stand.way
    crown = np.asarray(piece.crown) - along * float(np.asarray(piece.crown) @ along)
    square = cross(stand.into, stand.way)
    flat = abs(float(crown @ square)) > 0.7 * float(np.linalg.norm(crown)) * float(np.linalg.norm(square))
    return replace(section, height=section.width, width=section.height) if flat else section


def _acts(ground: Ground, stand: _Stand) -> Floats:
    """(c, 3) force along the tube, moment in the plane of both axes and out of it, at the other tube's face."""
    one = stand.one
    forces = one.forces if one.tie.one.piece == stand.brace else -one.forces
    chord = ground.pieces[stand.chord].section
    half = min(chord.height, chord.width) / 2
    face = np.asarray(one.tie.at) + stand.into * half / math.sin(stand.angle_rad)
    moment = forces[:, 3:] + cross(np.asarray(one.tie.at) - face, forces[:, :3])
    square = cross(stand.way, stand.into)
    square = square / np.linalg.norm(square)
    return np.stack((forces[:, :3] @ stand.into, moment @ square, moment @ cross(square, stand.into)), axis=1)
