"""Solids of the parts of a job, made with the CAD kernel. Only imported where the extra `step` is installed."""

# mypy: disable-error-code="import-untyped,import-not-found,no-any-return"

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Transform,
)
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.Standard import Standard_Failure as Failure
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from handbarrow.design.sheet_flat import clear_of_holes, hole_side, on_blank, own_axes, side_turn, zone_frame
from handbarrow.design.values import Bought, PlateShape, Sheet
from handbarrow.drawings.contours import Contour, Vertex, rounded, slot_outline
from handbarrow.drawings.mesh import run_shape
from handbarrow.drawings.mesh_openings import BarOpening
from handbarrow.drawings.plates import plate_figure
from handbarrow.job.bolt_solids import bolt_pieces
from handbarrow.job.bolt_values import Fastener
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.mitre_surfaces import Plane, Scene, end_frame
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.folding.flat_part import FlatPart
from handbarrow.laws.geometry.approach import outline_distance
from handbarrow.laws.geometry.path import Centreline, Floats, crown_by_rule, crown_on_straights, layout, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import corner_radii
from handbarrow.laws.mitre.receiver import Receiver

__all__ = ["Failure", "is_sound", "moved", "part_solids", "solids_in", "volume"]

BEYOND = 300.0
"""By how much a run that others are cut against goes on beyond its ends, as the cuts are worked out [mm]."""
LARGE = 1000.0
"""Half size of what cuts along a plane [mm]."""
Solid = Any
_Tool = tuple[str, int, float]
_CAST = {kind: getattr(TopoDS, f"{kind}_s", None) or getattr(TopoDS, kind) for kind in ("Wire", "Solid")}
"""Version 7 of the kernel's package ends these names in `_s`."""


def part_solids(job: Job, part: JobPart, spare: float | None = 0.0) -> tuple[Solid, ...]:
    """Return the solids of copy 1 of a part; none for a bought part whose shape nobody knows.

    Args:
        job: The job.
        part: One of its parts.
        spare: How much longer than its longest points a tube or bar is before its ends are cut [mm]; None: ends are
            left square at their longest points, and holes are not drilled.
    """
    if part.section is not None:
        return (_run(job, part, spare),)
    shape = job.design.part(part.id).shape
    if isinstance(shape, PlateShape):
        return (_plate(job, part, shape),)
    if isinstance(shape, Sheet) and part.sheet is not None:
        return tuple(_sheet(shape, part.sheet.flat, job.product.lift))
    if isinstance(shape, Bought) and shape.wheel is not None and shape.at is not None:
        return _wheel(job, shape)
    if isinstance(shape, Bought) and part.fastener is not None and shape.at is not None:
        return _bolt(job, part.fastener, shape)
    return ()


def volume(solid: Solid) -> float:
    """Return the volume of a solid [mm3]."""
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, found)
    return found.Mass()


def is_sound(solid: Solid) -> bool:
    """Whether the kernel finds nothing wrong with a solid."""
    return BRepCheck_Analyzer(solid).IsValid()


def solids_in(shape: Any) -> list[Solid]:
    """Return all solids within a shape."""
    finder, out = TopExp_Explorer(shape, TopAbs_SOLID), []
    while finder.More():
        out.append(_CAST["Solid"](finder.Current()))
        finder.Next()
    return out


def moved(shape: Any, matrix: Floats) -> Any:
    """Return a shape after a rigid transform (4, 4); a reflection is allowed."""
    return BRepBuilderAPI_Transform(shape, transform(matrix), True).Shape()


def transform(matrix: Floats) -> gp_Trsf:
    """Return a rigid transform (4, 4) as the kernel's."""
    out = gp_Trsf()
    out.SetValues(*(float(v) for v in np.asarray(matrix, float)[:3].ravel()))
    return out


# ------------------------------------------------------------------------------------------------ outlines
def _point(p: Sequence[float] | Floats) -> gp_Pnt:
    return gp_Pnt(float(p[0]), float(p[1]), float(p[2]))


def _way(p: Sequence[float] | Floats) -> gp_Dir:
    return gp_Dir(float(p[0]), float(p[1]), float(p[2]))


