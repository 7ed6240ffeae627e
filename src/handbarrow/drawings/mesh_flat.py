"""Polygons with holes as triangles, and plates and turned bodies as closed skins. Lengths mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Floats, Vec2

__all__ = ["Ints", "Skin", "joined", "plate_skin", "triangles_of", "turned_skin"]

Ints = NDArray[np.int64]
Loop = tuple[Vec2, ...]

CREASE_RAD = math.radians(25)
"""Neighbouring sides of an outline that turn by more than this meet in a sharp edge [rad]."""


class Skin(NamedTuple):
    """A closed skin: points (n, 3) [mm], unit normals (n, 3) outwards, triangles (m, 3) counter-clockwise from outside.

    Along a sharp edge, points stand twice, to the last bit in the same place.
    """

    points: Floats
    normals: Floats
    triangles: Ints


def joined(skins: Sequence[Skin]) -> Skin:
    """Return several skins as one."""
    starts = np.cumsum([0] + [len(s.points) for s in skins])
    return Skin(
        np.concatenate([s.points for s in skins]),
        np.concatenate([s.normals for s in skins]),
        np.concatenate([s.triangles + at for s, at in zip(skins, starts, strict=False)]),
    )


# ------------------------------------------------------------------------------------------------ triangles
def triangles_of(outer: Sequence[Vec2] | Floats, holes: Sequence[Sequence[Vec2]] = ()) -> Ints:
    """Cut a polygon with holes into triangles.

    Args:
        outer: Outline, counter-clockwise [mm].
        holes: Outlines of holes, counter-clockwise [mm]; inside the outline, apart from each other.

    Returns:
        (m, 3) corner numbers, counted through the outline and then hole by hole; counter-clockwise.

    Source: Meisters' two-ears theorem; holes are first joined to the outline by a bridge (D. Eberly, Triangulation by
    ear clipping, from memory).

    >>> len(triangles_of([(0, 0), (9, 0), (9, 9), (0, 9)], [[(3, 3), (6, 3), (6, 6), (3, 6)]]))
    8
    """
    points = np.concatenate([np.asarray(loop, float) for loop in (outer, *holes)])
    ring = list(range(len(outer)))
    first = len(outer)
    loops = []
    for hole in holes:
        loops.append(list(range(first, first + len(hole)))[::-1])
        first += len(hole)
    for loop in sorted(loops, key=lambda loop: -float(points[loop, 0].max())):
        ring = _bridged(points, ring, loop)
    return np.array(_ears(points, ring), dtype=np.int64).reshape(-1, 3)


def _bridged(points: Floats, ring: list[int], hole: list[int]) -> list[int]:
    """The ring with a hole joined to it, from the hole's rightmost corner to a corner that it sees."""
    k = max(range(len(hole)), key=lambda i: float(points[hole[i], 0]))
    x, y = points[hole[k]].tolist()
    a, b = points[ring], points[[*ring[1:], ring[0]]]
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = a[:, 0] + (y - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
    rises = (a[:, 1] <= y) & (b[:, 1] > y) & (meets >= x)  # the outline runs up where inside lies to its left
    meets = np.where(rises, meets, np.inf)
    side = int(np.argmin(meets))
    ends = [side, (side + 1) % len(ring)]
    far = max(ends, key=lambda i: float(points[ring[i], 0]))
    corner = points[ring[far]]
    tri = np.array([(x, y), (float(meets[side]), y), corner])
    if corner[1] < y:
        tri = tri[[0, 2, 1]]
    inside = _inside(tri, a) & (np.abs(a - corner).max(axis=1) > 0)
    if inside.any() and abs(float(corner[1]) - y) > 1e-9:  # else the ray meets the corner itself
        near = np.flatnonzero(inside)
        slope = np.abs(a[near, 1] - y) / np.maximum(a[near, 0] - x, 1e-12)
        far = int(near[np.lexsort((a[near, 0], slope))[0]])
    far = _on_the_right_side(points, ring, far, (x, y))
    return [*ring[: far + 1], *hole[k:], *hole[: k + 1], *ring[far:]]


def _on_the_right_side(points: Floats, ring: list[int], corner: int, to: Vec2) -> int:
    """Of the places where a ring passes a corner, that from which a point lies inside: bridges make it pass twice.

    Source: whether a diagonal lies in the cone of a corner (J. O'Rourke, Computational Geometry in C, from memory).
    """
    at: list[Vec2] = [(x, y) for x, y in points[ring].tolist()]
    here, n = at[corner], len(ring)
    for k in (k for k in range(n) if at[k] == here):
        before, after = at[k - 1], at[(k + 1) % n]
        if _turn(before, here, after) >= 0:
            if _turn(here, to, before) > 0 and _turn(to, here, after) > 0:
                return k
        elif not (_turn(here, to, after) >= 0 and _turn(to, here, before) >= 0):
            return k
    return corner


def _inside(tri: Floats, points: Floats) -> NDArray[np.bool_]:
    """Which points lie in a counter-clockwise triangle or on its edge."""
    on: NDArray[np.bool_] = np.ones(len(points), dtype=bool)
    for i in range(3):
        (px, py), (qx, qy) = tri[i], tri[(i + 1) % 3]
        on &= (qx - px) * (points[:, 1] - py) - (qy - py) * (points[:, 0] - px) >= -1e-12
    return on


def _turn(p: Vec2, q: Vec2, r: Vec2) -> float:
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])


