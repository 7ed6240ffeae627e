"""The drawings that the sheets show and the folder holds, asked from the drawings room."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial

from handbarrow.drawings.at_bender import at_bender_view
from handbarrow.drawings.bars import cutting_bar
from handbarrow.drawings.blanks import FLAT_KINDS, blank_dxf, blank_view, flat_view
from handbarrow.drawings.card import card_view
from handbarrow.drawings.cloths import panel_dxf, panel_view
from handbarrow.drawings.drilled import bar_views
from handbarrow.drawings.dxf import dxf, metric
from handbarrow.drawings.flat import flat_dxf
from handbarrow.drawings.fullsize import bending_template
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.plates import plate_figure, plate_view
from handbarrow.drawings.product import product_view
from handbarrow.drawings.strip import tube_strip
from handbarrow.drawings.svg import svg
from handbarrow.drawings.titled import titled
from handbarrow.drawings.wraps import wrap
from handbarrow.job.soft_values import PanelWork
from handbarrow.job.values import Job, JobPart
from handbarrow.sheets.cards import bent_parts
from handbarrow.sheets.jigs import jig_files
from handbarrow.sheets.pack import PackDrawings
from handbarrow.sheets.patterns import patterns
from handbarrow.sheets.templates import file_lines, template_keys
from handbarrow.sheets.wraps import wrap_keys

__all__ = ["drawing_files", "pack_drawings"]

CARD_FILE = (250.0, 160.0)
"""Box of a card's drawing as a file [mm]."""


def pack_drawings(job: Job) -> PackDrawings:
    """Return what draws the pictures of the pack."""
    bars = patterns(job)
    return PackDrawings(
        product=lambda box: product_view(job, "isometric", box),
        card=lambda part, box: card_view(job, part, box),
        strip=lambda part, width: tube_strip(job, part, width),
        wrap=lambda part, end: wrap(job, part, end),
        bar=lambda number, width: cutting_bar(job, bars[number], width),
        at_bender=lambda part, number, box, mirrored: at_bender_view(job, part, number, box, mirrored=mirrored),
        drilled=lambda part, width: drilled_faces(job, part, width),
    )


def drilled_faces(job: Job, part_id: str, width: float) -> tuple[Drawing, ...]:
    """Return a plate, or the drilled faces of a bar, at true size."""
    if job.part(part_id).kind in FLAT_KINDS:
        return (flat_view(job, part_id),)
    return bar_views(job, part_id, width)


def drawing_files(job: Job) -> Iterator[tuple[str, str, Callable[[str], bytes]]]:
    """Yield (folder, name, form -> bytes) of each drawing kept as a file; forms are `svg` and `dxf`.

    An SVG says its sizes in the units that the shop reads, a DXF in mm. Where these are the same it is drawn once.
    """
    for part in bent_parts(job):
        yield "cards", part.id, _files(job, partial(card_view, part_id=part.id, box=CARD_FILE))
    for part_id, end in wrap_keys(job):
        yield "wraps", f"{part_id}-{end}", _files(job, partial(wrap, part_id=part_id, end=end))
    for part in job.parts:
        if part.kind == "plate":
            yield "plates", part.id, partial(_plate_file, job, part)
        if isinstance(part.soft, PanelWork):
            yield "cloth", part.id, partial(_cloth_file, job, part, part.soft)
        if part.kind == "sheet":
            yield "blanks", part.id, partial(_blank_file, job, part)
    for part_id in template_keys(job):
        yield "templates", part_id, _files(job, partial(_template, part_id=part_id))
    yield from jig_files(job)


def _plate_file(job: Job, part: JobPart, form: str) -> bytes:
    """The SVG is to be marked out from, the DXF has nothing but what a cutting table follows."""
    if form == "dxf":
        return flat_dxf(plate_figure(part))
    return svg(titled(job, plate_view(job, part.id), file_lines(job, part)), texts=True).encode()


def _cloth_file(job: Job, part: JobPart, work: PanelWork, form: str) -> bytes:
    """The SVG is the sheet's drawing, the DXF the cut cloth at true size."""
    if form == "dxf":
        return panel_dxf(work)
    return svg(panel_view(job, part.id, CARD_FILE), texts=True).encode()


def _blank_file(job: Job, part: JobPart, form: str) -> bytes:
    """As of plates; the DXF has layers for folds up and down besides."""
    if form == "dxf":
        return blank_dxf(part)
    return svg(titled(job, blank_view(job, part.id), file_lines(job, part)), texts=True).encode()


def _template(job: Job, part_id: str) -> Drawing:
    part = job.part(part_id)
    drawn = flat_view(job, part_id) if part.kind in FLAT_KINDS else bending_template(job, part_id)
    return titled(job, drawn, file_lines(job, part))


def _files(job: Job, draw: Callable[[Job], Drawing]) -> Callable[[str], bytes]:
    said = cache(partial(draw, job))
    measured = said if job.workshop.shown == metric(job).workshop.shown else partial(draw, metric(job))
    return partial(_file, {"svg": said, "dxf": measured})


def _file(draw: Mapping[str, Callable[[], Drawing]], form: str) -> bytes:
    drawing = draw[form]()
    return svg(drawing, texts=True).encode() if form == "svg" else dxf(drawing)
