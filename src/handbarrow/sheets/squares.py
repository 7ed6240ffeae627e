"""The square codes (QR) at the head of the sheets, as vector squares: white first, then black."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from handbarrow.job.values import Job
from handbarrow.sheets.blocks import Block, PackError
from handbarrow.sheets.codes import PACK, SheetCode, code_of, long_form, short_form, slug
from handbarrow.sheets.words import WORDS

__all__ = ["QUIET", "SYMBOL", "TITLES", "blocks_of", "matrix", "sheet_codes", "sheet_names"]

SYMBOL = 15.0
"""Side of the black and white squares without the white round them [mm]."""
QUIET = 4
"""Squares of white round a code (ISO/IEC 18004)."""
MASK = 3
"""Mask of the squares, a diagonal one (ISO/IEC 18004). Readers are told which it is; trying all eight takes long."""
COVER = "+cover"
LISTS = ("parts", "straight", "plates", "drill_tubes", "stops", "hacksaw", "wraps", "cutting", "materials", "findings")
"""Sheets that are called as the key of their title, whatever the language."""
TITLES = ("title", "check_title")
"""Where a block has titles of sheets."""


def sheet_codes(job: Job, content: Block) -> dict[str, Block]:
    """Return the code of every sheet by its title, and under "" that of sheets without one."""
    return {title: _block(code_of(job, name)) for title, name in sheet_names(content).items()}


def sheet_names(content: Block) -> dict[str, str]:
    """Return what every sheet is called in its code, by its title; and under "" a sheet without one.

    Args:
        content: The pack's content. A block with a title is a sheet; its `code` is the id of the part whose own
            sheet it is, or the sheet's name with a `+`. Without, a block with an `assembly` is called as its list and
            the assembly (`+weld.frame`); those of `LISTS` are known by their titles.
    """
    names = {"": PACK, WORDS["wraps"]: "+wraps"}
    fixed = {WORDS[key]: f"+{key}" for key in LISTS}
    if content.get("cover"):
        names[content["cover"]["name"]] = COVER
    for kind, block in blocks_of(content):
        for title in (block.get(key) for key in TITLES):
            if isinstance(title, str) and title and block.get("level", 1) == 1:
                names.setdefault(title, fixed.get(title) or _name(kind, block, title))
    return names


def _name(kind: str, block: Block, title: str) -> str:
    """Name of a sheet: its own; else that of its list with the assembly whose it is."""
    if block.get("code"):
        return str(block["code"])
    if block.get("assembly"):
        return f"+{kind}.{slug(block['assembly'])}"
    raise PackError(f"a fault of the program: the sheet “{title}” has no code")


def blocks_of(content: Block) -> Iterator[tuple[str, Block]]:
    """Every block of the pack with the name of its list: those of the lists, and those that stand alone."""
    for kind, value in content.items():
        for block in value if isinstance(value, list | tuple) else [value]:
            if isinstance(block, dict):
                yield kind, block


@cache
def matrix(text: str) -> tuple[bytes, ...]:
    """Return the squares of a text, row by row; 1 is black."""
    import segno

    return tuple(bytes(row) for row in segno.make(text, error="m", micro=False, mask=MASK).matrix)


def _block(code: SheetCode) -> Block:
    text = long_form(code)
    rows = matrix(text)
    return {
        "w": SYMBOL,
        "quiet": SYMBOL * QUIET / len(rows),
        "svg": _svg(rows),
        "alt": WORDS["code_alt"].format(text=text),
        "short": WORDS["code"].format(code=short_form(code)),
    }


def _svg(rows: Sequence[bytes]) -> str:
    side = len(rows)
    whole = side + 2 * QUIET
    black = "".join(f"M{x} {y}h{wide}v1h-{wide}z" for y, row in enumerate(rows) for x, wide in _runs(row))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-{QUIET} -{QUIET} {whole} {whole}">'
        f'<path fill="#fff" d="M-{QUIET}-{QUIET}h{whole}v{whole}h-{whole}z"/><path fill="#000" d="{black}"/></svg>'
    )


def _runs(row: bytes) -> Iterator[tuple[int, int]]:
    """Black squares side by side, as (first, how many)."""
    start = None
    for x, square in enumerate([*row, 0]):
        if square and start is None:
            start = x
        elif not square and start is not None:
            yield start, x - start
            start = None
