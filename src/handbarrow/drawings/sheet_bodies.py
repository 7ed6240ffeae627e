"""Parts of sheet in three dimensions: their blank's zones folded into place: a closed skin, and for views. Lengths mm.

Every corner of a zone is placed once, on both faces, and shared by all zones that have it: so the skin is closed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from handbarrow.design.sheet_flat import at_home, clear_of_holes, flat_part, hole_side, on_blank, own_axes, side_turn
from handbarrow.design.values import Sheet
from handbarrow.drawings.contours import flattened, slot_outline
from handbarrow.drawings.mesh_flat import CREASE_RAD, Ints, Skin, triangles_of
from handbarrow.drawings.solids import Mesh
from handbarrow.drawings.thin_bodies import Edge, open_edges, thin_mesh, thin_skin
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.folding.flat_part import FlatPart, Zone
from handbarrow.laws.folding.strip import FoldedStrip
from handbarrow.laws.geometry.approach import outline_distance
from handbarrow.laws.geometry.path import Floats, Vec2

__all__ = ["sheet_mesh", "sheet_skin"]

HOLE_CHORD = 0.1
SHUT = 0.02
"""Inside radius of a hem that is folded flat, as it is shown: its inner faces must not fall together [mm]."""
SAME = 1e-6


class _Piece(NamedTuple):
    """A zone: its loops as numbers of corners, the outline first, counter-clockwise on the blank; its triangles."""

    loops: tuple[tuple[int, ...], ...]
    triangles: Ints


class _Folded(NamedTuple):
    """All corners on both faces in their places, unit normals of the upper face there, and the pieces."""

    low: Floats
    high: Floats
    pieces: tuple[_Piece, ...]
    blank: Floats


def _shown(flat: FlatPart) -> FlatPart:
    """The part with hems that are shut open by a hair."""
    sides = []
    for side in flat.sides:
        folds = tuple(
            replace(f, radius=SHUT, share=(f.share or 0.0) - SHUT / flat.thickness)
            if f.radius == 0 and f.share is not None
            else f
            for f in side.strip.folds
        )
        strip = FoldedStrip(thickness=flat.thickness, flats=side.strip.flats, folds=folds)
        sides.append(replace(side, strip=strip))
    return replace(flat, sides=tuple(sides))


def _hole_loops(shape: Sheet, flat: FlatPart) -> list[tuple[Floats, int | None]]:
    out = []
    for hole in shape.holes:
        at, angle = on_blank(flat, shape, hole), hole.angle_rad + side_turn(flat, hole_side(flat, shape, hole))
        contour = slot_outline(at, hole.diameter, max(hole.length, hole.diameter), angle)
        ring = flattened(contour, HOLE_CHORD)
        loop = np.array([p for k, p in enumerate(ring) if math.dist(p, ring[k - 1]) > SAME])
        out.append((loop, hole_side(flat, shape, hole)))
    return out


def _of(job: Job, part: JobPart) -> _Folded:
    shape = job.design.part(part.id).shape
    if not isinstance(shape, Sheet) or part.sheet is None or part.thickness is None:
        raise ValueError(f"{part.id} is not of sheet")
    own = _folded(at_home(shape), part.thickness, part.sheet.share)
    axes, at = own_axes(shape), np.add(shape.at, (0.0, 0.0, job.product.lift))
    return own._replace(low=own.low @ axes + at, high=own.high @ axes + at)


@lru_cache(maxsize=64)
def _folded(shape: Sheet, thickness: float, share: float | None) -> _Folded:
    """A part of sheet in its own axes."""
    flat = _shown(flat_part(shape, thickness, share))
    zones = flat.zones(whole=clear_of_holes(flat, shape))
    holes = _hole_loops(shape, flat)
    numbers: dict[tuple[int, int], int] = {}
    corners: list[tuple[float, float]] = []
    sides: list[int | None] = []
    pieces = []
    for zone in zones:
        inside = [loop for loop, side in holes if side == zone.side and zone.flat and _within(zone, loop)]
        loops = []
        for loop in (zone.outline, *inside):
            ring = []
            for x, y in loop.tolist():
                key = (round(x / SAME), round(y / SAME))
                if key not in numbers:
                    numbers[key] = len(corners)
                    corners.append((x, y))
                    sides.append(zone.side)
                ring.append(numbers[key])
            loops.append(tuple(ring))
        order = np.array([i for loop in loops for i in loop])
        local = triangles_of(zone.outline, [_pairs(loop) for loop in inside])
        pieces.append(_Piece(tuple(loops), order[local]))
    blank = np.array(corners)
    low, high = _placed(flat, blank, sides)
    return _Folded(low, high, tuple(pieces), blank)


def _pairs(loop: Floats) -> list[Vec2]:
    return [(x, y) for x, y in loop.tolist()]


def _within(zone: Zone, loop: Floats) -> bool:
    return bool(np.all(outline_distance(zone.outline, loop.mean(axis=0)[None]) == 0.0))


def _placed(flat: FlatPart, blank: Floats, sides: Sequence[int | None]) -> tuple[Floats, Floats]:
    """Both faces of all corners; one that two zones share is placed by the first of them."""
    low, high = np.zeros((len(blank), 3)), np.zeros((len(blank), 3))
    for side in dict.fromkeys(sides):
        rows = np.array([k for k, s in enumerate(sides) if s == side])
        for out, height in ((low, 0.0), (high, flat.thickness)):
            out[rows] = flat.folded(side, blank[rows], np.full(len(rows), height))
    return low, high


def _rim(folded: _Folded) -> list[Edge]:
    """Where the sheet ends, round its holes too."""
    return open_edges(ring if k == 0 else ring[::-1] for piece in folded.pieces for k, ring in enumerate(piece.loops))


# ------------------------------------------------------------------------------------------------ as a skin
def sheet_skin(job: Job, part: JobPart) -> Skin:
    """Return copy 1 of a part of sheet as a closed skin, product axes."""
    folded = _of(job, part)
    normals = folded.high - folded.low
    normals = normals / np.linalg.norm(normals, axis=1)[:, None]
    faces = np.concatenate([piece.triangles for piece in folded.pieces])
    return thin_skin(folded.low, folded.high, normals, faces, _rim(folded))


# ------------------------------------------------------------------------------------------------ for views
def sheet_mesh(job: Job, part: JobPart) -> Mesh:
    """Return copy 1 of a part of sheet for views with hidden lines, product axes."""
    folded = _of(job, part)
    n, rim = len(folded.low), _rim(folded)
    after = dict(rim)
    sharp: list[Edge] = []
    for a, b in rim:
        sharp += [(a, b), (a + n, b + n)]
        if _turns(folded.blank, a, b, after.get(b, b)):
            sharp.append((b, b + n))
    pieces = [(piece.loops[0], piece.triangles) for piece in folded.pieces]
    return thin_mesh(part.id, (folded.low, folded.high), pieces, rim, sharp)


def _turns(blank: Floats, a: int, b: int, c: int) -> bool:
    """Whether the edge of the blank turns sharply at b."""
    before, then = blank[b] - blank[a], blank[c] - blank[b]
    turn = math.atan2(before[0] * then[1] - before[1] * then[0], float(before @ then))
    return abs(turn) > CREASE_RAD
