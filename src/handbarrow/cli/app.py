"""The commands. Heavy imports wait until a command needs them, so that `--help` is quick.

Exit codes: 0 done (warnings are shown), 1 findings stand against it and nothing was written (`sheet`: the sheet is not
current), 2 the command was not
understood, 3 a file cannot be read or written, 4 a fault in the program itself.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from handbarrow.language import LANGUAGES

__all__ = ["FilesError", "app", "main"]

FOUND, USAGE, FILES, FAULT = 1, 2, 3, 4


class FilesError(Exception):
    """A file cannot be read or written; the message says which and why."""


def _version(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted:
        from handbarrow import __version__

        click.echo(f"handbarrow {__version__}")
        context.exit()


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110},
    epilog="Exit codes: 0 done, 1 findings stand against it and nothing was written, 2 command not understood, "
    "3 a file cannot be read or written, 4 a fault in the program itself.",
)
@click.option("--version", is_flag=True, is_eager=True, expose_value=False, callback=_version, help="Say which one.")
def app() -> None:
    """From one design file and one workshop file to everything the shop needs for a batch."""


_file = click.Path(path_type=Path)
design_file = click.argument("design", type=_file, metavar="DESIGN")
workshop_file = click.option(
    "--workshop", "-w", type=_file, required=True, metavar="SHOP", help="The workshop file (YAML)."
)
units_option = click.option(
    "--units", "-n", type=int, default=1, show_default=True, metavar="N", help="Units in this batch."
)
json_option = click.option("--json", "as_json", is_flag=True, help="Answer as JSON, for programs.")
cutting_option = click.option(
    "--cutting",
    type=click.Choice(["exact", "kit"]),
    default="exact",
    show_default=True,
    help="exact: least cost. kit: one set of bars, repeated for unit after unit.",
)


@app.command()
@design_file
@click.option("--workshop", "-w", type=_file, metavar="SHOP", help="Without it only the design is read.")
@units_option
@json_option
def check(design: Path, workshop: Path | None, units: int, as_json: bool) -> None:
    """Read the files, work the job out, list what is wrong.

    Writes nothing.
    """
    from handbarrow.cli import loading, show

    if workshop is None:
        findings = loading.design_findings(design)
    else:
        _, findings = loading.load_job(design, workshop, units)
    show.findings(findings, as_json=as_json)
    if show.stops(findings):
        sys.exit(FOUND)


@app.command()
@design_file
@workshop_file
@units_option
@click.option("--into", type=_file, metavar="FILE", help="File to write; left out: standard output.")
@cutting_option
@click.option("--json", "as_json", is_flag=True, help="Findings as JSON too (on standard error).")
@click.option("--making", is_flag=True, help="Jigs and fit-up too; they take longer.")
def data(
    design: Path, workshop: Path, units: int, into: Path | None, cutting: str, as_json: bool, making: bool
) -> None:
    """Write the job data (JSON): every number of the job."""
    from handbarrow.cli import loading, show

    job, findings = loading.load_job(design, workshop, units, cutting=cutting)
    if findings or as_json:
        show.findings(findings, as_json=as_json, stream=sys.stderr)
    if job is None:
        sys.exit(FOUND)
    from handbarrow.sheets.jobdata import job_document, job_text

    text = job_text(job_document(job, making=making))
    if into is None:
        sys.stdout.write(text)
    else:
        loading.write_whole(into, text.encode())


@app.command()
@design_file
@workshop_file
@units_option
@click.option("--into", type=_file, default=Path("out"), show_default=True, metavar="FOLDER", help="Where to write.")
@click.option("--date", default="", metavar="YYYY-MM-DD", help="Date on the sheets; left out: today.")
@click.option("--part", default="", metavar="ID", help="Only the sheets of this part.")
@click.option(
    "--station",
    default="",
    metavar="NAME",
    help="Only the sheets of: lists, saw, bender, mitre, drill, weld, assembly, jigs, buying or inspection.",
)
@click.option("--assembly", default="", metavar="NAME", help="Only the sheets of this assembly.")
@click.option("--paper", type=click.Choice(["A4", "A3", "Letter"]), help="Other paper than the workshop's.")
@click.option("--language", type=click.Choice(list(LANGUAGES)), help="Another language than the workshop's.")
@cutting_option
@json_option
def sheets(
    design: Path, workshop: Path, units: int, into: Path, date: str, cutting: str, as_json: bool, **chosen: str | None
) -> None:
    """Write the folder: printed pack, job data, tables, drawings.

    With --part, --station, --assembly, --paper or --language: only a pack of these sheets, beside the whole one.
    """
    from handbarrow.cli import loading, show

    day, choice = loading.day(date), loading.choice(**chosen)
    with show.progress(quiet=as_json) as step:
        step("reading and working out", 0, 1)
        job, findings = loading.load_job(design, workshop, units, cutting=cutting)
        step("reading and working out", 1, 1)
        if job is not None:
            loading.refuse_choice(choice, job)
            files = loading.folder_written(job, into, step, day, choice)
    if job is None:
        show.findings(findings, as_json=as_json, stream=sys.stdout if as_json else sys.stderr)
        sys.exit(FOUND)
    if findings and not as_json:
        show.findings(findings, as_json=False, stream=sys.stderr)
    if loading.is_whole(choice):
        show.summary(job, files, into, as_json=as_json)
    else:
        show.written(files, as_json=as_json)


@app.command()
@click.argument("code", metavar="CODE")
@design_file
@workshop_file
@click.option("--units", "-n", type=int, metavar="N", help="Units of today's batch; left out: as in the folder.")
@click.option(
    "--folder", type=_file, default=Path("out"), show_default=True, metavar="FOLDER", help="Where the sheets are."
)
@json_option
def sheet(code: str, design: Path, workshop: Path, units: int | None, folder: Path, as_json: bool) -> None:
    """Say whether a printed sheet still counts.

    CODE is the text of its square code, or the code printed at its head. Leaves with 0 if the sheet is current, with
    1 if it is superseded.
    """
    from handbarrow.cli import show, standing

    found = standing.standing(standing.parsed(code), design, workshop, folder, units)
    if found.verdict is None:
        show.findings(found.findings, as_json=as_json, stream=sys.stdout if as_json else sys.stderr)
        sys.exit(FOUND)
    standing.tell(found, folder, as_json=as_json)
    if found.verdict.state != "current":
        sys.exit(FOUND)


@app.command()
@click.argument("into", type=_file, metavar="FILE")
@click.option("--like", default="handcart", show_default=True, help="Which one: hut-trailer or handcart.")
@click.option("--workshop", "-w", type=_file, metavar="SHOP", help="Write a workshop file there too.")
@json_option
def start(into: Path, like: str, workshop: Path | None, as_json: bool) -> None:
    """Write a starting design to adapt.

    On request a workshop file too. Never writes over a file.
    """
    from handbarrow.cli import loading, show

    show.written(loading.write_start(into, like, workshop), as_json=as_json)


@app.command()
def schema() -> None:
    """Print the JSON Schema of the job data."""
    from handbarrow.sheets.schema import schema_text

    sys.stdout.write(schema_text())


def main(arguments: list[str] | None = None) -> None:
    """Run a command and leave with its exit code."""
    try:
        app(arguments, prog_name="handbarrow")
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
