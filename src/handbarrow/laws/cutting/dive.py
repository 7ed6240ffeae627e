"""Whole-number plans from the linear program: dives that fix bars and price again."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from handbarrow.laws.cutting.columns import LACK, Columns
from handbarrow.laws.cutting.greedy import quick_plan
from handbarrow.laws.cutting.problem import Best, Plan, Problem, plan_cost

__all__ = ["Dive"]

FULL_GREEDY_BELOW = 400
"""Pieces left below which the rest is also packed greedily at each step of a dive."""


@dataclass(slots=True)
class Dive:
    """One dive from the linear program to a plan.

    Attributes:
        columns: Patterns and linear program.
        best: Better plans are put here.
        rule: How the next pattern is chosen, 0 to 3.
        skip: At this step the second-best pattern is taken; -1: never.
        limits: Bars of each kind that may be used; empty: those of the problem.
        left: Pieces still to be placed.
        fixed: Bars fixed so far.
    """

    columns: Columns
    best: Best
    rule: int
    skip: int = -1
    limits: list[int | None] = field(default_factory=list)
    left: list[int] = field(default_factory=list)
    fixed: Plan = field(default_factory=dict)

    def run(self) -> int:
        """Dive; return the number of steps made."""
        problem, columns = self.columns.problem, self.columns
        self.left, self.limits = list(problem.demands), self.limits or list(problem.limits)
        step = 0
        while any(self.left) and not columns.meter.empty and not self.best.reached:
            columns.want(self.left, self.limits)
            finished = columns.generate(self.left, self.limits, 200 if step else 100_000)
            if not len(columns.values):
                break
            if finished and self._spent() + columns.objective > self.best.cost - 1 + 1e-6 * self.best.cost:
                break
            if not self._fix_whole() and not self._fix_one(second=step == self.skip):
                break
            step += 1
            self._finish_greedily()
        columns.want(problem.demands, problem.limits)
        return step

    def _spent(self) -> int:
        return plan_cost(self.fixed, self.columns.problem.costs)

    def _take(self, j: int, times: int) -> bool:
        """Fix up to `times` bars of column j as far as they are wanted; False if none is."""
        kind, pattern = self.columns.kinds[j], self.columns.patterns[j]
        if kind == LACK:
            return False
        times = min([times, *(have // n for have, n in zip(self.left, pattern, strict=True) if n)])
        limit = self.limits[kind]
        if limit is not None:
            times = min(times, limit)
            self.limits[kind] = limit - times
        if times <= 0:
            return False
        self.left = [have - n * times for have, n in zip(self.left, pattern, strict=True)]
        self.fixed[kind, pattern] = self.fixed.get((kind, pattern), 0) + times
        return True

    def _fix_whole(self) -> bool:
        """Fix the whole part of every column."""
        values = self.columns.values
        whole = np.floor(values + 1e-6)
        taken = False
        for j in np.argsort(-values, kind="stable")[: int((whole >= 1).sum())].tolist():
            taken |= self._take(j, int(whole[j]))
        return taken

    def _fix_one(self, second: bool) -> bool:
        """Fix one bar of the column that the rule likes best (or next best); False if there is none."""
        columns, problem = self.columns, self.columns.problem
        known = len(columns.values)
        live = np.nonzero((columns.values > 1e-6) & (np.array(columns.kinds[:known]) != LACK))[0]
        if not len(live):
            return False
        sizes = np.array(problem.sizes, dtype=np.float64)
        rows = columns.matrix[live]
        room = np.array([problem.capacities[columns.kinds[j]] for j in live.tolist()], dtype=np.float64)
        part = columns.values[live]
        fill = rows @ sizes / room
        large = rows @ sizes**2 / (rows @ sizes) / max(problem.sizes)
        score = (part, part + 2 * (fill - 1), fill + 0.05 * part, part * 0.5 + large)[self.rule % 4]
        order = np.argsort(-score, kind="stable").tolist()
        wanted = order[1:] + order[:1] if second else order
        return any(self._take(int(live[j]), 1) for j in wanted)

    def _finish_greedily(self) -> None:
        """Pack what is left greedily and offer the whole."""
        problem = self.columns.problem
        if sum(self.left) > FULL_GREEDY_BELOW and any(self.left):
            return
        plan = dict(self.fixed)
        live = [i for i, n in enumerate(self.left) if n]
        if live:
            rest = Problem(
                tuple(problem.sizes[i] for i in live),
                tuple(self.left[i] for i in live),
                problem.capacities,
                problem.costs,
                tuple(self.limits),
            )
            part = quick_plan(rest, self.columns.meter, subset_sum=sum(self.left) <= FULL_GREEDY_BELOW // 4)
            if part is None:
                return
            for (kind, short), times in part.items():
                full = [0] * len(problem.sizes)
                for i, n in zip(live, short, strict=True):
                    full[i] = n
                plan[kind, tuple(full)] = plan.get((kind, tuple(full)), 0) + times
        self.best.offer(plan, problem)
