"""Words of the page at which another device gives the code."""

from __future__ import annotations

from handbarrow.language import Words

__all__ = ["DOOR_WORDS"]

DOOR_WORDS = Words(
    "door",
    {
        "title": "This device is not known yet",
        "lead": "Type the six figures that the workshop's computer shows.",
        "code": "Code",
        "enter": "Go in",
        "wrong": "That is not the code.",
        "wait": "Too many wrong codes. Wait a minute, then try again.",
    },
)
