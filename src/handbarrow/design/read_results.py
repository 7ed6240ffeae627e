"""Named results: heights, distances and lengths of the placed product, and formulas of sizes."""

from __future__ import annotations

from typing import Literal, cast

from handbarrow.design.read_context import Context
from handbarrow.design.read_targets import point_of
from handbarrow.design.values import Result, ResultPoint, Target
from handbarrow.language import said
from handbarrow.laws.units.quantity import Quantity
from handbarrow.laws.units.table import PLAIN, of_inside
from handbarrow.reading.book import quoted
from handbarrow.reading.formula import is_size_name
from handbarrow.reading.numbers import quantity_or_formula, reckon
from handbarrow.reading.spot import Fields, Spot

__all__ = ["read_results"]

KINDS = ("height of", "distance", "length of", "value")
Axis = Literal["x", "y", "z"]


def read_results(spot: Spot | None, context: Context) -> tuple[Result, ...]:
    """Return the results in the order of the file."""
    if spot is None:
        return ()
    out = []
    for name, value in spot.entries(said("results by name, as `tow_eye_height: {height of: drawbar end}`"), 500):
        if not is_size_name(name):
            spot.refuse_key(
                name,
                code="name-unclear",
                wrong=said("the result {name} has letters or signs that a name must not have", name=quoted(name)),
                expected=said("small letters, digits and `_`, a letter first; no function's name"),
                fix=said("rename the result, and the sizes that are found by it"),
            )
        result = _result(name, value, context)
        if result is not None:
            out.append(result)
    return tuple(out)


def _result(name: str, value: Spot, context: Context) -> Result | None:
    fields = value.fields((*KINDS, "along"))
    kinds = [key for key in KINDS if key in fields]
    if len(kinds) != 1:
        if value.is_map:
            value.refuse(
                code="result-unclear",
                wrong=said("{count} results under one name", count=len(kinds)),
                expected=said("one of {names}", names=", ".join(KINDS)),
                fix=said("write one of them: `{height of: drawbar end}`"),
            )
        return None
    kind, spot = kinds[0], value.at(kinds[0])
    if kind != "distance" and "along" in fields:
        value.at("along").refuse(
            code="unknown-key",
            wrong=said("`along` stands beside `{kind}`", kind=kind),
            expected=said("`along` beside `distance` only"),
            fix=said("take `along` out"),
        )
    if kind == "value":
        return Result(name=name, kind="value", value=_value(spot))
    if kind == "length of":
        return _length(name, spot, context)
    return _between(name, kind, spot, fields, context)


def _between(name: str, kind: str, spot: Spot, fields: Fields, context: Context) -> Result:
    spots = [spot] if kind == "height of" else spot.items(said("two points, as `[leg start, leg end]`"), 2, 2)
    points = []
    for one in spots:
        point: ResultPoint | None = point_of(one)
        if point is not None:
            context.named.append((one, point.target))
            points.append(point)
    along = fields.choice("along", ("x", "y", "z"), "") or None
    return Result(
        name=name,
        kind="height" if kind == "height of" else "distance",
        points=tuple(points),
        along=cast("Axis | None", along),
    )


def _length(name: str, spot: Spot, context: Context) -> Result:
    part = spot.text(said("a part"))
    if part:
        context.named.append((spot, Target(part=part)))
    return Result(name=name, kind="length", part=part)


def _value(spot: Spot) -> float:
    """A formula of sizes, in the plain unit."""
    parsed = quantity_or_formula(spot, None)
    if isinstance(parsed, Quantity):
        return of_inside(parsed.value, PLAIN[parsed.kind])
    found = reckon(spot, parsed) if parsed is not None else None
    return 0.0 if found is None else found
