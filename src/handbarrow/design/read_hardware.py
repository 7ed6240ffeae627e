"""Holes for screws, bolts that find their length, wheels' tyres and hubs, nuts that are drilled out."""

from __future__ import annotations

from typing import Literal, NamedTuple, cast

from handbarrow.design.read_context import Context
from handbarrow.design.read_targets import targets_of
from handbarrow.design.values import Bolted
from handbarrow.language import said
from handbarrow.laws.hardware.nuts import NUT_KINDS, NutKind
from handbarrow.laws.hardware.sizes import FASTENER_SIZES, FastenerSize, Fit, clearance_hole, fastener_size
from handbarrow.reading.limits import AXLES, HUBS, NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot

__all__ = [
    "OPENING_KEYS",
    "Opening",
    "WheelMarks",
    "read_bolted",
    "read_drilled_out",
    "read_opening",
    "read_wheel_marks",
]

OPENING_KEYS = ("for", "fit", "tapped")
FITS = ("medium", "fine", "coarse")
PRESSURES = Limits(0.02, 1.5)
MOST_PARTS = 12


class Opening(NamedTuple):
    """How wide a hole is [mm], and the screw that it is for with its fit; both empty where a size was given."""

    size: float
    screw: str = ""
    fit: str = ""


class WheelMarks(NamedTuple):
    """Pressure [MPa], largest load [kg], hub over its locknuts and diameter of the axle [mm] of a wheel."""

    pressure_mpa: float | None
    largest_kg: float | None
    hub: float | None
    axle: float | None


def read_opening(fields: Fields, key: Literal["diameter", "width"], limits: Limits = POSITIVE) -> Opening:
    """Return the size of a hole or slot: given under `key`, or by the screw that goes through or is turned in."""
    given = [name for name in (key, "for", "tapped") if name in fields]
    if len(given) > 1:
        fields.spot.refuse(
            code="hole-size-unclear",
            wrong=said("`{one}` and `{other}` stand together", one=given[0], other=given[1]),
            expected=said(
                "one of the three: `{key}`, `for` (a screw goes through) or `tapped` (it has a thread)", key=key
            ),
            fix=said("take one out"),
        )
    elif not given and fields.spot.is_map:
        fields.spot.refuse(
            code="key-missing",
            wrong=said("`{key}` is missing", key=key),
            expected=said("`{key}`, `for` with a screw, or `tapped` with a thread, as `M8`", key=key),
            fix=said("add `{key}: ...`", key=key),
        )
    fit = fields.get("fit")
    if fit is not None and "for" not in fields:
        fit.refuse(
            code="hole-size-unclear",
            wrong=said("`fit` without `for`"),
            expected=said("`fit` beside `for`: how much room the screw has"),
            fix=said("take `fit` out, or write the screw behind `for`"),
        )
    screw = thread_of(fields.get("for") or fields.get("tapped")) if len(given) == 1 and given[0] != key else None
    if screw is None:
        return Opening(fields.number(key, "length", 1.0, limits))
    if given == ["tapped"]:
        return Opening(_within(fields.spot.at("tapped"), screw.tap_drill, limits), screw.name, "tapped")
    wanted = cast("Fit", fields.choice("fit", FITS, "medium"))
    return Opening(_within(fields.spot.at("for"), clearance_hole(screw, wanted), limits), screw.name, wanted)


def _within(spot: Spot, size: float, limits: Limits) -> float:
    """A hole that follows from its screw must fit its part, too."""
    fault = limits.fault(size, "length")
    if fault is not None:
        spot.refuse(
            code="number-out-of-range",
            wrong=said("the hole would be {size:g} mm wide: {wrong}", size=size, wrong=fault.wrong),
            expected=fault.expected,
            fix=said("take a smaller screw"),
        )
        return limits.stand_in
    return size


def thread_of(spot: Spot | None) -> FastenerSize | None:
    """Return the thread that a text names; None, with a finding, if it is not in the table."""
    if spot is None:
        return None
    text = spot.text(said("a metric thread, as `M8`"))
    found = fastener_size(text.upper().replace(" ", ""))
    if found is None and text:
        names = ", ".join(size.name for size in FASTENER_SIZES)
        spot.refuse(
            code="thread-unknown",
            wrong=said("{seen} is no thread of the table", seen=spot.seen),
            expected=said("one of {names}", names=names),
            fix=said("write the thread alone, as `M8`; give other holes by their diameter"),
        )
    return found


def read_bolted(context: Context, fields: Fields) -> Bolted | None:
    """Return what a bolt clamps and with what; None if the file does not say so clearly."""
    spot = fields.get("bolted")
    if spot is None:
        return None
    keys = ("through", "thread", "nut", "washers", "full thread", "undrawn", "bridges")
    own = spot.fields(keys, ("through", "thread"))
    through, thread = own.get("through"), thread_of(own.get("thread"))
    targets = () if through is None else context.targets(targets_of(through, MOST_PARTS))
    for key in ("at", "axis"):
        if key not in fields and spot.is_map:
            spot.refuse(
                code="key-missing",
                wrong=said("`{key}` is missing beside `bolted`", key=key),
                expected=said("where the bolt sits and which way it goes in, from its head to its nut"),
                fix=said("add `{key}: ...` to the part", key=key),
            )
    nut = own.choice("nut", NUT_KINDS, "lock")
    usual = 1 if nut in ("welded", "tapped") else 2
    usual_room = Bolted(through=(), thread="").bridges
    return Bolted(
        through=targets,
        thread=thread.name if thread else "",
        nut=cast("NutKind", nut),
        washers=own.whole("washers", usual, 0, 6),
        full_thread=own.yes_no("full thread"),
        undrawn=own.number("undrawn", "length", 0.0, NOT_NEGATIVE),
        bridges=own.number("bridges", "length", usual_room, Limits(0.0, 150.0)),
    )


def read_wheel_marks(fields: Fields) -> WheelMarks:
    """Return what the design says of a wheel beside its size, as far as it does."""
    pressure = fields.maybe("pressure", "pressure", PRESSURES)
    largest = fields.maybe("largest load", "mass", POSITIVE)
    hub = fields.maybe("hub", "length", HUBS)
    axle = fields.maybe("axle", "length", AXLES)
    return WheelMarks(pressure, largest, hub, axle)


def read_drilled_out(fields: Fields) -> Opening:
    """Return the hole to which a bought nut is drilled out, so that it turns on a bolt; empty: it is not."""
    spot = fields.get("drilled out")
    if spot is None:
        return Opening(0.0)
    own = spot.fields(("for", "fit"), ("for",))
    screw = thread_of(own.get("for"))
    wanted = cast("Fit", own.choice("fit", ("fine", "medium", "coarse"), "fine"))
    return Opening(0.0) if screw is None else Opening(clearance_hole(screw, wanted), screw.name, wanted)
