"""What an end is coped against: a run with its straights and its arcs as made, and where lines first reach it.

A line is followed from inside the cut tube towards its end; the first point of the receiver's outside that it reaches
is the cut. The receiver is the union of its straights and arcs near the joint, so a line that leaves an arc is met
by the straight beyond. Lengths mm, angles rad.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import Centreline, Vec3, closest, cross, crown_on_straights, layout, rotation
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.shapes import Box, Disc, Shape, distance, outside, swept_along, swept_round

__all__ = ["FLATTEST_RAD", "Hits", "Meeting", "Receiver", "hits", "meeting"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

FLATTEST_RAD = math.radians(10.0)
"""Axes that meet at less than this are not searched any further along the receiver [rad]."""
WIDE = 1.5
"""How much more of a receiver is looked at than two straight tubes at this angle would need: bends reach further."""
SEAM = 1e-6
"""Overlap of neighbouring stretches, so that a line through a seam is not lost [mm]."""


class Receiver(NamedTuple):
    """A run that another one is cut against.

    Attributes:
        section: Its section.
        line: Its centreline with radii as made.
        crown: Direction of the section's height at its datum end (unit).
    """

    section: Section
    line: Centreline
    crown: Vec3


class _Straight(NamedTuple):
    at: Floats
    axis: Floats
    u: Floats
    v: Floats
    run: float
    low: float
    high: float


class _Arc(NamedTuple):
    centre: Floats
    axes: Floats
    """(3, 3) rows: towards the start of the arc, along the tube there, bend normal."""
    radius: float
    angle: float
    turn: Floats
    """(2, 2) section axes u, v as rows in (outwards, along the normal)."""
    run: float
    low: float
    high: float


class Meeting(NamedTuple):
    """How the axes meet.

    angle_rad: between them, 0 to pi/2 [rad].
    offset: by how much they pass each other [mm].
    axis: the receiver's direction there (unit).
    along: place along the receiver's centreline from its start [mm].
    element: which stretch: 2k is straight k, 2k + 1 is the arc of bend k.
    distance: from the end's working point to the receiver's centreline [mm].
    """

    angle_rad: float
    offset: float
    axis: Vec3
    along: float
    element: int
    distance: float


class Hits(NamedTuple):
    """Where lines first reach a receiver.

    h: (n,) distance from the working point [mm]; where a line misses, the place where it passes closest.
    beside: (n,) by how much it passes beside the receiver, 0 where it meets it [mm].
    past_end: (n,) by how much it meets the receiver beyond the receiver's own end, 0 else [mm].
    known: whether every stretch near the joint has a surface that we can compute.
    """

    h: Floats
    beside: Floats
    past_end: Floats
    known: bool


@lru_cache(maxsize=1024)
def _elements(receiver: Receiver) -> tuple[_Straight | _Arc, ...]:
    place = layout(receiver.line)
    crowns = crown_on_straights(receiver.line, receiver.crown)
    out: list[_Straight | _Arc] = []
    run, at, last = 0.0, place.start, len(place.straights) - 1
    for k, (t, v) in enumerate(zip(place.directions, crowns, strict=True)):
        u, span = cross(t, v), float(place.straights[k])
        low, high = (-math.inf if k == 0 else run), (math.inf if k == last else run + span)
        out.append(_Straight(at, t, u, v, run, low, high))
        run += span
        if k == last:
            break
        arc, n = float(place.arcs[k]), place.normals[k]
        if arc > 0:
            radius = float(place.radii[k])
            spoke = (place.tangents_in[k] - place.centres[k]) / radius
            axes = np.array([spoke, t, n])
            turn = np.array([[u @ spoke, u @ n], [v @ spoke, v @ n]])
            out.append(_Arc(place.centres[k], axes, radius, float(place.angles[k]), turn, run, run, run + arc))
            run += arc
        at = place.tangents_out[k]
    return tuple(out)


@lru_cache(maxsize=4096)
def meeting(frame: EndFrame, receiver: Receiver) -> Meeting:
    """Return how the axis of an end and the centreline of a receiver meet near the end's working point.

    Source: plane geometry; on an arc the receiver's direction is the tangent at the point nearest to the end.
    """
    foot = closest(receiver.line, frame.point)
    place, k = layout(receiver.line), foot.element // 2
    axis = place.directions[k]
    if foot.element % 2:
        run = float(place.straights[: k + 1].sum() + place.arcs[:k].sum())
        axis = rotation(place.normals[k], (foot.along - run) / float(place.radii[k])) @ axis
    (ix, iy, iz), (x, y, z) = frame.into, (float(a) for a in axis)
    square = (iy * z - iz * y, iz * x - ix * z, ix * y - iy * x)
    sine = math.hypot(*square)
    apart = tuple(p - f for p, f in zip(frame.point, foot.point, strict=True))
    if sine > 1e-9:
        offset = abs(sum(a * c for a, c in zip(apart, square, strict=True))) / sine
    else:
        along = sum(a * i for a, i in zip(apart, frame.into, strict=True))
        offset = math.hypot(*(a - along * i for a, i in zip(apart, frame.into, strict=True)))
    angle = math.atan2(sine, abs(ix * x + iy * y + iz * z))
    return Meeting(angle, offset, (x, y, z), foot.along, foot.element, foot.distance)


def hits(frame: EndFrame, uv: Floats, receiver: Receiver, gap: float = 0.0) -> Hits:
    """Return where the lines of an end first reach a receiver, coming from inside the tube.

    Args:
        frame: The end, in the receiver's own axes.
        uv: (n, 2) stations of the end's section [mm].
        receiver: What is met.
        gap: Gap left for the weld: the receiver is grown by it [mm].

    Returns:
        h and what is doubtful about it, one for each station. Beyond its own ends the receiver is taken as going on
        straight, and `past_end` tells by how much that was needed.

    Source: plane geometry. For two round tubes at angle theta, offset e:
    h = (sqrt(R^2 - (e + r sin phi)^2) + r cos phi cos theta) / sin theta.
    """
    starts, heading = frame.starts(uv), np.asarray(frame.into)
    met = meeting(frame, receiver)
    around = float(np.max(np.hypot(uv[:, 0], uv[:, 1]))) + _reach(receiver.section) + met.offset + gap
    window = WIDE * around * (1.0 + 1.0 / math.sin(max(met.angle_rad, FLATTEST_RAD)))
    shape = outside(receiver.section, gap)
    near = [e for e in _elements(receiver) if e.low < met.along + window and e.high > met.along - window]
    twisted = [e for e in near if isinstance(e, _Arc) and not _is_aligned(e, shape)]
    sure = [e for e in near if isinstance(e, _Straight) or _is_aligned(e, shape)]
    span = (met.along - window, met.along + window)
    h, place = _first_reached(sure, shape, starts, heading, span)
    # Bent out of line with its faces: harmless only if even its hull is reached later, or not at all.
    hull = (Disc(0.0, 0.0, _reach(receiver.section) + gap),)
    if twisted and (_first_reached(twisted, hull, starts, heading, span)[0] > h).any():
        return Hits(np.zeros(len(h)), np.zeros(len(h)), np.zeros(len(h)), False)
    missed = ~np.isfinite(h)
    beside = np.zeros(len(h))
    if missed.any():
        h[missed], beside[missed] = _closest_pass(sure, shape, starts[missed], heading, 2 * window)
    past = np.where(missed, 0.0, np.maximum(np.maximum(-place, place - _end_of(receiver)), 0.0))
    return Hits(h, beside, past, True)


def _first_reached(
    near: Sequence[_Straight | _Arc], shape: Shape, starts: Floats, heading: Floats, window: tuple[float, float]
) -> tuple[Floats, Floats]:
    """The largest x at which each line meets a stretch (-inf: none), and the place along the receiver."""
    best, place = np.full(len(starts), -np.inf), np.zeros(len(starts))
    rows = np.arange(len(starts))
    for e in near:
        if isinstance(e, _Straight):
            x, along = _on_straight(e, shape, starts, heading)
        else:
            x, along = _on_arc(e, shape, starts, heading, window)
        low, high = max(e.low - SEAM, window[0]), min(e.high + SEAM, window[1])
        x = np.where((along >= low) & (along <= high), x, -np.inf)
        pick = np.argmax(x, axis=1)
        better = x[rows, pick] > best
        best = np.where(better, x[rows, pick], best)
        place = np.where(better, along[rows, pick], place)
    return best, place


def _reach(section: Section) -> float:
    if section.is_round:
        return section.height / 2
    if section.shape == "angle":
        return math.hypot(section.height, section.width)
    return math.hypot(section.height, section.width) / 2


@lru_cache(maxsize=1024)
def _end_of(receiver: Receiver) -> float:
    place = layout(receiver.line)
    return float(place.straights.sum() + place.arcs.sum())


# ------------------------------------------------------------------------------------------------ one stretch
def _on_straight(e: _Straight, shape: Shape, starts: Floats, heading: Floats) -> tuple[Floats, Floats]:
    rel = starts - e.at
    flat = np.column_stack((rel @ e.u, rel @ e.v))
    way = np.array([heading @ e.u, heading @ e.v])
    if float(way @ way) < 1e-18:
        nothing = np.full((len(starts), 1), np.nan)
        return nothing, nothing
    x = np.hstack([swept_along(piece, flat, way) for piece in shape])
    along: Floats = e.run + (rel @ e.axis)[:, None] + x * float(heading @ e.axis)
    return x, along


def _is_aligned(e: _Arc, shape: Shape) -> bool:
    """Whether the section's faces lie along and across the plane of the bend (round sections always do)."""
    return all(isinstance(p, Disc) for p in shape) or bool(np.abs(e.turn).min() < 1e-6)


