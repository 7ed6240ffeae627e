"""What the shop can get: tube, bar and plate with steel, lengths on sale and off-cuts; prices of bought items."""

from __future__ import annotations

from functools import partial

from handbarrow.language import said
from handbarrow.laws.materials.steel import least_yield
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.reading.book import quoted
from handbarrow.reading.limits import AXLES, HUBS, NOT_NEGATIVE, POSITIVE
from handbarrow.reading.spot import Spot
from handbarrow.reading.stock import stock_of
from handbarrow.workshop.read_sheet_work import read_sheets
from handbarrow.workshop.read_soft import CLOTH_KEYS, STRAP_KEYS, read_soft
from handbarrow.workshop.values import OffCut, Price, StockItem, StockLength

__all__ = ["read_prices", "read_stock"]

BAR_KEYS = ("steel", "steel source", "yield", "supplier", "lengths", "off-cuts")
PLATE_KEYS = ("steel", "steel source", "yield", "supplier", "price per kg")
SHEET_KEYS = (*PLATE_KEYS, "sheets")
MOST_PIECES = 100_000


def read_stock(spot: Spot | None) -> dict[str, StockItem]:
    """Return the stock by its canonical label."""
    items: dict[str, StockItem] = {}
    if spot is None:
        return items
    for text, value in spot.entries(said("kinds of stock, as `tube 26.9x2.3:` with its lengths"), 500):
        stock = stock_of(partial(spot.refuse_key, text), text)
        if stock is None:
            continue
        if stock.wheel is not None:
            spot.refuse_key(
                text,
                code="stock-of-wrong-kind",
                wrong=said("{text} is a wheel", text=quoted(text)),
                expected=said("tube, bar or plate under `stock`"),
                fix=said("move it to `prices`"),
            )
        if stock.label in items:
            spot.refuse_key(
                text,
                code="stock-twice",
                wrong=said("{text} is {stock}, which stands here already", text=quoted(text), stock=stock.label),
                expected=said("each stock once"),
                fix=said("put all lengths and off-cuts under one of them"),
            )
            continue
        items[stock.label] = _item(stock, value)
    return items


def _item(stock: Stock, value: Spot) -> StockItem:
    if stock.soft is not None:
        fields = value.fields(CLOTH_KEYS if stock.soft.kind == "cloth" else STRAP_KEYS)
        return StockItem(label=stock.label, supplier=fields.text("supplier"), soft=read_soft(stock.soft, fields))
    fields = value.fields(BAR_KEYS if stock.section is not None else SHEET_KEYS if stock.is_sheet else PLATE_KEYS)
    steel, source = fields.text("steel"), fields.text("steel source")
    yield_mpa = fields.maybe("yield", "pressure", POSITIVE)
    grade = least_yield(steel)
    if yield_mpa is None and grade is not None:
        yield_mpa = grade.yield_mpa
        states = f"yield: least value of {grade.name} ({grade.source})"
        source = f"{source}; {states}" if source else states
    return StockItem(
        label=stock.label,
        steel=steel,
        steel_source=source,
        yield_mpa=yield_mpa,
        lengths=_lengths(fields.get("lengths")),
        off_cuts=_off_cuts(fields.get("off-cuts")),
        price_kg=fields.maybe("price per kg", "number", NOT_NEGATIVE),
        sheets=read_sheets(fields.get("sheets")),
        supplier=fields.text("supplier"),
    )


def _lengths(spot: Spot | None) -> tuple[StockLength, ...]:
    out = []
    for one in [] if spot is None else spot.items(said("lengths on sale, as `{length: 6000, price: 31.20}`")):
        fields = one.fields(("length", "price", "available"), ("length",))
        out.append(
            StockLength(
                length=fields.number("length", "length", 1.0, POSITIVE),
                price=fields.maybe("price", "number", NOT_NEGATIVE),
                available=fields.whole("available", 0, 0, MOST_PIECES) if "available" in fields else None,
            )
        )
    return tuple(out)


def _off_cuts(spot: Spot | None) -> tuple[OffCut, ...]:
    out = []
    for one in [] if spot is None else spot.items(said("off-cuts in the rack, as `{length: 1180, count: 3}`")):
        fields = one.fields(("length", "count"), ("length",))
        length = fields.number("length", "length", 1.0, POSITIVE)
        out.append(OffCut(length=length, count=fields.whole("count", 1, 1, MOST_PIECES)))
    return tuple(out)


def read_prices(spot: Spot | None) -> dict[str, Price]:
    """Return the price list by the item's name; wheels by their canonical label."""
    prices: dict[str, Price] = {}
    if spot is None:
        return prices
    for name, value in spot.entries(said("items by name, as `wheel 47-406: {price: 24.50}`"), 2000):
        fields = value.fields(("price", "supplier", "mass", "pack", "hub", "axle", "largest load"), ("price",))
        stock = parse_stock(name)
        label = stock.label if isinstance(stock, Stock) and stock.wheel is not None else " ".join(name.split())
        prices[label] = Price(
            price=fields.number("price", "number", 0.0, NOT_NEGATIVE),
            supplier=fields.text("supplier"),
            mass_kg=fields.maybe("mass", "mass", POSITIVE),
            pack=fields.maybe("pack", "number", POSITIVE),
            hub=fields.maybe("hub", "length", HUBS),
            axle=fields.maybe("axle", "length", AXLES),
            largest_kg=fields.maybe("largest load", "mass", POSITIVE),
        )
    return prices
