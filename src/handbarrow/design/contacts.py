"""Every part meets something, and what is `on` something touches it."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from handbarrow.design.naming import mm, said, unknown_target
from handbarrow.design.placing import PlateFrame, Scene
from handbarrow.design.solids import Pieces, piece_gaps, pieces_of, plate_gap, plate_point_gap, plates_gap, point_gap
from handbarrow.design.values import Bought, Design, Joint, Part, PlateShape, Run, Target
from handbarrow.findings import Finding, Severity
from handbarrow.laws.geometry.path import Floats

__all__ = ["contact_findings", "not_checked"]

TOUCHES = 1.5
"""Surfaces nearer than this touch [mm]."""
NEAR_BOUGHT = 150.0
"""A bought part's size is not known: its place must lie this near to what it is fixed to [mm]."""


def contact_findings(scene: Scene, joints: Iterable[Joint]) -> list[Finding]:
    """Return parts that meet nothing, and parts that are `on` what they don't touch.

    Copy 1 of every part is looked at: what holds for it holds for copies that are moved along with their neighbours.
    Bought parts are looked at only roughly: `not_checked` names them.

    Args:
        scene: The design in product axes.
        joints: The joints of all runs.
    """
    joined = {frozenset((joint.part, target.part)) for joint in joints for target in joint.against}
    findings = _unknown(scene)
    findings += _lonely(scene, joined)
    pairs: list[tuple[Part, Target]] = []
    for part in scene.design.parts:
        for target in part.on:
            if unknown_target(target, scene.design, "") is None and frozenset((part.id, target.part)) not in joined:
                pairs.append((part, target))
    return findings + _apart(scene, pairs)


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
    if len(scene.design.parts) < 2:
        return []
    return [_meets_nothing(part) for part in scene.design.parts if part.id not in met]


def _meets_nothing(part: Part) -> Finding:
    run = isinstance(part.shape, Run)
    return Finding(
        code="part-meets-nothing",
        where=part.path,
        wrong=f"{part.id} meets nothing",
        expected="a part that is fixed to another one" + (", by an end or by `on`" if run else " by `on`"),
        fix="write `on:` and the part that it is fixed to" + (", or bring an end to it" if run else ""),
        severity=Severity.WARNING,
    )


def _apart(scene: Scene, pairs: list[tuple[Part, Target]]) -> list[Finding]:
    """Pairs whose surfaces don't touch."""
    runs: dict[tuple[str, int], Pieces] = {}
    both_runs: list[tuple[Part, Target]] = []
    gaps: dict[tuple[str, Target], float] = {}
    for part, target in pairs:
        a, b = _body(scene, Target(part=part.id), runs), _body(scene, target, runs)
        if isinstance(a, Pieces) and isinstance(b, Pieces):
            both_runs.append((part, target))
        elif a is not None and b is not None:
            gaps[(part.id, target)] = _gap(a, b)
    pieces = [(runs[(p.id, 1)], runs[(t.part, t.copy)]) for p, t in both_runs]
    for (part, target), gap in zip(both_runs, piece_gaps(pieces), strict=True):
        gaps[(part.id, target)] = float(gap)
    return [
        _does_not_touch(part, target, gaps[(part.id, target)])
        for part, target in pairs
        if gaps.get((part.id, target), 0.0) > TOUCHES
    ]


def _body(scene: Scene, target: Target, runs: dict[tuple[str, int], Pieces]) -> Pieces | PlateFrame | Floats | None:
    """A copy of a part as something to measure from: pieces of a run, a plate, or the place of a bought part."""
    shape = scene.parts[target.part].shape
    m = scene.transform(target.part, target.copy)
    if isinstance(shape, PlateShape):
        return scene.plate(target.part, target.copy)
    if isinstance(shape, Bought):
        return None if shape.at is None else m[:3, :3] @ scene.raised(shape.at) + m[:3, 3]
    key = (target.part, target.copy)
    if key not in runs:
        member = scene.member(target.part)
        if member is None:
            return None
        first = runs.get((target.part, 1)) or pieces_of(member)
        runs[(target.part, 1)] = first
        runs[key] = first if target.copy == 1 else first.at(m)
    return runs[key]


def _gap(a: Pieces | PlateFrame | Floats, b: Pieces | PlateFrame | Floats) -> float:
    """Distance between two bodies [mm], not both of them runs; what is known of a bought part's size is taken off."""
    if isinstance(a, np.ndarray) or isinstance(b, np.ndarray):
        point, body = (a, b) if isinstance(a, np.ndarray) else (b, a)
        assert isinstance(point, np.ndarray)  # noqa: S101
        if isinstance(body, np.ndarray):
            gap = float(math.dist(point, body))
        else:
            gap = point_gap(body, point) if isinstance(body, Pieces) else plate_point_gap(body, point)
        return 0.0 if gap <= NEAR_BOUGHT else gap
    if isinstance(a, PlateFrame) and isinstance(b, PlateFrame):
        return plates_gap(a, b)
    plate, run = (a, b) if isinstance(a, PlateFrame) else (b, a)
    assert isinstance(plate, PlateFrame)  # noqa: S101
    assert isinstance(run, Pieces)  # noqa: S101
    return plate_gap(plate, run)


def _does_not_touch(part: Part, target: Target, gap: float) -> Finding:
    bought = isinstance(part.shape, Bought)
    return Finding(
        code="part-does-not-touch",
        where=f"{part.path}.on",
        wrong=f"{part.id} is `on` {said(target)}, but "
        + (f"its place lies {mm(gap)} away" if bought else f"their surfaces are {mm(gap)} apart"),
        expected=f"a place within {NEAR_BOUGHT:g} mm" if bought else "surfaces that touch (within 1.5 mm)",
        fix=f"move {part.id}, or name the part that it is really fixed to",
        severity=Severity.WARNING,
    )
