"""What is said about pieces and bars that do not go together."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Sequence

from handbarrow.findings import Finding, Severity
from handbarrow.language import listed, said
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import StockItem

__all__ = [
    "no_length",
    "no_length_on_sale",
    "no_price",
    "no_such_stock",
    "rack_too_small",
    "too_few_bars",
    "too_long",
]

SLEEVE_OUTSIDES = 6
"""Length of a splice sleeve in outside sizes of the tube (common practice, no source): three into each half."""


def no_such_stock(label: str, parts: Sequence[str], known: Iterable[str]) -> Finding:
    """The design wants a stock that the workshop file does not name."""
    near = difflib.get_close_matches(label, list(known), n=1)
    return Finding(
        code="stock-not-in-workshop",
        where=f"parts.{parts[0]}.stock",
        wrong=said(
            "`{stock}` ({parts}) is not in the workshop file",
            stock=label,
            parts=", ".join(parts[:4] if len(parts) <= 4 else [*parts[:4], "..."]),
        ),
        expected=said("a stock with its lengths on sale"),
        fix=said("use `{near}`, or add `{stock}` under stock in the workshop file", near=near[0], stock=label)
        if near
        else said("add `{stock}` under stock in the workshop file", stock=label),
    )


def no_length_on_sale(label: str) -> Finding:
    """The stock is named, but neither a length on sale nor an off-cut."""
    return Finding(
        code="stock-without-lengths",
        where=f"stock.{label}",
        wrong=said("`{stock}` has no length on sale and no off-cut", stock=label),
        expected=said("at least one length"),
        fix=said("add `lengths: [{length: 6000}]` with the length that the shop can buy"),
    )


def no_length(path: str, length: float) -> Finding:
    """A part whose cut length is no length."""
    return Finding(
        code="piece-without-length",
        where=path,
        wrong=said("its cut length comes out as {length:g} mm", length=length),
        expected=said("a length above 0"),
        fix=said("look at its points and its end cuts: they leave nothing to cut"),
    )


def too_long(
    piece: tuple[str, float], item: StockItem, longest: float, trim: float, section: Section | None
) -> Finding:
    """A piece that no bar holds: offer a splice or another length."""
    path, length = piece
    usable = longest - 2 * trim
    fix = said(
        "add a length of at least {length} mm under stock, {stock}, or shorten the part",
        length=math.ceil(length + 2 * trim),
        stock=item.label,
    )
    if section is not None and section.is_hollow and usable > 0:
        halves = math.ceil(length / usable)
        inside = f"{section.height - 2 * section.wall:.1f}"
        if not section.is_round:
            inside += f" x {section.width - 2 * section.wall:.1f}"
        sleeve = SLEEVE_OUTSIDES * section.outside
        fix = said(
            "{first}; or splice it from {count} pieces of {each:.0f} mm, clear of bends and joints, over a "
            "sleeve inside that fills {inside} mm and is {sleeve} mm long, welded all round",
            first=fix,
            count=halves,
            each=length / halves,
            inside=inside,
            sleeve=math.ceil(sleeve / 10) * 10,
        )
    return Finding(
        code="piece-longer-than-stock",
        where=path,
        wrong=said(
            "the piece is {length:.1f} mm long, the longest bar of {stock} gives {usable:.1f} mm",
            length=length,
            stock=item.label,
            usable=usable,
        ),
        expected=said(
            "at most {usable:.1f} mm ({longest:g} mm less {trim:g} mm of trim at each end)",
            usable=usable,
            longest=longest,
            trim=trim,
        ),
        fix=fix,
    )


def too_few_bars(label: str, rows: Sequence[tuple[float, int, int]]) -> Finding:
    """Bars on sale are limited and too few: the plan counts on more of them."""
    more = listed(
        said("{count} more of {length:g} mm (there are {there})", count=n, length=length, there=there)
        for length, there, n in rows
    )
    return Finding(
        code="stock-too-little",
        where=f"stock.{label}",
        wrong=said("the bars of {stock} do not do for the batch; the plan takes {more}", stock=label, more=more),
        expected=said("enough bars for all pieces"),
        fix=said("find these bars, add another length on sale, or make fewer units; do not begin to cut before"),
        severity=Severity.WARNING,
    )


def rack_too_small(label: str, pieces: int) -> Finding:
    """There are only off-cuts, and not enough."""
    return Finding(
        code="stock-too-little",
        where=f"stock.{label}",
        wrong=said(
            "the off-cuts of {stock} do not do for the batch: {pieces} pieces find no place, and nothing is on sale",
            stock=label,
            pieces=pieces,
        ),
        expected=said("enough off-cuts, or a length on sale"),
        fix=said("add `lengths` with a length that the shop can buy, or make fewer units"),
    )


def no_price(item: StockItem, prices: Sequence[float | None]) -> list[Finding]:
    """Lengths on sale without a price: which length is cheaper is not known, so length is saved instead of money."""
    if len(item.lengths) < 2:
        return []
    known = sum(p is not None for p in prices)
    return [
        Finding(
            code="cutting-without-prices",
            where=f"stock.{item.label}.lengths",
            wrong=said(
                "{count} of {all} lengths of {stock} have no price",
                count=len(item.lengths) - known,
                all=len(item.lengths),
                stock=item.label,
            ),
            expected=said("a price for each length, so that the cheapest bars can be chosen"),
            fix=said(
                "add `price` to each; until then the plan uses up as little length as it can, not as little money"
            ),
            severity=Severity.NOTE,
        )
    ]
