"""Quick plans without a linear program: largest pieces first, fullest bar first, corrected values."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from handbarrow.laws.cutting.knapsack import fullest, value_table
from handbarrow.laws.cutting.problem import Meter, Plan, Problem, plan_cost

__all__ = ["corrected_values", "fullest_first", "largest_first", "quick_plan"]


def largest_first(sizes: Sequence[int], counts: Sequence[int], capacity: int) -> tuple[int, ...]:
    """Fill one bar with the largest pieces that still fit [-].

    Source: first-fit decreasing, bar by bar (the same plan as piece by piece).

    >>> largest_first((50, 30, 10), (1, 2, 4), 100)
    (1, 1, 2)
    """
    out = []
    for size, count in zip(sizes, counts, strict=True):
        n = min(count, capacity // size)
        out.append(n)
        capacity -= n * size
    return tuple(out)


def _add(plan: Plan, kind: int, pattern: tuple[int, ...], times: int) -> None:
    plan[kind, pattern] = plan.get((kind, pattern), 0) + times


def _repeats(left: Sequence[int], pattern: Sequence[int], limit: int | None) -> int:
    times = min(have // n for have, n in zip(left, pattern, strict=True) if n)
    return times if limit is None else min(times, limit)


def fullest_first(problem: Problem, order: Sequence[int], meter: Meter, subset_sum: bool) -> Plan | None:
    """Use the kinds of bars in the given order, each bar filled as well as it can be; None if pieces are left [-].

    With `subset_sum` each bar is filled best, else largest pieces first.

    Source: greedy; no promise of quality.
    """
    left = list(problem.demands)
    plan: Plan = {}
    for kind in order:
        capacity, limit = problem.capacities[kind], problem.limits[kind]
        while any(left) and (limit is None or limit > 0) and not meter.empty:
            if subset_sum:
                pattern = fullest(problem.sizes, left, capacity, meter)
            else:
                pattern = largest_first(problem.sizes, left, capacity)
            if not any(pattern):
                break
            times = _repeats(left, pattern, limit)
            limit = None if limit is None else limit - times
            left = [have - n * times for have, n in zip(left, pattern, strict=True)]
            _add(plan, kind, pattern, times)
    return None if any(left) else plan


def quick_plan(problem: Problem, meter: Meter, subset_sum: bool = True) -> Plan | None:
    """Return the best of a few greedy plans, None if none of them places every piece [-].

    Source: greedy; no promise of quality.
    """
    of_use = [b for b, capacity in enumerate(problem.capacities) if capacity >= problem.sizes[-1]]
    by_price = sorted(of_use, key=lambda b: (problem.costs[b] / problem.capacities[b], b))
    orders = [by_price]
    for kind in by_price:
        if problem.limits[kind] is None:
            scarce = [b for b in by_price if problem.limits[b] is not None and problem.costs[b] < problem.costs[kind]]
            orders.append([*scarce, kind])
    if len(by_price) == 1:
        orders = [by_price]
    best: Plan | None = None
    for order in orders:
        for way in (False, True) if subset_sum else (False,):
            plan = fullest_first(problem, order, meter, way)
            if plan and (best is None or plan_cost(plan, problem.costs) < plan_cost(best, problem.costs)):
                best = plan
    return best


def corrected_values(problem: Problem, rounds: int, stop_at: int, meter: Meter) -> Plan | None:
    """Build plans bar by bar with piece values that learn from the waste of the bars they came into.

    Args:
        problem: One kind of bar only.
        rounds: How many plans are built [-].
        stop_at: Cost at which no better plan is wanted [cost units].
        meter: Work is added here.

    Source: sequential value correction, after G. Belov, G. Scheithauer, European J. Operational Research 171 (2006)
    (from memory); the rule for the weights is this program's own.
    """
    sizes, capacity, cost = problem.sizes, problem.capacities[0], problem.costs[0]
    values = np.array([float(s) for s in sizes])
    best: Plan | None = None
    best_cost = 0
    for turn in range(rounds):
        left = list(problem.demands)
        plan: Plan = {}
        used = 0
        while any(left) and not meter.empty:
            pattern = value_table(sizes, values, left, (capacity,), meter).pattern(capacity, len(sizes))
            times = max(1, _repeats(left, pattern, None) // 2) if turn % 2 else _repeats(left, pattern, None)
            fill = sum(n * s for n, s in zip(pattern, sizes, strict=True))
            for i, n in enumerate(pattern):
                if n:
                    worth = (capacity / fill) * sizes[i] ** (1.0 + 0.02 * (1 + turn % 4))
                    share = 0.25 + 0.5 * (left[i] > n * times)
                    values[i] = (1 - share) * values[i] + share * worth
            left = [have - n * times for have, n in zip(left, pattern, strict=True)]
            _add(plan, 0, pattern, times)
            used += times
        if any(left):
            break
        if best is None or used * cost < best_cost:
            best, best_cost = plan, used * cost
        if best_cost <= stop_at:
            break
    return best
