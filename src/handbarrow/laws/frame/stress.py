"""Stresses at points of a section: round, square and rectangular tube and bar, flat; an angle by its corners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.along import section_forces
from handbarrow.laws.frame.sections import beam_section, bend_factors, torsion_constant
from handbarrow.laws.frame.solve import Solution
from handbarrow.laws.frame.values import BeamSection
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import centroid, corner_radii

__all__ = ["SectionPoints", "equivalent_along", "section_points", "stresses", "von_mises"]

Floats = NDArray[np.float64]

ROUND_POINTS = 24


class SectionPoints(NamedTuple):
    """Where stresses are looked at, and what each of the six section forces makes there.

    Attributes:
        v: (p,) along the height from the centroid [mm].
        u: (p,) along the width from the centroid [mm].
        normal: (p, 6) stress along the member for 1 N or 1 N mm [MPa].
        shear: (p, 2, 6) shear stress along v and along u for 1 N or 1 N mm [MPa].
    """

    v: Floats
    u: Floats
    normal: Floats
    shear: Floats


@lru_cache(maxsize=512)
def section_points(section: Section) -> SectionPoints:
    """Return the points of a section at which stresses are looked at [mm], and what section forces make there [MPa].

    Source: Navier for pull and bending (with the product of inertia for angles); Saint-Venant and Bredt for twist;
    shear force: ring and bar 4 V / 3 A (R2 + R r + r2) / (R2 + r2), walls and solid rectangles V S / (I b) at mid-depth
    (Young and Budynas, Roark's Formulas; from memory).
    Corner points of rectangular sections carry bending but no shear force; outside points of tubes carry twist.
    """
    beam = beam_section(section)
    if section.is_round:
        v, u, shear = _round(section, beam)
    elif section.shape == "angle":
        v, u, shear = _angle(section)
    else:
        v, u, shear = _rectangular(section, beam)
    normal = np.zeros((len(v), 6))
    normal[:, 0] = 1 / beam.area
    below = beam.inertia_width * beam.inertia_height - beam.product**2
    normal[:, 4] = (u * beam.inertia_height - v * beam.product) / below
    normal[:, 5] = -(v * beam.inertia_width - u * beam.product) / below
    for array in (v, u, normal, shear):
        array.setflags(write=False)
    return SectionPoints(v, u, normal, shear)


def _round(section: Section, beam: BeamSection) -> tuple[Floats, Floats, Floats]:
    r = section.height / 2
    inner = r - section.wall if section.is_hollow else 0.0
    angle = np.arange(ROUND_POINTS) * 2 * math.pi / ROUND_POINTS
    v, u = r * np.cos(angle), r * np.sin(angle)
    shear = np.zeros((ROUND_POINTS, 2, 6))
    # round the girth from v towards u: direction (-sin, cos) in (v, u)
    around = np.stack((-np.sin(angle), np.cos(angle)), axis=1)
    peak = 4 / (3 * beam.area) * (r**2 + r * inner + inner**2) / (r**2 + inner**2)
    shear[:, :, 1] = around * (-np.sin(angle) * peak)[:, None]
    shear[:, :, 2] = around * (np.cos(angle) * peak)[:, None]
    shear[:, :, 3] = around * (r / beam.torsion)
    return v, u, shear


def _rectangular(section: Section, beam: BeamSection) -> tuple[Floats, Floats, Floats]:
    """Corners and middles of the sides; corners of tubes where the round begins and ends."""
    h, w = section.height / 2, section.width / 2
    outer, _ = corner_radii(section)
    corners = [(h, w - outer), (h - outer, w)] if outer else [(h, w)]
    spots = [(sv * a, su * b) for a, b in corners for sv in (1, -1) for su in (1, -1)]
    middles = [(h, 0.0), (-h, 0.0), (0.0, w), (0.0, -w)]
    v, u = (np.array([p[k] for p in (*spots, *middles)], float) for k in (0, 1))
    shear = np.zeros((len(v), 2, 6))
    for axis, (depth, inertia, along_u) in enumerate(
        ((2 * h, beam.inertia_height, False), (2 * w, beam.inertia_width, True))
    ):
        peak = _mid_shear(section, depth, 4 * h * w / depth, inertia)
        sides = slice(-2, None) if not along_u else slice(-4, -2)
        shear[sides, axis, 1 + axis] = peak
    long, short = _twist(section)
    for k, (at_v, at_u) in enumerate(zip(v, u, strict=True)):
        on_flat_of_height = abs(at_u) == w and (outer or at_v == 0)
        on_flat_of_width = abs(at_v) == h and (outer or at_u == 0)
        if on_flat_of_height:
            shear[k, 0, 3] = math.copysign(long if section.height >= section.width else short, -at_u)
        elif on_flat_of_width:
            shear[k, 1, 3] = math.copysign(short if section.height >= section.width else long, at_v)
    return v, u, shear


def _mid_shear(section: Section, depth: float, breadth: float, inertia: float) -> float:
    """V S / (I b) at mid-depth for V = 1."""
    if not section.is_hollow:
        return 1.5 / (depth * breadth)
    t = section.wall
    first = breadth * depth**2 / 8 - (breadth - 2 * t) * (depth - 2 * t) ** 2 / 8
    return first / (inertia * 2 * t)


def _twist(section: Section) -> tuple[float, float]:
    """Shear stress for a twist of 1 at the middle of the long and of the short sides."""
    if section.is_hollow:
        t, (outer, inner) = section.wall, corner_radii(section)
        r = (outer + inner) / 2
        enclosed = (section.height - t) * (section.width - t) - (4 - math.pi) * r**2
        return 1 / (2 * enclosed * t), 1 / (2 * enclosed * t)
    a, b = max(section.height, section.width) / 2, min(section.height, section.width) / 2
    n = np.arange(1, 800, 2)
    fall = np.exp(-n * math.pi * a / (2 * b))
    sign = np.where((n - 1) // 2 % 2 == 0, 1.0, -1.0)
    # Prandtl's stress function of a rectangle 2a x 2b, a >= b, as a series; 1 / cosh z = 2 e^-z / (1 + e^-2z)
    long = 1 - 8 / math.pi**2 * float(np.sum(2 * fall / (1 + fall**2) / n**2))
    short = 8 / math.pi**2 * float(np.sum(sign / n**2 * (1 - fall**2) / (1 + fall**2)))
    per_twist = 2 * b / torsion_constant(section)
    return long * per_twist, short * per_twist


def _angle(section: Section) -> tuple[Floats, Floats, Floats]:
    h, w, t = section.height, section.width, section.wall
    uc, vc = centroid(section)
    spots = [(0.0, 0.0), (h, 0.0), (h, t), (0.0, w), (t, w)]
    v, u = np.array([p[0] - vc for p in spots]), np.array([p[1] - uc for p in spots])
    shear = np.zeros((len(v), 2, 6))
    twist = t / torsion_constant(section)
    shear[1:3, 0, 3] = twist
    shear[3:5, 1, 3] = twist
    shear[1:3, 0, 1] = 1.5 / (h * t)
    shear[3:5, 1, 2] = 1.5 / (w * t)
    return v, u, shear


def stresses(points: SectionPoints, forces: Floats) -> Floats:
    """Return normal and shear stress at the points of a section.

    Args:
        points: The points.
        forces: (..., 6) section forces [N, N mm], as `section_forces` gives them.

    Returns:
        (..., p, 3): stress along the member, shear along v and u [MPa].

    Source: superposition of what `section_points` names.
    """
    normal = forces @ points.normal.T
    shear = (forces @ points.shear.reshape(-1, 6).T).reshape(*forces.shape[:-1], -1, 2)
    return np.concatenate((normal[..., None], shear), axis=-1)


def von_mises(stress: Floats) -> Floats:
    """Return (...) equivalent stress from (..., 3): along the member, two shears [MPa].

    Source: Huber, von Mises, Hencky: sqrt(s^2 + 3 t^2).

    >>> round(float(von_mises(np.array([100.0, 50.0, 0.0]))), 2)
    132.29
    """
    out: Floats = np.sqrt(stress[..., 0] ** 2 + 3 * (stress[..., 1] ** 2 + stress[..., 2] ** 2))
    return out


def equivalent_along(solution: Solution, stations: Sequence[float] | Floats) -> Floats:
    """Return the largest equivalent stress of sections along every member.

    Args:
        solution: A solved frame.
        stations: (k,) places as shares of each member's length, 0 to 1.

    Returns:
        (c, m, k) [MPa].

    Source: `section_points`, `von_mises`; bends that were made softer than beams carry the stress factors of
    `bend_factors` on their bending moments.

    Raises:
        ValueError: If a member's section has no shape.
    """
    forces = section_forces(solution, stations)
    groups: dict[Section, list[int]] = {}
    for m, member in enumerate(solution.model.frame.members):
        if member.section.shape is None:
            raise ValueError(f"member {member.name}: the section has no shape, so its stresses cannot be told")
        groups.setdefault(member.section.shape, []).append(m)
        if member.arc is not None and member.softer > 1:
            forces[:, m, :, 4:] = _raised(solution, m, member.section.shape, forces[:, m, :, 4:])
    out = np.zeros(forces.shape[:-1])
    for section, rows in groups.items():
        out[:, rows] = von_mises(stresses(section_points(section), forces[:, rows])).max(axis=-1)
    return out


def _raised(solution: Solution, m: int, section: Section, moment: Floats) -> Floats:
    """Bending moments of a thin bend times its stress factors, in its plane and out of it."""
    runs = solution.model.beams.runs
    factors = bend_factors(section, 1 / float(runs.curvature[m]))
    normal = runs.normal[m, 1:]
    in_plane = (moment @ normal)[..., None] * normal
    out: Floats = factors.stress_in_plane * in_plane + factors.stress_out_of_plane * (moment - in_plane)
    return out
