"""How long welds last on rough roads: throats, ends of tubes at joints, tubes beside what is welded on them.

Nominal stress while the load bounces, from the cases in which it weighs twice as much. No rule for fatigue of tube
joints covers walls as thin as ours: the years are an indicator, and the doubt is said.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

import numpy as np

from handbarrow.design.values import Target
from handbarrow.job.fitup import wall_of
from handbarrow.job.frame_values import Check, Subject, Verdict
from handbarrow.job.joint_forces import Tied, end_stress
from handbarrow.job.joint_lines import Seam
from handbarrow.job.joint_welds import Ground, WeldState
from handbarrow.language import Said, said
from handbarrow.laws.fatigue.categories import DetailCategory, detail_category
from handbarrow.laws.fatigue.life import DOUBT, life, straight_line_spectrum
from handbarrow.laws.geometry.path import Floats

__all__ = ["KM_A_WEEK", "YEARS", "fatigue_checks", "km_of"]

KM_A_WEEK = 50.0
"""On rough roads, loaded [km]: common practice, no source."""
YEARS = 10.0
"""Wanted [years]: common practice, no source."""
PARTIAL = 1.15
"""gamma_Mf [-]: looked at often, a failure hurts; EN 1993-1-9 table 3.1, from memory."""
BOUNCES, ONCE_IN = 1000.0, 10.0
"""Bounces of any size on a kilometre; distance on which the load once weighs from nothing to twice [km]: common
practice, no source."""
MOST_YEARS = 999.0
"""More is told as this."""
TWICE = "bump-2g"
"""The case from nothing to twice the load begins so."""

Kind = Literal["throats", "ends", "tubes"]


class _Detail(NamedTuple):
    """A detail: its kind, the pair of parts, stress range of the largest bounce [MPa], category, thinnest wall [mm]."""

    kind: Kind
    pair: tuple[str, str]
    range_mpa: float
    case: str
    category: DetailCategory
    wall: float


def km_of(job: Subject) -> float:
    """Return how far it goes in a week [km]."""
    return KM_A_WEEK if job.design.uses.km_a_week is None else job.design.uses.km_a_week


def fatigue_checks(ground: Ground, states: Sequence[WeldState]) -> list[Check]:
    """Return one check for each kind of detail, the pair of parts that lasts shortest; none without wheels."""
    details = [*_throats(ground.job, states), *_stresses(ground, states)]
    groups: dict[tuple[Kind, str], list[_Detail]] = {}
    for detail in details:
        groups.setdefault((detail.kind, detail.category.key), []).append(detail)
    shortest: dict[Kind, tuple[float, _Detail, bool]] = {}
    spectrum, km = straight_line_spectrum(BOUNCES, ONCE_IN), km_of(ground.job)
    for (kind, _), alike in groups.items():  # of one category the largest range lasts shortest
        detail = max(alike, key=lambda one: one.range_mpa)
        found = life(detail.range_mpa, spectrum, detail.category, km, wall=detail.wall, partial=PARTIAL)
        if kind not in shortest or float(found.years) < shortest[kind][0]:
            shortest[kind] = (float(found.years), detail, found.outside)
    return [_check(ground.job, *one) for one in shortest.values()]


# ------------------------------------------------------------------------------------------------ details
def _throats(job: Subject, states: Sequence[WeldState]) -> Iterator[_Detail]:
    """Throats: the whole stress in them, on the safe side."""
    category = detail_category("throat of a fillet")
    for state in states:
        rows = [k for k, name in enumerate(state.cases) if name.startswith(TWICE)]
        if state.line is None or not rows:
            continue
        each = np.linalg.norm(state.stress[rows], axis=-1).max(axis=1)
        k = int(np.argmax(each))
        yield _Detail("throats", state.pair, float(each[k]), state.cases[rows[k]], category, _wall(job, state.pair))


def _wall(job: Subject, pair: tuple[str, str]) -> float:
    return min(wall_of(job.part(name)) for name in pair)


def _stresses(ground: Ground, states: Sequence[WeldState]) -> Iterator[_Detail]:
    """Stress along runs at the toe of welds: of the end that is welded, and of the run that goes on beside the weld."""
    for state in states:
        for seam in state.seams:
            rows = [k for k, name in enumerate(seam.ties[0].cases) if name.startswith(TWICE)]
            if not rows:
                continue
            for one in seam.ties:
                for target, node in ((one.tie.one.piece, one.node), (one.tie.other.piece, one.other)):
                    if target in ground.pieces:
                        yield _at(ground, (state, seam), one, (target, node), rows)


def _at(
    ground: Ground, of: tuple[WeldState, Seam], one: Tied, where: tuple[Target, int], rows: Sequence[int]
) -> _Detail:
    state, seam = of
    target, node = where
    stress: Floats = np.abs(end_stress(one, target, node)[rows]).max(axis=1)
    k = int(np.argmax(stress))
    ends = bool(seam.end) and target == seam.piece
    return _Detail(
        "ends" if ends else "tubes", seam.pair, float(stress[k]), seam.ties[0].cases[rows[k]],
        _category(ground, state, seam, target), _wall(ground.job, seam.pair),
    )  # fmt: skip


def _category(ground: Ground, state: WeldState, seam: Seam, target: Target) -> DetailCategory:
    """An end on a plate, a node of tubes, or something welded along a tube, by its length."""
    is_round = ground.pieces[target].section.is_round
    if seam.end:
        if seam.to not in ground.pieces:
            return detail_category(f"{'round' if is_round else 'square'} tube fillet welded to a plate")
        return detail_category(f"{'round' if is_round else 'square'} node, equal walls")
    size = math.inf if state.line is None else float(np.ptp(state.line.at, axis=0).max())
    for most in (50, 80, 100):
        if size <= most:
            return detail_category(f"attachment up to {most} along")
    return detail_category("attachment over 100 along")


# ------------------------------------------------------------------------------------------------ checks
def _title(kind: Kind, one: str, other: str) -> Said:
    if kind == "throats":
        return said("years until welds crack through the throat, shortest: {one} on {other}", one=one, other=other)
    if kind == "ends":
        return said("years until ends crack beside their weld, shortest: {one} on {other}", one=one, other=other)
    return said("years until tubes crack beside what is welded on, shortest: {one} on {other}", one=one, other=other)


def _check(job: Subject, years: float, detail: _Detail, outside: bool) -> Check:
    one, other = detail.pair
    shown = min(years, MOST_YEARS)
    surely = years >= YEARS * DOUBT and not outside
    verdict: Verdict = "holds" if surely else "fails" if years * DOUBT < YEARS else "doubtful"
    return Check(
        id=f"fatigue-{detail.kind}",
        title=_title(detail.kind, job.part(one).title, job.part(other).title),
        value=shown, limit=YEARS, unit="years", margin=shown / YEARS - 1, verdict=verdict,
        rule=said(
            "nominal stress, category {category:g}: {source}; sum of damage (Palmgren, Miner); {partial:g} on stress",
            category=detail.category.category_mpa, source=detail.category.source, partial=PARTIAL,
        ),
        assumes=_assumes(job, detail),
        parts=detail.pair, case=detail.case,
    )  # fmt: skip


def _assumes(job: Subject, detail: _Detail) -> Said:
    words = said("{km:g} km a week, as the design says", km=km_of(job))
    if job.design.uses.km_a_week is None:
        words = said("{km:g} km a week: the design does not say (`km a week`)", km=KM_A_WEEK)
    return said(
        "{distance}, loaded on rough roads; {bounces:g} bounces a km, once in {once:g} km from nothing to twice the "
        "load (common practice, no source), then {range:.0f} MPa. May be {doubt:g} times less or more; walls thinner "
        "than the rules cover. Look for cracks every month",
        distance=words, bounces=BOUNCES, once=ONCE_IN, range=detail.range_mpa, doubt=DOUBT,
    )  # fmt: skip
