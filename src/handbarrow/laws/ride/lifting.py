"""Lifting, carrying and pushing by people, against guide figures for manual handling.

The figures are for work that is repeated, by healthy people. Beyond them is not forbidden, but it hurts backs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.ride.mass import GRAVITY

__all__ = [
    "LIFT_GUIDES",
    "PUSH_GUIDES",
    "Guide",
    "Lift",
    "frequency_factor",
    "hand_loads",
    "lift_use",
    "team_capacity_kg",
    "team_factor",
]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """A guide figure: largest mass for one person [kg], or force in kilograms of weight [kg], and how it was read."""

    key: str
    limit_kg: float
    source: str


HSE_COPY = "copy of HSE INDG143 on the web, read"
LIFT_GUIDES = (
    Guide(key="man", limit_kg=25.0, source="HSE and ISO 11228-1, close to the body at knuckle height, from memory"),
    Guide(key="woman", limit_kg=16.0, source="HSE, close to the body at knuckle height, from memory"),
)
PUSH_GUIDES = (
    Guide(key="man starts", limit_kg=20.0, source=HSE_COPY),
    Guide(key="woman starts", limit_kg=15.0, source=HSE_COPY),
    Guide(key="man keeps going", limit_kg=10.0, source=HSE_COPY),
    Guide(key="woman keeps going", limit_kg=7.0, source=HSE_COPY),
    Guide(key="nine men of ten start, handle at 950 mm", limit_kg=28.0, source="Snook's tables on a page, read"),
)
"""Hands between knuckle and shoulder height, under 20 m without a rest."""


def team_factor(people: int) -> float:
    """Return what a team lifts over the sum of what its people lift alone [-].

    Args:
        people: How many.

    Source: a page on team handling (read): two people two thirds, three a half; four and more a half too (common
    practice, no source: the page stops at three).

    >>> [round(team_factor(n), 3) for n in (1, 2, 3, 4)]
    [1.0, 0.667, 0.5, 0.5]
    """
    if people < 1:
        raise ValueError(f"{people} people lift nothing")
    return {1: 1.0, 2: 2 / 3}.get(people, 0.5)


def frequency_factor(lifts_a_minute: float) -> float:
    """Return what often lifting leaves of a guide figure [-].

    Args:
        lifts_a_minute: How often [1/minute].

    Source: a handling course on the web (read): 1 to 2 a minute 30 % less, 5 to 8 half, above 12 80 % less; between
    them the next stricter one (common practice, no source).

    >>> [frequency_factor(n) for n in (0.1, 2, 4, 8, 10, 20)]
    [1.0, 0.7, 0.5, 0.5, 0.2, 0.2]
    """
    for most, factor in ((0.5, 1.0), (2.0, 0.7), (8.0, 0.5)):
        if lifts_a_minute <= most:
            return factor
    return 0.2


def team_capacity_kg(people: Sequence[Guide], lifts_a_minute: float = 0.0) -> float:
    """Return what a team may lift by the guide figures [kg].

    Args:
        people: The guide figure of each.
        lifts_a_minute: How often.

    Source: sum times `team_factor` times `frequency_factor` (read, single figures from memory).

    >>> round(team_capacity_kg([LIFT_GUIDES[0]] * 2), 1)
    33.3
    """
    return sum(p.limit_kg for p in people) * team_factor(len(people)) * frequency_factor(lifts_a_minute)


def hand_loads(hands: ArrayLike, weight: float, centre: tuple[float, float]) -> Floats:
    """Return (n,) what each carrier of a stiff load lifts [N]; below 0: they would have to hold it down.

    Args:
        hands: (n, 2) where each one lifts, x and y [mm].
        weight: [N].
        centre: Of the load, x and y [mm].

    Raises:
        ValueError: If the load turns out of their hands, wherever they lift.

    Source: statics; with more than three carriers those that differ least from each other (least squares, all equally
    strong). On uneven ground one of four may carry almost nothing.

    >>> hand_loads([(0, 0), (1000, 0)], 100.0, (250.0, 0.0)).round(9).tolist()
    [75.0, 25.0]
    """
    spots = np.asarray(hands, float)
    rows = np.vstack((np.ones(len(spots)), spots.T / 1000))
    wanted = weight * np.array([1.0, centre[0] / 1000, centre[1] / 1000])
    out, *_ = np.linalg.lstsq(rows, wanted, rcond=1e-12)
    if not np.allclose(rows @ out, wanted, rtol=0, atol=1e-6 * max(abs(weight), 1.0)):
        raise ValueError(f"a load with its centre at {centre} turns out of the hands of {len(spots)} carriers")
    return np.asarray(out)


class Lift(NamedTuple):
    """A lift against guide figures.

    use: the whole load over what the team may lift [-].
    worst: the largest share of one over the same person's figure in the team [-].
    each_kg: (n,) what each one lifts [kg].
    capacity_kg: what the team may lift [kg].
    """

    use: float
    worst: float
    each_kg: Floats
    capacity_kg: float


def lift_use(
    hands: ArrayLike, mass_kg: float, centre: tuple[float, float], people: Sequence[Guide], lifts_a_minute: float = 0.0
) -> Lift:
    """Return a lift by a team against guide figures [-, kg].

    Args:
        hands: (n, 2) where each one lifts [mm].
        mass_kg: Of the load [kg].
        centre: Of the load [mm].
        people: The guide figure of each, in the order of the hands.
        lifts_a_minute: How often.

    Source: `hand_loads` and `team_capacity_kg`.
    """
    each = hand_loads(hands, mass_kg * GRAVITY, centre) / GRAVITY
    if len(each) != len(people):
        raise ValueError(f"{len(people)} people for {len(each)} places to lift at")
    capacity = team_capacity_kg(people, lifts_a_minute)
    factor = team_factor(len(people)) * frequency_factor(lifts_a_minute)
    own = np.array([p.limit_kg for p in people]) * factor
    return Lift(mass_kg / capacity, float(np.max(each / own)), each, capacity)
