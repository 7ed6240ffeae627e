"""What a product is for: `carries`, `towed at`, `held at`, `stands on`, `lifts`, `swivel`, `ride`, `km a week`."""

from __future__ import annotations

from handbarrow.design.read_context import Context
from handbarrow.design.read_ride import read_ride
from handbarrow.design.read_swivel import check_assembly, read_swivel
from handbarrow.design.read_targets import point_of, targets_of
from handbarrow.design.uses import Carried, Lift, ResultPoint, Uses
from handbarrow.language import said
from handbarrow.reading.limits import POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot

__all__ = ["USES", "read_uses"]

USES = ("carries", "towed at", "held at", "stands on", "lifts", "swivel", "ride", "km a week")
MOST = 20
"""Things carried, ways of lifting, places held."""
KM = Limits(1.0, 1000.0)


def read_uses(fields: Fields, context: Context) -> Uses:
    """Return what the design says of its use."""
    towed = fields.get("towed at")
    places = [] if towed is None else _points([towed], context)
    return Uses(
        carries=_carries(fields.get("carries"), context),
        towed_at=places[0] if places else None,
        held_at=_list(fields.get("held at"), context),
        stands_on=_list(fields.get("stands on"), context),
        lifts=_lifts(fields.get("lifts"), context),
        swivel=read_swivel(fields.get("swivel"), context),
        ride=read_ride(fields.get("ride")),
        km_a_week=fields.maybe("km a week", "number", KM),
    )


def _carries(spot: Spot | None, context: Context) -> tuple[Carried, ...]:
    if spot is None:
        return ()
    out = []
    what = said("loads by name, as `goods: {mass: 80 kg, on: side-rail, at: [0, 0, 500]}`")
    for name, value in spot.entries(what, MOST):
        fields = value.fields(("mass", "on", "at"), ("mass", "on", "at"))
        on = fields.get("on")
        targets = () if on is None else context.targets(targets_of(on, MOST))
        mass = fields.number("mass", "mass", 1.0, POSITIVE)
        out.append(Carried(name=" ".join(name.split()), mass_kg=mass, on=targets, at=fields.vector("at")))
    return tuple(out)


def _lifts(spot: Spot | None, context: Context) -> tuple[Lift, ...]:
    if spot is None:
        return ()
    out = []
    what = said("ways of carrying by name, as `by two: {lifts: cot, at: [handle corner 1, handle corner 2]}`")
    for name, value in spot.entries(what, MOST):
        fields = value.fields(("lifts", "at", "people"), ("at",))
        assembly = fields.text("lifts")
        if assembly:
            check_assembly(value.at("lifts"), assembly, context)
        people, at = fields.whole("people", 0, 1, MOST), _list(fields.get("at"), context)
        out.append(Lift(name=" ".join(name.split()), assembly=assembly, at=at, people=people))
    return tuple(out)


def _list(spot: Spot | None, context: Context) -> tuple[ResultPoint, ...]:
    if spot is None:
        return ()
    return tuple(_points(spot.items(said("points, as `handle middle`"), 1, MOST) if spot.is_list else [spot], context))


def _points(spots: list[Spot], context: Context) -> list[ResultPoint]:
    out = []
    for spot in spots:
        point = point_of(spot)
        if point is not None:
            context.named.append((spot, point.target))
            out.append(point)
    return out
