"""Hidden-line views: which lines of a set of solids are seen, found by geometry and not by pixels.

Orthographic. A line's point is seen unless a ray from it towards the viewer meets a solid. Round runs hide as exact
cylinders (bends as short chords), the rest as triangles. Each change from seen to hidden is closed in on by halving.

What hides is made a hair smaller than what is drawn (SHRINK), so that a tube's own chords do not hide its outline.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.drawings.solids import Mesh, Round, Solid
from handbarrow.laws.geometry.path import Floats, Vec3

__all__ = ["SeenLines", "View", "look", "named_view", "view_along"]

SHRINK = 0.975
SKIN = 0.06
"""Part of the radius by which a surface must lie nearer to hide a point."""
FLAT_SKIN = 0.15
"""The same for flat faces [mm]."""
HALVINGS = 6
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class View:
    """A direction of sight: unit vectors to the right and up on the paper, and towards the viewer."""

    right: Vec3
    up: Vec3
    towards: Vec3

    @property
    def matrix(self) -> Floats:
        """(3, 3): rows right, up, towards."""
        return np.array([self.right, self.up, self.towards], dtype=float)


def view_along(towards: Sequence[float] | Floats, up: Sequence[float] | Floats = (0.0, 0.0, 1.0)) -> View:
    """Return the view of a viewer who stands in the direction `towards`, `up` pointing up on the paper."""
    w = np.asarray(towards, dtype=float)
    w = w / np.linalg.norm(w)
    r = np.cross(np.asarray(up, dtype=float), w)
    if float(np.linalg.norm(r)) < 1e-9:
        r = np.cross((0.0, 1.0, 0.0) if abs(w[1]) < 0.9 else (1.0, 0.0, 0.0), w)
    r = r / np.linalg.norm(r)
    u = np.cross(w, r)
    return View(*((float(a[0]), float(a[1]), float(a[2])) for a in (r, u, w)))


def named_view(name: str) -> View:
    """Return a view by its name: `front` (from ahead), `side` (from the right), `top`, `isometric`.

    >>> named_view("top").right
    (1.0, 0.0, 0.0)
    """
    if name == "front":
        return view_along((1.0, 0.0, 0.0))
    if name == "side":
        return view_along((0.0, -1.0, 0.0))
    if name == "top":
        return view_along((0.0, 0.0, 1.0), (0.0, 1.0, 0.0))
    if name == "isometric":
        return view_along((1.0, -1.0, 1.0))
    raise ValueError(f"no view of that name: {name}; there are front, side, top, isometric")


@dataclass(frozen=True, slots=True, eq=False)
class SeenLines:
    """Lines of a view in real mm, x to the right and y UP: (part, polyline (k, 2)) for seen and for hidden ones."""

    seen: tuple[tuple[str, Floats], ...]
    hidden: tuple[tuple[str, Floats], ...]
    low: tuple[float, float]
    high: tuple[float, float]


def look(solids: Iterable[Solid], view: View, hidden: bool = False, step: float | None = None) -> SeenLines:
    """Return the lines of a view.

    Args:
        solids: What is looked at.
        view: Where from.
        hidden: Whether to return hidden lines too.
        step: Distance of the points that are tried [mm]; None: by the size of the whole.

    Returns:
        Seen and hidden polylines; `low` and `high` are the corners of all of them.
    """
    m = view.matrix
    curves: list[tuple[str, Floats]] = []
    cylinders: list[Floats] = []
    triangles: list[Floats] = []
    for solid in solids:
        if isinstance(solid, Round):
            curves += [(solid.name, c) for c in _round_curves(solid, m)]
            cylinders.append(_round_cylinders(solid, m))
        else:
            curves += [(solid.name, c) for c in _mesh_curves(solid, m)]
            triangles.append((solid.points @ m.T)[solid.triangles])
    curves = [(name, c) for name, c in curves if len(c) > 1]
    if not curves:
        return SeenLines((), (), (0.0, 0.0), (0.0, 0.0))
    every = np.concatenate([c for _, c in curves])[:, :2]
    low, high = every.min(axis=0), every.max(axis=0)
    span = float(np.max(high - low)) or 1.0
    tried = step or max(span / 320, 0.5)
    hides = _Hiders(cylinders, triangles, low, span)
    seen, unseen = _split(curves, hides, tried)
    return SeenLines(
        tuple(seen), tuple(unseen) if hidden else (), (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))
    )


# ------------------------------------------------------------------------------------------------ outlines
def _round_curves(solid: Round, m: Floats) -> list[Floats]:
    """Outlines of a round run in view axes, its end rings, and a ring where it is seen end on."""
    p, t = solid.spine @ m.T, solid.tangents @ m.T
    out = [ring @ m.T for ring in solid.rings]
    across = np.column_stack([-t[:, 1], t[:, 0], np.zeros(len(t))])
    size = np.linalg.norm(across, axis=1)
    fine = size > 1e-6
    n = np.where(fine[:, None], across / np.where(fine, size, 1.0)[:, None], 0.0)
    cut = np.flatnonzero(~fine[1:] | ~fine[:-1] | (np.sum(n[1:] * n[:-1], axis=1) < 0.3))
    for lo, hi in zip([0, *(cut + 1)], [*(cut + 1), len(p)], strict=True):
        if hi - lo > 1:
            for side in (n, -n):
                line = p[lo:hi] + solid.radius * side[lo:hi]
                for i, cope in zip((0, len(p) - 1), solid.copes, strict=True):
                    if cope is not None and lo <= i < hi:
                        line[i - lo] += _cut_back(cope @ m.T - p[i], t[i], side[i]) * t[i]
                out.append(line)
    ends_on = sorted({int(i if size[i] < size[i + 1] else i + 1) for i in cut})
    phi = np.linspace(0, 2 * math.pi, 37)
    for i in ends_on:
        ring = np.column_stack([np.cos(phi), np.sin(phi), np.zeros(37)]) * solid.radius
        out.append(p[i] + ring)
    return out


def _cut_back(cope: Floats, way: Floats, side: Floats) -> float:
    """How far along a run its cut lies on one side: `cope` (m, 3) from the end of its spine."""
    along = cope @ way
    (a, b, c), (u, v, w) = way.tolist(), side.tolist()
    angle = np.arctan2(cope @ (b * w - c * v, c * u - a * w, a * v - b * u), cope @ side)
    return float(np.interp(0.0, angle, along, period=2 * math.pi))


def _round_cylinders(solid: Round, m: Floats) -> Floats:
    """(k, 7): ends a, b and radius of the cylinders that stand for a run, run on at the joints so that none gapes."""
    p = solid.spine @ m.T
    size = np.linalg.norm(np.diff(p, axis=0), axis=1)
    p = np.concatenate([p[:1], p[1:][size > 1e-9]])
    e = np.diff(p, axis=0)
    e = e / np.linalg.norm(e, axis=1)[:, None]
    cosine = np.clip(np.sum(e[1:] * e[:-1], axis=1), -0.5, 1.0)
    on = solid.radius * np.sqrt((1 - cosine) / (1 + cosine))
    is_ring = math.dist(p[0], p[-1]) < 1e-6
    first, last = (on[:1], on[-1:]) if is_ring else (np.zeros(1), np.zeros(1))
    a = p[:-1] - e * np.concatenate([first, on])[:, None]
    b = p[1:] + e * np.concatenate([on, last])[:, None]
    return np.hstack([a, b, np.full((len(a), 1), solid.radius)])


def _mesh_curves(solid: Mesh, m: Floats) -> list[Floats]:
    """Edges of a mesh in view axes: the sharp ones, chained where they run on; the smooth ones on the outline."""
    p = solid.points @ m.T
    out = [c @ m.T for c in solid.curves]
    for chain in _chains(solid.sharp):
        out.append(p[chain])
    if solid.smooth:
        edges = np.array(solid.smooth)
        corner = np.array([(f[0], f[1], f[2]) for f in solid.faces])
        facing = np.cross(p[corner[:, 1]] - p[corner[:, 0]], p[corner[:, 2]] - p[corner[:, 1]])[:, 2]
        change = facing[edges[:, 2]] * facing[edges[:, 3]] < 0
        out += [p[edges[i, :2]] for i in np.flatnonzero(change)]
    return out


def _chains(edges: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Join edges given one after the other into chains of corners."""
    out: list[list[int]] = []
    for a, b in edges:
        if out and out[-1][-1] == a:
            out[-1].append(b)
        else:
            out.append([a, b])
    return out


