"""A slung bed: orthotropic cloth on elastic loops under any downward load, large sags.

The cloth is a net of threads on a grid: warp along the rows, weft along the columns, and threads along both diagonals
that stand for its stiffness in shear. Threads and loops pull and never push, so the energy is convex and has one least
value: Newton's steps find it from anywhere. Joints only touch their neighbours, so each step is solved row by row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Cloth", "LoopStay", "SlungBed", "patch_loads", "slung_bed"]

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Threads = tuple[Ints, Ints, Floats, Floats]
"""Joints at both ends, slack lengths [mm], stiffness per length [N/mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """A rectangle of cloth as it lies flat without pull.

    Attributes:
        along: (nx,) places of the joints along the bed [mm].
        across: (ny,) places across it [mm].
        warp: Pull per width and strain along the bed [N/mm].
        weft: The same across it [N/mm].
        bias: In shear: pull per width and strain along the diagonals [N/mm].
        prestrain: By how much the flat cloth is stretched along and across when it hangs at these places [-].
    """

    along: Floats
    across: Floats
    warp: float
    weft: float
    bias: float = 0.0
    prestrain: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoopStay:
    """A loop or a length of lacing from a joint of the cloth to something that does not move.

    Attributes:
        row: Of the joint, across.
        column: Of the joint, along.
        anchor: x, y, z of where it is tied [mm]; the flat cloth lies at z = 0.
        slack: Its length without pull [mm].
        stiffness_n_mm: Pull per lengthening [N/mm].
    """

    row: int
    column: int
    anchor: tuple[float, float, float]
    slack: float
    stiffness_n_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SlungBed:
    """The bed under load.

    Attributes:
        places: (ny, nx, 3) places of the joints [mm].
        deepest: How far the deepest joint hangs below the flat cloth [mm].
        loop_pulls: One per loop [N].
        warp_pull: Largest pull per width along [N/mm].
        weft_pull: Largest pull per width across [N/mm].
        rest: Largest force that is not balanced at a joint [N]: how exact it is.
    """

    places: Floats
    deepest: float
    loop_pulls: Floats
    warp_pull: float
    weft_pull: float
    rest: float


def patch_loads(along: Floats, across: Floats, patches: Sequence[tuple[float, float, float, float, float]]) -> Floats:
    """Return what each joint carries of loads spread over rectangles.

    Args:
        along: (nx,) places of the joints along [mm].
        across: (ny,) places across [mm].
        patches: (from x, to x, from y, to y, load) each [mm, N].

    Returns:
        (ny, nx) loads [N].

    Raises:
        ValueError: If a patch reaches beyond the cloth or has no area.

    Source: each joint carries what lies nearest to it: half way to its neighbours.

    >>> patch_loads(np.array([0.0, 10.0, 20.0]), np.array([0.0, 10.0]), [(0.0, 20.0, 0.0, 10.0, 80.0)]).tolist()
    [[10.0, 20.0, 10.0], [10.0, 20.0, 10.0]]
    """
    out = np.zeros((len(across), len(along)))
    for x0, x1, y0, y1, load in patches:
        if not (along[0] <= x0 < x1 <= along[-1] and across[0] <= y0 < y1 <= across[-1]):
            raise ValueError(f"a load from {x0:g} to {x1:g} and from {y0:g} to {y1:g} mm is not on the cloth")
        out += load * np.outer(_shares(across, y0, y1), _shares(along, x0, x1))
    return out


def _shares(places: Floats, start: float, end: float) -> Floats:
    edges = np.concatenate([places[:1], (places[1:] + places[:-1]) / 2, places[-1:]])
    inside = np.clip(np.minimum(edges[1:], end) - np.maximum(edges[:-1], start), 0.0, None)
    shares: Floats = inside / (end - start)
    return shares


def _widths(places: Floats) -> Floats:
    """Width of cloth that each thread stands for: half way to its neighbours, all of it counted [mm]."""
    edges = np.concatenate([places[:1], (places[1:] + places[:-1]) / 2, places[-1:]])
    return np.diff(edges)


def _threads(cloth: Cloth) -> tuple[Threads, int, int]:
    """All threads, warp first, then weft, then the diagonals; and how many warp and weft threads there are."""
    nx, ny = len(cloth.along), len(cloth.across)
    joint = np.arange(ny * nx).reshape(ny, nx)
    dx, dy = np.diff(cloth.along), np.diff(cloth.across)
    wx, wy = _widths(cloth.along), _widths(cloth.across)
    sx, sy = 1 + cloth.prestrain[0], 1 + cloth.prestrain[1]
    warp = (joint[:, :-1], joint[:, 1:], np.tile(dx / sx, (ny, 1)), cloth.warp * np.outer(wy, sx / dx))
    weft = (joint[:-1], joint[1:], np.tile(dy[:, None] / sy, (1, nx)), cloth.weft * np.outer(sy / dy, wx))
    groups = [warp, weft]
    if cloth.bias > 0:
        slack = np.hypot(dx[None] / sx, dy[:, None] / sy)
        cell = cloth.bias * np.outer(dy, dx) / np.hypot(dx[None], dy[:, None]) / slack
        groups += [(joint[:-1, :-1], joint[1:, 1:], slack, cell), (joint[:-1, 1:], joint[1:, :-1], slack, cell)]
    a, b, l0, k = (np.concatenate([np.ravel(g[i]) for g in groups]) for i in range(4))
    return (a, b, l0, k), warp[0].size, weft[0].size


def slung_bed(
    cloth: Cloth, stays: Sequence[LoopStay], loads: Floats, fixed: NDArray[np.bool_] | None = None
) -> SlungBed:
    """Return how a slung bed hangs under load.

    Args:
        cloth: The cloth [mm, N/mm].
        stays: The loops it hangs on.
        loads: (ny, nx) downward loads at its joints [N].
        fixed: (ny, nx) joints that cannot move, as where an edge is clamped; None: none.

    Raises:
        ValueError: If nothing holds the cloth, or no rest is found.

    Source: least energy of threads that only pull, less the work of the load (computed here; net of cables in place of
    a membrane). Tests: finite differences of a stretched membrane, the exact cable.
    """
    nx, ny = len(cloth.along), len(cloth.across)
    held = np.zeros((ny, nx), dtype=bool) if fixed is None else fixed
    if not stays and not held.any():
        raise ValueError("nothing holds the cloth")
    net = _Net(cloth, stays, loads, held)
    places = net.start()
    energy, damping = net.energy(places), 1e-3
    for _ in range(400):
        gradient = net.gradient(places)
        rest = float(np.abs(gradient).max())
        if rest < 1e-7 * max(float(np.abs(loads).max()), 1e-9):
            break
        while True:
            new = places + net.step(places, gradient, damping)
            after = net.energy(new)
            if after <= energy + 1e-13 * abs(energy) or damping > 1e12:
                break
            damping *= 8
        places, energy, damping = new, after, max(damping / 6, 1e-9)
    else:
        raise ValueError(f"no rest found: {rest:g} N are left over at a joint")
    return net.answer(places, rest)


class _Net:
    """Threads, loops and loads in the form that Newton's steps need."""

    def __init__(self, cloth: Cloth, stays: Sequence[LoopStay], loads: Floats, held: NDArray[np.bool_]) -> None:
        self.cloth, self.held = cloth, held
        self.nx, self.ny = len(cloth.along), len(cloth.across)
        (self.a, self.b, self.l0, self.k), self.warps, self.wefts = _threads(cloth)
        self.at = np.array([s.row * self.nx + s.column for s in stays], dtype=np.intp)
        self.anchor = np.array([s.anchor for s in stays], dtype=float).reshape(-1, 3)
        self.stay_l0 = np.array([s.slack for s in stays], dtype=float)
        self.stay_k = np.array([s.stiffness_n_mm for s in stays], dtype=float)
        self.load = np.asarray(loads, dtype=float).ravel()

    def start(self) -> Floats:
        x, y = np.meshgrid(self.cloth.along, self.cloth.across)
        reach = min(np.ptp(self.cloth.along), np.ptp(self.cloth.across))
        u = (x - x.min()) / np.ptp(x)
        v = (y - y.min()) / np.ptp(y)
        z = -0.02 * reach * (16 * u * (1 - u) * v * (1 - v) + (0.0 if self.held.any() else 1.0))
        return np.stack([x, y, np.where(self.held, 0.0, z)], axis=-1).reshape(-1, 3)

    def spans(self, p: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Ways and lengths of threads and of stays."""
        way, stay = p[self.b] - p[self.a], self.anchor - p[self.at]
        return way, np.linalg.norm(way, axis=1), stay, np.linalg.norm(stay, axis=1)

    def energy(self, p: Floats) -> float:
        _, length, _, stay = self.spans(p)
        pull = 0.5 * self.k * np.maximum(length - self.l0, 0.0) ** 2
        loop = 0.5 * self.stay_k * np.maximum(stay - self.stay_l0, 0.0) ** 2
        return float(pull.sum() + loop.sum() + (self.load * p[:, 2]).sum())

    def gradient(self, p: Floats) -> Floats:
        way, length, stay, reach = self.spans(p)
        out = np.zeros_like(p)
        out[:, 2] = self.load
        force = (self.k * np.maximum(length - self.l0, 0.0) / np.maximum(length, 1e-12))[:, None] * way
        loop = (self.stay_k * np.maximum(reach - self.stay_l0, 0.0) / np.maximum(reach, 1e-12))[:, None] * stay
        np.add.at(out, self.a, -force)
        np.add.at(out, self.b, force)
        np.add.at(out, self.at, -loop)
        out[self.held.ravel()] = 0.0
        return out

    def step(self, p: Floats, gradient: Floats, damping: float) -> Floats:
        """Newton's step, damped; block by block of rows."""
        way, length, stay, reach = self.spans(p)
        thread, loop = _stiffness(way, length, self.l0, self.k), _stiffness(stay, reach, self.stay_l0, self.stay_k)
        free = (~self.held.ravel()).astype(float)
        own = np.zeros((len(p), 3, 3))
        np.add.at(own, self.a, thread)
        np.add.at(own, self.b, thread)
        np.add.at(own, self.at, loop)
        thread = thread * (free[self.a] * free[self.b])[:, None, None]
        size = 3 * self.nx
        middle = np.zeros((self.ny, self.nx, 3, self.nx, 3))
        beyond = np.zeros((self.ny - 1, self.nx, 3, self.nx, 3))
        row, column = np.divmod(np.arange(len(p)), self.nx)
        scale = damping * float(np.mean(self.k)) + 1e-12
        held = (scale + 1 - free)[:, None, None] * np.eye(3)
        middle[row, column, :, column] = own * free[:, None, None] + held
        (ra, ca), (rb, cb) = np.divmod(self.a, self.nx), np.divmod(self.b, self.nx)
        same = ra == rb
        for c1, c2 in ((ca[same], cb[same]), (cb[same], ca[same])):  # each pair of joints has one thread
            middle[ra[same], c1, :, c2] -= thread[same]
        beyond[ra[~same], ca[~same], :, cb[~same]] -= thread[~same]
        return _rows(
            middle.reshape(self.ny, size, size),
            beyond.reshape(self.ny - 1, size, size),
            -gradient.reshape(self.ny, size),
        ).reshape(-1, 3)

    def answer(self, p: Floats, rest: float) -> SlungBed:
        _, length, _, stay = self.spans(p)
        pull = self.k * np.maximum(length - self.l0, 0.0)
        wx, wy = _widths(self.cloth.along), _widths(self.cloth.across)
        warp = pull[: self.warps].reshape(self.ny, -1) / wy[:, None]
        weft = pull[self.warps : self.warps + self.wefts].reshape(self.ny - 1, -1) / wx
        return SlungBed(
            places=p.reshape(self.ny, self.nx, 3),
            deepest=-float(p[:, 2].min()),
            loop_pulls=self.stay_k * np.maximum(stay - self.stay_l0, 0.0),
            warp_pull=float(warp.max()),
            weft_pull=float(weft.max()),
            rest=rest,
        )


def _stiffness(way: Floats, length: Floats, l0: Floats, k: Floats) -> Floats:
    """Stiffness (m, 3, 3) of threads that only pull [N/mm]."""
    n = way / np.maximum(length, 1e-12)[:, None]
    along = np.einsum("mi,mj->mij", n, n)
    slack = np.maximum(1 - l0 / np.maximum(length, 1e-12), 0.0)
    taut = (length > l0).astype(float)
    out: Floats = (k * taut)[:, None, None] * (along + slack[:, None, None] * (np.eye(3) - along))
    return out


def _rows(middle: Floats, beyond: Floats, right: Floats) -> Floats:
    """Solve a symmetric block-tridiagonal system."""
    middle, right = middle.copy(), right.copy()
    for r in range(1, len(middle)):
        factor = np.linalg.solve(middle[r - 1], beyond[r - 1]).T
        middle[r] -= factor @ beyond[r - 1]
        right[r] -= factor @ right[r - 1]
    out = np.zeros_like(right)
    out[-1] = np.linalg.solve(middle[-1], right[-1])
    for r in range(len(middle) - 2, -1, -1):
        out[r] = np.linalg.solve(middle[r], right[r] - beyond[r] @ out[r + 1])
    return out
