"""Which piece meets which: ends and what they are cut to, parts and what they are `on`, copy by copy."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

import numpy as np

from handbarrow.design.bodies import TOUCHES, Bodies
from handbarrow.design.placing import Scene as Placed
from handbarrow.design.values import Joint, Part, PlateShape, Product, Run, Target
from handbarrow.job.bends import radius_rule
from handbarrow.job.fitup_holes import Holes, bolted, holes_of, plate_frame, stands_in_hole
from handbarrow.job.fitup_touch import crossings, plate_touches
from handbarrow.job.fitup_values import Contact
from handbarrow.job.mitre_surfaces import Against, Scene, end_frame
from handbarrow.job.remembered import remembered
from handbarrow.laws.geometry.path import Floats, Vec3, layout
from handbarrow.laws.geometry.rigid import moved
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.receiver import Receiver, meeting
from handbarrow.workshop.values import Workshop

__all__ = ["contacts", "end_of"]

SAME = 1e-6
"""Transforms that differ by less than this put copies in one place [mm, -]."""
IN_LINE_RAD = math.radians(3.0)
SLACK = 0.1
"""A run fits into another, or into a hole, that is smaller by no more than this [mm]."""


def end_of(scene: Scene, piece: Target, end: str) -> EndFrame:
    """Return where an end of a piece sits, product axes."""
    return end_frame(scene.product.members[piece.part], end).moved(scene.transforms[(piece.part, piece.copy)])


@remembered
def contacts(product: Product, workshop: Workshop) -> tuple[Contact, ...]:
    """Return every pair of pieces that meet, ends first, and how they are held together.

    Pairs in one assembly are welded unless a bought part goes through both, one stands in a hole of the other or one
    lies round the other. Pairs of different assemblies are given too: it is for the caller to tell them apart.
    """
    scene = Scene(product)
    ends = list(_ends(scene))
    known = {frozenset((c.piece, c.to)) for c in ends}
    laps = [c for c in _laps(product, workshop, scene) if frozenset((c.piece, c.to)) not in known]
    return (*ends, *laps)


# ------------------------------------------------------------------------------------------------ ends
KINDS = {"member": "cope", "plane": "mitre", "plate": "face", "square": "butt"}


def _ends(scene: Scene) -> Iterator[Contact]:
    """Contacts by an end: for each copy the copy of the receiver that it meets as copy 1 meets the named one."""
    for joint in scene.product.joints:
        for number, target in enumerate(joint.against):
            for copy in scene.copies[joint.part]:
                to = target if copy == 1 else _receiver(scene, joint, target, copy)
                piece = Target(part=joint.part, copy=copy)
                contact = Contact(piece=piece, end=joint.end, to=to, kind=KINDS[joint.kind], number=number)  # type: ignore[arg-type]
                yield _loose(scene, contact) if joint.kind == "square" else contact


def _loose(scene: Scene, contact: Contact) -> Contact:
    """A square end that meets something butts against it, or stands in a hole or inside a tube."""
    if contact.to.part not in scene.product.members:
        return replace(contact, joined="hole")
    if _is_sleeve(scene, contact.piece, contact.to):
        return replace(contact, joined="sleeve")
    return contact


def _receiver(scene: Scene, joint: Joint, target: Target, copy: int) -> Target:
    """The copy that a copy's end meets: the one that lies alike, else the one that is met most alike."""
    there = scene.transforms[(joint.part, copy)] @ scene.transforms[(target.part, target.copy)]
    for other in scene.copies[target.part]:
        if np.abs(scene.transforms[(target.part, other)] - there).max() < SAME:
            return Target(part=target.part, copy=other)
    member = scene.product.members[joint.part]
    first = end_frame(member, joint.end)
    frame = first.moved(scene.transforms[(joint.part, copy)])
    named = scene.against(joint, target, first)
    if not named:
        return target
    wanted = _signature(named[0])
    section = scene.product.members[target.part].section if target.part in scene.product.members else None
    twins = [p for p, m in scene.product.members.items() if p == target.part or (section and m.section == section)]
    names = twins if section else [target.part]
    tried = [Target(part=name, copy=k) for name in names for k in scene.copies[name]]
    found = [
        (float(np.abs(_signature(against) - wanted).sum()), other.part != target.part, other.part, other.copy)
        for other in tried
        if other != Target(part=joint.part, copy=copy) or target == Target(part=joint.part)
        for against in scene.against(joint, other, frame)[:1]
    ]
    best = min(found, default=(0.0, False, target.part, target.copy))
    return Target(part=best[2], copy=best[3])


