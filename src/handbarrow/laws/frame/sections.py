"""Sections as beams: torsion constant, shear areas, and how much softer a thin bend is."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from handbarrow.laws.frame.values import BeamSection
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import Axis, area, centroid, corner_radii, second_moment

__all__ = ["BendFactors", "beam_section", "bend_factors", "shear_coefficient", "torsion_constant"]


def torsion_constant(section: Section) -> float:
    """Return the torsion constant [mm4].

    Source: round: polar second moment; rectangular tube: Bredt, 4 A^2 t / s along the wall's middle line; rectangle:
    series of Saint-Venant (Timoshenko and Goodier, Theory of Elasticity, art. 109; from memory); angle:
    sum of b t^3 / 3 over the legs.

    >>> round(torsion_constant(Section(shape="square bar", height=10, width=10)))
    1406
    """
    h, w, t = section.height, section.width, section.wall
    if section.is_round:
        return 2 * second_moment(section)
    if section.shape == "angle":
        return (h + w - t) * t**3 / 3
    if section.is_hollow:
        enclosed, middle = _middle_line(section)
        return 4 * enclosed**2 * t / middle
    a, b = max(h, w) / 2, min(h, w) / 2
    n = np.arange(1, 40, 2)
    series = float(np.sum(np.tanh(n * math.pi * a / (2 * b)) / n**5))
    return 16 / 3 * a * b**3 * (1 - 192 * b / (math.pi**5 * a) * series)


def _middle_line(section: Section) -> tuple[float, float]:
    """Area within the wall's middle line [mm2] and its length [mm]."""
    a, b = section.height - section.wall, section.width - section.wall
    outer, inner = corner_radii(section)
    r = (outer + inner) / 2
    return a * b - (4 - math.pi) * r**2, 2 * (a + b) - (8 - 2 * math.pi) * r


def shear_coefficient(section: Section, axis: Axis = "height", poisson: float = 0.3) -> float:
    """Return shear area over area [-] for a force along `axis`.

    Source: G. R. Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33 (1966) 335-340: round,
    rectangle, thin-walled box (from memory). Angle: the leg along the force, 5/6 of it (common practice, no source).

    >>> round(shear_coefficient(Section(shape="round tube", height=25, width=25, wall=1.5)), 3)
    0.534
    """
    nu = poisson
    if section.is_round:
        m2 = ((section.height - 2 * section.wall) / section.height) ** 2 if section.is_hollow else 0.0
        whole = (1 + m2) ** 2
        return 6 * (1 + nu) * whole / ((7 + 6 * nu) * whole + (20 + 12 * nu) * m2)
    depth, breadth = (section.height, section.width) if axis == "height" else (section.width, section.height)
    if section.shape == "angle":
        return 5 / 6 * depth * section.wall / area(section)
    if not section.is_hollow:
        return 10 * (1 + nu) / (12 + 11 * nu)
    h, b = depth - section.wall, breadth - section.wall
    m = n = b / h
    below = 12 + 72 * m + 150 * m**2 + 90 * m**3 + nu * (11 + 66 * m + 135 * m**2 + 90 * m**3)
    return 10 * (1 + nu) * (1 + 3 * m) ** 2 / (below + 10 * n**2 * ((3 + nu) * m + 3 * m**2))


@lru_cache(maxsize=512)
def beam_section(section: Section, poisson: float = 0.3) -> BeamSection:
    """Return a section as a beam: areas [mm2] and second moments [mm4].

    Source: the closed forms of each of its numbers. An angle's shear centre is taken at its centroid: its twist under
    cross loads is not seen.

    >>> round(beam_section(Section(shape="round bar", height=10, width=10)).inertia_height, 2)
    490.87
    """
    whole = area(section)
    return BeamSection(
        area=whole,
        inertia_height=second_moment(section, "height"),
        inertia_width=second_moment(section, "width"),
        torsion=torsion_constant(section),
        shear_height=whole * shear_coefficient(section, "height", poisson),
        shear_width=whole * shear_coefficient(section, "width", poisson),
        product=_product(section),
        shape=section,
    )


def _product(section: Section) -> float:
    """Integral of u v about the centroid [mm4]: two plain legs."""
    if section.shape != "angle":
        return 0.0
    h, w, t = section.height, section.width, section.wall
    u, v = centroid(section)
    upright, lying = h * t, (w - t) * t
    return upright * (t / 2 - u) * (h / 2 - v) + lying * ((w + t) / 2 - u) * (t / 2 - v)


class BendFactors(NamedTuple):
    """A bend of thin tube: h = t R / r^2 [-], how many times softer, how many times the stress in and out of plane."""

    h: float
    softer: float
    stress_in_plane: float
    stress_out_of_plane: float


def bend_factors(section: Section, radius: float) -> BendFactors:
    """Return how much softer than a beam a bend is, and how much higher its stress [-]; both never below 1.

    Args:
        section: A round tube; every other section has factors of 1.
        radius: Centreline radius as made [mm].

    Returns:
        The factors; `softer` counts for bending in any plane, not for torsion.

    Source: ASME B31.3 table D300 (read on a printed worksheet): h = T R1 / r2^2, k = 1.65 / h, i = 0.9 / h^(2/3) in
    plane and 0.75 / h^(2/3) out of plane. Its range and ours: D / T up to 100.

    >>> round(bend_factors(Section(shape="round tube", height=25, width=25, wall=1.5), 75).softer, 2)
    2.03
    """
    if section.shape != "round tube":
        return BendFactors(math.inf, 1.0, 1.0, 1.0)
    h = section.wall * radius / ((section.height - section.wall) / 2) ** 2
    return BendFactors(h, max(1.65 / h, 1.0), max(0.9 / h ** (2 / 3), 1.0), max(0.75 / h ** (2 / 3), 1.0))
