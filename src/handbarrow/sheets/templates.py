"""Large templates at true size as a book of their own: a list of them, then each in sheets to be glued together."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import typst

from handbarrow.drawings.blanks import FLAT_KINDS, flat_size, flat_view
from handbarrow.drawings.formers import former_drawing
from handbarrow.drawings.fullsize import bending_template, is_flat_bent, template_size
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.tiles import Cell, Tiling, settled, sheet_map, sheet_name, tile, tiling
from handbarrow.job.remembered import remembered
from handbarrow.job.values import Job, JobPart
from handbarrow.language import said
from handbarrow.sheets.blocks import Block, PackError, picture, section, strong, table, ticks
from handbarrow.sheets.blocks import Cell as TableCell
from handbarrow.sheets.drilling import on_sheet
from handbarrow.sheets.pack import (
    INCH_RULE,
    RULE_HEIGHT,
    STANDARDS,
    Paper,
    moment,
    page_maker,
    paper_of,
    sheet_frame,
)
from handbarrow.sheets.shown import head, pieces, soft
from handbarrow.sheets.words import WORDS
from handbarrow.sheets.words_formers import FORMERS
from handbarrow.sheets.words_sheetmetal import SHEETMETAL

__all__ = ["MOST", "Template", "file_lines", "former_keys", "template_keys", "templates", "write_templates"]

MOST = 1050.0
"""Bent parts up to this size either way get a template without being asked for [mm]."""
HEADING = 30.0
"""Height of a sheet's heading with the map [mm], as in pack.typ."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A part's full-size drawing and how it is spread over sheets."""

    part: JobPart
    drawing: Drawing
    spread: Tiling
    former: int = 0
    """Number of the bend whose former it is; 0: it is the part itself."""

    @property
    def title(self) -> str:
        """What it shows."""
        return FORMERS["template"].format(part=self.part.title) if self.former else self.part.title

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the part as it is drawn [mm]."""
        if self.part.kind in FLAT_KINDS and not self.former:
            return flat_size(self.part)
        wide, high = (dimension.value for dimension in self.drawing.dimensions)
        return wide, high

    @property
    def sheets(self) -> str:
        """As `A1` or `A1 to C2`."""
        names = [sheet_name(cell) for cell in self.spread.used]
        return names[0] if len(names) == 1 else WORDS["template_span"].format(first=names[0], last=names[-1])


@remembered
def template_keys(job: Job, also: Collection[str] = ()) -> tuple[str, ...]:
    """Return the parts that get a template: plates too large for a sheet, flat bent parts up to MOST or asked for."""
    return tuple(part.id for part in job.parts if _is_large_plate(job, part) or _is_bent_template(part, also))


def _is_large_plate(job: Job, part: JobPart) -> bool:
    if part.kind not in FLAT_KINDS:
        return False
    paper = paper_of(job)
    return on_sheet(job, part, [flat_view(job, part.id)], paper.across, _room(job, paper)) is None


def _is_bent_template(part: JobPart, also: Collection[str]) -> bool:
    return is_flat_bent(part) and (part.id in also or max(template_size(part)) <= MOST)


def file_lines(job: Job, part: JobPart) -> tuple[str, str]:
    """What stands above a part's drawing in a file of its own."""
    revision = WORDS["revision"].format(revision=job.design.revision)
    digest = WORDS["digest"].format(design=job.design.digest[:8], workshop=job.workshop.digest[:8])
    return part.title, f"{part.stock}  ·  {job.design.name}  ·  {revision}  ·  {digest}"


def templates(job: Job, also: Collection[str] = ()) -> list[Template]:
    """Return the templates of a job: plates too large for a sheet, flat bent parts up to MOST, and those asked for.

    Args:
        job: The job.
        also: Ids of further bent parts that lie flat.
    """
    paper = paper_of(job)
    window = (paper.across, _room(job, paper) - HEADING)
    out = []
    for part_id in template_keys(job, also):
        part = job.part(part_id)
        ways = [(drawing, tiling(drawing, *window)) for drawing in _ways(job, part)]
        drawing, spread = min(ways, key=lambda way: len(way[1].used))
        out.append(Template(part=part, drawing=settled(drawing, spread), spread=spread))
    return out + [_former(job, part, number, window) for part, number in former_keys(job)]


