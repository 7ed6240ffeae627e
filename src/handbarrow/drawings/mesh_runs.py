"""Tubes and bars as closed skins: bends as arcs, ends with their copes inside and outside, normals smooth on rounds.

Rings of points stand square to the run; stations round the section are the same in every ring. The first and last
ring lie on the cuts. Lengths mm, product axes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from handbarrow.drawings.mesh_flat import Ints, Skin, joined, triangles_of
from handbarrow.drawings.mesh_openings import BarOpening, Cells, Openings, Rings, cut_cells, openings_of
from handbarrow.laws.geometry.path import Centreline, Floats, Vec3, cross, crown_on_straights, layout
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import Outline, outline

__all__ = ["Cut", "RunShape", "run_skin"]

ROUND_STEPS = (12, 18, 20, 24, 30, 36, 40, 45, 60, 72, 90, 120, 180, 360)
"""Stations round a round section: parts of the 360 that a cut is worked out at."""

APART = 1e-5
"""Stations nearer than this are one [mm]."""


@dataclass(frozen=True, slots=True)
class Cut:
    """The cut at an end: h [mm] at the stations of its section's outline, outside and inside of the wall.

    Empty: square, `at` [mm] into the run. A solid section has no inside.
    """

    outer: tuple[float, ...] = ()
    inner: tuple[float, ...] = ()
    at: float = 0.0


@dataclass(frozen=True, slots=True)
class RunShape:
    """A run as it is made: all that its skin depends on."""

    section: Section
    line: Centreline
    crown: Vec3
    start: Cut = Cut()
    end: Cut = Cut()
    openings: tuple[BarOpening, ...] = ()


class _Stations(NamedTuple):
    """Stations round a section: where they stand (outside, inside), and h of both cuts at each of them.

    `left`, `right`: normals (n, 2) in (u, v) at the start and the end of the strip that leaves each station.
    """

    s: Floats
    outer: Floats
    inner: Floats | None
    left: Floats
    right: Floats
    cuts: Floats
    """(4, n): start outside, start inside, end outside, end inside."""


@lru_cache(maxsize=160)
def run_skin(shape: RunShape, chord: float) -> Skin:
    """Return the skin of a tube or bar.

    Args:
        shape: The run.
        chord: How far a chord may lie from the true curve [mm].
    """
    ring, holes = outline(shape.section), openings_of(shape.section, shape.line, shape.openings, chord)
    stations = _stations(shape, ring, holes, chord)
    rings = _rings(shape, chord)
    cells = cut_cells(stations.s, ring.girth, rings, holes)
    outer = _grid(rings, stations.outer, stations.cuts[0], stations.cuts[2])
    skins = [_skin(outer, rings, stations, cells, 1.0)]
    if stations.inner is None:
        skins += [_closed(outer[k], rings, way, shape.section.is_round) for k, way in ((0, -1.0), (-1, 1.0))]
        return joined([*skins, *cells.through(outer)])
    inner = _grid(rings, stations.inner, stations.cuts[1], stations.cuts[3])
    skins.append(_skin(inner, rings, stations, cells, -1.0))
    skins += [_rim(outer[0], inner[0], -1.0), _rim(outer[-1], inner[-1], 1.0)]
    return joined([*skins, *cells.walls(outer, inner)])


# ------------------------------------------------------------------------------------------------ stations
def _stations(shape: RunShape, ring: Outline, holes: Openings, chord: float) -> _Stations:
    table = _table(shape, ring)
    kept = _kept(shape.section, ring, table, chord)
    s = np.unique(np.concatenate([ring.s[kept][:-1], holes.stations % ring.girth]))
    s = s[np.diff(s, append=ring.girth) > APART]
    s[0] = 0.0 if s[0] < APART else s[0]
    rows = np.array([np.interp(s, ring.s, column) for column in table.T])
    outer = rows[:2].T
    inner = None if ring.inner_uv is None else rows[2:4].T
    if shape.section.is_round:
        phi = s / ring.s[-1] * 2 * math.pi
        out = np.column_stack((np.sin(phi), np.cos(phi)))
        r = shape.section.height / 2
        outer, inner = r * out, None if inner is None else (r - shape.section.wall) * out
        left, right = out, np.roll(out, -1, axis=0)
    elif inner is not None:
        out = outer - inner
        out = out / np.linalg.norm(out, axis=1)[:, None]
        left, right = out, np.roll(out, -1, axis=0)
    else:
        way = np.roll(outer, -1, axis=0) - outer
        left = np.column_stack((-way[:, 1], way[:, 0])) / np.linalg.norm(way, axis=1)[:, None]
        right = left
    return _Stations(s, outer, inner, left, right, rows[4:])


def _table(shape: RunShape, ring: Outline) -> Floats:
    """(n, 8) u and v outside, u and v inside, h of the start outside and inside, of the end outside and inside."""
    n = len(ring.s)
    inner = ring.uv if ring.inner_uv is None else ring.inner_uv
    columns = [ring.uv, inner]
    place = layout(shape.line)
    rooms = (float(place.straights[0]), float(place.straights[-1]))
    for cut, room in ((shape.start, rooms[0]), (shape.end, rooms[1])):
        outside = np.asarray(cut.outer) if len(cut.outer) == n else np.full(n, cut.at)
        inside = np.asarray(cut.inner) if len(cut.inner) == n else outside
        most = room if len(place.straights) > 1 else math.inf
        columns.append(np.minimum(np.column_stack((outside, inside)), most))
    return np.concatenate(columns, axis=1)


def _kept(section: Section, ring: Outline, table: Floats, chord: float) -> Ints:
    """Which stations are kept, so that nothing between them lies further from a straight line than the chord."""
    n = len(ring.s)
    mask = np.zeros(n, dtype=bool)
    mask[[0, n - 1]] = True
    if section.is_round:
        least = math.pi / math.acos(max(0.0, 1 - chord / (section.height / 2)))
        mask[:: 360 // next((k for k in ROUND_STEPS if k >= least), 360)] = True
        table = table[:, 4:]
    for _ in range(12):
        kept = np.flatnonzero(mask)
        straight = np.array([np.interp(ring.s, ring.s[kept], column[kept]) for column in table.T]).T
        off = np.abs(table - straight).max(axis=1)
        worst = np.maximum.reduceat(off, kept[:-1])
        far = np.flatnonzero(worst > (chord if section.is_round else min(chord, 0.02)))
        if not len(far):
            break
        for k in far:
            mask[kept[k] + int(np.argmax(off[kept[k] : kept[k + 1]]))] = True
    return np.flatnonzero(mask)


# ------------------------------------------------------------------------------------------------ rings
def _rings(shape: RunShape, chord: float) -> Rings:
    """Rings at both ends of every straight and along every arc."""
    line, place = shape.line, layout(shape.line)
    crowns = crown_on_straights(line, shape.crown)
    at, v, t, along = [place.start[None]], [crowns[:1]], [place.directions[:1]], [np.zeros(1)]
    run = 0.0
    for k, angle in enumerate(place.angles.tolist()):
        r, n = float(place.radii[k]), place.normals[k]
        run += float(place.straights[k])
        reach = r + shape.section.outside
        steps = max(2, math.ceil(angle / (2 * math.acos(max(0.5, 1 - chord / reach)))))
        phi = np.arange(steps + 1) * (angle / steps)
        spoke, way = place.tangents_in[k] - place.centres[k], place.directions[k]
        at.append(place.centres[k] + _turned(n, phi, spoke))
        v.append(_turned(n, phi, crowns[k]))
        t.append(_turned(n, phi, way))
        along.append(run + phi * r)
        run += r * angle
    run += float(place.straights[-1])
    at.append(place.end[None])
    v.append(crowns[-1:])
    t.append(place.directions[-1:])
    along.append(np.array([run]))
    return _apart(np.concatenate(at), np.concatenate(v), np.concatenate(t), np.concatenate(along))


def _apart(at: Floats, v: Floats, t: Floats, along: Floats) -> Rings:
    """Leave out rings that lie on the one before (a straight of no length), but never the first and the last."""
    keep = np.concatenate(([True], np.diff(along) > 1e-6))
    if not keep[-1]:
        keep[np.flatnonzero(keep)[-1]] = len(at) < 3
        keep[-1] = True
    at, v, t, along = at[keep], v[keep], t[keep], along[keep]
    return Rings(at, v, cross(t, v), t, along)


def _turned(axis: Floats, phi: Floats, way: Floats) -> Floats:
    """A direction turned about a unit axis by each angle, (k, 3). Source: Rodrigues."""
    still, c, s = axis * float(axis @ way), np.cos(phi)[:, None], np.sin(phi)[:, None]
    out: Floats = still + c * (way - still) + s * cross(axis, way)
    return out


def _grid(rings: Rings, uv: Floats, start: Floats, end: Floats) -> Floats:
    """(rings, stations, 3) points; the first and last ring moved onto their cuts."""
    grid: Floats = rings.at[:, None] + uv[:, :1] * rings.u[:, None] + uv[:, 1:] * rings.v[:, None]
    grid[0] += start[:, None] * rings.t[0]
    grid[-1] -= end[:, None] * rings.t[-1]
    return grid


# ------------------------------------------------------------------------------------------------ skins
def _skin(grid: Floats, rings: Rings, stations: _Stations, cells: Cells, way: float) -> Skin:
    """The long side of a run, outwards (way 1) or into the tube (way -1)."""
    points, normals = [grid.reshape(-1, 3)], [_lean(rings, stations.left * way).reshape(-1, 3)]
    k, n = grid.shape[:2]
    here = np.arange(k)[:, None] * n + np.arange(n)
    there = np.roll(here, -1, axis=1)
    if stations.left is stations.right or not np.array_equal(stations.right, np.roll(stations.left, -1, axis=0)):
        points.append(np.roll(grid, -1, axis=1).reshape(-1, 3))
        normals.append(_lean(rings, stations.right * way).reshape(-1, 3))
        there = here + k * n
    whole = cells.whole(k - 1, n)
    a, b, c, d = here[:-1][whole], there[:-1][whole], there[1:][whole], here[1:][whole]
    tri = np.concatenate([np.column_stack((a, b, c)), np.column_stack((a, c, d))])
    side = Skin(np.concatenate(points), np.concatenate(normals), tri if way > 0 else tri[:, ::-1])
    return joined([side, *cells.pieces(grid, (rings.u, rings.v), (stations.left, stations.right), way)])


def _lean(rings: Rings, uv: Floats) -> Floats:
    out: Floats = uv[:, :1] * rings.u[:, None] + uv[:, 1:] * rings.v[:, None]
    return out


def _rim(outer: Floats, inner: Floats, way: float) -> Skin:
    """The cut face of a tube's wall: -1 at the start, 1 at the end."""
    n = len(outer)
    a = np.arange(n)
    b = np.roll(a, -1)
    tri = np.concatenate([np.column_stack((a, a + n, b)), np.column_stack((b, a + n, b + n))])
    along = np.roll(outer, -1, axis=0) - np.roll(outer, 1, axis=0)
    normals = cross(inner - outer, along) * -way
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    return Skin(np.concatenate([outer, inner]), np.concatenate([normals, normals]), tri if way < 0 else tri[:, ::-1])


