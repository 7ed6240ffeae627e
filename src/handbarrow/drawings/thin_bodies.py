"""What folded sheet and cloth have in common: two faces and walls between them, closed and for views. Lengths mm."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from handbarrow.drawings.mesh_flat import Ints, Skin, joined
from handbarrow.drawings.solids import Mesh
from handbarrow.laws.geometry.path import Floats

__all__ = ["Edge", "open_edges", "thin_mesh", "thin_skin"]

Edge = tuple[int, int]
"""Numbers of the corners from which and to which it runs, its body's inside to the left, seen from above."""


def open_edges(rings: Iterable[Sequence[int]]) -> list[Edge]:
    """Return the edges of rings that no other ring has: where the body ends."""
    edges: dict[Edge, None] = {}
    for ring in rings:
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (b, a) in edges:
                del edges[(b, a)]
            else:
                edges[(a, b)] = None
    return list(edges)


def thin_skin(low: Floats, high: Floats, normals: Floats, triangles: Ints, rim: Sequence[Edge]) -> Skin:
    """Return a closed skin.

    Args:
        low: Corners on the lower face (n, 3) [mm].
        high: The same corners on the upper face.
        normals: Unit normals of the upper face there.
        triangles: Of the upper face (m, 3).
        rim: Where the body ends.
    """
    a, b = np.array(rim).T
    out = np.cross(low[b] - low[a], normals[a] + normals[b])
    out /= np.maximum(np.linalg.norm(out, axis=1), 1e-12)[:, None]
    i, m = np.arange(len(rim)), len(rim)
    walls = np.concatenate([np.column_stack((i, i + m, i + 2 * m)), np.column_stack((i, i + 2 * m, i + 3 * m))])
    points = np.concatenate([low[a], low[b], high[b], high[a]])
    return joined(
        [
            Skin(high, normals, triangles),
            Skin(low, -normals, triangles[:, ::-1]),
            Skin(points, np.tile(out, (4, 1)), walls),
        ]
    )


def thin_mesh(
    name: str,
    faces: tuple[Floats, Floats],
    pieces: Iterable[tuple[Sequence[int], Ints]],
    rim: Sequence[Edge],
    sharp: Sequence[Edge],
) -> Mesh:
    """Return a body for views with hidden lines.

    Args:
        name: Its name.
        faces: Corners on the lower and on the upper face, each (n, 3) [mm].
        pieces: Outline and triangles of each piece, by numbers of corners; two that share an edge meet smoothly there.
        rim: Where the body ends.
        sharp: Edges that are always seen; corners of the upper face are counted on from those of the lower one.
    """
    n = len(faces[0])
    sides: list[tuple[int, ...]] = []
    owner: dict[Edge, int] = {}
    smooth: list[tuple[int, int, int, int]] = []
    triangles: list[Ints] = []
    for ring, own in pieces:
        mine = len(sides)
        sides += [tuple(i + n for i in ring), tuple(reversed(ring))]
        triangles += [own + n, own[:, ::-1]]
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            other = owner.pop((b, a), None)
            if other is None:
                owner[(a, b)] = mine
            else:
                smooth += [(a + n, b + n, mine, other), (a, b, mine + 1, other + 1)]
    for a, b in rim:
        sides.append((a, b, b + n, a + n))
        triangles.append(np.array([(a, b, b + n), (a, b + n, a + n)]))
    return Mesh(name, np.concatenate(faces), tuple(sides), np.concatenate(triangles), tuple(sharp), tuple(smooth))
