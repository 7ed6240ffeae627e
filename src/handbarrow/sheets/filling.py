"""Filling sheets with things of true size: in rows, tall ones first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from handbarrow.sheets.blocks import Block

__all__ = ["Item", "filled"]

GUTTER = 2.0
"""Clear space between two neighbours [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Something as it lies on the sheet: size with its caption [mm], and what is in it."""

    width: float
    height: float
    block: Block


def filled(items: Sequence[Item], width: float, room: float) -> tuple[list[Block], list[Item]]:
    """Fill one sheet: rows as high as their first item. Return what lies where, and what is left for other sheets."""
    taken: list[Block] = []
    left = list(items)
    y = 0.0
    while True:
        row = next((item for item in left if item.height <= room - y), None)
        if row is None:
            return taken, left
        x, height, rest = 0.0, row.height, []
        for item in left:
            if item.height <= height and x + item.width <= width:
                taken.append({**item.block, "x": x, "y": y})
                x += item.width + GUTTER
            else:
                rest.append(item)
        left = rest
        y += height + 2 * GUTTER
