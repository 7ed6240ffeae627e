"""What differs between two jobs, part by part, as far as a sheet shows it. Pure: two job documents in, changes out."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

__all__ = ["BATCH", "KINDS", "LEAST", "Change", "Changes", "compare"]

Json = Mapping[str, Any]
Values = dict[str, Any]
"""Where in the part (empty: the part itself, `bend 2`, `start`, ...) -> what stands there."""

LEAST = 0.01
"""Lengths [mm] and angles [deg] that differ less are the same: no saw, tape or printer shows it."""

REACH = 1000.0
"""How far from its zero a part reaches, when the turn of its place is weighed [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Something of a part that is another than it was.

    Attributes:
        kind: One of `KINDS`, or `new` or `gone` for a whole part.
        where: In the part: `bend 2`, `start`, ...; empty for the part itself.
        was: A number, or None where there was none or it is no single number.
        now: As `was`.
    """

    kind: str
    where: str = ""
    was: float | None = None
    now: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """All that differs: of parts (only those that changed are listed), and of the batch (names in `BATCH`)."""

    parts: Mapping[str, tuple[Change, ...]]
    batch: tuple[str, ...]


def compare(old: Json, new: Json) -> Changes:
    """Return what differs between two job documents.

    Raises:
        KeyError, TypeError, ValueError, AttributeError: If the older document is none that this program writes.
    """
    before, after = _parts(old), _parts(new)
    found: dict[str, tuple[Change, ...]] = {}
    for name in dict.fromkeys([*after, *before]):
        if name not in before:
            found[name] = (Change(kind="new"),)
        elif name not in after:
            found[name] = (Change(kind="gone"),)
        elif changes := tuple(_changes(before[name], after[name])):
            found[name] = changes
    old, new = ({**document, "told": _told(document)} for document in (old, new))
    batch = tuple(name for name, keys in BATCH.items() if any(_differs(old.get(k), new.get(k)) for k in keys))
    return Changes(parts=found, batch=batch)


def _changes(old: Json, new: Json) -> Iterator[Change]:
    for kind, look in KINDS.items():
        was, now = look(old), look(new)
        for where in dict.fromkeys([*was, *now]):
            if _differs(was.get(where), now.get(where)):
                yield Change(kind=kind, where=where, was=_number(was.get(where)), now=_number(now.get(where)))


def _differs(was: Any, now: Any) -> bool:
    if was == now:  # most are, and this is quick
        return False
    if _is_number(was) and _is_number(now):
        return not abs(was - now) <= LEAST
    if isinstance(was, list | tuple) and isinstance(now, list | tuple):
        return len(was) != len(now) or any(map(_differs, was, now))
    if isinstance(was, Mapping) and isinstance(now, Mapping):
        return was.keys() != now.keys() or any(_differs(was[key], now[key]) for key in was)
    return bool(was != now)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _number(value: Any) -> float | None:
    return float(value) if _is_number(value) and math.isfinite(value) else None


# ------------------------------------------------------------------------------------------------ what a part shows
def _parts(document: Json) -> dict[str, Json]:
    """Parts by id, each with its number on the list, its pieces in the batch and its places."""
    units = document["units"]
    places: dict[str, list[Any]] = {}
    for one in document["placements"]:
        places.setdefault(one["part"], []).append([one["copy"], one["mirrored"], _at_reach(one["transform"])])
    return {
        part["id"]: {
            **part,
            "number": number,
            "pieces": part["quantity"] * part.get("items", 1) * units,
            "pieces mirrored": part["mirrored"] * units if part["other_hand"] else 0,
            "places": places.get(part["id"], []),
        }
        for number, part in enumerate(document["parts"], start=1)
    }


def _told(document: Json) -> list[Json]:
    """Findings as the sheets print them: without their places in the files."""
    return [{key: value for key, value in found.items() if key != "place"} for found in document["findings"]]


def _at_reach(transform: Iterable[Iterable[float]]) -> list[list[float]]:
    """A place with its directions as lengths, so that a turn counts by how far it carries a point."""
    return [[*(REACH * cosine for cosine in row[:3]), row[3]] for row in map(list, transform)]


def _plain(*keys: str) -> Callable[[Json], Values]:
    """Values of the part itself, several of them as one."""
    if len(keys) == 1:
        return lambda part: {"": part[keys[0]]} if part.get(keys[0]) is not None else {}
    return lambda part: {"": [part.get(key) for key in keys]}


def _bends(*keys: str) -> Callable[[Json], Values]:
    def look(part: Json) -> Values:
        rows: Iterable[Json] = part.get("bends", ())
        if len(keys) == 1:
            return {f"bend {row['number']}": row[keys[0]] for row in rows}
        return {f"bend {row['number']}": [row[key] for key in keys] for row in rows}

    return look


def _dies(part: Json) -> Values:
    """Die, radius and the law behind the set angle; the slope is weighed to its fifth figure."""
    out: Values = {}
    for row in part.get("bends", ()):
        law = row["law"]
        said = [REACH * law["a"], law["b"], law["test_bends"], law["guess"], law["date"]]
        out[f"bend {row['number']}"] = [row["die"], row["die_radius"], row["radius"], *said]
    return out


def _ends(part: Json) -> Values:
    return dict(part.get("ends", {}))


def _holes(part: Json) -> Values:
    return {f"hole {number}": hole for number, hole in enumerate(part.get("holes", ()), start=1)}


def _cut_out(part: Json) -> Values:
    """A blank of plate or sheet, a panel of cloth, lengths of webbing or cord: a part has one of them."""
    return _plain("blank")(part) or _plain("panel")(part) or _plain("strap")(part)


def _checks(part: Json) -> Values:
    keys = ("title", "kind", "value", "minus", "plus", "measured")
    return {size["id"]: [size[key] for key in keys] for size in part.get("check_sizes", ())}


KINDS: Mapping[str, Callable[[Json], Values]] = {
    "number": _plain("number"),
    "name": _plain("name", "assembly", "note", "standard"),
    "quantity": _plain("pieces"),
    "hands": _plain("pieces mirrored"),
    "stock": _plain("kind", "stock", "steel", "section", "fastener"),
    "cut length": _plain("cut_length"),
    "marks": lambda part: _bends("mark")(part) | _plain("pull")(part),
    "stops": _bends("stop", "stop_touches"),
    "order": _bends("order", "feed"),
    "angles": _bends("angle"),
    "set angles": _bends("set_angle"),
    "turns": _bends("turn", "bender_turn", "crown_from_up"),
    "dies": _dies,
    "straights": _plain("straights"),
    "seam": _plain("seam"),
    "wraps": _ends,
    "holes": _holes,
    "outline": _cut_out,
    "check sizes": _checks,
    "place": _plain("places"),
}
"""What a part's sheets show: kind -> what is looked at, and where in the part it stands."""

BATCH: Mapping[str, tuple[str, ...]] = {
    "cutting": ("cutting", "cutting_bounds", "rack_after"),
    "stops": ("stops",),
    "materials": ("materials", "totals"),
    "masses": ("masses",),
    "results": ("results",),
    "findings": ("told",),
}
"""What the sheets of the whole batch show: name -> keys of the document."""
