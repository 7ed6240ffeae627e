"""The whole folder of a batch: job data, pack, tables, drawings. Nothing is ever half-written in it.

Everything is made in a hidden folder beside the wanted one and then put in place file by file. `files.txt` lists what
was written, with digests: the next writing takes away what it no longer makes (no old sheet stays on the bench), but
only files that nobody has changed. Job data of earlier digests stay, the last few: see `earlier`.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping, Set
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from functools import partial
from pathlib import Path, PurePosixPath

from handbarrow.job.values import Job
from handbarrow.language import said, speaking
from handbarrow.sheets import earlier
from handbarrow.sheets.blocks import PackError
from handbarrow.sheets.choice import TEMPLATES, Choice, Chosen
from handbarrow.sheets.second import Portions, at_hand

__all__ = ["Progress", "listed_files", "safe_name", "write_choice", "write_folder"]

Progress = Callable[[str, int, int], None]
"""(what is being made, how many are done, how many there are)."""

LIST = "files.txt"


def write_folder(job: Job, into: Path, progress: Progress, date: str, *, with_step: bool = False) -> list[Path]:
    """Write everything for a batch, with the `second_process` if there is one: the files are the same without.

    Args:
        job: The job.
        into: Folder to write to; made if it is not there.
        progress: Told before each file and at the end.
        date: Date on the sheets, YYYY-MM-DD.
        with_step: Whether to write the product as a STEP file too (needs the extra `step`).

    Returns:
        Paths of the files, the ones a person wants first first.

    Raises:
        PackError: If the pack cannot be printed; nothing is changed then.
        OSError: If a file cannot be written.
    """
    with speaking(job.workshop.language):
        paths = _folder_written(job, into, partial(_contents, job, progress, date, with_step))
        progress(said("done"), len(paths), len(paths))
    return paths


def _folder_written(job: Job, into: Path, contents: Callable[[], Iterator[tuple[str, bytes]]]) -> list[Path]:
    into.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(prefix=f".{safe_name(into.name)}-", dir=into.parent))
    try:
        kept = earlier.keep(into, listed_files(into), job)
        with _writing(beside) as write:
            digests = dict(kept.digests)
            for name, content in kept.fresh.items():
                write(name, content)
            names = []
            for name, content in contents():
                digests[name] = hashlib.sha256(content).hexdigest()
                write(name, content)
                names.append(name)
            write(LIST, _list_text(digests))
        _put_in_place(beside, into, digests, stay=kept.digests.keys() - kept.fresh.keys())
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return [into / name for name in names]


def _contents(job: Job, progress: Progress, date: str, with_step: bool) -> Iterator[tuple[str, bytes]]:
    """The files, in their order; the progress is told before each portion of work."""
    second = at_hand()
    shared = second.portions if second and second.goes_on(job, date, with_step) else Portions()
    from handbarrow.sheets.folder_portions import folder_makes, folder_portions, made

    portions = folder_portions(job, date, with_step)
    shared.offer(folder_makes(job, date, portions))
    done, total = 0, sum(len(portion.names) for portion in portions)
    for portion in portions:
        progress(portion.says, done, total)
        yield from made(job, date, portion, shared).items()
        done += len(portion.names)


def write_choice(job: Job, into: Path, progress: Progress, date: str, choice: Choice) -> list[Path]:
    """Write a pack of chosen sheets beside whatever lies in the folder, and nothing else.

    If the folder has a list of its files the pack is put on it, so that the next writing of the whole folder takes the
    then old sheets away.

    Args:
        job: The job, on the paper that is wanted.
        into: Folder to write to; made if it is not there.
        progress: Told before and at the end.
        date: Date on the sheets, YYYY-MM-DD.
        choice: Which sheets.

    Returns:
        Path of the pack.

    Raises:
        PackError: If it cannot be printed, or there is no sheet of that choice; nothing is changed then.
        OSError: If it cannot be written.
    """
    progress(said("printing the pack"), 0, 1)
    with speaking(job.workshop.language):
        content = _chosen_sheets(job, date, choice)
    listed = listed_files(into)
    into.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(prefix=f".{safe_name(into.name)}-", dir=into.parent))
    try:
        _write(beside / choice.file, content)
        (beside / choice.file).replace(into / choice.file)
        if listed:
            listed[choice.file] = hashlib.sha256(content).hexdigest()
            _write(beside / LIST, _list_text(listed))
            (beside / LIST).replace(into / LIST)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    progress(said("done"), 1, 1)
    return [into / choice.file]


def _chosen_sheets(job: Job, date: str, choice: Choice) -> bytes:
    """The chosen sheets as PDF; templates, which are a book of their own, also of a part that is asked for by name."""
    from handbarrow.sheets.pack import write_pack
    from handbarrow.sheets.pictures import pack_drawings
    from handbarrow.sheets.templates import templates, write_templates

    if choice.station != TEMPLATES:
        return write_pack(job, pack_drawings(job), date, choice)
    found = templates(Chosen(choice, job).job, (choice.part,))
    if not found:
        raise PackError(said("there is no sheet of that choice"))
    return write_templates(job, found, date)


def safe_name(name: str) -> str:
    """Return a file name that is a plain name everywhere: letters, digits, `-`, `_`, `.`, not hidden, not too long.

    >>> safe_name("outer-hoop"), safe_name("../etc/passwd")
    ('outer-hoop', 'etc-passwd')
    """
    return re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip(".-_")[:80] or "part"


# ------------------------------------------------------------------------------------------------ putting in place
def _write(path: Path, content: bytes) -> None:
    """Write a file and see that it is on the disk: power comes and goes."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


