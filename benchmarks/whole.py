"""Whole processes and their parts: both example files to job data and to the folder of sheets."""

from __future__ import annotations

import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]
DESIGN, SHOP = ROOT / "examples/hut-trailer.yaml", ROOT / "examples/ridge-workshop.yaml"


def timed(arguments: list[str], runs: int) -> tuple[float, float]:
    """Median wall and CPU seconds of a whole process."""
    walls, cpus = [], []
    for _ in range(runs):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run([sys.executable, "-m", "handbarrow.cli", *arguments], check=True, capture_output=True, cwd=ROOT)
        walls.append(time.perf_counter() - start)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        cpus.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(walls), statistics.median(cpus)


def computing(units: int, runs: int) -> tuple[float, float]:
    """Median seconds of computing inside one process, without and with the cutting plan (files already read)."""
    from handbarrow.design.reader import read_design
    from handbarrow.job.build import build_job
    from handbarrow.laws.geometry.path import layout
    from handbarrow.workshop.reader import read_workshop

    out = []
    for with_cutting in (False, True):
        times = []
        for _ in range(runs):
            layout.cache_clear()
            start = time.perf_counter()
            source = read_design(DESIGN.read_bytes(), "design")[0]
            shop = read_workshop(SHOP.read_bytes(), "shop")[0]
            assert source is not None and shop is not None
            job, _ = build_job(source, shop, units, with_cutting=with_cutting)
            assert job is not None
            times.append(time.perf_counter() - start)
        out.append(statistics.median(times))
    return out[0], out[1]


CHANGES = (("bed_length: 1900", "bed_length: 1880"), ("tyre_width: 47", "tyre_width: 50"))
"""What is changed in the design between two prints: a size that moves many parts, and one that moves few."""


def printing(runs: int = 3) -> None:
    """The package into an empty folder, and into the same one after a changed size."""
    with tempfile.TemporaryDirectory() as place:
        folder, design = Path(place, "out"), Path(place, "design.yaml")
        arguments = ["sheets", str(design), "--workshop", str(SHOP), "--units", "8", "--into", str(folder)]
        plain = DESIGN.read_text(encoding="utf-8")
        for was, now in (("", ""), *CHANGES):
            assert was in plain
            walls, cpus = [], []
            for _ in range(runs):
                shutil.rmtree(folder, ignore_errors=True)
                design.write_text(plain, encoding="utf-8")
                found = timed(arguments, 1)
                if was:
                    design.write_text(plain.replace(was, now), encoding="utf-8")
                    found = timed(arguments, 1)
                walls.append(found[0])
                cpus.append(found[1])
            name = f"again, {now}" if was else "sheets, 8 units"
            print(
                f"  {name:<24} wall {statistics.median(walls):6.3f} s (least {min(walls):.3f})"
                f"  cpu of both processes {statistics.median(cpus):6.3f} s (least {min(cpus):.3f})"
            )


def run(runs: int = 7) -> None:
    print("whole process (median of", runs, "runs, after one warm-up)")
    print(f"  {os.cpu_count()} processors; programs that wanted one in the last minute: {os.getloadavg()[0]:.1f}")
    both = [str(DESIGN), "--workshop", str(SHOP)]
    for name, arguments in [
        ("--help", ["--help"]),
        ("data, 8 units", ["data", *both, "--units", "8"]),
        ("data, 100 units", ["data", *both, "--units", "100"]),
        ("data, 500 units", ["data", *both, "--units", "500"]),
    ]:
        timed(arguments, 1)
        wall, cpu = timed(arguments, runs)
        print(f"  {name:<18} wall {wall:6.3f} s  cpu {cpu:6.3f} s")
    printing()
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"  largest memory of any of them {peak:.0f} MB")
    without, with_plan = computing(8, runs)
    print(f"  computing, files to job, 8 units: {without * 1e3:.0f} ms, with the cutting plan {with_plan * 1e3:.0f} ms")


if __name__ == "__main__":
    run()
