"""Final inspection, load test, test ride, the owner's sheet, and the copy to fill in."""

from __future__ import annotations

import hashlib
import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pdfplumber
import pikepdf
import pytest

from factories import make_job
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import sample
from handbarrow.sheets.care import care_page
from handbarrow.sheets.form import write_form
from handbarrow.sheets.release import final_sizes, fitted, heights, welded
from printed import DAY, MM, example, pack, texts

ROOT = Path(__file__).parents[2]


def job_of(design: str = "hut-trailer.yaml") -> Job:
    return example(design.removesuffix(".yaml"))


@cache
def form_of(design: str = "hut-trailer.yaml", paper: str = "A4") -> bytes:
    job = job_of(design)
    return write_form(replace(job, workshop=replace(job.workshop, paper=paper)), DAY)  # type: ignore[arg-type]


# ------------------------------------------------------------------------------------------------ what is measured
def test_results_of_the_design_are_measured_but_no_length_that_is_hidden_in_the_unit() -> None:
    job = job_of()
    sizes = {size.id: size for size in final_sizes(job)}
    assert sizes["tow_eye_height"].value == pytest.approx(780.0)
    assert "end of drawbar" in sizes["tow_eye_height"].how
    assert sizes["track"].value == pytest.approx(697.0)
    assert "drawbar_length" not in sizes
    assert sizes["frame_width"].plain and not sizes["carry_height"].plain


def test_overall_sizes_are_those_of_the_tubes_outsides() -> None:
    # closed form on the centrelines: no tube sticks out of its sampled centreline by more than half its outside
    job = job_of("handcart.yaml")
    sizes = {size.id: size.value for size in final_sizes(job)}
    top = 0.0
    for part in job.parts:
        if part.centreline is None or part.section is None:
            continue
        for place in job.placements:
            if place.part == part.id:
                points = np.column_stack([sample(part.centreline), np.ones(len(sample(part.centreline)))])
                top = max(top, float((points @ np.asarray(place.transform).T)[:, 2].max()) + part.section.height / 2)
    assert sizes["whole-z"] == pytest.approx(top, abs=0.05)
    # axle: computed here from the file, 2 (300 + 5 + 3 + 70/2 + 70/2 + 3 + 14)
    assert sizes["whole-y"] == pytest.approx(790.0, abs=0.05)


def test_track_is_found_from_the_wheels_where_no_result_says_it() -> None:
    job = job_of()
    bare = replace(job, design=replace(job.design, results=()))
    sizes = {size.id: size.value for size in final_sizes(bare)}
    assert sizes["track"] == pytest.approx(697.0)
    assert [size.id for size in heights(bare)] == ["whole-z"]


def test_only_bought_parts_of_this_design_are_looked_at() -> None:
    for name in ("hut-trailer.yaml", "handcart.yaml"):
        job = job_of(name)
        items = {part.stock for part in job.parts if part.kind == "bought"}
        listed = [one for one in fitted(job) if not one.id.startswith("assembly-")]
        assert {one.name for one in listed} == items
        assert all(one.look for one in listed)
    cart = " ".join(one.look + one.name for one in fitted(job_of("handcart.yaml")))
    assert "strap" not in cart.lower() and "reflector" not in cart.lower() and "legs bent open" in cart
    trailer = {one.name: one for one in fitted(job_of())}
    assert "axle nuts tight" in trailer["wheel 47-406"].look
    assert trailer["Safety strap 25x900"].where == "drawbar"


def test_welds_are_looked_at_in_every_assembly_that_has_some() -> None:
    assert welded(job_of())[:2] == ["frame", "cot"]
    assert welded(job_of("handcart.yaml")) != []


# ------------------------------------------------------------------------------------------------ the printed sheets
@pytest.mark.parametrize(("design", "paper"), [("hut-trailer.yaml", "A4"), ("handcart.yaml", "Letter")])
def test_what_was_not_computed_says_so_and_the_load_is_a_proposal(design: str, paper: str) -> None:
    pages = texts(pack(design.removesuffix(".yaml"), paper=paper))
    own = [t for t in pages if re.search(r"\+(final-inspection|load-test|test-ride|use-and-care)/", t)]
    text = " ".join(own).replace("\n", " ")
    assert "is not proven strong" in text and "only the load test tries it" in text
    assert "are the proposal of the sheet “Loads and checks”" in text
    assert "competent person" in text
    released = " ".join(t for t in own if re.search(r"\+(final-inspection|use-and-care)/", t))
    assert not re.search(r"\d\s*(kg|lb)\b", released), "no mass stands on the sheets that an owner sees"
    proposed = re.search(r"proposed: ([\d.]+ kg)", text)
    assert proposed is not None
    proof = " ".join(t for t in pages if "+loads-and-checks/" in t).replace("\n", " ")
    assert f"{proposed[1]}: one and a half times" in proof, "load test and proof load agree"
    assert "certified" not in text.lower() and "approved for use" not in text.lower()


