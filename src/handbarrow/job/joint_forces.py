"""What goes through each joint in each case: forces of the frame's solution, tie by tie."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from handbarrow.design.values import PlateShape, Run, Target
from handbarrow.job.frame_checks import Solved
from handbarrow.job.frame_stress import yield_of_stock
from handbarrow.job.frame_values import Joined, Subject, Tie
from handbarrow.laws.frame.stiff_ties import tie_forces
from handbarrow.laws.geometry.path import Floats
from handbarrow.laws.materials.tensile import least_tensile_mpa

__all__ = ["Steel", "Tied", "chord_push", "end_stress", "steel_of", "tied"]

REACH = 15.0
"""Half the size of a joint of our tubes [mm]; counts only where ties go round a ring."""


@dataclass(frozen=True, slots=True, eq=False)
class Tied:
    """A tie with what goes through it.

    Attributes:
        tie: Which.
        solved: The way of standing and its solution.
        forces: (c, 6) force and moment that the first piece gets from the second, about the tie's place, product axes
            [N, N mm].
        node: Number of the node of the first piece.
        other: Number of the node of the second.
        beside: Members that end at each node: number, and which end (0, 1).
        cases: Names of the cases.
    """

    tie: Tie
    solved: Solved
    forces: Floats
    node: int
    other: int
    beside: Mapping[int, list[tuple[int, int]]]
    cases: tuple[str, ...]


def tied(solved: Solved) -> list[Tied]:
    """Return all ties of one way of standing with what goes through them."""
    solution, ready = solved.solution, solved.solution.model
    beside: dict[int, list[tuple[int, int]]] = {}
    for m, pair in enumerate(ready.beams.runs.nodes.tolist()):
        for e, node in enumerate(pair):
            beside.setdefault(node, []).append((m, e))
    cases = tuple(case.name for case in solution.cases)

    def nodes_of(joined: Joined) -> tuple[int, int]:
        return ready.numbers[joined.one], ready.numbers[joined.other]

    stiff: dict[tuple[str, str], Joined] = {}
    out = []
    springs = {spring.name: k for k, spring in enumerate(ready.frame.springs)}
    touches = {contact.name: k for k, contact in enumerate(ready.frame.contacts)}
    for joined in solved.way.found.joined:
        if joined.tie.kind == "stiff":
            stiff.setdefault((min(joined.one, joined.other), max(joined.one, joined.other)), joined)
        else:
            k = (touches if joined.tie.kind == "rests" else springs)[joined.name]
            both = _loose(solved, joined.tie, k)
            out.append(Tied(joined.tie, solved, both, *nodes_of(joined), beside, cases))
    found = [joined for joined in stiff.values() if joined.one != joined.other]
    names = list(dict.fromkeys(n for joined in found for n in (joined.one, joined.other)))
    if not names:
        return out
    nodes, number = [ready.numbers[n] for n in names], {n: k for k, n in enumerate(names)}
    pairs = [(number[joined.one], number[joined.other]) for joined in found]
    at = np.array([joined.tie.at for joined in found])
    forces = tie_forces(ready.at[nodes], solution.linked[:, nodes], pairs, at, REACH)
    return [
        *out,
        *(Tied(joined.tie, solved, forces[:, e], *nodes_of(joined), beside, cases) for e, joined in enumerate(found)),
    ]


def _loose(solved: Solved, tie: Tie, k: int) -> Floats:
    """(c, 6) of a contact or of a spring, by its number."""
    solution = solved.solution
    if tie.kind == "rests":
        force = solution.contact_forces[:, k, None] * np.asarray(tie.axis)
        return np.concatenate((force, np.zeros_like(force)), axis=1)
    axes, own = np.asarray(solution.model.frame.springs[k].axes), solution.spring_forces[:, k]
    out: Floats = -np.concatenate((own[:, :3] @ axes, own[:, 3:] @ axes), axis=1)
    return out


# ------------------------------------------------------------------------------------------------ steels
@dataclass(frozen=True, slots=True)
class Steel:
    """Yield and tensile strength [MPa]; None: not known."""

    yield_mpa: float | None
    tensile_mpa: float | None


def steel_of(job: Subject, part: str) -> Steel:
    """Return the steel of a part as the shop reckons with it."""
    shape = job.design.part(part).shape
    if not isinstance(shape, (Run, PlateShape)):
        return Steel(None, None)
    item = job.workshop.stock.get(job.design.stock[shape.stock].label)
    if item is None:
        return Steel(None, None)
    limit = yield_of_stock(item)
    return Steel(limit, least_tensile_mpa(item.steel, limit))


# ------------------------------------------------------------------------------------------------ beside a joint
def end_stress(one: Tied, target: Target, node: int) -> Floats:
    """Return (c, 2) smallest and largest stress along a piece beside a node, over both sides of it [MPa].

    Source: N / A and the larger of M over W about either axis, added as for a square: on the safe side.
    """
    solution = one.solved.solution
    members = solution.model.frame.members
    low, high = np.zeros(len(solution.cases)), np.zeros(len(solution.cases))
    for m, e in one.beside.get(node, ()):
        if one.solved.way.found.owner[members[m].name] != target:
            continue
        section = members[m].section
        own = solution.end_forces[:, m, 6 * e : 6 * e + 6]
        pull = own[:, 0] * (1.0 if e else -1.0) / section.area
        shape = section.shape
        if shape is None:
            continue
        w_height, w_width = section.inertia_height / (shape.height / 2), section.inertia_width / (shape.width / 2)
        if shape.is_round:
            bent = np.hypot(own[:, 4], own[:, 5]) / w_height
        else:
            bent = np.abs(own[:, 4]) / w_width + np.abs(own[:, 5]) / w_height
        low, high = np.minimum(low, pull - bent), np.maximum(high, pull + bent)
    return np.stack((low, high), axis=1)


def chord_push(one: Tied, target: Target, node: int, yield_mpa: float) -> Floats:
    """Return (c,) largest push stress of a piece beside a node over its yield [-]."""
    out: Floats = np.minimum(-end_stress(one, target, node)[:, 0] / yield_mpa, 0.999)
    return out
