"""Mass and centre of mass of parts, assemblies and the whole, one unit, in product axes.

A run weighs its section times its length between the mean cuts (for a thin wall the metal that a cope takes away is
the girth times its mean height, exactly). Holes in runs are not taken off; holes in plates are. Weld metal, paint and
fabric are not counted.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import chain

import numpy as np

from handbarrow.design.values import Bought, Part, Placement, PlateShape, Product
from handbarrow.job.values import EndCut, JobPart, MassSum
from handbarrow.laws.geometry.path import Centreline, Vec3, cross, layout, vec3
from handbarrow.laws.geometry.polygon import area_and_centroid, rounded
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import STEEL_DENSITY_KG_MM3, mass_per_mm

__all__ = ["centre_of_line", "mean_cut", "own_centre", "plate_mass", "run_mass", "sums"]


def mean_cut(cut: EndCut) -> float:
    """Return the mean height of a cut over the girth [mm]: what a cope shortens the metal by."""
    if not cut.wrap:
        return cut.shortest
    s, h = np.fromiter(chain.from_iterable(cut.wrap), float, 2 * len(cut.wrap)).reshape(-1, 2).T
    return float(np.trapezoid(h, s) / (s[-1] - s[0]))


def centre_of_line(line: Centreline) -> tuple[float, Vec3]:
    """Return length [mm] and centroid [mm] of a centreline.

    Source: closed forms; the centroid of an arc lies at R sin(A/2) / (A/2) from its centre on the bisector.
    """
    place = layout(line)
    starts = np.vstack([place.start, place.tangents_out]) if len(place.angles) else place.start[None, :]
    middles = starts + place.directions * (place.straights / 2)[:, None]
    moment = (middles * place.straights[:, None]).sum(axis=0)
    whole = float(place.straights.sum())
    for k, a in enumerate(place.angles):
        r, half = float(place.radii[k]), float(a) / 2
        if half <= 0 or r <= 0:
            continue
        chord = (place.tangents_in[k] + place.tangents_out[k]) / 2 - place.centres[k]
        size = float(np.linalg.norm(chord))
        out = chord / size if size > 1e-12 else place.normals[k] * 0.0
        arc = 2 * r * half
        moment = moment + arc * (place.centres[k] + out * r * math.sin(half) / half)
        whole += arc
    return whole, vec3(moment / whole)


def run_mass(section: Section, line: Centreline, cut_length: float, cuts: Sequence[EndCut]) -> tuple[float, Vec3]:
    """Return mass [kg] and centre of mass of copy 1 of a run.

    Args:
        section: Its section.
        line: Its finished centreline, product axes.
        cut_length: Length to cut [mm], from longest point to longest point.
        cuts: The two end cuts.
    """
    metal = cut_length - sum(mean_cut(cut) - cut.shortest for cut in cuts)
    _, centre = centre_of_line(line)
    return mass_per_mm(section) * metal, centre


def plate_mass(shape: PlateShape, thickness: float, lift: float) -> tuple[float, Vec3]:
    """Return mass [kg] and centre of mass of copy 1 of a plate, holes taken off."""
    whole, centre = area_and_centroid(rounded(shape.outline, shape.corner_radius))
    moment = np.array(centre) * whole
    for hole in shape.holes:
        slot = max(hole.length - hole.diameter, 0.0) * hole.diameter
        gone = math.pi * hole.diameter**2 / 4 + slot
        moment = moment - np.array(hole.at) * gone
        whole -= gone
    x = np.asarray(shape.along, float)
    z = np.asarray(shape.facing, float)
    y = cross(z, x)
    mid = moment / whole
    at = np.asarray(shape.at, float) + x * mid[0] + y * mid[1] + z * thickness / 2 + np.array([0.0, 0.0, lift])
    return whole * thickness * STEEL_DENSITY_KG_MM3, vec3(at)


def own_centre(part: Part, product: Product) -> Vec3 | None:
    """Return where copy 1 of a bought part sits, product axes; None if the design does not say."""
    shape = part.shape
    if not isinstance(shape, Bought) or shape.at is None:
        return None
    x, y, z = shape.at
    return (x, y, z + product.lift)


def _within(product: Product, assembly: str) -> str | None:
    return next((a.within for a in product.design.assemblies if a.name == assembly), None)


def _belongs(product: Product, assembly: str, to: str) -> bool:
    at: str | None = assembly
    for _ in range(len(product.design.assemblies) + 1):
        if at == to:
            return True
        at = _within(product, at) if at is not None else None
    return False


def _sum(name: str, parts: Iterable[JobPart], placements: Sequence[Placement]) -> MassSum:
    whole, moment, placed = 0.0, np.zeros(3), 0.0
    missing: list[str] = []
    unplaced: list[str] = []
    for part in parts:
        if part.mass_kg is None:
            missing.append(part.id)
            continue
        whole += part.mass_kg * part.quantity
        if part.centre_of_mass is None:
            unplaced.append(part.id)
            continue
        centre = np.asarray(part.centre_of_mass)
        for placement in placements:
            if placement.part == part.id:
                m = np.asarray(placement.transform)
                moment += part.mass_kg * (m[:3, :3] @ centre + m[:3, 3])
                placed += part.mass_kg
    return MassSum(
        name=name,
        mass_kg=whole,
        centre=vec3(moment / placed) if placed > 0 else None,
        missing=tuple(missing),
        unplaced=tuple(unplaced),
    )


def sums(parts: Sequence[JobPart], product: Product) -> tuple[MassSum, ...]:
    """Return the mass of each assembly (with those it carries) and of the whole, the whole last.

    `missing` names the parts whose mass is not known: the sum is without them. `unplaced` names those whose place is
    not known: the centre is without them.
    """
    out = [
        _sum(a.name, [p for p in parts if _belongs(product, p.assembly, a.name)], product.placements)
        for a in product.design.assemblies
    ]
    out.append(_sum("whole", parts, product.placements))
    return tuple(out)
