"""Words on the drawings of cloth."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["CLOTH_DRAWN"]

CLOTH_DRAWN = Words(
    "cloth drawings",
    {
        "panel": "{part}: cut cloth {size} with its folds, stitches and places, numbers from the end marked {named}",
        "roll": "{stock}: how the cloth of the batch lies on the roll, {length} long and {width} wide",
        "named": "mark: {named}",
        "pocket": "pocket {size}",
        "window": "window {size}",
        "patch": "patch {size}",
        "eyelet": "eyelet Ø{size}",
        "row": "stitches",
        "piece": "{part}  {size}",
        "selvedge": "roll, {width} wide",
    },
)
