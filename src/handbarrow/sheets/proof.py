"""The proof load that is proposed: how heavy, how long, what may stay; the same on every sheet."""

from __future__ import annotations

from typing import NamedTuple

from handbarrow.job.values import Job

__all__ = ["BACK", "MINUTES", "PROOF_FACTOR", "Heaviest", "heaviest"]

PROOF_FACTOR = 1.5
"""Over the heaviest load: common practice, no source."""
BACK = 1.0
"""After the proof load heights come back to within this [mm]: common practice, no source."""
MINUTES = 10


class Heaviest(NamedTuple):
    """The heaviest thing or person that is carried: its name, mass [kg]."""

    name: str
    mass_kg: float

    @property
    def proof_kg(self) -> float:
        """The proof load [kg]."""
        return PROOF_FACTOR * self.mass_kg


def heaviest(job: Job) -> Heaviest | None:
    """Return what is heaviest of loads and people; None: the design does not say what it carries."""
    uses = job.design.uses
    loads = [Heaviest(load.name, load.mass_kg) for load in uses.carries]
    guests = [] if uses.ride is None else [Heaviest(guest.name, guest.mass_kg) for guest in uses.ride.guests]
    return max([*loads, *guests], key=lambda one: one.mass_kg) if loads else None
