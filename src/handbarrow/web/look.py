"""What templates can do beyond plain HTML: drawings, tables of the sheets, the way to where a finding is mended."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from html import escape
from typing import Any
from urllib.parse import quote

import jinja2
from markupsafe import Markup

from handbarrow.drawings.model import Drawing
from handbarrow.drawings.svg import svg
from handbarrow.drawings.widths import text_width
from handbarrow.language import spoken
from handbarrow.laws.units.shown import show_money
from handbarrow.sheets.blocks import Block, Cell
from handbarrow.web.words_pages import PAGES

__all__ = ["anchor", "dress", "go", "inline", "table_of"]

Json = dict[str, Any]
IN_WORKSHOP: Mapping[str, str] = {
    "bend-radius-has-no-die": "dies",
    "stock-not-in-workshop": "stock",
    "stock-without-lengths": "stock",
    "stock-too-little": "stock",
    "piece-longer-than-stock": "stock",
}
"""Findings about the design that the workshop mends -> where on its page."""
WHITE = 2.0
"""Left round a drawing on a page [mm]."""


def dress(environment: jinja2.Environment) -> None:
    """Give an environment what every template of the workbench may use."""
    environment.filters["money"] = show_money
    environment.filters["anchor"] = anchor
    environment.globals["t"] = PAGES
    environment.filters["spoken"] = spoken
    environment.globals["go"] = go


def anchor(text: str) -> str:
    """Return a text as a name for a place on a page: letters, digits and `-`.

    >>> anchor("tube 26.9x2.3")
    'tube-26.9x2.3'
    """
    return re.sub(r"[^A-Za-z0-9._-]+", "-", text).strip("-") or "x"


def inline(drawing: Drawing) -> Markup:
    """Return a drawing to stand in a page, without the white round it.

    Its words are read aloud, not shown when the pointer rests on it.
    """
    x0, y0, x1, y1 = _ink(drawing)
    text = svg(drawing, texts=True)
    _, _, rest = text.partition(">")
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{x1 - x0:.2f}mm" height="{y1 - y0:.2f}mm" '
        f'viewBox="{x0:.2f} {y0:.2f} {x1 - x0:.2f} {y1 - y0:.2f}">{rest}'
    )
    head, _, rest = text.partition("<title>")
    _, _, rest = rest.partition("</title>\n")
    named = head.replace("<svg ", f'<svg role="img" aria-label="{escape(drawing.alt)}" ', 1)
    return Markup(named + rest)  # noqa: S704 - our own writer, which escapes every text


def _ink(drawing: Drawing) -> tuple[float, float, float, float]:
    """What is drawn on, with a little white: left, top, right, bottom [mm]."""
    xs, ys = [], []
    for stroke in drawing.all_strokes:
        xs += [x for x, _ in stroke.points]
        ys += [y for _, y in stroke.points]
    for text in drawing.texts:
        before = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * text_width(text.string, text.size, text.bold)
        after = text_width(text.string, text.size, text.bold) - before
        c, s = math.cos(text.rotation_rad), math.sin(text.rotation_rad)
        for along in (-before, after):
            for up in (-text.size, 0.3 * text.size):
                xs.append(text.x + along * c - up * s)
                ys.append(text.y + along * s + up * c)
    if not xs:
        return 0.0, 0.0, drawing.width, drawing.height
    return min(xs) - WHITE, min(ys) - WHITE, max(xs) + WHITE, max(ys) + WHITE


# ------------------------------------------------------------------------------------------------ tables of the sheets
def table_of(block: Block) -> Json:
    """Return a table of the sheets for a page: columns to tick or write in are left out, they are for paper.

    >>> table_of({"head": ["a", ""], "aligns": ["l", "c"], "rows": [["x", {"tick": 1}]]})["head"]
    [{'text': 'a', 'align': 'l'}]
    """
    rows: Sequence[Sequence[Cell]] = block["rows"]
    kept = [i for i in range(len(block["head"])) if any(_says(row[i]) for row in rows)]
    return {
        "head": [{"text": block["head"][i], "align": block["aligns"][i]} for i in kept],
        "rows": [[{**_cell(row[i]), "align": block["aligns"][i]} for i in kept] for row in rows],
    }


def _says(cell: Cell) -> bool:
    return bool(cell) if isinstance(cell, str) else "tick" not in cell


def _cell(cell: Cell) -> Json:
    if isinstance(cell, str):
        return {"text": cell, "below": "", "strong": False}
    if "strong" in cell:
        return {"text": cell["strong"], "below": cell.get("sub", ""), "strong": True}
    return {"text": cell.get("plain", ""), "below": cell.get("sub", ""), "strong": False}


# ------------------------------------------------------------------------------------------------ where to mend it
def go(project: str, finding: Mapping[str, Any]) -> str:
    """Return the address at which a finding of a project is mended; empty if that is only in the file itself.

    >>> go("cart", {"where": "sizes.bed_width", "severity": "error"})
    '/p/cart/#size-of-bed_width'
    """
    where = str(finding.get("where", ""))
    if not project or not where:
        return ""
    home = f"/p/{quote(project, safe='')}"
    head, _, rest = where.partition(".")
    head, _, index = head.partition("[")
    if head == "sizes" and rest:
        return f"{home}/#size-of-{quote(rest.split('.')[0])}"
    if head == "results":
        return f"{home}/#results"
    if head == "units":
        return f"{home}/job"
    if finding.get("code") in IN_WORKSHOP:
        return f"{home}/workshop#{IN_WORKSHOP[str(finding['code'])]}"
    if head == "parts" and rest and finding.get("severity") != "error":
        return f"{home}/part/{quote(re.split(r'[.[]', rest)[0], safe='')}"
    if head == "parts":
        return f"{home}/#roles"
    shop = {"stock": "stock", "dies": f"die-{index.rstrip(']')}", "prices": "prices"}
    shop |= dict.fromkeys(("bender", "saw", "limits", "show", "name", "currency", "paper", "language"), "shop")
    return f"{home}/workshop#{shop[head]}" if head in shop else ""
