"""Rectangles from sheets by cuts from edge to edge: the cheapest set of sheets, and a bound that no plan can beat.

Sizes are whole hundredths of a mm inside. Sheets and pieces grow by one kerf: so a kerf at the edge costs nothing.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.cutting.guillotine import Grid, Placed, Rectangle, SheetPattern, best_pattern, grid_of
from handbarrow.laws.cutting.sheet_fill import fill_sheets

__all__ = ["SheetCutting", "SheetPlan", "SheetSize", "SheetWish", "UsedSheet", "plan_sheets"]

Floats = NDArray[np.float64]
UNITS = 100
"""Of length in a mm."""
MOST_ROUNDS = 30
MOST_AT_ONCE = 240
"""Pieces that are filled into sheets at once."""
SAME = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWish:
    """A blank: its size [mm], how many, and whether it may lie turned by a quarter."""

    length: float
    width: float
    demand: int
    may_turn: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """A sheet on sale: size [mm] and what it costs; `available` None: as many as wanted."""

    length: float
    width: float
    cost: float
    available: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCutting:
    """What a cut takes and what is trimmed off all edges of a new sheet [mm]."""

    kerf: float = 0.0
    trim: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedSheet:
    """A sheet cut `count` times: pieces as (number of the wish, x, y, turned) and cuts (x0, y0, x1, y1) [mm]."""

    size: int
    count: int
    pieces: tuple[tuple[int, float, float, bool], ...]
    cuts: tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlan:
    """A plan. `lower_bound`: no plan that cuts from edge to edge costs less. `short`: more sheets than are there."""

    sheets: tuple[UsedSheet, ...]
    cost: float
    lower_bound: float
    proven: bool
    short: bool = False

    @property
    def gap(self) -> float:
        """How much less a plan could cost at most, as a share of the bound."""
        return (self.cost - self.lower_bound) / self.lower_bound if self.lower_bound > 0 else 0.0


@dataclass(frozen=True, slots=True)
class _Column:
    size: int
    pattern: SheetPattern
    counts: tuple[int, ...]


def plan_sheets(wishes: Sequence[SheetWish], sizes: Sequence[SheetSize], rule: SheetCutting) -> SheetPlan:
    """Return a plan of least cost, as near as it was found, with its bound.

    Args:
        wishes: Blanks [mm]; each must fit at least one size.
        sizes: Sheets on sale [mm, any currency].
        rule: Kerf and trim [mm].

    Raises:
        ValueError: If a blank fits no sheet.

    Source: column generation after P. C. Gilmore and R. E. Gomory 1965 (from memory), all guillotine patterns priced
    exactly; whole numbers of sheets by a mixed-integer program over the patterns found; bound: the linear program, or
    areas and dual feasible functions (S. P. Fekete and J. Schepers 2004, from memory) where the grid is coarse.
    """
    pieces = [_rectangle(wish, rule) for wish in wishes]
    grids = [_grid(size, pieces, rule) for size in sizes]
    demand = np.array([wish.demand for wish in wishes], float)
    for k in range(len(pieces)):
        if not any(_single(grid, k) for grid in grids):
            raise ValueError(f"piece {k} fits no sheet")
    costs = np.array([size.cost for size in sizes])
    bound = _bound_of_areas((wishes, pieces, demand), sizes, grids, rule)
    plan = _filled(grids, pieces, demand, sizes, bound)
    cost, short = _cost(plan, sizes), False
    if plan is None or cost > bound * (1 + SAME):
        columns = _first(grids, pieces) + [column for column, _ in plan or ()]
        linear, finished = _generate(columns, grids, (demand, costs))
        if finished and all(grid.exact for grid in grids):
            bound = max(bound, _reachable(linear, sizes))
        better, short = _by_program(columns, demand, sizes)
        plan = better if plan is None or _cost(better, sizes) < cost - SAME else plan
        cost = _cost(plan, sizes)
    bound = min(bound, cost)
    return SheetPlan(
        sheets=_used(plan or [], demand, rule), cost=cost, lower_bound=bound,
        proven=cost - bound <= 1e-6 * max(cost, 1.0) and not short, short=short,
    )  # fmt: skip


Columns = list[tuple[_Column, int]]


def _cost(plan: Columns | None, sizes: Sequence[SheetSize]) -> float:
    return math.inf if plan is None else float(sum(n * sizes[c.size].cost for c, n in plan))


def _single(grid: Grid, piece: int) -> bool:
    return any(a <= grid.x[-1] and b <= grid.y[-1] for a, b, _ in grid.pieces[piece].ways())


def _by_program(columns: list[_Column], demand: Floats, sizes: Sequence[SheetSize]) -> tuple[Columns, bool]:
    """The best whole numbers of sheets, and whether there are too few of them on sale."""
    counts, short = _whole(columns, demand, sizes), False
    if counts is None:
        free = [SheetSize(length=s.length, width=s.width, cost=s.cost) for s in sizes]
        counts, short = _whole(columns, demand, free), True
    if counts is None:
        raise ValueError("no whole number of sheets was found")
    return [(column, n) for column, n in zip(columns, counts, strict=True) if n], short


# ------------------------------------------------------------------------------------------------ sheet after sheet
def _filled(
    grids: Sequence[Grid], pieces: Sequence[Rectangle], demand: Floats, sizes: Sequence[SheetSize], bound: float
) -> Columns | None:
    """Sheets of one size filled piece by piece; the cheapest size. None: no size holds all, or has enough sheets.

    Of a large batch a part is filled and repeated, as large as there is time for; the rest is filled by itself.
    """
    best: Columns | None = None
    many = max(1, math.ceil(float(demand.sum()) / MOST_AT_ONCE))
    share = (demand // many).astype(int)
    rest = demand.astype(int) - share * many
    for number, (size, grid) in enumerate(zip(sizes, grids, strict=True)):
        if not all(_single(grid, k) for k in range(len(pieces))):
            continue
        room = (int(grid.x[-1]), int(grid.y[-1]))
        enough = math.floor(bound / size.cost + 1e-6) if size.cost > 0 and many == 1 else 0
        found: Columns = []
        for wanted, times in ((share, many), (rest, 1)):
            if wanted.any():
                tries = min(600, 20_000 // max(int(wanted.sum()), 1))
                patterns = fill_sheets(pieces, wanted.tolist(), room, enough, tries)
                found += [(_Column(number, p, p.counts(len(pieces))), times) for p in patterns]
        enough_on_sale = size.available is None or sum(n for _, n in found) <= size.available
        if enough_on_sale and _cost(found, sizes) < _cost(best, sizes) - SAME:
            best = found
    return best


def _rectangle(wish: SheetWish, rule: SheetCutting) -> Rectangle:
    length, width = (math.ceil((v + rule.kerf) * UNITS - 1e-6) for v in (wish.length, wish.width))
    return Rectangle(length=length, width=width, may_turn=wish.may_turn)


def _grid(size: SheetSize, pieces: Sequence[Rectangle], rule: SheetCutting) -> Grid:
    length, width = (math.floor((v - 2 * rule.trim + rule.kerf) * UNITS + 1e-6) for v in (size.length, size.width))
    return grid_of(max(length, 1), max(width, 1), pieces)


# ------------------------------------------------------------------------------------------------ columns
def _first(grids: Sequence[Grid], pieces: Sequence[Rectangle]) -> list[_Column]:
    """For each size one pattern full of each piece alone, and one of most area."""
    alone = [[float(j == k) for j in range(len(pieces))] for k in range(len(pieces))]
    areas = [float(p.length * p.width) for p in pieces]
    out = []
    for size, grid in enumerate(grids):
        for worth in (*alone, areas):
            found = best_pattern(grid, worth)[1]
            if found.pieces:
                out.append(_Column(size, found, found.counts(len(pieces))))
    return out


def _generate(columns: list[_Column], grids: Sequence[Grid], problem: tuple[Floats, Floats]) -> tuple[float, bool]:
    """Add patterns until none is worth more than its sheet; the value of the linear program, and whether that is so."""
    from scipy.optimize import linprog

    demand, costs = problem
    value = 0.0
    for _ in range(MOST_ROUNDS):
        matrix = np.array([c.counts for c in columns], float).T
        found = linprog([costs[c.size] for c in columns], A_ub=-matrix, b_ub=-demand, method="highs")
        if found.status != 0:
            return 0.0, False
        value = float(found.fun)
        worth = np.maximum(-found.ineqlin.marginals, 0.0)
        more = False
        for size, grid in enumerate(grids):
            best, pattern = best_pattern(grid, worth.tolist())
            if best > costs[size] * (1 + SAME) + SAME:
                column = _Column(size, pattern, pattern.counts(len(demand)))
                if column.counts not in [c.counts for c in columns if c.size == size]:
                    columns.append(column)
                    more = True
        if not more:
            return value, True
    return value, False


def _whole(columns: list[_Column], demand: Floats, sizes: Sequence[SheetSize]) -> list[int] | None:
    """Whole numbers of sheets of least cost over the patterns; None: there are not enough sheets."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    matrix = np.array([c.counts for c in columns], float).T
    rows = [LinearConstraint(matrix, demand, np.inf)]
    for k, size in enumerate(sizes):
        if size.available is not None:
            rows.append(LinearConstraint(np.array([float(c.size == k) for c in columns]), 0, size.available))
    cost = np.array([sizes[c.size].cost for c in columns])
    used = np.full(len(columns), 1e-7 * max(float(cost.max(initial=0.0)), 1.0))
    found = milp(
        cost + used, constraints=rows, integrality=np.ones(len(columns)), bounds=Bounds(0, np.inf),
        options={"node_limit": 4000, "mip_rel_gap": 0.0},
    )  # fmt: skip
    return None if found.x is None else [round(float(v)) for v in found.x]


