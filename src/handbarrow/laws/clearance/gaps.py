"""How far convex solids are apart, pair by pair, all pairs at once. Lengths mm."""

from __future__ import annotations

import math
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.clearance.solids import Solids
from handbarrow.laws.geometry.approach import segments_apart

__all__ = ["SURE", "Gaps", "gaps", "least_gaps"]

Floats = NDArray[np.float64]

SURE = 1e-3
"""Distances are certain to this [mm]."""
MOST_STEPS = 80


class Gaps(NamedTuple):
    """Distances of n pairs [mm], 0 or below where they overlap; the nearest points on both, (n, 3).

    Of two solids that overlap the number says so and no more, but for rounds: how deep, axis to axis.
    """

    gap: Floats
    one: Floats
    other: Floats


def least_gaps(a: Solids, b: Solids) -> Floats:
    """Return a distance that pairs of solids certainly have [mm]: from the lines in their middles; quick.

    Source: plane geometry.
    """
    p, q = segments_apart(a.start, a.along, b.start, b.along)
    out: Floats = np.linalg.norm(p - q, axis=1) - a.girth - b.girth
    return out


def gaps(a: Solids, b: Solids, enough: Floats | float = math.inf) -> Gaps:
    """Return how far pairs of solids are apart.

    Args:
        a: n solids.
        b: n solids, each measured against the one in the same row.
        enough: Pairs that are certainly further apart than this [mm] need no more than that.

    Source: E. Gilbert, D. Johnson, S. Keerthi, A fast procedure for computing the distance between complex objects in
    three-dimensional space, 1988 (from memory); certain to `SURE` by its own lower bound. Rounds that are
    nearest beside their ends: distance of axes less the radii, exact.
    """
    p, q = segments_apart(a.start, a.along, b.start, b.along)
    between = p - q
    far = np.linalg.norm(between, axis=1)
    gap = far - a.girth - b.girth
    beside = _beside(a, p) & _beside(b, q)
    way = between / np.maximum(far, 1e-12)[:, None]
    one, other = p - way * a.girth[:, None], q + way * b.girth[:, None]
    rest = np.flatnonzero(~beside)
    if len(rest):
        wanted = np.broadcast_to(enough, gap.shape)[rest]
        found = _nearest(a.rows(rest), b.rows(rest), wanted)
        gap[rest], one[rest], other[rest] = found
    return Gaps(gap, one, other)


def _beside(s: Solids, at: Floats) -> NDArray[np.bool_]:
    """Whether a solid can be measured from its axis here: a round one, beside its ends if they are flat."""
    balls = (s.ring == 0) & (s.ball == s.girth)
    long = np.einsum("ij,ij->i", s.along, s.along)
    f = np.einsum("ij,ij->i", at - s.start, s.along) / np.where(long > 0, long, 1.0)
    inside = (s.ring == s.girth) & (long > 0) & (f > 1e-9) & (f < 1 - 1e-9)
    out: NDArray[np.bool_] = balls | inside
    return out


def _support(s: Solids, way: Floats) -> Floats:
    """The point of each solid, its ball left out, that lies furthest in a direction."""
    best = np.argmax(np.einsum("nmi,ni->nm", s.points, way), axis=1)
    out: Floats = s.points[np.arange(len(s)), best]
    flat = way - s.normal * np.einsum("ni,ni->n", way, s.normal)[:, None]
    size = np.linalg.norm(flat, axis=1)
    out += flat * (s.ring / np.maximum(size, 1e-12) * (size > 1e-12))[:, None]
    return out


