"""Welds: what the real line of each weld carries in all cases, by the directional method; worst copy of each pair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Target
from handbarrow.job.frame_values import Check, Piece, Subject, Verdict, not_made
from handbarrow.job.frame_verdicts import verdict
from handbarrow.job.joint_forces import steel_of
from handbarrow.job.joint_lines import Seam, own_line, own_wrench, throat_of
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.language import Said, said
from handbarrow.laws.geometry.path import Floats, cross, vec3
from handbarrow.laws.welds.line import WeldLine, force_along_line, throat_stress
from handbarrow.laws.welds.runs import force_on_runs
from handbarrow.laws.welds.strength import LEAST_THROAT, PARTIAL, WeldSteel, directional_use, weld_steel

__all__ = ["Ground", "WeldState", "told", "weld_checks", "weld_states"]

LITTLE = 3.0
"""Checks with more margin than this are told together: they use less than a quarter."""


class Ground(NamedTuple):
    """What joints are reckoned on: the job, its pieces where they stand."""

    job: Subject
    scene: Scene
    pieces: dict[Target, Piece]


class WeldState(NamedTuple):
    """The welds of all copies that are alike, in all cases of all ways of standing.

    Attributes:
        seams: One for each copy and way of standing.
        line: Along which they run; None: not computed.
        throat: [mm].
        steel: The weaker of both; None: not known.
        stress: (k, n, 3) in the throat [MPa], one row for each case of each seam.
        cases: (k) names of the cases.
    """

    seams: tuple[Seam, ...]
    line: WeldLine | None
    throat: float
    steel: WeldSteel | None
    stress: Floats
    cases: tuple[str, ...]

    @property
    def pair(self) -> tuple[str, str]:
        """The two parts."""
        return self.seams[0].pair


def weld_states(ground: Ground, found: Sequence[Seam]) -> list[WeldState]:
    """Return the state of all welds."""
    groups: dict[tuple[str, str, str, int], list[Seam]] = {}
    for seam in found:
        groups.setdefault(seam.alike, []).append(seam)
    return [_state(ground, tuple(alike)) for alike in groups.values()]


def _state(ground: Ground, alike: tuple[Seam, ...]) -> WeldState:
    job, first = ground.job, alike[0]
    throat = throat_of(job, first)
    cases = tuple(name for seam in alike for name in seam.ties[0].cases)
    strengths = [steel_of(job, name).tensile_mpa for name in first.pair]
    known = [value for value in strengths if value is not None]
    steel = weld_steel(min(known)) if len(known) == len(strengths) else None
    line = own_line(job, ground.scene, ground.pieces, first)
    if line is None:
        return WeldState(alike, None, throat, steel, np.zeros((len(cases), 0, 3)), cases)
    acts = [own_wrench(ground.scene, seam, seam.at, seam.forces) for seam in alike]
    at = acts[0][0]
    forces = np.concatenate([wrench for _, wrench in acts])
    places = np.repeat([place - at for place, _ in acts], [len(wrench) for _, wrench in acts], axis=0)
    forces[:, 3:] += cross(places, forces[:, :3])
    spread = force_along_line(line, forces, vec3(at)) if first.end else force_on_runs(line, forces, at)
    return WeldState(alike, line, throat, steel, throat_stress(line, spread, throat), cases)


# ------------------------------------------------------------------------------------------------ checks
def weld_checks(job: Subject, states: Sequence[WeldState]) -> list[Check]:
    """Return one check for each pair of parts that are welded, worst place of all; one more names what was left out."""
    worst: dict[tuple[str, str], Check] = {}
    left: dict[tuple[str, str], None] = {}
    for state in states:
        if state.line is None or state.steel is None or not state.cases:
            left[state.pair] = None
            continue
        check = _check(job, state, state.steel)
        before = worst.get(state.pair)
        if before is None or (check.margin or 0.0) < (before.margin or 0.0):
            worst[state.pair] = check
    out = told(list(worst.values()), "welds-others", said("all other welds, the most used"))
    if left:
        why = said(
            "{pairs}: plate on plate, plate across a tube, or steel without a name; proof load and inspection decide",
            pairs=_pairs(job, list(left)),
        )
        out.append(not_made("welds-left-out", said("other welds"), why))
    return out


def told(checks: Sequence[Check], name: str, title: Said) -> list[Check]:
    """Return checks that use a quarter and more of their limit; the others in one, as the most used of them."""
    much = [one for one in checks if not (one.margin is not None and one.margin > LITTLE)]
    rest = [one for one in checks if one.margin is not None and one.margin > LITTLE]
    if len(rest) < 2:
        return list(checks)
    worst = min(rest, key=lambda one: one.margin or 0.0)
    doubt: Verdict = "holds" if all(one.verdict == "holds" for one in rest) else "doubtful"
    parts = tuple(dict.fromkeys(part for one in rest for part in one.parts))
    return [*much, replace(worst, id=name, title=title, verdict=doubt, parts=parts)]


def _pairs(job: Subject, pairs: Sequence[tuple[str, str]]) -> str:
    return "; ".join(f"{job.part(one).title} – {job.part(other).title}" for one, other in pairs)


def _check(job: Subject, state: WeldState, steel: WeldSteel) -> Check:
    use = directional_use(state.stress, steel).max(axis=1)
    k = int(np.argmax(use))
    limit = steel.strength_mpa / (steel.correlation * PARTIAL)
    margin = 1 / max(float(use[k]), 1e-9) - 1
    thin = state.throat < LEAST_THROAT
    outside = thin or _crosses(state.seams[0])
    said_so = verdict(margin)
    one, other = state.pair
    return Check(
        id=f"welds-{one}-{other}",
        title=said("weld of {one} on {other}", one=job.part(one).title, other=job.part(other).title),
        value=float(use[k]) * limit, limit=limit, unit="MPa", margin=margin,
        verdict="doubtful" if outside and said_so == "holds" else said_so,
        rule=said(
            "fillet by the directional method along the cut as it is, EN 1993-1-8 4.5.3.2 (read at second hand); "
            "safety 1.5 to hold (common practice, no source)"
        ),
        assumes=_assumes(thin, _crosses(state.seams[0])), parts=(one, other), case=state.cases[k],
    )  # fmt: skip


def _crosses(seam: Seam) -> bool:
    """Whether two bars cross and touch in one place."""
    contact = seam.ties[0].tie.contact
    return contact is not None and contact.kind == "lap" and len(seam.ties) == 1


def _assumes(thin: bool, crosses: bool) -> Said:
    if crosses:
        return said(
            "tubes that cross touch in a point: the weld is taken as a ring as far as its leg fills the groove between "
            "them, throat as on the fit-up sheet; an indicator, doubtful even with margin. A saddle or gussets beside "
            "it spare it. Break a test piece, make the proof load"
        )
    if thin:
        return said(
            "throat as on the fit-up sheet, sound all along; thinner than the 3 mm where the standard begins: an "
            "indicator, doubtful even with margin. Break a test piece, make the proof load"
        )
    return said("throat as on the fit-up sheet, sound all along; force spread as by a stiff end")
