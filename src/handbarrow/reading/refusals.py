"""What is said when a file cannot be read as a tree of values."""

from __future__ import annotations

from handbarrow.findings import Finding, Place
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
        wrong=f"the file has {size:,} bytes or more".replace(",", " "),
        expected=f"at most {MOST_BYTES:,} bytes".replace(",", " "),
        fix="give the file you meant; a design of 100 parts has about 20 000 bytes",
        place=start,
    )


def not_utf8(source: str | bytes, fault: UnicodeError, file: str) -> Finding:
    """The file is no text."""
    at = getattr(fault, "start", 0)
    line = (source[:at].count("\n") if isinstance(source, str) else source[:at].count(b"\n")) + 1
    return Finding(
        code="not-utf-8",
        where="",
        wrong=f"line {line} holds a byte that is no text in UTF-8",
        expected="a text file in UTF-8",
        fix="save the file as UTF-8 in the editor",
        place=Place(file=file, line=line, column=1),
    )


def empty(start: Place) -> Finding:
    """Nothing in the file."""
    return Finding(
        code="file-empty",
        where="",
        wrong="the file is empty",
        expected="a file that begins with `handbarrow: design 1` or `handbarrow: workshop 1`",
        fix="write a starting file with `handbarrow start`",
        place=start,
    )


def several(place: Place) -> Finding:
    """A second document."""
    return Finding(
        code="several-documents",
        where="",
        wrong="a second document begins here (`---`)",
        expected="one document a file",
        fix="take the `---` out, or keep the second document in a file of its own",
        place=place,
    )


def too_many(place: Place) -> Finding:
    """Too many values, unfolded aliases counted."""
    return Finding(
        code="too-many-values",
        where="",
        wrong=f"the file holds, or unfolds to, more than {MOST_VALUES} values",
        expected=f"at most {MOST_VALUES} values, those that `*aliases` repeat counted again",
        fix="use `repeated` or `also at` for rows of equal parts, and fewer aliases",
        place=place,
    )


def too_deep(place: Place) -> Finding:
    """Nested too deep."""
    return Finding(
        code="nested-too-deep",
        where="",
        wrong=f"values are nested deeper than {MOST_DEPTH}",
        expected=f"at most {MOST_DEPTH} levels; a design has six",
        fix="close the brackets, or look for an indent that grows line by line",
        place=place,
    )


def tagged(tag: str, place: Place) -> Finding:
    """A tag that asks for more than plain values."""
    return Finding(
        code="yaml-tag",
        where="",
        wrong=f"the tag {quoted(tag)} is not used here",
        expected="plain values without `!`",
        fix="take the tag out; write a text that begins with `!` in quotation marks",
        place=place,
    )


def unknown_alias(name: str, place: Place) -> Finding:
    """An alias of nothing."""
    return Finding(
        code="alias-unknown",
        where="",
        wrong=f"`*{quoted(name)[1:-1]}` repeats a value that was not named before",
        expected="`&name` at a value above, `*name` where it is repeated",
        fix="name the value with `&`, or write a text that begins with `*` in quotation marks",
        place=place,
    )


def inside_itself(name: str, place: Place) -> Finding:
    """A value that holds itself."""
    return Finding(
        code="alias-inside-itself",
        where="",
        wrong=f"`*{quoted(name)[1:-1]}` stands inside the value that it repeats",
        expected="a value that ends before it is repeated",
        fix="write the inner value out",
        place=place,
    )


def bad_key(text: str | None, place: Place) -> Finding:
    """A key that is no short text (None: no text at all)."""
    seen = f"the key {quoted(text)}" if text is not None else "a map or list used as a key"
    return Finding(
        code="key-not-text",
        where="",
        wrong=f"{seen} is no name",
        expected=f"a short text (up to {LONGEST_KEY} characters) before the colon",
        fix="write `key: value`; put a text with `? `, `{` or `[` at its start in quotation marks",
        place=place,
    )


def twice(key: str, first: int, place: Place) -> Finding:
    """A key that stands twice; `first` is the line of the first."""
    return Finding(
        code="key-twice",
        where="",
        wrong=f"the key {quoted(key)} stands twice; first in line {first}",
        expected="each key once",
        fix="rename or delete one of them",
        place=place,
    )
