"""How the blanks of the batch lie on sheets: cut from edge to edge, the cheapest set of sheets and its bound."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handbarrow.findings import Finding, Severity
from handbarrow.job import cutting_findings as tell
from handbarrow.job.sheet_values import CutSheet, SheetPiece
from handbarrow.job.values import CuttingBound, JobPart, MaterialLine
from handbarrow.language import said
from handbarrow.laws.cutting.sheets import (
    SheetCutting,
    SheetPlan,
    SheetSize,
    SheetWish,
    UsedSheet,
    plan_sheets,
)
from handbarrow.laws.geometry.polygon import area_and_centroid
from handbarrow.laws.geometry.section_properties import STEEL_DENSITY_KG_MM3
from handbarrow.workshop.values import StockItem, StockSheet, Workshop

__all__ = ["plan_sheet_cutting", "sheet_materials"]

Planned = tuple[tuple[CutSheet, ...], tuple[CuttingBound, ...], list[Finding]]


def plan_sheet_cutting(parts: Sequence[JobPart], workshop: Workshop, units: int) -> Planned:
    """Plan the sheets of a batch.

    Args:
        parts: Parts of one unit; those that are not of sheet are passed over.
        workshop: The shop: sheets on sale, shears or saw.
        units: Units of the batch.

    Returns:
        Sheets as they are cut, a bound for each stock, and findings.
    """
    groups: dict[str, list[JobPart]] = {}
    for part in parts:
        if part.sheet is not None and units > 0:
            groups.setdefault(part.stock, []).append(part)
    sheets: list[CutSheet] = []
    bounds: list[CuttingBound] = []
    findings: list[Finding] = []
    for label, members in groups.items():
        item = workshop.stock.get(label)
        if item is None:
            findings.append(tell.no_such_stock(label, [p.id for p in members], workshop.stock))
            continue
        if not item.sheets:
            findings.append(_none_on_sale(label))
            continue
        fit = []
        for part in members:
            if _fits(part, item, workshop):
                fit.append(part)
            else:
                findings.append(_too_large(part, item))
        if fit:
            made = _planned(fit, item, workshop, units)
            sheets += made[0]
            bounds.append(made[1])
            findings += made[2]
    return tuple(sheets), tuple(bounds), findings


def _wish(part: JobPart, units: int) -> tuple[SheetWish, bool]:
    """A blank as it must lie, and whether its own x runs across the sheet from the start."""
    sheet = part.sheet
    if sheet is None:
        raise ValueError(f"{part.id} is not of sheet")
    across = sheet.grain == "y"
    length, width = (sheet.width, sheet.length) if across else (sheet.length, sheet.width)
    demand = part.quantity * units
    return SheetWish(length=length, width=width, demand=demand, may_turn=not sheet.grain), across


def _fits(part: JobPart, item: StockItem, workshop: Workshop) -> bool:
    wish, _ = _wish(part, 1)
    trim = 2 * workshop.sheet_work.trim
    ways = [(wish.length, wish.width)] + ([(wish.width, wish.length)] if wish.may_turn else [])
    return any(a <= s.length - trim and b <= s.width - trim for a, b in ways for s in item.sheets)


def _planned(
    fit: Sequence[JobPart], item: StockItem, workshop: Workshop, units: int
) -> tuple[list[CutSheet], CuttingBound, list[Finding]]:
    work = workshop.sheet_work
    money = all(s.price is not None for s in item.sheets)
    sizes = [
        SheetSize(length=s.length, width=s.width, cost=_cost(s, money), available=s.available) for s in item.sheets
    ]
    wishes = [_wish(part, units) for part in fit]
    plan = plan_sheets([w for w, _ in wishes], sizes, SheetCutting(kerf=work.kerf, trim=work.trim))
    cut = [_cut(used, fit, wishes, item) for used in plan.sheets]
    findings = [_too_few(item)] if plan.short else []
    return cut, _bound(plan, item, workshop.currency if money else ""), findings


def _cost(sheet: StockSheet, money: bool) -> float:
    return sheet.price if money and sheet.price is not None else sheet.length * sheet.width / 1e6


def _cut(
    used: UsedSheet, fit: Sequence[JobPart], wishes: Sequence[tuple[SheetWish, bool]], item: StockItem
) -> CutSheet:
    size = item.sheets[used.size]
    pieces = []
    area = 0.0
    for number, x, y, turned in used.pieces:
        (wish, across), part = wishes[number], fit[number]
        length, width = (wish.width, wish.length) if turned else (wish.length, wish.width)
        pieces.append(SheetPiece(part=part.id, x=x, y=y, length=length, width=width, turned=turned != across))
        area += abs(area_and_centroid(part.outline)[0])
    return CutSheet(
        stock=item.label, length=size.length, width=size.width, count=used.count, pieces=tuple(pieces),
        cuts=used.cuts, used=area / (size.length * size.width), price=size.price,
    )  # fmt: skip


def _bound(plan: SheetPlan, item: StockItem, currency: str) -> CuttingBound:
    """In money where prices are known; in sheets where there is but one size; else in m2."""
    used = sum(sheet.count for sheet in plan.sheets)
    cost, bound, unit = plan.cost, plan.lower_bound, currency or "m2"
    if not currency and len(item.sheets) == 1:
        one = _cost(item.sheets[0], False)
        cost, bound, unit = float(used), math.ceil(plan.lower_bound / one - 1e-6), "sheets"
    return CuttingBound(
        stock=item.label, used=used, cost=cost, lower_bound=bound, unit=unit, proven=plan.proven, gap=plan.gap
    )


# ------------------------------------------------------------------------------------------------ what to buy
def sheet_materials(parts: Sequence[JobPart], sheets: Sequence[CutSheet], workshop: Workshop) -> list[MaterialLine]:
    """Return the sheets to buy, size by size."""
    thickness = {part.stock: part.thickness or 0.0 for part in parts if part.sheet is not None}
    counts: dict[tuple[str, float, float], int] = {}
    prices: dict[tuple[str, float, float], float | None] = {}
    for sheet in sheets:
        key = (sheet.stock, sheet.length, sheet.width)
        counts[key] = counts.get(key, 0) + sheet.count
        prices[key] = sheet.price
    out = []
    for (stock, length, width), count in counts.items():
        price, item = prices[(stock, length, width)], workshop.stock.get(stock)
        out.append(
            MaterialLine(
                item=f"{stock}, {length:g} x {width:g} mm", quantity=count, unit="sheet",
                mass_kg=length * width * thickness.get(stock, 0.0) * STEEL_DENSITY_KG_MM3 * count,
                price=None if price is None else price * count, supplier=item.supplier if item else "", kind="sheet",
            )
        )  # fmt: skip
    return out


# ------------------------------------------------------------------------------------------------ findings
def _none_on_sale(label: str) -> Finding:
    return Finding(
        code="stock-without-sheets",
        where=f"stock.{label}",
        wrong=said("`{stock}` has no sheets on sale", stock=label),
        expected=said("at least one size: how the blanks lie on sheets is not worked out without it"),
        fix=said("add `sheets: [{size: [2000, 1000]}]` with the sizes that the shop can buy"),
        severity=Severity.NOTE,
    )


def _too_large(part: JobPart, item: StockItem) -> Finding:
    sheet = part.sheet
    length, width = (0.0, 0.0) if sheet is None else (sheet.length, sheet.width)
    return Finding(
        code="blank-too-large",
        where=f"parts.{part.id}",
        wrong=said("the blank measures {length:.0f} by {width:.0f} mm", length=length, width=width),
        expected=said("no larger than a sheet on sale of `{stock}`, less its trimmed edges", stock=item.label),
        fix=said("add a larger sheet, free the grain, or divide the part"),
    )


def _too_few(item: StockItem) -> Finding:
    return Finding(
        code="stock-too-little",
        where=f"stock.{item.label}",
        wrong=said("there are not enough sheets of `{stock}` for the batch", stock=item.label),
        expected=said("as many as the plan cuts"),
        fix=said("build fewer units, or raise `available`"),
        severity=Severity.WARNING,
    )
