"""The cutting plan of a batch: pieces, test pieces, allowance, rack, kits."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from handbarrow.findings import Severity
from handbarrow.job.cutting import plan_cutting
from handbarrow.job.values import BendCard, BendRow, CuttingPlan, JobPart, Seam
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Die, Limits, OffCut, Saw, SetAngleLaw, StockItem, StockLength, Workshop

TUBE = "tube 26.9x2.3"
ROUND = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)


def bent_with(die: str) -> BendCard:
    row = BendRow(
        number=1, order=1, feed="start", mark=100, angle_rad=1, set_angle_rad=1, turn_rad=0, bender_turn_rad=0, die=die,
        die_radius=80, law=SetAngleLaw(a=1, b_rad=0), radius=80, uses=80, reference_offset=0, stop_end=None,
        stop_leg=None, stop=None, stop_touches="none",
    )  # fmt: skip
    seam = Seam(from_crown_rad=0, clear=True)
    return BendCard(part="p", rows=(row,), straights=(), datum_shift=0, seam=seam, check_sizes=(), planar=True)


def tube(name: str, length: float, quantity: int = 1, *, die: str = "", stock: str = TUBE) -> JobPart:
    return JobPart(
        id=name, title=name, kind="tube", assembly="frame", quantity=quantity, mirrored=0, other_hand=False,
        stock=stock, mass_kg=None, centre_of_mass=None, section=ROUND, cut_length=length,
        card=bent_with(die) if die else None,
    )  # fmt: skip


def shop(
    *lengths: StockLength,
    rack: tuple[OffCut, ...] = (),
    saw: Saw | None = None,
    dies: tuple[Die, ...] = (),
    useful: float = 500,
) -> Workshop:
    lengths = lengths or (StockLength(length=6000, price=31.2),)
    return Workshop(
        name="Ridge workshop", digest="", currency="EUR", dies=dies, saw=saw or Saw(kerf=2, end_trim=5),
        stock={TUBE: StockItem(label=TUBE, lengths=lengths, off_cuts=rack)}, limits=Limits(useful_off_cut=useful),
    )  # fmt: skip


def cut(plan: CuttingPlan) -> Counter[tuple[str, int, str]]:
    made: Counter[tuple[str, int, str]] = Counter()
    for bar in plan.bars:
        for piece in bar.pieces:
            made[piece.part, piece.copy, piece.die] += bar.count
    return made


def test_every_copy_of_every_part_is_cut_once_for_each_unit() -> None:
    parts = [tube("outer-hoop", 3480.25, 2), tube("rung", 556.5, 3), tube("post", 556.5)]
    plan, findings = plan_cutting(parts, shop(), 8)
    assert findings == []
    assert cut(plan) == {
        ("outer-hoop", 1, ""): 8, ("outer-hoop", 2, ""): 8, ("rung", 1, ""): 8, ("rung", 2, ""): 8, ("rung", 3, ""): 8,
        ("post", 1, ""): 8,
    }  # fmt: skip


def test_pieces_stand_one_kerf_apart_longest_first_behind_the_trim() -> None:
    plan, _ = plan_cutting([tube("long", 3000), tube("short", 1000, 2)], shop(), 1)
    (bar,) = plan.bars
    assert [(p.at, p.length) for p in bar.pieces] == [(5, 3000), (3007, 1000), (4009, 1000)]
    # closed form: 6000 - 5 - 3000 - 1000 - 1000 - 3 cuts of 2 mm, the far end untrimmed
    assert bar.left == 989
    assert [(line.length, line.count) for line in plan.rack_after] == [(989, 1)]


def test_trims_of_both_ends_can_cost_a_piece() -> None:
    # closed form: 5 x 1198 + 4 x 2 = 5998 fits 6000 untrimmed, not 5990
    part = [tube("rung", 1198, 5)]
    untrimmed, _ = plan_cutting(part, shop(saw=Saw(kerf=2)), 1)
    trimmed, _ = plan_cutting(part, shop(saw=Saw(kerf=2, end_trim=5)), 1)
    assert [sum(b.count for b in p.bars) for p in (untrimmed, trimmed)] == [1, 2]


def test_a_last_piece_that_just_uses_the_bar_needs_no_cut() -> None:
    # closed form: 3 x 1998.67 is not whole, 2 x 2999 + 2 = 6000 is
    plan, _ = plan_cutting([tube("half", 2999, 2)], shop(saw=Saw(kerf=2)), 1)
    assert sum(b.count for b in plan.bars) == 1


def test_hand_allowance_lengthens_every_piece() -> None:
    plan, _ = plan_cutting([tube("rung", 1000)], shop(saw=Saw(kerf=2, hand_allowance=1.5)), 1)
    assert plan.bars[0].pieces[0].length == 1001.5


def test_dies_that_are_used_get_their_test_pieces_once_a_batch() -> None:
    dies = (
        Die(name="D27", stock=TUBE, radius=80, test_length=500, test_count=2),
        Die(name="D60", stock=TUBE, radius=60, test_length=500, test_count=2),
    )
    plan, _ = plan_cutting([tube("hoop", 2000, die="D27")], shop(dies=dies), 10)
    assert cut(plan) == {("hoop", 1, ""): 10, ("", 0, "D27"): 2}


def test_off_cuts_are_used_before_new_bars_and_leave_the_rack() -> None:
    rack = (OffCut(length=1180, count=3), OffCut(length=400, count=1))
    plan, _ = plan_cutting([tube("rung", 1150, 2)], shop(rack=rack), 1)
    assert [(b.source, b.length, b.count) for b in plan.bars] == [("rack", 1180, 1), ("rack", 1180, 1)]
    assert [(line.length, line.count) for line in plan.rack_after] == [(1180, 1), (400, 1)]
    assert (plan.bounds[0].cost, plan.bounds[0].unit, plan.bounds[0].proven) == (0, "EUR", True)


def test_fewest_bars_among_equally_cheap_plans() -> None:
    lengths = (StockLength(length=3000, price=15), StockLength(length=6000, price=30))
    plan, _ = plan_cutting([tube("rung", 1000, 4)], shop(*lengths, saw=Saw(kerf=0)), 1)
    assert [(b.length, b.count) for b in plan.bars] == [(6000, 1)]


def test_a_cheap_short_bar_is_taken_where_it_does() -> None:
    lengths = (StockLength(length=6000, price=31.2), StockLength(length=3000, price=17.8))
    plan, _ = plan_cutting([tube("rung", 1400, 6)], shop(*lengths), 1)
    # computed here: 4 + 2 pieces, 31.20 + 17.80
    assert plan.bounds[0].cost == pytest.approx(49.0)
    assert plan.bounds[0].proven


def test_what_is_left_lies_in_one_useful_piece() -> None:
    # two bars; 3 x 1500 and 3 x 1000 = 7500 of 12000: the rest of 4500 can lie all in one bar (3 x 1000 + 2 x 1500)
    plan, _ = plan_cutting([tube("a", 1500, 3), tube("b", 1000, 3)], shop(saw=Saw(kerf=0)), 1)
    assert sorted(left for b in plan.bars for left in [b.left] * b.count) == [0, 4500]


def test_kit_repeats_the_bars_of_one_unit() -> None:
    parts = [tube("hoop", 3480), tube("rung", 556.5, 4)]
    plan, findings = plan_cutting(parts, shop(), 12, choice="kit", kit_units=1)
    assert findings == []
    assert all(bar.count % 12 == 0 for bar in plan.bars)
    assert cut(plan) == {("hoop", 1, ""): 12, **{("rung", k, ""): 12 for k in (1, 2, 3, 4)}}
    exact, _ = plan_cutting(parts, shop(), 12)
    assert exact.bounds[0].cost <= plan.bounds[0].cost
    assert plan.bounds[0].lower_bound <= exact.bounds[0].cost


def test_without_prices_one_length_is_counted_in_bars() -> None:
    plan, findings = plan_cutting([tube("rung", 1180, 10)], shop(StockLength(length=6000), saw=Saw(kerf=2)), 1)
    assert findings == []
    assert (plan.bounds[0].cost, plan.bounds[0].lower_bound, plan.bounds[0].unit) == (2, 2, "bars")


def test_without_all_prices_length_is_saved_and_a_note_says_so() -> None:
    lengths = (StockLength(length=6000, price=31.2), StockLength(length=3000))
    plan, findings = plan_cutting([tube("rung", 1400, 6)], shop(*lengths), 1)
    assert [(f.code, f.severity) for f in findings] == [("cutting-without-prices", Severity.NOTE)]
    assert (plan.bounds[0].cost, plan.bounds[0].unit) == (9000, "mm")


def test_too_long_a_piece_is_offered_a_splice_and_a_length() -> None:
    plan, findings = plan_cutting([tube("rail", 7200, 2), tube("rung", 500)], shop(), 3)
    (finding,) = findings
    assert finding.code == "piece-longer-than-stock"
    assert finding.where == "parts.rail"
    assert "5990.0 mm" in finding.expected
    # closed form: 26.9 - 2 x 2.3 = 22.3; 7200 + 2 x 5 = 7210
    assert all(text in finding.fix for text in ("7210 mm", "2 pieces of 3600 mm", "22.3 mm"))
    assert cut(plan) == {("rung", 1, ""): 3}


def test_too_few_bars_are_planned_with_those_that_are_wanting() -> None:
    plan, findings = plan_cutting([tube("rail", 5000)], shop(StockLength(length=6000, price=30, available=2)), 5)
    (finding,) = findings
    assert (finding.code, finding.severity) == ("stock-too-little", Severity.WARNING)
    assert "3 more of 6000 mm (there are 2)" in finding.wrong
    assert sum(bar.count for bar in plan.bars) == 5


def test_a_limited_length_is_used_up_to_its_limit() -> None:
    lengths = (StockLength(length=6000, price=31.2), StockLength(length=3000, price=10, available=3))
    plan, findings = plan_cutting([tube("rail", 2900)], shop(*lengths), 9)
    assert findings == []
    assert {b.length: b.count for b in plan.bars} == {3000: 3, 6000: 3}


def test_bound_never_lies_above_the_cost() -> None:
    plan, _ = plan_cutting([tube("a", 1711.3, 3), tube("b", 903.77, 2), tube("c", 2204.1)], shop(), 7)
    for bound in plan.bounds:
        assert 0 < bound.lower_bound <= bound.cost
        assert bound.gap == pytest.approx((bound.cost - bound.lower_bound) / bound.lower_bound)
        assert math.isclose(bound.cost, sum((b.price or 0) * b.count for b in plan.bars))
