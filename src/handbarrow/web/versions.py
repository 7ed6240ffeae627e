"""Saved states of a project: plain copies of both files in a hidden folder, and a line for each state in a list.

`.versions/states.txt` has one JSON line for each state, oldest first: number, time, what was changed, and the names of
the copies. A copy is named by the digest of its bytes, so a state that comes back needs no new one. A last line that
was cut off by a power cut is passed over.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Literal, cast

from handbarrow.sheets.whole import write_whole

__all__ = ["FOLDER", "Content", "Kind", "Steps", "Version", "Versions"]

FOLDER = ".versions"
LIST = "states.txt"
Kind = Literal["start", "change", "beside", "undo", "redo", "restore"]
"""`beside`: changed by another program."""
KINDS = ("start", "change", "beside", "undo", "redo", "restore")


@dataclass(frozen=True, slots=True)
class Content:
    """Both files of a project as bytes."""

    design: bytes
    workshop: bytes

    @property
    def digests(self) -> tuple[str, str]:
        """First sixteen hex digits of the SHA-256 of each."""
        return _digest(self.design), _digest(self.workshop)


@dataclass(frozen=True, slots=True)
class Version:
    """A saved state.

    Attributes:
        number: From 1.
        time: When it was saved, as `2026-11-25T12:45:28+00:00`.
        kind: How it came about.
        what: Name of what was changed in `words.WHAT`.
        values: What stands in the places of those words.
        design: Digest of the design file; `workshop` likewise.
        at: For `undo`, `redo` and `restore`: the state that came back.
    """

    number: int
    time: str
    kind: Kind
    what: str
    design: str
    workshop: str
    values: Mapping[str, str] = field(default_factory=dict)
    at: int = 0

    @property
    def digests(self) -> tuple[str, str]:
        """Digests of both files."""
        return self.design, self.workshop


@dataclass(frozen=True, slots=True)
class Steps:
    """Where undo and redo lead: numbers of states, the next one last. `now`: the state that the files are as."""

    undo: Sequence[int]
    redo: Sequence[int]
    now: int


class Versions:
    """The saved states of one project."""

    def __init__(self, project: Path) -> None:
        self.folder = project / FOLDER
        self._seen: tuple[int, int] = (-1, -1)
        self._all: list[Version] = []

    def all(self) -> list[Version]:
        """Return every saved state, oldest first; read again only if the list was changed."""
        try:
            stat = (self.folder / LIST).stat()
        except OSError:
            self._seen, self._all = (-1, -1), []
            return self._all
        if self._seen != (stat.st_size, stat.st_mtime_ns):
            text = (self.folder / LIST).read_text(encoding="utf-8", errors="replace")
            self._all = [version for line in text.splitlines() if (version := _version(line)) is not None]
            self._seen = (stat.st_size, stat.st_mtime_ns)
        return self._all

    def last(self) -> Version | None:
        """Return the newest state, None if there is none."""
        known = self.all()
        return known[-1] if known else None

    def of(self, number: int) -> Version | None:
        """Return a state by its number."""
        return next((version for version in reversed(self.all()) if version.number == number), None)

    def content(self, version: Version) -> Content | None:
        """Return the files of a state; None if a copy was taken away or changed."""
        found = [self._copy("design", version.design), self._copy("workshop", version.workshop)]
        return None if None in found else Content(cast(bytes, found[0]), cast(bytes, found[1]))

    def keep(self, content: Content) -> None:
        """Write copies of both files, where there is none yet."""
        self.folder.mkdir(exist_ok=True)
        for kind, digest, raw in zip(("design", "workshop"), content.digests, (content.design, content.workshop),
                                     strict=True):  # fmt: skip
            if self._copy(kind, digest) is None:
                write_whole(self._path(kind, digest), raw)

    def add(self, version: Version) -> None:
        """Put a state on the list, and see it onto the disk."""
        known = list(self.all())
        line = json.dumps(asdict(version), ensure_ascii=False) + "\n"
        with (self.folder / LIST).open("ab+") as stream:
            if stream.tell() and not _ends_a_line(stream):
                line = "\n" + line
            stream.write(line.encode())
            stream.flush()
            os.fsync(stream.fileno())
            stat = os.fstat(stream.fileno())
        self._all, self._seen = [*known, version], (stat.st_size, stat.st_mtime_ns)

    def steps(self) -> Steps:
        """Return where undo and redo lead from the newest state."""
        undo: list[int] = []
        redo: list[int] = []
        now = 0
        for version in self.all():
            if version.kind == "undo" and undo:
                redo.append(now)
                now = undo.pop()
            elif version.kind == "redo" and redo:
                undo.append(now)
                now = redo.pop()
            else:
                undo += [now] if now else []
                redo.clear()
                now = version.number
        return Steps(undo, redo, now)

    def _path(self, kind: str, digest: str) -> Path:
        return self.folder / f"{kind}-{digest}.yaml"

    def _copy(self, kind: str, digest: str) -> bytes | None:
        try:
            raw = self._path(kind, digest).read_bytes()
        except OSError:
            return None
        return raw if _digest(raw) == digest else None


def _digest(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()[:16]


def _ends_a_line(stream: Any) -> bool:
    stream.seek(-1, os.SEEK_END)
    return bool(stream.read(1) == b"\n")


def _version(line: str) -> Version | None:
    """Return what a line of the list says, None if it was cut off or is none."""
    try:
        found: Any = json.loads(line)
        hexadecimal = all(set(found[name]) <= set("0123456789abcdef") for name in ("design", "workshop"))
        if not hexadecimal or found["kind"] not in KINDS:
            return None
        return Version(
            number=int(found["number"]),
            time=str(found["time"]),
            kind=found["kind"],
            what=str(found["what"]),
            design=str(found["design"]),
            workshop=str(found["workshop"]),
            values={str(name): str(value) for name, value in dict(found["values"]).items()},
            at=int(found["at"]),
        )
    except (ValueError, KeyError, TypeError):
        return None
