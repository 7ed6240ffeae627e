"""Dynamic programming over the capacity of a bar: the best-valued pattern for every capacity at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from handbarrow.laws.cutting.problem import Meter

__all__ = ["Table", "best_patterns", "fullest", "value_table"]

Values = npt.NDArray[Any]
"""float64 for prices, int64 where the answer must be exact."""


@dataclass(frozen=True, slots=True)
class Table:
    """Result of one run.

    Attributes:
        best: Value of the best pattern for each capacity 0..C [value units].
        steps: (item, how many, size, value) of each pass.
        take: Whether a pass is taken, one row a pass, one column a capacity.
        forced: Value of the best pattern that takes pass p, none after it, one column a kind of bar.
    """

    best: Values
    steps: tuple[tuple[int, int, int], ...]
    take: npt.NDArray[np.bool_]
    forced: Values
    kinds: tuple[int, ...]

    def pattern(self, capacity: int, items: int, last: int | None = None) -> tuple[int, ...]:
        """Return the best pattern of a capacity; with `last`, the best that takes that pass and none after it."""
        counts = [0] * items
        p = len(self.steps) - 1
        if last is not None:
            item, many, size = self.steps[last]
            counts[item] += many
            capacity -= size
            p = last - 1
        take, steps = self.take, self.steps
        while p >= 0 and capacity > 0:
            if take[p, capacity]:
                item, many, size = steps[p]
                counts[item] += many
                capacity -= size
            p -= 1
        return tuple(counts)


def _passes(sizes: Sequence[int], counts: Sequence[int], order: Sequence[int], room: int) -> list[tuple[int, int, int]]:
    """Split each item's count into 1, 2, 4, ... and a rest, so that every count can be put together."""
    out = []
    for i in order:
        left = min(counts[i], room // sizes[i])
        many = 1
        while left > 0:
            many = min(many, left)
            out.append((i, many, many * sizes[i]))
            left -= many
            many *= 2
    return out


def value_table(
    sizes: Sequence[int],
    values: Values,
    counts: Sequence[int],
    kinds: tuple[int, ...],
    meter: Meter,
    flip: bool = False,
) -> Table:
    """Fill the table for the largest of `kinds` (the capacities of the bars).

    Args:
        sizes: Piece sizes [grid units].
        values: Value of one piece of each; those of value 0 or less are left out.
        counts: How many of each a pattern may hold [-].
        kinds: Capacities [grid units].
        meter: Work is added here.
        flip: Pass the items in opposite order (gives other patterns of like value).

    Source: bounded knapsack by dynamic programming, counts split in powers of two (S. Martello, P. Toth, 1990, ch. 3).
    """
    room = max(kinds)
    order = [i for i in range(len(sizes)) if values[i] > 0 and sizes[i] <= room]
    steps = _passes(sizes, counts, order[::-1] if flip else order, room)
    best: Values = np.zeros(room + 1, dtype=values.dtype)
    take = np.zeros((len(steps), room + 1), dtype=np.bool_)
    forced: Values = np.full((len(steps), len(kinds)), -1, dtype=values.dtype)
    for p, (i, many, size) in enumerate(steps):
        with_it = best[: room + 1 - size] + many * values[i]
        old = best[size:]
        np.greater(with_it, old, out=take[p, size:])
        np.maximum(old, with_it, out=old)
        for b, capacity in enumerate(kinds):
            if capacity >= size:
                forced[p, b] = with_it[capacity - size]
    meter.spend(len(steps) * (room + 3000))
    return Table(best, tuple(steps), take, forced, kinds)


def best_patterns(table: Table, kind: int, items: int, least: float, most: int) -> list[tuple[int, ...]]:
    """Return up to `most` different patterns of one kind of bar worth more than `least` [value units], best first.

    Source: for every pass, the best pattern that takes it last; they differ in at least that pass.
    """
    worth = table.forced[:, kind]
    chosen: dict[tuple[int, ...], None] = {}
    covered: set[int] = set()
    for p in np.argsort(-worth, kind="stable")[: 8 * most].tolist():
        if worth[p] <= least or len(chosen) >= most:
            break
        pattern = table.pattern(table.kinds[kind], items, p)
        taken = {i for i, n in enumerate(pattern) if n}
        if not chosen or not taken <= covered:
            chosen[pattern] = None
            covered |= taken
    return list(chosen)


def fullest(sizes: Sequence[int], counts: Sequence[int], capacity: int, meter: Meter) -> tuple[int, ...]:
    """Return the pattern that fills a bar best [-]; of equals, one of few and large pieces.

    Source: subset sum by dynamic programming.

    >>> fullest((50, 40, 30), (1, 1, 2), 100, Meter(1e9))
    (0, 1, 2)
    """
    # Each piece weighs a little less than its size, so that of equal fillings the one with fewer pieces wins.
    pieces = capacity // max(min((s for s, c in zip(sizes, counts, strict=True) if c), default=1), 1) + 2
    values = np.array([s * pieces - 1 for s in sizes], dtype=np.int64)
    return value_table(sizes, values, counts, (capacity,), meter).pattern(capacity, len(sizes))
