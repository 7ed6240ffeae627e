"""Sheets and terminal in other languages: catalogues are whole, places are kept, codes and numbers are the same."""

from __future__ import annotations

import string
import subprocess
import sys
from pathlib import Path

import pytest
from tools import messages

from handbarrow.language import LANGUAGES, Words, listed, said, say, speaking, spoken
from handbarrow.language.tongue import catalogue

ROOT = Path(__file__).parents[2]
OTHERS = [language for language in LANGUAGES if language != "en"]


def _places(text: str) -> list[str]:
    return sorted(f"{name}{':' + spec if spec else ''}" for _, name, spec, _ in string.Formatter().parse(text) if name)


@pytest.mark.parametrize("language", OTHERS)
def test_a_catalogue_has_every_message_that_it_must_have(language: str) -> None:
    assert [f"{where} [{context}] {english}" for context, english, where in messages.lacking(language)] == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_keeps_the_places_of_its_message(language: str) -> None:
    with_values = {english for _, english, _ in messages.messages()}
    wrong = [
        (english, text)
        for (_, english), text in catalogue(language).items()
        if english in with_values and "{" in english and not english.count("`") and _places(english) != _places(text)
    ]
    assert wrong == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_catalogue_holds_no_message_that_the_program_no_longer_says(language: str) -> None:
    known = {message[:2] for message in messages.messages()}
    assert [key for key in catalogue(language) if key not in known] == []


def test_a_text_remembers_how_it_was_made(monkeypatch: pytest.MonkeyPatch) -> None:
    french = {("", "{count} holes in the {part}"): "{part} : {count} trous", ("", "rail"): "longeron"}
    monkeypatch.setattr("handbarrow.language.tongue.catalogue", lambda language: french)
    text = said("{count} holes in the {part}", count=2, part=said("rail"))
    row = listed([text, "7.5", said("rail")], "; ")
    assert text == "2 holes in the rail" and row == "2 holes in the rail; 7.5; rail"
    with speaking("fr"):
        assert spoken(text) == "longeron : 2 trous"
        assert spoken(row) == "longeron : 2 trous; 7.5; longeron"
        assert say("rail") == "longeron" and spoken("rail") == "rail", "a name is not translated"
    assert spoken(text) == text


def test_one_english_word_may_become_two(monkeypatch: pytest.MonkeyPatch) -> None:
    french = {("card.mark", "Mark"): "Repère", ("order.mark", "Mark"): "Tracer"}
    monkeypatch.setattr("handbarrow.language.tongue.catalogue", lambda language: french)
    with speaking("fr"):
        assert Words("card", {"mark": "Mark"})["mark"] == "Repère"
        assert Words("order", {"mark": "Mark"})["mark"] == "Tracer"
    assert Words("order", {"mark": "Mark"})["mark"] == "Mark"


def _run(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "handbarrow.cli", *arguments],
        capture_output=True, text=True, cwd=ROOT, check=False, env={"PATH": "/usr/bin:/bin", **environment},
    )  # fmt: skip


def test_help_speaks_french_where_the_computer_does() -> None:
    out = _run("sheets", "--help", LANG="fr_FR.UTF-8").stdout
    english = _run("sheets", "--help", LANG="C").stdout
    with speaking("fr"):
        assert say("Units in this batch.").split()[0] in out
    assert all(word in english and word not in out for word in ("Usage:", "[default:", "Show this message"))
    both = {line.strip() for line in out.splitlines() if len(line.split()) > 3} & {
        line.strip() for line in english.splitlines()
    }
    assert both == set(), "no line of help is left in English"


def test_findings_speak_french_and_name_the_same_place(tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("handbarrow: design 1\nname: x\nrevision: A\nparts: 3\n")
    french, english = (_run("check", str(bad), HANDBARROW_LANGUAGE=code) for code in ("fr", "en"))
    assert french.returncode == english.returncode == 1
    places = [
        [line.split(" ")[0] for line in run.stdout.splitlines() if line.startswith(str(bad))]
        for run in (french, english)
    ]
    assert places[0] == places[1] != []
    said_in_both = {line for line in french.stdout.splitlines() if line.startswith("  wrong")}
    assert "wrong:" in english.stdout and said_in_both == set()


def test_an_unknown_option_is_refused_in_french() -> None:
    run = _run("check", "--colour", LANG="fr_CH")
    assert run.returncode == 2 and "No such option" not in run.stderr and "--colour" in run.stderr