def _ears(points: Floats, ring: list[int]) -> list[tuple[int, int, int]]:
    """Clip ears, going on two corners further each time, so that the triangles do not all meet in one corner."""
    at: list[Vec2] = [(x, y) for x, y in points.tolist()]
    out: list[tuple[int, int, int]] = []
    k, tried = 0, 0
    hollow = _hollow(at, ring)
    while len(ring) > 3:
        n = len(ring)
        i, tip, j = ring[k % n - 1], ring[k % n], ring[(k + 1) % n]
        if (_turn(at[i], at[tip], at[j]) > 1e-12 and not _blocked(at[i], at[tip], at[j], hollow)) or tried > 2 * n:
            out.append((i, tip, j))
            del ring[k % n]
            k, tried = k % n + 1, 0
            if hollow and n % 8 == 0:
                hollow = _hollow(at, ring)
            continue
        k, tried = k + 1, tried + 1
    return [*out, (ring[0], ring[1], ring[2])] if len(ring) == 3 else out


def _hollow(at: list[Vec2], ring: list[int]) -> list[Vec2]:
    """Corners that turn inwards: only these can lie in an ear."""
    n = len(ring)
    return [at[tip] for k, tip in enumerate(ring) if _turn(at[ring[k - 1]], at[tip], at[ring[(k + 1) % n]]) <= 1e-12]


def _blocked(p: Vec2, q: Vec2, r: Vec2, hollow: list[Vec2]) -> bool:
    """Whether a corner lies in a triangle or on its edge, its own corners not counted."""
    low_x, high_x = min(p[0], q[0], r[0]), max(p[0], q[0], r[0])
    low_y, high_y = min(p[1], q[1], r[1]), max(p[1], q[1], r[1])
    return any(
        low_x <= h[0] <= high_x
        and low_y <= h[1] <= high_y
        and _turn(p, q, h) >= -1e-12
        and _turn(q, r, h) >= -1e-12
        and _turn(r, p, h) >= -1e-12
        and h not in (p, q, r)
        for h in hollow
    )


