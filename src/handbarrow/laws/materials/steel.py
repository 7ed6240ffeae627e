"""Least yield of the steels that tube and bar are sold in, each with the words about where the value comes from."""

from __future__ import annotations

import re
from typing import NamedTuple

__all__ = ["SteelGrade", "grade_names", "least_yield"]


class SteelGrade(NamedTuple):
    """A grade: least yield strength [MPa] for walls up to 16 mm, and its source with how that was read."""

    name: str
    yield_mpa: float
    source: str


EN_10025 = "EN 10025-2 table 7, read at second hand from a table of steel grades on the web"
EN_10305_1 = "EN 10305-1, read at second hand from a tube seller's table"
EN_10305_3 = "EN 10305-3, from memory"

GRADES: dict[str, SteelGrade] = {
    grade.name: grade
    for grade in (
        SteelGrade("S235", 235.0, EN_10025),
        SteelGrade("S275", 275.0, EN_10025),
        SteelGrade("S355", 355.0, EN_10025),
        SteelGrade("E235+N", 235.0, EN_10305_1),
        SteelGrade("E235+SR", 350.0, EN_10305_1),
        SteelGrade("E355+N", 355.0, EN_10305_1),
        SteelGrade("E190+CR2", 190.0, EN_10305_3),
        SteelGrade("E220+CR2", 220.0, EN_10305_3),
        SteelGrade("E260+CR2", 260.0, EN_10305_3),
        SteelGrade("E320+CR2", 320.0, EN_10305_3),
        SteelGrade("DC01", 140.0, "EN 10130, from memory"),
    )
}
PLAIN = {
    "E190": "E190+CR2",
    "E220": "E220+CR2",
    "E235": "E235+N",
    "E260": "E260+CR2",
    "E320": "E320+CR2",
    "E355": "E355+N",
}
STRUCTURAL = re.compile(r"(S235|S275|S355)(?:J[R0O2]|K2)?H?(?:\+(?:N|AR|M))?", re.ASCII)


def grade_names() -> tuple[str, ...]:
    """Return the names of the grades whose least yield [MPa] is known. Source: as each grade says."""
    return tuple(GRADES)


def least_yield(name: str) -> SteelGrade | None:
    """Return the grade of a steel name, or None if it is not known.

    Args:
        name: As on the certificate: `S235JRH`, `E220+CR2`; `E235` alone is taken as its softest state.

    Returns:
        The grade with its least yield strength [MPa], walls up to 16 mm.

    Source: as each grade says; none of the standards was seen itself.

    >>> least_yield("S235JRH").yield_mpa, least_yield("e220").name, least_yield("E235+C")
    (235.0, 'E220+CR2', None)
    """
    plain = name.strip().upper().replace(" ", "")[:40]
    found = STRUCTURAL.fullmatch(plain)
    key = found[1] if found else PLAIN.get(plain, plain)
    return GRADES.get(key)
