"""Saving what a person changed on the workshop's page into its file: only that, comments and order kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from handbarrow.findings import Finding, errors
from handbarrow.language import said
from handbarrow.web.edit import EditError, added, edited, read_at, removed
from handbarrow.web.shop_fields import Path, at, path_of, where_of
from handbarrow.workshop.reader import read_shop

__all__ = ["Edited", "edit_shop", "shop_data"]

TOPS = ("name", "currency", "paper", "language", "show", "stock", "dies", "bender", "saw", "limits", "prices")
"""Keys of the file that a form may write under."""
MAPS = ("set angle", "test piece", "show", "saw", "bender", "limits")
"""Maps that go out when their last value does."""
LONGEST = 400


@dataclass(slots=True)
class Edited:
    """The file as it is to be, and what stands against it. `text` is as before if findings stand against it."""

    text: str
    findings: list[Finding] = field(default_factory=list)
    count: int = 0
    """How many values were changed."""


def shop_data(text: str) -> Any:
    """Return a workshop file as plain data, every scalar as text; None if it cannot be read."""
    try:
        return read_at(text, ())
    except EditError:
        return None


def edit_shop(text: str, seen: str, given: Mapping[str, str], file: str) -> Edited:
    """Write what a form brought into the file.

    Args:
        text: The file as it is now.
        seen: The file as it was when the person saw it: a value that somebody else changed since then stays.
        given: Fields: `v:path` a value, `n:path` a value of a new entry, `remove` the path of an entry to take out.
        file: Its name, for places.

    Returns:
        The new text; with findings where something cannot be so, and the text unchanged then.
    """
    out = Edited(text)
    now, was = shop_data(text), shop_data(seen)
    try:
        if given.get("remove"):
            _take_out(out, path_of(given["remove"]), now, was)
        else:
            for name, value in given.items():
                if name.startswith("v:"):
                    _set(out, path_of(name[2:]), value.strip(), now, was)
            for path, entry in _fresh(given):
                _add(out, path, entry, now)
    except EditError:
        out.findings.append(_unwritable("workshop"))
    if not out.findings and out.text != text:
        read = read_shop(out.text, file)
        out.findings += errors(read.findings) if read.shop is None else []
    if out.findings:
        out.text = text
    return out


def _is_ours(path: Path) -> bool:
    return bool(path) and path[0] in TOPS and len(path) <= 6


def _set(out: Edited, path: Path, value: str, now: Any, was: Any) -> None:
    here, seen = at(now, path), at(was, path)
    is_texts = all(one is None or isinstance(one, str) for one in (here, seen))
    if not _is_ours(path) or not is_texts or len(value) > LONGEST or not value.isprintable():
        out.findings.append(_unwritable(where_of(path)))
        return
    here, seen = here or "", seen or ""
    if value in (seen, here):
        return
    if here != seen or not _same_lists(path, now, was):
        out.findings.append(_meanwhile(path, value, here))
        return
    if not value and _is_needed(path):
        out.findings.append(_needed(path))
        return
    out.count += 1
    if value:
        out.text = edited(out.text, path, value)
        return
    out.text = removed(out.text, path)
    if len(path) > 1 and path[-2] in MAPS and not at(shop_data(out.text), path[:-1]):
        out.text = removed(out.text, path[:-1])


def _is_needed(path: Path) -> bool:
    """Whether the file must say this."""
    match path:
        case ("name",) | ("dies", _, "name" | "for" | "radius") | ("prices", _, "price"):
            return True
        case ("stock", _, "lengths" | "off-cuts", _, "length"):
            return True
    return False


def _same_lists(path: Path, now: Any, was: Any) -> bool:
    """Whether places in lists still mean the same entries."""
    lists = [path[:i] for i, step in enumerate(path) if isinstance(step, int)]
    return all(_length(at(now, one)) == _length(at(was, one)) for one in lists)


def _length(found: Any) -> int:
    return len(found) if isinstance(found, list) else -1


def _fresh(given: Mapping[str, str]) -> Iterator[tuple[Path, dict[str, str]]]:
    """Yield new entries that were begun: path of their list or map, values that were given."""
    entries: dict[Path, dict[str, str]] = {}
    for name, value in given.items():
        if name.startswith("n:") and value.strip():
            path = path_of(name[2:])
            entries.setdefault(path[:-2], {})[str(path[-1])] = value.strip()
    yield from entries.items()


def _add(out: Edited, path: Path, entry: dict[str, str], now: Any) -> None:
    whole = all(value.isprintable() and len(value) <= LONGEST for value in entry.values())
    if not _is_ours(path) or not whole:
        out.findings.append(_unwritable(where_of(path)))
        return
    out.count += 1
    if path not in (("prices",), ("stock",)):
        out.text = added(out.text, path, entry)
        return
    name = " ".join(entry.pop("name", "").split())
    if not name or at(now, (*path, name)) is not None:
        out.findings.append(_no_name(path, name))
        return
    value = {"lengths": [entry]} if path == ("stock",) and "length" in entry else entry
    out.text = edited(out.text, (*path, name), value)


def _take_out(out: Edited, path: Path, now: Any, was: Any) -> None:
    if not _is_ours(path) or len(path) < 2 or at(now, path) is None:
        out.findings.append(_unwritable(where_of(path)))
    elif at(now, path) != at(was, path):
        out.findings.append(_meanwhile(path, "", ""))
    else:
        out.count += 1
        out.text = removed(out.text, path)
        if not at(shop_data(out.text), path[:-1]) and path[:-1] != ("stock",):
            out.text = removed(out.text, path[:-1])


# ------------------------------------------------------------------------------------------------ findings
def _unwritable(where: str) -> Finding:
    return Finding(
        code="request-unclear",
        where=where[:200],
        wrong=said("this cannot be written into the workshop file from here"),
        expected=said("one line of text at a place that this page shows"),
        fix=said("write it in the file with an editor"),
    )


def _needed(path: Path) -> Finding:
    return Finding(
        code="value-missing",
        where=where_of(path),
        wrong=said("this was left empty"),
        expected=said("a value: the file cannot do without it"),
        fix=said("write the value, or take the whole entry out"),
    )


def _meanwhile(path: Path, yours: str, theirs: str) -> Finding:
    return Finding(
        code="changed-meanwhile",
        where=where_of(path),
        wrong=said(
            "somebody else changed this while you wrote {yours!r}; there stands {theirs!r} now",
            yours=yours,
            theirs=theirs,
        ),
        expected=said("a change to what stands there now"),
        fix=said("save again if yours is right; read the page again if theirs is"),
    )


def _no_name(path: Path, name: str) -> Finding:
    wrong = said("{name!r} stands here already", name=name) if name else said("a new entry without a name")
    return Finding(
        code="request-unclear",
        where=where_of((*path, "", "name")),
        wrong=wrong,
        expected=said("a name of its own"),
        fix=said("write another name, or change the entry that is there"),
    )
