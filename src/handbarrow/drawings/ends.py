"""Where the cut of an end runs round a section with corners: the sharp outline that a view draws, and h on it.

Views draw a rectangular tube with sharp corners. On its faces the cut is the job's own. A corner lies outside the
rounded one of the tube; there the cut is carried on from the faces beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from handbarrow.job.values import EndCut
from handbarrow.laws.geometry.path import Floats, Vec2
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import outline

__all__ = ["Wrap", "cut_round", "end_wrap"]

Wrap = tuple[Vec2, ...]
Ints = NDArray[np.int64]

STRAIGHT = 0.01
"""Stations of a cut that lie nearer than this to a straight line between others are left out [mm]."""
BACK = 2
"""Every how many stations of a face one is taken, of three by which its cut is carried on to the corner."""


def end_wrap(cut: EndCut | None) -> Wrap | None:
    """Return (s, h) pairs round an end [mm]; a single pair where it is square but not at the working point."""
    if cut is None:
        return None
    if cut.wrap:
        return cut.wrap
    return ((0.0, cut.shortest),) if cut.shortest else None


@lru_cache(maxsize=256)
def cut_round(section: Section, corners: tuple[Vec2, ...], wrap: Wrap) -> tuple[Floats, Ints]:
    """Return the cut of an end round a section that is not round.

    Args:
        section: The section [mm].
        corners: Corners (v, u) of the outline that is drawn, in the order of the job's stations.
        wrap: (s, h) of the job [mm].

    Returns:
        (m, 3) rows u, v, h from corner 0 round, and for each corner which of the rows it is.
    """
    ring = outline(section)
    h = np.interp(ring.s[:-1], *np.asarray(wrap, dtype=float).T)
    uv = ring.uv[:-1]
    sharp = np.asarray(corners, dtype=float)[:, ::-1]
    faces = [_face(uv, h, a, b) for a, b in zip(sharp, np.roll(sharp, -1, axis=0), strict=True)]
    beside = [(faces[k - 1][::-1], faces[k]) for k in range(len(sharp))]
    tips = np.array([[*tip, _at_corner(uv, h, tip, two)] for tip, two in zip(sharp, beside, strict=True)])
    rows: list[Floats] = []
    for first, face, last in zip(tips, faces, np.roll(tips, -1, axis=0), strict=True):
        one = np.vstack([first, face, last])
        rows.append(one[_kept(one)][:-1])
    counts = np.array([len(one) for one in rows])
    out = np.concatenate(rows), np.cumsum(counts) - counts
    for array in out:
        array.flags.writeable = False  # shared by all who ask
    return out


def _face(uv: Floats, h: Floats, a: Floats, b: Floats) -> Floats:
    """Stations u, v, h that lie on the straight between two corners, in its order, without the corners."""
    size = float(np.hypot(*(b - a)))
    t = (b - a) / size
    along, off = (uv - a) @ t, (uv - a) @ np.array((-t[1], t[0]))
    on = np.flatnonzero((np.abs(off) < 1e-6) & (along > 1e-6) & (along < size - 1e-6))
    on = on[np.argsort(along[on])]
    return np.column_stack((uv[on], h[on]))


def _at_corner(uv: Floats, h: Floats, corner: Floats, faces: Sequence[Floats]) -> float:
    """How far in the cut lies at a corner: the station there, else carried on from the straighter face beside it.

    It is carried on as a parabola, but no further from the middle of the rounded corner than the faces' ends are.
    """
    apart = np.hypot(*(uv - corner).T)
    near = int(np.argmin(apart))
    middle = float(h[near])
    if apart[near] < 1e-6:
        return middle
    _, found = min((_carried(face, corner) for face in faces if len(face) > 2 * BACK), default=(0.0, middle))
    reach = max((abs(float(face[0, 2]) - middle) for face in faces if len(face)), default=0.0)
    return min(max(found, middle - reach), middle + reach)


def _carried(face: Floats, corner: Floats) -> tuple[float, float]:
    """How bent the cut of a face is that starts next to a corner, and h where it reaches the corner.

    Source: Newton's divided differences.
    """
    taken = face[: 2 * BACK + 1 : BACK]
    (x0, x1, x2), (h0, h1, h2) = np.hypot(*(taken[:, :2] - corner).T).tolist(), taken[:, 2].tolist()
    first, second = (h1 - h0) / (x1 - x0), (h2 - h1) / (x2 - x1)
    bent = (second - first) / (x2 - x0)
    return abs(bent), h0 - x0 * first + x0 * x1 * bent


def _kept(rows: Floats) -> Ints:
    """Which rows of a face are kept, both ends among them: those between lie within STRAIGHT of a line."""
    along = np.hypot(*(rows[:, :2] - rows[0, :2]).T)
    kept = [0, len(rows) - 1]
    for _ in range(len(rows)):
        off = np.abs(rows[:, 2] - np.interp(along, along[kept], rows[kept, 2]))
        worst = int(np.argmax(off))
        if off[worst] <= STRAIGHT:
            break
        kept = sorted((*kept, worst))
    return np.array(kept)
