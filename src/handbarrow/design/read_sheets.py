"""Parts of sheet: a flat with folded sides, hems, holes, rows of screws; or a strip rolled to an arc."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import cast

from handbarrow.design.read_context import Context
from handbarrow.design.read_hardware import OPENING_KEYS, read_opening
from handbarrow.design.read_motions import square_directions
from handbarrow.design.read_plates import own_x, place_of, read_outline
from handbarrow.design.sheet_flat import flat_part
from handbarrow.design.sheet_shapes import RAW
from handbarrow.design.values import Rolled, Sheet, SheetHole
from handbarrow.language import said
from handbarrow.laws.folding.edge_sides import SideWish, side_strip
from handbarrow.laws.folding.hems import HemKind, SheetHem
from handbarrow.laws.folding.limits import least_inside_radius
from handbarrow.laws.folding.rolled import ring_sector, spaced_places
from handbarrow.laws.folding.strip import Fold
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.geometry.polygon import area_and_centroid
from handbarrow.reading.limits import BEND_ANGLE, FULL_TURN, NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot

__all__ = ["SHEET_KEYS", "read_sheet"]

SHEET_KEYS = (
    "stock", "flat", "rolled", "folds", "hems", "holes", "slots", "screws", "gap", "grain", "at", "along", "facing",
)  # fmt: skip
HEMS = ("closed", "open", "double")
MOST_SIDES, MOST_MORE, MOST_SCREWS = 60, 6, 500
ARCS = Limits(1.0, 355.0)


@dataclass(frozen=True, slots=True)
class _Known:
    """What all folds of a part share: thickness, the radius that is taken where none is given, the flat's outline."""

    thickness: float
    radius: float
    outline: tuple[Vec2, ...]


def read_sheet(context: Context, fields: Fields) -> Sheet:
    """Return the part of sheet."""
    role = context.role(fields, "thickness")
    if role is not None and not role.is_sheet:
        fields.spot.at("stock").refuse(
            code="stock-of-wrong-kind",
            wrong=said("`{name}` is {stock}", name=role.role, stock=role.label),
            expected=said("a role that is sheet, as `sheet 1`"),
            fix=said("name a role that is sheet, or add one under `stock`"),
        )
    thickness = 1.0 if role is None or role.thickness is None else role.thickness
    facing, along = square_directions(fields, ("facing", (0.0, 0.0, 1.0)), ("along", None))
    before = len(fields.spot.book.findings)
    rolled = fields.get("rolled")
    outline = _flat(fields.get("flat"), bool(fields.get("folds") or fields.get("hems")))
    known = _Known(thickness, least_inside_radius(thickness) or thickness, outline)
    sides = _sides(fields, known) if rolled is None else ()
    strip = None if rolled is None else _rolled(rolled, fields, thickness)
    grain = fields.choice("grain", ("any", "x", "y"), "any")
    shape = Sheet(
        stock=fields.text("stock"), outline=outline, sides=sides, rolled=strip,
        gap=fields.number("gap", "length", 0.0, NOT_NEGATIVE), grain="" if grain == "any" else grain,
        at=fields.vector("at"), along=along if "along" in fields else own_x(facing, along), facing=facing,
    )  # fmt: skip
    holes = [*_holes(fields.get("holes"), len(sides)), *_slots(fields.get("slots"), len(sides))]
    if len(fields.spot.book.findings) > before or not (outline or strip):
        return replace(shape, holes=tuple(holes))
    if not _fits(shape, thickness, fields.get("folds") or fields.get("hems") or fields.spot):
        return replace(shape, sides=(), rolled=None if strip is None else replace(strip, left=RAW, right=RAW))
    return replace(shape, holes=(*holes, *_screws(fields.get("screws"), shape, thickness)))


def _fits(shape: Sheet, thickness: float, spot: Spot) -> bool:
    """Whether the sides have room along their edges and the blank does not lie over itself; else a finding."""
    try:
        flat_part(shape, thickness).blank  # noqa: B018
    except ValueError:
        spot.refuse(
            code="no-room-for-fold",
            wrong=said("the folds and hems have no room beside each other"),
            expected=said("sides that have room along their edge, hems that are narrower than their strip"),
            fix=said("change `from start` and `from end`, the order of `folds`, or the width of the hem"),
        )
        return False
    return True


