"""Running numbers above a bar or a straight tube: distances from one end, each with a line down to its place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from handbarrow.drawings.ink import FINE, NUMBER, Point, Stroke, Text
from handbarrow.drawings.placing import spread
from handbarrow.drawings.widths import CAPITAL, text_width

__all__ = ["PITCH", "Running", "running"]

PITCH = 5.0
"""Room that an upright number takes along the strip [mm]."""
WHITE = 2.0
"""White between two level numbers [mm]."""
LEVEL = CAPITAL * NUMBER + 0.8
"""Baseline of level numbers [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """Numbers set out: their strokes (down to `top`) and words, the height they need, how far one was moved [mm]."""

    strokes: tuple[Stroke, ...]
    words: tuple[Text, ...]
    top: float
    moved: float


def running(wanted: Sequence[float], numbers: Sequence[str], width: float, upright: bool) -> Running | None:
    """Set numbers above their places, moved apart where they are close; None: there is no room for all.

    Args:
        wanted: Places along the drawing, sorted [mm].
        numbers: What is printed at each.
        width: Of the drawing [mm].
        upright: Whether the numbers stand upright, which takes more height and less width.
    """
    sizes = [text_width(n, NUMBER) for n in numbers]
    wide = [PITCH - WHITE] * len(sizes) if upright else sizes
    if sum(wide) + WHITE * (len(wide) - 1) > width:
        return None
    steps = [0.0, *accumulate((a + b) / 2 + WHITE for a, b in pairwise(wide))]
    low, high = wide[0] / 2, width - wide[-1] / 2 - steps[-1]
    shown = spread([x - step for x, step in zip(wanted, steps, strict=True)], 0.0, low, high)
    shown = [x + step for x, step in zip(shown, steps, strict=True)]
    base = max(sizes) + 2.0 if upright else LEVEL
    shift = max(abs(a - b) for a, b in zip(shown, wanted, strict=True))
    top = base + (5.4 if shift > 0.05 else 3.0)
    strokes, words = [], []
    for x, at, number in zip(wanted, shown, numbers, strict=True):
        strokes.append(_line((x, top), at, base))
        words.append(_number(at, base, number, upright))
    return Running(strokes=tuple(strokes), words=tuple(words), top=top, moved=shift)


def _line(place: Point, at: float, base: float) -> Stroke:
    x, y = place
    bent = ((x, y), (x, y - 1.6), (at, base + 1.6), (at, base + 0.6))
    straight = ((x, y), (x, base + 0.6))
    return Stroke(points=straight if abs(at - x) < 0.05 else bent, weight=FINE, layer="running")


def _number(at: float, base: float, number: str, upright: bool) -> Text:
    if not upright:
        return Text(x=at, y=base, string=number, size=NUMBER, anchor="middle", layer="running")
    x = at + CAPITAL * NUMBER / 2
    return Text(x=x, y=base, string=number, size=NUMBER, rotation_rad=-math.pi / 2, layer="running")
