"""The order in which the shop's folder makes the folds of a part, side by side through the whole blank."""

from __future__ import annotations

import math
from dataclasses import dataclass

from handbarrow.design.values import Part
from handbarrow.findings import Finding, Severity
from handbarrow.language import Said, said
from handbarrow.laws.folding.flat_part import FlatPart
from handbarrow.laws.folding.folder import Blocked, fold_clash, fold_order
from handbarrow.laws.folding.strip import FoldedStrip
from handbarrow.workshop.sheet_values import SheetWork

__all__ = ["Steps", "fold_steps"]

Steps = dict[tuple[int, int], tuple[int, bool]]
"""(side, fold along it) -> when it is made, from 1, and whether the sheet lies with its marked face down."""
WHY: dict[Blocked, Said] = {
    "swung side too short": said("the side to be swung is too short for the beam"),
    "clamped side too short": said("the side to be clamped is too short"),
    "hits the clamp": said("what is folded already hits the clamp"),
    "hits the bed": said("what is folded already hits the bed"),
    "hits the beam": said("what is folded already hits the beam"),
}


@dataclass(frozen=True, slots=True)
class _Across:
    """The end view through one side, or two that lie opposite each other; whose fold each of its folds is."""

    strip: FoldedStrip
    owners: tuple[tuple[int, int], ...]


def fold_steps(part: Part, flat: FlatPart, work: SheetWork) -> tuple[Steps, list[Finding]]:
    """Return when each fold is made, and what the folder cannot do.

    Args:
        part: The part, for findings.
        flat: Its geometry.
        work: The shop's folder.
    """
    steps: Steps = {}
    findings: list[Finding] = []
    for across in _views(flat):
        order = fold_order(across.strip, work.folder)
        if order is None:
            findings.append(_not_reached(part, across, work))
            continue
        for step in order:
            steps[across.owners[step.fold]] = (len(steps) + 1, step.over)
    findings += _too_long(part, flat, work)
    findings += _needs_pieces(part, flat, work)
    return steps, findings


def _views(flat: FlatPart) -> list[_Across]:
    """End views: sides that lie opposite each other in one; hems alone first, then in the order written."""
    left = list(range(len(flat.sides)))
    left.sort(key=lambda number: not _is_hem(flat, number))
    out = []
    while left:
        one = left.pop(0)
        other = next((number for number in left if _opposite(flat, one, number)), None)
        if other is not None:
            left.remove(other)
        out.append(_across(flat, one, other))
    return out


def _is_hem(flat: FlatPart, number: int) -> bool:
    return abs(abs(flat.sides[number].strip.folds[0].angle_rad) - math.pi) < 1e-6


def _opposite(flat: FlatPart, one: int, other: int) -> bool:
    """Whether two sides run along parallel edges and pass each other."""
    a, b = flat.sides[one], flat.sides[other]
    (p, t, _, _), (q, v, _, _) = flat.edge(a.edge), flat.edge(b.edge)
    if float(t @ v) > -1 + 1e-9:
        return False
    ends = sorted(float((q + v * s - p) @ t) for s in (b.start, b.end))
    return ends[0] < a.end and ends[1] > a.start


def _across(flat: FlatPart, one: int, other: int | None) -> _Across:
    a = flat.sides[one]
    folds, flats = list(a.strip.folds), list(a.strip.flats[1:])
    owners = [(one, k) for k in range(len(folds))]
    depth = _depth(flat, one)
    if other is None:
        strip = FoldedStrip(thickness=flat.thickness, flats=(depth, *flats), folds=tuple(folds))
        return _Across(strip, tuple(owners))
    b = flat.sides[other]
    (p, _, n, _), (q, _, _, _) = flat.edge(a.edge), flat.edge(b.edge)
    base = max(float((p - q) @ n) - a.inset - b.inset, 0.0)
    strip = FoldedStrip(
        thickness=flat.thickness,
        flats=(*b.strip.flats[:0:-1], base, *flats),
        folds=(*b.strip.folds[::-1], *folds),
    )
    last = len(b.strip.folds) - 1
    return _Across(strip, (*((other, last - k) for k in range(last + 1)), *owners))


def _depth(flat: FlatPart, number: int) -> float:
    """How far what stays flat reaches back from a side's first fold [mm]."""
    side = flat.sides[number]
    p, _, n, _ = flat.edge(side.edge)
    return max(float(-((flat.base - p) @ n).min()) - side.inset, 0.0)


# ------------------------------------------------------------------------------------------------ what cannot be done
def _not_reached(part: Part, across: _Across, work: SheetWork) -> Finding:
    """One that keeps the order from being found: what blocks the first fold that cannot be made even by itself."""
    none: frozenset[int] = frozenset()
    why: Said = said("whatever is folded first stands in the way of another fold")
    for fold in range(len(across.strip.folds)):
        found = [fold_clash(across.strip, none, fold, held, work.folder) for held in ("start", "end")]
        if all(found) and found[0] is not None:
            why = WHY[found[0]]
            break
    return Finding(
        code="fold-not-reached",
        where=part.path,
        wrong=said("the folder has no order that makes all folds: {why}", why=why),
        expected=said("sides that a folder with clamp, bed and swinging beam reaches"),
        fix=said("make the side longer or the next one lower, or fold it by hand over an edge and note it"),
        severity=Severity.WARNING,
    )


def _too_long(part: Part, flat: FlatPart, work: SheetWork) -> list[Finding]:
    longest = max((math.dist(line.start, line.end) for line in flat.fold_lines()), default=0.0)
    if work.longest is None or longest <= work.longest:
        return []
    return [
        Finding(
            code="fold-too-long",
            where=part.path,
            wrong=said("a fold is {length:.0f} mm long", length=longest),
            expected=said("at most {most:.0f} mm: so long is the folder", most=work.longest),
            fix=said("fold it where there is a longer folder, or divide the part"),
            severity=Severity.WARNING,
        )
    ]


def _needs_pieces(part: Part, flat: FlatPart, work: SheetWork) -> list[Finding]:
    """Sides that stand up on neighbouring edges: the clamp must fit between those folded before."""
    edges = {
        side.edge
        for number, side in enumerate(flat.sides)
        if side.strip.folds[0].angle_rad > 0 and not _is_hem(flat, number)
    }
    count = len(flat.outline)
    three = [e for e in edges if (e - 1) % count in edges and (e + 1) % count in edges]
    if not three or work.in_pieces:
        return []
    room = min(flat.edge(e)[3] for e in three)
    return [
        Finding(
            code="fold-needs-clamp-pieces",
            where=part.path,
            wrong=said("a side stands between two that are folded before it"),
            expected=said(
                "a clamp in pieces, {room:.0f} mm or a little less together (`clamp in pieces: yes`)",
                room=room - 2 * flat.thickness,
            ),
            fix=said("put pieces of flat bar under the clamp, or leave one side to be folded by hand over an edge"),
            severity=Severity.NOTE,
        )
    ]
