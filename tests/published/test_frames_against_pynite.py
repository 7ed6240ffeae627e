"""Random frames against PyNiteFEA 3.2, an independent open-source frame solver (MIT), run here.

Members without shear flexibility, which PyNite does not have.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frames_made import random_frame
from handbarrow.laws.frame.solve import solve
from handbarrow.laws.frame.values import (
    BeamSection,
    Distributed,
    Frame,
    LoadCase,
    NodeLoad,
    PointOnMember,
    Release,
)
from pynite_frames import crown_like_pynite, displacements, end_forces, pynite_model

SLENDER = BeamSection(area=228.0, inertia_height=45000.0, inertia_width=15000.0, torsion=30000.0)
CASES = ("nodes", "along", "part")


def with_pynites_axes(frame: Frame) -> Frame:
    at = {n.name: np.array(n.at) for n in frame.nodes}
    members = tuple(replace(m, crown=crown_like_pynite(at[m.start], at[m.end])) for m in frame.members)
    return replace(frame, members=members)


def loads(frame: Frame, chance: np.random.Generator) -> list[LoadCase]:
    def three(size: float) -> tuple[float, float, float]:
        x, y, z = chance.uniform(-size, size, 3).tolist()
        return (x, y, z)

    long, other = frame.members[0], frame.members[-1]
    at = {n.name: np.array(n.at) for n in frame.nodes}
    size = float(np.linalg.norm(at[long.end] - at[long.start]))
    reach = float(np.linalg.norm(at[other.end] - at[other.start]))
    return [
        LoadCase(
            name="nodes",
            loads=tuple(NodeLoad(node=n.name, force=three(500), moment=three(20000)) for n in frame.nodes[1:]),
        ),
        LoadCase(
            name="along",
            loads=(
                *(Distributed(member=m.name, first=three(1), last=three(1)) for m in frame.members[1:]),
                PointOnMember(member=long.name, along=0.37 * size, force=three(500)),
            ),
        ),
        LoadCase(
            name="part",
            loads=(Distributed(member=other.name, first=three(2), last=three(2), begin=0.2 * reach, end=0.7 * reach),),
        ),
    ]


def compared(frame: Frame, cases: list[LoadCase], rel: float) -> None:
    ours = solve(frame, cases)
    theirs = pynite_model(frame, cases)
    theirs.analyze_linear(check_stability=False)
    assert ours.residual.max() < 1e-9
    for c, case in enumerate(cases):
        d, f = displacements(theirs, frame, case.name), end_forces(theirs, frame, case.name)
        for part in (slice(0, 3), slice(3, 6)):
            scale = np.abs(d[:, part]).max()
            assert scale > 0
            assert np.abs(ours.displacements[c][:, part] - d[:, part]).max() / scale < rel
        mine = ours.end_forces[c]
        for part in ([0, 1, 2, 6, 7, 8], [3, 4, 5, 9, 10, 11]):
            assert np.abs(mine[:, part] - f[:, part]).max() / np.abs(f[:, part]).max() < rel


@pytest.mark.parametrize("seed", range(12))
def test_random_frames_move_and_carry_as_pynite_says(seed: int) -> None:
    chance = np.random.default_rng(seed)
    frame = with_pynites_axes(random_frame(chance, 7, SLENDER))
    compared(frame, loads(frame, chance), 1e-7)


@pytest.mark.parametrize("seed", range(4))
def test_random_frames_with_hinged_ends_move_as_pynite_says(seed: int) -> None:
    chance = np.random.default_rng(100 + seed)
    frame = with_pynites_axes(random_frame(chance, 7, SLENDER))
    hinge: frozenset[Release] = frozenset(("turn u",) if seed % 2 else ("turn v", "turn u"))
    met = [n for m in frame.members for n in (m.start, m.end)]
    one = next(m for m in frame.members if met.count(m.end) > 1)
    members = tuple(replace(m, end_free=hinge) if m is one else m for m in frame.members)
    frame = replace(frame, members=members)
    compared(frame, loads(frame, chance), 1e-7)
