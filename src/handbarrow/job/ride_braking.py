"""Braking downhill: its push on the bicycle, the grip of the bicycle's rear wheel, stopping; parking brake."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np

from handbarrow.design.ride_values import Path, Ride
from handbarrow.job.frame_stands import holds_of
from handbarrow.job.frame_values import Check, Subject, not_made
from handbarrow.job.ride_loads import called
from handbarrow.job.ride_stand import turn_of
from handbarrow.job.ride_values import Judged, Slopes, Stand, State, arrays, judged
from handbarrow.language import said
from handbarrow.laws.ride.braking import braking, stopping_distance, stopping_limit
from handbarrow.laws.ride.loads import Bicycle
from handbarrow.laws.ride.tipping import parking_slope

__all__ = ["GRIP", "SLOWING", "Stop", "braking_checks", "stops_of"]

SLOWING, LEAST_SLOWING = 1.5, 0.5
"""Loss of speed that is braked with, and below which it can hardly be held [m/s2]: common practice, no source."""
ASKEW = math.radians(10.0)
"""Between carrier and bicycle when it is braked hard, nearly straight: common practice, no source."""
GRIP = 0.5
"""Of tyres on dry earth [-]: common practice, no source."""
REAR = 0.3
"""Of the brake force, by the rear wheel [-]: common practice, no source."""
PARKED_GRIP = 0.4
NOSES: tuple[Literal["up", "down"], ...] = ("up", "down")
SAFE = 0.5
HELD = SLOWING / LEAST_SLOWING - 1
TRIED = np.linspace(0.0, 5.0, 251)
"""Losses of speed that are tried [m/s2]."""
NO_BICYCLE = said("the design does not say what tows it: `bicycle` of `ride`")


class Stop(NamedTuple):
    """Braking down a path with a load.

    path, state: which.
    push: on the bicycle [N].
    folds: loss of speed from which its rear tyre slides away, nearly straight [m/s2].
    turn: grip of that tyre that is used at a steady speed in the path's tightest turn [-].
    hardest: loss of speed at the limit of grip, in one line [m/s2].
    distance: to stop from the path's speed [mm]; None: no speed, or it cannot be held.
    """

    path: Path
    state: State
    push: float
    folds: float
    turn: float
    hardest: float
    distance: float | None


def stops_of(stand: Stand, states: Sequence[State], bicycle: Bicycle, ride: Ride) -> list[Stop]:
    """Return braking on each path with each load."""
    mass, centre = arrays(states)
    out = []
    for path in ride.paths:
        hill, askew = math.atan(path.rise), np.append(np.full(len(TRIED), ASKEW), _bend(stand, bicycle, path))
        tried = braking(
            stand.carrier, mass[:, None], centre[:, None, :], bicycle, slowing_m_s2=np.append(TRIED, 0.0),
            downhill_rad=hill, bend_rad=askew, rear_share=REAR, grip=GRIP, carrier_brake=ride.brake_n,
        )  # fmt: skip
        for k, state in enumerate(states):
            over = np.flatnonzero(tried.rear_use[k, :-1] > 1.0)
            folds = float(TRIED[max(int(over[0]) - 1, 0)] if len(over) else TRIED[-1])
            push = float(np.interp(SLOWING, TRIED, tried.push[k, :-1]))
            hardest = stopping_limit(stand.carrier, state.mass_kg, state.centre, bicycle, downhill_rad=hill, grip=GRIP)
            slowing = min(hardest, folds, SLOWING)
            far = None
            if path.speed_mm_s is not None and slowing > 0:
                far = float(stopping_distance(path.speed_mm_s, slowing))
            out.append(Stop(path, state, push, folds, float(tried.rear_use[k, -1]), hardest, far))
    return out


def _bend(stand: Stand, bicycle: Bicycle, path: Path) -> float:
    """Between carrier and bicycle in the path's turn [rad]."""
    if path.turn is None:
        return 0.0
    return float(turn_of(stand, bicycle, path.turn).bend_rad)


