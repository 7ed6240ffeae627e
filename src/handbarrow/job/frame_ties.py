"""What is joined to what in the product's frame: ends, laps, plates, sleeves, holes, wheels, and what only rests."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from handbarrow.design.measures import point_along
from handbarrow.design.values import Bought, PlateShape, Target
from handbarrow.job.fitup_holes import holes_of, plate_frame
from handbarrow.job.fitup_touch import crossings, plate_touches
from handbarrow.job.fitup_values import Contact
from handbarrow.job.frame_values import Piece, Spot, Tie
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.laws.geometry.approach import axis_to_centreline, segments_apart
from handbarrow.laws.geometry.path import Floats, Vec3, closest, length, transformed, vec3
from handbarrow.laws.geometry.polygon import area_and_centroid
from handbarrow.laws.geometry.rigid import matrix4, moved, turned

__all__ = ["pieces_of_runs", "plate_centre", "ties", "wheel_ties"]

ALONG = 0.94
"""Cosine of the angle below which two straights that touch lie along each other: they are tied at both ends."""
INSET = 0.1
"""A long touch is tied this share of its length from its ends."""
LONG_TOUCH = 10.0
"""A plate that touches a run over more than this is tied at two places [mm]."""
HUB_REACH = 150.0
"""What holds a wheel lies within this of its hub, along the axle [mm]."""
SEAT_PLAY = 1.5


def pieces_of_runs(scene: Scene) -> dict[Target, Piece]:
    """Return every copy of every run, product axes. A mirrored angle runs the other way: its legs then lie right."""
    out = {}
    for part, member in scene.product.members.items():
        for copy in scene.copies[part]:
            m = scene.transforms[(part, copy)]
            line = transformed(member.centreline, matrix4(m))
            crown = vec3(turned(m, np.asarray(member.crown)[None])[0])
            target = Target(part=part, copy=copy)
            out[target] = Piece(target, member.section, line, crown)
    return out


def plate_centre(scene: Scene, plate: Target) -> Vec3:
    """Return the middle of a copy of a plate, product axes."""
    shape = scene.product.design.part(plate.part).shape
    if not isinstance(shape, PlateShape):
        raise TypeError(f"{plate.part} is no plate")
    at, axes, thickness = plate_frame(scene.product, shape)
    _, (x, y) = area_and_centroid(shape.outline)
    own = at + np.array([x, y, thickness / 2]) @ axes
    return vec3(moved(scene.transforms[(plate.part, plate.copy)], own[None])[0])


def ties(scene: Scene, pieces: Mapping[Target, Piece], met: Sequence[Contact]) -> list[Tie]:
    """Return the ties that contacts make."""
    assembly = {part.id: part.assembly for part in scene.product.design.parts}
    out: list[Tie] = []
    for contact in met:
        one, other = contact.piece, contact.to
        loose = assembly[one.part] != assembly[other.part] and contact.joined == "weld"
        found = [tie._replace(contact=contact) for tie in _tied(scene, pieces, contact)]
        out += [_resting(scene, pieces, tie) for tie in found] if loose else found
    return out


def _tied(scene: Scene, pieces: Mapping[Target, Piece], contact: Contact) -> Iterator[Tie]:
    runs = [target in pieces for target in (contact.piece, contact.to)]
    if contact.joined == "hole":
        yield from _in_hole(scene, pieces, contact)
    elif contact.end:
        yield _end(scene, pieces, contact)
    elif all(runs):
        yield from _sleeve(pieces, contact) if contact.joined == "sleeve" else _laps(scene, pieces, contact)
    elif not any(runs):
        yield Tie(Spot(contact.piece), Spot(contact.to), "stiff", plate_centre(scene, contact.piece))
    else:
        yield from _on_plate(scene, pieces, contact)


def _end(scene: Scene, pieces: Mapping[Target, Piece], contact: Contact) -> Tie:
    piece = pieces[contact.piece]
    along = 0.0 if contact.end == "start" else length(piece.line)
    at = piece.line.points[0 if contact.end == "start" else -1]
    to = pieces.get(contact.to)
    foot = closest(to.line, at).along if to is not None else 0.0
    return Tie(Spot(contact.piece, along), Spot(contact.to, foot), "stiff", at)


def _laps(scene: Scene, pieces: Mapping[Target, Piece], contact: Contact) -> Iterator[Tie]:
    """Runs side by side: one tie where they cross, two where they lie along each other."""
    found = crossings(scene, contact.piece, contact.to)
    met = found[min(contact.number, len(found) - 1)]
    m = scene.transforms[(contact.to.part, contact.to.copy)]
    if abs(float(met.way @ met.leg.way)) > ALONG:
        ends = np.sort([(met.at + met.way * s - met.leg.at) @ met.leg.way for s in (0.0, met.size)])
        low, high = max(float(ends[0]), 0.0), min(float(ends[1]), met.leg.size)
        inset = INSET * max(high - low, 0.0)
        spots = [met.leg.at + met.leg.way * s for s in (low + inset, high - inset)]
    else:
        _, foot = segments_apart(
            met.at[None], (met.way * met.size)[None], met.leg.at[None], (met.leg.way * met.leg.size)[None]
        )
        spots = [foot[0]]
    for spot in spots:
        yield _between(pieces, contact, vec3(moved(m, spot[None])[0]))


def _between(pieces: Mapping[Target, Piece], contact: Contact, foot: Vec3) -> Tie:
    """A stiff tie of two runs at a place on the second's centreline."""
    mine = closest(pieces[contact.piece].line, foot)
    theirs = closest(pieces[contact.to].line, foot)
    at = vec3((np.asarray(mine.point) + np.asarray(theirs.point)) / 2)
    return Tie(Spot(contact.piece, mine.along), Spot(contact.to, theirs.along), "stiff", at)


