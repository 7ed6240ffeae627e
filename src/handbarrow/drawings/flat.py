"""Plates as flat DXF for a cutting table: true lines and arcs, nothing else.

Layers: `cut` (outline and slots, closed polylines with arcs), `drill` (holes as circles), `mark` (crosses on centres
to punch). Axes are the plate's own, in mm.
"""

from __future__ import annotations

import io
from typing import Any

from handbarrow.drawings.contours import Contour
from handbarrow.drawings.dxf import _LOCK
from handbarrow.drawings.marking import Figure

__all__ = ["LAYERS", "flat_dxf"]

LAYERS = ("cut", "drill", "mark")
ARM = 2.0
"""Half the size of a centre cross [mm]."""


def flat_dxf(shape: Figure) -> bytes:
    """Return a plate as DXF R2010. The same plate gives the same bytes."""
    import ezdxf  # half a second, and only those who want files need it

    library: Any = ezdxf  # its own export list is incomplete
    with _LOCK:
        before = library.options.write_fixed_meta_data_for_testing
        library.options.write_fixed_meta_data_for_testing = True
        try:
            document = library.new("R2010", setup=False)
            document.units = library.units.MM
            for layer in LAYERS:
                document.layers.add(layer)
            _draw(document.modelspace(), shape)
            for name in sorted(document.entitydb.dxf_types_in_use()):
                document.classes.add_class(name)  # else written in the order of a set
            stream = io.StringIO()
            document.write(stream)
        finally:
            library.options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode("utf-8")


def _draw(space: Any, shape: Figure) -> None:
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
