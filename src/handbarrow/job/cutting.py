"""Cutting plan of the batch: every tube and bar of every unit from the bars on sale and the off-cuts in the rack."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from handbarrow.findings import Finding
from handbarrow.job import cutting_findings as tell
from handbarrow.job.sheet_cutting import plan_sheet_cutting
from handbarrow.job.values import CutBar, CutPiece, CuttingBound, CuttingPlan, JobPart, RackLine
from handbarrow.laws.cutting.kits import plan_kits
from handbarrow.laws.cutting.stock import BarSize, CutItem, Cutting, PlannedBar, StockPlan, plan_bars
from handbarrow.workshop.values import Die, StockItem, Workshop

__all__ = ["plan_cutting"]

LONGEST_BAR, HIGHEST_PRICE = 1e5, 1e9
"""Beyond these [mm, money] a line of the workshop file is passed over: the reader refuses them."""


@dataclass(frozen=True, slots=True)
class _Piece:
    """A piece to cut: `count` for one unit, a test piece (`die` set) once for the batch. `path`: for findings."""

    part: str
    copy: int
    die: str
    length: float
    count: int
    path: str


@dataclass(frozen=True, slots=True)
class _Batch:
    """What holds for every stock of the batch."""

    rule: Cutting
    units: int
    choice: Literal["exact", "kit"]
    kit_units: int | None
    currency: str


@dataclass(frozen=True, slots=True)
class _Planned:
    bars: tuple[CutBar, ...]
    bound: CuttingBound | None
    findings: list[Finding]


def plan_cutting(
    parts: Sequence[JobPart],
    workshop: Workshop,
    units: int,
    *,
    choice: Literal["exact", "kit"] = "exact",
    kit_units: int | None = None,
) -> tuple[CuttingPlan, list[Finding]]:
    """Plan the bars of a batch.

    Args:
        parts: Parts of one unit; those without a cut length are passed over.
        workshop: The shop: bars on sale, rack, saw, dies.
        units: Units of the batch.
        choice: `exact`: least cost. `kit`: a set of bars for some units, repeated.
        kit_units: Units of such a set; None: chosen.

    Returns:
        The plan, and findings: pieces that no bar holds, stock that the shop does not have, bars that are too few.
    """
    saw = workshop.saw
    rule = Cutting(kerf=_size(saw.kerf), trim=_size(saw.end_trim), useful=_useful(workshop.limits.useful_off_cut))
    batch = _Batch(rule, units, choice, kit_units, workshop.currency)
    allowance = _size(saw.hand_allowance)
    bars: list[CutBar] = []
    bounds: list[CuttingBound] = []
    findings: list[Finding] = []
    groups: dict[str, list[JobPart]] = {}
    for part in parts:
        if part.kind in ("tube", "bar") and part.cut_length is not None and part.quantity > 0 and units > 0:
            groups.setdefault(part.stock, []).append(part)
    for label, members in groups.items():
        item = workshop.stock.get(label)
        if item is None:
            findings.append(tell.no_such_stock(label, [p.id for p in members], workshop.stock))
            continue
        pieces = [*_of_parts(members, allowance), *_test_pieces(members, workshop, allowance)]
        planned = _plan_stock(item, pieces, batch, members[0])
        bars += planned.bars
        findings += planned.findings
        bounds += [planned.bound] if planned.bound else []
    rack = _rack_after(workshop, bars)
    sheets, more, found = plan_sheet_cutting(parts, workshop, units)
    findings += found
    plan = CuttingPlan(
        bars=tuple(bars), bounds=(*bounds, *more), rack_after=rack, kerf=rule.kerf, trim=rule.trim, sheets=sheets
    )
    return plan, findings


# ------------------------------------------------------------------------------------------------ what is wanted
def _size(value: float) -> float:
    return value if 0 < value <= LONGEST_BAR else 0.0


def _useful(value: float) -> float:
    return value if 0 < value <= LONGEST_BAR else math.inf


def _of_parts(parts: Sequence[JobPart], allowance: float) -> list[_Piece]:
    return [
        _Piece(part.id, copy, "", length + allowance, 1, f"parts.{part.id}")
        for part in parts
        for copy, length in _sawn(part)
    ]


def _sawn(part: JobPart) -> list[tuple[int, float]]:
    """Copies at which a length is sawn, with that length: one for several pieces that are pulled together."""
    if part.pull is None:
        return [(copy, part.cut_length or 0.0) for copy in range(1, part.quantity + 1)]
    return [(copy, part.pull.saw_length) for copy in range(1, part.quantity + 1, part.pull.pieces)]


def _test_pieces(parts: Sequence[JobPart], workshop: Workshop, allowance: float) -> list[_Piece]:
    """Test pieces for the dies that bend these parts."""
    used = {(part.stock, row.die) for part in parts if part.card for row in part.card.rows}
    dies: dict[tuple[str, str], Die] = {(die.stock, die.name): die for die in workshop.dies}
    return [
        _Piece("", 0, die.name, die.test_length + allowance, die.test_count, f"dies.{die.name}")
        for key, die in dies.items()
        if key in used and die.test_count > 0 and die.test_length > 0
    ]


# ------------------------------------------------------------------------------------------------ one stock
def _bar_sizes(item: StockItem) -> tuple[list[BarSize], list[float | None], bool]:
    """Bars on sale and off-cuts, the price of each, and whether cost is money (else it is length)."""
    lengths = [s for s in item.lengths if 0 < s.length <= LONGEST_BAR]
    prices = [s.price if s.price is not None and 0 <= s.price <= HIGHEST_PRICE else None for s in lengths]
    money = bool(prices) and all(p is not None for p in prices)
    sizes = [
        BarSize(
            length=s.length,
            cost=p if money and p is not None else s.length,
            available=None if s.available is None else max(s.available, 0),
        )
        for s, p in zip(lengths, prices, strict=True)
    ]
    rack = [o for o in item.off_cuts if 0 < o.length <= LONGEST_BAR and o.count > 0]
    sizes += [BarSize(length=o.length, cost=0.0, available=o.count, off_cut=True) for o in rack]
    return sizes, [*prices, *(None for _ in rack)], money


def _plan_stock(item: StockItem, pieces: list[_Piece], batch: _Batch, member: JobPart) -> _Planned:
    sizes, prices, money = _bar_sizes(item)
    if not sizes:
        return _Planned((), None, [tell.no_length_on_sale(item.label)])
    fit, findings = _that_fit(pieces, item, max(b.length for b in sizes), batch.rule, member)
    if not money:
        findings += tell.no_price(item, prices)
    if not fit:
        return _Planned((), None, findings)
    plan = _planned(fit, sizes, batch)
    bars = tuple(
        _cut_bar(bar, item.label, (sizes[bar.size], prices[bar.size]), fit, batch.rule)
        for bar in plan.bars
        if not (bar.wanting and sizes[bar.size].off_cut)
    )
    bound = _bound(plan, item, sizes, batch.currency if money else "")
    return _Planned(bars, bound, findings + _too_few(plan, sizes, item))


def _that_fit(
    pieces: Sequence[_Piece], item: StockItem, longest: float, rule: Cutting, member: JobPart
) -> tuple[list[_Piece], list[Finding]]:
    """Pieces that some bar holds, test pieces last; and what is wrong with the others, once for all copies."""
    findings: list[Finding] = []
    fit: list[_Piece] = []
    for piece in sorted(pieces, key=lambda p: p.die != ""):
        if not (math.isfinite(piece.length) and piece.length > 0):
            findings.append(tell.no_length(piece.path, piece.length))
        elif piece.length > longest - 2 * rule.trim:
            findings.append(tell.too_long((piece.path, piece.length), item, longest, rule.trim, member.section))
        else:
            fit.append(piece)
    return fit, list(dict.fromkeys(findings))


def _planned(fit: Sequence[_Piece], sizes: Sequence[BarSize], batch: _Batch) -> StockPlan:
    each = [CutItem(length=p.length, demand=p.count) for p in fit if not p.die]
    once = [CutItem(length=p.length, demand=p.count) for p in fit if p.die]
    if batch.choice == "kit" and each:
        kit = None if batch.kit_units is None else max(1, min(batch.kit_units, batch.units))
        return plan_kits(each, once, (sizes, batch.rule), batch.units, kit)
    whole = [CutItem(length=c.length, demand=c.demand * batch.units) for c in each]
    return plan_bars([*whole, *once], sizes, batch.rule)


def _too_few(plan: StockPlan, sizes: Sequence[BarSize], item: StockItem) -> list[Finding]:
    wanting: dict[int, int] = {}
    pieces = 0
    for bar in plan.bars:
        if bar.wanting:
            wanting[bar.size] = wanting.get(bar.size, 0) + bar.count
            pieces += bar.count * sum(n for _, n in bar.pieces)
    rows = [(sizes[b].length, sizes[b].available or 0, n) for b, n in wanting.items()]
    if not rows:
        return []
    if any(sizes[b].off_cut for b in wanting):
        return [tell.rack_too_small(item.label, pieces)]
    return [tell.too_few_bars(item.label, rows)]


def _cut_bar(
    bar: PlannedBar, label: str, size: tuple[BarSize, float | None], pieces: Sequence[_Piece], rule: Cutting
) -> CutBar:
    at = rule.trim
    cut: list[CutPiece] = []
    for i, many in bar.pieces:
        piece = pieces[i]
        for _ in range(many):
            cut.append(CutPiece(part=piece.part, copy=piece.copy, at=at, length=piece.length, die=piece.die))
            at += piece.length + rule.kerf
    source: Literal["shop", "rack"] = "rack" if size[0].off_cut else "shop"
    return CutBar(
        stock=label,
        source=source,
        length=size[0].length,
        count=bar.count,
        pieces=tuple(cut),
        left=bar.left,
        price=size[1],
    )


def _bound(plan: StockPlan, item: StockItem, sizes: Sequence[BarSize], currency: str) -> CuttingBound:
    """Bound in money where prices are known; else in bars where there is but one size; else in mm bought."""
    used = sum(bar.count for bar in plan.bars)
    cost, bound, unit = plan.cost, plan.lower_bound, currency or "mm"
    if not currency and len(sizes) == 1 and sizes[0].cost > 0:
        cost, bound, unit = float(used), round(plan.lower_bound / sizes[0].cost, 6), "bars"
    return CuttingBound(
        stock=item.label, used=used, cost=cost, lower_bound=bound, unit=unit, proven=plan.proven, gap=plan.gap
    )


# ------------------------------------------------------------------------------------------------ the rack
def _rack_after(workshop: Workshop, bars: Sequence[CutBar]) -> tuple[RackLine, ...]:
    """Off-cuts before, less those cut, and what is left over in useful lengths."""
    rack: dict[tuple[str, float], int] = {}
    for label, item in workshop.stock.items():
        for off_cut in item.off_cuts:
            key = (label, round(off_cut.length, 2))
            rack[key] = rack.get(key, 0) + max(off_cut.count, 0)
    for bar in bars:
        if bar.source == "rack":
            rack[bar.stock, round(bar.length, 2)] -= bar.count
        if bar.left > 0:
            key = (bar.stock, round(bar.left, 2))
            rack[key] = rack.get(key, 0) + bar.count
    order = list(workshop.stock)
    rows = sorted(((k, n) for k, n in rack.items() if n > 0), key=lambda row: (order.index(row[0][0]), -row[0][1]))
    return tuple(RackLine(stock=stock, length=length, count=n) for (stock, length), n in rows)
