"""Nearest approach of straight lines, centrelines and points. Lengths mm.

Arrays of pairs are worked on at once: every function takes rows that belong together.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Centreline, Vec3, cross, layout, vec3

__all__ = ["Approach", "axis_to_centreline", "axis_to_element", "outline_distance", "points_to_arcs", "segments_apart"]

Floats = NDArray[np.float64]


class Approach(NamedTuple):
    """Nearest approach: distance [mm], index of the centreline's element, point on it, its direction there."""

    distance: float
    element: int
    foot: Vec3
    tangent: Vec3


def points_to_arcs(points: Floats, arcs: tuple[Floats, Floats, Floats, Floats, Floats]) -> tuple[Floats, Floats]:
    """Return the points on arcs nearest to points, and the arcs' directions there.

    Args:
        points: (n, 3) points.
        arcs: Centres (n, 3), unit spokes to their starts (n, 3), unit directions at their starts (n, 3), radii (n,),
            angles (n,) [rad].

    Returns:
        Feet (n, 3) and unit directions (n, 3).

    Source: plane geometry, exact.
    """
    centre, spoke, ahead, radius, angle = arcs
    w = points - centre
    phi = np.arctan2(np.einsum("ij,ij->i", w, ahead), np.einsum("ij,ij->i", w, spoke))
    mid = angle / 2
    phi = np.clip(mid + (phi - mid + math.pi) % (2 * math.pi) - math.pi, 0.0, angle)
    c, s = np.cos(phi)[:, None], np.sin(phi)[:, None]
    return centre + radius[:, None] * (c * spoke + s * ahead), c * ahead - s * spoke


def segments_apart(a: Floats, da: Floats, b: Floats, db: Floats) -> tuple[Floats, Floats]:
    """Return the nearest points [mm] of pairs of straight segments.

    Args:
        a: (n, 3) starts of the first segments.
        da: (n, 3) from start to end of the first.
        b: (n, 3) starts of the second segments.
        db: (n, 3) from start to end of the second.

    Returns:
        Points on the first (n, 3) and on the second (n, 3).

    Source: plane geometry: the common perpendicular where it meets both, else the best of the four ends.

    >>> p, q = segments_apart(*(np.array([v], float) for v in [(0, 0, 0), (10, 0, 0), (5, -5, 3), (0, 10, 0)]))
    >>> float(np.linalg.norm(p - q))
    3.0
    """
    aa, bb = np.einsum("ij,ij->i", da, da), np.einsum("ij,ij->i", db, db)
    ab, w = np.einsum("ij,ij->i", da, db), a - b
    aw, bw = np.einsum("ij,ij->i", da, w), np.einsum("ij,ij->i", db, w)
    safe_aa, safe_bb = np.where(aa > 0, aa, 1.0), np.where(bb > 0, bb, 1.0)
    det = aa * bb - ab * ab
    crossing = det > 1e-12 * safe_aa * safe_bb
    inside = np.clip(np.where(crossing, (ab * bw - bb * aw) / np.where(crossing, det, 1.0), 0.0), 0.0, 1.0)
    tries = [
        (inside, np.clip((bw + inside * ab) / safe_bb, 0.0, 1.0)),
        (np.zeros_like(aa), np.clip(bw / safe_bb, 0.0, 1.0)),
        (np.ones_like(aa), np.clip((bw + ab) / safe_bb, 0.0, 1.0)),
        (np.clip(-aw / safe_aa, 0.0, 1.0), np.zeros_like(aa)),
        (np.clip((ab - aw) / safe_aa, 0.0, 1.0), np.ones_like(aa)),
    ]
    s, t = (np.array(v) for v in zip(*tries, strict=True))
    gap = w + s[..., None] * da - t[..., None] * db
    best = np.argmin(np.einsum("kij,kij->ki", gap, gap), axis=0)
    row = np.arange(len(aa))
    return a + s[best, row][:, None] * da, b + t[best, row][:, None] * db