# ------------------------------------------------------------------------------------------------ what hides
class _Hiders:
    """All cylinders and triangles of a view, sorted into the cells of a grid on the paper."""

    def __init__(self, cylinders: list[Floats], triangles: list[Floats], low: Floats, span: float) -> None:
        self.low, self.count = low, 64
        self.cell = span / self.count * 1.0001
        rows = np.concatenate(cylinders) if cylinders else np.zeros((0, 7))
        self.cylinders = _Cylinders(_pieces(rows, 3 * self.cell))
        self.triangles = _Triangles(np.concatenate(triangles) if triangles else np.zeros((0, 3, 3)))
        self.cylinder_cells = self._sorted(self.cylinders.low, self.cylinders.high[:, :2])
        self.triangle_cells = self._sorted(self.triangles.low, self.triangles.high[:, :2])

    def _sorted(self, low: Floats, high: Floats) -> tuple[Ints, Ints]:
        """Return (starts of each cell, hider numbers sorted by cell) for boxes on the paper."""
        n = self.count
        if not len(low):
            return np.zeros(n * n + 1, dtype=np.int64), np.zeros(0, dtype=np.int64)
        a = np.clip(np.floor((low - self.low) / self.cell), 0, n - 1).astype(np.int64)
        b = np.clip(np.floor((high - self.low) / self.cell), 0, n - 1).astype(np.int64)
        wide = b - a + 1
        total = wide[:, 0] * wide[:, 1]
        who = np.repeat(np.arange(len(a)), total)
        rank = np.arange(len(who)) - np.repeat(np.cumsum(total) - total, total)
        x, y = a[who, 0] + rank % wide[who, 0], a[who, 1] + rank // wide[who, 0]
        cell = y * n + x
        order = np.argsort(cell, kind="stable")
        starts = np.searchsorted(cell[order], np.arange(n * n + 1))
        return starts, who[order]

    def hidden(self, p: Floats) -> Bools:
        """Whether each point (k, 3) is hidden."""
        n = self.count
        at = np.clip(np.floor((p[:, :2] - self.low) / self.cell), 0, n - 1).astype(np.int64)
        cell = at[:, 1] * n + at[:, 0]
        out = np.zeros(len(p), dtype=bool)
        point, who = _before(p, self.cylinders, *_pairs(cell, self.cylinder_cells))
        if len(point):
            out[point[self.cylinders.hide(p[point], who)]] = True
        point, who = _before(p, self.triangles, *_pairs(np.where(out, -1, cell), self.triangle_cells))
        if len(point):
            out[point[self.triangles.hide(p[point], who)]] = True
        return out