# ------------------------------------------------------------------------------------------------ outline and strip
def _flat(spot: Spot | None, is_folded: bool) -> tuple[Vec2, ...]:
    if spot is None:
        return ()
    if spot.is_map:
        return _arc(spot)
    outline = read_outline(spot)
    first = [one.vector2() for one in spot.items(said("corner points [x, y]"))][:2] if is_folded else []
    if len(first) == 2 and len(outline) > 2 and math.dist(first[1], outline[1]) > 1e-6:
        spot.refuse(
            code="outline-clockwise",
            wrong=said("the points of the flat run clockwise"),
            expected=said("counter-clockwise, as edges are counted: edge 1 leaves the first point"),
            fix=said("write the points the other way round"),
        )
    return outline


def _arc(spot: Spot) -> tuple[Vec2, ...]:
    """A piece of a ring about the flat's origin, its middle on own y."""
    arc = spot.fields(("arc",), ("arc",)).get("arc")
    if arc is None:
        return ()
    fields = arc.fields(("inside", "outside", "angle"), ("inside", "outside", "angle"))
    inside = fields.number("inside", "length", 1.0, POSITIVE)
    outside = fields.number("outside", "length", inside + 1.0, Limits(inside, above=True))
    angle = fields.number("angle", "angle", 1.0, ARCS)
    chord = 2 * math.acos(1 - min(0.1 / outside, 0.5))
    found = ring_sector(inside, outside, angle, max(chord, angle / 90))
    points = [(float(x), float(y)) for x, y in found]
    return tuple(points) if area_and_centroid(points)[0] > 0 else (points[0], *reversed(points[1:]))


def _rolled(spot: Spot, fields: Fields, thickness: float) -> Rolled:
    inner = spot.fields(("inside radius", "angle", "width"), ("inside radius", "angle", "width"))
    for key in ("folds", "flat"):
        if key in fields:
            fields.spot.at(key).refuse(
                code="rolled-and-folded",
                wrong=said("`{key}` and `rolled` stand together", key=key),
                expected=said("`flat` with its `folds`, or `rolled` with its `hems`"),
                fix=said("take one of them out"),
            )
    hems = {"left": RAW, "right": RAW}
    told = fields.get("hems")
    for one in [] if told is None else told.items(said("hems, each with its `edge`"), 0, 2):
        own = one.fields(("edge", "kind", "width", "gap"), ("edge", "kind", "width"))
        hems[own.choice("edge", ("left", "right"), "left")] = _hem(own, thickness)
    return Rolled(
        inside_radius=inner.number("inside radius", "length", 1.0, Limits(5 * thickness)),
        arc_rad=inner.number("angle", "angle", 1.0, ARCS),
        width=inner.number("width", "length", 1.0, POSITIVE),
        left=hems["left"],
        right=hems["right"],
    )


# ------------------------------------------------------------------------------------------------ folds and hems
def _sides(fields: Fields, known: _Known) -> tuple[SideWish, ...]:
    folds, hems = fields.get("folds"), fields.get("hems")
    out = [_side(one, known) for one in ([] if folds is None else folds.items(said("folds"), 1, MOST_SIDES))]
    out += [_edge_hem(one, known) for one in ([] if hems is None else hems.items(said("hems"), 1, MOST_SIDES))]
    return tuple(side for side in out if side is not None)


