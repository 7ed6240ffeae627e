"""The findings of one reading, and the words in which values are quoted."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field

from handbarrow.findings import Finding, Place, Severity

__all__ = ["Book", "line_text", "nearest", "quoted"]

MOST_FINDINGS = 200
"""More than this nobody reads; the rest is counted."""
UNPRINTABLE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def quoted(text: str, longest: int = 60) -> str:
    """Return a text as findings quote it: in quotation marks, on one line, short, without control characters."""
    line = " ".join(UNPRINTABLE.sub("?", text[: 4 * longest]).split())
    if len(line) > longest:
        line = line[:longest] + "..."
    return f"'{line}'"


def line_text(text: str, longest: int = 300) -> str:
    """Return a line of the file as a place keeps it: short, without control characters."""
    return UNPRINTABLE.sub("?", text[:longest])


def nearest(word: str, known: Collection[str]) -> str | None:
    """Return the known word that looks most like this one."""
    found = difflib.get_close_matches(word[:60].lower(), known, n=1, cutoff=0.6)
    return found[0] if found else None


@dataclass(slots=True)
class Book:
    """Collects findings. `failed` tells whether one of them stops the work.

    `place_of` gives the place of a line and column that count from 0, for findings about keys.
    """

    place_of: Callable[[int, int], Place] | None = None
    findings: list[Finding] = field(default_factory=list)
    failed: bool = False
    left_out: int = 0
    _seen: set[Finding] = field(default_factory=set)

    def add(self, finding: Finding) -> None:
        """Take a finding down, once; beyond `MOST_FINDINGS` it is only counted."""
        if finding in self._seen:
            return
        self._seen.add(finding)
        self.failed = self.failed or finding.severity is Severity.ERROR
        if len(self.findings) < MOST_FINDINGS:
            self.findings.append(finding)
        else:
            self.left_out += 1

    def closed(self) -> list[Finding]:
        """Return the findings, with one more that counts those left out."""
        if not self.left_out:
            return list(self.findings)
        more = Finding(
            code="more-findings",
            where="",
            wrong=f"{self.left_out} more findings are not shown",
            expected="a file without findings",
            fix="mend those shown and read the file again",
            place=Place(file=self.findings[0].place.file, line=1, column=1) if self.findings[0].place else None,
        )
        return [*self.findings, more]
