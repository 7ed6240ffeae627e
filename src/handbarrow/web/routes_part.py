"""The page of one part: its card with the drawings, bends, ends, holes, and the sheets it is on."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from handbarrow.drawings.blanks import FLAT_KINDS, flat_view
from handbarrow.drawings.card import card_view
from handbarrow.drawings.drilled import bar_views
from handbarrow.drawings.strip import tube_strip
from handbarrow.drawings.wraps import wrap
from handbarrow.job.values import Job, JobPart
from handbarrow.sheets.cards import card_block
from handbarrow.sheets.fasteners import clamp_words, items_words, stack_words
from handbarrow.sheets.shown import holes_words
from handbarrow.web import refusals
from handbarrow.web.answers import page
from handbarrow.web.bench import bench_of
from handbarrow.web.look import inline, table_of
from handbarrow.web.view import part_record
from handbarrow.web.words_pages import PART

__all__ = ["router"]

router = APIRouter(prefix="/p/{project}", include_in_schema=False)
Json = dict[str, Any]
CARD = (250.0, 150.0)
"""Box of a card's picture on a page [mm]."""
WIDE = 250.0
LARGEST = 420.0
"""Plates wider or higher than this are not drawn on a page [mm]."""


@router.get("/part/{part}")
def part_page(request: Request, project: str, part: str) -> Response:
    """A part."""
    bench = bench_of(request)
    found, now = bench.open(project)
    worked = bench.model.worked(now, bench.units(found, None))
    job = worked.wanted()
    place = next((i for i, one in enumerate(job.parts) if one.id == part), None)
    if place is None:
        raise refusals.no_such_part(part)
    one = job.parts[place]
    context = {
        "p": PART,
        "project": project,
        "here": "product",
        "name": job.design.name,
        "part": part_record(worked, job, one),
        "one": one,
        "shown": job.workshop.shown,
        "card": _card(job, one),
        "drawings": list(_drawings(job, one)),
        "bought": items_words(one) if one.fastener or one.beside else "",
        "clamps": clamp_words(job, one),
        "stack": stack_words(job, one.fastener) if one.fastener else "",
        "holes": holes_words(one.holes, job.workshop.shown, one.kind in FLAT_KINDS),
        "before": job.parts[place - 1] if place else None,
        "after": job.parts[place + 1] if place + 1 < len(job.parts) else None,
    }
    return page("part.html", request.scope, context)


def _card(job: Job, part: JobPart) -> Json | None:
    """What the bender's card says, None for a part that is not bent."""
    if part.card is None or not part.card.rows:
        return None
    block = card_block(job, part)
    return {
        "facts": [*block["facts"], *block["facts2"]],
        "bends": table_of(block["bends"]),
        "checks": table_of(block["checks"]),
        "checks_title": block["checks_title"],
        "warnings": block["warnings"],
        "remarks": block["remarks"],
        "drawing": inline(card_view(job, part.id, CARD)),
    }


def _drawings(job: Job, part: JobPart) -> Iterator[Json]:
    """The straight tube, mitre wraps, drilled faces, outline: name of the words, whether wide, the drawing."""
    if part.section is not None and part.cut_length is not None:
        yield {"name": "strip", "wide": True, "drawing": inline(tube_strip(job, part.id, WIDE))}
        for name in ("start", "end"):
            cut = part.start if name == "start" else part.end
            if cut is not None and cut.wrap:
                yield {"name": f"wrap_{name}", "wide": False, "drawing": inline(wrap(job, part.id, name))}
    if part.kind in FLAT_KINDS and _size(part) <= LARGEST:
        yield {"name": "plate", "wide": False, "drawing": inline(flat_view(job, part.id))}
    elif part.kind == "bar" and part.holes:
        for drawn in bar_views(job, part.id, WIDE):
            yield {"name": "holes", "wide": True, "drawing": inline(drawn)}


def _size(part: JobPart) -> float:
    if not part.outline:
        return math.inf
    xs, ys = zip(*part.outline, strict=True)
    return float(max(max(xs) - min(xs), max(ys) - min(ys)))
