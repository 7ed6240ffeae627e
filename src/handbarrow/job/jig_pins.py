"""Where pins, stops and supports go: beside straight legs, clear of every tube and away from welds."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handbarrow.job.jig_bodies import Body, Leg, distances, nearest_points
from handbarrow.job.jig_planes import TOUCH, Laid, meetings_of
from handbarrow.job.jig_values import JigSpot
from handbarrow.laws.geometry.path import Floats, vec3
from handbarrow.laws.hardware.pin_holes import PinSize

__all__ = ["KEEP_OUT", "SUPPORT", "Board", "Rules", "captive", "place_spots"]

KEEP_OUT, LESS = 30.0, 12.0
"""From a weld to the axis of a pin, and where there is no other place [mm]."""
SUPPORT = 15.0
"""Half the width of a support [mm]."""
STEP, FROM_BEND, APART = 5.0, 10.0, 60.0
"""Pins stand at whole steps along a leg, so far from its bends or ends; two pairs at least so far apart [mm]."""
LEVEL = 0.02
"""A leg is level where its direction rises by no more than this [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What pins keep to: screw, clearance to tubes, distance from welds, height of pins over the board [mm]."""

    pin: PinSize
    clearance: float
    keep_out: float
    height: float

    @property
    def off(self) -> float:
        """From a tube's outside to a pin's axis [mm]."""
        return self.pin.diameter / 2 + self.clearance

    @property
    def apart(self) -> float:
        """Between the axes of two pins, so that nuts and a spanner go beside each other [mm]."""
        return 2 * self.pin.diameter + 1.0


class Board:
    """What stands in the way on a board: the pieces of all bodies that go in, welds, spots that are there already."""

    def __init__(self, laid: Laid, rules: Rules) -> None:
        """Gather the pieces of centreline, their reach and undersides, and the welds."""
        self.laid, self.rules = laid, rules
        self.bodies = (*laid.flat, *laid.above)
        self.meetings = meetings_of(self.bodies)
        rows, self.owner = [], np.zeros(0, dtype=int)
        owners: list[int] = []
        for i, body in enumerate(self.bodies):
            pieces = _pieces(body)
            rows.append(pieces)
            owners += [i] * len(pieces)
        self.pieces = np.concatenate(rows)
        self.owner = np.array(owners)
        self.welds = self._welds()
        self.spots: list[JigSpot] = []

    def _welds(self) -> Floats:
        """(w, 3): x, y of each joint and the reach of the thicker tube there."""
        rows = [(*m.point[:2].tolist(), max(self.bodies[m.one].half, self.bodies[m.other].half)) for m in self.meetings]
        for one in self.bodies:
            for other in self.bodies:
                if other.part in one.on and other is not one:
                    gap, at = nearest_points(one, other)
                    if gap <= one.half + other.half + TOUCH:
                        rows.append((float(at[0]), float(at[1]), max(one.half, other.half)))
        return np.array(rows).reshape(-1, 3)

    def clear(self, points: Floats, radius: float, top: float, own: tuple[int, Leg] | None = None) -> NDArray[np.bool_]:
        """Whether upright rods (k, 2) of a radius and height stand clear of all that is put in.

        A body stands in the way where it comes nearer in plan than the clearance and its underside lies below the top.
        `own`: a body and the leg that the rods are for, which is left out.
        """
        p = self.pieces
        if own is not None:
            p = p[~((self.owner == own[0]) & _on_leg(p, own[1]))]
        reach = p[:, 6] + radius + self.rules.clearance
        low, high = np.minimum(p[:, 0:2], p[:, 3:5]), np.maximum(p[:, 0:2], p[:, 3:5])
        p = p[
            ((low <= points.max(axis=0) + reach[:, None]) & (high >= points.min(axis=0) - reach[:, None])).all(axis=1)
        ]
        gap, at = distances(points, p[:, 0:2], p[:, 3:5])
        under = p[:, 2] + at * (p[:, 5] - p[:, 2]) - p[:, 7]
        bad = (gap < p[:, 6] + radius + self.rules.clearance - 1e-6) & (under < top - 1e-6)
        edge, far = radius + 5.0, np.array([self.laid.width, self.laid.height])
        out: NDArray[np.bool_] = ~bad.any(axis=1) & ((points >= edge) & (points <= far - edge)).all(axis=1)
        return out

    def cool(self, points: Floats, keep_out: float) -> NDArray[np.bool_]:
        """Whether points (k, 2) keep away from welds."""
        if not len(self.welds):
            return np.ones(len(points), dtype=bool)
        gap = np.linalg.norm(points[:, None] - self.welds[None, :, :2], axis=2)
        out: NDArray[np.bool_] = (gap >= self.welds[None, :, 2] + keep_out - 1e-9).all(axis=1)
        return out

    def apart(self, points: Floats, least: float) -> NDArray[np.bool_]:
        """Whether points (k, 2) keep away from the spots that are there."""
        out = np.ones(len(points), dtype=bool)
        for spot in self.spots:
            room = least + (SUPPORT if spot.kind == "support" else 0.0)
            out &= np.hypot(points[:, 0] - spot.x, points[:, 1] - spot.y) >= room - 1e-9
        return out

    def add(self, point: Floats, body: Body, pushes: Floats, *, kind: str = "pin", height: float, near: bool) -> None:
        """Put a spot on the board."""
        self.spots.append(
            JigSpot(
                number=len(self.spots) + 1, kind=kind, x=float(point[0]), y=float(point[1]), height=height,  # type: ignore[arg-type]
                part=body.part, copy=body.copy, pushes=(float(pushes[0]), float(pushes[1])), near_weld=near,
            )
        )  # fmt: skip


def _pieces(body: Body) -> Floats:
    """(k, 8): start x y z, end x y z, reach across in plan, reach down. Sections that are not round count widest."""
    a, b = body.spine[:-1], body.spine[1:]
    z = np.array([0.0, 0.0, 1.0])
    across, down = 0.0, 0.0
    for leg in body.legs:
        flat = np.array([-leg.way[1], leg.way[0], 0.0])
        size = float(np.linalg.norm(flat))
        across = max([across, *leg.reach(body.section, flat / size)] if size > LEVEL else [across, body.half])
        down = max(down, leg.reach(body.section, z)[0])
    way = b - a
    level = np.hypot(way[:, 0], way[:, 1]) / np.maximum(np.linalg.norm(way, axis=1), 1e-9)
    falls = np.where(level > LEVEL, down, 0.0)
    return np.column_stack([a, b, np.full(len(a), across), falls])


def _on_leg(pieces: Floats, leg: Leg) -> NDArray[np.bool_]:
    """Which pieces are this very leg."""
    start, end = np.array(vec3(leg.at)), leg.at + leg.way * leg.size
    same: NDArray[np.bool_] = (np.abs(pieces[:, 0:3] - start).max(axis=1) < 1e-6) & (
        np.abs(pieces[:, 3:6] - end).max(axis=1) < 1e-6
    )
    return same


# ------------------------------------------------------------------------------------------------ placing
def place_spots(board: Board) -> tuple[list[JigSpot], list[bool]]:
    """Put pins and stops beside all flat bodies and supports under level legs above them.

    Returns:
        The spots by number, and for each body of the board whether it is held.
    """
    count = len(board.laid.flat)
    for i in range(count):
        for leg in _by_size(board.bodies[i]):
            _beside(board, i, leg, board.rules.keep_out)
        _stops(board, i, board.rules.keep_out)
    for i in range(count):
        if not captive(board, i) and board.rules.keep_out > LESS:
            for leg in _by_size(board.bodies[i]):
                if not any(_is_beside(spot, board.bodies[i], leg) for spot in board.spots):
                    _beside(board, i, leg, LESS)
            _stops(board, i, LESS)
    held = [captive(board, i) for i in range(count)]
    held += [_supports(board, body) >= 2 for body in board.bodies[count:]]
    return _numbered(board), held


def _by_size(body: Body) -> list[Leg]:
    return sorted(body.legs, key=lambda leg: -round(leg.size, 3))


def _numbered(board: Board) -> list[JigSpot]:
    """Number the spots body by body: what is put in together is found together."""
    order = {(body.part, body.copy): i for i, body in enumerate(board.bodies)}
    spots = sorted(board.spots, key=lambda s: (order[s.part, s.copy], s.number))
    return [replace(spot, number=n) for n, spot in enumerate(spots, start=1)]


def _is_beside(spot: JigSpot, body: Body, leg: Leg) -> bool:
    if (spot.part, spot.copy, spot.kind) != (body.part, body.copy, "pin"):
        return False
    along = float((np.array([spot.x, spot.y]) - leg.at[:2]) @ leg.way[:2])
    return 0 <= along <= leg.size and abs(float(np.array(spot.pushes) @ leg.way[:2])) < 1e-6


def _along(leg: Leg) -> Floats:
    """Places along a leg [mm]: where it runs along an edge of the board, whole steps from that edge."""
    low, high = FROM_BEND, leg.size - FROM_BEND
    level = max(range(2), key=lambda axis: abs(float(leg.way[axis])))
    sign = float(leg.way[level])
    first = low
    if abs(abs(sign) - 1) < 1e-9:
        first = low + (-math.copysign(1.0, sign) * float(leg.at[level]) - low) % STEP
        if first - low > STEP - 1e-9:
            first = low
    count = math.floor((high - first) / STEP + 1e-9) + 1
    out: Floats = first + STEP * np.arange(max(count, 0), dtype=float)
    return out


def _beside(board: Board, i: int, leg: Leg, keep_out: float) -> None:
    """Pins on both sides of a leg: two pairs far apart, else one pair, else one pin each side where there is room."""
    body, rules = board.bodies[i], board.rules
    s = _along(leg)
    if not len(s):
        return
    left = np.array([-leg.way[1], leg.way[0]])
    reach = leg.reach(body.section, np.array([*left, 0.0]))
    on_axis = leg.at[:2] + s[:, None] * leg.way[:2]
    rows: dict[float, Floats] = {}
    good: dict[float, NDArray[np.bool_]] = {}
    for side, far in ((1.0, reach[1]), (-1.0, reach[0])):
        rows[side] = on_axis + side * left * (far + rules.off)
        good[side] = board.clear(rows[side], rules.pin.diameter / 2, rules.height, (i, leg))
        good[side] &= board.cool(rows[side], keep_out) & board.apart(rows[side], rules.apart)
    for k, side in _choose(s, good, sum(reach) + 2 * rules.off >= rules.apart):
        near = not bool(board.cool(rows[side][k][None], rules.keep_out)[0])
        board.add(rows[side][k], body, -side * left, height=rules.height, near=near)


def _choose(s: Floats, good: dict[float, NDArray[np.bool_]], opposite: bool) -> list[tuple[int, float]]:
    """(place, side) of the pins of a leg, from the places that are good on either side."""
    both = np.flatnonzero(good[1.0] & good[-1.0])
    if len(both) and opposite:
        if s[both[-1]] - s[both[0]] >= APART:
            return [(int(k), side) for k in (both[0], both[-1]) for side in (1.0, -1.0)]
        middle = int(both[len(both) // 2])
        return [(middle, 1.0), (middle, -1.0)]
    one, other = np.flatnonzero(good[1.0]), np.flatnonzero(good[-1.0])
    if len(one) and len(other):
        ways = [[(int(one[0]), 1.0), (int(other[-1]), -1.0)], [(int(other[0]), -1.0), (int(one[-1]), 1.0)]]
        return max(ways, key=lambda way: abs(float(s[way[1][0]] - s[way[0][0]])))
    for side, found in ((1.0, one), (-1.0, other)):
        if len(found):
            return [(int(k), side) for k in dict.fromkeys((found[0], found[-1])) if len(found)][:2]
    return []


def _stops(board: Board, i: int, keep_out: float) -> None:
    """A stop before each end that meets nothing."""
    body, rules = board.bodies[i], board.rules
    for k, end in enumerate(body.ends):
        point = (end.longest - end.into * rules.off)[None, :2]
        there = any(s.kind == "end stop" and math.dist((s.x, s.y), point[0]) < 1.0 for s in board.spots)
        if there or any(m.one == i and m.end == k for m in board.meetings):
            continue
        leg = body.legs[0 if k == 0 else -1]
        if (
            board.clear(point, rules.pin.diameter / 2, rules.height, (i, leg))[0]
            and board.cool(point, keep_out)[0]
            and board.apart(point, rules.apart)[0]
        ):
            near = not bool(board.cool(point, rules.keep_out)[0])
            board.add(point[0], body, end.into[:2], kind="end stop", height=rules.height, near=near)


def _supports(board: Board, body: Body) -> int:
    """Supports under the level legs of a body above the others; returns how many its longest level leg got."""
    for leg in _by_size(body):
        s = _along(leg)
        if abs(float(leg.way[2])) > LEVEL or not len(s):
            continue
        top = float(leg.at[2]) - leg.reach(body.section, np.array([0.0, 0.0, 1.0]))[0]
        points = leg.at[:2] + s[:, None] * leg.way[:2]
        good = board.clear(points, SUPPORT, top) & board.cool(points, board.rules.keep_out)
        good &= board.apart(points, SUPPORT + board.rules.pin.diameter)
        found = np.flatnonzero(good)
        if len(found) and s[found[-1]] - s[found[0]] >= 2 * APART:
            for k in (found[0], found[-1]):
                board.add(points[k], body, np.zeros(2), kind="support", height=top, near=False)
            return 2
    return 0


# ------------------------------------------------------------------------------------------------ held
def captive(board: Board, i: int) -> bool:
    """Whether a flat body cannot move in the board's plane but for the clearance.

    Contacts are its pins and stops, its ends on other tubes, and the ends of others on it. It is captive where their
    pushes (force and moment) leave no half-space free: then no small movement keeps clear of all of them.
    Source: first-order form closure in the plane (Reuleaux); at least four contacts.
    """
    wrenches = contacts(board, i)
    if len(wrenches) < 4 or np.linalg.matrix_rank(wrenches, tol=1e-6) < 3:
        return False
    n = len(wrenches)
    one, other = np.triu_indices(n, 1)
    walls = np.cross(wrenches[one], wrenches[other])
    walls = walls[np.linalg.norm(walls, axis=1) > 1e-9]
    sides = walls @ wrenches.T
    return bool(np.all((sides.max(axis=1) > 1e-9) & (sides.min(axis=1) < -1e-9)))


def contacts(board: Board, i: int) -> Floats:
    """(k, 3) pushes on a flat body: force x, y and moment about its middle, over its length [-]."""
    body = board.bodies[i]
    middle, size = body.spine[:, :2].mean(axis=0), max(body.length, 1.0)
    rows = []

    def push(point: Floats, force: Floats) -> None:
        arm = point[:2] - middle
        rows.append((force[0], force[1], (arm[0] * force[1] - arm[1] * force[0]) / size))

    for spot in board.spots:
        if (spot.part, spot.copy) == (body.part, body.copy) and spot.kind != "support":
            push(np.array([spot.x, spot.y]), np.array(spot.pushes))
    for m in board.meetings:
        into = board.bodies[m.one].ends[m.end].into
        if abs(into[2]) < LEVEL and i in (m.one, m.other) and max(m.one, m.other) < len(board.laid.flat):
            push(m.point, into if m.one == i else -into)
    return np.array(rows).reshape(-1, 3)
