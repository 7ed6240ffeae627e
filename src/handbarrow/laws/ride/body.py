"""A person lying or sitting, as a few masses: shares and centres of segments after Dempster and Winter.

Lengths as shares of stature are those of Drillis and Contini, from memory; shares of mass were read.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.ride.mass import MassPoint, centre_of

__all__ = ["DEMPSTER", "DE_LEVA", "HIP_DEPTH", "Person", "Posture", "Segment", "person_centre", "person_masses"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A part of the body: share of its mass [-], place of its centre from the upper end over its length [-]."""

    mass_share: float
    centre: float


def _table(rows: dict[str, tuple[float, float]]) -> dict[str, Segment]:
    return {name: Segment(mass_share=mass, centre=centre) for name, (mass, centre) in rows.items()}


DEMPSTER = _table(
    {
        "hand": (0.006, 0.506), "forearm": (0.016, 0.43), "upper arm": (0.028, 0.436), "foot": (0.0145, 0.5),
        "shank": (0.0465, 0.433), "thigh": (0.1, 0.433), "leg": (0.161, 0.447), "head and neck": (0.081, 1.0),
        "trunk": (0.497, 0.5), "upper body": (0.678, 0.626),
    }
)  # fmt: skip
"""Dempster after Winter, read in a public data file. Leg: with thigh and foot; upper body: head, arms and trunk."""
DE_LEVA = {
    "male": _table(
        {
            "head": (0.0694, 0.5976), "trunk": (0.4346, 0.4486), "upper arm": (0.0271, 0.5772),
            "forearm": (0.0162, 0.4574), "hand": (0.0061, 0.79), "thigh": (0.1416, 0.4095),
            "shank": (0.0433, 0.4395), "foot": (0.0137, 0.4415),
        }
    ),
    "female": _table(
        {
            "head": (0.0668, 0.5894), "trunk": (0.4257, 0.4151), "upper arm": (0.0255, 0.5754),
            "forearm": (0.0138, 0.4559), "hand": (0.0056, 0.7474), "thigh": (0.1478, 0.3612),
            "shank": (0.0481, 0.4352), "foot": (0.0129, 0.4014),
        }
    ),
}  # fmt: skip
"""Zatsiorsky after de Leva, read in public data files; cut elsewhere at the hip, so not to be mixed with the other."""
HIP, SHOULDER, ANKLE, KNEE = 0.530, 0.818, 0.039, 0.285
"""Heights over stature, standing [-]: Drillis and Contini, from memory."""
HIP_DEPTH = 90.0
"""Hip joint above what a lying person lies on [mm]: common practice, no source."""
DOUBT_SHARE = 0.02
"""How far the centre may be off along the body, over stature [-]: reaction boards against two blocks (read)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Posture:
    """How a person lies or sits on a flat bed.

    Attributes:
        hip: Of the hip joints' middle [mm].
        head: Whether the head lies towards the front or the back of the carrier.
        back_rad: How far the back is raised from the bed [rad].
        thigh_rad: How far the thighs rise from the bed, knees up [rad].
        shank_rad: How far the shanks fall from the knees towards the feet [rad].
    """

    hip: Vec3
    head: Literal["front", "back"]
    back_rad: float = 0.0
    thigh_rad: float = 0.0
    shank_rad: float = 0.0

    def __post_init__(self) -> None:
        for name in ("back_rad", "thigh_rad", "shank_rad"):
            if not 0 <= getattr(self, name) <= 2.0:
                raise ValueError(f"{name}={getattr(self, name):g} must lie between 0 and 2")


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Mass [kg] and stature [mm]."""

    mass_kg: float
    stature: float

    def __post_init__(self) -> None:
        for name in ("mass_kg", "stature"):
            if not (getattr(self, name) > 0 and math.isfinite(getattr(self, name))):
                raise ValueError(f"{name}={getattr(self, name):g} must be above 0")

    @property
    def doubt(self) -> float:
        """How far the centre may be off along the body [mm]."""
        return DOUBT_SHARE * self.stature


def person_masses(person: Person, posture: Posture) -> tuple[MassPoint, ...]:
    """Return the body as upper body, thighs, and shanks with feet [kg, mm].

    Args:
        person: Mass and stature.
        posture: How they lie or sit.

    Source: Dempster and Winter (read), lengths from memory. Shanks and feet are one mass, set so that straight legs
    have their centre where the table's whole leg has it.
    """
    to_feet = -1.0 if posture.head == "front" else 1.0
    hip, tall = np.asarray(posture.hip, float), person.stature

    def way(angle: float, sign: float, rise: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.array([sign * math.cos(angle), 0.0, rise * math.sin(angle)])

    upper, leg, thigh = DEMPSTER["upper body"], DEMPSTER["leg"], DEMPSTER["thigh"]
    up_to = hip + upper.centre * (SHOULDER - HIP) * tall * way(posture.back_rad, -to_feet, 1.0)
    thigh_length, shank_length = (HIP - KNEE) * tall, (KNEE - ANKLE) * tall
    out = way(posture.thigh_rad, to_feet, 1.0)
    down = way(posture.shank_rad, to_feet, -1.0)
    lower_mass = leg.mass_share - thigh.mass_share
    whole = leg.centre * (HIP - ANKLE) * tall * leg.mass_share
    lower_centre = (whole - thigh.mass_share * thigh.centre * thigh_length) / lower_mass - thigh_length
    lower_centre = min(lower_centre, shank_length)
    spots = (
        ("upper body", upper.mass_share, up_to),
        ("thighs", 2 * thigh.mass_share, hip + thigh.centre * thigh_length * out),
        ("shanks and feet", 2 * lower_mass, hip + thigh_length * out + lower_centre * down),
    )
    return tuple(
        MassPoint(name=name, mass_kg=share * person.mass_kg, at=(float(at[0]), float(at[1]), float(at[2])))
        for name, share, at in spots
    )


def person_centre(person: Person, posture: Posture) -> MassPoint:
    """Return a person as one mass [kg, mm]; along the body the centre is known to `person.doubt`.

    Args:
        person: Mass and stature.
        posture: How they lie or sit.

    Source: as `person_masses`; lying flat it lies 0.58 of the stature from the soles, reaction boards say 0.57 for men
    and 0.55 for women (read).

    >>> lying = Posture(hip=(901, 0, 0), head="front")
    >>> [round(c, 1) + 0.0 for c in person_centre(Person(mass_kg=60, stature=1700), lying).at]
    [988.7, 0.0, 0.0]
    """
    return centre_of(person_masses(person, posture), "person")
