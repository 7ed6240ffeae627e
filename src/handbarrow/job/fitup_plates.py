"""Places on plates, and what of a plate is nearest to something. Lengths mm."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from handbarrow.design.bodies import TOUCHES
from handbarrow.design.values import PlateShape, Target
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.fitup_sides import side_of
from handbarrow.job.fitup_values import Contact, Place
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.laws.geometry.path import Floats, layout, vec3
from handbarrow.laws.geometry.rigid import moved, turned

__all__ = ["nearest_on_plate", "on_edges", "on_plate", "plate_axes", "plate_points"]


def _shape(scene: Scene, plate: Target) -> PlateShape:
    shape = scene.product.design.part(plate.part).shape
    if not isinstance(shape, PlateShape):
        raise TypeError(f"{plate.part} is no plate")
    return shape


def plate_axes(scene: Scene, plate: Target) -> Floats:
    """Return the axes of copy 1 of a plate as rows, product axes."""
    return plate_frame(scene.product, _shape(scene, plate))[1]


def nearest_on_plate(scene: Scene, plate: Target, points: Floats) -> Floats:
    """The points of a plate (copy 1) nearest to some points, all in its product axes."""
    shape = _shape(scene, plate)
    origin, axes, thickness = plate_frame(scene.product, shape)
    own = (points - origin) @ axes.T
    corners = np.asarray(shape.outline, float)
    flat = _nearest_in_outline(corners, own[:, :2])
    near = np.column_stack([flat, np.clip(own[:, 2], 0.0, thickness)])
    return np.asarray(origin + near @ axes)


def _nearest_in_outline(corners: Floats, points: Floats) -> Floats:
    """The points of a polygon with its inside nearest to points (n, 2)."""
    a, b = corners, np.roll(corners, -1, axis=0)
    e = b - a
    f = np.einsum("nij,ij->ni", points[:, None] - a, e) / np.einsum("ij,ij->i", e, e)
    feet = a + np.clip(f, 0.0, 1.0)[..., None] * e
    gap = np.linalg.norm(feet - points[:, None], axis=2)
    best = feet[np.arange(len(points)), np.argmin(gap, axis=1)]
    up = (a[:, 1] > points[:, None, 1]) != (b[:, 1] > points[:, None, 1])
    rise = np.where(e[:, 1] == 0, 1.0, e[:, 1])
    x = a[:, 0] + (points[:, None, 1] - a[:, 1]) * e[:, 0] / rise
    inside = (up & (points[:, None, 0] < x)).sum(axis=1) % 2 == 1
    return np.where(inside[:, None], points, best)


def on_plate(scene: Scene, contact: Contact, run: bool) -> tuple[Place, float]:
    """Something that lies on a plate or stands on it by an edge: the middle of where they meet, from its edges."""
    if run:
        member = scene.product.members[contact.piece.part]
        line = layout(member.centreline)
        points = np.array([line.start, *line.tangents_in, *line.tangents_out, line.end])
        steps = np.linspace(0.0, 1.0, 200)[:, None]
        body = np.concatenate([a + (b - a) * steps for a, b in pairwise(points)])
        reach = member.section.height / 2
    else:
        body, reach = plate_points(scene, contact.piece), 0.0
    m = scene.inverses[(contact.to.part, contact.to.copy)] @ scene.transforms[
        (contact.piece.part, contact.piece.copy)
    ]  # fmt: skip
    there = moved(m, body)
    near = nearest_on_plate(scene, contact.to, there)
    gap = np.linalg.norm(near - there, axis=1)
    touching = near[gap <= max(float(gap.min()), reach) + TOUCHES]
    spread = np.ptp(touching, axis=0)
    back = scene.transforms[(contact.to.part, contact.to.copy)]
    middle = moved(back, (touching.min(axis=0) + touching.max(axis=0))[None] / 2)[0]
    place = on_edges(scene, contact.to, middle, moved(back, touching))
    return place, float(spread.max())


def plate_points(scene: Scene, plate: Target) -> Floats:
    """Return points along the outline of both faces of a plate (copy 1), product axes."""
    shape = _shape(scene, plate)
    origin, axes, thickness = plate_frame(scene.product, shape)
    corners = np.asarray(shape.outline, float)
    steps = np.linspace(0.0, 1.0, 60, endpoint=False)[:, None]
    flat = np.concatenate([a + (b - a) * steps for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True)])
    both = np.concatenate([np.column_stack([flat, np.full(len(flat), z)]) for z in (0.0, thickness)])
    return np.asarray(origin + both @ axes)


def on_edges(scene: Scene, plate: Target, middle: Floats, points: Floats) -> Place:
    """A place on a plate's face from the nearer of its edges, each way."""
    shape = _shape(scene, plate)
    origin, axes, _ = plate_frame(scene.product, shape)
    m = scene.inverses[(plate.part, plate.copy)]
    own = (moved(m, np.vstack([middle, points])) - origin) @ axes.T
    xs, ys = (np.asarray(v) for v in zip(*shape.outline, strict=True))
    x, y = float(own[0, 0]), float(own[0, 1])
    from_low = x - float(xs.min()) <= float(xs.max()) - x + 1e-9
    centre = x - float(xs.min()) if from_low else float(xs.max()) - x
    spread = own[1:, 0] - float(xs.min()) if from_low else float(xs.max()) - own[1:, 0]
    across = min(y - float(ys.min()), float(ys.max()) - y)
    turn = scene.transforms[(plate.part, plate.copy)]
    normal = turned(turn, axes[2:3])[0]
    return Place(
        datum="edges", centre=centre, near=float(spread.min()), far=float(spread.max()), across=across,
        side=side_of(normal)[0], point=vec3(middle), datum_point=vec3(middle),
    )  # fmt: skip
