"""A chart of combinations of tubes: mass across, margin up; what no other beats is filled, what is drawn is ringed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from handbarrow.drawings.ink import Fill
from handbarrow.drawings.model import FINE, MEDIUM, NUMBER, WORD, Drawing, Point, Stroke, Text
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.tube_choices import Tried, front

__all__ = ["choice_chart"]

WIDTH, HEIGHT = 180.0, 120.0
LEFT, RIGHT, TOP, BOTTOM = 22.0, 8.0, 10.0, 20.0
DOT, RING = 1.2, 2.6
HOLDS = 0.5
"""Margin from which a check holds."""
TICKS = 5


def choice_chart(found: Sequence[Tried], drawn: Mapping[str, str], currency: str) -> Drawing:
    """Return the chart; prices stand beside what no other combination beats.

    Args:
        found: What was tried.
        drawn: Stock of each role as drawn.
        currency: Of the prices.
    """
    known = [one for one in found if one.can_be_made and one.mass_kg is not None and one.margin is not None]
    best = front(found)
    alt = ALT["choices"].format(count=len(known), best=len(best))
    if not known:
        none = Text(x=WIDTH / 2, y=HEIGHT / 2, string=DRAWN["choices_none"], anchor="middle")
        return Drawing(width=WIDTH, height=HEIGHT, words=(none,), alt=alt, name="choices")
    across = _axis([one.mass_kg or 0.0 for one in known])
    up = _axis([*(one.margin or 0.0 for one in known), 0.0, HOLDS])

    def at(one: Tried) -> Point:
        return _place(one.mass_kg or 0.0, one.margin or 0.0, across, up)

    strokes, words = _frame(across, up), _scale(across, up)
    for one in known:
        strokes.append(_circle(at(one), DOT, fill="black" if one in best else "none"))
    for one in known:
        if one.stock == dict(drawn):
            strokes.append(_circle(at(one), RING))
    last: Point | None = None
    for one in best:
        x, y = at(one)
        if one.price is not None and (last is None or math.hypot(x - last[0], y - last[1]) > 3 * WORD):
            words.append(Text(x=x + 2.2, y=y + 1.2, string=f"{one.price:.0f} {currency}", size=WORD))
            last = (x, y)
    return Drawing(width=WIDTH, height=HEIGHT, strokes=tuple(strokes), words=tuple(words), alt=alt, name="choices")


Axis = tuple[float, float, float]
"""Lowest and highest number shown, and the step between two that are written."""


def _axis(values: Sequence[float]) -> Axis:
    low, high = min(values), max(values)
    if high - low < 1e-9:
        low, high = low - 0.5, high + 0.5
    rough = (high - low) / TICKS
    size = 10.0 ** math.floor(math.log10(rough))
    step = next(k * size for k in (1, 2, 5, 10) if k * size >= rough)
    return math.floor(low / step) * step, math.ceil(high / step) * step, step


def _place(mass: float, margin: float, across: Axis, up: Axis) -> Point:
    x = LEFT + (mass - across[0]) / (across[1] - across[0]) * (WIDTH - LEFT - RIGHT)
    y = HEIGHT - BOTTOM - (margin - up[0]) / (up[1] - up[0]) * (HEIGHT - TOP - BOTTOM)
    return x, y


def _frame(across: Axis, up: Axis) -> list[Stroke]:
    box = [
        _place(m, k, across, up)
        for m, k in ((across[0], up[0]), (across[1], up[0]), (across[1], up[1]), (across[0], up[1]))
    ]
    out = [Stroke(points=tuple(box), weight=MEDIUM, closed=True)]
    for margin, dash in ((0.0, ()), (HOLDS, (2.0, 1.5))):
        line = tuple(_place(mass, margin, across, up) for mass in across[:2])
        out.append(Stroke(points=line, weight=FINE, dash=dash, layer="limits"))
    return out


def _numbers(axis: Axis) -> list[float]:
    low, high, step = axis
    return [low + k * step for k in range(round((high - low) / step) + 1)]


def _scale(across: Axis, up: Axis) -> list[Text]:
    words = []
    for mass in _numbers(across):
        x, y = _place(mass, up[0], across, up)
        words.append(Text(x=x, y=y + 5.5, string=f"{mass:g}", size=NUMBER, anchor="middle"))
    for margin in _numbers(up):
        x, y = _place(across[0], margin, across, up)
        words.append(Text(x=x - 1.5, y=y + 1.4, string=f"{margin:.2g}", size=NUMBER, anchor="end"))
    middle = (LEFT + WIDTH - RIGHT) / 2
    words.append(Text(x=middle, y=HEIGHT - 4.0, string=DRAWN["choices_mass"], anchor="middle"))
    words.append(Text(x=5.0, y=HEIGHT / 2, string=DRAWN["choices_margin"], anchor="middle", rotation_rad=-math.pi / 2))
    x, y = _place(across[1], HOLDS, across, up)
    words.append(Text(x=x - 1.0, y=y - 1.0, string=DRAWN["choices_holds"], anchor="end"))
    x, y = _place(across[1], 0.0, across, up)
    words.append(Text(x=x - 1.0, y=y + 4.0, string=DRAWN["choices_fails"], anchor="end"))
    return words


def _circle(at: Point, radius: float, fill: Fill = "none") -> Stroke:
    turns = [2 * math.pi * k / 24 for k in range(24)]
    points = tuple((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in turns)
    return Stroke(points=points, weight=FINE, closed=True, fill=fill, layer="marks")
