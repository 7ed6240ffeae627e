"""Blanks on sheets: every plan is cut from edge to edge, nothing overlaps, and no plan is worse than rectpack's.

Sources: areas (closed form); the packing library rectpack 0.2 as a general-purpose reference; strips of E. Hopper and
B. Turton 2001 (read in a public collection), with lengths that were measured for them with another library.
"""

from __future__ import annotations

import math
import random

import pytest
import rectpack

from handbarrow.laws.cutting.guillotine import Rectangle
from handbarrow.laws.cutting.sheet_fill import fill_sheets
from handbarrow.laws.cutting.sheets import SheetCutting, SheetPlan, SheetSize, SheetWish, plan_sheets

SHEET = SheetSize(length=2000.0, width=1000.0, cost=24.0)
SHEARS = SheetCutting()
Box = tuple[float, float, float, float]


def boxes(plan: SheetPlan, wishes: list[SheetWish], number: int) -> list[Box]:
    """x, y, x, y of the blanks of one sheet."""
    out = []
    for k, x, y, turned in plan.sheets[number].pieces:
        a, b = (wishes[k].width, wishes[k].length) if turned else (wishes[k].length, wishes[k].width)
        out.append((x, y, x + a, y + b))
    return out


def can_be_cut(found: list[Box]) -> bool:
    """Whether cuts from edge to edge part all boxes: some cut parts them in two lots, and each lot can be cut."""
    if len(found) < 2:
        return True
    for axis in (0, 1):
        for at in {box[axis + 2] for box in found}:
            low = [box for box in found if box[axis + 2] <= at + 1e-6]
            high = [box for box in found if box[axis] >= at - 1e-6]
            if low and high and len(low) + len(high) == len(found):
                return can_be_cut(low) and can_be_cut(high)
    return False


def batch(seed: int, kinds: int, most: int) -> list[SheetWish]:
    draw = random.Random(seed)  # noqa: S311
    return [
        SheetWish(length=draw.randint(60, 900), width=draw.randint(40, 480), demand=draw.randint(1, most))
        for _ in range(kinds)
    ]


def rectpack_sheets(wishes: list[SheetWish], sheet: SheetSize, kerf: float) -> int:
    """Fewest sheets over rectpack's guillotine rules."""
    best = 10_000
    for algo in (rectpack.GuillotineBssfSas, rectpack.GuillotineBafSas, rectpack.GuillotineBssfMaxas):
        packer = rectpack.newPacker(pack_algo=algo, rotation=True)
        for wish in wishes:
            for _ in range(wish.demand):
                packer.add_rect(math.ceil((wish.length + kerf) * 10), math.ceil((wish.width + kerf) * 10))
        packer.add_bin(int((sheet.length + kerf) * 10), int((sheet.width + kerf) * 10), count=float("inf"))
        packer.pack()
        best = min(best, len(packer))
    return best


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("kerf", [0.0, 2.0])
def test_no_plan_takes_more_sheets_than_rectpack_or_fewer_than_the_bound(seed: int, kerf: float) -> None:
    wishes = batch(seed, 5, 5)
    plan = plan_sheets(wishes, [SHEET], SheetCutting(kerf=kerf))
    used = sum(sheet.count for sheet in plan.sheets)
    assert used <= rectpack_sheets(wishes, SHEET, kerf)
    assert plan.lower_bound <= plan.cost == used * 24.0
    assert plan.lower_bound >= 24.0 * math.ceil(sum(w.length * w.width * w.demand for w in wishes) / 2e6)


