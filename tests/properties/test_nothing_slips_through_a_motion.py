"""What is found along a motion is at least as near as what many looks at it find."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.laws.clearance.motion import Screw
from handbarrow.laws.clearance.search import CLOSE_IN, bodies_of, nearest, nearest_on_the_way
from handbarrow.laws.clearance.solids import Solids, prism, run_solids
from handbarrow.laws.geometry.path import Centreline, rotation
from handbarrow.laws.geometry.section import Section

ROUND = Section(shape="round tube", height=25, width=25, wall=2)
PLATE = np.array([(0.0, 0.0), (90.0, 0.0), (90.0, 30.0), (30.0, 70.0), (0.0, 60.0)])
place = st.tuples(*[st.floats(-250, 250)] * 3)
way = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: float(np.linalg.norm(v)) > 0.2)
REACH = 40.0


def tube(at: tuple[float, ...], along: tuple[float, ...]) -> Solids:
    far = np.add(at, 300 * np.array(along))
    up = np.cross(along, (0.31, 0.57, 0.76))
    return run_solids(Centreline((at, tuple(far))), ROUND, tuple(up / np.linalg.norm(up)), (0.0, 0.0))


def plate(at: tuple[float, ...], turn: tuple[float, ...]) -> Solids:
    axis = np.array(turn) / np.linalg.norm(turn)
    return prism(PLATE, np.array(at), rotation(axis, 1.1), 5.0)


@settings(max_examples=25, deadline=None)
@given(place, way, place, way, place, way, st.floats(-2.0, 2.0), st.floats(-200, 200))
def test_no_approach_slips_through_between_two_looks(
    a: tuple[float, ...], along: tuple[float, ...], b: tuple[float, ...], turn: tuple[float, ...],
    point: tuple[float, ...], axis: tuple[float, ...], angle: float, shift: float,
) -> None:  # fmt: skip
    moving, still = bodies_of([tube(a, along)]), bodies_of([plate(b, turn)])
    screw = Screw(np.array(point), np.array(axis) / np.linalg.norm(axis), angle, shift)
    allowed = np.ones((1, 1), bool)
    looks = screw.at(np.linspace(0, 1, 121))
    seen = [near.gap for m in looks for near in nearest(moving, still, allowed, REACH, m)]
    found = nearest_on_the_way(moving, still, allowed, screw, REACH)
    if not seen or min(seen) > REACH - CLOSE_IN:
        return
    assert found, "what many looks see is found"
    assert found[0].gap <= max(min(seen), 0.0) + CLOSE_IN
    at = screw.at(np.array([found[0].share]))[0]
    assert nearest(moving, still, allowed, np.inf, at)[0].gap <= found[0].gap + 0.01, "it is so near where it says"
