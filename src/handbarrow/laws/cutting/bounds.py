"""Lower bounds of a cutting problem that need no linear program."""

from __future__ import annotations

from collections.abc import Sequence

from handbarrow.laws.cutting.problem import Problem

__all__ = ["area_bound", "bar_choices", "big_piece_bound", "reachable_cost"]

LARGEST_BITSET = 30_000_000
MOST_CHOICES = 200_000


def area_bound(problem: Problem) -> int:
    """Least cost by length alone [cost units]: bars are filled without rest, the cheapest per length first.

    Source: linear relaxation with one constraint (total size), solved greedily; closed form.

    >>> area_bound(Problem((30, 20), (4, 4), (100, 60), (10, 6), (None, 1)))
    20
    """
    left = problem.total
    cost = 0.0
    of_use = [b for b, capacity in enumerate(problem.capacities) if capacity >= problem.sizes[-1]]
    order = sorted(of_use, key=lambda b: problem.costs[b] / problem.capacities[b])
    for b in order:
        limit = problem.limits[b]
        if limit is None or limit * problem.capacities[b] >= left:
            # whole numbers: ceil(cost so far + costs[b] * left / capacity)
            return int(cost) + -(-problem.costs[b] * left // problem.capacities[b])
        left -= limit * problem.capacities[b]
        cost += limit * problem.costs[b]
    return int(cost)


def big_piece_bound(sizes: Sequence[int], demands: Sequence[int], capacity: int) -> int:
    """Fewest bars of one kind, by pieces that cannot share a bar [-].

    Source: bound L2 of S. Martello, P. Toth, Knapsack Problems, Wiley 1990, section 8.3 (from memory).

    >>> big_piece_bound((70, 60, 50, 10), (1, 1, 2, 1), 100)
    3
    """
    best = 0
    for k in {0, *(s for s in sizes if 2 * s <= capacity)}:
        large = mid = small = mid_size = 0
        for s, d in zip(sizes, demands, strict=True):
            if s > capacity - k:
                large += d
            elif 2 * s > capacity:
                mid += d
                mid_size += s * d
            elif s >= k:
                small += s * d
        lack = small - (mid * capacity - mid_size)
        best = max(best, large + mid + max(0, -(-lack // capacity)))
    return best


def reachable_cost(bound: int, ceiling: int, problem: Problem) -> int:
    """Return the least cost from `bound` on that whole bars can sum to, at most `ceiling` [cost units].

    Source: subset sums of the bar costs, kept as bits of a whole number.

    >>> reachable_cost(41, 60, Problem((1,), (1,), (10, 5), (20, 12), (None, 1)))
    52
    """
    if bound >= ceiling:
        return ceiling
    if len(problem.costs) == 1:
        step = problem.costs[0]
        return min(-(-bound // step) * step, ceiling)
    if ceiling > LARGEST_BITSET:
        return bound
    mask = (1 << (ceiling + 1)) - 1
    sums = 1
    for cost, limit in zip(problem.costs, problem.limits, strict=True):
        left = ceiling // cost if limit is None else min(limit, ceiling // cost)
        take = 1
        while left > 0:
            take = min(take, left)
            sums |= (sums << (take * cost)) & mask
            left -= take
            take *= 2
    above = sums >> bound
    if above == 0:
        return ceiling
    return min(bound + (above & -above).bit_length() - 1, ceiling)


def bar_choices(
    worth: Sequence[int], need: int, problem: Problem, ceiling: int, most: int
) -> tuple[int, list[tuple[int, ...]]]:
    """Least cost of whole bars that are together worth what the pieces are worth, and the cheapest such choices.

    Args:
        worth: Most that one bar of each kind can hold, in the value of pieces [value units].
        need: Value of all pieces [value units].
        problem: Costs and limits of the bars.
        ceiling: Only choices cheaper than this count [cost units].
        most: How many choices are kept [-].

    Returns:
        Lower bound on the cost of any plan (`ceiling` if no choice is cheaper) and bars of each kind, cheapest first.

    Source: weak duality with whole bars: whatever the values, the bars of a plan must hold them all; the covering
    knapsack is solved by depth-first search with the fractional bound.

    >>> bar_choices((100, 60), 330, Problem((1,), (1,), (100, 60), (10, 7), (None, None)), 45, 2)
    (37, [(3, 1), (1, 4)])
    """
    costs, kinds = problem.costs, [b for b, w in enumerate(worth) if w > 0]
    order = sorted(kinds, key=lambda b: costs[b] / worth[b], reverse=True)
    found: list[tuple[int, tuple[int, ...]]] = []
    stack: list[tuple[int, int, int, tuple[int, ...]]] = [(0, need, 0, ())]
    steps = 0
    while stack:
        place, lack, spent, counts = stack.pop()
        steps += 1
        if steps > MOST_CHOICES:
            return _fraction(need, order, worth, problem), []
        limit = found[most - 1][0] if len(found) >= most else ceiling
        branches: list[tuple[int, int, int, tuple[int, ...]]] = []
        if place == len(order) or lack <= 0:
            if lack <= 0 and spent < limit:
                found.append((spent, counts))
                found.sort(key=lambda row: row[0])
                del found[most:]
            continue
        b = order[place]
        rest = order[place + 1 :]
        # b is the dearest for its worth of what is left: each bar more of it costs more.
        for n in range(*_range_of(b, lack, rest, worth, problem)):
            cost, left = spent + n * costs[b], lack - n * worth[b]
            if cost + _fraction(left, rest, worth, problem) >= limit:
                break
            branches.append((place + 1, left, cost, (*counts, n)))
        stack.extend(reversed(branches))
    if not found:
        return ceiling, []
    choices = []
    for _, counts in found:
        full = [0] * len(costs)
        for b, n in zip(order, counts, strict=False):
            full[b] = n
        choices.append(tuple(full))
    return found[0][0], choices


def _range_of(b: int, lack: int, rest: Sequence[int], worth: Sequence[int], problem: Problem) -> tuple[int, int]:
    """Fewest bars of a kind that leave the rest able to cover what is lacking, and one more than the most of use."""
    most = -(-lack // worth[b])
    available = problem.limits[b]
    most = most if available is None else min(most, available)
    others = 0
    for r in rest:
        limit = problem.limits[r]
        if limit is None:
            return 0, most + 1
        others += limit * worth[r]
    return max(0, -(-(lack - others) // worth[b])), most + 1


def _fraction(lack: int, order: Sequence[int], worth: Sequence[int], problem: Problem) -> int:
    """Least cost (rounded up) of covering `lack` with parts of bars of these kinds, dearest first in `order`."""
    cost = 0
    for b in reversed(order):
        if lack <= 0:
            return cost
        limit = problem.limits[b]
        if limit is None or limit * worth[b] >= lack:
            return cost - (-problem.costs[b] * lack // worth[b])
        cost += limit * problem.costs[b]
        lack -= limit * worth[b]
    return cost if lack <= 0 else 1 << 62
