"""Texts that remember how they were made."""

from __future__ import annotations

from collections.abc import Iterable

from handbarrow.language.tongue import lookup

__all__ = ["Said", "listed", "said", "say", "spoken"]


class Said(str):
    """A text in English with the message and the values that it was made of.

    It is a plain text to everyone who does not ask: it prints, compares and is stored as English.
    """

    __slots__ = ("message", "parts", "values")

    message: str
    """English with named places: `a bend of {angle:.1f} degrees`; of a list what stands between its parts."""
    values: dict[str, object]
    """What stands in the places; texts among them may be `Said` too."""
    parts: tuple[str, ...] | None
    """Of a list: its parts."""


def said(message: str, /, **values: object) -> Said:
    """Return a text for people, made in English, that can be said in another language later.

    Args:
        message: A whole sentence in English as a literal, with named places (`str.format`). It is what translators see.
        **values: What stands in the places: names, numbers, other texts.

    >>> said("a bend of {angle:.1f} degrees", angle=95)
    'a bend of 95.0 degrees'
    """
    out = Said(message.format(**values) if values else message)
    out.message, out.values, out.parts = message, values, None
    return out


def listed(parts: Iterable[str], between: str = ", ") -> Said:
    """Return texts one after the other; each part is said in another language by itself.

    >>> listed([said("width"), "rail"])
    'width, rail'
    """
    each = tuple(parts)
    out = Said(between.join(each))
    out.message, out.values, out.parts = between, {}, each
    return out


def spoken(text: str) -> str:
    """Say a text in the language that is being spoken; a text that is none of ours (a name, a number) stays."""
    if not isinstance(text, Said):
        return text
    if text.parts is not None:
        return text.message.join(spoken(part) for part in text.parts)
    message = lookup(text.message)
    values = {name: spoken(value) if isinstance(value, Said) else value for name, value in text.values.items()}
    return message.format(**values) if values else message


def say(message: str, /, **values: object) -> str:
    """Say a message at once in the language that is being spoken; see `said`."""
    text = lookup(message)
    return text.format(**values) if values else text
