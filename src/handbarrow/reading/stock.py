"""Stock texts of both files, with the finding for a text that is none."""

from __future__ import annotations

from typing import Protocol

from handbarrow.language import said
from handbarrow.laws.materials.stock import Stock, StockFault, parse_stock
from handbarrow.reading.book import quoted

__all__ = ["Refuse", "stock_of"]


class Refuse(Protocol):
    """Writes a finding down: `Spot.refuse`, or `Spot.refuse_key` for one key."""

    def __call__(self, *, code: str, wrong: str, expected: str, fix: str) -> None:
        """Write it down."""


def stock_of(refuse: Refuse, text: str) -> Stock | None:
    """Return the stock that a text names; a finding and None if it names none."""
    stock = parse_stock(text)
    if isinstance(stock, StockFault):
        refuse(
            code="stock-unclear",
            wrong=said("{text} is no stock: {why}", text=quoted(text), why=stock.wrong),
            expected=stock.expected,
            fix=said("write it as the shop calls it: kind, then sizes in mm with `x` between them"),
        )
        return None
    return stock
