"""Slung beds: room under them with a person, what loops and lacings carry, what the cloth carries."""

from __future__ import annotations

import math
from collections.abc import Iterator

from handbarrow.design.soft_shapes import Panel, Strap
from handbarrow.design.values import Part
from handbarrow.findings import Finding
from handbarrow.job.frame_values import Check, Subject, Verdict, not_made
from handbarrow.job.soft_bed import BedCase, Lacking, hung_panels, hung_under_load, room_under
from handbarrow.language import Said, said
from handbarrow.laws.sewing.stitching import boxed_cross, seam_strength

__all__ = ["checks"]

STRIP = 50.0
"""Width of the strip that the strength of cloth is stated for [mm]."""
CASES = {"lying": said("lying"), "sitting": said("sitting")}


def checks(job: Subject) -> tuple[tuple[Check, ...], list[Finding]]:
    """Return the checks of all slung beds; and no findings."""
    out: list[Check] = []
    for part, panel, _ in hung_panels(job):
        try:
            cases = hung_under_load(job, panel)
        except (Lacking, ValueError, ArithmeticError) as fault:
            why = fault.why if isinstance(fault, Lacking) else said("no balance was found: {why}", why=str(fault))
            out += [not_made(f"{name}-{part.id}", title, why, (part.id,)) for name, title in _titles(part).items()]
            continue
        out += [*_room(job, part, panel, cases), *_straps(job, part, panel, cases), _cloth(job, part, cases)]
    return tuple(out), []


def _titles(part: Part) -> dict[str, Said]:
    return {
        "bed-room": said("room under {part} with a person on it", part=part.title),
        "bed-straps": said("what {part} hangs by, against its strength", part=part.title),
        "bed-cloth": said("cloth of {part} against its strength", part=part.title),
    }


# ------------------------------------------------------------------------------------------------ room
def _room(job: Subject, part: Part, panel: Panel, cases: tuple[BedCase, ...]) -> Iterator[Check]:
    """Room straight down, of the case with the least; the ground counts too."""
    title = _titles(part)["bed-room"]
    found = [(*room_under(job, panel, case), case) for case in cases]
    if not found:
        yield not_made(f"bed-room-{part.id}", title, said("nothing that is carried lies on it"), (part.id,))
        return
    room, under, case = min(found, key=lambda one: one[0])
    if math.isinf(room):
        why = said("nothing is drawn under it; it hangs {deep:.0f} mm deep", deep=case.bed.deepest)
        yield not_made(f"bed-room-{part.id}", title, why, (part.id,))
        return
    verdict: Verdict = "holds" if room >= panel.keep_clear else "fails" if room < 0 else "doubtful"
    yield Check(
        id=f"bed-room-{part.id}", title=title, value=room, limit=panel.keep_clear, unit="mm", margin=None,
        verdict=verdict,
        rule=said("cloth as a net that only pulls, large sags (computed here); body by Dempster and Winter (read)"),
        assumes=said(
            "{mass:g} kg, {how}; it hangs {deep:.0f} mm deep, nearest: {under}. Cloth and straps as in the shop's "
            "trials, what they hang on does not give; the worse of lying and sitting counts; wet cloth hangs deeper",
            mass=case.mass_kg, how=CASES[case.name], deep=case.bed.deepest,
            under=said("the ground") if not under else job.part(under).title,
        ), parts=(part.id, *((under,) if under else ())),
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ strength
def _straps(job: Subject, part: Part, panel: Panel, cases: tuple[BedCase, ...]) -> Iterator[Check]:
    """Each kind of strap that the bed hangs by: the most loaded one against the weakest of strap and seam."""
    factor = job.workshop.sewing.factor
    for name in dict.fromkeys(hung.by for hung in panel.hung):
        title = said("pull on {strap} of {part}", strap=job.part(name).title, part=part.title)
        pull, case = max(((c.pulls.get(name, 0.0), c) for c in cases), key=lambda one: one[0], default=(0.0, None))
        soft, seam = job.workshop.soft(job.part(name).stock), _seam(job, panel, name)
        strength = soft.strength_n if soft is not None else None
        if strength is None or factor is None or case is None:
            why = said("the workshop names no `strength` of {stock}", stock=job.part(name).stock)
            why = said("the workshop names no `lifting factor` under `sewing`") if factor is None else why
            yield not_made(f"bed-straps-{part.id}-{name}", title, why, (part.id,))
            continue
        weakest = strength if seam is None else min(strength, seam)
        limit = weakest / factor
        unknown = _needs_seam(panel, name) and seam is None
        verdict: Verdict = "fails" if pull > limit else "doubtful" if unknown else "holds"
        told = (
            said("its seam is not checked, as the strength of the thread is not known")
            if unknown
            else said("seams counted")
        )
        yield Check(
            id=f"bed-straps-{part.id}-{name}", title=title, value=pull, limit=limit, unit="N",
            margin=limit / pull - 1 if pull > 0 else None, verdict=verdict,
            rule=said("breaking strength {strength:.0f} N over the shop's lifting factor {factor:g}", strength=weakest,
                      factor=factor),
            assumes=said("{mass:g} kg at rest, {how}; bumps are left to the factor; {seams}", mass=case.mass_kg,
                         how=CASES[case.name], seams=told),
            parts=(part.id, name),
        )  # fmt: skip


def _needs_seam(panel: Panel, name: str) -> bool:
    return any(hung.by == name and hung.sewn > 0 for hung in panel.hung)


def _seam(job: Subject, panel: Panel, name: str) -> float | None:
    """What the stitches on the cloth hold [N]; None: nothing is sewn, or the thread is not known."""
    shape, thread = job.design.part(name).shape, job.workshop.sewing.thread_n
    sewn = [hung.sewn for hung in panel.hung if hung.by == name and hung.sewn > 0]
    if not isinstance(shape, Strap) or thread is None or not sewn:
        return None
    soft = job.design.stock[shape.stock].soft
    box = boxed_cross(min(sewn), soft.width if soft else 0.0)
    return seam_strength(thread, job.workshop.sewing.stitch, shape.rows) * box


def _cloth(job: Subject, part: Part, cases: tuple[BedCase, ...]) -> Check:
    """Pull per width along or across, whichever is nearer to what the cloth carries."""
    title, factor = _titles(part)["bed-cloth"], job.workshop.sewing.factor
    label = job.part(part.id).stock
    soft = job.workshop.soft(label)
    if soft is None or soft.strength_n is None or factor is None or not cases:
        why = said("the workshop names no `strength` of {stock}", stock=label)
        why = said("the workshop names no `lifting factor` under `sewing`") if factor is None else why
        return not_made(f"bed-cloth-{part.id}", title, why, (part.id,))
    across = soft.strength_across_n if soft.strength_across_n is not None else soft.strength_n
    ways = [
        (pull * STRIP, strength / factor, case)
        for case in cases
        for pull, strength in ((case.warp, soft.strength_n), (case.weft, across))
    ]
    pull, limit, case = max(ways, key=lambda one: one[0] / one[1])
    return Check(
        id=f"bed-cloth-{part.id}", title=title, value=pull, limit=limit, unit="N",
        margin=limit / pull - 1 if pull > 0 else None, verdict="holds" if pull <= limit else "fails",
        rule=said("strength of a strip 50 mm wide over the shop's lifting factor {factor:g}", factor=factor),
        assumes=said("largest pull in a strip 50 mm wide, {mass:g} kg at rest, {how}; "
                     "hems and what is sewn on them left out", mass=case.mass_kg, how=CASES[case.name]),
        parts=(part.id,),
    )  # fmt: skip
