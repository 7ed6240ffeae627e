"""Job data as text: written so that a person can read it and two revisions can be compared line by line."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

__all__ = ["job_text"]

_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(", ", ": "))


def job_text(document: dict[str, Any]) -> str:
    """Return the document as JSON text: two spaces a level, but a list of numbers (or of number lists) in one line."""
    out: list[str] = []
    _write(document, "", out)
    out.append("\n")
    return "".join(out)


def _is_flat(values: Sequence[Any]) -> bool:
    """Whether a list holds numbers only, or lists of numbers only."""
    first = values[0]
    if isinstance(first, list):
        return bool(first) and not isinstance(first[0], dict | list | str)
    return not isinstance(first, dict | str)


def _write(value: Any, margin: str, out: list[str]) -> None:
    if isinstance(value, dict) and value:
        inner = margin + "  "
        opening = "{\n"
        for key, item in value.items():
            out.append(f"{opening}{inner}{_ENCODER.encode(key)}: ")
            _write(item, inner, out)
            opening = ",\n"
        out.append(f"\n{margin}}}")
    elif isinstance(value, list) and value and not _is_flat(value):
        inner = margin + "  "
        opening = "[\n"
        for item in value:
            out.append(opening + inner)
            _write(item, inner, out)
            opening = ",\n"
        out.append(f"\n{margin}]")
    else:
        out.append(_ENCODER.encode(value))
