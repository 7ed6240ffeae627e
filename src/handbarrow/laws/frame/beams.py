"""Members as arrays: where they run, how they give, what is left of them when an end is let free.

Every member, straight or bent, is one integral of flexibility along its centreline: what a force at its end bends,
shears, stretches and twists. The integral is exact for straights and, with `ARC_POINTS` Gauss points, within 1e-9 for
arcs. "Own" numbers of a member: six at its start in its axes there, six at its end in its axes there (t, v, u; then the
moments about them), forces on the member.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.values import RELEASES, Frame
from handbarrow.laws.geometry.path import cross

__all__ = ["Beams", "Runs", "arms", "beams", "by_shape", "carried", "gauss", "places", "swept"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

STRAIGHT_POINTS, ARC_POINTS = 3, 8
ALONG = 1e-6
"""Sine of the angle to its member below which a direction counts as lying along it."""
LOOSE = 1e-10
"""Share of its stiffness below which a freed end counts as not held by its own member."""


@dataclass(frozen=True, slots=True)
class Runs:
    """Where the members of a frame run and how their sections give, first axis: member (m).

    Attributes:
        nodes: (m, 2) numbers of start and end node.
        axes: (m, 3, 3) rows t, v, u at the start.
        length: (m,) along the centreline [mm].
        curvature: (m,) 1 / radius [rad/mm]; 0 where straight.
        normal: (m, 3) bend normal in the axes at the start.
        gives: (m, 6, 6) section compliance: strains and curvatures from forces and moments.
        mass: (m,) [kg/mm].
        turning: (m, 3) density times integral of squared distance about t, v, u [kg mm].
    """

    nodes: Ints
    axes: Floats
    length: Floats
    curvature: Floats
    normal: Floats
    gives: Floats
    mass: Floats
    turning: Floats

    def chosen(self, rows: Ints) -> Runs:
        """The same, of some members only, in that order; one may come more than once."""
        return Runs(*(getattr(self, name)[rows] for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class Beams:
    """Members with their stiffness.

    Attributes:
        runs: Where they run.
        to_own: (m, 12, 12) own displacements of the two ends from those of the nodes.
        stiff_end: (m, 6, 6) stiffness of the end with the start held, in the axes at the start.
        whole: (m, 12, 12) own stiffness before anything is let free.
        stiff: (m, 12, 12) own stiffness.
        free: (m, 12) what is let free.
        follow: (m, 12, 12) own displacements of the ends of the metal from those of what holds them, unloaded.
        yields: (m, 12, 12) what the freed ends give under own forces on them.
        loose: Members whose freed ends let something move without any force.
    """

    runs: Runs
    to_own: Floats
    stiff_end: Floats
    whole: Floats
    stiff: Floats
    free: NDArray[np.bool_]
    follow: Floats
    yields: Floats
    loose: tuple[int, ...]


def beams(frame: Frame, numbers: dict[str, int]) -> Beams:
    """Return the members of a frame as arrays [mm, N, MPa, kg].

    Args:
        frame: The frame.
        numbers: Number of each node by name.

    Returns:
        Their geometry and stiffness.

    Source: flexibility of a beam with shear (Timoshenko) integrated along the centreline; closed by equilibrium.

    Raises:
        ValueError: If a member has no length, or its crown or its bend's normal lies along it.
    """
    members = frame.members
    at = np.array([n.at for n in frame.nodes], float)
    nodes = np.array([(numbers[m.start], numbers[m.end]) for m in members], np.int64).reshape(-1, 2)
    offsets = np.array([(m.start_offset, m.end_offset) for m in members], float).reshape(-1, 2, 3)
    ends = at[nodes] + offsets
    chord = ends[:, 1] - ends[:, 0]
    size = np.sqrt(np.sum(chord * chord, axis=1))
    if not np.all(size > 1e-9):
        raise ValueError(f"member {members[int(np.argmin(size))].name} has no length")
    angle = np.array([m.arc.angle_rad if m.arc else 0.0 for m in members])
    axes, normal = _axes(frame, chord / size[:, None], angle)
    bent = angle > 0
    length = np.where(bent, size * angle / np.where(bent, 2 * np.sin(angle / 2), 1.0), size)
    local = np.einsum("mij,mj->mi", axes, normal)
    free = np.array([[r in f for f in (m.start_free, m.end_free) for r in RELEASES] for m in members], bool)
    free = free.reshape(-1, 12)
    gives, mass, turning = _sections(frame)
    runs = Runs(nodes, axes, length, angle / length, local, gives, mass, turning)
    stiff_end: Floats = np.linalg.inv(_flexibility(runs)).astype(float)
    to_end, turned = places(runs, length[:, None])
    whole = _closed(stiff_end, to_end[:, 0], turned[:, 0])
    stiff, follow, yields, loose = _let_free(whole, free)
    own: Floats = _to_own(axes, turned[:, 0], offsets)
    return Beams(runs, own, stiff_end, whole, stiff, free, follow, yields, loose)


def _axes(frame: Frame, chord: Floats, angle: Floats) -> tuple[Floats, Floats]:
    """Axes at the start, and bend normals, both in the product's axes."""
    members = frame.members
    t, normals = chord, np.zeros_like(chord)
    bent = np.flatnonzero(angle > 0)
    if len(bent):
        given = np.array([m.arc.normal for m in members if m.arc is not None], float)
        normals[bent] = _across(given, chord[bent], [members[i].name for i in bent], "the bend's normal of member {}")
        half = angle[:, None] / 2
        t = chord * np.cos(half) - cross(normals, chord) * np.sin(half)
    up = np.array([0.0, 0.0, 1.0]) - t * t[:, 2:]
    upright = np.sum(up * up, axis=1) < 1e-12
    up[upright] = np.array([0.0, 1.0, 0.0]) - t[upright] * t[upright, 1:2]
    crown = np.array([m.crown or (0.0, 0.0, 0.0) for m in members], float).reshape(-1, 3)
    crown = np.where(np.array([m.crown is None for m in members], bool)[:, None], up, crown)
    v = _across(crown, t, [m.name for m in members], "the crown of member {}")
    return np.stack((t, v, cross(t, v)), axis=1), normals


