"""`ride`: the bicycle, the people and how they lie, the paths."""

from __future__ import annotations

from typing import Literal, cast

from handbarrow.design.ride_values import Guest, Lying, Path, Ride, RideBicycle
from handbarrow.language import said
from handbarrow.laws.ride.effort import SURFACES
from handbarrow.reading.limits import NOT_NEGATIVE, Limits
from handbarrow.reading.spot import Fields, Spot

__all__ = ["read_ride"]

MOST = 12
"""People, ways of lying, paths."""
METRE = 1000.0
KMH = 1e6 / 3600.0
"""One kilometre an hour [mm/s]."""
MASS_BICYCLE, MASS_GUEST = Limits(20.0, 400.0), Limits(2.0, 300.0)
WHEELBASE, TALL = Limits(500.0, 3000.0), Limits(400.0, 2400.0)
HEIGHT, AHEAD = Limits(50.0, 2500.0), Limits(-2000.0, 3000.0)
RISE, LEAN = Limits(0.0, 500.0), Limits(0.0, 500.0)
"""In a metre [mm]."""
TURN, SPEED, KERB = Limits(300.0, 100_000.0), Limits(0.5, 60.0), Limits(0.0, 500.0)
BACK = Limits(0.0, 90.0)


def read_ride(spot: Spot | None) -> Ride | None:
    """Return how it is ridden; None: the design does not say."""
    if spot is None:
        return None
    fields = spot.fields(("bicycle", "people", "lying", "paths", "brake", "parking brake"))
    guests, lying = _guests(fields.get("people")), _lying(fields.get("lying"))
    if bool(guests) != bool(lying) and not spot.book.failed:
        spot.refuse(
            code="ride-people-lying",
            wrong=said("people without a way of lying, or a way of lying without people"),
            expected=said("`people` and `lying`, both or neither"),
            fix=said("add the one that is missing, or take the other one out"),
        )
    return Ride(
        bicycle=_bicycle(fields.get("bicycle")),
        guests=guests,
        lying=lying,
        paths=_paths(fields.get("paths")),
        brake_n=fields.number("brake", "force", 0.0, NOT_NEGATIVE),
        parking_brake=fields.yes_no("parking brake") if "parking brake" in fields else None,
    )


def _bicycle(spot: Spot | None) -> RideBicycle | None:
    if spot is None:
        return None
    keys = ("mass", "wheelbase", "centre", "hitch")
    fields = spot.fields(keys, keys)
    return RideBicycle(
        mass_kg=fields.number("mass", "mass", 80.0, MASS_BICYCLE),
        wheelbase=fields.number("wheelbase", "length", 1000.0, WHEELBASE),
        centre=_place(fields.get("centre")),
        hitch=_place(fields.get("hitch")),
    )


def _place(spot: Spot | None) -> tuple[float, float]:
    """Ahead of the rear axle, above the ground."""
    if spot is None:
        return (0.0, 500.0)
    items = spot.items(said("[ahead of the rear axle, above the ground]"), 2, 2)
    if not items:
        return (0.0, 500.0)
    return (items[0].number("length", AHEAD), items[1].number("length", HEIGHT))


def _guests(spot: Spot | None) -> tuple[Guest, ...]:
    if spot is None:
        return ()
    out = []
    for name, value in spot.entries(said("people by name, as `small guest: {mass: 50 kg, tall: 1530}`"), MOST):
        fields = value.fields(("mass", "tall"), ("mass", "tall"))
        mass = fields.number("mass", "mass", 60.0, MASS_GUEST)
        out.append(Guest(name=_words(name), mass_kg=mass, tall=fields.number("tall", "length", 1600.0, TALL)))
    return tuple(out)


def _lying(spot: Spot | None) -> tuple[Lying, ...]:
    if spot is None:
        return ()
    out = []
    what = said("ways of lying by name, as `head back: {head: back, soles: [1000, 0, 400]}`")
    for name, value in spot.entries(what, MOST):
        fields = value.fields(("head", "soles", "hips", "back"), ("head",))
        if ("soles" in fields) == ("hips" in fields):
            value.refuse(
                code="ride-soles-or-hips",
                wrong=said("it must say where the soles or the hips are, one of the two"),
                expected=said("`soles: [x, y, z]` or `hips: [x, y, z]`; z is the top of what they lie on"),
                fix=said("keep the one that stays where it is when a taller person lies there"),
            )
        head = cast(Literal["front", "back"], fields.choice("head", ("back", "front"), "back"))
        out.append(
            Lying(
                name=_words(name), head=head, soles=_where(fields, "soles"), hips=_where(fields, "hips"),
                back_rad=fields.number("back", "angle", 0.0, BACK),
            )
        )  # fmt: skip
    return tuple(out)


def _where(fields: Fields, key: str) -> tuple[float, float, float] | None:
    return fields.vector(key) if key in fields else None


def _paths(spot: Spot | None) -> tuple[Path, ...]:
    if spot is None:
        return ()
    out = []
    what = said("paths by name, as `forest road: {surface: firm gravel, rises: 60, speed: 12}`")
    for name, value in spot.entries(what, MOST):
        fields = value.fields(("surface", "rises", "leans", "turn", "speed", "kerb", "helpers"), ("surface",))
        speed = fields.maybe("speed", "number", SPEED)
        out.append(
            Path(
                name=_words(name),
                surface=fields.choice("surface", tuple(s.name for s in SURFACES), SURFACES[0].name),
                rise=fields.number("rises", "length", 0.0, RISE) / METRE,
                lean=fields.number("leans", "length", 0.0, LEAN) / METRE,
                turn=fields.maybe("turn", "length", TURN),
                speed_mm_s=None if speed is None else speed * KMH,
                kerb=fields.number("kerb", "length", 0.0, KERB),
                helpers=fields.whole("helpers", 0, 0, 10),
            )
        )
    return tuple(out)


def _words(name: str) -> str:
    return " ".join(name.split())
