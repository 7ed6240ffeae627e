"""Tube and bar: corners or steps, how the ends are cut, holes and slots."""

from __future__ import annotations

import math
from typing import Literal, cast

from handbarrow.design.read_context import Context
from handbarrow.design.read_hardware import OPENING_KEYS, read_opening
from handbarrow.design.read_motions import square_directions
from handbarrow.design.read_targets import targets_of
from handbarrow.design.values import BarHole, Corner, EndSpec, Run, Step, StepsRoute
from handbarrow.language import Said, said
from handbarrow.laws.geometry.section import Section
from handbarrow.reading.limits import BEND_ANGLE, FULL_TURN, NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot

__all__ = ["RUN_KEYS", "read_run"]

RUN_KEYS = (
    "stock", "points", "radius", "from", "heading", "normal", "steps",
    "start", "end", "face", "turned", "over", "holes", "slots",
)  # fmt: skip
MOST_POINTS = 200
LEGS = ("straight", "to centreline", "to outside")
STEPS = (*LEGS, "bend", "turn")
ENDS = ("auto", "square", "free")
SIDES = ("crown", "left", "bottom", "right")
LEG_SIDES = ("height leg", "width leg")
PLACES = ("from start", "from end")
OVER = ("die", "former", "vice")
Over = Literal["die", "former", "vice"]
Face = Literal["crown", "left", "bottom", "right", "height leg", "width leg"]


def read_run(context: Context, fields: Fields) -> Run:
    """Return the run of a part."""
    role = context.role(fields, "section")
    section = None if role is None else role.section
    face = fields.get("face")
    turned = fields.number("turned", "angle", 0.0, FULL_TURN)
    corners, route = _line(fields, section, plain=face is None and turned == 0.0)
    over = cast("Over", fields.choice("over", OVER, "die"))
    if over != "die":
        _radius_lacking(fields, corners, route)
    return Run(
        stock=fields.text("stock"),
        corners=corners,
        route=route,
        face=None if face is None else face.direction(),
        turned_rad=turned,
        over=over,
        start=_end(context, fields.get("start")),
        end=_end(context, fields.get("end")),
        holes=(*_holes(fields.get("holes"), section), *_slots(fields.get("slots"), section)),
    )


def _radius_lacking(fields: Fields, corners: tuple[Corner, ...], route: StepsRoute | None) -> None:
    """A former is made for one radius: it must be known."""
    bends = [corner.radius for corner in corners[1:-1]] if route is None else [bend.radius for bend in route.bends]
    if any(radius is None for radius in bends):
        fields.spot.at("over").refuse(
            code="former-without-radius",
            wrong=said("a bend that is pulled over a former has no radius"),
            expected=said("`radius` of the centreline, for the part or for each of its bends"),
            fix=said("add `radius: 300`, or take `over` out and bend it on a die"),
        )


def _line(fields: Fields, section: Section | None, *, plain: bool) -> tuple[tuple[Corner, ...], StepsRoute | None]:
    radius = fields.maybe("radius", "length", POSITIVE)
    points, steps = fields.get("points"), fields.get("steps")
    if points is not None:
        for key in ("steps", "from", "heading", "normal"):
            extra = fields.get(key)
            if extra is not None:
                extra.refuse(
                    code="points-and-steps",
                    wrong=said("`{key}` stands beside `points`", key=key),
                    expected=said("either `points`, or `from`, `heading`, `normal` and `steps`"),
                    fix=said("take `{key}` or `points` out", key=key),
                )
        return _corners(points, radius), None
    if steps is None:
        return (), None
    return (), _route(fields, steps, radius, section, plain=plain)


# ------------------------------------------------------------------------------------------------ points
def _corners(points: Spot, radius: float | None) -> tuple[Corner, ...]:
    spots = points.items(said("corner points [x, y, z]"), 2, MOST_POINTS)
    last = len(spots) - 1
    return tuple(_corner(spot, None if i in (0, last) else radius, inner=0 < i < last) for i, spot in enumerate(spots))


def _corner(spot: Spot, radius: float | None, *, inner: bool) -> Corner:
    if not spot.is_map:
        return Corner(at=spot.vector(), radius=radius)
    fields = spot.fields(("at", "radius"), ("at",))
    if "radius" in fields:
        radius = fields.number("radius", "length", 0.0, POSITIVE)
        if not inner:
            spot.at("radius").refuse(
                code="radius-at-end",
                wrong=said("the first or last point has a radius, but the run does not bend there"),
                expected=said("a radius at inner points only"),
                fix=said("take `radius` out, or give it to the corner that bends"),
            )
    return Corner(at=fields.vector("at"), radius=radius)


