"""The sheets on loads and checks: what holds, what does not, what nobody reckoned, the proof load to try it with."""

from __future__ import annotations

import math

from handbarrow.drawings.loads import used_view
from handbarrow.job.checks import checked
from handbarrow.job.frame_values import Check, LoadedCase, Strength, Worst
from handbarrow.job.values import Job
from handbarrow.language import spoken
from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.units.shown import short_text
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, tight
from handbarrow.sheets.clearances import clearance_section
from handbarrow.sheets.proof import BACK, MINUTES, PROOF_FACTOR, heaviest
from handbarrow.sheets.ride import ride_pages
from handbarrow.sheets.shown import soft, title_of
from handbarrow.sheets.words_checks import CHECKS, PROOF, UNITS, VERDICT

__all__ = ["check_number", "load_pages"]

ORDER = ("fails", "doubtful", "holds")
FRAME_ROOM = 5.0
"""Of a picture in a table [mm]."""
VIEW_SHARE = 0.42
MOST_YEARS = 100
"""Longer lives are told as more than this: sums of damage say no more."""
MOST_HELD = 2
"""More hands than this are told as one number."""


def load_pages(job: Job, room: tuple[float, float]) -> list[Block]:
    """Return the sheets; none if nothing could be checked.

    Args:
        job: The job.
        room: Room across and down a sheet [mm].
    """
    found, _ = checked(job)
    if not job.design.uses.carries and all(check.verdict == "not checked" for check in found.checks):
        return []
    titles = {case.id: _case_title(case) for case in found.cases}
    return [
        section(
            CHECKS["title"], _picture(job, found, room), lead=CHECKS["lead"],
            remarks=[CHECKS["caution"], CHECKS["factors"]], code="+loads-and-checks",
        ),
        section("", tight(_made(job, found, titles)), level=2),
        section(CHECKS["not_made"], tight(_not_made(found)), level=2),
        clearance_section(job),
        *_loaded(job, found),
        section(CHECKS["rules"], None, level=2, remarks=_rules(found)),
        *ride_pages(job, room),
    ]  # fmt: skip


def _loaded(job: Job, found: Strength) -> list[Block]:
    """Proof load and load cases, where the design says what it carries."""
    if not job.design.uses.carries:
        return []
    return [
        section(PROOF["title"], tight(_proof(job, found)), level=2, lead=PROOF["lead"]),
        section(CHECKS["cases"], tight(_cases(found)), lead=CHECKS["cases_lead"], code="+load-cases"),
    ]


def _case_title(case: LoadedCase) -> str:
    return CHECKS["case"].format(title=spoken(case.title), carried=case.carried)


# ------------------------------------------------------------------------------------------------ checks
def _picture(job: Job, found: Strength, room: tuple[float, float]) -> Block:
    used = {one.part: one.utilisation for one in found.worst if one.utilisation is not None}
    view = picture(used_view(job, used, (room[0] - FRAME_ROOM, room[1] * VIEW_SHARE)))
    return table([(CHECKS["picture"], 1.0, "c")], [[{"kind": "view", "view": view}]])


def _made(job: Job, found: Strength, titles: dict[str, str]) -> Block:
    columns = [
        (CHECKS["check"], 3.0, "l"),
        (CHECKS["value"], 0, "r"),
        (CHECKS["limit"], 0, "r"),
        (CHECKS["used"], 0, "r"),
        (CHECKS["verdict"], 0, "l"),
    ]
    worst = {f"stress-{one.part}": one for one in found.worst}
    made = [check for check in found.checks if check.verdict != "not checked"]
    made.sort(key=lambda check: (ORDER.index(check.verdict), check.margin or 0.0))
    return table(columns, [_check(job, check, worst.get(check.id), titles) for check in made])


def _check(job: Job, check: Check, worst: Worst | None, titles: dict[str, str]) -> list[Cell]:
    below = titles.get(check.case, "")
    if worst is not None:
        along = job.workshop.shown.length(worst.along, with_unit=True)
        words = CHECKS["worst_bend" if worst.in_bend else "worst"]
        below = words.format(case=below, copy=worst.copy, along=along)
    used = "" if worst is None or worst.utilisation is None else f"{100 * worst.utilisation:.0f} %"
    return [
        {"plain": spoken(check.title), "sub": soft(below)},
        check_number(job, check.value, check.unit),
        _limit(job, check),
        used,
        strong(VERDICT[check.verdict]),
    ]


