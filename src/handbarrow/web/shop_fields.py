"""The workshop file as fields of forms: blocks of values, each with its path in the file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, unquote

from handbarrow.language import LANGUAGES
from handbarrow.laws.materials.stock import Stock, parse_stock

__all__ = ["Block", "Path", "Rows", "Slot", "at", "blocks", "name_of", "path_of", "where_of"]

Path = tuple[str | int, ...]
Data = Any


@dataclass(frozen=True, slots=True)
class Slot:
    """One value: its path, the name of its words, what stands there, and the answers there are (none: free text)."""

    path: Path
    word: str
    text: str
    choices: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Name of the field."""
        return f"v:{name_of(self.path)}"

    @property
    def where(self) -> str:
        """Path of findings about it."""
        return where_of(self.path)


@dataclass(frozen=True, slots=True)
class Rows:
    """Entries of one kind: those that are there, and an empty one for a new one. `named`: each has its own name."""

    word: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, Path, tuple[Slot, ...]], ...]
    """(name, path, values) of each."""
    fresh: tuple[Slot, ...]
    named: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """What is saved together."""

    id: str
    title: str
    slots: tuple[Slot, ...] = ()
    tables: tuple[Rows, ...] = ()
    path: Path = ()
    """Of an entry that can be taken out as a whole."""


# ------------------------------------------------------------------------------------------------ paths
def name_of(path: Path) -> str:
    """Return a path as the name of a field.

    >>> name_of(("stock", "tube 30x2", "lengths", 0, "price"))
    'stock/tube%2030x2/lengths/#0/price'
    """
    return "/".join(f"#{step}" if isinstance(step, int) else quote(step, safe="") for step in path)


def path_of(name: str) -> Path:
    """Return the path that a name stands for.

    >>> path_of("stock/tube%2030x2/lengths/#0/price")
    ('stock', 'tube 30x2', 'lengths', 0, 'price')
    """
    steps = name.split("/")
    return tuple(int(s[1:]) if s[:1] == "#" and s[1:].isascii() and s[1:6].isdigit() and len(s) < 7 else unquote(s)
                 for s in steps)  # fmt: skip


def where_of(path: Path) -> str:
    """Return a path as findings write it.

    >>> where_of(("stock", "tube 30x2", "lengths", 0, "price"))
    'stock.tube 30x2.lengths[0].price'
    """
    out = ""
    for step in path:
        out += f"[{step}]" if isinstance(step, int) else f".{step}" if out else step
    return out


def at(data: Data, path: Iterable[str | int]) -> Data:
    """Return what stands at a path of read data; None if nothing does."""
    for step in path:
        if isinstance(data, Mapping) and isinstance(step, str):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data):
            data = data[step]
        else:
            return None
    return data


# ------------------------------------------------------------------------------------------------ blocks
SHOP = ("name", "currency", "paper", "language", "show/length", "show/mass")
SAW = ("saw/kerf", "saw/end trim", "saw/hand allowance", "saw/only hacksaw")
BENDER = ("bender/stop", "bender/longest stop", "bender/clearance")
LIMITS = tuple(
    f"limits/{key}"
    for key in ("bent part", "assembled", "angle", "flatness", "useful off-cut", "merge stops", "paper thickness")
)
DIE = (
    "name", "for", "radius", "reference offset", "straight before", "straight after", "largest angle", "tool",
    "stretch", "set angle/a", "set angle/b", "set angle/test bends", "set angle/date", "test piece/length",
    "test piece/count",
)  # fmt: skip
CHOICES: Mapping[str, tuple[str, ...]] = {
    "paper": ("", "A4", "A3", "Letter"),
    "language": ("", *LANGUAGES),
    "show/length": ("", "mm", "cm", "in"),
    "show/mass": ("", "kg", "lb"),
    "saw/only hacksaw": ("", "no", "yes"),
    "bender/stop": ("", "end", "leg"),
    "tool": ("", "bender", "vice", "former"),
}


def blocks(data: Data) -> Iterator[Block]:
    """Yield the blocks of a workshop file as read, every scalar as text."""
    yield Block("shop", "general", tuple(_slots(data, (), SHOP)))
    stock = at(data, ("stock",))
    for label in stock if isinstance(stock, Mapping) else ():
        yield _stock(data, str(label))
    dies = at(data, ("dies",))
    labels = tuple(str(label) for label in stock) if isinstance(stock, Mapping) else ()
    for number in range(len(dies) if isinstance(dies, list) else 0):
        slots = _slots(data, ("dies", number), DIE, labels)
        yield Block(f"die-{number}", "die", tuple(slots), path=("dies", number))
    yield Block("tools", "tools", tuple(_slots(data, (), (*SAW, *BENDER))))
    yield Block("limits", "limits", tuple(_slots(data, (), LIMITS)))
    yield Block("prices", "prices", tables=(_named(data, ("prices",), "prices", ("price", "supplier", "mass")),))


def _slots(data: Data, under: Path, keys: Sequence[str], labels: tuple[str, ...] = ()) -> Iterator[Slot]:
    for key in keys:
        path: Path = (*under, *key.split("/"))
        text = _text(at(data, path))
        choices = CHOICES.get(key, ())
        if key == "for":
            choices = labels if text in labels or not text else (text, *labels)
        elif choices and text not in choices:
            choices = (*choices, text)
        yield Slot(path, key, text, choices)


def _stock(data: Data, label: str) -> Block:
    path: Path = ("stock", label)
    found = parse_stock(label)
    is_plate = isinstance(found, Stock) and found.section is None
    keys = ("steel", "steel source", "yield", "supplier", *(("price per kg",) if is_plate else ()))
    tables = () if is_plate else (
        _listed(data, (*path, "lengths"), "lengths", ("length", "price", "available")),
        _listed(data, (*path, "off-cuts"), "off-cuts", ("length", "count")),
    )  # fmt: skip
    return Block(f"stock-{label}", label, tuple(_slots(data, path, keys)), tables, path)


def _listed(data: Data, path: Path, word: str, columns: tuple[str, ...]) -> Rows:
    found = at(data, path)
    count = len(found) if isinstance(found, list) else 0
    rows = tuple(("", (*path, i), tuple(_slots(data, (*path, i), columns))) for i in range(count))
    return Rows(word, columns, rows, tuple(Slot((*path, count, key), key, "") for key in columns))


def _named(data: Data, path: Path, word: str, columns: tuple[str, ...]) -> Rows:
    found = at(data, path)
    names = [str(name) for name in found] if isinstance(found, Mapping) else []
    rows = tuple((name, (*path, name), tuple(_slots(data, (*path, name), columns))) for name in names)
    fresh = tuple(Slot((*path, "", key), key, "") for key in ("name", *columns))
    return Rows(word, columns, rows, fresh, named=True)


def _text(value: Data) -> str:
    return value if isinstance(value, str) else ""
