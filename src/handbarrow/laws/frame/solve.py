"""Solve a frame: all load cases with one factored matrix.

A frame that something can move without force is not solved: `Solution.loose` names what moves, and no number is given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.contacts import Touching, touching
from handbarrow.laws.frame.factor import Factor, factored
from handbarrow.laws.frame.mechanism import Mechanism, mechanisms
from handbarrow.laws.frame.member_loads import AlongMembers, along_members, held_ends, per_member
from handbarrow.laws.frame.model import Model, assembled, field_forces, model, node_forces
from handbarrow.laws.frame.values import Frame, LoadCase

__all__ = ["DOUBTFUL_PIVOT", "Acting", "Answer", "Solution", "answered", "solve", "summed_up"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

DOUBTFUL_PIVOT = 1e-9
"""Smallest pivot below which it is looked whether anything moves without force."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """What loads do to a frame; first axis: case (c), in the order of `cases`.

    Attributes:
        model: The frame that was solved.
        cases: The cases that were solved.
        loose: The cases that were not, by name, with what moves in them.
        unsettled: Names of cases for which no state of the contacts (or, second order, no balance) was found; they
            have no numbers either.
        displacements: (c, n, 6) of the nodes [mm, rad].
        end_forces: (c, m, 12) own forces on both ends of each member [N, N mm], in its axes there.
        loads: The loads on members.
        reactions: (c, n, 6) what supports and links to the ground put on nodes [N, N mm].
        linked: (c, n, 6) what links put on each of the nodes that they join [N, N mm].
        spring_forces: (c, s, 6) what springs put on their first node, along their axes [N, N mm].
        touch: (c, k) which contacts push.
        contact_forces: (c, k) how hard [N].
        residual: (c,) largest force [N] or moment [N mm] at a node that nothing balances, over the largest load.
    """

    model: Model
    cases: tuple[LoadCase, ...]
    loose: dict[str, tuple[Mechanism, ...]]
    unsettled: tuple[str, ...]
    displacements: Floats
    end_forces: Floats
    loads: AlongMembers
    reactions: Floats
    linked: Floats
    spring_forces: Floats
    touch: Bools
    contact_forces: Floats
    residual: Floats


class Acting(NamedTuple):
    """Cases that are summed up, and their loads on members and on nodes (c, n + 1, 6)."""

    cases: tuple[LoadCase, ...]
    loads: AlongMembers
    on_nodes: Floats


class Answer(NamedTuple):
    """Displacements of nodes (c, n + 1, 6), end forces (c, m, 12), which contacts push (c, k) and how hard."""

    moved: Floats
    ends: Floats
    touch: Bools
    force: Floats


def solve(frame: Frame | Model, cases: Sequence[LoadCase]) -> Solution:
    """Solve a frame under load cases, small displacements.

    Args:
        frame: The frame, or its model where that was made before.
        cases: The load cases.

    Returns:
        Displacements [mm, rad], forces [N], moments [N mm] of all cases that hold; what moves in the others.

    Source: direct stiffness method with shear-flexible members; see `beams`.

    Raises:
        ValueError: If the frame or a load names what there is not.
    """
    ready = frame if isinstance(frame, Model) else model(frame)
    matrix = assembled(ready, ready.stiff)
    factor = factored(matrix)
    if factor is None or factor.smallest < DOUBTFUL_PIVOT or factor.negative or ready.beams.loose:
        moving = mechanisms(ready, matrix)
        if moving or factor is None:
            return _nothing(ready, {case.name: moving for case in cases})
    loads = along_members(ready.frame, ready.beams.runs, cases)
    held = per_member(loads, held_ends(ready.beams, loads), len(ready.frame.members))
    on_nodes = field_forces(ready, cases)
    answer, kept, loose = answered(ready, factor, cases, held, on_nodes)
    loads = replace(loads, weight=loads.weight[kept])
    unsettled = tuple(c.name for c, ok in zip(cases, kept, strict=True) if not ok and c.name not in loose)
    acting = Acting(tuple(c for c, k in zip(cases, kept, strict=True) if k), loads, on_nodes[kept])
    return summed_up(ready, acting, answer, loose, unsettled)


def answered(
    ready: Model, factor: Factor, cases: Sequence[LoadCase], held: Floats, on_nodes: Floats
) -> tuple[Answer, Bools, dict[str, tuple[Mechanism, ...]]]:
    """Solve the cases of a frame whose matrix is factored.

    Args:
        ready: The frame.
        factor: Its stiffness with all contacts closed.
        cases: The load cases.
        held: (c, m, 12) own forces on the ends of members whose nodes do not move [N, N mm].
        on_nodes: (c, n + 1, 6) loads on nodes [N, N mm].

    Returns:
        The answer to the cases that hold, which those are (c,), and what moves in the cases that something is loose in.

    Source: direct stiffness method.
    """
    back = np.swapaxes(ready.beams.to_own, 1, 2)
    from_members = node_forces(ready, ready.beams.runs.nodes, (back @ held[..., None])[..., 0])
    right = ready.gathered(on_nodes - from_members)
    found = touching(ready, factor, right)
    moves, loose = _let_go(ready, cases, found, right)
    kept = found.settled & np.array([c.name not in loose for c in cases], bool)
    moved = ready.spread(moves)[kept]
    both = moved[:, ready.beams.runs.nodes].reshape(len(moved), len(ready.stiff), 12, 1)
    ends = (ready.beams.stiff @ (ready.beams.to_own @ both))[..., 0] + held[kept]
    touch = found.touch[kept]
    return Answer(moved, ends, touch, _contact_forces(ready, moved, touch)), kept, loose


def _nothing(ready: Model, loose: dict[str, tuple[Mechanism, ...]]) -> Solution:
    n, m = len(ready.at), len(ready.frame.members)
    s, k = len(ready.frame.springs), len(ready.frame.contacts)
    return Solution(
        model=ready, cases=(), loose=loose, unsettled=(), displacements=np.zeros((0, n, 6)),
        end_forces=np.zeros((0, m, 12)), loads=along_members(ready.frame, ready.beams.runs, ()),
        reactions=np.zeros((0, n, 6)), linked=np.zeros((0, n, 6)), spring_forces=np.zeros((0, s, 6)),
        touch=np.zeros((0, k), bool), contact_forces=np.zeros((0, k)), residual=np.zeros(0),
    )  # fmt: skip


def _let_go(
    ready: Model, cases: Sequence[LoadCase], found: Touching, right: Floats
) -> tuple[Floats, dict[str, tuple[Mechanism, ...]]]:
    """Movements (q, c) in the state that was found, and the cases in which the contacts that are left do not hold."""
    moved, loose = found.moved.copy(), {}
    for state in sorted({tuple(row) for row in found.touch.tolist()}):
        if all(state):
            continue
        rows = np.flatnonzero((found.touch == np.array(state)).all(axis=1))
        matrix = assembled(ready, ready.stiff, np.array(state))
        factor = factored(matrix)
        doubtful = factor is None or factor.smallest < DOUBTFUL_PIVOT
        moving = mechanisms(ready, matrix) if doubtful else ()
        if moving or factor is None:
            loose.update({cases[int(c)].name: moving for c in rows})
        else:
            pressed = found.pressed[:, np.array(state)].sum(axis=1, keepdims=True)
            moved[:, rows] = factor.solved(right[:, rows] + pressed)
    return moved, loose


def _contact_forces(ready: Model, moved: Floats, touch: Bools) -> Floats:
    """How hard contacts push (c, k)."""
    contacts = ready.frame.contacts
    hard, gap = (np.array([getattr(k, n) for k in contacts], float) for n in ("stiffness", "gap"))
    pair = moved[:, ready.touch_nodes].reshape(len(moved), len(contacts), 12)
    return np.where(touch, hard * ((ready.touch_rows * pair).sum(axis=2) - gap), 0.0)


def summed_up(
    ready: Model, acting: Acting, answer: Answer, loose: dict[str, tuple[Mechanism, ...]], unsettled: tuple[str, ...]
) -> Solution:
    """Put a solution together from displacements and end forces [mm, rad, N, N mm]: reactions, springs, what is left.

    Source: equilibrium of every node, from the end forces and not from the matrix that was solved.
    """
    frame = ready.frame
    moved, ends, touch, force = answer
    back = np.swapaxes(ready.beams.to_own, 1, 2)
    need = node_forces(ready, ready.beams.runs.nodes, (back @ ends[..., None])[..., 0])
    both = moved[:, ready.spring_nodes].reshape(len(moved), len(ready.spring_nodes), 12, 1)
    springs = (ready.spring_stiff[..., None] * (ready.spring_rows @ both))[..., 0]
    need += node_forces(ready, ready.spring_nodes, (np.swapaxes(ready.spring_rows, 1, 2) @ springs[..., None])[..., 0])
    need += node_forces(ready, ready.touch_nodes, force[..., None] * ready.touch_rows)
    missing = need - acting.on_nodes
    left = ready.gathered(missing)
    largest = np.maximum(np.abs(need).max(axis=(1, 2), initial=0.0), 1e-12)
    held = np.zeros((len(ready.at) + 1, 6), bool)
    for support in frame.supports:
        held[ready.numbers[support.node]] |= np.array(support.held, bool)
    for link in frame.links:
        held[ready.numbers[link.second]] |= link.first is None
    reactions = np.where(held, missing, 0.0)[:, :-1]
    tied = np.where(held, 0.0, missing)[:, :-1]
    return Solution(
        model=ready, cases=acting.cases, loose=loose, unsettled=unsettled, displacements=moved[:, :-1], end_forces=ends,
        loads=acting.loads, reactions=reactions, linked=tied, spring_forces=springs, touch=touch,
        contact_forces=force,
        residual=np.abs(left).max(axis=0, initial=0.0) / largest,
    )  # fmt: skip
