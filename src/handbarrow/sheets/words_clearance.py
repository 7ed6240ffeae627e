"""Words of the list of what comes near what."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["NEAR"]

NEAR = Words(
    "near",
    {
        "title": "What comes near what",
        "lead": "Between outsides, of parts that do not meet by design: as drawn, at the tyres, and while something moves.",
        "parts": "Parts",
        "pair": "{one} and {other}",
        "when": "When",
        "gap": "Distance",
        "inside": "{depth} into each other",
        "none": "nothing nearer than {near}",
    },
)
