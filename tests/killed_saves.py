"""Saves a project again and again and is killed (SIGKILL) at another line of the saving each time; run as a program.

    python killed_saves.py FOLDER TIMES

FOLDER is a project. Each save runs in a child; the line at which it dies is the next of all lines that a save runs
through, evenly spread over TIMES. Prints as JSON what stood in the files after each kill: `old`, `new` or `torn`.
"""

from __future__ import annotations

import datetime
import json
import os
import signal
import sys
from pathlib import Path
from types import FrameType
from typing import Any

from handbarrow.web.project import Note, Project
from handbarrow.web.versions import Content

WATCHED = ("web/project.py", "web/versions.py", "sheets/whole.py")
MOMENT = datetime.datetime(2026, 5, 31, tzinfo=datetime.UTC)


class Killer:
    """Counts lines, and kills its process at one of them."""

    def __init__(self, at: int) -> None:
        self.at = at
        self.count = 0

    def __call__(self, frame: FrameType, event: str, _: Any) -> Any:
        if not frame.f_code.co_filename.endswith(WATCHED):
            return None
        if event == "line":
            self.count += 1
            if self.count == self.at:
                os.kill(os.getpid(), signal.SIGKILL)
        return self


def content(number: int, workshop: bytes, length: int) -> Content:
    """A design that says its number on every line, so that a mixture of two shows."""
    lines = "".join(f"# {number}\n" for _ in range(length))
    return Content(f"handbarrow: design 1\nname: cart {number}\n{lines}".encode(), workshop)


def save(folder: Path, wanted: Content, at: int) -> int:
    """Save in this process, to be killed at a line; return how many lines it took."""
    project = Project(folder, lambda: MOMENT)
    state = project.state()
    killer = Killer(at)
    sys.settrace(killer)
    project.save(state, wanted, Note("size", {"name": "bed_length"}))
    sys.settrace(None)
    return killer.count


def killed(folder: Path, wanted: Content, at: int) -> bool:
    """Save in a child; return whether it was killed."""
    child = os.fork()
    if child == 0:
        save(folder, wanted, at)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    return os.WIFSIGNALED(status)


def verdict(folder: Path, old: Content, new: Content) -> str:
    """What stands on the disk, and whether the project goes on from there."""
    raw = (folder / "design.yaml").read_bytes()
    if raw not in (old.design, new.design):
        return "torn"
    project = Project(folder, lambda: MOMENT)
    state = project.state()
    if state.content.design != raw or project.restore(1).content.design == raw:
        return "lost"
    project.restore(state.number)
    return "old" if raw == old.design else "new"


def main(folder: Path, times: int) -> None:
    """Kill saves, and tell what was found."""
    workshop = (folder / "workshop.yaml").read_bytes()
    lines = save(folder, content(0, workshop, 3000), 0)
    told = []
    for number in range(1, times + 1):
        old = Project(folder, lambda: MOMENT).state().content
        new = content(number, workshop, 3000)
        was_killed = killed(folder, new, 1 + (number - 1) * lines // times)
        told.append([was_killed, verdict(folder, old, new)])
    print(json.dumps({"lines": lines, "told": told, "left": [p.name for p in folder.iterdir()]}))


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
