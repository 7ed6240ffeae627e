"""Frames: one load-carrier-sized frame, 12 load cases, beside PyNiteFEA in the same run.

    python -m benchmarks.frame

PyNiteFEA has no shear flexibility: both get slender members here, and the largest difference is printed.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np

from handbarrow.laws.frame.mechanism import mechanisms
from handbarrow.laws.frame.model import assembled, model
from handbarrow.laws.frame.second_order import solve_second_order
from handbarrow.laws.frame.sections import beam_section
from handbarrow.laws.frame.solve import solve
from handbarrow.laws.frame.stress import equivalent_along
from handbarrow.laws.frame.values import Frame, LoadCase, Member, Node, NodeLoad, Support
from handbarrow.laws.frame.vibration import natural_frequencies
from handbarrow.laws.geometry.section import Section

RUNS = 9
SHARE = (0.0, 0.25, 0.5, 0.75, 1.0)


def grid() -> Frame:
    """Two layers of crossing tubes with posts between: 36 tubes."""
    tube = beam_section(Section(shape="round tube", height=26.9, width=26.9, wall=2.3))
    tube = replace(tube, shear_height=float("inf"), shear_width=float("inf"))
    nodes: dict[tuple[int, int, int], Node] = {}
    members: list[Member] = []

    def node(at: tuple[int, int, int]) -> str:
        x, y, z = at
        nodes.setdefault(at, Node(name=f"n{x} {y} {z}", at=(40.0 * x, 50.0 * y, 300.0 * z + 0.02 * x * y)))
        return nodes[at].name

    def run(way: list[tuple[int, int, int]]) -> None:
        for a, b in pairwise(way):
            members.append(Member(name=f"m{len(members)}", start=node(a), end=node(b), section=tube))

    for z in (0, 1):
        for y in (0, 4, 8, 12):
            run([(x, y, z) for x in range(0, 33, 2)])
        for x in range(0, 33, 4):
            run([(x, y, z) for y in range(13)])
    for x, y in ((0, 0), (0, 12), (32, 0), (32, 12), (8, 4), (8, 8), (24, 4), (24, 8), (16, 0), (16, 12)):
        run([(x, y, 0), (x, y, 1)])
    held = tuple(Support(node=nodes[at].name) for at in ((0, 0, 0), (0, 12, 0), (32, 0, 0), (32, 12, 0)))
    return Frame(nodes=tuple(nodes.values()), members=tuple(members), supports=held)


def cases(frame: Frame, count: int = 12) -> list[LoadCase]:
    chance = np.random.default_rng(7)
    names = [n.name for n in frame.nodes]
    out = []
    for k in range(count):
        chosen = chance.choice(len(names), 20, replace=False)
        loads = [NodeLoad(node=names[i], force=tuple(chance.uniform(-200, 200, 3).tolist())) for i in chosen]
        out.append(LoadCase(name=f"case {k}", loads=tuple(loads)))
    return out


def timed(task: Callable[[], object], runs: int = RUNS) -> tuple[float, float]:
    """Best and median milliseconds."""
    task()
    spans = []
    for _ in range(runs):
        start = time.perf_counter()
        task()
        spans.append(1000 * (time.perf_counter() - start))
    return min(spans), statistics.median(spans)


def run() -> None:
    frame = grid()
    loads = cases(frame)
    ready = model(frame)
    found = solve(ready, loads)
    print(f"frame: {len(frame.members)} members, {len(frame.nodes)} nodes, {len(loads)} load cases; best / median ms")
    heavy = [replace(c, field_mm_s2=(0.0, 0.0, -9810.0)) for c in loads]
    for name, task in (
        ("model (arrays, stiffness of members)", lambda: model(frame)),
        ("all cases from the model", lambda: solve(ready, loads)),
        ("both", lambda: solve(frame, loads)),
        ("both, with own weight", lambda: solve(frame, heavy)),
        ("stresses at 5 stations of every member", lambda: equivalent_along(found, SHARE)),
        ("second order, all cases", lambda: solve_second_order(ready, loads)),
        ("6 natural frequencies", lambda: natural_frequencies(ready)),
        ("nothing moves (search for mechanisms)", lambda: mechanisms(ready, assembled(ready, ready.stiff))),
    ):
        best, middle = timed(task)
        print(f"  {name:42s} {best:7.1f} {middle:7.1f}")
    variants(frame, loads)
    beside_pynite(frame, loads)


def variants(frame: Frame, loads: list[LoadCase], count: int = 60) -> None:
    """Frames of other tubes, one process."""
    tubes = [Section(shape="round tube", height=d, width=d, wall=t) for d in (21.3, 25, 26.9, 33.7) for t in (1.5, 2)]
    start = time.perf_counter()
    for k in range(count):
        section = beam_section(tubes[k % len(tubes)])
        members = tuple(replace(m, section=section) for m in frame.members)
        solve(replace(frame, members=members), loads)
    print(f"  {count} variants, each from its values: {1000 * (time.perf_counter() - start) / count:.1f} ms each")


def beside_pynite(frame: Frame, loads: list[LoadCase]) -> None:
    """The same frame in PyNiteFEA, linear, and by how much the two differ."""
    sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
    try:
        from pynite_frames import crown_like_pynite, displacements, end_forces, pynite_model
    except ImportError:
        print("  PyNiteFEA: not measured (not installed)")
        return
    at = {n.name: np.array(n.at) for n in frame.nodes}
    turned = tuple(replace(m, crown=crown_like_pynite(at[m.start], at[m.end])) for m in frame.members)
    frame = replace(frame, members=turned)
    theirs = pynite_model(frame, loads)
    start = time.perf_counter()
    theirs.analyze_linear(check_stability=False)
    solved = time.perf_counter() - start
    forces = [end_forces(theirs, frame, c.name) for c in loads]
    whole = time.perf_counter() - start
    _, middle = timed(lambda: solve(frame, loads))
    ours = solve(frame, loads)
    moved = np.array([displacements(theirs, frame, c.name) for c in loads])
    apart = np.abs(moved - ours.displacements).max() / np.abs(moved).max()
    carried = np.abs(np.array(forces) - ours.end_forces).max() / np.abs(np.array(forces)).max()
    print(f"  PyNiteFEA: displacements {solved:.2f} s, with end forces {whole:.2f} s; ours, both, {middle:.1f} ms")
    print(f"  ratio {1000 * solved / middle:.0f} without, {1000 * whole / middle:.0f} with end forces")
    print(f"  largest difference over largest value: displacements {apart:.1e}, end forces {carried:.1e}")


if __name__ == "__main__":
    run()
