"""A copy of the inspection, load test and test ride sheets to be filled in on a screen: a PDF with form fields.

The page maker knows no fields. It says where each box stands, and pikepdf lays a field over it. The copy claims no
archive standard: viewers draw what is typed into it.
"""

from __future__ import annotations

import datetime
import io
import json
from importlib.resources import as_file, files
from typing import Any

import typst

from handbarrow.job.values import Job
from handbarrow.language import said
from handbarrow.sheets.blocks import Block, PackError
from handbarrow.sheets.inspection import inspection_pages
from handbarrow.sheets.pack import moment, page_maker, paper_of, sheet_frame

__all__ = ["write_form"]

POINT = 72 / 25.4
"""PDF points in a mm."""
INSET = 0.4
"""White between a box and its field [mm]."""
LINE, MULTILINE, PRINTED = 9.5, 1 << 12, 4
"""Size of what is typed [pt]; flag of a text field with lines; flag of a field that is printed."""


def write_form(job: Job, date: str) -> bytes:
    """Return the sheets as a PDF with fields.

    Args:
        job: The job.
        date: Date on the sheets, YYYY-MM-DD.

    Raises:
        PackError: If something does not fit its sheet.
    """
    day = datetime.date.fromisoformat(date)
    content: Block = {**sheet_frame(job, day), "form": True, "sheets": inspection_pages(job)}
    try:
        with as_file(files("handbarrow.sheets").joinpath("pack.typ")) as template:
            maker = page_maker(job, content, template)
            pdf = maker.compile(format="pdf", timestamp=moment(day))
            fields = json.loads(maker.query("<field>", field="value"))
    except typst.TypstError as fault:
        raise PackError(said("the fillable copy cannot be made: {why}", why=fault.message)) from fault
    if not isinstance(pdf, bytes):
        raise PackError(said("the page maker gave no PDF"))
    return _with_fields(pdf, fields, paper_of(job).height)


def _with_fields(pdf: bytes, fields: list[dict[str, Any]], height: float) -> bytes:
    import pikepdf
    from pikepdf import Array, Dictionary, Name

    with pikepdf.open(io.BytesIO(pdf)) as book:
        font = book.make_indirect(
            Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica, Encoding=Name.WinAnsiEncoding)
        )
        looks = {size: _tick_looks(book, size) for size in {field["w"] for field in fields if field["kind"] == "mark"}}
        made = []
        for field in fields:
            page = book.pages[field["page"] - 1]
            one = book.make_indirect(_field(field, height, looks.get(field["w"])))
            one.P = page.obj
            page.obj.Annots = Array([*page.obj.get("/Annots", []), one])
            made.append(one)
        fonts = Dictionary(Font=Dictionary(Helv=font))
        book.Root.AcroForm = Dictionary(Fields=Array(made), NeedAppearances=True, DR=fonts, DA=f"/Helv {LINE} Tf 0 g")
        out = io.BytesIO()
        book.save(out, deterministic_id=True)
    return out.getvalue()


def _field(field: dict[str, Any], height: float, looks: Any) -> Any:
    """One field over its box. Pages measure from the top, PDF from the bottom."""
    from pikepdf import Array, Dictionary, Name, String

    x0, x1 = field["x"] + INSET, field["x"] + field["w"] - INSET
    y0, y1 = height - field["y"] - field["h"] + INSET, height - field["y"] - INSET
    out = Dictionary(
        Type=Name.Annot, Subtype=Name.Widget, T=String(field["name"]), TU=String(field["says"]), F=PRINTED,
        Rect=Array([round(v * POINT, 3) for v in (x0, y0, x1, y1)]),
    )  # fmt: skip
    if field["kind"] == "mark":
        out.update({"/FT": Name.Btn, "/V": Name.Off, "/AS": Name.Off, "/AP": Dictionary(N=looks)})
    else:
        out.update({"/FT": Name.Tx, "/V": String(""), "/DA": String(f"/Helv {LINE} Tf 0 g"), "/Ff": MULTILINE})
    return out


def _tick_looks(book: Any, size: float) -> Any:
    """What a box looks like ticked and not ticked."""
    from pikepdf import Array, Dictionary, Name

    side = round((size - 2 * INSET) * POINT, 3)

    def look(strokes: str) -> Any:
        stream = book.make_stream(strokes.encode())
        stream.update({"/Type": Name.XObject, "/Subtype": Name.Form, "/BBox": Array([0, 0, side, side])})
        return stream

    a, b = round(0.12 * side, 3), round(0.88 * side, 3)
    return Dictionary(Yes=look(f"1.4 w 1 J {a} {a} m {b} {b} l S {a} {b} m {b} {a} l S"), Off=look(""))
