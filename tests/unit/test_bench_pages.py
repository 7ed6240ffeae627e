"""Bench pages: numbers as on the cards, ticks and measured values kept line by line. Expectations: closed form."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from desk import HERE, Desk, project_folder
from handbarrow.web.tally import Book, Entry, done


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    project_folder(tmp_path)
    with Desk(tmp_path) as out:
        out.form("/p/cart/units", units=4)
        yield out


def lines(desk: Desk) -> list[dict[str, Any]]:
    path = desk.root / "cart" / "bench.jsonl"
    return [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []


def words_of(page: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", page[page.index("<body") :])).split())


def action(page: str) -> str:
    found = re.search(r'<form method="post" action="([^"]+)" data-bench>', page)
    assert found
    return html.unescape(found[1])


def send(desk: Desk, where: str, **fields: str) -> Any:
    data = {"token": desk.token, **fields}
    return desk.client.post(where, data=data, headers={"origin": HERE}, follow_redirects=False)


def task_of(desk: Desk, station: str, title: str) -> str:
    """Address of the task with a title."""
    for number in range(1, 60):
        page = desk.get(f"/p/cart/bench/{station}/{number}")
        if page.status_code != 200:
            break
        if title in words_of(page.text):
            return f"/p/cart/bench/{station}/{number}"
    raise AssertionError(title)


def test_the_bender_reads_what_the_card_says(desk: Desk) -> None:
    part = desk.get("/api/p/cart/part/handle").json()
    page = words_of(desk.get(task_of(desk, "bender", "handle")).text)
    for row in part["bends"]:
        assert f"Mark {row['mark']:.1f}" in page
        assert f"Set angle {row['set_angle']:.1f}°" in page
    assert "Keep fingers off die and stop" in page


def test_the_saw_cuts_every_piece_of_the_batch(desk: Desk) -> None:
    """Pieces on all bars, times how often each bar is cut, are the pieces of the batch; test pieces come on top."""
    count, number = 0, 1
    while (page := desk.get(f"/p/cart/bench/saw/{number}")).status_code == 200:
        bars = len(re.findall(r'name="done-\d+"', page.text))
        pieces = len(re.findall(r'<strong class="big">', page.text)) - page.text.count("test piece for die")
        count += bars * pieces
        number += 1
    parts = desk.get("/api/p/cart/state").json()["parts"]
    assert count == sum(part["quantity"] for part in parts if part["kind"] in ("tube", "bar")) * 4


def test_pieces_are_ticked_off_and_back_again(desk: Desk) -> None:
    where = task_of(desk, "bender", "handle")
    page = desk.get(where).text
    assert len(re.findall(r'name="done-\d+"', page)) == 4
    assert send(desk, action(page), boxes="4", **{"done-1": "1", "done-3": "1"}).status_code == 303
    page = desk.get(where).text
    assert "2 of 4 done" in words_of(page)
    assert re.findall(r'name="done-(\d)" value="1" checked', page) == ["1", "3"]
    send(desk, action(page), boxes="4", **{"done-3": "1"})
    assert "1 of 4 done" in words_of(desk.get(where).text)
    assert [(line["field"], line["value"]) for line in lines(desk)] == [
        ("done-1", "1"),
        ("done-3", "1"),
        ("done-1", ""),
    ]
    assert re.search(r"Bender 1 of \d+ done", words_of(desk.get("/p/cart/bench").text))


def test_one_field_from_a_phone_is_kept_once_however_often_it_is_sent(desk: Desk) -> None:
    where = action(desk.get(task_of(desk, "bender", "handle")).text)
    for _ in range(3):
        answer = send(desk, where, field="done-2", at="2026-11-25T10:00:00.000Z", client="x", **{"done-2": "1"})
        assert answer.status_code == 200
    kept = lines(desk)
    assert len(kept) == 1
    assert kept[0]["at"] == "2026-11-25T10:00:00.000Z" and kept[0]["station"] == "bender"


def test_ticks_for_other_numbers_do_not_count_and_are_told(desk: Desk) -> None:
    where = task_of(desk, "bender", "handle")
    old = action(desk.get(where).text)
    send(desk, old, boxes="4", **{"done-1": "1"})
    desk.set(1, "bed_width", "640")
    page = desk.get(where).text
    assert action(page) != old
    assert "0 of 4 done" in words_of(page)
    assert "for other numbers and does not count: 1" in words_of(page)
    assert send(desk, old, field="done-2", **{"done-2": "1"}).status_code == 200, "a phone that was away still tells"
    assert "0 of 4 done" in words_of(desk.get(where).text)


def test_a_measured_value_is_told_apart_inside_and_outside_its_limits(desk: Desk) -> None:
    where = task_of(desk, "check", "handle")
    page = desk.get(f"{where}?piece=3").text
    part = desk.get("/api/p/cart/part/handle").json()
    size = next(s for s in part["check_sizes"] if s["kind"] == "length" and s["measured"] != "flat")
    name = f"m-{size['id']}-3"
    assert f'name="{name}"' in page
    for value, inside in (
        (f"{size['value']:.1f}", True),
        (f"{size['value'] + size['plus'] + 0.2:.1f}".replace(".", ","), False),
        (f"{size['value'] - size['minus'] - 0.2:.1f}", False),
    ):
        answer = send(desk, action(page), field=name, **{name: value})
        assert answer.json()["inside"] == [inside]
        shown = words_of(desk.get(f"{where}?piece=3").text)
        assert ("within the limits" in shown) is inside
        assert ("outside the limits" in shown) is not inside
    assert "the limits" not in words_of(desk.get(f"{where}?piece=2").text)


def test_what_is_no_number_is_told_and_not_kept(desk: Desk) -> None:
    where = task_of(desk, "check", "handle")
    page = desk.get(where).text
    name = re.findall(r'name="(m-[^"]+)"', page)[0]
    for value in ("long", "12 mm", "1e9", "--3", "1.2.3", "９"):
        answer = send(desk, action(page), field=name, **{name: value})
        assert answer.status_code == 422, value
        assert answer.headers["content-type"].startswith(("application/json", "text/html"))
        whole = send(desk, action(page), **{name: value})
        assert whole.status_code == 422
        assert f'value="{value}"' in whole.text and 'aria-invalid="true"' in whole.text
    assert lines(desk) == []


def test_fields_that_are_none_and_pages_that_are_none_are_refused(desk: Desk) -> None:
    where = action(desk.get("/p/cart/bench/saw/1").text)
    assert send(desk, where, field="../x", **{"../x": "1"}).json() == {"kept": [], "inside": []}
    assert send(desk, where.partition("?")[0], field="done-1", **{"done-1": "1"}).status_code == 422
    assert lines(desk) == []
    for path in ("saw/0", "saw/9999", "nothing/1", "saw/-1", "bender/99"):
        assert desk.get(f"/p/cart/bench/{path}").status_code == 404, path


def test_many_pieces_are_counted_in_writing(desk: Desk) -> None:
    desk.form("/p/cart/units", units=60)
    where = task_of(desk, "bender", "handle")
    page = desk.get(where).text
    assert 'name="count"' in page and 'name="done-1"' not in page
    assert send(desk, action(page), count="17").status_code == 303
    assert "17 of 60 done" in words_of(desk.get(where).text)
    assert send(desk, action(page), count="many").status_code == 422


def test_a_line_that_was_cut_off_is_passed_over(tmp_path: Path) -> None:
    book = Book(tmp_path)
    one = Entry(time="t", station="saw", task="saw 1 abc", field="done-1", value="1", design="d", workshop="w")
    book.add([one])
    with (tmp_path / "bench.jsonl").open("ab") as stream:
        stream.write(b'{"time": "t", "station": "sa')
    book.add([Entry(time="t", station="saw", task="saw 1 abc", field="done-2", value="1", design="d", workshop="w")])
    assert done(Book(tmp_path).of("saw", "saw 1 abc")) == 2
    assert Book(tmp_path).all()[("saw", "saw 1 abc", "done-1")] == one