# ------------------------------------------------------------------------------------------------ plates
@lru_cache(maxsize=256)
def plate_skin(outline: Loop, holes: tuple[Loop, ...], thickness: float) -> Skin:
    """Return a flat plate from z = 0 to its thickness, in its own axes.

    Args:
        outline: Counter-clockwise [mm].
        holes: Outlines of what goes through it, counter-clockwise [mm].
        thickness: [mm].
    """
    flat = np.concatenate([np.asarray(loop, float) for loop in (outline, *holes)])
    tri, n = triangles_of(outline, holes), len(flat)
    low, high = np.column_stack((flat, np.zeros(n))), np.column_stack((flat, np.full(n, thickness)))
    up = np.tile((0.0, 0.0, 1.0), (n, 1))
    faces = [Skin(high, up, tri), Skin(low, -up, tri[:, ::-1])]
    faces += [
        _side(np.asarray(loop, float)[::way], thickness) for way, loop in ((1, outline), *((-1, h) for h in holes))
    ]
    return joined(faces)


def _side(loop: Floats, thickness: float) -> Skin:
    """The side along a loop whose outside lies to the right of its way."""
    n = len(loop)
    way = np.roll(loop, -1, axis=0) - loop
    out = np.column_stack((way[:, 1], -way[:, 0])) / np.linalg.norm(way, axis=1)[:, None]
    here, there = softened(out)
    flat = np.concatenate([loop, np.roll(loop, -1, axis=0)])
    points = np.concatenate([np.column_stack((flat, np.full(2 * n, z))) for z in (0.0, thickness)])
    normals = np.column_stack((np.concatenate([here, there, here, there]), np.zeros(4 * n)))
    a = np.arange(n)
    b, c, d = a + n, a + 3 * n, a + 2 * n
    return Skin(points, normals, np.concatenate([np.column_stack((a, b, c)), np.column_stack((a, c, d))]))


def softened(out: Floats) -> tuple[Floats, Floats]:
    """Normals at both ends of each side of a closed loop, from the sides' own; shared where it turns only little."""
    before = np.roll(out, 1, axis=0)
    mean = out + before
    mean = mean / np.maximum(np.linalg.norm(mean, axis=1), 1e-12)[:, None]
    soft = (np.sum(out * before, axis=1) > math.cos(CREASE_RAD))[:, None]
    here = np.where(soft, mean, out)
    after = np.roll(np.where(soft, mean, before), -1, axis=0)
    return here, after


# ------------------------------------------------------------------------------------------------ turned bodies
@lru_cache(maxsize=256)
def turned_skin(profile: Loop, steps: int) -> Skin:
    """Return a body turned about the x axis.

    Args:
        profile: (place along the axis, radius) [mm], a closed loop, counter-clockwise with the radius up; a body
            that reaches the axis has its radius 0 there.
        steps: Round the axis.
    """
    loop = np.asarray(profile, float)
    way = np.roll(loop, -1, axis=0) - loop
    out = np.column_stack((way[:, 1], -way[:, 0])) / np.linalg.norm(way, axis=1)[:, None]
    here, there = softened(out)
    flat, lean = np.concatenate([loop, np.roll(loop, -1, axis=0)]), np.concatenate([here, there])
    n, k = len(loop), 2 * len(loop)
    turn = np.arange(steps) * (2 * math.pi / steps)
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    points = np.stack((np.broadcast_to(flat[:, 0], (steps, k)), c * flat[:, 1], s * flat[:, 1]), axis=2).reshape(-1, 3)
    normals = np.stack((np.broadcast_to(lean[:, 0], (steps, k)), c * lean[:, 1], s * lean[:, 1]), axis=2).reshape(-1, 3)
    a = (np.arange(steps)[:, None] * k + np.arange(n)).ravel()
    e = (np.roll(np.arange(steps), -1)[:, None] * k + np.arange(n)).ravel()
    tri = np.concatenate([np.column_stack((a, a + n, e + n)), np.column_stack((a, e + n, e))])
    p = points[tri]
    wide = np.linalg.norm(np.cross(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]), axis=1) > 1e-12
    return Skin(points, normals, tri[wide])
