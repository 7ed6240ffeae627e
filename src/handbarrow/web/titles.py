"""What the files of a project call themselves."""

from __future__ import annotations

from handbarrow.web.edit import EditError, read_at
from handbarrow.web.project import State

__all__ = ["design_name", "top"]


def top(text: str, key: str) -> str:
    """Return a text at the top of a file; empty if there is none, or the file cannot be read."""
    try:
        found = read_at(text, [key])
    except (EditError, RecursionError):
        return ""
    return found if isinstance(found, str) else ""


def design_name(state: State) -> str:
    """Return the name of the design; of its file if it has none."""
    return top(state.text, "name") or state.design_file
