"""When it tips: on slopes, in turns, over a kerb, parked on its feet."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from handbarrow.design.ride_values import Path
from handbarrow.job.frame_stands import holds_of
from handbarrow.job.frame_values import Check, Subject, not_made
from handbarrow.job.ride_loads import called
from handbarrow.job.ride_values import Floats, Judged, Slopes, Stand, State, arrays, judged
from handbarrow.language import Said, said
from handbarrow.laws.ride.tipping import kerb_jump, parked_tipping, tipping_threshold, turning_speed

__all__ = ["GYRATION", "slowest_turns", "tipping_checks"]

SAFE = 0.5
"""Margin of slopes from which a check holds: safety 1.5 (common practice, no source)."""
FASTER = 0.2
"""Of speeds: one and a fifth, 1.44 in the pull to the side."""
LEAST_RAD = math.radians(10.0)
"""Slope that it must stand where no path says more: common practice; ISO 7176-1 tilts but sets no pass angle."""
GYRATION = 0.3
"""Radius of gyration over the track: that of masses spread evenly across it is 0.29."""
KMH = 3.6 / 1000
STATIC = said("the weight's line leaves the line from wheel to hitch (closed form); half track over height, as read")


def tipping_checks(
    job: Subject, stand: Stand, states: Sequence[State], slopes: Slopes, paths: Sequence[Path]
) -> list[Check]:
    """Return side slope, turns, kerbs, parked.

    Args:
        job: What is checked.
        stand: The product on its wheels.
        states: What it carries.
        slopes: The worst of all paths.
        paths: The paths.
    """
    _, centre = arrays(states)
    g = np.asarray(tipping_threshold(stand.carrier, _turned(centre)))
    out = [_side(states, g, slopes)]
    for name, title, kerb in (
        ("tipping-turn", said("speed at which it tips in the tightest turn"), False),
        ("tipping-kerb", said("speed at which it tips in that turn, one wheel on a kerb"), True),
    ):
        out.append(_turn(name, title, _fastest(stand, states, g, paths, kerb)))
    out.append(_thrown(stand, states, paths))
    return [*out, *_parked(job, stand, states, slopes)]


def _turned(centre: Floats) -> Floats:
    """Centres on the side to which it tips first."""
    out = centre.copy()
    out[:, 1] = np.abs(out[:, 1])
    return out


def _side(states: Sequence[State], g: Floats, slopes: Slopes) -> Check:
    k = int(np.argmin(g))
    limit = math.atan(slopes.lean) if slopes.lean > 0 else LEAST_RAD
    found = Judged(math.degrees(math.atan(g[k])), math.degrees(limit), "°", more=True, enough=SAFE)
    rule = said("{static}; safety 1.5 over the side slope of the paths (common practice, no source)", static=STATIC)
    if slopes.lean <= 0:
        rule = said("{static}; 10° where no path leans, with safety 1.5 (common practice, no source)", static=STATIC)
    return judged(
        "tipping-side-slope", said("side slope at which it tips"), found, rule,
        said("{load}; hitch or hands hold it, tyres stiff, nothing slides", load=called(states[k])),
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ turns
Fast = tuple[float, float, State, Path]
"""Speed at which it tips [mm/s], speed of the path [mm/s], what is carried, the path."""


def slowest_turns(stand: Stand, states: Sequence[State], paths: Sequence[Path]) -> list[Fast]:
    """Return, for each path that names a turn, the speed at which the worst load tips there."""
    g = np.asarray(tipping_threshold(stand.carrier, _turned(arrays(states)[1])))
    return _speeds(stand, states, g, [path for path in paths if path.turn is not None], kerb=False)


def _speeds(stand: Stand, states: Sequence[State], g: Floats, paths: Sequence[Path], kerb: bool) -> list[Fast]:
    out: list[Fast] = []
    k = int(np.argmin(g))
    for path in paths:
        if path.turn is None:
            continue
        v = turning_speed(
            g[k], path.turn, track=stand.carrier.track, kerb=path.kerb if kerb else 0.0, bank_rad=math.atan(path.lean)
        )
        out.append((float(v), path.speed_mm_s or 0.0, states[k], path))
    return out


def _fastest(stand: Stand, states: Sequence[State], g: Floats, paths: Sequence[Path], kerb: bool) -> Fast | Said:
    told = [p for p in paths if p.turn is not None and p.speed_mm_s is not None and (p.kerb > 0 or not kerb)]
    if not told:
        if kerb:
            return said("no path names `turn`, `speed` and `kerb`")
        return said("no path names `turn` and `speed`")
    return min(_speeds(stand, states, g, told, kerb), key=lambda one: one[0] / one[1])


def _turn(name: str, title: Said, found: Fast | Said) -> Check:
    if isinstance(found, Said):
        return not_made(name, title, found)
    tips, wanted, state, path = found
    rule = said(
        "{static} with the pull of the turn; a fifth faster than ridden (common practice, no source)", static=STATIC
    )
    return judged(
        name, title, Judged(tips * KMH, wanted * KMH, "km/h", more=True, enough=FASTER), rule,
        said("{path}, {load}; tyres stiff, so the true speed is lower", path=path.name, load=called(state)),
    )  # fmt: skip


def _thrown(stand: Stand, states: Sequence[State], paths: Sequence[Path]) -> Check:
    name, title = "tipping-thrown", said("speed at which a kerb under one wheel throws it over")
    told = [p for p in paths if p.kerb > 0 and p.speed_mm_s is not None]
    if not told:
        return not_made(name, title, said("no path names `speed` and `kerb`"))
    track = stand.carrier.track
    found: list[Fast] = []
    for path in told:
        for state in states:
            side = track / 2 - abs(state.centre[1])
            jump = kerb_jump(track, (side, state.centre[2]), GYRATION * track, stand.wheel_radius, path.kerb)
            found.append((0.0 if jump is None else jump.throws_mm_s, path.speed_mm_s or 0.0, state, path))
    tips, wanted, state, path = min(found, key=lambda fast: fast[0] / fast[1])
    rule = said("energy of the roll over the other wheel (closed form, computed here); a fifth faster than ridden")
    check = judged(
        name, title, Judged(tips * KMH, wanted * KMH, "km/h", more=True, enough=FASTER), rule,
        said("{path}, {load}; hard wheel square to the edge, nothing gives: an indicator far on the safe side; try it",
             path=path.name, load=called(state)),
    )  # fmt: skip
    return replace(check, verdict="doubtful") if check.verdict == "fails" else check


# ------------------------------------------------------------------------------------------------ parked
def _parked(job: Subject, stand: Stand, states: Sequence[State], slopes: Slopes) -> list[Check]:
    sideways = ("tipping-parked-sideways", said("side slope at which it tips, parked"))
    along = ("tipping-parked-along", said("slope along it at which it tips, parked"))
    feet, _ = holds_of(job.product, job.workshop, job.design.uses.stands_on, "")
    half = stand.carrier.track / 2
    spots = [(0.0, half), (0.0, -half), *(stand.along(foot.at)[:2] for foot in feet)]
    if not feet or float(np.ptp([x for x, _ in spots])) < 1.0:
        why = said("the design does not say what it stands on beside its wheels: `stands on`")
        return [not_made(*sideways, why), not_made(*along, why)]
    tilts = [(parked_tipping(spots, state.centre), state) for state in states]
    rule = said(
        "the weight's line leaves the feet (closed form); safety 1.5 over the paths (common practice, no source)"
    )

    def check(which: tuple[str, Said], value: Callable[[int], float], limit: float) -> Check:
        k = min(range(len(tilts)), key=value)
        found = Judged(math.degrees(value(k)), math.degrees(limit or LEAST_RAD), "°", more=True, enough=SAFE)
        assumes = said("{load}; on its wheels and feet, wheels held, nothing slides", load=called(tilts[k][1]))
        return judged(*which, found, rule, assumes)

    return [
        check(sideways, lambda k: min(tilts[k][0].left, tilts[k][0].right), math.atan(slopes.lean)),
        check(along, lambda k: min(tilts[k][0].forward, tilts[k][0].backward), math.atan(slopes.rise)),
    ]
