"""Moves, turns, rows and mirror images: the copies of a part, and the positions of assemblies."""

from __future__ import annotations

import math

import numpy as np

from handbarrow.design.values import Assembly, Copy, Position
from handbarrow.laws.geometry.path import Floats, Matrix4, Vec3, rotation
from handbarrow.laws.geometry.rigid import IDENTITY, matrix4
from handbarrow.reading.limits import FULL_TURN
from handbarrow.reading.spot import DIRECTIONS, Fields, Spot

__all__ = ["MOST_COPIES", "motion_of", "read_assemblies", "read_copies", "square_directions"]

MOST_COPIES = 500
MOTION = ("move", "turn", "axis", "about")
MIRRORS: dict[str, Floats] = {
    "left-right": np.diag([1.0, -1.0, 1.0, 1.0]),
    "front-back": np.diag([-1.0, 1.0, 1.0, 1.0]),
}


def motion_of(spot: Spot) -> Matrix4:
    """Return the transform of `{move: ..., turn: ..., axis: ..., about: ...}`: turned first, then moved."""
    fields = spot.fields(MOTION)
    out = np.eye(4)
    if "turn" in fields:
        angle = fields.number("turn", "angle", 0.0, FULL_TURN)
        if "axis" not in fields:
            spot.refuse(
                code="key-missing",
                wrong="`turn` has no `axis`",
                expected=f"the axis of the turn: {', '.join(DIRECTIONS)} or [x, y, z]",
                fix="add `axis: up` or another direction",
            )
        turn = rotation(fields.direction("axis", (0.0, 0.0, 1.0)), angle)
        turn[np.abs(turn) < 1e-15] = 0.0
        about = np.asarray(fields.vector("about"))
        out[:3, :3] = turn
        out[:3, 3] = about - turn @ about
    elif "axis" in fields or "about" in fields:
        spot.refuse(
            code="key-missing",
            wrong="`axis` or `about` stands there without `turn`",
            expected="`turn: 40` with its `axis`, and `about` if the axis does not go through the origin",
            fix="add `turn`, or take `axis` and `about` out",
        )
    elif "move" not in fields and spot.is_map:
        spot.refuse(
            code="key-missing",
            wrong="neither `move` nor `turn` is given",
            expected="`move: [x, y, z]`, `turn` with its `axis`, or both",
            fix="add `move` or `turn`",
        )
    out[:3, 3] += np.asarray(fields.vector("move"))
    return matrix4(out)


def read_copies(fields: Fields) -> tuple[Copy, ...]:
    """Return the copies of a part: as drawn, `repeated`, `also at`, then the mirrored ones in the same order."""
    motions: list[Matrix4] = [IDENTITY]
    row = fields.get("repeated")
    if row is not None:
        motions += _row(row)
    others = fields.get("also at")
    if others is not None:
        for spot in others.items("places as `{move: [x, y, z]}`", 1, MOST_COPIES):
            motions.append(motion_of(spot))
    copies = [Copy(transform=motion) for motion in motions]
    mirrored = fields.get("mirrored")
    if mirrored is not None:
        mirror = MIRRORS[mirrored.choice(tuple(MIRRORS))]
        copies += [Copy(transform=matrix4(mirror @ np.asarray(motion)), mirrored=True) for motion in motions]
    return tuple(copies)


def _row(spot: Spot) -> list[Matrix4]:
    """The copies after the first one of `{count: 4, step: [200, 0, 0]}`."""
    fields = spot.fields(("count", "step"), ("count", "step"))
    count, step = fields.whole("count", 1, 2, MOST_COPIES), fields.vector("step")
    if step == (0.0, 0.0, 0.0) and "step" in fields:
        spot.refuse(
            code="row-without-step",
            wrong=f"{count} copies with a step of [0, 0, 0] lie in one place",
            expected="the step from one copy to the next",
            fix="write `step: [200, 0, 0]` or the like",
        )
    out = []
    for k in range(1, count):
        motion = np.eye(4)
        motion[:3, 3] = np.asarray(step) * k
        out.append(matrix4(motion))
    return out


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
            wrong=f"`{second[0]}` stands at {angle:.4g} degrees to `{first[0]}`",
            expected="90 degrees between the two",
            fix=f"choose `{second[0]}` square to `{first[0]}`",
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
    for name, value in spot.entries("assemblies by name, as `frame: {says: welded}`"):
        fields = value.fields(("says", "within", "positions"))
        within = fields.text("within") or None
        positions = fields.get("positions")
        told = (
            ()
            if positions is None
            else tuple(
                Position(name=key, transform=motion_of(where))
                for key, where in positions.entries("positions by name, as `raised: {turn: 40, axis: left}`")
            )
        )
        out.append(Assembly(name=name, within=within, positions=told, says=fields.text("says")))
    return tuple(out) or (Assembly(name="product"),)
