"""A fillet weld as a line in space: its length, and what each millimetre of it carries.

The line runs along the outside of a tube's end, as the wrap of its mitre gives it. It is closed. Forces spread as in a
stiff body on a line of equal springs; shear across the tube flows round its wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.geometry.path import Vec3, cross
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.welds.strength import PARTIAL, WeldSteel, directional_use, simplified_use

__all__ = [
    "WeldLine",
    "WeldUse",
    "force_along_line",
    "line_use",
    "member_forces",
    "moment_along_line",
    "round_normals",
    "throat_stress",
    "weld_line",
    "weld_use",
    "wrap_points",
]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class WeldLine:
    """A closed weld, cut into short pieces.

    Attributes:
        at: (n, 3) middle of each piece [mm].
        along: (n, 3) its direction (unit).
        length: (n,) [mm].
        bisector: (n, 3) from the root into the weld, in the plane of the throat (unit).
        corner_rad: (n,) angle between the two faces that the weld joins [rad].
        axis: (3,) of the welded tube, away from the receiver (unit).
    """

    at: Floats
    along: Floats
    length: Floats
    bisector: Floats
    corner_rad: Floats
    axis: Floats

    @property
    def total(self) -> float:
        """Length once round [mm]."""
        return float(self.length.sum())

    @property
    def middle(self) -> Floats:
        """(3,) centroid [mm]."""
        out: Floats = self.length @ self.at / self.length.sum()
        return out


class WeldUse(NamedTuple):
    """How much of a weld is used.

    directional: (...) directional method, worst place [-].
    simplified: (...) simplified method, worst place [-].
    worst: (...) index of the piece that decides the directional method.
    """

    directional: Floats
    simplified: Floats
    worst: NDArray[np.int64]


def wrap_points(end: EndFrame, section: Section, s: ArrayLike, h: ArrayLike) -> Floats:
    """Return (n, 3) points of a wrap on the outside of its tube, in product axes [mm].

    Args:
        end: The end that was cut.
        section: The tube.
        s: (n,) arc length round the outside from the crown line [mm].
        h: (n,) from the working point into the tube to the cut [mm].

    Source: the wrap rolled up again: plane geometry. Between stations of the outline, round tubes keep their radius.

    >>> end = EndFrame((0, 0, 0), (1, 0, 0), (0, -1, 0), (0, 0, 1))
    >>> tube = Section(shape="round tube", height=20, width=20, wall=2)
    >>> wrap_points(end, tube, [0.0], [5.0]).tolist()
    [[5.0, 0.0, 10.0]]
    """
    around, depth = np.asarray(s, float), np.asarray(h, float)
    if section.is_round:
        phi = around / (section.height / 2)
        uv = section.height / 2 * np.column_stack((np.sin(phi), np.cos(phi)))
    else:
        ring = outline(section)
        uv = np.column_stack([np.interp(around, ring.s, ring.uv[:, k]) for k in (0, 1)])
    out: Floats = end.starts(uv) + depth[:, None] * np.asarray(end.into)
    return out


def round_normals(points: Floats, at: Vec3, axis: Vec3) -> Floats:
    """Return (n, 3) outward normals of a round receiver at points on it (unit).

    Args:
        points: (n, 3) [mm].
        at: A point of the receiver's centreline [mm].
        axis: Its direction (unit).

    Source: plane geometry.
    """
    line = np.asarray(axis, float)
    out = np.asarray(points, float) - np.asarray(at, float)
    out = out - (out @ line)[:, None] * line
    return _unit(out)


def _unit(vectors: Floats) -> Floats:
    out: Floats = vectors / np.linalg.norm(vectors, axis=-1, keepdims=True)
    return out


def weld_line(points: Floats, axis: Vec3, normals: Floats | None = None) -> WeldLine:
    """Return the weld round an end.

    Args:
        points: (n, 3) once round the outside [mm]; the line is closed if the last point is not the first.
        axis: Direction of the tube, away from the receiver (unit).
        normals: (n, 3) outward normals of the receiver there, or the one of a flat face (unit); None: faces square to
            each other.

    Raises:
        ValueError: If fewer than three places are given, or the line has no length.

    Source: plane geometry: in the plane square to the weld one face runs along the tube, the other along the receiver;
    the throat halves the angle between them.
    """
    ring = np.asarray(points, float)
    norms = None if normals is None else np.broadcast_to(np.asarray(normals, float), ring.shape)
    if len(ring) < 3:
        raise ValueError(f"{len(ring)} points make no closed weld")
    if not np.allclose(ring[0], ring[-1], rtol=0, atol=1e-9):
        ring = np.vstack((ring, ring[:1]))
        norms = None if norms is None else np.vstack((norms, norms[:1]))
    step = np.diff(ring, axis=0)
    length = np.linalg.norm(step, axis=1)
    real = length > 1e-12
    if not real.any():
        raise ValueError("the weld has no length")
    at, along = ((ring[1:] + ring[:-1]) / 2)[real], step[real] / length[real][:, None]
    straight = np.asarray(axis, float)
    up = _unit(straight - (along @ straight)[:, None] * along)
    away = at - length[real] @ at / length[real].sum()
    away = away - (away @ straight)[:, None] * straight
    out = cross(up, along) if norms is None else cross(((norms[1:] + norms[:-1]) / 2)[real], along)
    out = _unit(out)
    out = out * np.where((out * away).sum(axis=1) < 0, -1.0, 1.0)[:, None]
    corner = np.arccos(np.clip((up * out).sum(axis=1), -1, 1))
    return WeldLine(at, along, length[real], _bisector(up, out, along), corner, straight)


def _bisector(up: Floats, out: Floats, along: Floats) -> Floats:
    """Half way between two faces; where they are one straight line, square to it."""
    half = up + out
    flat = np.linalg.norm(half, axis=1) < 1e-9
    half[flat] = cross(along, up)[flat]
    return _unit(half)


def member_forces(forces: Floats, t: Vec3, v: Vec3) -> Floats:
    """Return forces and moments of a section in product axes [N, N mm].

    Args:
        forces: (..., 6) pull, shear along v and u, twist, moment about v and u, as `section_forces` gives them.
        t: Direction of the member there (unit).
        v: Its crown direction there (unit).

    Returns:
        (..., 6): force and moment along x, y, z.

    Source: rotation; u = t x v.
    """
    turn = np.array([t, v, cross(np.asarray(t, float), np.asarray(v, float))], float)
    values = np.asarray(forces, float)
    out: Floats = np.concatenate((values[..., :3] @ turn, values[..., 3:] @ turn), axis=-1)
    return out


def force_along_line(line: WeldLine, forces: Floats, at: Vec3) -> Floats:
    """Return what each millimetre of weld carries.

    Args:
        line: The weld.
        forces: (..., 6) force and moment on the weld, in the axes of the line [N, N mm].
        at: Where the force acts, as the working point [mm].

    Returns:
        (..., n, 3) [N/mm].

    Source: elastic line: force spread evenly, moments as w x r with w from the line's own inertia (rivet-group rule,
    Bhatt and others; from memory); shear square to the tube flows along its wall, as q = 2 V / (pi D) at most round a
    ring and V / 2h in the two walls of a box that lie along it (closed forms).
    """
    values = np.asarray(forces, float)
    force, moment = values[..., :3], values[..., 3:]
    middle = line.middle
    arm, length = line.at - middle, line.length
    pull = (force @ line.axis)[..., None] * line.axis
    round_it = line.along - (line.along @ line.axis)[:, None] * line.axis
    size = np.linalg.norm(round_it, axis=1, keepdims=True)
    round_it = np.divide(round_it, size, out=np.zeros_like(round_it), where=size > 1e-9)
    stiff = np.einsum("n,ni,nj->ij", length, round_it, round_it) + np.outer(line.axis, line.axis)
    flow = ((force - pull) @ np.linalg.inv(stiff).T @ round_it.T)[..., None] * round_it
    left = moment + cross(np.asarray(at, float) - middle, force) - _moment(arm, length, flow)
    out: Floats = flow + pull[..., None, :] / line.total + moment_along_line(line, left)
    return out


def moment_along_line(line: WeldLine, moment: Floats) -> Floats:
    """Return (..., n, 3) what each millimetre of weld carries of a moment alone [N/mm].

    Args:
        line: The weld.
        moment: (..., 3) on it [N mm].

    Source: elastic line: w x r with w from the line's own inertia (rivet-group rule, Bhatt and others; from memory).
    """
    arm, length = line.at - line.middle, line.length
    own = (length**2 / 12)[:, None, None] * (np.eye(3) - line.along[:, :, None] * line.along[:, None, :])
    square = (arm**2).sum(axis=1)[:, None, None] * np.eye(3) - arm[:, :, None] * arm[:, None, :]
    turn = moment @ np.linalg.inv(np.einsum("n,nij->ij", length, square + own)).T
    out: Floats = cross(turn[..., None, :], arm)
    return out


def _moment(arm: Floats, length: Floats, flow: Floats) -> Floats:
    out: Floats = np.einsum("n,...ni->...i", length, cross(arm, flow))
    return out


def throat_stress(line: WeldLine, force: Floats, throat: ArrayLike) -> Floats:
    """Return the three stresses in the throat.

    Args:
        line: The weld.
        force: (..., n, 3) on each millimetre [N/mm].
        throat: One, or (n,) [mm].

    Returns:
        (..., n, 3): across the throat, shear in it across the weld, shear along the weld [MPa].

    Source: EN 1993-1-8 4.5.3.2 figure 4.5 (from memory): force over throat, split along the throat's own directions.
    """
    across = cross(line.along, line.bisector)
    ways = np.stack((across, line.bisector, line.along), axis=-1)
    out: Floats = np.einsum("...ni,nij->...nj", force, ways) / np.asarray(throat, float)[..., None]
    return out


def weld_use(
    line: WeldLine, throat: float, forces: Floats, at: Vec3, steel: WeldSteel, partial: float = PARTIAL
) -> WeldUse:
    """Return how much of a weld is used [-] by both methods of EN 1993-1-8.

    Args:
        line: The weld.
        throat: The same all round [mm].
        forces: (..., 6) force and moment on the weld, in the axes of the line [N, N mm].
        at: Where they act [mm].
        steel: The weaker of the joined steels.
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 4.5.3 (read at second hand) on the forces of `force_along_line`. No rise for the direction of
    the force on branch welds (AISC Design Guide 24, read): the simplified value is the safer one.
    """
    return line_use(line, throat, force_along_line(line, forces, at), steel, partial)


def line_use(line: WeldLine, throat: float, force: Floats, steel: WeldSteel, partial: float = PARTIAL) -> WeldUse:
    """Return how much of a weld is used [-] by both methods of EN 1993-1-8, from what each millimetre carries.

    Args:
        line: The weld.
        throat: The same all along [mm].
        force: (..., n, 3) on each millimetre [N/mm].
        steel: The weaker of the joined steels.
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 4.5.3 (read at second hand).

    Raises:
        ValueError: If the throat is not above 0.
    """
    if not (throat > 0 and math.isfinite(throat)):
        raise ValueError(f"throat={throat:g} mm must be above 0")
    each = directional_use(throat_stress(line, force, throat), steel, partial)
    plain = simplified_use(np.linalg.norm(force, axis=-1), throat, steel, partial)
    return WeldUse(each.max(axis=-1), plain.max(axis=-1), each.argmax(axis=-1))