# ------------------------------------------------------------------------------------------------ steps
def _route(fields: Fields, steps: Spot, radius: float | None, section: Section | None, *, plain: bool) -> StepsRoute:
    for key in ("from", "heading"):
        if key not in fields:
            fields.spot.refuse(
                code="key-missing",
                wrong=said("`{key}` is missing", key=key),
                expected=said("the key `{key}`: steps begin at a point and in a direction", key=key),
                fix=said("add `{key}: {example}`", key=key, example="[x, y, z]" if key == "from" else "forward"),
            )
    heading, normal = square_directions(fields, ("heading", (1.0, 0.0, 0.0)), ("normal", None))
    spots = steps.items(said("steps"), 1, 3 * MOST_POINTS)
    read = [_step(spot, radius) for spot in spots]
    if all(step is not None for step in read):
        _check_order(list(zip(spots, cast("list[Step]", read), strict=True)))
    told = tuple(step for step in read if step is not None)
    half = _half_outside(section, told, plain=plain)
    if half is None:
        for spot, step in zip(spots, read, strict=True):
            if step is not None and step.kind == "to outside":
                _outside_unclear(spot)
    return StepsRoute(
        origin=fields.vector("from"), heading=heading, normal=normal, steps=told, half_outside=half or 0.0
    )


def _step(spot: Spot, radius: float | None) -> Step | None:
    fields = spot.fields((*STEPS, "radius"))
    kinds = [key for key in STEPS if key in fields]
    if len(kinds) != 1:
        if spot.is_map:
            spot.refuse(
                code="step-unclear",
                wrong=said("{count} steps in one item", count=len(kinds)),
                expected=said("one of {names} in each item; a bend may have its `radius`", names=", ".join(STEPS)),
                fix=said("write one step an item: `- straight: 300`"),
            )
        return None
    kind = kinds[0]
    if kind == "bend":
        own = fields.number("radius", "length", 0.0, POSITIVE) if "radius" in fields else radius
        return Step(kind="bend", value=fields.number("bend", "angle", 0.0, BEND_ANGLE), radius=own)
    if "radius" in fields:
        spot.at("radius").refuse(
            code="radius-at-end",
            wrong=said("`{kind}` has a radius, but only a bend has one", kind=kind),
            expected=said("a radius beside `bend`"),
            fix=said("move `radius` to the bend"),
        )
    if kind == "turn":
        return Step(kind="turn", value=fields.number("turn", "angle", 0.0, FULL_TURN))
    limits = NOT_NEGATIVE if kind == "straight" else POSITIVE
    leg = cast("Literal['straight', 'to centreline', 'to outside']", kind)
    return Step(kind=leg, value=fields.number(kind, "length", 0.0, limits))


def _check_order(steps: list[tuple[Spot, Step]]) -> None:
    """Legs and bends must alternate, both ends be legs, and `to outside` be a first or last leg beside a bend."""
    expect_leg = True
    for spot, step in steps:
        if step.kind == "turn":
            if expect_leg:
                _disorder(
                    spot,
                    said("`turn` stands before a leg"),
                    said("a turn after the leg, before the bend it belongs to"),
                )
        elif (step.kind in LEGS) != expect_leg:
            seen = said("a bend has no leg before it") if expect_leg else said("two legs follow each other")
            _disorder(spot, seen, said("a leg (a length), then a bend, then a leg again"))
            return
        else:
            expect_leg = not expect_leg
    if not steps:
        return
    spot, last = steps[-1]
    if last.kind not in LEGS:
        seen = said("the last step is a bend") if last.kind == "bend" else said("the last step is a turn")
        _disorder(spot, seen, said("a leg at the end: `straight: 0` if the bend ends the run"))
    legs = [(s, step) for s, step in steps if step.kind in LEGS]
    for i, (spot, leg) in enumerate(legs):
        if leg.kind == "to outside" and (len(legs) == 1 or 0 < i < len(legs) - 1):
            _disorder(
                spot,
                said("`to outside` is no leg between an end and a bend"),
                said("`to outside` as first or last leg"),
            )


def _disorder(spot: Spot, wrong: Said, expected: Said) -> None:
    spot.refuse(
        code="steps-out-of-order", wrong=wrong, expected=expected, fix=said("write the steps in the order of the bends")
    )


def _half_outside(section: Section | None, steps: tuple[Step, ...], *, plain: bool) -> float | None:
    """From the centreline to the outside in the plane of the bends [mm]; None where the section makes it unclear."""
    if section is None:
        return 0.0
    if section.shape == "angle":
        return None
    if section.height == section.width:
        square = section.is_round or (plain and _flat(steps, quarter=True))
        return section.height / 2 if square else None
    return section.width / 2 if plain and _flat(steps, quarter=False) else None


def _flat(steps: tuple[Step, ...], *, quarter: bool) -> bool:
    """Whether all bends lie in one plane (or, for `quarter`, in planes square to each other)."""
    period = math.pi / 2 if quarter else math.pi
    bends = 0
    for step in steps:
        if step.kind == "bend":
            bends += 1
        elif step.kind == "turn" and bends:
            rest = math.fmod(abs(step.value), period)
            if min(rest, period - rest) > 1e-6:
                return False
    return True


