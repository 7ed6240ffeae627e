"""Wheels set the height of the whole product. Expectations: closed forms (computed here)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from handbarrow.design.placing import lift_of, pose
from handbarrow.design.resolve import resolve
from handbarrow.design.values import Assembly, Copy, Position, Result
from handbarrow.findings import errors
from handbarrow.laws.geometry.rigid import matrix4
from invented import LEFT_RIGHT, STOCK, codes, deg, design, die_80, distance, height, only, run, shifted, wheel

TYRE_RADIUS = (559 + 2 * 53) / 2
FRAME = run("beam", (0, 300, 50), (0, -300, 50))


def test_handle_at_840_mm_over_ground_with_26_inch_wheels() -> None:
    # common practice, no source: handle at 840 mm over ground, 26-inch wheels with 2.1-inch tyres
    hub_to_handle = 840 - TYRE_RADIUS
    handle = run("handle", (-900, 250, 17 + hub_to_handle), (-900, -250, 17 + hub_to_handle))
    both = wheel("wheel", (0, 300, 17), copies=(LEFT_RIGHT,))
    product, _ = resolve(design(handle, both, results=[height("handle_height", "handle", "middle")]), die_80)
    assert product is not None
    assert product.results["handle_height"] == pytest.approx(840.0, abs=1e-9)
    assert product.lift == pytest.approx(TYRE_RADIUS - 17)


def test_without_wheels_nothing_is_lifted() -> None:
    product, _ = resolve(design(FRAME, results=[height("beam_height", "beam", "start")]), die_80)
    assert product is not None
    assert product.lift == 0.0
    assert product.results["beam_height"] == 50.0


def test_a_wheel_copy_lower_than_the_first_sets_the_height() -> None:
    lift, findings = lift_of(design(wheel("wheel", (0, 300, 0), copies=(shifted(0, -600, -0.4),))))
    assert lift == pytest.approx(TYRE_RADIUS + 0.4)
    assert findings == []


def test_wheels_that_hang_in_the_air_are_told_with_the_height() -> None:
    lift, findings = lift_of(design(wheel("left", (0, 300, 0)), wheel("right", (0, -300, 12))))
    assert lift == pytest.approx(TYRE_RADIUS)
    found = only(findings, "wheels-at-different-heights")
    assert "right hangs 12 mm above the ground on which left stands" in found.wrong
    assert found.where == "parts.right.at"


def test_a_leaning_wheel_is_told_and_stands_on_its_lower_rim() -> None:
    lean = deg(10)
    leaning = wheel("wheel", (0, 0, 0), axis=(0.0, math.cos(lean), math.sin(lean)))
    lift, findings = lift_of(design(leaning))
    assert lift == pytest.approx(TYRE_RADIUS * math.cos(lean))
    assert "leans 10.0 degrees" in only(findings, "wheel-axis-not-level").wrong


def test_a_wheel_without_a_place_is_told() -> None:
    lift, findings = lift_of(design(wheel("wheel", None)))
    assert lift == 0.0
    assert codes(findings) == ["wheel-without-place"]


def test_copies_are_placed_in_product_axes() -> None:
    turn_over = Copy(transform=matrix4(np.diag([1.0, -1.0, -1.0, 1.0])))  # about the x axis of the design, z = 0
    leg = run("leg", (0, 100, 20), (0, 100, 220), copies=(turn_over,))
    product, _ = resolve(design(leg, wheel("wheel", (0, 0, 0))), die_80)
    assert product is not None
    first, second = product.of_part("leg")
    assert np.allclose(first.transform, np.eye(4))
    foot = np.array(second.transform) @ np.array([*product.members["leg"].centreline.points[1], 1.0])
    assert foot[:3] == pytest.approx([0, -100, TYRE_RADIUS - 220])


def test_results_of_a_small_frame() -> None:
    hoop = run("hoop", (0, 200, 0), (500, 200, 0), (500, -200, 0), (0, -200, 0))
    arc = 80 * math.pi / 2
    results = [
        distance("across", ("hoop", "start"), ("hoop", "end")),
        distance("ahead", ("hoop", "start"), ("hoop", "corner 2"), "x"),
        distance("aside", ("hoop", "start"), ("hoop", "corner 2"), "y"),
        Result(name="developed", kind="length", part="hoop"),
        Result(name="formula", kind="value", value=12.5),
        height("middle", "hoop", "middle"),
        distance("to_middle", ("hoop", "start"), ("hoop", "middle")),
    ]
    product, findings = resolve(design(hoop, results=results), die_80)
    assert product is not None
    assert findings == []
    assert product.results == pytest.approx(
        {
            "across": 400,
            "ahead": 500,
            "aside": 400,
            "developed": 2 * 420 + 240 + 2 * arc,
            "formula": 12.5,
            "middle": 0,
            "to_middle": math.hypot(500, 200),
        }
    )


def test_radii_are_those_that_the_die_makes_and_the_crown_follows_the_first_bend() -> None:
    product, _ = resolve(design(run("hoop", (0, 200, 0), (500, 200, 0), (500, -200, 0))), die_80)
    assert product is not None
    assert product.members["hoop"].centreline.radii == (80.0,)
    # forward x right = (1,0,0) x (0,-1,0) = (0,0,-1)
    assert product.members["hoop"].crown == pytest.approx((0, 0, -1))


def test_the_crown_of_a_straight_run_is_nearest_to_up_else_left() -> None:
    post, beam = run("post", (0, 0, 0), (0, 0, 300)), run("beam", (0, 0, 300), (300, 0, 600))
    product, _ = resolve(design(post, beam), die_80)
    assert product is not None
    assert product.members["post"].crown == pytest.approx((0, 1, 0))
    assert product.members["beam"].crown == pytest.approx((-math.sqrt(0.5), 0, math.sqrt(0.5)))


def test_face_and_turn_set_the_height_of_an_angle() -> None:
    angle = run("rail", (0, 0, 0), (300, 0, 0), stock="angle", face=(0.0, 0.0, -1.0))
    turned = run("turned", (0, 9, 0), (300, 9, 0), stock="angle", face=(0.3, 0.0, -1.0), turned_rad=deg(90))
    product, _ = resolve(design(angle, turned), die_80)
    assert product is not None
    assert product.members["rail"].crown == pytest.approx((0, 0, -1))
    # right-handed about +x: -z goes to +y
    assert product.members["turned"].crown == pytest.approx((0, 1, 0), abs=1e-12)


def test_the_height_of_a_flat_bent_over_its_edge_lies_in_the_plane_of_the_bend() -> None:
    edge = run("brace", (0, 0, 0), (300, 0, 0), (300, 300, 0), stock="flat", face=(0.0, 1.0, 0.0))
    product, findings = resolve(design(edge), die_80)
    assert product is not None
    assert findings == []
    assert product.members["brace"].crown == pytest.approx((0, 1, 0))


def test_assemblies_are_carried_along() -> None:
    up = matrix4(np.array([[1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 1, 400.0], [0, 0, 0, 1]]))
    over = matrix4(np.diag([1.0, -1.0, -1.0, 1.0]))
    trailer = design(
        wheel("wheel", (0, 0, 0)),
        assemblies=[
            Assembly(name="frame"),
            Assembly(name="cot", positions=(Position(name="lifted off", transform=up),)),
            Assembly(name="back rest", within="cot", positions=(Position(name="turned over", transform=over),)),
        ],
    )
    posed = pose(trailer, {"cot": "lifted off", "back rest": "turned over"})
    assert np.allclose(posed["frame"], np.eye(4))
    assert posed["cot"][2][3] == 400.0
    # the design's zero lies TYRE_RADIUS above ground: z -> 2 TYRE_RADIUS - z, then 400 up
    assert posed["back rest"][2] == pytest.approx((0, 0, -1, 2 * TYRE_RADIUS + 400))
    with pytest.raises(KeyError):
        pose(trailer, {"cot": "upside down"})


def test_a_bent_tube_that_no_die_makes_is_told_with_the_wanted_radius() -> None:
    hoop = run("hoop", (0, 200, 0), (500, 200, 0), (500, -200, 0), (0, -200, 0))
    tight = replace(hoop.shape, corners=tuple(replace(c, radius=45.0) for c in hoop.shape.corners))  # type: ignore
    product, findings = resolve(design(replace(hoop, shape=tight)), die_80)
    found = only(findings, "bend-radius-has-no-die")
    assert "corners 1, 2 of hoop: radius 45 mm" in found.wrong
    assert STOCK["main"].label in found.wrong
    assert found.where == "parts.hoop.points[1]"
    assert errors(findings) == [found]
    assert product is not None
    assert product.members["hoop"].centreline.radii == (45.0, 45.0)
