"""How a product is ridden, as frozen values: what tows it, who lies in it and how, the paths that it goes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.geometry.path import Vec2, Vec3

__all__ = ["Guest", "Lying", "Path", "Ride", "RideBicycle"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RideBicycle:
    """The bicycle that tows; places count from where its rear wheel touches the ground.

    Attributes:
        mass_kg: With its rider [kg].
        wheelbase: Between its axles [mm].
        centre: Of bicycle and rider: ahead of the rear axle, above the ground [mm].
        hitch: Of its hitch, the same way [mm]; behind the rear axle below 0.
    """

    mass_kg: float
    wheelbase: float
    centre: Vec2
    hitch: Vec2


@dataclass(frozen=True, slots=True, kw_only=True)
class Guest:
    """Somebody who is carried: mass [kg], and how tall [mm]."""

    name: str
    mass_kg: float
    tall: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A way in which people lie or sit.

    Attributes:
        name: What the shop calls it.
        head: Towards which end.
        soles: Where the soles stand and what they lie on, design axes; None: `hips` say it.
        hips: Where the hips lie, design axes.
        back_rad: How far the back is raised.
    """

    name: str
    head: Literal["front", "back"]
    soles: Vec3 | None = None
    hips: Vec3 | None = None
    back_rad: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """A path that it goes.

    Attributes:
        name: What the shop calls it.
        surface: Name of a road in `laws.ride.effort.SURFACES`.
        rise: At its steepest, rise over run [-].
        lean: How far it falls off to the side, over its width [-].
        turn: Radius of its tightest turn [mm]; None: not told.
        speed_mm_s: How fast it is ridden or pushed [mm/s]; None: not told.
        kerb: The highest edge or stone that one wheel meets [mm].
        helpers: How many walk along and push where it is steep.
    """

    name: str
    surface: str
    rise: float = 0.0
    lean: float = 0.0
    turn: float | None = None
    speed_mm_s: float | None = None
    kerb: float = 0.0
    helpers: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """How it is ridden.

    Attributes:
        bicycle: What tows it; None: hands do, or the design does not say.
        guests: Who is carried, each in every way of lying.
        lying: The ways in which they lie.
        paths: The paths that it goes.
        brake_n: Force of its own brakes at the ground [N].
        parking_brake: Whether its wheels can be held; None: not told.
    """

    bicycle: RideBicycle | None = None
    guests: tuple[Guest, ...] = ()
    lying: tuple[Lying, ...] = ()
    paths: tuple[Path, ...] = ()
    brake_n: float = 0.0
    parking_brake: bool | None = None
