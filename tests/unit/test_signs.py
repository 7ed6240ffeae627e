"""Signs beside the verbs: whole, unlike each other when small, of the form that people know, and true to the words."""

from __future__ import annotations

import copy
import io
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pdfplumber
import pikepdf
import pytest
from PIL import Image, ImageDraw

from factories import make_job
from handbarrow.cli.loading import load_job
from handbarrow.drawings.fitup import piece_solids
from handbarrow.drawings.pictograms import SAFETY, SIGNS, pictogram
from handbarrow.job.fitup import fit_up
from handbarrow.job.values import Job
from handbarrow.sheets.bender import bender_pages
from handbarrow.sheets.codes import code_of
from handbarrow.sheets.fitup import fitup_pages
from handbarrow.sheets.jobdata import job_document
from handbarrow.sheets.pack import write_pack
from handbarrow.sheets.pictures import pack_drawings
from handbarrow.sheets.signs import CAUTION_SIGNS, HEAD_SIGNS, JIG_CAUTION_SIGNS, legend
from handbarrow.sheets.verdict import judge
from handbarrow.sheets.words_signs import SIGN

EXAMPLES = Path(__file__).parents[2] / "examples"
MM = 25.4 / 72
SMALL = 32
"""Side of a small picture of a sign [pixels]: 10 mm at 81 dots an inch."""
MUST = ("eyes", "ears", "gloves", "mask", "weld mask")
NO = ("no gloves", "keep away")
DANGER = ("arc light", "fire", "hot", "crush")
BOTH = pytest.mark.parametrize("design", ["hut-trailer.yaml", "handcart.yaml"])


@cache
def raster(name: str, side: int = SMALL) -> np.ndarray[Any, Any]:
    """A sign as a grey picture, 0 white to 1 black; drawn eight times as fine, then averaged."""
    fine = side * 8
    drawing = pictogram(name, name)
    unit = fine / drawing.width
    picture = Image.new("L", (fine, fine), 255)
    pen = ImageDraw.Draw(picture)
    for stroke in drawing.strokes:
        points = [(x * unit, y * unit) for x, y in stroke.points]
        if stroke.fill != "none":
            pen.polygon(points, fill={"white": 255, "grey": 204, "black": 0}[stroke.fill])
        if stroke.weight > 0:
            line = [*points, points[0]] if stroke.closed else points
            pen.line(line, fill=0, width=max(1, round(stroke.weight * unit)), joint="curve")
    return 1 - np.asarray(picture, dtype=float).reshape(side, 8, side, 8).mean(axis=(1, 3)) / 255


@cache
def job_of(design: str) -> Job:
    job, _ = load_job(EXAMPLES / design, EXAMPLES / "ridge-workshop.yaml", 8)
    assert job is not None
    return job


@cache
def printed() -> bytes:
    job = make_job()
    long = replace(job.parts[0], title="outer hoop of the lower frame with the two bends that carry the wheel plates")
    job = replace(job, parts=(long, *job.parts[1:]))
    return write_pack(job, pack_drawings(job), "2026-06-01")


# ------------------------------------------------------------------------------------------------ the drawings
@pytest.mark.parametrize("name", SIGNS)
def test_a_sign_stays_in_its_square(name: str) -> None:
    drawing = pictogram(name, name, 10.0)
    for stroke in drawing.strokes:
        points = np.array(stroke.points)
        assert points.min() - stroke.weight / 2 > -0.3
        assert points.max() + stroke.weight / 2 < 10.3


@pytest.mark.parametrize("name", SIGNS)
def test_a_sign_grows_as_a_whole(name: str) -> None:
    small, large = pictogram(name, name, 8.0), pictogram(name, name, 12.0)
    for a, b in zip(small.strokes, large.strokes, strict=True):
        assert np.allclose(np.array(a.points) * 1.5, b.points)
        assert a.weight * 1.5 == pytest.approx(b.weight)


@pytest.mark.parametrize("name", SIGNS)
def test_a_sign_is_neither_a_blot_nor_a_hair(name: str) -> None:
    # recorded: 0.24 (a sleeve) to 0.57 (a head in its disc); an empty or a full square would be 0 or 1
    assert 0.1 < raster(name).mean() < 0.7


def test_no_two_signs_are_taken_for_each_other_when_small() -> None:
    """Share of the ink of either that is not the other's. Recorded: the nearest two are discs with a head in them."""
    for a, b in combinations(SIGNS, 2):
        one, other = raster(a), raster(b)
        assert np.abs(one - other).sum() / np.maximum(one, other).sum() > 0.12, (a, b)


