"""Drawings as DXF with real dimensions, for those who own a plotter or a drawing program.

A drawing to scale is written in real mm (a card of 1:10 comes out ten times as large as on paper, its texts with it),
so that what is measured in the file is what the dimension says. A drawing not to scale is written as on paper.
The file counts in mm whatever the shop reads: hand in a drawing with its sizes in mm (`metric`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from handbarrow.drawings.dimensions import dimension_strokes, dimension_text
from handbarrow.drawings.dxf_document import DxfFile
from handbarrow.drawings.ink import Dimension, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.widths import CAPITAL
from handbarrow.job.values import Job
from handbarrow.laws.units.shown import short_text

__all__ = ["DxfHole", "dxf", "metric"]

WEIGHTS = (13, 18, 25, 35, 50, 70)
"""Line weights that DXF knows and we use [0.01 mm]."""
FILLS = {"black": 7, "grey": 9}
"""Colours of areas."""


def metric(job: Job) -> Job:
    """Return the job for a reader of mm and kg: what its drawings say is then what a file in mm measures."""
    return replace(job, workshop=replace(job.workshop, show_length="mm", show_mass="kg"))


@dataclass(frozen=True, slots=True, kw_only=True)
class DxfHole:
    """A hole to drill as a true circle and a point, in the file's own coordinates [mm]; diameter 0: the point alone."""

    layer: str
    x: float
    y: float
    diameter: float


def dxf(drawing: Drawing, holes: Sequence[DxfHole] = ()) -> bytes:
    """Return a drawing as DXF R2010: polylines, texts and linear dimensions on the drawing's layers, holes on theirs.

    y points up in the file and the origin is the lower left corner. The same drawing gives the same bytes.
    """
    page = _Page(drawing)
    out = DxfFile(page.real)
    for layer in drawing.layers:
        out.add_layer(layer)
    for stroke in drawing.strokes:
        _add_stroke(out, stroke, page)
    for text in drawing.words:
        _add_text(out, text, page)
    for dimension in drawing.dimensions:
        _add_dimension(out, dimension, page)
    for hole in holes:
        out.point((hole.x, hole.y), hole.layer)
        if hole.diameter > 0:
            out.circle((hole.x, hole.y), hole.diameter / 2, hole.layer)
    return out.to_bytes()


class _Page:
    """Turns paper places into places of the file."""

    def __init__(self, drawing: Drawing) -> None:
        self.real = 1.0 / drawing.scale if drawing.scale else 1.0
        self.height = drawing.height

    def at(self, point: Point) -> Point:
        return (point[0] * self.real, (self.height - point[1]) * self.real)


def _weight(weight: float) -> int:
    return min(WEIGHTS, key=lambda w: abs(w - 100 * weight))


def _add_stroke(out: DxfFile, stroke: Stroke, page: _Page) -> None:
    points = [page.at(p) for p in stroke.points]
    if stroke.fill in FILLS:
        out.filled(points, stroke.layer, FILLS[stroke.fill])
    if stroke.weight > 0 and len(points) > 1:
        out.polyline(points, stroke.layer, closed=stroke.closed, weight=_weight(stroke.weight), dash=stroke.dash)


def _add_text(out: DxfFile, text: Text, page: _Page) -> None:
    height = CAPITAL * text.size * page.real
    at = page.at((text.x, text.y))
    out.text(text.string, at, height, text.layer, anchor=text.anchor, angle_rad=-text.rotation_rad)


def _add_dimension(out: DxfFile, dimension: Dimension, page: _Page) -> None:
    """A DIMENSION entity; its text shows what it measures, unless the drawing says otherwise."""
    measured, printed = dimension.on_paper * page.real, short_text(dimension.value)
    says, text = dimension.text, dimension_text(dimension)
    if abs(measured - dimension.value) < 1e-3 and says.endswith(printed):
        says = says[: len(says) - len(printed)] + "<>"
    half = CAPITAL * text.size / 2
    middle = (text.x + half * math.sin(text.rotation_rad), text.y - half * math.cos(text.rotation_rad))

    def draw() -> None:
        for stroke in dimension_strokes(dimension):
            points = [page.at(p) for p in stroke.points]
            if stroke.fill == "none":
                out.line(points[0], points[-1], stroke.layer)
            else:
                out.solid(points, stroke.layer)
        _add_text(out, text, page)

    out.dimension(
        (page.at(dimension.p1), page.at(dimension.p2)),
        page.at(dimension.ends[0]),
        (says, page.at(middle)),
        dimension.layer,
        angle_rad=-dimension.direction_rad,
        draw=draw,
    )
