"""Cloth for the batch laid on the roll; webbing, cord and elastic by length; thread. What it all costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from handbarrow.findings import Finding, Severity
from handbarrow.job.consumables import used_line
from handbarrow.job.remembered import remembered
from handbarrow.job.soft_values import PanelWork, StrapWork
from handbarrow.job.values import JobPart, MaterialLine
from handbarrow.language import said
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.laws.sewing.roll import RollLayout, RollPiece, lay_on_roll
from handbarrow.workshop.values import Workshop

__all__ = ["RollPlan", "roll_findings", "roll_plans", "soft_materials", "thread_of"]

THREAD_SPARE = 1.1
"""Thread that is wound, tried and pulled out again: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RollPlan:
    """How one cloth is cut.

    Attributes:
        stock: Its label.
        width: Useful width of the roll [mm].
        pieces: Kinds of pieces, sizes as cut along and across the roll [mm].
        turned: Of each kind, whether its length lies across the roll.
        layout: Where they lie.
    """

    stock: str
    width: float
    pieces: tuple[RollPiece, ...]
    turned: tuple[bool, ...]
    layout: RollLayout


@remembered
def roll_plans(parts: Sequence[JobPart], workshop: Workshop, units: int) -> tuple[RollPlan, ...]:
    """Return the layouts of the batch, one for each cloth that the shop has on a roll that is wide enough.

    Panels lie with their length along the roll; one that is too wide for it lies across, where it fits so. Shaped
    panels take the rectangle round them.
    """
    out = []
    for stock in dict.fromkeys(part.stock for part in parts if isinstance(part.soft, PanelWork)):
        soft = workshop.soft(stock)
        width = soft.roll_width if soft is not None else None
        panels = [part for part in parts if part.stock == stock and isinstance(part.soft, PanelWork)]
        if width is None or any(_lies(part, width) is None for part in panels):
            continue
        turned = tuple(bool(_lies(part, width)) for part in panels)
        pieces = tuple(_piece(part, turn, units) for part, turn in zip(panels, turned, strict=True))
        layout = lay_on_roll(pieces, width, workshop.sewing.gap)
        out.append(RollPlan(stock=stock, width=width, pieces=pieces, turned=turned, layout=layout))
    return tuple(out)


def _cut(part: JobPart) -> tuple[float, float]:
    return part.soft.cut if isinstance(part.soft, PanelWork) else (0.0, 0.0)


def _lies(part: JobPart, width: float) -> bool | None:
    """Whether a panel lies across the roll; None: it fits neither way."""
    length, across = _cut(part)
    return False if across <= width else True if length <= width else None


def _piece(part: JobPart, turned: bool, units: int) -> RollPiece:
    length, width = _cut(part)
    if turned:
        length, width = width, length
    return RollPiece(name=part.id, length=length, width=width, count=part.quantity * units)


def roll_findings(parts: Sequence[JobPart], workshop: Workshop) -> list[Finding]:
    """Return what stands in the way of cutting cloth and webbing."""
    out = []
    for stock in dict.fromkeys(part.stock for part in parts if part.soft is not None):
        soft = workshop.soft(stock)
        panels = [part for part in parts if part.stock == stock and isinstance(part.soft, PanelWork)]
        if soft is None or (panels and soft.roll_width is None):
            out.append(_unknown(stock, bool(panels)))
            continue
        width = soft.roll_width or math.inf
        out += [_too_wide(part, width) for part in panels if _lies(part, width) is None]
    return out


def soft_materials(parts: Sequence[JobPart], workshop: Workshop, units: int) -> list[MaterialLine]:
    """Return cloth by the length of roll that is used, webbing, cord and elastic by their lengths, and thread."""
    lengths: dict[str, float] = {plan.stock: plan.layout.length for plan in roll_plans(parts, workshop, units)}
    for part in parts:
        if isinstance(part.soft, StrapWork):
            lengths[part.stock] = lengths.get(part.stock, 0.0) + part.soft.length * part.quantity * units
    lines = [_line(stock, length, workshop) for stock, length in lengths.items()]
    thread = thread_of(parts, units)
    if thread > 0 and workshop.sewing.thread:
        rule = said("thread of needle and bobbin, with a tenth to spare (common practice, no source)")
        lines.append(used_line(workshop.sewing.thread, thread * THREAD_SPARE / 1000, "m", rule, workshop))
    return lines


def thread_of(parts: Sequence[JobPart], units: int) -> float:
    """Return thread for the batch, needle and bobbin together [mm]."""
    return sum(part.soft.thread * part.quantity * units for part in parts if part.soft is not None)


def _line(stock: str, length: float, workshop: Workshop) -> MaterialLine:
    item, soft = workshop.stock.get(stock), workshop.soft(stock)
    price = None if soft is None or soft.price_m is None else soft.price_m * length / 1000
    parsed = parse_stock(stock)
    per_m = soft.mass_g_m if soft is not None else None
    if soft is not None and isinstance(parsed, Stock) and parsed.soft is not None and parsed.soft.kind == "cloth":
        per_m = parsed.soft.mass_g_m2 * (soft.roll_width or 0.0) / 1000
    return MaterialLine(
        item=stock, quantity=length / 1000, unit="m", mass_kg=None if per_m is None else per_m * length * 1e-6,
        price=price, supplier=item.supplier if item is not None else "", kind="soft",
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ findings
def _unknown(stock: str, cloth: bool) -> Finding:
    key = said("with `roll width`") if cloth else said("with `mass per m`")
    return Finding(
        code="soft-stock-unknown",
        where=f"stock.{stock}",
        wrong=said("the workshop does not say what it has of {stock}", stock=stock),
        expected=said("{stock} under `stock`, {key}", stock=stock, key=key),
        fix=said("add it to the workshop file"),
        severity=Severity.WARNING,
    )


def _too_wide(part: JobPart, width: float) -> Finding:
    length, across = _cut(part)
    return Finding(
        code="panel-wider-than-roll",
        where=f"parts.{part.id}.panel",
        wrong=said("{part} is cut {length:.0f} × {across:.0f} mm", part=part.id, length=length, across=across),
        expected=said("one side of at most {width:.0f} mm, the useful width of the roll", width=width),
        fix=said("make it of two panels with a seam, or take a wider roll"),
    )