def _signature(against: Against) -> Floats:
    """Distance, angle and offset of a meeting, the angle weighed as mm at 100 mm."""
    if isinstance(against.surface, Receiver):
        met = meeting(against.frame, against.surface)
        return np.array([met.distance, 100 * met.angle_rad, met.offset])
    away = float(np.dot(np.subtract(against.frame.point, against.surface.point), against.surface.normal))
    beside = math.dist(against.frame.point, against.surface.point)
    return np.array([abs(away), 100 * against.angle_rad, beside])


# ------------------------------------------------------------------------------------------------ what is on what
def _laps(product: Product, workshop: Workshop, scene: Scene) -> Iterator[Contact]:
    """Contacts of parts that are `on` others: the pieces that touch."""
    bodies = Bodies(Placed(product.design, radius_rule(workshop)))
    asks = [
        (Target(part=part.id, copy=k), other)
        for part in product.design.parts
        if isinstance(part.shape, Run | PlateShape)
        for k in range(1, len(part.copies) + 1)
        for name in dict.fromkeys(t.part for t in part.on)
        if isinstance(product.design.part(name).shape, Run | PlateShape)
        for other in bodies.likely(Target(part=part.id, copy=k), [name])[1]
    ]
    gaps = bodies.gaps([(piece, (other,)) for piece, other in asks])
    pairs = [pair for pair, gap in zip(asks, gaps, strict=True) if gap <= TOUCHES]
    drilled = holes_of(scene)
    for piece, other in pairs:
        yield from _lap(scene, product, drilled, piece, other)


def _lap(scene: Scene, product: Product, drilled: Holes, piece: Target, other: Target) -> Iterator[Contact]:
    """What holds two pieces that touch: one contact for each place where they do."""
    plates = [isinstance(product.design.part(p.part).shape, PlateShape) for p in (piece, other)]
    kind: Literal["edge", "lap"] = "edge" if any(plates) else "lap"
    contact = Contact(piece=piece, end="", to=other, kind=kind)
    if stands_in_hole(scene, drilled, piece, other):
        yield replace(contact, joined="hole")
    elif bolted(scene, drilled, piece, other):
        yield replace(contact, joined="bolt")
    elif not any(plates) and _is_sleeve(scene, piece, other):
        yield replace(contact, joined="sleeve")
    elif not any(plates):
        yield from (replace(contact, number=k) for k in range(len(crossings(scene, piece, other))))
    elif all(plates):
        yield contact
    else:
        run, plate = (other, piece) if plates[0] else (piece, other)
        ends = _stand_on(scene, run, plate)
        yield from (Contact(piece=run, end=end, to=plate, kind="face") for end in ends)
        if not ends and plates[0]:
            yield from (replace(contact, number=k) for k in range(len(plate_touches(scene, piece, other))))
        elif not ends:
            yield contact


def _stand_on(scene: Scene, run: Target, plate: Target) -> list[Literal["start", "end"]]:
    """Which ends of a run stand on a plate's face."""
    part, there = scene.product.design.part(plate.part), scene.inverses[(plate.part, plate.copy)]
    ends: tuple[Literal["start", "end"], ...] = ("start", "end")
    frames = {end: end_of(scene, run, end).moved(there) for end in ends}
    return [end for end, frame in frames.items() if _on_face(scene.product, part, frame.point, frame.into)]


def _on_face(product: Product, part: Part, point: Vec3, into: Vec3) -> bool:
    shape = part.shape
    if not isinstance(shape, PlateShape):
        return False
    origin, axes, thickness = plate_frame(product, shape)
    own, way = axes @ (np.asarray(point) - origin), axes @ np.asarray(into)
    if abs(way[2]) < math.sin(IN_LINE_RAD):
        return False
    near = own[2] - thickness if way[2] > 0 else -own[2]
    xs, ys = zip(*shape.outline, strict=True)
    return bool(abs(near) <= TOUCHES and min(xs) <= own[0] <= max(xs) and min(ys) <= own[1] <= max(ys))


def _is_sleeve(scene: Scene, one: Target, other: Target) -> bool:
    """Whether one run lies round the other: inside it by its section, and in line with one of its straights."""
    a, b = (scene.product.members[p.part] for p in (one, other))
    fits = any(
        y.is_hollow and x.height <= y.height - 2 * y.wall + SLACK and x.width <= y.width - 2 * y.wall + SLACK
        for x, y in ((a.section, b.section), (b.section, a.section))
    )
    if not fits:
        return False
    legs = []
    for member, piece in ((a, one), (b, other)):
        place, m = layout(member.centreline), scene.transforms[(piece.part, piece.copy)]
        starts = np.array([place.start, *place.tangents_out])
        legs.append((moved(m, starts), place.directions @ m[:3, :3].T))
    for p, t in zip(*legs[0], strict=True):
        for q, u in zip(*legs[1], strict=True):
            away = q - p
            if abs(float(t @ u)) > math.cos(IN_LINE_RAD) and float(np.linalg.norm(away - t * (away @ t))) < TOUCHES:
                return True
    return False
