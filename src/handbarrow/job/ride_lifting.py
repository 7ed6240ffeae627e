"""Lifting by hand: each way of carrying, and the hitch or handle, against guide figures for manual handling."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from handbarrow.design.uses import Lift
from handbarrow.design.values import Product
from handbarrow.job.frame_stands import holds_of
from handbarrow.job.frame_values import Check, Subject, Verdict, not_made
from handbarrow.job.ride_loads import called
from handbarrow.job.ride_stand import masses_of
from handbarrow.job.ride_values import Borne, Stand, State
from handbarrow.language import said
from handbarrow.laws.ride.lifting import LIFT_GUIDES, hand_loads, team_capacity_kg
from handbarrow.laws.ride.mass import GRAVITY

__all__ = ["lifting_checks"]

MAN, WOMAN = LIFT_GUIDES
MOST_KG = 50.0
"""On one person, beyond it nobody lifts: twice the guide figure; common practice, no source."""
GUIDE = said(
    "guide figures for repeated work (HSE, from memory: a man 25 kg, a woman 16 kg), less in a team (page on team "
    "handling, read)"
)


def lifting_checks(job: Subject, stand: Stand, states: Sequence[State], borne: Sequence[Borne]) -> list[Check]:
    """Return each way of carrying, and what hands lift at the hitch or the handle.

    Args:
        job: What is checked.
        stand: The product on its wheels.
        states: What it carries.
        borne: What carries each state.
    """
    return [_hold(stand, borne), *(_lift(job, stand, lift, states) for lift in job.design.uses.lifts)]


def _hold(stand: Stand, borne: Sequence[Borne]) -> Check:
    worst = max(borne, key=lambda one: abs(one.hold.level))
    value = abs(worst.hold.level) / GRAVITY
    title = said("lifted at the hitch, unhitched with its load") if stand.towed else said("lifted at the handle")
    verdict: Verdict = "holds" if value <= WOMAN.limit_kg else "doubtful" if value <= MAN.limit_kg else "fails"
    return Check(
        id="lifting-hold", title=title, value=value, limit=WOMAN.limit_kg, unit="kg",
        margin=WOMAN.limit_kg / value - 1 if value > 1e-9 else None, verdict=verdict, rule=GUIDE,
        assumes=said("{load}; one person, level", load=called(worst.state)),
    )  # fmt: skip


def _lift(job: Subject, stand: Stand, lift: Lift, states: Sequence[State]) -> Check:
    name, title = f"lifting-{lift.name.replace(' ', '-')}", said("carried {by}, on one person", by=lift.name)
    if lift.people < 1:
        return not_made(name, title, said("the design does not say by how many people: `people` of `lifts`"))
    hands, _ = holds_of(job.product, job.workshop, lift.at, "")
    lifted = next((s for s in masses_of(job) if s.name == (lift.assembly or "whole")), None)
    if lifted is None or lifted.centre is None or len(hands) < 2:
        return not_made(name, title, said("masses or places of hands are missing"))
    here = stand.along(lifted.centre)
    carried = _carried(job, lift, states)
    heavy = max(carried, key=lambda s: s.load_kg) if carried else None
    mass, at = lifted.mass_kg, np.array(here)
    if heavy is not None:
        at = (at * mass + np.array(heavy.load_at) * heavy.load_kg) / (mass + heavy.load_kg)
        mass += heavy.load_kg
    spots = [stand.along(hand.at)[:2] for hand in hands]
    try:
        each = hand_loads(spots, mass, (float(at[0]), float(at[1])))
    except ValueError:
        return not_made(name, title, said("it turns out of the hands that hold it"))
    if len(each) % lift.people:
        return not_made(name, title, said("the hands named do not share out among the people"))
    worst = float(np.max(each.reshape(lift.people, -1).sum(axis=1)))
    may = team_capacity_kg([MAN] * lift.people) / lift.people
    verdict: Verdict = "holds" if worst <= may else "doubtful" if worst <= MOST_KG else "fails"
    return Check(
        id=name, title=title, value=worst, limit=may, unit="kg", margin=may / worst - 1, verdict=verdict, rule=GUIDE,
        assumes=said(
            "{load}, {mass:.0f} kg in all, by {people} men who hold it in the order of the file; beyond the figure "
            "lift seldom, carry short ways, take more people", load=called(heavy or states[0]), mass=mass,
            people=lift.people,
        ),
    )  # fmt: skip


def _carried(job: Subject, lift: Lift, states: Sequence[State]) -> list[State]:
    """What lies on what is lifted: loads whose parts belong to it, and people, who lie where the loads lie."""
    if not lift.assembly:
        return [state for state in states if state.name]
    inside = _family(job.product, lift.assembly)
    on = {
        load.name: all(job.design.part(target.part).assembly in inside for target in load.on)
        for load in job.design.uses.carries
    }
    return [
        state for state in states if state.name and (on.get(state.name, False) or (state.lying and any(on.values())))
    ]


def _family(product: Product, assembly: str) -> frozenset[str]:
    out = {assembly}
    for _ in product.design.assemblies:
        out |= {a.name for a in product.design.assemblies if a.within in out}
    return frozenset(out)
