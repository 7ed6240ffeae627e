"""The cutting problem in whole numbers, its answers, and the measure of effort.

Sizes already hold the kerf: a piece takes `length + kerf`, a bar offers `usable + kerf`, so that n pieces with n - 1
cuts between them fit exactly when the sizes do. Nothing here is rounded any more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd

__all__ = ["Best", "Meter", "Plan", "Problem", "plan_cost", "trimmed"]

Plan = dict[tuple[int, tuple[int, ...]], int]
"""(kind of bar, pieces of each size) -> how many bars are cut so."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Whole-number cutting problem.

    Attributes:
        sizes: Size of each piece, largest first, all different [grid units].
        demands: How many of each are wanted [-].
        capacities: Capacity of each kind of bar [grid units].
        costs: Cost of one bar of each kind, at least 1 [cost units].
        limits: How many bars of each kind there are, None: as many as wanted [-].
    """

    sizes: tuple[int, ...]
    demands: tuple[int, ...]
    capacities: tuple[int, ...]
    costs: tuple[int, ...]
    limits: tuple[int | None, ...]

    @property
    def single(self) -> bool:
        """Whether there is but one kind of bar, without limit."""
        return len(self.capacities) == 1 and self.limits[0] is None

    @property
    def total(self) -> int:
        """Sum of all sizes [grid units]."""
        return sum(s * d for s, d in zip(self.sizes, self.demands, strict=True))

    def reduced(self) -> Problem:
        """Divide sizes by their greatest common divisor; a bar's capacity is rounded down [grid units]."""
        factor = gcd(*self.sizes)
        if factor <= 1:
            return self
        sizes = tuple(s // factor for s in self.sizes)
        return Problem(sizes, self.demands, tuple(c // factor for c in self.capacities), self.costs, self.limits)


class Meter:
    """Counts work, so that effort ends at the same place on every machine: the clock is never asked.

    One unit is about one cell of a table; a thousand million are a few seconds on a small machine.
    """

    def __init__(self, limit: float) -> None:
        self.limit = limit
        self.spent = 0.0

    def spend(self, work: float) -> None:
        """Add work."""
        self.spent += work

    @property
    def empty(self) -> bool:
        """Whether the effort is used up."""
        return self.spent >= self.limit

    def share(self, part: float) -> Meter:
        """Return a meter for at most this part of what is left; its work must be added here afterwards."""
        return Meter(max(self.limit - self.spent, 0.0) * part)


def plan_cost(plan: Mapping[tuple[int, tuple[int, ...]], int], costs: Sequence[int]) -> int:
    """Return the cost of a plan [cost units].

    Source: sum of cost times count.

    >>> plan_cost({(0, (2, 1)): 3, (1, (0, 1)): 1}, (5, 2))
    17
    """
    return sum(costs[kind] * count for (kind, _), count in plan.items())


def trimmed(plan: Plan, demands: Sequence[int]) -> Plan:
    """Take pieces cut too many out of the plan, all from as few bars as possible, and drop bars left empty [-].

    Source: counting. Patterns with the largest counts are kept whole.

    >>> trimmed({(0, (2, 0)): 2, (0, (0, 3)): 1}, (3, 3))
    {(0, (2, 0)): 1, (0, (0, 3)): 1, (0, (1, 0)): 1}
    """
    surplus = [-d for d in demands]
    for (_, counts), times in plan.items():
        for i, n in enumerate(counts):
            surplus[i] += n * times
    out: Plan = {}
    bars = sorted(plan.items(), key=lambda row: (-row[1], row[0]))
    spare: list[tuple[int, list[int]]] = []
    for (kind, counts), times in reversed(bars):
        kept = times
        while kept and any(s > 0 and n for s, n in zip(surplus, counts, strict=True)):
            off = [min(max(s, 0), n) for s, n in zip(surplus, counts, strict=True)]
            surplus = [s - o for s, o in zip(surplus, off, strict=True)]
            spare.append((kind, [n - o for n, o in zip(counts, off, strict=True)]))
            kept -= 1
        if kept:
            out[kind, counts] = kept
    out = dict(reversed(out.items()))
    for kind, left in spare:
        if any(left):
            key = (kind, tuple(left))
            out[key] = out.get(key, 0) + 1
    return out


@dataclass(slots=True)
class Best:
    """The best plan so far, and the cost at which the search may stop [cost units]."""

    plan: Plan
    cost: int
    goal: int

    def offer(self, plan: Plan, problem: Problem) -> bool:
        """Take the plan if it is better."""
        cost = plan_cost(plan, problem.costs)
        if cost < self.cost:
            self.plan, self.cost = plan, cost
            return True
        return False

    @property
    def reached(self) -> bool:
        """Whether nothing better is wanted."""
        return self.cost <= self.goal
