"""What was ticked off and measured at the bench: plain JSON lines in the project's folder, one for each entry."""

from __future__ import annotations

import json
import os
import threading
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

__all__ = ["FILE", "Book", "Entry", "done"]

FILE = "bench.jsonl"
Json = dict[str, Any]
_writing = threading.Lock()


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry. Of two for the same station, task and field the later one counts.

    Attributes:
        time: When the server took it.
        station: At which station.
        task: Key of the task: what it is and the digest of its numbers.
        field: `done-3` a piece, `count` how many are done, `size piece` a measured value.
        value: As it was given: `1` or empty for a tick, else what was typed.
        design: Digest of the design file; `workshop` likewise.
        at: When the person did it, by the phone's clock; empty if that is not known.
        number: A measured value as a number, in the unit that the shop reads.
        inside: Whether a measured value lies within the limits.
    """

    time: str
    station: str
    task: str
    field: str
    value: str
    design: str
    workshop: str
    at: str = ""
    number: float | None = None
    inside: bool | None = None


@dataclass(slots=True)
class Book:
    """The entries of a project."""

    folder: Path
    _seen: tuple[int, int] = (-1, -1)
    _known: dict[tuple[str, str, str], Entry] = field(default_factory=dict)

    def add(self, entries: Iterable[Entry]) -> None:
        """Write entries, and see them onto the disk."""
        lines = "".join(
            json.dumps({name: getattr(entry, name) for name in Entry.__slots__}, ensure_ascii=False) + "\n"
            for entry in entries
        )
        if not lines:
            return
        with _writing, (self.folder / FILE).open("ab+") as stream:
            if stream.tell() and not _ends_a_line(stream):
                stream.write(b"\n")
            stream.write(lines.encode())
            stream.flush()
            os.fsync(stream.fileno())

    def all(self) -> Mapping[tuple[str, str, str], Entry]:
        """Return what counts now, by station, task and field."""
        try:
            stat = (self.folder / FILE).stat()
        except OSError:
            return {}
        if self._seen != (stat.st_size, stat.st_mtime_ns):
            text = (self.folder / FILE).read_text(encoding="utf-8", errors="replace")
            entries = (entry for line in text.splitlines() if (entry := _entry(line)) is not None)
            self._known = {(entry.station, entry.task, entry.field): entry for entry in entries}
            self._seen = (stat.st_size, stat.st_mtime_ns)
        return self._known

    def of(self, station: str, task: str) -> dict[str, Entry]:
        """Return what counts of a task, by field."""
        return {name: entry for (s, t, name), entry in self.all().items() if (s, t) == (station, task)}

    def older(self, station: str, what: str, task: str) -> int:
        """Return how many ticks there are of the same thing with other numbers."""
        return sum(
            _ticks(entry)
            for (s, t, _), entry in self.all().items()
            if s == station and t != task and t.rpartition(" ")[0] == what
        )


def done(entries: Mapping[str, Entry]) -> int:
    """Return how many pieces are ticked off."""
    return sum(_ticks(entry) for entry in entries.values())


def _ticks(entry: Entry) -> int:
    if entry.field == "count":
        return int(entry.value) if entry.value.isascii() and entry.value.isdigit() else 0
    return 1 if entry.field.startswith("done-") and entry.value else 0


def _ends_a_line(stream: Any) -> bool:
    stream.seek(-1, os.SEEK_END)
    return bool(stream.read(1) == b"\n")


def _entry(line: str) -> Entry | None:
    """Return what a line says, None if it was cut off or is none."""
    try:
        found = json.loads(line)
        texts = {name: str(found[name]) for name in ("time", "station", "task", "field", "value", "design", "workshop")}
        number, inside = found.get("number"), found.get("inside")
        return Entry(
            **texts,
            at=str(found.get("at", "")),
            number=float(number) if isinstance(number, int | float) else None,
            inside=inside if isinstance(inside, bool) else None,
        )
    except (ValueError, KeyError, TypeError):
        return None
