"""A verdict on a sheet in words."""

from __future__ import annotations

from collections.abc import Iterator

from handbarrow.job.values import Job
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.codes import SheetCode, code_of
from handbarrow.sheets.compare import Change
from handbarrow.sheets.shown import fixed, title_of
from handbarrow.sheets.verdict import Verdict
from handbarrow.sheets.words_answer import ANSWER, BATCH_CHANGES, CHANGES, PLACES

__all__ = ["answer", "change_words"]

LENGTHS, ANGLES, COUNTS = ("cut length", "marks"), ("angles", "set angles"), ("number", "quantity", "hands")
"""Kinds of changes whose numbers are said."""


def answer(code: SheetCode, verdict: Verdict, job: Job, folder: str) -> list[str]:
    """Return the lines for a person: what the sheet is, whether it counts, what changed."""
    name = title_of(job, code.part) if code.part else code.sheet.removeprefix("+").replace("-", " ")
    lines = [ANSWER["sheet"].format(sheet=name, stamp=_stamp(code))]
    now = _stamp(code_of(job, code.sheet))
    if verdict.state == "current":
        return [*lines, ANSWER["current"]]
    if verdict.state != "superseded":
        return [*lines, ANSWER["none"].format(design=job.design.name)]
    if not verdict.known:
        return [*lines, ANSWER["unknown"].format(stamp=now), ANSWER["why_unknown"].format(folder=folder)]
    if verdict.still_right:
        lines.append(ANSWER["still_right" if verdict.others else "nothing"].format(stamp=now))
    elif not verdict.parts and not verdict.batch:
        lines.append(ANSWER["not_compared"].format(stamp=now))
    else:
        lines.append(ANSWER["program" if verdict.program else "superseded"].format(stamp=now))
        lines += [ANSWER["changed"], *(f"  {line}" for line in _changes(code, verdict, job.workshop.shown))]
    if verdict.others:
        lines.append(ANSWER["others"].format(parts=", ".join(verdict.others)))
    return lines


def _stamp(code: SheetCode) -> str:
    return ANSWER["stamp" if code.revision else "stamp_short"].format(
        revision=code.revision.upper(), design=code.design_digest, workshop=code.workshop_digest, units=code.units
    )


def _changes(code: SheetCode, verdict: Verdict, shown: Shown) -> Iterator[str]:
    for part, changes in verdict.parts.items():
        head = "" if part == code.part else f"{part}: "
        yield from (head + change_words(change, shown) for change in changes)
    yield from (BATCH_CHANGES[name] for name in verdict.batch)


def change_words(change: Change, shown: Shown) -> str:
    """Say a change, with the number that was and that is now where it has one."""
    what = CHANGES[change.kind]
    if change.where:
        what += f", {PLACES.get(change.where, change.where)}"
    was, now = (_said(change.kind, value, shown) for value in (change.was, change.now))
    if was and now and was != now:
        return ANSWER["line"].format(what=what, was=was, now=now)
    if was and now:
        return ANSWER["line_plain"].format(what=what)
    key = "line_new" if now else "line_gone" if was else "line_plain"
    return ANSWER[key].format(what=what, was=was, now=now)


def _said(kind: str, value: float | None, shown: Shown) -> str:
    """A number as the sheet says it; empty where there is none."""
    if value is None:
        return ""
    if kind in LENGTHS:
        return shown.length(value, with_unit=True)
    if kind in ANGLES:
        return f"{fixed(value)}°"
    return str(round(value)) if kind in COUNTS else ""
