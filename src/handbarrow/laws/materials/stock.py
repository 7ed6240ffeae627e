"""Stock as the trade writes it, `tube 26.9x2.3`, read into a section, a thickness or a wheel, with one canonical label.

The design file and the workshop file both say stock in these words; the label is how they find each other.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from handbarrow.language import Said, listed, said
from handbarrow.laws.geometry.section import Section, SectionShape
from handbarrow.laws.materials.soft import SOFT_EXAMPLES, SOFT_WORDS, Soft, parse_soft
from handbarrow.laws.units.quantity import Quantity, parse_quantity

__all__ = ["Stock", "StockFault", "parse_stock"]

LARGEST = 1000.0
"""No section or thickness is larger [mm]."""
LONGEST = 80

WORDS: dict[str, SectionShape | str] = {
    "tube": "round tube",
    "round tube": "round tube",
    "square tube": "square tube",
    "rectangular tube": "rectangular tube",
    "bar": "round bar",
    "round bar": "round bar",
    "square bar": "square bar",
    "flat": "flat",
    "flat bar": "flat",
    "angle": "angle",
    "plate": "plate",
    "sheet": "sheet",
    "wheel": "wheel",
}
EXAMPLES = {
    "round tube": "tube 26.9x2.3",
    "square tube": "square tube 15x1.5",
    "rectangular tube": "rectangular tube 40x20x2",
    "round bar": "bar 8",
    "square bar": "square bar 10",
    "flat": "flat 30x5",
    "angle": "angle 30x30x3",
    "plate": "plate 5",
    "sheet": "sheet 1",
    "wheel": "wheel 47-406",
}
TEXT = re.compile(r"(?P<words>[a-z]+(?: [a-z]+)?) +(?P<sizes>[0-9.].*)", re.ASCII)
WHEEL = re.compile(r"(\d{1,3})\s*-\s*(\d{1,3})", re.ASCII)
TYRE_WIDTHS = (10.0, 200.0)
BEAD_SEATS = (50.0, 800.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What stock is: exactly one of `section`, `thickness`, `wheel` and `soft` is set.

    Attributes:
        label: Canonical words and sizes in mm, the larger side first: two texts for the same stock have one label.
        section: Of tube and bar, height and width as they were written.
        thickness: Of plate and sheet [mm].
        is_sheet: Whether it is sheet, which is folded, and not plate.
        wheel: Tyre width and bead seat of a wheel [mm], by ISO 5775.
        soft: Cloth, webbing, cord or elastic.
    """

    label: str
    section: Section | None = None
    thickness: float | None = None
    is_sheet: bool = False
    wheel: tuple[float, float] | None = None
    soft: Soft | None = None


@dataclass(frozen=True, slots=True)
class StockFault:
    """Why a text is no stock."""

    wrong: Said
    expected: Said


def parse_stock(text: str) -> Stock | StockFault:
    """Read stock.

    Args:
        text: As `tube 26.9x2.3`, `tube 1 in x 1.5`, `square tube 15x15x1.5`, `flat 30x5`, `angle 30x3`, `plate 5`,
            `wheel 47-406`. Sizes without a unit are mm; each size may have its own unit of length.

    Returns:
        The stock, sizes [mm], or what is wrong with the text.

    Source: the trade's designations (outside diameter x wall; height x width x wall; ISO 5775-1: tyre width - bead
    seat). Common practice, no source.

    >>> parse_stock("tube 1 in x 1.5").label, parse_stock("square tube 15x15x1.5").label
    ('tube 25.4x1.5', 'square tube 15x1.5')
    """
    if text.split()[:1] and text.split()[0].lower() in SOFT_WORDS:
        return _soft(text)
    found = TEXT.fullmatch(" ".join(text.split()).lower()) if len(text) <= LONGEST else None
    shape = WORDS.get(found["words"]) if found else None
    if found is None or shape is None:
        return StockFault(said("it does not begin with a kind of stock and its sizes"), listed(EXAMPLES.values(), "; "))
    if shape == "wheel":
        return _wheel(found["sizes"])
    sizes = _sizes(found["sizes"])
    if isinstance(sizes, StockFault):
        return StockFault(sizes.wrong, said("sizes in mm as `{example}`", example=EXAMPLES[shape]))
    if shape in ("plate", "sheet"):
        if len(sizes) != 1:
            wrong = (
                said("{count} sizes; a sheet has its thickness only", count=len(sizes))
                if shape == "sheet"
                else said("{count} sizes; a plate has its thickness only", count=len(sizes))
            )
            return StockFault(wrong, listed((EXAMPLES[shape],)))
        return Stock(label=f"{shape} {sizes[0]:g}", thickness=sizes[0], is_sheet=shape == "sheet")
    return _section(shape, sizes)


