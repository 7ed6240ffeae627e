"""A flat with sides folded along its edges: its blank, its fold lines, and where each point of the blank comes to lie.

The outline of the flat runs to the outside of what is folded along its edges, counter-clockwise; the blank lies in the
same axes, its lower face at height 0. Along an edge, s counts from its start, w outwards from its line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.folding.edge_sides import EdgeSide, SideWish, set_sides
from handbarrow.laws.folding.hems import SheetHem
from handbarrow.laws.folding.limits import corner_relief
from handbarrow.laws.folding.strip import FoldMark, fold_marks, folded_points

__all__ = ["FlatPart", "FoldLine", "Zone", "rolled_strip"]

Floats = NDArray[np.float64]
NEAR = 1e-6
STEP_RAD = math.radians(7.5)
"""Largest turn between two stations of a fold, for zones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldLine:
    """A fold line on the blank.

    Attributes:
        side: Number of the side, from 0.
        number: Of the fold along that side, outwards, from 0.
        start: One end [mm].
        end: The other [mm].
        mark: Where the fold begins and ends outwards, and its angle.
        radius: Inside radius [mm].
        hem: Whether it belongs to a hem.
    """

    side: int
    number: int
    start: tuple[float, float]
    end: tuple[float, float]
    mark: FoldMark
    radius: float
    hem: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A piece of the blank: the flat, a flat of a side, or a narrow strip of a fold.

    Attributes:
        outline: (n, 2) counter-clockwise; where it touches another zone, both have the same corners [mm].
        side: Number of the side it belongs to; None: the flat itself.
        flat: Whether it stays flat.
    """

    outline: Floats
    side: int | None
    flat: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class FlatPart:
    """A flat with folded sides.

    Attributes:
        outline: (n, 2) of the flat, counter-clockwise, to the outside of its sides [mm].
        thickness: Of the sheet [mm].
        sides: What is folded along its edges.
        rolled: Inside radius, if all of it is then rolled about an axis along y below the middle of the flat [mm];
            the middle of the sheet keeps its length.
    """

    outline: Floats
    thickness: float
    sides: tuple[EdgeSide, ...] = ()
    rolled: float | None = None

    def edge(self, number: int) -> tuple[Floats, Floats, Floats, float]:
        """Return an edge's start, its direction, outwards, and its length [mm]."""
        a, b = self.outline[number], self.outline[(number + 1) % len(self.outline)]
        length = float(np.hypot(*(b - a)))
        t = (b - a) / length
        return a, t, np.array([t[1], -t[0]]), length

    def on_blank(self, side: int, along: Floats, out: Floats) -> Floats:
        """Return points of a side on the blank: s along its edge, u outwards from where its first fold begins [mm]."""
        one = self.sides[side]
        a, t, n, _ = self.edge(one.edge)
        found: Floats = a + np.outer(along, t) + np.outer(np.asarray(out) - one.inset, n)
        return found

    def beside(self, side: int, points: Floats) -> Floats:
        """Return s along the edge and u outwards from where the first fold begins, of points on the blank (n, 2)."""
        one = self.sides[side]
        a, t, n, _ = self.edge(one.edge)
        away = np.asarray(points) - a
        return np.stack([away @ t, away @ n + one.inset], axis=1)

    def folded(self, side: int | None, points: Floats, heights: Floats, share: float = 1.0) -> Floats:
        """Return where points of the blank lie when it is folded.

        Args:
            side: The side that they belong to; None: the flat.
            points: (n, 2) on the blank [mm].
            heights: (n,) over its lower face [mm].
            share: How far all folds have got, 0 flat to 1.

        Returns:
            (n, 3) places [mm].

        Source: plane geometry; the neutral line of each fold keeps its length.
        """
        if side is None:
            return self._wrapped(np.column_stack([points, heights]), share)
        one = self.sides[side]
        a, t, n, _ = self.edge(one.edge)
        su = self.beside(side, points)
        angles = None if share == 1.0 else [f.angle_rad * share for f in one.strip.folds]
        view = folded_points(one.strip, su[:, 1], np.asarray(heights, float), angles)
        flat = a + np.outer(su[:, 0], t) + np.outer(view[:, 0] - one.inset, n)
        return self._wrapped(np.column_stack([flat, view[:, 1]]), share)

    def _wrapped(self, points: Floats, share: float) -> Floats:
        """Points of the folded, still straight part, rolled; the axis is the origin once it is done."""
        if self.rolled is None:
            return points
        if share == 0.0:
            flat: Floats = points + np.array([0.0, 0.0, self.rolled])
            return flat
        middle = self.thickness / 2
        bend = share / (self.rolled + middle)  # curvature of the middle of the sheet
        turn, radius = points[:, 0] * bend, 1 / bend + points[:, 2] - middle
        top = self.rolled + middle - 1 / bend
        return np.column_stack([radius * np.sin(turn), points[:, 1], radius * np.cos(turn) + top])

    # -------------------------------------------------------------------------------------------- blank
    @cached_property
    def blank(self) -> Floats:
        """Outline of the blank, (n, 2), counter-clockwise [mm]."""
        return _distinct([p for number in range(len(self.outline)) for p in self._along(number, whole=True)])

    @cached_property
    def base(self) -> Floats:
        """Outline of what stays flat, (n, 2) [mm]."""
        return _distinct([p for number in range(len(self.outline)) for p in self._along(number, whole=False)])

    def fold_lines(self) -> tuple[FoldLine, ...]:
        """Return the fold lines, side by side, from the flat outwards."""
        out = []
        for number, side in enumerate(self.sides):
            low, high = self._fold_span(side)
            for k, mark in enumerate(fold_marks(side.strip)):
                a, b = (low, high) if k == 0 else (side.start, side.end)
                ends = self.on_blank(number, np.array([a, b]), np.array([mark.at, mark.at]))
                fold = side.strip.folds[k]
                out.append(
                    FoldLine(
                        side=number, number=k, start=_pair(ends[0]), end=_pair(ends[1]), mark=mark, radius=fold.radius,
                        hem=abs(abs(fold.angle_rad) - math.pi) < NEAR,
                    )
                )  # fmt: skip
        return tuple(out)

    def zones(
        self, step_rad: float = STEP_RAD, whole: Sequence[tuple[float, float]] = (), sagitta: float = 0.0
    ) -> tuple[Zone, ...]:
        """Return the blank cut into its flats and narrow strips of its folds.

        Args:
            step_rad: Largest turn of a strip [rad].
            sagitta: Strips may be wider where they stay as near to the true curve as this [mm].
            whole: Of a rolled part: from where to where along x it must not be cut, for the holes there [mm].

        Source: plane geometry.
        """
        out = [Zone(outline=self.base, side=None, flat=True), *self._side_zones(step_rad, sagitta)]
        out = [zone for zone in out if zone.outline.size]
        return (
            tuple(out)
            if self.rolled is None
            else tuple(self._slices(out, max(step_rad, _turn(sagitta, self.rolled)), whole))
        )

    def _slices(self, zones: Sequence[Zone], step_rad: float, whole: Sequence[tuple[float, float]]) -> Iterator[Zone]:
        """Rectangular zones cut across x."""
        low, high = float(self.outline[:, 0].min()), float(self.outline[:, 0].max())
        count = max(2, math.ceil((high - low) / ((self.rolled or 1.0) * step_rad)))
        cuts = np.linspace(low, high, count + 1)
        inner = [x for x in cuts[1:-1].tolist() if not any(a < x < b for a, b in whole)]
        stations = [low, *inner, high]
        for zone in zones:
            (_, y0), (_, y1) = zone.outline.min(axis=0), zone.outline.max(axis=0)
            for a, b in pairwise(stations):
                box = np.array([(a, y0), (b, y0), (b, y1), (a, y1)])
                yield Zone(outline=box, side=zone.side, flat=zone.flat)

    def _side_zones(self, step_rad: float, sagitta: float) -> list[Zone]:
        out = []
        for number, side in enumerate(self.sides):
            low, high = self._fold_span(side)
            marks = fold_marks(side.strip)
            for k, mark in enumerate(marks):
                a, b = (low, high) if k == 0 else (side.start, side.end)
                step = max(step_rad, _turn(sagitta, side.strip.folds[k].radius + self.thickness))
                steps = max(2, math.ceil(abs(mark.angle_rad) / step))
                u = np.linspace(mark.start, mark.end, steps + 1)
                out += [self._box(number, (a, b), (u[i], u[i + 1]), False, ()) for i in range(steps)]
                top = marks[k + 1].start if k + 1 < len(marks) else side.strip.blank
                extra = (low, high) if k == 0 else ()
                out.append(self._box(number, (side.start, side.end), (mark.end, top), True, extra))
        return out

    def _box(
        self, side: int, span: tuple[float, float], out: tuple[float, float], flat: bool, more: Sequence[float]
    ) -> Zone:
        """A zone from s to s and from u to u, with more corners along its inner line."""
        low = sorted({*span, *more})
        if out[1] - out[0] < NEAR:
            return Zone(outline=np.zeros((0, 2)), side=side, flat=flat)
        s = np.array([*low, span[1], span[0]])
        u = np.array([out[0]] * len(low) + [out[1], out[1]])
        # s runs along the edge with the flat to its left: outwards is to the right, so the box is turned round
        points = self.on_blank(side, s, u)[::-1]
        return Zone(outline=points, side=side, flat=flat)

    def _on(self, number: int) -> list[EdgeSide]:
        return sorted((s for s in self.sides if s.edge == number), key=lambda s: s.start)

    def _insets(self, number: int) -> tuple[float, float]:
        """Insets of what is folded at the start and at the end of an edge [mm]."""
        on = self._on(number)
        return (on[0].inset if on and on[0].from_corner else 0.0, on[-1].inset if on and on[-1].to_corner else 0.0)

    def _corner(self, number: int) -> Floats:
        """The corner of what stays flat, between an edge and the one before it."""
        before = (number - 1) % len(self.outline)
        (a, t, n, _), (b, v, m, _) = self.edge(before), self.edge(number)
        p, q = a - n * self._insets(before)[1], b - m * self._insets(number)[0]
        cross = t[0] * v[1] - t[1] * v[0]
        if abs(cross) < 1e-9:
            return q
        w = q - p
        met: Floats = p + t * ((w[0] * v[1] - w[1] * v[0]) / cross)
        return met

    def _fold_span(self, side: EdgeSide) -> tuple[float, float]:
        """From where to where along the edge the first fold runs: no further than the flat."""
        a, t, _, _ = self.edge(side.edge)
        low, high = side.start, side.end
        if side.from_corner:
            low = max(low, float((self._corner(side.edge) - a) @ t))
        if side.to_corner:
            high = min(high, float((self._corner((side.edge + 1) % len(self.outline)) - a) @ t))
        return low, high

    def _along(self, number: int, *, whole: bool) -> Iterator[Floats]:
        """Corners of the blank (or of what stays flat) along an edge, from its first corner up to the next."""
        a, t, n, _ = self.edge(number)

        def at(s: float, w: float) -> Floats:
            return np.asarray(a + t * s + n * w)

        yield self._corner(number)
        for side in self._on(number):
            width, depth = corner_relief(self.thickness, side.strip.folds[0].radius)
            depth = max(depth, side.inset)
            low, high = self._fold_span(side)
            if not side.from_corner:
                yield from (at(side.start - width, 0.0), at(side.start - width, -depth), at(side.start, -depth))
            yield at(low, -side.inset)
            if whole:
                fold_end, top = side.first_uses - side.inset, side.strip.blank - side.inset
                yield from (at(low, fold_end), at(side.start, fold_end), at(side.start, top))
                yield from (at(side.end, top), at(side.end, fold_end), at(high, fold_end))
            yield at(high, -side.inset)
            if not side.to_corner:
                yield from (at(side.end, -depth), at(side.end + width, -depth), at(side.end + width, 0.0))


