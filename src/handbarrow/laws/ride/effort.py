"""Pulling force, power and speed: rolling, slope and air, against what a rider or a person pushing can do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.ride.mass import GRAVITY

__all__ = [
    "AIR_DENSITY",
    "RIDERS",
    "SURFACES",
    "Resistance",
    "Rider",
    "Surface",
    "car_tyre_rolling",
    "people_needed",
    "resistance",
    "rolling_of",
    "speed_at_power",
    "steepest",
    "tow_power",
]

Floats = NDArray[np.float64]

AIR_DENSITY = 1.225
"""[kg/m3], read on a page about cycling power."""
DRIVE = 0.95
"""What the chain leaves of the rider's power [-], read on the same page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A road: rolling resistance over load, from and to [-]; for which wheels; how it was read."""

    name: str
    low: float
    high: float
    wheels: str
    source: str


BICYCLE, RUBBER, VEHICLE = "bicycle", "pneumatic rubber", "vehicle"
TOOLBOX = "a page of engineering tables, read"
MARKS = "Marks' handbook quoted on a page, read at second hand"
CARVILL = "Carvill quoted on a page, read at second hand"
SURFACES = (
    Surface(name="wooden track", low=0.001, high=0.001, wheels=BICYCLE, source=TOOLBOX),
    Surface(name="concrete", low=0.002, high=0.002, wheels=BICYCLE, source=TOOLBOX),
    Surface(name="asphalt", low=0.004, high=0.004, wheels=BICYCLE, source=TOOLBOX),
    Surface(name="rough paved", low=0.008, high=0.008, wheels=BICYCLE, source=TOOLBOX),
    Surface(name="hard road", low=0.008, high=0.008, wheels=RUBBER, source=MARKS),
    Surface(name="firm gravel", low=0.012, high=0.012, wheels=RUBBER, source=MARKS),
    Surface(name="wet loose gravel", low=0.06, high=0.06, wheels=RUBBER, source=MARKS),
    Surface(name="worn asphalt", low=0.02, high=0.02, wheels=VEHICLE, source=CARVILL),
    Surface(name="loose worn gravel", low=0.04, high=0.04, wheels=VEHICLE, source=CARVILL),
    Surface(name="medium hard soil", low=0.08, high=0.08, wheels=VEHICLE, source=CARVILL),
    Surface(name="sand", low=0.1, high=0.2, wheels=VEHICLE, source=CARVILL),
    Surface(name="grass", low=0.01, high=0.04, wheels=BICYCLE, source="from memory"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rider:
    """What a rider can do: power [W] and for how long, as read."""

    name: str
    power_w: float
    source: str


RIDERS = (
    Rider(name="healthy, all day", power_w=75.0, source="graph of human power on a public page, read"),
    Rider(name="to plan with", power_w=100.0, source="lecture notes on human power, read"),
    Rider(
        name="healthy, ten minutes to exhaustion", power_w=300.0, source="graph of human power on a public page, read"
    ),
)


class Resistance(NamedTuple):
    """Forces against the way [N]: rolling, slope (downhill below 0), air, and their sum."""

    rolling: Floats
    slope: Floats
    air: Floats
    total: Floats


def rolling_of(name: str) -> Surface | None:
    """Return a road by its name; its coefficients are bare numbers [-]. Source: as each surface says."""
    return next((surface for surface in SURFACES if surface.name == name), None)


def resistance(
    mass_kg: ArrayLike, rolling: ArrayLike, grade: ArrayLike = 0.0, speed_mm_s: ArrayLike = 0.0, drag_m2: float = 0.6,
    density_kg_m3: float = AIR_DENSITY,
) -> Resistance:  # fmt: skip
    """Return the forces against the way [N].

    Args:
        mass_kg: (...) of all that rolls [kg].
        rolling: (...) resistance over load [-].
        grade: (...) rise over run [-].
        speed_mm_s: (...) through still air [mm/s].
        drag_m2: Front area times drag coefficient of rider and carrier [m2]; 0.6 as in the record, measure or guess.
        density_kg_m3: Of the air [kg/m3].

    Source: Crr m g cos + m g sin + rho CdA v^2 / 2 (formula and constants read on a page about cycling power, which
    takes the grade for the sine and 1 for the cosine; here they are exact).

    >>> [round(float(f), 2) for f in resistance(190.0, 0.012, 0.0, 10000 / 3.6)]
    [22.36, 0.0, 2.84, 25.19]
    """
    m, slope = np.asarray(mass_kg, float), np.arctan(np.asarray(grade, float))
    v = np.asarray(speed_mm_s, float) / 1000
    rolls = np.asarray(rolling, float) * m * GRAVITY * np.cos(slope)
    climbs = m * GRAVITY * np.sin(slope)
    air = 0.5 * density_kg_m3 * drag_m2 * v * np.abs(v)
    each = np.broadcast_arrays(rolls, climbs, air, rolls + climbs + air)
    return Resistance(*(np.asarray(force, float) for force in each))


def tow_power(force: ArrayLike, speed_mm_s: ArrayLike, drive: float = DRIVE) -> Floats:
    """Return (...) the rider's power [W]; not below 0.

    Args:
        force: (...) against the way [N].
        speed_mm_s: (...) [mm/s].
        drive: What the chain leaves [-].

    Source: force times speed over efficiency (read on a page about cycling power).

    >>> round(float(tow_power(25.2, 10000 / 3.6)), 1)
    73.7
    """
    out: Floats = np.maximum(np.asarray(force, float), 0.0) * np.asarray(speed_mm_s, float) / 1000 / drive
    return out


def speed_at_power(
    power_w: ArrayLike, mass_kg: ArrayLike, rolling: ArrayLike, grade: ArrayLike = 0.0, *, drag_m2: float = 0.6,
    drive: float = DRIVE,
) -> Floats:  # fmt: skip
    """Return (...) the speed that a power keeps up [mm/s].

    Args:
        power_w: (...) of the rider [W].
        mass_kg: (...) of all that rolls [kg].
        rolling: (...) resistance over load [-].
        grade: (...) rise over run [-].
        drag_m2: Front area times drag coefficient [m2].
        drive: What the chain leaves [-].

    Source: root of the power balance by halving between 0 and 100 m/s (a cubic that rises through it once).
    """
    given = np.broadcast_arrays(*(np.asarray(v, float) for v in (power_w, mass_kg, rolling, grade)))
    power, mass, roll, slope = given
    low, high = np.zeros(power.shape), np.full(power.shape, 1e5)
    for _ in range(60):
        middle = (low + high) / 2
        force = resistance(mass, roll, slope, middle, drag_m2).total
        short = force * middle / 1000 / drive < power
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return np.asarray((low + high) / 2)


def steepest(force: ArrayLike, mass_kg: ArrayLike, rolling: ArrayLike) -> Floats:
    """Return (...) the steepest grade [-] up which a force can pull; below 0 where it cannot even roll on the level.

    Args:
        force: (...) along the road [N].
        mass_kg: (...) [kg].
        rolling: (...) resistance over load [-].

    Source: F / m g = sin + c cos, solved for the angle (closed form); infinite where the force lifts it.

    >>> round(float(steepest(150.0, 100.0, 0.02)), 3)
    0.134
    """
    share = np.asarray(force, float) / (np.asarray(mass_kg, float) * GRAVITY)
    c = np.asarray(rolling, float)
    angle = np.arcsin(np.clip(share / np.hypot(1, c), -1, 1)) - np.arctan(c)
    return np.where(share >= np.hypot(1, c), np.inf, np.tan(angle))


def people_needed(force: ArrayLike, each: float) -> NDArray[np.int64]:
    """Return (...) how many people must push or pull [-].

    Args:
        force: (...) against the way [N].
        each: What one keeps up [N].

    Source: division, rounded up.

    >>> int(people_needed(250.0, 98.0))
    3
    """
    out: NDArray[np.int64] = np.ceil(np.maximum(np.asarray(force, float), 0.0) / each - 1e-9).astype(np.int64)
    return out


def car_tyre_rolling(pressure_bar: float, speed_mm_s: float) -> float:
    """Return the rolling resistance of a car tyre [-]: how pressure works, not a value for bicycles.

    Args:
        pressure_bar: [bar].
        speed_mm_s: [mm/s].

    Source: 0.005 + (1 / p)(0.01 + 0.0095 (v / 100 km/h)^2), a page of engineering tables (read).

    >>> round(car_tyre_rolling(2.5, 10000 / 3.6), 5)
    0.00904
    """
    return 0.005 + (0.01 + 0.0095 * (speed_mm_s * 0.0036 / 100) ** 2) / pressure_bar
