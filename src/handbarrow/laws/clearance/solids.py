"""Convex solids to measure between, many at once: rounds and boxes, prisms, wheels. Lengths mm.

Each is the sum of a set of corner points, a flat disc and a ball: a straight of round tube is two points and a disc,
a chord of a bend two points and a ball, a box eight points, a wheel a point, a disc and half its tyre as ball.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Centreline, Vec3, cross, crown_on_straights, layout
from handbarrow.laws.geometry.rigid import moved, turned
from handbarrow.laws.geometry.section import Section

__all__ = ["SAGITTA", "Solids", "joined", "prism", "run_solids", "wheel_solid"]

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]

SAGITTA = 0.01
"""Arcs are taken as chords that leave them by at most this [mm]."""


@dataclass(frozen=True, slots=True, eq=False)
class Solids:
    """n convex solids.

    Attributes:
        points: (n, m, 3) corner points [mm]; those that are too many for a solid repeat its first.
        ring: (n,) radius of the disc [mm].
        normal: (n, 3) its unit normal.
        ball: (n,) radius of the ball [mm].
        start: (n, 3) start of a line in the solid's middle [mm].
        along: (n, 3) from there to its end.
        girth: (n,) no point of the solid lies further from this line [mm].
        group: (n,) which go together: a straight, a bend, a plate; numbered from 0.
    """

    points: Floats
    ring: Floats
    normal: Floats
    ball: Floats
    start: Floats
    along: Floats
    girth: Floats
    group: Whole

    def __len__(self) -> int:
        """How many."""
        return len(self.ring)

    def rows(self, index: Whole) -> Solids:
        """Return some of them."""
        return Solids(
            self.points[index], self.ring[index], self.normal[index], self.ball[index],
            self.start[index], self.along[index], self.girth[index], self.group[index],
        )  # fmt: skip

    def at(self, transform: Floats) -> Solids:
        """Return them after one rigid transform (4, 4), or each after its own (n, 4, 4)."""
        if transform.ndim == 2:
            flat = moved(transform, self.points.reshape(-1, 3)).reshape(self.points.shape)
            normal, along = turned(transform, self.normal), turned(transform, self.along)
            return Solids(
                flat, self.ring, normal, self.ball, moved(transform, self.start), along, self.girth, self.group
            )
        turn, shift = transform[:, :3, :3], transform[:, :3, 3]
        back = turn.transpose(0, 2, 1)
        points = self.points @ back + shift[:, None]
        normal, along = (np.einsum("nij,nj->ni", turn, v) for v in (self.normal, self.along))
        start = np.einsum("nij,nj->ni", turn, self.start) + shift
        return Solids(points, self.ring, normal, self.ball, start, along, self.girth, self.group)

    @property
    def boxes(self) -> tuple[Floats, Floats]:
        """Low and high corners of boxes round them, each (n, 3) [mm]."""
        ends = np.stack([self.start, self.start + self.along])
        return ends.min(axis=0) - self.girth[:, None], ends.max(axis=0) + self.girth[:, None]


def joined(solids: Sequence[Solids]) -> Solids:
    """Return solids one after the other [mm]; their groups are numbered anew. Source: none needed."""
    most = max(s.points.shape[1] for s in solids)
    counts = [int(s.group.max()) + 1 if len(s) else 0 for s in solids]
    groups = [s.group + before for s, before in zip(solids, np.cumsum([0, *counts]), strict=False)]

    def all_of(name: str) -> Floats:
        out: Floats = np.concatenate([getattr(one, name) for one in solids])
        return out

    points = np.concatenate([_padded(one.points, most) for one in solids])
    ring, normal, ball = all_of("ring"), all_of("normal"), all_of("ball")
    return Solids(points, ring, normal, ball, all_of("start"), all_of("along"), all_of("girth"), np.concatenate(groups))


def _padded(points: Floats, most: int) -> Floats:
    lacking = most - points.shape[1]
    return np.concatenate([points, np.repeat(points[:, :1], lacking, axis=1)], axis=1) if lacking else points


def run_solids(
    line: Centreline, section: Section, crown: Vec3, cut: tuple[float, float], sagitta: float = SAGITTA
) -> Solids:
    """Return a run of tube or bar as solids, product axes.

    Args:
        line: Its centreline [mm].
        section: Its section; walls and hollow don't count: a tube is taken as full.
        crown: Unit direction of the section's height at the start.
        cut: By how much both ends are shorter than the centreline [mm]; below zero: longer.
        sagitta: How far chords may leave arcs [mm].

    Source: plane geometry; round arcs as chords set half of their sagitta out, good to that.
    """
    place = layout(line)
    crowns = crown_on_straights(line, crown)
    starts = np.vstack([place.start[None], place.tangents_out])
    legs = np.maximum(place.straights, 0.0)
    ends = starts + place.directions * legs[:, None]
    starts = starts.copy()
    starts[0] += place.directions[0] * min(cut[0], legs[0] - 1e-3)
    ends[-1] -= place.directions[-1] * min(cut[1], legs[-1] - 1e-3)
    real = np.flatnonzero(np.einsum("ij,ij->i", ends - starts, place.directions) > 0)
    out = [_straights(starts[k : k + 1], ends[k : k + 1], crowns[k : k + 1], section) for k in real]
    for k, angle in enumerate(place.angles):
        radius = float(place.radii[k])
        if angle <= 1e-9 or radius <= 0:
            continue
        outer = radius + (0.0 if section.is_round else section.outside / 2)
        count = max(1, math.ceil(float(angle) / (2 * math.acos(max(1 - sagitta / outer, -1.0)))))
        phi = np.arange(count + 1)[:, None] * (float(angle) / count)
        n, spoke = place.normals[k], (place.tangents_in[k] - place.centres[k]) / radius
        side = cross(n, spoke)
        bulge = radius + (sagitta / 2 if section.is_round else 0.0)
        ring = place.centres[k] + bulge * (np.cos(phi) * spoke + np.sin(phi) * side)
        half = phi[:-1] + float(angle) / count / 2
        still = n * float(n @ crowns[k])
        up = still + np.cos(half) * (crowns[k] - still) + np.sin(half) * cross(n, crowns[k])
        out.append(_chords(ring, section) if section.is_round else _straights(ring[:-1], ring[1:], up, section))
    return joined(out)


def _chords(ring: Floats, section: Section) -> Solids:
    """Chords of a bend of round tube: its ends lie in its neighbours, so that balls may close them."""
    a, b = ring[:-1], ring[1:]
    r = np.full(len(a), section.outside / 2)
    return Solids(np.stack([a, b], axis=1), np.zeros(len(a)), _unit(b - a), r, a, b - a, r, _one(a))


def _straights(a: Floats, b: Floats, up: Floats, section: Section) -> Solids:
    t = _unit(b - a)
    zero = np.zeros(len(a))
    if section.is_round:
        r = np.full(len(a), section.outside / 2)
        return Solids(np.stack([a, b], axis=1), r, t, zero, a, b - a, r, _one(a))
    up = _unit(up - t * np.einsum("ij,ij->i", up, t)[:, None])
    side = cross(t, up)
    h, w = section.height / 2, section.width / 2
    blocks = [(0.0, 0.0, h, w)]
    if section.shape == "angle":
        wall = section.wall / 2
        blocks = [(h, wall, h, wall), (wall, w, wall, w)]
    out = []
    for dv, du, hv, hu in blocks:
        off = up * dv + side * du
        corners = [off + i * hv * up + j * hu * side for i in (-1, 1) for j in (-1, 1)]
        points = np.stack([end + corner for end in (a, b) for corner in corners], axis=1)
        girth = np.full(len(a), math.hypot(hv, hu))
        out.append(Solids(points, zero, t, zero, a + off, b - a, girth, _one(a)))
    return _together(joined(out))


def _one(rows: Floats) -> Whole:
    return np.zeros(len(rows), dtype=np.intp)


def _together(solids: Solids) -> Solids:
    return replace(solids, group=np.zeros(len(solids), dtype=np.intp))


def _unit(v: Floats) -> Floats:
    out: Floats = v / np.linalg.norm(v, axis=-1, keepdims=True)
    return out


def wheel_solid(centre: Floats, axis: Floats, radius: float, width: float) -> Solids:
    """Return a wheel as a full disc whose rim is rounded by its tyre [mm]; its hub's ends don't count.

    Source: plane geometry; a tyre's section taken as a circle.
    """
    one = np.array([radius - width / 2])
    n = _unit(np.asarray(axis, float))[None]
    at = np.asarray(centre, float)[None]
    return Solids(at[:, None], one, n, np.array([width / 2]), at, np.zeros((1, 3)), np.array([radius]), _one(at))


def prism(outline: Floats, origin: Floats, axes: Floats, thickness: float) -> Solids:
    """Return a plate as prisms on the convex pieces of its outline.

    Args:
        outline: (m, 2) corners in order, either way round [mm].
        origin: Where its zero lies [mm].
        axes: (3, 3) unit x, y, z of the plate as rows; the thickness goes along z.
        thickness: [mm].

    Source: plane geometry; pieces by cutting ears off (G. Meisters, from memory).
    """
    turn = float(np.sum(outline[:, 0] * np.roll(outline[:, 1], -1) - outline[:, 1] * np.roll(outline[:, 0], -1)))
    ring = outline if turn >= 0 else outline[::-1]
    out: list[Solids] = []
    for piece in _convex(ring):
        flat = np.concatenate([np.column_stack([piece, np.full(len(piece), z)]) for z in (0.0, thickness)])
        points = origin + flat @ axes
        middle = points.mean(axis=0)
        long = points - middle
        _, _, ways = np.linalg.svd(long, full_matrices=False)
        f = long @ ways[0]
        start, along = middle + ways[0] * f.min(), ways[0] * (f.max() - f.min())
        girth = np.linalg.norm(long - f[:, None] * ways[0], axis=1).max()
        zero = np.zeros(1)
        one = Solids(points[None], zero, axes[2][None], zero, start[None], along[None], np.array([girth]), _one(zero))
        out.append(one)
    return _together(joined(out))


def _convex(ring: Floats) -> list[Floats]:
    """Convex pieces of a polygon that runs counter-clockwise: itself, or triangles."""
    if _turns(ring).min() >= -1e-9:
        return [ring]
    left = ring
    out: list[Floats] = []
    while len(left) > 3:
        turns = _turns(left)
        for i in np.argsort(-turns, kind="stable"):
            a, b, c = left[i - 1], left[i], left[(i + 1) % len(left)]
            if turns[i] <= 0:
                return [*out, left]  # it crosses itself; the outline has a finding of its own
            others = np.delete(left, [i - 1 if i else len(left) - 1, i, (i + 1) % len(left)], axis=0)
            if not _inside(others, a, b, c):
                out.append(np.array([a, b, c]))
                left = np.delete(left, i, axis=0)
                break
        else:
            return [*out, left]
        if _turns(left).min() >= -1e-9:
            break
    return [*out, left]


def _turns(ring: Floats) -> Floats:
    """Twice the area of the triangle at each corner: above zero where it turns left."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    out: Floats = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return out


def _inside(points: Floats, a: Floats, b: Floats, c: Floats) -> bool:
    """Whether any of the points lies in a triangle, its edges among it."""
    if not len(points):
        return False
    sides = [
        (q[0] - p[0]) * (points[:, 1] - p[1]) - (q[1] - p[1]) * (points[:, 0] - p[0])
        for p, q in ((a, b), (b, c), (c, a))
    ]
    return bool(np.any(np.min(sides, axis=0) >= -1e-9))
