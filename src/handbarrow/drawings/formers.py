"""A former at true size: the board that a bar is pulled round, with where the curve starts and where to stop."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from handbarrow.drawings.model import FINE, HEAVY, MEDIUM, WORD, Anchor, Dimension, Drawing, Point, Stroke, Text
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.former_values import PulledBend
from handbarrow.job.values import Job

__all__ = ["former_drawing"]

Floats = NDArray[np.float64]
OnPaper = Callable[[Floats], tuple[Point, ...]]

EDGE, DIM = 6.0, 14.0
LEAD = 50.0
"""Straight of the board before the curve: the bar is clamped to it [mm]."""
OVER_RAD = math.radians(12.0)
"""The board goes on beyond where to stop: a hand is seldom exact."""
DEPTH = 60.0
"""Of the board behind its face, where the curve leaves room for it [mm]."""
CHORD_RAD = math.radians(1.0)
TICK = 12.0


def former_drawing(job: Job, part_id: str, number: int) -> Drawing:
    """Return the former of one bend at 1:1, its clamped end to the left.

    Args:
        job: The job.
        part_id: A part that is pulled over formers.
        number: Number of the bend.

    Raises:
        ValueError: If the part is not pulled.
    """
    part, shown = job.part(part_id), job.workshop.shown
    if part.pull is None:
        raise ValueError(f"{part_id} is not pulled over a former")
    bend = part.pull.bends[number - 1]
    rings = _face(bend), _back(bend)
    outline = np.concatenate([rings[0], rings[1][::-1]])
    low, high = outline.min(axis=0), outline.max(axis=0)
    width, height = (float(v) + 2 * EDGE + DIM for v in high - low)

    def on(points: Floats) -> tuple[Point, ...]:
        return tuple((float(EDGE + DIM + x - low[0]), float(EDGE + high[1] - y)) for x, y in points)

    strokes = [Stroke(points=on(outline), weight=HEAVY, closed=True, layer="outline")]
    strokes += [Stroke(points=on(_tick(bend, turn)), weight=MEDIUM, layer="marks") for turn in (0.0, bend.pulled_rad)]
    strokes.append(Stroke(points=on(_arc(bend, bend.face - 6.0)), weight=FINE, layer="marks"))
    (x0, y1), (x1, y0) = on(np.array([low, high]))
    wide, tall = (float(v) for v in high - low)
    dimensions = (
        Dimension(p1=(x0, y1), p2=(x1, y1), line=(x0, y1 + 8.0), value=wide, text=shown.length(wide)),
        Dimension(
            p1=(x0, y1), p2=(x0, y0), line=(x0 - 8.0, y1), value=tall, text=shown.length(tall),
            direction_rad=-math.pi / 2,
        ),
    )  # fmt: skip
    return Drawing(
        width=width, height=height, strokes=tuple(strokes), words=_words(job, part.title, bend, on), scale=1.0,
        dimensions=dimensions, name=f"former-{part_id}-{number}",
        alt=ALT["former"].format(
            part=part.title, radius=shown.length(bend.face), angle=f"{math.degrees(bend.pulled_rad):.1f}"
        ),
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ its outline
def _at(bend: PulledBend, radius: float, turn: Floats) -> Floats:
    """Points on a ring round the former's centre, which lies below the start of the curve."""
    out: Floats = np.column_stack([radius * np.sin(turn), radius * np.cos(turn) - bend.face])
    return out


def _turns(bend: PulledBend) -> Floats:
    end = min(bend.pulled_rad + OVER_RAD, 2 * math.pi - OVER_RAD)
    return np.linspace(0.0, end, max(2, math.ceil(end / CHORD_RAD) + 1))


def _face(bend: PulledBend) -> Floats:
    return np.concatenate([[(-LEAD, 0.0)], _at(bend, bend.face, _turns(bend))])


def _back(bend: PulledBend) -> Floats:
    """The back of the board: a ring behind the face, or the middle of a tight curve."""
    inner = max(bend.face - DEPTH, 0.25 * bend.face)
    return np.concatenate([[(-LEAD, inner - bend.face)], _at(bend, inner, _turns(bend))])


def _tick(bend: PulledBend, turn: float) -> Floats:
    return np.concatenate([_at(bend, radius, np.array([turn])) for radius in (bend.face - TICK, bend.face)])


def _arc(bend: PulledBend, radius: float) -> Floats:
    return _at(bend, radius, np.linspace(0.0, bend.pulled_rad, max(2, math.ceil(bend.pulled_rad / CHORD_RAD) + 1)))


# ------------------------------------------------------------------------------------------------ what it says
def _words(job: Job, title: str, bend: PulledBend, on: OnPaper) -> tuple[Text, ...]:
    shown = job.workshop.shown
    lines = (
        (0.0, DRAWN["former_start"]),
        (bend.pulled_rad / 2, DRAWN["former_face"].format(part=title, radius=shown.length(bend.face))),
        (bend.pulled_rad, DRAWN["former_stop"].format(angle=f"{math.degrees(bend.pulled_rad):.1f}")),
    )
    out = []
    for turn, text in lines:
        place = max(bend.face - TICK - 8.0, 0.5 * bend.face)
        ((x, y),) = on(_at(bend, place, np.array([turn])))
        lean = math.remainder(turn, 2 * math.pi)
        upright = lean if abs(lean) <= math.pi / 2 else lean - math.copysign(math.pi, lean)
        anchor: Anchor = "start" if turn == 0 else "middle"
        out.append(Text(x=x, y=y, string=text, size=WORD, anchor=anchor, rotation_rad=upright))
    return tuple(out)
