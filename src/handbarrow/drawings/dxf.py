"""Drawings as DXF with real dimensions, for those who own a plotter or a drawing program.

A drawing to scale is written in real mm (a card of 1:10 comes out ten times as large as on paper, its texts with it),
so that what is measured in the file is what the dimension says. A drawing not to scale is written as on paper.
The file counts in mm whatever the shop reads: hand in a drawing with its sizes in mm (`metric`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from handbarrow.drawings.dxf_document import dxf_bytes
from handbarrow.drawings.ink import ARROW, NUMBER, Dimension, Stroke
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.widths import CAPITAL
from handbarrow.job.values import Job
from handbarrow.laws.units.shown import short_text

__all__ = ["DxfHole", "dxf", "metric"]

STYLE = "HANDBARROW"
WEIGHTS = (13, 18, 25, 35, 50, 70)
"""Line weights that DXF knows and we use [0.01 mm]."""
_ALIGN = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}


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
    return dxf_bytes(partial(_draw, drawing=drawing, holes=holes))


def _draw(document: Any, drawing: Drawing, holes: Sequence[DxfHole]) -> None:
    from ezdxf.enums import TextEntityAlignment

    page = _Page(drawing)
    _prepare(document, drawing, page.real)
    space = document.modelspace()
    for stroke in drawing.strokes:
        _add_stroke(document, space, stroke, page)
    for text in drawing.words:
        entity = space.add_text(
            text.string,
            height=CAPITAL * text.size * page.real,
            rotation=-math.degrees(text.rotation_rad),
            dxfattribs={"layer": text.layer, "style": STYLE},
        )
        entity.set_placement(page.at((text.x, text.y)), align=TextEntityAlignment[_ALIGN[text.anchor]])
    for dimension in drawing.dimensions:
        _add_dimension(space, dimension, page)
    for hole in holes:
        _add_hole(document, space, hole)


class _Page:
    """Turns paper places into places of the file."""

    def __init__(self, drawing: Drawing) -> None:
        self.real = 1.0 / drawing.scale if drawing.scale else 1.0
        self.height = drawing.height

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        return (point[0] * self.real, (self.height - point[1]) * self.real)


def _prepare(document: Any, drawing: Drawing, real: float) -> None:
    """Layers, text style, dimension style; decimal points, sizes as on paper whatever the scale."""
    document.styles.add(STYLE, font="NotoSans-Regular.ttf")
    for layer in drawing.layers:
        if layer not in document.layers:
            document.layers.add(layer)
    style = document.dimstyles.new(STYLE)
    style.dxf.dimtxsty = STYLE
    style.dxf.dimscale = real
    style.dxf.dimtxt = CAPITAL * NUMBER
    style.dxf.dimasz = ARROW
    style.dxf.dimexo = 0.8
    style.dxf.dimexe = 1.5
    style.dxf.dimgap = 1.0
    style.dxf.dimtad = 1
    style.dxf.dimtih = 0
    style.dxf.dimtoh = 0
    style.dxf.dimdec = 1
    style.dxf.dimzin = 8
    style.dxf.dimdsep = 46
    style.dxf.dimlfac = 1.0


def _weight(weight: float) -> int:
    return min(WEIGHTS, key=lambda w: abs(w - 100 * weight))


def _linetype(document: Any, dash: tuple[float, ...], real: float) -> str:
    """Name of the line type for a dash pattern, made on first use."""
    if not dash:
        return "CONTINUOUS"
    name = "DASH_" + "_".join(f"{d:g}".replace(".", "-") for d in dash)
    if name not in document.linetypes:
        signs = [d * real * (1 if i % 2 == 0 else -1) for i, d in enumerate(dash)]
        document.linetypes.add(name, pattern=[sum(abs(s) for s in signs), *signs], description=name)
    return name


def _add_stroke(document: Any, space: Any, stroke: Stroke, page: _Page) -> None:
    points = [page.at(p) for p in stroke.points]
    attributes = {"layer": stroke.layer}
    if stroke.fill in ("black", "grey"):
        hatch = space.add_hatch(color=7 if stroke.fill == "black" else 9, dxfattribs=attributes)
        hatch.paths.add_polyline_path(points, is_closed=True)
    if stroke.weight <= 0 or len(points) < 2:
        return
    line = space.add_lwpolyline(points, close=stroke.closed, dxfattribs=attributes)
    line.dxf.lineweight = _weight(stroke.weight)
    line.dxf.linetype = _linetype(document, stroke.dash, page.real)


def _add_hole(document: Any, space: Any, hole: DxfHole) -> None:
    if hole.layer not in document.layers:
        document.layers.add(hole.layer)
    space.add_point((hole.x, hole.y), dxfattribs={"layer": hole.layer})
    if hole.diameter > 0:
        space.add_circle((hole.x, hole.y), hole.diameter / 2, dxfattribs={"layer": hole.layer})


def _add_dimension(space: Any, dimension: Dimension, page: _Page) -> None:
    """A DIMENSION entity; its text shows what it measures, unless the drawing says otherwise."""
    measured, printed = dimension.on_paper * page.real, short_text(dimension.value)
    text = dimension.text
    if abs(measured - dimension.value) < 1e-3 and text.endswith(printed):
        text = text[: len(text) - len(printed)] + "<>"
    space.add_linear_dim(
        base=page.at(dimension.line),
        p1=page.at(dimension.p1),
        p2=page.at(dimension.p2),
        angle=-math.degrees(dimension.direction_rad),
        text=text,
        dimstyle=STYLE,
        dxfattribs={"layer": dimension.layer},
    ).render()
