"""Every part of a job as closed skins of triangles: what a viewer shows and an independent reader can weigh.

Copy 1 of the part in product axes, mm. A bought part has a body only where the design knows one (wheels).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from handbarrow.design.values import BarHole, Bought, PlateShape, Run, Sheet
from handbarrow.drawings.contours import flattened, slot_outline
from handbarrow.drawings.mesh_flat import Skin, plate_skin, turned_skin
from handbarrow.drawings.mesh_openings import BarOpening
from handbarrow.drawings.mesh_runs import Cut, RunShape, run_skin
from handbarrow.drawings.plates import plate_figure
from handbarrow.drawings.sheet_bodies import sheet_skin
from handbarrow.drawings.soft_bodies import cloth_skin
from handbarrow.job.bolt_solids import bolt_pieces
from handbarrow.job.bolt_values import Fastener
from handbarrow.job.fitup_holes import plate_frame
from handbarrow.job.soft_values import PanelWork
from handbarrow.job.values import EndCut, Job, JobPart
from handbarrow.laws.geometry.path import Centreline, Floats, Vec2, crown_by_rule, length, vec3

__all__ = ["CHORD", "Body", "Matter", "part_bodies"]

CHORD = 0.1
"""How far a chord may lie from the true curve if nothing else is asked for [mm]."""

Matter = Literal["tube", "bar", "plate", "cloth", "tyre", "rim"]
"""What a body is made of, for its colour."""


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One closed skin of a part and what it is made of."""

    matter: Matter
    skin: Skin


def part_bodies(job: Job, part: JobPart, chord: float = CHORD) -> tuple[Body, ...]:
    """Return the bodies of copy 1 of a part; none for a bought part whose shape nobody knows.

    Args:
        job: The job.
        part: One of its parts.
        chord: How far a chord may lie from the true curve [mm].
    """
    if part.section is not None and part.centreline is not None and part.crown is not None:
        return (Body("tube" if part.section.is_hollow else "bar", run_skin(run_shape(job, part), chord)),)
    if isinstance(part.soft, PanelWork):
        return (Body("cloth", cloth_skin(part.soft)),)
    shape = job.design.part(part.id).shape
    if isinstance(shape, PlateShape):
        return (Body("plate", _plate(job, part, shape, chord)),)
    if isinstance(shape, Sheet):
        return (Body("plate", sheet_skin(job, part)),)
    if isinstance(shape, Bought) and shape.wheel is not None and shape.at is not None:
        return _wheel(job, shape, chord)
    if isinstance(shape, Bought) and part.fastener is not None and shape.at is not None:
        return _bolt(job, part.fastener, shape, chord)
    return ()


# ------------------------------------------------------------------------------------------------ tubes and bars
def run_shape(job: Job, part: JobPart) -> RunShape:
    """Return a tube or bar as it is made: section, centreline, cuts, holes.

    Raises:
        ValueError: If the part is neither.
    """
    if part.section is None or part.centreline is None or part.crown is None:
        raise ValueError(f"{part.id} is neither tube nor bar")
    shape = job.design.part(part.id).shape
    holes = shape.holes if isinstance(shape, Run) else ()
    return RunShape(
        section=part.section,
        line=part.centreline,
        crown=part.crown,
        start=_cut(part.start),
        end=_cut(part.end),
        openings=tuple(_opening(part.centreline, hole) for hole in holes),
    )


def _cut(cut: EndCut | None) -> Cut:
    if cut is None:
        return Cut()
    return Cut(tuple(h for _, h in cut.wrap), cut.inner_wrap, cut.shortest)


def _opening(line: Centreline, hole: BarHole) -> BarOpening:
    along = hole.from_start if hole.from_start is not None else length(line) - (hole.from_end or 0.0)
    return BarOpening(
        along=along,
        face=hole.face,
        across=hole.across,
        diameter=hole.diameter,
        length=hole.length,
        runs_across=hole.slot_along == "across",
        open_edge=hole.open_edge,
        through=hole.through,
    )