def _sleeve(pieces: Mapping[Target, Piece], contact: Contact) -> Iterator[Tie]:
    """A short run round another, or in it: it turns about the middle of the shorter one."""
    lengths = {target: length(pieces[target].line) for target in (contact.piece, contact.to)}
    short, long = sorted(lengths, key=lambda target: lengths[target])
    line = pieces[short].line
    ends = np.array([line.points[0], line.points[-1]])
    middle = vec3(ends.mean(axis=0))
    axis = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    foot = closest(pieces[long].line, middle).along
    yield Tie(Spot(short, lengths[short] / 2), Spot(long, foot), "turns", middle, vec3(axis))


def _in_hole(scene: Scene, pieces: Mapping[Target, Piece], contact: Contact) -> Iterator[Tie]:
    """A run in a hole: it turns all ways (the wall is thin)."""
    run, drilled = (contact.piece, contact.to) if contact.piece in pieces else (contact.to, contact.piece)
    if run not in pieces:
        return
    line = pieces[run].line
    holes = holes_of(scene).get(drilled, ())
    wide = [hole for hole in holes if hole.diameter >= pieces[run].section.outside - 0.1] or list(holes)
    best = min(wide, key=lambda hole: closest(line, vec3(hole.point)).distance)
    foot = closest(line, vec3(best.point))
    theirs = closest(pieces[drilled].line, foot.point).along if drilled in pieces else 0.0
    yield Tie(Spot(run, foot.along), Spot(drilled, theirs), "ball", foot.point, vec3(best.axis))


def _on_plate(scene: Scene, pieces: Mapping[Target, Piece], contact: Contact) -> Iterator[Tie]:
    """A plate on a run, by an edge or its face."""
    plate, run = (contact.to, contact.piece) if contact.piece in pieces else (contact.piece, contact.to)
    found = plate_touches(scene, plate, run)
    touch = found[min(contact.number, len(found) - 1)]
    there = moved(scene.transforms[(run.part, run.copy)], touch.axis)
    wide = float(np.linalg.norm(there[-1] - there[0]))
    rows = [len(there) // 2] if wide < LONG_TOUCH else [0, len(there) - 1]
    for row in rows:
        foot = closest(pieces[run].line, vec3(there[row]))
        yield Tie(Spot(plate), Spot(run, foot.along), "stiff", foot.point)


def _resting(scene: Scene, pieces: Mapping[Target, Piece], tie: Tie) -> Tie:
    """The same place where nothing is welded: the first is pushed away from the second."""
    away = np.subtract(_place(scene, pieces, tie.one), _place(scene, pieces, tie.other))
    size = float(np.linalg.norm(away))
    axis = vec3(away / size) if size > 1e-6 else (0.0, 0.0, 1.0)
    return tie._replace(kind="rests", axis=axis)


def _place(scene: Scene, pieces: Mapping[Target, Piece], spot: Spot) -> Vec3:
    if spot.piece in pieces:
        return point_along(pieces[spot.piece].line, spot.along)
    return plate_centre(scene, spot.piece)


def wheel_ties(scene: Scene, pieces: Mapping[Target, Piece]) -> list[tuple[Target, Vec3, float, list[Tie]]]:
    """Return each wheel with its centre, radius and what holds its axle."""
    out = []
    for part in scene.product.design.parts:
        shape = part.shape
        if not isinstance(shape, Bought) or shape.wheel is None or shape.at is None:
            continue
        for copy in scene.copies[part.id]:
            m = scene.transforms[(part.id, copy)]
            hub = moved(m, np.add(shape.at, (0.0, 0.0, scene.product.lift))[None])[0]
            axis = turned(m, np.asarray(shape.axis, float)[None])[0]
            wheel = Target(part=part.id, copy=copy)
            on = {target.part for target in part.on}
            held = _axle(pieces, wheel, hub, axis, on)
            out.append((wheel, vec3(hub), shape.wheel.radius, held))
    return out


def _axle(pieces: Mapping[Target, Piece], wheel: Target, hub: Floats, axis: Floats, on: set[str]) -> list[Tie]:
    out = []
    for target, piece in pieces.items():
        if target.part not in on:
            continue
        near = axis_to_centreline(piece.line, vec3(hub), vec3(axis), HUB_REACH)
        if near.distance > piece.section.outside + SEAT_PLAY:
            continue
        in_line = abs(float(np.dot(near.tangent, axis))) > math.cos(math.radians(10.0))
        foot = closest(piece.line, vec3(hub) if in_line else near.foot)
        seat = np.asarray(hub) if in_line else hub + axis * float((np.asarray(foot.point) - hub) @ axis)
        out.append(Tie(Spot(wheel), Spot(target, foot.along), "stiff", vec3(seat)))
    return out
