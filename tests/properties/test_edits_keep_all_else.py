"""Setting a value changes it and nothing else: no comment, no space, no other value. Expectations: closed form."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.web.edit import EditError, added, edited, read_at, removed, replaced, scalar_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
TEXTS = {path.stem: path.read_text() for path in EXAMPLES}
SIGNS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), min_size=1, max_size=60).filter(
    lambda text: text == text.strip()
)


def data(text: str) -> Any:
    return yaml.load(text, Loader=LOADER)  # noqa: S506 - every scalar as text


def scalars(here: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(here, dict):
        return [found for key, value in here.items() for found in scalars(value, (*path, key))]
    if isinstance(here, list):
        return [found for place, value in enumerate(here) for found in scalars(value, (*path, place))]
    return [path]


PLACES = [(name, path) for name, text in TEXTS.items() for path in scalars(data(text))]


def with_value(here: Any, path: tuple[Any, ...], value: Any) -> Any:
    if not path:
        return value
    out = dict(here) if isinstance(here, dict) else list(here)
    out[path[0]] = with_value(here[path[0]], path[1:], value)
    return out


@given(st.sampled_from(PLACES), SIGNS)
def test_a_value_set_anywhere_reads_back_and_the_rest_of_the_text_stays(place: Any, value: str) -> None:
    name, path = place
    text = TEXTS[name]
    out = replaced(text, path, value)
    assert data(out) == with_value(data(text), path, value)
    assert scalar_text(out, path) == value
    before, after = text.splitlines(), out.splitlines()
    assert len(before) == len(after)
    assert sum(one != other for one, other in zip(before, after, strict=True)) <= 1


@given(st.sampled_from(PLACES), SIGNS)
def test_a_value_set_and_set_back_gives_the_same_bytes_where_it_was_written_plainly(place: Any, value: str) -> None:
    name, path = place
    old = scalar_text(TEXTS[name], path)
    assert old is not None
    out = replaced(replaced(TEXTS[name], path, value), path, old)
    if f'"{old}"' not in TEXTS[name] and f"'{old}'" not in TEXTS[name]:
        assert data(out) == data(TEXTS[name])
        assert [line.replace('"', "") for line in out.splitlines()] == [
            line.replace('"', "") for line in TEXTS[name].splitlines()
        ]


@pytest.mark.parametrize("name", TEXTS)
def test_comments_line_ends_and_marks_of_order_survive(name: str) -> None:
    for text in (TEXTS[name].replace("\n", "\r\n"), "\ufeff" + TEXTS[name]):
        out = replaced(text, ["name"], "Sledge, for winter: 2")
        assert out.replace('"Sledge, for winter: 2"', data(TEXTS[name])["name"]) == text


def comments(text: str) -> list[str]:
    return [line.split("#", 1)[1] for line in text.splitlines() if "#" in line]


def test_an_off_cut_comes_and_goes_and_the_file_is_as_before() -> None:
    text = TEXTS["ridge-workshop"]
    place = ["stock", "tube 26.9x2.3", "off-cuts"]
    more = added(text, place, {"length": "990", "count": "2"})
    assert "      - {length: 990, count: 2}\n" in more
    assert comments(more) == comments(text)
    assert removed(more, [*place, 2]) == text


def test_a_first_off_cut_makes_the_list() -> None:
    out = added(TEXTS["ridge-workshop"], ["stock", "flat 20x4", "off-cuts"], {"length": "990", "count": "2"})
    assert read_at(out, ["stock", "flat 20x4", "off-cuts"]) == [{"length": "990", "count": "2"}]
    assert comments(out) == comments(TEXTS["ridge-workshop"])


def test_a_limit_that_was_not_given_is_added_as_a_plain_number() -> None:
    assert "\n  assembled: 4\n" in edited(TEXTS["ridge-workshop"], ["limits", "assembled"], "4")


@settings(max_examples=30)
@given(st.dictionaries(SIGNS, SIGNS, min_size=1, max_size=4), SIGNS)
def test_a_new_price_with_any_signs_reads_back(price: dict[str, str], name: str) -> None:
    text = TEXTS["valley-workshop"]
    out = edited(text, ["prices", name], price)
    assert data(out) == {**data(text), "prices": {**data(text).get("prices", {}), name: price}}


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("a: &x 1\nb: *x\n", ["a"]),
        ("a: {b: 1}\n", ["a"]),
        ("a: 1\n", ["b"]),
        ("a: 1\n", ["a", "b"]),
        ("a: [1]\n", ["a", 3]),
        ("a: [1]\n", []),
        ("a: [1\n", ["a"]),
        ("", ["a"]),
        ("a: &x [*x]\n", ["a", 0]),
    ],
)
def test_what_cannot_be_set_alone_is_refused(text: str, path: list[Any]) -> None:
    with pytest.raises(EditError):
        replaced(text, path, "2")


def test_a_value_shared_by_two_places_is_refused_where_only_one_was_meant() -> None:
    with pytest.raises(EditError):
        replaced("a: &x 1\nb: *x\n", ["b"], "2")
