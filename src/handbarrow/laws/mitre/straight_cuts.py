"""Stand-ins for a hacksaw: one or two straight cuts instead of a curve.

A cutting plane is h = at + tilt . (u, v). Every stand-in leaves metal: nowhere does it cut below the true curve, so
that filing brings the end to its designed place. Lengths mm, angles rad.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.mitre.frame import EndFrame

__all__ = ["StraightCut", "axis_tilt", "one_cut", "pointed_cuts", "two_cuts"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


class StraightCut(NamedTuple):
    """A straight cut.

    direction_rad: where round the girth it is deepest, from the crown line, right-handed about the run [rad].
    angle_rad: its angle from square [rad].
    at: h where it meets the centreline [mm].
    depth: metal left standing at most before the true curve [mm]: to be filed away, or, where nothing is filed and
        the cut is made deeper by as much, the largest gap that stays.
    """

    direction_rad: float
    angle_rad: float
    at: float
    depth: float


def straight_cut(tilt: Floats, at: float, depth: float) -> StraightCut:
    """Return a plane given by its tilt (2,) in (u, v) [mm/mm] as a straight cut."""
    steep = float(np.hypot(tilt[0], tilt[1]))
    direction = math.atan2(float(tilt[0]), float(tilt[1])) % (2 * math.pi) if steep > 1e-12 else 0.0
    direction = 0.0 if direction > 2 * math.pi - 1e-9 else direction
    return StraightCut(direction, math.atan(steep), at, max(depth, 0.0))


def axis_tilt(frame: EndFrame, axis: Vec3) -> tuple[Floats, Floats]:
    """Return the tilt that an oblique receiver gives to the whole cut, and the way across the receiver's axis.

    Args:
        frame: The end.
        axis: Unit direction of the receiver's axis.

    Returns:
        (2,) tilt in (u, v) [mm/mm] and (2,) unit direction in (u, v) square to the receiver's axis.

    Raises:
        ValueError: If the axes are parallel.

    Source: plane geometry: any angle is the square-on case tilted by the plane x cot(theta).
    """
    a = np.asarray(axis, float)
    along = np.array([a @ np.asarray(frame.u), a @ np.asarray(frame.v)])
    sine = float(np.hypot(along[0], along[1]))
    if sine < 1e-6:
        raise ValueError("the axes are parallel")
    x = along / sine
    return x * float(a @ np.asarray(frame.into)) / sine, np.array([-x[1], x[0]])


def _chord(y: Floats, g: Floats, side: Bools, low: float, high: float) -> tuple[float, float, float]:
    """Slope, constant and greatest depth of the chord of g(y) over [low, high], lowered until it leaves metal."""
    if high - low < 1e-9:
        return 0.0, float(g[side].min()), float(np.ptp(g[side]))
    first, last = np.interp([low, high], y, g)
    slope = float(last - first) / (high - low)
    rest = g[side] - slope * y[side]
    base = float(rest.min())
    return slope, base, float(rest.max()) - base


def one_cut(uv: Floats, h: Floats, tilt: Floats, across: Floats) -> StraightCut:
    """Return the one straight cut that follows a cope best.

    Args:
        uv: (n, 2) stations [mm].
        h: (n,) the cope [mm].
        tilt: (2,) tilt of the whole cut.
        across: (2,) unit direction square to the receiver's axis.

    Source: chord of a concave curve; on a round tube square on, depth = R - sqrt(R^2 - r^2).
    """
    y, g = _sorted(uv, h, tilt, across)
    slope, base, depth = _chord(y, g, np.ones(len(y), bool), float(y[0]), float(y[-1]))
    return straight_cut(tilt + slope * across, base, depth)


def two_cuts(uv: Floats, h: Floats, tilt: Floats, across: Floats) -> tuple[StraightCut, StraightCut]:
    """Return the two straight cuts (a V whose valley runs along the receiver) that follow a cope best.

    Arguments as for `one_cut` [mm]. The valley is placed so that both cuts leave the same depth.

    Source: chords of a concave curve; on a round tube square on the angle from square is asin(r / R) / 2 and the
    depth R (sqrt(1 + tan^2) - 1).
    """
    y, g = _sorted(uv, h, tilt, across)
    low, high = float(y[0]), float(y[-1])
    left_end, right_end = low, high
    valley = (low + high) / 2
    for _ in range(30):
        left = _chord(y, g, y <= valley + 1e-9, low, valley)
        right = _chord(y, g, y >= valley - 1e-9, valley, high)
        if abs(left[2] - right[2]) < 1e-4:
            break
        left_end, right_end = (left_end, valley) if left[2] > right[2] else (valley, right_end)
        valley = (left_end + right_end) / 2
    one, two = (straight_cut(tilt + slope * across, base, depth) for slope, base, depth in (left, right))
    return one, two


def _sorted(uv: Floats, h: Floats, tilt: Floats, across: Floats) -> tuple[Floats, Floats]:
    y = uv @ across
    order = np.argsort(y, kind="stable")
    return y[order], (h - uv @ tilt)[order]


def pointed_cuts(uv: Floats, each: tuple[Floats, Floats], tilts: tuple[Floats, Floats]) -> tuple[StraightCut, ...]:
    """Return one straight cut for each of two members met by one end (the tube is left pointed).

    Args:
        uv: (n, 2) stations [mm].
        each: The cope (n,) against each member alone [mm].
        tilts: (2,) tilt of the cut against each.

    Source: plane geometry; each plane is lowered until it leaves metal where its own member is the deeper one.
    """
    deeper = np.maximum(each[0], each[1])
    out = []
    for own, tilt in zip(each, tilts, strict=True):
        side = own >= deeper - 1e-9
        if not side.any():
            continue
        rest = deeper[side] - uv[side] @ tilt
        base = float(rest.min())
        out.append(straight_cut(tilt, base, float(rest.max()) - base))
    return tuple(out)
