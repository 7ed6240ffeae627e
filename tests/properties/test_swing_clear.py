"""What is said of boxes round the bender agrees with looking everywhere, point by point (closed form: rigid motion)."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from handbarrow.laws.bending.blank import Blank, BlankBend, Feed
from handbarrow.laws.bending.clearance import Hit, Obstacle, box_distance, held_hit, sweep, swept_hit, walk

Floats = NDArray[np.float64]

CLEARANCE, HALF = 10.0, 13.45
MISSED = math.hypot(5.0, 15.0)
"""Half a step along the tube, and what half a step of the sweep may carry a point, with the die's own share [mm]."""


LOOKED = math.hypot(1.0, 2.0)
"""What looking everywhere may miss itself: half of 2 mm along the tube, half of 4 mm of the sweep."""


def size(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def blanks(draw: st.DrawFn) -> Blank:
    bends = []
    for _ in range(draw(st.integers(1, 4))):
        angle = draw(size(0.2, 2.0))
        set_angle, radius = angle * 1.03, draw(size(50, 120))
        bends.append(
            BlankBend(
                angle_rad=angle,
                set_angle_rad=set_angle,
                radius=radius * 1.03,
                die_radius=radius,
                used=radius * set_angle,
                normal_rad=draw(st.sampled_from([0.0, math.pi, 1.1, -0.7, math.pi / 2])),
                half_outside=HALF,
            )
        )
    return Blank(tuple(draw(size(40, 700)) for _ in range(len(bends) + 1)), tuple(bends))


@st.composite
def boxes(draw: st.DrawFn) -> Obstacle:
    low = (draw(size(-1200, 900)), draw(size(-900, 900)), draw(size(-600, 500)))
    edges = [draw(size(20, 800)) for _ in range(3)]
    return Obstacle("box", low, (low[0] + edges[0], low[1] + edges[1], low[2] + edges[2]))


def fine(points: Floats) -> Floats:
    legs = [
        a + (b - a) * np.linspace(0, 1, max(2, math.ceil(float(np.linalg.norm(b - a)) / 2)), endpoint=False)[:, None]
        for a, b in pairwise(points)
    ]
    return np.concatenate([*legs, points[-1:]])


def agrees(told: Hit | None, nearest: float) -> None:
    """A lack is told where it is there, and no more than there is; what is not told is less than the steps may miss."""
    lack = CLEARANCE + HALF - nearest
    if told is None:
        assert lack < MISSED
    else:
        assert told.lack <= lack + LOOKED
        assert told.lack > lack - MISSED


@given(blank=blanks(), box=boxes(), data=st.data())
@settings(max_examples=150, deadline=None)
def test_a_box_that_the_swung_side_meets_is_told_and_no_other(blank: Blank, box: Obstacle, data: st.DataObject) -> None:
    k = data.draw(st.integers(0, len(blank.bends) - 1))
    feed: Feed = data.draw(st.sampled_from(["start", "end"]))
    made = data.draw(st.integers(0, (1 << len(blank.bends)) - 1)) & ~(1 << k)
    bend = blank.bends[k]
    points = fine(walk(bend.used, 1.0, blank.side(k, "end" if feed == "start" else "start", made)))
    reach = float(np.abs(points).max()) + bend.die_radius
    angles = np.linspace(0.0, bend.set_angle_rad, math.ceil(reach * bend.set_angle_rad / 4) + 2)
    nearest = min(
        float(box_distance(sweep(points, bend.die_radius, some), box.low, box.high).min())
        for some in np.array_split(angles, max(1, len(angles) // 40))
    )
    agrees(swept_hit(blank, k, feed, made, [box], CLEARANCE), nearest)


@given(blank=blanks(), box=boxes(), data=st.data())
@settings(max_examples=150, deadline=None)
def test_a_box_that_the_held_side_meets_is_told_and_no_other(blank: Blank, box: Obstacle, data: st.DataObject) -> None:
    k = data.draw(st.integers(0, len(blank.bends) - 1))
    feed: Feed = data.draw(st.sampled_from(["start", "end"]))
    made = data.draw(st.integers(0, (1 << len(blank.bends)) - 1)) & ~(1 << k)
    points = fine(walk(0.0, -1.0, blank.side(k, feed, made)))
    agrees(held_hit(blank, k, feed, made, [box], CLEARANCE), float(box_distance(points, box.low, box.high).min()))
