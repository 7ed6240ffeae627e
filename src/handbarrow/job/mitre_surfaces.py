"""What an end meets, seen from the run that is cut: the surface of a member or the plane of a plate.

Everything is brought into the axes of copy 1 of what is met, so that a copy, mirrored or not, is the same sum.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Joint, Member, PlateShape, Product, Target
from handbarrow.laws.geometry.path import Vec3, cross, crown_on_straights, layout, vec3
from handbarrow.laws.mitre.cope import plane_cut, plane_tilt
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.receiver import Hits, Receiver, hits, meeting
from handbarrow.laws.mitre.straight_cuts import axis_tilt

__all__ = ["LEAST_ANGLE_RAD", "Against", "Plane", "Scene", "end_frame"]

Floats = NDArray[np.float64]

LEAST_ANGLE_RAD = math.radians(3.0)
"""A run that meets something at less than this lies along it: there is nothing to cut to [rad]."""


class Plane(NamedTuple):
    """A cutting plane: unit normal and a point of it [mm]."""

    normal: Vec3
    point: Vec3

    def moved(self, matrix: Floats) -> Plane:
        """Return the plane moved by a rigid (4, 4) transform."""
        turn = matrix[:3, :3]
        return Plane(vec3(turn @ self.normal), vec3(turn @ np.asarray(self.point) + matrix[:3, 3]))

    def facing(self, frame: EndFrame, gap: float = 0.0) -> Plane:
        """Return the plane with its normal into the tube, drawn back by a gap [mm]."""
        n = np.asarray(self.normal)
        n = n if float(n @ np.asarray(frame.into)) >= 0 else -n
        return Plane(vec3(n), vec3(np.asarray(self.point) + gap * n))


class Against(NamedTuple):
    """One thing that an end meets: a member's surface or a plane, in the axes of its own copy 1.

    Attributes:
        target: Which copy.
        surface: The receiver, or the plane.
        frame: The end that is cut, in the same axes.
    """

    target: Target
    surface: Receiver | Plane
    frame: EndFrame

    @property
    def angle_rad(self) -> float:
        """Angle between the run and the receiver's axis or the plane, 0 to pi/2 [rad]."""
        if isinstance(self.surface, Receiver):
            return meeting(self.frame, self.surface).angle_rad
        return math.asin(min(abs(float(np.dot(self.surface.normal, self.frame.into))), 1.0))

    @property
    def offset(self) -> float:
        """By how much the axes pass each other [mm]; 0 for a plane."""
        return meeting(self.frame, self.surface).offset if isinstance(self.surface, Receiver) else 0.0

    def cut(self, uv: Floats, gap: float) -> Hits:
        """Return the cut at stations (n, 2) [mm]."""
        if isinstance(self.surface, Receiver):
            return hits(self.frame, uv, self.surface, gap)
        plane = self.surface.facing(self.frame, gap)
        nothing = np.zeros(len(uv))
        return Hits(plane_cut(self.frame, uv, plane.normal, plane.point), nothing, nothing, True)

    def tilt(self) -> tuple[Floats, Floats]:
        """Return the tilt of the whole cut and the way across the receiver's axis, both (2,) in (u, v)."""
        if isinstance(self.surface, Receiver):
            return axis_tilt(self.frame, meeting(self.frame, self.surface).axis)
        return plane_tilt(self.frame, self.surface.normal), np.array([1.0, 0.0])


def end_frame(member: Member, end: str) -> EndFrame:
    """Return where an end of a member sits: v = the crown there, u = t x v with t along the run."""
    place = layout(member.centreline)
    k = 0 if end == "start" else -1
    t, v = place.directions[k], crown_on_straights(member.centreline, member.crown)[k]
    point, into = (place.start, t) if end == "start" else (place.end, -t)
    return EndFrame(vec3(point), vec3(into), vec3(cross(t, v)), vec3(v))


class Scene:
    """A product with the transforms of its copies and their inverses at hand."""

    def __init__(self, product: Product) -> None:
        """Keep the product; nothing is computed yet."""
        self.product = product

    @cached_property
    def transforms(self) -> dict[tuple[str, int], Floats]:
        """(4, 4) transform of every copy."""
        return {(p.part, p.copy): np.asarray(p.transform, float) for p in self.product.placements}

    @cached_property
    def inverses(self) -> dict[tuple[str, int], Floats]:
        """(4, 4) inverse transform of every copy."""
        return dict(zip(self.transforms, np.linalg.inv(np.array(list(self.transforms.values()))), strict=True))

    @cached_property
    def copies(self) -> dict[str, list[int]]:
        """Copy numbers of every part."""
        out: dict[str, list[int]] = {}
        for part, copy in self.transforms:
            out.setdefault(part, []).append(copy)
        return out

    def against(self, joint: Joint, target: Target, frame: EndFrame) -> list[Against]:
        """Return what a target presents to an end, the likeliest first; empty where it has no surface we know.

        Args:
            joint: The joint as resolved for copy 1; its plane is used for its first target.
            target: Which copy is met.
            frame: The end in product axes.
        """
        key = (target.part, target.copy)
        if key not in self.inverses:
            return []
        seen = frame.moved(self.inverses[key])
        member = self.product.members.get(target.part)
        if member is not None:
            receiver = Receiver(member.section, member.centreline, member.crown)
            return [Against(target, receiver, seen)]
        planes = self._faces(target.part, seen)
        first = joint.against[0]
        if target.part == first.part and joint.normal is not None and joint.plane_point is not None:
            named = Plane(joint.normal, joint.plane_point).moved(self.inverses[(first.part, first.copy)])
            planes.insert(0, named)
        return [Against(target, plane, seen) for plane in planes]

    def _faces(self, part_id: str, frame: EndFrame) -> list[Plane]:
        """Both faces of a plate (copy 1, product axes), the one first that an end comes to from inside its tube."""
        shape = self.product.design.part(part_id).shape
        if not isinstance(shape, PlateShape):
            return []
        n, at = np.asarray(shape.facing, float), np.asarray(shape.at, float) + np.array([0, 0, self.product.lift])
        n = n / np.linalg.norm(n)
        thickness = self.product.design.stock[shape.stock].thickness or 0.0
        side = 1.0 if float(n @ np.asarray(frame.into)) >= 0 else 0.0
        return [Plane(vec3(n), vec3(at + n * thickness * k)) for k in (side, 1.0 - side)]
