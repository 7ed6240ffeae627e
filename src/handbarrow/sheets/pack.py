"""The printed pack: cover, lists, bend cards, mitre wraps at true size, cutting plan, materials, findings, as one PDF.

The same job, drawings, date and fonts give the same bytes.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import fontpkg
import typst

from handbarrow.drawings.model import Drawing
from handbarrow.job.values import Job, JobPart
from handbarrow.language import current, said, spoken
from handbarrow.sheets import pages
from handbarrow.sheets.bender import bender_pages
from handbarrow.sheets.blocks import Block, PackError, picture
from handbarrow.sheets.cards import GAPS, bench_height, bent_parts, card_block, check_height, title_height
from handbarrow.sheets.choice import WHOLE, Choice, Chosen
from handbarrow.sheets.cover import cover, cover_height
from handbarrow.sheets.drilling import drill_pages, drill_rows
from handbarrow.sheets.drills import drills
from handbarrow.sheets.formers import former_pages
from handbarrow.sheets.jigs import jig_pages
from handbarrow.sheets.loads import load_pages
from handbarrow.sheets.making import Making
from handbarrow.sheets.patterns import patterns
from handbarrow.sheets.release_pages import release_pages
from handbarrow.sheets.sewing import sewing_pages
from handbarrow.sheets.sheetmetal import folder_pages, shears_pages
from handbarrow.sheets.shown import batch
from handbarrow.sheets.signs import head_signs, legend, sign_pictures
from handbarrow.sheets.squares import sheet_codes
from handbarrow.sheets.words import WORDS
from handbarrow.sheets.wraps import WrapKey, wrap_keys, wrap_pages, wraps_lead

__all__ = [
    "PackDrawings",
    "PackError",
    "Paper",
    "bound_pack",
    "moment",
    "pack_portions",
    "page_maker",
    "paper_of",
    "sheet_frame",
    "write_pack",
]

STANDARDS: list[typst.PDFStandard] = ["a-2a", "ua-1"]
"""Archive and accessibility standards that every pack is compiled under; they refuse signs that no font has."""
LEFT, RIGHT, TOP, BOTTOM = 14.0, 10.0, 23.0, 16.0
"""Margins [mm], as in pack.typ."""
RULE_HEIGHT, INCH_RULE, WRAP_HEADING, DRILL_HEADING = 14.0, 7.0, 36.0, 36.0
"""Heights of the check rule with its words, of a rule in inches, of headings of the first sheets of true size [mm]."""
LEAST_VIEW, GOOD_VIEW, MOST_VIEW, MOST_COVER = 62.0, 85.0, 120.0, 140.0
"""Height of the view on a card and on the cover [mm]; below a good one, the card's rows are set tight."""
SMALLER = 0.55
"""A view this much smaller than it could be is still read at arm's length; below, the card takes a second sheet."""
SHEETS = ("before", "drilling", "wraps", "cards", "bender", "jigs", "weld", "assembly", "after")
"""The lists of sheets in the order of the work and of the pack's template."""
LONGEST_NAME = 34
"""Letters of the product's name at the head of every sheet; the cover has all of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper size [mm] and the room between its margins."""

    name: str
    width: float
    height: float

    @property
    def across(self) -> float:
        """Room across [mm]."""
        return self.width - LEFT - RIGHT

    @property
    def down(self) -> float:
        """Room down [mm]."""
        return self.height - TOP - BOTTOM

    @property
    def larger(self) -> float:
        """How many times larger than on A4 drawings may be."""
        return max(1.0, self.height / 297.0)


