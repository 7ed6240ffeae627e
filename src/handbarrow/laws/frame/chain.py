"""A bent tube as members: straights and arcs, with a node wherever one is wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.sections import beam_section, bend_factors
from handbarrow.laws.frame.values import STEEL, Arc, Material, Member, Node
from handbarrow.laws.geometry.path import (
    Centreline,
    Layout,
    Vec3,
    crown_by_rule,
    crown_on_straights,
    layout,
    rotation,
    vec3,
)
from handbarrow.laws.geometry.section import Section

__all__ = ["Chain", "Stuff", "chain"]

SAME = 1e-6
"""Wanted places nearer to each other than this are one [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuff:
    """What a tube is made of.

    Attributes:
        section: Its section.
        material: Its elastic constants.
        crown: Direction of its height at the datum end; None: by rule.
        soft_bends: Whether thin bends are taken softer than beams (`bend_factors`).
    """

    section: Section
    material: Material = STEEL
    crown: Vec3 | None = None
    soft_bends: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A tube as nodes and members from its datum end to its far end.

    Attributes:
        nodes: One more than members; named `NAME 0`, `NAME 1`, ...
        members: Named `NAME 1`, `NAME 2`, ...: the member that ends at that node.
        along: Distance of each node along the centreline [mm].
    """

    nodes: tuple[Node, ...]
    members: tuple[Member, ...]
    along: tuple[float, ...]

    def node_at(self, along: float) -> str:
        """Name of the node nearest to a distance along the centreline [mm]."""
        return self.nodes[int(np.argmin(np.abs(np.array(self.along) - along)))].name


def chain(name: str, line: Centreline, stuff: Stuff, wanted: Sequence[float] = ()) -> Chain:
    """Return a bent tube as members.

    Args:
        name: Name of the tube.
        line: Its centreline as finished.
        stuff: What it is made of.
        wanted: Distances along the centreline at which a node is wanted [mm]; its ends and tangent points are.

    Returns:
        Its nodes and members.

    Source: geometry of straights and arcs; each arc is one exact member.

    Raises:
        ValueError: If a wanted place lies beside the tube, or a straight has less than no length.
    """
    place = layout(line)
    if place.straights.min() < -SAME:
        raise ValueError(f"{name}: no room for its bends, a straight comes out {place.straights.min():.1f} mm long")
    pieces = np.zeros(2 * len(place.angles) + 1)
    pieces[::2], pieces[1::2] = np.maximum(place.straights, 0), place.arcs
    borders = np.concatenate((np.zeros(1), np.cumsum(pieces)))
    whole = float(borders[-1])
    if wanted and not (min(wanted) >= -SAME and max(wanted) <= whole + SAME):
        raise ValueError(f"{name}: nodes wanted at {min(wanted):g} to {max(wanted):g} mm, its length is {whole:g} mm")
    spots = _spots(borders, wanted)
    crowns = crown_on_straights(line, stuff.crown or crown_by_rule(vec3(place.directions[0])))
    nodes = [Node(name=f"{name} 0", at=vec3(place.start))]
    members = []
    for k, (begin, end) in enumerate(pairwise(spots), 1):
        element = int(np.searchsorted(borders, (begin + end) / 2)) - 1
        piece = _piece(place, element, begin - float(borders[element]), end - float(borders[element]))
        nodes.append(Node(name=f"{name} {k}", at=piece.at))
        soft = bend_factors(stuff.section, piece.radius).softer if stuff.soft_bends and piece.arc else 1.0
        members.append(
            Member(
                name=f"{name} {k}", start=f"{name} {k - 1}", end=f"{name} {k}", material=stuff.material,
                section=beam_section(stuff.section, stuff.material.poisson),
                crown=vec3(piece.turned @ crowns[element // 2]), arc=piece.arc, softer=soft,
            )
        )  # fmt: skip
    return Chain(nodes=tuple(nodes), members=tuple(members), along=tuple(spots))


def _spots(borders: NDArray[np.float64], wanted: Sequence[float]) -> list[float]:
    """Both ends, tangent points and wanted places, each once, in order."""
    spots, whole = [0.0], float(borders[-1])
    for s in sorted((*borders[1:-1].tolist(), *wanted)):
        if s - spots[-1] > SAME and whole - s > SAME:
            spots.append(s)
    return [*spots, whole]


class _Piece(NamedTuple):
    """A stretch of one straight or arc: where it ends, and how far the crown has turned where it begins."""

    at: Vec3
    arc: Arc | None
    radius: float
    turned: NDArray[np.float64]


def _piece(place: Layout, element: int, begin: float, end: float) -> _Piece:
    k = element // 2
    if element % 2 == 0:
        start = place.start if k == 0 else place.tangents_out[k - 1]
        return _Piece(vec3(start + place.directions[k] * end), None, 0.0, np.eye(3))
    radius, normal, centre = float(place.radii[k]), place.normals[k], place.centres[k]
    at = centre + rotation(normal, end / radius) @ (place.tangents_in[k] - centre)
    arc = Arc(normal=vec3(normal), angle_rad=(end - begin) / radius)
    return _Piece(vec3(at), arc, radius, rotation(normal, begin / radius))
