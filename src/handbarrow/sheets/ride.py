"""The sheet on balance and ride: loads on wheels, hitch and axles, where loads may lie, what the paths ask."""

from __future__ import annotations

from handbarrow.drawings.ride import LoadBar, ride_view
from handbarrow.job.frame_values import Subject
from handbarrow.job.ride_braking import stops_of
from handbarrow.job.ride_checks import ride
from handbarrow.job.ride_tipping import slowest_turns
from handbarrow.job.ride_values import Borne, RideFound, Shift, Stand, State, Three
from handbarrow.job.values import Job
from handbarrow.laws.units.shown import short_text
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, tight
from handbarrow.sheets.shown import soft
from handbarrow.sheets.words_ride import RIDE_SHEET

__all__ = ["carried_words", "found_ride", "ride_pages", "stop_far"]

KMH = 3.6 / 1000
VIEW_SHARE, FRAME_ROOM = 0.34, 5.0
"""Height of the picture over that of the sheet [-], its room in a table [mm]."""


def found_ride(job: Job) -> RideFound:
    """Return what was reckoned of the ride."""
    return ride(Subject(job.product, job.workshop, job.parts))


def ride_pages(job: Job, room: tuple[float, float]) -> list[Block]:
    """Return the sheet; nothing where the design does not say how it is ridden, or it could not be reckoned.

    Args:
        job: The job.
        room: Room across and down the sheet [mm].
    """
    found = found_ride(job)
    stand = found.stand
    if stand is None:
        return []
    rise = job.workshop.shown.length(1000 * found.slopes.rise, with_unit=True)
    remarks: list[Cell] = [RIDE_SHEET["caution"]]
    if min(min(one.hold) for one in found.borne) < 0:
        remarks.append(RIDE_SHEET["lifts" if stand.towed else "lifts_hands"])
    if any(state.lying for state in found.states):
        remarks.append(RIDE_SHEET["scope"])
    pages = [
        section(RIDE_SHEET["title"], lead=RIDE_SHEET["lead"].format(rise=rise), remarks=remarks, code="+ride"),
        section(RIDE_SHEET["loads"], tight(_loads(job, found, stand)), level=2),
    ]
    if found.shifts and found.band is not None:
        pages.append(_bars(job, found, stand, room))
    if found.efforts:
        lead = "paths_lead" if found.bicycle is not None else "paths_lead_hands"
        pages.append(
            section(
                RIDE_SHEET["paths"],
                tight(_paths(job, found, stand)),
                level=2,
                lead=RIDE_SHEET[lead],
            )
        )
    return pages


def carried_words(state: State) -> str:
    """What is carried, in the language that is spoken."""
    if not state.name:
        return RIDE_SHEET["empty"]
    if state.lying:
        return RIDE_SHEET["lying"].format(name=state.name, lying=state.lying)
    return state.name


# ------------------------------------------------------------------------------------------------ loads
def _loads(job: Job, found: RideFound, stand: Stand) -> Block:
    shown = job.workshop.shown
    columns = [
        (RIDE_SHEET["carried"], 1.6, "l"),
        (RIDE_SHEET["mass"].format(unit=shown.mass_unit), 0, "r"),
        (RIDE_SHEET["hitch" if stand.towed else "hands"], 1.1, "r"),
        (RIDE_SHEET["wheel"], 0, "r"),
    ]
    if found.bicycle is not None:
        columns += [(RIDE_SHEET["rear"], 0, "r"), (RIDE_SHEET["front"], 0, "r")]
    if found.shifts:
        columns.append((RIDE_SHEET["shift"].format(unit=shown.length_unit), 0.9, "r"))
    shifts = {(one.state.name, one.state.lying): one for one in found.shifts}
    return table(columns, [_load(job, found, one, shifts) for one in found.borne])


def _load(job: Job, found: RideFound, one: Borne, shifts: dict[tuple[str, str], Shift]) -> list[Cell]:
    cells: list[Cell] = [
        soft(carried_words(one.state)),
        job.workshop.shown.mass_column(one.state.mass_kg, 0.1),
        strong(_three(one.hold)),
        _newton(max(one.wheel)),
    ]
    if one.rear is not None and one.front is not None:
        cells += [_newton(one.rear.level), _newton(one.front.up)]
    if found.shifts:
        shift = shifts.get((one.state.name, one.state.lying))
        cells.append("" if shift is None else _shift(job, shift))
    return cells


