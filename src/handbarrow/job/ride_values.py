"""How the product rides, as frozen values. Places along it count from the axle towards where it is held [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.ride_values import Path
from handbarrow.job.frame_values import Check, Verdict
from handbarrow.language import Said
from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.ride.loads import Bicycle, Carrier

__all__ = [
    "Borne",
    "Effort",
    "Judged",
    "RideFound",
    "Shift",
    "Slopes",
    "Stand",
    "State",
    "Three",
    "arrays",
    "doubted",
    "judged",
]

Floats = NDArray[np.float64]


class Three(NamedTuple):
    """A value on the level, up and down the steepest path."""

    level: float
    up: float
    down: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """The product on its two wheels, held by a hitch or by hands.

    Attributes:
        carrier: Its wheels and where it is held; the axle at 0.
        towed: Held by a hitch; else by hands.
        axle: Place of the axle, product axes [mm].
        ahead: 1: it is held ahead of the axle; -1: behind it.
        wheel_radius: [mm].
        wheels: Parts that are its wheels.
        tail: From the axle to the end away from where it is held [mm].
        half_width: Over all [mm].
        missing: Parts whose mass or place is not known.
    """

    carrier: Carrier
    towed: bool
    axle: float
    ahead: float
    wheel_radius: float
    wheels: tuple[str, ...]
    tail: float
    half_width: float
    missing: tuple[str, ...] = ()

    def along(self, at: Vec3) -> Vec3:
        """A place of the product, counted from the axle towards where it is held."""
        return (self.ahead * (at[0] - self.axle), at[1], at[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The product empty, or with one thing or person.

    Attributes:
        name: What is carried; empty: nothing.
        lying: How a person lies; empty: it is no person.
        mass_kg: Of all [kg].
        centre: Of all [mm].
        load_kg: Of what is carried [kg].
        load_at: Its centre [mm].
        doubt: How far that may be off along the product [mm].
    """

    name: str
    lying: str
    mass_kg: float
    centre: Vec3
    load_kg: float = 0.0
    load_at: Vec3 = (0.0, 0.0, 0.0)
    doubt: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Borne:
    """What carries a state [N].

    Attributes:
        state: What is carried.
        hold: Down on hitch or hands; below 0 it lifts.
        wheel: Of the wheel that carries more.
        pull: Along the ground, back on whoever pulls; below 0 it pushes.
        rear: Of the bicycle's rear axle; None: there is no bicycle.
        front: Of its front axle.
    """

    state: State
    hold: Three
    wheel: Three
    pull: Three
    rear: Three | None = None
    front: Three | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """How far a load may lie from where it is drawn, so that the hitch load stays in the shop's range on the level.

    `back` and `ahead` [mm] count towards where it is held; None: nowhere.
    """

    state: State
    back: float | None
    ahead: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What a path asks with the heaviest load.

    Attributes:
        path: Which.
        force_n: Against the way where it is steepest [N].
        power_w: Of the rider on the level at the path's speed [W]; None: no bicycle, or no speed.
        people: How many must push besides the rider, or push at all where hands do it all.
        steady_mm_s: Speed that a rider keeps up on the level [mm/s]; None: no bicycle.
    """

    path: Path
    force_n: float
    power_w: float | None
    people: int
    steady_mm_s: float | None


class Slopes(NamedTuple):
    """The steepest rise, the largest fall to the side and the worst rolling resistance of all paths [-]."""

    rise: float
    lean: float
    rolling: float


LEVEL = Slopes(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RideFound:
    """All that was reckoned of the ride; without a stand there are only checks that were not made.

    `bicycle`: what tows it, with its rider; `band`: what the shop wants on the hitch [N].
    """

    checks: tuple[Check, ...]
    stand: Stand | None = None
    bicycle: Bicycle | None = None
    slopes: Slopes = LEVEL
    states: tuple[State, ...] = ()
    borne: tuple[Borne, ...] = ()
    shifts: tuple[Shift, ...] = ()
    efforts: tuple[Effort, ...] = ()
    band: tuple[float, float] | None = None


def arrays(states: Sequence[State]) -> tuple[Floats, Floats]:
    """Return masses (n,) [kg] and centres (n, 3) [mm]."""
    return np.array([s.mass_kg for s in states]), np.array([s.centre for s in states], float)


# ------------------------------------------------------------------------------------------------ checks
class Judged(NamedTuple):
    """A value beside its limit: unit, whether more is better, from which margin it holds."""

    value: float
    limit: float
    unit: str
    more: bool = False
    enough: float = 0.0


MOST_SHOWN = 1e5


def judged(name: str, title: Said, found: Judged, rule: Said, assumes: Said) -> Check:
    """Return a check; a value without end is shown as a large one."""
    value = max(min(found.value, MOST_SHOWN), -MOST_SHOWN)
    margin: float | None
    if found.more:
        margin = value / found.limit - 1 if found.limit > 0 else None
        good = value - found.limit
    else:
        margin = found.limit / value - 1 if value > 1e-6 * found.limit else None
        good = found.limit - value
    verdict: Verdict = "fails" if good < 0 else "holds"
    if margin is not None and 0 <= margin < found.enough - 1e-9:
        verdict = "doubtful"
    return Check(
        id=name, title=title, value=value, limit=found.limit, unit=found.unit, margin=margin, verdict=verdict,
        rule=rule, assumes=assumes,
    )  # fmt: skip


def doubted(checks: Sequence[Check]) -> list[Check]:
    """Return checks of which none holds for certain."""
    return [replace(check, verdict="doubtful") if check.verdict == "holds" else check for check in checks]
