"""What is wrong with an input, where, what was expected and how to mend it.

A finding is a value, never an exception: every check returns all it found, and the caller decides what goes on.
This room imports nothing else of the house.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

__all__ = ["Finding", "Place", "Severity", "as_record", "errors", "told_once", "with_places"]


class Severity(StrEnum):
    """How much a finding weighs."""

    ERROR = "error"
    """The work cannot go on; nothing is written."""
    WARNING = "warning"
    """The work goes on; a person must look before steel is cut."""
    NOTE = "note"
    """Worth knowing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place in an input file. Lines and columns count from 1; `text` is the line as written."""

    file: str
    line: int
    column: int
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding.

    Attributes:
        code: Kebab-case name; it has a page of that name in docs/findings/.
        where: Path of the value, as `parts.outer-hoop.points[2].radius`. Pure rooms know only this.
        wrong: What is wrong, with the value that was read.
        expected: What would have been right.
        fix: How to mend it, as an order to the person who can.
        severity: Weight.
        place: File, line and column; filled in by the room that read the file.
    """

    code: str
    where: str
    wrong: str
    expected: str
    fix: str
    severity: Severity = Severity.ERROR
    place: Place | None = None


def as_record(finding: Finding) -> dict[str, str]:
    """Return what a finding says, without its place, as plain values for programs."""
    return {
        "code": finding.code,
        "severity": str(finding.severity),
        "where": finding.where,
        "wrong": finding.wrong,
        "expected": finding.expected,
        "fix": finding.fix,
    }


def errors(findings: Iterable[Finding]) -> list[Finding]:
    """Return those findings that stop the work."""
    return [f for f in findings if f.severity is Severity.ERROR]


def told_once(earlier: Iterable[Finding], later: Iterable[Finding]) -> list[Finding]:
    """Return both in order without repetitions; what later ones say of a path by the same code replaces the earlier.

    Different findings of one code and path within `later` all stand.
    """
    later = list(later)
    again = {(finding.code, finding.where) for finding in later}
    return list(dict.fromkeys([*(f for f in earlier if (f.code, f.where) not in again), *later]))


def with_places(findings: Iterable[Finding], places: Mapping[str, Place]) -> list[Finding]:
    """Give each finding without a place the place of its path, or of the nearest enclosing path that is known.

    `parts.hoop.points[2].radius` falls back to `parts.hoop.points[2]`, then `parts.hoop.points`, and so on.
    """
    out = []
    for finding in findings:
        place, path = finding.place, finding.where
        while place is None and path:
            place = places.get(path)
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        out.append(replace(finding, place=place or places.get("")))
    return out
