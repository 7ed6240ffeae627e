"""Loads along members: what the ends must hold, and what the sections beyond a place carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.beams import Beams, Runs, arms, by_shape, carried, gauss, places, swept
from handbarrow.laws.frame.values import Distributed, Frame, LoadCase, PointOnMember
from handbarrow.laws.geometry.path import cross

__all__ = ["AlongMembers", "along_members", "beyond", "held_ends", "moved_by", "per_member"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

UNITS = 6
"""A load that changes evenly along a member is the sum of so many: three ways at its start, three at its end."""


@dataclass(frozen=True, slots=True)
class AlongMembers:
    """Loads on members, in their axes at the start, sorted by member; first axis: load (r).

    Attributes:
        member: (r,) number of the member.
        begin: (r,) where it begins [mm].
        end: (r,) where it ends [mm]; equal to `begin` for a load at a point.
        first: (r, 3) force per length at `begin` [N/mm].
        last: (r, 3) force per length at `end` [N/mm].
        point: (r, 6) force [N] and moment [N mm] at `begin`.
        weight: (c, r) how much of it each load case has.
    """

    member: Ints
    begin: Floats
    end: Floats
    first: Floats
    last: Floats
    point: Floats
    weight: Floats

    def chosen(self, rows: Ints) -> AlongMembers:
        """The same, of some loads only."""
        return AlongMembers(
            self.member[rows], self.begin[rows], self.end[rows], self.first[rows], self.last[rows], self.point[rows],
            self.weight[:, rows],
        )  # fmt: skip


def along_members(frame: Frame, runs: Runs, cases: Sequence[LoadCase]) -> AlongMembers:
    """Return all loads on members [N, N/mm, N mm], own weight among them.

    Source: definitions; what pulls on a mass, 1 N = 1000 kg mm/s2.

    Raises:
        ValueError: If a load names no member of the frame, or lies beside its member.
    """
    numbers = {m.name: i for i, m in enumerate(frame.members)}
    rows: list[tuple[int, int, float, float, tuple[float, ...], tuple[float, ...], tuple[float, ...]]] = []
    for c, case in enumerate(cases):
        for load in case.loads:
            if not isinstance(load, PointOnMember | Distributed):
                continue
            if load.member not in numbers:
                raise ValueError(f"load case {case.name}: there is no member {load.member}")
            m = numbers[load.member]
            size = float(runs.length[m])
            if isinstance(load, PointOnMember):
                begin = end = load.along
                rows.append((c, m, begin, end, (0.0,) * 3, (0.0,) * 3, (*load.force, *load.moment)))
            else:
                begin, end = load.begin, size if load.end is None else load.end
                rows.append((c, m, begin, end, load.first, load.last or load.first, (0.0,) * 6))
            if not -1e-6 <= begin <= end <= size + 1e-6:
                raise ValueError(
                    f"load case {case.name}: {begin:g} to {end:g} mm lies beside {load.member}, {size:g} mm"
                )
    return _few(_sorted(_given(rows, runs, len(cases)), _own_weight(runs, cases)), runs)


def _given(rows: list[tuple[int, int, float, float, tuple[float, ...], tuple[float, ...], tuple[float, ...]]],
           runs: Runs, cases: int) -> AlongMembers:  # fmt: skip
    n = len(rows)
    case, member = (np.array([r[k] for r in rows], np.int64) for k in (0, 1))
    begin, end = (np.array([r[k] for r in rows], float) for k in (2, 3))
    first, last = (np.array([r[k] for r in rows], float).reshape(n, 3) for k in (4, 5))
    point = np.array([r[6] for r in rows], float).reshape(n, 2, 3)
    axes = runs.axes[member]
    weight = np.zeros((cases, n))
    weight[case, np.arange(n)] = 1.0
    first, last = (np.einsum("rij,rj->ri", axes, w) for w in (first, last))
    point = np.einsum("rij,rkj->rki", axes, point).reshape(n, 6)
    size = runs.length[member]
    return AlongMembers(member, np.clip(begin, 0, size), np.clip(end, 0, size), first, last, point, weight)


def _own_weight(runs: Runs, cases: Sequence[LoadCase]) -> AlongMembers:
    """For each heavy member one load along each axis of the product, as heavy as its own mass under 1000 mm/s2."""
    field = np.array([c.field_mm_s2 for c in cases], float).reshape(-1, 3) / 1000
    heavy = np.flatnonzero(runs.mass > 0) if field.any() else np.zeros(0, np.int64)
    member = np.repeat(heavy, 3)
    n = len(member)
    load = (np.swapaxes(runs.axes[heavy], 1, 2) * runs.mass[heavy, None, None]).reshape(n, 3)
    begin = np.zeros(n)
    weight = np.tile(field, (1, len(heavy)))
    return AlongMembers(member, begin, runs.length[member], load, load, np.zeros((n, 6)), weight)


def _sorted(one: AlongMembers, other: AlongMembers) -> AlongMembers:
    whole = AlongMembers(
        np.concatenate((one.member, other.member)),
        np.concatenate((one.begin, other.begin)),
        np.concatenate((one.end, other.end)),
        np.concatenate((one.first, other.first)),
        np.concatenate((one.last, other.last)),
        np.concatenate((one.point, other.point)),
        np.concatenate((one.weight, other.weight), axis=1),
    )
    order = np.argsort(whole.member, kind="stable").astype(np.int64)
    used = order[np.any(whole.weight[:, order] != 0, axis=0)]
    return whole.chosen(used)


def _few(loads: AlongMembers, runs: Runs) -> AlongMembers:
    """The same with six loads of 1 N/mm in place of the many that lie on all of a member in many cases."""
    over_all = (loads.begin <= 0) & (loads.end >= runs.length[loads.member]) & ~loads.point.any(axis=1)
    over_all &= np.bincount(loads.member[over_all], minlength=len(runs.length))[loads.member] > UNITS
    if not over_all.any():
        return loads
    many = loads.chosen(np.flatnonzero(over_all))
    sums = per_member(many, np.concatenate((many.first, many.last), axis=1), len(runs.length))
    found = np.unique(many.member)
    member = np.repeat(found, UNITS)
    unit = np.tile(np.eye(UNITS), (len(found), 1))
    n = len(member)
    few = AlongMembers(
        member, np.zeros(n), runs.length[member], unit[:, :3], unit[:, 3:], np.zeros((n, 6)),
        sums[:, found].reshape(len(sums), n),
    )  # fmt: skip
    return _sorted(loads.chosen(np.flatnonzero(~over_all)), few)


def beyond(some: Runs, loads: AlongMembers, along: Floats, count: int) -> Floats:
    """Return what sections carry of the loads beyond them.

    Args:
        some: The member of each load (r).
        loads: The loads (r).
        along: (r, k) where the sections are [mm].
        count: Gauss points.

    Returns:
        (r, k, 6) force [N] and moment [N mm] about the section, in the member's axes at its start.

    Source: statics: integral of w, and of (p(x) - p(s)) x w.
    """
    r, k = along.shape
    end = np.broadcast_to(loads.end[:, None], along.shape)
    low = np.clip(along, loads.begin[:, None], end)
    x, weight = gauss(low, end, count)
    span = np.maximum(loads.end - loads.begin, 1e-300)[:, None, None]
    share = ((x - loads.begin[:, None, None]) / span)[..., None]
    force = (loads.first[:, None, None] * (1 - share) + loads.last[:, None, None] * share) * weight[..., None]
    here, _ = places(some, along)
    there = places(some, x.reshape(r, k * count))[0].reshape(r, k, count, 3)
    out = np.zeros((r, k, 6))
    out[..., :3] = force.sum(axis=2)
    out[..., 3:] = cross(there - here[:, :, None], force).sum(axis=2)
    before = (along < loads.begin[:, None]) | (along <= 0)
    at, _ = places(some, loads.begin[:, None])
    point = arms(at - here) @ loads.point[:, None, :, None]
    out += np.where(before[..., None], point[..., 0], 0.0)
    return out


def moved_by(runs: Runs, loads: AlongMembers, to: Floats) -> Floats:
    """Return how far loads move a place of their member while its start is held and its end is free.

    Args:
        runs: All members.
        loads: The loads (r).
        to: (r,) the place, along the member [mm].

    Returns:
        (r, 6) displacement [mm] and turn [rad] in the member's axes at its start.

    Source: principle of virtual forces, exact on the stretches before and within each load.
    """

    def task(some: Runs, rows: Ints, count: int) -> Floats:
        mine, goal = loads.chosen(rows), to[rows]
        out = np.zeros((len(rows), 6))
        near, far = np.minimum(mine.begin, goal), np.minimum(mine.end, goal)
        for low, high in ((np.zeros(len(rows)), near), (near, far)):
            along, weight = gauss(low, high, count)
            _, turned = places(some, along)
            has = swept(turned) @ beyond(some, mine, along, count)[..., None]
            x = carried(some, along, np.broadcast_to(goal[:, None], along.shape))
            strain = some.gives[:, None] @ has * weight[..., None, None]
            out += (np.swapaxes(x, -1, -2) @ strain)[..., 0].sum(axis=1)
        return out

    return by_shape(runs, loads.member, task)


def held_ends(beams: Beams, loads: AlongMembers, *, whole: bool = False) -> Floats:
    """Return what the nodes put on the ends of a loaded member while they do not move.

    Args:
        beams: All members.
        loads: The loads (r).
        whole: As if nothing were let free.

    Returns:
        (r, 12) own forces [N] and moments [N mm] of both ends.

    Source: force method: the end is pushed back to where it was; the start answers by equilibrium.
    """
    runs = beams.runs
    if len(loads.member) == 0:
        return np.zeros((0, 12))
    size = runs.length[loads.member]
    end = -beams.stiff_end[loads.member] @ moved_by(runs, loads, size)[..., None]

    def task(some: Runs, rows: Ints, count: int) -> Floats:
        return beyond(some, loads.chosen(rows), np.zeros((len(rows), 1)), count)[:, 0]

    total = by_shape(runs, loads.member, task)
    place, turned = places(runs.chosen(loads.member), size[:, None])
    start = -(total[..., None] + arms(place[:, 0]) @ end)
    own = np.concatenate((start, swept(turned[:, 0]) @ end), axis=1)[..., 0]
    if whole:
        return own
    slack = beams.whole[loads.member] @ (beams.yields[loads.member] @ own[..., None])
    out: Floats = np.where(beams.free[loads.member], 0.0, own - slack[..., 0])
    return out


def per_member(loads: AlongMembers, each: Floats, members: int) -> Floats:
    """Return (c, m, ...): what loads (r, ...) make together on each member in each case [any unit].

    Source: superposition.
    """
    out = np.zeros((len(loads.weight), members, *each.shape[1:]))
    if len(loads.member):
        found, starts = np.unique(loads.member, return_index=True)
        weight = loads.weight.reshape(loads.weight.shape + (1,) * (each.ndim - 1))
        out[:, found] = np.add.reduceat(weight * each[None], starts, axis=1)
    return out
