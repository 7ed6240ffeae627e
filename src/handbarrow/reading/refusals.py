"""What is said when a file cannot be read as a tree of values."""

from __future__ import annotations

from handbarrow.findings import Finding, Place
from handbarrow.language import said
from handbarrow.reading.book import quoted

__all__ = [
    "LONGEST_KEY",
    "MOST_BYTES",
    "MOST_DEPTH",
    "MOST_VALUES",
    "bad_key",
    "empty",
    "inside_itself",
    "not_utf8",
    "several",
    "tagged",
    "too_big",
    "too_deep",
    "too_many",
    "twice",
    "unknown_alias",
]

MOST_BYTES = 1_000_000
MOST_DEPTH = 40
MOST_VALUES = 20_000
LONGEST_KEY = 100


def too_big(size: int, start: Place) -> Finding:
    """More bytes than any such file has."""
    return Finding(
        code="file-too-big",
        where="",
        wrong=said("the file has {size} bytes or more", size=f"{size:,}".replace(",", " ")),
        expected=said("at most {most} bytes", most=f"{MOST_BYTES:,}".replace(",", " ")),
        fix=said("give the file you meant; a design of 100 parts has about 20 000 bytes"),
        place=start,
    )


def not_utf8(source: str | bytes, fault: UnicodeError, file: str) -> Finding:
    """The file is no text."""
    at = getattr(fault, "start", 0)
    line = (source[:at].count("\n") if isinstance(source, str) else source[:at].count(b"\n")) + 1
    return Finding(
        code="not-utf-8",
        where="",
        wrong=said("line {line} holds a byte that is no text in UTF-8", line=line),
        expected=said("a text file in UTF-8"),
        fix=said("save the file as UTF-8 in the editor"),
        place=Place(file=file, line=line, column=1),
    )


def empty(start: Place) -> Finding:
    """Nothing in the file."""
    return Finding(
        code="file-empty",
        where="",
        wrong=said("the file is empty"),
        expected=said("a file that begins with `handbarrow: design 1` or `handbarrow: workshop 1`"),
        fix=said("write a starting file with `handbarrow start`"),
        place=start,
    )


def several(place: Place) -> Finding:
    """A second document."""
    return Finding(
        code="several-documents",
        where="",
        wrong=said("a second document begins here (`---`)"),
        expected=said("one document a file"),
        fix=said("take the `---` out, or keep the second document in a file of its own"),
        place=place,
    )


def too_many(place: Place) -> Finding:
    """Too many values, unfolded aliases counted."""
    return Finding(
        code="too-many-values",
        where="",
        wrong=said("the file holds, or unfolds to, more than {most} values", most=MOST_VALUES),
        expected=said("at most {most} values, those that `*aliases` repeat counted again", most=MOST_VALUES),
        fix=said("use `repeated` or `also at` for rows of equal parts, and fewer aliases"),
        place=place,
    )


def too_deep(place: Place) -> Finding:
    """Nested too deep."""
    return Finding(
        code="nested-too-deep",
        where="",
        wrong=said("values are nested deeper than {most}", most=MOST_DEPTH),
        expected=said("at most {most} levels; a design has six", most=MOST_DEPTH),
        fix=said("close the brackets, or look for an indent that grows line by line"),
        place=place,
    )


def tagged(tag: str, place: Place) -> Finding:
    """A tag that asks for more than plain values."""
    return Finding(
        code="yaml-tag",
        where="",
        wrong=said("the tag {tag} is not used here", tag=quoted(tag)),
        expected=said("plain values without `!`"),
        fix=said("take the tag out; write a text that begins with `!` in quotation marks"),
        place=place,
    )


def unknown_alias(name: str, place: Place) -> Finding:
    """An alias of nothing."""
    return Finding(
        code="alias-unknown",
        where="",
        wrong=said("`*{name}` repeats a value that was not named before", name=quoted(name)[1:-1]),
        expected=said("`&name` at a value above, `*name` where it is repeated"),
        fix=said("name the value with `&`, or write a text that begins with `*` in quotation marks"),
        place=place,
    )


def inside_itself(name: str, place: Place) -> Finding:
    """A value that holds itself."""
    return Finding(
        code="alias-inside-itself",
        where="",
        wrong=said("`*{name}` stands inside the value that it repeats", name=quoted(name)[1:-1]),
        expected=said("a value that ends before it is repeated"),
        fix=said("write the inner value out"),
        place=place,
    )


def bad_key(text: str | None, place: Place) -> Finding:
    """A key that is no short text (None: no text at all)."""
    return Finding(
        code="key-not-text",
        where="",
        wrong=said("a map or list used as a key is no name")
        if text is None
        else said("the key {key} is no name", key=quoted(text)),
        expected=said("a short text (up to {most} characters) before the colon", most=LONGEST_KEY),
        fix=said("write `key: value`; put a text with `? `, `{` or `[` at its start in quotation marks"),
        place=place,
    )


def twice(key: str, first: int, place: Place) -> Finding:
    """A key that stands twice; `first` is the line of the first."""
    return Finding(
        code="key-twice",
        where="",
        wrong=said("the key {key} stands twice; first in line {first}", key=quoted(key), first=first),
        expected=said("each key once"),
        fix=said("rename or delete one of them"),
        place=place,
    )