def _turned(e: _Arc, shape: Shape) -> Shape:
    """The section as seen in the half plane through the bend axis: a = distance from it, b = height along it."""
    out: list[Disc | Box] = []
    for piece in shape:
        a, b = np.array([piece.a, piece.b]) @ e.turn + np.array([e.radius, 0.0])
        if isinstance(piece, Disc):
            out.append(Disc(float(a), float(b), piece.r))
        else:
            half = np.abs(np.array([piece.half_a, piece.half_b]) @ np.abs(e.turn))
            out.append(Box(float(a), float(b), float(half[0]), float(half[1])))
    return tuple(out)


def _on_arc(
    e: _Arc, shape: Shape, starts: Floats, heading: Floats, window: tuple[float, float]
) -> tuple[Floats, Floats]:
    pieces = _turned(e, shape)
    local, way = (starts - e.centre) @ e.axes.T, e.axes @ heading
    x, along = (np.full((len(starts), 6 * len(pieces)), np.nan) for _ in range(2))
    for i, piece in enumerate(pieces):
        rows = _may_reach(e, piece, local, way, window)
        if not rows.any():
            continue
        found = swept_round(piece, local[rows], way)
        at = local[rows][:, None, :] + found[:, :, None] * way
        columns = slice(6 * i, 6 * i + found.shape[1])
        x[rows, columns] = found
        along[rows, columns] = e.run + e.radius * _azimuth(e, at)
    return x, along


