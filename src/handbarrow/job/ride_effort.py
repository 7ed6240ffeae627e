"""What pulling and pushing asks of people: on each path, at its steepest and on the level."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handbarrow.design.ride_values import Path
from handbarrow.job.frame_values import Check, Verdict, not_made
from handbarrow.job.ride_loads import called
from handbarrow.job.ride_values import Effort, Stand, State
from handbarrow.language import Said, said
from handbarrow.laws.ride.effort import DRIVE, people_needed, resistance, rolling_of, speed_at_power, tow_power
from handbarrow.laws.ride.lifting import PUSH_GUIDES
from handbarrow.laws.ride.loads import Bicycle
from handbarrow.laws.ride.mass import GRAVITY

__all__ = ["ALL_DAY", "SHORT", "SLOWEST", "effort_checks", "efforts_of"]

ALL_DAY, SHORT = 75.0, 300.0
"""Power of a healthy rider all day and for ten minutes [W]: graph of human power on a public page, read."""
PLAN = 100.0
"""To plan with [W]: lecture notes on human power, read."""
SLOWEST = 1500.0
"""A loaded bicycle falls over below this [mm/s]: common practice, no source."""
KMH = 3.6 / 1000


def _push_n(key: str) -> float:
    return next(guide.limit_kg for guide in PUSH_GUIDES if guide.key == key) * GRAVITY


EACH = _push_n("woman keeps going")
"""What one person keeps up pushing [N]."""


def efforts_of(states: Sequence[State], paths: Sequence[Path], bicycle: Bicycle | None) -> tuple[Effort, ...]:
    """Return what each path asks with the heaviest load."""
    heavy = max(states, key=lambda state: state.mass_kg)
    mass = heavy.mass_kg + (0.0 if bicycle is None else bicycle.mass_kg)
    out = []
    for path in paths:
        surface = rolling_of(path.surface)
        rolling = 0.0 if surface is None else surface.high
        force = float(resistance(mass, rolling, path.rise).total)
        if bicycle is None:
            people = int(people_needed(force, EACH))
            out.append(Effort(path=path, force_n=force, power_w=None, people=people, steady_mm_s=None))
            continue
        short = max(force - PLAN * DRIVE / (SLOWEST / 1000), 0.0)
        power = None
        if path.speed_mm_s is not None:
            level = resistance(mass, rolling, 0.0, path.speed_mm_s).total
            power = float(tow_power(level, path.speed_mm_s))
        steady = float(speed_at_power(ALL_DAY, mass, rolling))
        people = int(people_needed(short, EACH))
        out.append(Effort(path=path, force_n=force, power_w=power, people=people, steady_mm_s=steady))
    return tuple(out)


def effort_checks(
    stand: Stand, states: Sequence[State], efforts: Sequence[Effort], bicycle: Bicycle | None
) -> list[Check]:
    """Return who must push where it is steepest, and the rider's power on the level."""
    push = ("effort-push", said("people who must push where it is steepest"))
    level = ("effort-level", said("rider's power on the level"))
    if not efforts:
        why = said("the design names no `paths`")
        return [not_made(*push, why), *([not_made(*level, why)] if stand.towed else [])]
    if stand.towed and bicycle is None:
        why = said("the design does not say what tows it: `bicycle` of `ride`")
        return [not_made(*push, why), not_made(*level, why)]
    heavy = max(states, key=lambda state: state.mass_kg)
    out = [_push(*push, efforts, heavy, bicycle)]
    if bicycle is not None:
        out.append(_level(*level, efforts, heavy))
    return out


def _push(name: str, title: Said, efforts: Sequence[Effort], heavy: State, bicycle: Bicycle | None) -> Check:
    own = 0 if bicycle is not None else 1

    worst = max(efforts, key=lambda one: (one.people - one.path.helpers, one.force_n))
    limit = worst.path.helpers + own
    rule = said(
        "each keeps up 7 kg of push (manual-handling leaflet, read at second hand: a woman who keeps going); as many "
        "walk along as the path names"
    )
    assumes = said("{path}, {load}: {force:.0f} N against the way", path=worst.path.name, load=called(heavy),
                   force=worst.force_n)  # fmt: skip
    if bicycle is not None:
        assumes = said(
            "{path}, {load}: {force:.0f} N against the way; the rider gives {power:g} W at {speed:.1f} km/h (lecture "
            "notes, read)", path=worst.path.name, load=called(heavy), force=worst.force_n, power=PLAN,
            speed=SLOWEST * KMH,
        )  # fmt: skip
    return Check(
        id=name, title=title, value=float(worst.people), limit=float(limit), unit="",
        margin=limit / worst.people - 1 if worst.people else None,
        verdict="holds" if worst.people <= limit else "fails", rule=rule, assumes=assumes,
    )  # fmt: skip


def _level(name: str, title: Said, efforts: Sequence[Effort], heavy: State) -> Check:
    told = [one for one in efforts if one.power_w is not None]
    if not told:
        return not_made(name, title, said("no path names `speed`"))
    worst = max(told, key=lambda one: one.power_w or 0.0)
    power = worst.power_w or 0.0
    verdict: Verdict = "holds" if power <= ALL_DAY else "doubtful" if power <= SHORT else "fails"
    rule = said(
        "{day:g} W all day, {short:g} W for ten minutes: healthy people (graph of human power on a public page, read)",
        day=ALL_DAY, short=SHORT,
    )  # fmt: skip
    assumes = said(
        "{path}, {load}, at {speed:.0f} km/h; {day:g} W keep up {steady:.0f} km/h there; no wind", path=worst.path.name,
        load=called(heavy), speed=(worst.path.speed_mm_s or 0.0) * KMH, day=ALL_DAY,
        steady=(worst.steady_mm_s or 0.0) * KMH,
    )  # fmt: skip
    margin = ALL_DAY / power - 1 if power > 0 and math.isfinite(power) else None
    return Check(
        id=name, title=title, value=power, limit=ALL_DAY, unit="W", margin=margin, verdict=verdict, rule=rule,
        assumes=assumes,
    )  # fmt: skip
