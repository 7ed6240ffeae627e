"""Members, plates and wheels as simple solids: what a view needs to find their outlines and what they hide.

A round run is a ball's path: its outline is the spine moved by its radius square to the direction of sight. Everything
else is a closed mesh of flat faces. Lengths mm, product axes.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from handbarrow.drawings.ends import Wrap, cut_round
from handbarrow.laws.geometry.path import Centreline, Floats, Vec2, Vec3, crown_on_straights, layout, rotation
from handbarrow.laws.geometry.section import Section

__all__ = [
    "Mesh",
    "Round",
    "Solid",
    "box",
    "curves",
    "cylinder",
    "placed",
    "plate",
    "ring",
    "run",
    "section_outline",
    "spine",
    "triangulated",
    "wheel",
]

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Round:
    """A round run.

    Attributes:
        name: Of the part.
        spine: (k, 3).
        tangents: (k, 3), unit.
        radius: Of its outside.
        rings: Curves at its ends, each (m, 3).
        copes: For each end the curve on its outside where it is cut (m, 3); None: square at the spine's end.
    """

    name: str
    spine: Floats
    tangents: Floats
    radius: float
    rings: tuple[Floats, ...] = ()
    copes: tuple[Floats | None, Floats | None] = (None, None)


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """A closed mesh.

    Attributes:
        name: Of the part.
        points: (n, 3).
        faces: Corner numbers of each flat face, counter-clockwise seen from outside.
        triangles: (m, 3) corner numbers that cover the faces, for hiding.
        sharp: Pairs of corners joined by an edge that is always drawn where it is seen.
        smooth: (corner, corner, face, face): edges drawn only where one face is seen and the other is not.
        curves: Further curves on it, each (m, 3), such as holes.
    """

    name: str
    points: Floats
    faces: tuple[tuple[int, ...], ...]
    triangles: Ints
    sharp: tuple[tuple[int, int], ...]
    smooth: tuple[tuple[int, int, int, int], ...] = ()
    curves: tuple[Floats, ...] = field(default=())


Solid = Round | Mesh


# ------------------------------------------------------------------------------------------------ runs
def chord_angle(radius: float, half: float) -> float:
    """Chord angle [rad] for a bend, so small that chords of a run of half-width `half` stay within 1 % of it."""
    return 2 * math.acos(max(0.9, 1 - 0.01 * half / max(radius, half)))


@lru_cache(maxsize=256)
def spine(line: Centreline, half: float) -> tuple[Floats, Floats, Floats]:
    """Return (k, 3) points along a centreline, their tangents, and for each point the turn so far as (k, 3, 3).

    The turn carries a direction at the datum end along the run without twisting it.
    """
    place = layout(line)
    points, tangents, turns = [place.start], [place.directions[0]], [np.eye(3)]
    so_far = np.eye(3)
    for k, angle in enumerate(float(a) for a in place.angles):
        steps = max(2, math.ceil(angle / chord_angle(float(place.radii[k]), half)))
        spoke = place.tangents_in[k] - place.centres[k]
        for i in range(steps + 1):
            turned = rotation(place.normals[k], angle * i / steps)
            points.append(place.centres[k] + turned @ spoke)
            tangents.append(turned @ place.directions[k])
            turns.append(turned @ so_far)
        so_far = turns[-1]
    points.append(place.end)
    tangents.append(place.directions[-1])
    turns.append(so_far)
    out = np.array(points), np.array(tangents), np.array(turns)
    for array in out:
        array.flags.writeable = False  # shared by all who ask
    return out


def section_outline(section: Section) -> tuple[Vec2, ...]:
    """Corners (v, u) of a section that is not round, counter-clockwise seen against the run (v up, u to the right)."""
    h, w = section.height / 2, section.width / 2
    if section.shape == "angle":
        a, b, t = section.height, section.width, section.wall
        return ((0.0, 0.0), (a, 0.0), (a, t), (t, t), (t, b), (0.0, b))
    return ((-h, -w), (h, -w), (h, w), (-h, w))


def run(
    name: str,
    line: Centreline,
    section: Section,
    crown: Vec3,
    ends: tuple[Wrap | None, Wrap | None] = (None, None),
) -> Solid:
    """Return tube or bar along a centreline.

    Args:
        name: Of the part.
        line: Centreline [mm].
        section: Its section.
        crown: Unit crown direction at the datum end.
        ends: For each end its wrap (s, h) [mm], so that the cope is drawn; a single pair: square, h into the run;
            None: square where the line ends.
    """
    points, tangents, turns = spine(line, section.outside / 2)
    points, ends = _shortened(points, tangents, ends)
    if not section.is_round:
        return _prism(name, (points, turns @ np.asarray(crown), tangents), section, ends)
    crowns = crown_on_straights(line, crown)
    rings: list[Floats] = []
    copes: list[Floats | None] = []
    for wrap, at, t, v, inward in (
        (ends[0], points[0], tangents[0], crowns[0], 1.0),
        (ends[1], points[-1], tangents[-1], crowns[-1], -1.0),
    ):
        r, u = section.height / 2, np.cross(t, v)
        if wrap:
            s, h = np.asarray(wrap, dtype=float).T
            cope = at + r * (np.outer(np.cos(s / r), v) + np.outer(np.sin(s / r), u)) + np.outer(h * inward, t)
            rings.append(cope)
            copes.append(cope)
        else:
            copes.append(None)
            rings.append(_circle(at, v, u, r))
            if section.is_hollow:
                rings.append(_circle(at, v, u, r - section.wall))
    return Round(name, points, tangents, section.height / 2, tuple(rings), (copes[0], copes[1]))


def _shortened(
    points: Floats, tangents: Floats, ends: tuple[Wrap | None, Wrap | None]
) -> tuple[Floats, tuple[Wrap | None, Wrap | None]]:
    """A spine that ends where its square ends are, and the wraps of the others."""
    left = list(ends)
    for end, inward, beside in ((0, 1.0, 1), (-1, -1.0, -2)):
        wrap = left[end]
        if wrap is None or len(wrap) > 1:
            continue
        points, left[end] = points.copy(), None
        room = float((points[beside] - points[end]) @ tangents[end]) * inward
        points[end] += min(wrap[0][1], room) * inward * tangents[end]
    return points, (left[0], left[1])


def _circle(centre: Floats, v: Floats, u: Floats, radius: float, count: int = 36) -> Floats:
    phi = np.linspace(0, 2 * math.pi, count + 1)
    return np.asarray(centre + radius * (np.outer(np.cos(phi), v) + np.outer(np.sin(phi), u)))


def _prism(
    name: str, swept: tuple[Floats, Floats, Floats], section: Section, ends: tuple[Wrap | None, Wrap | None]
) -> Mesh:
    """A section swept along a spine (points, crowns, tangents) from cut to cut.

    Long edges are sharp, the rings between chords smooth, the cuts sharp. A hollow end that is not flat has no cap: one
    looks into it.
    """
    points, crowns, tangents = swept
    outline = section_outline(section)
    n, k = len(outline), len(points)
    right = np.cross(tangents, crowns)
    v, u = np.asarray(outline).T
    corners = points[:, None, :] + v[None, :, None] * crowns[:, None, :] + u[None, :, None] * right[:, None, :]
    rings, at = list(corners), [np.arange(n)] * k
    for end, wrap, inward, beside in ((0, ends[0], 1.0, 1), (k - 1, ends[1], -1.0, k - 2)):
        if wrap is not None:
            rows, at[end] = cut_round(section, outline, wrap)
            room = float((points[beside] - points[end]) @ tangents[end]) * inward if k > 2 else math.inf
            flat = np.outer(rows[:, 0], right[end]) + np.outer(rows[:, 1], crowns[end])
            rings[end] = points[end] + flat + np.outer(np.minimum(rows[:, 2], room) * inward, tangents[end])
    chains = _sides(at, [len(ring) for ring in rings])
    strips = [
        (one, other) for before, after in itertools.pairwise(chains) for one, other in zip(before, after, strict=True)
    ]
    triangles = [t for one, other in strips for t in _strip(one, other)]
    for end in (0, k - 1):
        if not section.is_hollow or len(rings[end]) == n:
            first = chains[end][0][0]
            flat = (rings[end] - points[end]) @ np.column_stack((crowns[end], right[end]))
            caps = triangulated([(x, y) for x, y in flat.tolist()])
            triangles += [(first + a, first + b, first + c) for a, b, c in caps]
    sharp = [(one[j][0], other[j][0]) for j in range(n) for one, other in itertools.pairwise(chains)]
    sharp += [pair for end in (0, k - 1) for way in chains[end] for pair in itertools.pairwise(way)]
    smooth = [
        (chains[i][j][0], chains[i][j][-1], (i - 1) * n + j, i * n + j) for i in range(1, k - 1) for j in range(n)
    ]
    faces = tuple((one[-1], other[-1], *other[-2::-1], *one[:-1]) for one, other in strips)
    return Mesh(name, np.concatenate(rings), faces, np.array(triangles), tuple(sharp), tuple(smooth))


def _sides(corners: Sequence[Ints], sizes: Sequence[int]) -> list[list[list[int]]]:
    """For each ring its sides: the numbers of their points from corner to corner, counted through all rings."""
    out, before = [], 0
    for at, size in zip(corners, sizes, strict=True):
        stops = [*(at + before).tolist(), before + size]
        ways = [list(range(a, b + 1)) for a, b in itertools.pairwise(stops)]
        ways[-1][-1] = before
        out.append(ways)
        before += size
    return out


def _strip(a: list[int], b: list[int]) -> list[tuple[int, int, int]]:
    """Triangles between two chains of points that run side by side."""
    out, i, j = [], 0, 0
    while i < len(a) - 1 or j < len(b) - 1:
        if j == len(b) - 1 or (i < len(a) - 1 and (i + 1) * (len(b) - 1) <= (j + 1) * (len(a) - 1)):
            out.append((a[i], a[i + 1], b[j]))
            i += 1
        else:
            out.append((a[i], b[j + 1], b[j]))
            j += 1
    return out


def curves(name: str, lines: Sequence[Floats]) -> Mesh:
    """Return bare curves (k, 3): drawn where they are seen, hiding nothing."""
    empty = np.zeros((0, 3))
    return Mesh(name, empty, (), empty.astype(np.int64), (), (), tuple(lines))


def ring(centre: Floats, along: Floats, crown: Floats, section: Section, grow: float = 1.0) -> Floats:
    """Return the outline of a section set across a run at one place (k, 3), `grow` times as large."""
    u = np.cross(along, crown)
    if section.is_round:
        return _circle(centre, crown, u, section.height / 2 * grow)
    corners = section_outline(section)
    return np.array([centre + grow * (v * crown + w * u) for v, w in (*corners, corners[0])])


# ------------------------------------------------------------------------------------------------ plates and the rest
def triangulated(outline: Sequence[Vec2]) -> list[tuple[int, int, int]]:
    """Cut a simple polygon into triangles by clipping ears; corner numbers. Source: Meisters' two-ears theorem."""
    pts = [(float(x), float(y)) for x, y in outline]
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(pts, pts[1:] + pts[:1], strict=True))
    left = list(range(len(pts))) if area > 0 else list(range(len(pts)))[::-1]
    out = []
    while len(left) > 3:
        for i in range(len(left)):
            a, b, c = left[i - 1], left[i], left[(i + 1) % len(left)]
            if _is_ear(pts, a, b, c, left):
                out.append((a, b, c))
                del left[i]
                break
        else:
            break
    if len(left) == 3:
        out.append((left[0], left[1], left[2]))
    return out


