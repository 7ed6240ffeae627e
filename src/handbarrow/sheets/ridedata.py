"""Balance and ride in the job data."""

from __future__ import annotations

from typing import Any

from handbarrow.job.ride_values import Borne, RideFound, Stand, Three
from handbarrow.sheets.jsonnumbers import num, nums, opt

__all__ = ["ride_document"]

Json = dict[str, Any]


def ride_document(found: RideFound) -> Json:
    """Return `ride`: what stands on what with each load, how far loads may be shifted, what each path asks.

    Nothing where it was not reckoned: the checks say why.
    """
    stand = found.stand
    if stand is None:
        return {}
    carrier = stand.carrier
    shifts = {(one.state.name, one.state.lying): one for one in found.shifts}
    loads = []
    for one in found.borne:
        shift = shifts.get((one.state.name, one.state.lying))
        room = None if shift is None or shift.back is None or shift.ahead is None else nums((shift.back, shift.ahead))
        loads.append({**_borne(stand, one), "shift": room})
    return {
        "ride": {
            "towed": stand.towed,
            "axle": num(stand.axle),
            "track": num(carrier.track),
            "held_at": nums((stand.axle + stand.ahead * carrier.hitch[0], carrier.hitch[1])),
            "range": None if found.band is None else nums(found.band),
            "rise": num(found.slopes.rise),
            "lean": num(found.slopes.lean),
            "loads": loads,
            "paths": [
                {
                    "name": one.path.name,
                    "force": num(one.force_n),
                    "power": opt(one.power_w),
                    "people": one.people,
                    "steady": opt(one.steady_mm_s),
                }
                for one in found.efforts
            ],
        }
    }


def _borne(stand: Stand, one: Borne) -> Json:
    x, y, z = one.state.centre
    return {
        "carried": one.state.name,
        "lying": one.state.lying,
        "mass_kg": num(one.state.mass_kg),
        "centre": nums((stand.axle + stand.ahead * x, y, z)),
        "hold": _three(one.hold),
        "wheel": _three(one.wheel),
        "pull": _three(one.pull),
        "rear": None if one.rear is None else _three(one.rear),
        "front": None if one.front is None else _three(one.front),
    }


def _three(three: Three) -> Json:
    return {"level": num(three.level), "up": num(three.up), "down": num(three.down)}
