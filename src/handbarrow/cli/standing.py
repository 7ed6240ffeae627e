"""Where a printed sheet stands: its code, the files of today, and the job data kept in the folder."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import click

from handbarrow.cli import loading
from handbarrow.findings import Finding
from handbarrow.job.values import Job
from handbarrow.sheets import earlier
from handbarrow.sheets.answer import answer
from handbarrow.sheets.codes import SheetCode, read_code, short_form, slug
from handbarrow.sheets.folder import listed_files
from handbarrow.sheets.jobdata import job_document
from handbarrow.sheets.verdict import Verdict, judge
from handbarrow.sheets.words_answer import ANSWER

__all__ = ["Standing", "parsed", "standing", "tell"]


@dataclass(frozen=True, slots=True)
class Standing:
    """A sheet and what was found of it; without a job the files of today do not work out."""

    code: SheetCode
    verdict: Verdict | None
    job: Job | None
    findings: list[Finding]


def parsed(text: str) -> SheetCode:
    """Return the code that was given.

    Raises:
        click.BadParameter: If it is none, or was mistyped.
    """
    code = read_code(text)
    if code is None:
        raise click.BadParameter(ANSWER["unreadable"].format(code=text[:80]), param_hint="CODE")
    return code


def standing(code: SheetCode, design: Path, workshop: Path, folder: Path, units: int | None) -> Standing:
    """Work today's job out and hold the sheet against it.

    The batch of today is `units`, else that of the folder, else the sheet's own.
    """
    listed = listed_files(folder)
    last = earlier.newest(folder, listed) if units is None else None
    job, findings = loading.load_job(design, workshop, code.units if units is None else units)
    if (
        job is not None
        and last is not None
        and last["units"] != job.units
        and last["design"]["name"] == job.design.name
    ):
        job, findings = loading.load_job(design, workshop, int(last["units"]))
    if job is None:
        return Standing(code, None, None, findings)
    now = job_document(job)
    older = earlier.found(folder, listed, code)
    try:
        verdict = judge(code, now, older)
    except (KeyError, TypeError, ValueError, AttributeError):
        verdict = judge(code, now, None)  # kept by a version of the program that wrote other data
    return Standing(code, verdict, job, findings)


def tell(found: Standing, folder: Path, *, as_json: bool) -> None:
    """Print the answer."""
    if found.verdict is None or found.job is None:
        return
    if not as_json:
        sys.stdout.write("\n".join(answer(found.code, found.verdict, found.job, str(folder))) + "\n")
        return
    json.dump(_record(found.code, found.verdict, found.job), sys.stdout, indent=2, ensure_ascii=False)
    sys.stdout.write("\n")


def _record(code: SheetCode, verdict: Verdict, job: Job) -> dict[str, Any]:
    return {
        "sheet": code.sheet,
        "code": short_form(code),
        "design": slug(job.design.name),
        "revision": job.design.revision,
        "state": verdict.state,
        "known": verdict.known,
        "still_right": verdict.still_right,
        "parts": {part: [asdict(change) for change in changes] for part, changes in verdict.parts.items()},
        "batch": list(verdict.batch),
        "other_parts": list(verdict.others),
    }
