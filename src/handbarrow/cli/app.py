"""The commands. Heavy imports wait until a command needs them, so that `--help` is quick.

Exit codes: 0 done (warnings are shown), 1 findings stand against it and nothing was written (`sheet`: the sheet is not
current), 2 the command was not
understood, 3 a file cannot be read or written, 4 a fault in the program itself.
"""

from __future__ import annotations

import os
import sys
from functools import partial
from pathlib import Path

import click

from handbarrow.language import LANGUAGES, said, say, speaking

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
    help=said("From one design file and one workshop file to everything the shop needs for a batch."),
    epilog=said(
        "Exit codes: 0 done, 1 findings stand against it and nothing was written, 2 command not understood, 3 a file "
        "cannot be read or written, 4 a fault in the program itself."
    ),
)
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_version, help=said("Say which one.")
)
def app() -> None:
    """From one design file and one workshop file to everything the shop needs for a batch."""


_file = click.Path(path_type=Path)
design_file = click.argument("design", type=_file, metavar="DESIGN")
workshop_file = click.option(
    "--workshop", "-w", type=_file, required=True, metavar="SHOP", help=said("The workshop file (YAML).")
)
units_option = click.option(
    "--units", "-n", type=int, default=1, show_default=True, metavar="N", help=said("Units in this batch.")
)
json_option = click.option("--json", "as_json", is_flag=True, help=said("Answer as JSON, for programs."))
cutting_option = click.option(
    "--cutting",
    type=click.Choice(["exact", "kit"]),
    default="exact",
    show_default=True,
    help=said("exact: least cost. kit: one set of bars, repeated for unit after unit."),
)


@app.command(help=said("Read the files, work the job out, list what is wrong.\n\nWrites nothing."))
@design_file
@click.option("--workshop", "-w", type=_file, metavar="SHOP", help=said("Without it only the design is read."))
@units_option
@json_option
def check(design: Path, workshop: Path | None, units: int, as_json: bool) -> None:
    """Read the files, work the job out, list what is wrong.

    Writes nothing.
    """
    from handbarrow.cli import loading, show

    job = None
    if workshop is None:
        findings = loading.design_findings(design)
    else:
        job, findings = loading.load_job(design, workshop, units, checks=True)
    show.findings(findings, as_json=as_json, checked=job is not None)
    if job is not None and not as_json:
        show.checks(job)
    if show.stops(findings):
        sys.exit(FOUND)


@app.command(help=said("Write the job data (JSON): every number of the job."))
@design_file
@workshop_file
@units_option
@click.option("--into", type=_file, metavar="FILE", help=said("File to write; left out: standard output."))
@cutting_option
@click.option("--json", "as_json", is_flag=True, help=said("Findings as JSON too (on standard error)."))
@click.option("--making", is_flag=True, help=said("Jigs and fit-up too; they take longer."))
@click.option("--checks", is_flag=True, help=said("Load cases and checks too; they take longer."))
def data(
    design: Path, workshop: Path, units: int, into: Path | None, cutting: str, as_json: bool, making: bool, checks: bool
) -> None:
    """Write the job data (JSON): every number of the job."""
    from handbarrow.cli import loading, show

    job, findings = loading.load_job(design, workshop, units, cutting=cutting, checks=checks)
    if findings or as_json:
        show.findings(findings, as_json=as_json, stream=sys.stderr)
    if job is None:
        sys.exit(FOUND)
    from handbarrow.sheets.jobdata import job_document, job_text

    text = job_text(job_document(job, making=making, checks=checks))
    if into is None:
        sys.stdout.write(text)
    else:
        loading.write_whole(into, text.encode())


@app.command(
    help=said(
        "Write the folder: printed pack, job data, tables, drawings.\n\nWith --part, --station, --assembly, --paper or "
        "--language: only a pack of these sheets, beside the whole one."
    )
)
@design_file
@workshop_file
@units_option
@click.option(
    "--into", type=_file, default=Path("out"), show_default=True, metavar="FOLDER", help=said("Where to write.")
)
@click.option("--date", default="", metavar="YYYY-MM-DD", help=said("Date on the sheets; left out: today."))
@click.option("--part", default="", metavar="ID", help=said("Only the sheets of this part."))
@click.option(
    "--station",
    default="",
    metavar="NAME",
    help=said(
        "Only the sheets of: lists, saw, shears, folder, bender, mitre, drill, weld, assembly, jigs, buying, "
        "inspection, sewing or templates."
    ),
)
@click.option("--assembly", default="", metavar="NAME", help=said("Only the sheets of this assembly."))
@click.option("--paper", type=click.Choice(["A4", "A3", "Letter"]), help=said("Other paper than the workshop's."))
@click.option("--language", type=click.Choice(list(LANGUAGES)), help=said("Another language than the workshop's."))
@click.option(
    "--step", "with_step", is_flag=True, help=said("The product as solids too (STEP); needs the extra `step`.")
)
@cutting_option
@json_option
def sheets(
    design: Path,
    workshop: Path,
    units: int,
    into: Path,
    date: str,
    cutting: str,
    as_json: bool,
    with_step: bool,
    **chosen: str | None,
) -> None:
    """Write the folder: printed pack, job data, tables, drawings.

    With --part, --station, --assembly, --paper or --language: only a pack of these sheets, beside the whole one.
    """
    from handbarrow.sheets.second import second_process

    with second_process(wanted=not any(chosen.values())) as second:
        from handbarrow.cli import loading, show

        day, choice = loading.day(date), loading.choice(**chosen)
        loading.refuse_step(with_step, choice)
        with show.progress(quiet=as_json) as step:
            step(said("reading and working out"), 0, 1)
            begin = partial(second.begin, date=day, with_step=with_step) if second else None
            job, findings = loading.load_job(design, workshop, units, cutting=cutting, checks=True, meanwhile=begin)
            step(said("reading and working out"), 1, 1)
            if job is not None:
                loading.refuse_choice(choice, job)
                files = loading.folder_written(job, into, step, day, choice, with_step=with_step)
    if job is None:
        show.findings(findings, as_json=as_json, stream=sys.stdout if as_json else sys.stderr)
        sys.exit(FOUND)
    if findings and not as_json:
        show.findings(findings, as_json=False, stream=sys.stderr)
    if loading.is_whole(choice):
        show.summary(job, files, into, as_json=as_json)
    else:
        show.written(files, as_json=as_json)


