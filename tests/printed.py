"""Printed packs for all tests of one run: each is made once, its words are read once, its sheets are taken apart once.

Words are read by pdfium, in the order in which they were written (the order that a screen reader follows); places and
lines by pdfplumber, sheet by sheet when they are asked for, which takes a third of a second each.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pdfplumber
import pypdfium2
from pdfplumber.page import Page

from factories import make_job
from handbarrow.cli.loading import load_job
from handbarrow.drawings.model import Drawing
from handbarrow.job.values import Job
from handbarrow.sheets.pack import write_pack
from handbarrow.sheets.pictures import pack_drawings

__all__ = ["DAY", "MM", "drawn_for", "example", "level_lines", "lines", "on", "pack", "pages", "small_pack", "texts"]

EXAMPLES = Path(__file__).parents[1] / "examples"
DAY = "2026-06-01"
MM = 25.4 / 72
"""A point of the page in mm."""


@cache
def example(design: str, shop: str = "ridge-workshop", units: int = 8) -> Job:
    """The job of an example; in the valley workshop with the tube that it has."""
    path, by = EXAMPLES / f"{design}.yaml", EXAMPLES / f"{shop}.yaml"
    with tempfile.TemporaryDirectory() as folder:
        if shop == "valley-workshop":
            text = path.read_text().replace("light: tube 21.3x2\n", "light: tube 19.1x1.7\n")
            path = Path(folder) / path.name
            path.write_text(text.replace("main: tube 26.9x2.3\n", "main: tube 25.4x2.1\n"))
        job, found = load_job(path, by, units)
    assert job is not None, found
    return job


def on(job: Job, paper: str = "A4", length: str = "mm", mass: str = "kg", *, hacksaw: bool | None = None) -> Job:
    """The job in a shop with this paper and these units."""
    shop = replace(job.workshop, paper=paper, show_length=length, show_mass=mass)  # type: ignore[arg-type]
    if hacksaw is not None:
        shop = replace(shop, saw=replace(shop.saw, only_hacksaw=hacksaw))
    return replace(job, workshop=shop)


@cache
def _packed(design: str, shop: str, paper: str, length: str) -> tuple[bytes, tuple[Drawing, ...]]:
    job, drawn = example(design, shop), []

    def kept(draw: Callable[..., Drawing]) -> Callable[..., Drawing]:
        def keep(*how: Any) -> Drawing:
            drawn.append(draw(*how))
            return drawn[-1]

        return keep

    job = on(job, paper, length, job.workshop.show_mass)
    how = pack_drawings(job)
    how = replace(how, card=kept(how.card), strip=kept(how.strip), at_bender=kept(how.at_bender), bar=kept(how.bar))
    return write_pack(job, how, DAY), tuple(drawn)


def pack(design: str, shop: str = "ridge-workshop", paper: str = "", length: str = "") -> bytes:
    """The pack of an example, on the shop's own paper and in its own units where nothing else is asked for."""
    own = example(design, shop).workshop
    return _packed(design, shop, paper or own.paper, length or own.show_length)[0]


def drawn_for(design: str, shop: str) -> tuple[Drawing, ...]:
    """Cards, strips, bars and bender views that were drawn for the pack of an example."""
    own = example(design, shop).workshop
    return _packed(design, shop, own.paper, own.show_length)[1]


@cache
def small_pack(paper: str = "A4", hacksaw: bool = False, length: str = "mm", mass: str = "kg") -> bytes:
    """The pack of the small job of `factories`."""
    job = on(make_job(), paper, length, mass, hacksaw=hacksaw)
    return write_pack(job, pack_drawings(job), DAY)


@cache
def texts(pdf: bytes) -> tuple[str, ...]:
    """The words of each sheet, line by line."""
    book = pypdfium2.PdfDocument(pdf)
    try:
        return tuple(page.get_textpage().get_text_range().replace("\r\n", "\n") for page in book)
    finally:
        book.close()


@lru_cache(maxsize=5)
def pages(pdf: bytes) -> tuple[Page, ...]:
    """The sheets of a pack; what was once looked for on one is kept."""
    return tuple(pdfplumber.open(io.BytesIO(pdf)).pages)


def lines(page: Page) -> Iterator[tuple[float, float, float, float]]:
    """Straight lines of a sheet [mm], from its upper left corner."""
    for line in [*page.lines, *page.curves]:
        for (x0, y0), (x1, y1) in pairwise(line.get("pts") or []):
            yield x0 * MM, y0 * MM, x1 * MM, y1 * MM


def level_lines(page: Page) -> list[float]:
    """Lengths of the level straight lines of a sheet that stand alone [mm]."""
    out = []
    for line in [*page.lines, *page.curves]:
        points = line.get("pts") or []
        if len(points) == 2 and abs(points[0][1] - points[1][1]) < 0.01:
            out.append(abs(points[1][0] - points[0][0]) * MM)
    return out
