"""Small shapes that many drawings share: circles, numbered balloons, arrows, hatching, the check rule."""

from __future__ import annotations

import math

from handbarrow.drawings.dimensions import arrowhead
from handbarrow.drawings.ink import FINE, MEDIUM, NUMBER, WORD, Fill, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.widths import CAPITAL, text_width
from handbarrow.drawings.words import ALT, DRAWN

__all__ = ["CHAIN", "arrow", "balloon", "balloon_radius", "balloon_text", "circle", "hatched", "scale_rule"]

CHAIN = (5.0, 1.2, 0.8, 1.2)
"""Dash-dot: centrelines and the crown line."""


def circle(centre: Point, radius: float, weight: float = MEDIUM, layer: str = "outline", fill: Fill = "none") -> Stroke:
    """Return a circle as a polyline so fine that it stays within 0.01 mm of round up to 30 mm radius."""
    count = max(24, math.ceil(math.pi / math.acos(1 - min(0.5, 0.01 / max(radius, 0.02)))))
    points = tuple(
        (
            centre[0] + radius * math.cos(2 * math.pi * i / count),
            centre[1] + radius * math.sin(2 * math.pi * i / count),
        )
        for i in range(count)
    )
    return Stroke(points=points, weight=weight, closed=True, fill=fill, layer=layer)


def balloon(centre: Point, label: str, size: float = NUMBER, layer: str = "balloons") -> tuple[Stroke, Text]:
    """Return a number in a circle."""
    return circle(centre, balloon_radius(label, size), MEDIUM, layer, "white"), balloon_text(centre, label, size, layer)


def balloon_radius(label: str, size: float = NUMBER) -> float:
    """Return the radius of the circle round a number [mm]."""
    return max(size * 0.78, text_width(label, size, True) / 2 + 0.9)


def balloon_text(centre: Point, label: str, size: float = NUMBER, layer: str = "balloons") -> Text:
    """Return the number that stands in a circle."""
    return Text(
        x=centre[0],
        y=centre[1] + CAPITAL * size / 2,
        string=label,
        size=size,
        anchor="middle",
        bold=True,
        layer=layer,
    )


def arrow(start: Point, tip: Point, weight: float = MEDIUM, layer: str = "outline", size: float = 2.8) -> list[Stroke]:
    """Return a line with a filled head at its tip."""
    angle = math.atan2(tip[1] - start[1], tip[0] - start[0])
    neck = (tip[0] - 0.8 * size * math.cos(angle), tip[1] - 0.8 * size * math.sin(angle))
    return [Stroke(points=(start, neck), weight=weight, layer=layer), arrowhead(tip, angle, layer, size)]


def hatched(low: Point, high: Point, pitch: float = 2.0, layer: str = "hatching") -> list[Stroke]:
    """Return lines at 45 degrees that fill a rectangle."""
    (x0, y0), (x1, y1) = low, high
    out = []
    at = x0 - (y1 - y0) + pitch
    while at < x1:
        a, b = max(at, x0), min(at + (y1 - y0), x1)
        if b - a > 1e-6:
            out.append(Stroke(points=((a, y1 - (a - at)), (b, y1 - (b - at))), weight=FINE, layer=layer))
        at += pitch
    return out


def scale_rule(length: float = 100.0, *, inches: bool = False) -> Drawing:
    """Return a rule to measure after printing: `length` mm at 1:1, a tick each 10 mm and at the halves.

    `inches`: below it a rule of 4 in (101.6 mm), for a shop whose tape has no mm.
    """
    left, top = 4.0, 1.0
    strokes, words = _rule((left, top), length, DRAWN["rule"].format(length=f"{length:g}"), 10.0)
    bottom = words[0].y
    if inches:
        more, said = _rule((left, bottom + 2.0), 4 * 25.4, DRAWN["rule_inch"], 25.4)
        strokes, words, bottom = [*strokes, *more], [*words, *said], said[0].y
    return Drawing(
        width=(101.6 if inches else length) + 2 * left,
        height=bottom + 1.2,
        strokes=tuple(strokes),
        words=tuple(words),
        alt=ALT["rule_inch" if inches else "rule"].format(length=f"{length:g}"),
        scale=1.0,
        name="rule",
    )


def _rule(at: Point, length: float, says: str, step: float) -> tuple[list[Stroke], list[Text]]:
    """A rule with its ticks: long ones at the ends and the middle, middling ones each step, short ones between."""
    left, base = at[0], at[1] + 5
    count = round(2 * length / step)
    tall = [5.0 if 2 * i % count == 0 else 3.5 if i % 2 == 0 else 2.0 for i in range(count + 1)]
    strokes = [Stroke(points=((left, base), (left + length, base)), weight=MEDIUM, layer="rule")]
    strokes += [
        Stroke(points=((left + i * step / 2, base), (left + i * step / 2, base - h)), weight=MEDIUM, layer="rule")
        for i, h in enumerate(tall)
    ]
    y = base + 1.2 + CAPITAL * WORD
    last = f"{length / (step if step > 20 else 1):g}"
    placed = ((0.0, "0"), (length / 2, says), (length, last))
    return strokes, [Text(x=left + x, y=y, string=text, anchor="middle", layer="rule") for x, text in placed]