def _soft(text: str) -> Stock | StockFault:
    soft = parse_soft(text) if len(text) <= LONGEST else None
    if soft is None:
        wrong = said("its name or its sizes are not those of cloth, webbing, cord or elastic")
        return StockFault(wrong, listed(SOFT_EXAMPLES, "; "))
    return Stock(label=soft.label, soft=soft)


def _wheel(text: str) -> Stock | StockFault:
    found = WHEEL.fullmatch(text.strip())
    expected = said("tyre width - bead seat as on the tyre's side (ISO 5775): wheel 47-406")
    if found is None:
        return StockFault(said("the wheel's size is not written as width-bead seat"), expected)
    width, bead = float(found[1]), float(found[2])
    if not (TYRE_WIDTHS[0] <= width <= TYRE_WIDTHS[1] and BEAD_SEATS[0] <= bead <= BEAD_SEATS[1]):
        return StockFault(
            said("no wheel has a tyre {width:g} mm wide on a bead seat of {bead:g} mm", width=width, bead=bead),
            expected,
        )
    return Stock(label=f"wheel {width:g}-{bead:g}", wheel=(width, bead))


def _sizes(text: str) -> list[float] | StockFault:
    """The sizes between the x signs [mm]."""
    out = []
    for piece in re.split(r"[x\u00d7*]", text):
        size = parse_quantity(piece)
        if not isinstance(size, Quantity) or size.kind not in ("number", "length"):
            return StockFault(said("`{size}` is no size", size=piece.strip()[:20]), said("a size in mm"))
        if not 0 < size.value <= LARGEST:
            return StockFault(said("{size:g} mm is no size of stock", size=size.value), said("a size in mm"))
        out.append(size.value)
    return out


def _section(shape: str, sizes: Sequence[float]) -> Stock | StockFault:
    """The section of tube or bar from its sizes in the order written."""
    example = EXAMPLES[shape]
    full = _full_sizes(shape, sizes)
    if full is None:
        return StockFault(said("{count} sizes where another number is usual", count=len(sizes)), listed((example,)))
    height, width, wall = full
    if shape in ("square tube", "square bar") and height != width:
        other = "rectangular tube" if shape == "square tube" else "flat"
        return StockFault(
            said("the sides {height:g} and {width:g} mm of a square differ", height=height, width=width),
            said("{example}, or {other}", example=example, other=other),
        )
    if shape == "rectangular tube" and height == width:
        shape = "square tube"
    try:
        section = Section(shape=shape, height=height, width=width, wall=wall)  # type: ignore[arg-type]
        large, small = max(height, width), min(height, width)
        turned = Section(shape=shape, height=large, width=small, wall=wall)  # type: ignore[arg-type]
    except ValueError as fault:
        return StockFault(fault.args[0], listed((example,)))
    return Stock(label=turned.designation, section=section)


def _full_sizes(shape: str, sizes: Sequence[float]) -> tuple[float, float, float] | None:
    """Height, width and wall [mm]; None if there are too few or too many sizes for the shape."""
    match shape, list(sizes):
        case (("round tube" | "square tube" | "angle"), [outside, wall]):
            return outside, outside, wall
        case (("square tube" | "rectangular tube" | "angle"), [height, width, wall]):
            return height, width, wall
        case (("round bar" | "square bar"), [outside]):
            return outside, outside, 0.0
        case "square bar" | "flat", [height, width]:
            return height, width, 0.0
    return None