def _limit(job: Job, check: Check) -> str:
    """The limit, with whether it is the most or the least that is allowed, where value and margin tell it."""
    limit = check_number(job, check.limit, check.unit)
    good = check.margin if check.margin is not None else {"holds": 1.0, "fails": -1.0}.get(check.verdict, 0.0)
    over = (check.value or 0.0) - (check.limit or 0.0)
    if not limit or good * over == 0.0:
        return limit
    return CHECKS["at_least" if good * over > 0.0 else "at_most"].format(limit=limit)


def check_number(job: Job, value: float | None, unit: str) -> str:
    """Return a value or limit of a check with its unit, as the shop reads it; empty if there is none."""
    if value is None:
        return ""
    if unit == "mm":
        return job.workshop.shown.length(value, with_unit=True)
    if unit == "years" and value > MOST_YEARS:
        return f"{MOST_YEARS}+ {UNITS[unit]}"
    return f"{short_text(float(f'{value:.3g}'))} {UNITS.get(unit, unit)}"


def _not_made(found: Strength) -> Block:
    rows: list[list[Cell]] = [
        [spoken(check.title), spoken(check.assumes)] for check in found.checks if check.verdict == "not checked"
    ]
    return table([(CHECKS["check"], 1.0, "l"), (CHECKS["why"], 1.6, "l")], rows)


def _rules(found: Strength) -> list[Cell]:
    """Each rule once, with what it assumes."""
    out = dict.fromkeys(
        f"{spoken(check.rule)}. {spoken(check.assumes)}" for check in found.checks if check.verdict != "not checked"
    )
    return list(out)


# ------------------------------------------------------------------------------------------------ cases
def _cases(found: Strength) -> Block:
    columns = [
        (CHECKS["acts"], 2.2, "l"),
        (CHECKS["wheels"], 1.5, "l"),
        (CHECKS["held"], 2.2, "l"),
    ]
    rows: list[list[Cell]] = []
    for case in found.cases:
        acts: Block = {"plain": _case_title(case), "sub": spoken(case.says)}
        if case.state != "solved":
            rows.append([acts, CHECKS[case.state], ""])
            continue
        wheels = "; ".join(_force(force) for force in case.ground)
        rows.append([acts, wheels, _held(case)])
    return table(columns, rows)


def _held(case: LoadedCase) -> str:
    """What holds it: each force, of more than two the largest."""
    if len(case.hands) <= MOST_HELD:
        return "; ".join(f"{soft(name)} {_force(force)}" for name, force in case.hands)
    _, most = max(case.hands, key=lambda hand: math.hypot(*hand[1]))
    return CHECKS["hands"].format(count=len(case.hands), force=_force(most))


def _force(force: Vec3) -> str:
    return " / ".join(f"{value + 0.0:.0f}" if abs(value) >= 0.5 else "0" for value in force)


# ------------------------------------------------------------------------------------------------ proof load
def _proof(job: Job, found: Strength) -> Block:
    shown = job.workshop.shown
    most = heaviest(job)
    if most is None:
        return table([("", 0.6, "l"), ("", 2.0, "l")], [])
    heavy = shown.mass(most.proof_kg, with_unit=True)
    on = max(job.design.uses.carries, key=lambda load: load.mass_kg).on
    parts = ", ".join(dict.fromkeys(title_of(job, target.part) for target in on))
    sag = next((check.value for check in found.checks if check.id == "deflection"), None)
    back = shown.length(BACK, with_unit=True)
    rows: list[list[Cell]] = [
        [PROOF["heavy"], PROOF["heavy_says"].format(
            mass=heavy, carried=most.name, most=shown.mass(most.mass_kg, with_unit=True))],
        [PROOF["where"], PROOF["where_says"].format(parts=parts)],
        [PROOF["long"], PROOF["long_says"].format(minutes=MINUTES)],
        [PROOF["measure"], PROOF["measure_says"]],
    ]  # fmt: skip
    if sag is None:
        rows.append([PROOF["allowed"], PROOF["allowed_plain"].format(back=back)])
    else:
        deeper = shown.length(PROOF_FACTOR * sag, with_unit=True)
        rows.append([PROOF["allowed"], PROOF["allowed_says"].format(sag=deeper, back=back)])
    for lift in job.design.uses.lifts:
        rows.append([PROOF["lift"], PROOF["lift_says"].format(mass=heavy, by=lift.name)])
    return table([("", 0.6, "l"), ("", 2.0, "l")], rows)
