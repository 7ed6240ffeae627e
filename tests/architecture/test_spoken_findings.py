"""Findings say what they say in any language: here in one whose every message is English in capitals.

What is left in small letters stands in no message. It must come from the file that was read: names, keys, units.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from bad_files import BAD, EXAMPLES
from broken_bolts import of_bolts, of_sheet
from broken_designs import of_designs, of_jobs
from broken_frames import of_frames
from broken_texts import MORE_TEXTS, SHOPS
from handbarrow.design.reader import read_design
from handbarrow.findings import Finding
from handbarrow.job.bend_checks import check_sizes
from handbarrow.job.values import EndCut
from handbarrow.language import Said, said, speaking, spoken, tongue
from handbarrow.laws.geometry.path import Centreline
from handbarrow.laws.materials.stock import EXAMPLES as STOCKS
from handbarrow.laws.units.table import UNITS
from handbarrow.reading.formula import FUNCTIONS
from handbarrow.reading.spot import DIRECTIONS
from handbarrow.workshop.reader import read_workshop
from handbarrow.workshop.values import Limits
from refused_requests import of_requests

SOURCES = sorted((Path(__file__).parents[2] / "src/handbarrow").rglob("*.py"))
PLACE = re.compile(r"(\{\{|\}\}|\{[a-z_]+(?:!r)?(?::[-+,.0-9]*[a-z]?)?\})")
WORD = re.compile(r"(?<![A-Za-z])[a-z]{2,}")
CHOICES = "design workshop auto square free leg copy en fr hi inf"
KEYS = [key for text in EXAMPLES for key in re.findall(r"([a-z][a-z -]*):", text)]
FORMAT = set(WORD.findall(" ".join([*KEYS, *DIRECTIONS, *FUNCTIONS, *UNITS, *STOCKS.values(), CHOICES])))
"""Keys, directions, units and functions of the file format."""


class Capitals(dict[tuple[str, str], str]):
    """A catalogue that holds every message, in capitals; places stay."""

    def get(self, key: tuple[str, str], default: str = "") -> str:  # type: ignore[override]
        return "".join(piece if PLACE.fullmatch(piece) else piece.upper() for piece in PLACE.split(key[1]))


@pytest.fixture(autouse=True)
def capitals(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(tongue, "catalogue", lambda language: Capitals())
    with speaking("fr"):
        yield


def left_over(text: str, given: str) -> set[str]:
    """English that no catalogue can change: words in small letters that neither the input nor the format holds."""
    if not isinstance(text, Said):
        return {text}
    return set(WORD.findall(spoken(text))) - set(WORD.findall(given)) - FORMAT


def faults(findings: Iterable[Finding], given: str) -> list[tuple[str, str, set[str]]]:
    return [
        (finding.code, text, left)
        for finding in findings
        for text in (finding.wrong, finding.expected, finding.fix)
        if (left := left_over(text, given))
    ]


def read(kind: str, text: str) -> list[Finding]:
    raw = text.encode("utf-8", "surrogateescape")
    return read_design(raw, "cart.yaml")[1] if kind == "design" else read_workshop(raw, "shop.yaml")[1]


@pytest.mark.parametrize("text", MORE_TEXTS)
def test_what_is_wrong_with_a_file_can_be_said_in_any_language(text: str) -> None:
    found = read("design", text)
    assert found != []
    assert faults(found, text) == []


@pytest.mark.parametrize("text", SHOPS)
def test_what_is_wrong_with_a_workshop_can_be_said_in_any_language(text: str) -> None:
    found = read("workshop", text)
    assert found != []
    assert faults(found, text) == []


@pytest.mark.parametrize("code", sorted(BAD))
def test_every_bad_file_can_be_told_in_any_language(code: str) -> None:
    kind, text, _ = BAD[code]
    found = read(kind, text)
    if code == "yaml-broken":  # what the YAML library says of it is quoted as it stands
        text += "did not find expected while parsing flow mapping or"
    assert faults(found, text) == []


def test_what_is_wrong_with_designs_can_be_said_in_any_language() -> None:
    assert [found for given, findings in of_designs() for found in faults(findings, given)] == []


def test_what_the_shop_cannot_make_can_be_said_in_any_language() -> None:
    assert [found for given, findings in of_jobs() for found in faults(findings, given)] == []


def test_what_stands_in_the_way_of_checks_can_be_said_in_any_language() -> None:
    assert [found for given, findings in of_frames() for found in faults(findings, given)] == []


def test_what_is_wrong_with_bolts_and_sheet_can_be_said_in_any_language() -> None:
    assert [found for given, findings in (*of_bolts(), *of_sheet()) for found in faults(findings, given)] == []


def test_what_the_workbench_refuses_can_be_said_in_any_language() -> None:
    assert [found for given, findings in of_requests() for found in faults(findings, given)] == []


def test_every_finding_of_the_house_is_among_them() -> None:
    codes = {code for path in SOURCES for code in re.findall(r'\bcode="([a-z0-9-]+)"', path.read_text())}
    made = (*of_designs(), *of_jobs(), *of_frames(), *of_requests(), *of_bolts(), *of_sheet())
    told = {finding.code for _, findings in made for finding in findings}
    assert codes - told - set(BAD) == set(), "add a file or a design that is wrong so"


def test_titles_of_check_sizes_can_be_said_in_any_language() -> None:
    square = EndCut(kind="square")
    lines = (
        [(0, 300, 0), (900, 300, 0), (900, -300, 0), (0, -300, 0)],
        [(0, 0, 0), (400, 0, 0), (400, 400, 0), (400, 400, 350)],
        [(0, 0, 0), (400, 0, 0), (800, 100, 0)],
        [(0, 0, 0), (400, 0, 0), (400, 400, 0), (800, 400, 0), (800, 0, 0), (1400, 0, 0)],
    )
    for points in lines:
        bends_of = len(points) - 2
        line = Centreline(tuple(points), (80.0,) * bends_of)  # type: ignore[arg-type]
        titles = [size.title for size in check_sizes(line, [13.45] * bends_of, (square, square), Limits())]
        assert titles != []
        assert [title for title in titles if left_over(title, "")] == []


def test_a_text_in_small_letters_is_caught() -> None:
    assert left_over("a girder", "") == {"a girder"}
    assert left_over(said("{what} is missing", what="a girder"), "") == {"girder"}
    assert left_over(said("{what} is missing", what="girder"), "parts: {girder: }") == set()
    assert left_over(said("{what} is missing", what=said("a girder")), "") == set()
