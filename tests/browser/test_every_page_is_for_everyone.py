"""Each page as axe-core sees it (rules of WCAG 2.2 A and AA, best practices): light and dark, laptop and phone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from handbarrow.language import speaking
from handbarrow.web.words_client import CLIENT

AXE = Path(__file__).parents[2] / "frontend/node_modules/axe-core/axe.min.js"
LAPTOP = {"viewport": {"width": 1366, "height": 900}}
PHONE = {"viewport": {"width": 390, "height": 844}, "device_scale_factor": 2, "is_mobile": True, "has_touch": True}
PAGES = {
    "start": "/",
    "product": "/p/hut/",
    "part": "/p/hut/part/drawbar",
    "job": "/p/hut/job",
    "workshop": "/p/hut/workshop",
    "checks": "/p/hut/checks",
    "bench": "/p/hut/bench",
    "ticking off": "/p/hut/bench/mitre/1",
    "saw": "/p/hut/bench/saw/1",
    "bender": "/p/hut/bench/bender/1",
    "measuring": "/p/hut/bench/check/1",
    "drill": "/p/hut/bench/drill/1",
    "welding": "/p/hut/bench/weld/2",
    "saved states": "/p/hut/versions",
}


@pytest.mark.parametrize("device", [LAPTOP, PHONE], ids=["laptop", "phone"])
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing_and_nothing_stands_out_of_the_page(
    shop: Any, opened: Callable[..., Any], name: str, device: dict[str, Any]
) -> None:
    for scheme in ("light", "dark"):
        watched = opened(shop.address(PAGES[name]), color_scheme=scheme, **device)
        if name == "product":
            watched.drawn()
            watched.page.click("#viewer button.more")
            watched.page.select_option("#viewer-part", "drawbar")
            watched.page.wait_for_selector("#part-panel[data-part=drawbar]")
        watched.page.evaluate(AXE.read_text())
        found = watched.page.evaluate("async () => (await axe.run(document)).violations")
        told = [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in found]
        assert told == [], scheme
        wide = watched.page.evaluate(
            "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert wide <= 0, f"{scheme}: the page is {wide} px wider than its window"
        watched.is_sound()


def test_modules_speak_the_language_of_the_page(shop: Any, opened: Callable[..., Any]) -> None:
    watched = opened(shop.address(), locale="fr-CH")
    watched.drawn()
    with speaking("fr"):
        wanted = {view: CLIENT[f"view_{view}"] for view in ("corner", "front", "side", "top")}
    shown = {view: watched.page.locator(f"[data-view={view}]").inner_text() for view in wanted}
    assert watched.page.get_attribute("html", "lang") == "fr"
    assert shown == wanted
    assert wanted["side"] != CLIENT["view_side"]
