"""The findings of one reading, and the words in which values are quoted."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import islice

from handbarrow.findings import Finding, Place, Severity
from handbarrow.language import said

__all__ = ["UNPRINTABLE", "Book", "line_text", "nearest", "quoted", "some_of"]

MOST_HINTS = 60
MOST_RECKONED = 100_000
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


def some_of(names: Iterable[str], most: int = 20) -> str:
    """Return names with commas between them, the first ones of a long list."""
    shown = list(islice(names, most + 1))
    return ", ".join(shown) if len(shown) <= most else ", ".join(shown[:most]) + ", ..."


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that looks most like this one; of very many, only some are looked at."""
    word = word.lower()
    likely = (other for other in known if abs(len(other) - len(word)) <= 6)
    found = difflib.get_close_matches(word, islice(likely, 100), n=1, cutoff=0.6)
    return found[0] if found and len(word) <= 60 else None


@dataclass(slots=True)
class Book:
    """Collects findings. `failed` tells whether one of them stops the work.

    `place_of` gives the place of a line and column that count from 0, for findings about keys.
    """

    place_of: Callable[[int, int], Place] | None = None
    findings: list[Finding] = field(default_factory=list)
    failed: bool = False
    left_out: int = 0
    hints: int = 0
    reckoned: int = 0
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

    def nearest(self, word: str, known: Iterable[str]) -> str | None:
        """Return the known word that looks most like this one; after many findings no more are looked for."""
        self.hints += 1
        return nearest(word, known) if self.hints <= MOST_HINTS else None

    def may_reckon(self, text: str) -> bool:
        """Whether a formula may still be read or reckoned; a file of nothing but formulas is refused in time."""
        self.reckoned += len(text)
        if self.reckoned <= MOST_RECKONED:
            return True
        self.add(
            Finding(
                code="too-many-formulas",
                where="",
                wrong=said(
                    "the formulas of this file are longer than {most} characters together",
                    most=MOST_RECKONED,
                ),
                expected=said("formulas for what depends on a size, plain numbers for the rest"),
                fix=said(
                    "look whether this is the file you meant; name a value in `sizes` instead of reckoning it again"
                ),
            )
        )
        return False

    def closed(self) -> list[Finding]:
        """Return the findings, with one more that counts those left out."""
        if not self.left_out:
            return list(self.findings)
        more = Finding(
            code="more-findings",
            where="",
            wrong=said("{count} more findings are not shown", count=self.left_out)
            if self.left_out > 1
            else said("one more finding is not shown"),
            expected=said("a file without findings"),
            fix=said("mend those shown and read the file again"),
            place=Place(file=self.findings[0].place.file, line=1, column=1) if self.findings[0].place else None,
        )
        return [*self.findings, more]