def _across(way: Floats, t: Floats, names: Sequence[str], what: str) -> Floats:
    """The parts of directions that lie across t, as unit vectors."""
    whole = np.sqrt(np.sum(way * way, axis=1, keepdims=True))
    way = way / np.where(whole > 0, whole, 1.0)
    out = way - t * np.sum(way * t, axis=1, keepdims=True)
    size = np.sqrt(np.sum(out * out, axis=1, keepdims=True))
    if not np.all(size > ALONG):
        raise ValueError(f"{what.format(names[int(np.argmin(size))])} lies along it")
    across: Floats = out / size
    return across


def _sections(frame: Frame) -> tuple[Floats, Floats, Floats]:
    """Compliance of the sections, mass per length, and its square of distance."""
    rows = [
        (s.area, s.shear_height, s.shear_width, s.torsion, s.inertia_width, s.inertia_height, s.product,
         m.material.youngs_mpa, m.material.shear_mpa, m.material.density_kg_mm3, m.softer)
        for m in frame.members
        for s in (m.section,)
    ]  # fmt: skip
    a, a_v, a_u, j, i_v, i_u, i_vu, e, g, rho, softer = np.array(rows, float).reshape(-1, 11).T
    gives = np.zeros((len(a), 6, 6))
    gives[:, 0, 0] = 1 / (e * a)
    gives[:, 1, 1] = 1 / (g * a_v)
    gives[:, 2, 2] = 1 / (g * a_u)
    gives[:, 3, 3] = 1 / (g * j)
    bend = softer / (e * (i_v * i_u - i_vu**2))
    gives[:, 4, 4], gives[:, 5, 5] = bend * i_u, bend * i_v
    gives[:, 4, 5] = gives[:, 5, 4] = bend * i_vu
    return gives, rho * a, rho[:, None] * np.stack((i_v + i_u, i_v, i_u), axis=1)


