"""Forms of pages: what a person sent, as plain texts and files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import UploadFile

__all__ = ["Sent", "SentForm", "plain"]

MOST_FIELDS = 5000
MOST_FILES = 4


@dataclass(frozen=True, slots=True)
class SentForm:
    """What a form sent. Of a field that came twice the last one counts, but for `every`."""

    texts: Mapping[str, str]
    every: Mapping[str, tuple[str, ...]]
    files: Mapping[str, tuple[str, bytes]]
    """Field -> name of the file, its bytes; fields without a file are absent."""

    def text(self, name: str) -> str:
        """A text without white at its ends; empty if there is none."""
        return self.texts.get(name, "").strip()

    def number(self, name: str, least: int, most: int) -> int | None:
        """A whole number between two others; None if it is none."""
        text = self.text(name)
        value = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else None
        return value if value is not None and least <= value <= most else None


async def _sent(request: Request) -> SentForm:
    async with request.form(max_files=MOST_FILES, max_fields=MOST_FIELDS) as form:
        every: dict[str, tuple[str, ...]] = {}
        files: dict[str, tuple[str, bytes]] = {}
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                content = await value.read()
                if value.filename or content:
                    files[name] = (value.filename or "", content)
            else:
                every[name] = (*every.get(name, ()), value)
        return SentForm({name: values[-1] for name, values in every.items()}, every, files)


Sent = Annotated[SentForm, Depends(_sent)]


def plain(text: str, longest: int = 100) -> str:
    r"""Return a text in one line without signs that do not print.

    >>> plain("Hut  trailer\n2\x00")
    'Hut trailer 2'
    """
    return " ".join("".join(s if s.isprintable() else " " for s in text).split())[:longest].strip()
