"""All patterns that a cheaper plan could use, by their reduced cost."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from handbarrow.laws.cutting.problem import Meter, Problem

__all__ = ["patterns_within"]

LARGEST_TABLE = 40_000_000
Whole = npt.NDArray[np.int64]


def patterns_within(
    problem: Problem, priced: tuple[Sequence[int], int, int], bounds: tuple[int, int], meter: Meter
) -> list[tuple[int, tuple[int, ...]]] | None:
    """Return every maximal pattern of reduced cost up to the slack, None if there are too many.

    Args:
        problem: One kind of bar without limit.
        priced: Whole-number price of each piece; what one cost unit is in those prices; the largest reduced cost
            wanted, in the same whole numbers: target - value of all pieces.
        bounds: Patterns and search steps after which it gives up [-].
        meter: Work is added here.

    Source: a plan that costs no more than the target holds no pattern of reduced cost above target - value (weak
    duality; a pattern of negative reduced cost would have to be paid for, so the slack grows by it); a pattern that
    could take one more piece can be replaced by the one that does.

    >>> patterns_within(Problem((5, 3), (2, 3), (10,), (1,), (None,)), ((50, 30), 100, 0), (10, 100), Meter(1e9))
    [(0, (2, 0))]
    """
    (prices, unit, slack), capacity = priced, problem.capacities[0]
    items = len(problem.sizes)
    if items * (capacity + 1) > LARGEST_TABLE:
        return None
    reach = _reach(problem, prices)
    meter.spend(3 * items * (capacity + 3000))
    most_worth = int(reach[0, capacity])
    cost = problem.costs[0] * unit
    if most_worth > cost:
        slack += (most_worth - cost) * _most_bars(problem)
    return _search(problem, prices, reach, (cost - slack, *bounds), meter)


def _most_bars(problem: Problem) -> int:
    """More bars than any plan worth looking at: no two bars of it could be put together."""
    return 2 * problem.total // problem.capacities[0] + 1


def _reach(problem: Problem, prices: Sequence[int]) -> Whole:
    """Best value that items i.. can add in each capacity."""
    capacity, items = problem.capacities[0], len(problem.sizes)
    reach = np.zeros((items + 1, capacity + 1), dtype=np.int64)
    for i in range(items - 1, -1, -1):
        row = reach[i + 1].copy()
        left, many = min(problem.demands[i], capacity // problem.sizes[i]), 1
        while left > 0:
            many = min(many, left)
            size = many * problem.sizes[i]
            np.maximum(row[size:], row[: capacity + 1 - size] + many * int(prices[i]), out=row[size:])
            left -= many
            many *= 2
        reach[i] = row
    return reach


def _search(
    problem: Problem, prices: Sequence[int], reach: Whole, bounds: tuple[int, int, int], meter: Meter
) -> list[tuple[int, tuple[int, ...]]] | None:
    least, most, steps = bounds
    sizes, demands, items = problem.sizes, problem.demands, len(problem.sizes)
    found: list[tuple[int, tuple[int, ...]]] = []
    stack: list[tuple[int, int, int, tuple[tuple[int, int], ...]]] = [(0, problem.capacities[0], 0, ())]
    done = 0
    while stack:
        i, room, worth, chosen = stack.pop()
        done += 1
        if done > steps or len(found) > most:
            break
        if i == items:
            counts = [0] * items
            for item, n in chosen:
                counts[item] = n
            if all(n >= d or s > room for n, d, s in zip(counts, demands, sizes, strict=True)):
                found.append((0, tuple(counts)))
            continue
        for n in range(min(demands[i], room // sizes[i]) + 1):
            rest, value = room - n * sizes[i], worth + n * int(prices[i])
            if value + int(reach[i + 1, rest]) >= least:
                stack.append((i + 1, rest, value, (*chosen, (i, n)) if n else chosen))
    meter.spend(300.0 * done)
    return None if stack or len(found) > most else found
