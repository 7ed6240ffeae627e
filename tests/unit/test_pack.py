"""The printed pack, read back from the PDF: true size, every sheet stamped, nothing on top of anything else."""

from __future__ import annotations

import hashlib
import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pdfplumber
import pytest

from factories import make_job
from handbarrow.design.values import Bought, Target
from handbarrow.drawings.model import Drawing, Stroke
from handbarrow.findings import Finding, Severity
from handbarrow.job.values import Job
from handbarrow.sheets.pack import PackError, write_pack
from handbarrow.sheets.patterns import patterns
from handbarrow.sheets.pictures import pack_drawings
from handbarrow.sheets.shown import fixed
from printed import DAY, MM, level_lines, pages, small_pack, texts

ROOT = Path(__file__).parents[2]


def wrap_sheets(pdf: bytes) -> list[pdfplumber.page.Page]:
    return [
        page
        for page, text in zip(pages(pdf), texts(pdf), strict=True)
        if re.search("Check rules?: exactly 100 mm", text)
    ]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_check_rule_measures_100_mm_on_every_sheet_of_wraps(paper: str) -> None:
    found = wrap_sheets(small_pack(paper))
    assert found
    for page in found:
        assert min(abs(length - 100.0) for length in level_lines(page)) < 0.01


def test_a_shop_that_reads_inches_gets_a_rule_of_4_inches_beside_that_of_100_mm() -> None:
    found = wrap_sheets(small_pack("Letter", True, "in", "lb"))
    assert found
    for page in found:
        for rule in (100.0, 4 * 25.4):
            assert min(abs(length - rule) for length in level_lines(page)) < 0.01
        assert overlapping(page) == []


def test_every_sheet_names_the_unit_of_its_lengths() -> None:
    for pdf, words in ((small_pack(), "lengths in mm"), (small_pack("Letter", True, "in", "lb"), "lengths in inches")):
        assert all(words in text for text in texts(pdf))


def test_a_shop_that_reads_inches_and_pounds_gets_no_size_in_mm() -> None:
    # computed here: cut length 3491.0 mm = 137.44 in, on a tape 137 7/16; first mark 1410.57 mm = 55.53 in, 55 9/16
    text = " ".join("\n".join(texts(small_pack("Letter", True, "in", "lb"))).split())
    for word in ("137.44 in (tape 137 7/16)", "55.53", "55 9/16", "lb each", "Mass (lb)", "236.22 in"):
        assert word in text, word
    assert "3491" not in text and "1410.6" not in text and "kg each" not in text and "6000 mm" not in text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_wraps_are_as_wide_as_the_girth_of_tube_and_paper(paper: str) -> None:
    # closed form: pi (26.9 + 0.1) = 84.823 mm round; square 15x1.5 with outer corners of 2 x wall:
    # 4 (15 - 2 x 3) + pi (2 x 3 + 0.1) = 55.164 mm
    square = 4 * (15 - 6) + math.pi * 6.1
    round_wraps = square_wraps = 0
    for page in wrap_sheets(small_pack(paper)):
        lengths = level_lines(page)
        round_wraps += sum(abs(length - math.pi * 27.0) < 0.01 for length in lengths)
        square_wraps += sum(abs(length - square) < 0.01 for length in lengths)
    assert round_wraps >= 5
    assert square_wraps >= 2


def test_every_end_with_a_curve_has_one_wrap() -> None:
    text = "\n".join(text for text in texts(small_pack()) if "Check rule: exactly 100 mm" in text)
    assert text.count("START") == 4
    assert text.count("END") == 3


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_sheet_says_revision_digests_units_and_its_number(paper: str) -> None:
    said = texts(small_pack(paper))
    for number, text in enumerate(said, start=1):
        assert "Revision B" in text
        assert "9d3e77aa / 5f1c0a2b" in text
        assert "8 units" in text
        assert f"Sheet {number} of {len(said)}" in text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_bent_tube_has_a_card_with_all_its_settings(paper: str) -> None:
    said = texts(small_pack(paper))
    job = make_job()
    bent = [(n, part) for n, part in enumerate(job.parts, start=1) if part.card is not None]
    assert len(bent) == 3
    for number, part in bent:
        own = [text for text in said if f"Bend card {number}: {part.title}" in text or f"Check {number}: " in text]
        assert len(own) == (1 if paper == "A4" else len(own)) <= 2
        text = "\n".join(own)
        assert part.card is not None
        assert text.count("Check after bending") == 1
        for size in part.card.check_sizes:
            assert size.title in text
        for row in part.card.rows:
            for value in (row.mark, row.stop or 0.0, math.degrees(row.set_angle_rad), row.radius):
                assert fixed(value) in text
        assert ("no test bends yet" in text) == ("first guess" in text) == (part.id == "hood-bow")


