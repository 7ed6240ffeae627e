"""The first line of both files: which kind of file it is, and in which edition of the format."""

from __future__ import annotations

from typing import Literal

from handbarrow.findings import Finding, with_places
from handbarrow.language import listed, said
from handbarrow.reading.book import Book, quoted
from handbarrow.reading.numbers import Scope
from handbarrow.reading.spot import Spot
from handbarrow.reading.tree import Tree

__all__ = ["header_findings"]

EDITION = 1


def header_findings(tree: Tree, kind: Literal["design", "workshop"]) -> list[Finding]:
    """Return a finding if the file says that it is something else than `handbarrow: design 1` (or `workshop 1`).

    Nothing else is worth saying about such a file. A header that is missing is found with the other keys.
    """
    book = Book(tree.place)
    if tree.root is None or "handbarrow" not in tree.root.keys:
        return []
    spot = Spot(tree.root, "", book, Scope()).at("handbarrow")
    wanted = f"{kind} {EDITION}"
    stands = spot.text(listed((f"`{wanted}`",)))
    if stands and stands != wanted:
        spot.refuse(
            code="other-file",
            wrong=said("this file says it is {stands}", stands=quoted(stands)),
            expected=listed((f"`handbarrow: {wanted}`",)),
            fix=said("give the design file here, or use a program that reads this edition")
            if kind == "design"
            else said("give the workshop file here, or use a program that reads this edition"),
        )
    return with_places(book.closed(), tree.places()) if book.findings else []
