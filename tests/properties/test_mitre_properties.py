"""What must hold for every cope, whatever the tubes, angles and offsets."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from handbarrow.laws.geometry.path import Centreline, Vec3, closest, layout, rotation, transformed, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.cope import plane_cut
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.mitre.receiver import Receiver, hits, meeting
from handbarrow.laws.mitre.straight_cuts import StraightCut, axis_tilt, one_cut, two_cuts

STRAIGHT = Centreline(((-3000.0, 0.0, 0.0), (3000.0, 0.0, 0.0)))
UP: Vec3 = (0.0, 0.0, 1.0)


def number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def tube(diameter: float, wall: float = 1.0) -> Section:
    return Section(shape="round tube", height=diameter, width=diameter, wall=wall)


def frame(into: np.ndarray, point: Vec3 = (0.0, 0.0, 0.0), turn_rad: float = 0.0) -> EndFrame:
    into = into / np.linalg.norm(into)
    v = np.cross(into, [0.3, 0.5, 0.8]) if abs(into @ np.array([0.3, 0.5, 0.8])) < 0.98 else np.cross(into, [1, 0, 0])
    v = rotation(into, turn_rad) @ (v / np.linalg.norm(v))
    return EndFrame(point, vec3(into), vec3(np.cross(into, v)), vec3(v))


def rigid(axis_rad: tuple[float, float, float], move: Vec3, mirrored: bool) -> np.ndarray:
    turn = rotation((1, 0, 0), axis_rad[0]) @ rotation((0, 1, 0), axis_rad[1]) @ rotation((0, 0, 1), axis_rad[2])
    if mirrored:
        turn = turn @ np.diag([1.0, -1.0, 1.0])
    out = np.eye(4)
    out[:3, :3], out[:3, 3] = turn, move
    return out


@settings(deadline=None)
@given(number(8, 60), number(0.2, 1.0), number(25, 155), number(-0.95, 0.95), number(0, 360))
def test_round_on_round_is_the_closed_form(
    receiver: float, ratio: float, angle_deg: float, pass_by: float, turn_deg: float
) -> None:
    # Closed form: h = (sqrt(R^2 - (e + r sin phi)^2) + r cos phi cos theta) / sin theta.
    big, small = receiver / 2, receiver / 2 * ratio
    e = (big - small) * pass_by
    theta, turn = math.radians(angle_deg), math.radians(turn_deg)
    into = np.array([math.cos(theta), 0.0, math.sin(theta)])
    x_axis = np.array([math.sin(theta), 0.0, -math.cos(theta)])
    y_axis = np.cross(into, x_axis)
    v = rotation(into, turn) @ x_axis
    at = vec3(e * y_axis)
    end = EndFrame(at, vec3(into), vec3(np.cross(into, v)), vec3(v))
    got = hits(end, outline(tube(2 * small, small / 4)).uv, Receiver(tube(receiver), STRAIGHT, UP))
    phi = np.linspace(0, 2 * math.pi, 361) + turn
    inside = np.maximum(big**2 - (e + small * np.sin(phi)) ** 2, 0.0)
    expected = (np.sqrt(inside) + small * np.cos(phi) * math.cos(theta)) / math.sin(theta)
    assert np.max(np.abs(got.h - expected)) < 1e-3
    assert np.max(got.beside) == 0.0


# Together under 180 degrees, so that the tube does not run through itself.
BENT = st.tuples(number(20, 90), number(60, 120), number(-2.5, 2.5), number(20, 85), number(0.0, 1.0))


def bent_line(values: tuple[float, float, float, float, float]) -> tuple[Centreline, Vec3, np.ndarray]:
    """A tube with two bends, a place on it, and its direction there."""
    first, radius, turn, second, share = values
    a, b = math.radians(first), math.radians(second)
    t0, n0 = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
    t1 = rotation(n0, a) @ t0
    n1 = rotation(t1, turn) @ n0
    t2 = rotation(n1, b) @ t1
    middle = radius * (math.tan(a / 2) + math.tan(b / 2)) + 30.0
    p1 = t0 * 300.0
    p2 = p1 + t1 * middle
    line = Centreline(((-200.0, 0.0, 0.0), vec3(p1), vec3(p2), vec3(p2 + t2 * 400.0)), (radius, radius))
    place = layout(line)
    lengths = [place.straights[0], place.arcs[0], place.straights[1], place.arcs[1], place.straights[2]]
    along = 150.0 + share * (sum(lengths) - 300.0)
    for k, span in enumerate(lengths):
        if along <= span or k == 4:
            break
        along -= span
    t = place.directions[k // 2]
    if k % 2 == 0:
        start = place.start if k == 0 else place.tangents_out[k // 2 - 1]
        return line, vec3(start + t * along), t
    turned = rotation(place.normals[k // 2], along / radius)
    spoke = turned @ (place.tangents_in[k // 2] - place.centres[k // 2])
    return line, vec3(place.centres[k // 2] + spoke), turned @ t


@settings(deadline=None)
@given(BENT, number(0, 360), number(35, 90), number(0.3, 0.95))
def test_the_cut_lies_on_a_bent_tube_and_nothing_of_the_tube_left_is_inside_it(
    values: tuple[float, float, float, float, float], round_deg: float, angle_deg: float, ratio: float
) -> None:
    line, at, t = bent_line(values)
    across = rotation(t, math.radians(round_deg)) @ np.cross(t, frame(t).v)
    a = math.radians(angle_deg)
    end = frame(t * math.cos(a) + across * math.sin(a), at)
    receiver = Receiver(tube(26.9), line, vec3(layout(line).normals[0]))
    uv = outline(tube(26.9 * ratio), 25).uv
    into, starts = np.asarray(end.into), end.starts(uv)
    clear = 13.45 * (1 + ratio) + 2
    leaves = math.ceil(clear / math.sin(a))
    # A run that comes back to the inside of its own bend is no joint that anybody would weld.
    assume(all(closest(line, vec3(at + x * into)).distance > clear for x in range(leaves + 12, 150, 5)))
    got = hits(end, uv, receiver)
    assert got.known
    for start, h, beside in zip(starts, got.h, got.beside, strict=True):
        apart = closest(line, vec3(start + h * into)).distance
        assert abs(apart - (13.45 + beside)) < 1e-5
        for x in (0.5, 2.0, 5.0, 10.0):
            assert closest(line, vec3(start + (h + x) * into)).distance > 13.45 + beside - 1e-6


@settings(deadline=None)
@given(BENT, st.tuples(number(-3, 3), number(-3, 3), number(-3, 3)), st.booleans(), number(0, 360))
def test_turning_moving_or_mirroring_the_whole_scene_changes_no_cut(
    values: tuple[float, float, float, float, float],
    turns: tuple[float, float, float],
    mirrored: bool,
    round_deg: float,
) -> None:
    line, at, t = bent_line(values)
    end = frame(rotation(t, math.radians(round_deg)) @ np.asarray(frame(t).v) + 0.4 * t, at)
    m = rigid(turns, (120.0, -40.0, 300.0), mirrored)
    crown = vec3(layout(line).normals[0])
    moved = transformed(line, tuple(tuple(row) for row in m))
    uv = outline(tube(20), 37).uv
    one = hits(end, uv, Receiver(tube(26.9), line, crown))
    two = hits(end.moved(m), uv, Receiver(tube(26.9), moved, vec3(m[:3, :3] @ crown)))
    assert np.max(np.abs(one.h - two.h)) < 1e-5


@settings(deadline=None)
@given(number(25, 90), number(0, 8), number(8, 30))
def test_an_end_square_to_its_crown_plane_is_cut_alike_left_and_right(
    angle_deg: float, lift: float, branch: float
) -> None:
    # The plane through both axes holds the crown: the wrap reads the same from both sides.
    a = math.radians(angle_deg)
    into, v = (math.cos(a), 0.0, math.sin(a)), (-math.sin(a), 0.0, math.cos(a))
    end = EndFrame((lift, 0.0, 0.0), into, vec3(np.cross(into, v)), v)
    h = hits(end, outline(tube(branch)).uv, Receiver(tube(33.7), STRAIGHT, UP)).h
    assert np.max(np.abs(h - h[::-1])) < 1e-6


@settings(deadline=None)
@given(number(10, 38), number(30, 150), number(-1.0, 1.0), number(0, 6.3), st.booleans())
def test_straight_cuts_leave_metal_everywhere_and_no_more_than_they_say(
    branch: float, angle_deg: float, pass_by: float, turn_rad: float, square: bool
) -> None:
    theta = math.radians(angle_deg)
    shape = "square tube" if square else "round tube"
    receiver = Receiver(Section(shape=shape, height=42, width=42, wall=2), STRAIGHT, UP)
    into = np.array([math.cos(theta), 0.0, math.sin(theta)])
    end = frame(into, (0.0, (42 - branch) / 2 * pass_by, 0.0), turn_rad)
    uv = outline(tube(branch)).uv
    h = hits(end, uv, receiver).h
    tilt, across = axis_tilt(end, meeting(end, receiver).axis)
    one, two = one_cut(uv, h, tilt, across), two_cuts(uv, h, tilt, across)
    planes = [heights(cut, uv) for cut in two]
    cut = np.minimum(*planes)
    assert np.max(heights(one, uv) - h) < 1e-6
    assert np.max(h - heights(one, uv)) <= one.depth + 1e-6
    assert np.max(cut - h) < 1e-6
    assert max(c.depth for c in two) <= one.depth + 1e-6


def heights(cut: StraightCut, uv: np.ndarray) -> np.ndarray:
    slope = math.tan(cut.angle_rad)
    return cut.at + slope * (uv[:, 0] * math.sin(cut.direction_rad) + uv[:, 1] * math.cos(cut.direction_rad))


@settings(deadline=None)
@given(number(5, 85), number(0, 360), number(-50, 50))
def test_a_plane_cut_lies_in_its_plane(angle_deg: float, turn_deg: float, away: float) -> None:
    end = frame(np.array([0.2, -0.5, 0.7]), (10.0, 20.0, 30.0), math.radians(turn_deg))
    a = math.radians(angle_deg)
    n = np.asarray(end.into) * math.sin(a) + np.asarray(end.v) * math.cos(a)
    point = np.asarray(end.point) + away * n
    uv = outline(Section(shape="rectangular tube", height=40, width=20, wall=2)).uv
    h = plane_cut(end, uv, vec3(n), vec3(point))
    cut = end.starts(uv) + h[:, None] * np.asarray(end.into)
    assert np.max(np.abs((cut - point) @ n)) < 1e-9


@settings(deadline=None)
@given(number(10, 60), number(10, 60), number(0.5, 2.4))
def test_the_girth_of_a_tube_with_rounded_corners_is_walked_once(height: float, width: float, wall: float) -> None:
    assume(wall * 4 < min(height, width))
    section = Section(shape="rectangular tube", height=height, width=width, wall=wall)
    ring = outline(section)
    # Closed form: straight faces and one full circle of the corner radius 2 t.
    assert abs(ring.girth - (2 * (height + width) - 16 * wall + 4 * math.pi * wall)) < 1e-9
    steps = np.hypot(*np.diff(ring.uv, axis=0).T)
    assert np.all(np.diff(ring.s) >= steps - 1e-9)
    assert np.allclose(ring.uv[0], ring.uv[-1]) and np.allclose(ring.uv[0], (0.0, height / 2))
    assert ring.uv[2, 0] > 0  # right-handed about the run: from v towards u
    assert ring.inner_uv is not None
    assert np.allclose(np.hypot(*(ring.uv - ring.inner_uv).T), wall)
