"""Moves, turns, rows and mirror images: the copies of a part, and the positions of assemblies."""

from __future__ import annotations

import math

import numpy as np

from handbarrow.design.read_context import Context
from handbarrow.design.values import Assembly, Copy, Position
from handbarrow.language import said
from handbarrow.laws.geometry.path import Floats, Matrix4, Vec3, rotation
from handbarrow.laws.geometry.rigid import IDENTITY, matrix4
from handbarrow.reading.limits import FULL_TURN
from handbarrow.reading.spot import DIRECTIONS, Fields, Spot

__all__ = ["MOST_COPIES", "motion_of", "read_assemblies", "read_copies", "square_directions"]

MOST_COPIES = 500
MOTION = ("move", "turn", "axis", "about")
MIRRORS: dict[str, Vec3] = {"left-right": (1.0, -1.0, 1.0), "front-back": (-1.0, 1.0, 1.0)}


def motion_of(spot: Spot) -> Matrix4:
    """Return the transform of `{move: ..., turn: ..., axis: ..., about: ...}`: turned first, then moved."""
    fields = spot.fields(MOTION)
    out = np.eye(4)
    if "turn" in fields:
        angle = fields.number("turn", "angle", 0.0, FULL_TURN)
        if "axis" not in fields:
            spot.refuse(
                code="key-missing",
                wrong=said("`turn` has no `axis`"),
                expected=said("the axis of the turn: {names} or [x, y, z]", names=", ".join(DIRECTIONS)),
                fix=said("add `axis: up` or another direction"),
            )
        turn = rotation(fields.direction("axis", (0.0, 0.0, 1.0)), angle)
        turn[np.abs(turn) < 1e-15] = 0.0
        about = np.asarray(fields.vector("about"))
        out[:3, :3] = turn
        out[:3, 3] = about - turn @ about
    elif "axis" in fields or "about" in fields:
        spot.refuse(
            code="key-missing",
            wrong=said("`axis` or `about` stands there without `turn`"),
            expected=said("`turn: 40` with its `axis`, and `about` if the axis does not go through the origin"),
            fix=said("add `turn`, or take `axis` and `about` out"),
        )
    elif "move" not in fields and spot.is_map:
        spot.refuse(
            code="key-missing",
            wrong=said("neither `move` nor `turn` is given"),
            expected=said("`move: [x, y, z]`, `turn` with its `axis`, or both"),
            fix=said("add `move` or `turn`"),
        )
    out[:3, 3] += np.asarray(fields.vector("move"))
    return matrix4(out)


def read_copies(fields: Fields, context: Context) -> tuple[Copy, ...]:
    """Return the copies of a part: as drawn, `repeated`, `also at`, then the mirrored ones in the same order."""
    row, others, mirrored = fields.get("repeated"), fields.get("also at"), fields.get("mirrored")
    steps = [] if row is None else _row(row)
    places = [] if others is None else others.items(said("places as `{move: [x, y, z]}`"), 1, MOST_COPIES)
    mirror = None if mirrored is None else MIRRORS[mirrored.choice(tuple(MIRRORS))]
    count = (1 + len(steps) + len(places)) * (1 if mirror is None else 2)
    if not context.may_copy(count, fields):
        return (Copy(transform=IDENTITY),)
    motions = [IDENTITY, *(_moved_by(step) for step in steps), *(motion_of(place) for place in places)]
    copies = [Copy(transform=motion) for motion in motions]
    if mirror is not None:
        copies += [Copy(transform=_mirrored(motion, mirror), mirrored=True) for motion in motions]
    return tuple(copies)


def _moved_by(step: Vec3) -> Matrix4:
    x, y, z = step
    return ((1.0, 0.0, 0.0, x), (0.0, 1.0, 0.0, y), (0.0, 0.0, 1.0, z), (0.0, 0.0, 0.0, 1.0))


def _mirrored(motion: Matrix4, signs: Vec3) -> Matrix4:
    """A motion, then the mirror image: the rows change their sign."""
    x, y, z, last = motion
    rows = [tuple(sign * v + 0.0 for v in row) for sign, row in zip(signs, (x, y, z), strict=True)]
    return matrix4([*rows, last])


def _row(spot: Spot) -> list[Vec3]:
    """The steps from the first copy to each following one of `{count: 4, step: [200, 0, 0]}`."""
    fields = spot.fields(("count", "step"), ("count", "step"))
    count, step = fields.whole("count", 1, 2, MOST_COPIES), fields.vector("step")
    if step == (0.0, 0.0, 0.0) and "step" in fields:
        spot.refuse(
            code="row-without-step",
            wrong=said("{count} copies with a step of [0, 0, 0] lie in one place", count=count),
            expected=said("the step from one copy to the next"),
            fix=said("write `step: [200, 0, 0]` or the like"),
        )
    return [(step[0] * k, step[1] * k, step[2] * k) for k in range(1, count)]


# ------------------------------------------------------------------------------------------------ directions
def square_directions(fields: Fields, first: tuple[str, Vec3], second: tuple[str, Vec3 | None]) -> tuple[Vec3, Vec3]:
    """Return two directions that must be square to each other, made exactly so.

    Args:
        fields: Where they are read.
        first: Key and default of the direction that is kept.
        second: Key and default of the one that is made square to it; default None: any that is.
    """
    kept = np.asarray(fields.direction(*first))
    given = second[1] if second[1] is not None else _across(kept)
    other = np.asarray(fields.direction(second[0], given))
    lean = float(kept @ other)
    if abs(lean) > math.sin(math.radians(0.1)):
        spot = fields.get(second[0]) or fields.spot
        angle = math.degrees(math.acos(max(-1.0, min(1.0, lean))))
        spot.refuse(
            code="directions-not-square",
            wrong=said(
                "`{second}` stands at {angle:.4g} degrees to `{first}`", second=second[0], angle=angle, first=first[0]
            ),
            expected=said("90 degrees between the two"),
            fix=said("choose `{second}` square to `{first}`", second=second[0], first=first[0]),
        )
        other = np.asarray(_across(kept))
    other = other - kept * float(kept @ other)
    other = other / np.linalg.norm(other)
    return (float(kept[0]), float(kept[1]), float(kept[2])), (float(other[0]), float(other[1]), float(other[2]))


def _across(direction: Floats) -> Vec3:
    """A direction square to this one: nearest to up, else to left."""
    for wanted in ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)):
        across = np.asarray(wanted) - direction * float(direction @ np.asarray(wanted))
        size = float(np.linalg.norm(across))
        if size > 1e-6:
            across = across / size
            break
    return (float(across[0]), float(across[1]), float(across[2]))


# ------------------------------------------------------------------------------------------------ assemblies
def read_assemblies(spot: Spot | None) -> tuple[Assembly, ...]:
    """Return the assemblies in the order of the file; without any, there is one called `product`."""
    if spot is None:
        return (Assembly(name="product"),)
    out = []
    for name, value in spot.entries(said("assemblies by name, as `frame: {says: welded}`"), 100):
        fields = value.fields(("says", "within", "positions"))
        within = fields.text("within") or None
        positions = fields.get("positions")
        told = (
            ()
            if positions is None
            else tuple(
                Position(name=key, transform=motion_of(where))
                for key, where in positions.entries(said("positions by name, as `raised: {turn: 40, axis: left}`"), 50)
            )
        )
        out.append(Assembly(name=name, within=within, positions=told, says=fields.text("says")))
    return tuple(out) or (Assembly(name="product"),)