@contextmanager
def _writing(folder: Path) -> Iterator[Callable[[str, bytes], object]]:
    """Yield what writes files while the next ones are being made; all are on the disk when the `with` ends well."""
    begun: list[Future[None]] = []
    with ThreadPoolExecutor(4) as hands:
        yield lambda name, content: begun.append(hands.submit(_write, folder / name, content))
    for one in begun:
        one.result()


def _put_in_place(beside: Path, into: Path, digests: dict[str, str], *, stay: Set[str] = frozenset()) -> None:
    """Move the files to where they belong; those to `stay` lie there already."""
    old = listed_files(into)
    into.mkdir(exist_ok=True)
    for name in [name for name in (*digests, LIST) if name not in stay]:
        target = into / name
        _refuse_to_leave(target.parent, into)
        target.parent.mkdir(parents=True, exist_ok=True)
        (beside / name).replace(target)
    for name, digest in old.items():
        if name not in digests:
            _take_away(into, name, digest)


def _refuse_to_leave(folder: Path, into: Path) -> None:
    """A link in the folder must not lead the writing out of it."""
    if not folder.resolve().is_relative_to(into.resolve()):
        raise FileExistsError(17, "a link leads out of the folder", str(folder))


def _list_text(digests: Mapping[str, str]) -> bytes:
    return "".join(f"{digest}  {name}\n" for name, digest in digests.items()).encode()


def listed_files(into: Path) -> dict[str, str]:
    """Return name -> digest of what an earlier writing left; nothing if there is no list that can be read."""
    try:
        text = (into / LIST).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return {}
    rows = (re.fullmatch(r"([0-9a-f]{64})  (.+)", line) for line in text.splitlines())
    return {row[2]: row[1] for row in rows if row and not _is_odd(row[2])}


def _is_odd(name: str) -> bool:
    path = PurePosixPath(name)
    return path.is_absolute() or ".." in path.parts or "\\" in name or ":" in name


def _take_away(into: Path, name: str, digest: str) -> None:
    """Take away a file that is no longer made, if nobody has changed it."""
    path = into / name
    if path.is_symlink() or not path.is_file() or not path.resolve().is_relative_to(into.resolve()):
        return
    if hashlib.sha256(path.read_bytes()).hexdigest() == digest:
        path.unlink()
