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

__all__ = ["finding_text", "findings", "progress", "stops", "summary", "written"]

Step = Callable[[str, int, int], None]
WEIGHT = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}


def stops(found: Sequence[Finding]) -> bool:
    """Whether a finding stands against the work."""
    return bool(errors(found))


def finding_text(finding: Finding) -> str:
    """Return a finding as the terminal shows it: place, the line with a mark under it, wrong, expected, fix."""
    head = f"{finding.severity} [{finding.code}] {finding.where}"
    lines = [head]
    if finding.place is not None:
        place = finding.place
        lines = [f"{place.file}:{place.line}:{place.column}: {head}"]
        if place.text.strip():
            number = str(place.line)
            lines.append(f"  {number} | {place.text.rstrip()}")
            lines.append(f"  {' ' * len(number)}   {' ' * (place.column - 1)}^")
    lines += [
        f"  wrong:    {finding.wrong}",
        f"  expected: {finding.expected}",
        f"  fix:      {finding.fix}",
    ]
    return "\n".join(lines)


def _finding_record(finding: Finding) -> dict[str, Any]:
    record: dict[str, Any] = {**as_record(finding)}
    if finding.place is not None:
        record |= {"file": finding.place.file, "line": finding.place.line, "column": finding.place.column}
    return record


def findings(found: Sequence[Finding], *, as_json: bool, stream: TextIO | None = None) -> None:
    """Print findings, the heaviest first."""
    out = stream or sys.stdout
    ordered = sorted(found, key=lambda f: WEIGHT[f.severity])
    if as_json:
        json.dump({"findings": [_finding_record(f) for f in ordered]}, out, indent=2, ensure_ascii=False)
        out.write("\n")
        return
    for finding in ordered:
        out.write(finding_text(finding) + "\n\n")
    counts = [(sum(f.severity is s for f in found), str(s)) for s in WEIGHT]
    said = ", ".join(f"{n} {word}{'s' if n > 1 else ''}" for n, word in counts if n)
    if not found:
        if out is sys.stdout:
            out.write("No findings. Strength, balance and ride are not checked.\n")
    else:
        out.write(said + ("; nothing was written.\n" if stops(found) else ".\n"))


@contextmanager
def progress(*, quiet: bool) -> Iterator[Step]:
    """Show progress on standard error: a bar on a terminal, plain lines elsewhere, nothing when quiet."""
    if quiet:
        yield lambda text, done, total: None
        return
    if not sys.stderr.isatty():
        said: set[str] = set()

        def line(text: str, done: int, total: int) -> None:
            if text not in said:
                sys.stderr.write(f"{text} ...\n")
            said.add(text)

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
                tasks[text] = bar.add_task(text, total=total)
            bar.update(tasks[text], completed=done, total=total)

        yield step


def written(paths: Sequence[Path], *, as_json: bool) -> None:
    """Say which files were written."""
    if as_json:
        json.dump({"files": [str(p) for p in paths]}, sys.stdout, indent=2)
        sys.stdout.write("\n")
        return
    for path in paths:
        sys.stdout.write(f"written: {path}\n")


def summary(job: Job, files: Sequence[Path], into: Path, *, as_json: bool) -> None:
    """Say what was made and what a person does next."""
    if as_json:
        record = {"files": [str(p) for p in files], "findings": [_finding_record(f) for f in job.findings]}
        json.dump(record, sys.stdout, indent=2, ensure_ascii=False)
        sys.stdout.write("\n")
        return
    sys.stdout.write("\n".join(_summary_lines(job, files, into)) + "\n")


def _summary_lines(job: Job, files: Sequence[Path], into: Path) -> list[str]:
    design, whole, shown = job.design, job.masses[-1], job.workshop.shown
    kinds = job.by_kind()
    bent = sum(p.card is not None for p in job.parts)
    pieces = sum(p.quantity for p in job.parts if p.kind in ("tube", "bar")) * job.units
    bars = sum(b.count for b in job.cutting.bars if b.source == "shop")
    off_cuts = sum(b.count for b in job.cutting.bars if b.source == "rack")
    proven = all(b.proven for b in job.cutting.bounds)
    price = "open (prices are missing)" if job.price is None else f"{job.price:,.2f} {job.workshop.currency}"
    dies = sorted({row.die for p in job.parts if p.card for row in p.card.rows if row.law.is_guess})
    return [
        "",
        f"{design.name}, revision {design.revision} ({design.digest}), {job.units} units for {job.workshop.name}",
        f"  parts      {len(job.parts)} different: "
        + ", ".join(f"{len(kinds[k])} {k}" for k in ("tube", "bar", "plate", "bought") if k in kinds)
        + f"; {bent} of them bent",
        f"  cutting    {pieces} pieces from {bars} new bars and {off_cuts} off-cut{'' if off_cuts == 1 else 's'}, "
        + ("proven best" if proven else "not proven best; the pack says how near"),
        f"  one unit   {shown.mass(whole.mass_kg, with_unit=True)}"
        + (f" without {', '.join(whole.missing)}" if whole.missing else ""),
        f"  materials  {price}",
        f"  results    ({shown.length_unit}) "
        + ", ".join(f"{k} {shown.length(v)}" for k, v in job.product.results.items()),
        "",
        f"{len(files)} files in {into}:",
        *[f"  {name}" for name in _headline_files(files, into)],
        "",
        "Next:",
        f"  1. Print {into / 'pack.pdf'} at 100 % and measure the 100 mm rule on a wrap page.",
        "  2. Buy what the materials page lists; take the off-cuts that the cutting plan names.",
        "  3. Make the test pieces first and compare the bend with its card"
        + (f": the law of {', '.join(dies)} is only a first guess." if dies else "."),
        "  4. Cut, mark and bend one unit; measure it against its check sizes; then the batch.",
        "Not checked: strength, joints, balance, brakes, clearance. Test each unit under load; local codes and",
        "licensed engineers go before this program.",
    ]


def _headline_files(files: Sequence[Path], into: Path) -> list[str]:
    top = [str(p.relative_to(into)) for p in files if p.suffix in (".pdf", ".json", ".xlsx", ".csv")]
    dxf, svg = sum(p.suffix == ".dxf" for p in files), sum(p.suffix == ".svg" for p in files)
    return [*top, f"drawings: {dxf} DXF, {svg} SVG"]
