"""The product's page in Chromium: the picture, the parts, the sizes. Expectations: what the files say (closed form)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PIL import Image, ImageChops

Opened = Callable[..., Any]


def test_the_trailer_stands_in_the_picture_and_nothing_is_asked_of_other_machines(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address())
    assert watched.drawn() == 1
    assert watched.page.locator("#viewer canvas").is_visible()
    watched.page.wait_for_timeout(300)
    watched.is_sound()
    assert any(url.startswith("ws://") for url in watched.asked)


def test_a_size_typed_anew_is_in_the_file_in_the_picture_and_in_the_differences(shop: Any, opened: Opened) -> None:
    before = shop.design.read_text().splitlines()
    watched = opened(shop.address())
    number = watched.drawn()
    watched.page.fill("#size-bed_length", "1850")
    watched.drawn_after(number)
    after = shop.design.read_text().splitlines()
    assert [(was, now) for was, now in zip(before, after, strict=True) if was != now] == [
        ("  bed_length: 1900", "  bed_length: 1850")
    ]
    # they come after the picture
    watched.page.wait_for_function("() => document.querySelector('#differences').innerText.includes('Parts changed')")
    differences = watched.page.locator("#differences")
    assert "cot" in differences.inner_text().lower()
    watched.is_sound()


def test_a_size_that_cannot_be_read_stays_in_its_field_with_what_is_wrong_beside_it(shop: Any, opened: Opened) -> None:
    before = shop.design.read_text()
    watched = opened(shop.address())
    watched.drawn()
    field = watched.page.locator("#size-bed_length")
    field.fill("long +")
    watched.page.wait_for_selector("#size-bed_length[aria-invalid=true]")
    said = watched.page.locator("#said-bed_length").inner_text()
    assert "Expected" in said and "To mend it" in said
    assert field.input_value() == "long +"
    assert shop.design.read_text() == before
    field.press("Escape")
    assert field.input_value() == "1900"
    assert watched.page.locator("#said-bed_length").inner_text() == ""
    watched.is_sound()


def test_the_button_and_the_keys_take_a_change_back_and_make_it_again(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address())
    number = watched.drawn()
    assert watched.page.locator("#undo").is_disabled()
    watched.page.fill("#size-bed_length", "1850")
    number = watched.drawn_after(number)
    watched.page.click("#undo")
    number = watched.drawn_after(number)
    assert watched.page.input_value("#size-bed_length") == "1900"
    watched.page.locator("#viewer canvas").focus()
    watched.page.keyboard.press("Control+Shift+z")
    number = watched.drawn_after(number)
    assert watched.page.input_value("#size-bed_length") == "1850"
    watched.page.keyboard.press("Control+z")
    watched.drawn_after(number)
    assert "  bed_length: 1900" in shop.design.read_text()
    watched.is_sound()


def test_a_part_is_chosen_by_pointer_by_key_and_from_the_list(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address())
    watched.drawn()
    page = watched.page
    spot = page.evaluate("() => document.querySelector('#viewer').whereOnScreen('wheel', 1)")
    page.mouse.click(spot["x"], spot["y"])
    page.wait_for_selector("#part-panel:not([hidden])")
    chosen = page.locator("#viewer-part").input_value()
    assert chosen != ""
    page.locator("#viewer canvas").focus()
    page.keyboard.press("Escape")
    page.wait_for_selector("#part-panel", state="hidden")
    page.keyboard.press("n")
    first = page.locator("#viewer-part").input_value()
    page.keyboard.press("n")
    second = page.locator("#viewer-part").input_value()
    assert first != second and "" not in (first, second)
    page.select_option("#viewer-part", "drawbar")
    page.wait_for_selector("#part-panel[data-part=drawbar]")
    page.wait_for_timeout(300)
    watched.is_sound()


def test_views_cuts_pulling_apart_hiding_and_moving_show_another_picture(
    shop: Any, opened: Opened, tmp_path: Any
) -> None:
    watched = opened(shop.address())
    watched.drawn()
    page = watched.page
    page.click("#viewer button.more")
    seen = [_picture(page, tmp_path / "0.png")]

    def has_changed(name: str) -> None:
        for _ in range(60):
            now = _picture(page, tmp_path / f"{name}.png")
            if ImageChops.difference(now, seen[-1]).getbbox() is not None:
                break
            page.wait_for_timeout(250)
        else:
            pytest.fail(f"the picture is as it was: {name}")
        page.wait_for_timeout(400)  # a piece on its way arrives
        seen.append(_picture(page, tmp_path / f"{name}.png"))

    for view in ("front", "side", "top", "corner"):
        page.click(f"[data-view={view}]")
        has_changed(view)
    page.select_option("#viewer-cut", "x")
    has_changed("cut")
    page.select_option("#viewer-cut", "")
    has_changed("whole")
    page.locator("#viewer-apart").fill("0.8")
    has_changed("apart")
    page.locator(".assemblies input").first.uncheck()
    has_changed("hidden")
    page.select_option("[data-moves=hood]", "down")
    has_changed("moved")
    page.locator("#viewer canvas").focus()
    page.keyboard.press("ArrowLeft")
    has_changed("turned")
    watched.is_sound()


def _picture(page: Any, path: Any) -> Image.Image:
    page.locator("#viewer canvas").screenshot(path=path)
    return Image.open(path).convert("RGB")


def test_a_picture_at_rest_is_not_drawn_again(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address())
    watched.drawn()
    page = watched.page
    page.wait_for_timeout(800)
    page.evaluate(
        "() => { window.frames_ = 0; const was = requestAnimationFrame;"
        " window.requestAnimationFrame = (call) => { window.frames_ += 1; return was(call); }; }"
    )
    page.wait_for_timeout(1500)
    assert page.evaluate("() => window.frames_") == 0
    page.locator("#viewer canvas").focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_timeout(300)
    assert 1 <= page.evaluate("() => window.frames_") <= 3


def test_without_3d_the_page_says_so_and_sizes_still_work(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address(), "--disable-3d-apis")
    page = watched.page
    page.wait_for_selector("#viewer[data-flat]")
    assert "no 3-D picture" in page.locator("#viewer").inner_text()
    page.fill("#size-bed_length", "1850")
    page.wait_for_selector("#differences li")
    assert "  bed_length: 1850" in shop.design.read_text()
    watched.is_sound()


def test_a_change_by_a_text_editor_comes_into_the_open_page(shop: Any, opened: Opened) -> None:
    watched = opened(shop.address())
    number = watched.drawn()
    shop.design.write_text(shop.design.read_text().replace("bed_length: 1900", "bed_length: 1820"))
    watched.drawn_after(number)
    assert watched.page.input_value("#size-bed_length") == "1820"
    watched.is_sound()


def test_without_scripts_a_size_is_set_by_its_button(shop: Any, chromium: Any) -> None:
    context = chromium().new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(shop.address())
    page.fill("#size-bed_length", "1850")
    page.click("form[data-size=bed_length] button")
    page.wait_for_url("**/?since=1")
    assert "  bed_length: 1850" in shop.design.read_text()
    assert page.locator("#differences li").count() > 0
    context.close()
