"""How long it takes to try tubes: combinations of the hut trailer's roles on all cores, and one alone."""

from __future__ import annotations

import os
import resource
import time
from itertools import islice

from benchmarks.whole import DESIGN, SHOP

ROLES = ("main", "light", "bush", "strong", "sleeve", "rod")


def run(count: int = 24, many: int = 1000) -> None:
    """Build combinations of the hut trailer in full; look at many first and build what is worth it."""
    from handbarrow.cli.spreading import Files, try_all
    from handbarrow.cli.tubes import Asked, find
    from handbarrow.design.reader import read_design
    from handbarrow.job.tube_choices import as_drawn, choices
    from handbarrow.workshop.reader import read_workshop

    files = Files(DESIGN.read_text(), "design.yaml", SHOP.read_text(), "shop.yaml")
    source, shop = read_design(files.design, "design.yaml")[0], read_workshop(files.shop, "shop.yaml")[0]
    assert source is not None and shop is not None
    design, _ = source.evaluate()
    assert design is not None
    some = list(islice(choices(design, shop, ("main", "light", "bush")), count))
    print(f"tubes: {len(some)} combinations of the hut trailer")
    for jobs in (1, len(os.sched_getaffinity(0))):
        before, start = _cpu(), time.perf_counter()
        found = [one for portion in try_all(files, some, jobs, "") for one in portion]
        wall, cpu = time.perf_counter() - start, _cpu() - before
        made = sum(one.can_be_made for one in found)
        print(
            f"  {jobs} process{'es' if jobs > 1 else ''}: wall {wall:.1f} s, cpu {cpu:.1f} s, {made} can be made; "
            f"1,000 would take {1000 * wall / len(some):.0f} s"
        )
    each = cpu / len(some)
    drawn = as_drawn(design, ROLES)
    every = [drawn, *(one for one in islice(choices(design, shop, ROLES), many) if one != drawn)][:many]
    before, start = _cpu(), time.perf_counter()
    asked = Asked(ROLES, True, many, 0, "", ())
    found = find(files, every, drawn, asked, lambda *_: None)
    wall, cpu = time.perf_counter() - start, _cpu() - before
    built = sum(one.built for one in found)
    print(
        f"  first look at {len(found)} combinations, {built} of them built: wall {wall:.1f} s (goal 20), "
        f"cpu {cpu:.1f} s, {len(found) * each / cpu:.0f} times less than building all"
    )


def _cpu() -> float:
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


if __name__ == "__main__":
    run()
