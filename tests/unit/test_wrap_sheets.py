"""How wraps are laid on sheets: none lies on another, none is lost, too wide ones are turned or cut into strips."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from factories import make_job
from handbarrow.drawings.model import Drawing, Stroke, Text
from handbarrow.job.values import Job
from handbarrow.sheets.blocks import PackError
from handbarrow.sheets.wraps import compact, wrap_keys, wrap_pages

WIDTH, FIRST, OTHER = 186.0, 218.0, 242.0
JOB = make_job()
KEYS = wrap_keys(JOB)


def sheet(width: float, height: float) -> Drawing:
    edge = Stroke(points=((0, 0), (width, 0), (width, height), (0, height)), closed=True)
    return Drawing(width=width, height=height, alt="wrap", strokes=(edge,))


def lay(sizes: list[tuple[float, float]]) -> list[dict[str, Any]]:
    drawings = {key: sheet(*size) for key, size in zip(KEYS, sizes, strict=True)}
    return wrap_pages(JOB, drawings, WIDTH, FIRST, OTHER)


def boxes(page: dict[str, Any]) -> list[tuple[float, float, float, float]]:
    out = []
    for one in page["wraps"]:
        high = one["drawing"]["w"] if one["turned"] else one["drawing"]["h"]
        out.append((one["x"], one["y"], one["x"] + one["w"], one["y"] + one["caption_h"] + high))
    return out


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(20, 180), st.floats(20, 190)), min_size=len(KEYS), max_size=len(KEYS)))
def test_every_wrap_has_its_own_place_on_a_sheet(sizes: list[tuple[float, float]]) -> None:
    pages = lay(sizes)
    assert sum(len(page["wraps"]) for page in pages) == len(KEYS)
    assert [page["first"] for page in pages] == [True] + [False] * (len(pages) - 1)
    for page in pages:
        placed = boxes(page)
        for x0, y0, x1, y1 in placed:
            assert x0 >= 0 and y0 >= 0 and x1 <= WIDTH + 1e-9 and y1 <= page["height"] + 1e-9
        for i, a in enumerate(placed):
            for b in placed[:i]:
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_wrap_wider_than_the_sheet_is_turned_if_it_fits_so() -> None:
    pages = lay([(205.0, 60.0)] + [(60.0, 30.0)] * (len(KEYS) - 1))
    (turned,) = (one for page in pages for one in page["wraps"] if one["turned"])
    assert turned["w"] == pytest.approx(61.0, abs=0.01)  # with the white round it


def test_a_wrap_wider_than_any_way_is_cut_into_strips_that_reach_under_each_other() -> None:
    pages = lay([(400.0, 60.0)] + [(60.0, 30.0)] * (len(KEYS) - 1))
    strips = sorted(
        (one["clip_x"], one["clip_w"]) for page in pages for one in page["wraps"] if one["drawing"]["w"] > 300
    )
    assert len(strips) == 3
    assert strips[0][0] == 0
    for (x, w), (after, _) in itertools.pairwise(strips):
        assert x + w - after == pytest.approx(10.0)
    assert strips[-1][0] + strips[-1][1] == pytest.approx(401.0, abs=0.01)


def test_a_wrap_higher_than_a_sheet_is_refused() -> None:
    with pytest.raises(PackError, match="does not fit"):
        lay([(260.0, 260.0)] + [(60.0, 30.0)] * (len(KEYS) - 1))


def test_a_batch_without_curved_ends_has_no_sheet_of_wraps() -> None:
    bare: Job = replace(JOB, parts=tuple(p for p in JOB.parts if p.section is None))
    assert wrap_pages(bare, {}, WIDTH, FIRST, OTHER) == []


def test_cropping_keeps_the_size_of_what_is_cut_out() -> None:
    paper = Stroke(points=((20, 30), (104.823, 30)), layer="edge")
    rule = Stroke(points=((0, 90), (100, 90)), layer="rule")
    note = Text(x=0, y=80, string="said once on the sheet", layer="notes")
    cropped = compact(Drawing(width=120, height=100, alt="wrap", strokes=(paper, rule), words=(note,)))
    (left,) = cropped.strokes
    assert left.points[1][0] - left.points[0][0] == pytest.approx(84.823, abs=1e-9)
    assert cropped.words == ()
    assert cropped.width == pytest.approx(85.823, abs=1e-9)