def _is_ear(pts: Sequence[Vec2], a: int, b: int, c: int, left: Sequence[int]) -> bool:
    def turn(p: Vec2, q: Vec2, r: Vec2) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    pa, pb, pc = pts[a], pts[b], pts[c]
    if turn(pa, pb, pc) <= 1e-12:
        return False
    return not any(
        turn(pa, pb, pts[i]) >= 0 and turn(pb, pc, pts[i]) >= 0 and turn(pc, pa, pts[i]) >= 0
        for i in left
        if i not in (a, b, c)
    )


def plate(
    name: str, outline: Sequence[Vec2], thickness: float, frame: Floats, holes: Sequence[Sequence[Vec2]] = ()
) -> Mesh:
    """Return a flat plate: outline in its own x, y, thickness along its own z; `frame` (4, 4) sets it in its place."""
    n = len(outline)
    flat = np.array([(x, y, z) for z in (0.0, thickness) for x, y in outline])
    faces: list[tuple[int, ...]] = [(j, (j + 1) % n, (j + 1) % n + n, j + n) for j in range(n)]
    caps = triangulated(outline)
    triangles = [t for a, b, c, d in faces for t in ((a, b, c), (a, c, d))]
    triangles += [t for a, b, c in caps for t in ((a, b, c), (a + n, b + n, c + n))]
    sharp = [(j + base, (j + 1) % n + base) for base in (0, n) for j in range(n)]
    xy = np.asarray(outline, dtype=float)
    before, after = xy - np.roll(xy, 1, axis=0), np.roll(xy, -1, axis=0) - xy
    bend = np.abs(np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], np.sum(before * after, axis=1)))
    sharp += [(j, j + n) for j in range(n) if bend[j] > math.radians(20)]
    smooth = [(j, j + n, (j - 1) % n, j) for j in range(n) if bend[j] <= math.radians(20)]
    curves = [np.array([(x, y, z) for x, y in (*hole, hole[0])]) for hole in holes for z in (0.0, thickness)]
    m = np.asarray(frame, dtype=float)

    def moved(p: Floats) -> Floats:
        return np.asarray(p @ m[:3, :3].T + m[:3, 3])

    return Mesh(
        name,
        moved(flat),
        tuple(faces),
        np.array(triangles),
        tuple(sharp),
        tuple(smooth),
        tuple(moved(c) for c in curves),
    )


