"""Copies of parts of sheet as flat pieces, for what touches what. Product axes, mm."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from handbarrow.design.placing import PlateFrame, Scene
from handbarrow.design.sheet_flat import at_home, flat_part, own_axes, zone_frame
from handbarrow.design.values import Sheet
from handbarrow.laws.geometry.path import Floats

__all__ = ["sheet_frames", "sheet_marks"]

FINEST_RAD, SAGITTA = math.radians(2), 0.5
"""Folds and rolled strips are taken as flat pieces that leave the true curve by no more than this [mm]."""


def sheet_frames(scene: Scene, part_id: str, copy: int) -> tuple[PlateFrame, ...] | None:
    """Return a copy of a part of sheet as flat pieces; None if the part is none, or its stock is no sheet.

    Args:
        scene: The product as it is placed.
        part_id: The part.
        copy: Which copy, from 1.
    """
    part = scene.parts[part_id]
    shape = part.shape
    role = scene.design.stock.get(shape.stock) if isinstance(shape, Sheet) else None
    if not isinstance(shape, Sheet) or role is None or role.thickness is None:
        return None
    axes, at = own_axes(shape), scene.raised(shape.at)
    frames = tuple(
        PlateFrame(
            part=part,
            copy=1,
            origin=origin @ axes + at,
            axes=own @ axes,
            thickness=role.thickness,
            outline=outline,
        )
        for origin, own, outline in _own_frames(at_home(shape), role.thickness)
    )
    return frames if copy == 1 else tuple(frame.at(copy, scene.transform(part_id, copy)) for frame in frames)


@lru_cache(maxsize=64)
def _own_frames(shape: Sheet, thickness: float) -> tuple[tuple[Floats, Floats, Floats], ...]:
    """Origin, axes as rows and outline of each flat piece, in the part's own axes."""
    flat = flat_part(shape, thickness)
    zones = flat.zones(FINEST_RAD, sagitta=SAGITTA)
    return tuple(zone_frame(flat, zone.side, zone.outline) for zone in zones)


def sheet_marks(scene: Scene, part_id: str) -> Floats | None:
    """Return corners of the pieces of copy 1, both faces, (n, 3) [mm]."""
    frames = sheet_frames(scene, part_id, 1)
    return None if frames is None else np.vstack([frame.corners() for frame in frames])
