"""The first line of both files: which kind of file it is, and in which edition of the format."""

from __future__ import annotations

from handbarrow.reading.book import quoted
from handbarrow.reading.spot import Fields

__all__ = ["read_header"]

EDITION = 1


def read_header(fields: Fields, kind: str) -> None:
    """Check `handbarrow: design 1` or `handbarrow: workshop 1`."""
    spot = fields.get("handbarrow")
    if spot is None:
        return
    wanted = f"{kind} {EDITION}"
    said = spot.text(f"`{wanted}`")
    if said and said != wanted:
        spot.refuse(
            code="other-file",
            wrong=f"this file says it is {quoted(said)}",
            expected=f"`handbarrow: {wanted}`",
            fix=f"give the {kind} file here, or a program that reads this edition",
        )
