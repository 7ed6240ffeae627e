"""What a product is for, as frozen values: what it carries and where, how it is towed, held, stood and lifted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.design.ride_values import Ride
from handbarrow.design.shapes import Target
from handbarrow.laws.geometry.path import Vec3

__all__ = ["NO_USES", "Carried", "Lift", "ResultPoint", "Swivel", "SwivelWay", "Uses"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultPoint:
    """A point of a part: `start`, `end`, `corner k` (`at` = k, from 0), `middle`, or `centre` (plates, bought)."""

    target: Target
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """Something that is carried by itself: goods, or a person. What travels together is one of these.

    Attributes:
        name: What the shop calls it.
        mass_kg: Its mass [kg].
        on: The runs whose straights carry it.
        at: Where its centre of mass lies, design axes.
    """

    name: str
    mass_kg: float
    on: tuple[Target, ...]
    at: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """A way of carrying by hand: what is lifted, the places where hands hold it, by how many people (0: not told)."""

    name: str
    assembly: str
    at: tuple[ResultPoint, ...]
    people: int = 0


SwivelWay = Literal["sideways", "up and down", "leaning"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swivel:
    """A way that a hitch turns.

    Attributes:
        way: Which.
        turns: The assemblies on the bicycle's side of the axis.
        axis: Its unit direction, design axes.
        about: A point of it [mm].
        needs_rad: How far it must turn, both ways.
    """

    way: SwivelWay
    turns: tuple[str, ...]
    axis: Vec3
    about: Vec3
    needs_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Uses:
    """How a product is used.

    Attributes:
        carries: What it carries, each by itself.
        towed_at: Where it is hitched; the hitch turns all ways.
        held_at: Where hands hold it while it is pushed or pulled.
        stands_on: What it stands on beside its wheels when nobody holds it.
        lifts: How it, or an assembly of it, is carried by hand.
        swivel: The ways that its hitch turns.
        ride: How it is ridden; None: the design does not say.
        km_a_week: How far it goes loaded on rough roads [km]; None: the design does not say.
    """

    carries: tuple[Carried, ...] = ()
    towed_at: ResultPoint | None = None
    held_at: tuple[ResultPoint, ...] = ()
    stands_on: tuple[ResultPoint, ...] = ()
    lifts: tuple[Lift, ...] = ()
    swivel: tuple[Swivel, ...] = ()
    ride: Ride | None = None
    km_a_week: float | None = None


NO_USES = Uses()
"""A design that does not say."""
