"""The workbench's pages as plain HTML: what they show, what their forms write. Expectations: closed form."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from desk import HERE, Desk, project_folder, size_of
from handbarrow.sheets.choice import STATIONS as SHEET_STATIONS
from handbarrow.web.starts import STARTS
from handbarrow.web.stations import STATIONS
from handbarrow.web.words_stations import STATION_NAMES

PAGES = (
    "/",
    "/?like=handcart",
    "/p/cart/",
    "/p/cart/part/handle",
    "/p/cart/part/wheel",
    "/p/cart/part/axle-plate",
    "/p/cart/part/axle",
    "/p/cart/workshop",
    "/p/cart/job",
    "/p/cart/checks",
    "/p/cart/versions",
    "/p/cart/bench",
    "/p/cart/bench/saw/1",
    "/p/cart/bench/drill/1",
    "/p/cart/bench/bender/1",
    "/p/cart/bench/check/1",
    "/p/cart/bench/mitre/1",
    "/p/cart/bench/weld/1",
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    project_folder(tmp_path)
    with Desk(tmp_path) as out:
        yield out


def words_of(page: str) -> str:
    """What a person reads on a page."""
    body = page[page.index("<body") :]
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", body)).split())


def design(desk: Desk) -> str:
    return (desk.root / "cart" / "design.yaml").read_text()


@pytest.mark.parametrize("language", ["en", "fr"])
def test_every_page_is_plain_html_that_loads_nothing_inline(desk: Desk, language: str) -> None:
    for path in PAGES:
        answer = desk.get(path, headers={"accept-language": language})
        assert answer.status_code == 200, path
        page = answer.text
        assert f'<html lang="{language}">' in page, path
        assert page.count("<h1>") == 1, path
        assert not re.search(r"\sstyle=|\son\w+=|<style|javascript:", page), path
        assert re.findall(r"<script[^>]*>[^<]", page) == [], path
        assert all(src.startswith("/") for src in re.findall(r'(?:src|href)="([^"#?]+)', page)), path
        labelled = set(re.findall(r'<label[^>]* for="([^"]+)"', page))
        fields = re.findall(r'<(?:input|select|textarea)(?![^>]*type="(?:hidden|checkbox)")([^>]*)>', page)
        for field in fields:
            name = re.search(r'\bid="([^"]+)"', field)
            assert "aria-label=" in field or (name and name[1] in labelled), (path, field)


def test_every_form_that_writes_brings_its_token(desk: Desk) -> None:
    for path in PAGES:
        for form in re.findall(r'<form[^>]*method="post".*?</form>', desk.get(path).text, re.DOTALL):
            assert f'name="token" value="{desk.token}"' in form, (path, form[:120])


def test_html_in_names_is_read_not_run(desk: Desk) -> None:
    file = desk.root / "cart" / "design.yaml"
    file.write_text(design(desk).replace("name: Market handcart", "name: 'Cart <b>bold</b><script>x</script>'"))
    for path in PAGES:
        assert "<b>bold</b>" not in desk.get(path).text, path
        assert "<script>x" not in desk.get(path).text, path
    assert "Cart &lt;b&gt;bold&lt;/b&gt;" in desk.get("/p/cart/").text


# ------------------------------------------------------------------------------------------------ product, part
def test_a_role_is_set_in_its_one_line_and_the_product_follows(desk: Desk) -> None:
    before = design(desk)
    answer = desk.form("/p/cart/role", base=1, role="wheel", text="wheel 47-406")
    assert answer.status_code == 303
    assert design(desk) == before.replace("wheel: wheel 53-559 ", "wheel: wheel 47-406 ", 1)
    page = words_of(desk.get(answer.headers["location"]).text)
    height = 40 + 26.9 + (406 + 2 * 47) / 2  # rail over the axle, tube, half of the wheel over its tyre
    assert f"bed height {height:.1f} mm" in page


def test_a_role_that_cannot_be_read_changes_nothing(desk: Desk) -> None:
    before = design(desk)
    for text in ("tube 26.9x", "", "tube 20x2\nsizes: {}"):
        assert desk.form("/p/cart/role", base=1, role="main", text=text).status_code == 422
    assert desk.form("/p/cart/role", base=1, role="nothing", text="tube 20x2").status_code == 422
    assert design(desk) == before


def test_two_people_who_set_one_role_get_a_question(desk: Desk) -> None:
    assert desk.form("/p/cart/role", base=1, role="axle", text="bar 14").status_code == 303
    answer = desk.form("/p/cart/role", base=1, role="axle", text="bar 16")
    assert answer.status_code == 409
    assert "axle: bar 14" in design(desk)


def test_the_page_of_a_part_shows_the_numbers_of_its_card(desk: Desk) -> None:
    part = desk.get("/api/p/cart/part/handle").json()
    page = words_of(desk.get("/p/cart/part/handle").text)
    assert part["length"] in page
    assert len(part["bends"]) == 2
    for row in part["bends"]:
        assert f"{row['mark']:.1f}" in page
        assert f"{row['set_angle']:.1f}°" in page
    for size in part["check_sizes"]:
        if size["kind"] == "length" and size["measured"] != "flat":
            assert f"{size['value'] - size['minus']:.1f}" in page
    assert "Mitre wrap, start" in page


def test_drawings_of_a_page_have_words_for_those_who_do_not_see_them(desk: Desk) -> None:
    page = desk.get("/p/cart/part/handle").text
    drawings = re.findall(r"<svg (?!viewBox)[^>]*>", page)
    assert len(drawings) == 4  # card, straight tube, two wraps
    assert all(re.search(r'role="img" aria-label="[^"]{10,}"', drawing) for drawing in drawings)


def test_a_part_that_is_not_there_is_told(desk: Desk) -> None:
    answer = desk.get("/p/cart/part/no-such")
    assert answer.status_code == 404
    assert "no part 'no-such'" in words_of(answer.text)


# ------------------------------------------------------------------------------------------------ start
FIRST = {"like": "handcart", "title": "Cart for the fair", "shop": "ridge-workshop", "wheel": "47-406"}
FIRST |= {"tube": "tube 26.9x2.3", "light": "tube 21.3x2", "bed_length": "900", "bed_width": "580", "handle": "35 in"}


def test_a_project_is_made_from_a_start_and_keeps_the_comments_of_its_file(desk: Desk) -> None:
    answer = desk.form("/new", **FIRST)
    assert answer.headers["location"] == "/p/cart-for-the-fair/"
    text = (desk.root / "cart-for-the-fair" / "design.yaml").read_text()
    assert "name: Cart for the fair\n" in text
    assert "wheel: wheel 47-406            # 26 inch, tyre 2.1 inch" in text
    assert "bed_width: {value: 580, says: outside to outside}" in text
    assert "equals: 35 in," in text
    page = words_of(desk.get("/p/cart-for-the-fair/").text)
    assert f"handle height {35 * 25.4:.0f} mm" in page


def test_a_cot_without_wheels_is_a_start_too(desk: Desk) -> None:
    page = desk.get("/?like=carrying-cot").text
    assert 'name="bed_height"' in page
    assert 'name="wheel"' not in page
    sent = {
        "like": "carrying-cot",
        "title": "Rescue cot",
        "bed_height": "350",
        "bed_length": "1800",
        "bed_width": "540",
    }
    assert desk.form("/new", **sent).headers["location"] == "/p/rescue-cot/"
    state = desk.state("rescue-cot")
    assert (state["workable"], state["findings"]) == (True, [])
    legs = size_of(state, "leg_height")
    assert legs["value"] == pytest.approx(350 - 26.9 / 2, abs=0.01)  # the bed lies on the rails, half a tube higher


def test_what_cannot_be_built_is_told_beside_its_field_and_nothing_is_made(desk: Desk) -> None:
    for name, value in (("wheel", "big"), ("bed_length", "nine hundred"), ("tube", "tube 26.9x"), ("handle", "5000")):
        answer = desk.form("/new", **{**FIRST, name: value})
        assert answer.status_code == 422, name
        field = answer.text[answer.text.index(f'id="new-{name}"') :]
        assert 'aria-invalid="true"' in field[: field.index(">")], name
        assert "finding beside error" in field[: field.index('<div class="field">')], name
        assert f'value="{html.escape(value)}"' in answer.text, "what was typed stays"
    assert sorted(path.name for path in desk.root.iterdir() if not path.name.startswith(".")) == ["cart"]


def test_own_files_are_brought_in_whole_or_not_at_all(desk: Desk) -> None:
    raw = design(desk).replace("name: Market handcart", "name: Barrow").encode()
    shop = (desk.root / "cart" / "workshop.yaml").read_bytes()

    def bring(**files: bytes) -> Any:
        sent = {name: (f"{name}.yaml", content) for name, content in files.items()}
        return desk.client.post(
            "/bring", data={"token": desk.token}, files=sent, headers={"origin": HERE}, follow_redirects=False
        )

    assert bring(design=raw, workshop=shop).headers["location"] == "/p/barrow/"
    assert (desk.root / "barrow" / "design.yaml").read_bytes() == raw
    assert bring(design=raw).headers["location"] == "/p/barrow-2/"
    for broken in (b"handbarrow: design 1\nname: [", b"\xff\xfe", b"handbarrow: workshop 1\nname: x\nstock: {}\n"):
        answer = bring(design=broken, workshop=shop)
        assert answer.status_code == 422
        assert 'class="finding error"' in answer.text
    assert bring(workshop=shop).status_code == 422
    assert bring(design=raw, workshop=raw).status_code == 422
    assert not (desk.root / "barrow-3").exists()


def test_the_first_page_lists_projects_by_what_they_are_called(desk: Desk) -> None:
    page = desk.get("/").text
    assert '<a href="/p/cart/">Market handcart</a>' in page
    assert 'href="/?like=hut-trailer#new" aria-current="true"' in page
    assert desk.get("/starts/handcart.svg").text.startswith("<svg")
    assert desk.get("/starts/none.svg").status_code == 404
    assert desk.get("/fonts/sans.ttf").content[:4] == b"\x00\x01\x00\x00"  # a TrueType font (from memory)
    assert desk.get("/fonts/passwd.ttf").status_code == 404


# ------------------------------------------------------------------------------------------------ job
def test_the_job_shows_what_the_job_data_say(desk: Desk) -> None:
    assert desk.form("/p/cart/units", units=3).headers["location"] == "/p/cart/job"
    page = words_of(desk.get("/p/cart/job").text)
    assert "Units 3" in page
    assert "Cutting plan" in page and "Stop settings for the batch" in page and "Materials to buy" in page
    wheels = re.search(r"wheel 53-559 (\d+) piece", page)
    assert wheels and int(wheels[1]) == 2 * 3
    for pattern in re.findall(r"Pattern (\d+)", page):
        assert desk.get(f"/p/cart/bench/saw/{pattern}").status_code == 200


def test_units_that_are_none_are_refused(desk: Desk) -> None:
    for units in ("0", "-1", "many", "1e9", ""):
        assert desk.form("/p/cart/units", units=units).status_code == 422
    assert desk.form("/p/cart/under-way", kind="everything").status_code == 422


def test_a_finding_leads_to_where_it_is_mended(desk: Desk) -> None:
    shop = desk.root / "cart" / "workshop.yaml"
    text = shop.read_text()
    start = text.index("  wheel 53-559")
    shop.write_text(text[:start] + text[text.index("\n", start) + 1 :])
    page = desk.get("/p/cart/job").text
    found = re.search(r'<li class="finding[^>]*data-code="price-missing">.*?</li>', page, re.DOTALL)
    assert found
    link = re.search(r'href="([^"]+)"', found[0])
    assert link and link[1].startswith("/p/cart/")
    assert desk.get(link[1].partition("#")[0]).status_code == 200


def test_old_sheets_are_told_apart_from_those_of_today(desk: Desk) -> None:
    folder = desk.root / "cart" / "sheets"
    folder.mkdir()
    (folder / "pack.pdf").write_bytes(b"%PDF-1.7")
    (folder / "files.txt").write_text("0" * 64 + "  pack.pdf\n")
    state = {"design": {"digest": "0" * 12}, "workshop": {"digest": "0" * 12}, "units": 1}
    (folder / "job.json").write_text(json.dumps(state))
    page = desk.get("/p/cart/job").text
    assert "/api/p/cart/files/pack.pdf" in page
    assert "Made from an earlier state of the files" in page


@pytest.mark.parametrize("design", sorted(one.file for one in STARTS.values()))
def test_every_page_shows_every_design_that_a_person_may_begin_with(tmp_path: Path, design: str) -> None:
    project_folder(tmp_path, "own", design)
    with Desk(tmp_path) as desk:
        state = desk.state("own")
        assert state["workable"], state["findings"]
        kinds = {part["kind"]: part["id"] for part in state["parts"]}
        for path in ("", "job", "checks", "bench", "workshop", "versions", *(f"part/{one}" for one in kinds.values())):
            assert desk.get(f"/p/own/{path}").status_code == 200, path
        for station in STATIONS:
            assert desk.get(f"/p/own/bench/{station}/1").status_code in (200, 404), station


def test_every_station_that_has_sheets_has_a_name_on_the_pages() -> None:
    assert set(SHEET_STATIONS) <= set(STATION_NAMES)


def test_a_change_says_which_checks_came_out_otherwise(desk: Desk) -> None:
    base = desk.state()["number"]
    moved = desk.post("/api/p/cart/size", {"base": base, "name": "bed_length", "text": "1300", "differences": False})
    assert (moved.json()["since"], moved.json()["differences"]) == (base, None)
    told = desk.get(f"/api/p/cart/differences?since={base}&checks=true").json()
    bends = [one for one in told["checks"] if one["id"].startswith("stress-")]
    assert bends and all(one["was"] != one["now"] or one["verdict"]["was"] != one["verdict"]["now"] for one in bends)
    short = desk.get("/api/p/cart/checks").json()
    assert {one["id"] for one in short["open"]}.isdisjoint(
        one["id"] for one in bends if one["verdict"]["now"] == "holds"
    )
    assert desk.get(f"/api/p/cart/differences?since={base + 1}&checks=true").json()["checks"] == []


def test_static_files_are_asked_for_anew_by_their_mark(desk: Desk) -> None:
    answer = desk.get("/static/workbench.css")
    assert answer.headers["cache-control"] == "no-cache"
    again = desk.get("/static/workbench.css", headers={"if-none-match": answer.headers["etag"]})
    assert again.status_code == 304