def _outside_unclear(spot: Spot) -> None:
    spot.refuse(
        code="outside-unclear",
        wrong=said("which side of this section lies outside in the bend is not clear"),
        expected=said("`to outside` for round tube, or for a section that lies square in the plane of its bends"),
        fix=said("write `to centreline` with the length to the corner"),
    )


# ------------------------------------------------------------------------------------------------ ends
def _end(context: Context, spot: Spot | None) -> EndSpec:
    if spot is None:
        return EndSpec()
    if not spot.is_map:
        return EndSpec(kind=cast("Literal['auto', 'square', 'free']", spot.choice(ENDS)))
    fields = spot.fields(("meets", "cut facing", "gap"))
    gap = fields.number("gap", "length", 0.0, Limits(0.0, 20.0))
    meets, facing = fields.get("meets"), fields.get("cut facing")
    if meets is not None and facing is not None:
        spot.refuse(
            code="end-unclear",
            wrong=said("`meets` and `cut facing` stand together"),
            expected=said("one of the two"),
            fix=said("take one out"),
        )
    if meets is not None:
        return EndSpec(kind="meets", against=context.targets(targets_of(meets, 2)), gap=gap)
    if facing is not None:
        return EndSpec(kind="angled", normal=facing.direction(), gap=gap)
    return EndSpec(gap=gap)


# ------------------------------------------------------------------------------------------------ holes
def _holes(spot: Spot | None, section: Section | None) -> list[BarHole]:
    known = (*PLACES, "face", "across", "diameter", *OPENING_KEYS, "through", "note")
    out = []
    for one in [] if spot is None else spot.items(said("holes"), 1):
        fields = one.fields(known)
        from_start, from_end = _along(fields)
        wide, screw, fit = read_opening(fields, "diameter", _hole_sizes(section))
        out.append(
            BarHole(
                from_start=from_start,
                from_end=from_end,
                face=_face(fields, section),
                across=fields.number("across", "length", 0.0, Limits()),
                diameter=wide,
                screw=screw,
                fit=fit,
                through=fields.yes_no("through"),
                note=fields.text("note"),
            )
        )
    return out


def _slots(spot: Spot | None, section: Section | None) -> list[BarHole]:
    known = (*PLACES, "face", "across", "width", "for", "fit", "length", "runs", "open", "through", "note")
    out = []
    for one in [] if spot is None else spot.items(said("slots"), 1):
        fields = one.fields(known, ("length",))
        from_start, from_end = _along(fields)
        width, screw, fit = read_opening(fields, "width", _hole_sizes(section))
        out.append(
            BarHole(
                from_start=from_start,
                from_end=from_end,
                face=_face(fields, section),
                across=fields.number("across", "length", 0.0, Limits()),
                diameter=width,
                screw=screw,
                fit=fit,
                length=fields.number("length", "length", width, Limits(width)),
                slot_along=cast("Literal['along', 'across']", fields.choice("runs", ("along", "across"), "along")),
                open_edge=fields.yes_no("open"),
                through=fields.yes_no("through"),
                note=fields.text("note"),
            )
        )
    return out


def _along(fields: Fields) -> tuple[float | None, float | None]:
    """Where a hole lies along its run: from the start, or from the end [mm]."""
    start, end = (fields.get(key) for key in PLACES)
    if start is not None and end is not None:
        fields.spot.refuse(
            code="hole-place-unclear",
            wrong=said("`from start` and `from end` stand together"),
            expected=said("one of the two: where the hole lies along the run"),
            fix=said("take one out"),
        )
    elif start is None and end is None and fields.spot.is_map:
        fields.spot.refuse(
            code="key-missing",
            wrong=said("`from start` is missing: where the hole lies along the run"),
            expected=said("`from start`, or `from end`, and a length"),
            fix=said("add `from start: ...`"),
        )
    if end is None:
        return fields.number(PLACES[0], "length"), None
    return None, fields.number(PLACES[1], "length")


def _hole_sizes(section: Section | None) -> Limits:
    return POSITIVE if section is None else Limits(0.0, section.outside, above=True, below=True)


def _face(fields: Fields, section: Section | None) -> Face:
    is_angle = section is not None and section.shape == "angle"
    options = SIDES if section is not None and not is_angle else LEG_SIDES if is_angle else (*SIDES, *LEG_SIDES)
    if is_angle and "face" not in fields:
        fields.spot.refuse(
            code="key-missing",
            wrong=said("`face` is missing: an angle has two legs"),
            expected=said("`face: height leg` or `face: width leg`"),
            fix=said("add `face`"),
        )
    return cast("Face", fields.choice("face", options, options[0]))
