"""The set-angle law of a die from its test bends, as a person writes them down: `set finished`, one bend a line."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from handbarrow.findings import Finding
from handbarrow.language import said
from handbarrow.laws.bending.calibration import Calibration, fit_set_angle_law
from handbarrow.laws.units.shown import short_text

__all__ = ["Law", "law_of"]

MOST_LINES = 500
NUMBER = r"[0-9]{1,3}(?:[.,][0-9]{1,4})?"
BEND = re.compile(rf"\s*({NUMBER})[\s;/:>-]+({NUMBER})\s*(?:deg|°)?\s*", re.ASCII)


@dataclass(frozen=True, slots=True)
class Law:
    """A law as the workshop file writes it; `scatter`: of one bend, in degrees, where there are more than two."""

    a: str
    b: str
    bends: int
    scatter: str


def law_of(text: str, where: str) -> Law | Finding:
    """Return the law that fits test bends, or what is wrong with them.

    >>> law_of("30 29.0; 60 58.5; 90 88", "dies[0]").a
    '0.9833'
    """
    pairs: list[tuple[float, float]] = []
    for line in re.split(r"[\n;]", text[:20_000]):
        if not line.strip():
            continue
        found = BEND.fullmatch(line)
        pair = None if found is None else (_number(found[1]), _number(found[2]))
        if pair is None or not all(0 < angle < 180 for angle in pair) or len(pairs) >= MOST_LINES:
            return _unclear(line.strip(), where)
        pairs.append(pair)
    try:
        fitted = fit_set_angle_law(*([math.radians(pair[side]) for pair in pairs] for side in (0, 1)))
    except ValueError:
        return _too_few(len(pairs), where)
    return _law(fitted)


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _law(fitted: Calibration) -> Law:
    scatter = "" if fitted.scatter_rad is None else short_text(math.degrees(fitted.scatter_rad), 0.01)
    a, b = short_text(fitted.a, 0.0001), short_text(math.degrees(fitted.b_rad), 0.01)
    return Law(a=a, b=b, bends=fitted.bends, scatter=scatter)


def _unclear(line: str, where: str) -> Finding:
    return Finding(
        code="request-unclear",
        where=where,
        wrong=said("{line!r} is no test bend", line=line[:60]),
        expected=said("on each line the angle that was set and the angle that came out, as `92 90`"),
        fix=said("write both angles in degrees, with a space between them"),
    )


def _too_few(count: int, where: str) -> Finding:
    return Finding(
        code="request-unclear",
        where=where,
        wrong=said("{count} test bends at fewer than two different set angles tell no law", count=count),
        expected=said("at least two different set angles; six bends from small to large are better"),
        fix=said("make more test bends"),
    )