def _side(spot: Spot, known: _Known) -> SideWish | None:
    keys = ("edge", "height", "angle", "way", "radius", "from start", "from end", "hem", "then")
    fields = spot.fields(keys, ("edge", "height"))
    folds, heights = [_fold(fields, known)], [fields.number("height", "length", 1.0, POSITIVE)]
    then = fields.get("then")
    for one in [] if then is None else then.items(said("further folds on from this side"), 1, MOST_MORE):
        more = one.fields(("height", "angle", "way", "radius"), ("height",))
        folds.append(_fold(more, known))
        heights.append(more.number("height", "length", 1.0, POSITIVE))
    hem = fields.get("hem")
    own = None if hem is None else hem.fields(("kind", "width", "gap", "way"), ("kind", "width"))
    edge, length = _edge(fields, known)
    wish = SideWish(
        edge=edge, heights=tuple(heights), folds=tuple(folds),
        hem=RAW if own is None else _hem(own, known.thickness), hem_up=own is None or _way(own) > 0,
        start=fields.maybe("from start", "length", NOT_NEGATIVE),
        end=length - fields.number("from end", "length", 0.0, NOT_NEGATIVE) if "from end" in fields else None,
    )  # fmt: skip
    return wish if _has_room(wish, known.thickness, spot) else None


def _edge_hem(spot: Spot, known: _Known) -> SideWish | None:
    fields = spot.fields(("edge", "kind", "width", "gap", "way"), ("edge", "kind", "width"))
    edge, _ = _edge(fields, known)
    hem = _hem(fields, known.thickness)
    wish = SideWish(edge=edge, heights=(), folds=(), hem=hem, hem_up=_way(fields) > 0)
    return wish if hem.kind != "raw" and _has_room(wish, known.thickness, spot) else None


def _has_room(wish: SideWish, thickness: float, spot: Spot) -> bool:
    try:
        side_strip(wish, thickness)
    except ValueError:
        takes = [2 * (fold.radius + thickness) * min(math.tan(abs(fold.angle_rad) / 2), 1.0) for fold in wish.folds]
        spot.refuse(
            code="side-too-short",
            wrong=said("a side or a hem is too short for its folds"),
            expected=said("at least {least:.1f} mm between two folds, half of that beyond the last", least=max(takes))
            if takes
            else said("a hem at least four times as wide as the sheet is thick"),
            fix=said("make it longer, or its inside radius smaller"),
        )
        return False
    return True


def _fold(fields: Fields, known: _Known) -> Fold:
    angle = fields.number("angle", "angle", math.pi / 2, BEND_ANGLE)
    radius = fields.number("radius", "length", known.radius, Limits(0.1 * known.thickness, 200.0))
    return Fold(angle_rad=max(angle, 1e-3) * _way(fields), radius=radius)


def _way(fields: Fields) -> float:
    return 1.0 if fields.choice("way", ("up", "down"), "up") == "up" else -1.0


def _hem(fields: Fields, thickness: float) -> SheetHem:
    kind = fields.choice("kind", HEMS, "closed")
    width = fields.number("width", "length", 8.0, Limits(4 * thickness))
    if (kind == "open") != ("gap" in fields):
        fields.spot.refuse(
            code="hem-gap",
            wrong=said("an open hem without `gap`") if kind == "open" else said("`gap` for a hem that is shut"),
            expected=said("`gap` with `kind: open`: the wire or rod that it is folded round"),
            fix=said("add `gap`, or take it out"),
        )
        return RAW
    gap = fields.number("gap", "length", 0.0, Limits(0.0, 50.0, above=True)) if kind == "open" else 0.0
    return SheetHem(kind=cast("HemKind", kind), width=width, gap=gap)


def _edge(fields: Fields, known: _Known) -> tuple[int, float]:
    """Number of an edge, from 0, and its length [mm]."""
    count = max(len(known.outline), 1)
    number = fields.whole("edge", 1, 1, count) - 1
    if len(known.outline) < 3:
        return 0, 1.0
    return number, math.dist(known.outline[number], known.outline[(number + 1) % count])


# ------------------------------------------------------------------------------------------------ holes
def _holes(spot: Spot | None, sides: int) -> list[SheetHole]:
    out = []
    for one in [] if spot is None else spot.items(said("holes"), 1, MOST_SCREWS):
        fields = one.fields(("at", "fold", "side", "diameter", *OPENING_KEYS, "note"), ("at",))
        wide, screw, fit = read_opening(fields, "diameter")
        at = place_of(fields)
        out.append(
            SheetHole(
                at=at,
                side=_on_side(fields, sides),
                panel=_panel(fields),
                diameter=wide,
                screw=screw,
                fit=fit,
                note=fields.text("note"),
            )
        )
    return out


