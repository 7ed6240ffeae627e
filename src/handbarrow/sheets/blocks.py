"""The plain values that the page template understands: tables, sections, drawings with their texts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

from handbarrow.drawings.model import Drawing
from handbarrow.drawings.svg import svg

__all__ = ["Block", "Cell", "PackError", "picture", "section", "strong", "table", "ticks", "tight", "unbroken"]

Block = dict[str, Any]
Cell = str | Block


class PackError(RuntimeError):
    """The pack cannot be printed; the message says what does not fit or which sign no font has."""


def strong(text: str, below: str = "") -> Block:
    """A cell read at arm's length, with small words below it."""
    return {"strong": text, "sub": below}


def ticks(count: int = 1) -> Block:
    """A cell of boxes to tick."""
    return {"tick": count}


def table(columns: Iterable[tuple[str, float, str]], rows: Sequence[Sequence[Cell]]) -> Block:
    """A table: columns as (heading, share of the width or 0 for as wide as needed, `l`, `c` or `r`)."""
    heads, widths, aligns = zip(*columns, strict=True)
    return {"head": heads, "widths": widths, "aligns": aligns, "rows": rows}


def tight(content: Block) -> Block:
    """A table with little white between its rows."""
    return {**content, "tight": True}


def unbroken(content: Block) -> Block:
    """A table whose rows each stay on one page."""
    return {**content, "whole": True}


def section(
    title: str,
    content: Block | None = None,
    *,
    level: int = 1,
    lead: str = "",
    bars: Sequence[Block] = (),
    remarks: Sequence[Cell] = (),
    code: str = "",
) -> Block:
    """A section; one of level 1 starts a new sheet, whose `code` is the same in every language."""
    named = {"code": code} if code else {}
    return {"title": title, "level": level, "lead": lead, "table": content, "bars": bars, "remarks": remarks, **named}


def picture(drawing: Drawing) -> Block:
    """A drawing: its lines as SVG, its texts to be placed by the template, what it shows in words."""
    texts = [
        {
            "x": text.x,
            "y": text.y,
            "s": text.string,
            "size": text.size,
            "anchor": text.anchor,
            "rot": math.degrees(text.rotation_rad),
            "bold": text.bold,
        }
        for text in drawing.texts
        if text.string
    ]
    return {"w": drawing.width, "h": drawing.height, "svg": svg(drawing), "texts": texts, "alt": drawing.alt}
