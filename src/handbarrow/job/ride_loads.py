"""Loads on hitch or hands, wheels and the bicycle's axles; how far a load may be shifted along the bed."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from handbarrow.job.frame_values import Check, not_made
from handbarrow.job.ride_values import (
    Borne,
    Floats,
    Judged,
    Shift,
    Slopes,
    Stand,
    State,
    Three,
    arrays,
    judged,
)
from handbarrow.language import Said, said
from handbarrow.laws.ride.loads import Bicycle, bicycle_loads, carrier_loads, positions_in_band
from handbarrow.laws.ride.mass import GRAVITY

__all__ = ["borne_by", "called", "hitch_checks", "shifts_of"]

FRONT_SHARE = 0.15
"""Of the bicycle's weight with its rider this stays on its front wheel, so that it steers: practice, no source."""
STATICS = said("levers of a stiff body on two wheels and a hitch (closed form)")


def called(state: State) -> Said:
    """What is carried, and how, in words."""
    if not state.name:
        return said("empty")
    if state.lying:
        return said("{name}, {lying}", name=state.name, lying=state.lying)
    return said("{name}", name=state.name)


# ------------------------------------------------------------------------------------------------ loads
def borne_by(stand: Stand, states: Sequence[State], slopes: Slopes, bicycle: Bicycle | None) -> tuple[Borne, ...]:
    """Return what carries each state on the level, up and down the steepest path, at a steady speed.

    Args:
        stand: The product on its wheels.
        states: What it carries.
        slopes: The worst of all paths.
        bicycle: What tows it.
    """
    mass, centre = arrays(states)
    hills = _hills(stand, slopes)
    rolling = np.array([0.0, slopes.rolling if stand.ahead > 0 else 0.0, 0.0])
    got = carrier_loads(stand.carrier, mass[:, None], centre[:, None, :], slope_rad=hills, rolling=rolling)
    wheel = np.maximum(got.outer, got.inner)
    axles = None if bicycle is None else bicycle_loads(bicycle, got.hitch, got.pull, slope_rad=hills)
    out = []
    for k, state in enumerate(states):
        out.append(
            Borne(
                state=state, hold=_three(got.hitch[k]), wheel=_three(wheel[k]), pull=_three(got.pull[k]),
                rear=None if axles is None else _three(axles.rear[k]),
                front=None if axles is None else _three(axles.front[k]),
            )
        )  # fmt: skip
    return tuple(out)


def _hills(stand: Stand, slopes: Slopes) -> Floats:
    """Level, up, down [rad]: what is held behind its axle is pushed up the hill, its handle downhill."""
    angle = math.atan(slopes.rise) * stand.ahead
    return np.array([0.0, angle, -angle])


def _three(values: Floats) -> Three:
    return Three(*(float(value) for value in values))


def shifts_of(stand: Stand, states: Sequence[State], band: tuple[float, float] | None) -> tuple[Shift, ...]:
    """Return how far each load may be shifted; nothing where the shop names no range, or hands hold it."""
    if band is None or not stand.towed:
        return ()
    empty = states[0]
    out = []
    for state in states[1:]:
        fixed, moved = (empty.mass_kg, empty.centre), (state.load_kg, state.load_at)
        found = positions_in_band(stand.carrier, fixed, moved, band)
        back, ahead = (None, None) if found is None else found
        out.append(Shift(state=state, back=back, ahead=ahead))
    return tuple(out)


# ------------------------------------------------------------------------------------------------ checks
HITCH_LEAST, HITCH_MOST = said("least load on the hitch, level"), said("most load on the hitch, level")
HITCH_SLOPE, ROOM = said("load on the hitch on slopes"), said("room to shift a load along the bed")
FRONT = said("load on the bicycle's front wheel, uphill")


def hitch_checks(
    stand: Stand, borne: Sequence[Borne], shifts: Sequence[Shift], band: tuple[float, float] | None,
    bicycle: Bicycle | None,
) -> list[Check]:  # fmt: skip
    """Return what is asked of the hitch load; nothing where hands hold it.

    Args:
        stand: The product on its wheels.
        borne: What carries each state, the empty one first.
        shifts: How far loads may be shifted.
        band: What the shop wants on the hitch [N].
        bicycle: What tows it.
    """
    if not stand.towed:
        return []
    return [*_level(borne[1:], band), _slopes(borne), *_room(shifts, band), _front(borne, bicycle)]


def _level(loaded: Sequence[Borne], band: tuple[float, float] | None) -> list[Check]:
    names = (("hitch-load-least", HITCH_LEAST), ("hitch-load-most", HITCH_MOST))
    if band is None:
        why = said("the workshop names no range: `hitch load` of its `limits`")
        return [not_made(name, title, why) for name, title in names]
    if not loaded:
        why = said("the design does not say what it carries")
        return [not_made(name, title, why) for name, title in names]
    least, most = (pick(loaded, key=lambda one: one.hold.level) for pick in (min, max))
    rule = said("within the range that the workshop names; {statics}", statics=STATICS)
    out = []
    for (name, title), one, limit, more in zip(names, (least, most), band, (True, False), strict=True):
        assumes = said("{load}; at rest", load=called(one.state))
        out.append(judged(name, title, Judged(one.hold.level, limit, "N", more), rule, assumes))
    return out


def _slopes(borne: Sequence[Borne]) -> Check:
    worst = min(borne, key=lambda one: min(one.hold))
    value = min(worst.hold)
    return Check(
        id="hitch-load-slope", title=HITCH_SLOPE, value=value, limit=0.0, unit="N", margin=None,
        verdict="holds" if value > 0 else "fails",
        rule=said("it presses on the hitch on every path, empty and loaded (common practice, no source)"),
        assumes=said("{load}; steady speed, no bump", load=called(worst.state)),
    )  # fmt: skip


def _room(shifts: Sequence[Shift], band: tuple[float, float] | None) -> list[Check]:
    """The load with the least room beyond what is not known of its centre."""
    if band is None or not shifts:
        return []

    def room(shift: Shift) -> float:
        if shift.back is None or shift.ahead is None:
            return -math.inf
        return min(-shift.back, shift.ahead) - shift.state.doubt

    worst = min(shifts, key=room)
    title, load = ROOM, called(worst.state)
    room_there, assumes = 0.0, said("{load}: no place gives a hitch load within the range", load=load)
    if worst.back is not None and worst.ahead is not None:
        room_there, assumes = min(-worst.back, worst.ahead), said("{load}; level", load=load)
    found = Judged(room_there, worst.state.doubt, "mm", more=True)
    rule = said(
        "as far as the centre of the load is not known: 50 mm for goods (common practice, no source), 2 % of the "
        "height of a person (reaction boards against two blocks, read)"
    )
    return [judged("hitch-load-room", title, found, rule, assumes)]


def _front(borne: Sequence[Borne], bicycle: Bicycle | None) -> Check:
    name, title = "hitch-load-front-wheel", FRONT
    fronts = [(one.front.up, one) for one in borne if one.front is not None]
    if bicycle is None or not fronts:
        return not_made(name, title, said("the design does not say what tows it: `bicycle` of `ride`"))
    value, worst = min(fronts, key=lambda pair: pair[0])
    limit = FRONT_SHARE * bicycle.mass_kg * GRAVITY
    rule = said(
        "{share:.0%} of the bicycle's weight with its rider, so that it steers (common practice, no source)",
        share=FRONT_SHARE,
    )
    return judged(
        name, title, Judged(value, limit, "N", more=True), rule,
        said("{load}; the rider sits as drawn and pedals steadily", load=called(worst.state)),
    )  # fmt: skip
