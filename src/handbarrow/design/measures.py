"""Named results of the placed product: heights, distances, lengths, values."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from handbarrow.design.naming import called, unknown_target
from handbarrow.design.placing import Scene
from handbarrow.design.sheet_flat import own_axes
from handbarrow.design.values import Bought, Corner, PlateShape, Result, ResultPoint, Run, Sheet, Target
from handbarrow.findings import Finding
from handbarrow.language import said
from handbarrow.laws.geometry.path import Centreline, Floats, Vec3, cross, layout, length, vec3
from handbarrow.laws.geometry.polygon import area_and_centroid
from handbarrow.laws.geometry.rigid import moved

__all__ = ["measure", "place_of", "point_along"]

AXES = {"x": 0, "y": 1, "z": 2}


def measure(scene: Scene, results: Iterable[Result]) -> tuple[dict[str, float], list[Finding]]:
    """Return the values [mm, or the unit of a formula] of results that can be told, and what is wrong with the rest.

    Only the parts that the results name are built.
    """
    out: dict[str, float] = {}
    findings: list[Finding] = []
    for result in results:
        value, found = _value(scene, result)
        findings += found
        if value is not None:
            out[result.name] = value
    return out, findings


def _value(scene: Scene, result: Result) -> tuple[float | None, list[Finding]]:
    where = f"results.{result.name}"
    if result.kind == "value":
        return result.value, []
    if result.kind == "length":
        return _length(scene, result.part, where)
    points: list[Floats] = []
    findings: list[Finding] = []
    for wanted in result.points:
        point, found = _point(scene, wanted, where)
        findings += found
        if point is not None:
            points.append(point)
    if result.kind == "height":
        return (float(points[0][2]) if len(points) == 1 else None), findings
    if len(points) != 2:
        return None, findings
    gap = points[1] - points[0]
    if result.along is not None:
        return abs(float(gap[AXES[result.along]])), findings
    return float(np.linalg.norm(gap)), findings


def place_of(scene: Scene, wanted: ResultPoint, where: str) -> tuple[Vec3 | None, list[Finding]]:
    """Return where a point of a copy of a part lies, product axes [mm]; None, and why, if it cannot be told."""
    point, findings = _point(scene, wanted, where)
    return (None if point is None else vec3(point)), findings


def _length(scene: Scene, part_id: str, where: str) -> tuple[float | None, list[Finding]]:
    found = unknown_target(Target(part=part_id), scene.design, where)
    if found is not None:
        return None, [found]
    if not isinstance(scene.parts[part_id].shape, Run):
        return None, [_no_such_place(scene, part_id, "length", where)]
    member = scene.member(part_id)
    return (None if member is None else length(member.centreline)), []


def _point(scene: Scene, wanted: ResultPoint, where: str) -> tuple[Floats | None, list[Finding]]:
    """A point of a copy of a part, product axes; None without a finding where its run has already been faulted."""
    found = unknown_target(wanted.target, scene.design, where)
    if found is not None:
        return None, [found]
    part = scene.parts[wanted.target.part]
    own: Floats | None
    if isinstance(part.shape, Run):
        if wanted.at in ("middle", "centre"):
            member = scene.member(part.id)
            if member is None:
                return None, []
            own = np.asarray(point_along(member.centreline, 0.5 * length(member.centreline)))
        else:
            corners = scene.corners(part.id)
            if corners is None:
                return None, []
            corner = _corner(corners, wanted.at)
            own = None if corner is None else scene.raised(corner)
    else:
        own = _centre(scene, wanted)
    if own is None:
        return None, [_no_such_place(scene, part.id, f"{called(wanted.target)} {wanted.at}", where)]
    return moved(scene.transform(part.id, wanted.target.copy), own[None, :])[0], []


def _corner(corners: tuple[Corner, ...], at: str) -> Vec3 | None:
    """P0 is the start, Pn the end."""
    last = len(corners) - 1
    if at in ("start", "end"):
        return corners[0 if at == "start" else last].at if last >= 0 else None
    word, _, number = at.rpartition(" ")
    if word == "corner" and number.isdecimal() and int(number) <= last:
        return corners[int(number)].at
    return None


def _centre(scene: Scene, wanted: ResultPoint) -> Floats | None:
    """Centre of a plate (of its outline, in the middle of its thickness) or of a bought part."""
    shape = scene.parts[wanted.target.part].shape
    if wanted.at != "centre":
        return None
    if isinstance(shape, PlateShape):
        frame = scene.plate(wanted.target.part, 1)
        if frame is None:
            return None
        _, centre = area_and_centroid(frame.outline)
        out: Floats = frame.origin + np.array([*centre, frame.thickness / 2]) @ frame.axes
        return out
    if isinstance(shape, Sheet) and shape.outline:
        _, (x, y) = area_and_centroid(shape.outline)
        middle: Floats = scene.raised(shape.at) + np.array([x, y, 0.0]) @ own_axes(shape)
        return middle
    if isinstance(shape, Bought | Sheet) and shape.at is not None:
        return scene.raised(shape.at)
    return None


def point_along(line: Centreline, distance: float) -> Vec3:
    """Return the point of a centreline that lies a developed distance [mm] from its start."""
    place = layout(line)
    at, left = place.start, distance
    for k, straight in enumerate(place.straights):
        if left <= straight or k == len(place.angles):
            return vec3(at + place.directions[k] * left)
        left -= float(straight)
        arc, radius = float(place.arcs[k]), float(place.radii[k])
        if left <= arc and radius > 0:
            spoke = place.tangents_in[k] - place.centres[k]
            side = cross(place.normals[k], spoke)
            phi = left / radius
            return vec3(place.centres[k] + np.cos(phi) * spoke + np.sin(phi) * side)
        left -= arc
        at = place.tangents_out[k]
    raise AssertionError("a centreline ends with a straight")


def _no_such_place(scene: Scene, part_id: str, place: str, where: str) -> Finding:
    shape = scene.parts[part_id].shape
    if isinstance(shape, Run):
        last = len(scene.corners(part_id) or ()) - 1
        places = said("`start`, `end`, `middle`")
        if last > 0:
            places = said("`start`, `end`, `middle`, `corner 0` to `corner {last}`", last=last)
    elif isinstance(shape, Bought) and shape.at is None:
        places = said("nothing: the part has no `at`")
    else:
        places = said("`centre`")
    return Finding(
        code="no-such-point",
        where=where,
        wrong=said("`{place}`: {part} has no such point", place=place, part=part_id),
        expected=said("a point of {part}: {places}", part=part_id, places=places),
        fix=said("name one of its points"),
    )
