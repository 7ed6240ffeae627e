"""The drawing model: one drawing is strokes, texts and dimensions on paper. Writers only translate it.

Paper axes: the origin is the top left corner, x runs to the right, y runs DOWN, both in mm on paper; see `ink`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from handbarrow.drawings.dimensions import dimension_strokes, dimension_text
from handbarrow.drawings.ink import (
    FINE,
    HEAVY,
    MEDIUM,
    NUMBER,
    WORD,
    Anchor,
    Dimension,
    Point,
    Stroke,
    Text,
    dashed,
)

__all__ = [
    "FINE",
    "HEAVY",
    "MEDIUM",
    "NUMBER",
    "WORD",
    "Anchor",
    "Dimension",
    "Drawing",
    "Point",
    "Stroke",
    "Text",
    "dashed",
    "moved",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing on paper.

    Attributes:
        width: Of the whole drawing [mm].
        height: Of the whole drawing [mm].
        strokes: In painting order; those with a white fill hide what was painted before.
        words: Texts other than those of the dimensions.
        dimensions: Linear dimensions.
        alt: What the drawing shows, for those who cannot see it.
        scale: mm on paper for one real mm; None: not to scale.
        name: Short name, used for files.
    """

    width: float
    height: float
    strokes: tuple[Stroke, ...] = ()
    words: tuple[Text, ...] = ()
    dimensions: tuple[Dimension, ...] = ()
    alt: str
    scale: float | None = None
    name: str = "drawing"

    @property
    def texts(self) -> tuple[Text, ...]:
        """All texts to be placed: the words, then those of the dimensions."""
        return (*self.words, *(dimension_text(d) for d in self.dimensions))

    @property
    def all_strokes(self) -> tuple[Stroke, ...]:
        """All strokes to be drawn: the drawing's, then those of the dimensions."""
        return (*self.strokes, *(s for d in self.dimensions for s in dimension_strokes(d)))

    @property
    def layers(self) -> tuple[str, ...]:
        """Names of the layers in use, sorted."""
        used = {item.layer for group in (self.strokes, self.words, self.dimensions) for item in group}
        return tuple(sorted(used))


def moved(drawing: Drawing, dx: float, dy: float) -> tuple[tuple[Stroke, ...], tuple[Text, ...], tuple[Dimension, ...]]:
    """Return strokes, words and dimensions of a drawing moved on the paper [mm], to be put into a larger one."""

    def at(p: Point) -> Point:
        return (p[0] + dx, p[1] + dy)

    strokes = tuple(replace(s, points=tuple(at(p) for p in s.points)) for s in drawing.strokes)
    words = tuple(replace(t, x=t.x + dx, y=t.y + dy) for t in drawing.words)
    dimensions = tuple(replace(d, p1=at(d.p1), p2=at(d.p2), line=at(d.line)) for d in drawing.dimensions)
    return strokes, words, dimensions
