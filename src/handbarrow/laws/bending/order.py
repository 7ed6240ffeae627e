"""In which order, and fed which way round, a tube is bent, so that every bend can be clamped and swings clear.

Search by least cost over what is made so far: one feed all through, neighbours one after the other, a usable stop, few
turns of the tube. The geometry of a step is checked only when the search comes to it.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from handbarrow.laws.bending.blank import Blank, Feed, Made, wrapped
from handbarrow.laws.bending.clearance import Hit, Obstacle, held_hit, swept_hit

__all__ = ["BendOrder", "BenderRoom", "Shortfall", "free_lengths", "order_bends"]

CHANGE_FEED, CHANGE_DIE, JUMP, NO_STOP, OTHER_STOP, TURN = 80, 60, 40, 20, 10, 10
MIDDLE_FIRST, FED_FROM_END, FAR_FIRST = 5, 2, 1
ALL_ORDERS_UP_TO = 7
"""With more bends, only bends next to the ones made, or at the ends of what is left, are tried."""
FORWARD, HEADLONG = 30, 250
"""With more bends, what a bend that is made counts against cost; HEADLONG outweighs any cost of one step."""
MOST_STEPS = 30_000
TURN_RAD = math.radians(0.05)
SLACK = 1e-6

Step = tuple[int, Feed]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenderRoom:
    """What stands round the bender and which stop the shop prefers; `longest_stop` in mm, None: any length."""

    obstacles: tuple[Obstacle, ...] = ()
    clearance: float = 0.0
    stop: Literal["end", "leg"] = "end"
    longest_stop: float | None = None


class BendOrder(NamedTuple):
    """Bends in the order in which they are made: (bend from 0, side held)."""

    steps: tuple[Step, ...]


class Shortfall(NamedTuple):
    """Why no order works: the bend that was in the way where the search came furthest.

    Attributes:
        bend: The bend, from 0.
        feed: Side held in the best attempt.
        made: Bends made before it, from 0.
        kind: `held` or `swept`: too little straight on that side; `obstacle`: a box is in the way.
        lack: By how much [mm].
        needed: Straight needed, or clearance [mm].
        box: Name of the box.
        part: For an obstacle: whether the `held` or the `swept` side of the tube meets it.
    """

    bend: int
    feed: Feed
    made: tuple[int, ...]
    kind: Literal["held", "swept", "obstacle"]
    lack: float
    needed: float
    box: str = ""
    part: Literal["held", "swept"] = "held"


def free_lengths(blank: Blank, k: int, feed: Feed, made: Made) -> tuple[float, float]:
    """Return the straight tube on the held and on the swept side of bend k [mm]; bends not made are straight.

    Source: the conventions (length of straight tube = straights + what unmade bends use).
    """
    other: Feed = "end" if feed == "start" else "start"
    return blank.neighbour(k, feed, made)[1], blank.neighbour(k, other, made)[1]


@dataclass(slots=True)
class _Search:
    blank: Blank
    room: BenderRoom
    worst: Shortfall | None = None
    depth: int = -1
    held: dict[tuple[int, Feed, Made], Hit | None] = field(default_factory=dict)
    swept: dict[tuple[int, Feed, Made], Hit | None] = field(default_factory=dict)

    def run(self, forward: int) -> BendOrder | None:
        """Return the order of least cost less `forward` for each bend made; None if there is none or none was found."""
        whole = (1 << len(self.blank.bends)) - 1
        heap: list[tuple[int, tuple[Step, ...], Made]] = [(0, (), 0)]
        seen: set[tuple[Made, Step | None]] = set()
        for _ in range(MOST_STEPS):
            if not heap:
                return None
            cost, path, made = heapq.heappop(heap)
            last = path[-1] if path else None
            if (made, last) in seen:
                continue
            seen.add((made, last))
            if path and not self._swings_clear(path[-1], made & ~(1 << path[-1][0])):
                continue
            if made == whole:
                return BendOrder(steps=path)
            for step in self._next(made, last):
                if self._clamps(step, made):
                    more = cost + self._cost(step, last, made) - forward
                    heapq.heappush(heap, (more, (*path, step), made | 1 << step[0]))
        return None

    def _next(self, made: Made, last: Step | None) -> Iterator[Step]:
        left = [k for k in range(len(self.blank.bends)) if not made >> k & 1]
        if len(self.blank.bends) > ALL_ORDERS_UP_TO:
            near = {left[0], left[-1]}
            if last is not None:
                near |= set([k for k in left if k < last[0]][-1:] + [k for k in left if k > last[0]][:1])
            left = sorted(near)
        for k in left:
            yield k, "start"
            yield k, "end"

    def _clamps(self, step: Step, made: Made) -> bool:
        k, feed = step
        bend = self.blank.bends[k]
        held, swept = free_lengths(self.blank, k, feed, made)
        need_held = max(bend.held, bend.offset)
        fits = True
        if held < need_held - SLACK:
            self._note(
                Shortfall(bend=k, feed=feed, made=_bits(made), kind="held", lack=need_held - held, needed=need_held)
            )
            fits = False
        if swept < bend.swept - SLACK:
            lack = bend.swept - swept
            self._note(Shortfall(bend=k, feed=feed, made=_bits(made), kind="swept", lack=lack, needed=bend.swept))
            fits = False
        return fits

    def _swings_clear(self, step: Step, made: Made) -> bool:
        k, feed = step
        room = self.room
        if not room.obstacles or not self.blank.bends[k].on_bender:
            return True
        below, above = made & ((1 << k) - 1), made >> (k + 1) << (k + 1)
        on_held, on_swept = (below, above) if feed == "start" else (above, below)
        if (k, feed, on_held) not in self.held:
            self.held[k, feed, on_held] = held_hit(self.blank, k, feed, made, room.obstacles, room.clearance)
        if (k, feed, on_swept) not in self.swept:
            self.swept[k, feed, on_swept] = swept_hit(self.blank, k, feed, made, room.obstacles, room.clearance)
        for part, hit in (("held", self.held[k, feed, on_held]), ("swept", self.swept[k, feed, on_swept])):
            if hit is not None:
                need = self.blank.bends[k].half_outside + room.clearance
                self._note(
                    Shortfall(
                        bend=k, feed=feed, made=_bits(made), kind="obstacle", lack=hit.lack, needed=need, box=hit.box,
                        part="held" if part == "held" else "swept",
                    )
                )  # fmt: skip
                return False
        return True

    def _note(self, short: Shortfall) -> None:
        """Keep the smallest lack among those met with most bends made."""
        depth = len(short.made)
        if self.worst is None or depth > self.depth or (depth == self.depth and short.lack < self.worst.lack - SLACK):
            self.worst, self.depth = short, depth

    def _cost(self, step: Step, last: Step | None, made: Made) -> int:
        k, feed = step
        blank, bends = self.blank, self.blank.bends
        cost = self._stop_cost(step, made) if bends[k].on_bender else 0
        if last is None:
            cost += 0 if k in (0, len(bends) - 1) else MIDDLE_FIRST
            return cost + (FED_FROM_END if feed == "end" else 0) + (FAR_FIRST if k else 0)
        before, fed = last
        cost += CHANGE_FEED if feed != fed else 0
        cost += CHANGE_DIE if bends[k].die != bends[before].die else 0
        cost += JUMP if abs(k - before) != 1 else 0
        crown = blank.crown_rad(before, fed)
        turn = wrapped(blank.crown_rad(k, feed) - (crown if feed == fed else -crown))
        return cost + (TURN if abs(turn) > TURN_RAD else 0)

    def _stop_cost(self, step: Step, made: Made) -> int:
        k, feed = step
        found = {"end": self.blank.stop_end(k, feed, made), "leg": self.blank.stop_leg(k, feed, made)}
        longest = math.inf if self.room.longest_stop is None else self.room.longest_stop
        usable = [name for name, at in found.items() if at is not None and at <= longest]
        if not usable:
            return NO_STOP
        return 0 if self.room.stop in usable else OTHER_STOP


def _bits(made: Made) -> tuple[int, ...]:
    return tuple(k for k in range(made.bit_length()) if made >> k & 1)


def order_bends(blank: Blank, room: BenderRoom) -> BendOrder | Shortfall:
    """Choose the order of bends and the side held at each.

    Args:
        blank: The piece: straights [mm] and bends.
        room: What stands round the bender, and which stop is preferred.

    Returns:
        The order, or why there is none: the bend and the lack [mm] where the best attempt ended.

    Source: least-cost search over the sets of bends made (computed here).
    """
    search = _Search(blank, room)
    many = len(blank.bends) > ALL_ORDERS_UP_TO
    found = search.run(FORWARD if many else 0)
    if found is None and many:
        found = search.run(HEADLONG)
    if found is not None:
        return found
    if search.worst is None:
        raise AssertionError("a search without a result notes why")
    return search.worst
