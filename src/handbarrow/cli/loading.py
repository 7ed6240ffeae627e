"""Reading the two files and writing whole ones."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from importlib.resources import files as package_files
from pathlib import Path
from typing import Literal, TypeVar

import click

from handbarrow.cli.app import FilesError
from handbarrow.design.reader import read_design
from handbarrow.findings import Finding, with_places
from handbarrow.job.values import Job
from handbarrow.job.work_out import work_out
from handbarrow.language import say, spoken
from handbarrow.sheets import whole
from handbarrow.sheets.choice import WHOLE, Choice, as_chosen, wrong_choice
from handbarrow.workshop.reader import read_shop

__all__ = [
    "choice",
    "day",
    "design_findings",
    "folder_written",
    "is_whole",
    "load_job",
    "read_bytes",
    "refuse_choice",
    "refuse_step",
    "write_start",
    "write_whole",
]

T = TypeVar("T")
MOST_BYTES = 1_000_000


def read_bytes(path: Path) -> bytes:
    """Return the bytes of a file, at most one more than the reader takes.

    Raises:
        FilesError: If it cannot be read.
    """
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as fault:
        raise FilesError(say("cannot read {path}: {why}", path=path, why=fault.strerror or fault)) from fault


def design_findings(path: Path) -> list[Finding]:
    """Read and evaluate a design alone; return what is wrong with it."""
    source, findings = read_design(read_bytes(path), str(path))
    if source is None:
        return findings
    _, found = source.evaluate()
    return findings + with_places(found, source.places)


def load_job(
    design: Path,
    workshop: Path,
    units: int,
    *,
    cutting: Literal["exact", "kit"] | str = "exact",
    checks: bool = False,
    meanwhile: Callable[[Job], object] | None = None,
) -> tuple[Job | None, list[Finding]]:
    """Read both files and work the job out; findings have their places. None if a finding stops the work.

    What is told `meanwhile`: see `work_out`.
    """
    source, findings = read_design(read_bytes(design), str(design))
    shop = read_shop(read_bytes(workshop), str(workshop))
    choice: Literal["kit", "exact"] = "kit" if cutting == "kit" else "exact"
    return work_out(source, shop, findings, units, choice=choice, with_checks=checks, meanwhile=meanwhile)


def day(text: str) -> str:
    """Return the date for the sheets: as given, or today's.

    Raises:
        FilesError: If it is not a date.
    """
    if not text:
        return datetime.date.today().isoformat()
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError as fault:
        raise FilesError(say("{text!r} is not a date; write it as 2026-05-31", text=text)) from fault


def guarded(action: Callable[[], T]) -> T:
    """Run an action that writes files; a refusal of the system becomes a plain message."""
    try:
        return action()
    except OSError as fault:
        raise FilesError(
            say("cannot write {path}: {why}", path=fault.filename or "", why=fault.strerror or fault)
        ) from fault


def choice(**given: str | None) -> Choice:
    """Return which sheets were asked for."""
    return Choice(**{kind: name or "" for kind, name in given.items()})


def is_whole(wanted: Choice) -> bool:
    """Whether the whole folder was asked for."""
    return wanted == WHOLE


def refuse_choice(wanted: Choice, job: Job) -> None:
    """Refuse a part, station or assembly that there is not.

    Raises:
        click.UsageError: With the names that there are.
    """
    if wrong := wrong_choice(wanted, job):
        raise click.UsageError(spoken(wrong))


def refuse_step(wanted: bool, choice: Choice) -> None:
    """Refuse a STEP file where it cannot be made, before anything is worked out.

    Raises:
        click.UsageError: What to install, or what not to ask for at once.
    """
    from handbarrow.drawings.step import has_kernel

    if wanted and choice != WHOLE:
        raise click.UsageError(say("--step goes with the whole folder, not with chosen sheets"))
    if wanted and not has_kernel():
        raise click.UsageError(
            say("--step needs the CAD kernel, which is not installed: pip install 'handbarrow[step]'")
        )


def folder_written(
    job: Job,
    into: Path,
    step: Callable[[str, int, int], None],
    date: str,
    choice: Choice = WHOLE,
    *,
    with_step: bool = False,
) -> list[Path]:
    """Write the folder of sheets, or only a pack of chosen ones; return what was written.

    Raises:
        FilesError: If the system refuses, or a sheet cannot be printed (nothing is written then).
    """
    from handbarrow.sheets.blocks import PackError
    from handbarrow.sheets.folder import write_choice, write_folder

    def action() -> list[Path]:
        if choice == WHOLE:
            return write_folder(job, into, step, date, with_step=with_step)
        return write_choice(as_chosen(job, choice), into, step, date, choice)

    try:
        return guarded(action)
    except PackError as fault:
        raise FilesError(
            say("the pack cannot be printed: {why} (nothing was written)", why=spoken(fault.args[0]))
        ) from fault


def write_whole(path: Path, content: bytes, *, replace: bool = True) -> None:
    """Write a file whole: to a temporary one beside it, then put in its place.

    Raises:
        FilesError: If it cannot be written, or exists and may not be replaced.
    """
    if not replace and path.exists():
        raise FilesError(say("{path} exists; give another name (nothing was written)", path=path))

    guarded(lambda: whole.write_whole(path, content))


def _starts() -> Path:
    """Where the starting designs lie: inside the installed package, or beside it in a checkout."""
    inside = Path(str(package_files("handbarrow"))) / "starts"
    return inside if inside.is_dir() else Path(__file__).parents[3] / "examples"


def write_start(into: Path, like: str, workshop: Path | None) -> list[Path]:
    """Write a starting design (and workshop file); return what was written."""
    folder = _starts()
    wanted = {"hut-trailer": "hut-trailer.yaml", "handcart": "handcart.yaml"}
    if like not in wanted:
        raise FilesError(
            say("no starting design is called {name!r}; there are: {names}", name=like, names=", ".join(sorted(wanted)))
        )
    pairs = [(into, folder / wanted[like])]
    if workshop is not None:
        pairs.append((workshop, folder / "ridge-workshop.yaml"))
    for target, _ in pairs:
        if target.exists():
            raise FilesError(say("{path} exists; give another name (nothing was written)", path=target))
    for target, model in pairs:
        write_whole(target, model.read_bytes(), replace=False)
    return [target for target, _ in pairs]
