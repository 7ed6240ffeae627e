"""Plates and angles that hold axles: bending at the weld, tearing out, bearing; worst copy of each part."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import BarHole, PlateShape, Run, Target
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.frame_values import Check, not_made
from handbarrow.job.frame_verdicts import verdict
from handbarrow.job.joint_bolts import to_edge
from handbarrow.job.joint_forces import Tied, steel_of
from handbarrow.job.joint_lines import Seam, way_at
from handbarrow.job.joint_welds import Ground
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.language import said
from handbarrow.laws.geometry.path import Floats, closest, cross, length, vec3
from handbarrow.laws.joints.plates import AxlePlate, axle_plate_use

__all__ = ["plate_checks"]

LYING = 0.7
"""A plate lies against the side of a run if it is further from its axis than this share of its radius."""


class _Held(NamedTuple):
    """An axle in a plate: the plate, its axes as rows (along the weld, square to the plate, along the drop)."""

    one: Tied
    target: Target
    plate: AxlePlate
    axes: Floats


def plate_checks(ground: Ground, ties: Sequence[Tied], found: Sequence[Seam]) -> list[Check]:
    """Return one check for each part that holds axles; those whose weld or steel is not known by name."""
    job = ground.job
    groups: dict[str, list[_Held]] = {}
    left: dict[str, None] = {}
    for one in ties:
        target = _holds_axle(ground, one)
        if target is None:
            continue
        held = _held(ground, one, target, found)
        if held is None:
            left[target.part] = None
        else:
            groups.setdefault(target.part, []).append(held)
    out = [_check(ground, part, alike) for part, alike in groups.items()]
    for part in left:
        if part not in groups:
            why = said("its weld or its steel is not known; proof load and inspection decide")
            title = said("{part} under its axle", part=job.part(part).title)
            out.append(not_made(f"axle-plate-{part}", title, why, (part,)))
    return out


def _holds_axle(ground: Ground, one: Tied) -> Target | None:
    """The plate or angle in which a wheel's axle, or a bar, sits."""
    tie, design = one.tie, ground.job.design
    if tie.kind == "ball" or (tie.contact is None and tie.kind == "stiff"):
        for target in (tie.one.piece, tie.other.piece):
            piece = ground.pieces.get(target)
            if isinstance(design.part(target.part).shape, PlateShape):
                return target
            if piece is not None and piece.section.shape == "angle":
                return target
    return None


def _held(ground: Ground, one: Tied, target: Target, found: Sequence[Seam]) -> _Held | None:
    steel = steel_of(ground.job, target.part).yield_mpa
    if steel is None:
        return None
    return (
        _in_angle(ground, one, target, steel)
        if target in ground.pieces
        else _in_plate(ground, one, target, steel, found)
    )


def _in_angle(ground: Ground, one: Tied, target: Target, steel: float) -> _Held | None:
    """A leg of an angle that hangs from its heel."""
    piece, shape = ground.pieces[target], ground.job.design.part(target.part).shape
    seat = np.asarray(one.tie.at)
    foot = closest(piece.line, vec3(seat))
    down = seat - np.asarray(foot.point)
    drop, whole = float(np.linalg.norm(down)), length(piece.line)
    slots = shape.holes if isinstance(shape, Run) else ()
    if drop < 1.0 or not slots:
        return None

    def away(h: BarHole) -> float:
        at = h.from_start if h.from_start is not None else whole - (h.from_end or 0.0)
        return abs(at - foot.along)

    hole = min(slots, key=away)
    plate = AxlePlate(
        thickness=piece.section.wall, width=whole, drop=drop, hole=hole.diameter,
        edge=min(drop, foot.along, whole - foot.along), yield_mpa=steel,
    )  # fmt: skip
    way, drops = way_at(piece, foot.along), down / drop
    return _Held(one, target, plate, np.array([way, cross(way, drops), drops]))


def _in_plate(ground: Ground, one: Tied, target: Target, steel: float, found: Sequence[Seam]) -> _Held | None:
    """A plate that is welded to a run by an edge."""
    shape = ground.job.design.part(target.part).shape
    seam = next((s for s in found if target in (s.piece, s.to) and len(s.ties) > 1), None)
    if seam is None or not isinstance(shape, PlateShape) or not shape.holes:
        return None
    scene: Scene = ground.scene
    origin, own, thickness = plate_frame(scene.product, shape)
    m = scene.inverses[(target.part, target.copy)]
    at = own[:2] @ (m[:3, :3] @ np.asarray(one.tie.at) + m[:3, 3] - origin)
    hole = min(shape.holes, key=lambda h: float(np.hypot(h.at[0] - at[0], h.at[1] - at[1])))
    square = scene.transforms[(target.part, target.copy)][:3, :3] @ own[2]
    feet = np.array([tie.tie.at for tie in seam.ties])
    way = feet[-1] - feet[0]
    width = float(np.linalg.norm(way))
    way = way / width
    run = seam.to if seam.to in ground.pieces else seam.piece
    down = np.asarray(one.tie.at) - feet[0]
    down = down - way * float(down @ way) - square * float(down @ square)
    drop = float(np.linalg.norm(down))
    half = ground.pieces[run].section.height / 2
    beside = abs(float((np.asarray(one.tie.at) - feet[0]) @ square)) > LYING * half
    clear = drop if beside else max(drop - half, 1.0)
    if drop < 1.0:
        return None
    plate = AxlePlate(
        thickness=thickness, width=width, drop=clear, hole=hole.diameter,
        edge=to_edge(np.asarray(shape.outline, float), np.asarray(hole.at, float)), yield_mpa=steel,
    )  # fmt: skip
    return _Held(one, target, plate, np.array([way, square, down / drop]))


def _check(ground: Ground, part: str, alike: Sequence[_Held]) -> Check:
    best: tuple[float, str] = (-1.0, "")
    for held in alike:
        own = np.concatenate((held.one.forces[:, :3] @ held.axes.T, held.one.forces[:, 3:] @ held.axes.T), axis=1)
        levers = np.abs(own[:, 3:5]) / held.plate.drop
        acts = np.abs(own[:, :3]) + np.stack((levers[:, 1], levers[:, 0], np.zeros(len(own))), axis=1)
        use = axle_plate_use(held.plate, acts).worst
        k = int(np.argmax(use))
        if use[k] > best[0]:
            best = float(use[k]), held.one.cases[k]
    margin = 1 / max(best[0], 1e-9) - 1
    return Check(
        id=f"axle-plate-{part}", title=said("{part} under its axle: bending, tearing out, bearing",
        part=ground.job.part(part).title), value=100 * best[0], limit=100.0, unit="%", margin=margin,
        verdict=verdict(margin),
        rule=said(
            "cantilever from the weld, elastic, below yield (closed form); two planes of shear to the edge (common "
            "practice, no source); bearing EN 1993-1-8 table 3.10 (read in an extract); safety 1.5 to hold"
        ),
        assumes=said("axle nuts tight: an axle in an open slot is held by them alone when the wheel hangs"),
        parts=(part,), case=best[1],
    )  # fmt: skip
