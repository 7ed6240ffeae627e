"""Requests that are refused: each with a status, and findings that say why and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from handbarrow.findings import Finding
from handbarrow.language import said

__all__ = [
    "RefusedError",
    "changed_meanwhile",
    "no_such_file",
    "no_such_page",
    "no_such_part",
    "no_such_position",
    "no_such_project",
    "no_such_size",
    "no_such_version",
    "no_such_work",
    "not_from_here",
    "not_saved",
    "not_workable",
    "not_written",
    "nothing_to_undo",
    "project_unclear",
    "request_unclear",
    "too_large",
    "work_waits",
]


class RefusedError(Exception):
    """A request is refused; nothing was changed.

    Attributes:
        status: HTTP status.
        findings: Why.
        more: What else the answer says, by key.
    """

    def __init__(self, status: int, findings: Iterable[Finding], more: Mapping[str, Any] | None = None) -> None:
        self.status = status
        self.findings = tuple(findings)
        self.more = dict(more or {})
        super().__init__("; ".join(finding.wrong for finding in self.findings))


def no_such_project(name: str) -> RefusedError:
    """There is no project of that name."""
    finding = Finding(
        code="no-such-project",
        where="project",
        wrong=said("there is no project {name!r}", name=name[:80]),
        expected=said("the name of a folder with one design file and one workshop file"),
        fix=said("go to the first page and choose a project there"),
    )
    return RefusedError(404, [finding])


def project_unclear(name: str, designs: int, workshops: int) -> Finding:
    """A folder that is no project."""
    return Finding(
        code="project-unclear",
        where="project",
        wrong=said(
            "the folder {name!r} holds {designs} design files and {workshops} workshop files",
            name=name[:80],
            designs=designs,
            workshops=workshops,
        ),
        expected=said("exactly one design file and one workshop file"),
        fix=said("move the files that do not belong there into another folder, or put in the one that is missing"),
    )


def no_such_size(name: str) -> RefusedError:
    """The design has no size of that name."""
    finding = Finding(
        code="no-such-size",
        where="sizes",
        wrong=said("the design has no size {name!r}", name=name[:80]),
        expected=said("one of the names under `sizes`"),
        fix=said("read the page again: the size may have been taken out of the file"),
    )
    return RefusedError(404, [finding])


def no_such_part(name: str) -> RefusedError:
    """The design has no part of that name."""
    finding = Finding(
        code="no-such-part",
        where="parts",
        wrong=said("the design has no part {name!r}", name=name[:80]),
        expected=said("one of the names under `parts`"),
        fix=said("go back to the product and choose a part there"),
    )
    return RefusedError(404, [finding])


def no_such_position(name: str) -> RefusedError:
    """No assembly has that position."""
    finding = Finding(
        code="no-such-position",
        where="assemblies",
        wrong=said("there is no position {name!r}", name=name[:120]),
        expected=said("an assembly and one of its positions, as `hood:up`"),
        fix=said("choose a position from the list"),
    )
    return RefusedError(404, [finding])


def no_such_version(number: int) -> RefusedError:
    """The project has no saved state of that number."""
    finding = Finding(
        code="no-such-version",
        where="versions",
        wrong=said("there is no saved state {number}", number=number),
        expected=said("the number of a state on the page of saved states, whose copies are still there"),
        fix=said("choose a state on the page of saved states"),
    )
    return RefusedError(404, [finding])


def no_such_file(name: str) -> RefusedError:
    """The folder of sheets has no such file."""
    finding = Finding(
        code="no-such-file",
        where="files",
        wrong=said("there is no file {name!r}", name=name[:120]),
        expected=said("a file that was written for this project"),
        fix=said("have the sheets written, then choose a file from the list"),
    )
    return RefusedError(404, [finding])


def no_such_page(path: str, status: int) -> RefusedError:
    """There is no such page, or it cannot be asked so."""
    finding = Finding(
        code="no-such-page",
        where="address",
        wrong=said("the address {path!r} leads nowhere", path=path[:120])
        if status == 404
        else said("the page at {path!r} cannot be asked in this way", path=path[:120]),
        expected=said("an address that a page of the workbench leads to"),
        fix=said("go to the first page and choose from there"),
    )
    return RefusedError(status, [finding])


def not_saved(fault: OSError) -> RefusedError:
    """The system refuses to read or write a file."""
    finding = Finding(
        code="not-saved",
        where="project",
        wrong=said("the system refuses: {why}", why=str(fault.strerror or fault)),
        expected=said("a folder that can be written, with room on the disk"),
        fix=said("look whether the disk is full or the folder is closed to you, then repeat it; nothing was lost"),
    )
    return RefusedError(507, [finding])


def no_such_work(name: str) -> RefusedError:
    """No work of that number is known."""
    finding = Finding(
        code="no-such-work",
        where="work",
        wrong=said("no work {name!r} is under way", name=name[:40]),
        expected=said("the number that was given when the work was begun"),
        fix=said("begin it again; work ends when the program is closed"),
    )
    return RefusedError(404, [finding])


def work_waits() -> RefusedError:
    """Work on the same folder is still going on."""
    finding = Finding(
        code="work-under-way",
        where="work",
        wrong=said("sheets are being written into this folder already"),
        expected=said("one writing at a time"),
        fix=said("wait until it is done, or stop it"),
    )
    return RefusedError(409, [finding])


def nothing_to_undo(*, again: bool) -> RefusedError:
    """There is no earlier (or later) state to go to."""
    finding = Finding(
        code="nothing-to-undo",
        where="versions",
        wrong=said("nothing was undone that could be done again") if again else said("there is nothing to undo"),
        expected=said("a change that was made before"),
        fix=said("choose a state on the page of saved states"),
    )
    return RefusedError(409, [finding])


def changed_meanwhile(where: str, more: Mapping[str, Any]) -> RefusedError:
    """Somebody else changed the same thing since the page was read."""
    finding = Finding(
        code="changed-meanwhile",
        where=where,
        wrong=said("somebody else changed this since you read it"),
        expected=said("a change to what stands there now"),
        fix=said("look at both values and choose one"),
    )
    return RefusedError(409, [finding], more)


def request_unclear(where: str) -> RefusedError:
    """The request does not say what it must say."""
    finding = Finding(
        code="request-unclear",
        where=where[:200],
        wrong=said("this value is missing or of the wrong kind"),
        expected=said("what the page sends"),
        fix=said("read the page again and repeat it"),
    )
    return RefusedError(422, [finding])


def not_from_here(where: str) -> RefusedError:
    """The request does not come from a page of this program."""
    finding = Finding(
        code="not-from-here",
        where=where,
        wrong=said("this request does not come from a page of this workbench"),
        expected=said("a request from a page that this workbench showed, at the address that it printed"),
        fix=said("open the workbench at the address that it printed, read the page again and repeat it"),
    )
    return RefusedError(403, [finding])


def too_large(most: int) -> RefusedError:
    """More was sent than is taken."""
    finding = Finding(
        code="too-large",
        where="request",
        wrong=said("more than {most:,} bytes were sent", most=most),
        expected=said("a file or form of at most {most:,} bytes", most=most),
        fix=said("send a smaller file"),
    )
    return RefusedError(413, [finding])


def not_written(why: str) -> Finding:
    """Sheets could not be printed or written."""
    return Finding(
        code="not-written",
        where="sheets",
        wrong=said("the sheets were not written: {why}", why=why),
        expected=said("sheets that can be written and printed"),
        fix=said("mend what is said here, and begin the work again"),
    )


def not_workable(findings: Iterable[Finding]) -> RefusedError:
    """The files do not work out, so there is nothing to show."""
    return RefusedError(422, findings)
