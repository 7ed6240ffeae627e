"""Bend a straight tube in simulation by nothing but the card.

The tube is a row of straight and arc pieces with poses in bender axes. Each instruction moves the whole tube so that
its mark lies on the die's reference line and its crown line stands as the card says, holds one side, and carries the
other round the die; springback is in the finished angle and radius. Nothing here uses how the card was computed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = ["BendInstruction", "BentTube", "bend_tube"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class BendInstruction:
    """One line of a bend card, as the bender station carries it out.

    Attributes:
        feed: Which side is held: the one towards the datum end (`start`) or the far one (`end`).
        mark: Where the die's reference line goes, from the datum end along the straight tube [mm].
        set_angle_rad: Angle to set [rad].
        turn_rad: Turn of the tube in the bender since the bend made before, right-handed about the feed direction
            [rad]; where the feed changes, the tube is first swapped end for end, the same side kept up.
        die_radius: Centreline radius of the die [mm].
        a: Slope of the tube's law on this die [-].
        b_rad: Constant of the law [rad].
        stretch_per_rad: What the tube gains in length in one radian of finished bend [mm/rad].
        reference_offset: From the reference line to the start of the bend [mm].
    """

    feed: Literal["start", "end"]
    mark: float
    set_angle_rad: float
    turn_rad: float
    die_radius: float
    a: float
    b_rad: float
    stretch_per_rad: float = 0.0
    reference_offset: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BentTube:
    """The tube after all bends, in its own frame: datum end at 0, first straight along x, crown line there along z.

    Attributes:
        points: (n + 2, 3) datum end, corners, far end [mm].
        radii: (n,) centreline radii [mm].
        straights: (n + 1,) straights between tangent points [mm].
        far_crown: (3,) direction of the crown line at the far end.
    """

    points: Floats
    radii: Floats
    straights: Floats
    far_crown: Floats


@dataclass(slots=True)
class _Piece:
    """A straight (angle 0) or an arc. `pose`: (4, 4): tangent, side, crown, origin at the piece's datum side."""

    low: float
    high: float
    pose: Floats
    length: float
    angle: float = 0.0
    radius: float = 0.0


def _turn(axis: int, angle: float) -> Floats:
    """Turn about x (0) or z (2), as a (4, 4) pose."""
    out = np.eye(4)
    i, j = {0: (1, 2), 2: (0, 1)}[axis]
    out[i, i] = out[j, j] = math.cos(angle)
    out[j, i] = math.sin(angle)
    out[i, j] = -out[j, i]
    return out


def _move(x: float, y: float = 0.0) -> Floats:
    out = np.eye(4)
    out[0, 3], out[1, 3] = x, y
    return out


def bend_tube(length: float, instructions: Sequence[BendInstruction], first_crown_rad: float) -> BentTube:
    """Bend a straight tube by the lines of a card, in the order given.

    Args:
        length: Length of the straight tube [mm].
        instructions: What to do, in order.
        first_crown_rad: Where the crown line stands at the first bend made, from up, right-handed about the feed
            direction [rad].

    Returns:
        The finished tube.

    Raises:
        ValueError: If a bend would run into one that is made, or over the tube's end.

    Source: rigid-body motion of the swept side about the die (computed here); arc of length R A_set, angle a A_set - b.
    """
    pieces = [_Piece(0.0, length, np.eye(4), length)]
    crown, feed_before = first_crown_rad, None
    for line in instructions:
        if feed_before is not None:
            crown = (crown if line.feed == feed_before else -crown) + line.turn_rad
        feed_before = line.feed
        _bend(pieces, line, crown)
    return _read(pieces)


def _bend(pieces: list[_Piece], line: BendInstruction, crown: float) -> None:
    """Replace part of one straight by an arc; everything is left in bender axes."""
    angle = line.a * line.set_angle_rad - line.b_rad
    arc = line.die_radius * line.set_angle_rad
    used = arc - line.stretch_per_rad * angle
    radius = arc / angle
    forward = line.feed == "start"
    begin = line.mark + line.reference_offset if forward else line.mark - line.reference_offset
    low, high = (begin, begin + used) if forward else (begin - used, begin)
    at = _straight_holding(pieces, low, high)
    old = pieces[at]
    # Bender axes: the tube lies along x, the crown line stands at `crown` from up, the bend starts at the origin.
    wanted = _turn(0, crown) if forward else _turn(2, math.pi) @ _turn(0, -crown)
    place = wanted @ np.linalg.inv(old.pose @ _move(begin - old.low))
    for piece in pieces:
        piece.pose = place @ piece.pose
    # The straight beyond the bend goes from x = used to the end of the arc, turned by the finished angle about z.
    sweep = _move(radius * math.sin(angle), radius * (1 - math.cos(angle))) @ _turn(2, angle) @ _move(-used)
    before = _Piece(old.low, low, old.pose, low - old.low)
    after = _Piece(high, old.high, old.pose @ _move(high - old.low), old.high - high)
    if forward:
        arc_pose = wanted
        for piece in (after, *pieces[at + 1 :]):
            piece.pose = sweep @ piece.pose
    else:
        for piece in (before, *pieces[:at]):
            piece.pose = sweep @ piece.pose
        arc_pose = before.pose @ _move(low - old.low)
    pieces[at : at + 1] = [before, _Piece(low, high, arc_pose, arc, angle, radius), after]


def _straight_holding(pieces: Sequence[_Piece], low: float, high: float) -> int:
    for k, piece in enumerate(pieces):
        if piece.angle == 0 and piece.low - 1e-6 <= low and high <= piece.high + 1e-6:
            return k
    raise ValueError(f"no straight tube from {low:.2f} to {high:.2f} mm")


def _read(pieces: Sequence[_Piece]) -> BentTube:
    """Corner points, radii and straights in the tube's own frame."""
    own = np.linalg.inv(pieces[0].pose)
    poses = [own @ piece.pose for piece in pieces]
    points = [poses[0][:3, 3]]
    for piece, pose in zip(pieces, poses, strict=True):
        if piece.angle > 0:
            points.append(pose[:3, 3] + pose[:3, 0] * piece.radius * math.tan(piece.angle / 2))
    points.append(poses[-1][:3, 3] + poses[-1][:3, 0] * pieces[-1].length)
    return BentTube(
        points=np.array(points),
        radii=np.array([p.radius for p in pieces if p.angle > 0]),
        straights=np.array([p.length for p in pieces if p.angle == 0]),
        far_crown=poses[-1][:3, 2],
    )