def _turn(sagitta: float, radius: float) -> float:
    """Turn of a chord that leaves its arc by so much [rad]."""
    return 2 * math.acos(1 - min(sagitta / radius, 1.0))


def rolled_strip(
    inside_radius: float, arc_rad: float, width: float, thickness: float, hems: tuple[SheetHem, SheetHem]
) -> FlatPart:
    """Return a strip rolled to an arc about y, its middle above the axis, hems of its edges folded to the inside.

    Args:
        inside_radius: Of its inner face [mm].
        arc_rad: How far it goes round [rad].
        width: Over both its edges [mm].
        thickness: Of the sheet [mm].
        hems: Of the edge at lesser y and of the other.

    Raises:
        ValueError: If a hem is too wide or too short.

    Source: plane geometry; as in `guard_sizes` the middle of the sheet keeps its length.
    """
    x, y = (inside_radius + thickness / 2) * arc_rad / 2, width / 2
    outline = np.array([(-x, -y), (x, -y), (x, y), (-x, y)])
    wishes = [
        SideWish(edge=edge, heights=(), folds=(), hem=hem, hem_up=False)
        for edge, hem in ((0, hems[0]), (2, hems[1]))
        if hem.kind != "raw"
    ]
    sides = set_sides(outline, wishes, thickness)
    return FlatPart(outline=outline, thickness=thickness, sides=sides, rolled=inside_radius)


def _distinct(points: Sequence[Floats]) -> Floats:
    """Without points that lie on the one before."""
    kept = [p for k, p in enumerate(points) if float(np.abs(p - points[k - 1]).max()) > NEAR]
    return np.array(kept)


def _pair(point: Floats) -> tuple[float, float]:
    return (float(point[0]), float(point[1]))
