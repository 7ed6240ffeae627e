"""Mishaps, and what gives way by itself: somebody stands on the frame, it is let fall, struts bow out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Target
from handbarrow.findings import Finding
from handbarrow.job.frame_cases import COMMON, GRAVITY, blown, cargo_of, carried, case_of, heavy
from handbarrow.job.frame_checks import Solved, solved
from handbarrow.job.frame_stands import braced
from handbarrow.job.frame_stress import Stresses
from handbarrow.job.frame_values import Bed, Check, Subject, Verdict, Worst
from handbarrow.job.frame_verdicts import verdict
from handbarrow.language import Said, said
from handbarrow.laws.frame.along import section_forces
from handbarrow.laws.frame.model import model
from handbarrow.laws.frame.second_order import buckling_factors, solve_second_order
from handbarrow.laws.frame.solve import Solution, solve
from handbarrow.laws.frame.stress import equivalent_along
from handbarrow.laws.frame.values import LoadCase, PointOnMember
from handbarrow.laws.geometry.path import Floats

__all__ = ["checks"]

STANDS_KG = 100.0
STEP_LENGTH, STEP_HEIGHT, STEP_SLOPE = 150.0, 600.0, 0.35
"""A foot finds what is this long [mm], no higher above ground [mm], no steeper."""
LANDS = 3.0
"""What is let fall lands with so many times what was held."""
BUMP = 2.0
"""Somebody sits up while it rolls over a bump of so many g."""
STIFF_ENOUGH = 10.0
"""From here second order may be left out."""


def checks(subject: Subject) -> tuple[tuple[Check, ...], Sequence[Finding]]:
    """Return the checks of mishaps, and of struts that bow out; none where no way of standing was solved."""
    ways = solved(subject)
    if not ways:
        return (), ()
    stands = next((one for one in ways if one.way.id == "parked"), None)
    stands = stands or next((one for one in ways if one.way.id == "rolling"), None)
    out = [_slender(ways)]
    if stands is not None:
        out += [*_stood_on(subject, stands), *_dropped(subject, stands)]
    rolls = next((one for one in ways if one.way.id == "rolling"), stands)
    if rolls is not None:
        out += _together(subject, rolls)
    return tuple(out), ()


# ------------------------------------------------------------------------------------------------ standing on it
def _stood_on(subject: Subject, one: Solved) -> list[Check]:
    """Somebody stands where it is weakest: in the middle of the longest straight of each part."""
    steps: dict[str, Bed] = {}
    for target, beds in one.way.found.beds.items():
        for bed in (bed for bed in beds if _is_step(bed)):
            known = steps.get(target.part)
            if known is None or _size(bed) > _size(known) + 1e-6:
                steps[target.part] = bed
    force = (0.0, 0.0, -STANDS_KG * GRAVITY / 1000)
    cases = [
        LoadCase(
            name=part, loads=(PointOnMember(member=bed.member, along=_size(bed) / 2, force=force),),
            field_mm_s2=(0.0, 0.0, -GRAVITY),
        )
        for part, bed in steps.items()
    ]  # fmt: skip
    title = said("somebody stands on the frame")
    assumes = said(
        "{kg:g} kg on one foot, in the middle of the longest level straight of each part up to {height:g} mm above "
        "ground, nothing else loaded",
        kg=STANDS_KG, height=STEP_HEIGHT,
    )  # fmt: skip
    return _stressed(subject, one, cases, ("stood-on", title), assumes)


def _is_step(bed: Bed) -> bool:
    start, end = np.asarray(bed.start), np.asarray(bed.end)
    level = abs(end[2] - start[2]) <= STEP_SLOPE * max(_size(bed), 1e-9)
    return bool(level and _size(bed) >= STEP_LENGTH and max(start[2], end[2]) <= STEP_HEIGHT)


def _size(bed: Bed) -> float:
    return float(np.linalg.norm(np.subtract(bed.end, bed.start)))


# ------------------------------------------------------------------------------------------------ sitting up
def _together(subject: Subject, one: Solved) -> list[Check]:
    """All of a load at its centre: half of it on the nearest place of the straights on either side."""
    cases = []
    for load in subject.design.uses.carries:
        beds = [bed for target in load.on for bed in one.way.found.beds.get(target, ())]
        sides = [[bed for bed in beds if hand * (_middle(bed)[1] - load.at[1]) > 0] for hand in (1, -1)]
        if not all(sides):
            continue
        force = (0.0, 0.0, -BUMP * load.mass_kg / 2 * GRAVITY / 1000)
        at = np.add(load.at, (0.0, 0.0, subject.product.lift))
        nearest = [min((_near(bed, at), bed.member) for bed in side) for side in sides]
        loads = [PointOnMember(member=member, along=along, force=force) for (_, along), member in nearest]
        cases.append(LoadCase(name=load.name, loads=tuple(loads), field_mm_s2=(0.0, 0.0, -BUMP * GRAVITY)))
    assumes = said(
        "half of the load left and half right of its centre, each on one place, {n:g} times all weights; {common}",
        n=BUMP, common=COMMON,
    )  # fmt: skip
    title = said("somebody sits up, or goods slide together")
    rule = said("von Mises stress below yield, EN 1993-1-1 6.2.1 (from memory); safety 1.5 to hold ({common})",
                common=COMMON)  # fmt: skip
    found = _stressed(subject, one, cases, ("load-together", title), assumes)
    return [replace(check, verdict=verdict(check.margin), rule=rule) for check in found]


def _near(bed: Bed, at: Floats) -> tuple[float, float]:
    """How far a place is from a straight, and where along it that is nearest."""
    start, way = np.asarray(bed.start, float), np.subtract(bed.end, bed.start)
    along = float(np.clip((at - start) @ way / _size(bed), 0.0, _size(bed)))
    return round(float(np.linalg.norm(start + way * (along / _size(bed)) - at)), 6), along


def _middle(bed: Bed) -> Floats:
    out: Floats = (np.asarray(bed.start, float) + np.asarray(bed.end, float)) / 2
    return out


# ------------------------------------------------------------------------------------------------ let fall
def _dropped(subject: Subject, one: Solved) -> list[Check]:
    """It is let go where it is held, and lands on its feet, else where it was held."""
    weighs = heavy(one.way.frame)
    cases = []
    for load in subject.design.uses.carries:
        cargo = cargo_of(subject.product, one.way.found, load)
        try:
            carried(cargo, np.array((0.0, 0.0, -GRAVITY)))
        except ValueError:
            continue
        case = case_of(load.name, one.way.kinds[0], cargo)
        still = solve(one.solution.model, [case])
        if not still.cases:
            continue
        for node, at, force in _held(one, still):
            case = blown(weighs, case, cargo, node, ((LANDS - 1) * force, at))
        cases.append(case)
    title = said("handle or drawbar dropped")
    assumes = said(
        "lands with {n:g} times what feet or whoever pulls it carried standing, loaded; moving masses take it up; "
        "{common}",
        n=LANDS, common=COMMON,
    )  # fmt: skip
    return _stressed(subject, one, cases, ("handle-dropped", title), assumes)


def _held(one: Solved, still: Solution) -> Iterator[tuple[str, Floats, Floats]]:
    """Node, place and upward force of every foot, or of every place at which it is held."""
    way, up = one.way, np.array((0.0, 0.0, 1.0))
    feet = way.ground[way.wheels :]
    springs = {spring.name: k for k, spring in enumerate(way.frame.springs)}
    at = {node.name: np.asarray(node.at, float) for node in way.frame.nodes}
    for hold in way.holds:
        node = way.frame.springs[springs[hold.name]].second
        if hold.name in feet:
            number = len(way.found.rests) + way.ground.index(hold.name)
            force = float(still.contact_forces[0, number])
        else:
            force = -float(still.spring_forces[0, springs[hold.name], 2])
        yield node, at[node], abs(force) * up


def _stressed(
    subject: Subject, one: Solved, cases: Sequence[LoadCase], named: tuple[str, Said], assumes: Said
) -> list[Check]:
    """The place that is used most of all; none where no yield is known. A mishap must leave nothing bent."""
    worst = _worst(subject, one, cases)
    if worst is None:
        return []
    margin = 1 / max(worst.utilisation or 0.0, 1e-9) - 1
    name, title = named
    return [Check(
        id=name, title=title, value=worst.stress_mpa, limit=worst.allowed_mpa, unit="MPa", margin=margin,
        verdict="holds" if margin >= 0 else verdict(margin),
        rule=said("von Mises stress below yield, EN 1993-1-1 6.2.1 (from memory): nothing stays bent"),
        assumes=assumes, parts=(worst.part,),
    )]  # fmt: skip


def _worst(subject: Subject, one: Solved, cases: Sequence[LoadCase]) -> Worst | None:
    """The place that is used most of all; None: there are no cases, or no yield is known."""
    if not cases:
        return None
    stresses = Stresses(subject)
    stresses.add(one.way.found, solve(one.solution.model, cases))
    known = [worst for worst in stresses.worst() if worst.utilisation is not None]
    return max(known, key=lambda worst: worst.utilisation or 0.0, default=None)


# ------------------------------------------------------------------------------------------------ bowing out
class _Bows(NamedTuple):
    """How far loads may grow until something bows out, where and under which case."""

    factor: float
    part: str
    case: str
    one: Solved
    number: int


def _slender(ways: Sequence[Solved]) -> Check:
    """Each way of standing under the case that pushes its struts hardest."""
    least = min((_bows(one) for one in ways), key=lambda bows: bows.factor)
    factor = min(least.factor, 1000.0)
    judged: Verdict = "holds" if factor >= STIFF_ENOUGH else "doubtful" if factor > 1 else "fails"
    assumes = said(
        "the case that pushes its struts hardest in each way of standing, on ground that gives no way; contacts stay "
        "as they are then; at least so many times"
    )
    if 1 < factor < STIFF_ENOUGH:
        more = _second_order(least)
        if more is not None:
            assumes = said("second order was reckoned: it raises the highest stress by {share:.0%}", share=more)
    return Check(
        id="slender", title=said("slender struts (second order)"), value=factor, limit=STIFF_ENOUGH, unit="times",
        margin=factor / STIFF_ENOUGH - 1, verdict=judged,
        rule=said(
            "loads at which struts bow out, over the loads: from {n:g} on second order may be left out, "
            "EN 1993-1-1 5.2.1 (from memory)",
            n=STIFF_ENOUGH,
        ),
        assumes=assumes, parts=(least.part,) if least.part else (), case=least.case,
    )  # fmt: skip


def _bows(one: Solved) -> _Bows:
    """Of the frame on ground that gives no way: what swings on soft tyres is no strut.

    Where every piece would stand the push as a mast of its whole length, that is the answer.
    """
    solution = one.solution
    owners = [one.way.found.owner[m.name] for m in solution.model.frame.members]
    whole: dict[Target, float] = {}
    for owner, length in zip(owners, solution.model.beams.runs.length.tolist(), strict=True):
        whole[owner] = whole.get(owner, 0.0) + length
    mast = 2 * np.array([whole[owner] for owner in owners])
    push = np.maximum(-section_forces(solution, (0.0, 0.5, 1.0))[..., 0].min(axis=2), 0.0)
    softest = np.array([min(m.section.inertia_height, m.section.inertia_width) * m.material.youngs_mpa
                        for m in solution.model.frame.members])  # fmt: skip
    used = push * mast**2 / (np.pi**2 * softest)
    c, m = np.unravel_index(int(np.argmax(used)), used.shape)
    case = solution.cases[int(c)]
    factor = 1 / max(float(used.max()), 1e-9)
    if factor < STIFF_ENOUGH:
        found = buckling_factors(braced(one.way.frame), case, 1)
        factor = float(found[0]) if len(found) else factor
    return _Bows(factor, owners[int(m)].part, case.name, one, int(c))


def _second_order(bows: _Bows) -> float | None:
    """By which share second order raises the highest stress; None where no balance was found."""
    case, ready = bows.one.solution.cases[bows.number], model(braced(bows.one.way.frame))
    after = solve_second_order(ready, [case])
    if not after.cases:
        return None
    before = solve(ready, [case])
    stations = (0.0, 0.5, 1.0)
    return float(equivalent_along(after, stations).max() / max(equivalent_along(before, stations).max(), 1e-9) - 1)
