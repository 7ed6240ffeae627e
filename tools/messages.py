"""Bring the message catalogues up to date with the code, and say what they lack.

    python -m tools.messages           write the catalogues anew: new messages come in empty, changed ones as doubtful
    python -m tools.messages --check   change nothing; fail if a catalogue lacks a message it must have

Translate in `src/handbarrow/language/catalogues/LANGUAGE.po` with any editor for PO files.
"""

from __future__ import annotations

import importlib
import pkgutil
import sys
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_file
from babel.messages.pofile import read_po, write_po

import handbarrow
from handbarrow.language import LANGUAGES, Words

SOURCE = Path(handbarrow.__file__).parent
CATALOGUES = SOURCE / "language" / "catalogues"
KEYWORDS = {"said": None, "say": None}
WHOLE = ("fr",)
"""Languages that must have every message; the others must have those of the sheets."""
HEADER = """# {name}
msgid ""
msgstr ""
"Language: {language}\\n"
"Content-Type: text/plain; charset=utf-8\\n"

"""
SHEETS = ("handbarrow.sheets.", "handbarrow.drawings.")
PRINTED = (
    "handbarrow.laws.joints",
    "handbarrow.laws.fatigue",
    *(
        f"handbarrow.job.{room}"
        for room in (
            "bend_checks", "frame_", "joint_", "ride_", "clearance", "soft_checks", "swivel", "wheel_checks",
            "consumables",
        )
    ),
)  # fmt: skip
"""Where the pure rooms make words that stand on the sheets of a station."""
Message = tuple[str, str, str]
"""(context, English, where)."""


@cache
def messages() -> list[Message]:
    """Return every message of the program once, in the order of the files."""
    found: dict[tuple[str, str], str] = {}
    for context, english, where in (*_of_words(), *_of_calls()):
        found.setdefault((context, english), where)
    return [(context, english, where) for (context, english), where in found.items()]


def _of_words() -> Iterator[Message]:
    """Those of the tables of words."""
    modules = pkgutil.walk_packages([str(SOURCE)], "handbarrow.")
    for module in sorted(modules, key=lambda m: (".words" not in m.name, m.name)):  # where they are made comes first
        if module.name.endswith("__main__"):
            continue
        for words in vars(importlib.import_module(module.name)).values():
            if isinstance(words, Words):
                for context, english in words.messages():
                    yield context, english, module.name


def _of_calls() -> Iterator[Message]:
    """Those of `said` and `say`."""
    for path in sorted(SOURCE.rglob("*.py")):
        where = ".".join(path.relative_to(SOURCE.parent).with_suffix("").parts)
        if where.startswith("handbarrow.language"):
            continue
        for _, english, _, _ in extract_from_file("python", path, keywords=KEYWORDS):
            yield "", english if isinstance(english, str) else english[0], where


def must_have(language: str, message: Message) -> bool:
    """Whether a language must have a message: all, or the words of the sheets and the check sizes on them."""
    context, _, where = message
    return language in WHOLE or (bool(context) and where.startswith(SHEETS)) or where.startswith(PRINTED)


def catalogue(language: str) -> Catalog:
    """Return the catalogue as it lies on the disk; an empty one if there is none."""
    path = CATALOGUES / f"{language}.po"
    if not path.exists():
        return Catalog(locale=language)
    with path.open("rb") as stream:
        return read_po(stream, locale=language)


def lacking(language: str) -> list[Message]:
    """Return the messages that a language must have and lacks, or has only as doubtful."""
    held = {(m.context or "", m.id) for m in catalogue(language) if isinstance(m.id, str) and m.string and not m.fuzzy}
    return [m for m in messages() if must_have(language, m) and m[:2] not in held]


def renew(language: str) -> None:
    """Write a catalogue anew; what the code no longer says goes out, what it says differently becomes doubtful."""
    old = [message for message in catalogue(language) if message.id]
    texts = {(message.context or "", message.id): message for message in old}
    by_context = {message.context: message for message in old if message.context}
    fresh = Catalog(locale=language)
    for context, english, where in messages():
        same, before = texts.get((context, english)), by_context.get(context)
        kept = same or before
        fresh.add(
            english, kept.string if kept else "", context=context or None, locations=[(where, None)],
            flags={"fuzzy"} if kept and (kept.fuzzy or not same) and kept.string else set(),
            user_comments=kept.user_comments if kept else (),
        )  # fmt: skip
    path = CATALOGUES / f"{language}.po"
    with tempfile.NamedTemporaryFile(dir=CATALOGUES, delete=False) as stream:
        stream.write(HEADER.format(name=LANGUAGES[language], language=language).encode())
        write_po(stream, fresh, width=118, omit_header=True)
    Path(stream.name).chmod(0o644)
    Path(stream.name).replace(path)


def main(arguments: list[str]) -> int:
    """Do what was asked; 1 if something lacks."""
    short = 0
    for language in (code for code in LANGUAGES if code != "en"):
        if "--check" not in arguments:
            renew(language)
        lacks = lacking(language)
        short += len(lacks)
        print(f"{language}: {len(lacks)} of {len(messages())} messages are lacking")
        for context, english, where in lacks if "--check" in arguments else []:
            print(f"  {where} [{context}] {english}")
    return 1 if short and "--check" in arguments else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
