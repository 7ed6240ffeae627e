"""Everything that the workbench refuses, made once."""

from __future__ import annotations

from collections.abc import Iterator

from handbarrow.findings import Finding
from handbarrow.language import said
from handbarrow.web import refusals

NAME = "sledge"


def of_requests() -> Iterator[tuple[str, list[Finding]]]:
    """Yield what was given (names that stay as they are), and the findings."""
    refused = (
        refusals.no_such_project(NAME),
        refusals.no_such_size(NAME),
        refusals.no_such_part(NAME),
        refusals.no_such_position(NAME),
        refusals.no_such_version(7),
        refusals.no_such_file(NAME),
        refusals.no_such_page(NAME, 404),
        refusals.no_such_page(NAME, 405),
        refusals.no_such_work(NAME),
        refusals.not_saved(OSError(28, NAME)),
        refusals.work_waits(),
        refusals.nothing_to_undo(again=False),
        refusals.nothing_to_undo(again=True),
        refusals.changed_meanwhile(NAME, {}),
        refusals.request_unclear(NAME),
        refusals.not_from_here("host"),
        refusals.too_large(2_000_000),
    )
    for fault in refused:
        yield NAME, list(fault.findings)
    yield NAME, [refusals.project_unclear(NAME, 2, 0), refusals.not_written(said("there is no sheet of that choice"))]
