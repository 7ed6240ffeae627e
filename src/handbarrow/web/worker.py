"""The process that does long work: reads its order, tells its progress on standard output, line by line as JSON."""

from __future__ import annotations

import datetime
import json
import pickle
import signal
import sys
from pathlib import Path
from typing import Any

from handbarrow.design.reader import read_design
from handbarrow.findings import errors
from handbarrow.job.values import Job
from handbarrow.job.work_out import work_out
from handbarrow.language import said, speaking, spoken
from handbarrow.sheets.blocks import PackError
from handbarrow.sheets.choice import Choice, as_chosen, wrong_choice
from handbarrow.web.refusals import not_written
from handbarrow.workshop.reader import read_shop

__all__ = ["main"]


def main(arguments: list[str]) -> int:
    """Do what the order says; return 0 if it was done."""
    signal.signal(signal.SIGTERM, _stop)
    place = Path(arguments[0])
    order: dict[str, Any] = json.loads(place.read_text(encoding="utf-8"))
    with speaking(order["language"]):
        return _done(order, place.parent)


def _stop(number: int, _: object) -> None:
    """Leave as if by a fault, so that everything begun is put away."""
    raise SystemExit(128 + number)


def _tell(**told: Any) -> None:
    sys.stdout.write(json.dumps(told, ensure_ascii=True) + "\n")
    sys.stdout.flush()


def _step(text: str, done: int, total: int) -> None:
    _tell(says=spoken(text), done=done, total=total)


def _done(order: dict[str, Any], beside: Path) -> int:
    total = 1
    _step(said("reading and working out"), 0, total)
    choice = order["options"].get("cutting", "exact")
    source, findings = read_design((beside / "design").read_bytes(), order["design"])
    read = read_shop((beside / "workshop").read_bytes(), order["workshop"])
    job, told = work_out(source, read, findings, order["units"], choice="kit" if choice == "kit" else "exact")
    if job is None:
        from handbarrow.web.view import finding_record

        _tell(findings=[finding_record(finding) for finding in errors(told)])
        return 1
    if order["kind"] == "cutting":
        (beside / "job.pickle").write_bytes(pickle.dumps(job))
        _step(said("done"), total, total)
        return 0
    return _written(job, order)


def _written(job: Job, order: dict[str, Any]) -> int:
    from handbarrow.sheets.folder import write_choice, write_folder

    into = Path(order["into"])
    date = order["options"].get("date") or datetime.date.today().isoformat()
    try:
        if order["kind"] == "folder":
            files = write_folder(job, into, _step, date)
        else:
            keys = ("part", "station", "assembly", "paper", "language")
            choice = Choice(**{key: order["options"].get(key, "") for key in keys})
            wrong = wrong_choice(choice, job)
            if wrong:
                return _failed(wrong)
            files = write_choice(as_chosen(job, choice), into, _step, date, choice)
    except PackError as fault:
        return _failed(fault.args[0])
    except OSError as fault:
        return _failed(str(fault.strerror or fault))
    _tell(files=[file.relative_to(into).as_posix() for file in files])
    return 0


def _failed(why: str) -> int:
    """Say why nothing was written."""
    from handbarrow.web.view import finding_record

    _tell(findings=[finding_record(not_written(why))])
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
