"""Useful off-cuts: with cost and bars settled, what is left is drawn together in few bars."""

from __future__ import annotations

from handbarrow.laws.cutting.knapsack import fullest
from handbarrow.laws.cutting.problem import Meter, Plan, Problem

__all__ = ["draw_together", "slack_of"]

GROUPS = (2, 3, 4, 6, 8)
COPIES = 8
Bar = tuple[int, tuple[int, ...]]


def slack_of(problem: Problem, bar: Bar) -> int:
    """Capacity that a bar leaves free [grid units].

    Source: subtraction.

    >>> slack_of(Problem((30, 20), (1, 1), (100,), (1,), (None,)), (0, (2, 1)))
    20
    """
    kind, pattern = bar
    return problem.capacities[kind] - sum(n * s for n, s in zip(pattern, problem.sizes, strict=True))


def draw_together(problem: Problem, plan: Plan, useful: int, meter: Meter) -> Plan:
    """Move pieces between bars so that what is left over lies in few, useful lengths.

    Pieces stay the same and no bar is added; a bar that comes out empty is left out.

    Args:
        problem: Sizes and bars [grid units].
        plan: The plan.
        useful: Least slack that counts as useful [grid units].
        meter: Ends the search.

    Source: repacking of small groups of bars, each filled as full as it can be in turn; a move is kept if the useful
    slack grows, or stays and lies in fewer bars (sum of squares).

    >>> problem = Problem((40, 20), (3, 4), (100,), (1,), (None,))
    >>> draw_together(problem, {(0, (2, 0)): 1, (0, (1, 0)): 1, (0, (0, 4)): 1}, 60, Meter(1e9))
    {(0, (1, 3)): 1, (0, (2, 1)): 1}
    """
    small = problem.reduced()
    useful = -(-useful * small.sizes[0] // problem.sizes[0])
    improved = True
    while improved and not meter.empty:
        improved = False
        loose = _loose_bars(small, plan)
        for group in _groups(len(loose)):
            if meter.empty:
                break
            bars = [loose[i] for i in group]
            better = _repacked(small, bars, useful, meter)
            if better is not None:
                plan = _exchanged(plan, bars, better)
                improved = True
                break
    return plan


def _loose_bars(problem: Problem, plan: Plan) -> list[Bar]:
    """Bars with room left, one by one, the most room first."""
    bars = [(slack_of(problem, bar), bar, times) for bar, times in plan.items()]
    smallest = min(problem.sizes)
    rows = sorted((row for row in bars if row[0] > 0), key=lambda row: (-row[0], row[1]))
    return [bar for slack, bar, times in rows for _ in range(min(times, COPIES)) if slack > smallest // 8]


def _groups(count: int) -> list[tuple[int, ...]]:
    """Groups to repack: runs of bars of like room, and the roomiest with each of the others."""
    out = [tuple(range(start, start + size)) for size in GROUPS for start in range(max(0, min(count - size + 1, 12)))]
    return out + [(0, other) for other in range(2, min(count, 40))]


def _measure(slacks: list[int], useful: int) -> tuple[int, int]:
    kept = [s for s in slacks if s >= useful]
    return sum(kept), sum(s * s for s in slacks)


def _repacked(problem: Problem, bars: list[Bar], useful: int, meter: Meter) -> list[Bar] | None:
    left = [sum(pattern[i] for _, pattern in bars) for i in range(len(problem.sizes))]
    before = _measure([slack_of(problem, bar) for bar in bars], useful)
    out: list[Bar] = []
    for kind, _ in sorted(bars, key=lambda bar: problem.capacities[bar[0]]):
        pattern = fullest(problem.sizes, left, problem.capacities[kind], meter)
        left = [have - n for have, n in zip(left, pattern, strict=True)]
        out.append((kind, pattern))
    if any(left):
        return None
    return out if _measure([slack_of(problem, bar) for bar in out], useful) > before else None


def _exchanged(plan: Plan, old: list[Bar], new: list[Bar]) -> Plan:
    out = dict(plan)
    for bar in old:
        out[bar] -= 1
    for bar in new:
        if any(bar[1]):
            out[bar] = out.get(bar, 0) + 1
    return {bar: times for bar, times in out.items() if times}
