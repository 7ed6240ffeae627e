"""Which language is being spoken, and its catalogue."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files

__all__ = ["LANGUAGES", "asked_for", "catalogue", "current", "lookup", "speaking"]

LANGUAGES: Mapping[str, str] = {"en": "English", "fr": "français", "hi": "हिन्दी"}
"""Code (ISO 639-1) -> its own name. Hindi has the texts of sheets; findings and the terminal stay English there."""

Texts = Mapping[tuple[str, str], str]
"""(context, English) -> text."""

_current: ContextVar[str] = ContextVar("language", default="en")


def current() -> str:
    """Return the code of the language that is being spoken."""
    return _current.get()


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language of `LANGUAGES` within a `with`.

    Raises:
        KeyError: If it is none of them.
    """
    if language not in LANGUAGES:
        raise KeyError(language)
    token = _current.set(language)
    try:
        yield
    finally:
        _current.reset(token)


def asked_for(environment: Mapping[str, str]) -> str:
    """Return the language that the environment asks for, as gettext reads it; English if it is none of ours.

    >>> asked_for({"LANG": "fr_CA.UTF-8"}), asked_for({"LC_ALL": "C", "LANG": "fr_FR"}), asked_for({})
    ('fr', 'en', 'en')
    """
    for name in ("HANDBARROW_LANGUAGE", "LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        for asked in environment.get(name, "").split(":"):
            code = asked.split(".")[0].split("@")[0].replace("-", "_").split("_")[0].lower()
            if code in LANGUAGES:
                return code
        if environment.get(name):
            return "en"
    return "en"


def lookup(message: str, context: str = "") -> str:
    """Return a message in the language that is being spoken; in English if its catalogue lacks it."""
    language = _current.get()
    return message if language == "en" else catalogue(language).get((context, message), message)


@cache
def catalogue(language: str) -> Texts:
    """Return the texts of a language; what a translator marked as doubtful (fuzzy) is left out."""
    from babel.messages.pofile import read_po

    with files("handbarrow.language").joinpath("catalogues", f"{language}.po").open("rb") as stream:
        read = read_po(stream, locale=language)
    return {
        (message.context or "", message.id): message.string
        for message in read
        if isinstance(message.id, str) and message.id and isinstance(message.string, str)
        if message.string and not message.fuzzy
    }
