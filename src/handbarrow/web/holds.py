"""What holds and what does not: the checks of a state in short, and which came out otherwise than before."""

from __future__ import annotations

from collections import Counter
from typing import Any

from handbarrow.job.frame_values import Check, Verdict
from handbarrow.job.values import Job
from handbarrow.language import spoken
from handbarrow.sheets.loads import check_number
from handbarrow.sheets.words_checks import VERDICT
from handbarrow.web.model import Worked
from handbarrow.web.words import PRODUCT

__all__ = ["check_changes", "holds"]

Json = dict[str, Any]
VERDICTS: tuple[Verdict, ...] = ("fails", "doubtful", "holds", "not checked")
NOTICED = 0.005
"""Share of its value that a check must have moved by to be told."""


def holds(worked: Worked) -> Json:
    """Return how many checks hold and how many do not, and each that fails or is doubtful."""
    job, checks = worked.wanted(), worked.checks
    counts = Counter(check.verdict for check in checks)
    open_ = [check for check in checks if check.verdict in ("fails", "doubtful")]
    open_.sort(key=lambda check: (VERDICTS.index(check.verdict), check.margin or 0.0))
    return {
        "counts": [{"verdict": one, "says": VERDICT[one], "count": counts[one]} for one in VERDICTS],
        "open": [{"id": one.id, "verdict": one.verdict, "says": _says(job, one)} for one in open_],
    }


def check_changes(old: Worked, new: Worked) -> list[Json]:
    """Return each check whose verdict or value changed, those whose verdict changed first."""
    if old.job is None or new.job is None:
        return []
    before, after = ({check.id: check for check in one.checks} for one in (old, new))
    out = []
    for name in dict.fromkeys([*before, *after]):
        was, now = before.get(name), after.get(name)
        if not _differs(was, now):
            continue
        known = now or was
        out.append(
            {
                "id": name,
                "title": spoken(known.title) if known else name,
                "verdict": {"was": was.verdict if was else None, "now": now.verdict if now else None},
                "was": _outcome(old.job, was),
                "now": _outcome(new.job, now),
            }
        )
    return sorted(out, key=lambda one: one["verdict"]["was"] == one["verdict"]["now"])


def _differs(was: Check | None, now: Check | None) -> bool:
    if was is None or now is None or was.verdict != now.verdict or (was.value is None) != (now.value is None):
        return True
    if was.value is None or now.value is None:
        return False
    return abs(was.value - now.value) > NOTICED * max(abs(was.value), abs(now.value))


def _outcome(job: Job, check: Check | None) -> str:
    if check is None:
        return "-"
    if check.value is None:
        return VERDICT[check.verdict]
    number = check_number(job, check.value, check.unit)
    return PRODUCT["check_outcome"].format(value=number, verdict=VERDICT[check.verdict])


def _says(job: Job, check: Check) -> str:
    value, limit = (check_number(job, one, check.unit) for one in (check.value, check.limit))
    words = PRODUCT["check_says"] if value and limit else PRODUCT["check_says_short"]
    return words.format(title=spoken(check.title), value=value, limit=limit, verdict=VERDICT[check.verdict])