# ------------------------------------------------------------------------------------------------ along a member
def gauss(begin: Floats, end: Floats, count: int) -> tuple[Floats, Floats]:
    """Return Gauss places and weights [mm] on spans (..., ) as (..., count). Source: Gauss-Legendre quadrature."""
    x, w = _legendre(count)
    half = (end - begin)[..., None] / 2
    return begin[..., None] + half * (x + 1), half * w


@lru_cache(maxsize=32)
def _legendre(count: int) -> tuple[Floats, Floats]:
    return np.polynomial.legendre.leggauss(count)


def places(some: Runs, along: Floats) -> tuple[Floats, Floats]:
    """Return where a member has got to, in its axes at the start.

    Args:
        some: Members (m).
        along: (m, k) distances along the centreline from the start [mm].

    Returns:
        (m, k, 3) places [mm] and (m, k, 3, 3) axes there, as rows.

    Source: geometry of the circle.
    """
    bent = some.curvature > 0
    if not bent.any():
        straight = np.zeros((*along.shape, 3))
        straight[..., 0] = along
        return straight, np.broadcast_to(np.eye(3), (*along.shape, 3, 3))
    angle = along * some.curvature[:, None]
    c, s = np.cos(angle), np.sin(angle)
    inverse = np.where(bent, 1 / np.where(bent, some.curvature, 1.0), 0.0)[:, None]
    ahead, aside = np.where(bent[:, None], s * inverse, along), (1 - c) * inverse
    n = some.normal
    inward = np.stack((np.zeros(len(n)), n[:, 2], -n[:, 1]), axis=1)
    place = aside[..., None] * inward[:, None]
    place[..., 0] += ahead
    about = np.zeros((len(n), 3, 3))
    about[:, 0, 1], about[:, 0, 2], about[:, 1, 2] = -n[:, 2], n[:, 1], -n[:, 0]
    about -= np.swapaxes(about, 1, 2)
    turn = s[..., None, None] * about[:, None] + (1 - c)[..., None, None] * (about @ about)[:, None]
    turn = turn + np.eye(3)
    return place, np.swapaxes(turn, -1, -2)


def arms(r: Floats) -> Floats:
    """Return (..., 6, 6) matrices that carry force and moment over an arm r [mm]: m' = m + r x f.

    The transpose carries displacements the other way: u' = u + turn x r. Source: statics of the stiff body.
    """
    out = np.zeros((*r.shape[:-1], 6, 6))
    out[..., range(6), range(6)] = 1.0
    x, y, z = r[..., 0], r[..., 1], r[..., 2]
    out[..., 3, 1], out[..., 3, 2] = -z, y
    out[..., 4, 0], out[..., 4, 2] = z, -x
    out[..., 5, 0], out[..., 5, 1] = -y, x
    return out


def swept(matrix: Floats) -> Floats:
    """Return (..., 6, 6) with a (..., 3, 3) rotation [-] on forces and on moments. Source: none needed."""
    out = np.zeros((*matrix.shape[:-2], 6, 6))
    out[..., :3, :3] = out[..., 3:, 3:] = matrix
    return out


def carried(some: Runs, along: Floats, to: Floats) -> Floats:
    """Return what sections at `along` carry when a force stands at `to`.

    Args:
        some: Members (m).
        along: (m, k) where the sections are [mm].
        to: (m, k) where the force is [mm].

    Returns:
        (m, k, 6, 6): force [N] and moment [N mm] in the section's own axes from those in the axes at the start.

    Source: equilibrium.
    """
    here, turned = places(some, along)
    there, _ = places(some, to)
    if not (some.curvature > 0).any():
        return arms(there - here)
    return swept(turned) @ arms(there - here)


