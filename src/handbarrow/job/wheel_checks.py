"""Wheels: hub between its plates, axle in its slots, load and pressure of the tyre."""

from __future__ import annotations

import numpy as np

from handbarrow.design.values import Bought
from handbarrow.findings import Finding
from handbarrow.job.frame_stands import holds_of
from handbarrow.job.frame_values import Check, Subject, Verdict, not_made
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.ride_stand import masses_of, wheels_of
from handbarrow.job.wheel_fit import PLAY, WheelFit, wheel_fit
from handbarrow.language import said
from handbarrow.laws.geometry.path import Floats
from handbarrow.laws.hardware.tyres import tyre_drop

__all__ = ["checks", "wheel_loads_kg"]

GRAVITY = 9.81
MOST_AXLE = 1.0
"""More room than this round an axle in its slot lets the wheel stand askew [mm]: common practice, no source."""
MOST_PLAY = 1.0
"""More play than this lets a wheel wander [mm]: common practice, no source."""
DROP, MOST_DROP = 0.15, 0.25
"""A tyre that gives more of its height runs soft; from the second on its rim is in danger: practice, no source."""


def checks(job: Subject) -> tuple[tuple[Check, ...], list[Finding]]:
    """Return the checks of all wheels, worst copy of each part; and no findings."""
    scene, loads = Scene(job.product), wheel_loads_kg(job)
    out: list[Check] = []
    for part in job.design.parts:
        shape = part.shape
        if not isinstance(shape, Bought) or shape.wheel is None:
            continue
        fit = wheel_fit(part, scene, job.workshop)
        if fit is not None:
            out += [_hub(job, part.id, fit), *_axle(job, part.id, fit)]
        out += [_load(job, part.id, shape, loads.get(part.id)), _pressure(job, part.id, shape, loads.get(part.id))]
    return tuple(out), []


# ------------------------------------------------------------------------------------------------ hub
def _hub(job: Subject, name: str, fit: WheelFit) -> Check:
    """Play of a hub between its plates once it is packed."""
    title = said("play of the hub of {part} between its plates", part=job.part(name).title)
    if fit.hub is None:
        why = said("nobody says how wide the hub is over its locknuts: `hub` of the wheel, here or in the price list")
        return not_made(f"hub-{name}", title, why, (name,))
    rule = said("{play:g} mm of play, at most {most:g} (common practice, no source)", play=PLAY, most=MOST_PLAY)
    verdict: Verdict = "fails"
    if fit.packing is None:
        play = fit.room - fit.hub
        washers = said("it does not go in")
    else:
        play = fit.packing.play
        verdict = "holds" if play <= MOST_PLAY + 1e-9 else "doubtful"
        left, right = (" + ".join(f"{one:g}" for one in side) or "0" for side in (fit.packing.left, fit.packing.right))
        washers = said("washers beside the hub: {left} mm on one side, {right} mm on the other", left=left, right=right)
    return Check(
        id=f"hub-{name}", title=title, value=play, limit=MOST_PLAY, unit="mm",
        margin=MOST_PLAY / play - 1 if play > 1e-9 else None, verdict=verdict, rule=rule,
        assumes=said(
            "hub {hub:g} mm over its locknuts, {room:g} mm between the plates as drawn; {washers}",
            hub=fit.hub, room=fit.room, washers=washers,
        ), parts=(name,),
    )  # fmt: skip


def _axle(job: Subject, name: str, fit: WheelFit) -> list[Check]:
    """Room of an axle in its slots; nothing where there are none."""
    if not fit.slots:
        return []
    title = said("room of the axle of {part} in its slots", part=job.part(name).title)
    if fit.axle is None:
        why = said("nobody says how thick the axle is: `axle` of the wheel, here or in the price list")
        return [not_made(f"axle-{name}", title, why, (name,))]
    room = min(fit.slots) - fit.axle
    verdict: Verdict = "fails" if room < 0 else "holds" if max(fit.slots) - fit.axle <= MOST_AXLE else "doubtful"
    return [
        Check(
            id=f"axle-{name}", title=title, value=room, limit=MOST_AXLE, unit="mm", margin=None, verdict=verdict,
            rule=said("0 to {most:g} mm wider than the axle (common practice, no source)", most=MOST_AXLE),
            assumes=said("axle {axle:g} mm; slot {slot:g} mm at the narrowest", axle=fit.axle, slot=min(fit.slots)),
            parts=(name,),
        )
    ]  # fmt: skip


