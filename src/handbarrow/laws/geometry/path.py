"""Centrelines of bent tube and bar: corner points with a radius at each inner corner, or straight / bend / turn steps.

Conventions (docs/nomenclature.md): bend angle = change of direction, 0 is straight. The bend normal is
n_i = t_in x t_out; the turn before bend i is right-handed about the straight's direction t, looking along the run
from its datum end: turn_i = atan2((n_{i-1} x n_i) . t, n_{i-1} . n_i), 0 for the first bend.

A centreline of n bends has 2n + 1 elements: element 2k is straight k, element 2k + 1 is the arc of bend k
(k from 0). Lengths mm, angles rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "Centreline",
    "Closest",
    "Layout",
    "Matrix4",
    "Steps",
    "Vec2",
    "Vec3",
    "closest",
    "cross",
    "crown_by_rule",
    "crown_on_straights",
    "from_steps",
    "layout",
    "length",
    "rotation",
    "sample",
    "spaced_evenly",
    "to_steps",
    "transformed",
    "vec3",
]

Vec2 = tuple[float, float]
Vec3 = tuple[float, float, float]
Row4 = tuple[float, float, float, float]
Matrix4 = tuple[Row4, Row4, Row4, Row4]
"""A rigid transform as rows; the last row is (0, 0, 0, 1)."""
Floats = NDArray[np.float64]

STRAIGHT_RAD = 1e-9
"""A corner that changes direction by less than this is no bend [rad]."""


def vec3(values: Sequence[float] | Floats) -> Vec3:
    """Return three numbers as a plain tuple [any unit]. Source: none needed, nothing is computed."""
    x, y, z = values.tolist() if isinstance(values, np.ndarray) else map(float, values)
    return (x, y, z)


def cross(a: Floats, b: Floats) -> Floats:
    """Return the vector product of rows (..., 3) [unit of a times unit of b]; numpy's own is slow on few rows.

    Source: definition.

    >>> cross(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])).tolist()
    [0.0, 0.0, 1.0]
    """
    if a.ndim == b.ndim == 1:
        (ax, ay, az), (bx, by, bz) = a.tolist(), b.tolist()
        return np.array((ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx))
    out = np.empty(np.broadcast_shapes(a.shape, b.shape))
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    out[..., 0] = ay * bz - az * by
    out[..., 1] = az * bx - ax * bz
    out[..., 2] = ax * by - ay * bx
    return out


@dataclass(frozen=True, slots=True)
class Centreline:
    """A centreline: corner points P0..Pn [mm] and the bend radius at each inner corner [mm].

    Raises:
        ValueError: If there is not exactly one radius for each inner corner, or fewer than two points.
    """

    points: tuple[Vec3, ...]
    radii: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise ValueError(f"a centreline needs two points at least, got {len(self.points)}")
        if len(self.radii) != len(self.points) - 2:
            raise ValueError(f"{len(self.points)} points need {len(self.points) - 2} radii, got {len(self.radii)}")


@dataclass(frozen=True, slots=True)
class Layout:
    """Everything that follows from a centreline of n bends.

    Attributes:
        directions: (n + 1, 3) unit directions of the straights.
        angles: (n,) bend angles [rad].
        normals: (n, 3) unit bend normals t_in x t_out.
        turns: (n,) turn before each bend [rad], in (-pi, pi]; turns[0] = 0.
        setbacks: (n,) R tan(A/2) [mm].
        straights: (n + 1,) straights between tangent points [mm]; negative where there is no room.
        tangents_in: (n, 3) points where each bend starts.
        tangents_out: (n, 3) points where each bend ends.
        centres: (n, 3) centres of the arcs.
        radii: (n,) bend radii [mm].
        start: (3,) first point.
        end: (3,) last point.
    """

    directions: Floats
    angles: Floats
    normals: Floats
    turns: Floats
    setbacks: Floats
    straights: Floats
    tangents_in: Floats
    tangents_out: Floats
    centres: Floats
    radii: Floats
    start: Floats
    end: Floats

    @property
    def arcs(self) -> Floats:
        """Arc lengths R A [mm]."""
        return self.radii * self.angles


@lru_cache(maxsize=4096)
def layout(line: Centreline) -> Layout:
    """Return directions, angles, normals, turns, straights and tangent points of a centreline.

    Source: plane geometry; set-back R tan(A/2), turn as in the conventions.

    Raises:
        ValueError: If neighbouring points coincide, or a corner doubles back on itself.

    >>> elbow = layout(Centreline(((0, 0, 0), (400, 0, 0), (400, 300, 0)), (80.0,)))
    >>> [round(float(s), 6) for s in elbow.straights]
    [320.0, 220.0]
    """
    points = np.asarray(line.points, dtype=float)
    radii = np.asarray(line.radii, dtype=float)
    legs = np.diff(points, axis=0)
    lengths = np.linalg.norm(legs, axis=1)
    if not np.all(lengths > 1e-9):
        raise ValueError(f"points {int(np.argmin(lengths))} and {int(np.argmin(lengths)) + 1} coincide")
    t = legs / lengths[:, None]
    sideways = cross(t[:-1], t[1:])
    sines = np.sqrt(np.sum(sideways * sideways, axis=1))
    angles = np.arctan2(sines, np.sum(t[:-1] * t[1:], axis=1))
    if np.any(angles > math.pi - 1e-6):
        raise ValueError(f"corner {int(np.argmax(angles)) + 1} doubles back on itself")
    normals = _normals(t, sideways, sines)
    turns = np.zeros(len(angles))
    if len(angles) > 1:
        about = t[1:-1]
        turns[1:] = np.arctan2(
            np.sum(cross(normals[:-1], normals[1:]) * about, axis=1), np.sum(normals[:-1] * normals[1:], axis=1)
        )
        turns[turns <= -math.pi + 1e-12] = math.pi
    setbacks = radii * np.tan(angles / 2)
    straights = lengths.copy()
    straights[:-1] -= setbacks
    straights[1:] -= setbacks
    tangents_in = points[1:-1] - t[:-1] * setbacks[:, None]
    tangents_out = points[1:-1] + t[1:] * setbacks[:, None]
    centres = tangents_in + cross(normals, t[:-1]) * radii[:, None]
    return Layout(
        t, angles, normals, turns, setbacks, straights, tangents_in, tangents_out, centres, radii, points[0], points[-1]
    )


def _normals(t: Floats, sideways: Floats, sines: Floats) -> Floats:
    """Unit bend normals; a corner without a bend keeps the normal of the bend before it."""
    normals = np.zeros_like(sideways)
    last: Floats | None = None
    for i, (c, s) in enumerate(zip(sideways, sines, strict=True)):
        if s > STRAIGHT_RAD:
            last = c / s
        elif last is None:
            last = np.asarray(crown_by_rule(vec3(t[i])))
        else:
            flat = last - t[i] * float(last @ t[i])
            last = flat / np.linalg.norm(flat)
        normals[i] = last
    return normals


def length(line: Centreline) -> float:
    """Length along the finished centreline [mm]: straights + R A. Source: plane geometry.

    >>> round(length(Centreline(((0, 0, 0), (500, 0, 0), (500, 500, 0)), (100.0,))), 2)
    957.08
    """
    place = layout(line)
    return float(place.straights.sum() + place.arcs.sum())


# ------------------------------------------------------------------------------------------------ steps
@dataclass(frozen=True, slots=True)
class Steps:
    """A run as the bender sees it.

    Attributes:
        straights: n + 1 straights between tangent points [mm].
        angles: n bend angles [rad].
        turns: n turns before each bend [rad]; the first is 0.
        radii: n bend radii [mm].
    """

    straights: tuple[float, ...]
    angles: tuple[float, ...]
    turns: tuple[float, ...]
    radii: tuple[float, ...]


def rotation(axis: Sequence[float] | Floats, angle_rad: float) -> Floats:
    """Return the (3, 3) matrix that turns right-handed about a unit axis by angle [rad]. Source: Rodrigues."""
    x, y, z = (float(v) for v in axis)
    k = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    out: Floats = np.eye(3) + math.sin(angle_rad) * k + (1.0 - math.cos(angle_rad)) * (k @ k)
    return out


def from_steps(origin: Vec3, heading: Vec3, normal: Vec3, steps: Steps) -> Centreline:
    """Build the corner points from steps.

    Args:
        origin: First point [mm].
        heading: Unit direction of the first straight.
        normal: Unit normal of the first bend (the crown direction at the datum end), perpendicular to `heading`.
        steps: Straights, angles, turns, radii.

    Returns:
        The centreline; the inverse of `to_steps`.

    Source: the conventions above.
    """
    t, n = np.asarray(heading, float), np.asarray(normal, float)
    at = np.asarray(origin, float)
    points = [at]
    before = 0.0
    for s, a, turn, r in zip(steps.straights, steps.angles, steps.turns, steps.radii, strict=False):
        back = r * math.tan(a / 2)
        at = at + t * (before + s + back)
        points.append(at)
        n = rotation(t, turn) @ n
        t = rotation(n, a) @ t
        before = back
    points.append(at + t * (before + steps.straights[-1]))
    return Centreline(tuple(vec3(p) for p in points), steps.radii)


def to_steps(line: Centreline) -> Steps:
    """Return the steps of a centreline [mm, rad]; the inverse of `from_steps`. Source: the conventions above."""
    place = layout(line)
    return Steps(
        tuple(float(v) for v in place.straights),
        tuple(float(v) for v in place.angles),
        tuple(float(v) for v in place.turns),
        tuple(float(v) for v in place.radii),
    )


# ------------------------------------------------------------------------------------------------ crown line
def crown_by_rule(direction: Vec3) -> Vec3:
    """Crown direction of a straight run: the direction across it that is nearest to +z, else +y.

    Source: the conventions above. The result is a unit vector perpendicular to `direction` (unit).
    """
    t = np.asarray(direction, float)
    for wanted in (np.array([0.0, 0.0, 1.0]), np.array([0.0, 1.0, 0.0])):
        across = wanted - t * float(wanted @ t)
        size = float(np.linalg.norm(across))
        if size > 1e-6:
            return vec3(across / size)
    raise AssertionError("no direction is along both z and y")


@lru_cache(maxsize=4096)
def crown_on_straights(line: Centreline, crown: Vec3) -> Floats:
    """Carry the crown line along a run without twisting.

    Args:
        line: The centreline.
        crown: Unit crown direction at the datum end.

    Returns:
        (n + 1, 3) crown direction on each straight (unit).

    Source: parallel transport; each bend turns the crown about its own normal by the bend angle.
    """
    place = layout(line)
    out = [np.asarray(crown, float)]
    for n, a in zip(place.normals, place.angles, strict=True):
        out.append(rotation(n, float(a)) @ out[-1])
    crowns = np.array(out)
    crowns.setflags(write=False)
    return crowns


# ------------------------------------------------------------------------------------------------ asking
class Closest(NamedTuple):
    """Where a point lies against a centreline: distance [mm], element index, distance along from the start [mm]."""

    distance: float
    element: int
    along: float
    point: Vec3


class _Leg(NamedTuple):
    """A straight as plain numbers, and the arc after it (radius 0: none)."""

    at: Vec3
    way: Vec3
    size: float
    run: float
    centre: Vec3
    spoke: Vec3
    """Unit direction from the centre to the start of the arc."""
    radius: float
    angle: float
    arc_run: float


@lru_cache(maxsize=4096)
def _legs(line: Centreline) -> tuple[_Leg, ...]:
    place, run, out = layout(line), 0.0, []
    starts, bends = [place.start, *place.tangents_out], len(place.angles)
    for k, (at, t, s) in enumerate(zip(starts, place.directions, place.straights.tolist(), strict=True)):
        r, a = (float(place.radii[k]), float(place.angles[k])) if k < bends else (0.0, 0.0)
        centre = place.centres[k] if k < bends else at
        spoke = (place.tangents_in[k] - centre) / r if r > 0 else t
        out.append(_Leg(vec3(at), vec3(t), max(s, 0.0), run, vec3(centre), vec3(spoke), r, a, run + s))
        run += s + r * a
    return tuple(out)


def closest(line: Centreline, point: Vec3) -> Closest:
    """Return the point of a centreline nearest to a point [mm].

    Source: plane geometry, exact on straights and arcs.
    """
    x, y, z = point
    best = Closest(math.inf, 0, 0.0, point)
    for k, leg in enumerate(_legs(line)):
        (ax, ay, az), (tx, ty, tz) = leg.at, leg.way
        f = min(max((x - ax) * tx + (y - ay) * ty + (z - az) * tz, 0.0), leg.size)
        foot = (ax + tx * f, ay + ty * f, az + tz * f)
        d = math.dist(point, foot)
        if d < best.distance - 1e-12:
            best = Closest(d, 2 * k, leg.run + f, foot)
        if leg.radius > 0 and leg.angle > 0:
            foot, along = _closest_on_arc(leg, point)
            d = math.dist(point, foot)
            if d < best.distance - 1e-12:
                best = Closest(d, 2 * k + 1, leg.arc_run + along, foot)
    return best


def _closest_on_arc(leg: _Leg, point: Vec3) -> tuple[Vec3, float]:
    """The nearest point of the arc after a leg, and how far along the arc it lies [mm]."""
    (cx, cy, cz), (ux, uy, uz), (tx, ty, tz), r = leg.centre, leg.spoke, leg.way, leg.radius
    x, y, z = point[0] - cx, point[1] - cy, point[2] - cz
    phi = math.atan2(x * tx + y * ty + z * tz, x * ux + y * uy + z * uz)
    mid = leg.angle / 2
    phi = mid + (phi - mid + math.pi) % (2 * math.pi) - math.pi
    phi = min(max(phi, 0.0), leg.angle)
    c, s = r * math.cos(phi), r * math.sin(phi)
    return (cx + c * ux + s * tx, cy + c * uy + s * ty, cz + c * uz + s * tz), r * phi


def sample(line: Centreline, chord_rad: float = math.radians(7.5)) -> Floats:
    """Return (m, 3) points along the centreline [mm]: the ends of straights, and arcs in chords of at most chord_rad.

    Source: plane geometry. For drawings and swing checks, not for lengths.
    """
    place = layout(line)
    out = [place.start[None]]
    for k, a in enumerate(place.angles):
        steps = max(1, math.ceil(float(a) / chord_rad))
        phi = np.arange(steps + 1)[:, None] * (float(a) / steps)
        spoke = place.tangents_in[k] - place.centres[k]
        out.append(place.centres[k] + np.cos(phi) * spoke + np.sin(phi) * np.cross(place.normals[k], spoke))
    return np.concatenate([*out, place.end[None]])


def spaced_evenly(points: Floats, count: int) -> Floats:
    """Return `count` points at even distances along a line through points (n, 3) [mm]. Source: plane geometry."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    places = np.linspace(0.0, along[-1], count)
    return np.column_stack([np.interp(places, along, points[:, k]) for k in range(3)])


def transformed(line: Centreline, transform: Matrix4) -> Centreline:
    """Return the centreline moved by a rigid transform [mm] (a reflection is allowed). Source: plane geometry."""
    m = np.asarray(transform, float)
    points = np.asarray(line.points, float) @ m[:3, :3].T + m[:3, 3]
    return Centreline(tuple(vec3(p) for p in points), line.radii)
