"""Cloth, webbing, cord and elastic on the shelf, and how the shop sews."""

from __future__ import annotations

from functools import partial

from handbarrow.language import said
from handbarrow.laws.materials.soft import Soft
from handbarrow.laws.sewing.webbing import knot_from_trial
from handbarrow.reading.limits import NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot
from handbarrow.reading.stock import stock_of
from handbarrow.workshop.soft_values import Sewing, SoftStock, StretchTrial

__all__ = ["CLOTH_KEYS", "STRAP_KEYS", "read_sewing", "read_soft"]

CLOTH_KEYS = (
    "supplier", "roll width", "roll length", "strength", "strength across", "trial", "trial across",
    "trial on the bias", "price per m",
)  # fmt: skip
STRAP_KEYS = ("supplier", "roll length", "mass per m", "strength", "trial", "price per m")
ROLLS = Limits(100.0, 5000.0)
STITCHES = Limits(1.0, 12.0)
SPEEDS = Limits(50.0, 6000.0)
SHARES = Limits(0.0, 0.95)
FACTORS = Limits(1.0, 30.0)
RATIOS = Limits(2.0, 10.0)


def read_soft(soft: Soft, fields: Fields) -> SoftStock:
    """Return what stands under one kind of soft stock."""
    return SoftStock(
        roll_width=fields.maybe("roll width", "length", ROLLS),
        roll_length=fields.maybe("roll length", "length", POSITIVE),
        mass_g_m=_grams(fields),
        strength_n=fields.maybe("strength", "force", POSITIVE),
        strength_across_n=fields.maybe("strength across", "force", POSITIVE),
        trial=_trial(fields.get("trial"), soft), trial_across=_trial(fields.get("trial across"), soft),
        trial_bias=_trial(fields.get("trial on the bias"), soft),
        price_m=fields.maybe("price per m", "number", NOT_NEGATIVE),
    )  # fmt: skip


def _grams(fields: Fields) -> float | None:
    mass = fields.maybe("mass per m", "mass", POSITIVE)
    return None if mass is None else mass * 1000


def _trial(spot: Spot | None, soft: Soft) -> StretchTrial | None:
    if spot is None:
        return None
    keys = ("length", "width", "pull", "longer") if soft.kind == "cloth" else ("length", "pull", "longer")
    fields = spot.fields(keys, keys)
    return StretchTrial(
        length=fields.number("length", "length", 1.0, POSITIVE), pull_n=fields.number("pull", "force", 1.0, POSITIVE),
        longer=fields.number("longer", "length", 1.0, POSITIVE),
        width=fields.number("width", "length", 50.0, POSITIVE) if soft.kind == "cloth" else 0.0,
    )  # fmt: skip


def read_sewing(spot: Spot | None) -> Sewing:
    """Return how the shop sews; what it does not say is a guess."""
    if spot is None:
        return Sewing()
    usual = Sewing()
    fields = spot.fields(
        ("thread", "thread strength", "thread per seam", "needle", "stitch", "speed", "standing", "lifting factor",
         "between pieces", "knots")
    )  # fmt: skip
    return Sewing(
        given=True, thread=fields.text("thread"), needle=fields.text("needle"),
        thread_n=fields.maybe("thread strength", "force", POSITIVE),
        stitch=fields.number("stitch", "length", usual.stitch, STITCHES),
        speed=fields.number("speed", "number", usual.speed, SPEEDS),
        handling=fields.number("standing", "number", usual.handling, SHARES),
        factor=fields.maybe("lifting factor", "number", FACTORS),
        gap=fields.number("between pieces", "length", usual.gap, NOT_NEGATIVE),
        knots=_knots(fields.get("knots")),
        thread_ratio=fields.number("thread per seam", "number", usual.thread_ratio, RATIOS),
    )  # fmt: skip


def _knots(spot: Spot | None) -> dict[str, float]:
    """Trials: a strip measured before and after some knots were tied in it."""
    out: dict[str, float] = {}
    for text, value in (
        () if spot is None else spot.entries(said("stock, as `cord 6: {before: 1000, after: 640, knots: 4}`"), 60)
    ):
        stock = stock_of(partial(spot.refuse_key, text), text) if spot is not None else None
        fields = value.fields(("before", "after", "knots"), ("before", "after", "knots"))
        before, after = (fields.number(key, "length", 1.0, POSITIVE) for key in ("before", "after"))
        knots = fields.whole("knots", 1, 1, 100)
        if after > before:
            value.refuse(
                code="knot-trial-longer",
                wrong=said(
                    "the strip is {after:g} mm long with knots and {before:g} mm without", after=after, before=before
                ),
                expected=said("a strip that becomes shorter"),
                fix=said("measure it again, pulled tight both times"),
            )
            continue
        if stock is not None and stock.soft is not None:
            out[stock.soft.label] = knot_from_trial(before, after, knots)
    return out