def _wire(contour: Contour, origin: Floats, x: Floats, y: Floats) -> Any:
    """A closed outline of straight edges and true arcs, its own x and y along given directions."""
    wire = BRepBuilderAPI_MakeWire()
    for a, b in zip(contour, (*contour[1:], contour[0]), strict=True):
        if math.dist(a.at, b.at) < 1e-7:
            continue
        p, q = (_point(origin + c.x * x + c.y * y) for c in (a, b))
        if a.bulge:
            middle = (a.x + b.x + a.bulge * (b.y - a.y)) / 2, (a.y + b.y - a.bulge * (b.x - a.x)) / 2
            arc = GC_MakeArcOfCircle(p, _point(origin + middle[0] * x + middle[1] * y), q)
            wire.Add(BRepBuilderAPI_MakeEdge(arc.Value()).Edge())
        else:
            wire.Add(BRepBuilderAPI_MakeEdge(p, q).Edge())
    return wire.Wire()


def _circle(origin: Floats, along: Floats, radius: float) -> Any:
    edge = BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(_point(origin), _way(along)), radius)).Edge()
    return BRepBuilderAPI_MakeWire(edge).Wire()


def _face(outer: Any, holes: Sequence[Any] = ()) -> Any:
    made = BRepBuilderAPI_MakeFace(outer, True)
    for hole in holes:
        made.Add(_CAST["Wire"](hole.Reversed()))
    return made.Face()


def _box(height: float, width: float, corner: float) -> Contour:
    h, w = height / 2, width / 2
    return rounded(((-w, -h), (w, -h), (w, h), (-w, h)), corner)[0]


def _profile(section: Section, at: Floats, t: Floats, v: Floats, *, full: bool = False, grow: float = 0.0) -> Any:
    """The section as a face square to the run; `full`: its outside only, grown by a gap."""
    u = np.cross(t, v)
    hollow = section.is_hollow and not full
    if section.is_round:
        r = section.height / 2 + grow
        return _face(_circle(at, t, r), [_circle(at, t, r - section.wall)] if hollow else [])
    h, w, wall = section.height, section.width, section.wall
    if section.shape == "angle":
        corners = ((0.0, 0.0), (w, 0.0), (w, wall), (wall, wall), (wall, h), (0.0, h))
        g = grow
        more = ((-g, -g), (g, -g), (g, g), (g, g), (g, g), (-g, g))
        legs = tuple(Vertex(x + dx, y + dy) for (x, y), (dx, dy) in zip(corners, more, strict=True))
        return _face(_wire(legs, at, u, v))
    outer, inner = corner_radii(section)
    around = _wire(_box(h + 2 * grow, w + 2 * grow, outer + grow), at, u, v)
    return _face(around, [_wire(_box(h - 2 * wall, w - 2 * wall, inner), at, u, v)] if hollow else [])


# ------------------------------------------------------------------------------------------------ runs
def _spine(line: Centreline) -> Any:
    place, wire = layout(line), BRepBuilderAPI_MakeWire()
    here = place.start
    for k, angle in enumerate(place.angles.tolist()):
        a, b, centre = place.tangents_in[k], place.tangents_out[k], place.centres[k]
        if angle < 1e-9:
            continue
        if np.linalg.norm(a - here) > 1e-6:
            wire.Add(BRepBuilderAPI_MakeEdge(_point(here), _point(a)).Edge())
        out = (a + b) / 2 - centre if angle < math.pi - 1e-6 else np.cross(a - centre, place.normals[k])
        middle = centre + out / np.linalg.norm(out) * float(place.radii[k])
        wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(_point(a), _point(middle), _point(b)).Value()).Edge())
        here = b
    if np.linalg.norm(place.end - here) > 1e-6:
        wire.Add(BRepBuilderAPI_MakeEdge(_point(here), _point(place.end)).Edge())
    return wire.Wire()


def _swept(section: Section, line: Centreline, v: Floats, *, full: bool = False, grow: float = 0.0) -> Solid:
    place = layout(line)
    face = _profile(section, place.start, place.directions[0], v, full=full, grow=grow)
    return BRepOffsetAPI_MakePipe(_spine(line), face).Shape()


def _stretched(line: Centreline, start: float, end: float) -> Centreline:
    """The line, longer by so much at its ends."""
    place, points = layout(line), list(line.points)
    points[0] = vec3(place.start - place.directions[0] * start)
    points[-1] = vec3(place.end + place.directions[-1] * end)
    return Centreline(tuple(points), line.radii)


