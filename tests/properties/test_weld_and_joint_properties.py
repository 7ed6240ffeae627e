"""Whatever the sizes: welds stand in balance with their forces, joints get no stronger by being thinner."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from pytest import approx

from handbarrow.laws.fatigue.categories import CATEGORIES
from handbarrow.laws.fatigue.life import cycles_to_failure, damage, straight_line_spectrum
from handbarrow.laws.geometry.path import rotation
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.joints.tube_joint import joint_resistance
from handbarrow.laws.joints.values import TubeJoint, joint_use
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.welds.line import (
    WeldLine,
    force_along_line,
    round_normals,
    throat_stress,
    weld_line,
    weld_use,
    wrap_points,
)
from handbarrow.laws.welds.strength import WELD_STEELS

UP = EndFrame((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
forces = st.lists(st.floats(-5000, 5000), min_size=6, max_size=6).map(np.array)
ratios = st.floats(0.3, 0.95)
angles = st.floats(math.radians(35), math.pi / 2)


def coped(ratio: float, angle: float, outside: float = 40.0) -> WeldLine:
    """The weld of a round tube on a round one along x."""
    r, big = ratio * outside / 2, outside / 2
    section = Section(shape="round tube", height=2 * r, width=2 * r, wall=1.5)
    ring = outline(section, 181)
    u, v = ring.uv.T
    # closed form of the cope: u lies in the plane of both axes
    h = (np.sqrt(big**2 - v**2) + u * math.cos(angle)) / math.sin(angle)
    points = wrap_points(UP, section, ring.s, h)
    # the chord's axis lies in the x-z plane, at the angle to the brace's axis z
    axis = (math.sin(angle), 0.0, math.cos(angle))
    return weld_line(points, (0, 0, 1), round_normals(points, (0, 0, 0), axis))


@given(ratios, angles, forces, st.tuples(*[st.floats(-80, 80)] * 3))
def test_what_the_weld_carries_adds_up_to_the_force_and_moment(
    ratio: float, angle: float, load: NDArray[np.float64], at: tuple[float, float, float]
) -> None:
    line = coped(ratio, angle)
    each = force_along_line(line, load, at) * line.length[:, None]
    size = 1 + abs(load[:3]).max() * 200 + abs(load[3:]).max()
    assert each.sum(axis=0) == approx(load[:3], abs=1e-9 * size)
    # the force of a piece acts a hair from its middle: 2 pi / 180 squared over 12
    assert np.cross(line.at - np.array(at), each).sum(axis=0) == approx(load[3:], abs=2e-4 * size)


@given(ratios, angles, forces)
def test_throat_stresses_are_the_force_split_in_three(ratio: float, angle: float, load: NDArray[np.float64]) -> None:
    line = coped(ratio, angle)
    force = force_along_line(line, load, (0, 0, 20))
    stress = throat_stress(line, force, 2.0)
    assert np.linalg.norm(stress, axis=1) * 2.0 == approx(np.linalg.norm(force, axis=1), abs=1e-9)


@given(ratios, angles, forces, st.floats(1.0, 4.0))
def test_simplified_method_is_never_less_safe_than_the_directional_one(
    ratio: float, angle: float, load: NDArray[np.float64], throat: float
) -> None:
    for steel in WELD_STEELS:
        use = weld_use(coped(ratio, angle), throat, load, (0, 0, 20), steel)
        hair = 1e-100  # squares of smaller numbers are nothing to a computer
        assert float(use.directional) <= float(use.simplified) * (1 + 1e-9) + hair


@given(
    ratios,
    angles,
    forces,
    st.floats(-3, 3),
    st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda a: np.hypot(*a[:2]) > 0.1),
)
def test_a_weld_turned_and_moved_with_its_forces_is_used_the_same(
    ratio: float, angle: float, load: NDArray[np.float64], turned: float, about: tuple[float, float, float]
) -> None:
    size = math.sqrt(sum(a * a for a in about))
    turn = np.array(rotation((about[0] / size, about[1] / size, about[2] / size), turned))
    shift = np.array([300.0, -40.0, 12.0])
    line = coped(ratio, angle)
    moved = WeldLine(
        line.at @ turn.T + shift, line.along @ turn.T, line.length, line.bisector @ turn.T, line.corner_rad,
        turn @ line.axis,
    )  # fmt: skip
    both = np.concatenate((turn @ load[:3], turn @ load[3:]))
    here = weld_use(line, 2.0, load, (0, 0, 20), WELD_STEELS[0])
    there = weld_use(moved, 2.0, both, tuple(turn @ np.array([0, 0, 20.0]) + shift), WELD_STEELS[0])  # type: ignore[arg-type]
    assert float(there.directional) == approx(float(here.directional), rel=1e-6, abs=1e-12)


@given(ratios, angles, st.lists(forces, min_size=2, max_size=4))
def test_many_load_cases_at_once_are_each_as_alone(
    ratio: float, angle: float, loads: list[NDArray[np.float64]]
) -> None:
    line = coped(ratio, angle)
    together = weld_use(line, 2.0, np.array(loads), (0, 0, 20), WELD_STEELS[0])
    alone = [float(weld_use(line, 2.0, load, (0, 0, 20), WELD_STEELS[0]).directional) for load in loads]
    assert together.directional.tolist() == approx(alone)


def joint(shape: str, kind: str, chord: tuple[float, float], ratio: float, angle: float) -> TubeJoint:
    big = Section(shape=f"{shape} tube", height=chord[0], width=chord[0], wall=chord[1])  # type: ignore[arg-type]
    small = Section(shape=f"{shape} tube", height=ratio * chord[0], width=ratio * chord[0], wall=1.5)  # type: ignore[arg-type]
    return TubeJoint(kind=kind, chord=big, brace=small, angle_rad=angle, yield_mpa=235.0, gap=15.0)  # type: ignore[arg-type]


kinds = st.sampled_from(["T", "Y", "X", "K"])
shapes = st.sampled_from(["round", "square"])


@given(shapes, kinds, st.floats(1.5, 3.0), st.floats(0.3, 0.8), angles)
def test_a_thicker_chord_never_carries_less(shape: str, kind: str, wall: float, ratio: float, angle: float) -> None:
    thin, thick = (joint_resistance(joint(shape, kind, (40.0, t), ratio, angle)) for t in (wall, wall * 1.1))
    for name in ("force", "in_plane", "out_of_plane"):
        assert float(getattr(thick, name)) >= float(getattr(thin, name)) * (1 - 1e-9)


@given(shapes, kinds, st.floats(0.3, 1.0), angles, st.floats(0, 0.9))
def test_push_in_the_chord_never_helps(shape: str, kind: str, ratio: float, angle: float, push: float) -> None:
    given_joint = joint(shape, kind, (40.0, 2.0), ratio, angle)
    found = joint_resistance(given_joint, np.array([-0.5, 0.0, push]))
    for values in (found.force, found.in_plane, found.out_of_plane):
        values = np.broadcast_to(values, (3,))
        assert values[0] == values[1] >= values[2] >= 0
    assert found.indicator, "walls of 1.5 and 2 mm lie below the rules' range"


@given(shapes, kinds, ratios, angles, st.floats(0.1, 5.0))
def test_use_of_a_joint_is_one_at_its_resistance_and_grows_with_the_load(
    shape: str, kind: str, ratio: float, angle: float, times: float
) -> None:
    found = joint_resistance(joint(shape, kind, (40.0, 2.0), ratio, angle))
    most = np.diag([float(found.force), float(found.in_plane), float(found.out_of_plane)])
    assert joint_use(found, most).tolist() == approx([1.0] * 3)
    whole = joint_use(found, np.array([most.sum(axis=0), -most.sum(axis=0)]) * times)
    assert whole[0] == approx(times * 2 + (times**2 if found.square else times)) and whole[0] == whole[1]


@given(st.sampled_from(CATEGORIES), st.floats(1, 500), st.floats(1.0, 2.0))
def test_larger_ranges_are_borne_less_often(detail, stress: float, more: float) -> None:  # type: ignore[no-untyped-def]
    a, b = (float(n) for n in cycles_to_failure([stress, stress * more], detail))
    assert b <= a * (1 + 1e-9)


@given(st.floats(10, 5000), st.floats(1, 500), st.integers(2, 60))
def test_finer_blocks_of_a_spectrum_do_no_more_damage(per_km: float, km: float, blocks: int) -> None:
    if per_km * km <= 1.5:
        return
    detail = next(d for d in CATEGORIES if d.category_mpa == 40)
    coarse, fine = (straight_line_spectrum(per_km, km, n) for n in (blocks, 2 * blocks))
    worse, better = (float(damage(100 * s.share, s.per_km, detail)) for s in (coarse, fine))
    assert better <= worse * (1 + 1e-9), "each block counts at its upper size: on the safe side"
    assert float(fine.per_km.sum()) == approx(per_km)
