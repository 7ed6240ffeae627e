"""What joints can have wrong with them, in words."""

from __future__ import annotations

from collections.abc import Sequence

from handbarrow.design.naming import mm, said
from handbarrow.design.values import Target
from handbarrow.findings import Finding, Severity

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


def cut_along_run(where: str, part: str) -> Finding:
    """An angled cut that would split the tube lengthwise."""
    return Finding(
        code="cut-along-run",
        where=where,
        wrong=f"the cutting plane of {part} lies along the run",
        expected="a plane that crosses the run; the normal says which way it faces",
        fix="give a normal that points along the run or at a slant to it",
    )


def ambiguous(where: str, part: str, targets: Sequence[Target]) -> Finding:
    """A working point on more than one member."""
    names = [said(target) for target in targets]
    end = where.rpartition(".")[2]
    return Finding(
        code="joint-is-ambiguous",
        where=where,
        wrong=f"the {end} of {part} lies on {', '.join(names[:-1])} and {names[-1]}",
        expected="one member that the end is cut against, or the file says which",
        fix=f"write `{end}: {{meets: {names[0]}}}`, or both: `{end}: {{meets: [{', '.join(names[:2])}]}}`",
    )


def missed(where: str, part: str, target: Target, gap: float, what: str) -> Finding:
    """An end that nearly meets something. `what`: `ends`, `axis` or `face`."""
    end, name = where.rpartition(".")[2], said(target)
    wrong = {
        "ends": f"the ends of {part} and {name} pass {mm(gap)} apart",
        "axis": f"the {end} of {part} passes the centreline of {name} at {mm(gap)}",
        "face": f"the {end} of {part} stops {mm(gap)} before the face of {name}",
    }[what]
    return Finding(
        code="joint-missed",
        where=where,
        wrong=wrong,
        expected="an end that lies on what it meets (within 1 mm), or keeps well clear of it",
        fix=f"move the point by {mm(gap)}, write `{end}: {{meets: {name}}}`, or `{end}: free` if they don't meet",
    )


def cannot_meet(where: str, part: str, target: Target, gap: float, nearer: Target | None) -> Finding:
    """A named joint whose surfaces cannot touch."""
    end = where.rpartition(".")[2]
    if nearer is not None:
        fix = f"write `{end}: {{meets: {said(nearer)}}}`, which is nearer, or move the point by {mm(gap)}"
    else:
        fix = f"move the point by {mm(gap)}, or name the member that the end meets"
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=f"the {end} of {part} passes {said(target)} at {mm(gap)}: their surfaces cannot meet",
        expected=f"an end that reaches {said(target)}",
        fix=fix,
    )


def no_metal(where: str, target: Target) -> Finding:
    """A named joint against something that is no run and no plate."""
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=f"{said(target)} is a bought part; no end can be cut against it",
        expected="a tube, a bar or a plate",
        fix="write `square`, and say with `on` what the part is fixed to",
    )


def two_plates(where: str, part: str) -> Finding:
    """An end named against two plates."""
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=f"{part} is to be cut against two plates at one end",
        expected="one plate, or a plate and a member",
        fix="name one plate here; say with `on` that the run is fixed to the other",
    )


def meets_itself(where: str, part: str, gap: float) -> Finding:
    """A run named to meet itself, whose ends are apart."""
    return Finding(
        code="joint-cannot-meet",
        where=where,
        wrong=f"{part} is to meet itself, but its ends are {mm(gap)} apart",
        expected="two ends in one point, or the name of another part",
        fix="close the hoop, or name the part that the end meets",
    )


def lies_along(where: str, part: str, target: Target, *, named: bool) -> Finding:
    """An end that runs along a member instead of meeting it."""
    end = where.rpartition(".")[2]
    return Finding(
        code="end-lies-along-member",
        where=where,
        wrong=f"the {end} of {part} runs along {said(target)} and cannot be mitred against it",
        expected="an end that meets the member at an angle of more than 3 degrees, or a tube that fits inside",
        fix=f"write `{end}: square` and say with `on` what it is fixed to, or move the run",
        severity=Severity.ERROR if named else Severity.WARNING,
    )


def ends_overlap(where: str, part: str, other: str, on: Target) -> Finding:
    """Two ends on one member that run into each other beside it."""
    end = where.rpartition(".")[2]
    return Finding(
        code="ends-run-into-each-other",
        where=where,
        wrong=f"{part} and {other} both end on {said(on)} and run into each other there",
        expected="ends that keep clear of each other, or one that is cut against the other too",
        fix=f"write `{end}: {{meets: [{said(on)}, {other}]}}`, or move the ends apart",
        severity=Severity.WARNING,
    )
