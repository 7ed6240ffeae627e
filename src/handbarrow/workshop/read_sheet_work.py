"""The folder, the test folds, and how sheet is cut."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal, cast

from handbarrow.language import said
from handbarrow.laws.folding.folder import Folder
from handbarrow.reading.book import quoted
from handbarrow.reading.limits import NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Spot
from handbarrow.reading.stock import stock_of
from handbarrow.workshop.sheet_values import SheetWork, TestFold
from handbarrow.workshop.values import StockSheet

__all__ = ["read_sheet_work", "read_sheets"]

FOLDER_KEYS = (
    "name", "longest", "least side", "least clamped", "nose angle", "nose height", "clamp height", "clamp depth",
    "bed depth", "beam width", "clamp in pieces", "test folds",
)  # fmt: skip
NOSES = Limits(20.0, 90.0)
KERFS = Limits(0.0, 20.0)
ANGLES = Limits(5.0, 180.0)
MOST = 200


def read_sheet_work(folder: Spot | None, cutting: Spot | None) -> SheetWork:
    """Return how the shop works sheet; what is not said is as usual."""
    work = SheetWork() if folder is None else _folder(folder)
    if cutting is None:
        return work
    fields = cutting.fields(("by", "kerf", "trim", "longest"), ("by",))
    by = fields.choice("by", ("shears", "saw", "disc"), "shears")
    return replace(
        work,
        cut_by=cast("Literal['shears', 'saw', 'disc']", by),
        kerf=fields.number("kerf", "length", 0.0 if by == "shears" else 2.0, KERFS),
        trim=fields.number("trim", "length", 0.0, KERFS),
        longest_cut=fields.maybe("longest", "length", POSITIVE),
    )


def _folder(spot: Spot) -> SheetWork:
    fields = spot.fields(FOLDER_KEYS, ("name",))
    usual = Folder()
    folder = Folder(
        nose_rad=fields.number("nose angle", "angle", usual.nose_rad, NOSES),
        nose_height=fields.number("nose height", "length", usual.nose_height, POSITIVE),
        clamp_height=fields.number("clamp height", "length", usual.clamp_height, POSITIVE),
        clamp_depth=fields.number("clamp depth", "length", usual.clamp_depth, POSITIVE),
        bed_depth=fields.number("bed depth", "length", usual.bed_depth, POSITIVE),
        beam_width=fields.number("beam width", "length", usual.beam_width, NOT_NEGATIVE),
        least_clamped=fields.number("least clamped", "length", usual.least_clamped, NOT_NEGATIVE),
        least_swung=fields.number("least side", "length", usual.least_swung, NOT_NEGATIVE),
    )
    told = fields.get("test folds")
    tests = [] if told is None else told.items(said("test folds, each with `for`, `blank`, `sides`"), 0, MOST)
    return SheetWork(
        name=fields.text("name"), folder=folder, longest=fields.maybe("longest", "length", POSITIVE),
        in_pieces=fields.yes_no("clamp in pieces"),
        test_folds=tuple(fold for fold in (_test_fold(one) for one in tests) if fold is not None),
    )  # fmt: skip


def _test_fold(spot: Spot) -> TestFold | None:
    fields = spot.fields(("for", "blank", "sides", "angle", "radius"), ("for", "blank", "sides", "radius"))
    text = fields.text("for", what=said("the sheet that was folded, as `sheet 1`"))
    stock = stock_of(fields.spot.at("for").refuse, text) if text else None
    sides = fields.get("sides")
    sizes = (1.0, 1.0) if sides is None else sides.vector2()
    fold = TestFold(
        stock="" if stock is None else stock.label,
        thickness=1.0 if stock is None or stock.thickness is None else stock.thickness,
        blank=fields.number("blank", "length", 1.0, POSITIVE),
        sizes=sizes,
        angle_rad=fields.number("angle", "angle", math.pi / 2, ANGLES),
        radius=fields.number("radius", "length", 1.0, POSITIVE),
    )
    if stock is None or not spot.is_map:
        return None
    if stock.thickness is None or not stock.is_sheet:
        fields.spot.at("for").refuse(
            code="stock-of-wrong-kind",
            wrong=said("{text} is no sheet", text=quoted(text)),
            expected=said("a sheet, as `sheet 1`"),
            fix=said("write the sheet that was folded"),
        )
        return None
    if not 0.0 <= fold.share <= 0.5:
        spot.refuse(
            code="test-fold-impossible",
            wrong=said("by this test fold the neutral line lies at {share:.2f} of the thickness", share=fold.share),
            expected=said("between 0 (inner face) and 0.5 (the middle)"),
            fix=said("measure the strip, its two sides and the inside radius again"),
        )
        return None
    return fold


def read_sheets(spot: Spot | None) -> tuple[StockSheet, ...]:
    """Return the sizes of sheet on sale."""
    out = []
    for one in (
        [] if spot is None else spot.items(said("sheets on sale, as `{size: [2000, 1000], price: 24}`"), 1, MOST)
    ):
        fields = one.fields(("size", "price", "available"), ("size",))
        size = fields.get("size")
        length, width = (1.0, 1.0) if size is None else size.vector2()
        if size is not None and not (10.0 <= width <= 10_000.0 and 10.0 <= length <= 10_000.0):
            size.refuse(
                code="number-out-of-range",
                wrong=said("no sheet measures {length:g} by {width:g} mm", length=length, width=width),
                expected=said("length and width between 10 mm and 10 m, the length along the rolling direction"),
                fix=said("write the size as `[2000, 1000]`"),
            )
            continue
        out.append(
            StockSheet(
                length=length, width=width,
                price=fields.maybe("price", "number", NOT_NEGATIVE),
                available=fields.whole("available", 0, 0, 100_000) if "available" in fields else None,
            )
        )  # fmt: skip
    return tuple(out)
