"""What is typed is never lost: cuts of the network, a page read again, an answer that did not arrive, two people."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from cuttable import line_to

Opened = Callable[..., Any]
LENGTH = "#size-bed_length"


def _saved(shop: Any, name: str = "bed_length") -> str:
    return next(
        line.split(":")[1].strip() for line in shop.design.read_text().splitlines() if line.startswith(f"  {name}:")
    )


@pytest.mark.parametrize("seconds", [2, 20, 75])
def test_what_is_typed_while_the_network_is_away_is_kept_and_sent_when_it_is_back(
    shop: Any, opened: Opened, seconds: int
) -> None:
    with line_to(shop.port) as line:
        watched = opened(shop.address(port=line.port))
        number = watched.drawn()
        line.cut()
        watched.page.fill(LENGTH, "1850")
        watched.page.wait_for_selector("#connection:not([hidden])")
        watched.page.wait_for_timeout(seconds * 1000)
        assert watched.page.input_value(LENGTH) == "1850"
        assert _saved(shop) == "1900"
        line.mend()
        watched.drawn_after(number)
        assert _saved(shop) == "1850"
        watched.page.wait_for_selector("#connection", state="hidden")
        watched.is_sound()


def test_what_was_typed_survives_reading_the_page_again(shop: Any, opened: Opened) -> None:
    with line_to(shop.port) as line:
        watched = opened(shop.address(port=line.port))
        number = watched.drawn()
        line.cut()
        watched.page.fill(LENGTH, "1850")
        watched.page.wait_for_selector("#connection:not([hidden])")
        line.mend()
        watched.page.reload(wait_until="commit")
        watched.page.wait_for_selector("html[data-ready]")
        watched.drawn_after(number)
        watched.page.wait_for_function("() => !document.querySelector('[data-typed]')")
        assert watched.page.input_value(LENGTH) == "1850"
        assert _saved(shop) == "1850"


def test_an_answer_that_did_not_arrive_is_no_conflict_with_oneself(shop: Any, opened: Opened) -> None:
    with line_to(shop.port) as line:
        watched = opened(shop.address(port=line.port))
        number = watched.drawn()
        line.swallow_answers()
        watched.page.fill(LENGTH, "1850")
        watched.page.wait_for_selector("#connection:not([hidden])")
        line.mend()
        watched.drawn_after(number)
        watched.page.wait_for_selector("#connection", state="hidden")
        assert _saved(shop) == "1850"
        assert watched.page.locator("[data-size=bed_length] button.choice").count() == 0
        assert watched.page.input_value(LENGTH) == "1850"


def test_two_people_at_two_sizes_both_keep_their_change(shop: Any, opened: Opened) -> None:
    one, other = opened(shop.address()), opened(shop.address())
    number = max(one.drawn(), other.drawn())
    one.page.fill(LENGTH, "1850")
    other.page.fill("#size-post", "110")
    one.drawn_after(number + 1)
    other.drawn_after(number + 1)
    assert _saved(shop) == "1850"
    assert "post: {value: 110," in shop.design.read_text()
    assert other.page.input_value(LENGTH) == "1850"
    assert one.page.input_value("#size-post") == "110"


@pytest.mark.parametrize(("choice", "saved"), [("mine", "1800"), ("theirs", "1850")])
def test_two_people_at_one_size_get_a_question_never_a_silent_overwrite(
    shop: Any, opened: Opened, choice: str, saved: str
) -> None:
    with line_to(shop.port) as line:
        away, here = opened(shop.address(port=line.port)), opened(shop.address())
        away.drawn()
        number = here.drawn()
        line.cut()
        away.page.fill(LENGTH, "1800")
        here.page.fill(LENGTH, "1850")
        here.drawn_after(number)
        line.mend()
        buttons = away.page.locator("[data-size=bed_length] button.choice")
        buttons.first.wait_for()
        said = away.page.locator("#said-bed_length").inner_text()
        assert "1850" in said and "1800" in said
        away.page.wait_for_timeout(1500)
        assert _saved(shop) == "1850"
        assert away.page.input_value(LENGTH) == "1800"
        (buttons.first if choice == "mine" else buttons.last).click()
        away.page.wait_for_function("() => !document.querySelector('[data-typed]')")
        assert away.page.input_value(LENGTH) == saved
        assert _saved(shop) == saved


def test_another_tab_shows_the_change_of_the_first(shop: Any, opened: Opened) -> None:
    one, other = opened(shop.address()), opened(shop.address())
    number = max(one.drawn(), other.drawn())
    one.page.fill(LENGTH, "1850")
    other.drawn_after(number)
    assert other.page.input_value(LENGTH) == "1850"
    assert other.page.locator("#said-bed_length").inner_text() == ""
