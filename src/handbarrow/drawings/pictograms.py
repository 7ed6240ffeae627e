"""Signs that stand beside the verbs, for people who read few words: black and white, made to be read at 8 to 12 mm."""

from __future__ import annotations

from dataclasses import replace

from handbarrow.drawings import signs_of_building, signs_of_safety, signs_of_work
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.sign_parts import NOMINAL, UNITS

__all__ = ["SAFETY", "SIGNS", "pictogram"]

SIGNS = {**signs_of_work.SIGNS, **signs_of_building.SIGNS, **signs_of_safety.SIGNS}
"""Name -> what gives its strokes, in the order of the legend."""
SAFETY = frozenset(signs_of_safety.SIGNS)
"""Those that say must, no or danger."""


def pictogram(name: str, alt: str, size: float = NOMINAL) -> Drawing:
    """Return a sign.

    Args:
        name: Which one of `SIGNS`.
        alt: What it says, in words.
        size: Side of its square [mm]; line weights grow with it.
    """
    unit, heavier = size / UNITS, size / NOMINAL
    strokes = tuple(
        replace(one, points=tuple((x * unit, y * unit) for x, y in one.points), weight=one.weight * heavier)
        for one in SIGNS[name]()
    )
    return Drawing(width=size, height=size, strokes=strokes, alt=alt, name=name)
