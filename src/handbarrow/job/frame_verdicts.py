"""Verdicts: what came out beside what is allowed; and the checks that were not made, by name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from handbarrow.job.frame_cases import COMMON
from handbarrow.job.frame_values import Check, LoadedCase, Subject, Verdict, Worst, not_made
from handbarrow.language import Said, said

__all__ = ["ENOUGH", "Found", "checks_of", "verdict"]

ENOUGH = 0.5
"""Margin from which a check holds: safety 1.5 (common practice, no source)."""
SPAN_SHARE = 150.0
LEAST_SHARE = 0.2
"""Of what a wheel carries standing, this must stay on it in turns and on slopes."""
LEAST_HZ = 3.0


@dataclass(slots=True)
class Found:
    """What cases on wheels gave besides stress: value and case.

    `wheel`: the least share of what a wheel carries standing, the force on it [N], the case.
    """

    sag: tuple[float, str] | None = None
    span: float = 0.0
    frequency: tuple[float, str] | None = None
    wheel: tuple[float, float, str] | None = None


def verdict(margin: float | None) -> Verdict:
    """Return the verdict of a margin."""
    if margin is None:
        return "not checked"
    return "holds" if margin >= ENOUGH else "doubtful" if margin >= 0 else "fails"


def checks_of(job: Subject, worst: Sequence[Worst], found: Found, cases: Sequence[LoadedCase]) -> tuple[Check, ...]:
    """Return all checks, those that were not made among them."""
    out = [_stress(job, one) for one in worst]
    why = said("no load case was solved for it")
    if not job.design.uses.carries:
        why = said("the design does not say what it carries")
    solved = {one.part for one in worst}
    out += [
        not_made(
            f"stress-{p.id}",
            said("stress in {part}", part=p.title),
            said("no load case that the design gives was solved for it"),
            (p.id,),
        )
        for p in job.parts
        if p.section is not None and p.id not in solved
    ]
    out += _whole(found, why)
    return (*out, *_not_computed(job))


def _stress(job: Subject, one: Worst) -> Check:
    margin = None if one.allowed_mpa is None else one.allowed_mpa / max(one.stress_mpa, 1e-9) - 1
    title = said("stress in {part}", part=job.part(one.part).title)
    rule: Said = said(
        "von Mises stress below yield, EN 1993-1-1 6.2.1 (from memory); safety 1.5 to hold (common practice, no source)"
    )
    if one.in_bend:
        rule = said(
            "von Mises stress below yield less what cold bending left (closed form); safety 1.5 to hold (common "
            "practice, no source)"
        )
    assumes = said("elastic, small displacements, axes meet in the joints, bolts tight; welds not part of it")
    return Check(
        id=f"stress-{one.part}", title=title, value=one.stress_mpa, limit=one.allowed_mpa, unit="MPa", margin=margin,
        verdict=verdict(margin), rule=rule,
        assumes=assumes if margin is not None else said("yield strength not known"), parts=(one.part,), case=one.case,
    )  # fmt: skip


def _whole(found: Found, why: Said) -> list[Check]:
    sag = frequency = None
    if found.sag is not None and found.span > 0:
        limit = found.span / SPAN_SHARE
        margin = limit / max(found.sag[0], 1e-9) - 1
        sag = Check(
            id="deflection", title=said("deepest sag, standing loaded"), value=found.sag[0], limit=limit, unit="mm",
            margin=margin, verdict="holds" if margin >= 0 else "doubtful",
            rule=said("1/{n:g} of the distance from axle to where it is held, {common}", n=SPAN_SHARE, common=COMMON),
            assumes=said("tyres stiff"), case=found.sag[1],
        )  # fmt: skip
    if found.frequency is not None and found.frequency[0] > 0:
        margin = found.frequency[0] / LEAST_HZ - 1
        frequency = Check(
            id="frequency", title=said("lowest frequency, loaded"), value=found.frequency[0], limit=LEAST_HZ, unit="Hz",
            margin=margin, verdict="holds" if margin >= 0 else "doubtful",
            rule=said("above {hz:g} Hz: steps and pedalling do not rock it, {common}", hz=LEAST_HZ, common=COMMON),
            assumes=said("tyres stiff, load stiff on what carries it"), case=found.frequency[1],
        )  # fmt: skip
    wheels = said("least force on a wheel")
    return [
        _wheels(wheels, found.wheel) if found.wheel is not None else not_made("wheels-down", wheels, why),
        sag or not_made("deflection", said("deepest sag, standing loaded"), why),
        frequency or not_made("frequency", said("lowest frequency, loaded"), why),
    ]


def _wheels(title: Said, found: tuple[float, float, str]) -> Check:
    share, force, case = found
    return Check(
        id="wheels-down", title=title, value=force, limit=0.0, unit="N", margin=share,
        verdict="holds" if share >= LEAST_SHARE else "doubtful" if share > 0 else "fails",
        rule=said("{share:.0%} of what it carries standing stays on it, {common}", share=LEAST_SHARE, common=COMMON),
        assumes=said("steady turn and slope as in the load cases; hits left out; the test ride decides"), case=case,
    )  # fmt: skip


def _not_computed(job: Subject) -> list[Check]:
    """What this program does not compute, so that it never reads as passed."""
    proof = said("not computed here; proof load and inspection decide")
    out = [
        not_made("welds", said("welds"), proof),
        not_made("joints", said("walls of tubes at joints"), proof),
        not_made("fatigue", said("fatigue on rough roads"), proof),
        not_made("slender", said("slender struts (second order)"), said("not computed here")),
        not_made("tipping", said("tipping, braking, steering"), said("not computed here; test ride")),
        not_made("handle-dropped", said("handle or drawbar dropped"), said("not computed here; drop test in the shop")),
        not_made("stood-on", said("somebody stands on the frame"), said("not computed here; proof load")),
    ]
    plates = [part for part in job.parts if part.kind == "plate"]
    bought = [part for part in job.parts if part.kind == "bought"]
    if plates:
        stiff = said("taken as stiff in the frame; their stress was not computed")
        out.append(not_made("plates", said("plates"), stiff))
    if bought:
        out.append(
            not_made(
                "bought",
                said("bought parts that no check names"),
                said("not computed here; what their makers allow counts"),
            )
        )
    return out
