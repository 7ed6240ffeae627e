"""DXF R2010 files put together as text: a blank file, and in it layers, line types, entities and dimensions.

`blank.dxf` is an empty file as a library for the format writes it (a test makes it anew and compares). Its comments
(group 999) say what is put in where. Source of the groups: Autodesk's DXF reference for AutoCAD 2010, from memory; the
tests read every kind of entity back with the library and audit it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from importlib.resources import files

from handbarrow.drawings.ink import Point

__all__ = ["STYLE", "DxfFile"]

STYLE = "HANDBARROW"
"""Name of our style of texts and of dimensions in the blank file."""
FIRST = 0x100
"""The first handle of what we put in; the blank file uses smaller ones."""
SPACE = 0x17
"""Handle of the space that drawings are in."""
ALIGN = {"start": 0, "middle": 1, "end": 2}
DECIMALS = 9
"""Figures behind the point [mm]: the last ones, in which machines differ, are not written."""


@cache
def _blank() -> tuple[tuple[str, str], ...]:
    """The blank file as pieces: (text, name of what comes after it)."""
    text = files("handbarrow.drawings").joinpath("blank.dxf").read_text(encoding="utf-8")
    parts = [*re.split(r"999\n(.+)\n", text), ""]
    return tuple(zip(parts[::2], parts[1::2], strict=True))


class DxfFile:
    """A file that is being put together. What is put in is on the layer that is named; y points up, lengths in mm.

    Args:
        scale: Size of the dimensions' texts and arrows, times that on paper.
    """

    def __init__(self, scale: float = 1.0) -> None:
        self._scale = scale
        self._last = FIRST - 1
        self._layers: dict[str, str] = {"0": "", "Defpoints": ""}
        self._line_types: dict[tuple[float, ...], tuple[str, str]] = {(): ("Continuous", "")}
        self._blocks: list[str] = []
        self._records: list[str] = []
        self._out: list[str] = []
        self._owner = SPACE

    def to_bytes(self) -> bytes:
        """Return the file; what is put in the same gives the same bytes."""
        fills = {
            "line types": "".join(text for _, text in self._line_types.values()),
            "layers": "".join(self._layers.values()),
            "block records": "".join(self._records),
            "blocks": "".join(self._blocks),
            "entities": "".join(self._out),
            "dimension scale": f" 40\n{_number(self._scale)}\n",
            "next handle": f"  5\n{self._last + 1:X}\n",
            "": "",
        }
        return "".join(text + fills[name] for text, name in _blank()).encode()

    # -------------------------------------------------------------------------------------------- tables
    def add_layer(self, name: str) -> None:
        """Make a layer, if it is not there."""
        if name not in self._layers:
            self._layers[name] = (
                f"  0\nLAYER\n  5\n{self._handle()}\n330\n1\n100\nAcDbSymbolTableRecord\n100\nAcDbLayerTableRecord\n"
                f"  2\n{name}\n 70\n0\n 62\n7\n  6\nContinuous\n370\n-3\n390\n13\n347\n21\n"
            )

    def _line_type(self, dash: tuple[float, ...]) -> str:
        """Name of the line type for dashes and gaps in turn [mm on paper], made on first use."""
        if dash not in self._line_types:
            name = "DASH_" + "_".join(f"{d:g}".replace(".", "-") for d in dash)
            real = [d * self._scale for d in dash]
            runs = (f" 49\n{_number(d if i % 2 == 0 else -d)}\n 74\n0\n" for i, d in enumerate(real))
            self._line_types[dash] = (
                name,
                f"  0\nLTYPE\n  5\n{self._handle()}\n330\n2\n100\nAcDbSymbolTableRecord\n"
                f"100\nAcDbLinetypeTableRecord\n  2\n{name}\n 70\n0\n  3\n{name}\n 72\n65\n 73\n{len(dash)}\n"
                f" 40\n{_number(sum(real))}\n{''.join(runs)}",
            )
        return self._line_types[dash][0]

    # -------------------------------------------------------------------------------------------- entities
    def polyline(
        self,
        points: Iterable[Sequence[float]],
        layer: str,
        *,
        closed: bool = False,
        weight: int | None = None,
        dash: tuple[float, ...] = (),
    ) -> None:
        """Put in a polyline of points (x, y) or (x, y, bulge); weight in 0.01 mm, dashes in mm on paper."""
        corners = [_corner(*p) for p in points]
        looks = "" if weight is None else f"  6\n{self._line_type(dash)}\n370\n{weight}\n"
        self._entity("LWPOLYLINE", layer, "AcDbPolyline", "".join((
            f" 90\n{len(corners)}\n 70\n{int(closed)}\n", *corners
        )), looks)  # fmt: skip

    def filled(self, points: Sequence[Point], layer: str, color: int) -> None:
        """Put in a filled area; colour 7 is black, 9 grey."""
        corners = "".join(_corner(*p) for p in points)
        self._entity(
            "HATCH", layer, "AcDbHatch",
            " 10\n0.0\n 20\n0.0\n 30\n0.0\n210\n0.0\n220\n0.0\n230\n1.0\n  2\nSOLID\n 70\n1\n 71\n0\n 91\n1\n 92\n3\n"
            f" 72\n0\n 73\n1\n 93\n{len(points)}\n{corners} 97\n0\n 75\n0\n 76\n1\n 98\n0\n",
            f" 62\n{color}\n",
        )  # fmt: skip

    def line(self, a: Point, b: Point, layer: str) -> None:
        """Put in a line."""
        self._entity("LINE", layer, "AcDbLine", _place(a) + _place(b, 1))

    def point(self, at: Point, layer: str) -> None:
        """Put in a point."""
        self._entity("POINT", layer, "AcDbPoint", _place(at))

    def circle(self, at: Point, radius: float, layer: str) -> None:
        """Put in a circle."""
        self._entity("CIRCLE", layer, "AcDbCircle", f"{_place(at)} 40\n{_number(radius)}\n")

    def solid(self, corners: Sequence[Point], layer: str) -> None:
        """Put in a filled triangle."""
        places = "".join(_place(p, i) for i, p in enumerate((*corners, corners[-1])))
        self._entity("SOLID", layer, "AcDbTrace", places)

    def text(self, string: str, at: Point, height: float, layer: str, *, anchor: str, angle_rad: float) -> None:
        """Put in a text; `height` is that of a capital, the angle counter-clockwise."""
        turn = f" 50\n{_number(math.degrees(angle_rad))}\n" if angle_rad else ""
        align = f" 72\n{ALIGN[anchor]}\n" if ALIGN[anchor] else ""
        self._entity(
            "TEXT", layer, "AcDbText",
            f"{_place(at)} 40\n{_number(height)}\n  1\n{string}\n{turn}  7\n{STYLE}\n{align}{_place(at, 1)}"
            "100\nAcDbText\n",
        )  # fmt: skip

    def dimension(
        self,
        measured: tuple[Point, Point],
        line: Point,
        text: tuple[str, Point],
        layer: str,
        *,
        angle_rad: float,
        draw: Callable[[], None],
    ) -> None:
        """Put in a linear dimension.

        Args:
            measured: The two points.
            line: A point on its line.
            text: What it says, `<>` standing for what it measures; where the middle of the text is.
            layer: Its layer.
            angle_rad: Direction of its line, counter-clockwise.
            draw: Puts in what is seen of it; that comes into a block of the dimension's own.
        """
        name = f"*D{len(self._records) + 1}"
        self._block(name, draw)
        self._entity(
            "DIMENSION", layer, "AcDbDimension",
            f"280\n0\n  2\n{name}\n  3\n{STYLE}\n{_place(line)}{_place(text[1], 1)} 70\n160\n 71\n5\n  1\n{text[0]}\n"
            f"100\nAcDbAlignedDimension\n{_place(measured[0], 3)}{_place(measured[1], 4)}"
            f" 50\n{_number(math.degrees(angle_rad))}\n100\nAcDbRotatedDimension\n",
        )  # fmt: skip

    # -------------------------------------------------------------------------------------------- pieces of text
    def _handle(self) -> str:
        self._last += 1
        return f"{self._last:X}"

    def _entity(self, kind: str, layer: str, subclass: str, groups: str, looks: str = "") -> None:
        self.add_layer(layer)
        self._out.append(
            f"  0\n{kind}\n  5\n{self._handle()}\n330\n{self._owner:X}\n100\nAcDbEntity\n  8\n{layer}\n{looks}"
            f"100\n{subclass}\n{groups}"
        )

    def _block(self, name: str, draw: Callable[[], None]) -> None:
        """A block without a place of its own: what is put in by `draw`."""
        record = self._handle()
        self._records.append(
            f"  0\nBLOCK_RECORD\n  5\n{record}\n330\n9\n100\nAcDbSymbolTableRecord\n100\nAcDbBlockTableRecord\n"
            f"  2\n{name}\n340\n0\n 70\n0\n280\n1\n281\n0\n"
        )
        before, self._out, self._owner = self._out, self._blocks, int(record, 16)
        part = f"330\n{record}\n100\nAcDbEntity\n  8\n0\n100\n"
        self._out.append(
            f"  0\nBLOCK\n  5\n{self._handle()}\n{part}AcDbBlockBegin\n  2\n{name}\n 70\n1\n 10\n0.0\n 20\n0.0\n"
            f" 30\n0.0\n  3\n{name}\n  1\n\n"
        )
        draw()
        self._out.append(f"  0\nENDBLK\n  5\n{self._handle()}\n{part}AcDbBlockEnd\n")
        self._out, self._owner = before, SPACE


def _number(value: float) -> str:
    return repr(round(float(value), DECIMALS) + 0.0)


def _corner(x: float, y: float, bulge: float = 0.0) -> str:
    more = f" 42\n{bulge!r}\n" if bulge else ""
    return f" 10\n{round(x, DECIMALS) + 0.0!r}\n 20\n{round(y, DECIMALS) + 0.0!r}\n{more}"


def _place(point: Point, which: int = 0) -> str:
    return f" 1{which}\n{_number(point[0])}\n 2{which}\n{_number(point[1])}\n 3{which}\n0.0\n"
