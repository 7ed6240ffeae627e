"""Where a joint sits on the piece that is met, measured from an end, a bend or an edge that a tape can reach."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Target
from handbarrow.job.fitup_contacts import end_of
from handbarrow.job.fitup_plates import on_edges, on_plate, plate_axes, plate_points
from handbarrow.job.fitup_sides import lean_of, leg_sides, side_of
from handbarrow.job.fitup_touch import Crossing, Leg, crossings, leg_of, plate_touches
from handbarrow.job.fitup_values import Contact, Place, Reach
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.values import EndCut, JobPart
from handbarrow.laws.geometry.approach import segments_apart
from handbarrow.laws.geometry.path import Floats, Layout, closest, layout, vec3
from handbarrow.laws.geometry.rigid import moved, turned
from handbarrow.laws.mitre.cope import weld_length
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.mitre.receiver import Receiver, meeting

__all__ = ["Sitting", "sitting"]

FINE = 6
"""Places behind the point that distances keep [mm]."""
ALONG = math.sin(math.radians(3.0))
ACROSS = 0.5
"""A plate whose face looks along a run stands across it: how long it touches a round tube is not computed."""


class Sitting(NamedTuple):
    """How two pieces sit: place, angle between them, offset of their axes, length of the line along which they meet.

    `own`: the place of a crossing on the piece itself; `reach`: how far a plate or bar reaches across the tube.
    """

    place: Place
    angle_rad: float | None
    offset: float
    length: float | None
    both_sides: bool
    own: Place | None = None
    reach: Reach | None = None


def sitting(scene: Scene, parts: Mapping[str, JobPart], contact: Contact) -> Sitting:
    """Return where and how two pieces meet, measured on `contact.to`."""
    if contact.end:
        return _of_end(scene, parts, contact)
    runs = [p.part in scene.product.members for p in (contact.piece, contact.to)]
    if all(runs):
        return _run_on_run(scene, parts, contact)
    if runs[1]:
        sits = _plate_on_run(scene, parts, contact)
        return sits._replace(reach=_reach(scene, contact, sits.place))
    place, length = on_plate(scene, contact, run=runs[0])
    own = None if runs[0] else on_plate(scene, replace(contact, piece=contact.to, to=contact.piece), run=False)[0]
    return Sitting(place, None, 0.0, length, True, own)


# ------------------------------------------------------------------------------------------------ an end
def _of_end(scene: Scene, parts: Mapping[str, JobPart], contact: Contact) -> Sitting:
    part = parts[contact.piece.part]
    cut = part.start if contact.end == "start" else part.end
    if part.section is None or cut is None:
        raise ValueError(f"{contact.piece.part} has no end to join")
    frame = end_of(scene, contact.piece, contact.end)
    ring = outline(part.section)
    h = np.interp(ring.s, *np.array(cut.wrap).T) if cut.wrap else np.full(len(ring.s), cut.shortest)
    mine = _won(scene, contact, cut, len(ring.s))
    curve = (frame.starts(ring.uv) + h[:, None] * np.asarray(frame.into))[mine]
    length = weld_length(ring.s, h)
    if not mine.all():
        pairs = mine[1:] & mine[:-1]
        length = float(np.hypot(np.diff(ring.s), np.diff(h))[pairs].sum())
    m = scene.inverses[(contact.to.part, contact.to.copy)]
    if contact.to.part not in scene.product.members:
        middle = np.asarray(frame.point) + float(h.mean()) * np.asarray(frame.into)
        return Sitting(on_edges(scene, contact.to, middle, curve), cut.angle_rad or math.pi / 2, 0.0, length, False)
    member = scene.product.members[contact.to.part]
    met = meeting(frame.moved(m), Receiver(member.section, member.centreline, member.crown))
    if contact.kind in ("mitre", "butt"):
        side = side_of(np.asarray(frame.into))[0]
        place = Place(datum="face", side=side, point=frame.point)
        return Sitting(place, met.angle_rad, met.offset, length, False)
    place = _along(scene, parts, contact.to, (met.element, met.along), moved(m, curve))
    into = np.asarray(frame.into)
    return Sitting(_sided(scene, contact.to, place, into), met.angle_rad, met.offset, length, False)


def _won(scene: Scene, contact: Contact, cut: EndCut, count: int) -> NDArray[np.bool_]:
    """Stations of a cut that lie on this receiver: all, unless the end meets two."""
    joint = scene.product.joint(contact.piece.part, contact.end)
    if cut.kind != "double" or len(joint.against) < 2:
        return np.ones(count, dtype=bool)
    member = scene.product.members[contact.piece.part]
    frame = end_of(scene, Target(part=contact.piece.part), contact.end)
    uv = outline(member.section).uv
    h = [scene.against(joint, t, frame)[0].cut(uv, joint.gap) for t in joint.against]
    beside = np.array([np.where(hits.beside > 0, -np.inf, hits.h) for hits in h])
    return np.asarray(np.argmax(beside, axis=0) == contact.number)


# ------------------------------------------------------------------------------------------------ along a run
def _along(scene: Scene, parts: Mapping[str, JobPart], to: Target, where: tuple[int, float], curve: Floats) -> Place:
    """A place on a run, from points of the joint in the axes of its copy 1."""
    element, along = where
    member = scene.product.members[to.part]
    place = layout(member.centreline)
    turn = scene.transforms[(to.part, to.copy)]
    if element % 2:
        point = moved(turn, np.array([closest(member.centreline, vec3(curve.mean(axis=0))).point]))[0]
        k = element // 2
        begin = float(place.straights[: k + 1].sum() + place.arcs[:k].sum())
        at = moved(turn, place.tangents_in[k : k + 1])[0]
        return Place(
            datum="bend", bend=k + 1, centre=along - begin, datum_point=vec3(at), point=vec3(point)
        )  # fmt: skip
    leg = leg_of(place, element // 2)
    here = along - leg.run
    spread = (curve - leg.at) @ leg.way
    low, high = float(spread.min()), float(spread.max())
    name, bend, datum = min(
        _datums(parts[to.part], place, leg), key=lambda d: (round(abs(d[2] - here), 3), d[0] == "bend")
    )
    sign = 1.0 if datum <= here else -1.0
    near, far = (low - datum, high - datum) if sign > 0 else (datum - high, datum - low)
    datum_point, point = moved(turn, np.array([leg.at + leg.way * datum, leg.at + leg.way * here]))
    middle = moved(turn, np.array([leg.at + leg.way * leg.size / 2]))[0]
    return Place(
        datum=name,  # type: ignore[arg-type]
        leg=leg.number + 1,
        bend=bend,
        leg_side=leg_sides(member.centreline, turn)[leg.number],
        datum_side=side_of(datum_point - middle)[0],
        near=round(near, FINE),
        centre=round(abs(here - datum), FINE),
        far=round(far, FINE),
        datum_point=vec3(datum_point),
        point=vec3(point),
    )


def _datums(part: JobPart, place: Layout, leg: Leg) -> list[tuple[str, int, float]]:
    """Where a tape may start on a straight: (name, bend, place from the straight's own beginning)."""
    out: list[tuple[str, int, float]] = []
    last = len(place.straights) - 1
    if leg.number == 0:
        out.append(("start", 0, part.start.shortest if part.start else 0.0))
    else:
        out.append(("bend", leg.number, -_outside(part, place, leg.number - 1)))
    if leg.number == last:
        out.append(("end", 0, leg.size - (part.end.shortest if part.end else 0.0)))
    else:
        out.append(("bend", leg.number + 1, leg.size + _outside(part, place, leg.number)))
    return out


def _outside(part: JobPart, place: Layout, k: int) -> float:
    """From a bend's tangent point to its outside, along the leg.

    Source: plane geometry: the outsides of the two legs meet half tan(A/2) beyond the corner; past 90 degrees the
    outermost point of the arc, radius + half, is what a square touches.
    """
    section = part.section
    half = (section.height if section.is_round else _half_twice(part, place, k)) / 2 if section else 0.0
    angle, radius = float(place.angles[k]), float(place.radii[k])
    return radius + half if angle > math.pi / 2 + 1e-9 else (radius + half) * math.tan(angle / 2)


def _half_twice(part: JobPart, place: Layout, k: int) -> float:
    """Size of a section with flat faces in the plane of a bend: its height if the crown lies in that plane."""
    section, crown = part.section, np.asarray(part.crown)
    if section is None:
        return 0.0
    return section.height if abs(float(crown @ place.normals[k])) < 0.5 else section.width


def _sided(scene: Scene, to: Target, place: Place, way: Floats) -> Place:
    """Add which side of the receiver is met, from the way that leads away from it (product axes)."""
    axis = _axis_at(scene, to, place)
    across = way - axis * float(way @ axis)
    if float(np.linalg.norm(across)) < 1e-9:
        return place
    side, lean = side_of(across)
    return replace(place, side=side, lean_rad=lean, lean_to=lean_of(across))


def _axis_at(scene: Scene, to: Target, place: Place) -> Floats:
    """The receiver's direction at a place, product axes."""
    member = scene.product.members[to.part]
    k = max(place.leg - 1, 0) if place.leg else place.bend - 1
    m = scene.transforms[(to.part, to.copy)]
    return np.asarray(turned(m, layout(member.centreline).directions[k : k + 1])[0])


# ------------------------------------------------------------------------------------------------ side by side
def _run_on_run(scene: Scene, parts: Mapping[str, JobPart], contact: Contact) -> Sitting:
    """A run that crosses another, or lies along it: one of the places where they touch."""
    found = crossings(scene, contact.piece, contact.to)
    met = found[min(contact.number, len(found) - 1)]
    sits = _crossing(scene, parts, contact, met)
    if sits.length is not None:
        return sits._replace(reach=_reach(scene, contact, sits.place))
    back = scene.inverses[(contact.piece.part, contact.piece.copy)] @ scene.transforms[
        (contact.to.part, contact.to.copy)
    ]  # fmt: skip
    leg = met.leg
    own = layout(scene.product.members[contact.piece.part].centreline)
    start = moved(back, met.at[None])[0]
    mine = min((leg_of(own, k) for k in range(len(own.straights))), key=lambda one: math.dist(one.at, start))
    line = Crossing(mine, moved(back, leg.at[None])[0], turned(back, leg.way[None])[0], leg.size)
    crossed = replace(contact, piece=contact.to, to=contact.piece)
    return sits._replace(own=_crossing(scene, parts, crossed, line).place)


def _crossing(scene: Scene, parts: Mapping[str, JobPart], contact: Contact, met: Crossing) -> Sitting:
    """The place of one crossing on the receiver."""
    leg, at, way, size = met
    half = scene.product.members[contact.piece.part].section.height / 2
    cosine = float(way @ leg.way)
    sine = math.sqrt(max(0.0, 1 - cosine * cosine))
    away = at - leg.at
    if sine < ALONG:
        ends = np.array([away @ leg.way, (away + way * size) @ leg.way])
        low, high = max(float(ends.min()), 0.0), min(float(ends.max()), leg.size)
        along, angle, length = (low + high) / 2, 0.0, max(high - low, 0.0)
        toward = at + way * (((leg.at + leg.way * along) - at) @ way)
        toward = toward + _nearest_skin(scene, contact, toward - (leg.at + leg.way * along))
    else:
        p, q = segments_apart(
            at[None], (way * size)[None], leg.at[None], (leg.way * leg.size)[None]
        )  # fmt: skip
        along, toward = float((q[0] - leg.at) @ leg.way), p[0]
        low, high = along - half / sine, along + half / sine
        angle, length = math.asin(min(1.0, sine)), None
    points = leg.at + np.array([low, high])[:, None] * leg.way
    place = _along(scene, parts, contact.to, (2 * leg.number, leg.run + along), points)
    turn = scene.transforms[(contact.to.part, contact.to.copy)]
    out = turned(turn, (toward - (leg.at + leg.way * along))[None])[0]
    return Sitting(_sided(scene, contact.to, place, out), angle, 0.0, length, True)


def _nearest_skin(scene: Scene, contact: Contact, away: Floats) -> Floats:
    """From a run's axis to the place on its outside that is nearest to the receiver's axis, which lies `-away` off."""
    member = scene.product.members[contact.piece.part]
    if member.section.is_round:
        return np.zeros(3)
    there = scene.inverses[(contact.to.part, contact.to.copy)]
    frame = end_of(scene, contact.piece, "start").moved(there)
    ring = outline(member.section).uv @ np.array([frame.u, frame.v])
    return np.asarray(ring[int(np.argmin(np.linalg.norm(ring + away, axis=1)))])


def _reach(scene: Scene, contact: Contact, place: Place) -> Reach | None:
    """How far a piece reaches past the middle of the tube it is on, square to the tube and along its surface."""
    if not place.leg or (place.lean_rad > ALONG and contact.piece.part not in scene.product.members):
        return None
    axis = _axis_at(scene, contact.to, place)
    member = scene.product.members.get(contact.piece.part)
    m = scene.transforms[(contact.piece.part, contact.piece.copy)]
    if member is None:
        points = moved(m, plate_points(scene, contact.piece))
    elif member.section.is_round:
        return None
    else:
        frame = end_of(scene, contact.piece, "start")
        points = frame.starts(outline(member.section).uv)
    normal = _side_way(place.side)
    out = normal - axis * float(normal @ axis)
    size = float(np.linalg.norm(out))
    if size < ALONG:
        return None
    across = np.cross(axis, out / size)
    spread = (points - np.asarray(place.point)) @ across
    low, high = float(spread.min()), float(spread.max())
    return Reach(
        one=round(high, FINE), one_side=side_of(across)[0], other=round(-low, FINE), other_side=side_of(-across)[0]
    )  # fmt: skip


def _side_way(side: str) -> Floats:
    ways = {"front": (1, 0, 0), "rear": (-1, 0, 0), "left": (0, 1, 0), "right": (0, -1, 0), "top": (0, 0, 1)}
    return np.array(ways.get(side, (0, 0, -1)), float)


# ------------------------------------------------------------------------------------------------ plates
def _plate_on_run(scene: Scene, parts: Mapping[str, JobPart], contact: Contact) -> Sitting:
    """A plate that lies or stands on a run: from where to where along one of the straights it touches."""
    found = plate_touches(scene, contact.piece, contact.to)
    leg, axis, near = found[min(contact.number, len(found) - 1)]
    back = scene.inverses[(contact.to.part, contact.to.copy)] @ scene.transforms[
        (contact.piece.part, contact.piece.copy)
    ]  # fmt: skip
    spread = (near - leg.at) @ leg.way
    low, high = max(float(spread.min()), 0.0), min(float(spread.max()), leg.size)
    points = leg.at + np.array([low, high])[:, None] * leg.way
    where = _along(scene, parts, contact.to, (2 * leg.number, leg.run + (low + high) / 2), points)
    turn = scene.transforms[(contact.to.part, contact.to.copy)]
    out = turned(turn, (near - axis).mean(axis=0)[None])[0]
    normal = turned(back, plate_axes(scene, contact.piece)[2:])[0]
    length = None if abs(float(normal @ leg.way)) > ACROSS else high - low
    return Sitting(_sided(scene, contact.to, where, out), None, 0.0, length, True)
