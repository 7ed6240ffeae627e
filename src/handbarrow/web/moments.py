"""Times as this computer's clock shows them."""

from __future__ import annotations

import datetime
from typing import Literal

__all__ = ["moment"]


def moment(text: str, to: Literal["minutes", "seconds"] = "minutes") -> str:
    """Return a time for people, as `2026-11-25 13:05`; a text that is no time stays."""
    try:
        time = datetime.datetime.fromisoformat(text).astimezone().replace(tzinfo=None)
        return time.isoformat(" ", to)
    except ValueError:
        return text
