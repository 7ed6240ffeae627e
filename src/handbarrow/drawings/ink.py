"""What a drawing is made of: strokes, texts and dimensions on paper, as frozen values.

Paper axes: the origin is the top left corner, x runs to the right, y runs DOWN, both in mm on paper. A text turns
clockwise for a positive rotation, as seen on the paper. The size of a text is its em; its capitals and figures stand
0.714 em high, so NUMBER = 4.2 gives figures 3 mm high and WORD = 3.5 capitals 2.5 mm high.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

__all__ = [
    "ARROW",
    "FINE",
    "HEAVY",
    "MEDIUM",
    "NUMBER",
    "WORD",
    "Anchor",
    "Dimension",
    "Fill",
    "Point",
    "Stroke",
    "Text",
    "dashed",
]

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Fill = Literal["none", "white", "grey", "black"]

FINE, MEDIUM, HEAVY = 0.18, 0.35, 0.5
"""Line weights [mm]: dimensions and hatching; edges; what matters most."""
WORD, NUMBER = 3.5, 4.2
"""Em sizes [mm] of words (capitals 2.5 mm high) and of numbers (figures 3.0 mm high)."""
ARROW = 2.2
"""Length of an arrowhead [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A polyline.

    Attributes:
        points: Corners, paper mm.
        weight: Line weight [mm]; 0 draws no line (a fill alone).
        dash: Lengths of dashes and gaps in turn [mm]; empty: a full line.
        closed: Whether the last point is joined to the first.
        fill: What the area is filled with.
        layer: Name of the layer.
    """

    points: tuple[Point, ...]
    weight: float = MEDIUM
    dash: tuple[float, ...] = ()
    closed: bool = False
    fill: Fill = "none"
    layer: str = "outline"


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A line of text. (x, y) is on the baseline, at the place that `anchor` names.

    Attributes:
        x: From the left [mm].
        y: From the top [mm].
        string: What it says.
        size: Em [mm].
        anchor: Which part of the text stands at (x, y).
        rotation_rad: Clockwise on the paper, about (x, y).
        bold: Printed heavy.
        layer: Name of the layer.
    """

    x: float
    y: float
    string: str
    size: float = WORD
    anchor: Anchor = "start"
    rotation_rad: float = 0.0
    bold: bool = False
    layer: str = "text"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A linear dimension.

    Attributes:
        p1: First measured point, paper mm.
        p2: Second measured point.
        line: A point that the dimension line passes through.
        direction_rad: Direction of the dimension line, clockwise from +x on the paper (0: a width, pi/2: a height).
        value: The real size [mm].
        text: What is printed.
        text_at: Where along the line its text stands: 0.5 in the middle, 0 at the first point.
        layer: Name of the layer.
    """

    p1: Point
    p2: Point
    line: Point
    value: float
    text: str
    direction_rad: float = 0.0
    text_at: float = 0.5
    layer: str = "dimensions"

    @property
    def ends(self) -> tuple[Point, Point]:
        """Where the dimension line starts and ends: the two points dropped on it."""
        ux, uy = math.cos(self.direction_rad), math.sin(self.direction_rad)
        out = []
        for x, y in (self.p1, self.p2):
            along = (x - self.line[0]) * ux + (y - self.line[1]) * uy
            out.append((self.line[0] + along * ux, self.line[1] + along * uy))
        return out[0], out[1]

    @property
    def on_paper(self) -> float:
        """Length of the dimension line [mm on paper]."""
        return math.dist(*self.ends)


def dashed(points: Iterable[Point], layer: str = "hidden", weight: float = FINE) -> Stroke:
    """Return a hidden line: short dashes."""
    return Stroke(points=tuple(points), weight=weight, dash=(2.0, 1.2), layer=layer)
