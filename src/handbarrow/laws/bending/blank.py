"""A bent piece as the bender sees it: a straight blank with bends to be made in some order."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from handbarrow.laws.geometry.path import Steps

__all__ = ["Blank", "BlankBend", "Feed", "Made", "wrapped"]

Feed = Literal["start", "end"]
Made = int
"""Which bends are made, as bits: bit k for bend k (k from 0)."""

RIGHT_ANGLE_RAD = math.radians(89.95)
"""A leg stop needs a bend of a right angle at least: below, where it touches depends on how far out it reaches."""


def wrapped(angle_rad: float) -> float:
    """Return an angle brought into (-pi, pi] [rad]. Source: arithmetic.

    >>> wrapped(1.5 * math.pi) == -0.5 * math.pi
    True
    """
    out = math.remainder(angle_rad, 2 * math.pi)
    return math.pi if out <= -math.pi + 1e-12 else out + 0.0  # no minus zero


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankBend:
    """One bend to be made.

    Attributes:
        angle_rad: Finished angle.
        set_angle_rad: Angle to set.
        radius: Radius as made [mm].
        die_radius: Radius of the die [mm].
        used: Straight length it uses [mm].
        offset: Reference offset of the die [mm].
        normal_rad: Direction of the bend's normal from the crown line, right-handed about the run.
        held: Smallest straight on the held side [mm].
        swept: Smallest straight on the side that is swept [mm].
        half_outside: Half the outside size of the section in the plane of the bend [mm].
        die: Name of the die.
        on_bender: Whether it is made on the bender, where stops and obstacles are; False: vice or former.
    """

    angle_rad: float
    set_angle_rad: float
    radius: float
    die_radius: float
    used: float
    offset: float = 0.0
    normal_rad: float = 0.0
    held: float = 0.0
    swept: float = 0.0
    half_outside: float = 0.0
    die: str = ""
    on_bender: bool = True


@dataclass(frozen=True)
class Blank:
    """Straights between tangent points [mm], the first and last to the tube's physical ends, and the bends."""

    straights: tuple[float, ...]
    bends: tuple[BlankBend, ...]

    @cached_property
    def starts(self) -> tuple[float, ...]:
        """Where each bend starts on the straight tube, from its datum end [mm]."""
        out, run = [], 0.0
        for straight, bend in zip(self.straights, self.bends, strict=False):
            run += straight
            out.append(run)
            run += bend.used
        return tuple(out)

    @cached_property
    def length(self) -> float:
        """Length of the straight tube [mm]."""
        return sum(self.straights) + sum(bend.used for bend in self.bends)

    def mark(self, k: int, feed: Feed) -> float:
        """Mark of bend k from the datum end [mm]: where the die's reference line goes."""
        bend = self.bends[k]
        start = self.starts[k]
        return start - bend.offset if feed == "start" else start + bend.used + bend.offset

    def crown_rad(self, k: int, feed: Feed) -> float:
        """Where the crown line stands at bend k, from up, right-handed about the feed direction [rad].

        The bend is made towards +y in bender axes, so its normal, taken in the feed direction, points up.
        """
        normal = self.bends[k].normal_rad
        return wrapped(-normal if feed == "start" else math.pi + normal)

    def neighbour(self, k: int, towards: Feed, made: Made) -> tuple[int | None, float]:
        """Return the nearest made bend on one side of bend k, and the straight tube up to it or to the end [mm]."""
        step = -1 if towards == "start" else 1
        free, j = self.straights[k if step < 0 else k + 1], k + step
        while 0 <= j < len(self.bends) and not made >> j & 1:
            free += self.bends[j].used + self.straights[j if step < 0 else j + 1]
            j += step
        return (j if 0 <= j < len(self.bends) else None), free

    def stop_end(self, k: int, feed: Feed, made: Made) -> float | None:
        """Distance from the reference line to the tube's end on the held side, while that side is straight [mm]."""
        neighbour, free = self.neighbour(k, feed, made)
        return free - self.bends[k].offset if neighbour is None else None

    def stop_leg(self, k: int, feed: Feed, made: Made) -> float | None:
        """Distance from the reference line to the outside of the leg bent before on the held side [mm].

        None without such a leg, or where its bend is less than a right angle. The outermost place of a bend of a right
        angle or more is R_f + half the outside beyond its tangent point.
        """
        neighbour, free = self.neighbour(k, feed, made)
        if neighbour is None or self.bends[neighbour].angle_rad < RIGHT_ANGLE_RAD:
            return None
        before = self.bends[neighbour]
        return free - self.bends[k].offset + before.radius + before.half_outside

    def side(self, k: int, towards: Feed, made: Made) -> Steps:
        """Return what lies beyond bend k on one side, walking away from it; bends not made are straight.

        The first turn is counted from the normal of bend k (as seen when walking that way).
        """
        step = -1 if towards == "start" else 1
        straights: list[float] = []
        angles: list[float] = []
        turns: list[float] = []
        radii: list[float] = []
        at, normal = k, self.bends[k].normal_rad
        while True:
            neighbour, free = self.neighbour(at, towards, made)
            straights.append(max(free, 0.0))
            if neighbour is None:
                return Steps(tuple(straights), tuple(angles), tuple(turns), tuple(radii))
            bend = self.bends[neighbour]
            angles.append(bend.angle_rad)
            radii.append(bend.radius)
            turns.append(step * (bend.normal_rad - normal))
            at, normal = neighbour, bend.normal_rad
