"""The drawings that the sheets show and the folder holds, asked from the drawings room."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, partial

from handbarrow.drawings.card import card_view
from handbarrow.drawings.dxf import dxf
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.product import product_view
from handbarrow.drawings.strip import cutting_bar, tube_strip
from handbarrow.drawings.svg import svg
from handbarrow.drawings.wraps import wrap
from handbarrow.job.values import Job
from handbarrow.sheets.cards import bent_parts
from handbarrow.sheets.pack import PackDrawings
from handbarrow.sheets.wraps import wrap_keys

__all__ = ["drawing_files", "pack_drawings"]

CARD_FILE = (250.0, 160.0)
"""Box of a card's drawing as a file [mm]."""


def pack_drawings(job: Job) -> PackDrawings:
    """Return what draws the pictures of the pack."""
    return PackDrawings(
        product=lambda box: product_view(job, "isometric", box),
        card=lambda part, box: card_view(job, part, box),
        strip=lambda part, width: tube_strip(job, part, width),
        wrap=lambda part, end: wrap(job, part, end),
        bar=lambda number, width: cutting_bar(job, job.cutting.bars[number], width),
    )


def drawing_files(job: Job) -> Iterator[tuple[str, str, Callable[[str], bytes]]]:
    """Yield (folder, name, form -> bytes) of each drawing kept as a file, drawn once; forms are `svg` and `dxf`."""
    for part in bent_parts(job):
        yield "cards", part.id, partial(_file, cache(partial(card_view, job, part.id, CARD_FILE)))
    for part_id, end in wrap_keys(job):
        yield "wraps", f"{part_id}-{end}", partial(_file, cache(partial(wrap, job, part_id, end)))


def _file(draw: Callable[[], Drawing], form: str) -> bytes:
    drawing = draw()
    return svg(drawing, texts=True).encode() if form == "svg" else dxf(drawing)
