"""Square codes on the sheets: read back from the printed page by a reader that knows nothing of us; typed by hand."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from factories import make_job
from handbarrow.sheets.codes import SIGNS, SheetCode, code_of, long_form, read_code, short_form, slug
from handbarrow.sheets.squares import QUIET, SYMBOL, matrix
from printed import small_pack, texts

DPI = 150
MM = 25.4 / 72


def rasters(pdf: bytes, folder: Path, dpi: int = DPI) -> list[Image.Image]:
    (folder / "pack.pdf").write_bytes(pdf)
    subprocess.run(
        ["pdftoppm", "-gray", "-r", str(dpi), folder / "pack.pdf", folder / "page"], check=True, capture_output=True
    )
    return [Image.open(path).convert("L") for path in sorted(folder.glob("page-*.pgm"))]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_reader_of_square_codes_reads_every_sheet(paper: str, tmp_path: Path) -> None:
    job = make_job()
    pages = rasters(small_pack(paper), tmp_path)
    words = texts(small_pack(paper))
    assert len(pages) == len(words) > 8
    seen = []
    for page, text in zip(pages, words, strict=True):
        (found,) = zxingcpp.read_barcodes(page)
        code = read_code(found.text)
        assert code is not None
        assert code == code_of(job, code.sheet), "design, revision, digests, units"
        assert short_form(code) in text, "the code to type is that of the same sheet"
        seen.append(code.sheet)
        for number, part in enumerate(job.parts, start=1):
            if f"Bend card {number}: " in text or f"Check {number}: " in text:
                assert code.part == part.id, "a part's own sheet has the part's code"
    assert {"+cover", "+parts", "outer-hoop", "drawbar", "hood-bow", "+wraps", "+cutting", "+materials"} <= set(seen)


def test_the_code_is_14_mm_or_more_and_nothing_lies_on_it_or_in_the_white_round_it(tmp_path: Path) -> None:
    for page in rasters(small_pack(), tmp_path, 300):
        (found,) = zxingcpp.read_barcodes(page)
        rows = np.array([list(row) for row in matrix(found.text)])
        side = len(rows)
        black = np.argwhere(np.asarray(page)[: int(23 * 300 / 25.4), page.width // 2 :] < 128)
        right = black[:, 1].max() + 1 + page.width // 2
        module = SYMBOL / side * 300 / 25.4
        left = right - side * module
        top = 4.6 * 300 / 25.4
        assert SYMBOL >= 14.0
        grid = np.arange(-QUIET, side + QUIET)
        xs = (left + (grid + 0.5) * module).astype(int)
        ys = (top + (grid + 0.5) * module).astype(int)
        printed_squares = np.asarray(page)[np.ix_(ys, xs)] < 128
        assert (printed_squares == np.pad(rows, QUIET)).all()


def test_the_code_says_these_words() -> None:
    code = code_of(make_job(), "outer-hoop")
    assert long_form(code) == "HANDBARROW/HUT-SUPPLY-TRAILER/OUTER-HOOP/B/9D3E77AA/5F1C0A2B/8"
    assert short_form(code).startswith("outer-hoop/8/9d3e77/5f1c0a/")


# ------------------------------------------------------------------------------------------------ typed by hand
NAMES = st.from_regex(r"\+?[a-z0-9][a-z0-9-]{0,30}", fullmatch=True)
HEX = st.text("0123456789abcdef", min_size=8, max_size=8)
CODES = st.builds(
    SheetCode,
    sheet=NAMES,
    design=st.text(max_size=40).map(slug),
    revision=st.text(max_size=40).map(lambda text: slug(text, 16)),
    design_digest=HEX,
    workshop_digest=HEX,
    units=st.integers(1, 10_000),
)


@given(CODES)
def test_both_forms_are_read_back_whatever_the_capitals(code: SheetCode) -> None:
    assert read_code(long_form(code)) == code
    assert read_code(f"  {long_form(code).lower()}\n") == code
    short = read_code(short_form(code).upper())
    assert short is not None
    assert (short.sheet, short.units, short.part) == (code.sheet, code.units, code.part)
    assert code.design_digest.startswith(short.design_digest)
    assert code.workshop_digest.startswith(short.workshop_digest)


@given(CODES, st.data())
def test_one_wrong_sign_or_two_swapped_are_never_taken_for_another_sheet(code: SheetCode, data: st.DataObject) -> None:
    # Closed form: the check is a sum in powers of 37 by a prime larger than any two signs' difference.
    text = short_form(code)
    place = data.draw(st.integers(0, len(text) - 1))
    wrong = data.draw(st.sampled_from([s for s in "abcdefghijklmnopqrstuvwxyz0123456789+-" if s != text[place]]))
    typed = text[:place] + wrong + text[place + 1 :]
    alike = typed.translate(str.maketrans("ilo", "110"))
    if place < len(text) - 2 or alike != text:
        assert read_code(typed) is None
    if 0 < place < len(text) - 2 and text[place] != text[place - 1]:
        assert read_code(text[: place - 1] + text[place] + text[place - 1] + text[place + 1 :]) is None


def test_check_signs_read_like_no_other() -> None:
    assert len(SIGNS) == len(set(SIGNS)) == 32
    assert not set(SIGNS) & set("ilo")


@pytest.mark.parametrize("text", ["", "/", "outer-hoop", "HANDBARROW/a/b/c/d/e/f", "a/8/9d3e77/5f1c0a/00", "x" * 5000])
def test_what_is_no_code_is_not_read(text: str) -> None:
    assert read_code(text) is None


def test_the_longest_names_still_give_a_code_that_can_be_read(tmp_path: Path) -> None:
    job = make_job()
    long = replace(job.parts[0], id="a" * 60)
    odd = replace(
        job,
        design=replace(job.design, name="Trailer for the hut " * 4, revision="revision number twelve of many"),
        units=10_000,
    )
    code = code_of(odd, long.id)
    assert read_code(long_form(code)) == code
    assert len(matrix(long_form(code))) <= 45, "squares of a third of a millimetre"
