"""What lies in one plane of an assembly and is joined together, which way it lies on the board, what stands on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.job.jig_bodies import Body, distances, nearest_points
from handbarrow.laws.geometry.path import Floats, cross

__all__ = ["Laid", "Meeting", "lay", "meetings_of"]

IN_PLANE = 1.0
"""A centreline no further than this from a plane lies in it [mm]."""
TOUCH = 2.0
"""Outsides nearer than this touch [mm]."""
DATUM = 10.0
"""The outside nearest to a datum edge lies a whole multiple of this from it [mm]."""


@dataclass(frozen=True, slots=True, eq=False)
class Meeting:
    """An end of one body on another body: their numbers, the end's number (0, 1), the joint's place."""

    one: int
    end: int
    other: int
    point: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """An assembly laid on its board.

    Attributes:
        flat: Bodies in the plane, board axes.
        above: Bodies that stand on them, board axes.
        left_out: Bodies of the assembly that do not go in, board axes.
        to_board: From product axes, (4, 4).
        turned_over: Whether product's up is down.
        plane: Height of the flat centrelines.
        width: Of the board.
        height: Of the board.
    """

    flat: tuple[Body, ...]
    above: tuple[Body, ...]
    left_out: tuple[Body, ...]
    to_board: Floats
    turned_over: bool
    plane: float
    width: float
    height: float


def meetings_of(bodies: Sequence[Body]) -> list[Meeting]:
    """Return which end meets which body: of the copies of what it is cut against, those that it reaches."""
    out = []
    for i, body in enumerate(bodies):
        for k, end in enumerate(body.ends):
            for name in dict.fromkeys(end.meets):
                others = [j for j, other in enumerate(bodies) if other.part == name and j != i]
                gaps = [_point_gap(end.point, bodies[j]) for j in others]
                near = [j for j, gap in zip(others, gaps, strict=True) if gap <= bodies[j].half + body.half + TOUCH]
                if near:
                    best = min(near, key=lambda j: gaps[others.index(j)])
                    out.append(Meeting(i, k, best, end.point))
    return out


def _point_gap(point: Floats, body: Body) -> float:
    gap, _ = distances(point[None], body.spine[:-1], body.spine[1:])
    return float(gap.min())


# ------------------------------------------------------------------------------------------------ the plane
def lay(bodies: Sequence[Body], margin: float, bed: float) -> Laid | None:
    """Return an assembly's bodies laid on a board; None where fewer than two joined runs share a plane.

    Args:
        bodies: Of one assembly, product axes.
        margin: Least distance from the outsides of the flat bodies to the board's edges [mm].
        bed: Height of the strips that the thickest flat bodies lie on [mm].
    """
    meetings = meetings_of(bodies)
    best: tuple[float, Floats, list[int]] | None = None
    for normal, point in _planes(bodies, meetings):
        group = _largest_group(bodies, meetings, normal, point)
        size = sum(bodies[i].length for i in group)
        if len(group) >= 2 and (best is None or size > best[0] + 1e-6):
            best = (size, normal, group)
    if best is None:
        return None
    _, normal, group = best
    sides = [_laid(bodies, meetings, group, side * normal, (margin, bed)) for side in (1.0, -1.0)]
    return max(sides, key=lambda laid: (len(laid.above), not laid.turned_over))


def _planes(bodies: Sequence[Body], meetings: Sequence[Meeting]) -> list[tuple[Floats, Floats]]:
    """Planes to try: of each flat bent run, and of each pair of straight runs that meet at an angle."""
    found: list[tuple[Floats, Floats]] = []

    def add(normal: Floats, point: Floats) -> None:
        first = next((v for v in (normal[2], normal[1], normal[0]) if abs(v) > 1e-6), 1.0)
        normal = normal * math.copysign(1.0, first)
        if not any(n @ normal > 1 - 1e-6 and abs(float((point - p) @ normal)) < IN_PLANE for n, p in found):
            found.append((normal, point))

    for body in bodies:
        if body.normal is not None:
            add(body.normal, body.spine[0])
    for meeting in meetings:
        a, b = bodies[meeting.one].legs, bodies[meeting.other].legs
        if len(a) == 1 and len(b) == 1:
            normal = cross(a[0].way, b[0].way)
            size = float(np.linalg.norm(normal))
            if size > 0.05:
                add(normal / size, meeting.point)
    return found


def _largest_group(bodies: Sequence[Body], meetings: Sequence[Meeting], normal: Floats, point: Floats) -> list[int]:
    """Numbers of the bodies in a plane that hang together by their ends: the group with the most metal."""
    flat = {i for i, b in enumerate(bodies) if float(np.abs((b.spine - point) @ normal).max()) <= IN_PLANE}
    best: list[int] = []
    left = sorted(flat)
    while left:
        group, grew = {left[0]}, True
        while grew:
            more = {m.other if m.one in group else m.one for m in meetings if (m.one in group) != (m.other in group)}
            grew = bool(more & flat)
            group |= more & flat
        left = [i for i in left if i not in group]
        if sum(bodies[i].length for i in group) > sum(bodies[i].length for i in best):
            best = sorted(group)
    return best


# ------------------------------------------------------------------------------------------------ on the board
def _laid(
    bodies: Sequence[Body], meetings: Sequence[Meeting], group: Sequence[int], up: Floats, room: tuple[float, float]
) -> Laid:
    turn = _axes(bodies, group, up)
    flat = [bodies[i].placed(_matrix(turn, np.zeros(3))) for i in group]
    z = np.array([0.0, 0.0, 1.0])
    margin, bed = room
    plane = bed + max(leg.reach(body.section, z)[0] for body in flat for leg in body.legs)
    low = np.min([body.spine.min(axis=0) - _reach(body) for body in flat], axis=0)
    high = np.max([body.spine.max(axis=0) + _reach(body) for body in flat], axis=0)
    edge = math.ceil(margin / DATUM) * DATUM
    heights = np.concatenate([body.spine[:, 2] for body in flat])
    move = np.array([edge - low[0], edge - low[1], plane - float(heights.mean())])
    matrix = _matrix(turn, move)
    there = [body.placed(matrix) for body in bodies]
    above = _above(there, meetings, group, plane)
    out = [i for i in range(len(bodies)) if i not in group and i not in above]
    size = high - low + 2 * edge
    return Laid(
        flat=tuple(there[i] for i in group),
        above=tuple(there[i] for i in above),
        left_out=tuple(there[i] for i in out),
        to_board=matrix,
        turned_over=bool(up[2] < -1e-6),
        plane=plane,
        width=math.ceil(size[0] / DATUM - 1e-9) * DATUM,
        height=math.ceil(size[1] / DATUM - 1e-9) * DATUM,
    )


def _reach(body: Body) -> Floats:
    """Largest reach of a body's section along x, y, z [mm]; a level leg reaches nothing along itself."""
    out = np.zeros(3)
    for leg in body.legs:
        out = np.maximum(out, [max(leg.reach(body.section, axis)) for axis in np.eye(3)])
    return out