def _run(job: Job, part: JobPart, spare: float | None) -> Solid:
    shape, ends = run_shape(job, part), {"start": part.start, "end": part.end}
    more = [spare or 0.0 if end is not None and end.kind != "square" else 0.0 for end in ends.values()]
    longer = [more - (end.shortest if end else 0.0) for end, more in zip(ends.values(), more, strict=True)]
    solid = _swept(shape.section, _stretched(shape.line, longer[0], longer[1]), np.asarray(shape.crown))
    if spare is None:
        return solid
    tools: dict[_Tool, Solid] = {}
    for name, end in ends.items():
        if end is not None and end.kind != "square":
            _add_tools(Scene(job.product), part, name, tools)
    drills = [_drill(shape.section, shape.line, np.asarray(shape.crown), hole) for hole in shape.openings]
    for tool in (*tools.values(), *drills):
        solid = BRepAlgoAPI_Cut(solid, tool).Shape()
    found = solids_in(solid)
    return max(found, key=volume) if found else solid


def _add_tools(scene: Scene, part: JobPart, end: str, tools: dict[_Tool, Solid]) -> None:
    """Add what an end is cut with: the outsides of what it meets, or all that lies beyond a plane; each only once."""
    member, joint = scene.product.members[part.id], scene.product.joint(part.id, end)
    frame = end_frame(member, end)
    if joint.kind == "plane" and joint.normal is not None and joint.plane_point is not None:
        tools[(end, 0, 0.0)] = _beyond(Plane(joint.normal, joint.plane_point).facing(frame, joint.gap))
        return
    for target in joint.against:
        surface = scene.against(joint, target, frame)[0].surface
        there = scene.transforms[(target.part, target.copy)]
        if not isinstance(surface, Receiver):
            tools[(end, len(tools), 0.0)] = _beyond(surface.moved(there).facing(frame, joint.gap))
        elif (key := (target.part, target.copy, joint.gap)) not in tools:
            line = _stretched(surface.line, BEYOND, BEYOND)
            whole = _swept(surface.section, line, np.asarray(surface.crown), full=True, grow=joint.gap)
            tools[key] = moved(whole, there)


