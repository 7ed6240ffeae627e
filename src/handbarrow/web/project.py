"""Projects: a folder with one design file and one workshop file each. The files are the truth; nothing is kept beside.

A change made by another program is noticed when the project is next looked at, and becomes a saved state like any
other. Files are written whole, after copies of the new state were kept.
"""

from __future__ import annotations

import contextlib
import datetime
import os
import re
import threading
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from handbarrow.findings import Finding
from handbarrow.sheets.whole import clear_unfinished, write_whole
from handbarrow.web import refusals
from handbarrow.web.versions import Content, Kind, Version, Versions

__all__ = ["SHEETS", "Note", "Project", "Projects", "State"]

HEADER = re.compile(rb"^(?:\xef\xbb\xbf)?handbarrow:[ \t]*[\"']?(design|workshop)\b", re.MULTILINE)
HEAD_BYTES = 16_384
SHEETS = "sheets"
"""Folder within a project where its sheets are written."""
UNITS = "units.txt"
LONGEST_NAME = 80
MOST_BYTES = 4_000_000
"""More than any reader takes; what is larger is not even looked at."""


@dataclass(frozen=True, slots=True)
class State:
    """Both files of a project at one moment, and the number of the saved state that they are."""

    number: int
    content: Content
    design_file: str
    workshop_file: str

    @property
    def digest(self) -> str:
        """Digest of both files."""
        return "-".join(self.content.digests)

    @property
    def text(self) -> str:
        """Text of the design file, with its line ends as they are."""
        return self.content.design.decode("utf-8", "replace")


@dataclass(frozen=True, slots=True)
class Note:
    """What a saved state is noted as: name of the words, values in them."""

    what: str
    values: Mapping[str, str]
    kind: Kind = "change"
    at: int = 0


class Project:
    """One project. All methods may be called from several threads."""

    def __init__(self, folder: Path, now: Callable[[], datetime.datetime]) -> None:
        self.folder = folder
        self.name = folder.name
        self.versions = Versions(folder)
        self._now = now
        self._lock = threading.RLock()
        self._held = 0
        self._seen: tuple[tuple[object, ...], State] | None = None

    # -------------------------------------------------------------------------------------------- reading
    def files(self) -> tuple[Path, Path]:
        """Return the design file and the workshop file.

        Raises:
            RefusedError: If there is not exactly one of each.
        """
        kinds = files_by_kind(self.folder)
        designs, workshops = kinds["design"], kinds["workshop"]
        if len(designs) != 1 or len(workshops) != 1:
            raise refusals.RefusedError(404, [refusals.project_unclear(self.name, len(designs), len(workshops))])
        return designs[0], workshops[0]

    def state(self) -> State:
        """Return what stands on the disk now; a change by another program becomes a saved state first."""
        with self._locked():
            return self._state()

    def _state(self) -> State:
        design, workshop = self.files()
        stamp = (_stamp(design), _stamp(workshop), _stamp(self.versions.folder / "states.txt"))
        if self._seen is not None and self._seen[0] == stamp:
            return self._seen[1]
        content = Content(_read(design), _read(workshop))
        last = self.versions.last()
        if last is None or last.digests != content.digests:
            self.versions.keep(content)
            last = self._note(content, self._noticed(last, content))
        state = State(last.number, content, design.name, workshop.name)
        stamp = (_stamp(design), _stamp(workshop), _stamp(self.versions.folder / "states.txt"))
        self._seen = (stamp, state)
        return state

    def _noticed(self, last: Version | None, content: Content) -> Note:
        """What a state is noted as that did not come through here."""
        if last is None:
            return Note("opened", {}, "start")
        pairs = zip(self.files(), last.digests, content.digests, strict=True)
        changed = ", ".join(path.name for path, was, now in pairs if was != now)
        return Note("beside", {"files": changed}, "beside")

    def at(self, number: int) -> State | None:
        """Return the project as it was in a saved state; None if it is no longer there."""
        version = self.versions.of(number)
        content = self.versions.content(version) if version is not None else None
        if version is None or content is None:
            return None
        design, workshop = self.files()
        return State(number, content, design.name, workshop.name)

    # -------------------------------------------------------------------------------------------- writing
    def save(self, base: State, content: Content, note: Note) -> State:
        """Write a new state, and return it.

        Args:
            base: The state that the new one was made from.
            content: Both files as they are to be.
            note: What was changed.

        Raises:
            RefusedError: If the files are no longer those of `base`.
            OSError: If they cannot be written.
        """
        with self._locked():
            now = self._state()
            if now.content.digests != base.content.digests:
                raise refusals.changed_meanwhile("project", {"number": now.number})
            if content.digests == now.content.digests and note.kind == "change":
                return now
            for folder in (self.folder, self.versions.folder):
                clear_unfinished(folder)
            self.versions.keep(content)
            for path, was, wanted in zip(
                self.files(),
                (now.content.design, now.content.workshop),
                (content.design, content.workshop),
                strict=True,
            ):
                if was != wanted:
                    write_whole(path, wanted)
            self._note(content, note)
            return self._state()

    def step(self, base: int, *, again: bool) -> State:
        """Undo the last change, or do it again.

        Raises:
            RefusedError: If there is nothing to undo, or the project has changed since `base`.
        """
        with self._locked():
            now = self._state()
            if now.number != base:
                raise refusals.changed_meanwhile("project", {"number": now.number})
            steps = self.versions.steps()
            leads = steps.redo if again else steps.undo
            if not leads:
                raise refusals.nothing_to_undo(again=again)
            return self._back(now, leads[-1], "redo" if again else "undo")

    def restore(self, number: int) -> State:
        """Bring a saved state back; the one of now stays saved.

        Raises:
            RefusedError: If there is none of that number.
        """
        with self._locked():
            return self._back(self._state(), number, "restore")

    def _back(self, now: State, number: int, kind: Kind) -> State:
        version = self.versions.of(number)
        content = self.versions.content(version) if version is not None else None
        if content is None:
            raise refusals.no_such_version(number)
        return self.save(now, content, Note(kind, {"number": str(number)}, kind, number))

    def _note(self, content: Content, note: Note) -> Version:
        """Put a state, of which copies were kept, on the list."""
        last = self.versions.last()
        design, workshop = content.digests
        version = Version(
            number=1 if last is None else last.number + 1,
            time=self._now().isoformat(timespec="seconds"),
            kind=note.kind,
            what=note.what,
            design=design,
            workshop=workshop,
            values=note.values,
            at=note.at,
        )
        self.versions.add(version)
        return version

    # -------------------------------------------------------------------------------------------- units
    @property
    def units(self) -> int:
        """Units of the batch that is being looked at, 1 if nobody said."""
        try:
            return max(1, int((self.versions.folder / UNITS).read_text()[:9]))
        except (OSError, ValueError):
            return 1

    def set_units(self, units: int) -> None:
        """Remember the units of the batch."""
        with self._locked():
            self.versions.folder.mkdir(exist_ok=True)
            write_whole(self.versions.folder / UNITS, f"{units}\n".encode())

    @contextlib.contextmanager
    def _locked(self) -> Iterator[None]:
        """One at a time, also among several programs where the system can do that."""
        with self._lock:
            lock = None if self._held else _file_lock(self.versions.folder)
            self._held += 1
            try:
                yield
            finally:
                self._held -= 1
                if lock is not None:
                    os.close(lock)


