"""The book of templates and the drill sheets, read back from the PDF: crosses, rules and parts at true size."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pdfplumber
import pytest

from drilled_parts import ANGLE, AXLE_SLOT, FLAT, bar, box, hole, plate, with_parts
from handbarrow.drawings.tiles import OVERLAP
from handbarrow.job.values import Job, JobHole
from handbarrow.sheets.blocks import PackError
from handbarrow.sheets.choice import Choice
from handbarrow.sheets.drilling import drill_pages, drill_rows
from handbarrow.sheets.folder import write_choice
from handbarrow.sheets.pack import write_pack
from handbarrow.sheets.pictures import drawing_files, drilled_faces, pack_drawings
from handbarrow.sheets.templates import Template, template_keys, templates, write_templates
from printed import DAY, MM, lines, pages, texts

SHIELD = plate("wheel-shield", box(460, 198), 0.0, hole(30, 30, 8.5))
SMALL = plate("cot-guide", box(40, 50), 8.0, hole(20, 27, 8.5))
AXLE_PLATE = bar("axle-plate", ANGLE, 120.0, AXLE_SLOT)
ALSO = ("outer-hoop",)


def job(paper: str = "A4", length: str = "mm") -> Job:
    return with_parts(SHIELD, SMALL, AXLE_PLATE, paper=paper, length=length)


@cache
def book(paper: str, length: str = "mm") -> tuple[bytes, list[Template]]:
    made = job(paper, length)
    found = templates(made)
    return write_templates(made, found, DAY), found


@cache
def pack(paper: str) -> bytes:
    made = job(paper)
    return write_pack(made, pack_drawings(made), DAY, Choice(station="drill"))


def rules(page: pdfplumber.page.Page) -> list[float]:
    return [abs(x1 - x0) for x0, y0, x1, y1 in lines(page) if abs(y1 - y0) < 0.01]


def crosses(page: pdfplumber.page.Page) -> list[tuple[float, float]]:
    """Middles of the crosses: a level and an upright line of 8 mm about one point."""
    arms = [a for a in lines(page) if abs(abs(a[2] - a[0]) + abs(a[3] - a[1]) - 8.0) < 0.01]
    level = [((a[0] + a[2]) / 2, (a[1] + a[3]) / 2) for a in arms if abs(a[3] - a[1]) < 0.01]
    upright = [((a[0] + a[2]) / 2, (a[1] + a[3]) / 2) for a in arms if abs(a[2] - a[0]) < 0.01]
    return sorted(p for p in level if any(abs(p[0] - q[0]) < 0.01 and abs(p[1] - q[1]) < 0.01 for q in upright))


@pytest.mark.parametrize(("paper", "length"), [("A4", "mm"), ("Letter", "mm"), ("Letter", "in")])
def test_crosses_and_rule_are_true_on_every_sheet_of_the_book(paper: str, length: str) -> None:
    pdf, found = book(paper, length)
    spread = found[0].spread
    book_pages = pages(pdf)[1:]
    assert len(book_pages) == sum(len(one.spread.used) for one in found) > 8
    for page in book_pages:
        assert min(abs(v - 100.0) for v in rules(page)) < 0.01
        if length == "in":
            assert min(abs(v - 101.6) for v in rules(page)) < 0.01
        marks = crosses(page)
        assert len(marks) == 4, page.page_number
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = marks
        assert (x2 - x0, x3 - x1) == pytest.approx((spread.pitch[0],) * 2, abs=0.01)
        assert (y1 - y0, y3 - y2) == pytest.approx((spread.pitch[1],) * 2, abs=0.01)
        assert spread.pitch == (spread.width - OVERLAP, spread.height - OVERLAP)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_plate_glued_together_from_its_sheets_has_its_length(paper: str) -> None:
    # left and right edge of the plate, each measured from the nearest cross, with whole pitches between
    pdf, found = book(paper)
    number = 1 + sum(len(one.spread.used) for one in found[: [one.part.id for one in found].index("wheel-shield")])
    (shield,) = (one for one in found if one.part.id == "wheel-shield")
    first, *_, last = pages(pdf)[number : number + shield.spread.columns]

    def upright(page: pdfplumber.page.Page) -> list[float]:
        zero = crosses(page)[0][0]
        return [x0 - zero for x0, y0, x1, y1 in lines(page) if abs(x1 - x0) < 0.01 and abs(y1 - y0) > 150]

    span = [b - a + (shield.spread.columns - 1) * shield.spread.pitch[0] for a in upright(first) for b in upright(last)]
    assert min(abs(v - 460.0) for v in span) < 0.01


def test_every_sheet_has_its_name_its_stamp_and_a_map() -> None:
    pdf, found = book("A4")
    said = texts(pdf)
    assert "Templates, true size" in said[0]
    assert all("Revision B" in text and "9d3e77aa / 5f1c0a2b" in text for text in said)
    assert "wheel shield, template A1" in "\n".join(said)
    assert all(f"Sheet {n} of {len(said)}" in text for n, text in enumerate(said, start=1))
    for one in found:
        assert one.part.title in said[0] and one.sheets in said[0]
    assert b"/StructTreeRoot" in pdf and b"<pdfaid:part>2</pdfaid:part>" in pdf


def test_the_same_job_gives_the_same_book() -> None:
    pdf, found = book("A4")
    assert write_templates(job(), found, DAY) == pdf


def test_large_plates_and_flat_bows_get_templates_others_only_when_asked() -> None:
    assert template_keys(job()) == ("hood-bow", "wheel-shield")
    assert template_keys(job(), ALSO) == ("outer-hoop", "hood-bow", "wheel-shield")
    assert template_keys(job(), ("drawbar",)) == template_keys(job())


def test_a_large_part_is_glued_together_from_sheets_when_it_is_asked_for_by_name(tmp_path: Path) -> None:
    choice = Choice(part="outer-hoop", station="templates")
    (path,) = write_choice(job(), tmp_path, lambda *_: None, DAY, choice)
    pdf = path.read_bytes()
    (own,) = templates(job(), ALSO)[:1]
    assert len(texts(pdf)) == 1 + len(own.spread.used)
    assert all("outer hoop, template" in text for text in texts(pdf)[1:])
    with pytest.raises(PackError, match="no sheet of that choice"):
        write_choice(job(), tmp_path, lambda *_: None, DAY, Choice(part="drawbar", station="templates"))


# ------------------------------------------------------------------------------------------------ drill sheets
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_drill_sheets_are_at_true_size_with_rule_and_caution(paper: str) -> None:
    pdf = pack(paper)
    found = [p for p, text in zip(pages(pdf), texts(pdf), strict=True) if "Check rule: exactly 100 mm" in text]
    assert found
    text = " ".join(" ".join(text for text in texts(pdf) if "Check rule: exactly 100 mm" in text).split())
    assert "Punch each centre before you drill. Clamp the work. Eye protection on. No gloves" in text
    assert "Too large for this sheet: wheel shield. Full size in templates.pdf." in text
    for word in ("cot guide", "axle plate", "angle 40x40x4, 120 mm long", "32 in the batch", "16 in the batch"):
        assert word in text
    assert all(min(abs(v - 100.0) for v in rules(page)) < 0.01 for page in found)
    measured = [v for page in found for v in rules(page)]
    assert min(abs(v - 120.0) for v in measured) < 0.01  # the heel of the angle
    assert min(abs(v - 24.0) for v in measured) < 0.01  # the plate's edge between its corners of 8: 40 - 16
    circles = [c for page in found for c in page.curves if len(c["pts"]) > 20]
    across = [(max(x for x, _ in c["pts"]) - min(x for x, _ in c["pts"])) * MM for c in circles]
    assert min(abs(v - 8.5) for v in across) < 0.01
    assert min(abs(v - 10.5) for v in across) < 0.01


def test_holes_in_a_tube_are_rows_for_the_drill() -> None:
    text = " ".join("\n".join(texts(pack("A4"))).split())
    assert "Holes along tubes and bars" in text
    tubes = [part for part in job().parts if part.section is not None and part.section.is_hollow and part.holes]
    assert tubes
    for part in tubes:
        for one in part.holes:
            assert f"{one.x:.1f}" in text and f"Ø{one.diameter:g}" in text


def test_a_bar_too_large_for_a_sheet_gets_rows_instead() -> None:
    from handbarrow.laws.geometry.section import Section

    wide = Section(shape="angle", height=200.0, width=200.0, wall=16.0)
    beam = bar("beam", wide, 300.0, JobHole(x=50, y=80, face="height leg", diameter=13.0))
    made = with_parts(beam)

    def drawn(part_id: str, width: float) -> object:
        return drilled_faces(made, part_id, width)

    assert drill_pages(made, drawn, 186.0, 200.0, 240.0) == []  # type: ignore[arg-type]
    (block,) = drill_rows(made, drawn, (186.0, 240.0), 1)  # type: ignore[arg-type]
    rows = [row for row in block["table"]["rows"] if row[0] and row[0]["plain"] == "beam"]
    assert len(rows) == 1
    assert rows[0][2]["strong"] == "50.0" and rows[0][3] == "height leg, across 80" and rows[0][4]["strong"] == "Ø13"


def test_no_drill_sheet_without_anything_to_drill() -> None:
    made = with_parts(bar("stay", FLAT, 400.0))
    assert drill_pages(made, lambda p, w: drilled_faces(made, p, w), 186.0, 200.0, 240.0) == []


def test_plates_and_templates_are_kept_as_files() -> None:
    files = {(folder, name): make for folder, name, make in drawing_files(job())}
    assert ("plates", "wheel-shield") in files and ("plates", "cot-guide") in files
    assert ("templates", "wheel-shield") in files and ("templates", "hood-bow") in files
    drawn = files["plates", "cot-guide"]("svg").decode()
    assert "cot guide" in drawn and "this rule must be 100 mm" in drawn and "Revision B" in drawn
    assert b"LWPOLYLINE" in files["templates", "hood-bow"]("dxf")
