"""What the product is made from: the roles of the design, and setting one of them to what can be had today."""

from __future__ import annotations

from typing import Any

from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.web import refusals
from handbarrow.web.bench import LONGEST_TEXT, Workbench, text_of
from handbarrow.web.edit import EditError, read_at, replaced, scalar_text
from handbarrow.web.project import Note, State
from handbarrow.web.versions import Content

__all__ = ["roles_of", "set_role"]

Json = dict[str, Any]


def roles_of(bench: Workbench, state: State) -> Json:
    """Return the roles as they are written, whether the workshop has such stock, and what it has."""
    try:
        written = read_at(text_of(state), ["stock"])
    except EditError:
        written = None
    shop = bench.model.shop(state).shop
    known = [] if shop is None else [*shop.stock, *(name for name in shop.prices if name.startswith("wheel "))]
    roles = written.items() if isinstance(written, dict) else ()
    return {
        "roles": [{"name": name, "text": text, "missing": _is_missing(text, known)} for name, text in roles],
        "stock_names": known,
    }


def _is_missing(text: str, known: list[str]) -> bool:
    """Whether it can be read but is no stock of the shop; wheels have their prices only."""
    found = parse_stock(text) if isinstance(text, str) else None
    return isinstance(found, Stock) and found.wheel is None and found.label not in known


def set_role(bench: Workbench, project: str, base: int, role: str, text: str) -> tuple[State, State]:
    """Set what a role is made from; returns the state before and after.

    Raises:
        RefusedError: If somebody else changed it meanwhile, there is no such role, or it cannot be read.
    """
    found, now = bench.open(project)
    before, text = text_of(now), text.strip()
    bench.model.refuse_broken(now, of="design")
    theirs = scalar_text(before, ["stock", role])
    if theirs is None:
        raise refusals.request_unclear("stock")
    seen = found.at(base)
    touched = base != now.number and (seen is None or scalar_text(text_of(seen), ["stock", role]) != theirs)
    if touched and theirs != text:
        raise refusals.changed_meanwhile(f"stock.{role}", {"yours": text, "theirs": theirs, "number": now.number})
    if not text or len(text) > LONGEST_TEXT or any(ord(sign) < 32 for sign in text):
        raise refusals.request_unclear(f"stock.{role}")
    if text == theirs:
        return now, now
    try:
        content = Content(replaced(before, ["stock", role], text).encode(), now.content.workshop)
    except (EditError, UnicodeEncodeError) as fault:
        raise refusals.request_unclear(f"stock.{role}") from fault
    bench.model.refuse_broken(State(now.number, content, now.design_file, now.workshop_file), of="design")
    return now, found.save(now, content, Note("size", {"name": role, "was": theirs, "now": text}))
