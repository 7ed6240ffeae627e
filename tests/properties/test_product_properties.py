"""What must hold for any product. Expectations: closed forms, and one way of asking against another."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from handbarrow.design.measures import point_along
from handbarrow.design.nearness import near, table_of
from handbarrow.design.placing import Scene
from handbarrow.design.resolve import resolve, results_only
from handbarrow.design.solids import piece_gaps, pieces_of
from handbarrow.design.values import Bought, Design, Part, PlateShape, Product, Result, Run
from handbarrow.laws.geometry.approach import axis_to_centreline, segments_apart
from handbarrow.laws.geometry.path import Centreline, Vec3, closest, layout, length, sample, transformed, vec3
from handbarrow.laws.geometry.rigid import from_raised_zero, matrix4
from invented import LEFT_RIGHT, design, die_80, distance, height, plate, run, shifted, wheel

lengths = st.floats(-400, 400).map(lambda v: round(v, 1))
points = st.tuples(lengths, lengths, lengths)
quick = settings(max_examples=40, deadline=None)


def trailer() -> list[Part]:
    """Two hoops, a cross tube with a copy, a drawbar, a lug, two wheels."""
    return [
        run("hoop", (0, 200, 0), (600, 200, 0), (600, -200, 0), (0, -200, 0)),
        run("cross", (100, 200, 0), (100, -200, 0), copies=(shifted(250, 0, 0),)),
        run("guard", (300, 200, 0), (300, 200, 250), (60, 200, 250), (60, 200, 0), copies=(LEFT_RIGHT,)),
        run("drawbar", (350, 0, 0), (350, 0, 300), (700, 0, 500), stock="light"),
        plate("lug", (-30, 0), (30, 0), (30, 50), (-30, 50), at=(400.0, 213.0, -2.0), on="hoop"),
        wheel("wheel", (150, 270, -15), copies=(LEFT_RIGHT,)),
    ]


RESULTS = [
    height("eye", "drawbar", "end"),
    distance("track", ("wheel", "centre"), ("wheel copy 2", "centre"), "y"),
    distance("span", ("guard", "middle"), ("guard copy 2", "middle")),
    Result(name="developed", kind="length", part="hoop"),
]


def raised(part: Part, dz: float) -> Part:
    """The part drawn dz higher."""

    def up(p: Vec3) -> Vec3:
        return (p[0], p[1], p[2] + dz)

    shape = part.shape
    if isinstance(shape, Run):
        return replace(part, shape=replace(shape, corners=tuple(replace(c, at=up(c.at)) for c in shape.corners)))
    assert isinstance(shape, PlateShape | Bought)
    assert shape.at is not None
    return replace(part, shape=replace(shape, at=up(shape.at)))  # type: ignore[arg-type]


def made(drawn: Design) -> Product:
    product, _ = resolve(drawn, die_80)
    assert product is not None
    return product


def numbers(product: Product) -> np.ndarray:
    """Everything in a product that is a length or a direction."""
    out: list[float] = []
    for member in product.members.values():
        out += [v for p in member.centreline.points for v in p]
        out += [*member.centreline.radii, *member.crown]
    for placement in product.placements:
        out += [v for row in placement.transform for v in row]
    for joint in product.joints:
        out += [*joint.offset, *(joint.normal or ()), *(joint.plane_point or ())]
    return np.array([*out, *product.results.values()])


@given(st.floats(-1000, 1000))
@quick
def test_drawing_a_wheeled_product_higher_changes_nothing(dz: float) -> None:
    # one part is turned over about an axis at the design's zero, which moves along
    turn = np.diag([1.0, -1.0, -1.0, 1.0])
    flag = run("flag", (-300, 0, 0), (-300, 0, 200))
    about = np.eye(4)
    about[2, 3] = 2 * dz
    still = design(*trailer(), replace(flag, copies=(*flag.copies, replace(LEFT_RIGHT, transform=matrix4(turn)))))
    up = replace(flag, copies=(*flag.copies, replace(LEFT_RIGHT, transform=matrix4(about @ turn))))
    before = made(replace(still, results=tuple(RESULTS)))
    after = made(design(*(raised(p, dz) for p in [*trailer(), up]), results=RESULTS))
    assert numbers(after) == pytest.approx(numbers(before), abs=1e-6)
    assert [(j.part, j.end, j.kind, j.against, j.stretch) for j in after.joints] == [
        (j.part, j.end, j.kind, j.against, j.stretch) for j in before.joints
    ]


@given(st.permutations(range(6)))
@quick
def test_joints_do_not_depend_on_the_order_of_parts(order: list[int]) -> None:
    parts = trailer()
    before, after = made(design(*parts)), made(design(*(parts[i] for i in order)))
    assert sorted(map(repr, after.joints)) == sorted(map(repr, before.joints))


@given(st.lists(points, min_size=3, max_size=3, unique=True), st.floats(-500, 500))
@quick
def test_mirroring_twice_is_the_identity(corners: list[Vec3], lift: float) -> None:
    mirror = from_raised_zero(LEFT_RIGHT.transform, lift)
    assert np.allclose(mirror @ mirror, np.eye(4))
    assert np.allclose(mirror, LEFT_RIGHT.transform), "left and right don't know about height"
    line = Centreline(tuple(corners), (10.0,))
    back = transformed(transformed(line, matrix4(mirror)), matrix4(mirror))
    assert np.allclose(back.points, line.points)


def test_results_alone_are_those_of_the_whole_product() -> None:
    drawn = design(*trailer(), results=RESULTS)
    assert results_only(drawn, die_80, [r.name for r in RESULTS]) == made(drawn).results


@given(points, st.floats(1, 300))
@quick
def test_the_table_of_centrelines_says_what_each_centreline_says(point: Vec3, reach: float) -> None:
    scene = Scene(design(*trailer()), die_80)
    members = {p.id: m for p in trailer() if (m := scene.member(p.id)) is not None}
    table = table_of(scene, members)
    (hits,) = near(table, np.array([point]), np.full((1, len(table.owners)), reach))
    found = {table.owners[h.owner].target: h for h in hits}
    for owner in table.owners:
        m = matrix4(scene.transform(owner.target.part, owner.target.copy))
        wanted = closest(transformed(owner.member.centreline, m), point)
        if wanted.distance <= reach - 1e-6:
            assert found[owner.target].distance == pytest.approx(wanted.distance, abs=1e-9)
            assert found[owner.target].foot == pytest.approx(wanted.point, abs=1e-6)
            assert found[owner.target].element == wanted.element
        elif wanted.distance > reach + 1e-6:
            assert owner.target not in found
    assert [h.distance for h in hits] == sorted(h.distance for h in hits)


@given(points, st.tuples(st.floats(-1, 1), st.floats(-1, 1), st.floats(0.1, 1)))
@quick
def test_an_axis_passes_a_bent_tube_where_sampling_says(point: Vec3, way: Vec3) -> None:
    line = Centreline(((0, 0, 0), (300, 0, 0), (300, 300, 0), (300, 300, 300)), (80.0, 60.0))
    d = np.array(way) / np.linalg.norm(way)
    found = axis_to_centreline(line, point, vec3(d), 200.0)
    fine = sample(line, 0.01)
    steps = np.concatenate([np.linspace(a, b, 40) for a, b in itertools.pairwise(fine)])
    f = np.clip((steps - point) @ d, -200, 200)
    sampled = float(np.linalg.norm(np.asarray(point) + f[:, None] * d - steps, axis=1).min())
    # points on straights at most 6.2 mm apart: the nearest one lies at most 3.2 mm beside the true foot
    assert found.distance - 1e-3 <= sampled <= math.hypot(found.distance, 3.2)
    assert closest(line, found.foot).distance == pytest.approx(0.0, abs=1e-6)


@given(points, points, points, points)
@quick
def test_two_straights_are_as_far_apart_as_an_optimiser_finds(a: Vec3, b: Vec3, c: Vec3, d: Vec3) -> None:
    p, q, r, s = (np.array(v) for v in (a, b, c, d))
    x, y = segments_apart(p[None], (q - p)[None], r[None], (s - r)[None])

    def square(f: np.ndarray) -> float:
        w = p + f[0] * (q - p) - r - f[1] * (s - r)
        return float(w @ w)

    best = min(minimize(square, start, bounds=[(0, 1), (0, 1)]).fun for start in ([0, 0], [1, 1], [0.5, 0.5]))
    assert float(np.linalg.norm(x - y)) <= np.sqrt(best) + 1e-6


@given(points, points, st.floats(20, 300))
@quick
def test_the_gap_of_two_straight_tubes_is_that_of_their_axes_less_both_radii(a: Vec3, b: Vec3, over: float) -> None:
    p, q = np.array(a), np.array(b)
    if np.linalg.norm(q - p) < 50:
        return
    # a second tube across the middle of the first, `over` away along their common perpendicular
    t = (q - p) / np.linalg.norm(q - p)
    side = np.cross(t, [0.6, 0.0, 0.8] if abs(t[1]) < 0.9 else [1.0, 0.0, 0.0])
    side /= np.linalg.norm(side)
    way = np.cross(t, side) + 0.7 * t
    middle = (p + q) / 2 + side * over
    parts = [run("one", a, b), run("two", vec3(middle - 100 * way), vec3(middle + 100 * way), stock="light")]
    scene = Scene(design(*parts), die_80)
    one, two = (pieces_of(m) for name in ("one", "two") if (m := scene.member(name)) is not None)
    expected = max(0.0, over - 26.9 / 2 - 21.3 / 2)
    assert piece_gaps([(one, two)])[0] == pytest.approx(expected, abs=0.1)


@given(st.floats(0, 1))
@quick
def test_the_point_half_way_along_a_tube_is_half_its_length_away(share: float) -> None:
    line = Centreline(((0, 0, 0), (300, 0, 0), (300, 300, 0), (300, 300, 300)), (80.0, 60.0))
    there = closest(line, point_along(line, share * length(line)))
    assert there.distance == pytest.approx(0, abs=1e-9)
    assert there.along == pytest.approx(share * length(line), abs=1e-6)
    assert layout(line).straights.min() > 0
