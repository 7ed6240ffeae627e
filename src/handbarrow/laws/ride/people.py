"""Sizes of people to reckon with, and what rules say of trailers; each with how it was read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.ride.body import Person

__all__ = ["PEOPLE", "TRAILER_RULES", "KnownPerson", "TrailerRule", "half_range"]


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPerson:
    """A person of a survey; mass [kg] and stature [mm] are each of their own percentile, not of one body."""

    key: str
    person: Person
    source: str


def _known(key: str, mass: float, stature: float, source: str) -> KnownPerson:
    return KnownPerson(key=key, person=Person(mass_kg=mass, stature=stature), source=source)


RURAL = "health survey of a rural population, 25 to 64 years, both sexes, means, read"
ARMY = "survey of soldiers, from memory"
PEOPLE = (
    _known("rural mean", 58.7, 1599.0, RURAL),
    _known("woman 5 %", 50.0, 1526.0, ARMY),
    _known("woman 50 %", 67.0, 1628.0, ARMY),
    _known("woman 95 %", 87.0, 1734.0, ARMY),
    _known("man 5 %", 64.0, 1643.0, ARMY),
    _known("man 50 %", 85.0, 1755.0, ARMY),
    _known("man 95 %", 111.0, 1873.0, ARMY),
)


def half_range(spread: float, normal: float = 1.645) -> float:
    """Return how far from the mean nine of ten people lie at most [any unit]; not for mass, which is skewed.

    Args:
        spread: Standard deviation [any unit].
        normal: Of the normal curve [-].

    Source: normal distribution.

    >>> round(half_range(2.85 * 25.4), 1)
    119.1
    """
    return normal * spread


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailerRule:
    """A figure of a rule on trailers: what, how much, in which unit; and how it was read."""

    key: str
    value: float
    unit: Literal["kg", "mm", "mm2"]
    source: str


SCOPE = "scope of the standard on a dealer's page, read"
LEAFLET = "German leaflet on trailers behind bicycles, quoted on pages, read"
AUSTRIA = "Austrian bicycle rules, a motoring club's page, read"
TRAILER_RULES = (
    TrailerRule(key="EN 15918 gross", value=60.0, unit="kg", source=SCOPE),
    TrailerRule(key="EN 15918 child", value=22.0, unit="kg", source=SCOPE),
    TrailerRule(key="EN 17860-7 gross", value=600.0, unit="kg", source=SCOPE),
    TrailerRule(key="ASTM F1975 load", value=45.4, unit="kg", source=SCOPE),
    TrailerRule(key="Germany unbraked", value=40.0, unit="kg", source=LEAFLET),
    TrailerRule(key="Germany braked", value=80.0, unit="kg", source=LEAFLET),
    TrailerRule(key="Germany width", value=1000.0, unit="mm", source=LEAFLET),
    TrailerRule(key="Austria two lamps from width", value=600.0, unit="mm", source=AUSTRIA),
    TrailerRule(key="Austria reflector", value=2000.0, unit="mm2", source=AUSTRIA),
    TrailerRule(key="Austria flag", value=1500.0, unit="mm", source=AUSTRIA),
)
"""None of them covers an adult lying behind a bicycle: EN 15918 stops at 60 kg and two children, EN 17860-7 carries
goods only."""
