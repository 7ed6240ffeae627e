"""The blank of a part of sheet: outline, fold lines up and down, holes, running numbers; and as DXF by layers."""

from __future__ import annotations

import math
from collections.abc import Iterator

from handbarrow.drawings.contours import Contour, Vertex
from handbarrow.drawings.dxf_document import DxfFile
from handbarrow.drawings.flat import add_figure
from handbarrow.drawings.ink import MEDIUM, WORD, Point, Stroke, Text
from handbarrow.drawings.marking import Figure, Marked, Place, Running, distinct, figure, set_out
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.plates import plate_size, plate_view
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.sheet_values import SheetFold, SheetJob
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import Shown

__all__ = ["FLAT_KINDS", "FOLD_LAYERS", "blank_dxf", "blank_figure", "blank_view", "flat_size", "flat_view"]

FLAT_KINDS = ("plate", "sheet")
"""Kinds of parts that are marked out flat at true size."""

FOLD_LAYERS = {"up": "fold up", "down": "fold down"}
DASHES: dict[str, tuple[float, ...]] = {"up": (6.0, 2.0), "down": (6.0, 1.5, 1.0, 1.5)}
"""Folds up are dashed, folds down dashed with a dot [mm]."""
SHARP_RAD = math.radians(20)
"""Corners of the outline that turn less are points of a curve and get no number."""
BESIDE = 1.2
"""From a fold line to the foot of its name [mm]."""


def blank_figure(part: JobPart) -> Figure:
    """Return the outline of a blank with what is cut in it, in the part's own axes.

    Raises:
        ValueError: If the part is not of sheet.
    """
    if part.sheet is None:
        raise ValueError(f"{part.id} is not of sheet")
    contour: Contour = tuple(Vertex(x, y) for x, y in part.outline)
    return figure(contour, part.holes)


def blank_view(job: Job, part_id: str) -> Drawing:
    """Return the blank of a part of sheet at 1:1 as it is marked out, its marked face towards the reader.

    Args:
        job: The job.
        part_id: A part of sheet.

    Raises:
        ValueError: If the part is not of sheet.
    """
    part, shown = job.part(part_id), job.workshop.shown
    shape = blank_figure(part)
    sheet = part.sheet
    if sheet is None:
        raise ValueError(f"{part_id} is not of sheet")
    place = Place(left=-sheet.low[0], base=sheet.high[1])
    face = Marked(
        width=sheet.length,
        height=sheet.width,
        strokes=(place.outline(shape.contour), *(_line(fold, place) for fold in sheet.folds)),
        openings=tuple((opening, place) for opening in shape.openings),
        across=tuple(_across(part, shape, place, shown)),
        down=tuple(_down(part, shape, place, shown)),
        notes=tuple(_name(fold, place) for fold in sheet.folds),
    )
    size = f"{shown.length(sheet.length)} × {shown.length(sheet.width)}"
    alt = ALT["blank"].format(part=part.title, size=size, folds=len(sheet.folds))
    return set_out(face, shown, f"blank-{part.id}", alt)


def blank_dxf(part: JobPart) -> bytes:
    """Return a blank as DXF R2010, true lines: layers `cut`, `drill`, `mark`, `fold up`, `fold down`.

    Raises:
        ValueError: If the part is not of sheet.
    """
    out = DxfFile()
    shape = blank_figure(part)
    for layer in FOLD_LAYERS.values():
        out.add_layer(layer)
    add_figure(out, shape)
    for fold in part.sheet.folds if part.sheet is not None else ():
        out.line(fold.start, fold.end, FOLD_LAYERS[fold.way])
    return out.to_bytes()


def flat_view(job: Job, part_id: str) -> Drawing:
    """Return a plate or the blank of a part of sheet at 1:1 as it is marked out.

    Raises:
        ValueError: If the part is neither.
    """
    return blank_view(job, part_id) if job.part(part_id).sheet is not None else plate_view(job, part_id)


