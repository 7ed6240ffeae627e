"""Steps of a run turned into corners, against a code of bent bars and closed forms.

[BS 8666] Bent bar with legs to the outside, shape 11: A 500, B 300, inner radius 20, bar 10 mm. Formula of the code
     L = A + B - 0.5 r - d = 780 (read at obconstruction.co.uk), exact centreline length 779.27 (computed here).
[EMT] Legs of a 90 degree bend to the outside gain 2 (CLR + OD/2) - pi/2 CLR (computed here; 2 - pi/2 = 0.42920).
"""

from __future__ import annotations

import itertools
import math

import pytest

from handbarrow.design.routes import corners_of
from handbarrow.design.values import Corner, Run, Step, StepsRoute
from handbarrow.laws.geometry.path import Centreline, Steps, from_steps, layout, length, to_steps


def run(*steps: Step, half: float = 13.45) -> Run:
    route = StepsRoute(
        origin=(10.0, 20.0, 300.0), heading=(1.0, 0.0, 0.0), normal=(0.0, 0.0, 1.0), steps=steps, half_outside=half
    )
    return Run(stock="main", route=route)


def line(corners: tuple[Corner, ...], radius: float) -> Centreline:
    return Centreline(tuple(corner.at for corner in corners), (radius,) * (len(corners) - 2))


def test_bent_bar_of_the_code_with_legs_to_the_outside() -> None:
    bar = run(
        Step(kind="to outside", value=500.0),
        Step(kind="bend", value=math.pi / 2),
        Step(kind="to outside", value=300.0),
        half=5.0,
    )
    made = length(line(corners_of(bar, lambda angle, wanted: 25.0), 25.0))
    assert made == pytest.approx(779.27, abs=0.005)  # [BS 8666] exact
    assert made == pytest.approx(780.0, abs=0.75)  # [BS 8666] the code rounds its coefficients


@pytest.mark.parametrize("radius", [40.0, 77.0, 80.5])
def test_outside_legs_gain_what_the_trade_knows(radius: float) -> None:
    tube = run(
        Step(kind="to outside", value=400.0),
        Step(kind="bend", value=math.pi / 2),
        Step(kind="to outside", value=300.0),
    )
    made = length(line(corners_of(tube, lambda angle, wanted: radius), radius))
    gain = 2 * (radius + 13.45) - math.pi / 2 * radius  # [EMT]
    assert made == pytest.approx(700.0 - gain, abs=1e-9)


@pytest.mark.parametrize("degrees", [30.0, 60.0, 89.999999])
def test_outsides_of_two_legs_meet_half_the_tube_past_the_corner(degrees: float) -> None:
    # closed form: two outside lines at distance h from legs that turn by A meet h tan(A/2) beyond the corner
    angle = math.radians(degrees)
    tube = run(Step(kind="to outside", value=400.0), Step(kind="bend", value=angle), Step(kind="straight", value=200.0))
    corner = corners_of(tube, lambda a, wanted: 80.0)[1].at
    assert corner[0] == pytest.approx(10.0 + 400.0 - 13.45 * math.tan(angle / 2), abs=1e-9)


@pytest.mark.parametrize("degrees", [90.0, 120.0, 150.0, 175.0])
def test_past_a_right_angle_the_outermost_point_of_the_bend_counts(degrees: float) -> None:
    # closed form: the outside arc of radius R + h reaches R + h beyond its start, along the leg
    angle, radius, half = math.radians(degrees), 80.0, 13.45
    tube = run(Step(kind="to outside", value=400.0), Step(kind="bend", value=angle), Step(kind="straight", value=50.0))
    place = layout(line(corners_of(tube, lambda a, wanted: radius), radius))
    assert float(place.tangents_in[0][0]) + radius + half == pytest.approx(10.0 + 400.0, abs=1e-9)


def test_a_straight_keeps_its_length_whatever_radius_the_die_makes() -> None:
    steps = (
        Step(kind="straight", value=300.0),
        Step(kind="bend", value=math.radians(70)),
        Step(kind="straight", value=120.0),
        Step(kind="turn", value=math.radians(-35)),
        Step(kind="bend", value=math.radians(110)),
        Step(kind="straight", value=0.0),
    )
    for radius in (50.0, 82.3, 120.0):
        place = layout(line(corners_of(run(*steps), lambda angle, wanted, r=radius: r), radius))
        assert place.straights == pytest.approx([300.0, 120.0, 0.0], abs=1e-9)
        assert [math.degrees(t) for t in place.turns] == pytest.approx([0.0, -35.0], abs=1e-9)


def test_centreline_legs_keep_the_corner_whatever_radius_the_die_makes() -> None:
    steps = (
        Step(kind="to centreline", value=300.0),
        Step(kind="bend", value=math.radians(70)),
        Step(kind="to centreline", value=250.0),
        Step(kind="bend", value=math.radians(30)),
        Step(kind="to centreline", value=200.0),
    )
    narrow = [corner.at for corner in corners_of(run(*steps), lambda angle, wanted: 30.0)]
    wide = [corner.at for corner in corners_of(run(*steps), lambda angle, wanted: 130.0)]
    assert narrow == wide
    assert [math.dist(a, b) for a, b in itertools.pairwise(wide)] == pytest.approx([300.0, 250.0, 200.0])


def test_steps_and_the_laws_own_steps_give_one_centreline() -> None:
    angles, turns, radii = (0.9, 0.4, 1.6), (0.0, 2.2, -1.1), (80.0, 90.0, 60.0)
    straights = (300.0, 80.0, 150.0, 40.0)
    law = from_steps((10.0, 20.0, 300.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), Steps(straights, angles, turns, radii))
    steps: list[Step] = [Step(kind="straight", value=straights[0])]
    for angle, turn, radius, straight in zip(angles, turns, radii, straights[1:], strict=True):
        steps += [Step(kind="turn", value=turn), Step(kind="bend", value=angle, radius=radius)]
        steps.append(Step(kind="straight", value=straight))
    corners = corners_of(run(*steps), lambda angle, wanted: wanted or 0.0)
    for corner, point in zip(corners, law.points, strict=True):
        assert corner.at == pytest.approx(point, abs=1e-9)
    assert [corner.radius for corner in corners] == [None, 80.0, 90.0, 60.0, None]
    assert to_steps(law).straights == pytest.approx(straights)


def test_a_run_given_by_points_keeps_them() -> None:
    corners = (Corner(at=(0.0, 0.0, 0.0)), Corner(at=(1.0, 0.0, 0.0)))
    assert corners_of(Run(stock="main", corners=corners), lambda angle, wanted: 1.0) == corners
