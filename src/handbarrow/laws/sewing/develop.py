"""Cloth between two bows, laid flat: the surface of straight lines from bow to bow that lies flattest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = ["FlatStrip", "develop_strip", "offset_outline"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatStrip:
    """A strip laid flat.

    Attributes:
        first: (n, 2) the first bow [mm]; its chord lies along x = 0, its start below.
        second: (m, 2) the second bow, to the right of it [mm].
        rulings: (k, 2) straight lines from bow to bow, as numbers of points; from each to the next lies a triangle.
        twist_rad: Largest angle by which the cloth turns along such a line: 0 where the surface can be laid flat. Of a
            line shorter than the longest one, the same share of its angle counts: short lines give little to pucker.
        area: Of the strip [mm2].
    """

    first: Floats
    second: Floats
    rulings: NDArray[np.intp]
    twist_rad: float
    area: float


def develop_strip(first: Floats, second: Floats) -> FlatStrip:
    """Return the strip between two bows, laid flat.

    Args:
        first: (n, 3) points of the first bow, in order [mm].
        second: (m, 3) points of the second bow, from the same side [mm].

    Raises:
        ValueError: If a bow has fewer than two points.

    Source: a ruled surface can be laid flat where the tangent planes at both ends of each line are one (computed here:
    the lines of least twist by dynamic programming; each triangle keeps its three sides).

    >>> square = develop_strip(np.array([[0.0, 0, 0], [0, 10, 0]]), np.array([[0.0, 0, 5], [0, 10, 5]]))
    >>> round(square.area, 6), round(square.twist_rad, 6)
    (50.0, 0.0)
    """
    a, b = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    if len(a) < 2 or len(b) < 2:
        raise ValueError("a bow needs two points at least")
    twist = _twists(a, b)
    lines = _lines(twist)
    flat_a, flat_b = np.zeros((len(a), 2)), np.zeros((len(b), 2))
    flat_b[0] = (float(np.linalg.norm(b[0] - a[0])), 0.0)
    area = 0.0
    for (i, j), (k, m) in pairwise(lines):
        new = a[k] if k > i else b[m]
        place = _third(flat_a[i], flat_b[j], (float(np.linalg.norm(new - a[i])), float(np.linalg.norm(new - b[j]))))
        if k > i:
            flat_a[k] = place
        else:
            flat_b[m] = place
        area += float(np.linalg.norm(np.cross(b[j] - a[i], new - a[i]))) / 2
    turned = _upright(flat_a, flat_b)
    worst = float(max(twist[i, j] for i, j in lines))
    return FlatStrip(first=turned[0], second=turned[1], rulings=np.array(lines), twist_rad=worst, area=area)


def _tangents(points: Floats) -> Floats:
    way = np.gradient(points, axis=0)
    out: Floats = way / np.maximum(np.linalg.norm(way, axis=1), 1e-12)[:, None]
    return out


def _twists(a: Floats, b: Floats) -> Floats:
    """Angles between the tangent planes at both ends of every line from bow to bow, (n, m)."""
    lines = b[None] - a[:, None]
    lines = lines / np.maximum(np.linalg.norm(lines, axis=2), 1e-12)[..., None]
    here, there = np.cross(_tangents(a)[:, None], lines), np.cross(_tangents(b)[None], lines)
    size = np.maximum(np.linalg.norm(here, axis=2) * np.linalg.norm(there, axis=2), 1e-12)
    angles = np.arccos(np.clip((here * there).sum(axis=2) / size, -1.0, 1.0))
    reach = np.linalg.norm(b[None] - a[:, None], axis=2)
    straight = max(float(np.linalg.norm(b[k] - a[round(k * (len(a) - 1) / (len(b) - 1))])) for k in range(len(b)))
    out: Floats = angles * np.minimum(reach / straight, 1.0)
    return out


def _lines(twist: Floats) -> list[tuple[int, int]]:
    """From both starts to both ends, one point further at a time, with the least twist in all."""
    n, m = twist.shape
    cost = twist**2 + 1e-9
    best = np.full((n, m), np.inf)
    best[0, 0] = cost[0, 0]
    for i in range(n):
        for j in range(m):
            if i or j:
                before = min(best[i - 1, j] if i else np.inf, best[i, j - 1] if j else np.inf)
                best[i, j] = before + cost[i, j]
    at, out = (n - 1, m - 1), [(n - 1, m - 1)]
    while at != (0, 0):
        i, j = at
        at = (i - 1, j) if j == 0 or (i > 0 and best[i - 1, j] <= best[i, j - 1]) else (i, j - 1)
        out.append(at)
    return out[::-1]


def _third(p: Floats, q: Floats, sides: tuple[float, float]) -> Floats:
    """The third corner of a triangle, to the left of the way from p to q."""
    way = q - p
    base = float(np.hypot(*way))
    along = (sides[0] ** 2 - sides[1] ** 2 + base**2) / (2 * base)
    across = np.sqrt(max(sides[0] ** 2 - along**2, 0.0))
    unit = way / base
    out: Floats = p + unit * along + np.array([-unit[1], unit[0]]) * across
    return out


def _upright(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """Turned so that the chord of the first bow lies along y, its start below, the second bow to the right."""
    chord = a[-1] - a[0]
    size = float(np.hypot(*chord))
    c, s = chord[1] / size, chord[0] / size
    turn = np.array([[c, -s], [s, c]])
    moved = [(points - a[0]) @ turn.T for points in (a, b)]
    middle = np.array([0.0, float(moved[0][0, 1] + moved[0][-1, 1]) / 2])
    return moved[0] - middle, moved[1] - middle


def offset_outline(points: Floats, takes: Sequence[float]) -> Floats:
    """Return an outline with each edge moved outwards by what it takes.

    Args:
        points: (n, 2) corners, counter-clockwise [mm].
        takes: n distances, of the edge that leaves each corner [mm].

    Source: plane geometry: neighbouring edges meet again; where they run on in one line, a step joins them.

    >>> offset_outline(np.array([[0.0, 0], [10, 0], [10, 5], [0, 5]]), [1.0, 0.0, 1.0, 2.0]).tolist()[0]
    [-2.0, -1.0]
    """
    p = np.asarray(points, dtype=float)
    ways = np.roll(p, -1, axis=0) - p
    units = ways / np.linalg.norm(ways, axis=1)[:, None]
    out_of = np.column_stack([units[:, 1], -units[:, 0]])
    corners: list[Floats] = []
    for i in range(len(p)):
        before = i - 1
        a, b = p[i] + out_of[before] * takes[before], p[i] + out_of[i] * takes[i]
        turn = float(units[before][0] * units[i][1] - units[before][1] * units[i][0])
        if abs(turn) < 1e-3:
            corners += [a] if abs(takes[before] - takes[i]) < 1e-9 else [a, b]
            continue
        back = float((b - a)[0] * units[i][1] - (b - a)[1] * units[i][0]) / turn
        corners.append(a + units[before] * back)
    return np.array(corners)
