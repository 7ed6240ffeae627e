"""The cut at an end: h at every station, what follows from it, and what is doubtful about it.

h = distance from the end's working point into the tube to the cut [mm].
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.mitre.frame import EndFrame

__all__ = ["bevel_depth", "plane_cut", "plane_tilt", "weld_length"]

Floats = NDArray[np.float64]


def plane_cut(frame: EndFrame, uv: Floats, normal: Vec3, point: Vec3) -> Floats:
    """Return h of a plane cut at every station [mm].

    Args:
        frame: The end.
        uv: (n, 2) stations in the section [mm].
        normal: Unit normal of the cutting plane.
        point: A point of it [mm].

    Raises:
        ValueError: If the plane runs along the tube.

    Source: plane geometry; for a tube cut at angle theta to its axis h = r cos(phi) / tan(theta).

    >>> import numpy as np
    >>> end = EndFrame((0, 0, 0), (1, 0, 0), (0, -1, 0), (0, 0, 1))
    >>> half = 0.5**0.5
    >>> [round(float(h), 6) for h in plane_cut(end, np.array([[0.0, 10.0], [0.0, -10.0]]), (half, 0, half), (0, 0, 0))]
    [-10.0, 10.0]
    """
    n = np.asarray(normal, float)
    across = float(n @ np.asarray(frame.into))
    if abs(across) < 1e-6:
        raise ValueError(f"a plane with normal {normal} does not cut a tube that runs along {frame.into}")
    out: Floats = (np.asarray(point, float) - frame.starts(uv)) @ n / across
    return out


def plane_tilt(frame: EndFrame, normal: Vec3) -> Floats:
    """Return (2,) how h of a plane cut rises with u and v [mm/mm]. Source: plane geometry."""
    n = np.asarray(normal, float)
    return -np.array([n @ np.asarray(frame.u), n @ np.asarray(frame.v)]) / float(n @ np.asarray(frame.into))


def bevel_depth(h: Floats, inner_h: Floats) -> float:
    """Return by how much the inner edge must be relieved at most [mm], if the wall is cut square along the outside.

    Args:
        h: (n,) cut on the outside [mm].
        inner_h: (n,) cut at the same stations on the inside of the wall [mm].

    Source: plane geometry: where the inside of the wall meets the receiver deeper in the tube than the outside does,
    a square edge touches with its inner corner first.
    """
    return max(float(np.max(inner_h - h)), 0.0)


def weld_length(s: Floats, h: Floats) -> float:
    """Return the true length of the cut edge on the outside [mm].

    Args:
        s: (n,) arc length round the outside [mm].
        h: (n,) cut [mm].

    Source: unrolling keeps lengths: the edge is as long as its curve on the wrap.

    >>> import numpy as np
    >>> weld_length(np.array([0.0, 3.0, 6.0]), np.array([0.0, 4.0, 0.0]))
    10.0
    """
    return float(np.sum(np.hypot(np.diff(s), np.diff(h))))
