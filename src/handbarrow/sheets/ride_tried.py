"""Numbers that the test ride is measured against."""

from __future__ import annotations

from handbarrow.job.ride_tipping import slowest_turns
from handbarrow.job.ride_values import Borne, RideFound, Stand
from handbarrow.job.values import Job
from handbarrow.laws.ride.mass import GRAVITY
from handbarrow.laws.units.shown import short_text
from handbarrow.sheets.ride import KMH, found_ride, stop_far
from handbarrow.sheets.words_ride import TRIED

__all__ = ["tried_rows"]


def tried_rows(job: Job) -> list[tuple[str, str, str]]:
    """Return name, what is measured, what was reckoned; nothing where the ride was not reckoned."""
    found = found_ride(job)
    if found.stand is None:
        return []
    return [*_holds(job, found, found.stand), *_turns(job, found, found.stand), *_slopes(found), *_tilt(found)]


def _holds(job: Job, found: RideFound, stand: Stand) -> list[tuple[str, str, str]]:
    """What a scale shows at hitch or handle: empty, and with the load that is heaviest and no person."""
    which = "hitch" if stand.towed else "handle"

    def mass(one: Borne) -> str:
        return TRIED["kilograms"].format(mass=job.workshop.shown.mass(one.hold.level / GRAVITY, with_unit=True))

    out = [("hold-empty", TRIED[f"{which}_empty"], mass(found.borne[0]))]
    goods = [one for one in found.borne if one.state.name and not one.state.lying]
    if goods:
        most = max(goods, key=lambda one: one.state.load_kg)
        out.append(("hold-loaded", TRIED[f"{which}_loaded"].format(load=most.state.name), mass(most)))
    return out


def _turns(job: Job, found: RideFound, stand: Stand) -> list[tuple[str, str, str]]:
    """The path that is ridden nearest to where it tips."""
    told = [path for path in (effort.path for effort in found.efforts) if path.speed_mm_s]
    turns = slowest_turns(stand, found.states, told)
    if not turns:
        return []
    tips, ridden, _, path = min(turns, key=lambda one: one[0] / one[1])
    radius = job.workshop.shown.length(path.turn or 0.0, with_unit=True)
    value = TRIED["speed_value"].format(ridden=short_text(ridden * KMH), tips=short_text(tips * KMH))
    out = [("turn", TRIED["speed"].format(radius=radius, path=path.name), value)]
    far = [(way, name) for name, way in stop_far(job, found).items() if way is not None]
    if far:
        way, name = max(far)
        speed = next(p.speed_mm_s or 0.0 for p in told if p.name == name)
        words = TRIED["stop"].format(path=name, speed=short_text(speed * KMH))
        out.append(("stop", words, TRIED["stop_value"].format(distance=short_text(way / 1000))))
    return out


def _slopes(found: RideFound) -> list[tuple[str, str, str]]:
    if not found.efforts:
        return []
    most = max(found.efforts, key=lambda one: one.force_n)
    words = TRIED["slope" if found.bicycle is not None else "slope_by_hand"]
    value = TRIED["slope_value"].format(people=most.people, force=short_text(most.force_n, 1.0))
    return [("slope", words, value)]


def _tilt(found: RideFound) -> list[tuple[str, str, str]]:
    tilt = next((check.value for check in found.checks if check.id == "tipping-side-slope"), None)
    return [] if tilt is None else [("tilt", TRIED["tilt"], TRIED["tilt_value"].format(angle=short_text(tilt, 1.0)))]
