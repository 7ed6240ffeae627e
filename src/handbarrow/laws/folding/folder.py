"""Which folds a simple folder can make, and in which order.

The folder clamps the sheet between bed and clamp and swings its beam up. A sheet may be turned end for end (which side
is clamped) and turned over (a fold down is made with the other face up). End view: the fold begins at the origin, the
clamped side runs to -x, the lower face of the sheet lies at z = 0; clamp and bed lie at x <= 0, the beam under x >= 0.
"""

from __future__ import annotations

import heapq
import itertools
import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.folding.strip import FoldedStrip, FoldMark, fold_marks, folded_points

__all__ = ["Blocked", "FoldStep", "Folder", "fold_clash", "fold_order", "turned_end_for_end", "turned_over"]

Floats = NDArray[np.float64]
Held = Literal["start", "end"]
Blocked = Literal["swung side too short", "clamped side too short", "hits the clamp", "hits the bed", "hits the beam"]
SWING_STEP_RAD = math.radians(6)
MOST_LOOKED_AT = 350
"""After so many folds looked at in so many states of the sheet, the fewest turnings are no longer sought."""
PRESSED_FROM_RAD = math.radians(135)
"""What turns further is a hem: folded so far by the beam, if the clamp's nose lets it, and then pressed flat under the
clamp (common practice, no source)."""
CLEAR_OF_NOSE_RAD = math.radians(2)
FREE = 0.02
"""Faces that lie on each other are drawn so far apart that they do not count as hitting [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Folder:
    """A folder with clamp, bed and swinging beam.

    Attributes:
        nose_rad: Angle of the clamp's nose, between the sheet and its front face [rad].
        nose_height: Up to where the front slopes back; above it the front stands upright [mm].
        clamp_height: Height of the clamp [mm].
        clamp_depth: How far it reaches back over the sheet [mm]; clear above the sheet beyond it.
        bed_depth: How far the bed reaches back under the sheet [mm]; clear below the sheet beyond it.
        beam_width: How far the beam reaches under the swung side [mm].
        least_clamped: Shortest flat that the clamp holds [mm].
        least_swung: Shortest flat that the beam takes [mm].
        over_rad: How far beyond the angle the beam must swing, for springback [rad].
    """

    nose_rad: float = math.radians(45)
    nose_height: float = 60.0
    clamp_height: float = 100.0
    clamp_depth: float = 120.0
    bed_depth: float = 60.0
    beam_width: float = 40.0
    least_clamped: float = 10.0
    least_swung: float = 8.0
    over_rad: float = math.radians(3)

    def clamp(self, thickness: float) -> Floats:
        """Outline of the clamp over a sheet [mm]; its nose stands back a tenth of the sheet, as a sharp fold needs."""
        back = min(self.nose_height / math.tan(self.nose_rad), self.clamp_depth) if self.nose_rad < math.pi / 2 else 0.0
        low, top, nose = thickness + FREE, thickness + self.clamp_height, -thickness / 10
        front = max(nose - back, -self.clamp_depth)
        return np.array(
            [
                (-self.clamp_depth, low),
                (nose, low),
                (front, low + self.nose_height),
                (front, top),
                (-self.clamp_depth, top),
            ]
        )

    def bed(self) -> Floats:
        """Outline of the bed [mm]."""
        return np.array([(-self.bed_depth, -FREE), (-FREE, -FREE), (-FREE, -1000.0), (-self.bed_depth, -1000.0)])

    def beam(self) -> Floats:
        """Outline of the beam before it swings [mm]."""
        return np.array([(0, -FREE), (self.beam_width, -FREE), (self.beam_width, -1000.0), (0, -1000.0)])


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldStep:
    """One fold at the folder.

    Attributes:
        fold: Its number, counted from 0 at the start of the strip.
        held: The end of the strip that lies under the clamp.
        over: Whether the sheet lies with its lower face up.
    """

    fold: int
    held: Held
    over: bool


def turned_over(strip: FoldedStrip) -> FoldedStrip:
    """Return the strip turned over about its length: folds up become folds down [mm as before].

    Source: plane geometry.
    """
    return replace(strip, folds=tuple(replace(f, angle_rad=-f.angle_rad) for f in strip.folds))


def turned_end_for_end(strip: FoldedStrip) -> FoldedStrip:
    """Return the strip turned end for end, the same face up [mm as before]. Source: plane geometry."""
    return replace(strip, flats=strip.flats[::-1], folds=strip.folds[::-1])


def fold_clash(strip: FoldedStrip, done: frozenset[int], fold: int, held: Held, folder: Folder) -> Blocked | None:
    """Return what keeps a fold from being made while others have been made before; None: nothing does.

    Args:
        strip: The strip as it is to be [mm, rad].
        done: Numbers of the folds already made, from 0.
        fold: The number of the one to make.
        held: Which end of the strip lies under the clamp.
        folder: The folder.

    Source: plane geometry: outlines of sheet and tools must not cross while the beam swings; checked every 6 degrees.
    """
    if strip.folds[fold].angle_rad < 0:
        strip = turned_over(strip)
    if held == "end":
        last = len(strip.folds) - 1
        strip, fold, done = turned_end_for_end(strip), last - fold, frozenset(last - i for i in done)
    clamped, swung = _flat_beside(strip, done, fold)
    if swung < folder.least_swung:
        return "swung side too short"
    if clamped < folder.least_clamped:
        return "clamped side too short"
    return _swing(strip, done, fold, folder)


def _flat_beside(strip: FoldedStrip, done: frozenset[int], fold: int) -> tuple[float, float]:
    """Flat lengths before and after a fold; folds not made yet are flat [mm]."""
    before, after = strip.flats[fold], strip.flats[fold + 1]
    uses = strip.uses
    for i in range(fold - 1, -1, -1):
        if i in done:
            break
        before += uses[i] + strip.flats[i]
    for i in range(fold + 1, len(strip.folds)):
        if i in done:
            break
        after += uses[i] + strip.flats[i + 1]
    return before, after


def _swing(strip: FoldedStrip, done: frozenset[int], fold: int, folder: Folder) -> Blocked | None:
    mark = _marks(strip)[fold]
    used = mark.end - mark.start
    clamped, swung = _clamped_and_swung(strip, done, mark)
    clamp, bed = folder.clamp(strip.thickness), folder.bed()
    if _cross(swung, folder.beam() + np.array([used, 0.0])):
        return "hits the beam"
    if _cross(clamped, clamp):
        return "hits the clamp"
    if _cross(clamped, bed):
        return "hits the bed"
    full = mark.angle_rad + folder.over_rad
    if mark.angle_rad > PRESSED_FROM_RAD:
        full = min(PRESSED_FROM_RAD, math.pi - folder.nose_rad - CLEAR_OF_NOSE_RAD)
    turned = np.linspace(0.0, full, max(2, math.ceil(full / SWING_STEP_RAD) + 1))[1:]
    swings = _swung(swung, turned, used, strip.neutral_height(strip.folds[fold])).reshape(-1, 2, 2)
    if _cross(swings, clamp):
        return "hits the clamp"
    return "hits the bed" if _cross(swings, bed) else None


def _swung(edges: Floats, turned: Floats, used: float, neutral: float) -> Floats:
    """Edges (m, 2, 2) beyond a fold of a length, swung to angles: (k, m, 2, 2). They lie flat beyond (used, 0)."""
    c, s = np.cos(turned), np.sin(turned)
    reach = used / turned
    radius = reach + neutral
    foot = np.stack([radius * s, radius * (1 - c)], axis=1)
    turn = np.stack([np.stack([c, s], axis=1), np.stack([-s, c], axis=1)], axis=1)
    out: Floats = foot[:, None, None] + np.einsum("mij,kjl->kmil", edges - np.array([used, 0.0]), turn)
    return out


@lru_cache(maxsize=16)
def _marks(strip: FoldedStrip) -> tuple[FoldMark, ...]:
    return fold_marks(strip)


@lru_cache(maxsize=64)
def _end_view(strip: FoldedStrip, done: frozenset[int]) -> tuple[Floats, Floats, Floats]:
    """Stations along the blank, and where its lower and upper face lie there with some folds made."""
    stations = [0.0]
    for one in _marks(strip):
        steps = max(1, math.ceil(abs(one.angle_rad) / math.radians(30)))
        stations += [one.start + (one.end - one.start) * k / steps for k in range(steps)] + [one.end]
    u = np.array([*stations, strip.blank])
    heights = np.concatenate([np.zeros(len(u)), np.full(len(u), strip.thickness)])
    angles = [f.angle_rad if i in done else 0.0 for i, f in enumerate(strip.folds)]
    places = folded_points(strip, np.concatenate([u, u]), heights, angles)
    return u, places[: len(u)], places[len(u) :]


def _clamped_and_swung(strip: FoldedStrip, done: frozenset[int], mark: FoldMark) -> tuple[Floats, Floats]:
    """Edges (m, 2, 2) of the sheet before and beyond a fold that lies flat, its beginning at the origin along +x."""
    u, lower, upper = _end_view(strip, done)
    first, last = int(np.searchsorted(u, mark.start - 1e-9)), int(np.searchsorted(u, mark.end - 1e-9))
    foot, way = lower[first], lower[last] - lower[first]
    c, s = way / np.hypot(*way)
    turn = np.array([[c, -s], [s, c]])
    low, high = (lower - foot) @ turn, (upper - foot) @ turn
    parts = []
    for keep, tip in ((slice(None, first + 1), 0), (slice(last, None), -1)):
        faces = [np.stack([face[keep][:-1], face[keep][1:]], axis=1) for face in (low, high)]
        parts.append(np.concatenate([*faces, np.stack([low[keep][tip], high[keep][tip]])[None]]))
    return parts[0], parts[1]


def _cross(sheet: Floats, tool: Floats) -> bool:
    """Whether any of the sheet's edges (m, 2, 2) crosses the tool's outline or lies in it."""
    a, b = sheet[:, None, 0], sheet[:, None, 1]
    c, d = tool[None], np.roll(tool, -1, axis=0)[None]

    def side(p: Floats, q: Floats, r: Floats) -> Floats:
        out: Floats = (q[..., 0] - p[..., 0]) * (r[..., 1] - p[..., 1]) - (q[..., 1] - p[..., 1]) * (
            r[..., 0] - p[..., 0]
        )
        return out

    if bool(np.any((side(a, b, c) * side(a, b, d) < 0) & (side(c, d, a) * side(c, d, b) < 0))):
        return True
    x, y = sheet[:, 0, 0][:, None], sheet[:, 0, 1][:, None]
    (x1, y1), (x2, y2) = (c[..., 0], c[..., 1]), (d[..., 0], d[..., 1])
    spans = (y1 > y) != (y2 > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        hit = spans & (x < (x2 - x1) * (y - y1) / (y2 - y1) + x1)
    return bool(np.any(hit.sum(axis=1) % 2 == 1))


def fold_order(strip: FoldedStrip, folder: Folder) -> tuple[FoldStep, ...] | None:
    """Return an order in which a folder can make all folds, with the fewest turnings of the sheet; None: no order.

    With many folds that turn to and fro, the first order that is found after a long look is taken, with few turnings.

    Args:
        strip: The strip as it is to be [mm, rad].
        folder: The folder.

    Source: search over the sets of folds made, the least number of turnings first (computed here); the sheet folded
    so far against clamp, bed and beam at every step. A beam that swings up makes each fold upwards: a fold down needs
    the sheet turned over.
    """
    count = len(strip.folds)
    free: dict[tuple[frozenset[int], int, Held], bool] = {}
    tried: set[tuple[frozenset[int], Held | None, bool]] = set()
    number = itertools.count()
    queue: list[tuple[int, int, int, int, tuple[FoldStep, ...]]] = [(0, count, next(number), 0, ())]
    patient = True
    while queue:
        if patient and len(free) > MOST_LOOKED_AT:  # from here on any order will do: the one furthest on first
            patient = False
            queue = [(left, cost, n, turns, steps) for cost, left, n, turns, steps in queue]
            heapq.heapify(queue)
        first, second, _, turns, steps = heapq.heappop(queue)
        left = second if patient else first
        if steps and not _is_free(strip, steps, folder, free):  # looked at only once it is the best there is
            continue
        if left == 0:
            return steps
        done = frozenset(step.fold for step in steps)
        held, over = (steps[-1].held, steps[-1].over) if steps else (None, False)
        if (done, held, over) in tried:
            continue
        tried.add((done, held, over))
        for step in _next_steps(strip, done):
            now = turns + (0 if held is None else (step.held != held) + (step.over != over))
            to_do = set(range(count)) - done - {step.fold}
            still = any((strip.folds[i].angle_rad < 0) != step.over for i in to_do)  # one turning over is to come
            keys = (now + still, left - 1) if patient else (left - 1, now + still)
            heapq.heappush(queue, (*keys, next(number), now, (*steps, step)))
    return None


def _is_free(
    strip: FoldedStrip,
    steps: tuple[FoldStep, ...],
    folder: Folder,
    free: dict[tuple[frozenset[int], int, Held], bool],
) -> bool:
    """Whether the last of some steps can be made after the others."""
    last = steps[-1]
    key = (frozenset(step.fold for step in steps[:-1]), last.fold, last.held)
    if key not in free:
        free[key] = fold_clash(strip, key[0], last.fold, last.held, folder) is None
    return free[key]


def _next_steps(strip: FoldedStrip, done: frozenset[int]) -> list[FoldStep]:
    sides: tuple[Held, Held] = ("start", "end")
    return [
        FoldStep(fold=fold, held=held, over=strip.folds[fold].angle_rad < 0)
        for fold in range(len(strip.folds))
        for held in sides
        if fold not in done
    ]
