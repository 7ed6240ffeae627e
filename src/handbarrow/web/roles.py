"""What the product is made from: the roles of the design, and what the workshop has for them."""

from __future__ import annotations

from typing import Any

from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.web.bench import Workbench
from handbarrow.web.edit import EditError, read_at
from handbarrow.web.project import State

__all__ = ["roles_of"]

Json = dict[str, Any]


def roles_of(bench: Workbench, state: State) -> Json:
    """Return the roles as they are written, whether the workshop has such stock, and what it has."""
    try:
        written = read_at(state.text, ["stock"])
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
