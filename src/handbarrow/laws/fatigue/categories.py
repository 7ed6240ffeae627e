"""Detail categories of EN 1993-1-9 and IIW that welded tube carriers meet, each with how it was read.

None of the tables was seen itself. Hot-spot methods (ISO 14347) begin at walls of 4 mm: thinner tube is judged by
nominal stress, with doubt.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.language import said

__all__ = ["CATEGORIES", "LADDER", "DetailCategory", "detail_category"]

LADDER = (160.0, 140.0, 125.0, 112.0, 100.0, 90.0, 80.0, 71.0, 63.0, 56.0, 50.0, 45.0, 40.0, 36.0)
"""Categories of EN 1993-1-9 [MPa], read in a public module."""
Slope = Literal["3 then 5", "5"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DetailCategory:
    """A detail as it is welded.

    Attributes:
        key: Its name in this program.
        category_mpa: Stress range that is borne two million times [MPa].
        slope: Of the curve: 3 up to five million, then 5; or 5 throughout (nodes of lattices, shear).
        source: Table and how it was read.
    """

    key: str
    category_mpa: float
    slope: Slope
    source: str


def _detail(key: str, category: float, source: str, slope: Slope = "3 then 5") -> DetailCategory:
    return DetailCategory(key=key, category_mpa=category, slope=slope, source=source)


IN_CODE = said("EN 1993-1-9 table 8.6, read in public code (named 8.7 there)")


def _table(number: str) -> str:
    return said("EN 1993-1-9 table {table}, from memory", table=number)


CATEGORIES = (
    _detail("seamless tube", 160.0, _table("8.1")),
    _detail("welded tube", 140.0, said("EN 1993-1-9 table {table}, automatic seam, from memory", table="8.2")),
    _detail("round tube butt welded", 56.0, _table("8.6")),
    _detail("round tube fillet welded to a plate", 40.0, IN_CODE),
    _detail("square tube fillet welded to a plate", 36.0, IN_CODE),
    _detail("round tube butt welded to a plate", 50.0, IN_CODE),
    _detail("square tube butt welded to a plate", 45.0, IN_CODE),
    _detail("throat of a fillet", 36.0, _table("8.5")),
    _detail("toe of a short fillet across", 80.0, _table("8.5")),
    _detail("attachment up to 50 along", 80.0, _table("8.4")),
    _detail("attachment up to 80 along", 71.0, _table("8.4")),
    _detail("attachment up to 100 along", 63.0, _table("8.4")),
    _detail("attachment over 100 along", 56.0, _table("8.4")),
    _detail("toe of a cross joint", 63.0, said("IIW, from memory")),
    _detail("round node, equal walls", 45.0, _table("8.7"), "5"),
    _detail("round node, chord twice as thick", 90.0, _table("8.7"), "5"),
    _detail("square node, equal walls", 36.0, _table("8.7"), "5"),
    _detail("square node, chord twice as thick", 71.0, _table("8.7"), "5"),
)


def detail_category(key: str) -> DetailCategory:
    """Return a detail by its name; its category in MPa [MPa].

    Raises:
        KeyError: If there is none of that name.

    Source: as each category says.

    >>> detail_category("round tube fillet welded to a plate").category_mpa
    40.0
    """
    found = next((one for one in CATEGORIES if one.key == key), None)
    if found is None:
        raise KeyError(key)
    return found
