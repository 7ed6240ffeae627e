"""Stock texts of both files, with the finding for a text that is none."""

from __future__ import annotations

from handbarrow.laws.materials.stock import Stock, StockFault, parse_stock
from handbarrow.reading.book import quoted
from handbarrow.reading.spot import Spot

__all__ = ["stock_of"]


def stock_of(spot: Spot, text: str) -> Stock | None:
    """Return the stock that a text of this value names; a finding and None if it names none."""
    stock = parse_stock(text)
    if isinstance(stock, StockFault):
        spot.refuse(
            code="stock-unclear",
            wrong=f"{quoted(text)} is no stock: {stock.wrong}",
            expected=stock.expected,
            fix="write it as the shop calls it: kind, then sizes in mm with `x` between them",
        )
        return None
    return stock
