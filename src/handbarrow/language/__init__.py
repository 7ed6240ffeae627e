"""What the program says to people, and in which language.

English is written in the code; other languages come from message catalogues (gettext's PO files in `catalogues/`). Two
ways, one for each side of the house:

* The pure rooms make texts with `said`: English as ever, and remembers how it was made, so that an edge can say it
  again in another language with `spoken`. Values mean the same everywhere.
* Rooms that draw and print take words from `Words`, or say them at once with `say`, in the language that is
  being spoken (`speaking`).

This room imports nothing else of the house.
"""

from __future__ import annotations

from handbarrow.language.message import Said, listed, said, say, spoken
from handbarrow.language.tongue import LANGUAGES, asked_for, current, speaking
from handbarrow.language.words import Words

__all__ = [
    "LANGUAGES",
    "Said",
    "Words",
    "asked_for",
    "current",
    "listed",
    "said",
    "say",
    "speaking",
    "spoken",
]
