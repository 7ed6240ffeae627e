"""Rigid transforms as 4 x 4 matrices: turning, moving, mirroring. Lengths mm."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Matrix4

__all__ = ["IDENTITY", "from_raised_zero", "is_rigid", "matrix4", "moved", "turned"]

Floats = NDArray[np.float64]

IDENTITY: Matrix4 = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
"""Leaves everything where it is."""


def matrix4(values: Floats | Sequence[Sequence[float]]) -> Matrix4:
    """Return a (4, 4) array as plain rows [mm in the last column]. Source: none needed, nothing is computed."""
    a, b, c, d = (tuple(row) for row in np.asarray(values, dtype=float).tolist())
    return (a, b, c, d)


def from_raised_zero(transform: Matrix4, lift: float) -> Floats:
    """Return the same motion, told in axes whose zero lies `lift` [mm] lower.

    Source: change of axes, L T L^-1 with L the move by `lift` along z. A motion that mirrors left and right, or turns
    about a vertical axis, stays as it is.

    >>> turn_over = ((1, 0, 0, 0), (0, -1, 0, 0), (0, 0, -1, 0), (0, 0, 0, 1))
    >>> float(from_raised_zero(turn_over, 100.0)[2, 3])
    200.0
    """
    out = np.array(transform, dtype=float)
    out[:3, 3] -= out[:3, 2] * lift
    out[2, 3] += lift
    return out


def moved(transform: Floats, points: Floats) -> Floats:
    """Return points (n, 3) [mm] after a transform. Source: plane geometry."""
    out: Floats = points @ transform[:3, :3].T + transform[:3, 3]
    return out


def turned(transform: Floats, directions: Floats) -> Floats:
    """Return directions (n, 3) [-] after a transform; its move does not count. Source: plane geometry."""
    out: Floats = directions @ transform[:3, :3].T
    return out


def is_rigid(transform: Matrix4, tolerance: float = 1e-6) -> bool:
    """Tell whether a transform keeps all lengths [mm] (a reflection does). Source: R^T R = 1.

    >>> is_rigid(((2, 0, 0, 0), (0, 1, 0, 0), (0, 0, 1, 0), (0, 0, 0, 1)))
    False
    """
    m = np.asarray(transform, dtype=float)
    own = m[:3, :3]
    straight = np.abs(m[3] - (0.0, 0.0, 0.0, 1.0)).max() <= tolerance
    return bool(straight and np.isfinite(m).all() and np.abs(own.T @ own - np.eye(3)).max() <= tolerance)
