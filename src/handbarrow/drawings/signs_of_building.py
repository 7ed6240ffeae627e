"""Signs of what is done with parts: setting them together, welding, checking, fitting, trying."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from handbarrow.drawings.ink import MEDIUM, Stroke
from handbarrow.drawings.sign_parts import THICK, arc, around, arrow, box, disc, line, oval, pointer, ring, shape

__all__ = ["SIGNS"]

Strokes = tuple[Stroke, ...]


def lay() -> Strokes:
    """A tube that is laid on the bench."""
    return (
        *arrow((12, 0.8), (12, 9)),
        box(2.5, 10, 21.5, 14),
        box(1, 14, 23, 17, "white"),
        line((4, 17), (4, 23.5), weight=THICK),
        line((20, 17), (20, 23.5), weight=THICK),
    )


def _board() -> Strokes:
    """A board with two pins."""
    return box(1, 19.5, 23, 23, "white"), box(3, 13, 6.4, 19.5, "black"), box(17.6, 13, 21, 19.5, "black")


def put_in() -> Strokes:
    """A tube that is put between the pins of a jig."""
    return *_board(), *ring((12, 14), 5.2, 1.8), *arrow((12, 0.4), (12, 8))


def lift() -> Strokes:
    """A tube that is lifted straight up out of a jig."""
    return *_board(), *ring((12, 9.2), 5.2, 1.8), *arrow((3.4, 11), (3.4, 1.5)), *arrow((20.6, 11), (20.6, 1.5))


def clamp() -> Strokes:
    """Two pieces in a screw clamp."""
    return (
        box(1, 9, 15, 13.2),
        box(1, 13.2, 15, 17.4),
        line((9, 4.2), (20.5, 4.2), (20.5, 21), (9, 21), weight=1.2),
        line((9, 21), (9, 18), weight=1.2),
        line((9, 0.9), (9, 8.4), weight=0.7),
        line((5, 0.9), (13, 0.9), weight=0.7),
        line((6.6, 8.2), (11.4, 8.2), weight=0.7),
    )


def tack() -> Strokes:
    """Two tubes held by small spots of weld."""
    return (
        box(1, 15, 23, 21),
        box(8, 1.5, 16, 15),
        disc((7.2, 14.3), 2.4),
        disc((16.8, 14.3), 2.4),
        *arrow((1, 7.4), (5.2, 12.2), size=3.8),
        *arrow((23, 7.4), (18.8, 12.2), size=3.8),
    )


def weld() -> Strokes:
    """Two tubes, a run of weld between them, torch and arc."""
    rays = ((9.4, 9.6), (12.4, 8.6), (17.4, 14.4), (18.4, 16.6))
    return (
        box(1, 18, 23, 23),
        box(2, 3, 8, 18),
        shape(((8, 12.4), (10.6, 13.8), (12.6, 15.8), (13.6, 18), (8, 18))),
        shape(((13.4, 13.4), (15.2, 15), (19.2, 9.4), (17, 7.4)), "white"),
        line((18.2, 8.4), (20.2, 5.6), (22.4, 4.6), weight=1.2),
        *(line(((12.4 + at[0]) / 2, (14.4 + at[1]) / 2), at) for at in rays),
    )


def square() -> Strokes:
    """A try square in the corner of two tubes."""
    tool = ((9, 3.5), (12, 3.5), (12, 12.5), (22, 12.5), (22, 15.5), (9, 15.5))
    return box(2, 17, 23, 22), box(2, 1.5, 7, 22), shape(tool)


def diagonals() -> Strokes:
    """A frame whose two diagonals are measured."""
    return (
        box(1, 2.5, 23, 21.5),
        box(4, 5.5, 20, 18.5, "white"),
        *arrow((4.2, 5.7), (19.8, 18.3), both=True, size=4.2),
        *arrow((4.2, 18.3), (19.8, 5.7), both=True, size=4.2),
    )


def look() -> Strokes:
    """A magnifying glass over a weld."""
    beads = (arc((4.4 + 2.6 * i, 10.4), (1.3, 2.4), 90, -90, 0.5) for i in range(5))
    return (
        line((15.4, 15.4), (22, 22), weight=1.5),
        oval((9.8, 9.8), 8.4, "white", 0.8),
        line((2.2, 8), (17.4, 8), weight=MEDIUM),
        line((2.2, 12.8), (17.4, 12.8), weight=MEDIUM),
        *beads,
    )


def tighten() -> Strokes:
    """A spanner on a nut, and which way it turns."""
    nut = tuple(around((8.5, 14.5), 4.4, angle, angle + 1)[0] for angle in range(0, 360, 60))
    return (
        shape(((9.2, 8.6), (19.2, 0.8), (23, 4.6), (14.6, 14.2)), "black"),
        disc((8.5, 14.5), 7),
        shape(nut, "white"),
        oval((8.5, 14.5), 1.9, "grey", MEDIUM),
        arc((8.5, 14.5), 9.6, 8, 56, 0.7),
        pointer((11.2, 23.6), 160),
    )


def slide_on() -> Strokes:
    """A sleeve that is slid on the end of a tube."""
    return box(9, 7, 23, 12), box(2, 3.5, 12, 15.5, "white", 0.7), *arrow((3, 20), (18, 20))


def load() -> Strokes:
    """A weight on a cart."""
    return (
        oval((12, 3), 1.9, "white", 0.7),
        shape(((8, 4.6), (16, 4.6), (18.4, 12.6), (5.6, 12.6))),
        box(1.5, 12.6, 22.5, 15.6),
        *ring((7, 19.2), 3.8, 1.6),
        *ring((17, 19.2), 3.8, 1.6),
    )


def ride() -> Strokes:
    """Somebody who walks with a cart."""
    return (
        line((0.8, 23), (23.2, 23)),
        box(1.2, 8.5, 10.8, 14.5),
        *ring((6, 18.4), 4.2, 1.7),
        line((10.8, 12.6), (14.2, 12.6), weight=0.7),
        disc((18, 3.4), 2.6),
        line((17.8, 7.4), (17.2, 14), weight=1.4),
        line((17.2, 14), (21.6, 22.2), weight=1.0),
        line((17.2, 14), (14, 22.2), weight=1.0),
        line((17.8, 8), (14, 12.6), weight=0.8),
        line((17.8, 8), (21.4, 12), weight=0.8),
    )


SIGNS: Mapping[str, Callable[[], Strokes]] = {
    "lay": lay, "put in": put_in, "clamp": clamp, "tack": tack, "square": square, "diagonals": diagonals,
    "weld": weld, "lift": lift, "slide on": slide_on, "tighten": tighten, "look": look, "load": load, "ride": ride,
}  # fmt: skip
"""Name -> its strokes, in the order of the legend."""
