"""Words of the sheet on formers."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["FORMERS"]

FORMERS = Words(
    "formers",
    {
        "title": "Formers",
        "lead": (
            "Curves that are pulled by hand round a former of wood or steel. Saw the length, clamp its start to the "
            "straight of the former, pull to the mark, let go, check the radius, then cut off what is too long."
        ),
        "caution": "A bar under tension strikes back: one person pulls, nobody stands in its way, never let go at once.",
        "guess": "* First guess, no trial piece: pull one piece and check it before the former is sawn for the batch.",
        "formers_print": "The formers lie in the book of large templates.",
        "part": "Part",
        "saw": "Saw to",
        "before": "Of that, at the start for the clamp",
        "after": "Of that, at the end for the grip",
        "with": "Pulled at the end with",
        "pieces": "Pieces in one length",
        "cut": "Then cut at",
        "lengths": "Lengths for the batch",
        "bend": "Curve",
        "face": "Former, face R",
        "pull": "Pull to",
        "made": "Comes back to R",
        "check": "Check inside",
        "check_says": "{rise} rise over {chord}",
        "steps": "Vice, steps at",
        "template": "Former for {part}",
        "use": "Former: stick it on the board, saw along the face.",
    },
)