def _shift(job: Job, shift: Shift) -> str:
    if shift.back is None or shift.ahead is None:
        return RIDE_SHEET["nowhere"]
    back, ahead = (job.workshop.shown.column(value, "coarse") for value in (-shift.back, shift.ahead))
    return RIDE_SHEET["shift_value"].format(back=back, ahead=ahead)


def _three(three: Three) -> str:
    return RIDE_SHEET["three"].format(level=_newton(three.level), up=_newton(three.up), down=_newton(three.down))


def _newton(value: float) -> str:
    return short_text(value, 1.0)


def _bars(job: Job, found: RideFound, stand: Stand, room: tuple[float, float]) -> Block:
    bars = []
    for shift in found.shifts:
        at = stand.axle + stand.ahead * shift.state.load_at[0]
        ends = [None if side is None else at + stand.ahead * side for side in (shift.back, shift.ahead)]
        bars.append(LoadBar(carried_words(shift.state), at, ends[0], ends[1]))
    least, most = (short_text(side, 1.0) for side in found.band or (0.0, 0.0))
    alt = RIDE_SHEET["bars_alt"].format(name=job.design.name)
    view = picture(ride_view(job, stand, bars, (room[0] - FRAME_ROOM, room[1] * VIEW_SHARE), alt))
    content = table([(RIDE_SHEET["bars"], 1.0, "c")], [[{"kind": "view", "view": view}]])
    return section("", content, level=2, lead=RIDE_SHEET["bars_lead"].format(least=least, most=most))


# ------------------------------------------------------------------------------------------------ paths
def _paths(job: Job, found: RideFound, stand: Stand) -> Block:
    columns = [
        (RIDE_SHEET["path"], 1.4, "l"),
        (RIDE_SHEET["ridden"], 0, "r"),
        (RIDE_SHEET["tips"], 1.0, "r"),
        (RIDE_SHEET["against"], 0.8, "r"),
        (RIDE_SHEET["push"], 0, "r"),
    ]
    if found.bicycle is not None:
        columns.append((RIDE_SHEET["stops"], 0.7, "r"))
    tips = {
        path.name: speed for speed, _, _, path in slowest_turns(stand, found.states, [e.path for e in found.efforts])
    }
    far = stop_far(job, found)
    rows: list[list[Cell]] = []
    for effort in found.efforts:
        path = effort.path
        turn = RIDE_SHEET["not_told"]
        if path.turn is not None:
            radius = job.workshop.shown.length(path.turn, with_unit=True)
            turn = RIDE_SHEET["turn"].format(speed=short_text(tips[path.name] * KMH, 0.1), radius=radius)
        ridden = RIDE_SHEET["not_told"] if path.speed_mm_s is None else short_text(path.speed_mm_s * KMH, 0.1)
        cells: list[Cell] = [soft(path.name), ridden, turn, _newton(effort.force_n), strong(str(effort.people))]
        if found.bicycle is not None:
            cells.append(_stops(far.get(path.name)))
        rows.append(cells)
    return table(columns, rows)


def _stops(distance: float | None) -> str:
    if distance is None:
        return RIDE_SHEET["not_held"]
    return RIDE_SHEET["stops_value"].format(distance=short_text(distance / 1000, 0.1))


def stop_far(job: Job, found: RideFound) -> dict[str, float | None]:
    """Return the longest way to stop on each path [mm]; None: it cannot be held, or no speed is told."""
    told = job.design.uses.ride
    if found.stand is None or found.bicycle is None or told is None:
        return {}
    out: dict[str, float | None] = {}
    for stop in stops_of(found.stand, found.states, found.bicycle, told):
        known = out.get(stop.path.name, 0.0)
        far = None if stop.distance is None or known is None else max(known, stop.distance)
        out[stop.path.name] = far
    return out