@pytest.mark.parametrize(("design", "paper"), [("hut-trailer.yaml", "A4"), ("handcart.yaml", "Letter")])
def test_load_test_ride_and_the_owners_sheet_take_one_sheet_each(design: str, paper: str) -> None:
    pages = texts(pack(design.removesuffix(".yaml"), paper=paper))
    for name in ("load-test", "test-ride", "use-and-care"):
        assert sum(f"+{name}/" in text for text in pages) == 1, name
    assert sum("+final-inspection/" in text for text in pages) <= 2


def test_limits_are_the_shops_for_whole_units() -> None:
    job = job_of()
    shop = replace(job.workshop, limits=replace(job.workshop.limits, assembled=5.0))
    text = "\n".join(texts(write_form(replace(job, workshop=shop), DAY)))
    assert "± 5 mm" in text and "775.0" in text and "785.0" in text


def test_the_owner_reads_only_of_what_the_unit_has() -> None:
    lines = [line for group in care_page(job_of())["care"]["groups"] for line in group["lines"]]
    said = " ".join(lines)
    for word in ("side wall", "lock pin", "safety strap", "reflector", "first 50 km"):
        assert word in said
    cart = " ".join(line for g in care_page(job_of("handcart.yaml"))["care"]["groups"] for line in g["lines"])
    assert "strap" not in cart.replace("if it has straps", "") and "split pin" in cart
    assert not re.search(r"\d+ (kg|bar|kPa)", said + cart)


# ------------------------------------------------------------------------------------------------ the copy to fill in
def test_every_box_of_the_form_has_one_field_on_its_sheet_inside_the_paper() -> None:
    with pikepdf.open(io.BytesIO(form_of())) as book:
        fields = list(book.Root.AcroForm.Fields)
        names = [str(field.T) for field in fields]
        assert len(set(names)) == len(names) > 100
        sizes = {f"size-{size.id}" for size in final_sizes(job_of())}
        assert sizes | {"serial", "date", "inspector", "load-test", "load-rated", "ride-by"} <= set(names)
        held = [annot for page in book.pages for annot in page.obj.get("/Annots", [])]
        assert {str(a.T) for a in held if a.Subtype == "/Widget"} == set(names)
        for field in fields:
            x0, y0, x1, y1 = (float(v) for v in field.Rect)
            assert 0 < x0 < x1 < 595.3 and 0 < y0 < y1 < 841.9
            assert str(field.TU)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_fields_lie_on_the_boxes_that_are_printed(paper: str) -> None:
    """Each tick field lies in a printed square of 5 mm, told by an outside reader."""
    form = form_of("hut-trailer.yaml", paper)
    with pikepdf.open(io.BytesIO(form)) as book:
        wanted = [
            (number, [float(v) for v in annot.Rect])
            for number, page in enumerate(book.pages)
            for annot in page.obj.get("/Annots", [])
            if annot.get("/FT") == "/Btn"
        ]
    assert len(wanted) > 40
    with pdfplumber.open(io.BytesIO(form)) as read:
        squares = {
            number: [
                (s["x0"], page.height - s["bottom"], s["x1"], page.height - s["top"])
                for s in [*page.rects, *page.curves]
                if abs((s["x1"] - s["x0"]) * MM - 5) < 0.1 and abs((s["bottom"] - s["top"]) * MM - 5) < 0.1
            ]
            for number, page in enumerate(read.pages)
        }
    for number, rect in wanted:
        near = [max(abs(a - b) for a, b in zip(rect, square, strict=True)) * MM for square in squares[number]]
        assert min(near) < 0.5


def test_what_is_filled_in_is_read_again() -> None:
    with pikepdf.open(io.BytesIO(form_of())) as book:
        for field in book.Root.AcroForm.Fields:
            if field.FT == "/Tx":
                field.V = pikepdf.String(f"typed in {field.T}")
            else:
                field.V = field.AS = pikepdf.Name.Yes
        out = io.BytesIO()
        book.save(out)
    with pikepdf.open(out) as again:
        for field in again.Root.AcroForm.Fields:
            if field.FT == "/Tx":
                assert str(field.V) == f"typed in {field.T}"
            else:
                assert field.V == "/Yes" and "/Yes" in field.AP.N and "/Off" in field.AP.N


def test_the_form_is_stamped_like_the_pack_and_claims_no_archive_standard() -> None:
    said = texts(form_of())
    for number, text in enumerate(said, start=1):
        assert "Revision B" in text and f"Sheet {number} of {len(said)}" in text
    assert b"pdfaid" not in form_of() and b"pdfuaid" not in form_of()


def test_the_same_job_gives_the_same_form_in_every_process() -> None:
    code = (
        "import sys, hashlib; sys.path.insert(0, 'tests'); from factories import make_job\n"
        "from handbarrow.sheets.form import write_form\n"
        f"print(hashlib.sha256(write_form(make_job(), {DAY!r})).hexdigest())"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout.strip()
        for seed in ("0", "4711")
    }  # fmt: skip
    assert seen == {hashlib.sha256(write_form(make_job(), DAY)).hexdigest()}