@app.command(
    help=said(
        "Say which tubes on sale would do.\n\nFor every role one step down and up: what it costs in mass and money and "
        "gains in margin. With --all: every combination."
    )
)
@design_file
@workshop_file
@click.option("--role", "roles", multiple=True, metavar="ROLE", help=said("Only this role; may be given again."))
@click.option("--all", "whole", is_flag=True, help=said("Every combination of what is on sale for these roles."))
@click.option(
    "--most", type=int, default=2000, show_default=True, metavar="N", help=said("Refuse more combinations than this.")
)
@click.option("--jobs", type=int, default=0, metavar="N", help=said("Processes; left out: one for each core."))
@click.option("--cluster", default="", metavar="ADDRESS", help=said("A Dask scheduler to try them on."))
@click.option(
    "--into", type=_file, multiple=True, metavar="FILE", help=said("All that was tried: .csv a table, .svg a chart.")
)
@json_option
def tubes(
    design: Path,
    workshop: Path,
    roles: tuple[str, ...],
    whole: bool,
    most: int,
    jobs: int,
    cluster: str,
    into: tuple[Path, ...],
    as_json: bool,
) -> None:
    """Say which tubes on sale would do.

    For every role one step down and up: what it costs in mass and money and gains in margin. With --all: every
    combination.
    """
    from handbarrow.cli.tubes import Asked, answer

    sys.exit(answer(design, workshop, Asked(roles, whole, most, jobs, cluster, into), as_json=as_json))


@app.command(
    help=said(
        "Say whether a printed sheet still counts.\n\nCODE is the text of its square code, or the code printed at its "
        "head. Leaves with 0 if the sheet is current, with 1 if it is superseded."
    )
)
@click.argument("code", metavar="CODE")
@design_file
@workshop_file
@click.option("--units", "-n", type=int, metavar="N", help=said("Units of today's batch; left out: as in the folder."))
@click.option(
    "--folder", type=_file, default=Path("out"), show_default=True, metavar="FOLDER", help=said("Where the sheets are.")
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


@app.command(
    help=said("Write a starting design to adapt.\n\nOn request a workshop file too. Never writes over a file.")
)
@click.argument("into", type=_file, metavar="FILE")
@click.option("--like", default="handcart", show_default=True, help=said("Which one: hut-trailer or handcart."))
@click.option("--workshop", "-w", type=_file, metavar="SHOP", help=said("Write a workshop file there too."))
@json_option
def start(into: Path, like: str, workshop: Path | None, as_json: bool) -> None:
    """Write a starting design to adapt.

    On request a workshop file too. Never writes over a file.
    """
    from handbarrow.cli import loading, show

    show.written(loading.write_start(into, like, workshop), as_json=as_json)


@app.command(
    help=said(
        "Open the workbench in the browser: design, check and print.\n\nFOLDER holds the projects, one folder for each "
        "(left out: handbarrow in your home). Only this computer is served, unless --share is given."
    )
)
@click.argument("folder", type=_file, required=False, metavar="[FOLDER]")
@click.option("--port", type=click.IntRange(0, 65535), default=8420, show_default=True, metavar="N", help=said("Port."))
@click.option("--share", is_flag=True, help=said("Let other devices on this network in, by a code that is printed."))
@click.option("--open/--no-open", "opens", default=True, show_default=True, help=said("Open the browser."))
def workbench(folder: Path | None, port: int, share: bool, opens: bool) -> None:
    """Open the workbench in the browser: design, check and print.

    FOLDER holds the projects, one folder for each (left out: handbarrow in your home). Only this computer is served,
    unless --share is given.
    """
    from handbarrow.cli import workbench as desk

    desk.run(folder or Path.home() / "handbarrow", port, share=share, opens=opens)


@app.command(help=said("Print the JSON Schema of the job data."))
def schema() -> None:
    """Print the JSON Schema of the job data."""
    from handbarrow.sheets.schema import schema_text

    sys.stdout.write(schema_text())


def main(arguments: list[str] | None = None) -> None:
    """Run a command and leave with its exit code."""
    from handbarrow.cli.speech import in_their_language, terminal_language

    with speaking(terminal_language()):
        _run(in_their_language(app), arguments)


def _run(group: click.Group, arguments: list[str] | None) -> None:
    try:
        group(arguments, prog_name="handbarrow")
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
            say(
                "a fault in the program itself ({kind}: {fault}); nothing was written. Run again with "
                "HANDBARROW_SHOW_FAULTS=1 and send what it prints, with the two files.",
                kind=type(fault).__name__,
                fault=fault,
            ),
        )


def _leave(code: int, message: str) -> None:
    sys.stderr.write(f"handbarrow: {message}\n")
    sys.exit(code)