def test_a_card_with_many_check_sizes_takes_a_second_sheet_with_the_view() -> None:
    job = make_job()
    hoop = job.parts[0]
    assert hoop.card is not None
    many = tuple(replace(hoop.card.check_sizes[0], id=f"size-{i}", title=f"size number {i}") for i in range(14))
    job = replace(job, parts=(replace(hoop, card=replace(hoop.card, check_sizes=many)), *job.parts[1:]))
    said = texts(write_pack(job, pack_drawings(job), DAY))
    (bench,) = (text for text in said if "Bend card 1: outer hoop" in text)
    (check,) = (text for text in said if "Check 1: outer hoop" in text)
    assert "Set" in bench
    assert "size number 0" not in bench
    assert all(f"size number {i}" in check for i in range(14))


def test_cover_warns_and_says_what_was_not_checked() -> None:
    cover = texts(small_pack())[0]
    for word in (
        "Welding",
        "Galvanised",
        "Grind",
        "Load test",
        "licensed engineer",
        "Not checked",
        "strength of welds",
    ):
        assert word in cover


def test_cover_names_the_bought_parts_whose_contact_nobody_checked() -> None:
    job = make_job()
    beam = (Target(part="front-beam"),)
    parts = tuple(replace(p, on=beam) if isinstance(p.shape, Bought) else p for p in job.design.parts)
    job = replace(job, design=replace(job.design, parts=parts))
    (cover, *_) = texts(write_pack(job, pack_drawings(job), DAY))
    assert "that bought parts touch what they are fixed to (wheel, axle bolt)" in " ".join(cover.split())


def test_masses_say_apart_what_is_not_in_the_sum_and_what_is_not_in_the_centre() -> None:
    job = make_job()
    masses = tuple(replace(line, unplaced=("wheel",)) for line in job.masses)
    job = replace(job, masses=masses)
    text = " ".join("\n".join(texts(write_pack(job, pack_drawings(job), DAY))).split())
    assert "Not in the sum, mass not known: axle bolt." in text
    assert "In the sum but not in the centre, place not known: wheel." in text


def test_bars_that_are_cut_alike_are_one_pattern_whichever_copies_are_on_them() -> None:
    job = make_job()
    first = job.cutting.bars[0]
    other = replace(first, count=3, pieces=tuple(replace(piece, copy=piece.copy + 1) for piece in first.pieces))
    job = replace(job, cutting=replace(job.cutting, bars=(*job.cutting.bars, other)))
    assert [bar.count for bar in patterns(job)] == [11, 2, 2]
    text = "\n".join(texts(write_pack(job, pack_drawings(job), DAY)))
    assert "Pattern 3" in text and "Pattern 4" not in text and "11 × 6000 mm" in text


def test_price_and_missing_price_are_both_printed() -> None:
    text = "\n".join(texts(small_pack()))
    assert "623.80" in text
    assert "Lines without a price: 1" in text
    assert "Proven best" in text
    assert "at most 17.9 % above the best possible" in text.replace("\n", " ")


def overlapping(page: pdfplumber.page.Page) -> list[str]:
    """Pairs of printed signs that lie on each other by more than a quarter of the smaller one."""
    chars = [c for c in page.chars if c["text"].strip()]
    box = np.array([(c["x0"], c["top"], c["x1"], c["bottom"]) for c in chars])
    # The box of a sign is its font's full height: only the part where figures and capitals stand counts.
    upright = np.array([bool(c["upright"]) for c in chars])
    high, wide = box[:, 3] - box[:, 1], box[:, 2] - box[:, 0]
    box[:, 1] += np.where(upright, 0.3 * high, 0.0)
    box[:, 3] -= np.where(upright, 0.25 * high, 0.0)
    box[:, 0] += np.where(upright, 0.0, 0.3 * wide)
    box[:, 2] -= np.where(upright, 0.0, 0.25 * wide)
    left = np.maximum(box[:, None, :2], box[None, :, :2])
    right = np.minimum(box[:, None, 2:], box[None, :, 2:])
    shared = np.prod(np.clip(right - left, 0, None), axis=2)
    area = np.prod(box[:, 2:] - box[:, :2], axis=1)
    # Neighbours in a slanting text share their level boxes without touching: two slanting signs are not compared.
    slant = np.array([min(abs(c["matrix"][0]), abs(c["matrix"][1])) > 1e-3 for c in chars])
    bad = np.triu(shared > 0.25 * np.minimum(area[:, None], area[None, :]), 1) & ~(slant[:, None] & slant[None, :])
    bad &= ~np.eye(len(chars), k=1, dtype=bool)  # nor are neighbours in a word: they are kerned
    return [f"{chars[i]['text']} on {chars[j]['text']} at {box[i].round()}" for i, j in np.argwhere(bad)]


