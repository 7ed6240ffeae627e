"""The bender station: every bend of the batch once, in an order that can be bent, each stop set once."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from factories import make_job
from handbarrow.cli.loading import load_job
from handbarrow.job.values import Job
from handbarrow.sheets.bender import MOST_TICKS, bender_pages, stations
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.pictures import pack_drawings
from handbarrow.sheets.shown import fixed
from printed import on, pack, pages, texts

ROOT = Path(__file__).parents[2]


@cache
def job_of(design: str, units: int = 8, shop: str = "ridge-workshop.yaml") -> Job:
    job, _ = load_job(ROOT / "examples" / design, ROOT / "examples" / shop, units)
    assert job is not None
    return job


def pages_of(job: Job) -> list[Block]:
    return bender_pages(job, pack_drawings(job).at_bender)


@pytest.mark.parametrize("design", ["hut-trailer.yaml", "handcart.yaml"])
def test_every_bend_is_made_once_and_every_part_keeps_the_order_of_its_bends(design: str) -> None:
    job = job_of(design)
    made: dict[str, list[int]] = {}
    for station in stations(job):
        for part, number in station.bends:
            made.setdefault(part, []).append(number)
    wanted = {p.id: [row.number for row in p.card.in_order] for p in job.parts if p.card and p.pull is None}
    assert made == wanted


def test_every_stop_of_the_list_is_set_once_in_its_order() -> None:
    job = job_of("hut-trailer.yaml")
    assert tuple(s.stop for s in stations(job) if s.stop is not None) == job.stops
    assert len(stations(job)) == len(job.stops) + 1, "the bows are bent in the vice, to the mark"


def test_a_bend_to_the_mark_comes_before_the_stop_that_needs_it_made() -> None:
    job = make_job()
    hoop = job.part("outer-hoop")
    assert hoop.card is not None
    first = replace(hoop.card.rows[0], stop=None, stop_touches="none")
    hoop = replace(hoop, card=replace(hoop.card, rows=(first, *hoop.card.rows[1:])))
    stops = tuple(replace(stop, uses=tuple(use for use in stop.uses if use[:2] != (hoop.id, 1))) for stop in job.stops)
    job = replace(job, parts=(hoop, *job.parts[1:]), stops=tuple(s for s in stops if s.uses))
    order = [(s.stop is None, bend) for s in stations(job) for bend in s.bends if bend[0] == hoop.id]
    assert [bend for _, bend in order] == [(hoop.id, 1), (hoop.id, 2)]
    assert order[0][0]


def rows_of(job: Job) -> list[list[Block]]:
    return [row for page in pages_of(job) if page["table"] for row in page["table"]["rows"]]


def test_each_bend_has_a_picture_its_set_angle_and_a_box_for_every_piece() -> None:
    job = job_of("hut-trailer.yaml")
    rows = rows_of(job)
    assert len(rows) == sum(len(p.card.rows) for p in job.parts if p.card and p.pull is None)
    boxes = sum(row[2]["count"] for row in rows)
    assert boxes == sum(p.quantity * job.units * len(p.card.rows) for p in job.parts if p.card and p.pull is None)
    for view, what, _ in rows:
        assert view["view"]["svg"].startswith("<svg") and "in the bender before bend" in view["view"]["alt"]
        assert what["facts"][0][1].endswith("°")


def test_a_large_batch_is_tallied() -> None:
    kinds = {row[2]["kind"] for row in rows_of(job_of("handcart.yaml", MOST_TICKS + 1))}
    assert kinds == {"tally"}


def test_mirrored_pieces_that_are_another_piece_have_a_row_of_their_own_with_turns_the_other_way() -> None:
    job = make_job()
    bar = job.part("drawbar")
    twin = replace(bar, quantity=2, mirrored=1, other_hand=True)
    job = replace(job, parts=tuple(twin if p.id == bar.id else p for p in job.parts))
    rows = [row for row in rows_of(job) if row[1]["title"].startswith("drawbar")]
    titles = [row[1]["title"] for row in rows]
    assert titles == ["drawbar, as drawn", "drawbar, mirrored"] * 2
    turns = [dict(row[1]["facts"])["Turn first"] for row in rows]
    assert {turns[2].split()[0]} == {turns[3].split()[0]}
    assert turns[2].split()[1] != turns[3].split()[1]
    assert turns[2].split()[1] in ("clockwise", "anticlockwise")
    # the crown line that stands up for one hangs down for the other
    crowns = [dict(row[1]["facts"])["Crown line"] for row in rows]
    assert crowns[:2] == ["up", "180°"]


@pytest.mark.parametrize(("paper", "length"), [("A4", "mm"), ("Letter", "in")])
def test_station_sheets_say_every_stop_and_set_angle_and_run_off_no_sheet(paper: str, length: str) -> None:
    job = on(job_of("handcart.yaml"), paper, length)
    shop = job.workshop
    pdf = pack("handcart", "ridge-workshop", paper, length)
    found = ""
    for page, text in zip(pages(pdf), texts(pdf), strict=True):
        if "bender-station" in text:
            found += text
            for c in page.chars:
                assert c["x0"] >= 0 and c["x1"] <= page.width and c["top"] >= 0 and c["bottom"] <= page.height
            foot = min(c["top"] for c in page.chars if "throw them away" in text and c["top"] > page.height - 60)
            curves = [*page.lines, *page.curves, *page.rects]
            assert max(item["bottom"] for item in curves) < foot + 15
    for stop in job.stops:
        assert f"set to {shop.shown.length(stop.value, with_unit=True)}" in found
    for part in job.parts:
        for row in part.card.rows if part.card and part.pull is None else ():
            assert f"{fixed(math.degrees(row.set_angle_rad))}°" in found


def test_a_guessed_die_says_so() -> None:
    pages = pages_of(make_job())
    assert any("first guess" in remark for remark in pages[0]["remarks"])
    assert not any("first guess" in remark for remark in pages_of(job_of("hut-trailer.yaml"))[0]["remarks"])
