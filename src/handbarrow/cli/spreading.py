"""Many combinations of tubes tried at once: on the cores of this machine, or on a Dask cluster by its address."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from handbarrow.cli.app import FilesError
from handbarrow.language import say

if TYPE_CHECKING:
    from handbarrow.design.reader import DesignSource
    from handbarrow.job.tube_choices import Tried
    from handbarrow.workshop.values import Workshop

__all__ = ["Files", "try_all", "try_some"]

WAIT = "10s"
"""For an answer of the cluster."""
PORTION = 8
"""So many combinations are handed over at once."""


class Files(NamedTuple):
    """The two files as text, with their names: what another process or machine needs."""

    design: str
    design_name: str
    shop: str
    shop_name: str


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


def try_all(files: Files, combinations: Sequence[Mapping[str, str]], jobs: int, cluster: str) -> Iterator[list[Tried]]:
    """Yield what came of all combinations, portion after portion, in their order.

    Args:
        files: The two files.
        combinations: What to try.
        jobs: How many processes; 0: one for each core.
        cluster: Address of a Dask scheduler whose workers have this program; empty: this machine.

    Raises:
        FilesError: If the cluster cannot be reached, or Dask is not installed.
    """
    portions = [combinations[k : k + PORTION] for k in range(0, len(combinations), PORTION)]
    if cluster:
        yield from _on_cluster(files, portions, cluster)
        return
    many = min(jobs or _cores(), len(portions))
    if many <= 1:
        yield from (try_some(files, portion) for portion in portions)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(many, mp_context=get_context("spawn"), initializer=_one_thread) as pool:
        yield from pool.map(try_some, [files] * len(portions), portions)


def _one_thread() -> None:
    """One thread each: the processes are as many as the cores."""
    os.environ["OPENBLAS_NUM_THREADS"] = "1"


def _cores() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on this system
        return os.cpu_count() or 1


def _on_cluster(files: Files, portions: Sequence[Sequence[Mapping[str, str]]], address: str) -> Iterator[list[Tried]]:
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
        for future in client.map(try_some, [files] * len(portions), portions):
            yield future.result()
