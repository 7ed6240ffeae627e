"""Bolts that find their length, in the job data."""

from __future__ import annotations

from typing import Any

from handbarrow.job.bolt_values import Fastener
from handbarrow.sheets.jsonnumbers import num

__all__ = ["fastener_document"]


def fastener_document(fastener: Fastener) -> dict[str, Any]:
    """Return a bolt with what it clamps and what is bought for it as plain values."""
    return {
        "thread": fastener.thread,
        "length": num(fastener.length),
        "grip": num(fastener.grip),
        "start": num(fastener.start),
        "undrawn": num(fastener.undrawn),
        "clamped": [
            {"part": one.part, "thickness": num(one.thickness), "before": num(one.before)} for one in fastener.clamped
        ],
        "washers": fastener.washers,
        "washer": num(fastener.washer),
        "nut": fastener.nut,
        "nut_height": num(fastener.nut_height),
        "showing": num(fastener.showing),
        "items": [
            {"item": one.item, "standard": one.standard, "count": one.count, "mass_kg": num(one.mass_kg)}
            for one in fastener.items
        ],
    }
