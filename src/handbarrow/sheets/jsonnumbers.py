"""Numbers of the job data: rounded, finite, the same text on any machine."""

from __future__ import annotations

import math
from collections.abc import Iterable

__all__ = ["fine", "num", "nums", "opt"]


def num(value: float, digits: int = 6) -> float | int:
    """Round; -0.0 becomes 0.0; a number that is not finite is a fault of the program and must not leave it."""
    if isinstance(value, int):
        return value
    out = round(float(value), digits) + 0.0
    if not math.isfinite(out):
        raise ValueError(f"a number of the job is not finite: {value!r}")
    return out


def opt(value: float | None) -> float | int | None:
    """Round what may be missing."""
    return None if value is None else num(value)


def nums(values: Iterable[float]) -> list[float | int]:
    """Round each."""
    return [num(v) for v in values]


def fine(values: Iterable[float]) -> list[float | int]:
    """Direction cosines: rounded so finely that a matrix stays a rotation."""
    return [num(v, 12) for v in values]