class Projects:
    """All projects in one folder."""

    def __init__(self, root: Path, now: Callable[[], datetime.datetime] | None = None) -> None:
        self.root = root
        self._now = now or (lambda: datetime.datetime.now(datetime.UTC))
        self._open: dict[str, Project] = {}
        self._lock = threading.Lock()

    def names(self) -> list[str]:
        """Return the names of all projects, in order; other folders are left out."""
        return [name for name in self._folders() if all(len(f) == 1 for f in files_by_kind(self.root / name).values())]

    def unclear(self) -> list[Finding]:
        """Return a finding for each folder that holds some of the files of a project but not just one of each."""
        out = []
        for name in self._folders():
            designs, workshops = (len(found) for found in files_by_kind(self.root / name).values())
            if (designs, workshops) not in ((0, 0), (1, 1)):
                out.append(refusals.project_unclear(name, designs, workshops))
        return out

    def project(self, name: str) -> Project:
        """Return a project by its name.

        Raises:
            RefusedError: If there is no folder of exactly that name.
        """
        if name not in self._folders():
            raise refusals.no_such_project(name)
        with self._lock:
            if name not in self._open:
                self._open[name] = Project(self.root / name, self._now)
            return self._open[name]

    def create(self, title: str, content: Content) -> Project:
        """Make a project of a new folder; its name is made from the title and is free.

        Raises:
            OSError: If it cannot be written.
        """
        name = _free_name(title, {known.lower() for known in self._folders(hidden=True)})
        folder = self.root / name
        folder.mkdir(parents=True)
        write_whole(folder / "design.yaml", content.design)
        write_whole(folder / "workshop.yaml", content.workshop)
        return self.project(name)

    def _folders(self, *, hidden: bool = False) -> list[str]:
        """Names of folders that lie in the root itself and lead nowhere else."""
        try:
            found = sorted(entry.name for entry in os.scandir(self.root) if entry.is_dir(follow_symlinks=False))
        except OSError:
            return []
        return [name for name in found if hidden or not name.startswith(".")]


def _free_name(title: str, taken: set[str]) -> str:
    """A name for a folder: small letters, digits and `-`, with a number where it is taken."""
    stem = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:LONGEST_NAME] or "project"
    name, number = stem, 1
    while name in taken:
        number += 1
        name = f"{stem}-{number}"
    return name


def files_by_kind(folder: Path) -> dict[str, list[Path]]:
    """Return the YAML files of a folder that say they are a design or a workshop file."""
    out: dict[str, list[Path]] = {"design": [], "workshop": []}
    try:
        entries = sorted(entry.name for entry in os.scandir(folder) if entry.is_file(follow_symlinks=False))
    except OSError:
        return out
    for name in entries:
        if name.startswith(".") or not name.lower().endswith((".yaml", ".yml")):
            continue
        kind = _kind(folder / name)
        if kind:
            out[kind].append(folder / name)
    return out


def _kind(path: Path) -> str:
    try:
        with path.open("rb") as stream:
            found = HEADER.search(stream.read(HEAD_BYTES))
    except OSError:
        return ""
    return found[1].decode() if found else ""


def _read(path: Path) -> bytes:
    with path.open("rb") as stream:
        raw = stream.read(MOST_BYTES + 1)
    if len(raw) > MOST_BYTES:
        raise refusals.too_large(MOST_BYTES)
    return raw


def _stamp(path: Path) -> tuple[int, int, int]:
    """What changes when a file is written: its time, size and number on the disk."""
    try:
        stat = path.stat()
    except OSError:
        return (0, 0, 0)
    return stat.st_mtime_ns, stat.st_size, stat.st_ino


def _file_lock(folder: Path) -> int | None:
    """Hold a lock of the system on the folder of saved states; closing it gives it back."""
    try:
        import fcntl
    except ImportError:  # no such locks on this system
        return None
    with contextlib.suppress(OSError):
        folder.mkdir(exist_ok=True)
        handle = os.open(folder / "lock", os.O_CREAT | os.O_RDWR, 0o644)
        fcntl.flock(handle, fcntl.LOCK_EX)
        return handle
    return None
