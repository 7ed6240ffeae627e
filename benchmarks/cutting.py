"""Cutting plans: open instances by family, and a workshop batch of 8, 100 and 500 units.

    python -m benchmarks.cutting [PATH_TO_INSTANCES]

The path names the folder (or the file) of `cutting1d.json`; left out, HANDBARROW_INSTANCES is read; without it only the
workshop batch is run.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import sys
import time
from pathlib import Path

from handbarrow.laws.cutting.problem import Problem
from handbarrow.laws.cutting.solve import Effort, solve
from handbarrow.laws.cutting.stock import BarSize, CutItem, Cutting, plan_bars

INSTANCE_EFFORT = Effort(work=8.0e9)
"""Some 20 s where nothing is proven before."""


def run(instances: Path | None) -> None:
    """Run the workshop batch, and the open instances if there is a path to them."""
    print("cutting: workshop batch, 40 lengths of 80 to 2600 mm, kerf 2, trim 10 + 10, bar 6000")
    for step in (1.0, 0.1):
        for units in (1, 8, 12, 100, 500):
            batch(units, step, priced=False)
    print("the same, 6000 and 3000 mm with prices, three kinds of off-cuts")
    for step in (1.0, 0.1):
        for units in (1, 8, 12, 100, 500):
            batch(units, step, priced=True)
    if instances is None:
        print("open instances: not run (no path given)")
        return
    file = instances / "cutting1d.json" if instances.is_dir() else instances
    families(json.loads(file.read_text(encoding="utf-8")))


def batch(units: int, step: float, *, priced: bool) -> None:
    """Plan one batch and print its line. `step`: lengths are multiples of it [mm]."""
    chance = random.Random(1)
    lengths = [round(round(chance.uniform(80, 2600) / step) * step, 1) for _ in range(40)]
    each = [chance.choice([1, 1, 2, 2, 2, 4]) for _ in lengths]
    items = [CutItem(length=length, demand=n * units) for length, n in zip(lengths, each, strict=True)]
    bars = [BarSize(length=6000, cost=31.2 if priced else 6000)]
    if priced:
        bars.append(BarSize(length=3000, cost=17.8))
        bars += [
            BarSize(length=length, cost=0, available=n, off_cut=True) for length, n in ((1180, 3), (900, 2), (2100, 4))
        ]
    start = time.perf_counter()
    plan = plan_bars(items, bars, Cutting(kerf=2, trim=10, useful=500))
    seconds = time.perf_counter() - start
    used, patterns = sum(bar.count for bar in plan.bars), len(plan.bars)
    print(
        f"  {units:4d} units {sum(i.demand for i in items):6d} pieces, to {step:g} mm: {used:5d} bars, {patterns:3d} "
        f"patterns, {'proven' if plan.proven else f'gap {100 * plan.gap:.4f} %'}, {seconds:.2f} s"
    )


def families(instances: list[dict[str, object]]) -> None:
    """Solve all instances and print one line a family."""
    print("open instances: family, instances, proven, best known reached, median s, longest s")
    rows: dict[str, list[tuple[bool, bool, float]]] = {}
    for instance in instances:
        start = time.perf_counter()
        solved = solve(as_problem(instance), INSTANCE_EFFORT)
        seconds = time.perf_counter() - start
        best = solved.cost == instance["best_known"]
        rows.setdefault(str(instance["family"]), []).append((solved.cost == solved.bound, best, seconds))
        if solved.bound > int(str(instance["best_known"])):
            print(f"  WRONG: bound {solved.bound} above the best known of {instance['name']}")
    for family, row in rows.items():
        times = [seconds for *_, seconds in row]
        proven, best = sum(p for p, *_ in row), sum(b for _, b, _ in row)
        print(f"  {family:14s} {len(row):3d} {proven:3d} {best:3d}  {statistics.median(times):.3f}  {max(times):.1f}")


def as_problem(instance: dict[str, object]) -> Problem:
    """One kind of bar, without limit, at cost 1."""
    pairs = zip(instance["widths"], instance["demands"], strict=True)  # type: ignore[call-overload]
    sizes, demands = zip(*sorted(pairs, reverse=True), strict=True)
    return Problem(sizes, demands, (int(str(instance["capacity"])),), (1,), (None,))


if __name__ == "__main__":
    given = sys.argv[1] if len(sys.argv) > 1 else os.environ.get("HANDBARROW_INSTANCES")
    run(Path(given) if given else None)
