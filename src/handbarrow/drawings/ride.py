"""Where loads may lie: the product from its right side, middle lines only, and under it a bar for each load."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from handbarrow.drawings.model import FINE, HEAVY, MEDIUM, WORD, Drawing, Point, Stroke, Text
from handbarrow.job.ride_values import Stand
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Floats

__all__ = ["LoadBar", "ride_view"]

ROW, NAMES, MARGIN, GAP = 6.0, 44.0, 4.0, 5.0
"""Height of a bar's row, width of its name, room round all, room between product and bars [mm]."""
TICK, CORNERS = 2.0, 48


class LoadBar(NamedTuple):
    """A load: what it is called, where it is drawn and how far it may lie, along x of the product [mm].

    `low` and `high` None: nowhere.
    """

    name: str
    at: float
    low: float | None
    high: float | None


def ride_view(job: Job, stand: Stand, bars: Sequence[LoadBar], box: tuple[float, float], alt: str) -> Drawing:
    """Return the drawing, to scale along both ways.

    Args:
        job: The job.
        stand: The product on its wheels.
        bars: The loads.
        box: Width and greatest height [mm].
        alt: What it shows, in words.
    """
    lines = _lines(job)
    wheel = _circle(stand.axle, stand.wheel_radius)
    hold = (stand.axle + stand.ahead * stand.carrier.hitch[0], stand.carrier.hitch[1])
    marks = np.concatenate([*lines, wheel, [hold]])
    low, high = marks.min(axis=0), marks.max(axis=0)
    below = GAP + ROW * len(bars)
    room = (box[0] - NAMES - 2 * MARGIN, box[1] - below - 2 * MARGIN)
    scale = float(min(room[0] / max(high[0] - low[0], 1.0), room[1] / max(high[1], 1.0)))
    ground = MARGIN + float(high[1]) * scale

    def at(x: float, z: float) -> Point:
        return (NAMES + MARGIN + (float(x) - float(low[0])) * scale, ground - float(z) * scale)

    strokes = [Stroke(points=tuple(at(*p) for p in line), weight=FINE) for line in lines]
    strokes.append(Stroke(points=tuple(at(*p) for p in wheel), weight=MEDIUM, closed=True))
    strokes.append(Stroke(points=(at(low[0], 0.0), at(high[0], 0.0)), weight=MEDIUM))
    foot = ground + below
    for x, z in ((stand.axle, stand.wheel_radius), hold):
        top = at(x, z)
        strokes.append(Stroke(points=(top, (top[0], foot)), weight=FINE, dash=(4.0, 1.5, 0.8, 1.5)))
    words: list[Text] = []
    for k, bar in enumerate(bars):
        y = ground + GAP + ROW * (k + 0.5)
        words.append(Text(x=NAMES - 1.0, y=y + 1.2, string=bar.name, size=WORD, anchor="end"))
        strokes += _bar(bar, y, (at(low[0], 0.0)[0], at(high[0], 0.0)[0]), lambda x: at(x, 0.0)[0])
    return Drawing(
        width=box[0],
        height=foot + MARGIN,
        strokes=tuple(strokes),
        words=tuple(words),
        scale=scale,
        alt=alt,
        name="ride",
    )


def _bar(bar: LoadBar, y: float, ends: tuple[float, float], across: Callable[[float], float]) -> list[Stroke]:
    out = [Stroke(points=((ends[0], y), (ends[1], y)), weight=FINE)]
    here = across(bar.at)
    if bar.low is not None and bar.high is not None:
        a, b = (min(max(across(x), ends[0]), ends[1]) for x in (bar.low, bar.high))
        box = ((a, y - TICK / 2), (b, y - TICK / 2), (b, y + TICK / 2), (a, y + TICK / 2))
        out.append(Stroke(points=box, weight=MEDIUM, closed=True, fill="grey"))
    out.append(Stroke(points=((here, y - TICK), (here, y + TICK)), weight=HEAVY))
    return out


def _lines(job: Job) -> list[Floats]:
    """Middle lines of all runs, x and z."""
    out = []
    for part in job.parts:
        if part.centreline is None:
            continue
        points = np.asarray(part.centreline.points, float)
        for place in job.product.of_part(part.id):
            m = np.asarray(place.transform, float)
            out.append((points @ m[:3, :3].T + m[:3, 3])[:, [0, 2]])
    return out


def _circle(x: float, radius: float) -> Floats:
    angles = np.linspace(0.0, 2 * math.pi, CORNERS, endpoint=False)
    return np.column_stack((x + radius * np.cos(angles), radius + radius * np.sin(angles)))
