"""How it runs behind a bicycle: bed level, wheels straight, turning circle, tail, how far the paths turn the hitch."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from handbarrow.design.ride_values import Path
from handbarrow.design.values import Bought
from handbarrow.job.frame_values import Check, Subject, not_made
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.ride_loads import called
from handbarrow.job.ride_stand import turn_of
from handbarrow.job.ride_values import Borne, Judged, Slopes, Stand, judged
from handbarrow.job.swivel import reaches
from handbarrow.job.wheel_fit import wheel_fit
from handbarrow.language import Said, said
from handbarrow.laws.ride.loads import Bicycle
from handbarrow.laws.ride.mass import GRAVITY
from handbarrow.laws.ride.turning import Swivel, swivel_need, tightest_turn
from handbarrow.laws.ride.wheels import axle_angles, scrub

__all__ = ["steer_checks"]

MOST_TILT, MOST_TOE, MOST_SWING = 2.0, 0.5, 300.0
"""Tilt of the bed and toe of a wheel [degrees], swing of the tail [mm]: common practice, no source."""
HANDLE, HANDLE_ROOM = 950.0, 150.0
"""Height of a handle in the tables of push forces (read), and how far from it hands still reach well [mm]."""
NO_BICYCLE = said("the design does not say what tows it: `bicycle` of `ride`")
COMMON = said("common practice, no source")


def steer_checks(
    job: Subject, stand: Stand, borne: Sequence[Borne], slopes: Slopes, bicycle: Bicycle | None
) -> list[Check]:
    """Return wheels and handle; behind a bicycle level, turning circle, tail, what the paths ask of the hitch.

    Args:
        job: What is checked.
        stand: The product on its wheels.
        borne: What carries each state.
        slopes: The worst of all paths.
        bicycle: What tows it.
    """
    out = [_toe(job, stand, borne, slopes), *_wheel_loads(job, stand, borne)]
    if not stand.towed:
        return [*out, _handle(stand)]
    level = ("ride-level", said("tilt of the bed when hitched"))
    circle = ("ride-circle", said("tightest turn that the hitch lets it run"))
    swing = ("ride-tail", said("swing of the tail beyond the wheels, in the tightest turn"))
    titles = (level, circle, swing, *((f"ride-hitch-{key}", title) for key, title in WAYS.items()))
    if bicycle is None:
        return [*out, *(not_made(name, title, NO_BICYCLE) for name, title in titles)]
    ride = job.design.uses.ride
    paths = () if ride is None else ride.paths
    return [
        *out,
        _level(*level, stand, bicycle),
        _circle(*circle, job, stand, bicycle, paths),
        _swing(*swing, stand, bicycle, paths),
        *_needs(job, stand, bicycle, paths),
    ]


# ------------------------------------------------------------------------------------------------ wheels
def _toe(job: Subject, stand: Stand, borne: Sequence[Borne], slopes: Slopes) -> Check:
    """Toe as drawn and as far as the room of the axle in its slots lets the wheel stand askew."""
    name, title = "ride-toe", said("toe of a wheel, as drawn and with the room of its axle")
    scene, worst, room = Scene(job.product), 0.0, said("no slots: one axle for both, or none told")
    for wheel in stand.wheels:
        part = job.design.part(wheel)
        if not isinstance(part.shape, Bought):
            continue
        x, y, _ = part.shape.axis
        toe = math.atan2(abs(x), abs(y))
        fit = wheel_fit(part, scene, job.workshop)
        if fit is not None and fit.slots and fit.axle is not None:
            play = max(max(fit.slots) - fit.axle, 0.0)
            toe += axle_angles(play, 0.0, fit.room)[0]
            room = said("slots {play:g} mm wider than the axle, {apart:g} mm apart", play=play, apart=fit.room)
        elif fit is not None and fit.slots:
            return not_made(name, title, said("nobody says how thick the axle is: `axle` of the wheel"))
        worst = max(worst, toe)
    load = max((max(one.wheel) for one in borne), default=0.0)
    lost = scrub(worst, load)
    rolls = 2 * slopes.rolling * load
    return judged(
        name, title, Judged(math.degrees(worst), MOST_TOE, "°"), COMMON,
        said("{room}; then it scrubs {metres:.1f} m sideways on a kilometre and drags {drag:.1f} N, beside "
             "{rolls:.0f} N of rolling; camber the same; plates as true as drawn",
             room=room, metres=float(lost.sideways) / 1000, drag=float(lost.drag), rolls=rolls),
    )  # fmt: skip


def _wheel_loads(job: Subject, stand: Stand, borne: Sequence[Borne]) -> list[Check]:
    """The wheel that carries most, with everything and everybody that is carried, against what its tyre may carry."""
    worst = max(borne, key=lambda one: max(one.wheel))
    value = max(worst.wheel) / GRAVITY
    out = []
    for wheel in stand.wheels:
        shape, part = job.design.part(wheel).shape, job.part(wheel)
        name, title = f"ride-wheel-{wheel}", said("load on {part}, level and on slopes", part=part.title)
        listed = job.workshop.prices.get(shape.item) if isinstance(shape, Bought) else None
        largest = shape.largest_kg if isinstance(shape, Bought) else None
        largest = largest if largest is not None else (listed.largest_kg if listed else None)
        if largest is None:
            why = said("nobody says what the tyre may carry: `largest load` of the wheel, as written on its tyre")
            out.append(not_made(name, title, why))
            continue
        check = judged(
            name, title, Judged(value, largest, "kg"), said("what is written on the tyre, at its pressure"),
            said("{load}; steady speed, no bump", load=called(worst.state)),
        )  # fmt: skip
        out.append(replace(check, parts=(wheel,)))
    return out


def _handle(stand: Stand) -> Check:
    """Whether hands reach the handle."""
    height = stand.carrier.hitch[1]
    return Check(
        id="ride-handle", title=said("height of the handle"), value=height, limit=HANDLE, unit="mm", margin=None,
        verdict="holds" if abs(height - HANDLE) <= HANDLE_ROOM else "doubtful",
        rule=said(
            "within {room:g} mm of {height:g} mm, at which pushing was tried (tables of push forces, read; the room: "
            "common practice, no source)", room=HANDLE_ROOM, height=HANDLE,
        ),
        assumes=said("level, tyres pumped, grown people"),
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ behind a bicycle
def _level(name: str, title: Said, stand: Stand, bicycle: Bicycle) -> Check:
    higher = bicycle.hitch[1] - stand.carrier.hitch[1]
    value = math.degrees(math.atan2(abs(higher), stand.carrier.reach))
    return judged(
        name, title, Judged(value, MOST_TILT, "°"), COMMON,
        said("hitch of the bicycle {bicycle:.0f} mm above the ground, of the product {own:.0f} mm as drawn; tyres "
             "pumped",
             bicycle=bicycle.hitch[1], own=stand.carrier.hitch[1]),
    )  # fmt: skip


def _turns(paths: Sequence[Path]) -> Path | None:
    return min((path for path in paths if path.turn is not None), key=lambda path: path.turn or 0.0, default=None)


def _circle(name: str, title: Said, job: Subject, stand: Stand, bicycle: Bicycle, paths: Sequence[Path]) -> Check:
    path = _turns(paths)
    reach = next((one for one in reaches(job) if one.swivel.way == "sideways"), None)
    if reach is None:
        return not_made(name, title, said("the design does not say what turns there: `swivel`"))
    if path is None or path.turn is None:
        return not_made(name, title, said("no path names `turn`"))
    value = tightest_turn(-bicycle.hitch[0], stand.carrier.reach, reach.least_rad)
    return judged(
        name, title, Judged(value, path.turn, "mm"),
        said("radius of the bicycle's rear wheel, plane geometry of wheels that roll (closed form)"),
        said("{path}; the hitch turns {angle:.0f}° to the side", path=path.name, angle=math.degrees(reach.least_rad)),
    )  # fmt: skip


def _swing(name: str, title: Said, stand: Stand, bicycle: Bicycle, paths: Sequence[Path]) -> Check:
    path = _turns(paths)
    if path is None or path.turn is None:
        return not_made(name, title, said("no path names `turn`"))
    turn = turn_of(stand, bicycle, path.turn)
    return judged(
        name, title, Judged(float(turn.swing), MOST_SWING, "mm"), COMMON,
        said("{path}: its middle runs {inside:.0f} mm inside the bicycle's rear wheel, bicycle and carrier sweep "
             "{wide:.0f} mm of the path", path=path.name, inside=path.turn - float(turn.axle),
             wide=float(turn.outside - turn.inside)),
    )  # fmt: skip


WAYS: dict[str, Said] = {
    "sideways": said("how far the tightest turn bends the hitch"),
    "up-and-down": said("how far the paths bend the hitch up and down"),
    "leaning": said("how far the bicycle leans against the carrier"),
}


def _needs(job: Subject, stand: Stand, bicycle: Bicycle, paths: Sequence[Path]) -> list[Check]:
    """What the paths ask of the hitch, against how far it turns."""
    if not paths:
        return [
            not_made(f"ride-hitch-{key}", title, said("the design names no `paths`")) for key, title in WAYS.items()
        ]
    asked = [_asked(stand, bicycle, path) for path in paths]
    need = {
        "sideways": max(one.yaw_rad for one in asked),
        "up-and-down": max(one.pitch_rad for one in asked),
        "leaning": max(one.roll_rad for one in asked),
    }
    has = {one.swivel.way.replace(" ", "-"): one.least_rad for one in reaches(job)}
    out = []
    for key, title in WAYS.items():
        name = f"ride-hitch-{key}"
        if key not in has:
            out.append(not_made(name, title, said("the design does not say what turns there: `swivel`")))
            continue
        found = Judged(math.degrees(need[key]), math.degrees(has[key]), "°")
        rule = said("plane geometry of turn, kerb, slope and the lean in a bend (closed form)")
        assumes = said("the worst of all paths; a bicycle that falls over leans further than this")
        out.append(judged(name, title, found, rule, assumes))
    return out


def _asked(stand: Stand, bicycle: Bicycle, path: Path) -> Swivel:
    behind, bend, lean = -bicycle.hitch[0], 0.0, 0.0
    if path.turn is not None:
        bend = float(turn_of(stand, bicycle, path.turn).bend_rad)
        lean = float(np.arctan2(((path.speed_mm_s or 0.0) / 1000) ** 2, GRAVITY * path.turn / 1000))
    return swivel_need(
        (stand.carrier.reach, stand.carrier.track), (bicycle.wheelbase, behind), bend_rad=bend, step=path.kerb,
        grade=2 * path.rise, lean_rad=lean + math.atan(path.lean),
    )  # fmt: skip
