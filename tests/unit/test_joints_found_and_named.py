"""What ends meet. Expectations: closed forms (computed here)."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from handbarrow.design.resolve import resolve
from handbarrow.design.values import EndSpec, Joint, Part, PlateHole, Product
from handbarrow.findings import Finding, Severity, errors
from invented import LEFT_RIGHT, codes, deg, design, die_80, meets, only, part, plate, run, shifted, target

HOOP = run("hoop", (0, 200, 0), (500, 200, 0), (500, -200, 0), (0, -200, 0))
FREE = EndSpec(kind="free")
SQUARE = EndSpec(kind="square")


def resolved(*parts: Part) -> tuple[Product, list[Finding]]:
    product, findings = resolve(design(*parts), die_80)
    assert product is not None, findings
    return product, findings


def joint_of(name: str, end: str, *parts: Part) -> Joint:
    product, findings = resolved(*parts)
    assert errors(findings) == []
    return product.joint(name, end)


def test_a_cross_tube_is_coped_round_the_legs_of_a_hoop() -> None:
    product, findings = resolved(HOOP, run("cross", (100, 200, 0), (100, -200, 0)))
    assert findings == []
    start, end = product.joint("cross", "start"), product.joint("cross", "end")
    assert (start.kind, start.against, start.stretch, start.found) == ("member", (target("hoop"),), (0,), True)
    assert (end.kind, end.stretch) == ("member", (4,))
    assert start.offset == pytest.approx((0.0,))
    assert product.joint("hoop", "start").kind == "square"
    assert product.joint("hoop", "start").against == ()


def test_an_end_on_a_bend_names_the_arc() -> None:
    # the middle of the first arc: its centre is (420, 120), 80 mm away at 45 degrees
    on_arc = (420 + 80 * math.cos(deg(45)), 120 + 80 * math.sin(deg(45)), 0.0)
    joint = joint_of("stay", "start", HOOP, run("stay", on_arc, (on_arc[0] + 300, on_arc[1] + 300, 0), end=FREE))
    assert (joint.kind, joint.stretch) == ("member", (1,))
    assert joint.offset == pytest.approx((0.0,), abs=1e-6)


def test_the_offset_is_that_of_the_axes_not_of_the_drawn_point() -> None:
    # drawn 0.8 mm beside the centreline, along the direction in which the axes pass
    joint = joint_of("post", "start", HOOP, run("post", (100, 200.8, 0), (100, 200.8, 300)))
    assert joint.offset == pytest.approx((0.8,))
    # drawn 0.8 mm short of the centreline: the axes still meet
    joint = joint_of("post", "start", HOOP, run("post", (100, 200, 0.8), (100, 200, 300)))
    assert joint.offset == pytest.approx((0.0,))


def test_a_copy_is_met_where_it_lies() -> None:
    rail = run("rail", (0, 200, 0), (900, 200, 0), copies=(LEFT_RIGHT,))
    product, findings = resolved(rail, run("cross", (100, 200, 0), (100, -200, 0)))
    assert findings == []
    assert product.joint("cross", "start").against == (target("rail"),)
    assert product.joint("cross", "end").against == (target("rail copy 2"),)


def test_two_ends_in_one_point_are_mitred_on_the_bisecting_plane() -> None:
    a, b = run("sill", (0, 0, 0), (400, 0, 0)), run("stile", (400, 0, 0), (400, 0, 300))
    product, findings = resolved(a, b)
    assert findings == []
    one, two = product.joint("sill", "end"), product.joint("stile", "start")
    assert one.kind == two.kind == "plane"
    assert one.normal == pytest.approx((-math.sqrt(0.5), 0, -math.sqrt(0.5)))
    assert two.normal == pytest.approx((math.sqrt(0.5), 0, math.sqrt(0.5)))
    assert one.plane_point == pytest.approx((400, 0, 0))
    assert one.against == (target("stile"),)


def test_halves_that_meet_in_the_middle_butt_square() -> None:
    half = run("half", (0, 200, 0), (500, 200, 0), (500, 0, 0), copies=(LEFT_RIGHT,))
    joint = joint_of("half", "end", half)
    assert (joint.kind, joint.against) == ("square", (target("half copy 2"),))


def test_halves_that_meet_at_a_peak_are_mitred_with_their_own_copy() -> None:
    half = run("rafter", (0, 300, 0), (0, 0, 300), copies=(LEFT_RIGHT,))
    joint = joint_of("rafter", "end", half)
    assert (joint.kind, joint.against) == ("plane", (target("rafter copy 2"),))
    assert joint.normal == pytest.approx((0, 1, 0))


def test_the_ends_of_a_closed_hoop_butt_square() -> None:
    ring = run("ring", (0, 200, 0), (400, 200, 0), (400, -200, 0), (-400, -200, 0), (-400, 200, 0), (0, 200, 0))
    product, findings = resolved(ring)
    assert findings == []
    for end in ("start", "end"):
        assert product.joint("ring", end).kind == "square"
        assert product.joint("ring", end).against == (target("ring"),)


def test_a_hoop_closed_at_a_corner_is_mitred_with_itself() -> None:
    ring = run("ring", (0, 0, 0), (400, 0, 0), (400, 400, 0), (0, 400, 0), (0, 0, 0))
    product, findings = resolved(ring)
    assert findings == []
    assert product.joint("ring", "start").kind == "plane"
    assert product.joint("ring", "start").normal == pytest.approx((math.sqrt(0.5), -math.sqrt(0.5), 0))
    assert product.joint("ring", "end").normal == pytest.approx((-math.sqrt(0.5), math.sqrt(0.5), 0))


def test_tubes_from_both_sides_are_coped_round_the_one_that_runs_through() -> None:
    spine = run("spine", (0, 0, 0), (900, 0, 0))
    product, findings = resolved(
        spine, run("left", (300, 0, 0), (300, 250, 0)), run("right", (300, 0, 0), (300, -250, 0))
    )
    assert findings == []
    assert {product.joint(n, "start").against for n in ("left", "right")} == {(target("spine"),)}


def test_two_tubes_that_run_into_each_other_on_a_third_are_told() -> None:
    spine = run("spine", (0, 0, 0), (900, 0, 0))
    v = (run("fore", (300, 0, 0), (500, 200, 0)), run("aft", (300, 0, 0), (450, 250, 0)))
    found = only(resolved(spine, *v)[1], "ends-run-into-each-other")
    assert found.severity is Severity.WARNING
    assert "aft and fore both end on spine" in found.wrong
    # equal tubes at an angle a to the spine either way part at r / cos(a) from its axis: 19.0 at 45, 14.3 at 20
    for a, told in ((45, ["ends-run-into-each-other"]), (20, [])):
        x, y = 400 * math.cos(deg(a)), 400 * math.sin(deg(a))
        both = (run("fore", (300, 0, 0), (300 + x, y, 0)), run("aft", (300, 0, 0), (300 - x, y, 0)))
        assert codes(resolved(spine, *both)[1]) == told


def test_a_tube_doubled_on_another_is_told_only_where_nothing_else_is_met() -> None:
    spine = run("spine", (0, 0, 0), (0, 900, 0))
    twins = (run("one", (0, 300, 0), (300, 300, 0), end=FREE), run("two", (0, 300, 0), (200, 300, 0), end=FREE))
    assert set(codes(resolved(spine, *twins)[1])) == {"ends-run-into-each-other"}
    assert codes(resolved(*twins)[1]) == ["end-lies-along-member"] * 2


def test_an_end_against_the_face_of_a_plate() -> None:
    base = plate("base", (-40, -40), (40, -40), (40, 40), (-40, 40), at=(100.0, 0.0, 0.0))
    leaning = run("post", (100 - 5 * math.tan(deg(20)), 0, 0.3), (100 + 300 * math.tan(deg(20)), 0, 305))
    joint = joint_of("post", "start", base, leaning)
    assert joint.kind == "plate"
    assert joint.normal == pytest.approx((0, 0, 1))
    assert joint.plane_point is not None
    assert joint.plane_point[2] == pytest.approx(5.0)
    from_below = joint_of("post", "start", base, run("post", (100, 0, -0.5), (100, 0, -300)))
    assert from_below.normal == pytest.approx((0, 0, -1))
    assert from_below.plane_point == pytest.approx((100, 0, 0))


def test_an_end_beside_the_plate_does_not_meet_it() -> None:
    base = plate("base", (-40, -40), (40, -40), (40, 40), (-40, 40), at=(100.0, 0.0, 0.0))
    product, findings = resolved(base, run("post", (150, 0, 5), (150, 0, 300)))
    assert product.joint("post", "start").kind == "square"
    assert codes(findings) == ["part-meets-nothing"] * 2


def test_an_end_in_a_hole_of_the_plate_stays_square() -> None:
    hole = PlateHole(at=(0.0, 0.0), diameter=27.0)
    base = plate("base", (-40, -40), (40, -40), (40, 40), (-40, 40), holes=(hole,))
    joint = joint_of("post", "start", base, run("post", (0, 0, 0), (0, 0, 300)))
    assert (joint.kind, joint.against) == ("square", (target("base"),))


def test_a_tube_that_stands_in_a_sleeve_is_cut_square() -> None:
    sleeve = run("sleeve", (0, 0, 0), (0, 0, 100), start=FREE, end=FREE)
    joint = joint_of("pole", "start", sleeve, run("pole", (0, 0, 40), (0, 0, 600), stock="light", end=FREE))
    assert (joint.kind, joint.against) == ("square", (target("sleeve"),))
    findings = resolved(sleeve, run("pole", (0, 0, 40), (0, 0, 600), end=FREE))[1]
    assert codes(findings) == ["end-lies-along-member"]


def test_a_named_joint_drawn_to_the_face_of_the_receiver() -> None:
    post = run("post", (100, 200, 13.45), (100, 200, 300), start=meets("hoop", gap=1.0))
    joint = joint_of("post", "start", HOOP, post)
    assert (joint.kind, joint.stretch, joint.gap, joint.found) == ("member", (0,), 1.0, False)
    assert joint.offset == pytest.approx((0.0,))


def test_a_named_joint_may_pass_at_an_offset() -> None:
    post = run("post", (100, 208, 0), (100, 208, 300), start=meets("hoop"))
    assert joint_of("post", "start", HOOP, post).offset == pytest.approx((8.0,))


def test_a_named_joint_on_a_bend_takes_the_offset_from_the_arc() -> None:
    # 87 mm from the arc's centre at 45 degrees, square to the plane of the bend: 7 mm outside the centreline
    x, y = 420 + 87 * math.cos(deg(45)), 120 + 87 * math.sin(deg(45))
    post = run("post", (x, y, 0), (x, y, 300), start=meets("hoop"))
    joint = joint_of("post", "start", HOOP, post)
    assert joint.stretch == (1,)
    assert joint.offset == pytest.approx((7.0,), abs=1e-6)


def test_an_end_named_against_two_members() -> None:
    spine, rib = run("spine", (0, 0, 0), (900, 0, 0)), run("rib", (300, 0, 0), (300, 250, 0))
    strut = run("strut", (300, 0, 0), (500, 200, 0), start=meets("spine", "rib"))
    joint = joint_of("strut", "start", spine, rib, strut)
    assert joint.kind == "member"
    assert joint.against == (target("spine"), target("rib"))
    assert joint.stretch == (0, 0)


def test_an_end_named_against_a_member_and_a_plate_keeps_the_plates_face() -> None:
    base = plate("base", (-40, -40), (40, -40), (40, 40), (-40, 40))
    rail = run("rail", (-200, 0, 18.45), (200, 0, 18.45), on="base")
    strut = run("strut", (0, 0, 18.45), (0, 200, 218.45), start=meets("rail", "base"))
    joint = joint_of("strut", "start", base, rail, strut)
    assert (joint.kind, joint.stretch) == ("member", (0, -1))
    assert joint.normal == pytest.approx((0, 0, 1))


def test_an_angled_cut_has_its_normal_turned_into_the_run() -> None:
    cut = EndSpec(kind="angled", normal=(2.0, 0.0, 2.0))
    joint = joint_of("rail", "end", run("rail", (0, 0, 0), (300, 0, 0), end=cut))
    assert joint.kind == "plane"
    assert joint.normal == pytest.approx((-math.sqrt(0.5), 0, -math.sqrt(0.5)))
    assert joint.plane_point == pytest.approx((300, 0, 0))


def test_an_end_that_is_cut_square_is_no_partner_for_a_mitre() -> None:
    a, b = run("sill", (0, 0, 0), (400, 0, 0), end=SQUARE), run("stile", (400, 0, 0), (400, 0, 300))
    product, _ = resolved(a, b)
    assert product.joint("sill", "end").kind == "square"
    assert product.joint("stile", "start").kind == "member"


@pytest.mark.parametrize(
    ("points", "text"),
    [
        (((107, 210, 7), (107, 400, 300)), "passes the centreline of hoop at 12.2 mm"),
        (((-7, 200, 0), (-300, 200, 0)), "the ends of stub and hoop pass 7 mm apart"),
        (((100, 200, 38), (100, 200, 300)), "at 38 mm"),
    ],
)
def test_an_end_that_nearly_meets_is_told_with_the_distance(
    points: tuple[tuple[float, float, float], tuple[float, float, float]], text: str
) -> None:
    _, findings = resolved(HOOP, run("stub", *points, on="other"), run("other", (0, 900, 0), (9, 900, 0)))
    found = next(f for f in findings if f.code == "joint-missed" and f.where == "parts.stub.start")
    assert text in found.wrong
    assert found.severity is Severity.ERROR


def test_an_end_well_clear_is_left_alone_and_so_is_one_that_says_free() -> None:
    # half of 26.9 + half of 26.9 + 12 = 38.9
    clear = run("stub", (100, 200, 39), (100, 200, 300))
    assert "joint-missed" not in codes(resolved(HOOP, clear)[1])
    free = run("stub", (100, 200, 20), (100, 200, 300), start=FREE)
    assert "joint-missed" not in codes(resolved(HOOP, free)[1])


def test_an_end_beside_a_tube_that_comes_to_it_has_not_missed() -> None:
    # the brace comes to the post 25 mm below its top; the post's top passes the brace's axis at less than 38.9 mm
    post, brace = run("post", (0, 0, 0), (0, 0, 300)), run("brace", (0, 0, 275), (0, 300, 0))
    assert resolved(post, brace)[1] == []


def test_an_end_that_stops_before_a_plate_is_told() -> None:
    base = plate("base", (-40, -40), (40, -40), (40, 40), (-40, 40))
    found = only(resolved(base, run("post", (0, 0, 12), (0, 0, 300)))[1], "joint-missed")
    assert "stops 7 mm before the face of base" in found.wrong


def test_a_point_on_two_members_is_ambiguous_and_naming_one_settles_it() -> None:
    two = (run("sill", (0, 0, 0), (400, 0, 0)), run("stile", (200, 0, -200), (200, 0, 200)))
    post = run("post", (200, 0, 0), (200, 300, 0))
    found = only(resolved(*two, post)[1], "joint-is-ambiguous")
    assert "lies on sill and stile" in found.wrong
    assert "{meets: [sill, stile]}" in found.fix
    named = replace(post, shape=replace(post.shape, start=meets("stile")))  # type: ignore[arg-type]
    product, findings = resolved(*two, named)
    assert errors(findings) == []
    assert product.joint("post", "start").against == (target("stile"),)


def test_a_named_member_out_of_reach_is_told_with_the_copy_that_is_near() -> None:
    rail = run("rail", (0, 200, 0), (900, 200, 0), copies=(shifted(0, -400, 0),))
    cross = run("cross", (100, 200, 0), (100, -200, 0), end=meets("rail"))
    found = only(resolved(rail, cross)[1], "joint-cannot-meet")
    assert "passes rail at 400 mm" in found.wrong
    assert "{meets: rail copy 2}" in found.fix


def test_a_square_tube_member_can_be_met() -> None:
    bow = run("bow", (0, 200, 0), (500, 200, 0), stock="bow")
    joint = joint_of("post", "start", bow, run("post", (100, 200, 0), (100, 200, 300), stock="bow"))
    assert (joint.kind, joint.against) == ("member", (target("bow"),))


def test_mirroring_a_part_onto_itself_is_told() -> None:
    cross = run("cross", (100, 200, 0), (100, -200, 0), copies=(LEFT_RIGHT,))
    assert "copies 1 and 2 of cross" in only(resolved(HOOP, cross)[1], "copies-in-one-place").wrong


def test_what_is_on_something_touches_it() -> None:
    lug = plate("lug", (-20, 0), (20, 0), (20, 40), (-20, 40), at=(100.0, 213.0, 0.0), on="hoop")
    assert resolved(HOOP, lug)[1] == []
    # its edge y = 0 lies at 218: 218 - 213.45 = 4.55
    off = part("lug", replace(lug.shape, at=(100.0, 218.0, -2.5)), (), "hoop")  # type: ignore[type-var]
    found = only(resolved(HOOP, off)[1], "part-does-not-touch")
    assert "4.5 mm apart" in found.wrong or "4.6 mm apart" in found.wrong


def test_tubes_side_by_side_touch_where_their_outsides_do() -> None:
    for gap, expected in ((0.5, []), (3.0, ["part-does-not-touch"])):
        beside = run("rail", (50, 200 + 26.9 + gap, 0), (350, 200 + 26.9 + gap, 0), start=FREE, end=FREE, on="hoop")
        assert codes(resolved(HOOP, beside)[1]) == expected


def test_an_angle_touches_with_its_leg() -> None:
    # heel 40 mm above the tube's centreline, a leg of 30 mm down: 40 - 30 - 13.45 < 0, touching; at 46 mm 2.55 apart
    for z, expected in ((40.0, []), (46.0, ["part-does-not-touch"])):
        seat = run(
            "seat", (50, 200, z), (150, 200, z), stock="angle", face=(0, 0, -1.0), start=FREE, end=FREE, on="hoop"
        )
        assert codes(resolved(HOOP, seat)[1]) == expected


def test_a_part_that_meets_nothing_is_told() -> None:
    findings = resolved(HOOP, run("lost", (0, 0, 900), (300, 0, 900)))[1]
    assert codes(findings) == ["part-meets-nothing"] * 2
    assert {f.where for f in findings} == {"parts.hoop", "parts.lost"}
    assert {f.severity for f in findings} == {Severity.WARNING}