# ------------------------------------------------------------------------------------------------ tyres
def wheel_loads_kg(job: Subject) -> dict[str, float]:
    """Return what stands on the most loaded copy of each wheel [kg], standing on level ground with the heaviest load.

    Weight and load rest on the wheels alone; where their centre lies so that hitch or hands would lift them, the
    wheels carry that too. Empty without wheels or without masses.
    """
    wheels, whole = wheels_of(job), masses_of(job)[-1]
    if not wheels or whole.centre is None:
        return {}
    most: dict[str, float] = {}
    hold = _hold(job)
    for mass, at in _loaded(job, whole.mass_kg, np.asarray(whole.centre)):
        share = _shares(np.array([hub for _, hub, _ in wheels]), at, hold)
        for (wheel, _, _), part in zip(wheels, share, strict=True):
            most[wheel] = max(most.get(wheel, 0.0), mass * float(part))
    return most


def _loaded(job: Subject, mass: float, centre: Floats) -> list[tuple[float, Floats]]:
    """Mass [kg] and centre [mm], empty and with each load."""
    out = [(mass, centre)]
    for load in job.design.uses.carries:
        at = np.add(load.at, (0.0, 0.0, job.product.lift))
        out.append((mass + load.mass_kg, (centre * mass + at * load.mass_kg) / (mass + load.mass_kg)))
    return out


def _hold(job: Subject) -> float | None:
    """Where along x hitch or hands hold it [mm]."""
    uses = job.design.uses
    points = (uses.towed_at,) if uses.towed_at is not None else uses.held_at
    holds, _ = holds_of(job.product, job.workshop, points, "")
    return float(np.mean([hold.at[0] for hold in holds])) if holds else None


def _shares(wheels: Floats, centre: Floats, hold: float | None) -> Floats:
    """What of the weight each wheel carries: wheels of one axle by levers, others alike."""
    axle = wheels[:, 0]
    if np.ptp(axle) > 1.0 or len(wheels) > 2:
        return np.full(len(wheels), 1.0 if len(wheels) == 1 else 2.0 / len(wheels))
    along = 1.0
    if hold is not None and abs(hold - axle[0]) > 1.0:
        along = max(1.0, float((hold - centre[0]) / (hold - axle[0])))
    if len(wheels) == 1:
        return np.array([along])
    y, other = float(wheels[0, 1]), float(wheels[1, 1])
    first = min(max((centre[1] - other) / (y - other), 0.0), 1.0) if abs(y - other) > 1.0 else 0.5
    return along * np.array([first, 1.0 - first])


def _load(job: Subject, name: str, shape: Bought, load_kg: float | None) -> Check:
    title = said("load on the tyre of {part}", part=job.part(name).title)
    listed = job.workshop.prices.get(shape.item)
    largest = shape.largest_kg if shape.largest_kg is not None else (listed.largest_kg if listed else None)
    if largest is None or load_kg is None:
        why = said("nobody says what the tyre may carry: `largest load` of the wheel, as written on its tyre")
        if load_kg is None:
            why = said("masses or wheels are missing")
        return not_made(f"tyre-load-{name}", title, why, (name,))
    margin = largest / load_kg - 1
    return Check(
        id=f"tyre-load-{name}", title=title, value=load_kg, limit=largest, unit="kg", margin=margin,
        verdict="fails" if margin < 0 else "holds",
        rule=said("what is written on the tyre, at its pressure"),
        assumes=said("standing on level ground with the heaviest load; nothing rests on hitch or hands"), parts=(name,),
    )  # fmt: skip


def _pressure(job: Subject, name: str, shape: Bought, load_kg: float | None) -> Check:
    title = said("how far the tyre of {part} gives", part=job.part(name).title)
    if shape.wheel is None or shape.pressure_mpa is None or load_kg is None:
        why = said("nobody says what it is pumped to: `pressure` of the wheel")
        return not_made(f"tyre-gives-{name}", title, why, (name,))
    drop = tyre_drop(load_kg * GRAVITY, shape.pressure_mpa, shape.wheel.width, shape.wheel.bead_seat)
    limit = DROP * shape.wheel.width
    verdict: Verdict = "holds" if drop <= limit else "doubtful" if drop <= MOST_DROP * shape.wheel.width else "fails"
    return Check(
        id=f"tyre-gives-{name}", title=title, value=drop, limit=limit, unit="mm", margin=limit / drop - 1,
        verdict=verdict,
        rule=said("at most 15 % of the tyre's height, above 25 % the rim is in danger (common practice, no source)"),
        assumes=said(
            "tyre {tyre} at {pressure:g} kPa; skin without stiffness, so it gives less (closed form)",
            tyre=shape.wheel.designation, pressure=round(shape.pressure_mpa * 1000, 3),
        ), parts=(name,),
    )  # fmt: skip
