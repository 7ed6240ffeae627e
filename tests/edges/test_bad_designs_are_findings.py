"""Designs that make no sense are told, never a traceback."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from handbarrow.design.resolve import resolve
from handbarrow.design.values import (
    Assembly,
    Bought,
    EndSpec,
    Part,
    Position,
    Result,
    ResultPoint,
    Run,
    Step,
    StepsRoute,
)
from handbarrow.findings import Severity, errors
from invented import STOCK, codes, deg, design, die_80, height, meets, only, part, plate, run, target, wheel

HOOP = run("hoop", (0, 200, 0), (500, 200, 0), (500, -200, 0), (0, -200, 0))
UP = (0.0, 0.0, 1.0)


def steps(*rows: tuple[str, float]) -> Part:
    """A run by steps from the origin, forward, first bend to the left."""
    made = tuple(Step(kind=kind, value=value) for kind, value in rows)  # type: ignore[arg-type]
    route = StepsRoute(origin=(0.0, 0.0, 0.0), heading=(1.0, 0.0, 0.0), normal=UP, steps=made, half_outside=13.45)
    return part("tube", Run(stock="main", route=route), (), ())


@pytest.mark.parametrize("count", [0, 1])
def test_a_run_of_less_than_two_points(count: int) -> None:
    product, findings = resolve(design(run("stub", *[(0.0, 0.0, 0.0)] * count)), die_80)
    assert product is None
    assert codes(findings) == ["run-without-length"]


def test_points_that_coincide_are_told_and_the_rest_is_still_checked() -> None:
    bad = run("stub", (0, 0, 0), (0, 0, 0), (100, 0, 0))
    cross = run("cross", (100, 200, 7), (100, -200, 7))
    product, findings = resolve(design(bad, HOOP, cross), die_80)
    assert product is None
    assert only(findings, "points-coincide").where == "parts.stub.points[1]"
    assert codes(findings).count("joint-missed") == 2


def test_a_run_that_goes_back_the_way_it_came() -> None:
    product, findings = resolve(design(run("stub", (0, 0, 0), (100, 0, 0), (50, 0, 0))), die_80)
    assert product is None
    assert "at point 1" in only(findings, "corner-doubles-back").wrong


def test_bends_without_room_are_told_with_the_lack() -> None:
    # two right angles of 80 need 160 between the corners
    product, findings = resolve(design(run("u", (0, 0, 0), (300, 0, 0), (300, 150, 0), (0, 150, 0))), die_80)
    found = only(findings, "bend-without-room")
    assert "from point 1 to point 2 of u is 10 mm too short for the bends at 1 and 2" in found.wrong
    assert found.where == "parts.u.points[2]"
    assert product is not None, "the rest can still be looked at"


def test_a_point_in_line_is_a_note_and_no_bend() -> None:
    product, findings = resolve(design(run("rail", (0, 0, 0), (300, 0, 0), (600, 0, 0), (600, 300, 0))), die_80)
    assert product is not None
    assert product.members["rail"].centreline.radii == (80.0,)
    assert only(findings, "corner-in-line").severity is Severity.NOTE


def test_steps_are_resolved_with_the_radius_as_made() -> None:
    # straights lie between tangent points: the corner is 200 + 80 from the start
    product, findings = resolve(design(steps(("straight", 200), ("bend", deg(90)), ("straight", 100))), die_80)
    assert findings == []
    assert product is not None
    assert product.members["tube"].centreline.points[1] == pytest.approx((280, 0, 0))
    assert product.members["tube"].centreline.points[2] == pytest.approx((280, 180, 0))


def test_a_step_that_bends_back_on_itself() -> None:
    product, findings = resolve(design(steps(("straight", 200), ("bend", math.pi), ("straight", 100))), die_80)
    assert product is None
    assert only(findings, "corner-doubles-back").where == "parts.tube.steps[1]"


def test_a_step_without_room_names_the_leg() -> None:
    legs = (("straight", 200.0), ("bend", deg(90)), ("to centreline", 100.0), ("bend", deg(90)), ("straight", 100.0))
    _, findings = resolve(design(steps(*legs)), die_80)
    found = only(findings, "bend-without-room")
    assert "60 mm too short" in found.wrong
    assert found.where == "parts.tube.steps[2]"


def test_no_die_at_all() -> None:
    product, findings = resolve(design(HOOP), lambda *_: None)
    assert product is not None
    assert product.members["hoop"].centreline.radii == pytest.approx((3 * 26.9,) * 2)
    assert "no radius is wanted" in only(findings, "bend-radius-has-no-die").wrong


def test_a_face_along_the_run() -> None:
    rail = run("rail", (0, 0, 0), (300, 0, 0), stock="angle", face=(1.0, 0.0, 0.0))
    product, findings = resolve(design(rail), die_80)
    assert codes(findings) == ["face-along-run"]
    assert product is not None
    assert product.members["rail"].crown == pytest.approx(UP)


def test_a_square_tube_bent_over_its_corner() -> None:
    tilted = (0.0, 1.0, 2.0)
    _, findings = resolve(design(run("bow", *(c.at for c in HOOP.shape.corners), stock="bow", face=tilted)), die_80)  # type: ignore
    assert "26.6 degrees out" in only(findings, "face-against-bends").wrong


def test_a_square_tube_bent_in_planes_that_are_not_square_to_each_other() -> None:
    skew = run("bow", (0, 0, 0), (400, 0, 0), (400, 400, 0), (400 + 300, 800, 300), stock="bow")
    _, findings = resolve(design(skew), die_80)
    assert codes(findings) == ["face-against-bends"]


def test_a_face_on_a_bent_round_tube_is_a_note() -> None:
    bent = run("hoop", *(c.at for c in HOOP.shape.corners), face=(0.0, 1.0, 1.0))  # type: ignore[union-attr]
    _, findings = resolve(design(bent), die_80)
    assert only(findings, "face-not-used").severity is Severity.NOTE


def test_unknown_names_are_told_with_the_nearest() -> None:
    cross = run("cross", (100, 200, 0), (100, -200, 0), start=meets("hop"), on=["hoops", "hoop copy 2"])
    results = [
        height("up", "crosss", "end"),
        Result(name="long", kind="length", part="hop"),
        height("corner", "hoop", "corner 4"),
        height("centre", "cross", "beside"),
    ]
    product, findings = resolve(design(HOOP, cross, results=results), die_80)
    assert product is not None
    assert product.results == {}
    told = [(f.code, f.where) for f in findings]
    assert told.count(("unknown-part", "parts.cross.start.meets")) == 1
    assert ("unknown-part", "parts.cross.on") in told
    assert ("unknown-copy", "parts.cross.on") in told
    assert ("unknown-part", "results.up") in told
    assert ("unknown-part", "results.long") in told
    assert told.count(("no-such-point", "results.corner")) == 1
    assert ("no-such-point", "results.centre") in told
    assert all("`hoop`" in f.fix + f.expected for f in findings if "hop" in f.wrong.split("`")[1:2])


def test_a_length_of_a_plate_and_a_centre_of_a_part_without_a_place() -> None:
    bolt = part("bolt", Bought(item="Hex bolt M10"), (), "lug")
    lug = plate("lug", (0, 0), (40, 0), (40, 40), (0, 40), on="bolt")
    results = [Result(name="long", kind="length", part="lug"), height("up", "bolt", "centre")]
    product, findings = resolve(design(lug, bolt, results=results), die_80)
    assert product is not None
    assert codes(findings) == ["no-such-point"] * 2


def test_the_centre_of_a_plate_lies_in_the_middle_of_its_thickness() -> None:
    lug = plate("lug", (0, 0), (40, 0), (40, 40), (0, 40), at=(0.0, 0.0, 10.0))
    point = (ResultPoint(target=target("lug"), at="centre"),)
    product, _ = resolve(design(lug, results=[Result(name="up", kind="height", points=point)]), die_80)
    assert product is not None
    assert product.results["up"] == pytest.approx(12.5)


@pytest.mark.parametrize(
    ("spec", "code"),
    [
        (EndSpec(kind="angled", normal=UP), "cut-along-run"),
        (EndSpec(kind="angled", normal=(0.0, 0.0, 0.0)), "cut-along-run"),
        (meets("cross"), "joint-cannot-meet"),
        (meets("wheel"), "joint-cannot-meet"),
        (meets("far"), "joint-cannot-meet"),
        (meets("lug"), "joint-cannot-meet"),
        (meets("beside"), "end-lies-along-member"),
    ],
)
def test_ends_that_cannot_be_cut_so(spec: EndSpec, code: str) -> None:
    parts = (
        run("cross", (100, 200, 0), (100, -200, 0), start=spec),
        HOOP,
        wheel("wheel", (0, 0, 0)),
        run("far", (-900, 0, 0), (-900, 0, 300)),
        plate("lug", (0, 0), (40, 0), (40, 40), (0, 40), at=(800.0, 0.0, 0.0), facing=(0.0, 1.0, 0.0)),
        run("beside", (105, 300, 0), (105, 0, 0)),
    )
    product, findings = resolve(design(*parts), die_80)
    assert code in codes(f for f in errors(findings) if f.where == "parts.cross.start")
    assert product is not None
    assert product.joint("cross", "start").kind == "square"


def test_stock_of_the_wrong_kind() -> None:
    rail = run("rail", (0, 0, 0), (300, 0, 0), stock="gusset")
    lug = plate("lug", (0, 0), (40, 0), (40, 40), on="rail")
    wrong = part("lug", replace(lug.shape, stock="main"), (), "rail")  # type: ignore[type-var]
    product, findings = resolve(design(rail, wrong), die_80)
    assert product is None
    assert codes(findings).count("stock-of-wrong-kind") == 2
    assert STOCK["main"].thickness is None


def test_assemblies_that_carry_themselves_and_positions_that_stretch() -> None:
    stretch = ((2.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
    ring = [
        Assembly(name="cot", within="hood"),
        Assembly(name="hood", within="cot", positions=(Position(name="up", transform=stretch),)),
        Assembly(name="frame", within="trailer"),
    ]
    _, findings = resolve(design(HOOP, assemblies=ring), die_80)
    assert codes(findings).count("assembly-within") == 3
    assert only(findings, "position-not-rigid").where == "assemblies.hood.positions.up"


def test_a_bought_part_far_from_what_it_is_on() -> None:
    hook = part("hook", Bought(item="Hook", at=(0.0, 900.0, 0.0)), (), "hoop")
    _, findings = resolve(design(HOOP, hook), die_80)
    assert "its place lies 686.5 mm away" in only(findings, "part-does-not-touch").wrong  # 900 - 200 - 13.45, rounded


def test_an_empty_design() -> None:
    product, findings = resolve(design(), die_80)
    assert product is not None
    assert findings == []
