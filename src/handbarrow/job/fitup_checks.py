"""Sizes to check after tacking and before welding, from the product's geometry, with the shop's limits."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from handbarrow.design.values import PlateShape, Target
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.fitup_values import FitCheck, FitJoint, FitStep
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Floats, Vec3, layout, vec3
from handbarrow.laws.geometry.rigid import moved, turned

__all__ = ["checks_of"]

SAME = 0.05
"""Sizes that differ by less are one on any tape [mm]."""
LEAST_REACH = 200.0
"""What lies less far out of the base is set by its own joints alone [mm]."""
LEAST_RISE = 5.0
"""Tops that differ by less are not worth a check [mm]."""
SQUARE = math.cos(math.radians(0.1))


def checks_of(
    job: Job, scene: Scene, base: Target, steps: Sequence[FitStep], joints: Sequence[FitJoint]
) -> tuple[FitCheck, ...]:
    """Return widths, diagonals, heights, levels and angles of a weldment."""
    limits = job.workshop.limits
    between = _between(scene, steps, limits.bent_part)
    if base.part not in job.product.members:
        return tuple(between)
    out: list[FitCheck] = []
    across = _across(scene, base, steps, joints)
    half = job.product.members[base.part].section.height
    for a, b in across:
        feet = (_foot(scene, base, a), _foot(scene, base, b))
        size, numbers = math.dist(*feet) + half, (a.number, b.number)
        out.append(FitCheck(kind="width", value=size, limit=limits.bent_part, joints=numbers, points=feet))
    out += _diagonals(scene, base, across, limits.bent_part)
    out += _far_out(scene, base, steps, across, limits.bent_part)
    out += _over(scene, steps, limits.bent_part)
    out += _levels(scene, base, steps, (limits.bent_part, limits.flatness))
    out += _angles(scene, joints, limits.angle_rad)
    return tuple(out + between)


def _foot(scene: Scene, base: Target, joint: FitJoint) -> Vec3:
    """Where a joint sits on the base's centreline: an end of its own, or where it is met."""
    if joint.contact.piece != base:
        return joint.place.point
    points = _points(scene, base)
    return vec3(points[0] if joint.contact.end == "start" else points[-1])


def _points(scene: Scene, piece: Target) -> Floats:
    """Corners of a piece's centreline, product axes."""
    m = scene.transforms[(piece.part, piece.copy)]
    return moved(m, np.asarray(scene.product.members[piece.part].centreline.points, float))


def _is_straight(scene: Scene, piece: Target) -> bool:
    member = scene.product.members.get(piece.part)
    return member is not None and len(member.centreline.points) == 2


def _across(
    scene: Scene, base: Target, steps: Sequence[FitStep], joints: Sequence[FitJoint]
) -> list[tuple[FitJoint, FitJoint]]:
    """Pairs of joints that hold one straight piece square across between two straights of the base."""
    out = []
    for piece in (p for step in steps for p in step.pieces):
        if not _is_straight(scene, piece) or piece == base:
            continue
        pair = [j for j in joints if {j.contact.piece, j.contact.to} == {piece, base} and j.contact.end]
        if len(pair) != 2:
            continue
        p, q = (np.asarray(_foot(scene, base, j)) for j in pair)
        way = (q - p) / max(float(np.linalg.norm(q - p)), 1e-9)
        legs = [_leg_way(scene, base, j) for j in pair]
        if all(abs(float(leg @ way)) < 1e-3 for leg in legs) and abs(float(legs[0] @ legs[1])) > SQUARE:
            out.append((pair[0], pair[1]))
    return out


def _leg_way(scene: Scene, base: Target, joint: FitJoint) -> Floats:
    """Direction of the straight of the base at a joint, product axes."""
    place = layout(scene.product.members[base.part].centreline)
    if joint.contact.piece == base:
        k = 0 if joint.contact.end == "start" else len(place.directions) - 1
    else:
        k = max(joint.place.leg - 1, 0)
    m = scene.transforms[(base.part, base.copy)]
    return np.asarray(turned(m, place.directions[k : k + 1])[0])


def _diagonals(scene: Scene, base: Target, across: Sequence[tuple[FitJoint, FitJoint]], limit: float) -> list[FitCheck]:
    """The two diagonals between the pairs of joints that lie furthest apart, if they must be equal."""
    best: tuple[float, FitCheck] | None = None
    for i, (a, b) in enumerate(across):
        for c, d in across[i + 1 :]:
            p, q, r, s = (np.asarray(_foot(scene, base, j)) for j in (a, b, c, d))
            if float(np.linalg.norm(p - s)) < float(np.linalg.norm(p - r)):
                (c, d), (r, s) = (d, c), (s, r)
            one, two = float(np.linalg.norm(p - s)), float(np.linalg.norm(q - r))
            if abs(one - two) < SAME and (best is None or one > best[0]):
                numbers = (a.number, d.number, b.number, c.number)
                feet = (vec3(p), vec3(s), vec3(q), vec3(r))
                best = (one, FitCheck(kind="diagonals", value=one, limit=limit, joints=numbers, points=feet))
    return [best[1]] if best else []


