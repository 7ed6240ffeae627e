"""How far the surfaces of two parts are apart: runs as short straight pieces, plates as their faces and edges.

Good to about 0.2 mm, and meant for nothing finer than the question whether two parts touch. Cuts of ends, holes and
rounded corners don't count: a run reaches to its working points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.placing import PlateFrame
from handbarrow.design.values import Member
from handbarrow.laws.geometry.approach import outline_distance, segments_apart
from handbarrow.laws.geometry.path import Floats, Layout, cross, crown_on_straights, layout
from handbarrow.laws.geometry.rigid import moved, turned

__all__ = ["Pieces", "piece_gaps", "pieces_of", "plate_gap", "plate_point_gap", "plates_gap", "point_gap"]

CHORD_RAD = math.radians(6.0)
FINEST = 4.0
"""Runs are sampled this finely against plates [mm]."""
SURE = 0.05
"""Nearer than this, there is nothing left to look for [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """Straight pieces of a run: boxes, or cylinders where `round`.

    Attributes:
        centre: (n, 3) middles.
        axes: (n, 3, 3) unit directions along, height, width as rows.
        half: (n, 3) half sizes along them [mm].
        round: (n,) whether the section is a circle of radius half[:, 1].
    """

    centre: Floats
    axes: Floats
    half: Floats
    round: NDArray[np.bool_]

    def at(self, transform: Floats) -> Pieces:
        """Return the pieces moved by a rigid transform."""
        axes = turned(transform, self.axes.reshape(-1, 3)).reshape(-1, 3, 3)
        return Pieces(centre=moved(transform, self.centre), axes=axes, half=self.half, round=self.round)

    def rows(self, index: NDArray[np.intp]) -> Pieces:
        """Return some of the pieces."""
        return Pieces(centre=self.centre[index], axes=self.axes[index], half=self.half[index], round=self.round[index])

    @property
    def reach(self) -> Floats:
        """Radius of a ball round each piece [mm]."""
        out: Floats = np.sqrt(np.einsum("ij,ij->i", self.half, self.half))
        return out


def pieces_of(member: Member) -> Pieces:
    """Return copy 1 of a run as straight pieces; a leg of an angle is a piece of its own."""
    place, section = layout(member.centreline), member.section
    crowns = crown_on_straights(member.centreline, member.crown)
    starts = np.vstack([place.start[None, :], place.tangents_out])
    real = np.flatnonzero(place.straights > 0)
    blocks = [(starts[real], starts[real] + place.directions[real] * place.straights[real, None], crowns[real])]
    blocks += [_chords(place, k, crowns[k]) for k in range(len(place.angles))]
    start, end, v = (np.concatenate([block[i] for block in blocks]) for i in range(3))
    along = end - start
    size = np.sqrt(np.einsum("ij,ij->i", along, along))
    t = along / size[:, None]
    v = v - t * np.einsum("ij,ij->i", v, t)[:, None]
    v = v / np.sqrt(np.einsum("ij,ij->i", v, v))[:, None]
    axes = np.stack([t, v, cross(t, v)], axis=1)
    middle = (start + end) / 2
    h, w = section.height / 2, section.width / 2
    if section.shape != "angle":
        half = np.column_stack([size / 2, np.full(len(size), h), np.full(len(size), w)])
        return Pieces(centre=middle, axes=axes, half=half, round=np.full(len(size), section.is_round))
    wall = section.wall / 2
    parts = []
    for dv, du, hv, hu in ((h, wall, h, wall), (wall, w, wall, w)):
        centre = middle + axes[:, 1] * dv + axes[:, 2] * du
        half = np.column_stack([size / 2, np.full(len(size), hv), np.full(len(size), hu)])
        parts.append((centre, half))
    return Pieces(
        centre=np.concatenate([p[0] for p in parts]),
        axes=np.concatenate([axes, axes]),
        half=np.concatenate([p[1] for p in parts]),
        round=np.zeros(2 * len(size), dtype=bool),
    )


def _chords(place: Layout, k: int, crown: Floats) -> tuple[Floats, Floats, Floats]:
    """Arc k as chords: where each starts and ends, and the height direction in its middle."""
    n, centre, angle = place.normals[k], place.centres[k], float(place.angles[k])
    count = max(1, math.ceil(angle / CHORD_RAD))
    spoke = place.tangents_in[k] - centre
    side, crown_side, still = cross(n, spoke), cross(n, crown), n * float(n @ crown)
    phi = np.arange(count + 1)[:, None] * (angle / count)
    on_arc = centre + np.cos(phi) * spoke + np.sin(phi) * side
    half = phi[:-1] + angle / count / 2
    turned_crown = still + np.cos(half) * (crown - still) + np.sin(half) * crown_side
    return on_arc[:-1], on_arc[1:], turned_crown


def _onto(pieces: Pieces, points: Floats) -> Floats:
    """The point of each piece nearest to the point in the same row."""
    own = np.einsum("nij,nj->ni", pieces.axes, points - pieces.centre)
    inside = np.clip(own, -pieces.half, pieces.half)
    radius = np.hypot(own[:, 1], own[:, 2])
    shrink = np.minimum(1.0, pieces.half[:, 1] / np.maximum(radius, 1e-12))[:, None]
    inside[:, 1:] = np.where(pieces.round[:, None], own[:, 1:] * shrink, inside[:, 1:])
    out: Floats = pieces.centre + np.einsum("nij,ni->nj", pieces.axes, inside)
    return out


def piece_gaps(pairs: list[tuple[Pieces, Pieces]]) -> Floats:
    """Return the distance between the surfaces of pairs of runs [mm], 0 where they touch or overlap.

    Source: the two nearest points of convex bodies by projecting on one and the other in turn (J. von Neumann's
    alternating projections, from memory), started from the nearest points of the axes.
    """
    gaps = np.full(len(pairs), np.inf)
    if not pairs:
        return gaps
    firsts, seconds, owner = [], [], []
    for number, (a, b) in enumerate(pairs):
        between = np.linalg.norm(a.centre[:, None, :] - b.centre[None, :, :], axis=2)
        reach = a.reach[:, None] + b.reach[None, :]
        most = float((between + reach).min())  # no nearer pair can lie beyond this
        i, j = np.nonzero(between - reach <= most)
        keep = np.argsort(between[i, j] - reach[i, j], kind="stable")[:64]
        firsts.append(a.rows(i[keep]))
        seconds.append(b.rows(j[keep]))
        owner.append(np.full(len(keep), number))
    a, b, row = _joined(firsts), _joined(seconds), np.concatenate(owner)
    da, db = 2 * a.half[:, :1] * a.axes[:, 0], 2 * b.half[:, :1] * b.axes[:, 0]
    _, q = segments_apart(a.centre - da / 2, da, b.centre - db / 2, db)
    last = np.full(len(row), np.inf)
    for _ in range(60):
        p = _onto(a, q)
        q = _onto(b, p)
        gap = np.sqrt(np.einsum("ij,ij->i", p - q, p - q))
        if float(np.nanmax(np.where(np.isinf(last), np.inf, last - gap))) < 1e-3:
            break
        last = gap
    np.minimum.at(gaps, row, gap)
    return gaps


def _joined(pieces: list[Pieces]) -> Pieces:
    return Pieces(
        centre=np.concatenate([p.centre for p in pieces]),
        axes=np.concatenate([p.axes for p in pieces]),
        half=np.concatenate([p.half for p in pieces]),
        round=np.concatenate([p.round for p in pieces]),
    )


def point_gap(pieces: Pieces, point: Floats) -> float:
    """Return the distance of a point from the surface of a run [mm], 0 inside."""
    gap = _onto(pieces, np.broadcast_to(point, pieces.centre.shape)) - point
    return float(np.sqrt(np.einsum("ij,ij->i", gap, gap)).min())


# ------------------------------------------------------------------------------------------------ plates
def _from_plate(plate: PlateFrame, points: Floats) -> Floats:
    """Distance of points from a plate [mm], 0 inside."""
    own = plate.own(points)
    above = np.maximum(np.maximum(own[:, 2] - plate.thickness, -own[:, 2]), 0.0)
    out: Floats = np.hypot(above, outline_distance(plate.outline, own[:, :2]))
    return out


def _skin(plate: PlateFrame) -> Floats:
    """Points of both faces of a plate: a grid inside, and closer along the edges."""
    low, high = plate.outline.min(axis=0), plate.outline.max(axis=0)
    step = max(float((high - low).max()) / 24, 2.0)
    x, y = (np.arange(low[i] + step / 2, high[i], step) for i in (0, 1))
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    inside = grid[outline_distance(plate.outline, grid) == 0]
    edges = []
    for a, b in zip(plate.outline, np.roll(plate.outline, -1, axis=0), strict=True):
        count = max(2, math.ceil(float(np.hypot(*(b - a))) / FINEST))
        edges.append(a + (b - a) * np.linspace(0, 1, count, endpoint=False)[:, None])
    flat = np.concatenate([inside, *edges])
    faces = np.concatenate([np.column_stack([flat, np.full(len(flat), z)]) for z in (0.0, plate.thickness)])
    out: Floats = plate.origin + faces @ plate.axes
    return out


def plate_gap(plate: PlateFrame, pieces: Pieces) -> float:
    """Return the distance between the surfaces of a plate and a run [mm], 0 where they touch or overlap."""
    flat = plate.outline.mean(axis=0)
    middle = plate.origin + np.array([*flat, plate.thickness / 2]) @ plate.axes
    ball = float(np.hypot(*(plate.outline - flat).T).max()) + plate.thickness
    w = middle - pieces.centre
    along = np.clip(np.einsum("ij,ij->i", w, pieces.axes[:, 0]), -pieces.half[:, 0], pieces.half[:, 0])
    w = w - along[:, None] * pieces.axes[:, 0]
    between = np.sqrt(np.einsum("ij,ij->i", w, w))
    girth = np.hypot(pieces.half[:, 1], pieces.half[:, 2])
    most = float(between.min()) + ball
    close = np.flatnonzero(between - girth - ball <= most)
    points, radii = _ribs(pieces.rows(close), along[close], ball + most + girth[close])
    best = _nearest(plate, points, radii)
    if best > SURE:
        skin = _skin(plate)
        for k in close:
            gap = _onto(pieces.rows(np.full(len(skin), k)), skin) - skin
            best = min(best, float(np.sqrt(np.einsum("ij,ij->i", gap, gap)).min()))
    return max(best, 0.0)


def _ribs(pieces: Pieces, middle: Floats, reach: Floats) -> tuple[Floats, Floats]:
    """Points along pieces, so far either way from a middle, each with the radius to take off.

    A round run is measured from its axis, one with sides from the lines of its corners and the middles of its sides.
    """
    points, radii = [], []
    low, high = np.maximum(middle - reach, -pieces.half[:, 0]), np.minimum(middle + reach, pieces.half[:, 0])
    for k in range(len(pieces.centre)):
        count = max(2, min(400, math.ceil(float(high[k] - low[k]) / FINEST) + 1))
        f = low[k] + np.arange(count) * ((high[k] - low[k]) / (count - 1))
        along = pieces.centre[k] + f[:, None] * pieces.axes[k, 0]
        if pieces.round[k]:
            points.append(along)
            radii.append(np.full(count, pieces.half[k, 1]))
            continue
        v, u = pieces.axes[k, 1] * pieces.half[k, 1], pieces.axes[k, 2] * pieces.half[k, 2]
        points += [along + i * v + j * u for i in (-1, 0, 1) for j in (-1, 0, 1)]
        radii.append(np.zeros(9 * count))
    return np.concatenate(points), np.concatenate(radii)


def _nearest(plate: PlateFrame, points: Floats, radii: Floats) -> float:
    """Least distance of points, less their radii, from a plate; far ones are ruled out by a box round the plate."""
    own = plate.own(points)
    low, high = plate.outline.min(axis=0), plate.outline.max(axis=0)
    beside = np.maximum(np.maximum(low - own[:, :2], own[:, :2] - high), 0.0)
    above = np.maximum(np.maximum(own[:, 2] - plate.thickness, -own[:, 2]), 0.0)
    least = np.sqrt(beside[:, 0] ** 2 + beside[:, 1] ** 2 + above**2) - radii
    first = np.argsort(least)[:16]
    most = float((_from_plate(plate, points[first]) - radii[first]).min())
    likely = np.flatnonzero(least < most)
    return min(most, float((_from_plate(plate, points[likely]) - radii[likely]).min())) if len(likely) else most


def plates_gap(a: PlateFrame, b: PlateFrame) -> float:
    """Return the distance between the surfaces of two plates [mm], 0 where they touch or overlap."""
    best = math.inf
    for one, other in ((a, b), (b, a)):
        skin = _skin(other)
        best = min(best, _nearest(one, skin, np.zeros(len(skin))))
        if best <= SURE:
            break
    return best


def plate_point_gap(plate: PlateFrame, point: Floats) -> float:
    """Return the distance of a point from a plate [mm], 0 inside."""
    return float(_from_plate(plate, point[None, :])[0])