# ------------------------------------------------------------------------------------------------ bounds
def _bound_of_areas(
    wanted: tuple[Sequence[SheetWish], Sequence[Rectangle], Floats],
    sizes: Sequence[SheetSize],
    grids: Sequence[Grid],
    rule: SheetCutting,
) -> float:
    wishes, pieces, demand = wanted
    bound = _reachable(_area_bound(wishes, sizes, rule), sizes)
    if len(sizes) == 1:
        bound = max(bound, _dual_bound(pieces, demand, grids[0]) * sizes[0].cost)
    return bound


def _reachable(bound: float, sizes: Sequence[SheetSize]) -> float:
    """The least sum of prices of sheets that is no less than a bound."""
    if any(s.cost <= 0 for s in sizes):
        return bound
    if len(sizes) == 1:
        return math.ceil(bound / sizes[0].cost - 1e-6) * sizes[0].cost
    first, *others = sorted((s.cost for s in sizes), reverse=True)
    best = math.inf
    for n in range(math.ceil(bound / first - 1e-6) + 1):
        rest = bound - n * first
        best = min(best, n * first + (min(math.ceil(rest / c - 1e-6) * c for c in others) if rest > 1e-6 else 0.0))
    return best if len(sizes) == 2 else bound


def _area_bound(wishes: Sequence[SheetWish], sizes: Sequence[SheetSize], rule: SheetCutting) -> float:
    """Cost of the area at the cheapest price per area."""
    k, t = rule.kerf, 2 * rule.trim
    area = sum((w.length + k) * (w.width + k) * w.demand for w in wishes)
    price = min(s.cost / ((s.length - t + k) * (s.width - t + k)) for s in sizes)
    return area * price


