"""Plates as flat DXF for a cutting table: true lines and arcs, nothing else.

Layers: `cut` (outline and slots, closed polylines with arcs), `drill` (holes as circles), `mark` (crosses on centres
to punch). Axes are the plate's own, in mm.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from handbarrow.drawings.contours import Contour
from handbarrow.drawings.dxf_document import dxf_bytes
from handbarrow.drawings.marking import Figure

__all__ = ["LAYERS", "flat_dxf"]

LAYERS = ("cut", "drill", "mark")
ARM = 2.0
"""Half the size of a centre cross [mm]."""


def flat_dxf(shape: Figure) -> bytes:
    """Return a plate as DXF R2010. The same plate gives the same bytes."""
    return dxf_bytes(partial(_draw, shape=shape))


def _draw(document: Any, shape: Figure) -> None:
    for layer in LAYERS:
        document.layers.add(layer)
    space = document.modelspace()
    _polyline(space, shape.contour)
    for opening in shape.openings:
        if opening.contour is not None:
            _polyline(space, opening.contour)
        elif not opening.length:
            space.add_circle(opening.centres[0], opening.diameter / 2, dxfattribs={"layer": "drill"})
        for x, y in opening.centres:
            space.add_line((x - ARM, y), (x + ARM, y), dxfattribs={"layer": "mark"})
            space.add_line((x, y - ARM), (x, y + ARM), dxfattribs={"layer": "mark"})


def _polyline(space: Any, contour: Contour) -> None:
    points = [(v.x, v.y, v.bulge) for v in contour]
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": "cut"})
