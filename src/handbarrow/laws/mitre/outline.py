"""Stations round the outside of a section, starting at the crown line, right-handed about the run's direction.

Every station is a line along the run. Section axes as in `laws.geometry.section`: v along the height (the crown),
u = t x v. Lengths mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import corner_radii

__all__ = ["STATIONS", "Outline", "outline"]

Floats = NDArray[np.float64]

STATIONS = 361
"""Stations round a tube of round section, both ends counted."""
FACE_STEPS = 24
"""Steps along a whole flat face."""
CORNER_STEPS = 8
"""Steps round a rounded corner."""


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """Stations round a section.

    Attributes:
        s: (n,) arc length on the outside from the crown line [mm]; the last one is the girth.
        uv: (n, 2) where each station lies in the section [mm], columns u, v.
        inner_uv: (n, 2) the same stations on the inside of the wall [mm]; None for solid bars and angles.
    """

    s: Floats
    uv: Floats
    inner_uv: Floats | None

    @property
    def girth(self) -> float:
        """Length once round the outside [mm]."""
        return float(self.s[-1])

    @property
    def reach(self) -> float:
        """Largest distance of a station from the section's origin [mm]."""
        return float(np.max(np.hypot(self.uv[:, 0], self.uv[:, 1])))


@lru_cache(maxsize=256)
def outline(section: Section, stations: int = STATIONS) -> Outline:
    """Return the stations round the outside of a section [mm].

    Args:
        section: The section.
        stations: How many stations round a round section, both ends (the crown line) counted. Sections with flat
            faces always have a station at each corner.

    Returns:
        The stations; the first and the last one are both the crown line. An angle starts at the outer tip of its
        height leg, where the crown direction leaves the section.

    Source: plane geometry; corner radii of rectangular tube as in `corner_radii`.

    >>> from handbarrow.laws.geometry.section import Section
    >>> ring = outline(Section(shape="round tube", height=26.9, width=26.9, wall=2.3), 5)
    >>> [round(float(s), 3) for s in ring.s]
    [0.0, 21.127, 42.254, 63.382, 84.509]
    """
    if section.is_round:
        phi = np.linspace(0.0, 2 * math.pi, stations)
        ring = np.column_stack((np.sin(phi), np.cos(phi)))
        ring[-1] = ring[0]
        r = section.height / 2
        return _frozen(r * phi, r * ring, (r - section.wall) * ring if section.is_hollow else None)
    if section.shape == "angle":
        return _angle(section)
    return _rectangle(section)


def _frozen(s: Floats, uv: Floats, inner: Floats | None) -> Outline:
    for array in (s, uv, inner):
        if array is not None:
            array.setflags(write=False)
    return Outline(s, uv, inner)


def _rectangle(section: Section) -> Outline:
    """Rectangle whose corners are quarter circles: base points on the inner rectangle, pushed out along the normal."""
    outer, inner = corner_radii(section)
    a, b = section.width / 2 - outer, section.height / 2 - outer
    corners = [(a, b), (a, -b), (-a, -b), (-a, b)]
    base, normal_rad = [(0.0, b)], [0.0]
    for k in range(5):
        target = corners[k] if k < 4 else (0.0, b)
        steps = FACE_STEPS if 0 < k < 4 else FACE_STEPS // 2
        here = np.asarray(base[-1])
        if not np.allclose(here, target, rtol=0, atol=1e-12):
            base += [tuple(here + (np.asarray(target) - here) * i / steps) for i in range(1, steps + 1)]
            normal_rad += [k * math.pi / 2] * steps
        if k < 4 and outer > 0:
            base += [corners[k]] * CORNER_STEPS
            normal_rad += [(k + i / CORNER_STEPS) * math.pi / 2 for i in range(1, CORNER_STEPS + 1)]
    points, turn = np.asarray(base), np.asarray(normal_rad)
    out = np.column_stack((np.sin(turn), np.cos(turn)))
    s = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T) + outer * np.diff(turn))))
    if outer == 0:
        s = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
    wall = points + inner * out if section.is_hollow else None
    return _frozen(s, points + outer * out, wall)


def _angle(section: Section) -> Outline:
    """From the outer tip of the height leg over its inner face and the width leg back along the outside."""
    h, w, t = section.height, section.width, section.wall
    corners = np.array([(0.0, h), (t, h), (t, t), (w, t), (w, 0.0), (0.0, 0.0), (0.0, h)])
    points = [corners[0]]
    for here, there in pairwise(corners):
        steps = FACE_STEPS if np.hypot(*(there - here)) > 1.5 * t else 4
        points += [here + (there - here) * i / steps for i in range(1, steps + 1)]
    uv = np.asarray(points)
    s = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(uv, axis=0).T))))
    return _frozen(s, uv, None)