def by_shape(runs: Runs, rows: Ints, task: Callable[[Runs, Ints, int], Floats]) -> Floats:
    """Run a task on straights and on arcs apart, each with its count of Gauss points; put the rows together again.

    Args:
        runs: All members.
        rows: (r,) member of each row.
        task: From the members of some rows, the numbers of these rows and the count, to (rows, ...) [any unit].

    Returns:
        (r, ...) what the tasks gave.

    Source: none needed.
    """
    bent = runs.curvature[rows] > 0
    groups = [np.flatnonzero(~bent), np.flatnonzero(bent)]
    counts = (STRAIGHT_POINTS, ARC_POINTS)
    parts = np.concatenate([task(runs.chosen(rows[g]), g, n) for g, n in zip(groups, counts, strict=True)])
    out = np.empty_like(parts)
    out[np.concatenate(groups)] = parts
    return out


def _flexibility(runs: Runs) -> Floats:
    """How the end gives with the start held, axes at the start: (m, 6, 6)."""

    def task(some: Runs, _: Ints, count: int) -> Floats:
        along, weight = gauss(np.zeros_like(some.length), some.length, count)
        x = carried(some, along, np.broadcast_to(some.length[:, None], along.shape))
        right = (weight[..., None, None] * some.gives[:, None]) @ x
        n, k = along.shape
        flat: Floats = np.swapaxes(x.reshape(n, k * 6, 6), 1, 2) @ right.reshape(n, k * 6, 6)
        return flat

    return by_shape(runs, np.arange(len(runs.length)), task)


def _closed(stiff_end: Floats, to_end: Floats, turned: Floats) -> Floats:
    """The whole own stiffness from that of the end: the start answers by equilibrium."""
    to_start = -arms(to_end)
    end = np.swapaxes(swept(np.swapaxes(turned, 1, 2)), 1, 2)
    both = np.concatenate((to_start, end), axis=1)
    out: Floats = both @ stiff_end @ np.swapaxes(both, 1, 2)
    return (out + np.swapaxes(out, 1, 2)) / 2


def _let_free(whole: Floats, free: NDArray[np.bool_]) -> tuple[Floats, Floats, Floats, tuple[int, ...]]:
    """Condense what is let free; tell which members then move without force."""
    stiff, loose = whole.copy(), []
    follow = np.broadcast_to(np.eye(12), whole.shape).copy()
    yields = np.zeros_like(whole)
    for i in np.flatnonzero(free.any(axis=1)):
        r = np.flatnonzero(free[i])
        scale = np.sqrt(np.diag(whole[i])[r])
        values, vectors = np.linalg.eigh(whole[i][np.ix_(r, r)] / np.outer(scale, scale))
        keep = values > LOOSE
        if not keep.all():
            loose.append(int(i))
        inverse = (vectors[:, keep] / values[keep]) @ vectors[:, keep].T / np.outer(scale, scale)
        yields[i][np.ix_(r, r)] = inverse
        follow[i][r] = 0.0
        follow[i] -= yields[i] @ np.where(free[i], 0.0, whole[i])
        stiff[i] = whole[i] @ follow[i]
        stiff[i][r] = 0.0
        stiff[i] = (stiff[i] + stiff[i].T) / 2
    return stiff, follow, yields, tuple(loose)


def _to_own(axes: Floats, turned: Floats, offsets: Floats) -> Floats:
    """Own displacements of both ends from those of the nodes: stiff offsets, then turned."""
    out = np.zeros((len(axes), 12, 12))
    for k, turn in ((0, axes), (1, turned @ axes)):
        out[:, 6 * k : 6 * k + 6, 6 * k : 6 * k + 6] = swept(turn) @ np.swapaxes(arms(offsets[:, k]), 1, 2)
    return out
