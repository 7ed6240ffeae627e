"""What a shop uses up: electrodes or wire, gas, paint, discs, grease."""

from __future__ import annotations

from handbarrow.language import said
from handbarrow.laws.hardware.consumables import DEPOSITION, PAINT_LOSS
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.reading.limits import POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot
from handbarrow.workshop.consumable_values import NOTHING_USED, Consumables, Discs, Grease, Paint, Welding

__all__ = ["read_consumables"]

THIN = Limits(0.4, 8.0)
SOLIDS = Limits(5.0, 100.0)
COAT = Limits(0.005, 1.0)
STICK = "stick"


def read_consumables(spot: Spot | None) -> Consumables:
    """Return what the shop uses up, as far as it says so."""
    if spot is None:
        return NOTHING_USED
    fields = spot.fields(("welding", "paint", "discs", "grease"))
    return Consumables(
        welding=_welding(fields.get("welding")),
        paint=_paint(fields.get("paint")),
        discs=_discs(fields.get("discs")),
        grease=_grease(fields.get("grease")),
    )


def _item(fields: Fields, key: str = "item") -> str:
    return " ".join(fields.text(key, what=said("its name in the price list")).split())


def _welding(spot: Spot | None) -> Welding | None:
    if spot is None:
        return None
    stick = ("item", "by", "electrode", "length")
    wire = ("item", "by", "gas", "gas per minute", "speed")
    by = spot.fields((*stick, *wire), ("item", "by")).choice("by", tuple(DEPOSITION), next(iter(DEPOSITION)))
    if by.startswith(STICK):
        fields = spot.fields(stick, ("electrode",))
        return Welding(
            by=by,
            item=_item(fields),
            electrode=fields.number("electrode", "length", 2.5, THIN),
            length=fields.number("length", "length", 350.0, Limits(100.0, 600.0)),
        )
    fields = spot.fields(wire, ("gas per minute", "speed") if "gas" in spot.node.keys else ())
    return Welding(
        by=by,
        item=_item(fields),
        gas=_item(fields, "gas"),
        gas_per_minute=fields.number("gas per minute", "number", 0.0, Limits(0.0, 100.0)),
        speed=fields.number("speed", "length", 0.0, Limits(0.0, 5000.0, above=True)) if "speed" in fields else 0.0,
    )


def _paint(spot: Spot | None) -> Paint | None:
    if spot is None:
        return None
    fields = spot.fields(("item", "coats", "solids", "dry", "by"), ("item", "solids", "dry", "by"))
    return Paint(
        item=_item(fields),
        coats=fields.whole("coats", 1, 1, 20),
        solids=fields.number("solids", "number", 50.0, SOLIDS) / 100,
        dry=fields.number("dry", "length", 0.04, COAT),
        by=fields.choice("by", tuple(PAINT_LOSS), next(iter(PAINT_LOSS))),
    )


def _discs(spot: Spot | None) -> Discs | None:
    if spot is None:
        return None
    fields = spot.fields(("item", "cuts", "of"), ("item", "cuts", "of"))
    of, stock = fields.text("of"), None
    if of:
        stock = parse_stock(of)
        if not isinstance(stock, Stock) or stock.section is None:
            fields.spot.at("of").refuse(
                code="stock-unclear",
                wrong=said("{seen} is no tube or bar", seen=fields.spot.at("of").seen),
                expected=said("the stock that the cuts were counted on, as `tube 26.9x2.3`"),
                fix=said("write the stock of the bars that one disc was tried on"),
            )
    label = stock.label if isinstance(stock, Stock) else ""
    return Discs(item=_item(fields), cuts=fields.number("cuts", "number", 1.0, POSITIVE), of=label)


def _grease(spot: Spot | None) -> Grease | None:
    if spot is None:
        return None
    fields = spot.fields(("item", "each"), ("item", "each"))
    return Grease(item=_item(fields), each_kg=fields.number("each", "mass", 0.005, POSITIVE))