def _beyond(plane: Plane) -> Solid:
    """A large box on the side of a plane that its normal points away from."""
    n = np.asarray(plane.normal)
    x = np.asarray(crown_by_rule(plane.normal))
    square = tuple(Vertex(i * LARGE, j * LARGE) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    face = _face(_wire(square, np.asarray(plane.point), x, np.cross(n, x)))
    return BRepPrimAPI_MakePrism(face, gp_Vec(*(-n * LARGE))).Shape()


def _drill(section: Section, line: Centreline, crown: Floats, hole: BarOpening) -> Solid:
    """What a hole or slot takes away."""
    place, run, k = layout(line), 0.0, 0
    arcs = place.arcs.tolist()
    while k < len(arcs) and hole.along > run + float(place.straights[k]) + arcs[k] / 2:
        run += float(place.straights[k]) + arcs[k]
        k += 1
    t, v = place.directions[k], crown_on_straights(line, vec3(crown))[k]
    u = np.cross(t, v)
    at = (place.start if k == 0 else place.tangents_out[k - 1]) + t * (hole.along - run)
    ways = {
        "crown": (v, u),
        "bottom": (-v, u),
        "right": (u, v),
        "left": (-u, v),
        "height leg": (u, v),
        "width leg": (v, u),
    }
    drilled, across = ways[hole.face]
    flat = section.shape == "angle" or hole.through or not section.is_hollow
    reach = section.outside
    low = (-1.0 if section.shape == "angle" else -reach) if flat else 0.0
    high = section.wall + 1.0 if section.shape == "angle" else reach
    contour = slot_outline(
        (0.0, 0.0), hole.diameter, max(hole.length, hole.diameter), math.pi / 2 if hole.runs_across else 0.0
    )
    if hole.open_edge:
        deep = (hole.length - hole.diameter) / 2
        way, r = (1.0 if hole.across >= 0 else -1.0), hole.diameter / 2
        contour = (
            Vertex(-r, -way * deep, way),
            Vertex(r, -way * deep),
            Vertex(r, way * reach),
            Vertex(-r, way * reach),
        )
    base = at + across * hole.across + drilled * low
    return BRepPrimAPI_MakePrism(_face(_wire(contour, base, t, across)), gp_Vec(*(drilled * (high - low)))).Shape()


# ------------------------------------------------------------------------------------------------ plates and wheels
def _plate(job: Job, part: JobPart, shape: PlateShape) -> Solid:
    origin, (x, y, z), thickness = plate_frame(job.product, shape)
    figure, holes = plate_figure(part), []
    for opening in figure.openings:
        if opening.runs_out:
            continue
        contour = opening.contour or slot_outline(opening.centres[0], opening.diameter, opening.diameter, 0.0)
        holes.append(_wire(contour, origin, x, y))
    face = _face(_wire(figure.contour, origin, x, y), holes)
    return BRepPrimAPI_MakePrism(face, gp_Vec(*(z * (part.thickness or thickness)))).Shape()


def _bolt(job: Job, fastener: Fastener, shape: Bought) -> tuple[Solid, ...]:
    """Head, shank and nut, drawn simply, as in the skins."""
    axis = np.asarray(shape.axis, float) / np.linalg.norm(shape.axis)
    v = np.asarray(crown_by_rule(vec3(axis)))
    u = np.cross(axis, v)
    place = np.add(shape.at or (0.0, 0.0, 0.0), (0.0, 0.0, job.product.lift))
    out = []
    for one in bolt_pieces(fastener):
        at, r = place + axis * one.start, one.wide / 2
        turns = [k * math.pi / 3 for k in range(6)]
        corners = tuple(Vertex(r * math.cos(turn), r * math.sin(turn)) for turn in turns)
        wire = _wire(corners, at, v, u) if one.hexagon else _circle(at, axis, r)
        out.append(BRepPrimAPI_MakePrism(_face(wire), gp_Vec(*(axis * (one.end - one.start)))).Shape())
    return tuple(out)


def _sheet(shape: Sheet, flat: FlatPart, lift: float) -> Iterator[Solid]:
    """A part of sheet, one flat piece beside the other; folds and rolled strips in narrow ones."""
    axes, at = own_axes(shape), np.add(shape.at, (0.0, 0.0, lift))
    zones = flat.zones(whole=clear_of_holes(flat, shape))
    for zone in zones:
        origin, own, outline = zone_frame(flat, zone.side, zone.outline)
        place, (x, y, z) = origin @ axes + at, own @ axes
        ring = tuple(Vertex(u, v) for u, v in outline.tolist())
        wires = []
        for hole in shape.holes:
            side, middle = hole_side(flat, shape, hole), np.array([on_blank(flat, shape, hole)])
            if side == zone.side and zone.flat and outline_distance(zone.outline, middle)[0] == 0.0:
                turn = hole.angle_rad + side_turn(flat, side)
                both = np.vstack([middle, middle + np.array([math.cos(turn), math.sin(turn)])])
                (u, v), way = (flat.folded(side, both, np.zeros(2)) - origin) @ own[:2].T
                lean = math.atan2(way[1] - v, way[0] - u)
                slot = slot_outline((u, v), hole.diameter, max(hole.length, hole.diameter), lean)
                wires.append(_wire(slot, place, x, y))
        yield BRepPrimAPI_MakePrism(_face(_wire(ring, place, x, y), wires), gp_Vec(*(z * flat.thickness))).Shape()


def _wheel(job: Job, shape: Bought) -> tuple[Solid, ...]:
    """Tyre, rim and hub, drawn simply, as in the skins."""
    if shape.wheel is None or shape.at is None:
        return ()
    tyre, seat = shape.wheel.width / 2, shape.wheel.bead_seat / 2
    axis = np.asarray(shape.axis, float) / np.linalg.norm(shape.axis)
    v = np.asarray(crown_by_rule(vec3(axis)))
    at = np.add(shape.at, (0.0, 0.0, job.product.lift))
    ring = _face(_circle(at + v * (seat + tyre), np.cross(axis, v), tyre))
    faces = [ring]
    for half, low, high in ((0.6 * tyre, seat - 12.0, seat + 2.0), (2 * tyre, 0.0, min(18.0, seat / 2))):
        block = tuple(Vertex(i, j) for i, j in ((-half, low), (half, low), (half, high), (-half, high)))
        faces.append(_face(_wire(block, at, axis, v)))
    return tuple(BRepPrimAPI_MakeRevol(face, gp_Ax1(_point(at), _way(axis))).Shape() for face in faces)
