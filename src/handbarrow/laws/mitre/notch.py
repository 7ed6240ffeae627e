"""Outlines of the notches in the legs of an angle and in a flat, each seen square to its face."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import Outline

__all__ = ["leg_notches"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
TOUCH = 1e-6


def leg_notches(section: Section, ring: Outline, h: Floats) -> dict[str, tuple[tuple[float, float], ...]]:
    """Return the cut line of each leg of an angle, or of a flat, for a saw held square to its face.

    Args:
        section: An angle or a flat.
        ring: Its stations.
        h: (n,) the cut at each station [mm].

    Returns:
        For an angle `height leg` and `width leg`: pairs (distance from the heel, h); for a flat `face`: pairs
        (distance from the middle along the height, h) [mm]. Across the thickness the deeper side counts, so that
        the leg goes in without filing.

    Raises:
        ValueError: For other sections.

    Source: plane geometry.
    """
    u, v = ring.uv[:, 0], ring.uv[:, 1]
    if section.shape == "flat":
        half = section.width / 2
        return {"face": _deeper(v, h, (np.abs(u + half) < TOUCH, np.abs(u - half) < TOUCH))}
    if section.shape != "angle":
        raise ValueError(f"{section.designation} has no legs to notch")
    t = section.wall
    return {
        "height leg": _deeper(v, h, (np.abs(u) < TOUCH, (np.abs(u - t) < TOUCH) & (v > t - TOUCH))),
        "width leg": _deeper(u, h, (np.abs(v) < TOUCH, (np.abs(v - t) < TOUCH) & (u > t - TOUCH))),
    }


def _deeper(across: Floats, h: Floats, faces: tuple[Bools, Bools]) -> tuple[tuple[float, float], ...]:
    """The larger h of two faces at each place across them."""
    places = np.unique(np.round(across[faces[0] | faces[1]], 6))
    best = np.full(len(places), -np.inf)
    for face in faces:
        order = np.argsort(across[face], kind="stable")
        best = np.maximum(best, np.interp(places, across[face][order], h[face][order], left=-np.inf))
    return tuple((float(a), float(b)) for a, b in zip(places, best, strict=True))
