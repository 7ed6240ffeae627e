"""Answers for people by default, as JSON for programs."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TextIO

from handbarrow.findings import Finding, Severity, as_record, errors
from handbarrow.job.values import Job
from handbarrow.language import Words, current, say, speaking, spoken

__all__ = ["checks", "finding_text", "findings", "progress", "stops", "summary", "written"]

Step = Callable[[str, int, int], None]
WEIGHT = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}
WEIGHTS = Words("weight", {"error": "error", "warning": "warning", "note": "note"})
VERDICTS = Words(
    "verdict",
    {"holds": "holds", "doubtful": "doubtful", "fails": "fails", "not checked": "not checked"},
)
COUNTS = Words(
    "count",
    {
        "error": "{count} error",
        "errors": "{count} errors",
        "warning": "{count} warning",
        "warnings": "{count} warnings",
        "note": "{count} note",
        "notes": "{count} notes",
    },
)


def stops(found: Sequence[Finding]) -> bool:
    """Whether a finding stands against the work."""
    return bool(errors(found))


def finding_text(finding: Finding) -> str:
    """Return a finding as the terminal shows it: place, the line with a mark under it, wrong, expected, fix."""
    head = f"{WEIGHTS[finding.severity]} [{finding.code}] {finding.where}"
    lines = [head]
    if finding.place is not None:
        place = finding.place
        lines = [f"{place.file}:{place.line}:{place.column}: {head}"]
        if place.text.strip():
            number = str(place.line)
            lines.append(f"  {number} | {place.text.rstrip()}")
            lines.append(f"  {' ' * len(number)}   {' ' * (place.column - 1)}^")
    lines += [
        *_labelled(
            (say("wrong:"), spoken(finding.wrong)),
            (say("expected:"), spoken(finding.expected)),
            (say("fix:"), spoken(finding.fix)),
        ),
    ]
    return "\n".join(lines)


def checks(job: Job) -> None:
    """Print what the checks of strength say: how many hold, and each that does not."""
    from handbarrow.job.checks import checked

    made, _ = checked(job)
    if not job.design.uses.carries:
        sys.stdout.write(say("Strength is not checked: the design does not say what it carries.") + "\n")
        if all(check.verdict == "not checked" for check in made.checks):
            return
    shown = [check for check in made.checks if check.verdict in ("fails", "doubtful")]
    counts = {v: sum(check.verdict == v for check in made.checks) for v in VERDICTS}
    told = ", ".join(f"{VERDICTS[v]} {count}" for v, count in counts.items() if count)
    sys.stdout.write("\n" + say("Checks: {counts}.", counts=told) + "\n")
    titles = {case.id: " ".join(filter(None, (spoken(case.title), case.carried))) for case in made.cases}
    for check in sorted(shown, key=lambda c: c.margin or 0.0):
        value, limit = f"{check.value or 0:.3g} {check.unit}", f"{check.limit or 0:.3g} {check.unit}"
        line = say(
            "  {verdict}: {title}: {value}, limit {limit}", verdict=VERDICTS[check.verdict],
            title=spoken(check.title), value=value, limit=limit,
        )  # fmt: skip
        case = titles.get(check.case, check.case)
        sys.stdout.write(f"{line} ({case})\n" if case else f"{line}\n")
    names = ", ".join(spoken(c.title) for c in made.checks if c.verdict == "not checked" and not c.parts)
    sys.stdout.write(say("Not checked: {names}.", names=names) + "\n")
    ends = say("Checks support a licensed engineer and local codes, never replace them; load-test each unit.")
    sys.stdout.write(ends + "\n")


def _labelled(*pairs: tuple[str, str]) -> list[str]:
    """Labels with what they say, one below the other."""
    wide = max(len(label) for label, _ in pairs)
    return [f"  {label:<{wide}} {text}" for label, text in pairs]


def _finding_record(finding: Finding) -> dict[str, Any]:
    record: dict[str, Any] = {**as_record(finding)}
    if finding.place is not None:
        record |= {"file": finding.place.file, "line": finding.place.line, "column": finding.place.column}
    return record


def findings(found: Sequence[Finding], *, as_json: bool, stream: TextIO | None = None, checked: bool = False) -> None:
    """Print findings, the heaviest first; `checked`: what the checks say follows."""
    out = stream or sys.stdout
    ordered = sorted(found, key=lambda f: WEIGHT[f.severity])
    if as_json:
        json.dump({"findings": [_finding_record(f) for f in ordered]}, out, indent=2, ensure_ascii=False)
        out.write("\n")
        return
    for finding in ordered:
        out.write(finding_text(finding) + "\n\n")
    counts = [(sum(f.severity is s for f in found), s) for s in WEIGHT]
    told = ", ".join(COUNTS[f"{s}" if n == 1 else f"{s}s"].format(count=n) for n, s in counts if n)
    if not found:
        if out is sys.stdout:
            none = say("No findings.") if checked else say("No findings. Strength, balance and ride are not checked.")
            out.write(none + "\n")
    else:
        ends = say("{counts}; nothing was written.", counts=told) if stops(found) else say("{counts}.", counts=told)
        out.write(ends + "\n")


@contextmanager
def progress(*, quiet: bool) -> Iterator[Step]:
    """Show progress on standard error: a bar on a terminal, plain lines elsewhere, nothing when quiet."""
    if quiet:
        yield lambda text, done, total: None
        return
    here = current()

    def told_here(text: str) -> str:
        with speaking(here):
            return spoken(text)

    if not sys.stderr.isatty():
        told: set[str] = set()

        def line(text: str, done: int, total: int) -> None:
            if text not in told:
                sys.stderr.write(f"{told_here(text)} ...\n")
            told.add(text)

        yield line
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    console = Console(stderr=True)
    with Progress(
        TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed}/{task.total}"), console=console
    ) as bar:
        tasks: dict[str, Any] = {}

        def step(text: str, done: int, total: int) -> None:
            if text not in tasks:
                tasks[text] = bar.add_task(told_here(text), total=total)
            bar.update(tasks[text], completed=done, total=total)

        yield step


def written(paths: Sequence[Path], *, as_json: bool) -> None:
    """Say which files were written."""
    if as_json:
        json.dump({"files": [str(p) for p in paths]}, sys.stdout, indent=2)
        sys.stdout.write("\n")
        return
    for path in paths:
        sys.stdout.write(say("written: {path}", path=path) + "\n")


def summary(job: Job, files: Sequence[Path], into: Path, *, as_json: bool) -> None:
    """Say what was made and what a person does next."""
    if as_json:
        record = {"files": [str(p) for p in files], "findings": [_finding_record(f) for f in job.findings]}
        json.dump(record, sys.stdout, indent=2, ensure_ascii=False)
        sys.stdout.write("\n")
        return
    from handbarrow.cli.summary import summary_lines

    sys.stdout.write("\n".join(summary_lines(job, files, into)) + "\n")
