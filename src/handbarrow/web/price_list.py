"""A supplier's price list (CSV or XLSX) read into rows, and what of it the workshop file can take over."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

from handbarrow.findings import Finding
from handbarrow.language import said
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.laws.units.quantity import Quantity, parse_quantity
from handbarrow.web.shop_fields import Path, at

__all__ = ["Offer", "PriceList", "read_rows", "taken_from"]

MOST_ROWS, MOST_COLUMNS, MOST_UNPACKED = 5000, 60, 20_000_000
HEADS: Mapping[str, tuple[str, ...]] = {
    "item": ("item", "article", "designation", "désignation", "description", "material", "matériau", "name", "nom"),
    "length": ("length", "longueur"),
    "price": ("price", "unit price", "prix", "prix unitaire"),
    "supplier": ("supplier", "fournisseur"),
    "mass": ("mass", "weight", "masse", "poids"),
}
FAULTS = (zipfile.BadZipFile, ElementTree.ParseError, KeyError, ValueError, csv.Error, OSError, RuntimeError, EOFError)
SHEET = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
Row = Sequence[str]


@dataclass(frozen=True, slots=True)
class Offer:
    """A line that fits the workshop: item, where its price goes, what stands there now, what it would be."""

    item: str
    path: Path
    was: str
    now: str
    more: tuple[tuple[Path, str], ...] = ()
    """Other values that come with a new entry."""


@dataclass(frozen=True, slots=True)
class PriceList:
    """What a list offers, and lines that fit nothing, each with why."""

    offers: tuple[Offer, ...]
    left: tuple[tuple[str, str], ...]
    same: int
    """Lines whose price stands in the file already."""


# ------------------------------------------------------------------------------------------------ reading
def read_rows(name: str, content: bytes) -> list[list[str]] | Finding:
    """Return the rows of a CSV or XLSX file as texts, or what is wrong with it."""
    try:
        rows = list(_xlsx(content) if content[:2] == b"PK" else _csv(content))
    except FAULTS as fault:
        return _unreadable(name, str(fault))
    return rows[:MOST_ROWS] if rows else _unreadable(name, "")


def _csv(content: bytes) -> Iterator[list[str]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", "replace")
    first = next((line for line in text.splitlines() if line.strip()), "")
    between = max(";\t,", key=first.count)
    for row in csv.reader(io.StringIO(text), delimiter=between):
        if any(cell.strip() for cell in row):
            yield [cell.strip() for cell in row[:MOST_COLUMNS]]


def _xlsx(content: bytes) -> Iterator[list[str]]:
    """Rows of the first sheet of a workbook."""
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        if sum(entry.file_size for entry in book.infolist()) > MOST_UNPACKED:
            raise ValueError(said("it is too large when unpacked"))
        names = book.namelist()
        texts = _shared(book) if "xl/sharedStrings.xml" in names else []
        sheets = sorted(n for n in names if re.fullmatch(r"xl/worksheets/sheet[0-9]+\.xml", n))
        root = _tree(book, min(sheets, key=lambda n: (len(n), n)))
        for row in root.iter(f"{SHEET}row"):
            cells = dict(_cells(row, texts))
            if any(cells.values()):
                yield [cells.get(i, "") for i in range(min(max(cells) + 1, MOST_COLUMNS))]


def _tree(book: zipfile.ZipFile, name: str) -> Any:
    raw = book.read(name)
    if b"<!DOCTYPE" in raw or b"<!ENTITY" in raw:
        raise ValueError(said("it holds declarations that no spreadsheet needs"))
    return ElementTree.fromstring(raw)  # noqa: S314 - without declarations there is nothing to unfold


def _shared(book: zipfile.ZipFile) -> list[str]:
    return ["".join(t.text or "" for t in one.iter(f"{SHEET}t")) for one in _tree(book, "xl/sharedStrings.xml")]


def _cells(row: Any, texts: list[str]) -> Iterator[tuple[int, str]]:
    for place, cell in enumerate(row.iter(f"{SHEET}c")):
        column = _column(cell.get("r", ""), place)
        if cell.get("t") == "inlineStr":
            yield column, "".join(t.text or "" for t in cell.iter(f"{SHEET}t")).strip()
            continue
        value = cell.findtext(f"{SHEET}v") or ""
        yield column, (texts[int(value)] if cell.get("t") == "s" and value else value).strip()


def _column(name: str, place: int) -> int:
    letters = re.match(r"[A-Z]{1,3}", name)
    if letters is None:
        return place
    number = 0
    for letter in letters[0]:
        number = number * 26 + ord(letter) - 64
    return number - 1


# ------------------------------------------------------------------------------------------------ numbers
def amount(text: str) -> str | None:
    """Return an amount of money as plain digits; None if it is none, or could be read in two ways.

    >>> amount("31,20 EUR"), amount("1 234.50"), amount("1.234,50"), amount("1,234"), amount("free")
    ('31.20', '1234.50', '1234.50', None, None)
    """
    bare = re.sub(r"[A-Za-z€$£\s\u00a0\u202f']", "", text)
    if not re.fullmatch(r"[0-9]+([.,][0-9]+)*", bare, re.ASCII):
        return None
    if "," in bare and "." in bare:
        last = max(bare.rfind(","), bare.rfind("."))
        whole, part = re.sub(r"[.,]", "", bare[:last]), bare[last + 1 :]
    else:
        whole, _, part = bare.replace(",", ".").partition(".")
    if "." in part or (len(part) == 3 and "e" not in text):
        return None
    return f"{whole}.{part}" if part else whole


def _millimetres(text: str) -> float | None:
    found = parse_quantity(text.replace(",", ".").replace("\u00a0", " ")) if text else None
    if not isinstance(found, Quantity) or found.kind not in ("length", "number"):
        return None
    return found.value


# ------------------------------------------------------------------------------------------------ what fits
def taken_from(rows: Sequence[Row], data: Any) -> PriceList | Finding:
    """Return what of a list the workshop file can take over.

    Args:
        rows: The list, with a line of headings somewhere near its top.
        data: The workshop file as read, every scalar as text.
    """
    for number, row in enumerate(rows[:20]):
        columns = _heads(row)
        if "item" in columns and "price" in columns:
            return _taken(rows[number + 1 :], columns, data)
    return Finding(
        code="request-unclear",
        where="prices",
        wrong=said("the list has no line of headings that is known"),
        expected=said("columns headed item and price; length, supplier and mass where there are such"),
        fix=said("write these words over the columns"),
    )


def _heads(row: Row) -> dict[str, int]:
    out: dict[str, int] = {}
    for place, text in enumerate(row):
        bare = re.sub(r"\(.*?\)|\[.*?\]", "", text).strip().lower()
        for kind, names in HEADS.items():
            if bare in names and kind not in out:
                out[kind] = place
    return out


def _taken(rows: Sequence[Row], columns: Mapping[str, int], data: Any) -> PriceList:
    offers: dict[Path, Offer] = {}
    left: list[tuple[str, str]] = []
    same = 0
    for row in rows:
        told = {kind: row[place] if place < len(row) else "" for kind, place in columns.items()}
        item = " ".join(told["item"].split())[:120]
        price = amount(told["price"])
        if not item:
            continue
        found = said("its price cannot be read") if price is None else _offer(item, price, told, data)
        if isinstance(found, str):
            left.append((item, found))
        elif _is_same(found.was, found.now):
            same += 1
        else:
            offers[found.path] = found
    return PriceList(tuple(offers.values()), tuple(left), same)


def _is_same(was: str, now: str) -> bool:
    try:
        return float(was) == float(now)
    except ValueError:
        return False


def _offer(item: str, price: str, told: Mapping[str, str], data: Any) -> Offer | str:
    stock = parse_stock(item)
    if isinstance(stock, Stock) and stock.wheel is None:
        return _of_stock(item, price, told, data, stock)
    return _of_bought(item, price, told, data, stock.label if isinstance(stock, Stock) else "")


def _of_stock(item: str, price: str, told: Mapping[str, str], data: Any, stock: Stock) -> Offer | str:
    label = next((name for name in at(data, ("stock",)) or () if _label(name) == stock.label), None)
    if label is None:
        return said("the workshop has no such stock")
    if stock.section is None:
        path: Path = ("stock", label, "price per kg")
        return Offer(item, path, at(data, path) or "", price)
    lengths = at(data, ("stock", label, "lengths")) or []
    wanted = _millimetres(told.get("length", ""))
    known = [_millimetres(str(at(lengths, (i, "length")) or "")) for i in range(len(lengths))]
    if wanted is None and len(known) == 1:
        wanted = known[0]
    for i, length in enumerate(known):
        if length is not None and wanted is not None and abs(length - wanted) < 0.5:
            path = ("stock", label, "lengths", i, "price")
            return Offer(f"{label}, {told.get('length') or length}", path, at(data, path) or "", price)
    if wanted is None:
        return said("it says no length, and the workshop has several")
    return said("the workshop has no such length of it")


def _label(name: str) -> str:
    found = parse_stock(name)
    return found.label if isinstance(found, Stock) else ""


def _of_bought(item: str, price: str, told: Mapping[str, str], data: Any, wheel: str) -> Offer:
    prices = at(data, ("prices",)) or {}
    bare = " ".join(item.split()).lower()
    name = next((n for n in prices if n.lower() == bare or (wheel and _label(n) == wheel)), wheel or item)
    path: Path = ("prices", name, "price")
    more = []
    for key in ("supplier", "mass"):
        if told.get(key) and at(data, ("prices", name)) is None:
            mass = amount(told[key]) if key == "mass" else told[key][:120]
            more += [(("prices", name, key), f"{mass} kg" if key == "mass" else mass)] if mass else []
    return Offer(name, path, at(data, path) or "", price, tuple(more))


def _unreadable(name: str, why: str) -> Finding:
    return Finding(
        code="request-unclear",
        where="prices",
        wrong=said("{name!r} cannot be read as a price list ({why})", name=name[:80], why=why[:120] or "-"),
        expected=said("a table saved as CSV or XLSX, with its headings"),
        fix=said("save it again from the spreadsheet program as CSV"),
    )
