"""Flat plates and bought parts."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from handbarrow.design.read_context import Context
from handbarrow.design.read_hardware import (
    OPENING_KEYS,
    read_bolted,
    read_drilled_out,
    read_opening,
    read_wheel_marks,
)
from handbarrow.design.read_motions import square_directions
from handbarrow.design.values import Bought, PlateHole, PlateShape
from handbarrow.language import Said, said
from handbarrow.laws.geometry.path import Floats, Vec2
from handbarrow.laws.geometry.polygon import area_and_centroid
from handbarrow.reading.limits import FULL_TURN, NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot

__all__ = [
    "BOLTED_KEYS",
    "BOUGHT_KEYS",
    "PLATE_KEYS",
    "WHEEL_KEYS",
    "own_x",
    "place_of",
    "read_bought",
    "read_outline",
    "read_plate",
]

PLATE_KEYS = ("stock", "outline", "corner radius", "holes", "slots", "at", "along", "facing")
BOUGHT_KEYS = ("stock", "bought", "standard", "at", "axis", "mass", "count", "drilled out", "welded")
WHEEL_KEYS = ("stock", "standard", "at", "axis", "mass", "count", "pressure", "largest load", "hub", "axle")
BOLTED_KEYS = ("bolted", "at", "axis", "mass", "welded")
MOST_POINTS = 200


def read_plate(context: Context, fields: Fields) -> PlateShape:
    """Return the plate of a part."""
    context.role(fields, "thickness")
    if "at" not in fields:
        fields.spot.refuse(
            code="key-missing",
            wrong=said("`at` is missing"),
            expected=said("where the plate's own origin sits: [x, y, z]"),
            fix=said("add `at: [x, y, z]`"),
        )
    facing, along = square_directions(fields, ("facing", (0.0, 0.0, 1.0)), ("along", None))
    outline = fields.get("outline")
    return PlateShape(
        stock=fields.text("stock"),
        outline=() if outline is None else read_outline(outline),
        corner_radius=fields.number("corner radius", "length", 0.0, NOT_NEGATIVE),
        holes=(*_holes(fields.get("holes")), *_slots(fields.get("slots"))),
        at=fields.vector("at"),
        along=along if "along" in fields else own_x(facing, along),
        facing=facing,
    )


def own_x(facing: tuple[float, float, float], along: tuple[float, float, float]) -> tuple[float, float, float]:
    """Return own x where `along` is left out: forward if that lies in the plate, else any direction in it."""
    return (1.0, 0.0, 0.0) if abs(facing[0]) < 1e-6 else along


def read_outline(spot: Spot) -> tuple[Vec2, ...]:
    """Return the outline, counter-clockwise; one that crosses or touches itself is a finding."""
    before = len(spot.book.findings)
    points = [one.vector2() for one in spot.items(said("corner points [x, y]"), 3, MOST_POINTS)]
    if not points or len(spot.book.findings) > before:
        return tuple(points)
    if len(points) > 3 and math.dist(points[0], points[-1]) < 1e-6:
        points.pop()
    area, _ = area_and_centroid(points)
    fault = _outline_fault(tuple(points), area)
    if fault is not None:
        spot.refuse(
            code="outline-crosses",
            wrong=fault,
            expected=said("corner points in their order round the plate"),
            fix=said("order the points as you walk round the edge"),
        )
    return tuple(points) if area >= 0 else (points[0], *reversed(points[1:]))


@lru_cache(maxsize=512)
def _outline_fault(points: tuple[Vec2, ...], area: float) -> Said | None:
    n = len(points)
    for i in range(n):
        if math.dist(points[i], points[(i + 1) % n]) < 1e-6:
            return said("points {i} and {j} of the outline coincide", i=i, j=(i + 1) % n)
    if abs(area) < 1e-6:
        return said("the outline encloses nothing")
    crossing = _first_crossing(points)
    if crossing is None:
        return None
    return said(
        "the side after point {i} of the outline crosses or touches the side after point {j}",
        i=crossing[0],
        j=crossing[1],
    )


def _first_crossing(points: tuple[Vec2, ...]) -> tuple[int, int] | None:
    """The first two sides that are no neighbours and cross or touch."""
    a = np.asarray(points)
    b = np.roll(a, -1, axis=0)

    def side(p: Floats, q: Floats, r: Floats) -> Floats:
        """On which side of each line p q (rows) each point r (columns) lies."""
        d, e = q - p, r[None, :, :] - p[:, None, :]
        out: Floats = d[:, None, 0] * e[..., 1] - d[:, None, 1] * e[..., 0]
        return out

    low, high = np.minimum(a, b), np.maximum(a, b)
    near = np.all(np.maximum(low[:, None], low[None]) <= np.minimum(high[:, None], high[None]), axis=2)
    across = side(a, b, a) * side(a, b, b) <= 0
    n = len(points)
    i, j = np.indices((n, n))
    apart = (j > i + 1) & ((j + 1) % n != i)
    found = np.argwhere(near & across & across.T & apart)
    return (int(found[0][0]), int(found[0][1])) if len(found) else None


def _holes(spot: Spot | None) -> list[PlateHole]:
    out = []
    for one in [] if spot is None else spot.items(said("holes"), 1):
        fields = one.fields(("at", "diameter", *OPENING_KEYS, "note"), ("at",))
        wide, screw, fit = read_opening(fields, "diameter")
        out.append(PlateHole(at=place_of(fields), diameter=wide, screw=screw, fit=fit, note=fields.text("note")))
    return out


def _slots(spot: Spot | None) -> list[PlateHole]:
    out = []
    for one in [] if spot is None else spot.items(said("slots"), 1):
        fields = one.fields(("at", "width", "for", "fit", "length", "angle", "open", "note"), ("at", "length"))
        width, screw, fit = read_opening(fields, "width")
        out.append(
            PlateHole(
                at=place_of(fields),
                diameter=width,
                screw=screw,
                fit=fit,
                length=fields.number("length", "length", width, Limits(width)),
                angle_rad=fields.number("angle", "angle", 0.0, FULL_TURN),
                open_edge=fields.yes_no("open"),
                note=fields.text("note"),
            )
        )
    return out


def place_of(fields: Fields) -> Vec2:
    """Return where a hole or a slot is, [x, y] behind `at`."""
    spot = fields.get("at")
    return (0.0, 0.0) if spot is None else spot.vector2()


# ------------------------------------------------------------------------------------------------ bought
def read_bought(context: Context, fields: Fields) -> Bought:
    """Return the bought part: a wheel by its stock role, anything else by its name."""
    at = fields.get("at")
    mass = fields.maybe("mass", "mass", POSITIVE)
    role = context.role(fields, "wheel") if "bought" not in fields and "bolted" not in fields else None
    if "bought" in fields and "stock" in fields:
        fields.spot.at("stock").refuse(
            code="bought-and-stock",
            wrong=said("`stock` and `bought` stand together"),
            expected=said("`stock` with the role of a wheel, or `bought` with the name of the item"),
            fix=said("take one of them out"),
        )
    marks = read_wheel_marks(fields)
    drilled, screw, _ = read_drilled_out(fields)
    item = fields.text("bought", what=said("the item's name, as `Hex bolt ISO 4014 M10x90`"))
    return Bought(
        item=role.label if role is not None else item,
        mass_kg=mass,
        standard=fields.text("standard"),
        stock=fields.text("stock") or None,
        wheel=None if role is None else role.wheel,
        at=None if at is None else at.vector(),
        axis=fields.direction("axis", (0.0, 1.0, 0.0)),
        count=fields.whole("count", 1, 1, 10_000),
        bolted=read_bolted(context, fields),
        pressure_mpa=marks.pressure_mpa,
        largest_kg=marks.largest_kg,
        hub=marks.hub,
        axle=marks.axle,
        drilled_for=screw,
        drilled=drilled,
        welded=fields.yes_no("welded"),
    )
