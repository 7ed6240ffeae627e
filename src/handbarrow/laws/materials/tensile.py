"""Least tensile strength of the steels that tube, bar and plate are sold in."""

from __future__ import annotations

from handbarrow.laws.materials.steel import least_yield

__all__ = ["least_tensile_mpa"]

STRENGTHS = {
    "S235": 360.0, "S275": 410.0, "S355": 470.0,
    "E235+N": 340.0, "E235+SR": 420.0, "E355+N": 490.0,
    "E190+CR2": 270.0, "E220+CR2": 310.0, "E260+CR2": 340.0, "E320+CR2": 410.0,
    "DC01": 270.0,
}  # fmt: skip
"""R_m [MPa], the lower end of the range: EN 10025-2, EN 10305-1, EN 10305-3, EN 10130, all from memory."""
OVER_YIELD = 1.10
"""EN 1993-1-1 3.2.2 (from memory): f_u / f_y is at least this."""


def least_tensile_mpa(steel: str, yield_mpa: float | None = None) -> float | None:
    """Return the least tensile strength of a steel [MPa]; None: neither the steel nor its yield is known.

    Args:
        steel: As on the certificate.
        yield_mpa: Yield that the shop reckons with [MPa]; of a steel that is not known, 1.10 times it.

    Source: EN 10025-2, EN 10305, EN 10130 (from memory); EN 1993-1-1 3.2.2 (from memory).

    >>> least_tensile_mpa("S235JRH"), least_tensile_mpa("", 200.0), least_tensile_mpa("")
    (360.0, 220.0, None)
    """
    grade = least_yield(steel)
    if grade is not None:
        return STRENGTHS.get(grade.name, OVER_YIELD * grade.yield_mpa)
    return None if yield_mpa is None else round(OVER_YIELD * yield_mpa, 6)
