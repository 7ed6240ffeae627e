"""Few patterns: a set of bars for k units, cut again and again, and the rest of the batch by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from handbarrow.laws.cutting.stock import BarSize, CutItem, Cutting, PlannedBar, StockPlan, plan_bars

__all__ = ["KIT_SIZES", "plan_kits"]

KIT_SIZES = (1, 2, 3, 4, 6, 8, 12)
"""Units for which a kit is tried where the caller does not say."""
DEARER = 0.03
"""Plans that cost no more than this part above the cheapest one are looked at for few patterns."""


def plan_kits(
    items: Sequence[CutItem],
    once: Sequence[CutItem],
    stock: tuple[Sequence[BarSize], Cutting],
    units: int,
    kit: int | None = None,
) -> StockPlan:
    """Plan a batch as one set of bars for `kit` units, repeated, and a rest.

    Args:
        items: Lengths [mm] and how many of each one unit takes.
        once: Pieces cut once for the batch; they come with the rest.
        stock: Bar sizes, and how they are cut. Of scarce bars each set gets an equal share.
        units: Units of the batch [-].
        kit: Units of one set [-]; None: the one of `KIT_SIZES`, or the free plan, with fewest patterns among
            those that cost at most 3 % more than the best of them.

    Returns:
        The plan; its bars refer to the items, then to those cut once. The bound is that of the free plan, so the gap
        is what repeating costs.

    Source: exact plans of `plan_bars`, added up.

    >>> plan = plan_kits([CutItem(length=1000, demand=3)], [], ([BarSize(length=6000, cost=1)], Cutting()), 9, kit=2)
    >>> [(bar.count, bar.pieces) for bar in plan.bars], plan.cost, plan.lower_bound
    ([(4, ((0, 6),)), (1, ((0, 3),))], 5.0, 5.0)
    """
    whole = [replace(item, demand=item.demand * units) for item in items]
    free = plan_bars([*whole, *once], stock[0], stock[1])
    sizes = [kit] if kit else [k for k in KIT_SIZES if k < units]
    tried = [_of_kits(items, once, stock, units, min(k, units)) for k in sizes]
    tried += [] if kit else [free]
    fewest = min(_wanting(plan) for plan in tried)
    tried = [plan for plan in tried if _wanting(plan) == fewest]
    most = min(plan.cost for plan in tried) * (1 + DEARER) + 1e-9
    chosen = min((plan for plan in tried if plan.cost <= most), key=lambda plan: len(plan.bars))
    bound = min(free.lower_bound, chosen.cost)
    return replace(chosen, lower_bound=bound, proven=abs(bound - chosen.cost) < 1e-9)


def _wanting(plan: StockPlan) -> int:
    return sum(bar.count for bar in plan.bars if bar.wanting)


def _of_kits(
    items: Sequence[CutItem], once: Sequence[CutItem], stock: tuple[Sequence[BarSize], Cutting], units: int, kit: int
) -> StockPlan:
    bars, rule = stock
    times, rest = divmod(units, kit)
    shared = [b if b.available is None else replace(b, available=b.available // times) for b in bars]
    a_set = plan_bars([replace(item, demand=item.demand * kit) for item in items], shared, rule)
    repeated = [replace(bar, count=bar.count * times) for bar in a_set.bars]
    used = [sum(bar.count for bar in repeated if bar.size == b) for b in range(len(bars))]
    remaining = [
        b if b.available is None else replace(b, available=max(b.available - u, 0))
        for b, u in zip(bars, used, strict=True)
    ]
    last = plan_bars([*(replace(item, demand=item.demand * rest) for item in items), *once], remaining, rule)
    return StockPlan(
        bars=_joined([*repeated, *last.bars]),
        cost=round(a_set.cost * times + last.cost, 6),
        lower_bound=0.0,
        proven=False,
        work=a_set.work + last.work,
    )


def _joined(bars: Sequence[PlannedBar]) -> tuple[PlannedBar, ...]:
    """Put equal bars of the set and of the rest together."""
    counts: dict[PlannedBar, int] = {}
    for bar in bars:
        key = replace(bar, count=1)
        counts[key] = counts.get(key, 0) + bar.count
    return tuple(replace(bar, count=count) for bar, count in counts.items())