def box(name: str, low: Vec3, high: Vec3) -> Mesh:
    """Return a plain box with sides along the axes [mm]."""
    outline = ((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1]))
    frame = np.eye(4)
    frame[2, 3] = low[2]
    return plate(name, outline, high[2] - low[2], frame)


def cylinder(name: str, centre: Vec3, axis: Vec3, radius: float, length: float) -> Round:
    """Return a plain round bar about its centre [mm]; `axis` a unit vector."""
    t = np.asarray(axis, dtype=float)
    v = np.cross(t, (0.0, 0.0, 1.0) if abs(t[2]) < 0.9 else (1.0, 0.0, 0.0))
    v = v / np.linalg.norm(v)
    u = np.cross(t, v)
    ends = np.array([centre - t * length / 2, centre + t * length / 2])
    return Round(name, ends, np.array([t, t]), radius, tuple(_circle(p, v, u, radius) for p in ends))


def wheel(name: str, centre: Vec3, axis: Vec3, tyre: float, bead_seat: float) -> list[Solid]:
    """Return a wheel, drawn simply: the tyre as a torus, the rim's edge as a circle on both sides, the hub a cylinder.

    `tyre` is the tyre's width and `bead_seat` the rim's diameter [mm], as in ISO 5775.
    """
    t = np.asarray(axis, dtype=float) / np.linalg.norm(axis)
    v = np.cross(t, (0.0, 0.0, 1.0) if abs(t[2]) < 0.9 else (1.0, 0.0, 0.0))
    v = v / np.linalg.norm(v)
    u = np.cross(t, v)
    middle, r = bead_seat / 2 + tyre / 2, tyre / 2
    count = max(36, math.ceil(2 * math.pi / chord_angle(middle, r)))
    circle = _circle(np.asarray(centre, dtype=float), v, u, middle, count)
    phi = np.linspace(0, 2 * math.pi, count + 1)
    tangents = np.outer(-np.sin(phi), v) + np.outer(np.cos(phi), u)
    rims = tuple(_circle(np.asarray(centre) + t * side * tyre * 0.3, v, u, bead_seat / 2 - 8, 72) for side in (1, -1))
    return [Round(name, circle, tangents, r, rims), cylinder(name, centre, (t[0], t[1], t[2]), 18.0, 2.0 * tyre)]


def placed(solid: Solid, transform: Sequence[Sequence[float]]) -> Solid:
    """Return a solid moved by a rigid transform (4 x 4); a reflection is allowed."""
    m = np.asarray(transform, dtype=float)
    if np.array_equal(m, np.eye(4)):
        return solid
    turn, shift = m[:3, :3], m[:3, 3]
    if isinstance(solid, Round):
        rings = tuple(r @ turn.T + shift for r in solid.rings)
        start, end = (None if cope is None else cope @ turn.T + shift for cope in solid.copes)
        return replace(
            solid,
            spine=solid.spine @ turn.T + shift,
            tangents=solid.tangents @ turn.T,
            rings=rings,
            copes=(start, end),
        )
    lines = tuple(c @ turn.T + shift for c in solid.curves)
    return replace(solid, points=solid.points @ turn.T + shift, curves=lines)
