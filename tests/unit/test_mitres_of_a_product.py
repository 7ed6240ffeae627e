"""The cuts of a whole product: crown lines through bends, copies, mirrored copies, plates, corners.

Expectations are closed forms, or the same cut reached another way.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from handbarrow.design.values import Joint, Target
from handbarrow.findings import Severity
from handbarrow.laws.geometry.path import Centreline, Matrix4, Vec3, layout, transformed, vec3
from handbarrow.laws.geometry.section import Section
from mitre_scenes import (
    LEFT_RIGHT,
    MAIN,
    RAIL,
    STAY,
    Given,
    cuts_of,
    h_of,
    onto,
    plate,
    product,
    run,
    shifted,
)


def test_a_post_on_a_rail_is_coped_by_the_closed_form_from_its_crown_line() -> None:
    post = run("post", STAY, [(0, 0, 0), (0, 0, 300)], crown=(1.0, 0.0, 0.0))
    cuts, findings = cuts_of(product([RAIL, post], onto("post", "start", "rail")))
    cut = cuts[("post", "start")]
    s, h = np.array(cut.wrap).T
    assert findings == []
    assert (cut.kind, cut.against, cut.against_copies, cut.checked) == ("cope", ("rail",), (1,), True)
    assert h == pytest.approx(np.sqrt(16**2 - (12.5 * np.sin(s / 12.5)) ** 2))
    assert (s[0], s[-1]) == pytest.approx((0.0, 25 * math.pi))
    assert (cut.shortest, cut.deepest) == pytest.approx((math.sqrt(16**2 - 12.5**2), 16.0))
    assert cut.angle_rad == pytest.approx(math.pi / 2)
    assert cut.bevel_depth == pytest.approx(math.sqrt(16**2 - 11**2) - math.sqrt(16**2 - 12.5**2))
    assert [len(way) for way in cut.square_cuts] == [1, 2]
    assert cuts[("post", "end")].kind == "square"
    assert cuts[("post", "end")].wrap == ()


def test_a_gap_for_the_weld_grows_what_is_met() -> None:
    post = run("post", STAY, [(0, 0, 0), (0, 0, 300)], crown=(1.0, 0.0, 0.0))
    cut = cuts_of(product([RAIL, post], onto("post", "start", "rail", gap=1.0)))[0][("post", "start")]
    s, h = np.array(cut.wrap).T
    assert h == pytest.approx(np.sqrt(17**2 - (12.5 * np.sin(s / 12.5)) ** 2))


def test_the_same_tube_drawn_the_other_way_round_has_the_same_cuts_walked_backwards() -> None:
    points: list[Vec3] = [(0, 0, 0), (60, 40, 400), (300, 200, 500)]
    far = run("far", MAIN, [(300, -400, 480), (300, 700, 520)])
    one = run("bow", STAY, points)
    crown_at_far_end = vec3(layout(Centreline(tuple(points), (80.0,))).normals[0])
    two = run("bow", STAY, points[::-1], crown=crown_at_far_end)
    first, found = cuts_of(product([RAIL, far, one], onto("bow", "start", "rail"), onto("bow", "end", "far")))
    other, _ = cuts_of(product([RAIL, far, two], onto("bow", "end", "rail"), onto("bow", "start", "far")))
    assert found == []
    for end, twin in (("start", "end"), ("end", "start")):
        assert h_of(first[("bow", end)]) == pytest.approx(h_of(other[("bow", twin)])[::-1], abs=1e-9)
    assert np.ptp(h_of(first[("bow", "end")])) > 3


def test_the_crown_line_is_carried_through_a_bend_to_the_far_wrap() -> None:
    # Up 400, bent to +y: the first bend's normal is -x, and so the crown at both ends; the rail at the far end runs
    # along x, so there the cope is deepest on the crown line, and a quarter of the girth further at its shortest.
    post = run("post", STAY, [(0, 0, 0), (0, 0, 400), (0, 400, 400)])
    far = run("far", MAIN, [(-300, 400, 400), (300, 400, 400)])
    cuts, _ = cuts_of(product([far, post], onto("post", "end", "far")))
    h = h_of(cuts[("post", "end")])
    assert (h[0], h[90], h[180]) == pytest.approx((16.0, math.sqrt(16**2 - 12.5**2), 16.0))


def test_the_wrap_runs_right_handed_about_the_run_at_both_ends() -> None:
    # A level stay along +x, crown up; its rails slant to the left. Right-handed about +x from up is to -y: there the
    # rail lies nearer the tube's middle at the far end, further off at the datum end.
    stay = run("stay", STAY, [(0, 0, 0), (400, 0, 0)])
    near = run("near", MAIN, [(-300, -300, 0), (300, 300, 0)])
    far = run("far", MAIN, [(100, -300, 0), (700, 300, 0)])
    cuts, _ = cuts_of(product([near, far, stay], onto("stay", "start", "near"), onto("stay", "end", "far")))
    start, end = h_of(cuts[("stay", "start")]), h_of(cuts[("stay", "end")])
    closed = lambda cos: (math.sqrt(16**2) + 12.5 * cos * math.sqrt(0.5)) / math.sqrt(0.5)  # noqa: E731
    assert (start[90], start[270]) == pytest.approx((closed(-1), closed(1)))
    assert (end[90], end[270]) == pytest.approx((closed(1), closed(-1)))


def test_an_end_on_a_bend_takes_the_radius_as_made() -> None:
    hoop = run("hoop", MAIN, [(-400, 0, 0), (0, 0, 0), (0, 400, 0)], radius=84.0)
    at = np.array([-84.0, 84.0, 0.0]) + 84.0 * np.array([1, -1, 0]) * math.sqrt(0.5)
    post = run(
        "post", STAY, [vec3(at), vec3(at + np.array([0, 0, 300.0]))], crown=vec3(np.array([1, -1, 0]) * math.sqrt(0.5))
    )
    cuts, findings = cuts_of(product([hoop, post], onto("post", "start", "hoop")))
    assert findings == []
    # On the crown line (outwards) the line is 12.5 outside the bend's centreline: h = sqrt(16^2 - 12.5^2).
    assert h_of(cuts[("post", "start")])[0] == pytest.approx(math.sqrt(16**2 - 12.5**2))
    # A quarter further the line is at sqrt(84^2 + 12.5^2) from the bend's axis.
    off = math.hypot(84, 12.5) - 84
    assert h_of(cuts[("post", "start")])[90] == pytest.approx(math.sqrt(16**2 - off**2))


def test_an_end_that_meets_two_members_is_cut_to_the_deeper_one() -> None:
    other = run("other", MAIN, [(0, -500, 0), (0, 500, 0)])
    post = run("post", STAY, [(0, 0, 0), (120, 90, 150)])
    both, found = cuts_of(product([RAIL, other, post], onto("post", "start", "rail", "other")))
    first, _ = cuts_of(product([RAIL, other, post], onto("post", "start", "rail")))
    second, _ = cuts_of(product([RAIL, other, post], onto("post", "start", "other")))
    cut = both[("post", "start")]
    assert found == []
    assert (cut.kind, cut.against) == ("double", ("rail", "other"))
    each = h_of(first[("post", "start")]), h_of(second[("post", "start")])
    assert h_of(cut) == pytest.approx(np.maximum(*each))
    assert (each[0] > each[1] + 1).any() and (each[1] > each[0] + 1).any()
    assert len(cut.square_cuts) == 1 and len(cut.square_cuts[0]) == 2


def test_a_corner_of_two_ends_is_a_plane_and_one_straight_cut_is_exact() -> None:
    half = math.sqrt(0.5)
    stay = run("stay", STAY, [(0, 0, 0), (300, 0, 0)])
    joint = Joint(part="stay", end="start", kind="plane", normal=(half, half, 0.0), plane_point=(0.0, 0.0, 0.0))
    cut = cuts_of(product([stay], joint))[0][("stay", "start")]
    ((saw,),) = cut.square_cuts
    assert cut.kind == "plane"
    assert (saw.greatest_gap, saw.filing_depth, saw.at) == pytest.approx((0, 0, 0), abs=1e-9)
    assert saw.angle_rad == pytest.approx(math.pi / 4)
    # Right-handed about +x from up is -y; the plane x + y = 0 reaches into the tube there.
    assert saw.direction_rad == pytest.approx(math.pi / 2)
    assert h_of(cut)[90] == pytest.approx(12.5)
    assert cut.bevel_depth == 0.0


def test_a_post_on_a_plate_is_cut_square_at_the_face_it_comes_to() -> None:
    pad = plate("pad", (0, 0, -2), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    post = run("post", STAY, [(0, 0, 40), (0, 0, 300)])
    joint = Joint(part="post", end="start", kind="plate", against=(Target(part="pad"),))
    cut = cuts_of(product([pad, post], joint, lift=40.0))[0][("post", "start")]
    assert cut.kind == "square"
    # The plate stands from z = 38 to 43 above ground: the post's working point at 40 lies 3 inside it.
    assert (cut.shortest, cut.deepest) == pytest.approx((3.0, 3.0))
    below = run("post", STAY, [(0, 0, 40), (0, 0, -300)])
    cut = cuts_of(product([pad, below], joint, lift=40.0))[0][("post", "start")]
    assert cut.deepest == pytest.approx(2.0)


def test_a_post_square_on_the_middle_of_a_square_tube_is_cut_square() -> None:
    beam = run("beam", Section(shape="square tube", height=40, width=40, wall=2), [(-500, 0, 0), (500, 0, 0)])
    post = run("post", STAY, [(0, 0, 0), (0, 0, 300)])
    cut = cuts_of(product([beam, post], onto("post", "start", "beam")))[0][("post", "start")]
    assert (cut.kind, cut.wrap, cut.shortest) == ("square", (), 20.0)


# ------------------------------------------------------------------------------------------------ copies
def slats(*others: Matrix4) -> Given:
    return run("slat", STAY, [(100, 0, 0), (100, 0, 300)], copies=others)


def test_copies_along_a_straight_rail_are_cut_alike() -> None:
    top = run("top", MAIN, [(-500, 0, 300), (500, 0, 300)])
    made = product(
        [RAIL, top, slats(shifted(50, 0, 0), shifted(100, 0, 0))],
        onto("slat", "start", "rail"),
        onto("slat", "end", "top"),
    )
    assert cuts_of(made)[1] == []


def test_a_mirrored_copy_that_meets_the_mirrored_side_of_the_same_hoop_is_cut_alike() -> None:
    hoop = run("hoop", MAIN, [(0, -200, 0), (400, -200, 0), (400, 200, 0), (0, 200, 0)], radius=90)
    stay = run("stay", STAY, [(200, -200, 0), (260, -80, 200)], copies=(LEFT_RIGHT,))
    cuts, findings = cuts_of(product([hoop, stay], onto("stay", "start", "hoop")))
    assert findings == []
    assert np.ptp(h_of(cuts[("stay", "start")])) > 5


def test_a_copy_that_lands_on_the_bend_of_a_hoop_is_not_cut_like_one_on_its_straight() -> None:
    hoop = run("hoop", MAIN, [(-500, 0, 0), (300, 0, 0), (300, 400, 0)], radius=90)
    cuts, findings = cuts_of(product([hoop, slats(shifted(50, 0, 0), shifted(150, 3.0, 0))],
                                     onto("slat", "start", "hoop")))  # fmt: skip
    assert [f.code for f in findings] == ["copies-meet-differently"]
    assert "copy 3 of slat" in findings[0].wrong and "by " in findings[0].wrong
    assert findings[0].where == "parts.slat.start"
    assert findings[0].severity is Severity.ERROR
    assert cuts[("slat", "start")].wrap


def test_a_copy_that_meets_nothing_is_told() -> None:
    findings = cuts_of(product([RAIL, slats(shifted(0, 200, 0))], onto("slat", "start", "rail")))[1]
    assert [f.code for f in findings] == ["copies-meet-differently"]
    assert "meets no copy" in findings[0].wrong


def test_a_copy_may_meet_another_copy_of_the_receiver() -> None:
    rail = run("rail", MAIN, [(-500, 0, 0), (500, 0, 0)], copies=(shifted(0, 200, 10),))
    assert cuts_of(product([rail, slats(shifted(30, 200, 10))], onto("slat", "start", "rail")))[1] == []


def test_an_end_may_meet_a_copy_that_is_not_the_first() -> None:
    rail = run("rail", MAIN, [(-500, -200, 0), (500, -200, 0)], copies=(shifted(0, 200, 0),))
    joint = onto("slat", "start", Target(part="rail", copy=2))
    cut = cuts_of(product([rail, slats()], joint))[0][("slat", "start")]
    assert cut.against_copies == (2,)
    assert cut.deepest == pytest.approx(16.0)


def test_mirrored_corners_meet_alike_and_a_shifted_one_does_not() -> None:
    half = math.sqrt(0.5)
    leg = run("leg", STAY, [(0, 0, 0), (0, 0, 300)], copies=(LEFT_RIGHT,))
    arm = run("arm", STAY, [(0, 0, 0), (300, 0, 0)], copies=(LEFT_RIGHT,))
    joint = Joint(part="leg", end="start", kind="plane", against=(Target(part="arm"),), normal=(-half, 0.0, half),
                  plane_point=(0.0, 0.0, 0.0))  # fmt: skip
    assert cuts_of(product([leg, arm], joint))[1] == []
    apart = run("arm", STAY, [(0, 0, 0), (300, 0, 0)])
    moved = run("leg", STAY, [(0, 0, 0), (0, 0, 300)], copies=(shifted(0, 0, 2.5),))
    findings = cuts_of(product([moved, apart], joint))[1]
    assert [f.code for f in findings] == ["copies-meet-differently"]
    assert "2.5 mm" in findings[0].wrong


def test_moving_the_whole_product_changes_no_cut() -> None:
    m = np.eye(4)
    a = 0.7
    m[:3, :3] = [[math.cos(a), -math.sin(a), 0], [math.sin(a), math.cos(a), 0], [0, 0, 1]]
    m[:3, 3] = (30, -20, 500)
    hoop = run("hoop", MAIN, [(-400, 0, 0), (0, 0, 0), (0, 400, 0)])
    stay = run("stay", STAY, [(-60, 0, 0), (-100, 200, 250)])
    joint = onto("stay", "start", "hoop")
    first = cuts_of(product([hoop, stay], joint))[0][("stay", "start")]
    moved = []
    for part, member in (hoop, stay):
        assert member is not None
        line = transformed(member.centreline, tuple(tuple(r) for r in m))  # type: ignore[arg-type]
        moved.append((part, replace(member, centreline=line, crown=vec3(m[:3, :3] @ member.crown))))
    second = cuts_of(product(moved, joint))[0][("stay", "start")]
    assert h_of(first) == pytest.approx(h_of(second), abs=1e-6)
    assert first.square_cuts[0][0].angle_rad == pytest.approx(second.square_cuts[0][0].angle_rad)