PAPERS = {
    "A4": Paper(name="a4", width=210.0, height=297.0),
    "A3": Paper(name="a3", width=297.0, height=420.0),
    "Letter": Paper(name="us-letter", width=215.9, height=279.4),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PackDrawings:
    """What draws the pictures of the pack. Boxes and widths are mm on paper; each gives a drawing no larger.

    Attributes:
        product: Box -> the product as a hidden-line view.
        card: Part id, box -> the bent part with its sizes.
        strip: Part id, width -> the straight tube with its marks.
        wrap: Part id, end -> mitre wrap at true size.
        bar: Number of the pattern in `patterns` (from 0), width -> the bar to scale.
        at_bender: Part id, number of the bend, box, mirrored -> how the tube lies in the bender.
        drilled: Part id, width -> a plate or a drilled bar at true size, face by face.
    """

    product: Callable[[tuple[float, float]], Drawing]
    card: Callable[[str, tuple[float, float]], Drawing]
    strip: Callable[[str, float], Drawing]
    wrap: Callable[[str, str], Drawing]
    bar: Callable[[int, float], Drawing]
    at_bender: Callable[[str, int, tuple[float, float], bool], Drawing]
    drilled: Callable[[str, float], Sequence[Drawing]]


def paper_of(job: Job) -> Paper:
    """Return the shop's paper."""
    return PAPERS[job.workshop.paper]


def write_pack(job: Job, drawings: PackDrawings, date: str, choice: Choice = WHOLE) -> bytes:
    """Return the pack as PDF.

    Args:
        job: The job.
        drawings: What draws its pictures.
        date: Date on the sheets, YYYY-MM-DD; it is the file's date too.
        choice: Which sheets; its paper must be the job's already.

    Raises:
        PackError: If something does not fit its sheet, a text holds a sign that no installed font has, or there is no
            sheet of that choice.
    """
    return bound_pack(job, (make() for make in pack_portions(job, drawings, date, choice).values()), date)


def bound_pack(job: Job, portions: Iterable[Block], date: str) -> bytes:
    """Return the pack as PDF, from what its `pack_portions` made.

    Raises:
        PackError: As `write_pack`.
    """
    day = datetime.date.fromisoformat(date)
    compiler = page_maker(job, _together(job, portions, day))
    try:
        pdf = compiler.compile(format="pdf", timestamp=moment(day), pdf_standards=STANDARDS)
    except typst.TypstError as fault:
        raise PackError(said("the pack cannot be printed: {why}", why=fault.message)) from fault
    if not isinstance(pdf, bytes):
        raise PackError(said("the page maker gave no PDF"))
    return pdf


def page_maker(job: Job, content: Block, template: Path | None = None) -> typst.Compiler:
    """Return what turns the content of sheets into pages; only a template on the disk can be asked for places."""
    source: Any = template or files("handbarrow.sheets").joinpath("pack.typ").read_bytes()
    return typst.Compiler(
        input=source,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps({**content, **_shared(job, content)}, ensure_ascii=False)},
    )


def _shared(job: Job, content: Block) -> Block:
    """What many sheets show: their codes and signs."""
    return {"codes": sheet_codes(job, content), "signs": sign_pictures(), "heads": head_signs(content)}


def moment(day: datetime.date) -> int:
    """The beginning of a day as the page maker counts time."""
    return int(datetime.datetime(day.year, day.month, day.day, tzinfo=datetime.UTC).timestamp())


@cache
def _families() -> tuple[str, ...]:
    """Installed Noto families, the plain one first: a script family that is installed is used where it is needed."""
    names = [family.name for family in fontpkg.families().values() if family.name.startswith("Noto Sans")]
    return tuple(sorted(names, key=lambda name: (name != "Noto Sans", name)))


@cache
def _fonts() -> typst.Fonts:
    paths = {str(file.path.parent) for name in _families() for file in fontpkg.family(name).files}
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=sorted(paths))


# ------------------------------------------------------------------------------------------------ content
def _content(job: Job, drawings: PackDrawings, day: datetime.date, choice: Choice) -> Block:
    return _together(job, (make() for make in pack_portions(job, drawings, day.isoformat(), choice).values()), day)


def _together(job: Job, portions: Iterable[Block], day: datetime.date) -> Block:
    made: Block = {key: value for portion in portions for key, value in portion.items()}
    sheets = {key: made[key] for key in SHEETS}
    if not any(sheets.values()):
        raise PackError(said("there is no sheet of that choice"))
    return {**sheet_frame(job, day), "cover": made["cover"], "wraps_lead": wraps_lead(job), **sheets}


def pack_portions(
    job: Job, drawings: PackDrawings, date: str, choice: Choice = WHOLE
) -> dict[str, Callable[[], Block]]:
    """Return what makes the pack's content, by portions: none needs another one, those that take longest come first.

    Sheets that are not chosen are not even drawn.
    """
    paper, pick = paper_of(job), Chosen(choice, job)
    few, making = pick.job, Making(job, paper.across)
    return {
        "stations": lambda: {
            "weld": pick.tagged("weld", making.weld_pages),
            "assembly": pick.batch("assembly", making.assembly_pages),
        },
        "cards": lambda: {
            "cards": pick.parts("bender", lambda: [_card(job, part, drawings, paper) for part in bent_parts(few)])
        },
        "jigs": lambda: {"jigs": pick.tagged("jigs", lambda: jig_pages(job, paper.across, paper.down))},
        "cover": lambda: {"cover": _cover(job, drawings, paper, date) if choice.whole else None},
        "bender": lambda: {
            "bender": [
                *pick.batch("bender", lambda: pages.stops(job)),
                *pick.batch("bender", lambda: bender_pages(job, drawings.at_bender)),
                *pick.batch("bender", lambda: former_pages(job)),
            ],
        },
        "lists": lambda: _lists(job, drawings, pick, paper),
    }


