"""Many combinations of tubes tried at once: on the cores of this machine, or on a Dask cluster by its address."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from handbarrow.cli.app import FilesError
from handbarrow.language import say

if TYPE_CHECKING:
    from handbarrow.design.reader import DesignSource
    from handbarrow.job.tube_choices import Tried
    from handbarrow.job.tube_first_look import FirstLook
    from handbarrow.workshop.values import Workshop

__all__ = ["Files", "look_at_some", "try_all", "try_some"]

WAIT = "10s"
"""For an answer of the cluster."""
PORTION = 8
"""So many combinations are handed over at once to be built."""
LOOKS = 25
"""So many are handed over at once for a first look."""


class Files(NamedTuple):
    """The two files as text, with their names: what another process or machine needs."""

    design: str
    design_name: str
    shop: str
    shop_name: str


Work = Callable[[Files, Sequence[Mapping[str, str]]], list["Tried"]]
"""What a process does with a portion."""


@lru_cache(maxsize=2)
def _read(files: Files) -> tuple[DesignSource, Workshop]:
    from handbarrow.design.reader import read_design
    from handbarrow.workshop.reader import read_workshop

    source, _ = read_design(files.design, files.design_name)
    shop, _, _ = read_workshop(files.shop, files.shop_name)
    if source is None or shop is None:
        raise ValueError("files with errors are not handed over")
    return source, shop


def try_some(files: Files, some: Sequence[Mapping[str, str]]) -> list[Tried]:
    """Try some combinations, in this process."""
    from handbarrow.job.tube_choices import tried

    source, shop = _read(files)
    return [tried(source, shop, one) for one in some]


@lru_cache(maxsize=1)
def _first_look(files: Files, roles: tuple[str, ...]) -> FirstLook:
    from handbarrow.job.build import build_job
    from handbarrow.job.tube_choices import on_sale
    from handbarrow.job.tube_first_look import FirstLook

    source, shop = _read(files)
    job, _ = build_job(source, shop, 1, with_cutting=False)
    if job is None:
        raise ValueError("a design with errors is not handed over")
    labels = dict.fromkeys(label for role in roles for label in on_sale(job.design.stock[role], shop))
    return FirstLook(job, roles, tuple(labels))


def look_at_some(files: Files, some: Sequence[Mapping[str, str]]) -> list[Tried]:
    """Take a first look at some combinations, in this process; what does not hold together is built in full."""
    from handbarrow.job.tube_choices import tried

    source, shop = _read(files)
    look = _first_look(files, tuple(some[0]))
    return [look.at(one) or tried(source, shop, one) for one in some]


def try_all(
    files: Files, combinations: Sequence[Mapping[str, str]], jobs: int, cluster: str, *, first_look: bool = False
) -> Iterator[list[Tried]]:
    """Yield what came of all combinations, portion after portion, in their order.

    Args:
        files: The two files.
        combinations: What to try.
        jobs: How many processes; 0: one for each core.
        cluster: Address of a Dask scheduler whose workers have this program; empty: this machine.
        first_look: Axes as drawn, instead of building each; all combinations are of the same roles then.

    Raises:
        FilesError: If the cluster cannot be reached, or Dask is not installed.
    """
    work, size = (look_at_some, LOOKS) if first_look else (try_some, PORTION)
    many = jobs or _cores()
    if not cluster:  # all have something to do to the end
        size = max(1, min(size, -(-len(combinations) // many)))
    portions = [combinations[k : k + size] for k in range(0, len(combinations), size)]
    if cluster:
        yield from _on_cluster(work, files, portions, cluster)
        return
    many = min(many, len(portions))
    if many <= 1:
        yield from (work(files, portion) for portion in portions)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(many, mp_context=get_context("spawn"), initializer=_one_thread) as pool:
        yield from pool.map(work, [files] * len(portions), portions)


def _one_thread() -> None:
    """One thread each: the processes are as many as the cores."""
    os.environ["OPENBLAS_NUM_THREADS"] = "1"


def _cores() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on this system
        return os.cpu_count() or 1


def _on_cluster(
    work: Work, files: Files, portions: Sequence[Sequence[Mapping[str, str]]], address: str
) -> Iterator[list[Tried]]:
    try:
        from distributed import Client
    except ImportError as fault:
        raise FilesError(
            say("--cluster needs Dask, which is not installed: pip install 'handbarrow[cluster]'")
        ) from fault
    try:
        client = Client(address, timeout=WAIT)
    except OSError as fault:
        raise FilesError(say("cannot reach the cluster at {address}: {why}", address=address, why=fault)) from fault
    with client:
        for future in client.map(work, [files] * len(portions), portions):
            yield future.result()