def _nearest(a: Solids, b: Solids, enough: Floats) -> Gaps:
    """Nearest points of any solids: the point of their difference that lies nearest to zero."""
    ball_a, ball_b = a.ball, b.ball
    far_enough = enough + ball_a + ball_b
    core = np.zeros(len(a))
    one, other = a.points[:, 0].copy(), b.points[:, 0].copy()
    row, p, q = np.arange(len(a)), one.copy(), other.copy()
    corners_p, corners_q = np.zeros((len(a), 4, 3)), np.zeros((len(a), 4, 3))
    corners_p[:, 1], corners_q[:, 1] = p, q
    used = np.zeros((len(a), 4), dtype=bool)
    used[:, 1] = True
    before = np.full(len(a), np.inf)
    for _ in range(MOST_STEPS):
        v = p - q
        far = np.linalg.norm(v, axis=1)
        core[row], one[row], other[row] = far, p, q
        w_p, w_q = _support(a, -v), _support(b, v)
        least = np.einsum("ni,ni->n", v, w_p - w_q) / np.maximum(far, 1e-12)
        open_ = (far - least >= SURE) & (far >= SURE) & (far < before - 1e-12) & (least <= far_enough[row])
        go = np.flatnonzero(open_)
        if not len(go):
            break
        row, a, b, before = row[go], a.rows(go), b.rows(go), far[go]
        corners_p, corners_q, used = corners_p[go], corners_q[go], used[go]
        corners_p[:, 0], corners_q[:, 0], used[:, 0] = w_p[go], w_q[go], True
        share = _shares(corners_p - corners_q, used)
        p, q = np.einsum("nk,nki->ni", share, corners_p), np.einsum("nk,nki->ni", share, corners_q)
        used = share > 0
        full = used.all(axis=1)
        core[row[full]] = 0.0
        order = np.argsort(~used, axis=1, kind="stable")  # those in use first, then one place to the right
        order = np.roll(order, 1, axis=1)
        here = np.arange(len(row))[:, None]
        corners_p, corners_q, used = corners_p[here, order], corners_q[here, order], used[here, order]
    way = (one - other) / np.maximum(core, 1e-12)[:, None]
    core = np.where(core < SURE, 0.0, core)
    return Gaps(core - ball_a - ball_b, one - way * ball_a[:, None], other + way * ball_b[:, None])


def _shares(corners: Floats, used: NDArray[np.bool_]) -> Floats:
    """Shares of the corners (n, 4, 3) in the point of their hull nearest to zero, of those in use; others have 0.

    The newest corner, number 0, is always among those that carry it. With edges from it, what the others must take
    solves a system of one, two or three unknowns; where all shares are above zero, the distance counts.
    """
    edges = corners[:, 1:] - corners[:, :1]
    gram = edges @ edges.transpose(0, 2, 1)
    right = -(edges @ corners[:, 0, :, None])[..., 0]
    best = np.einsum("na,na->n", corners[:, 0], corners[:, 0])
    whole = best.copy()
    out = np.zeros((len(corners), 4))
    out[:, 0] = 1.0
    for subset in SUBSETS:
        take, sure = _solved(gram, right, subset)
        first: Floats = 1.0 - np.sum(take, axis=0)
        gain = sum(share * right[:, k] for share, k in zip(take, subset, strict=True))
        size = whole - gain
        good = sure & (first > 0) & (size < best)
        for share, k in zip(take, subset, strict=True):
            good &= (share > 0) & used[:, k + 1]
        chosen = np.flatnonzero(good)
        best[chosen] = size[chosen]
        out[chosen] = 0.0
        out[chosen, 0] = first[chosen]
        for share, k in zip(take, subset, strict=True):
            out[chosen, k + 1] = share[chosen]
    return out


SUBSETS = tuple(subset for size in (1, 2, 3) for subset in combinations((0, 1, 2), size))
"""Which of the other three corners carry the nearest point together with the newest."""
FLAT = 1e-12


def _solved(gram: Floats, right: Floats, subset: tuple[int, ...]) -> tuple[list[Floats], NDArray[np.bool_]]:
    """Unknowns of the equations of a subset, by Cramer's rule, and where there is a solution."""
    g = {(i, j): gram[:, i, j] for i in subset for j in subset}
    i, r = subset[0], [right[:, k] for k in subset]
    if len(subset) == 1:
        det = g[i, i]
        return [r[0] / np.where(det > 0, det, 1.0)], det > 0
    j = subset[1]
    minor = g[i, i] * g[j, j] - g[i, j] ** 2
    if len(subset) == 2:
        sure = minor > FLAT * g[i, i] * g[j, j]
        safe = np.where(sure, minor, 1.0)
        return [(g[j, j] * r[0] - g[i, j] * r[1]) / safe, (g[i, i] * r[1] - g[i, j] * r[0]) / safe], sure
    k = subset[2]
    c_ii, c_jj, c_kk = g[j, j] * g[k, k] - g[j, k] ** 2, g[i, i] * g[k, k] - g[i, k] ** 2, minor
    c_ij, c_ik, c_jk = (
        g[i, k] * g[j, k] - g[i, j] * g[k, k],
        g[i, j] * g[j, k] - g[i, k] * g[j, j],
        g[i, j] * g[i, k] - g[j, k] * g[i, i],
    )
    det = g[i, i] * c_ii + g[i, j] * c_ij + g[i, k] * c_ik
    sure = det > FLAT * g[i, i] * g[j, j] * g[k, k]
    safe = np.where(sure, det, 1.0)
    return [
        (c_ii * r[0] + c_ij * r[1] + c_ik * r[2]) / safe,
        (c_ij * r[0] + c_jj * r[1] + c_jk * r[2]) / safe,
        (c_ik * r[0] + c_jk * r[1] + c_kk * r[2]) / safe,
    ], sure
