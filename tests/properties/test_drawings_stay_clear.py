"""Whatever the part: texts never overlap, never leave the drawing, and every dimension is as long as it says."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from factories import BOW, MAIN, job_with, make_job, random_tube
from handbarrow.drawings.bars import cutting_bar
from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.drawings.card import card_view
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.strip import tube_strip
from handbarrow.drawings.wraps import wrap
from handbarrow.job.bend_checks import check_sizes
from handbarrow.job.values import CutBar, CutPiece, JobHole, JobPart
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.units.shown import short_text
from handbarrow.workshop.values import Limits

SECTIONS = (
    MAIN,
    BOW,
    Section(shape="round tube", height=48.3, width=48.3, wall=2.6),
    Section(shape="round bar", height=8.0, width=8.0),
    Section(shape="rectangular tube", height=40.0, width=20.0, wall=2.0),
)


@st.composite
def tubes(draw: st.DrawFn) -> JobPart:
    """A bent tube with the check sizes that the job really makes; flat ones often, since most are."""
    count = draw(st.integers(1, 5))
    straights = [draw(st.integers(60, 1500)) for _ in range(count + 1)]
    angles = [draw(st.sampled_from([90, 90, 45, 30, 12, 120, 178])) for _ in range(count)]
    flat = draw(st.booleans())
    turns = [draw(st.sampled_from([0, 180] if flat else [0, 180, 90, 37, -120])) for _ in range(count)]
    section = draw(st.sampled_from(SECTIONS))
    part = random_tube(straights, angles, turns, section)
    assert part.card and part.centreline and part.start and part.end
    sizes = check_sizes(part.centreline, [section.height / 2] * count, (part.start, part.end), Limits())
    return replace(part, card=replace(part.card, check_sizes=sizes))


def is_clear(drawing: Drawing) -> None:
    assert [(a.string, b.string) for a, b in overlaps(drawing)] == []
    assert [t.string for t in outside(drawing)] == []
    assert all(t.size >= 3.5 for t in drawing.texts)


@given(tubes(), st.sampled_from([(184.0, 120.0), (184.0, 70.0), (184.0, 50.0), (250.0, 160.0)]))
@settings(max_examples=25, deadline=None)
def test_sizes_on_a_card_never_run_into_each_other_and_are_true(part: JobPart, box: tuple[float, float]) -> None:
    drawing = card_view(job_with(part), part.id, box)
    is_clear(drawing)
    assert (drawing.width, drawing.height) == box
    assert drawing.scale is not None
    for dimension in drawing.dimensions:
        assert dimension.on_paper / drawing.scale == pytest.approx(dimension.value, rel=1e-6)


@given(tubes(), st.lists(st.integers(0, 600), max_size=4))
@settings(max_examples=40, deadline=None)
def test_marks_on_a_strip_never_run_into_each_other(part: JobPart, holes: list[int]) -> None:
    part = replace(part, holes=tuple(JobHole(x=float(x), y=0.0, face="crown", diameter=6.0) for x in holes))
    drawing = tube_strip(job_with(part), part.id, 184.0)
    is_clear(drawing)
    assert drawing.width == 184.0


@given(tubes(), st.sampled_from(["start", "end"]), st.booleans(), st.booleans())
@settings(max_examples=30, deadline=None)
def test_words_on_a_wrap_never_run_into_each_other(part: JobPart, end: str, hacksaw: bool, alone: bool) -> None:
    named = replace(part, title="left upper wheel-guard hoop of the long trailer")
    is_clear(wrap(job_with(named), part.id, end, hacksaw=hacksaw, alone=alone))


@given(
    st.lists(st.tuples(st.floats(8.0, 1800.0), st.integers(1, 12)), min_size=1, max_size=9),
    st.sampled_from([6000.0, 1850.0]),
)
@settings(max_examples=40, deadline=None)
def test_names_on_a_bar_never_run_into_each_other(runs: list[tuple[float, int]], bar_length: float) -> None:
    job, at, pieces = make_job(), 5.0, []
    names = [p.id for p in job.parts if p.cut_length]
    for i, length in [(i, length) for i, (length, count) in enumerate(runs) for _ in range(count)]:
        if at + length > bar_length - 5.0:
            break
        name = names[i % len(names)]
        pieces.append(CutPiece(part=name if i % 7 else "", copy=i, at=at, length=length, die="" if i % 7 else "77"))
        at += length + 2.0
    bar = CutBar(stock="tube 26.9x2.3", source="shop", length=bar_length, count=3, pieces=tuple(pieces),
                 left=max(bar_length - 5.0 - at, 0.0), price=None)  # fmt: skip
    drawing = cutting_bar(job, bar, 184.0)
    is_clear(drawing)
    said = " ".join(t.string for t in drawing.texts)
    for piece in pieces:
        assert short_text(piece.length) in said  # every piece has its length on the drawing
        assert short_text(piece.at + piece.length) in said  # and its cut its place, at the mark or in words
