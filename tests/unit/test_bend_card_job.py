"""Cards, dies, check sizes, seams, stops and hands for parts of a small shop. Closed forms unless said otherwise."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from handbarrow.design.values import Corner, Member, Part, Run, StockRole
from handbarrow.findings import Finding, Severity
from handbarrow.job.bends import bend_card, choose_die, is_other_hand, radius_rule, stop_list
from handbarrow.job.dies import why_no_die
from handbarrow.job.hands import Drilled
from handbarrow.job.values import BendCard, BendRow, CheckSize, EndCut, JobHole, Seam
from handbarrow.laws.bending.seam import seam_place
from handbarrow.laws.geometry.path import Centreline, Steps, Vec3, crown_by_rule, from_steps, layout, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Bender, Box, Die, SetAngleLaw, StockItem, Workshop

TUBE = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
BOW = Section(shape="square tube", height=15, width=15, wall=1.5)
LABEL, BOW_LABEL = "tube 26.9x2.3", "square tube 15x1.5"
LAW = SetAngleLaw(a=0.984, b_rad=math.radians(0.6), test_bends=6)
D27 = Die(
    name="D27", stock=LABEL, radius=80, law=LAW, stretch_per_rad=0.57, reference_offset=14, straight_before=55,
    straight_after=60, largest_angle_rad=math.radians(120),
)  # fmt: skip
WIDE = replace(D27, name="D27 wide", radius=150.0, largest_angle_rad=math.radians(180))
VICE = Die(name="F15", stock=BOW_LABEL, radius=60, tool="vice", straight_before=40, straight_after=40)
SHOP = Workshop(
    name="ridge", digest="", currency="EUR", stock={LABEL: StockItem(label=LABEL, yield_mpa=290)},
    dies=(WIDE, D27, VICE),
)  # fmt: skip
SQUARE = EndCut(kind="square")


def member(
    points: list[Vec3], radius: float | None = None, section: Section = TUBE, shop: Workshop = SHOP
) -> tuple[Member, str]:
    """A run as the product holds it: radii as made by the shop."""
    label = section.designation
    corners = tuple(Corner(at=p, radius=radius) for p in points)
    bare = layout(Centreline(tuple(points), (0.0,) * (len(points) - 2)))
    made = [choose_die(shop, label, section, float(a), radius) for a in bare.angles]
    line = Centreline(tuple(points), tuple(c.radius if c else 100.0 for c in made))
    crown = vec3(layout(line).normals[0]) if len(points) > 2 else crown_by_rule(vec3(bare.directions[0]))
    part = Part(id="hoop", title="hoop", shape=Run(stock="main", corners=corners), assembly="frame", copies=())
    return Member(part=part, section=section, centreline=line, crown=crown), label


U_POINTS: list[Vec3] = [(0, 300, 0), (900, 300, 0), (900, -300, 0), (0, -300, 0)]


def card_of(
    points: list[Vec3], shop: Workshop = SHOP, ends: tuple[EndCut, EndCut] = (SQUARE, SQUARE), **more: object
) -> tuple[BendCard | None, list[Finding]]:
    run, label = member(points, shop=shop, **more)  # type: ignore[arg-type]
    return bend_card(run, label, shop, ends)


def good(found: tuple[BendCard | None, list[Finding]]) -> BendCard:
    card, findings = found
    assert findings == []
    assert card is not None
    return card


def size(card: BendCard, name: str) -> CheckSize:
    return next(c for c in card.check_sizes if c.id == name)


# ------------------------------------------------------------------------------------------------ dies
def test_smallest_die_is_taken_where_no_radius_is_wanted() -> None:
    chosen = choose_die(SHOP, LABEL, TUBE, math.pi / 2, None)
    assert chosen is not None
    assert chosen.die is D27
    assert chosen.radius == pytest.approx(80 * (90 + 0.6) / 0.984 / 90)
    assert chosen.set_angle_rad == pytest.approx(math.radians((90 + 0.6) / 0.984))


def test_a_bend_too_far_round_for_the_small_die_goes_to_the_next() -> None:
    chosen = choose_die(SHOP, LABEL, TUBE, math.radians(135), None)
    assert chosen is not None
    assert chosen.die is WIDE


@pytest.mark.parametrize(("wanted", "name"), [(80, "D27"), (85, "D27"), (155, "D27 wide"), (77, None), (110, None)])
def test_a_wanted_radius_is_met_within_five_percent_as_made(wanted: float, name: str | None) -> None:
    chosen = choose_die(SHOP, LABEL, TUBE, math.pi / 2, wanted)
    assert (chosen.die.name if chosen else None) == name
    rule = radius_rule(SHOP)
    role = StockRole(role="main", label=LABEL, section=TUBE)
    assert rule(role, math.pi / 2, wanted) == (chosen.radius if chosen else None)


def test_a_die_without_test_bends_works_by_a_guess_that_says_so() -> None:
    chosen = choose_die(SHOP, BOW_LABEL, BOW, math.pi / 2, None)
    assert chosen is not None
    assert chosen.law.is_guess
    assert 0.9 < chosen.law.a < 1
    assert radius_rule(SHOP)(StockRole(role="plate", label="plate 5", thickness=5), 1.0, None) is None


@pytest.mark.parametrize(
    ("label", "section", "angle_deg", "wanted", "code"),
    [
        ("tube 30x2", Section(shape="round tube", height=30, width=30, wall=2), 90, None, "bend-radius-has-no-die"),
        (LABEL, TUBE, 90, 45, "bend-radius-has-no-die"),
        (LABEL, TUBE, 181, None, "bend-angle-too-large"),
        ("angle 30x30x3", Section(shape="angle", height=30, width=30, wall=3), 90, None, "die-needs-test-bends"),
        ("bar 2", Section(shape="round bar", height=2, width=2), 90, None, "die-needs-test-bends"),
    ],
)
def test_what_the_shop_cannot_bend_is_named(
    label: str, section: Section, angle_deg: float, wanted: float | None, code: str
) -> None:
    more = (Die(name="A", stock="angle 30x30x3", radius=200), Die(name="B", stock="bar 2", radius=5000))
    shop = replace(SHOP, dies=SHOP.dies + more)
    assert choose_die(shop, label, section, math.radians(angle_deg), wanted) is None
    assert why_no_die("parts.x", shop, label, section, (math.radians(angle_deg), wanted)).code == code


# ------------------------------------------------------------------------------------------------ cards
def test_card_of_a_u_hoop_by_hand() -> None:
    # computed here: R_f = 80 x 92.0732 / 90 = 81.8428, used = R_f pi/2 - 0.57 pi/2, straight 900 - R_f - 4
    card = good(card_of(U_POINTS, ends=(replace(SQUARE, shortest=4.0), SQUARE)))
    radius = 80 * (90.6 / 0.984) / 90
    used = (radius - 0.57) * math.pi / 2
    first = 900 - radius - 4
    assert card.rows[0].mark == pytest.approx(first - 14)
    assert card.rows[1].mark == pytest.approx(first - 14 + used + 600 - 2 * radius)
    assert [r.uses for r in card.rows] == pytest.approx([used, used])
    assert [r.bender_turn_rad for r in card.rows] == [0.0, 0.0]
    assert card.datum_shift == 4.0
    assert card.planar
    assert [(r.number, r.feed) for r in card.in_order] == [(2, "start"), (1, "start")]
    assert [r.stop_touches for r in card.rows] == ["end", "end"]
    assert [r.stop for r in card.rows] == [r.mark for r in card.rows]


def test_a_stop_against_the_leg_stands_where_the_leg_is() -> None:
    shop = replace(SHOP, bender=Bender(stop="leg"))
    card = good(card_of(U_POINTS, shop))
    radius = card.rows[0].radius
    assert card.rows[1].stop_touches == "leg"
    # reference line to the outside of the leg: the finished width over the tubes is 626.9 mm
    assert card.rows[1].stop == pytest.approx(626.9 - 26.9 / 2 - radius - 14)


def test_a_stop_beyond_the_longest_is_set_to_the_mark() -> None:
    shop = replace(SHOP, bender=Bender(stop="end", longest_stop=200.0))
    card = good(card_of([(0, 0, 0), (900, 0, 0), (900, 600, 0)], shop))
    assert card.rows[0].stop is None
    assert card.rows[0].stop_touches == "none"


def test_turn_in_the_bender_is_against_the_turn_along_the_tube_when_fed_from_the_start() -> None:
    # The next bend's normal lies 90 degrees on, seen along the tube: the tube is turned back by 90 to bring it up.
    points: list[Vec3] = [(0, 0, 0), (400, 0, 0), (400, 400, 0), (400, 400, 400)]
    card = good(card_of(points, replace(SHOP, bender=Bender(stop="leg"))))
    assert [(r.number, r.feed) for r in card.in_order] == [(1, "start"), (2, "start")]
    turn = layout(member(points)[0].centreline).turns[1]
    assert card.rows[1].turn_rad == pytest.approx(turn)
    assert card.rows[1].bender_turn_rad == pytest.approx(-turn)
    assert card.rows[0].crown_rad == pytest.approx(0.0)


def test_square_bows_are_bent_in_the_vice_by_their_marks() -> None:
    card = good(card_of([(0, 200, 0), (0, 200, 500), (0, -200, 500), (0, -200, 0)], section=BOW))
    assert {r.stop_touches for r in card.rows} == {"none"}
    assert card.rows[0].law.is_guess


def test_cards_name_what_cannot_be_bent() -> None:
    near: list[Vec3] = [(0, 0, 0), (300, 0, 0), (300, 190, 0), (700, 190, 0)]
    _, findings = card_of(near)
    assert [(f.code, f.where) for f in findings] == [("bend-cannot-be-clamped", "parts.hoop.points[2]")]
    assert f"{55 - (190 - 2 * 80 * (90.6 / 0.984) / 90):.1f} mm are lacking" in findings[0].wrong
    _, findings = card_of([(0, 0, 0), (300, 0, 0), (300, 150, 0), (700, 150, 0)])
    assert [f.code for f in findings] == ["bend-without-room"]
    assert "-13.7 mm" in findings[0].wrong
    _, findings = card_of([(0, 0, 0), (80, 0, 0), (80, 400, 0)])
    assert "between the start and bend 1" in findings[0].wrong
    bow: list[Vec3] = [(0, 0, 0), (300, 0, 0), (300, 300, 0), (300, 500, 200)]
    _, findings = card_of(bow, section=BOW)
    assert [f.code for f in findings] == []
    slanted: list[Vec3] = [(0, 0, 0), (300, 0, 0), (300, 300, 0), (500, 300, 200)]
    _, findings = card_of(slanted, section=BOW)
    assert [f.code for f in findings] == ["bend-not-about-section-axis"]


def test_a_leg_in_the_wall_is_a_finding_with_the_box_by_name() -> None:
    wall = Box(name="wall", low=(-2000, 100, -2000), high=(2000, 300, 2000))
    _, findings = card_of(U_POINTS, replace(SHOP, bender=Bender(obstacles=(wall,), clearance=10)))
    assert [f.code for f in findings] == ["bend-hits-obstacle"]
    assert "wall" in findings[0].wrong
    assert findings[0].severity is Severity.ERROR


# ------------------------------------------------------------------------------------------------ check sizes
def test_check_sizes_of_a_u_hoop() -> None:
    # closed form: corners 900 x 600, tube 26.9
    card = good(card_of(U_POINTS))
    assert size(card, "leg-1").value == pytest.approx(900 + 13.45)
    assert size(card, "leg-2").value == pytest.approx(600 + 26.9)
    assert size(card, "width-start").value == pytest.approx(600 + 26.9)
    assert size(card, "width-end").value == pytest.approx(600 + 26.9)
    radius = card.rows[0].radius
    diagonal = math.hypot(900 - radius, 600 - radius) + radius + 13.45
    assert [size(card, f"diagonal-{k}").value for k in (1, 2)] == pytest.approx([diagonal, diagonal])
    assert size(card, "flatness").plus == 3.0
    assert size(card, "angle-1").value == pytest.approx(math.pi / 2)
    # common practice, no source: a workshop tolerance of 3 mm on bent parts
    assert (size(card, "leg-1").minus, size(card, "leg-1").plus) == (3.0, 3.0)


def test_sizes_are_measured_between_the_points_that_are_drawn() -> None:
    card = good(card_of(U_POINTS, ends=(replace(SQUARE, shortest=12.0), SQUARE)))
    for check in card.check_sizes:
        if check.from_point is not None and check.to_point is not None:
            assert math.dist(check.from_point, check.to_point) == pytest.approx(check.value)
    assert size(card, "leg-1").value == pytest.approx(900 - 12 + 13.45)


def test_a_part_in_two_planes_is_checked_by_how_far_its_end_stands_off_the_bench() -> None:
    card = good(card_of([(0, 0, 0), (400, 0, 0), (400, 400, 0), (400, 400, 350)]))
    assert not card.planar
    assert size(card, "stand-off").value == pytest.approx(350)
    assert size(card, "ends").value == pytest.approx(math.hypot(400, 400, 350))
    assert all(c.id != "flatness" for c in card.check_sizes)


def test_a_shallow_bend_is_checked_by_the_offset_of_its_end() -> None:
    card = good(card_of([(0, 0, 0), (400, 0, 0), (800, 100, 0)]))
    assert size(card, "offset").value == pytest.approx(100)
    assert all(not c.id.startswith("leg") for c in card.check_sizes)


# ------------------------------------------------------------------------------------------------ seam
def test_the_seam_of_a_plane_part_lies_on_the_crown_line() -> None:
    card = good(card_of(U_POINTS))
    assert card.seam == Seam(from_crown_rad=0.0, clear=True)


def test_where_two_planes_forbid_a_neutral_seam_one_bend_gets_it_inside() -> None:
    place = seam_place([0.0, math.pi / 2], [0.2, 0.2])
    assert len(place.taken_by) == 1
    assert place.side == "inside"
    # the inside of a bend lies a quarter turn back from its normal
    k = place.taken_by[0]
    assert math.sin(place.from_crown_rad - [0.0, math.pi / 2][k]) < -math.sin(math.radians(30))


def test_small_turns_leave_the_seam_near_neutral_in_both_bends() -> None:
    place = seam_place([0.0, math.radians(50)], [0.2, 0.2])
    assert place.taken_by == ()
    assert math.degrees(place.from_crown_rad) == pytest.approx(25)


# ------------------------------------------------------------------------------------------------ stops
def row(number: int, order: int, stop: float | None, die: str = "D27") -> BendRow:
    return BendRow(
        number=number, order=order, feed="start", mark=100.0, angle_rad=1.5, set_angle_rad=1.6, turn_rad=0.0,
        bender_turn_rad=0.0, die=die, die_radius=80.0, law=LAW, radius=82.0, uses=128.0, reference_offset=14.0,
        stop_end=stop, stop_leg=None, stop=stop, stop_touches="none" if stop is None else "end",
    )  # fmt: skip


def rows_card(part: str, *stops: float | None) -> BendCard:
    return BendCard(
        part=part, rows=tuple(row(i, i, s) for i, s in enumerate(stops, start=1)), straights=(), datum_shift=0.0,
        seam=Seam(from_crown_rad=0.0, clear=True), check_sizes=(), planar=True,
    )  # fmt: skip


def test_settings_within_half_a_millimetre_become_one_in_the_middle() -> None:
    cards = {"a": rows_card("a", 300.0), "b": rows_card("b", 300.4), "c": rows_card("c", 300.7)}
    found = stop_list(cards, {"a": 8, "b": 8, "c": 16}, SHOP)
    assert [(s.value, len(s.uses)) for s in found] == [(pytest.approx(300.2), 2), (pytest.approx(300.7), 1)]
    assert found[0].uses == (("a", 1, 8), ("b", 1, 8))


def test_settings_follow_the_order_in_which_each_part_is_bent() -> None:
    found = stop_list({"a": rows_card("a", 500.0, 200.0), "b": rows_card("b", 200.0)}, {"a": 4, "b": 4}, SHOP)
    assert [s.value for s in found] == [500.0, 200.0]
    assert found[1].uses == (("a", 2, 4), ("b", 1, 4))


def test_parts_that_ask_for_opposite_orders_make_one_setting_twice() -> None:
    found = stop_list({"a": rows_card("a", 500.0, 200.0), "b": rows_card("b", 200.0, 500.0)}, {"a": 4, "b": 4}, SHOP)
    assert len(found) == 3
    assert sorted(use[:2] for s in found for use in s.uses) == [("a", 1), ("a", 2), ("b", 1), ("b", 2)]


def test_bends_set_to_the_mark_and_parts_not_made_are_not_in_the_list() -> None:
    assert stop_list({"a": rows_card("a", None, 200.0), "b": rows_card("b", 90.0)}, {"a": 4, "b": 0}, SHOP)[0].uses == (
        ("a", 2, 4),
    )


# ------------------------------------------------------------------------------------------------ hands
def twisted(turn_deg: float, straights: tuple[float, ...] = (200.0, 150.0, 200.0)) -> Centreline:
    steps = Steps(straights, (1.2, 1.2), (0.0, math.radians(turn_deg)), (80.0, 80.0))
    return from_steps((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), steps)


def wrap(depth: list[float]) -> EndCut:
    """A cut given by its depth at equal steps from the crown line."""
    girth = math.pi * 26.9
    table = tuple((girth * i / len(depth), depth[i % len(depth)]) for i in range(len(depth) + 1))
    return EndCut(kind="cope", wrap=table, shortest=min(depth), deepest=max(depth))


STATIONS = np.arange(72) * 2 * math.pi / 72


def slanted_towards(direction_deg: float) -> EndCut:
    return wrap((10 - 5 * np.cos(STATIONS - math.radians(direction_deg))).tolist())


def test_plane_part_with_square_ends_is_its_own_mirror_image() -> None:
    assert not is_other_hand(twisted(0), SQUARE, SQUARE)
    assert not is_other_hand(twisted(180), SQUARE, SQUARE)


def test_part_in_two_planes_has_another_hand() -> None:
    assert is_other_hand(twisted(90), SQUARE, SQUARE)
    assert is_other_hand(twisted(30), SQUARE, SQUARE)


def test_cut_across_the_plane_of_the_bend_has_no_hand_and_one_out_of_it_has() -> None:
    # The plane of the bends holds the directions 90 and -90 degrees from the crown line.
    assert not is_other_hand(twisted(0), slanted_towards(90), SQUARE)
    assert not is_other_hand(twisted(0), slanted_towards(-90), SQUARE)
    assert is_other_hand(twisted(0), slanted_towards(0), SQUARE)
    assert is_other_hand(twisted(0), slanted_towards(40), SQUARE)


def test_part_read_from_its_far_end_can_be_its_own_mirror_image() -> None:
    # An S (turned by 180 degrees) with slants out of its plane, to the crown side at the start and away at the end:
    # its image in the bench plane, swapped end for end, is the same piece.
    one, other = slanted_towards(0), slanted_towards(180)
    assert not is_other_hand(twisted(180), one, other)
    assert is_other_hand(twisted(180), one, one)


def test_straight_tube_has_a_hand_only_by_the_turn_between_its_ends() -> None:
    line = Centreline(((0, 0, 0), (500, 0, 0)))
    assert not is_other_hand(line, slanted_towards(20), SQUARE)
    assert not is_other_hand(line, slanted_towards(20), slanted_towards(20))
    lop = wrap((10 + 4 * np.sin(STATIONS) + 3 * np.sin(2 * STATIONS + 0.7)).tolist())
    assert is_other_hand(line, lop, SQUARE)
    # ends slanted 70 degrees apart are a twist, and a twist keeps its hand when the tube is swapped end for end
    assert is_other_hand(line, slanted_towards(0), slanted_towards(70))
    assert not is_other_hand(line, slanted_towards(0), slanted_towards(180))


def test_holes_give_a_straight_tube_a_hand() -> None:
    line = Centreline(((0, 0, 0), (500, 0, 0)))
    hole = JobHole(x=40, y=0, face="crown", diameter=8)
    opposite = (hole, JobHole(x=90, y=0, face="bottom", diameter=6), JobHole(x=150, y=0, face="crown", diameter=6))
    aside = (hole, JobHole(x=90, y=0, face="right", diameter=8))
    assert not is_other_hand(line, SQUARE, SQUARE, drilled=Drilled(500, (hole,)))
    assert not is_other_hand(line, SQUARE, SQUARE, drilled=Drilled(500, opposite))
    assert is_other_hand(line, SQUARE, SQUARE, drilled=Drilled(500, aside))


def test_angle_iron_has_a_hand_by_its_holes() -> None:
    angle = Section(shape="angle", height=40, width=40, wall=4)
    line = Centreline(((0, 0, 0), (300, 0, 0)))
    assert not is_other_hand(line, SQUARE, SQUARE, section=angle)
    one = (JobHole(x=60, y=18, face="height leg", diameter=9),)
    assert is_other_hand(line, SQUARE, SQUARE, section=angle, drilled=Drilled(300, one))
    pair = (*one, JobHole(x=240, y=18, face="height leg", diameter=9))
    assert not is_other_hand(line, SQUARE, SQUARE, section=angle, drilled=Drilled(300, pair))
    both = (*one, JobHole(x=60, y=18, face="width leg", diameter=9))
    assert not is_other_hand(line, SQUARE, SQUARE, section=angle, drilled=Drilled(300, both))