# ------------------------------------------------------------------------------------------------ plates
def _plate(job: Job, part: JobPart, shape: PlateShape, chord: float) -> Skin:
    origin, axes, thickness = plate_frame(job.product, shape)
    figure = plate_figure(part)
    holes = []
    for opening in figure.openings:
        if opening.runs_out:
            continue
        contour = opening.contour
        if contour is None:
            contour = slot_outline(opening.centres[0], opening.diameter, opening.diameter, 0.0)
        holes.append(_distinct(flattened(contour, chord)))
    flat = plate_skin(_distinct(flattened(figure.contour, chord)), tuple(holes), part.thickness or thickness)
    return Skin(flat.points @ axes + origin, flat.normals @ axes, flat.triangles)


def _distinct(loop: Sequence[Vec2]) -> tuple[Vec2, ...]:
    """Without corners that lie on the one before."""
    out = [p for k, p in enumerate(loop) if math.dist(p, loop[k - 1]) > 1e-6]
    return tuple((float(x), float(y)) for x, y in out)


# ------------------------------------------------------------------------------------------------ wheels
def _wheel(job: Job, shape: Bought, chord: float) -> tuple[Body, ...]:
    """A wheel, drawn simply: the tyre as a ring of round section, the rim as a flat one, the hub without flanges."""
    if shape.wheel is None or shape.at is None:
        return ()
    tyre, seat = shape.wheel.width / 2, shape.wheel.bead_seat / 2
    around = _steps(seat + 2 * tyre, chord)
    turn = np.arange(_steps(tyre, chord)) * (2 * math.pi / _steps(tyre, chord))
    ring = tuple((tyre * math.sin(a), seat + tyre - tyre * math.cos(a)) for a in turn.tolist())
    rim = _block(0.6 * tyre, seat - 12.0, seat + 2.0)
    hub = _block(2 * tyre, 0.0, min(18.0, seat / 2))
    axis = np.asarray(shape.axis, float) / np.linalg.norm(shape.axis)
    v = np.asarray(crown_by_rule(vec3(axis)))
    frame = np.array([axis, v, np.cross(axis, v)])
    at = np.add(shape.at, (0.0, 0.0, job.product.lift))
    bodies = (("tyre", ring, around), ("rim", rim, around), ("rim", hub, _steps(18.0, chord)))
    return tuple(Body(matter, _moved(turned_skin(loop, steps), frame, at)) for matter, loop, steps in bodies)  # type: ignore[arg-type]


def _bolt(job: Job, fastener: Fastener, shape: Bought, chord: float) -> tuple[Body, ...]:
    """A bolt with its nut, drawn simply: hexagons on a rod; washers are left out."""
    axis = np.asarray(shape.axis, float) / np.linalg.norm(shape.axis)
    v = np.asarray(crown_by_rule(vec3(axis)))
    frame = np.array([axis, v, np.cross(axis, v)])
    at = np.add(shape.at or (0.0, 0.0, 0.0), (0.0, 0.0, job.product.lift))
    out = []
    for one in bolt_pieces(fastener):
        half, middle = (one.end - one.start) / 2, (one.start + one.end) / 2
        steps = 6 if one.hexagon else _steps(one.wide / 2, chord)
        skin = turned_skin(_block(half, 0.0, one.wide / 2), steps)
        out.append(Body("bar", _moved(skin, frame, at + axis * middle)))
    return tuple(out)


def _block(half: float, low: float, high: float) -> tuple[Vec2, ...]:
    return ((-half, low), (half, low), (half, high), (-half, high))


def _steps(radius: float, chord: float) -> int:
    return max(12, math.ceil(math.pi / math.acos(max(0.5, 1 - chord / radius))))


def _moved(skin: Skin, axes: Floats, at: Floats) -> Skin:
    return Skin(skin.points @ axes + at, skin.normals @ axes, skin.triangles)
