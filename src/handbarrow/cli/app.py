"""The commands. Heavy imports wait until a command needs them, so that `--help` is quick.

Exit codes: 0 done (warnings are shown), 1 findings stand against it and nothing was written, 2 the command was not
understood, 3 a file cannot be read or written, 4 a fault in the program itself.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["app", "main"]

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="From one design file and one workshop file to everything the shop needs for a batch.",
    epilog="Exit codes: 0 done, 1 findings stand against it and nothing was written, 2 command not understood, "
    "3 a file cannot be read or written, 4 a fault in the program itself.",
)

FOUND, USAGE, FILES, FAULT = 1, 2, 3, 4

DesignFile = Annotated[Path, typer.Argument(help="The design file (YAML).", metavar="DESIGN")]
WorkshopFile = Annotated[Path, typer.Option("--workshop", "-w", help="The workshop file (YAML).", metavar="SHOP")]
Units = Annotated[int, typer.Option("--units", "-n", help="Units in this batch.", metavar="N")]
Json = Annotated[bool, typer.Option("--json", help="Answer as JSON, for programs.")]


class Cutting(StrEnum):
    """How bars are cut."""

    EXACT = "exact"
    KIT = "kit"


CuttingChoice = Annotated[
    Cutting, typer.Option("--cutting", help="exact: least cost. kit: one set of bars, repeated for unit after unit.")
]


class FilesError(Exception):
    """A file cannot be read or written; the message says which and why."""


@app.command()
def check(
    design: DesignFile,
    workshop: Annotated[
        Path | None, typer.Option("--workshop", "-w", help="The workshop file; without it only the design is read.")
    ] = None,
    units: Units = 1,
    json: Json = False,
) -> None:
    """Read the files, work the job out and list what is wrong. Writes nothing."""
    from handbarrow.cli import loading, show

    if workshop is None:
        findings = loading.design_findings(design)
    else:
        _, findings = loading.load_job(design, workshop, units)
    show.findings(findings, as_json=json)
    if show.stops(findings):
        raise typer.Exit(FOUND)


@app.command()
def data(
    design: DesignFile,
    workshop: WorkshopFile,
    units: Units = 1,
    into: Annotated[Path | None, typer.Option("--into", help="File to write; default: standard output.")] = None,
    cutting: CuttingChoice = Cutting.EXACT,
    json: Annotated[bool, typer.Option("--json", help="Findings as JSON too (on standard error).")] = False,
) -> None:
    """Write the job data (JSON): every number of the job, for other programs."""
    from handbarrow.cli import loading, show
    from handbarrow.sheets.jobdata import job_document, job_text

    job, findings = loading.load_job(design, workshop, units, cutting=cutting.value)
    show.findings(findings, as_json=json, stream=sys.stderr)
    if job is None:
        raise typer.Exit(FOUND)
    text = job_text(job_document(job))
    if into is None:
        sys.stdout.write(text)
    else:
        loading.write_whole(into, text.encode())


@app.command()
def sheets(
    design: DesignFile,
    workshop: WorkshopFile,
    units: Units = 1,
    into: Annotated[Path, typer.Option("--into", help="Folder to write to.")] = Path("out"),
    date: Annotated[str, typer.Option("--date", help="Date on the sheets, YYYY-MM-DD; default: today.")] = "",
    cutting: CuttingChoice = Cutting.EXACT,
    json: Json = False,
) -> None:
    """Write the whole folder: printed pack (PDF), job data, tables (XLSX, CSV), drawings (DXF, SVG)."""
    from handbarrow.cli import loading, show
    from handbarrow.sheets.folder import write_folder

    day = loading.day(date)
    with show.progress(quiet=json) as step:
        step("reading and working out", 0, 1)
        job, findings = loading.load_job(design, workshop, units, cutting=cutting.value)
        files = [] if job is None else loading.guarded(lambda: write_folder(job, into, step, day))
    show.findings(findings, as_json=False, stream=sys.stderr) if not json else None
    if job is None:
        if json:
            show.findings(findings, as_json=True)
        raise typer.Exit(FOUND)
    show.summary(job, files, into, as_json=json)


@app.command()
def start(
    into: Annotated[Path, typer.Argument(help="Design file to write.", metavar="FILE")],
    like: Annotated[str, typer.Option("--like", help="Which starting design: hut-trailer or handcart.")] = "handcart",
    workshop: Annotated[Path | None, typer.Option("--workshop", "-w", help="Write a workshop file too.")] = None,
    json: Json = False,
) -> None:
    """Write a starting design, and on request a workshop file, to adapt. Never writes over a file."""
    from handbarrow.cli import loading, show

    written = loading.write_start(into, like, workshop)
    show.written(written, as_json=json)


@app.command()
def schema() -> None:
    """Print the JSON Schema of the job data."""
    from handbarrow.sheets.jobdata import schema_text

    sys.stdout.write(schema_text())


def _version(wanted: bool) -> None:
    if wanted:
        from handbarrow import __version__

        typer.echo(f"handbarrow {__version__}")
        raise typer.Exit


@app.callback()
def _whole(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say which one.")
    ] = False,
) -> None:
    del version


def main(arguments: list[str] | None = None) -> None:
    """Run a command and leave with its exit code."""
    run: Callable[..., object] = app
    try:
        run(arguments, prog_name="handbarrow")
    except FilesError as fault:
        _leave(FILES, str(fault))
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except Exception as fault:
        if os.environ.get("HANDBARROW_SHOW_FAULTS"):
            raise
        _leave(
            FAULT,
            f"a fault in the program itself ({type(fault).__name__}: {fault}); nothing was written. "
            "Run again with HANDBARROW_SHOW_FAULTS=1 and send what it prints, with the two files.",
        )


def _leave(code: int, message: str) -> None:
    sys.stderr.write(f"handbarrow: {message}\n")
    sys.exit(code)
