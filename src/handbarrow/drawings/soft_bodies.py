"""Panels of cloth in three dimensions: their triangles with a thickness, as a skin and for views. Lengths mm."""

from __future__ import annotations

import numpy as np

from handbarrow.drawings.mesh_flat import Ints, Skin
from handbarrow.drawings.solids import Mesh
from handbarrow.drawings.thin_bodies import open_edges, thin_mesh, thin_skin
from handbarrow.job.soft_values import PanelWork
from handbarrow.laws.geometry.path import Floats

__all__ = ["cloth_mesh", "cloth_skin"]

THICK = 1.0
"""Cloth is shown so thick, as two faces in one place would flicker [mm]."""
SAME = 1e-4


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


def cloth_skin(work: PanelWork) -> Skin:
    """Return copy 1 of a panel as a closed skin, product axes."""
    low, high, normals, faces = _layers(work)
    return thin_skin(low, high, normals, faces, open_edges(faces.tolist()))


def cloth_mesh(name: str, work: PanelWork) -> Mesh:
    """Return copy 1 of a panel for views with hidden lines, product axes."""
    low, high, _, faces = _layers(work)
    n, rim = len(low), open_edges(faces.tolist())
    pieces = [(face, np.array([face])) for face in faces.tolist()]
    sharp = [edge for a, b in rim for edge in ((a + n, b + n), (a, b))]
    return thin_mesh(name, (low, high), pieces, rim, sharp)
