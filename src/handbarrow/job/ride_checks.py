"""Balance and ride: all that the design says of it reckoned once, and the checks of it."""

from __future__ import annotations

from handbarrow.design.values import Product
from handbarrow.findings import Finding
from handbarrow.job.frame_values import Check, Subject, not_made
from handbarrow.job.remembered import remembered
from handbarrow.job.ride_braking import braking_checks
from handbarrow.job.ride_effort import effort_checks, efforts_of
from handbarrow.job.ride_lifting import lifting_checks
from handbarrow.job.ride_loads import borne_by, hitch_checks, shifts_of
from handbarrow.job.ride_stand import bicycle_of, slopes_of, stand_of, states_of
from handbarrow.job.ride_steer import steer_checks
from handbarrow.job.ride_tipping import tipping_checks
from handbarrow.job.ride_values import RideFound, Stand, doubted
from handbarrow.job.values import JobPart
from handbarrow.language import said
from handbarrow.workshop.values import Workshop

__all__ = ["checks", "ride"]


def checks(job: Subject) -> tuple[tuple[Check, ...], list[Finding]]:
    """Return the checks of balance and ride, and no findings."""
    return ride(job).checks, []


def ride(job: Subject) -> RideFound:
    """Return all that was reckoned of balance and ride."""
    return _ride(job.product, job.workshop, job.parts)


@remembered
def _ride(product: Product, workshop: Workshop, parts: tuple[JobPart, ...]) -> RideFound:
    job = Subject(product, workshop, parts)
    told, title = job.design.uses.ride, said("tipping, braking, steering")
    if told is None:
        why = said("the design does not say how it is ridden: `ride`; test ride")
        return RideFound(checks=(not_made("tipping", title, why),))
    stand = stand_of(job)
    if not isinstance(stand, Stand):
        return RideFound(checks=(not_made("tipping", title, stand),))
    states, slopes, bicycle = states_of(job, stand), slopes_of(job), bicycle_of(job)
    band = workshop.limits.hitch_load
    borne = borne_by(stand, states, slopes, bicycle)
    shifts, efforts = shifts_of(stand, states, band), efforts_of(states, told.paths, bicycle)
    found = [
        *hitch_checks(stand, borne, shifts, band, bicycle),
        *tipping_checks(job, stand, states, slopes, told.paths),
        *braking_checks(job, stand, states, slopes, bicycle),
        *effort_checks(stand, states, efforts, bicycle),
        *lifting_checks(job, stand, states, borne),
        *steer_checks(job, stand, borne, slopes, bicycle),
    ]
    if stand.missing:
        lacking = ", ".join(job.part(name).title for name in dict.fromkeys(stand.missing))
        why = said("mass or place not known of: {parts}; nothing of balance and ride holds for certain", parts=lacking)
        found = [*doubted(found), not_made("ride-masses", said("masses for balance and ride"), why)]
    return RideFound(
        checks=tuple(found), stand=stand, bicycle=bicycle, slopes=slopes, states=states, borne=borne, shifts=shifts,
        efforts=efforts, band=band,
    )  # fmt: skip
