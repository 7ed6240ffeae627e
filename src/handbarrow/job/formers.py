"""Curves pulled round formers: the former of each bend, how much longer to saw, how many in one length."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Member, Run
from handbarrow.findings import Finding, Severity
from handbarrow.job.dies import ChosenDie, reckoned_yield
from handbarrow.job.former_values import Pull, PulledBend
from handbarrow.job.values import EndCut
from handbarrow.language import said
from handbarrow.laws.bending.former import Former, chord_and_rise, former_for, least_former_radius, step_marks
from handbarrow.laws.bending.former import yield_from_trial as yield_from
from handbarrow.laws.geometry.path import layout
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Die, SetAngleLaw, Workshop

__all__ = ["over_former", "pull_of"]

NO_STRAIGHT = 0.5
"""A straight shorter than this beside a curve is none [mm]."""


class _Steel(NamedTuple):
    """Yield strength that is reckoned with [MPa], and whether a trial piece gave it."""

    yield_mpa: float
    trial: bool


def _steel(workshop: Workshop, label: str, section: Section, radius: float) -> _Steel:
    """From the trial piece of this stock whose radius lies nearest, else from the stock."""
    trials = [t for t in workshop.formers.trials if t.stock == label]
    if trials and section.shape != "angle":
        trial = min(trials, key=lambda t: abs(math.log(t.made / radius)))
        found = yield_from(section, trial.on_former, trial.made)
        if found is not None:
            return _Steel(found, True)
    return _Steel(reckoned_yield(workshop, label), False)


@lru_cache(maxsize=512)
def _former(section: Section, radius: float, angle_rad: float, yield_mpa: float) -> Former | None:
    return former_for(section, (radius, angle_rad), yield_mpa)


def over_former(
    member: Member, label: str, workshop: Workshop, bend: tuple[str, float, float]
) -> tuple[ChosenDie | None, list[Finding]]:
    """Return a bend that is pulled over a former as if the former were a die, and what is wrong.

    Args:
        member: The run.
        label: Its stock.
        workshop: The shop.
        bend: Path in the design file, finished angle [rad], centreline radius as made [mm].
    """
    where, angle, radius = bend
    if member.section.shape == "angle":
        return None, [_twists(where)]
    steel = _steel(workshop, label, member.section, radius)
    former = _former(member.section, radius, angle, steel.yield_mpa)
    least = least_former_radius(member.section)
    if former is None or radius < least.centreline - 1e-9:
        return None, [_too_tight(where, radius, least.centreline)]
    die = Die(
        name=f"R {former.face:.0f}", stock=label, radius=former.centreline, tool="former",
        largest_angle_rad=2 * math.pi,
    )  # fmt: skip
    law = SetAngleLaw(a=angle / former.angle_rad, b_rad=0.0, test_bends=int(steel.trial))
    return ChosenDie(die=die, law=law, radius=radius, set_angle_rad=former.angle_rad), []


def pull_of(
    member: Member, label: str, workshop: Workshop, ends: tuple[EndCut, EndCut], quantity: int
) -> tuple[Pull | None, list[Finding]]:
    """Return how a run is pulled; None if it is bent on dies or not at all.

    Args:
        member: The run in product axes.
        label: Its stock.
        workshop: The shop.
        ends: How its ends are cut.
        quantity: Pieces of one unit.
    """
    run, section, place = member.part.shape, member.section, layout(member.centreline)
    if not isinstance(run, Run) or run.over == "die" or not len(place.angles) or section.shape == "angle":
        return None, []
    ways = workshop.formers
    first = float(place.straights[0]) - ends[0].shortest
    last = float(place.straights[-1]) - ends[1].shortest
    formers: list[tuple[Former, _Steel]] = []
    for angle, radius in zip(place.angles.tolist(), place.radii.tolist(), strict=True):
        steel = _steel(workshop, label, section, radius)
        former = _former(section, radius, angle, steel.yield_mpa)
        if former is None:
            return None, []  # said where the bend was chosen
        formers.append((former, steel))
    before = max(0.0, ways.held - first)
    after = max(0.0, formers[-1][0].moment_nmm / ways.hand_n - last)
    length = float(place.straights.sum() + place.arcs.sum()) - ends[0].shortest - ends[1].shortest
    alone = len(formers) == 1 and max(abs(first), abs(last)) < NO_STRAIGHT
    pieces = max(1, min(ways.pieces, quantity)) if alone else 1
    starts = before + np.arange(pieces) * (length + workshop.saw.kerf)
    marks = tuple((float(at), float(at) + length) for at in starts)
    at = before + first + np.concatenate([[0.0], np.cumsum(place.arcs + place.straights[1:])])
    bends = tuple(_bend(member, k, former, float(at[k]), run.over, ways.step) for k, (former, _) in enumerate(formers))
    pull = Pull(
        over=run.over, bends=bends, yield_mpa=formers[0][1].yield_mpa, trial=all(s.trial for _, s in formers),
        before=before, after=after, hand_n=ways.hand_n, pieces=pieces, saw_length=marks[-1][1] + after, marks=marks,
    )  # fmt: skip
    return pull, [] if pull.trial else [_guess(member, label)]


def _bend(member: Member, k: int, former: Former, at: float, over: str, step: float) -> PulledBend:
    """Bend k, which begins `at` from the start of the sawn length."""
    place = layout(member.centreline)
    radius, angle = float(place.radii[k]), float(place.angles[k])
    inside = radius - (former.centreline - former.face)
    chord, rise = chord_and_rise(inside, min(angle, math.pi))
    steps = tuple(float(mark) for mark in step_marks(radius * angle, at, step)) if over == "vice" else ()
    return PulledBend(
        number=k + 1, radius=radius, angle_rad=angle, on_former=former.centreline, face=former.face,
        pulled_rad=former.angle_rad, moment_nmm=former.moment_nmm, chord=chord, rise=rise, steps=steps,
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ findings
def _too_tight(where: str, radius: float, least: float) -> Finding:
    return Finding(
        code="former-too-tight",
        where=where,
        wrong=said("a radius of {radius:g} mm round a former", radius=radius),
        expected=said("at least {least:.0f} mm, from which it bends cold without creasing", least=least),
        fix=said("give the bend a radius of {least:.0f} mm or more, or bend it on a die", least=math.ceil(least)),
    )


def _twists(where: str) -> Finding:
    return Finding(
        code="former-too-tight",
        where=where,
        wrong=said("an angle is pulled round a former; it twists as it bends"),
        expected=said("tube, bar or flat"),
        fix=said("use another section, or weld the curve up of straight pieces"),
    )


def _guess(member: Member, label: str) -> Finding:
    return Finding(
        code="former-without-trial",
        where=f"{member.part.path}.over",
        wrong=said("no trial piece of {stock} stands behind its former: its radius is a first guess", stock=label),
        expected=said("a trial under `formers: trials` in the workshop file"),
        fix=said("pull one piece, measure both radii and write them down before the former is sawn for the batch"),
        severity=Severity.NOTE,
    )
