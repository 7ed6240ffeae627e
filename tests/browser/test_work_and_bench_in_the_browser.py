"""Sheets made in the background with progress and a stop; the bench on a phone whose network comes and goes."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from cuttable import line_to

Opened = Callable[..., Any]
PHONE = {"viewport": {"width": 390, "height": 844}, "device_scale_factor": 2, "is_mobile": True, "has_touch": True}
LONG = 180_000


def _kept(shop: Any) -> list[tuple[str, str]]:
    """What the project's book of the bench holds: field and value, in the order of their arrival."""
    book = shop.root / "hut" / "bench.jsonl"
    lines = book.read_text().splitlines() if book.is_file() else []
    return [(entry["field"], entry["value"]) for entry in map(json.loads, lines)]


def test_all_sheets_are_made_with_progress_and_can_then_be_read(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address("/p/hut/job"))
    page = watched.page
    page.click("form[data-work=folder] button")
    page.wait_for_selector("[data-progress] progress")
    page.reload(wait_until="commit")
    page.wait_for_selector("html[data-ready]")
    page.wait_for_selector("[data-progress] progress")
    page.wait_for_selector("[data-progress][data-stage=done]", timeout=LONG)
    links = page.locator("#files-made a")
    links.first.wait_for()
    pdf = next(href for k in range(links.count()) if (href := links.nth(k).get_attribute("href")).endswith(".pdf"))
    answer = page.request.get(shop.address(pdf))
    assert answer.status == 200
    assert answer.body().startswith(b"%PDF-")
    watched.is_sound()


def test_work_is_stopped_by_its_button_and_leaves_nothing_behind(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address("/p/hut/job"))
    page = watched.page
    page.click("form[data-work=folder] button")
    page.click("[data-progress] button")
    page.wait_for_selector("[data-progress][data-stage=cancelled]")
    assert page.locator("form[data-work=folder] button").is_enabled()
    assert not (shop.root / "hut" / "sheets").exists()
    watched.is_sound()


def test_pieces_ticked_off_without_network_are_sent_when_it_is_back(shop: Any, opened: Opened) -> None:
    with line_to(shop.port) as line:
        watched = opened(shop.address("/p/hut/bench/mitre/1", port=line.port), **PHONE)
        page = watched.page
        page.wait_for_selector("[data-row] input")
        line.cut()
        page.locator("[data-row] label").first.click()
        page.wait_for_selector("#connection:not([hidden])")
        assert "1" in page.locator("#bench-waiting").inner_text()
        page.wait_for_timeout(3000)
        assert _kept(shop) == []
        line.mend()
        page.wait_for_function("() => document.querySelector('#bench-waiting').textContent === ''")
        assert _kept(shop) == [("done-1", "1")]
        watched.is_sound()


def test_pieces_ticked_off_before_the_page_was_closed_are_sent_by_the_next_page(
    shop: Any, opened: Opened, chromium: Any
) -> None:
    context = chromium().new_context(**PHONE)
    with line_to(shop.port) as line:
        watched = opened(shop.address("/p/hut/bench/mitre/1", port=line.port), context=context)
        watched.page.wait_for_selector("[data-row] input")
        line.cut()
        watched.page.locator("[data-row] label").first.click()
        watched.page.wait_for_selector("#connection:not([hidden])")
        watched.page.close()
        line.mend()
        later = opened(shop.address("/p/hut/bench", port=line.port), context=context)
        later.page.wait_for_function("() => localStorage.getItem('handbarrow:hut:bench') === '[]'")
        assert _kept(shop) == [("done-1", "1")]
    context.close()


def test_a_value_that_is_no_number_is_told_at_its_field_and_not_kept(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address("/p/hut/bench/check/1"), **PHONE)
    page = watched.page
    field = page.locator("[data-row] input[name^='m-']").first
    field.fill("about right")
    page.wait_for_selector("[data-row] input[aria-invalid=true]")
    assert "number" in page.locator("[data-row] .said").first.inner_text()
    assert field.input_value() == "about right"
    field.fill("413.5")
    page.wait_for_selector("[data-row] input[data-sent]")
    assert [value for _, value in _kept(shop)] == ["413.5"]
    watched.is_sound()


@pytest.mark.parametrize(("key", "number"), [("ArrowRight", 3), ("ArrowLeft", 1)])
def test_arrows_turn_to_the_next_task_and_the_one_before(shop: Any, opened: Opened, key: str, number: int) -> None:
    watched = opened(shop.address("/p/hut/bench/mitre/2"), **PHONE)
    watched.page.keyboard.press(key)
    watched.page.wait_for_url(f"**/bench/mitre/{number}")
