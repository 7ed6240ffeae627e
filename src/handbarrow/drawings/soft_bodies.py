"""Panels of cloth in three dimensions: their triangles with a thickness, as a skin and for views. Lengths mm."""

from __future__ import annotations

import math

import numpy as np

from handbarrow.drawings.mesh_flat import Ints, Skin
from handbarrow.drawings.solids import Mesh
from handbarrow.job.soft_values import PanelWork
from handbarrow.laws.geometry.path import Floats

__all__ = ["cloth_mesh", "cloth_skin"]

THICK = 1.0
"""Cloth is shown so thick, as two faces in one place would flicker [mm]."""
SAME = 1e-4
CREASE_RAD = math.radians(40.0)


def _layers(work: PanelWork) -> tuple[Floats, Floats, Floats, Ints]:
    """Points of the lower and the upper face, their unit normals, and triangles of the upper face."""
    corners = np.array(work.space).reshape(-1, 3)
    _, first, numbers = np.unique(np.round(corners / SAME), axis=0, return_index=True, return_inverse=True)
    points, faces = corners[first], numbers.reshape(-1, 3)
    faces = faces[[len(set(face)) == 3 for face in faces.tolist()]]
    ways = np.cross(points[faces[:, 1]] - points[faces[:, 0]], points[faces[:, 2]] - points[faces[:, 0]])
    normals = np.zeros_like(points)
    for k in range(3):
        np.add.at(normals, faces[:, k], ways)
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-12)[:, None]
    return points - normals * THICK / 2, points + normals * THICK / 2, normals, faces.astype(np.int64)


def _rim(faces: Ints) -> list[tuple[int, int]]:
    """Edges that one triangle alone has, its inside to the left."""
    edges: dict[tuple[int, int], None] = {}
    for a, b, c in faces.tolist():
        for edge in ((a, b), (b, c), (c, a)):
            if edge[::-1] in edges:
                del edges[edge[::-1]]
            else:
                edges[edge] = None
    return list(edges)


def cloth_skin(work: PanelWork) -> Skin:
    """Return copy 1 of a panel as a closed skin, product axes."""
    low, high, normals, faces = _layers(work)
    n, rim = len(low), np.array(_rim(faces))
    a, b = rim[:, 0], rim[:, 1]
    out = np.cross(low[b] - low[a], normals[a] + normals[b])
    out /= np.maximum(np.linalg.norm(out, axis=1), 1e-12)[:, None]
    i, m = 2 * n + np.arange(len(rim)), len(rim)
    walls = np.concatenate([np.column_stack((i, i + m, i + 2 * m)), np.column_stack((i, i + 2 * m, i + 3 * m))])
    points = np.concatenate([high, low, low[a], low[b], high[b], high[a]])
    return Skin(
        points,
        np.concatenate([normals, -normals, np.tile(out, (4, 1))]),
        np.concatenate([faces, faces[:, ::-1] + n, walls]),
    )


def cloth_mesh(name: str, work: PanelWork) -> Mesh:
    """Return copy 1 of a panel for views with hidden lines, product axes."""
    low, high, _, upper = _layers(work)
    n = len(low)
    faces: list[tuple[int, ...]] = []
    owner: dict[tuple[int, int], int] = {}
    smooth: list[tuple[int, int, int, int]] = []
    for a, b, c in upper.tolist():
        mine = len(faces)
        faces += [(a + n, b + n, c + n), (c, b, a)]
        for p, q in ((a, b), (b, c), (c, a)):
            other = owner.pop((q, p), None)
            if other is None:
                owner[(p, q)] = mine
            else:
                smooth += [(p + n, q + n, mine, other), (p, q, mine + 1, other + 1)]
    triangles = [np.array(faces)]
    sharp: list[tuple[int, int]] = []
    for a, b in _rim(upper):
        faces.append((a, b, b + n, a + n))
        triangles.append(np.array([(a, b, b + n), (a, b + n, a + n)]))
        sharp += [(a + n, b + n), (a, b)]
    return Mesh(name, np.concatenate([low, high]), tuple(faces), np.concatenate(triangles), tuple(sharp), tuple(smooth))
