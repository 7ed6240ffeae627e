"""Outsides of sections as unions of discs and boxes, and where lines meet them swept along a straight or an arc.

A union of simple convex pieces keeps every meeting a closed form: the first point of the union that a line reaches
is the first of the points at which it reaches a piece. Lengths mm.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import corner_radii

__all__ = ["TOUCH", "Box", "Disc", "Shape", "distance", "outside", "swept_along", "swept_round"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

TOUCH = 1e-7
"""A line that passes a surface by less than this touches it [mm]."""


class Disc(NamedTuple):
    """A disc in a section: centre a, b and radius [mm]."""

    a: float
    b: float
    r: float


class Box(NamedTuple):
    """A rectangle in a section: centre a, b and half sizes [mm]."""

    a: float
    b: float
    half_a: float
    half_b: float


Shape = tuple[Disc | Box, ...]


def outside(section: Section, gap: float = 0.0) -> Shape:
    """Return the outside of a section, grown by a gap all round, as discs and boxes in its (u, v) axes [mm].

    Source: plane geometry; the offset of a box by a gap is a box with corners rounded by that gap.

    >>> from handbarrow.laws.geometry.section import Section
    >>> outside(Section(shape="round bar", height=10, width=10), gap=1.0)
    (Disc(a=0.0, b=0.0, r=6.0),)
    """
    if section.is_round:
        return (Disc(0.0, 0.0, section.height / 2 + gap),)
    if section.shape == "angle":
        h, w, t = section.height, section.width, section.wall
        return _rounded(Box(t / 2, h / 2, t / 2, h / 2), 0.0, gap) + _rounded(Box(w / 2, t / 2, w / 2, t / 2), 0.0, gap)
    box = Box(0.0, 0.0, section.width / 2, section.height / 2)
    return _rounded(box, corner_radii(section)[0], gap)


def _rounded(box: Box, corner: float, gap: float) -> Shape:
    a, b, half_a, half_b = box.a, box.b, box.half_a + gap, box.half_b + gap
    r = corner + gap
    if r <= 0:
        return (Box(a, b, half_a, half_b),)
    boxes = (Box(a, b, half_a, half_b - r), Box(a, b, half_a - r, half_b))
    discs = tuple(Disc(a + i * (half_a - r), b + j * (half_b - r), r) for i in (-1, 1) for j in (-1, 1))
    return tuple(x for x in boxes if x.half_a > 0 and x.half_b > 0) + discs


def distance(shape: Shape, a: Floats, b: Floats) -> Floats:
    """Return how far points (a, b) of a section lie outside a shape [mm], 0 inside. Source: plane geometry."""
    out = np.full(np.shape(a), np.inf)
    for piece in shape:
        if isinstance(piece, Disc):
            away = np.hypot(a - piece.a, b - piece.b) - piece.r
        else:
            away = np.hypot(
                np.maximum(np.abs(a - piece.a) - piece.half_a, 0.0), np.maximum(np.abs(b - piece.b) - piece.half_b, 0.0)
            )
        out = np.minimum(out, np.maximum(away, 0.0))
    return out


# ------------------------------------------------------------------------------------------------ along a straight
def swept_along(piece: Disc | Box, start: Floats, heading: Floats) -> Floats:
    """Return where lines cross the surface of a piece swept along a straight.

    Args:
        piece: The piece, in section axes.
        start: (n, 2) where the lines start, in section axes [mm].
        heading: (2,) what one step x along the lines moves in section axes [-]; not (0, 0).

    Returns:
        (n, 2) the two crossings x [mm], nan where a line passes beside.

    Source: plane geometry, quadratic of a circle and slabs of a rectangle.
    """
    rel = start - np.array([piece.a, piece.b])
    if isinstance(piece, Box):
        return _slabs(rel, heading, np.array([piece.half_a, piece.half_b]))
    size2 = float(heading @ heading)
    middle = -(rel @ heading) / size2
    beside = (rel[:, 0] * heading[1] - rel[:, 1] * heading[0]) / np.sqrt(size2)
    half2 = (piece.r - np.abs(beside)) * (piece.r + np.abs(beside)) / size2
    half = np.sqrt(np.maximum(half2, 0.0))
    half[np.abs(beside) > piece.r + TOUCH] = np.nan
    return np.column_stack((middle - half, middle + half))


def _slabs(rel: Floats, heading: Floats, half: Floats) -> Floats:
    low = np.full(len(rel), -np.inf)
    high = np.full(len(rel), np.inf)
    for k in range(2):
        if abs(heading[k]) < 1e-12:
            high[np.abs(rel[:, k]) > half[k] + TOUCH] = -np.inf
            continue
        one, two = (-half[k] - rel[:, k]) / heading[k], (half[k] - rel[:, k]) / heading[k]
        low, high = np.maximum(low, np.minimum(one, two)), np.minimum(high, np.maximum(one, two))
    out = np.column_stack((low, high))
    out[low > high + TOUCH] = np.nan
    return out


# ------------------------------------------------------------------------------------------------ round an arc
def swept_round(piece: Disc | Box, start: Floats, heading: Floats) -> Floats:
    """Return where lines cross the surface of a piece turned about the axis of an arc (the whole ring).

    Args:
        piece: The piece; a = distance from the axis, b = height along it [mm].
        start: (n, 3) where the lines start, axes with the bend axis as third [mm].
        heading: (3,) unit direction of the lines.

    Returns:
        (n, 4) or (n, 6) crossings x [mm], nan where there are fewer.

    Source: quartic of the torus (roots of its companion matrix, polished by Newton's rule); planes and cylinders for
    a box.
    """
    return _ring(piece, start, heading) if isinstance(piece, Disc) else _round_box(piece, start, heading)


def _ring(disc: Disc, start: Floats, heading: Floats) -> Floats:
    q = start - np.array([0.0, 0.0, disc.b])
    shift = -(q @ heading)
    q = q + shift[:, None] * heading
    major, minor = disc.a, disc.r
    k = np.sum(q * q, axis=1) + major**2 - minor**2
    flat = float(heading[0] ** 2 + heading[1] ** 2)
    cross = q[:, 0] * heading[0] + q[:, 1] * heading[1]
    c2 = (2 * k - 4 * major**2 * flat) / major**2
    c1 = -8 * major**2 * cross / major**3
    c0 = (k**2 - 4 * major**2 * (q[:, 0] ** 2 + q[:, 1] ** 2)) / major**4
    companion = np.zeros((len(q), 4, 4))
    companion[:, 0, 1], companion[:, 0, 2], companion[:, 0, 3] = -c2, -c1, -c0
    companion[:, 1, 0] = companion[:, 2, 1] = companion[:, 3, 2] = 1.0
    roots = np.linalg.eigvals(companion)
    x: Floats = np.where(np.abs(roots.imag) < 1e-4, roots.real, np.nan) * major
    out: Floats = _polished(x, q, heading, major, minor) + shift[:, None]
    return out


def _polished(x: Floats, q: Floats, heading: Floats, major: float, minor: float) -> Floats:
    for _ in range(4):
        at = q[:, None, :] + x[:, :, None] * heading
        radius = np.maximum(np.hypot(at[..., 0], at[..., 1]), 1e-9)
        away = np.maximum(np.hypot(radius - major, at[..., 2]), 1e-9)
        outward = (at[..., 0] * heading[0] + at[..., 1] * heading[1]) / radius
        slope = ((radius - major) * outward + at[..., 2] * heading[2]) / away
        error = away - minor
        with np.errstate(divide="ignore", invalid="ignore"):
            step = np.where(np.abs(error) > 1e-12, error / slope, 0.0)
        x = x - np.clip(step, -minor, minor)
    at = q[:, None, :] + x[:, :, None] * heading
    error = np.hypot(np.hypot(at[..., 0], at[..., 1]) - major, at[..., 2]) - minor
    return np.where(np.abs(error) < 10 * TOUCH, x, np.nan)


def _round_box(box: Box, start: Floats, heading: Floats) -> Floats:
    found = []
    with np.errstate(divide="ignore", invalid="ignore"):
        for side in (-1.0, 1.0):
            x = (box.b + side * box.half_b - start[:, 2]) / heading[2]
            found.append(_kept(x, box, start, heading))
        flat = float(heading[0] ** 2 + heading[1] ** 2)
        cross = start[:, 0] * heading[0] + start[:, 1] * heading[1]
        size2 = start[:, 0] ** 2 + start[:, 1] ** 2
        for radius in (box.a - box.half_a, box.a + box.half_a):
            root = np.sqrt((cross / flat) ** 2 - (size2 - radius**2) / flat)
            found += [_kept(-cross / flat + side * root, box, start, heading) for side in (-1.0, 1.0)]
    return np.column_stack(found)


def _kept(x: Floats, box: Box, start: Floats, heading: Floats) -> Floats:
    at = start + x[:, None] * heading
    radius = np.hypot(at[:, 0], at[:, 1])
    inside: Bools = (np.abs(radius - box.a) <= box.half_a + TOUCH) & (np.abs(at[:, 2] - box.b) <= box.half_b + TOUCH)
    return np.where(inside, x, np.nan)
