"""The workshop file: text in, the shop's values out. Faults are findings, all at once."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, cast

from handbarrow.findings import Finding, Place, with_places
from handbarrow.language import LANGUAGES, said
from handbarrow.reading.header import header_findings
from handbarrow.reading.limits import NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.numbers import Scope
from handbarrow.reading.spot import Fields, Spot
from handbarrow.reading.tree import Tree, build_tree
from handbarrow.workshop.read_consumables import read_consumables
from handbarrow.workshop.read_dies import read_bender, read_dies
from handbarrow.workshop.read_formers import read_formers
from handbarrow.workshop.read_sheet_work import read_sheet_work
from handbarrow.workshop.read_soft import read_sewing
from handbarrow.workshop.read_stock import read_prices, read_stock
from handbarrow.workshop.values import Limits as ShopLimits
from handbarrow.workshop.values import Saw, Workshop

__all__ = ["ReadShop", "read_shop", "read_workshop"]

KEYS = (
    "handbarrow", "name", "currency", "paper", "language", "show", "stock", "dies", "bender", "formers", "saw",
    "limits", "prices", "consumables", "packing washers", "folder", "sheet cutting", "sewing",
)  # fmt: skip
NEEDED = ("handbarrow", "name", "stock")
WASHERS = Limits(0.1, 10.0)
HITCH_LOAD = Limits(0.0, 2000.0)
KERFS = Limits(0.0, 50.0)
ALLOWANCES = Limits(0.0, 1000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadShop:
    """A workshop file as read: the shop (None if an error stands against it), its findings, the place of every path."""

    shop: Workshop | None
    findings: tuple[Finding, ...]
    places: Mapping[str, Place]


def read_shop(text: str | bytes, file: str) -> ReadShop:
    """Read a workshop file; see `read_workshop`."""
    shop, findings, places = read_workshop(text, file)
    return ReadShop(shop=shop, findings=tuple(findings), places=places)


def read_workshop(text: str | bytes, file: str) -> tuple[Workshop | None, list[Finding], Mapping[str, Place]]:
    """Read a workshop file.

    Args:
        text: Its text, or its bytes (UTF-8).
        file: Its name, for the places in findings.

    Returns:
        The shop, None if an error stands against it; all findings with their places; and the place of every path, for
        findings about the shop that are made later (empty if the file cannot be read at all).
    """
    tree = build_tree(text, file)
    if not isinstance(tree, Tree):
        return None, tree, {}
    other = header_findings(tree, "workshop")
    if other:
        return None, other, {}
    raw = text.encode() if isinstance(text, str) else bytes(text)
    book = tree.book
    if tree.root is None:
        raise ValueError("a tree without a root is no workshop file")
    fields = Spot(tree.root, "", book, Scope()).fields(KEYS, NEEDED)
    shop = _workshop(fields, hashlib.sha256(raw).hexdigest()[:12])
    places = tree.places()
    return (None if book.failed else shop), with_places(book.closed(), places), places


def _workshop(fields: Fields, digest: str) -> Workshop:
    stock = read_stock(fields.get("stock"))
    show = fields.get("show")
    shown = None if show is None else show.fields(("length", "mass"))
    length = "mm" if shown is None else shown.choice("length", ("mm", "cm", "in"), "mm")
    mass = "kg" if shown is None else shown.choice("mass", ("kg", "lb"), "kg")
    return Workshop(
        name=fields.text("name"),
        digest=digest,
        currency=fields.text("currency"),
        stock=stock,
        dies=read_dies(fields.get("dies"), stock),
        bender=read_bender(fields.get("bender")),
        formers=read_formers(fields.get("formers")),
        saw=_saw(fields.get("saw")),
        prices=read_prices(fields.get("prices")),
        consumables=read_consumables(fields.get("consumables")),
        packing=_packing(fields.get("packing washers")),
        sheet_work=read_sheet_work(fields.get("folder"), fields.get("sheet cutting")),
        sewing=read_sewing(fields.get("sewing")),
        limits=_limits(fields.get("limits")),
        paper=cast("Literal['A4', 'A3', 'Letter']", fields.choice("paper", ("A4", "A3", "Letter"), "A4")),
        language=fields.choice("language", tuple(LANGUAGES), "en"),
        show_length=cast("Literal['mm', 'cm', 'in']", length),
        show_mass=cast("Literal['kg', 'lb']", mass),
    )


def _packing(spot: Spot | None) -> tuple[float, ...]:
    items = [] if spot is None else spot.items(said("thicknesses of washers, as `[1, 1.5, 2]`"), 1, 12)
    return tuple(one.number("length", WASHERS) for one in items)


def _saw(spot: Spot | None) -> Saw:
    if spot is None:
        return Saw()
    fields = spot.fields(("name", "kerf", "end trim", "hand allowance", "only hacksaw"))
    usual = Saw()
    return Saw(
        name=fields.text("name", usual.name),
        kerf=fields.number("kerf", "length", usual.kerf, KERFS),
        end_trim=fields.number("end trim", "length", usual.end_trim, ALLOWANCES),
        hand_allowance=fields.number("hand allowance", "length", usual.hand_allowance, ALLOWANCES),
        only_hacksaw=fields.yes_no("only hacksaw", usual.only_hacksaw),
    )


def _limits(spot: Spot | None) -> ShopLimits:
    if spot is None:
        return ShopLimits()
    usual = ShopLimits()
    keys = ("bent part", "assembled", "angle", "flatness", "useful off-cut", "merge stops", "paper thickness",
            "hitch load")  # fmt: skip
    fields = spot.fields(keys)
    bent_part = fields.number("bent part", "length", usual.bent_part, POSITIVE)
    return ShopLimits(
        bent_part=bent_part,
        assembled=fields.number("assembled", "length", bent_part, POSITIVE),
        angle_rad=fields.number("angle", "angle", usual.angle_rad, Limits(0.0, 45.0, above=True)),
        flatness=fields.number("flatness", "length", usual.flatness, POSITIVE),
        useful_off_cut=fields.number("useful off-cut", "length", usual.useful_off_cut, NOT_NEGATIVE),
        merge_stops=fields.number("merge stops", "length", usual.merge_stops, NOT_NEGATIVE),
        paper_thickness=fields.number("paper thickness", "length", usual.paper_thickness, NOT_NEGATIVE),
        hitch_load=_band(fields.get("hitch load")),
    )


def _band(spot: Spot | None) -> tuple[float, float] | None:
    """Least and most weight on a hitch [N]."""
    items = [] if spot is None else spot.items(said("[least, most] as `[30 N, 160 N]`"), 2, 2)
    if spot is None or not items:
        return None
    least, most = (one.number("force", HITCH_LOAD) for one in items)
    if least >= most:
        spot.refuse(
            code="hitch-load-range",
            wrong=said("from {least:g} N to {most:g} N is no range", least=least, most=most),
            expected=said("[least, most], the second one larger"),
            fix=said("swap them, or write how much the hitch may carry"),
        )
    return (least, most)