def flat_size(part: JobPart) -> tuple[float, float]:
    """Width and height of a plate or a blank as `flat_view` lays it [mm]."""
    return plate_size(part) if part.sheet is None else (part.sheet.length, part.sheet.width)


def _line(fold: SheetFold, place: Place) -> Stroke:
    return Stroke(
        points=(place.at(fold.start), place.at(fold.end)), weight=MEDIUM, dash=DASHES[fold.way],
        layer=FOLD_LAYERS[fold.way],
    )  # fmt: skip


def _name(fold: SheetFold, place: Place) -> tuple[Text, tuple[Point, ...]]:
    """As `1 ▲ 90°`, along its line."""
    (x0, y0), (x1, y1) = place.at(fold.start), place.at(fold.end)
    turn = math.atan2(y1 - y0, x1 - x0)
    if not -math.pi / 2 - 1e-6 < turn <= math.pi / 2 - 1e-6:
        turn -= math.copysign(math.pi, turn)
    angle = round(math.degrees(fold.angle_rad), 1)
    text = Text(
        x=0.0, y=0.0, string=DRAWN[f"fold_{fold.way}"].format(number=fold.number, angle=angle),
        size=WORD, anchor="middle", rotation_rad=turn, layer="names",
    )  # fmt: skip
    off = (BESIDE * math.sin(turn), -BESIDE * math.cos(turn))
    places = tuple((x0 + (x1 - x0) * f + off[0], y0 + (y1 - y0) * f + off[1]) for f in (0.5, 0.3, 0.7, 0.15, 0.85))
    return text, places


# ------------------------------------------------------------------------------------------------ running numbers
def _corners(part: JobPart) -> list[Vec2]:
    """Corners of the outline that turn sharply."""
    out = []
    ring = part.outline
    for k, p in enumerate(ring):
        a, b = ring[k - 1], ring[(k + 1) % len(ring)]
        before, after = (p[0] - a[0], p[1] - a[1]), (b[0] - p[0], b[1] - p[1])
        turn = math.atan2(before[0] * after[1] - before[1] * after[0], before[0] * after[0] + before[1] * after[1])
        if abs(turn) > SHARP_RAD:
            out.append(p)
    return out


def _lines(sheet: SheetJob, axis: int) -> list[SheetFold]:
    """Fold lines square to an axis."""
    return [fold for fold in sheet.folds if abs(fold.start[axis] - fold.end[axis]) < 0.01]


def _across(part: JobPart, shape: Figure, place: Place, shown: Shown) -> Iterator[Running]:
    sheet = part.sheet
    if sheet is None:
        return
    low, high = sheet.low[0], sheet.high[1]
    stations = [(x, high - y) for x, y in _corners(part)]
    stations += [(fold.start[0], high - max(fold.start[1], fold.end[1])) for fold in _lines(sheet, 0)]
    stations += [(x, high - y) for o in shape.openings for x, y in o.centres]
    stations += [(low, 0.0), (sheet.high[0], 0.0)]
    for x, reach in _nearest(stations):
        yield Running(at=place.left + x, number=shown.length(x - low), reach=reach)


def _down(part: JobPart, shape: Figure, place: Place, shown: Shown) -> Iterator[Running]:
    sheet = part.sheet
    if sheet is None:
        return
    low, left = sheet.low[1], sheet.low[0]
    stations = [(-y, x - left) for x, y in _corners(part)]
    stations += [(-fold.start[1], min(fold.start[0], fold.end[0]) - left) for fold in _lines(sheet, 1)]
    stations += [(-y, x - left) for o in shape.openings for x, y in o.centres]
    stations += [(-low, 0.0), (-sheet.high[1], 0.0)]
    for y, reach in _nearest(stations):
        yield Running(at=place.base + y, number=shown.length(-y - low), reach=reach)


def _nearest(stations: list[Vec2]) -> list[Vec2]:
    """Distinct places, each with a line that reaches the nearest thing there."""
    return [(at, -reach) for at, reach in distinct((at, -reach) for at, reach in stations)]
