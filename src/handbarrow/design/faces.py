"""Ends of runs against the faces of plates."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from handbarrow.design.placing import PlateFrame
from handbarrow.design.values import PlateShape, Target
from handbarrow.laws.geometry.approach import outline_distance
from handbarrow.laws.geometry.path import Floats

__all__ = ["Face", "Plates"]

SLANT = math.sin(math.radians(3.0))
"""A run at less than 3 degrees to a plate runs along it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """The face of a plate that a run comes up to.

    Attributes:
        target: The plate.
        normal: Unit normal of the face, out of the plate, into the run.
        point: Where the run's axis meets the face.
        gap: Distance of the working point from the face, positive before it [mm].
        depth: How far the working point lies beyond the plate's other face, 0 if it does not [mm].
        beside: Distance of `point` from the outline, 0 inside [mm].
        hole: Whether the end stands in a hole that is wide enough for the run.
    """

    target: Target
    normal: Floats
    point: Floats
    gap: float
    depth: float
    beside: float
    hole: bool


class Plates:
    """All copies of all plates, asked for one end at a time."""

    def __init__(self, frames: list[PlateFrame]) -> None:
        """Stack the frames."""
        self.frames = frames
        self._origins = np.array([frame.origin for frame in frames]).reshape(-1, 3)
        self._axes = np.array([frame.axes for frame in frames]).reshape(-1, 3, 3)
        self._thickness = np.array([frame.thickness for frame in frames])

    def near(self, point: Floats, into: Floats, width: float, reach: float) -> list[Face]:
        """Return the faces that an end comes up to within reach, the nearest first.

        Args:
            point: Working point.
            into: Unit direction from there into the run.
            width: Largest outside of the run [mm].
            reach: How far before the face or beyond the plate the working point may lie [mm].
        """
        if not self.frames:
            return []
        slant = self._axes[:, 2] @ into
        z = np.einsum("qj,qj->q", self._axes[:, 2], point - self._origins)
        gap = np.where(slant > 0, z - self._thickness, -z)
        likely = (np.abs(slant) >= SLANT) & (gap <= reach) & (gap >= -self._thickness - reach)
        faces = [self._face(int(q), point, into, width) for q in np.flatnonzero(likely)]
        return sorted(
            (face for face in faces if face.beside <= 1.0),
            key=lambda face: (round(abs(face.gap), 6), face.target.part, face.target.copy),
        )

    def of(self, target: Target, point: Floats, into: Floats, width: float) -> Face | None:
        """Return the face of one plate that a run comes up to; None if the run lies along it."""
        for q, frame in enumerate(self.frames):
            if frame.part.id == target.part and frame.copy == target.copy:
                return self._face(q, point, into, width) if abs(float(frame.axes[2] @ into)) >= SLANT else None
        return None

    def _face(self, q: int, point: Floats, into: Floats, width: float) -> Face:
        frame = self.frames[q]
        slant = float(frame.axes[2] @ into)
        side = math.copysign(1.0, slant)
        z = float(frame.axes[2] @ (point - frame.origin))
        face_z = frame.thickness if side > 0 else 0.0
        gap = side * (z - face_z)
        at = point + into * ((face_z - z) / slant)
        own = frame.own(at[None, :])[:, :2]
        shape = frame.part.shape
        assert isinstance(shape, PlateShape)  # noqa: S101
        hole = any(
            h.length == 0 and h.diameter >= width - 0.1 and math.dist(h.at, own[0]) <= (h.diameter - width) / 2 + 1.0
            for h in shape.holes
        )
        return Face(
            target=Target(part=frame.part.id, copy=frame.copy),
            normal=frame.axes[2] * side,
            point=at,
            gap=gap,
            depth=max(0.0, -gap - frame.thickness),
            beside=float(outline_distance(frame.outline, own)[0]),
            hole=hole,
        )
