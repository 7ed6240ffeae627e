"""The order of attack: quick plan and quick bound; column generation; dives; enumeration."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from handbarrow.laws.cutting.bounds import area_bound, bar_choices, big_piece_bound, reachable_cost
from handbarrow.laws.cutting.greedy import corrected_values, quick_plan
from handbarrow.laws.cutting.problem import Best, Meter, Plan, Problem, plan_cost, trimmed

if TYPE_CHECKING:
    from handbarrow.laws.cutting.columns import Columns

__all__ = ["Effort", "Solved", "solve"]

CHOICES = 12
"""Choices of whole bars that are tried, where there are several kinds."""
FOR_FEWER_BARS = 0.15
"""Part of the effort that is spent on fewer bars once the cost is proven least."""


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to try, in counts; the clock is never asked.

    Attributes:
        work: Work units after which no new attempt is begun; a thousand million are one to two seconds [-].
        value_rounds: Plans built by corrected values [-].
        nodes: Nodes of a whole-number program [-].
        patterns: Patterns enumerated at most [-].
        dives: Further dives once the four plain ones have failed [-].
    """

    work: float = 1.0e9
    value_rounds: int = 30
    nodes: int = 4000
    patterns: int = 6000
    dives: int = 40


@dataclass(frozen=True, slots=True)
class Solved:
    """A plan, its cost, the bound that was proven [cost units], and the work that it took [-]."""

    plan: Plan
    cost: int
    bound: int
    work: float


def solve(problem: Problem, effort: Effort, tie: int = 1) -> Solved:
    """Return a plan of least cost, or nearly so, and a lower bound.

    Args:
        problem: Sizes, bars and costs [grid units, cost units]; a kind of bar without limit holds the largest piece.
        effort: How hard to try.
        tie: Costs that differ by less than a multiple of this differ only in second rank [cost units].

    Raises:
        ValueError: If no kind of bar without limit holds the largest piece.

    Source: P. Gilmore, R. Gomory, Operations Research 9 (1961) for the column generation (from memory); see the parts.

    >>> solved = solve(Problem((36, 31, 14), (3, 2, 4), (100,), (1,), (None,)), Effort())
    >>> solved.cost, solved.bound
    (3, 3)
    """
    meter = Meter(effort.work)
    small = problem.reduced()
    plan = quick_plan(small, Meter(1e18), subset_sum=False)
    if plan is None:
        msg = "no kind of bar without limit holds the largest piece"
        raise ValueError(msg)
    best = Best(plan, plan_cost(plan, small.costs), _quick_bound(small))
    best.goal = reachable_cost(best.goal, best.cost, small)
    if not best.reached:
        share = meter.share(0.05)
        better = quick_plan(small, share)
        meter.spend(share.spent)
        if better:
            best.offer(better, small)
    if not best.reached:
        _by_columns(small, best, effort, (meter, tie))
    final = trimmed(best.plan, problem.demands)
    cost = plan_cost(final, problem.costs)
    return Solved(final, cost, min(best.goal, cost), meter.spent)


def _quick_bound(problem: Problem) -> int:
    bound = area_bound(problem)
    if problem.single:
        bars = big_piece_bound(problem.sizes, problem.demands, problem.capacities[0])
        bound = max(bound, bars * problem.costs[0])
    return bound


def _by_columns(problem: Problem, best: Best, effort: Effort, measure: tuple[Meter, int]) -> None:
    """Better plan and bound by column generation. Imports the solver only here: quick plans stay quick."""
    from handbarrow.laws.cutting.columns import Columns
    from handbarrow.laws.cutting.dive import Dive

    meter, tie = measure
    columns = Columns(problem, meter)
    columns.add(best.plan)
    columns.generate(problem.demands, problem.limits)
    if not len(columns.values):
        return
    prices, worth, unit = columns.whole_prices()
    need = sum(int(p) * d for p, d in zip(prices.tolist(), problem.demands, strict=True))
    proven, choices = bar_choices(worth, need, problem, best.cost, CHOICES)
    best.goal = max(best.goal, proven)
    attempts = [Dive(columns, best, 0)]
    if problem.single:
        attempts += [Dive(columns, best, rule) for rule in (1, 2, 3)]
    else:
        attempts += [Dive(columns, best, rule, limits=list(c)) for c in choices for rule in (0, 1, 2)]
    for number, dive in enumerate(attempts):
        _ease(best, meter, effort, tie)
        if best.reached or meter.empty:
            return
        if not dive.limits or _choice_cost(dive.limits, problem) < best.cost:
            dive.run()
        if number == 0 and problem.single and not best.reached:
            _by_values(problem, best, effort, meter)
    if problem.single:
        _by_enumeration(columns, best, (prices.tolist(), unit, need), effort)
    for step in range(effort.dives):
        _ease(best, meter, effort, tie)
        if best.reached or meter.empty:
            return
        Dive(columns, best, step % 4, skip=step // 4).run()


def _ease(best: Best, meter: Meter, effort: Effort, tie: int) -> None:
    """Once the cost is proven and only the second rank is open, leave but a part of the effort."""
    if tie > 1 and best.cost // tie == best.goal // tie:
        meter.limit = min(meter.limit, max(meter.spent, FOR_FEWER_BARS * effort.work))


def _choice_cost(limits: list[int | None], problem: Problem) -> int:
    return sum(cost * (n or 0) for cost, n in zip(problem.costs, limits, strict=True))


def _by_values(problem: Problem, best: Best, effort: Effort, meter: Meter) -> None:
    share = meter.share(0.2)
    other = corrected_values(problem, effort.value_rounds, best.goal, share)
    meter.spend(share.spent)
    if other:
        best.offer(other, problem)


def _by_enumeration(columns: Columns, best: Best, priced: tuple[list[int], int, int], effort: Effort) -> None:
    """Close the gap from below: from all patterns that a plan of cost `goal` could hold, find it or raise the bound."""
    from handbarrow.laws.cutting.enumerate import patterns_within
    from handbarrow.laws.cutting.program import whole_program

    prices, unit, need = priced
    problem, meter = columns.problem, columns.meter
    while not best.reached and not meter.empty:
        slack = best.goal * unit - need
        most = effort.patterns
        rows = patterns_within(problem, (prices, unit, slack), (most, 60 * most), meter)
        if rows is None:
            return
        plan, ended = whole_program(problem, rows, best.goal, effort.nodes, meter)
        if plan:
            best.offer(plan, problem)
        elif ended:
            best.goal += problem.costs[0]
        else:
            return