def _pieces(rows: Floats, longest: float) -> Floats:
    """Cut cylinders into pieces whose run on the paper is at most `longest`, so that each lies in few cells."""
    if not len(rows):
        return rows
    count = np.maximum(1, np.ceil(np.linalg.norm(rows[:, 3:5] - rows[:, 0:2], axis=1) / longest)).astype(np.int64)
    who = np.repeat(np.arange(len(rows)), count)
    rank = (np.arange(len(who)) - np.repeat(np.cumsum(count) - count, count))[:, None]
    a, step = rows[who, 0:3], (rows[who, 3:6] - rows[who, 0:3]) / count[who][:, None]
    return np.hstack([a + step * rank, a + step * (rank + 1), rows[who, 6:7]])


def _pairs(cell: Ints, cells: tuple[Ints, Ints]) -> tuple[Ints, Ints]:
    """Pairs (point, hider) of points with the hiders of their cell; a point in cell -1 is left out."""
    starts, who = cells
    count = np.where(cell < 0, 0, starts[cell + 1] - starts[cell])
    point = np.repeat(np.arange(len(cell)), count)
    first = np.cumsum(count) - count
    return point, who[np.arange(len(point)) + (starts[cell] - first)[point]]


def _before(p: Floats, hiders: _Cylinders | _Triangles, point: Ints, who: Ints) -> tuple[Ints, Ints]:
    """Those pairs in which the hider reaches before the point and its bounds on the paper hold it."""
    for side in (2, 0, 1):
        place = p[:, side][point]
        keep = hiders.high[:, side][who] >= place
        if side != 2:
            keep &= hiders.low[:, side][who] <= place
        point, who = point[keep], who[keep]
    return point, who


class _Cylinders:
    """Round pieces (k, 7) as ends and radius; `low` on the paper and `high` in space bound what they can hide."""

    def __init__(self, rows: Floats) -> None:
        self.start, self.radius = rows[:, 0:3], rows[:, 6]
        axis = rows[:, 3:6] - rows[:, 0:3]
        self.size = np.linalg.norm(axis, axis=1)
        self.way = axis / self.size[:, None]
        self.low = np.minimum(rows[:, 0:2], rows[:, 3:5]) - rows[:, 6:7]
        self.high = np.maximum(rows[:, 0:3], rows[:, 3:6]) + rows[:, 6:7]

    def hide(self, p: Floats, who: Ints) -> Bools:
        """Whether each cylinder lies before its point: a quadratic for its side, planes for its ends."""
        start, e, size, radius = self.start[who], self.way[who], self.size[who], self.radius[who]
        r = radius * SHRINK
        near = p[:, 2] + SKIN * radius
        q = p - start
        q[:, 2] = -start[:, 2]
        along = np.sum(q * e, axis=1)
        ez = e[:, 2]
        a = np.maximum(1.0 - ez * ez, 1e-12)
        b = q[:, 2] - along * ez
        qq = np.sum(q * q, axis=1)
        d = b * b - a * (qq - along * along - r * r)
        z = (-b + np.sqrt(np.maximum(d, 0.0))) / a
        s = along + z * ez
        out = (d > 0) & (s >= 0) & (s <= size) & (z > near) & (a > 1e-9)
        tilted = np.abs(ez) > 1e-9
        safe = np.where(tilted, ez, 1.0)
        for end in (np.zeros_like(size), size):
            zc = (end - along) / safe
            flat = qq + 2 * zc * q[:, 2] + zc * zc - end * end
            out |= tilted & (flat < r * r) & (zc > near)
        return np.asarray(out)


