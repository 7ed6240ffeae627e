"""The first line of both files: which kind of file it is, and in which edition of the format."""

from __future__ import annotations

from handbarrow.findings import Finding, with_places
from handbarrow.reading.book import Book, quoted
from handbarrow.reading.numbers import Scope
from handbarrow.reading.spot import Spot
from handbarrow.reading.tree import Tree

__all__ = ["header_findings"]

EDITION = 1


def header_findings(tree: Tree, kind: str) -> list[Finding]:
    """Return a finding if the file says that it is something else than `handbarrow: design 1` (or `workshop 1`).

    Nothing else is worth saying about such a file. A header that is missing is found with the other keys.
    """
    book = Book(tree.place)
    if tree.root is None or "handbarrow" not in tree.root.keys:
        return []
    spot = Spot(tree.root, "", book, Scope()).at("handbarrow")
    wanted = f"{kind} {EDITION}"
    said = spot.text(f"`{wanted}`")
    if said and said != wanted:
        spot.refuse(
            code="other-file",
            wrong=f"this file says it is {quoted(said)}",
            expected=f"`handbarrow: {wanted}`",
            fix=f"give the {kind} file here, or use a program that reads this edition",
        )
    return with_places(book.closed(), tree.places()) if book.findings else []
