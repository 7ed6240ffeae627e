"""Dimensions on paper: their strokes and texts, and lanes so that none runs into another."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handbarrow.drawings.ink import ARROW, FINE, NUMBER, Dimension, Point, Stroke, Text
from handbarrow.drawings.widths import text_width

__all__ = ["arrowhead", "dimension_strokes", "dimension_text", "lanes", "text_span"]

GAP, BEYOND, ABOVE = 0.8, 1.5, 1.0
"""Gap between outline and extension line; how far it runs past the dimension line; text above the line [mm]."""


def _reading(direction_rad: float) -> float:
    """The direction in which a text along a line is read: from the left, or from the bottom up."""
    turned = math.remainder(direction_rad, 2 * math.pi)
    if turned >= math.pi / 2 - 1e-9:
        return turned - math.pi
    return turned + math.pi if turned < -math.pi / 2 - 1e-9 else turned


def _is_inside(dimension: Dimension) -> bool:
    """Whether the arrows fit between the extension lines."""
    return dimension.on_paper >= 2 * ARROW + 1.0


def _text_fits(dimension: Dimension) -> bool:
    return dimension.on_paper >= text_width(dimension.text, NUMBER) + 0.6


def dimension_text(dimension: Dimension) -> Text:
    """Return the text of a dimension: above the middle of its line, or beyond its far end where it is too short."""
    angle = _reading(dimension.direction_rad)
    ux, uy = math.cos(angle), math.sin(angle)
    (ax, ay), (bx, by) = dimension.ends
    at = dimension.text_at if _text_fits(dimension) else 0.5
    middle = (ax + (bx - ax) * at, ay + (by - ay) * at)
    shift = 0.0
    if not _text_fits(dimension):
        tail = dimension.on_paper / 2 + (0.6 if _is_inside(dimension) else ARROW + 2.2)
        shift = tail + text_width(dimension.text, NUMBER) / 2
    x, y = middle[0] + ux * shift + uy * ABOVE, middle[1] + uy * shift - ux * ABOVE
    return Text(
        x=x, y=y, string=dimension.text, size=NUMBER, anchor="middle", rotation_rad=angle, layer=dimension.layer
    )


def arrowhead(tip: Point, direction_rad: float, layer: str, size: float = ARROW) -> Stroke:
    """Return a filled arrowhead whose tip points along a direction (clockwise from +x)."""
    c, s = math.cos(direction_rad), math.sin(direction_rad)
    back = [(-size, -size / 6), (-size, size / 6)]
    points = [tip, *((tip[0] + x * c - y * s, tip[1] + x * s + y * c) for x, y in back)]
    return Stroke(points=tuple(points), weight=0.0, closed=True, fill="black", layer=layer)


def dimension_strokes(dimension: Dimension) -> list[Stroke]:
    """Return extension lines, the dimension line and its arrowheads."""
    a, b = dimension.ends
    layer = dimension.layer
    out = []
    for p, q in ((dimension.p1, a), (dimension.p2, b)):
        run = math.dist(p, q)
        if run > GAP:
            ux, uy = (q[0] - p[0]) / run, (q[1] - p[1]) / run
            line = ((p[0] + ux * GAP, p[1] + uy * GAP), (q[0] + ux * BEYOND, q[1] + uy * BEYOND))
            out.append(Stroke(points=line, weight=FINE, layer=layer))
    along = math.atan2(b[1] - a[1], b[0] - a[0]) if math.dist(a, b) > 1e-9 else dimension.direction_rad
    ux, uy = math.cos(along), math.sin(along)
    if _is_inside(dimension):
        ends, heads = (a, b), ((a, along + math.pi), (b, along))
        tail_a = tail_b = 0.0
    else:
        ends, heads = (a, b), ((a, along), (b, along + math.pi))
        tail_a = tail_b = ARROW + 1.6
    past = 0.0 if _text_fits(dimension) else text_width(dimension.text, NUMBER) + 0.9
    if math.cos(along - _reading(dimension.direction_rad)) > 0:
        tail_b += past
    else:
        tail_a += past
    line = (
        (ends[0][0] - ux * tail_a, ends[0][1] - uy * tail_a),
        (ends[1][0] + ux * tail_b, ends[1][1] + uy * tail_b),
    )
    out.append(Stroke(points=line, weight=FINE, layer=layer))
    out.extend(arrowhead(tip, angle, layer) for tip, angle in heads)
    return out


def text_span(text: str, low: float, high: float, upward: bool = False) -> tuple[float, float]:
    """Return the stretch [mm] along its lane that a dimension from low to high takes with its text.

    `upward`: the lane is a height, whose text is read from the bottom up: a text without room stands beyond `low`.
    """
    width = text_width(text, NUMBER)
    room = high - low
    arrows = 0.0 if room >= 2 * ARROW + 1.0 else ARROW + 1.6
    if room >= width + 0.6:
        return low - arrows, high + arrows
    past = width + 1.5
    return (low - arrows - past, high + arrows) if upward else (low - arrows, high + arrows + past)


def lanes(spans: Sequence[tuple[float, float]], gap: float = 1.5) -> list[int]:
    """Give each stretch the lowest lane in which it is clear of those already there; shortest stretches first.

    Dimensions stacked so never run into each other, and long ones lie outside short ones.

    >>> lanes([(0, 10), (12, 20), (0, 20)])
    [0, 0, 1]
    """
    order = sorted(range(len(spans)), key=lambda i: (spans[i][1] - spans[i][0], i))
    taken: list[list[tuple[float, float]]] = []
    out = [0] * len(spans)
    for i in order:
        low, high = spans[i]
        free = [all(high + gap <= a or b + gap <= low for a, b in used) for used in taken]
        lane = free.index(True) if True in free else len(taken)
        if lane == len(taken):
            taken.append([])
        taken[lane].append((low, high))
        out[i] = lane
    return out