class _Triangles:
    """Flat pieces (k, 3, 3); `low` on the paper and `high` in space bound what they can hide."""

    def __init__(self, corners: Floats) -> None:
        a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
        self.at, self.ab, self.ac = a, b - a, c - a
        det = self.ab[:, 0] * self.ac[:, 1] - self.ab[:, 1] * self.ac[:, 0]
        self.solid = np.abs(det) > 1e-9
        self.det = np.where(self.solid, det, 1.0)
        low, high = corners.min(axis=1), corners.max(axis=1)
        hair = 1e-5 * (high - low) + 1e-6
        self.low, self.high = (low - hair)[:, :2], high + hair

    def hide(self, p: Floats, who: Ints) -> Bools:
        """Whether each triangle lies before its point."""
        ap, ab, ac, det = p - self.at[who], self.ab[who], self.ac[who], self.det[who]
        u = (ap[:, 0] * ac[:, 1] - ap[:, 1] * ac[:, 0]) / det
        v = (ab[:, 0] * ap[:, 1] - ab[:, 1] * ap[:, 0]) / det
        z = self.at[who, 2] + u * ab[:, 2] + v * ac[:, 2]
        tiny = 1e-6
        in_it = (u > -tiny) & (v > -tiny) & (u + v < 1 + tiny)
        return np.asarray(self.solid[who] & in_it & (z > p[:, 2] + FLAT_SKIN))


# ------------------------------------------------------------------------------------------------ seen or hidden
Named = list[tuple[str, Floats]]


def _split(curves: Sequence[tuple[str, Floats]], hides: _Hiders, step: float) -> tuple[Named, Named]:
    """Split curves into seen and hidden polylines."""
    corners = np.concatenate([c for _, c in curves])
    counts = np.array([len(c) for _, c in curves])
    first = np.cumsum(counts) - counts
    # every segment of every curve, tried in the middle of pieces no longer than `step`
    segment = np.setdiff1d(np.arange(len(corners)), first + counts - 1)
    curve_of = np.repeat(np.arange(len(curves)), counts)
    run = corners[segment + 1] - corners[segment]
    pieces = np.maximum(1, np.ceil(np.linalg.norm(run[:, :2], axis=1) / step)).astype(np.int64)
    seg = np.repeat(np.arange(len(segment)), pieces)
    rank = np.arange(len(seg)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    place = segment[seg] + (rank + 0.5) / pieces[seg]
    unseen = hides.hidden(_at(corners, place))
    curve = curve_of[segment[seg]]
    change = np.flatnonzero((unseen[1:] != unseen[:-1]) & (curve[1:] == curve[:-1]))
    turns = _closed_in(corners, place[change], place[change + 1], unseen[change], hides)
    seen: Named = []
    hidden: Named = []
    turn_curve = curve[change]
    begin = np.searchsorted(curve, np.arange(len(curves)))
    left = np.searchsorted(turn_curve, np.arange(len(curves) + 1))
    turned = _at(corners, turns)
    for i, (name, _) in enumerate(curves):
        state, ends = bool(unseen[begin[i]]), slice(left[i], left[i + 1])
        a, b = first[i], first[i] + counts[i]
        places = [float(a), *turns[ends].tolist(), float(b - 1)]
        points = np.concatenate([corners[a : a + 1], turned[ends], corners[b - 1 : b]])[:, :2]
        for k, (lo, hi) in enumerate(itertools.pairwise(places)):
            if hi - lo > 1e-9:
                inner = corners[math.floor(lo) + 1 : math.ceil(hi), :2]
                (hidden if state else seen).append(
                    (name, np.concatenate([points[k : k + 1], inner, points[k + 1 : k + 2]]))
                )
            state = not state
    return seen, hidden


def _at(corners: Floats, place: Floats) -> Floats:
    """Points at places: corner number + part of the way to the next corner."""
    k = np.minimum(np.floor(place).astype(np.int64), len(corners) - 2)
    f = (place - k)[:, None]
    return np.asarray(corners[k] * (1 - f) + corners[k + 1] * f)


def _closed_in(corners: Floats, lo: Floats, hi: Floats, before: Bools, hides: _Hiders) -> Floats:
    """Halve each stretch in which seen turns to hidden, or back."""
    if not len(lo):
        return lo
    for _ in range(HALVINGS):
        middle = (lo + hi) / 2
        same = hides.hidden(_at(corners, middle)) == before
        lo, hi = np.where(same, middle, lo), np.where(same, hi, middle)
    return np.asarray((lo + hi) / 2)