def _axes(bodies: Sequence[Body], group: Sequence[int], up: Floats) -> Floats:
    """Board axes as rows: x along the product's x (or y) as far as it lies in the plane, the longer way across."""
    for wanted in (np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])):
        x = wanted - up * float(wanted @ up)
        if np.linalg.norm(x) > 0.3:
            break
    x = x / np.linalg.norm(x)
    y = cross(up, x)
    points = np.concatenate([bodies[i].spine for i in group])
    if np.ptp(points @ y) > np.ptp(points @ x) + 1e-6:
        x, y = y, -x
    return np.array([x, y, up])


def _matrix(turn: Floats, move: Floats) -> Floats:
    out = np.eye(4)
    out[:3, :3], out[:3, 3] = turn, move
    return out


def _above(there: Sequence[Body], meetings: Sequence[Meeting], group: Sequence[int], plane: float) -> list[int]:
    """Numbers of the bodies that stand on the flat ones and meet nothing that does not go in."""
    inside = set(group)
    likely = {
        i
        for i, body in enumerate(there)
        if i not in inside and body.spine[:, 2].min() >= plane - IN_PLANE and body.spine[:, 2].max() > plane + IN_PLANE
    }
    for i in sorted(likely):
        wanted = [(k, name) for k, end in enumerate(there[i].ends) for name in dict.fromkeys(end.meets)]
        met = {(m.end, there[m.other].part) for m in meetings if m.one == i}
        if any(want not in met for want in wanted):
            likely.discard(i)
    grew = True
    while grew:
        grew = False
        for i in sorted(likely):
            theirs = [m.other for m in meetings if m.one == i]
            if any(j not in inside and j not in likely for j in theirs):
                likely.discard(i)
                grew = True
    placed: list[int] = []
    grew = True
    while grew:
        grew = False
        for i in sorted(likely - set(placed)):
            if _stands_on(there, meetings, i, sorted(inside)):
                placed.append(i)
                inside.add(i)
                grew = True
    return sorted(placed)


def _stands_on(there: Sequence[Body], meetings: Sequence[Meeting], i: int, inside: Sequence[int]) -> bool:
    """Whether a body meets one that is in, by an end of either or by lying on it."""
    if any({m.one, m.other} - {i} <= set(inside) and i in (m.one, m.other) for m in meetings):
        return True
    for j in inside:
        if there[j].part in there[i].on or there[i].part in there[j].on:
            gap, _ = nearest_points(there[i], there[j])
            if gap <= there[i].half + there[j].half + TOUCH:
                return True
    return False