def _slots(spot: Spot | None, sides: int) -> list[SheetHole]:
    out = []
    for one in [] if spot is None else spot.items(said("slots"), 1, MOST_SCREWS):
        fields = one.fields(("at", "fold", "side", "width", "for", "fit", "length", "angle", "note"), ("at", "length"))
        wide, screw, fit = read_opening(fields, "width")
        out.append(
            SheetHole(
                at=place_of(fields), side=_on_side(fields, sides), panel=_panel(fields),
                diameter=wide, screw=screw, fit=fit,
                length=fields.number("length", "length", wide, Limits(wide)),
                angle_rad=fields.number("angle", "angle", 0.0, FULL_TURN), note=fields.text("note"),
            )
        )  # fmt: skip
    return out


def _on_side(fields: Fields, sides: int) -> int | None:
    """Number of the folded side, from 0: `fold: 1` is the first one under `folds`."""
    return fields.whole("fold", 1, 1, max(sides, 1)) - 1 if "fold" in fields else None


def _panel(fields: Fields) -> int:
    """Which side on from the edge, from 0: `side: 2` is the first under `then`."""
    return fields.whole("side", 1, 1, MOST_MORE + 1) - 1


def _screws(spot: Spot | None, shape: Sheet, thickness: float) -> list[SheetHole]:
    """Rows of holes along an edge, by count or by pitch."""
    out: list[SheetHole] = []
    for one in [] if spot is None else spot.items(said("rows of screws"), 1, MOST_SIDES):
        keys = ("edge", "fold", "side", "count", "pitch", "from edge", "from ends", "diameter", *OPENING_KEYS, "note")
        fields = one.fields(keys, ("from edge", "from ends"))
        wide, screw, fit = read_opening(fields, "diameter")
        first = SheetHole(at=(0.0, 0.0), diameter=wide, screw=screw, fit=fit, note=fields.text("note"))
        inwards = fields.number("from edge", "length", 1.0, POSITIVE)
        ends = fields.number("from ends", "length", 1.0, POSITIVE)
        count = fields.whole("count", 2, 1, MOST_SCREWS) if "count" in fields else None
        pitch = fields.maybe("pitch", "length", Limits(2.0))
        side = _on_side(fields, len(shape.sides))
        length = _row_length(shape, thickness, fields, side)
        try:
            places = spaced_places(length, ends, count=count, pitch=pitch)
        except ValueError:
            one.refuse(
                code="screws-have-no-room",
                wrong=said("this row of screws cannot be set out on {length:.1f} mm", length=length),
                expected=said("`count` or `pitch`, one of the two, and room between the two ends"),
                fix=said("change `from ends`, or write one of `count` and `pitch`"),
            )
            continue
        row = _row(shape, thickness, fields, side)
        out += [replace(first, at=row(float(s), inwards), side=side, panel=_panel(fields)) for s in places]
    return out


def _row_length(shape: Sheet, thickness: float, fields: Fields, side: int | None) -> float:
    if shape.rolled is not None:
        return (shape.rolled.inside_radius + thickness / 2) * shape.rolled.arc_rad
    part = flat_part(shape, thickness)
    if side is not None:
        return part.sides[side].end - part.sides[side].start
    return part.edge(fields.whole("edge", 1, 1, len(shape.outline)) - 1)[3]


def _row(shape: Sheet, thickness: float, fields: Fields, side: int | None) -> Callable[[float, float], Vec2]:
    """(along, in from the edge) -> where the hole is, in the words of a `SheetHole`."""
    rolled = shape.rolled
    if rolled is not None:
        left = fields.choice("edge", ("left", "right"), "left") == "left"
        return lambda s, w: (s, w if left else rolled.width - w)
    if side is not None:
        heights = shape.sides[side].heights
        return lambda s, w: (s, heights[min(_panel(fields), len(heights) - 1)] - w)
    start, t, n, _ = flat_part(shape, thickness).edge(fields.whole("edge", 1, 1, len(shape.outline)) - 1)

    def place(s: float, w: float) -> Vec2:
        at = start + t * s - n * w
        return (float(at[0]), float(at[1]))

    return place
