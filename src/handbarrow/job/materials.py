"""What to buy for the batch, with masses and prices; what the price list does not know is a finding."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

from handbarrow.findings import Finding, Severity
from handbarrow.job.bolting import bought_items
from handbarrow.job.sheet_cutting import sheet_materials
from handbarrow.job.soft_rolls import roll_findings, soft_materials
from handbarrow.job.values import CuttingPlan, JobPart, MaterialLine
from handbarrow.language import said
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import mass_per_mm
from handbarrow.workshop.values import Workshop

__all__ = ["materials", "total_price"]


def materials(
    parts: Sequence[JobPart],
    plan: CuttingPlan,
    workshop: Workshop,
    units: int,
    used_up: Sequence[MaterialLine] = (),
) -> tuple[tuple[MaterialLine, ...], list[Finding]]:
    """Return the lines to buy for `units` units: bars, plates, bought parts; and a finding for each missing price.

    Args:
        parts: The parts.
        plan: How the bars are cut.
        workshop: The shop.
        units: How many units.
        used_up: What the batch uses up, put last.
    """
    made = [
        *_bars(parts, plan, workshop),
        *_plates(parts, workshop, units),
        *sheet_materials(parts, plan.sheets, workshop),
        *_bought(parts, workshop, units),
    ]
    lines = [*made, *soft_materials(parts, workshop, units), *used_up]
    lacking = [_no_price(line, workshop) for line in lines if line.price is None]
    return tuple(lines), [*roll_findings(parts, workshop), *lacking]


def total_price(lines: Iterable[MaterialLine]) -> float | None:
    """Return the sum of all prices; None if one is not known."""
    prices = [line.price for line in lines]
    known = [p for p in prices if p is not None]
    return sum(known) if len(known) == len(prices) else None


def _bars(parts: Sequence[JobPart], plan: CuttingPlan, workshop: Workshop) -> list[MaterialLine]:
    sections: dict[str, Section] = {p.stock: p.section for p in parts if p.section is not None}
    counts: dict[tuple[str, float], int] = {}
    prices: dict[tuple[str, float], float | None] = {}
    for bar in plan.bars:
        if bar.source == "shop":
            key = (bar.stock, bar.length)
            counts[key] = counts.get(key, 0) + bar.count
            prices[key] = bar.price
    out = []
    for (stock, length), count in counts.items():
        price, section = prices[(stock, length)], sections.get(stock)
        item = workshop.stock.get(stock)
        out.append(
            MaterialLine(
                item=f"{stock}, {length:g} mm",
                quantity=count,
                unit="bar",
                mass_kg=None if section is None else mass_per_mm(section) * length * count,
                price=None if price is None else price * count,
                supplier=item.supplier if item else "",
                kind="bar",
                length=length,
            )
        )
    return out


def _plates(parts: Sequence[JobPart], workshop: Workshop, units: int) -> list[MaterialLine]:
    """Plates by net mass: how they lie on a sheet is not worked out, so what the shears waste is not in it."""
    net: dict[str, float] = {}
    for part in parts:
        if part.kind == "plate" and part.mass_kg is not None:
            net[part.stock] = net.get(part.stock, 0.0) + part.mass_kg * part.quantity * units
    out = []
    for stock, mass in net.items():
        item = workshop.stock.get(stock)
        price_kg = item.price_kg if item else None
        out.append(
            MaterialLine(
                item=stock,
                quantity=mass,
                unit="kg",
                mass_kg=mass,
                price=None if price_kg is None else price_kg * mass,
                supplier=item.supplier if item else "",
                kind="plate",
            )
        )
    return out


def _bought(parts: Sequence[JobPart], workshop: Workshop, units: int) -> list[MaterialLine]:
    counts: dict[str, int] = {}
    standards: dict[str, str] = {}
    masses: dict[str, float | None] = {}
    for part in parts:
        for one in bought_items(part) if part.kind == "bought" else ():
            counts[one.item] = counts.get(one.item, 0) + part.quantity * one.count * units
            standards.setdefault(one.item, one.standard)
            masses.setdefault(one.item, None if part.mass_kg is None else one.mass_kg)
    out = []
    for item, count in counts.items():
        listed, mass = workshop.prices.get(item), masses[item]
        out.append(
            MaterialLine(
                item=item,
                quantity=count,
                unit="piece",
                mass_kg=None if mass is None else mass * count,
                price=None if listed is None else listed.price * count,
                supplier=listed.supplier if listed else "",
                standard=standards[item],
                kind="bought",
            )
        )
    return out


def _no_price(line: MaterialLine, workshop: Workshop) -> Finding:
    if line.kind in ("bought", "consumable"):
        near = difflib.get_close_matches(line.item, workshop.prices, n=1)
        fix = said("add `{item}` under prices", item=line.item)
        if near:
            fix = said("add `{item}` under prices (is `{near}` meant?)", item=line.item, near=near[0])
        where = f"prices.{line.item}"
    else:
        stock = line.item.split(",")[0]
        fix = said("add `price` to the length on sale under stock, {stock}", stock=stock)
        if line.kind == "soft":
            fix = said("add `price per m` under stock, {stock}", stock=stock)
        if line.kind == "sheet":
            fix = said("add `price` to the size on sale under stock, {stock}", stock=stock)
        if line.kind == "plate":
            fix = said("add `price per kg` under stock, {stock}", stock=stock)
        where = f"stock.{stock}"
    return Finding(
        code="price-missing",
        where=where,
        wrong=said("no price is known for {item}", item=line.item),
        expected=said("a price in the workshop file; the total is left open without it"),
        fix=fix,
        severity=Severity.NOTE,
    )
