"""Frames put together by hand, shared by the tests of the frame laws."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from handbarrow.laws.frame.values import STEEL, BeamSection, Frame, Material, Member, Node, Support

ROUND = BeamSection(area=200.0, inertia_height=15000.0, inertia_width=15000.0, torsion=30000.0)
"""A round tube without shear, so that closed forms of slender beams hold."""
UNEVEN = BeamSection(
    area=228.0, inertia_height=45000.0, inertia_width=15000.0, torsion=30000.0, shear_height=130.0, shear_width=60.0
)
PINNED = (True, True, True, False, False, True)
ROLLER = (True, True, False, False, False, False)


def nodes(places: dict[str, tuple[float, float, float]]) -> tuple[Node, ...]:
    return tuple(Node(name=name, at=at) for name, at in places.items())


def straight_members(
    pairs: Sequence[tuple[str, str]], section: BeamSection = ROUND, material: Material = STEEL
) -> tuple[Member, ...]:
    return tuple(Member(name=a + b, start=a, end=b, section=section, material=material) for a, b in pairs)


def frame(
    places: dict[str, tuple[float, float, float]],
    pairs: Sequence[tuple[str, str]],
    fixed: Sequence[str],
    section: BeamSection = ROUND,
    material: Material = STEEL,
) -> Frame:
    held = tuple(Support(node=name) for name in fixed)
    return Frame(nodes=nodes(places), members=straight_members(pairs, section, material), supports=held)


def column(
    count: int, length: float, section: BeamSection, material: Material
) -> tuple[tuple[Node, ...], tuple[Member, ...]]:
    """An upright of equal members, its height along x, nodes named 0 to count."""
    places = {str(i): (0.0, 0.0, length * i / count) for i in range(count + 1)}
    members = tuple(
        Member(name=f"m{i}", start=str(i), end=str(i + 1), section=section, material=material, crown=(1.0, 0.0, 0.0))
        for i in range(count)
    )
    return nodes(places), members


def random_frame(chance: np.random.Generator, size: int = 6, section: BeamSection = UNEVEN) -> Frame:
    """A tree of members with some rungs between, its first node held and often another one."""
    at = chance.uniform(0.0, 1000.0, (size, 3))
    pairs = {(int(chance.integers(0, k)), k) for k in range(1, size)}
    while len(pairs) < size + 2:
        a, b = sorted(int(i) for i in chance.choice(size, 2, replace=False))
        pairs.add((a, b))
    places = {f"n{i}": (float(p[0]), float(p[1]), float(p[2])) for i, p in enumerate(at)}
    fixed = ["n0", f"n{size - 1}"] if chance.random() < 0.5 else ["n0"]
    return frame(places, [(f"n{a}", f"n{b}") for a, b in sorted(pairs)], fixed, section)
