"""Words of bend cards that make a card complete in itself: what a bend uses, where it starts, how far corners lie apart."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["CARD"]

CARD = Words(
    "card",
    {
        "corners": "Corners",
        "corners_apart": "{lengths} apart on the centreline, start to far end",
        "uses": "uses {length}",
        "starts": "Bends start {offset} past the mark.",
        "starts_of": "Bends of die {die} start {offset} past the mark.",
    },
)
