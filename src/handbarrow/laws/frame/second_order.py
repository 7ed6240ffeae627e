"""Second order: what pull and push in members do to their stiffness, load case by load case.

Counts: the axial force times the slope of each member (P-delta and P-Delta). Does not count: large turns, and
moments of the ends times turns. A strut wants two members at least; with one its own bow is seen to about one per cent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.along import section_forces, shapes
from handbarrow.laws.frame.beams import arms, carried, gauss, places, swept
from handbarrow.laws.frame.factor import factored
from handbarrow.laws.frame.member_loads import AlongMembers, along_members, held_ends, per_member
from handbarrow.laws.frame.model import Model, assembled, field_forces, model, node_forces, unsprung
from handbarrow.laws.frame.solve import Acting, Answer, Solution, solve, summed_up
from handbarrow.laws.frame.values import Frame, LoadCase

__all__ = ["buckling_factors", "slope_stiffness", "slopes", "solve_second_order"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ROUNDS = 40
AGREES = 1e-8
POINTS = 4
DENSE = 60
"""Up to so many movements all buckling factors are worked out at once."""


def slopes(ready: Model) -> Floats:
    """Return (m, p, 2, 12): slopes of the centreline along v and u at `POINTS` Gauss places, from own end movements.

    Source: shapes of the unloaded member: turns across the centreline, and shear [-, 1/mm].
    """
    runs = ready.beams.runs
    share = gauss(np.zeros(1), np.ones(1), POINTS)[0][0]
    along = runs.length[:, None] * share
    _, turned = places(runs, along)
    turns = swept(turned) @ shapes(ready.beams, share)
    sheared = _shear_strains(ready, along)
    out = np.stack((turns[:, :, 5] + sheared[:, :, 0], -turns[:, :, 4] + sheared[:, :, 1]), axis=2)
    return out @ ready.beams.follow[:, None]


def slope_stiffness(ready: Model, slope: Floats, pull: Floats) -> Floats:
    """Return (m, 12, 12): what axial forces add to the own stiffness of members [N/mm, N, N mm].

    Args:
        ready: The frame.
        slope: What `slopes` gives.
        pull: (m, p) axial force at the same places, pull above nought [N].

    Returns:
        Own stiffness: between the two ends, in the axes there.

    Source: consistent geometric stiffness, integral of N times the squares of the slopes of the unloaded member
    (Przemieniecki, Theory of Matrix Structural Analysis; from memory); arcs the same along their centreline.
    """
    weight = gauss(np.zeros(1), np.ones(1), POINTS)[1][0]
    weighted = slope * (pull * weight * ready.beams.runs.length[:, None])[..., None, None]
    m, k = weighted.shape[:2]
    out: Floats = np.swapaxes(slope.reshape(m, 2 * k, 12), 1, 2) @ weighted.reshape(m, 2 * k, 12)
    return out


def _shear_strains(ready: Model, along: Floats) -> Floats:
    """Shear strain along v and u at places, from own displacements of the ends: (m, k, 2, 12)."""
    runs = ready.beams.runs
    at_end, turned = places(runs, runs.length[:, None])
    from_ends = np.concatenate((-np.swapaxes(arms(at_end[:, 0]), 1, 2), swept(np.swapaxes(turned[:, 0], 1, 2))), axis=2)
    force = ready.beams.stiff_end @ from_ends
    goal = np.broadcast_to(runs.length[:, None], along.shape)
    out: Floats = (runs.gives[:, None] @ carried(runs, along, goal) @ force[:, None])[:, :, 1:3]
    return out


def solve_second_order(frame: Frame | Model, cases: Sequence[LoadCase]) -> Solution:
    """Solve each case with the stiffness that its own axial forces leave.

    Args:
        frame: The frame.
        cases: The load cases.

    Returns:
        As `solve` [mm, rad, N, N mm]; a case whose members buckle, or that finds no balance, is in `unsettled`
        and has no numbers.

    Source: repeated direct stiffness with the slope stiffness of the axial forces found before, until they agree within
    1e-8; a pivot below nought means that the frame gives way by itself.
    """
    ready = frame if isinstance(frame, Model) else model(frame)
    first = solve(ready, cases)
    if not first.cases:
        return first
    loads = along_members(ready.frame, ready.beams.runs, first.cases)
    held = per_member(loads, held_ends(ready.beams, loads), len(ready.frame.members))
    on_nodes = field_forces(ready, first.cases)
    axial = _Axial.of(first, loads)
    found = [_case(ready, first, c, held[c], on_nodes[c], axial) for c in range(len(first.cases))]
    kept = [c for c, one in enumerate(found) if one is not None]
    good = [one for one in found if one is not None]
    m, k = len(ready.frame.members), len(ready.frame.contacts)
    left = tuple(first.cases[c].name for c, one in enumerate(found) if one is None)
    answer = Answer(
        np.array([g.moved for g in good]).reshape(len(good), len(ready.at) + 1, 6),
        np.array([g.ends for g in good]).reshape(len(good), m, 12),
        np.array([g.touch for g in good], bool).reshape(len(good), k),
        np.array([g.force for g in good]).reshape(len(good), k),
    )
    acting = Acting(
        tuple(first.cases[c] for c in kept), replace(loads, weight=loads.weight[kept]), on_nodes[kept]
    )  # fmt: skip
    unsettled = (*(u for u in first.unsettled if u not in left), *left)
    return summed_up(ready, acting, answer, first.loose, unsettled)


class _Axial(NamedTuple):
    """Axial force at the Gauss places, from the forces on the end and from loads; and the slopes there."""

    rows: Floats
    loads: Floats
    slope: Floats

    @classmethod
    def of(cls, first: Solution, loads: AlongMembers) -> _Axial:
        runs = first.model.beams.runs
        share = gauss(np.zeros(1), np.ones(1), POINTS)[0][0]
        along = runs.length[:, None] * share
        _, turned = places(runs, runs.length[:, None])
        back = swept(np.swapaxes(turned[:, 0], 1, 2))
        rows = (carried(runs, along, np.broadcast_to(runs.length[:, None], along.shape)) @ back[:, None])[:, :, 0]
        whole = section_forces(first, share)[..., 0]
        return cls(rows, whole - (rows @ first.end_forces[..., 6:, None])[..., 0], slopes(first.model))

    def pull(self, ends: Floats, case: int) -> Floats:
        out: Floats = (self.rows @ ends[:, 6:, None])[..., 0] + self.loads[case]
        return out


def _case(ready: Model, first: Solution, c: int, held: Floats, on_nodes: Floats, axial: _Axial) -> Answer | None:
    """One case, until axial forces and contacts agree with what they were taken to be; None if it buckles."""
    beams, contacts = ready.beams, ready.frame.contacts
    own, back = beams.to_own, np.swapaxes(beams.to_own, 1, 2)
    hard, gap = (np.array([getattr(k, n) for k in contacts], float) for n in ("stiffness", "gap"))
    touch, pull = first.touch[c], axial.pull(first.end_forces[c], c)
    for _ in range(ROUNDS):
        stiff = beams.stiff + slope_stiffness(ready, axial.slope, pull)
        factor = factored(assembled(ready, back @ stiff @ own, touch))
        if factor is None or factor.negative:
            return None
        pressed = np.where(touch, hard * gap, 0.0)[:, None] * ready.touch_rows
        outside = on_nodes[None] - node_forces(ready, beams.runs.nodes, (back @ held[..., None])[None, ..., 0])
        outside = outside + node_forces(ready, ready.touch_nodes, pressed[None])
        moved = ready.spread(factor.solved(ready.gathered(outside)))[0]
        ends = (stiff @ (own @ moved[beams.runs.nodes].reshape(-1, 12, 1)))[..., 0] + held
        approach = (ready.touch_rows * moved[ready.touch_nodes].reshape(-1, 12)).sum(axis=1) - gap
        now, touching = axial.pull(ends, c), approach > 0
        agrees = float(np.abs(now - pull).max(initial=0.0)) <= AGREES * max(float(np.abs(now).max(initial=0.0)), 1e-9)
        if agrees and np.array_equal(touching, touch):
            return Answer(moved, ends, touch, np.where(touch, hard * approach, 0.0))
        pull, touch = now, touching
    return None


def buckling_factors(frame: Frame | Model, case: LoadCase, count: int = 3) -> Floats:
    """Return by how much the loads of a case can grow until the frame buckles, least first.

    Args:
        frame: The frame; its contacts stay as they are under the case.
        case: The loads.
        count: How many at most.

    Returns:
        (k,) factors [-] (no [unit]); empty where nothing buckles or the frame is loose.

    Source: (K + f K_slope) x = 0, axial forces growing with the loads.
    """
    from scipy.linalg import eigh
    from scipy.sparse.linalg import LinearOperator, eigsh

    ready = frame if isinstance(frame, Model) else model(frame)
    first = solve(ready, [case])
    if not first.cases:
        return np.zeros(0)
    axial = _Axial.of(first, first.loads)
    own, back = ready.beams.to_own, np.swapaxes(ready.beams.to_own, 1, 2)
    bare = unsprung(ready)
    slope = assembled(bare, back @ slope_stiffness(ready, axial.slope, axial.pull(first.end_forces[0], 0)) @ own)
    stiff = assembled(ready, ready.stiff, first.touch[0])
    n = stiff.shape[0]
    if n <= DENSE:
        values = eigh(-slope.toarray(), stiff.toarray(), eigvals_only=True)[::-1][:count]
    else:
        factor = factored(stiff)
        if factor is None:
            return np.zeros(0)
        inverse = LinearOperator((n, n), matvec=lambda x: factor.solved(np.asarray(x, float).reshape(-1, 1))[:, 0])
        start = np.cos(np.arange(1.0, n + 1) * 0.7390851)
        values = eigsh(-slope, count, stiff, which="LA", Minv=inverse, v0=start, return_eigenvectors=False)
    least = 1e-12 * float(np.abs(values).max(initial=0.0))
    out: Floats = np.sort(1 / values[values > max(least, 1e-300)])
    return out