def braking_checks(
    job: Subject, stand: Stand, states: Sequence[State], slopes: Slopes, bicycle: Bicycle | None
) -> list[Check]:
    """Return push, jack-knife, stopping and parking brake.

    Args:
        job: What is checked.
        stand: The product on its wheels.
        states: What it carries.
        slopes: The worst of all paths.
        bicycle: What tows it.
    """
    ride = job.design.uses.ride
    if ride is None:
        return []
    out = [_parking(job, stand, states, slopes, ride)]
    if not stand.towed:
        return out
    jack = ("braking-folds-up", said("hardest braking before it folds up against the bicycle, downhill"))
    bend = ("braking-turn", said("grip of the bicycle's rear tyre used in the tightest turn downhill"))
    stop = ("braking-stops", said("hardest braking in one line, downhill"))
    if bicycle is None or not ride.paths:
        why = NO_BICYCLE if bicycle is None else said("the design names no `paths`")
        return [not_made(*jack, why), not_made(*bend, why), not_made(*stop, why), *out]
    stops = stops_of(stand, states, bicycle, ride)
    worst = min(stops, key=lambda one: one.folds)
    rule = said(
        "grip {grip:g} of tyres on dry earth, {share:.0%} of the braking by the rear wheel, {slowing:g} m/s2 to hold "
        "(common practice, no source); statics with the pull of braking (closed form)",
        grip=GRIP, share=REAR, slowing=SLOWING,
    )  # fmt: skip
    folds = judged(
        *jack, Judged(worst.folds, LEAST_SLOWING, "m/s2", more=True, enough=HELD), rule,
        said("{path}, {load}; it pushes the bicycle with {push:.0f} N at {slowing:g} m/s2, 10° askew; no bump",
             path=worst.path.name, load=called(worst.state), push=worst.push, slowing=SLOWING),
    )  # fmt: skip
    tight = max(stops, key=lambda one: one.turn)
    bent = judged(
        *bend, Judged(tight.turn, 1.0, "", enough=SAFE),
        said("grip {grip:g} of tyres on dry earth, safety 1.5 (common practice, no source)", grip=GRIP),
        said("{path}, {load}; steady speed: braked before the turn, not in it", path=tight.path.name,
             load=called(tight.state)),
    )  # fmt: skip
    least = min(stops, key=lambda one: one.hardest)
    stopped = judged(
        *stop, Judged(least.hardest, LEAST_SLOWING, "m/s2", more=True, enough=HELD), said(
            "both bicycle wheels at grip {grip:g}, or its rear wheel lifts (closed form); {slowing:g} m/s2 to hold "
            "(common practice, no source)", grip=GRIP, slowing=SLOWING),
        said("{path}, {load}; dry, the carrier's own brakes not counted", path=least.path.name,
             load=called(least.state)),
    )  # fmt: skip
    return [folds, bent, stopped, *out]


def _parking(job: Subject, stand: Stand, states: Sequence[State], slopes: Slopes, ride: Ride) -> Check:
    name, title = "braking-parked", said("slope on which its held wheels keep it, parked")
    if not ride.parking_brake:
        why = said("the design does not say whether its wheels can be held: `parking brake` of `ride`")
        if ride.parking_brake is False:
            why = said("it has no parking brake: chock its wheels, or lay it across the slope")
        return not_made(name, title, why)
    feet, _ = holds_of(job.product, job.workshop, job.design.uses.stands_on, "")
    foot = float(np.mean([stand.along(one.at)[0] for one in feet])) if feet else stand.carrier.reach
    if abs(foot) < 1.0:
        return not_made(name, title, said("it stands on its wheels alone"))
    found = []
    for state in states:
        x, y, z = state.centre
        at = (x if foot > 0 else -x, y, z)
        found += [(parking_slope(0.0, abs(foot), at, PARKED_GRIP, nose=nose), state) for nose in NOSES]
    value, state = min(found, key=lambda pair: pair[0])
    limit = math.degrees(math.atan(slopes.rise)) or 10.0
    rule = said(
        "grip {grip:g} under the held wheels (common practice, no source); statics (closed form), safety 1.5",
        grip=PARKED_GRIP,
    )
    return judged(
        name, title, Judged(math.degrees(value), limit, "°", more=True, enough=SAFE), rule,
        said("{load}; nose up or down, what else it stands on slides", load=called(state)),
    )  # fmt: skip
