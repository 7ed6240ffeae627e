"""Welds that are not closed: runs along both sides of a plate or of a bar that lies on another."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import cross
from handbarrow.laws.welds.line import WeldLine, WeldUse, line_use, moment_along_line
from handbarrow.laws.welds.strength import PARTIAL, WeldSteel

__all__ = ["crossing_ring", "force_on_runs", "groove_width", "runs_use", "two_runs"]

Floats = NDArray[np.float64]

PIECES = 12
"""Into how many a run is cut."""


def groove_width(one: float, other: float, depth: float) -> float:
    """Return how far from the line of touch a groove between two round faces is so deep [mm].

    Args:
        one: Radius of one face [mm]; infinite: flat.
        other: Radius of the other [mm].
        depth: Of the groove, from face to face [mm].

    Source: plane geometry: x^2 = d (2 R - d) with 1 / R = 1 / r1 + 1 / r2, exact where one face is flat.

    >>> round(groove_width(10.0, math.inf, 2.0), 3)
    6.0
    """
    curved = 1 / one + 1 / other
    if not curved > 0:
        return 0.0
    deep = min(depth, 1 / curved)
    return math.sqrt(deep * (2 / curved - deep))


def two_runs(start: Floats, end: Floats, apart: Floats, up: Floats) -> WeldLine:
    """Return two straight runs beside each other.

    Args:
        start: (3,) middle between the runs where they begin [mm].
        end: (3,) and where they end [mm].
        apart: (3,) from the middle to one of the runs [mm].
        up: (3,) away from what it is welded to (unit).

    Source: plane geometry; faces square to each other.

    Raises:
        ValueError: If the runs have no length.
    """
    size = float(np.linalg.norm(end - start))
    if not size > 0:
        raise ValueError("the weld has no length")
    along = (end - start) / size
    middles = start + (np.arange(PIECES)[:, None] + 0.5) / PIECES * (end - start)
    side = apart / np.linalg.norm(apart)
    at = np.concatenate((middles + apart, middles - apart))
    half = np.concatenate((np.tile(up + side, (PIECES, 1)), np.tile(up - side, (PIECES, 1)))) / math.sqrt(2)
    return WeldLine(
        at, np.tile(along, (2 * PIECES, 1)), np.full(2 * PIECES, size / PIECES), half,
        np.full(2 * PIECES, math.pi / 2), np.asarray(up, float),
    )  # fmt: skip


def crossing_ring(at: Floats, ways: tuple[Floats, Floats], halves: tuple[float, float]) -> Floats:
    """Return (48, 3) points of the ring that welds two crossing bars where they touch [mm].

    Args:
        at: (3,) where they touch [mm].
        ways: Directions of the two bars (unit).
        halves: How far the ring reaches along each [mm].

    Source: ellipse on the directions of the bars.
    """
    turn = np.linspace(0.0, 2 * math.pi, 49)[:-1]
    out: Floats = at + np.cos(turn)[:, None] * ways[0] * halves[0] + np.sin(turn)[:, None] * ways[1] * halves[1]
    return out


def force_on_runs(line: WeldLine, forces: Floats, at: Floats) -> Floats:
    """Return (..., n, 3) what each millimetre of weld carries [N/mm].

    Args:
        line: The weld.
        forces: (..., 6) force and moment on it [N, N mm].
        at: (3,) where they act [mm].

    Source: elastic line (rivet-group rule, Bhatt and others; from memory): force spread evenly, moments as w x r with
    w from the line's own inertia.
    """
    force = forces[..., :3]
    left = forces[..., 3:] + cross(at - line.middle, force)
    out: Floats = force[..., None, :] / line.total + moment_along_line(line, left)
    return out


def runs_use(
    line: WeldLine, throat: float, forces: Floats, at: Floats, steel: WeldSteel, partial: float = PARTIAL
) -> WeldUse:
    """Return how much of a weld that is not closed is used [-] by both methods of EN 1993-1-8.

    Args:
        line: The weld.
        throat: The same all along [mm].
        forces: (..., 6) force and moment on it [N, N mm].
        at: (3,) where they act [mm].
        steel: The weaker of the joined steels.
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 4.5.3 (read at second hand) on the forces of `force_on_runs`.
    """
    return line_use(line, throat, force_on_runs(line, forces, at), steel, partial)
