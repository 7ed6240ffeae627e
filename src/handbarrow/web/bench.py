"""What every page and call works with: the projects, what was worked out of them, who listens, what is being made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from starlette.requests import HTTPConnection

from handbarrow.job.build import MOST_UNITS
from handbarrow.web import refusals
from handbarrow.web.edit import EditError, replaced, scalar_text
from handbarrow.web.live import Hub
from handbarrow.web.model import Model, Worked
from handbarrow.web.project import Note, Project, Projects, State
from handbarrow.web.versions import Content
from handbarrow.web.work import Works

__all__ = ["Workbench", "bench_of", "size_path"]

LONGEST_TEXT = 500


@dataclass(slots=True)
class Workbench:
    """The workbench of one folder."""

    projects: Projects
    model: Model
    hub: Hub
    works: Works

    def open(self, name: str) -> tuple[Project, State]:
        """Return a project and what it is now.

        Raises:
            RefusedError: If there is none of that name, or its folder does not hold just the two files.
        """
        project = self.projects.project(name)
        return project, project.state()

    def units(self, project: Project, asked: int | None) -> int:
        """Return the units that are asked for, else those of the project's batch."""
        units = project.units if asked is None else asked
        return min(max(units, 1), MOST_UNITS)

    def set_size(self, name: str, base: int, size: str, text: str) -> tuple[State, State]:
        """Set a size to what a person typed.

        A change that was made meanwhile to something else stays: only this size is written anew.

        Args:
            name: Project.
            base: Number of the state that the person saw.
            size: Name of the size.
            text: A number, a quantity or a formula; of a size that is asked for: what its result shall be.

        Returns:
            The state before and after.

        Raises:
            RefusedError: If the size was changed meanwhile (with `yours` and `theirs`), or the text is none that the
                design can be read with; nothing is changed then.
        """
        return self._set(name, base, f"sizes.{size}", text, partial(size_path, size=size))

    def set_role(self, name: str, base: int, role: str, text: str) -> tuple[State, State]:
        """Set what a role is made from; everything else as in `set_size`."""
        return self._set(name, base, f"stock.{role}", text, partial(role_path, role=role))

    def _set(
        self, name: str, base: int, where: str, text: str, path_in: Callable[[str], list[str | int] | None]
    ) -> tuple[State, State]:
        """Write one value of the design anew; `path_in` finds it in a text of the file."""
        project, now = self.open(name)
        text = text.strip()
        self.model.refuse_broken(now, of="design")
        before = now.text
        path = path_in(before)
        kind, _, thing = where.partition(".")
        if path is None:
            raise refusals.no_such_size(thing) if kind == "sizes" else refusals.request_unclear(kind)
        theirs = scalar_text(before, path) or ""
        if base != now.number and theirs != text and _was(project.at(base), path_in) != theirs:
            raise refusals.changed_meanwhile(where, {"yours": text, "theirs": theirs, "number": now.number})
        if not text or len(text) > LONGEST_TEXT or any(ord(sign) < 32 for sign in text):
            raise refusals.request_unclear(where)
        if text == theirs:
            return now, now
        try:
            content = Content(replaced(before, path, text).encode(), now.content.workshop)
        except (EditError, UnicodeEncodeError) as fault:
            raise refusals.request_unclear(where) from fault
        self.model.refuse_broken(State(now.number, content, now.design_file, now.workshop_file), of="design")
        after = project.save(now, content, Note("size", {"name": thing, "was": theirs, "now": text}))
        return now, after

    def compared(
        self, project: Project, base: int, state: State, units: int, *, cutting: bool
    ) -> tuple[Worked, Worked]:
        """Return what an earlier state and this one come to.

        Raises:
            RefusedError: If the earlier one is no longer there.
        """
        earlier = project.at(base)
        if earlier is None:
            raise refusals.no_such_version(base)
        old = self.model.worked(earlier, units, cutting=cutting)
        return old, self.model.worked(state, units, cutting=cutting)


def bench_of(connection: HTTPConnection) -> Workbench:
    """Return the workbench that a request came to."""
    found: Workbench = connection.app.state.bench
    return found


def size_path(text: str, size: str) -> list[str | int] | None:
    """Return where a person writes a size: its value, or what is asked of it; None if there is no such size."""
    for path in (["sizes", size, "equals"], ["sizes", size, "value"], ["sizes", size]):
        if scalar_text(text, path) is not None:
            return list(path)
    return None


def role_path(text: str, role: str) -> list[str | int] | None:
    """Return where it is written what a role is made from; None if there is no such role."""
    path: list[str | int] = ["stock", role]
    return path if scalar_text(text, path) is not None else None


def _was(seen: State | None, path_in: Callable[[str], list[str | int] | None]) -> str | None:
    """What stood there in the state that a person saw; None if that can no longer be told."""
    if seen is None:
        return None
    try:
        path = path_in(seen.text)
        return None if path is None else scalar_text(seen.text, path)
    except EditError:
        return None


def sheets_folder(project: Project) -> Path:
    """Return the folder of a project's sheets."""
    from handbarrow.web.project import SHEETS

    return project.folder / SHEETS
