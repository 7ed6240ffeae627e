"""Times as this computer's clock shows them."""

from __future__ import annotations

import datetime

__all__ = ["moment"]


def moment(text: str) -> str:
    """Return a time for people, as `2026-11-25 13:05`; a text that is no time stays."""
    try:
        return datetime.datetime.fromisoformat(text).astimezone().strftime("%Y-%m-%d %H:%M")
    except ValueError:
        return text