def _dual_bound(pieces: Sequence[Rectangle], demand: Floats, grid: Grid) -> int:
    """Sheets that are needed by areas seen through dual feasible functions, the lesser of both ways to lie."""
    length, width = int(grid.x[-1]), int(grid.y[-1])
    steps = [0.0, *sorted({min(v / length, 0.5) for p in pieces for v in (p.length, p.width) if v <= length})]
    best = 0
    for e, f in itertools.product(steps[:12], steps[:12]):
        total = 0.0
        for piece, count in zip(pieces, demand, strict=True):
            ways = [
                _seen(along / length, e) * _seen(across / width, f)
                for along, across, _ in piece.ways()
                if along <= length and across <= width
            ]
            total += count * min(ways, default=0.0)
        best = max(best, math.ceil(total - 1e-6))
    return best


def _seen(share: float, limit: float) -> float:
    """Large pieces count whole, small ones nothing, the rest as they are."""
    if limit <= 0:
        return share
    return 1.0 if share > 1 - limit + 1e-12 else 0.0 if share < limit - 1e-12 else share


# ------------------------------------------------------------------------------------------------ the plan
def _used(plan: Columns, demand: Floats, rule: SheetCutting) -> tuple[UsedSheet, ...]:
    """Sheets with no more pieces than are wanted: what is too much is left out of the last ones."""
    left = demand.astype(int).tolist()
    out: list[UsedSheet] = []
    for whole, count in sorted(plan, key=lambda used: -sum(used[0].counts)):
        remaining = count
        while remaining > 0:
            kept = _kept(whole, left)
            need = [sum(p.piece == j for p in kept) for j in range(len(left))]
            times = remaining if kept == list(whole.pattern.pieces) else 1
            times = max(1, min([times, *(left[j] // need[j] for j in range(len(left)) if need[j])]))
            left = [v - n * times for v, n in zip(left, need, strict=True)]
            remaining -= times
            if kept:
                out.append(_as_mm(whole, kept, times, rule))
    return tuple(out)


def _kept(column: _Column, left: Sequence[int]) -> list[Placed]:
    rest, kept = list(left), []
    for one in column.pattern.pieces:
        if rest[one.piece] > 0:
            rest[one.piece] -= 1
            kept.append(one)
    return kept


def _as_mm(column: _Column, kept: Sequence[Placed], times: int, rule: SheetCutting) -> UsedSheet:
    t = rule.trim
    return UsedSheet(
        size=column.size,
        count=times,
        pieces=tuple((p.piece, t + p.x / UNITS, t + p.y / UNITS, p.turned) for p in kept),
        cuts=tuple(
            (t + c.x0 / UNITS, t + c.y0 / UNITS, t + c.x1 / UNITS, t + c.y1 / UNITS) for c in column.pattern.cuts
        ),
    )
