"""The command line in the language that the environment asks for: our own helps, and Click's words around them."""

from __future__ import annotations

import copy
import gettext
import os
import tempfile
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TypeVar

import click

from handbarrow.language import asked_for, say

Command = TypeVar("Command", bound=click.Command)
__all__ = ["in_their_language", "terminal_language"]

DOMAIN = "messages"
"""Click asks gettext for its words in the usual domain."""


def terminal_language() -> str:
    """Return the language of the terminal, and let Click speak it too."""
    language = asked_for(os.environ)
    if language != "en":
        _teach_click(language)
    return language


def in_their_language(group: click.Group) -> click.Group:
    """Return a group of commands with its helps in the language that is being spoken."""
    out = _spoken(group)
    out.commands = {name: _spoken(command) for name, command in group.commands.items()}
    return out


def _spoken(command: Command) -> Command:
    out = copy.copy(command)
    out.help = _said(command.help)
    out.epilog = _said(command.epilog)
    out.options_metavar = say("[OPTIONS]")
    out.params = [copy.copy(parameter) for parameter in command.params]
    for parameter in out.params:
        if isinstance(parameter, click.Option):
            parameter.help = _said(parameter.help)
    return out


def _said(text: str | None) -> str | None:
    return None if text is None else say(text)


@cache
def _teach_click(language: str) -> tempfile.TemporaryDirectory[str] | None:
    """Give gettext a compiled catalogue of Click's words, for as long as the program runs (the cache keeps it)."""
    source = files("handbarrow.language").joinpath("catalogues", f"click-{language}.po")
    if not source.is_file():
        return None
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    folder = tempfile.TemporaryDirectory(prefix="handbarrow-")
    compiled = Path(folder.name) / language / "LC_MESSAGES" / f"{DOMAIN}.mo"
    compiled.parent.mkdir(parents=True)
    with source.open("rb") as read, compiled.open("wb") as written:
        write_mo(written, read_po(read, locale=language))
    os.environ["LANGUAGE"] = language
    gettext.bindtextdomain(DOMAIN, folder.name)
    return folder
