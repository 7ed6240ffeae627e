"""`swivel`: which assemblies turn about what, where the product is hitched, and how far they must."""

from __future__ import annotations

import math
from typing import cast

from handbarrow.design.read_context import Context
from handbarrow.design.uses import Swivel, SwivelWay
from handbarrow.language import said
from handbarrow.reading.limits import Limits
from handbarrow.reading.spot import Spot

__all__ = ["check_assembly", "read_swivel"]

WAYS: dict[str, tuple[tuple[float, float, float], float]] = {
    "sideways": ((0.0, 0.0, 1.0), 75.0),
    "up and down": ((0.0, 1.0, 0.0), 25.0),
    "leaning": ((1.0, 0.0, 0.0), 60.0),
}
"""The axis that each way turns about, and how far it must [degrees] where the design does not say: in a tight turn,
over the brow of a ramp, in a bend or with the bicycle leant against a wall. Common practice, no source."""
TURNS = Limits(1.0, 180.0)


def read_swivel(spot: Spot | None, context: Context) -> tuple[Swivel, ...]:
    """Return the ways that a hitch turns, as far as the design says so."""
    if spot is None:
        return ()
    fields = spot.fields(tuple(WAYS))
    out = []
    for name, (axis, needs) in WAYS.items():
        way = fields.get(name)
        if way is None:
            continue
        own = way.fields(("turns", "axis", "about", "needs"), ("turns", "about"))
        turns = own.get("turns")
        out.append(
            Swivel(
                way=cast(SwivelWay, name),
                turns=() if turns is None else _assemblies(turns, context),
                axis=own.direction("axis", axis),
                about=own.vector("about"),
                needs_rad=own.number("needs", "angle", math.radians(needs), TURNS),
            )
        )
    return tuple(out)


def _assemblies(spot: Spot, context: Context) -> tuple[str, ...]:
    names = []
    for one in spot.items(said("assemblies"), 1, 20) if spot.is_list else [spot]:
        name = one.text(said("an assembly"))
        check_assembly(one, name, context)
        names.append(name)
    if set(context.assemblies) <= set(names):
        spot.refuse(
            code="swivel-turns-all",
            wrong=said("all assemblies turn: nothing is left that they turn against"),
            expected=said("the assemblies on the bicycle's side of the axis"),
            fix=said("take out what stays with the product"),
        )
    return tuple(names)


def check_assembly(spot: Spot, name: str, context: Context) -> None:
    """Write a finding down if there is no assembly of this name."""
    if name and name not in context.assemblies:
        close = spot.book.nearest(name, context.assemblies)
        spot.refuse(
            code="unknown-assembly",
            wrong=said("`{name}` is no assembly", name=name),
            expected=said("one of {names}", names=", ".join(context.assemblies)),
            fix=said("write `{close}`", close=close) if close else said("name an assembly of the file"),
        )