def former_keys(job: Job) -> tuple[tuple[JobPart, int], ...]:
    """Return parts and numbers of bends whose formers are drawn: of equal ones of a part the first."""
    out = []
    for part in job.parts:
        faces: set[tuple[float, float]] = set()
        for bend in part.pull.bends if part.pull is not None and part.pull.over == "former" else ():
            same = (round(bend.face, 2), round(bend.pulled_rad, 4))
            if same not in faces:
                faces.add(same)
                out.append((part, bend.number))
    return tuple(out)


def _former(job: Job, part: JobPart, number: int, window: tuple[float, float]) -> Template:
    drawing = former_drawing(job, part.id, number)
    spread = tiling(drawing, *window)
    return Template(part=part, drawing=settled(drawing, spread), spread=spread, former=number)


def _ways(job: Job, part: JobPart) -> list[Drawing]:
    """A part's full-size drawing, the ways it may lie."""
    if part.kind in FLAT_KINDS:
        return [flat_view(job, part.id)]
    return [bending_template(job, part.id, turned=turned) for turned in (False, True)]


def _room(job: Job, paper: Paper) -> float:
    """Room down a sheet with its check rule [mm]."""
    return paper.down - RULE_HEIGHT - (INCH_RULE if job.workshop.show_length == "in" else 0.0)


# ------------------------------------------------------------------------------------------------ the book
def write_templates(job: Job, found: Sequence[Template], date: str) -> bytes:
    """Return the book of templates as PDF.

    Args:
        job: The job.
        found: Its `templates`, one at least.
        date: Date on the sheets, YYYY-MM-DD.

    Raises:
        PackError: If something does not fit its sheet.
    """
    day = datetime.date.fromisoformat(date)
    content: Block = {
        **sheet_frame(job, day),
        "sheets": [_contents(job, found)],
        "tiles": [_sheet(job, one, cell) for one in found for cell in one.spread.used],
    }
    try:
        pdf = page_maker(job, content).compile(format="pdf", timestamp=moment(day), pdf_standards=STANDARDS)
    except typst.TypstError as fault:
        raise PackError(said("the templates cannot be printed: {why}", why=fault.message)) from fault
    if not isinstance(pdf, bytes):
        raise PackError(said("the page maker gave no PDF"))
    return pdf


def _contents(job: Job, found: Sequence[Template]) -> Block:
    """The list of templates, and how to put one together."""
    columns = [
        (WORDS["part"], 2.2, "l"),
        (head("plate_size", job.workshop.show_length), 1.6, "r"),
        (WORDS["template_sheets"], 1.4, "l"),
        (WORDS["template_count"], 0, "r"),
        (WORDS["template_use"], 2.4, "l"),
        (WORDS["done"], 0, "c"),
    ]
    rows = [_row(job, one) for one in found]
    return section(WORDS["templates"], table(columns, rows), lead=WORDS["templates_lead"], code="+templates-true-size")


def _row(job: Job, one: Template) -> list[TableCell]:
    size = " × ".join(job.workshop.shown.length(v) for v in one.size)
    use = WORDS["template_plate" if one.part.kind == "plate" else "template_bent"]
    use = SHEETMETAL["template_use"] if one.part.kind == "sheet" else use
    use = FORMERS["use"] if one.former else use
    return [
        {"plain": soft(one.title), "sub": f"{one.part.stock}  ·  {pieces(job, one.part)}"},
        size,
        strong(one.sheets),
        str(len(one.spread.used)),
        use,
        ticks(),
    ]


def _sheet(job: Job, one: Template, cell: Cell) -> Block:
    spread = one.spread
    single = len(spread.used) == 1
    return {
        "title": WORDS["template_title"].format(part=one.title, sheet=sheet_name(cell)),
        "code": one.part.id,
        "lead": WORDS["template_lead_one" if single else "template_lead"],
        "map": picture(sheet_map(one.drawing, spread, cell)),
        "w": spread.width,
        "h": spread.height,
        "drawing": picture(tile(one.drawing, spread, cell)),
    }
