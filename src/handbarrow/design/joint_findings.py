"""What joints can have wrong with them, in words."""

from __future__ import annotations

from collections.abc import Sequence

from handbarrow.design.naming import called, mm
from handbarrow.design.values import Target
from handbarrow.findings import Finding, Severity
from handbarrow.language import Said, said

__all__ = [
    "ambiguous",
    "cannot_meet",
    "cut_along_run",
    "ends_overlap",
    "lies_along",
    "meets_itself",
    "missed",
    "no_metal",
    "two_plates",
]


def _place(where: str, part: str) -> Said:
    """Which end of a part is meant; its path says so."""
    return said("the start of {part}", part=part) if where.endswith(".start") else said("the end of {part}", part=part)


def cut_along_run(where: str, part: str) -> Finding:
    """An angled cut that would split the tube lengthwise."""
    return Finding(
        code="cut-along-run",
        where=where,
        wrong=said("the cutting plane of {part} lies along the run", part=part),
        expected=said("a plane that crosses the run; the normal says which way it faces"),
        fix=said("give a normal that points along the run or at a slant to it"),
    )


def ambiguous(where: str, part: str, targets: Sequence[Target]) -> Finding:
    """A working point on more than one member."""
    names = [called(target) for target in targets]
    end = where.rpartition(".")[2]
    return Finding(
        code="joint-is-ambiguous",
        where=where,
        wrong=said(
            "{place} lies on {names} and {last}", place=_place(where, part), names=", ".join(names[:-1]), last=names[-1]
        ),
        expected=said("one member that the end is cut against, or the file says which"),
        fix=said(
            "write `{end}: {{meets: {one}}}`, or both: `{end}: {{meets: [{both}]}}`",
            end=end,
            one=names[0],
            both=", ".join(names[:2]),
        ),
    )


def missed(where: str, part: str, target: Target, gap: float, what: str) -> Finding:
    """An end that nearly meets something. `what`: `ends`, `axis` or `face`."""
    end, name = where.rpartition(".")[2], called(target)
    wrong = {
        "ends": said("the ends of {part} and {other} pass {gap} apart", part=part, other=name, gap=mm(gap)),
        "axis": said(
            "{place} passes the centreline of {other} at {gap}", place=_place(where, part), other=name, gap=mm(gap)
        ),
        "face": said(
            "{place} stops {gap} before the face of {other}", place=_place(where, part), gap=mm(gap), other=name
        ),
    }[what]
    return Finding(
        code="joint-missed",
        where=where,
        wrong=wrong,
        expected=said("an end that lies on what it meets (within 1 mm), or keeps well clear of it"),
        fix=said(
            "move the point by {gap}, write `{end}: {{meets: {name}}}`, or `{end}: free` if they don't meet",
            gap=mm(gap),
            end=end,
            name=name,
        ),
    )


def cannot_meet(where: str, part: str, target: Target, gap: float, nearer: Target | None) -> Finding:
    """A named joint whose surfaces cannot touch."""
    end = where.rpartition(".")[2]
    if nearer is not None:
        fix = said(
            "write `{end}: {{meets: {nearer}}}`, which is nearer, or move the point by {gap}",
            end=end,
            nearer=called(nearer),
            gap=mm(gap),
        )
    else:
        fix = said("move the point by {gap}, or name the member that the end meets", gap=mm(gap))
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=said(
            "{place} passes {target} at {gap}: their surfaces cannot meet",
            place=_place(where, part),
            target=called(target),
            gap=mm(gap),
        ),
        expected=said("an end that reaches {target}", target=called(target)),
        fix=fix,
    )


def no_metal(where: str, target: Target) -> Finding:
    """A named joint against something that is no run and no plate."""
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=said("{target} is a bought part; no end can be cut against it", target=called(target)),
        expected=said("a tube, a bar or a plate"),
        fix=said("write `square`, and say with `on` what the part is fixed to"),
    )


def two_plates(where: str, part: str) -> Finding:
    """An end named against two plates."""
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=said("{part} is to be cut against two plates at one end", part=part),
        expected=said("one plate, or a plate and a member"),
        fix=said("name one plate here; say with `on` that the run is fixed to the other"),
    )


def meets_itself(where: str, part: str, gap: float) -> Finding:
    """A run named to meet itself, whose ends are apart."""
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=said("{part} is to meet itself, but its ends are {gap} apart", part=part, gap=mm(gap)),
        expected=said("two ends in one point, or the name of another part"),
        fix=said("close the hoop, or name the part that the end meets"),
    )


def lies_along(where: str, part: str, target: Target, *, named: bool) -> Finding:
    """An end that runs along a member instead of meeting it."""
    end = where.rpartition(".")[2]
    return Finding(
        code="end-lies-along-member",
        where=where,
        wrong=said(
            "{place} runs along {target} and cannot be mitred against it",
            place=_place(where, part),
            target=called(target),
        ),
        expected=said("an end that meets the member at an angle of more than 3 degrees, or a tube that fits inside"),
        fix=said("write `{end}: square` and say with `on` what it is fixed to, or move the run", end=end),
        severity=Severity.ERROR if named else Severity.WARNING,
    )


def ends_overlap(where: str, part: str, other: str, on: Target) -> Finding:
    """Two ends on one member that run into each other beside it."""
    end = where.rpartition(".")[2]
    return Finding(
        code="ends-run-into-each-other",
        where=where,
        wrong=said(
            "{part} and {other} both end on {on} and run into each other there", part=part, other=other, on=called(on)
        ),
        expected=said("ends that keep clear of each other, or one that is cut against the other too"),
        fix=said(
            "write `{end}: {{meets: [{on}, {other}]}}`, or move the ends apart", end=end, on=called(on), other=other
        ),
        severity=Severity.WARNING,
    )