def axis_to_element(line: Centreline, element: int, point: Vec3, direction: Vec3, reach: float) -> Approach:
    """Return how near an axis, at most `reach` from a point either way, passes one element of a centreline.

    Args:
        line: The centreline.
        element: 2k is straight k, 2k + 1 the arc of bend k.
        point: A point of the axis [mm].
        direction: Unit direction of the axis.
        reach: How far to look along the axis from the point [mm].

    Source: plane geometry; exact on straights, on arcs by a grid that closes in (error below 1e-6 mm).
    """
    place = layout(line)
    p, d = np.asarray(point, float), np.asarray(direction, float)
    k = element // 2
    start, along = (p - reach * d)[None, :], (2 * reach * d)[None, :]
    if element % 2 == 0:
        at = place.start if k == 0 else place.tangents_out[k - 1]
        leg = place.directions[k] * max(float(place.straights[k]), 0.0)
        on_axis, foot = segments_apart(start, along, at[None, :], leg[None, :])
        return Approach(float(np.linalg.norm(on_axis - foot)), element, vec3(foot[0]), vec3(place.directions[k]))
    centre, radius = place.centres[k], float(place.radii[k])
    spoke = (place.tangents_in[k] - centre) / radius
    ahead = cross(place.normals[k], spoke)
    low, high = 0.0, float(place.angles[k])
    for _ in range(7):
        phi = np.linspace(low, high, 25)
        c, s = np.cos(phi)[:, None], np.sin(phi)[:, None]
        feet = centre + radius * (c * spoke + s * ahead)
        f = np.clip((feet - p) @ d, -reach, reach)
        gaps = np.linalg.norm(p + f[:, None] * d - feet, axis=1)
        i = int(np.argmin(gaps))
        low, high = float(phi[max(i - 1, 0)]), float(phi[min(i + 1, 24)])
    return Approach(float(gaps[i]), element, vec3(feet[i]), vec3(c[i] * ahead - s[i] * spoke))


def axis_to_centreline(line: Centreline, point: Vec3, direction: Vec3, reach: float) -> Approach:
    """Return how near an axis passes a centreline [mm], and on which of its elements.

    The arguments are those of `axis_to_element`. Where it is equally near to two elements, the first one counts.

    Source: plane geometry.

    >>> elbow = Centreline(((0, 0, 0), (400, 0, 0), (400, 300, 0)), (80.0,))
    >>> axis_to_centreline(elbow, (100, 0, 13), (0, 0.6, 0.8), 50).element
    0
    """
    best: Approach | None = None
    for element in range(2 * len(line.radii) + 1):
        if element % 2 and line.radii[element // 2] <= 0:
            continue
        here = axis_to_element(line, element, point, direction, reach)
        if best is None or here.distance < best.distance - 1e-9:
            best = here
    assert best is not None  # noqa: S101 - a centreline has a straight
    return best


def outline_distance(outline: Floats, points: Floats) -> Floats:
    """Return the distance of plane points from a closed outline [mm]: 0 inside, else to its nearest edge.

    Args:
        outline: (m, 2) corners.
        points: (n, 2) points.

    Source: plane geometry; inside by the even-odd rule.

    >>> square = np.array([(0, 0), (10, 0), (10, 10), (0, 10)], float)
    >>> outline_distance(square, np.array([(5, 5), (13, 14)], float)).tolist()
    [0.0, 5.0]
    """
    a, b = outline, np.roll(outline, -1, axis=0)
    edge = b - a
    w = points[:, None, :] - a
    long = np.maximum(np.einsum("mj,mj->m", edge, edge), 1e-18)
    f = np.clip(np.einsum("nmj,mj->nm", w, edge) / long, 0.0, 1.0)
    gap = w - f[..., None] * edge
    far: Floats = np.sqrt(np.einsum("nmj,nmj->nm", gap, gap).min(axis=1))
    y = points[:, None, 1]
    crosses = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(edge[:, 1] == 0, 1.0, edge[:, 1])
    left = points[:, None, 0] < a[:, 0] + edge[:, 0] * (y - a[:, 1]) / rise
    inside = (crosses & left).sum(axis=1) % 2 == 1
    far[inside] = 0.0
    return far
