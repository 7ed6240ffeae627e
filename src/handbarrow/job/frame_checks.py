"""Will it hold? All load cases of a design solved, and what they say of every part; what was not computed says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Product, Target
from handbarrow.findings import Finding
from handbarrow.job import frame_findings as tell
from handbarrow.job.frame_build import frame_of
from handbarrow.job.frame_cases import (
    COMMON,
    GRAVITY,
    Cargo,
    Kind,
    blown,
    cargo_of,
    carried,
    case_of,
    heavy,
    lifted_kinds,
    rolling_kinds,
    standing_kinds,
)
from handbarrow.job.frame_stands import Hold, braced, holds_of, standing
from handbarrow.job.frame_stress import Stresses
from handbarrow.job.frame_values import FrameOfProduct, LoadedCase, Strength, Subject
from handbarrow.job.frame_verdicts import Found, checks_of
from handbarrow.job.remembered import remembered
from handbarrow.job.values import Job, JobPart
from handbarrow.language import Said, said
from handbarrow.laws.frame.model import Model, model
from handbarrow.laws.frame.solve import Solution, solve
from handbarrow.laws.frame.values import Frame, LoadCase, Mass
from handbarrow.laws.frame.vibration import natural_frequencies
from handbarrow.laws.geometry.path import Vec3, vec3
from handbarrow.workshop.values import Workshop

__all__ = ["Asked", "Setting", "Solved", "asked_in", "settings", "solved", "strength"]

Floats = NDArray[np.float64]


class Setting(NamedTuple):
    """A way in which the product stands or is held, ready to be solved.

    Attributes:
        id: `rolling`, `parked`, or `lift-` and the way of lifting.
        words: The same in words.
        found: The frame without supports.
        frame: With them.
        wheels: How many of its ground contacts are wheels; they come first.
        ground: Names of the ground contacts.
        holds: Where it is held.
        kinds: The kinds of cases.
    """

    id: str
    words: Said
    found: FrameOfProduct
    frame: Frame
    wheels: int
    ground: tuple[str, ...]
    holds: tuple[Hold, ...]
    kinds: tuple[Kind, ...]


class Solved(NamedTuple):
    """A way of standing and its solution."""

    way: Setting
    solution: Solution


def strength(job: Job | Subject) -> tuple[Strength, list[Finding]]:
    """Return load cases, checks and the worst place of each part, and what a person must know of them."""
    found, findings, _ = _strength(job.product, job.workshop, job.parts)
    return found, list(findings)


def solved(job: Job | Subject) -> tuple[Solved, ...]:
    """Return every way of standing with its solution: what `strength` was reckoned from."""
    return _strength(job.product, job.workshop, job.parts)[2]


@remembered
def _strength(
    product: Product, workshop: Workshop, parts: tuple[JobPart, ...]
) -> tuple[Strength, tuple[Finding, ...], tuple[Solved, ...]]:
    job = Subject(product, workshop, parts)
    ways, findings = settings(job)
    stresses = Stresses(job)
    cases: list[LoadedCase] = []
    found = Found()
    solutions: list[Solved] = []
    for way in ways:
        told_cases, told, solution = _solved(job, way, stresses, found)
        cases += told_cases
        findings += told
        if solution is not None and solution.cases:
            solutions.append(Solved(way, solution))
    if job.design.uses.carries and not ways:
        findings.append(tell.nothing_holds())
    worst = stresses.worst()
    findings += stresses.findings()
    return (
        Strength(cases=tuple(cases), checks=checks_of(job, worst, found, cases), worst=worst),
        tuple(findings),
        tuple(solutions),
    )


# ------------------------------------------------------------------------------------------------ how it stands
def settings(job: Subject) -> tuple[list[Setting], list[Finding]]:
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
        out.append(Setting("rolling", said("on its wheels"), whole, frame, len(whole.hubs), names, holds, tuple(kinds)))
    if feet:
        frame, names = standing(whole, feet, "feet")
        words, kinds = said("standing on its feet"), standing_kinds()
        out.append(Setting("parked", words, whole, frame, len(whole.hubs), names, feet, tuple(kinds)))
    lifted, told = _lifted(job)
    return [*out, *lifted], [*findings, *told]


def _lifted(job: Subject) -> tuple[list[Setting], list[Finding]]:
    """What is carried by hand."""
    out: list[Setting] = []
    findings: list[Finding] = []
    for lift in job.design.uses.lifts:
        hands, told = holds_of(job.product, job.workshop, lift.at, f"lifts.{lift.name}.at")
        findings += told
        only = _family(job, lift.assembly) if lift.assembly else None
        part = frame_of(job.product, job.workshop, job.parts, _places(hands), only)
        if outside := [hold for hold in hands if hold.target not in part.nodes]:
            findings.append(tell.held_outside(lift.name, outside[0].name, lift.assembly))
            continue
        frame, names = standing(part, hands, "hands", wheels=False)
        name, words = f"lift-{lift.name.replace(' ', '-')}", said("carried {by}", by=lift.name)
        out.append(Setting(name, words, part, frame, 0, names, hands, tuple(lifted_kinds(lift.name))))
    return out, findings


def _places(holds: Sequence[Hold]) -> dict[Target, list[Vec3]]:
    out: dict[Target, list[Vec3]] = {}
    for hold in holds:
        out.setdefault(hold.target, []).append(hold.at)
    return out


def _family(job: Subject, assembly: str) -> frozenset[str]:
    """An assembly and those that it carries."""
    out = {assembly}
    for _ in job.design.assemblies:
        out |= {a.name for a in job.design.assemblies if a.within in out}
    return frozenset(out)


# ------------------------------------------------------------------------------------------------ solving
class Asked(NamedTuple):
    """A case to be solved: its name, its kind, what is carried."""

    name: str
    kind: Kind
    cargo: Cargo


def _solved(
    job: Subject, way: Setting, stresses: Stresses, found: Found
) -> tuple[list[LoadedCase], list[Finding], Solution | None]:
    """All loads of the design in one way of standing."""
    cargos, findings = _cargos(job, way)
    if not cargos:
        return [], findings, None
    asked = _asked(way, cargos)
    solution = solve(*_cases(way, asked))
    stresses.add(way.found, solution)
    unsolved = [one.kind.title for one in asked if one.name in (*solution.loose, *solution.unsettled)]
    if unsolved:
        findings.append(tell.not_held(way.words, unsolved, solution))
    if way.id == "rolling":
        _whole(way, asked, solution, found)
    return [_told(way, one, solution) for one in asked], findings, solution


def _cargos(job: Subject, way: Setting) -> tuple[list[Cargo], list[Finding]]:
    """The loads of the design that lie on something here."""
    cargos, findings = [], []
    for load in job.design.uses.carries:
        cargo = cargo_of(job.product, way.found, load)
        try:
            carried(cargo, np.array((0.0, GRAVITY, -GRAVITY)))
        except ValueError:
            findings.append(tell.load_not_carried(load, way.words))
        else:
            cargos.append(cargo)
    return cargos, findings


def asked_in(job: Job | Subject, way: Setting) -> list[Asked]:
    """Return what is asked of a way of standing: every kind of case with every load that lies on something there."""
    cargos, _ = _cargos(Subject(job.product, job.workshop, job.parts), way)
    return _asked(way, cargos)


def _asked(way: Setting, cargos: Sequence[Cargo]) -> list[Asked]:
    out = []
    for cargo in cargos:
        for kind in way.kinds:
            words = [*([] if way.id == "rolling" else [way.id]), kind.id, *([cargo.name] if len(cargos) > 1 else [])]
            out.append(Asked("-".join(words).replace(" ", "-"), kind, cargo))
    return out


def _cases(way: Setting, asked: Sequence[Asked]) -> tuple[Model, list[LoadCase]]:
    """The frame and its cases; hits need what the wheels carry standing."""
    ready = model(way.frame)
    plain = {one.name: case_of(one.name, one.kind, one.cargo) for one in asked}
    if not any(one.kind.hub >= 0 for one in asked):
        return ready, list(plain.values())
    stand = [one for one in asked if one.kind.id == way.kinds[0].id]
    first = solve(ready, [plain[one.name] for one in stand])
    names = [case.name for case in first.cases]
    carry = {one.cargo.name: _on_wheels(way, first)[names.index(one.name)] for one in stand if one.name in names}
    weighs = heavy(way.frame)
    cases = []
    for one in asked:
        case = plain[one.name]
        if one.kind.hub >= 0 and one.cargo.name in carry:
            node, hub, _ = way.found.hubs[one.kind.hub]
            force = np.array(one.kind.hit) * carry[one.cargo.name][one.kind.hub]
            case = blown(weighs, case, one.cargo, node, (force, np.asarray(hub)))
        cases.append(case)
    return ready, cases


def _whole(way: Setting, asked: Sequence[Asked], solution: Solution, found: Found) -> None:
    """What is asked of the product as a whole, on its wheels."""
    found.span = _span(way)
    solved = {case.name: c for c, case in enumerate(solution.cases)}
    on_wheels = _on_wheels(way, solution)
    standing_ones = [one for one in asked if one.kind.id == way.kinds[0].id and one.name in solved]
    for one in _heaviest(standing_ones):
        found.frequency = min(found.frequency or (np.inf, ""), (_frequency(braced(way.frame), one.cargo), one.name))
    stand = {one.cargo.name: one.name for one in standing_ones}
    for one in asked:
        first = solved.get(stand.get(one.cargo.name, ""))
        if one.name not in solved or first is None:
            continue
        if one.name == stand[one.cargo.name]:
            down = float(-solution.displacements[first, :, 2].min())
            found.sag = max(found.sag or (0.0, ""), (down, one.name))
        if one.kind.hub < 0:
            least = on_wheels[solved[one.name]]
            shares = least / np.maximum(on_wheels[first], 1e-9)
            k = int(np.argmin(shares))
            found.wheel = min(found.wheel or (np.inf, 0.0, ""), (float(shares[k]), float(least[k]), one.name))


def _heaviest(standing_ones: Sequence[Asked]) -> list[Asked]:
    """Of what lies on the same straights, the heaviest: it swings slowest."""
    out: dict[tuple[str, ...], Asked] = {}
    for one in standing_ones:
        beds = tuple(bed.member for bed in one.cargo.beds)
        if beds not in out or one.cargo.mass_kg > out[beds].cargo.mass_kg:
            out[beds] = one
    return list(out.values())


def _on_wheels(way: Setting, solution: Solution) -> Floats:
    """Upward force on each wheel (c, w)."""
    rests = len(way.found.rests)
    out: Floats = solution.contact_forces[:, rests : rests + way.wheels]
    return out


def _told(way: Setting, one: Asked, solution: Solution) -> LoadedCase:
    kind, name = one.kind, one.name
    out = LoadedCase(id=name, title=kind.title, carried=one.cargo.name, says=kind.says, source=COMMON)
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
    return replace(out, ground=tuple(ground), hands=tuple(hands), residual=float(solution.residual[c]))


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
