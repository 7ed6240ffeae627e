"""Along members: section forces and displacements at stations, and how the ends' movements spread over a member."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.beams import Beams, Runs, arms, by_shape, carried, gauss, places, swept
from handbarrow.laws.frame.member_loads import beyond, held_ends, moved_by, per_member
from handbarrow.laws.frame.solve import Solution

__all__ = ["displacements_along", "section_forces", "shapes"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def section_forces(solution: Solution, stations: Sequence[float] | Floats) -> Floats:
    """Return what sections along every member carry.

    Args:
        solution: A solved frame.
        stations: (k,) places as shares of each member's length, 0 to 1.

    Returns:
        (c, m, k, 6) on the face that looks to the member's end, in the section's own axes: pull N, shear along v and
        u [N], twist, moment about v and about u [N mm].

    Source: equilibrium of what lies beyond the section, as drawn (not bent under load).
    """
    runs = solution.model.beams.runs
    share = np.asarray(stations, float)
    along = runs.length[:, None] * share
    _, at_end = places(runs, runs.length[:, None])
    back = swept(np.swapaxes(at_end[:, 0], 1, 2))
    ends = back @ solution.end_forces[..., 6:, None]
    goal = np.broadcast_to(runs.length[:, None], along.shape)
    from_end = (carried(runs, along, goal) @ ends[:, :, None])[..., 0]
    loads = solution.loads

    def task(some: Runs, rows: Ints, count: int) -> Floats:
        mine = loads.chosen(rows)
        spots = some.length[:, None] * share
        _, turned = places(some, spots)
        out: Floats = (swept(turned) @ beyond(some, mine, spots, count)[..., None])[..., 0]
        return out

    from_loads = per_member(loads, by_shape(runs, loads.member, task), len(runs.length))
    total: Floats = from_end + from_loads
    return total


def displacements_along(solution: Solution, stations: Sequence[float] | Floats) -> Floats:
    """Return how far places along every member move.

    Args:
        solution: A solved frame.
        stations: (k,) places as shares of each member's length, 0 to 1.

    Returns:
        (c, m, k, 6) displacements [mm] and turns [rad] along and about x, y, z.

    Source: principle of virtual forces along each member, its loads among them.
    """
    model = solution.model
    runs, share = model.beams.runs, np.asarray(stations, float)
    both = solution.displacements[:, runs.nodes].reshape(len(solution.cases), len(runs.length), 12, 1)
    own = (model.beams.to_own @ both)[..., 0]
    fixed = _held(solution)
    metal = (model.beams.follow @ own[..., None])[..., 0] - (model.beams.yields @ fixed[..., None])[..., 0]
    spread = shapes(model.beams, share)
    out = (spread @ metal[:, :, None, :, None])[..., 0]
    out += _bulges(solution, share)
    turned: Floats = (swept(np.swapaxes(runs.axes, 1, 2))[:, None] @ out[..., None])[..., 0]
    return turned


def _held(solution: Solution) -> Floats:
    """What the loads of each member alone put on its ends, nothing let free: (c, m, 12)."""
    beams, loads = solution.model.beams, solution.loads
    return per_member(loads, held_ends(beams, loads, whole=True), len(beams.runs.length))


def _bulges(solution: Solution, share: Floats) -> Floats:
    """How far loads move places of a member whose ends stand still, axes at the start: (c, m, k, 6)."""
    beams, loads = solution.model.beams, solution.loads
    runs, mine = beams.runs, loads.member
    size = runs.length[mine]
    at_end = moved_by(runs, loads, size)
    force = -(beams.stiff_end[mine] @ at_end[..., None])
    each = np.zeros((len(mine), len(share), 6))
    for k, s in enumerate(share):
        gives = by_shape(runs, mine, lambda some, _, count, s=s: _given(some, float(s), count))  # type: ignore[misc]
        each[:, k] = moved_by(runs, loads, size * s) + (gives @ force)[..., 0]
    return per_member(loads, each, len(runs.length))


def _given(some: Runs, share: float, count: int) -> Floats:
    """How far a place moves for a force at the end, the start held: (m, 6, 6), axes at the start."""
    goal = some.length * share
    along, weight = gauss(np.zeros_like(goal), goal, count)
    here = carried(some, along, np.broadcast_to(goal[:, None], along.shape))
    end = carried(some, along, np.broadcast_to(some.length[:, None], along.shape))
    out: Floats = (np.swapaxes(here, -1, -2) @ (weight[..., None, None] * some.gives[:, None]) @ end).sum(axis=1)
    return out


def shapes(beams: Beams, stations: Sequence[float] | Floats) -> Floats:
    """Return how movements of the ends spread over unloaded members.

    Args:
        beams: The members.
        stations: (k,) places as shares of each member's length, 0 to 1.

    Returns:
        (m, k, 6, 12) displacements [mm] and turns [rad] in the axes at the start, from own displacements of the ends.

    Source: exact for members with shear: the field of forces in balance, integrated from the start.
    """
    runs = beams.runs
    rows = np.arange(len(runs.length))
    place, turned = places(runs, runs.length[:, None])
    to_end = np.swapaxes(arms(place[:, 0]), 1, 2)
    from_ends = np.concatenate((-to_end, swept(np.swapaxes(turned[:, 0], 1, 2))), axis=2)
    force = beams.stiff_end @ from_ends
    out = np.zeros((len(rows), len(stations), 6, 12))
    for k, s in enumerate(np.asarray(stations, float)):
        gives = by_shape(runs, rows, lambda some, _, count, s=s: _given(some, float(s), count))  # type: ignore[misc]
        here, _ = places(runs, (runs.length * s)[:, None])
        out[:, k] = gives @ force
        out[:, k, :, :6] += np.swapaxes(arms(here[:, 0]), 1, 2)
    return out