@pytest.mark.parametrize(("paper", "saw"), [("A4", False), ("Letter", True)])
def test_no_text_lies_on_another_and_none_leaves_the_sheet(paper: str, saw: bool) -> None:
    for page in pages(small_pack(paper, saw)):
        assert overlapping(page) == [], f"sheet {page.page_number}"
        for c in page.chars:
            assert c["x0"] >= 0 and c["x1"] <= page.width and c["top"] >= 0 and c["bottom"] <= page.height


def test_paper_size_is_the_shops() -> None:
    sizes = {paper: {(p.width, p.height) for p in pages(small_pack(paper))} for paper in ("A4", "Letter")}
    ((w, h),) = sizes["A4"]
    assert (w * MM, h * MM) == pytest.approx((210, 297), abs=0.01)
    ((w, h),) = sizes["Letter"]
    assert (w / 72, h / 72) == pytest.approx((8.5, 11), abs=0.001)


def test_a_shop_with_only_a_hacksaw_gets_straight_cuts() -> None:
    assert "Straight cuts instead of a curve" not in "\n".join(texts(small_pack()))
    assert "Straight cuts instead of a curve" in "\n".join(texts(small_pack("Letter", True)))


def test_pack_claims_the_archive_and_accessibility_standards_it_was_compiled_under() -> None:
    pdf = small_pack()
    assert b"<pdfaid:part>2</pdfaid:part>" in pdf
    assert b"<pdfuaid:part>1</pdfuaid:part>" in pdf
    assert b"/StructTreeRoot" in pdf


def test_same_job_gives_the_same_bytes_in_every_process() -> None:
    code = (
        "import sys, hashlib; sys.path.insert(0, 'tests'); from factories import make_job\n"
        "from handbarrow.sheets.pack import write_pack\nfrom handbarrow.sheets.pictures import pack_drawings\n"
        f"job = make_job(); print(hashlib.sha256(write_pack(job, pack_drawings(job), {DAY!r})).hexdigest())"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout.strip()
        for seed in ("0", "4711")
    }  # fmt: skip
    assert seen == {hashlib.sha256(small_pack()).hexdigest()}


def test_a_drawing_that_does_not_fit_is_a_fault_not_a_cut_off_sheet() -> None:
    job = make_job()
    square = Stroke(points=((0, 0), (1, 1)))
    wide = Drawing(width=400, height=50, alt="too wide", strokes=(square,))
    tall = Drawing(width=50, height=400, alt="too tall", strokes=(square,))
    for bad in (wide, tall):
        with pytest.raises(PackError, match="does not fit"):
            write_pack(job, replace(pack_drawings(job), product=lambda box, bad=bad: bad), DAY)  # type: ignore[misc]


def test_a_sign_that_no_font_has_is_a_fault_not_an_empty_box() -> None:
    job = make_job()
    odd = replace(job, design=replace(job.design, name="Trailer \U0001300f"))
    with pytest.raises(PackError, match="cannot be printed"):
        write_pack(odd, pack_drawings(odd), DAY)


def test_long_names_stay_in_their_columns() -> None:
    job = make_job()
    long = "parts." + "very-long-name" * 6 + ".points[12].radius"
    found = Finding(code="x", where=long, wrong="w" * 80, expected="e", fix="f", severity=Severity.WARNING)
    odd = replace(
        job, design=replace(job.design, name="Trailer" * 12), findings=(found,),
        parts=(replace(job.parts[0], title="hoop" * 20), *job.parts[1:]),
    )  # fmt: skip
    for page in pages(write_pack(odd, pack_drawings(odd), DAY)):
        assert overlapping(page) == []


def test_every_finding_is_printed() -> None:
    job: Job = make_job()
    found = Finding(
        code="x", where="dies[1]", wrong="no test bends", expected="three", fix="bend", severity=Severity.NOTE
    )
    text = "\n".join(texts(write_pack(replace(job, findings=(found,)), pack_drawings(job), DAY)))
    for word in ("dies[1]", "no test bends", "three", "Note"):
        assert word in text