@pytest.mark.parametrize("seed", range(6))
def test_blanks_lie_on_their_sheets_clear_of_each_other_and_of_the_kerf_and_can_be_cut(seed: int) -> None:
    wishes, kerf, trim = batch(seed, 6, 6), 2.0, 5.0
    plan = plan_sheets(wishes, [SHEET], SheetCutting(kerf=kerf, trim=trim))
    made = [0] * len(wishes)
    for number, sheet in enumerate(plan.sheets):
        found = boxes(plan, wishes, number)
        for k, *_ in sheet.pieces:
            made[k] += sheet.count
        assert all(
            x0 >= trim - 1e-6 and y0 >= trim - 1e-6 and x1 <= 1995 + 1e-6 and y1 <= 995 + 1e-6
            for x0, y0, x1, y1 in found
        )
        for i, a in enumerate(found):
            for b in found[i + 1 :]:
                apart = max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])
                assert apart >= kerf - 1e-6
        assert can_be_cut(found)
        for x0, y0, x1, y1 in sheet.cuts:  # no cut runs through a blank
            level = y0 == y1
            for a in found:
                inside = a[1] < y0 - 1e-6 < a[3] - 2e-6 if level else a[0] < x0 - 1e-6 < a[2] - 2e-6
                along = min(x1, a[2]) - max(x0, a[0]) if level else min(y1, a[3]) - max(y0, a[1])
                assert not (inside and along > 1e-6)
    assert made == [wish.demand for wish in wishes]


def test_blanks_that_fill_their_sheets_exactly_leave_nothing_and_that_is_proven() -> None:
    plan = plan_sheets([SheetWish(length=500, width=500, demand=24)], [SHEET], SHEARS)
    assert (plan.cost, plan.proven) == (3 * 24.0, True)


def test_grain_keeps_a_blank_from_lying_across() -> None:
    across = SheetWish(length=600, width=1000, demand=3)
    assert plan_sheets([across], [SHEET], SHEARS).cost == 24.0
    assert plan_sheets([SheetWish(length=950, width=350, demand=4, may_turn=False)], [SHEET], SHEARS).cost == 24.0
    with pytest.raises(ValueError, match="fits no sheet"):
        plan_sheets([SheetWish(length=900, width=1100, demand=1, may_turn=False)], [SHEET], SHEARS)


def test_the_cheaper_of_two_sizes_is_bought_and_few_on_sale_are_not_exceeded() -> None:
    large = SheetSize(length=2500.0, width=1250.0, cost=30.0)
    wish = SheetWish(length=1200, width=600, demand=4)
    assert plan_sheets([wish], [SHEET, large], SHEARS).cost == 30.0
    few = SheetSize(length=2500.0, width=1250.0, cost=30.0, available=0)
    plan = plan_sheets([wish], [SHEET, few], SHEARS)
    assert all(sheet.size == 0 for sheet in plan.sheets)
    none = SheetSize(length=2000.0, width=1000.0, cost=24.0, available=1)
    assert plan_sheets([SheetWish(length=1900, width=900, demand=3)], [none], SHEARS).short


STRIPS: dict[str, tuple[int, int, tuple[tuple[int, int], ...]]] = {
    "C1_1": (20, 20, (
        (2, 12), (7, 12), (8, 6), (3, 6), (3, 5), (5, 5), (3, 12), (3, 7), (5, 7), (2, 6), (3, 2), (4, 2), (3, 4),
        (4, 4), (9, 2), (11, 2),
    )),
    "C3_1": (40, 16, (
        (11, 3), (13, 3), (9, 2), (7, 2), (9, 3), (7, 3), (11, 2), (13, 2), (11, 4), (13, 4), (3, 5), (11, 2), (2, 2),
        (11, 3), (2, 3), (5, 4), (6, 4), (12, 2), (1, 2), (3, 5), (13, 5), (12, 4), (1, 4), (5, 2), (6, 2),
    )),
}  # fmt: skip
"""Width, length that was measured for cuts from edge to edge in three stages, pieces."""


@pytest.mark.parametrize("name", STRIPS)
def test_strips_of_hopper_and_turton_come_out_no_longer_than_noted(name: str) -> None:
    width, length, sizes = STRIPS[name]
    pieces = [Rectangle(length=h, width=w) for w, h in sizes]
    found = fill_sheets(pieces, [1] * len(pieces), (length, width), 1, tries=3000)
    assert len(found) == 1
    assert sum(w * h for w, h in sizes) <= length * width
