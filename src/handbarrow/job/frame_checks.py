"""Will it hold? All load cases of a design solved, and what they say of every part; what was not computed says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Target
from handbarrow.findings import Finding
from handbarrow.job import frame_findings as tell
from handbarrow.job.frame_build import frame_of
from handbarrow.job.frame_cases import (
    COMMON,
    Cargo,
    Kind,
    blown,
    cargo_of,
    case_of,
    lifted_kinds,
    rolling_kinds,
    standing_kinds,
)
from handbarrow.job.frame_stands import Hold, holds_of, standing
from handbarrow.job.frame_stress import Stresses
from handbarrow.job.frame_values import FrameOfProduct, LoadedCase, Strength
from handbarrow.job.frame_verdicts import Found, checks_of
from handbarrow.job.values import Job
from handbarrow.laws.frame.model import Model, model
from handbarrow.laws.frame.solve import Solution, solve
from handbarrow.laws.frame.values import Frame, LoadCase, Mass
from handbarrow.laws.frame.vibration import natural_frequencies
from handbarrow.laws.geometry.path import Vec3, vec3

__all__ = ["Setting", "settings", "strength"]

Floats = NDArray[np.float64]


class Setting(NamedTuple):
    """A way in which the product stands or is held, ready to be solved.

    Attributes:
        id: `rolling`, `parked`, or `lift-` and the way of lifting.
        found: The frame without supports.
        frame: With them.
        wheels: How many of its ground contacts are wheels; they come first.
        ground: Names of the ground contacts.
        holds: Where it is held.
        kinds: The kinds of cases.
    """

    id: str
    found: FrameOfProduct
    frame: Frame
    wheels: int
    ground: tuple[str, ...]
    holds: tuple[Hold, ...]
    kinds: tuple[Kind, ...]


def strength(job: Job) -> tuple[Strength, list[Finding]]:
    """Return load cases, checks and the worst place of each part, and what a person must know of them."""
    ways, findings = settings(job)
    stresses = Stresses(job)
    cases: list[LoadedCase] = []
    found = Found()
    for way in ways:
        solved, told = _solved(job, way, stresses, found)
        cases += solved
        findings += told
    if not job.design.uses.carries:
        findings.append(tell.nothing_carried())
    elif not ways:
        findings.append(tell.nothing_holds())
    worst = stresses.worst()
    findings += stresses.findings()
    return Strength(cases=tuple(cases), checks=checks_of(job, worst, found, cases), worst=worst), findings


# ------------------------------------------------------------------------------------------------ how it stands
def settings(job: Job) -> tuple[list[Setting], list[Finding]]:
    """Return every way in which the design says the product is held, and what is wrong with them."""
    uses, product, shop = job.design.uses, job.product, job.workshop
    out: list[Setting] = []
    findings: list[Finding] = []
    if not uses.carries:
        return out, findings
    wanted = [("towed at", (uses.towed_at,) if uses.towed_at else ()), ("held at", uses.held_at)]
    where, points = next(((w, p) for w, p in wanted if p), ("", ()))
    holds, found = holds_of(product, shop, points, where)
    feet, told = holds_of(product, shop, uses.stands_on, "stands on")
    findings += [*found, *told]
    whole = frame_of(product, shop, job.parts, _places((*holds, *feet)))
    if holds and whole.hubs:
        by = "hitch" if where == "towed at" else "hands"
        frame, names = standing(whole, holds, by)
        kinds = rolling_kinds(by == "hitch", whole.hubs)
        out.append(Setting("rolling", whole, frame, len(whole.hubs), names, holds, tuple(kinds)))
    if feet:
        frame, names = standing(whole, feet, "feet")
        out.append(Setting("parked", whole, frame, len(whole.hubs), names, feet, tuple(standing_kinds())))
    for lift in uses.lifts:
        hands, told = holds_of(product, shop, lift.at, f"lifts.{lift.name}.at")
        findings += told
        only = _family(job, lift.assembly) if lift.assembly else None
        part = frame_of(product, shop, job.parts, _places(hands), only)
        if outside := [hold for hold in hands if hold.target not in part.nodes]:
            findings.append(tell.held_outside(lift.name, outside[0].name, lift.assembly))
            continue
        frame, names = standing(part, hands, "hands", wheels=False)
        label = lift.name.replace(" ", "-")
        out.append(Setting(f"lift-{label}", part, frame, 0, names, hands, tuple(lifted_kinds(lift.name))))
    return out, findings


def _places(holds: Sequence[Hold]) -> dict[Target, list[Vec3]]:
    out: dict[Target, list[Vec3]] = {}
    for hold in holds:
        out.setdefault(hold.target, []).append(hold.at)
    return out


def _family(job: Job, assembly: str) -> frozenset[str]:
    """An assembly and those that it carries."""
    out = {assembly}
    for _ in job.design.assemblies:
        out |= {a.name for a in job.design.assemblies if a.within in out}
    return frozenset(out)


# ------------------------------------------------------------------------------------------------ solving
def _solved(job: Job, way: Setting, stresses: Stresses, found: Found) -> tuple[list[LoadedCase], list[Finding]]:
    """All loads of the design in one way of standing."""
    ready = model(way.frame)
    out: list[LoadedCase] = []
    findings: list[Finding] = []
    several = len(job.design.uses.carries) > 1
    for load in job.design.uses.carries:
        cargo = cargo_of(job.product, way.found, load)
        if not cargo.beds:
            findings.append(tell.load_not_carried(load, way.id))
            continue
        end = "-" + load.name.replace(" ", "-") if several else ""
        try:
            solution, names = _cases(way, ready, cargo, end)
        except ValueError:
            findings.append(tell.load_not_carried(load, way.id))
            continue
        stresses.add(way.found, solution)
        made = [_told(way, kind, name, cargo, solution) for kind, name in zip(way.kinds, names, strict=True)]
        out += made
        if solution.loose or solution.unsettled:
            findings.append(tell.not_held(way.id, load.name, solution))
        elif way.id == "rolling":
            found.sag = max(found.sag or (0.0, ""), (_sag(solution), names[0]))
            found.span = _span(way)
            found.frequency = min(found.frequency or (np.inf, ""), (_frequency(way.frame, cargo), names[0]))
    return out, findings


def _cases(way: Setting, ready: Model, cargo: Cargo, end: str) -> tuple[Solution, list[str]]:
    """Every kind of case with one load; blows need what the wheels carry standing."""
    names = [f"{way.id}-{kind.id}{end}" if way.id != "rolling" else f"{kind.id}{end}" for kind in way.kinds]
    first = case_of(names[0], way.kinds[0], cargo)
    carry = np.zeros(way.wheels)
    if any(kind.hub >= 0 for kind in way.kinds):
        standing_so = solve(ready, [first])
        if standing_so.cases:
            carry = _on_wheels(way, standing_so)[0]
    cases: list[LoadCase] = []
    for kind, name in zip(way.kinds, names, strict=True):
        case = case_of(name, kind, cargo)
        if kind.hub >= 0:
            force = vec3(np.array(kind.hit) * carry[kind.hub])
            case = blown(way.frame, case, cargo, way.found.hubs[kind.hub][0], force)
        cases.append(case)
    return solve(ready, cases), names


def _on_wheels(way: Setting, solution: Solution) -> Floats:
    """Upward force on each wheel (c, w)."""
    rests = len(way.found.rests)
    out: Floats = solution.contact_forces[:, rests : rests + way.wheels]
    return out


def _told(way: Setting, kind: Kind, name: str, cargo: Cargo, solution: Solution) -> LoadedCase:
    out = LoadedCase(id=name, title=kind.title, carried=cargo.name, says=kind.says, source=COMMON)
    solved = [case.name for case in solution.cases]
    if name not in solved:
        return replace(out, state="loose" if name in solution.loose else "unsettled")
    c = solved.index(name)
    rests, springs = len(way.found.rests), [s.name for s in way.frame.springs]
    up = {n: solution.contact_forces[c, rests + k] for k, n in enumerate(way.ground)}

    def put(name: str) -> Vec3:
        pushed = np.array((0.0, 0.0, up.get(name, 0.0)))
        return vec3(pushed - solution.spring_forces[c, springs.index(name), :3])

    ground = [put(n) for n in way.ground[: way.wheels]]
    hands = [(hold.name, put(hold.name)) for hold in way.holds]
    moved = float(np.linalg.norm(solution.displacements[c, :, :3], axis=1).max())
    return replace(
        out, ground=tuple(ground), hands=tuple(hands), largest_move=moved, residual=float(solution.residual[c])
    )


def _sag(solution: Solution) -> float:
    return float(-solution.displacements[0, :, 2].min())


def _span(way: Setting) -> float:
    """From the axle to where it is held, along the product."""
    hub = np.mean([h for _, h, _ in way.found.hubs], axis=0)
    held = np.mean([hold.at for hold in way.holds], axis=0)
    return float(abs(held[0] - hub[0]))


def _frequency(frame: Frame, cargo: Cargo) -> float:
    """Lowest natural frequency with a load, spread over the ends of the straights that carry it [1/s]."""
    members = {m.name: m for m in frame.members}
    sizes = [float(np.linalg.norm(np.subtract(b.end, b.start))) for b in cargo.beds]
    masses = list(frame.masses)
    for bed, size in zip(cargo.beds, sizes, strict=True):
        half = cargo.mass_kg * size / sum(sizes) / 2
        masses += [Mass(node=n, mass_kg=half) for n in (members[bed.member].start, members[bed.member].end)]
    found = natural_frequencies(replace(frame, masses=tuple(masses)), 1).frequency_hz
    return float(found[0]) if len(found) else 0.0
