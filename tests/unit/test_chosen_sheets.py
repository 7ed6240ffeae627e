"""A pack of chosen sheets: only these, all of these, on the paper asked for."""

from __future__ import annotations

import datetime
import io
import re
from dataclasses import replace
from functools import cache

import pdfplumber
import pytest

from factories import make_job
from handbarrow.drawings.model import Drawing, Stroke
from handbarrow.sheets.choice import STATIONS, WHOLE, Choice, as_chosen, wrong_choice
from handbarrow.sheets.pack import PackError, _content, write_pack
from handbarrow.sheets.pictures import pack_drawings
from printed import DAY, MM, small_pack, texts


@cache
def printed(choice: Choice) -> bytes:
    if choice == WHOLE:
        return small_pack()
    job = as_chosen(make_job(), choice)
    return write_pack(job, pack_drawings(job), DAY, choice)


def words_of(choice: Choice) -> tuple[str, ...]:
    return texts(printed(choice))


def codes(choice: Choice) -> list[str]:
    """Names of the sheets, from the codes at their heads."""
    found = [re.search(r"Code of this sheet: (\S+)/8/", text) for text in words_of(choice)]
    assert all(found)
    return [one[1] for one in found if one]


def test_every_sheet_of_the_pack_but_its_cover_belongs_to_one_station() -> None:
    by_station: dict[str, list[str]] = {}
    for station in STATIONS:
        try:
            by_station[station] = codes(Choice(station=station))
        except PackError as fault:
            assert "no sheet of that choice" in str(fault)
            by_station[station] = []
    together = [name for names in by_station.values() for name in dict.fromkeys(names)]
    assert set(codes(WHOLE)) - {"+cover"} <= set(together)
    twice = {name for name in together if together.count(name) > 1}
    parts = {part.id for part in make_job().parts}
    assert twice <= parts, "only a part's own sheets hang at more than one station"


def test_sheets_of_one_part_are_its_card_and_its_wraps_and_no_other_parts() -> None:
    choice = Choice(part="outer-hoop")
    text = "\n".join(words_of(choice))
    assert text.count("Bend card 1: outer hoop") == 1, "with the number that it has in the whole pack"
    assert "Bend card 5" not in text and "drawbar" not in text.replace("round drawbar", "")
    assert "Shop pack for" not in text
    assert {"outer-hoop", "+wraps"} <= set(codes(choice))
    whole = [t for t, code in zip(words_of(WHOLE), codes(WHOLE), strict=True) if code == "+wraps"]
    some = [t for t, code in zip(words_of(choice), codes(choice), strict=True) if code == "+wraps"]
    own = sum(cut is not None and bool(cut.wrap) for cut in (make_job().parts[0].start, make_job().parts[0].end))
    assert sum(t.count("for tube") + t.count("for square tube") for t in some) == own
    assert sum(t.count("for tube") + t.count("for square tube") for t in whole) > own


def test_card_of_a_part_is_word_for_word_that_of_the_whole_pack() -> None:
    def card(choice: Choice) -> str:
        (text,) = (t for t in words_of(choice) if "Bend card 1: outer hoop" in t)
        return re.sub(r"Sheet \d+ of \d+", "", text)

    assert card(Choice(part="outer-hoop")) == card(Choice(station="bender")) == card(WHOLE)


def test_sheets_of_an_assembly_are_those_of_its_parts() -> None:
    job = make_job()
    for assembly in dict.fromkeys(part.assembly for part in job.parts if part.card is not None):
        names = codes(Choice(assembly=assembly))
        own = {part.id for part in job.parts if part.assembly == assembly}
        assert {name for name in names if not name.startswith("+")} <= own
        assert {part.id for part in job.parts if part.card and part.assembly == assembly} <= set(names)
        assert not {"+cover", "+cutting", "+materials"} & set(names)


@pytest.mark.parametrize(
    ("station", "words"),
    [
        ("saw", "Eye and ear protection. Guard on."),
        ("mitre", "Eye and ear protection. Guard on."),
        ("bender", "Keep fingers off die and stop."),
        ("drill", "No gloves, no loose sleeves"),
    ],
)
def test_what_can_hurt_stands_on_the_stations_own_sheets(station: str, words: str) -> None:
    assert words in " ".join(" ".join(words_of(Choice(station=station))).split())


