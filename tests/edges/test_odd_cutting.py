"""Odd input to the cutting plan: findings, never an exception."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.findings import Severity
from handbarrow.job.cutting import plan_cutting
from handbarrow.job.values import JobPart
from handbarrow.laws.cutting.problem import Problem
from handbarrow.laws.cutting.solve import Effort, solve
from handbarrow.laws.cutting.stock import BarSize, CutItem, Cutting, plan_bars
from handbarrow.workshop.values import Limits, OffCut, Saw, StockItem, StockLength, Workshop

LABEL = "flat 30x5"


def bar(name: str, length: float | None, quantity: int = 1, stock: str = LABEL) -> JobPart:
    return JobPart(
        id=name, title=name, kind="bar", assembly="frame", quantity=quantity, mirrored=0, other_hand=False,
        stock=stock, mass_kg=None, centre_of_mass=None, cut_length=length,
    )  # fmt: skip


def shop(item: StockItem | None, saw: Saw | None = None, useful: float = 500) -> Workshop:
    stock = {} if item is None else {item.label: item}
    return Workshop(
        name="", digest="", currency="EUR", stock=stock, dies=(), saw=saw or Saw(), limits=Limits(useful_off_cut=useful)
    )


def on_sale(*lengths: StockLength, rack: tuple[OffCut, ...] = ()) -> StockItem:
    return StockItem(label=LABEL, lengths=lengths, off_cuts=rack)


def codes(parts: list[JobPart], workshop: Workshop, units: int = 1) -> list[str]:
    return [f.code for f in plan_cutting(parts, workshop, units)[1]]


def test_stock_that_the_shop_does_not_have_is_one_finding_for_all_its_parts() -> None:
    _, findings = plan_cutting([bar("a", 100), bar("b", 100)], shop(StockItem(label="flat 30x4")), 1)
    (finding,) = findings
    assert finding.code == "stock-not-in-workshop"
    assert "a, b" in finding.wrong
    assert "use `flat 30x4`" in finding.fix


def test_stock_without_any_length_is_a_finding() -> None:
    assert codes([bar("a", 100)], shop(on_sale())) == ["stock-without-lengths"]


def test_off_cuts_alone_do_where_they_are_enough() -> None:
    plan, findings = plan_cutting([bar("a", 300)], shop(on_sale(rack=(OffCut(length=700, count=1),))), 2)
    assert findings == []
    assert [(b.source, b.count) for b in plan.bars] == [("rack", 1)]


def test_off_cuts_alone_that_are_too_few_stop_the_work() -> None:
    _, findings = plan_cutting([bar("a", 300)], shop(on_sale(rack=(OffCut(length=700, count=1),))), 5)
    assert [(f.code, f.severity) for f in findings] == [("stock-too-little", Severity.ERROR)]
    assert "3 pieces" in findings[0].wrong


def test_a_piece_that_only_off_cuts_could_hold_stops_the_work_when_they_run_out() -> None:
    item = on_sale(StockLength(length=3000, price=9), rack=(OffCut(length=5000, count=1),))
    _, findings = plan_cutting([bar("a", 4000)], shop(item), 2)
    assert [(f.code, f.severity) for f in findings] == [("stock-too-little", Severity.ERROR)]


@pytest.mark.parametrize("length", [0.0, -5.0, math.nan, math.inf])
def test_a_length_that_is_none_is_a_finding(length: float) -> None:
    assert codes([bar("a", length)], shop(on_sale(StockLength(length=6000)))) in (
        ["piece-without-length"],
        ["piece-longer-than-stock"],
    )


def test_no_parts_no_units_and_no_quantity_are_an_empty_plan() -> None:
    workshop = shop(on_sale(StockLength(length=6000), rack=(OffCut(length=700, count=2),)))
    for parts, units in ([], 3), ([bar("a", 100)], 0), ([bar("a", 100, quantity=0)], 3), ([bar("a", None)], 3):
        plan, findings = plan_cutting(parts, workshop, units)
        assert (plan.bars, plan.bounds, findings) == ((), (), [])
        assert [(line.length, line.count) for line in plan.rack_after] == [(700, 2)]


def test_trims_longer_than_the_bar_leave_no_room() -> None:
    assert codes([bar("a", 10)], shop(on_sale(StockLength(length=100)), Saw(end_trim=60))) == [
        "piece-longer-than-stock"
    ]


def test_a_coil_of_a_hundred_metres_is_planned_on_a_coarser_grid() -> None:
    plan, findings = plan_cutting([bar("a", 333.33, 7), bar("b", 17.77, 9)], shop(on_sale(StockLength(length=1e5))), 9)
    assert findings == []
    assert sum(b.count for b in plan.bars) == 1


def test_a_law_called_with_nonsense_names_the_value() -> None:
    with pytest.raises(ValueError, match="length=-1"):
        plan_bars([CutItem(length=-1, demand=1)], [BarSize(length=6000, cost=1)], Cutting())
    with pytest.raises(ValueError, match="no kind of bar"):
        solve(Problem((9,), (1,), (8,), (1,), (None,)), Effort())


sizes = st.one_of(st.floats(allow_nan=True, allow_infinity=True), st.floats(-10, 13000), st.sampled_from([0.0, 1e-9]))
counts = st.integers(-2, 20)


@given(
    st.lists(st.tuples(sizes, counts), max_size=5),
    st.lists(
        st.builds(StockLength, length=sizes, price=st.none() | sizes, available=st.none() | st.integers(-3, 9)),
        max_size=3,
    ),
    st.lists(st.builds(OffCut, length=sizes, count=counts), max_size=3),
    st.tuples(sizes, sizes, sizes, sizes),
    st.integers(-1, 40),
)
@settings(max_examples=50, deadline=None)
def test_no_odd_number_makes_the_plan_raise(
    wanted: list[tuple[float, int]],
    lengths: list[StockLength],
    rack: list[OffCut],
    saw: tuple[float, float, float, float],
    units: int,
) -> None:
    parts = [bar(f"p{i}", length, quantity) for i, (length, quantity) in enumerate(wanted)]
    workshop = shop(
        on_sale(*lengths, rack=tuple(rack)), Saw(kerf=saw[0], end_trim=saw[1], hand_allowance=saw[2]), saw[3]
    )
    for choice in ("exact", "kit"):
        plan, findings = plan_cutting(parts, workshop, units, choice=choice)  # type: ignore[arg-type]
        pieces = sum(len(b.pieces) * b.count for b in plan.bars)
        asked = sum(q for _, q in wanted if q > 0) * max(units, 0)
        assert pieces == asked or (findings and pieces < asked)
