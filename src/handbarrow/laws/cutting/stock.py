"""Cutting one stock: lengths in mm and prices in, bars with their pieces out. The doorway to this room."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from handbarrow.laws.cutting.offcuts import draw_together, slack_of
from handbarrow.laws.cutting.problem import Meter, Plan, Problem, plan_cost
from handbarrow.laws.cutting.solve import Effort, Solved, solve

__all__ = ["BarSize", "CutItem", "Cutting", "PlannedBar", "StockPlan", "effort_for", "plan_bars", "reckoning"]

FINE, COARSE = 100.0, 10.0
"""Grid steps to the millimetre."""
MOST_STEPS = 40_000
"""Bars of more grid steps than this are reckoned in tenths of a millimetre."""
MOST_COARSE_STEPS = 300_000
"""Bars of more steps than this (30 m) are reckoned coarser still."""
LARGEST_COST = 10**8
"""Costs of more steps than this are rounded: more digits than any price list has."""
Inputs = tuple[Sequence["CutItem"], Sequence["BarSize"], "Cutting"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutItem:
    """So many pieces of one length [mm]."""

    length: float
    demand: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BarSize:
    """A length to cut from.

    Attributes:
        length: Length of the bar [mm].
        cost: Cost of one bar, 0 for an off-cut [any unit].
        available: How many there are; None: as many as wanted [-].
        off_cut: From the rack, not from the shop.
    """

    length: float
    cost: float
    available: int | None = None
    off_cut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """How bars are cut [mm]: kerf of the saw, trim taken off each end of a bar, least useful off-cut."""

    kerf: float = 0.0
    trim: float = 0.0
    useful: float = math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedBar:
    """A pattern, cut `count` times.

    Attributes:
        size: Index into the bar sizes given.
        pieces: (index into the items given, how many), longest first.
        left: What is left in one piece behind the last cut [mm], 0 if that is not useful.
        wanting: These bars are more than there are.
    """

    size: int
    count: int
    pieces: tuple[tuple[int, int], ...]
    left: float
    wanting: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPlan:
    """Plan of one stock.

    Attributes:
        bars: Bars to cut, shop before rack, longest first.
        cost: Sum of the bars' costs; those wanting are counted too [unit of cost].
        lower_bound: No plan costs less [unit of cost].
        proven: Whether the cost is proven least.
        work: Work units it took [-].
    """

    bars: tuple[PlannedBar, ...]
    cost: float
    lower_bound: float
    proven: bool
    work: float

    @property
    def gap(self) -> float:
        """(cost - lower bound) / lower bound; 0 if proven."""
        return 0.0 if self.proven else (self.cost - self.lower_bound) / max(self.lower_bound, 1e-9)


@dataclass(frozen=True, slots=True)
class Reckoning:
    """A stock in whole numbers, and the way back.

    Attributes:
        problem: The whole-number problem.
        grid: Grid steps to the millimetre.
        items: For each size, the items of that size.
        kinds: For each kind of bar, the bar size and whether it stands for bars that are wanting.
        money: Whole-number cost of one bar of each kind without the count of bars.
        unit: What one whole-number cost is in the caller's unit.
        beyond: What a bar that is wanting costs on top of its price.
        tie: Cost steps to one step of money: costs are money x tie + 1 for each bar.
    """

    problem: Problem
    grid: float
    items: tuple[tuple[int, ...], ...]
    kinds: tuple[tuple[int, bool], ...]
    money: tuple[int, ...]
    unit: float
    beyond: int
    tie: int


def effort_for(pieces: int) -> Effort:
    """Effort that suits a number of pieces: a few pieces are not worth seconds [work units].

    Source: measured on the project's own batches; see benchmarks.
    """
    return Effort(work=min(1.5e8 + 3.0e6 * pieces, 2.8e9))


def _up(value: float, grid: float) -> int:
    return math.ceil(round(value * grid, 4))


def _down(value: float, grid: float) -> int:
    return math.floor(round(value * grid, 4))


def _grid(items: Sequence[CutItem], bars: Sequence[BarSize], rule: Cutting) -> float:
    """Hundredths of a millimetre where lengths are round enough to be divided, else tenths; coarser for huge bars."""
    sizes = [max(1, _up(item.length + rule.kerf, FINE)) for item in items if item.demand]
    longest = max(bar.length for bar in bars)
    if longest * FINE / math.gcd(*sizes) <= MOST_STEPS:
        return FINE
    grid = COARSE
    while longest * grid > MOST_COARSE_STEPS:
        grid /= 10
    return grid


def _whole_costs(costs: Sequence[float]) -> tuple[list[int], float]:
    """Costs as whole numbers without common divisor, and what one is worth."""
    exact = [Decimal(repr(float(c))) for c in costs]
    digits = min(max((-int(d.normalize().as_tuple().exponent) for d in exact), default=0), 6)
    while digits > -9 and max(exact).scaleb(digits) > LARGEST_COST:
        digits -= 1
    whole = [round(d.scaleb(digits)) for d in exact]
    divisor = max(math.gcd(*whole), 1)
    return [w // divisor for w in whole], divisor / 10.0**digits


def reckoning(items: Sequence[CutItem], bars: Sequence[BarSize], rule: Cutting) -> Reckoning:
    """Turn a stock into whole numbers: lengths [mm] of pieces rounded up, of bars down.

    No bar is ever overfilled so.

    Where bars are too few, further ones are let in at a cost above that of all bars there are.

    Source: n pieces need sum of lengths + kerf (n - 1); both sides + kerf gives sizes that simply add up.
    """
    grid = _grid(items, bars, rule)
    by_size: dict[int, list[int]] = {}
    shortest = min(item.length for item in items if item.demand > 0)
    usable = [bar.length - 2 * rule.trim for bar in bars]
    room = [max(1, _down(u + rule.kerf, grid)) if u >= shortest else 0 for u in usable]
    for i, item in enumerate(items):
        if item.demand > 0:
            # A piece that fits the longest bar by itself must not be rounded out of it.
            size = max(1, min(_up(item.length + rule.kerf, grid), max(room)))
            by_size.setdefault(size, []).append(i)
    sizes = sorted(by_size, reverse=True)
    demands = [sum(items[i].demand for i in by_size[s]) for s in sizes]
    money, unit = _whole_costs([bar.cost for bar in bars])
    kinds = [(b, False) for b in range(len(bars)) if room[b] >= sizes[-1] and bars[b].available != 0]
    if not any(bars[b].available is None and room[b] >= sizes[0] for b, _ in kinds):
        able = [b for b in range(len(bars)) if bars[b].available is not None and room[b] >= sizes[0]]
        kinds += [(b, True) for b in [b for b in able if not bars[b].off_cut] or able]
    beyond = sum(money[b] * (bars[b].available or 0) for b, _ in kinds) + max(money) + 1
    limits = [None if wanting else bars[b].available for b, wanting in kinds]
    capacities = [room[b] for b, _ in kinds]
    total = sum(s * d for s, d in zip(sizes, demands, strict=True))
    pieces = sum(demands)
    most = [min(2 * total // c + 1, pieces) for c in capacities]
    bound_on_bars = sum(m if u is None else min(m, u) for m, u in zip(most, limits, strict=True))
    tie = 1 if len(kinds) == 1 else bound_on_bars + 1
    plain = [money[b] + (beyond if wanting else 0) for b, wanting in kinds]
    costs = [1] if len(kinds) == 1 else [m * tie + 1 for m in plain]
    problem = Problem(tuple(sizes), tuple(demands), tuple(capacities), tuple(costs), tuple(limits))
    return Reckoning(
        problem, grid, tuple(tuple(by_size[s]) for s in sizes), tuple(kinds), tuple(plain), unit, beyond, tie
    )


def plan_bars(
    items: Sequence[CutItem], bars: Sequence[BarSize], rule: Cutting, effort: Effort | None = None
) -> StockPlan:
    """Plan the cutting of one stock: least cost, then fewest bars, then useful off-cuts in few pieces.

    Args:
        items: Lengths and how many of each [mm].
        bars: Lengths on sale and off-cuts in the rack, with costs.
        rule: Kerf, trim at each end, least useful off-cut [mm].
        effort: How hard to try; None: what suits the number of pieces.

    Returns:
        The plan. Every piece is in it once. Bars that are more than there are say so (`wanting`).

    Raises:
        ValueError: If a piece is longer than every bar less its trims, or a length or count is not positive.

    Source: the parts of this room; lengths are reckoned in hundredths of a millimetre where they are round, else in
    tenths, pieces rounded up and bars down; the bound holds for lengths so rounded.

    >>> plan = plan_bars([CutItem(length=1180, demand=10)], [BarSize(length=6000, cost=6000)], Cutting(kerf=2))
    >>> [(bar.count, bar.pieces) for bar in plan.bars], plan.cost, plan.proven
    ([(2, ((0, 5),))], 12000.0, True)
    """
    if not any(item.demand for item in items):
        return StockPlan(bars=(), cost=0.0, lower_bound=0.0, proven=True, work=0.0)
    _refuse_nonsense(items, bars, rule)
    reckoned = reckoning(items, bars, rule)
    problem = reckoned.problem
    solved = solve(problem, effort or effort_for(sum(problem.demands)), reckoned.tie)
    plan = solved.plan
    if math.isfinite(rule.useful):
        plan = draw_together(problem, plan, _up(rule.useful + rule.kerf - rule.trim, reckoned.grid), Meter(5e7))
    return _in_mm(reckoned, plan, solved, (items, bars, rule))


def _refuse_nonsense(items: Sequence[CutItem], bars: Sequence[BarSize], rule: Cutting) -> None:
    usable = max((b.length for b in bars), default=0.0) - 2 * rule.trim
    for item in items:
        if not 0 < item.length <= usable or item.demand < 0:
            msg = f"length={item.length} must lie above 0 and up to {usable}, demand={item.demand} must not be negative"
            raise ValueError(msg)


def _money(whole: int, reckoned: Reckoning, *, as_bound: bool) -> int:
    """Cost without the count of bars; of a bound the least that it allows."""
    if len(reckoned.kinds) == 1:
        return whole * reckoned.money[0]
    return max(0, -(-(whole - reckoned.tie + 1) // reckoned.tie)) if as_bound else whole // reckoned.tie


def _in_mm(reckoned: Reckoning, plan: Plan, solved: Solved, inputs: Inputs) -> StockPlan:
    items, bars, rule = inputs
    left_items = [item.demand for item in items]

    def place(bar: tuple[int, tuple[int, ...]]) -> tuple[bool, float, bool, list[int]]:
        size, wanting = reckoned.kinds[bar[0]]
        return bars[size].off_cut, -bars[size].length, wanting, [-n for n in bar[1]]

    out = []
    for bar in sorted(plan, key=place):
        size, wanting = reckoned.kinds[bar[0]]
        left = slack_of(reckoned.problem, bar) / reckoned.grid + rule.trim - rule.kerf
        left = round(left, 2) if left >= rule.useful else 0.0
        for count, pieces in _dealt(reckoned.items, bar[1], plan[bar], left_items):
            out.append(PlannedBar(size=size, count=count, pieces=pieces, left=left, wanting=wanting))
    cost = _money(plan_cost(plan, reckoned.problem.costs), reckoned, as_bound=False)
    bound = min(_money(solved.bound, reckoned, as_bound=True), cost)
    extra = reckoned.beyond * sum(bar.count for bar in out if bar.wanting)
    return StockPlan(
        bars=tuple(out),
        cost=round((cost - extra) * reckoned.unit, 6),
        lower_bound=round(max(bound - extra, 0) * reckoned.unit, 6),
        proven=bound == cost,
        work=solved.work,
    )


def _dealt(
    items: Sequence[Sequence[int]], pattern: Sequence[int], times: int, left: list[int]
) -> list[tuple[int, tuple[tuple[int, int], ...]]]:
    """Say which items the pieces of a pattern are, the one with most left first; split it where they run out."""
    out = []
    while times > 0:
        pieces, count = _chosen(items, pattern, times, left)
        if count == 0:
            pieces, count = _chosen(items, pattern, 1, left)
        for i, n in pieces:
            left[i] -= n * count
        out.append((count, pieces))
        times -= count
    return out


def _chosen(
    items: Sequence[Sequence[int]], pattern: Sequence[int], times: int, left: Sequence[int]
) -> tuple[tuple[tuple[int, int], ...], int]:
    """Items for one bar and how many of the `times` bars they do for."""
    pieces: dict[int, int] = {}
    for size, many in enumerate(pattern):
        for _ in range(many):
            i = max(items[size], key=lambda item: (left[item] - times * pieces.get(item, 0), -item))
            pieces[i] = pieces.get(i, 0) + 1
    order = [(i, pieces[i]) for members in items for i in members if i in pieces]
    return tuple(order), min([times, *(left[i] // n for i, n in order)])
