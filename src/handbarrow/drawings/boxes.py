"""Boxes that texts fill on the paper, and which of them overlap."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from handbarrow.drawings.model import Drawing, Point, Text
from handbarrow.drawings.widths import CAPITAL, DEPTH, text_width

__all__ = ["Quad", "box_at", "box_shape", "clear_of", "outside", "overlaps", "quads_overlap", "text_box"]

Quad = tuple[Point, Point, Point, Point]


Shape = tuple[tuple[float, float, float, float], ...]
"""Of each corner of a box, seen from where its text stands: x cos, y sin, x sin, y cos of how it is turned [mm]."""


def text_box(text: Text, margin: float = 0.0) -> Quad:
    """Return the four corners of the box that a text fills, `margin` [mm] wider all round."""
    return box_at(box_shape(text, margin), (text.x, text.y))


def box_shape(text: Text, margin: float) -> Shape:
    """Return the box of a text wherever it stands; see `box_at`."""
    width = text_width(text.string, text.size, text.bold)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    x0, x1 = left - margin, left + width + margin
    y0, y1 = -CAPITAL * text.size - margin, DEPTH * text.size + margin
    if not any(c in "gjpqy,;()[]/Q|@" for c in text.string):
        y1 = 0.02 * text.size + margin
    c, s = math.cos(text.rotation_rad), math.sin(text.rotation_rad)
    return tuple([(x * c, y * s, x * s, y * c) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))])


def box_at(shape: Shape, at: Point) -> Quad:
    """Return the corners of a box whose text stands at a point."""
    x, y = at
    a, b, c, d = [(x + xc - ys, y + xs + yc) for xc, ys, xs, yc in shape]
    return (a, b, c, d)


def quads_overlap(a: Sequence[Point], b: Sequence[Point]) -> bool:
    """Whether two convex shapes overlap (touching is no overlap). Source: separating axis, exact for convex shapes."""
    for i in (0, 1):
        if max(p[i] for p in a) <= min(p[i] for p in b) or max(p[i] for p in b) <= min(p[i] for p in a):
            return False
    for shape in (a, b):
        for (x0, y0), (x1, y1) in zip(shape, (*shape[1:], shape[0]), strict=True):
            nx, ny = y1 - y0, x0 - x1
            pa = [nx * x + ny * y for x, y in a]
            pb = [nx * x + ny * y for x, y in b]
            if max(pa) <= min(pb) + 1e-9 or max(pb) <= min(pa) + 1e-9:
                return False
    return True


def overlaps(drawing: Drawing) -> list[tuple[Text, Text]]:
    """Return the pairs of texts of a drawing whose boxes overlap."""
    boxed = [(t, text_box(t)) for t in drawing.texts]
    return [(a, b) for (a, p), (b, q) in itertools.combinations(boxed, 2) if quads_overlap(p, q)]


def outside(drawing: Drawing) -> list[Text]:
    """Return the texts that stick out of the drawing."""
    out = []
    for text in drawing.texts:
        xs, ys = zip(*text_box(text), strict=True)
        if min(xs) < -1e-6 or min(ys) < -1e-6 or max(xs) > drawing.width + 1e-6 or max(ys) > drawing.height + 1e-6:
            out.append(text)
    return out


def clear_of(quad: Sequence[Point], taken: Iterable[Sequence[Point]]) -> bool:
    """Whether a box is clear of all boxes already taken."""
    return not any(quads_overlap(quad, other) for other in taken)
