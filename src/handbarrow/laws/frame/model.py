"""A frame ready to be solved: stiffness blocks between pairs of nodes, and which movements there are.

The ground is one more node, behind all others, that nothing moves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.beams import Beams, arms, beams, swept
from handbarrow.laws.frame.values import Contact, Frame, Link, LoadCase, NodeLoad, Spring

if TYPE_CHECKING:
    from scipy.sparse import csc_array

__all__ = ["Model", "assembled", "field_forces", "model", "node_forces", "unsprung"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Model:
    """A frame as arrays.

    Attributes:
        frame: What it was made from.
        numbers: Number of each node by name.
        at: (n, 3) nodes [mm].
        beams: The members.
        stiff: (m, 12, 12) their stiffness between nodes, along and about x, y, z.
        spring_rows: (s, 6, 12) what a spring feels of the movements of its two nodes, along its axes.
        spring_nodes: (s, 2) its nodes.
        spring_stiff: (s, 6) its stiffness [N/mm, N mm/rad].
        touch_rows: (k, 12) how far the two nodes of a contact approach each other.
        touch_nodes: (k, 2) its nodes.
        movements: What can move, as a sparse matrix ((n + 1) 6, q), or as (n + 1) 6 column numbers, -1 where held.
        count: How many independent movements there are (q).
    """

    frame: Frame
    numbers: dict[str, int]
    at: Floats
    beams: Beams
    stiff: Floats
    spring_rows: Floats
    spring_nodes: Ints
    spring_stiff: Floats
    touch_rows: Floats
    touch_nodes: Ints
    movements: Any
    count: int

    @property
    def linked(self) -> bool:
        """Whether links tie nodes to each other."""
        return not isinstance(self.movements, np.ndarray)

    def spread(self, moved: Floats) -> Floats:
        """Displacements (c, n + 1, 6) of all nodes from the independent movements (q, c)."""
        if self.linked:
            full = self.movements @ moved
        else:
            full = np.concatenate((moved, np.zeros((1, moved.shape[1]))))[self.movements]
        out: Floats = np.ascontiguousarray(full.T).reshape(moved.shape[1], len(self.at) + 1, 6)
        return out

    def gathered(self, forces: Floats) -> Floats:
        """Forces (q, c) on the independent movements from those on all nodes (c, n + 1, 6)."""
        flat = forces.reshape(len(forces), 6 * (len(self.at) + 1)).T
        if self.linked:
            linked: Floats = self.movements.T @ flat
            return linked
        out = np.zeros((self.count, flat.shape[1]))
        kept = self.movements >= 0
        out[self.movements[kept]] = flat[kept]
        return out


def model(frame: Frame) -> Model:
    """Return a frame as arrays [mm, N, MPa, kg]. Source: definitions; see `beams` for the stiffness.

    Raises:
        ValueError: If a member has no length, or links go round in a circle.
    """
    numbers = {n.name: i for i, n in enumerate(frame.nodes)}
    at = np.array([n.at for n in frame.nodes], float).reshape(-1, 3)
    ready = beams(frame, numbers)
    own = ready.to_own
    stiff = np.swapaxes(own, 1, 2) @ ready.stiff @ own
    rows, nodes = _pairs(frame.springs, numbers, at)
    axes = np.array([s.axes for s in frame.springs], float).reshape(-1, 3, 3)
    spring_stiff = np.array([s.stiffness for s in frame.springs], float).reshape(-1, 6)
    touch, touch_nodes = _pairs(frame.contacts, numbers, at)
    way = np.array([c.direction for c in frame.contacts], float).reshape(-1, 1, 3)
    way = way / np.linalg.norm(way, axis=2, keepdims=True)
    touch_rows = -(way @ touch[:, :3])[:, 0]
    movements, count = _movements(frame, numbers, at)
    return Model(
        frame, numbers, at, ready, stiff, swept(axes) @ rows, nodes, spring_stiff,
        touch_rows, touch_nodes, movements, count,
    )  # fmt: skip


def _pairs(things: Sequence[Spring] | Sequence[Contact], numbers: dict[str, int], at: Floats) -> tuple[Floats, Ints]:
    """Rows (s, 6, 12): movement of the second against the first where the two meet; and their nodes."""
    ground = len(at)
    pairs = [(ground if s.first is None else numbers[s.first], numbers[s.second]) for s in things]
    nodes = np.array(pairs, np.int64).reshape(-1, 2)
    where = np.array([at[numbers[s.second]] if s.at is None else s.at for s in things], float).reshape(-1, 3)
    places = np.concatenate((at, np.zeros((1, 3))))[nodes]
    reach = np.swapaxes(arms(where[:, None] - places), -1, -2)
    return np.concatenate((-reach[:, 0], reach[:, 1]), axis=2), nodes


# ------------------------------------------------------------------------------------------------ what can move
def _movements(frame: Frame, numbers: dict[str, int], at: Floats) -> tuple[Any, int]:
    size = 6 * (len(at) + 1)
    own = np.ones(size, bool)
    own[-6:] = False
    for support in frame.supports:
        k = 6 * numbers[support.node]
        own[k : k + 6] &= ~np.array(support.held, bool)
    for link in frame.links:
        k = 6 * numbers[link.second]
        own[k : k + 6] = False
    columns = np.where(own, np.cumsum(own) - 1, -1).astype(np.int64)
    count = int(own.sum())
    if not frame.links:
        return columns, count
    return _tied(frame.links, numbers, at, columns, count)


def _tied(links: Sequence[Link], numbers: dict[str, int], at: Floats, columns: Ints, count: int) -> tuple[Any, int]:
    """The sparse matrix of movements: second nodes follow their first ones, plus what the link leaves free."""
    from scipy.sparse import coo_array

    own = columns.reshape(-1, 6)
    blocks: dict[int, tuple[Floats, Ints]] = {}  # of nodes that follow: how (6, k), and which movements (k,)
    new = count
    for link in _in_order(links):
        second = numbers[link.second]
        how, which = np.zeros((6, 0)), np.zeros(0, np.int64)
        if link.first is not None:
            first = numbers[link.first]
            how, which = blocks.get(first) or (np.eye(6)[:, own[first] >= 0], own[first][own[first] >= 0])
            how = arms(at[second] - at[first]).T @ how
        free = np.zeros((6, len(link.free)))
        for k, freedom in enumerate(link.free):
            axis = np.asarray(freedom.axis, float)
            free[3 if freedom.kind == "turn" else 0 :, k][:3] = axis / np.linalg.norm(axis)
        blocks[second] = (
            np.concatenate((how, free), axis=1), np.concatenate((which, new + np.arange(len(link.free))))
        )  # fmt: skip
        new += len(link.free)
    free_rows = np.flatnonzero(columns >= 0)
    rows, cols, values = [free_rows], [columns[free_rows]], [np.ones(len(free_rows))]
    for node, (how, which) in blocks.items():
        r, c = np.nonzero(how)
        rows.append(6 * node + r)
        cols.append(which[c])
        values.append(how[r, c])
    entries = (np.concatenate(values), (np.concatenate(rows), np.concatenate(cols)))
    return coo_array(entries, shape=(len(columns), new)).tocsr(), new


def _in_order(links: Sequence[Link]) -> list[Link]:
    """Links such that a first node is done before what hangs on it."""
    left = {link.second: link for link in links}
    out: list[Link] = []
    while left:
        ready = [k for k in left.values() if k.first not in left]
        if not ready:
            raise ValueError(f"links go round in a circle: {', '.join(sorted(k.name for k in left.values()))}")
        for link in ready:
            out.append(link)
            del left[link.second]
    return out


# ------------------------------------------------------------------------------------------------ stiffness and forces
def assembled(ready: Model, stiff: Floats, touching: NDArray[np.bool_] | None = None) -> csc_array:
    """Return the stiffness matrix [N/mm, N, N mm] of the independent movements.

    Args:
        ready: The frame.
        stiff: (m, 12, 12) stiffness of the members between nodes.
        touching: Which contacts push; None: all of them.

    Returns:
        A sparse matrix (q, q).

    Source: direct stiffness method.
    """
    from scipy.sparse import coo_array

    rows = ready.spring_rows
    springs = np.swapaxes(rows, 1, 2) @ (ready.spring_stiff[..., None] * rows)
    hard = np.array([c.stiffness for c in ready.frame.contacts], float)
    if touching is not None:
        hard = np.where(touching, hard, 0.0)
    touch = ready.touch_rows[:, :, None] * ready.touch_rows[:, None, :] * hard[:, None, None]
    blocks = np.concatenate((stiff, springs, touch))
    nodes = np.concatenate((ready.beams.runs.nodes, ready.spring_nodes, ready.touch_nodes))
    index = (6 * nodes[:, :, None] + np.arange(6)).reshape(-1, 12)
    size = 6 * (len(ready.at) + 1)
    if not ready.linked:
        index, size = ready.movements[index], ready.count
    row = np.broadcast_to(index[:, :, None], blocks.shape).ravel()
    column = np.broadcast_to(index[:, None, :], blocks.shape).ravel()
    kept = (row >= 0) & (column >= 0) & (blocks.ravel() != 0)
    full = coo_array((blocks.ravel()[kept], (row[kept], column[kept])), shape=(size, size)).tocsc()
    return (ready.movements.T @ full @ ready.movements).tocsc() if ready.linked else full


def unsprung(ready: Model) -> Model:
    """Return a frame without its springs and contacts [any unit], to assemble other matrices of its members.

    Source: none needed.
    """
    return replace(
        ready, frame=replace(ready.frame, springs=(), contacts=()),
        spring_rows=np.zeros((0, 6, 12)), spring_nodes=np.zeros((0, 2), np.int64), spring_stiff=np.zeros((0, 6)),
        touch_rows=np.zeros((0, 12)), touch_nodes=np.zeros((0, 2), np.int64),
    )  # fmt: skip


def node_forces(ready: Model, nodes: Ints, each: Floats) -> Floats:
    """Return (c, n + 1, 6): forces (c, b, 12) on the two nodes of each block, summed at the nodes [N, N mm].

    Source: none needed.
    """
    size = 6 * (len(ready.at) + 1)
    index = (6 * nodes[:, :, None] + np.arange(6)).reshape(-1)
    cases = len(each)
    where = (np.arange(cases)[:, None] * size + index).ravel()
    summed = np.bincount(where, each.ravel(), cases * size).astype(float)
    return summed.reshape(cases, len(ready.at) + 1, 6)


def field_forces(ready: Model, cases: Sequence[LoadCase]) -> Floats:
    """Return (c, n + 1, 6): loads on nodes and weights of masses [N, N mm].

    Source: statics; 1 N = 1000 kg mm/s2.

    Raises:
        ValueError: If a load names no node of the frame.
    """
    out = np.zeros((len(cases), len(ready.at) + 1, 6))
    for c, case in enumerate(cases):
        for load in case.loads:
            if isinstance(load, NodeLoad):
                if load.node not in ready.numbers:
                    raise ValueError(f"load case {case.name}: there is no node {load.node}")
                out[c, ready.numbers[load.node]] += (*load.force, *load.moment)
    if masses := ready.frame.masses:
        nodes = np.array([ready.numbers[mass.node] for mass in masses])
        at = np.array([ready.at[k] if m.at is None else m.at for k, m in zip(nodes, masses, strict=True)], float)
        kg = np.array([m.mass_kg for m in masses])
        pull = arms(at - ready.at[nodes])[:, :, :3] * (kg / 1000)[:, None, None]
        field = np.array([case.field_mm_s2 for case in cases], float).reshape(-1, 3)
        for k, weights in zip(nodes, np.einsum("kij,cj->kci", pull, field), strict=True):
            out[:, k] += weights
    return out
