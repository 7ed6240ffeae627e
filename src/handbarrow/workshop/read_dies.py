"""The shop's dies with their test bends, and the bender with what stands round it."""

from __future__ import annotations

import math
import re
from collections.abc import Collection
from typing import Literal, cast

from handbarrow.findings import Severity
from handbarrow.language import said
from handbarrow.laws.units.quantity import Quantity, parse_quantity
from handbarrow.laws.units.table import PLAIN, to_inside
from handbarrow.reading.book import quoted, some_of
from handbarrow.reading.limits import ANY, NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot
from handbarrow.reading.stock import stock_of
from handbarrow.workshop.values import Bender, Box, Die, SetAngleLaw

__all__ = ["read_bender", "read_dies"]

DIE_KEYS = (
    "name", "for", "radius", "set angle", "stretch", "reference offset", "straight before", "straight after",
    "largest angle", "tool", "test piece",
)  # fmt: skip
TOOLS = ("bender", "vice", "former")
SLOPES = Limits(0.5, 1.5)
CONSTANTS = Limits(-45.0, 45.0)
ANGLES = Limits(0.0, 180.0, above=True)
STRETCH = re.compile(r"(?P<length>.+?) per (?P<angle>.+)", re.ASCII)


def read_dies(spot: Spot | None, stock: Collection[str]) -> tuple[Die, ...]:
    """Return the dies in the order of the file."""
    dies: list[Die] = []
    for one in [] if spot is None else spot.items(said("dies, each with `name`, `for` and `radius`"), 0, 200):
        die = _die(one, stock)
        if die.name and die.name in {known.name for known in dies}:
            one.refuse(
                code="die-twice",
                wrong=said("two dies are called {name}", name=quoted(die.name)),
                expected=said("a name of its own for each die, as painted on it"),
                fix=said("rename one of them"),
            )
        dies.append(die)
    return tuple(dies)


def _die(spot: Spot, stock: Collection[str]) -> Die:
    fields = spot.fields(DIE_KEYS, ("name", "for", "radius"))
    label, smallest = _bends(fields, stock)
    test = fields.get("test piece")
    pieces = None if test is None else test.fields(("length", "count"), ("length",))
    return Die(
        name=fields.text("name"),
        stock=label,
        radius=fields.number("radius", "length", 1.0, Limits(smallest, above=True)),
        law=_law(fields.get("set angle")),
        stretch_per_rad=_stretch(fields.get("stretch")),
        reference_offset=fields.number("reference offset", "length", 0.0, ANY),
        straight_before=fields.number("straight before", "length"),
        straight_after=fields.number("straight after", "length"),
        largest_angle_rad=fields.number("largest angle", "angle", math.pi, ANGLES),
        tool=cast("Literal['bender', 'vice', 'former']", fields.choice("tool", TOOLS, "bender")),
        test_length=0.0 if pieces is None else pieces.number("length", "length", 0.0, POSITIVE),
        test_count=0 if pieces is None else pieces.whole("count", 1, 0, 100),
    )


def _bends(fields: Fields, stock: Collection[str]) -> tuple[str, float]:
    """What the die bends, and the radius that it must exceed: half of the stock's smaller side [mm]."""
    spot = fields.get("for")
    text = "" if spot is None else spot.text(said("the tube or bar that it bends, as `tube 26.9x2.3`"))
    found = stock_of(spot.refuse, text) if spot is not None and text else None
    if spot is None or found is None:
        return "", 0.0
    if found.section is None:
        spot.refuse(
            code="stock-of-wrong-kind",
            wrong=said("{text} cannot be bent on a die", text=quoted(text)),
            expected=said("tube or bar"),
            fix=said("write what the die bends, as `tube 26.9x2.3`"),
        )
        return "", 0.0
    if found.label not in stock:
        spot.refuse(
            code="die-without-stock",
            wrong=said("the die bends {stock}, which is not under `stock`", stock=found.label),
            expected=said("one of {names}", names=some_of(stock))
            if stock
            else said("a kind of stock under `stock`; none is given"),
            fix=said("add the stock, or leave it if the shop cannot get it now"),
            severity=Severity.NOTE,
        )
    return found.label, min(found.section.height, found.section.width) / 2


def _law(spot: Spot | None) -> SetAngleLaw | None:
    if spot is None:
        return None
    fields = spot.fields(("a", "b", "test bends", "date"), ("a", "b", "test bends"))
    return SetAngleLaw(
        a=fields.number("a", "number", 1.0, SLOPES),
        b_rad=fields.number("b", "angle", 0.0, CONSTANTS),
        test_bends=fields.whole("test bends", 1, 1, 10_000),
        date=fields.text("date"),
    )


def _stretch(spot: Spot | None) -> float:
    """Stretch [mm/rad] from `0.9 per 90`."""
    if spot is None:
        return 0.0
    text = spot.text(said("`0.9 per 90`: length and finished angle"))
    found = STRETCH.fullmatch(text)
    length = _quantity(found["length"], "length") if found else None
    angle = _quantity(found["angle"], "angle") if found else None
    if length is None or angle is None or not 0 < angle <= 2 * math.pi or not abs(length) <= 100:
        if text:
            spot.refuse(
                code="stretch-unclear",
                wrong=said("{seen} does not say how much longer the tube gets in which bend", seen=spot.seen),
                expected=said("a length, up to 100 mm, and the finished angle it belongs to: `0.9 per 90`"),
                fix=said("measure a test piece before and after a bend of 90 degrees; `0 per 90` if it is not known"),
            )
        return 0.0
    return length / angle


def _quantity(text: str, kind: Literal["length", "angle"]) -> float | None:
    found = parse_quantity(text)
    if not isinstance(found, Quantity) or found.kind not in (kind, "number"):
        return None
    return found.value if found.kind == kind else to_inside(found.value, PLAIN[kind])


# ------------------------------------------------------------------------------------------------ bender
def read_bender(spot: Spot | None) -> Bender:
    """Return the bender and the boxes that a tube must clear."""
    if spot is None:
        return Bender()
    fields = spot.fields(("stop", "longest stop", "clearance", "keep clear of"))
    boxes = fields.get("keep clear of")
    longest = fields.maybe("longest stop", "length", POSITIVE)
    return Bender(
        obstacles=()
        if boxes is None
        else tuple(_box(one) for one in boxes.items(said("boxes with `from` and `to`"), 0, 100)),
        clearance=fields.number("clearance", "length", 0.0, NOT_NEGATIVE),
        stop=cast("Literal['end', 'leg']", fields.choice("stop", ("end", "leg"), "end")),
        longest_stop=longest,
    )


def _box(spot: Spot) -> Box:
    fields = spot.fields(("name", "from", "to"), ("name", "from", "to"))
    a, b = fields.vector("from"), fields.vector("to", (1.0, 1.0, 1.0))
    if any(p == q for p, q in zip(a, b, strict=True)) and "from" in fields and "to" in fields:
        spot.refuse(
            code="box-empty",
            wrong=said("`from` and `to` are equal in x, y or z, so the box holds nothing"),
            expected=said("two opposite corners of a box"),
            fix=said("write the corner on the other side"),
        )
    return Box(
        name=fields.text("name"),
        low=(min(a[0], b[0]), min(a[1], b[1]), min(a[2], b[2])),
        high=(max(a[0], b[0]), max(a[1], b[1]), max(a[2], b[2])),
    )
