"""Weld lines of joints as they are cut: the real cope round an end, runs beside a plate or bar, a ring at a crossing.

Each line is given in the own axes of the piece that is added, so that copies, mirrored or not, share it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from handbarrow.design.measures import point_along
from handbarrow.design.values import PlateShape, Target
from handbarrow.job.fitup import THROAT, wall_of
from handbarrow.job.fitup_contacts import end_of
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.frame_ties import INSET, plate_centre
from handbarrow.job.frame_values import Piece, Subject, Tie
from handbarrow.job.joint_forces import Tied
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.laws.geometry.path import Floats, cross, length, vec3
from handbarrow.laws.geometry.rigid import moved, turned
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.welds.line import WeldLine, round_normals, weld_line, wrap_points
from handbarrow.laws.welds.runs import crossing_ring, groove_width, two_runs

__all__ = ["Seam", "own_line", "own_wrench", "seams", "throat_of", "way_at"]

ACROSS = 0.5
"""A plate whose face looks along a run stands across it: how long it touches a round tube is not computed."""
LYING = 0.7
"""A plate lies on a run if its normal is nearer to the way to it than this cosine, else it stands on its edge."""
STEP = 0.01
ROUND = 73
"""Stations round a tube: its length is right to 0.1 %."""


class Seam(NamedTuple):
    """One weld of one pair of copies: its ties in one way of standing."""

    piece: Target
    end: str
    to: Target
    number: int
    ties: tuple[Tied, ...]

    @property
    def pair(self) -> tuple[str, str]:
        """The two parts."""
        return self.piece.part, self.to.part

    @property
    def alike(self) -> tuple[str, str, str, int]:
        """What seams of all copies have in common."""
        return self.piece.part, self.end, self.to.part, self.number

    @property
    def at(self) -> Floats:
        """Where its forces are counted, product axes."""
        out: Floats = np.array([one.tie.at for one in self.ties], float).mean(axis=0)
        return out

    @property
    def forces(self) -> Floats:
        """(c, 6) that the piece gets through it, about `at` [N, N mm]."""
        if len(self.ties) == 1 and self.ties[0].tie.one.piece == self.piece:
            return self.ties[0].forces
        total, at = np.zeros_like(self.ties[0].forces), self.at
        for one in self.ties:
            force = one.forces if one.tie.one.piece == self.piece else -one.forces
            total += force
            total[:, 3:] += cross(np.asarray(one.tie.at) - at, force[:, :3])
        return total


def seams(job: Subject, found: list[Tied]) -> list[Seam]:
    """Return the welds among ties: all ties of an end are one weld, so are those of one touch of two pieces."""
    assembly = {part.id: part.assembly for part in job.parts}
    groups: dict[tuple[Target, str, Target | None, int], list[Tied]] = {}
    for one in found:
        contact = one.tie.contact
        if contact is None or contact.joined != "weld" or one.tie.kind != "stiff":
            continue
        if assembly[contact.piece.part] != assembly[contact.to.part]:
            continue
        key = (contact.piece, contact.end, None if contact.end else contact.to, 0 if contact.end else contact.number)
        groups.setdefault(key, []).append(one)
    out = []
    for (piece, end, _, number), ties in groups.items():
        contact = ties[0].tie.contact
        if contact is not None:
            out.append(Seam(piece, end, contact.to, number, tuple(ties)))
    return out


def throat_of(job: Subject, seam: Seam) -> float:
    """Return the throat that the fit-up sheet asks for [mm]."""
    return THROAT * min(wall_of(job.part(name)) for name in seam.pair)


def way_at(piece: Piece, along: float) -> Floats:
    """Return the direction of a run at a place along it (unit)."""
    whole = length(piece.line)
    low, high = max(along - STEP, 0.0), min(along + STEP, whole)
    out = np.subtract(point_along(piece.line, high), point_along(piece.line, low))
    return np.asarray(out / np.linalg.norm(out))


def own_wrench(scene: Scene, seam: Seam, at: Floats, forces: Floats) -> tuple[Floats, Floats]:
    """Return place (3,) and forces (c, 6) in the own axes of the piece; a mirror turns moments round."""
    m = scene.transforms[(seam.piece.part, seam.piece.copy)]
    turn = m[:3, :3]
    hand = math.copysign(1.0, float(np.linalg.det(turn)))
    place = (at - m[:3, 3]) @ turn
    return place, np.concatenate((forces[:, :3] @ turn, hand * forces[:, 3:] @ turn), axis=1)


def own_line(job: Subject, scene: Scene, pieces: dict[Target, Piece], seam: Seam) -> WeldLine | None:
    """Return the line of a weld in the own axes of its piece; None: it is not computed."""
    if seam.end:
        return _round_end(job, scene, pieces, seam)
    runs = [target in pieces for target in (seam.piece, seam.to)]
    if all(runs):
        line = _bar_on_bar(job, pieces, seam, [one.tie for one in seam.ties])
    elif any(runs):
        line = _plate_on_run(job, scene, pieces, seam)
    else:
        return None
    if line is None:
        return None
    there = scene.inverses[(seam.piece.part, seam.piece.copy)]
    return WeldLine(
        moved(there, line.at), turned(there, line.along), line.length, turned(there, line.bisector), line.corner_rad,
        there[:3, :3] @ line.axis,
    )  # fmt: skip


def _round_end(job: Subject, scene: Scene, pieces: dict[Target, Piece], seam: Seam) -> WeldLine | None:
    """Along the cut of an end; the receiver's face as it lies there."""
    part = job.part(seam.piece.part)
    cut = part.start if seam.end == "start" else part.end
    if part.section is None or cut is None:
        return None
    ring = outline(part.section, ROUND) if part.section.is_round else outline(part.section)
    h = np.interp(ring.s, *np.array(cut.wrap).T) if cut.wrap else np.full(len(ring.s), cut.shortest)
    there = scene.inverses[(seam.piece.part, seam.piece.copy)]
    frame = end_of(scene, seam.piece, seam.end).moved(there)
    points = wrap_points(frame, part.section, ring.s, h)[:-1]
    contact = seam.ties[0].tie.contact
    kind = contact.kind if contact is not None else ""
    normals = None
    if seam.to in pieces and kind == "cope" and pieces[seam.to].section.is_round and len(seam.ties) == 1:
        spot = seam.ties[0].tie.other
        to = pieces[seam.to]
        at = moved(there, np.array([point_along(to.line, spot.along)]))[0]
        normals = round_normals(points, vec3(at), vec3(there[:3, :3] @ way_at(to, spot.along)))
    elif kind == "face":
        normals = (there[:3, :3] @ _plate_axes(scene, seam.to)[2])[None]
    return weld_line(points, frame.into, normals)