def _far_out(
    scene: Scene, base: Target, steps: Sequence[FitStep], across: Sequence[tuple[FitJoint, FitJoint]], limit: float
) -> list[FitCheck]:
    """From two joints of the base to the piece that lies furthest out of it, if it stands in the middle."""
    points = _points(scene, base)
    low, high = points.min(axis=0), points.max(axis=0)
    pieces = [p for step in steps for p in step.pieces if _is_straight(scene, p) and p != base]
    outside = {p: float(np.linalg.norm(_beyond(_points(scene, p).mean(axis=0), low, high))) for p in pieces}
    if not across or not outside or max(outside.values()) < LEAST_REACH:
        return []
    piece = max(outside, key=lambda p: (outside[p], -p.copy))
    if sum(abs(outside[p] - outside[piece]) < SAME for p in pieces if p.part == piece.part) > 1:
        return []
    middle = vec3(_points(scene, piece).mean(axis=0))
    a, b = min(across, key=lambda pair: math.dist(_foot(scene, base, pair[0]), middle))
    feet = (_foot(scene, base, a), _foot(scene, base, b))
    one, two = (math.dist(foot, middle) for foot in feet)
    if abs(one - two) > SAME:
        return []
    where = (feet[0], middle, feet[1], middle)
    check = FitCheck(
        kind="diagonals", value=one, limit=limit, joints=(a.number, b.number), points=where, pieces=(piece,)
    )  # fmt: skip
    return [check]


def _beyond(point: Floats, low: Floats, high: Floats) -> Floats:
    """By how much a point lies beyond a box, along each axis in plan."""
    out = np.maximum(np.maximum(low - point, point - high), 0.0)
    out[2] = 0.0
    return np.asarray(out)


def _over(scene: Scene, steps: Sequence[FitStep], limit: float) -> list[FitCheck]:
    """Over the outsides of the two pieces of a step that lie left and right, or front and rear, of each other."""
    out = []
    for step in steps:
        if len(step.pieces) != 2 or step.part not in scene.product.members:
            continue
        section = scene.product.members[step.part].section
        if not section.is_round:
            continue
        a, b = (_points(scene, piece) for piece in step.pieces)
        apart = b.mean(axis=0) - a.mean(axis=0)
        k = int(np.argmax(np.abs(apart)))
        if abs(float(apart[k])) < float(np.linalg.norm(apart)) * SQUARE or k == 2:
            continue
        low, high = (a, b) if apart[k] > 0 else (b, a)
        edges = float(low[:, k].min()), float(high[:, k].max())
        if np.isclose(low[:, k], edges[0]).sum() >= 2 and np.isclose(high[:, k], edges[1]).sum() >= 2:
            size = edges[1] - edges[0] + section.height
            out.append(FitCheck(kind="over", value=size, limit=limit, pieces=step.pieces))
    return out


def _between(scene: Scene, steps: Sequence[FitStep], limit: float) -> list[FitCheck]:
    """The gap between the two plates of a step that face each other."""
    out = []
    for step in steps:
        shape = scene.product.design.part(step.part).shape
        if len(step.pieces) != 2 or not isinstance(shape, PlateShape):
            continue
        origin, axes, thickness = plate_frame(scene.product, shape)
        flat = np.asarray(shape.outline, float).mean(axis=0)
        middle = origin + np.array([flat[0], flat[1], thickness / 2]) @ axes
        moves = [scene.transforms[(piece.part, piece.copy)] for piece in step.pieces]
        a, b = (moved(m, middle[None, :])[0] for m in moves)
        ways = [turned(m, axes[2:3])[0] for m in moves]
        gap = float(np.linalg.norm(b - a)) - thickness
        if gap > SAME and all(abs(float((b - a) @ way)) > (gap + thickness) * SQUARE for way in ways):
            out.append(FitCheck(kind="between", value=gap, limit=limit, pieces=step.pieces))
    return out


def _levels(scene: Scene, base: Target, steps: Sequence[FitStep], limits: tuple[float, float]) -> list[FitCheck]:
    """The base flat on the bench; level straight pieces at another height: how high over it, and level."""
    points = _points(scene, base)
    if float(np.ptp(points[:, 2])) > SAME:
        return []
    bent, flat = limits
    top = float(points[0, 2]) + scene.product.members[base.part].section.height / 2
    out = [FitCheck(kind="level", value=0.0, limit=flat, pieces=(base,))] if len(points) > 2 else []
    for step in steps[1:]:
        if not _is_straight(scene, step.pieces[0]):
            continue
        z = np.array([_points(scene, piece)[:, 2] for piece in step.pieces])
        section = scene.product.members[step.part].section
        rise = float(z[0, 0]) + section.height / 2 - top
        if float(np.ptp(z)) > SAME or abs(rise) < LEAST_RISE or not section.is_round:
            continue
        out.append(FitCheck(kind="height", value=rise, limit=bent, pieces=step.pieces))
        out.append(FitCheck(kind="level", value=0.0, limit=flat, pieces=step.pieces))
    return out


def _angles(scene: Scene, joints: Sequence[FitJoint], limit: float) -> list[FitCheck]:
    """Straight pieces that stand on one end alone: the angle to what they stand on, once for each part."""
    out: dict[str, FitCheck] = {}
    for joint in joints:
        piece = joint.contact.piece
        held = [j for j in joints if piece in (j.contact.piece, j.contact.to)]
        ends = [j for j in held if j.contact.end and scene.product.members.get(j.contact.to.part)]
        if joint.contact.kind != "cope" or not _is_straight(scene, piece) or len(ends) != 1 or joint not in ends:
            continue
        if piece.part not in out and joint.angle_rad is not None:
            value = joint.angle_rad
            out[piece.part] = FitCheck(kind="angle", value=value, limit=limit, joints=(joint.number,), pieces=(piece,))
    return list(out.values())
