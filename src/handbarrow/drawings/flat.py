"""Plates as flat DXF for a cutting table: true lines and arcs, nothing else.

Layers: `cut` (outline and slots, closed polylines with arcs), `drill` (holes as circles), `mark` (crosses on centres
to punch). Axes are the plate's own, in mm.
"""

from __future__ import annotations

from handbarrow.drawings.contours import Contour
from handbarrow.drawings.dxf_document import DxfFile
from handbarrow.drawings.marking import Figure

__all__ = ["LAYERS", "add_figure", "flat_dxf"]

LAYERS = ("cut", "drill", "mark")
ARM = 2.0
"""Half the size of a centre cross [mm]."""


def flat_dxf(shape: Figure) -> bytes:
    """Return a plate as DXF R2010. The same plate gives the same bytes."""
    out = DxfFile()
    add_figure(out, shape)
    return out.to_bytes()


def add_figure(out: DxfFile, shape: Figure) -> None:
    """Put an outline with what is cut and drilled in it into a file, on layers of its own."""
    for layer in LAYERS:
        out.add_layer(layer)
    _polyline(out, shape.contour)
    for opening in shape.openings:
        if opening.contour is not None:
            _polyline(out, opening.contour)
        elif not opening.length:
            out.circle(opening.centres[0], opening.diameter / 2, "drill")
        for x, y in opening.centres:
            out.line((x - ARM, y), (x + ARM, y), "mark")
            out.line((x, y - ARM), (x, y + ARM), "mark")


def _polyline(out: DxfFile, contour: Contour) -> None:
    out.polyline([(v.x, v.y, v.bulge) for v in contour], "cut", closed=True)