def _plate_axes(scene: Scene, plate: Target) -> Floats:
    """Axes of a plate as rows, product axes: along it, across it, square to it."""
    shape = scene.product.design.part(plate.part).shape
    if not isinstance(shape, PlateShape):
        raise TypeError(f"{plate.part} is no plate")
    _, axes, _ = plate_frame(scene.product, shape)
    return turned(scene.transforms[(plate.part, plate.copy)], axes)


def _leg(job: Subject, seam: Seam) -> float:
    """Depth of a groove that a weld of this throat fills [mm]: legs are as long as the groove is deep."""
    return throat_of(job, seam) * math.sqrt(2)


def _radius(piece: Piece) -> float:
    """Of a run's outside; infinite: it has flat faces [mm]."""
    return piece.section.height / 2 if piece.section.is_round else math.inf


def _bar_on_bar(job: Subject, pieces: dict[Target, Piece], seam: Seam, ties: list[Tie]) -> WeldLine | None:
    """Beside each other: two grooves. Across each other: a ring round the place where they touch."""
    mine, theirs = pieces[seam.piece], pieces[seam.to]
    spots = [(tie.one, tie.other) if tie.one.piece == seam.piece else (tie.other, tie.one) for tie in ties]
    ways = (way_at(mine, spots[0][0].along), way_at(theirs, spots[0][1].along))
    feet = [np.asarray(point_along(theirs.line, other.along)) for _, other in spots]
    up = np.asarray(point_along(mine.line, spots[0][0].along)) - feet[0]
    up = up - ways[1] * float(up @ ways[1])
    if float(np.linalg.norm(up)) < STEP:
        return None
    up = up / np.linalg.norm(up)
    rise = up * _to_skin(theirs, up)
    depth = _leg(job, seam)
    radii = (_radius(mine), _radius(theirs))
    if len(ties) > 1:
        span = (feet[-1] - feet[0]) / (1 - 2 * INSET)
        middle = (feet[0] + feet[-1]) / 2 + rise
        across = cross(ways[1], up)
        wide = groove_width(*radii, depth)
        wide = wide if math.isfinite(radii[0]) or math.isfinite(radii[1]) else _half_width(mine, theirs)
        return two_runs(middle - span / 2, middle + span / 2, across * wide, up)
    halves = (
        groove_width(radii[1], math.inf, depth) if math.isfinite(radii[1]) else _half_width(theirs, theirs),
        groove_width(radii[0], math.inf, depth) if math.isfinite(radii[0]) else _half_width(mine, mine),
    )  # a bar leaves the other along itself as fast as the other is round
    return weld_line(crossing_ring(feet[0] + rise, ways, halves), vec3(up))


def _to_skin(piece: Piece, up: Floats) -> float:
    """From a run's centreline to its outside [mm]."""
    section = piece.section
    if section.is_round or abs(float(up @ np.asarray(piece.crown))) > LYING:
        return section.height / 2
    return section.width / 2


def _half_width(one: Piece, other: Piece) -> float:
    """Half the narrower of two flat faces that lie on each other [mm]."""
    return min(min(p.section.height, p.section.width) for p in (one, other)) / 2


def _plate_on_run(job: Subject, scene: Scene, pieces: dict[Target, Piece], seam: Seam) -> WeldLine | None:
    """Runs on both sides of a plate where it stands or lies on a run."""
    run, plate = (seam.to, seam.piece) if seam.to in pieces else (seam.piece, seam.to)
    feet = np.array([np.asarray(one.tie.at) for one in seam.ties])
    spot = next(s for s in (seam.ties[0].tie.one, seam.ties[0].tie.other) if s.piece == run)
    way, normal = way_at(pieces[run], spot.along), _plate_axes(scene, plate)[2]
    if len(feet) < 2 or abs(float(normal @ way)) > ACROSS:
        return None
    middle = feet.mean(axis=0)
    to = np.asarray(plate_centre(scene, plate)) - middle
    to = to - way * float(to @ way)
    lies = abs(float(to @ normal)) > LYING * float(np.linalg.norm(to))
    square = normal if float(to @ normal) > 0 else -normal
    if lies:
        up, apart = square, cross(way, square) * groove_width(_radius(pieces[run]), math.inf, _leg(job, seam))
    else:
        up = to - normal * float(to @ normal)
        up = up / np.linalg.norm(up)
        apart = normal * (job.part(plate.part).thickness or 0.0) / 2
    if not float(np.linalg.norm(apart)) > 0:
        return None
    rise = up * _to_skin(pieces[run], up)
    return two_runs(feet[0] + rise, feet[-1] + rise, apart, up)
