"""The modules in the browser say only words that the catalogue has, with the places that it has, and use them all."""

from __future__ import annotations

import re
from pathlib import Path

from handbarrow.web.words_client import CLIENT

SOURCES = Path(__file__).parents[2] / "frontend/src"
CALL = re.compile(r'\bword\(\s*"(\w+)"')
FAMILY = re.compile(r"\bword\(`(\w+_)\$\{")


def _text() -> str:
    return "\n".join(path.read_text() for path in sorted(SOURCES.rglob("*.ts")))


def test_every_word_that_a_module_says_is_in_the_catalogue_and_every_one_there_is_said() -> None:
    text = _text()
    said = set(CALL.findall(text)) | {name for name in CLIENT if f'"{name}"' in text}
    families = tuple(FAMILY.findall(text))
    assert said - set(CLIENT) == set()
    assert [name for name in CLIENT if name not in said and not name.startswith(families)] == []
    assert families


def test_no_module_has_words_of_its_own() -> None:
    # A text of several words in quotes would be shown in English in every language.
    shown = re.compile(r'(?:textContent = |replaceChildren\(|append\()"([A-Z][a-z]+ [a-z]+[^"]*)"')
    assert shown.findall(_text()) == []
