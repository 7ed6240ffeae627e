"""The whole-number program over a given set of patterns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from handbarrow.laws.cutting.columns import solver
from handbarrow.laws.cutting.problem import Meter, Plan, Problem, trimmed

__all__ = ["whole_program"]


def whole_program(
    problem: Problem, rows: Sequence[tuple[int, tuple[int, ...]]], goal: int, nodes: int, meter: Meter
) -> tuple[Plan | None, bool]:
    """Seek a plan of cost `goal` or less from the given patterns.

    Args:
        problem: One kind of bar without limit.
        rows: Patterns.
        goal: Cost wanted [cost units].
        nodes: Nodes after which it gives up [-].
        meter: Work is added here.

    Returns:
        The plan, if one was found, and whether it is proven that there is none where none was found.

    Source: HiGHS branch and cut; its answer is checked in whole numbers before it is taken.
    """
    most_bars = goal // problem.costs[0]
    if not rows:
        return None, True
    highs = solver()
    highs.setOptionValue("mip_max_nodes", nodes)
    highs.passModel(_model(problem, rows, most_bars))
    highs.run()
    iterations = max(highs.getInfoValue("simplex_iteration_count")[1], 0)
    meter.spend(1_000_000 + 60.0 * iterations * (len(problem.sizes) + len(rows)))
    values = np.array(highs.getSolution().col_value)
    if len(values) == len(rows):
        plan = {row: int(n) for row, n in zip(rows, np.rint(values).tolist(), strict=True) if n >= 1}
        made = [sum(pattern[i] * n for (_, pattern), n in plan.items()) for i in range(len(problem.sizes))]
        if sum(plan.values()) <= most_bars and all(m >= d for m, d in zip(made, problem.demands, strict=True)):
            return trimmed(plan, problem.demands), False
    return None, highs.modelStatusToString(highs.getModelStatus()) == "Infeasible"


def _model(problem: Problem, rows: Sequence[tuple[int, tuple[int, ...]]], most_bars: int) -> Any:
    """Enough of every piece from at most so many bars; the number of bars is also minimised."""
    import highspy

    count = len(rows)
    matrix = np.hstack([np.array([pattern for _, pattern in rows], dtype=np.float64), np.ones((count, 1))])
    nonzero = matrix != 0
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = count, matrix.shape[1]
    lp.col_cost_, lp.col_lower_ = np.ones(count), np.zeros(count)
    lp.col_upper_ = np.full(count, highspy.kHighsInf)
    lp.row_lower_ = np.array([*map(float, problem.demands), -highspy.kHighsInf])
    lp.row_upper_ = np.array([highspy.kHighsInf] * len(problem.demands) + [float(most_bars)])
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(nonzero.sum(axis=1))]).astype(np.int32)
    lp.a_matrix_.index_ = np.nonzero(nonzero)[1].astype(np.int32)
    lp.a_matrix_.value_ = matrix[nonzero]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * count
    return lp