def test_card_of_one_part_says_by_itself_what_can_hurt() -> None:
    (card,) = (text for text in words_of(Choice(part="outer-hoop")) if "Bend card 1" in text)
    assert "Keep fingers off die and stop. The free end swings" in card


def test_sheets_come_in_the_order_of_the_work() -> None:
    names = list(dict.fromkeys(codes(WHOLE)))
    work = [
        "+cover",
        "+parts",
        "+materials",
        "+cutting",
        "+straight",
        "+wraps",
        "outer-hoop",
        "+stops",
        "+bender-station",
    ]
    places = [names.index(name) for name in work if name in names]
    assert len(places) == len(work) and places == sorted(places)


def test_choices_narrow_each_other() -> None:
    both = codes(Choice(part="outer-hoop", station="mitre"))
    assert set(both) == {"+wraps"}
    with pytest.raises(PackError, match="no sheet of that choice"):
        words_of(Choice(part="outer-hoop", station="buying"))


def test_what_there_is_not_is_named_with_what_there_is() -> None:
    job = make_job()
    assert wrong_choice(WHOLE, job) == ""
    assert wrong_choice(Choice(part="outer-hoop", station="saw", assembly=job.parts[0].assembly), job) == ""
    assert "`outer-hoop`" in wrong_choice(Choice(part="outr-hoop"), job)
    assert "`bender`" in wrong_choice(Choice(station="bend"), job)
    assert "there is no assembly" in wrong_choice(Choice(assembly="x"), job)


def test_names_of_the_files_tell_choices_apart() -> None:
    assert WHOLE.file == "pack.pdf"
    given = [
        Choice(part="cot"), Choice(assembly="cot"), Choice(station="saw"), Choice(paper="A3"),
        Choice(part="cot", paper="A3"), Choice(part="cot", station="saw"), Choice(assembly="cot", station="saw"),
    ]  # fmt: skip
    assert len({choice.file.lower() for choice in given}) == len(given)
    assert Choice(part="cot", station="saw", paper="A3").file == "pack-part-cot-station-saw-a3.pdf"
    assert "/" not in Choice(assembly="../../etc").file


# ------------------------------------------------------------------------------------------------ paper


def test_a3_holds_larger_views_and_wraps_at_true_size() -> None:
    views = {}
    for paper in ("A4", "A3"):
        job = as_chosen(make_job(), Choice(paper=paper))
        content = _content(job, pack_drawings(job), datetime.date(2026, 6, 1), Choice(paper=paper))
        cards = [card["view"] or card["check_view"] for card in content["cards"]]
        views[paper] = [content["cover"]["view"], *cards, *(card["strip"] for card in content["cards"])]
        assert all(view["h"] <= (381 if paper == "A3" else 258) for view in views[paper])
    for small, large in zip(views["A4"], views["A3"], strict=True):
        assert max(large["w"] / small["w"], large["h"] / small["h"]) > 1.2
    with pdfplumber.open(io.BytesIO(printed(Choice(paper="A3")))) as book:
        rules = 0
        for page in book.pages:
            assert (page.width * MM, page.height * MM) == pytest.approx((297, 420), abs=0.01)
            for c in page.chars:
                assert c["x0"] >= 0 and c["x1"] <= page.width and c["top"] >= 0 and c["bottom"] <= page.height
            if "exactly 100 mm" in words_of(Choice(paper="A3"))[page.page_number - 1]:
                lengths = [
                    abs(points[1][0] - points[0][0]) * MM
                    for line in [*page.lines, *page.curves]
                    if len(points := line.get("pts") or []) == 2 and abs(points[0][1] - points[1][1]) < 0.01
                ]
                assert min(abs(length - 100.0) for length in lengths) < 0.01
                rules += 1
    assert rules


def test_a3_takes_a_drawing_that_a4_refuses_and_refuses_what_is_wider_than_itself() -> None:
    def with_view(paper: str, width: float) -> bytes:
        job = as_chosen(make_job(), Choice(paper=paper))
        wide = Drawing(width=width, height=50, alt="wide", strokes=(Stroke(points=((0, 0), (1, 1))),))
        return write_pack(job, replace(pack_drawings(job), product=lambda box: wide), DAY, Choice(paper=paper))

    assert with_view("A3", 270).startswith(b"%PDF")
    for paper, width in (("A4", 270), ("A3", 280)):
        with pytest.raises(PackError, match="does not fit"):
            with_view(paper, width)