def _lists(job: Job, drawings: PackDrawings, pick: Chosen, paper: Paper) -> Block:
    """What is bought, sawn, drilled and mitred, and what comes after all."""
    few = pick.job
    room = paper.down - RULE_HEIGHT - (INCH_RULE if job.workshop.show_length == "in" else 0.0)
    straights = pick.parts("saw", lambda: pages.straights(few))
    to_drill = pick.parts("drill", lambda: drills(few, 2 if straights else 1))
    return {
        "before": [
            *pick.batch("lists", lambda: [legend(), *pages.parts(job)]),
            *pick.batch("buying", lambda: pages.materials(job)),
            *pick.batch("saw", lambda: _cutting(job, drawings, paper)),
            *pick.batch("shears", lambda: shears_pages(job, paper.across)),
            *pick.tagged("folder", lambda: folder_pages(few, paper.across)),
            *straights,
            *to_drill,
            *pick.parts(
                "drill",
                lambda: drill_rows(few, drawings.drilled, (paper.across, room), 2 if straights or to_drill else 1),
            ),
            *pick.parts("mitre", lambda: pages.hacksaw(few)),
            *pick.parts("sewing", lambda: sewing_pages(few, paper.across)),
        ],
        "drilling": pick.parts(
            "drill", lambda: drill_pages(few, drawings.drilled, paper.across, room - DRILL_HEADING, room)
        ),
        "wraps": pick.parts("mitre", lambda: _wraps(few, drawings, paper, room)),
        "after": [
            *pick.batch("inspection", lambda: load_pages(job, (paper.across, paper.down))),
            *pick.batch("inspection", lambda: release_pages(job)),
            *pick.batch("lists", lambda: pages.findings(job)),
        ],
    }


def _wraps(job: Job, drawings: PackDrawings, paper: Paper, room: float) -> list[Block]:
    drawn: Mapping[WrapKey, Drawing] = {key: drawings.wrap(*key) for key in wrap_keys(job)}
    return wrap_pages(job, drawn, paper.across, room - WRAP_HEADING, room)


def _cutting(job: Job, drawings: PackDrawings, paper: Paper) -> list[Block]:
    return pages.cutting(job, [drawings.bar(number, paper.across) for number in range(len(patterns(job)))])


def sheet_frame(job: Job, day: datetime.date) -> Block:
    """Return what every sheet needs: its stamp, paper, words and fonts."""
    paper = paper_of(job)
    return {
        **_stamp(job, day),
        "lang": current(),
        "paper": paper.name,
        "room": [paper.across, paper.down],
        "words": dict(WORDS),
        "inches": job.workshop.show_length == "in",
        "fonts": _families(),
    }


def _stamp(job: Job, day: datetime.date) -> Block:
    """What stands on every sheet."""
    revision = WORDS["revision"].format(revision=job.design.revision)
    digest = WORDS["digest"].format(design=job.design.digest[:8], workshop=job.workshop.digest[:8])
    unit = WORDS["unit_stamp"].format(length=spoken(job.workshop.shown.length_name))
    return {
        "title": f"{job.design.name} – {revision}",
        "name": job.design.name if len(job.design.name) <= LONGEST_NAME else f"{job.design.name[:LONGEST_NAME]}…",
        "stamp": f"{revision}  ·  {digest}  ·  {batch(job)}  ·  {unit}",
        "old": WORDS["old"].format(date=day.isoformat()),
        "sheet": WORDS["sheet"],
        "day": [day.year, day.month, day.day],
    }


def _cover(job: Job, drawings: PackDrawings, paper: Paper, date: str) -> Block:
    block = cover(job, date)
    height = min(max(paper.down - cover_height(block), LEAST_VIEW), MOST_COVER * paper.larger)
    return {**block, "view": picture(drawings.product((paper.across, height)))}


def _card(job: Job, part: JobPart, drawings: PackDrawings, paper: Paper) -> Block:
    """A card on one sheet; where its view would read worse so, the check sizes go on a second sheet with a view."""
    block = card_block(job, part)
    strip = drawings.strip(part.id, paper.across)
    room, most = paper.down - bench_height(block) - strip.height, MOST_VIEW * paper.larger

    def view(height: float) -> Drawing:
        return drawings.card(part.id, (paper.across, min(height, most)))

    out = {**block, "strip": picture(strip), "view": None, "check_view": None, "tight": False}
    second = paper.down - title_height(block["check_title"]) - check_height(block) - GAPS
    large = view(max(min(room, second), LEAST_VIEW))
    for tight, least in ((False, GOOD_VIEW), (True, LEAST_VIEW)):
        left = room - check_height(block, tight=tight)
        if left >= least and _reads_as_well(small := view(left) if left < most else large, large):
            return {**out, "view": picture(small), "tight": tight}
    shared = picture(large)
    return {**out, "view": shared if room >= LEAST_VIEW else None, "check_view": shared}


def _reads_as_well(small: Drawing, large: Drawing) -> bool:
    """Whether a smaller drawing of a part shows as many sizes, not much smaller."""
    return len(small.dimensions) >= len(large.dimensions) and (small.scale or 0.0) >= SMALLER * (large.scale or 0.0)