def test_must_danger_and_no_have_the_forms_that_people_know() -> None:
    # ISO 3864-1 and ISO 7010, from memory: mandatory a filled disc, warning a triangle on its base, prohibition a ring
    # with a bar that falls from the upper left to the lower right. Colours are left out: paper is black and white.
    assert set(MUST) | set(NO) | set(DANGER) == SAFETY
    ys, xs = np.mgrid[0:96, 0:96] + 0.5
    far = np.hypot(xs - 48, ys - 48)
    rim = (far > 42.5) & (far < 46)
    falls, rises = (np.abs(xs - ys) < 2) & (far < 34), (np.abs(xs + ys - 96) < 2) & (far < 34) & (far > 20)
    for name in (*MUST, *NO):
        assert raster(name, 96)[far > 49].max() == 0.0, "nothing outside the round form"
    for name in MUST:
        assert raster(name, 96)[rim].mean() > 0.95
        assert raster(name, 96)[far < 40].mean() < 0.9, "something white is in it"
    for name in NO:
        assert raster(name, 96)[rim].mean() > 0.95
        assert raster(name, 96)[falls].mean() > 0.95
        assert raster(name, 96)[rises].mean() < 0.6
    for name in DANGER:
        rows = raster(name, 96) > 0.5
        wide = [np.ptp(np.flatnonzero(row)) for row in rows if row.any()]
        assert wide[0] < 14 and max(wide) > 88
        assert np.all(np.diff(wide[:-6]) >= -1), "wider downwards"


# ------------------------------------------------------------------------------------------------ the words
def test_every_sign_has_its_words_and_stands_on_the_sheet_that_explains_them() -> None:
    shown = [tuple(one) for group in legend()["legend"] for one in group["signs"]]
    assert [name for name, _ in shown] == list(SIGNS)
    assert dict(shown) == dict(SIGN)
    assert len(set(SIGN.values())) == len(SIGN)


def test_signs_that_sheets_name_are_there() -> None:
    named = {
        name for table in (HEAD_SIGNS, CAUTION_SIGNS, JIG_CAUTION_SIGNS) for names in table.values() for name in names
    }
    assert named <= set(SIGNS)


def cells(blocks: list[dict[str, Any]], kind: str) -> Iterator[dict[str, Any]]:
    for block in blocks:
        for row in (block.get("table") or {"rows": []})["rows"]:
            yield from (cell for cell in row if isinstance(cell, dict) and cell.get("kind") == kind)


@BOTH
def test_the_signs_of_a_bend_say_what_its_words_say(design: str) -> None:
    job = job_of(design)
    found = list(cells(bender_pages(job, pack_drawings(job).at_bender), "bend"))
    assert found
    for cell in found:
        facts = dict(cell["facts"])
        turn, signs = facts["Turn first"], cell["signs"]
        assert ("swap" in signs) == turn.startswith("swap end for end")
        assert ("turn" in signs) == ("clockwise" in turn or "180°" in turn)
        assert ("crown" in signs) == (turn == "–" and facts["Crown line"] == "up")


@BOTH
def test_the_signs_of_a_step_say_what_its_words_say(design: str) -> None:
    job = job_of(design)
    found = list(cells(fitup_pages(job, fit_up(job), piece_solids(job), 186.0), "fit"))
    assert found
    for cell in found:
        said, signs = " ".join(line["rest"] for line in cell["lines"]), cell["signs"]
        assert ("lay" in signs) == any(note.startswith("Lay it down first") for note in cell["notes"])
        assert ("slide on" in signs) == any(note.startswith("First slide") for note in cell["notes"])
        assert ("square" in signs) == ("square on" in said)
        assert ("tack" in signs) == ("tacks" in said)


# ------------------------------------------------------------------------------------------------ the sheets
def alts(node: Any) -> Iterator[str]:
    """The words for those who cannot see, from the tags of a PDF."""
    if isinstance(node, pikepdf.Array):
        for one in node:
            yield from alts(one)
    elif isinstance(node, pikepdf.Dictionary):
        if "/Alt" in node:
            yield str(node.Alt)
        if "/K" in node:
            yield from alts(node.K)


def test_every_sign_on_paper_says_itself_to_those_who_cannot_see() -> None:
    with pikepdf.open(io.BytesIO(printed())) as book:
        said = list(alts(book.Root.StructTreeRoot))
    for name, words in SIGN.items():
        assert f"Sign: {words}" in said, name
    assert said.count("Sign: Saw") > 2, "on the legend and at the saw"


def test_signs_at_the_head_lie_on_no_word() -> None:
    seen = 0
    with pdfplumber.open(io.BytesIO(printed())) as book:
        for page in book.pages:
            strokes = [
                (o["x0"] * MM, o["top"] * MM, o["x1"] * MM, o["bottom"] * MM) for o in [*page.curves, *page.rects]
            ]
            head = [b for b in strokes if b[1] > 21.5 and b[3] < 31 and b[0] > 100 and b[2] - b[0] < 8.5]
            seen += bool(head)
            for char in page.chars:
                x0, y0, x1, y1 = (char[k] * MM for k in ("x0", "top", "x1", "bottom"))
                # a letter's box is as high as the font allows; its ink ends a quarter of the em from either edge
                inset = 0.25 * (y1 - y0)
                for b in head:
                    assert x1 < b[0] or x0 > b[2] or y1 - inset < b[1] or y0 + inset > b[3], char["text"]
    assert seen > 8


def test_the_sheet_of_signs_stays_right_whatever_changes_in_the_design() -> None:
    job = make_job()
    older: dict[str, Any] = job_document(job)
    now = copy.deepcopy(older)
    now["design"]["digest"] = "0" * len(now["design"]["digest"])
    now["parts"][0]["cut_length"] += 10.0
    assert judge(code_of(job, "+signs"), now, older).still_right
    assert not judge(code_of(job, "+parts"), now, older).still_right
