"""Column generation: a linear program over patterns that grows by pricing, and the bound it proves.

`highspy` is imported when the first linear program is built: plans that need none stay quick.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from handbarrow.laws.cutting.knapsack import best_patterns, value_table
from handbarrow.laws.cutting.problem import Meter, Problem

__all__ = ["Columns", "solver"]

TOLERANCE = 1e-9
COLUMNS_A_ROUND = 8
COARSE = 6000
LACK = -1
TOO_LARGE = 2.0**59
LACK_COST = 3.0
Floats = npt.NDArray[np.float64]


def solver() -> Any:
    """Return a silent HiGHS with one thread and a fixed seed: the same input gives the same output [-].

    Source: HiGHS, an open linear and whole-number program solver, through `highspy`.
    """
    import highspy

    # The Python class prints a banner on standard output while it is built; the class below it does not.
    quiet: Any = highspy.Highs.__base__
    highs = quiet()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("random_seed", 7)
    return highs


class Columns:
    """The patterns found so far and the linear program over them.

    Rows: at least the demand of each size; then at most the limit of each kind of bar that has one. Costs are divided
    by the largest one.
    """

    def __init__(self, problem: Problem, meter: Meter) -> None:
        self.problem, self.meter = problem, meter
        self.items = len(problem.sizes)
        self.scale = float(max(problem.costs))
        self.limited = list(range(len(problem.costs))) if len(problem.costs) > 1 else []
        self.kinds: list[int] = []
        self.patterns: list[tuple[int, ...]] = []
        self.known: set[tuple[int, tuple[int, ...]]] = set()
        self.matrix = np.zeros((64, self.items), dtype=np.int64)
        self.values: Floats = np.zeros(0)
        self.duals: Floats = np.zeros(self.items + len(self.limited))
        self.objective = 0.0
        self.closed: npt.NDArray[np.bool_] = np.zeros(64, dtype=np.bool_)
        self.flip = False
        self._build()

    def _build(self) -> None:
        import highspy

        self.infinity = highspy.kHighsInf
        self.lp = solver()
        self.lp.setOptionValue("presolve", "off")
        self.lp.setOptionValue("primal_feasibility_tolerance", 1e-9)
        self.lp.setOptionValue("dual_feasibility_tolerance", 1e-9)
        empty_index, empty_value = np.zeros(0, dtype=np.int32), np.zeros(0)
        for demand in self.problem.demands:
            self.lp.addRow(float(demand), self.infinity, 0, empty_index, empty_value)
        for b in self.limited:
            self.lp.addRow(-self.infinity, self._most(self.problem.limits[b]), 0, empty_index, empty_value)
        # A piece without a bar, dearer than any bar: whatever is left to cut, the program has an answer.
        for i in range(self.items):
            self.lp.addCol(LACK_COST, 0.0, self.infinity, 1, np.array([i], dtype=np.int32), np.ones(1))
            self.kinds.append(LACK)
            self.patterns.append(tuple(int(j == i) for j in range(self.items)))
            self._grow()
            self.matrix[i, i] = 1

    def _most(self, limit: int | None) -> float:
        return float(self.infinity) if limit is None else float(limit)

    def _grow(self) -> None:
        if len(self.patterns) >= len(self.matrix):
            self.matrix = np.vstack([self.matrix, np.zeros_like(self.matrix)])
            self.closed = np.concatenate([self.closed, np.zeros_like(self.closed)])

    def add(self, rows: Iterable[tuple[int, tuple[int, ...]]]) -> int:
        """Add patterns that are not known yet; return how many were new."""
        new = 0
        for kind, pattern in rows:
            if (kind, pattern) in self.known or not any(pattern):
                continue
            self.known.add((kind, pattern))
            n = len(self.patterns)
            self._grow()
            self.matrix[n] = pattern
            self.kinds.append(kind)
            self.patterns.append(pattern)
            index = [i for i, count in enumerate(pattern) if count]
            value = [float(pattern[i]) for i in index]
            if kind in self.limited:
                index.append(self.items + self.limited.index(kind))
                value.append(1.0)
            cost = self.problem.costs[kind] / self.scale
            self.lp.addCol(
                cost, 0.0, self.infinity, len(index), np.array(index, dtype=np.int32), np.array(value, dtype=np.float64)
            )
            new += 1
        return new

    def want(self, demands: Sequence[int], limits: Sequence[int | None]) -> None:
        """Set what is still to be cut; patterns that hold more than that are closed."""
        for i, demand in enumerate(demands):
            self.lp.changeRowBounds(i, float(demand), self.infinity)
        for row, b in enumerate(self.limited):
            self.lp.changeRowBounds(self.items + row, -self.infinity, self._most(limits[b]))
        n = len(self.patterns)
        too_much: npt.NDArray[np.bool_] = np.max(self.matrix[:n] - np.array(demands), axis=1) > 0
        too_much[: self.items] = False
        for j in np.nonzero(too_much != self.closed[:n])[0].tolist():
            self.lp.changeColBounds(j, 0.0, 0.0 if too_much[j] else self.infinity)
        self.closed[:n] = too_much

    def solve(self) -> bool:
        """Solve the linear program over the known patterns; False if HiGHS gives no optimum."""
        self.lp.run()
        if self.lp.modelStatusToString(self.lp.getModelStatus()) != "Optimal":
            return False
        solution = self.lp.getSolution()
        self.values = np.array(solution.col_value)
        self.duals = np.array(solution.row_dual)
        self.objective = self.lp.getObjectiveValue() * self.scale
        iterations = self.lp.getInfoValue("simplex_iteration_count")[1]
        self.meter.spend(20_000 + 40 * (max(iterations, 0) + 5) * (self.items + len(self.patterns)))
        return True

    def _price(self, demands: Sequence[int], limits: Sequence[int | None], coarse: bool) -> bool:
        """Look for patterns that better the linear program; True if there were any.

        Coarse pricing rounds sizes up to a grid of at most `COARSE` steps: what it finds fits, but it may find nothing
        where there is something.
        """
        prices = np.maximum(self.duals[: self.items], 0.0)
        open_kinds = [b for b, limit in enumerate(limits) if limit is None or limit > 0]
        capacities = tuple(self.problem.capacities[b] for b in open_kinds)
        sizes: tuple[int, ...] = self.problem.sizes
        if coarse:
            grid = max(capacities) // COARSE + 1
            sizes, capacities = tuple(-(-s // grid) for s in sizes), tuple(c // grid for c in capacities)
        self.flip = not self.flip
        table = value_table(sizes, prices, demands, capacities, self.meter, self.flip)
        found = 0
        for place, b in enumerate(open_kinds):
            worth = self.problem.costs[b] / self.scale
            if b in self.limited:
                worth -= min(self.duals[self.items + self.limited.index(b)], 0.0)
            if table.best[capacities[place]] > worth + TOLERANCE:
                patterns = best_patterns(table, place, self.items, worth + TOLERANCE, COLUMNS_A_ROUND)
                found += self.add((b, pattern) for pattern in patterns)
        return found > 0

    def generate(self, demands: Sequence[int], limits: Sequence[int | None], rounds: int = 100_000) -> bool:
        """Solve with pricing until no pattern betters it (True), or the effort or the rounds end (False)."""
        coarse = max(self.problem.capacities) > 2 * COARSE
        for _ in range(rounds):
            if self.meter.empty or not self.solve():
                return False
            coarse = coarse and self._price(demands, limits, coarse=True)
            if not coarse and not self._price(demands, limits, coarse=False):
                return True
        return self.solve() and False

    def whole_prices(self) -> tuple[npt.NDArray[np.int64], list[int], int]:
        """Return the present prices as whole numbers, the most a bar of each kind can hold by them, and their unit.

        Where they would not fit 64 bits they are all 0: nothing is proven then.

        Source: dynamic programming in whole numbers, so that the bounds drawn from it suffer no rounding.
        """
        problem = self.problem
        prices = np.maximum(self.duals[: self.items], 0.0) * self.scale
        value = float(prices @ np.array(problem.demands)) + max(problem.costs) + 1.0
        if value >= TOO_LARGE:
            return np.zeros(self.items, dtype=np.int64), [0] * len(problem.costs), 1
        unit = min(1 << max(0, 60 - int(np.ceil(np.log2(value)))), 1 << 44)
        whole = np.floor(prices * float(unit)).astype(np.int64)
        table = value_table(problem.sizes, whole, problem.demands, problem.capacities, self.meter)
        return whole, [int(table.best[c]) for c in problem.capacities], unit