def _may_reach(e: _Arc, piece: Disc | Box, local: Floats, way: Floats, window: tuple[float, float]) -> Bools:
    """Which lines come into the ball round the part of the arc that lies in the window (the others need no roots)."""
    low, high = ((min(max(w, e.low), e.high) - e.run) / e.radius for w in window)
    middle = (low + high) / 2
    ball = np.array([piece.a * math.cos(middle), piece.a * math.sin(middle), piece.b])
    size = piece.r if isinstance(piece, Disc) else math.hypot(piece.half_a, piece.half_b)
    size += 2 * piece.a * math.sin((high - low) / 4) + 0.1
    apart = ball - local
    near: Bools = np.sum(cross(apart, way) ** 2, axis=1) <= size**2
    return near


def _azimuth(e: _Arc, at: Floats) -> Floats:
    """Angle from the arc's start, unwrapped about its middle [rad]."""
    half = e.angle / 2
    out: Floats = half + (np.arctan2(at[..., 1], at[..., 0]) - half + math.pi) % (2 * math.pi) - math.pi
    return out


# ------------------------------------------------------------------------------------------------ lines that miss
def _closest_pass(
    near: list[_Straight | _Arc], shape: Shape, starts: Floats, heading: Floats, span: float
) -> tuple[Floats, Floats]:
    """Where lines pass closest beside a receiver, and by how much: a grid, narrowed six times over."""
    x = np.broadcast_to(np.linspace(-span, span, 97), (len(starts), 97))
    rows = np.arange(len(starts))
    for _ in range(7):
        points = starts[:, None, :] + x[:, :, None] * heading
        away = np.min([_distance(e, shape, points) for e in near], axis=0)
        best = np.argmin(away, axis=1)
        centre, step = x[rows, best], x[:, 1] - x[:, 0]
        beside = away[rows, best]
        x = centre[:, None] + step[:, None] * np.linspace(-1.0, 1.0, 17)
    return centre, beside


def _distance(e: _Straight | _Arc, shape: Shape, points: Floats) -> Floats:
    if isinstance(e, _Straight):
        rel = points - e.at
        along = e.run + rel @ e.axis
        away = distance(shape, rel @ e.u, rel @ e.v)
    else:
        local = (points - e.centre) @ e.axes.T
        along = e.run + e.radius * _azimuth(e, local)
        away = distance(_turned(e, shape), np.hypot(local[..., 0], local[..., 1]), local[..., 2])
    outside_span = (along < e.low - SEAM) | (along > e.high + SEAM)
    return np.where(outside_span, np.inf, away)
