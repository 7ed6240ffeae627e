"""Cross-sections of tube and bar: the values everything else is computed from.

Section axes: v runs along the section's height, u along its width. Round tubes and bars, squares, rectangles and
flats have their origin at the centroid; an angle has its origin at the heel (the outside corner), its legs along
+v (height) and +u (width). Placed on a centreline with unit direction t (datum end to far end), +v is the crown
direction and u = t x v: looking along the run with v up, u points to the right. The angle phi round the girth
counts from v towards u, right-handed about t.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from handbarrow.language import said

__all__ = ["Section", "SectionShape"]

SectionShape = Literal["round tube", "square tube", "rectangular tube", "round bar", "square bar", "flat", "angle"]

HOLLOW = ("round tube", "square tube", "rectangular tube")


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A cross-section of tube or bar.

    Attributes:
        shape: What it is.
        height: Size along v [mm]; the outside diameter of round sections; the first leg of an angle.
        width: Size along u [mm]; equal to `height` for round and square sections; the second leg of an angle.
        wall: Wall thickness of tubes, thickness of an angle's legs [mm]; 0 for solid bars and flats.

    Raises:
        ValueError: If the sizes cannot belong to a real section.
    """

    shape: SectionShape
    height: float
    width: float
    wall: float = 0.0

    def __post_init__(self) -> None:
        for name in ("height", "width"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value > 0):
                raise ValueError(said("{name}={value:g} mm must be a positive size", name=name, value=value))
        if self.shape in (*HOLLOW, "angle"):
            limit = min(self.height, self.width) / (1 if self.shape == "angle" else 2)
            if not (0 < self.wall < limit):
                raise ValueError(
                    said(
                        "wall={wall:g} mm must lie between 0 and {limit:g} mm for {stock}",
                        wall=self.wall,
                        limit=limit,
                        stock=self.designation,
                    )
                )
        elif self.wall != 0:
            raise ValueError(said("wall={wall:g} mm given for a solid section", wall=self.wall))
        if self.shape in ("round tube", "round bar", "square tube", "square bar") and self.height != self.width:
            raise ValueError(
                said(
                    "height={height:g} mm and width={width:g} mm must be equal for {shape}",
                    height=self.height,
                    width=self.width,
                    shape=self.shape,
                )
            )

    @property
    def is_round(self) -> bool:
        """Whether the outside is a circle."""
        return self.shape in ("round tube", "round bar")

    @property
    def is_hollow(self) -> bool:
        """Whether it is a tube."""
        return self.shape in HOLLOW

    @property
    def kind(self) -> Literal["tube", "bar"]:
        """The part kind that such stock makes."""
        return "tube" if self.is_hollow else "bar"

    @property
    def outside(self) -> float:
        """Largest outside size [mm]: the diameter of round sections."""
        return max(self.height, self.width)

    @property
    def designation(self) -> str:
        """Plain designation, as `tube 26.9x2.3`, `square tube 15x1.5`, `flat 30x5`, `angle 30x30x3`, `bar 8`."""
        h, w, t = f"{self.height:g}", f"{self.width:g}", f"{self.wall:g}"
        return {
            "round tube": f"tube {h}x{t}",
            "square tube": f"square tube {h}x{t}",
            "rectangular tube": f"rectangular tube {h}x{w}x{t}",
            "round bar": f"bar {h}",
            "square bar": f"square bar {h}",
            "flat": f"flat {h}x{w}",
            "angle": f"angle {h}x{w}x{t}",
        }[self.shape]