def _closed(ring: Floats, rings: Rings, way: float, is_round: bool) -> Skin:
    """The cut face of a solid bar. On a round one triangles run along the straights of a cope: it stays a cylinder."""
    k = 0 if way < 0 else -1
    at = ring - rings.at[k]
    uv = np.column_stack((at @ rings.u[k], at @ rings.v[k]))
    tri = _zipped(uv, at @ rings.t[k] * -way) if is_round else len(uv) - 1 - triangles_of(uv[::-1])
    p = ring[tri]
    face = cross(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0])
    wrong = face @ rings.t[k] * way < 0
    tri[wrong] = tri[wrong][:, ::-1]
    face[wrong] *= -1
    normals = np.zeros_like(ring)
    np.add.at(normals, tri.ravel(), np.repeat(face, 3, axis=0))
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    return Skin(ring, normals, tri)


def _zipped(uv: Floats, h: Floats) -> Ints:
    """Triangles between two sides of a round outline, along the way in which h is deepest: that of a cope."""
    phi = np.arctan2(uv[:, 0], uv[:, 1])
    base = np.column_stack((np.ones_like(phi), np.cos(phi), np.sin(phi), np.cos(2 * phi), np.sin(2 * phi)))
    fit = np.linalg.lstsq(base, h, rcond=None)[0]
    ruled = 0.5 * math.atan2(float(fit[4]), float(fit[3]))
    across = uv[:, 0] * math.cos(ruled) - uv[:, 1] * math.sin(ruled)
    n, first, last = len(uv), int(np.argmin(across)), int(np.argmax(across))
    one = [(first + i) % n for i in range((last - first) % n + 1)]
    two = [(first - i) % n for i in range((first - last) % n + 1)]
    out, i, j = [], 0, 0
    while i < len(one) - 1 or j < len(two) - 1:
        if j == len(two) - 1 or (i < len(one) - 1 and across[one[i + 1]] <= across[two[j + 1]]):
            out.append((one[i], one[i + 1], two[j]))
            i += 1
        else:
            out.append((one[i], two[j + 1], two[j]))
            j += 1
    return np.array([t for t in out if len(set(t)) == 3], dtype=np.int64)
