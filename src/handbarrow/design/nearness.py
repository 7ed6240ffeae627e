"""Which centrelines pass near which points: all copies of all runs in one table, asked for many points at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.placing import Scene
from handbarrow.design.values import Member, Target
from handbarrow.laws.geometry.approach import points_to_arcs
from handbarrow.laws.geometry.path import Floats, Vec3, cross, layout, vec3
from handbarrow.laws.geometry.rigid import moved, turned

__all__ = ["Hit", "Owner", "Table", "half_outside", "near", "table_of"]

Whole = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True)
class Owner:
    """A copy of a run: whose it is, its end points (start, end), and half of its outside [mm]."""

    target: Target
    member: Member
    ends: Floats
    half: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """All straights and arcs of all copies of runs, product axes."""

    owners: tuple[Owner, ...]
    low: Floats
    high: Floats
    """Boxes round the owners, (owners, 3)."""
    leg_owner: Whole
    leg_element: Whole
    leg_at: Floats
    leg_dir: Floats
    leg_len: Floats
    arc_owner: Whole
    arc_element: Whole
    arc_centre: Floats
    arc_spoke: Floats
    arc_ahead: Floats
    arc_radius: Floats
    arc_angle: Floats


@dataclass(frozen=True, slots=True)
class Hit:
    """A centreline near a point: which owner, how far [mm], on which element, where, its direction there (unit)."""

    owner: int
    distance: float
    element: int
    foot: Vec3
    tangent: Vec3


def half_outside(member: Member) -> float:
    """How far the section reaches from its centreline [mm]; an angle reaches a whole leg from its heel."""
    section = member.section
    return section.outside if section.shape == "angle" else section.outside / 2


def table_of(scene: Scene, members: dict[str, Member]) -> Table:
    """Put all copies of all runs into one table."""
    owners: list[Owner] = []
    legs: list[tuple[Floats, Floats, Floats]] = []
    arcs: list[tuple[Floats, Floats, Floats, Floats, Floats]] = []
    boxes: list[tuple[Floats, Floats]] = []
    for part_id, member in members.items():
        place = layout(member.centreline)
        corners = np.asarray(member.centreline.points)
        starts = np.vstack([place.start[None, :], place.tangents_out])
        spokes = (place.tangents_in - place.centres) / place.radii[:, None]
        ahead = cross(place.normals, spokes)
        straights = np.maximum(place.straights, 0.0)
        for k in range(1, len(member.part.copies) + 1):
            m = scene.transform(part_id, k)
            there = moved(m, corners)
            target = Target(part=part_id, copy=k)
            owners.append(Owner(target=target, member=member, ends=there[[0, -1]], half=half_outside(member)))
            boxes.append((there.min(axis=0), there.max(axis=0)))
            legs.append((moved(m, starts), turned(m, place.directions), straights))
            arcs.append((moved(m, place.centres), turned(m, spokes), turned(m, ahead), place.radii, place.angles))
    leg_owner, leg_element = _numbers([len(leg[2]) for leg in legs])
    arc_owner, arc_element = _numbers([len(arc[3]) for arc in arcs])
    return Table(
        owners=tuple(owners),
        low=_stack([box[0] for box in boxes]),
        high=_stack([box[1] for box in boxes]),
        leg_owner=leg_owner,
        leg_element=2 * leg_element,
        leg_at=_join([leg[0] for leg in legs]),
        leg_dir=_join([leg[1] for leg in legs]),
        leg_len=np.concatenate([leg[2] for leg in legs] or [np.zeros(0)]),
        arc_owner=arc_owner,
        arc_element=2 * arc_element + 1,
        arc_centre=_join([arc[0] for arc in arcs]),
        arc_spoke=_join([arc[1] for arc in arcs]),
        arc_ahead=_join([arc[2] for arc in arcs]),
        arc_radius=np.concatenate([arc[3] for arc in arcs] or [np.zeros(0)]),
        arc_angle=np.concatenate([arc[4] for arc in arcs] or [np.zeros(0)]),
    )


def _numbers(counts: list[int]) -> tuple[Whole, Whole]:
    """Owner and number within the owner of each row."""
    owner = np.repeat(np.arange(len(counts)), counts)
    inner = np.concatenate([np.arange(n) for n in counts] or [np.zeros(0, dtype=np.intp)])
    return owner.astype(np.intp), inner.astype(np.intp)


def _stack(rows: list[Floats]) -> Floats:
    return np.array(rows) if rows else np.zeros((0, 3))


def _join(blocks: list[Floats]) -> Floats:
    return np.concatenate(blocks) if blocks else np.zeros((0, 3))


def near(table: Table, points: Floats, reach: Floats) -> list[list[Hit]]:
    """Return for each point the owners whose centrelines pass within reach, nearest first.

    Args:
        table: All copies of all runs.
        points: (n, 3) points.
        reach: (n, owners) how far to look from each point for each owner [mm].
    """
    out: list[list[Hit]] = [[] for _ in points]
    if not len(points) or not table.owners:
        return out
    outside = np.maximum(table.low[None] - points[:, None], points[:, None] - table.high[None])
    close = outside.max(axis=2) <= reach
    rows, leg = np.nonzero(close[:, table.leg_owner])
    p = points[rows]
    along = np.einsum("ij,ij->i", p - table.leg_at[leg], table.leg_dir[leg])
    feet = table.leg_at[leg] + np.clip(along, 0.0, table.leg_len[leg])[:, None] * table.leg_dir[leg]
    rows_a, arc = np.nonzero(close[:, table.arc_owner])
    feet_a, ways_a = points_to_arcs(
        points[rows_a],
        (
            table.arc_centre[arc],
            table.arc_spoke[arc],
            table.arc_ahead[arc],
            table.arc_radius[arc],
            table.arc_angle[arc],
        ),
    )
    row = np.concatenate([rows, rows_a])
    owner = np.concatenate([table.leg_owner[leg], table.arc_owner[arc]])
    element = np.concatenate([table.leg_element[leg], table.arc_element[arc]])
    foot, way = np.concatenate([feet, feet_a]), np.concatenate([table.leg_dir[leg], ways_a])
    gap = points[row] - foot
    distance = np.sqrt(np.einsum("ij,ij->i", gap, gap))
    order = np.lexsort((element, np.round(distance, 9), owner, row))
    order = order[distance[order] <= reach[row[order], owner[order]]]
    seen: set[tuple[int, int]] = set()
    for i in order:
        key = (int(row[i]), int(owner[i]))
        if key not in seen:
            seen.add(key)
            out[key[0]].append(Hit(key[1], float(distance[i]), int(element[i]), vec3(foot[i]), vec3(way[i])))
    for hits in out:
        hits.sort(key=lambda hit: (round(hit.distance, 9), _order(table, hit)))
    return out


def _order(table: Table, hit: Hit) -> tuple[str, int]:
    target = table.owners[hit.owner].target
    return target.part, target.copy
