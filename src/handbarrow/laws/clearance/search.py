"""Which of many bodies come near which others, standing and along a motion. Lengths mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.clearance.depth import depth
from handbarrow.laws.clearance.gaps import Gaps, gaps, least_gaps
from handbarrow.laws.clearance.motion import Screw
from handbarrow.laws.clearance.solids import Solids, joined

__all__ = ["DEEP", "Bodies", "Near", "bodies_of", "nearest", "nearest_on_the_way"]

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Flags = NDArray[np.bool_]

STRIDE = 40.0
"""A motion is first looked at in steps in which nothing travels further than this [mm]."""
CLOSE_IN = 0.5
"""Along a motion distances are certain to this [mm]."""
DEEP = 0.5
"""Bodies that lie in each other by more than this collide, and nothing deeper is looked for along a motion [mm]."""
AT_ONCE = 2_000_000
"""So many pairs are looked at together."""


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """Bodies made of solids.

    Attributes:
        solids: All solids of all bodies, body after body.
        owner: (n,) number of the body of each solid.
        first: Where each group of solids begins (a straight, a bend, a plate); they end where the next begins.
        count: How many solids each group has.
        held: Number of the body of each group.
    """

    solids: Solids
    owner: Whole
    first: Whole
    count: Whole
    held: Whole

    def boxes(self, solids: Solids) -> tuple[Floats, Floats]:
        """Return low and high corners of boxes round the groups, for solids that have been moved."""
        low, high = solids.boxes
        return np.minimum.reduceat(low, self.first), np.maximum.reduceat(high, self.first)

    def only(self, chosen: Flags) -> Bodies:
        """Return some of the bodies; they keep their numbers."""
        keep = np.flatnonzero(chosen[self.owner])
        mine = chosen[self.held]
        count = self.count[mine]
        first = np.concatenate([[0], np.cumsum(count)[:-1]]).astype(np.intp)
        return Bodies(self.solids.rows(keep), self.owner[keep], first, count, self.held[mine])


def bodies_of(each: list[Solids]) -> Bodies:
    """Return bodies from the solids of each; the first is number 0. Source: none needed, nothing is computed [-]."""
    solids = joined(each)
    owner = np.repeat(np.arange(len(each)), [len(one) for one in each]).astype(np.intp)
    first = np.flatnonzero(np.concatenate([[True], np.diff(solids.group) != 0]))
    count = np.diff(np.append(first, len(solids)))
    return Bodies(solids, owner, first, count, owner[first])


class Near(NamedTuple):
    """Two bodies that come near each other.

    Attributes:
        one: Number of a body.
        other: Number of the other.
        gap: Least distance [mm]; below zero: they lie in each other by that much.
        at_one: Nearest point of the one [mm].
        at_other: Of the other.
        share: How far along the motion, 0 to 1; 0 where nothing moves.
    """

    one: int
    other: int
    gap: float
    at_one: Floats
    at_other: Floats
    share: float = 0.0


def nearest(a: Bodies, b: Bodies, allowed: Flags, reach: float, moves: Floats | None = None) -> list[Near]:
    """Return the pairs of bodies that come nearer than `reach` [mm], with their distance.

    Args:
        a: Some bodies.
        b: Others, or the same; a pair is looked at once where `allowed` says so once.
        allowed: (bodies, bodies) whether the row's body is to be measured against the column's.
        reach: How near [mm].
        moves: Transform (4, 4) of `a` from where it is; None: it stays.

    Source: boxes first, then `laws.clearance.gaps`.
    """
    if not len(a.solids) or not len(b.solids):
        return []
    mine = a.solids if moves is None else a.solids.at(moves)
    i, j = _pairs(a, b, mine, allowed, reach)
    if not len(i):
        return []
    found = _signed(mine.rows(i), b.solids.rows(j), reach)
    close = np.flatnonzero(found.gap < reach)
    order = close[np.lexsort((found.gap[close], b.owner[j[close]], a.owner[i[close]]))]
    out: list[Near] = []
    seen: set[tuple[int, int]] = set()
    for k in order:
        one, other = int(a.owner[i[k]]), int(b.owner[j[k]])
        if (one, other) not in seen:
            seen.add((one, other))
            out.append(Near(one, other, float(found.gap[k]), found.one[k], found.other[k]))
    return out


def _pairs(a: Bodies, b: Bodies, mine: Solids, allowed: Flags, reach: float) -> tuple[Whole, Whole]:
    """Rows of solids of a and of b that may lie nearer than reach: by boxes round groups, then line to line."""
    low_a, high_a = a.boxes(mine)
    low_b, high_b = b.boxes(b.solids)
    apart = np.maximum(low_a[:, None] - high_b[None], low_b[None] - high_a[:, None]).max(axis=2)
    g, h = np.nonzero((apart < reach) & allowed[np.ix_(a.held, b.held)])
    i, j = _spread(a, b, g, h)
    if not len(i):
        return i, j
    kept_i, kept_j = [], []
    for k in range(0, len(i), AT_ONCE):
        s, t = i[k : k + AT_ONCE], j[k : k + AT_ONCE]
        close = least_gaps(mine.rows(s), b.solids.rows(t)) < reach
        kept_i.append(s[close])
        kept_j.append(t[close])
    return np.concatenate(kept_i), np.concatenate(kept_j)


def _spread(a: Bodies, b: Bodies, g: Whole, h: Whole) -> tuple[Whole, Whole]:
    """Every solid of each group of a beside every solid of the group of b in the same row."""
    size = a.count[g] * b.count[h]
    row = np.repeat(np.arange(len(g)), size)
    inner = np.arange(int(size.sum())) - np.repeat(np.cumsum(size) - size, size)
    wide = b.count[h][row]
    return a.first[g][row] + inner // np.maximum(wide, 1), b.first[h][row] + inner % np.maximum(wide, 1)


def nearest_on_the_way(a: Bodies, b: Bodies, allowed: Flags, way: Screw, reach: float) -> list[Near]:
    """Return the pairs of bodies that come nearer than `reach` [mm] while `a` goes all the way and `b` stays.

    The arguments are those of `nearest`. No approach can slip through between two looks: an interval is dropped only
    if nothing can travel far enough in it to come nearer than what is known, and halved until `CLOSE_IN`.

    Source: interval halving with the longest path of each solid as its bound.
    """
    if not len(a.solids) or not len(b.solids):
        return []
    ends = np.concatenate([a.solids.start, a.solids.start + a.solids.along])
    travel = way.longest(ends).reshape(2, -1).max(axis=0) + a.solids.girth * abs(way.angle_rad)
    steps = max(1, math.ceil(float(travel.max()) / STRIDE))
    best: dict[tuple[int, int], Near] = {}
    rows: list[tuple[Whole, Whole, Floats]] = []
    for k in range(steps):
        middle = (k + 0.5) / steps
        room = reach + float(travel.max()) / steps / 2
        i, j = _pairs(a, b, a.solids.at(way.at(np.array([middle]))[0]), allowed, room)
        rows.append((i, j, np.full(len(i), middle)))
    i, j = (np.concatenate([row[n] for row in rows]).astype(np.intp) for n in (0, 1))
    at, half = np.concatenate([row[2] for row in rows]), 0.5 / steps
    known = np.full(allowed.shape, reach)
    while len(i):
        mine = a.solids.rows(i).at(way.at(at))
        slack = travel[i] * half
        likely = np.flatnonzero(least_gaps(mine, b.solids.rows(j)) - slack < known[a.owner[i], b.owner[j]])
        i, j, at, slack = i[likely], j[likely], at[likely], slack[likely]
        found = _signed(mine.rows(likely), b.solids.rows(j), known[a.owner[i], b.owner[j]] + slack)
        for k in np.argsort(found.gap, kind="stable"):
            pair = int(a.owner[i[k]]), int(b.owner[j[k]])
            if found.gap[k] < known[pair]:
                known[pair] = found.gap[k]
                best[pair] = Near(*pair, float(found.gap[k]), found.one[k], found.other[k], float(at[k]))
        bound = known[a.owner[i], b.owner[j]]
        slack = np.minimum(slack, _approach(mine.rows(likely), found, way, half))
        open_ = (found.gap - slack < bound - CLOSE_IN) & (bound > -DEEP)
        i, j, at = i[open_], j[open_], at[open_]
        half /= 2
        i, j, at = np.repeat(i, 2), np.repeat(j, 2), (at[:, None] + np.array([-half, half])).ravel()
    return list(best.values())


def _approach(moving: Solids, found: Gaps, way: Screw, half: float) -> Floats:
    """How much nearer pairs that are apart can come within half an interval [mm]; infinite for others.

    A plane square to the line between the nearest points parts the two. How fast a point crosses it is linear in the
    point: so fast at most at an end of the solid's line, and a little more by its girth. What turns also bends off it.
    """
    apart = found.gap > 0
    between = found.other - found.one
    n = between / np.where(apart, np.linalg.norm(between, axis=1), 1.0)[:, None]
    across = np.cross(n, way.axis) * way.angle_rad
    lifts = (n @ way.axis) * way.shift
    ends = np.stack([moving.start, moving.start + moving.along]) - way.point
    speeds = np.abs(np.einsum("eni,ni->en", ends, across) + lifts).max(axis=0)
    speeds += moving.girth * np.linalg.norm(across, axis=1)
    arm = np.linalg.norm(ends - (ends @ way.axis)[..., None] * way.axis, axis=2).max(axis=0) + moving.girth
    out: Floats = np.where(apart, half * speeds + (half * way.angle_rad) ** 2 * arm / 2, np.inf)
    return out


def _signed(a: Solids, b: Solids, enough: Floats | float) -> Gaps:
    """Distances of pairs of solids; of those that overlap, how deep, below zero."""
    found = gaps(a, b, enough)
    inside = np.flatnonzero(found.gap <= 0)
    found.gap[inside] = [-depth(a, b, int(k), int(k)) for k in inside]
    return found
