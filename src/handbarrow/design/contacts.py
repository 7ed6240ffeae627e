"""Every part meets something, and what is `on` something touches it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from handbarrow.design.bodies import NEAR_BOUGHT, TOUCHES, Ask, Bodies
from handbarrow.design.naming import called, mm, unknown_target
from handbarrow.design.placing import Scene
from handbarrow.design.soft_shapes import tied
from handbarrow.design.values import Bought, Design, Joint, Part, Run, Target
from handbarrow.findings import Finding, Severity
from handbarrow.language import listed, said

__all__ = ["contact_findings", "not_checked"]

MOST_NAMED = 5
"""Of further copies that don't touch, so many are named."""


def contact_findings(scene: Scene, joints: Iterable[Joint]) -> list[Finding]:
    """Return parts that meet nothing, and parts that are `on` what they don't touch.

    Every copy is looked at; ends that meet something only for copy 1, the mitres look at those of the others. Bought
    parts are looked at only roughly: `not_checked` names them.

    Args:
        scene: The design in product axes.
        joints: The joints of all runs.
    """
    joined = {frozenset((joint.part, target.part)) for joint in joints for target in joint.against}
    findings = _unknown(scene)
    findings += _lonely(scene, joined)
    return findings + _apart(scene, joined)


def not_checked(design: Design) -> tuple[str, ...]:
    """Return the bought parts of which nobody has checked that they touch what they are fixed to.

    Their size is not known. With an `at`, a place more than 150 mm away has been told; without, nothing has.
    """
    return tuple(part.id for part in design.parts if isinstance(part.shape, Bought) and part.on)


def _unknown(scene: Scene) -> list[Finding]:
    found = [unknown_target(t, scene.design, f"{part.path}.on") for part in scene.design.parts for t in part.on]
    return [finding for finding in found if finding is not None]


def _lonely(scene: Scene, joined: set[frozenset[str]]) -> list[Finding]:
    """Parts that nothing is said or found about."""
    met = {name for pair in joined for name in pair}
    for part in scene.design.parts:
        if part.on:
            met |= {part.id, *(target.part for target in part.on)}
        if others := tied(part.shape):
            met |= {part.id, *others}
    if len(scene.design.parts) < 2:
        return []
    return [_meets_nothing(part) for part in scene.design.parts if part.id not in met]


def _meets_nothing(part: Part) -> Finding:
    run = isinstance(part.shape, Run)
    return Finding(
        code="part-meets-nothing",
        where=part.path,
        wrong=said("{part} meets nothing", part=part.id),
        expected=said("a part that is fixed to another one, by an end or by `on`")
        if run
        else said("a part that is fixed to another one by `on`"),
        fix=said("write `on:` and the part that it is fixed to, or bring an end to it")
        if run
        else said("write `on:` and the part that it is fixed to"),
        severity=Severity.WARNING,
    )


def _apart(scene: Scene, joined: set[frozenset[str]]) -> list[Finding]:
    """What is `on` something and does not touch it.

    Copy 1 must touch the copies that are named; where it touches one of them, another copy may touch the rest in its
    place (of a pair, one sits here and one there). Each other copy must touch any copy of what its part is `on`.
    """
    bodies = Bodies(scene)
    pairs = [
        (part, target)
        for part in scene.design.parts
        for target in part.on
        if unknown_target(target, scene.design, "") is None and frozenset((part.id, target.part)) not in joined
    ]
    gaps = bodies.gaps([(Target(part=part.id), (target,)) for part, target in pairs])
    first = {(part.id, target): gap for (part, target), gap in zip(pairs, gaps, strict=True)}
    asks = [ask for part in scene.design.parts for ask in _other_copies(bodies, part, first)]
    apart: dict[str, list[tuple[Target, Target, float]]] = {}
    for (copy, others), gap in zip(asks, bodies.gaps(asks), strict=True):
        if gap > TOUCHES:
            apart.setdefault(copy.part, []).append((copy, others[0], gap))
    findings = []
    for part in scene.design.parts:
        own = [(target, first[part.id, target]) for target in part.on if (part.id, target) in first]
        for target, gap in own:
            if gap > TOUCHES and not (len(part.on) > 1 and _by_another(bodies, part, target, own)):
                findings.append(_does_not_touch(part, [(Target(part=part.id), target, gap)]))
        if part.id in apart:
            findings.append(_does_not_touch(part, apart[part.id]))
    return findings


def _other_copies(bodies: Bodies, part: Part, first: Mapping[tuple[str, Target], float]) -> list[Ask]:
    """Copies of a part that don't lie to something as copy 1 lies to what it touches, and what they may touch.

    A part whose ends meet what it is `on` is left to the mitres.
    """
    if len(part.copies) == 1 or not part.on or any((part.id, target) not in first for target in part.on):
        return []
    alike = np.zeros(len(part.copies), dtype=bool)
    for target in part.on:
        if first[part.id, target] <= TOUCHES:
            alike |= bodies.alike(part, target)
    parts = list(dict.fromkeys(target.part for target in part.on))
    return [bodies.likely(Target(part=part.id, copy=int(k) + 1), parts) for k in np.flatnonzero(~alike) if k]


def _by_another(bodies: Bodies, part: Part, target: Target, own: list[tuple[Target, float]]) -> bool:
    """Whether copy 1 touches something, and another copy what copy 1 does not touch."""
    if len(own) == len(part.on) and all(gap > TOUCHES for _, gap in own):
        return False
    copies = [Target(part=part.id, copy=k) for k in range(2, len(part.copies) + 1)]
    return any(gap <= TOUCHES for gap in bodies.gaps([bodies.likely(copy, [target.part]) for copy in copies]))


def _does_not_touch(part: Part, apart: list[tuple[Target, Target, float]]) -> Finding:
    """`apart`: copies of the part that don't touch, what they are nearest to, and how far off each is [mm]."""
    bought = isinstance(part.shape, Bought)
    copy, target, gap = apart[0]
    named = called(target) if copy.copy == 1 else target.part
    if bought:
        wrong = said(
            "{copy} is `on` {target}, but its place lies {gap} away", copy=called(copy), target=named, gap=mm(gap)
        )
    else:
        wrong = said(
            "{copy} is `on` {target}, but their surfaces are {gap} apart",
            copy=called(copy),
            target=named,
            gap=mm(gap),
        )
    others = [str(other.copy) for other, _, _ in apart[1:]]
    if len(others) == 1:
        wrong = said("{first}; nor does copy {copy} touch", first=wrong, copy=others[0])
    elif others:
        if len(others) > MOST_NAMED:
            others[MOST_NAMED:] = [said("{count} more", count=len(others) - MOST_NAMED)]
        wrong = said("{first}; nor do copies {copies} touch", first=wrong, copies=listed(others))
    return Finding(
        code="part-does-not-touch",
        where=f"{part.path}.on",
        wrong=wrong,
        expected=said("a place within {most:g} mm", most=NEAR_BOUGHT)
        if bought
        else said("surfaces that touch (within 1.5 mm)"),
        fix=said("move {copy}, or name the part that it is really fixed to", copy=called(copy)),
        severity=Severity.WARNING,
    )
