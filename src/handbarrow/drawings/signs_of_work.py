"""Signs of what is done with tube and plate: measuring, sawing, drilling, bending, mitring."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from handbarrow.drawings.ink import HEAVY, MEDIUM, Point, Stroke
from handbarrow.drawings.sign_parts import (
    THICK,
    arc,
    around,
    arrow,
    box,
    disc,
    line,
    oval,
    pointer,
    ring,
    shape,
    turned,
)

__all__ = ["SIGNS"]

Strokes = tuple[Stroke, ...]


def measure() -> Strokes:
    """A tube, and a rule along it."""
    ticks = (line((2.5 + 2.4 * i, 12.5), (2.5 + 2.4 * i, 17.5 if i % 4 == 0 else 15.5)) for i in range(9))
    return box(1, 3, 23, 8.5), box(1, 12.5, 23, 21, "white"), *ticks


def mark() -> Strokes:
    """A pencil that draws a line across a tube."""
    pencil = (
        shape(((8, 14.5), (12.5, 12.5), (12.5, 16.5)), "white"),
        shape(((8, 14.5), (9.9, 13.65), (9.9, 15.35))),
        box(12.5, 12.5, 22, 16.5, "white"),
        box(22, 12.5, 24.5, 16.5, "black"),
        line((12.5, 14.5), (22, 14.5), weight=MEDIUM),
    )
    return box(1, 15, 23, 21), line((8, 12.8), (8, 23), weight=THICK), *turned(pencil, (8, 14.5), -47)


def saw() -> Strokes:
    """A hacksaw in a tube: frame, blade with teeth, handle."""
    teeth = [p for i in range(8) for p in ((1.5 + 2 * i, 11), (2.5 + 2 * i, 12.8))]
    return (
        *ring((9, 17.4), 6, 1.8),
        box(2, 10.4, 17, 13.2, "white", 0.0),
        line((4.8, 13.2), (7.2, 13.2)),
        line((10.8, 13.2), (13.2, 13.2)),
        line((1.5, 11), (1.5, 3.4), (17.5, 3.4), (17.5, 11), weight=0.7),
        shape((*teeth, (17.5, 11)), weight=0.2),
        shape(((17.6, 3.2), (20, 3.2), (23.4, 12.4), (20.4, 13.2), (17.6, 9))),
    )


def file() -> Strokes:
    """A file on the end of a tube."""
    cuts = (line((2.4 + 2 * i, 6.8), (4.6 + 2 * i, 2.6), weight=MEDIUM) for i in range(6))
    tool = (
        box(1, 2.6, 16, 6.8, "white"),
        *cuts,
        shape(((16, 3.6), (18, 4.2), (18, 5.2), (16, 5.8))),
        shape(((18, 3), (22, 2.4), (24, 3.4), (24, 6), (22, 7), (18, 6.4))),
    )
    return *ring((9, 17), 6, 1.8), *turned(tool, (9, 6.8), -10), arc((9, 17), 6, 230, 310, THICK)


def drill() -> Strokes:
    """A twist drill in a plate, and which way it turns."""
    return (
        box(1, 15, 23, 21.5),
        shape(((8.5, 0.8), (15.5, 0.8), (14, 5), (10, 5))),
        shape(((10, 5), (14, 5), (14, 17), (12, 20), (10, 17)), "white"),
        *(line((10, 8.6 + 3.2 * i), (14, 6.4 + 3.2 * i)) for i in range(4)),
        arc((12, 9.5), (7, 2.6), 150, 20, 0.7),
        pointer((19.6, 8.2), -50, 4.2),
    )


def slot() -> Strokes:
    """A plate with a slot that is open at its edge; the round end is drilled, the sides are sawn."""
    edge = ((9, 22), (9, 11), *around((12, 11), 3, 180, 360), (15, 22))
    return box(3, 2, 21, 22), shape(edge, "white", 0.0), line(*edge, weight=0.8), *cross((12, 11), 1.6)


def cross(centre: Point, half: float) -> Strokes:
    """A fine cross at a centre."""
    x, y = centre
    return line((x - half, y), (x + half, y), weight=MEDIUM), line((x, y - half), (x, y + half), weight=MEDIUM)


def bend() -> Strokes:
    """A tube that is bent round a die."""
    about = (9.0, 9.5)
    outside, inside = around(about, 9.5, 90, 10), around(about, 5.5, 10, 90)
    tube = ((0.8, 19.0), *outside, (20.0, 2.6), (16.1, 1.9), *inside, (0.8, 15.0))
    return (
        oval(about, 5.5, "white"),
        disc(about, 1.3),
        shape(tube, "grey"),
        arc(about, 13.3, 78, 36, 0.7),
        pointer((20.6, 15.4), -62),
    )


def turn() -> Strokes:
    """A tube that is turned about itself."""
    about, radii = (11.0, 12.0), (4.5, 9.5)
    return (
        arc(about, radii, 40, -60, 0.7),
        box(1, 8.5, 23, 15.5),
        arc(about, radii, 75, 270, 0.7),
        pointer((15.6, 3.4), 28),
    )


def crown() -> Strokes:
    """A tube with the crown line along it, and which way is up."""
    return (
        shape(((6, 9), (23, 9), (23, 22), (6, 22)), "grey"),
        oval((6, 15.5), (3.6, 6.5), "grey"),
        oval((6, 15.5), (2.2, 4.6), "white", MEDIUM),
        *(line((x, 12), (x + long, 12), weight=0.6) for x, long in ((9.4, 3.6), (15.3, 0.2), (17.8, 3.6))),
        *arrow((15, 8.4), (15, 0.4)),
    )


def hold() -> Strokes:
    """A tube between the die and the clamp."""
    return (
        shape(around((12, 0.8), 9, 180, 0), "white"),
        disc((12, 3.6), 1.3),
        box(1, 10, 23, 14.5),
        box(7, 14.5, 17, 18, "black"),
        *arrow((12, 23.2), (12, 18), size=4.5),
    )


def swap() -> Strokes:
    """A tube whose ends change places; one end is black."""
    return (
        box(2.5, 9.8, 21.5, 14.2),
        box(2.5, 9.8, 8, 14.2, "black"),
        arc((12, 11), (9, 8.6), 195, 325, 0.7),
        pointer((20.9, 8), 62),
        arc((12, 13), (9, 8.6), 15, 145, 0.7),
        pointer((3.1, 16), 242),
    )


def cut_out() -> Strokes:
    """Scissors on a dashed line."""
    blades = (
        shape(((1.5, 7), (3, 6.4), (15.4, 14.6), (14.2, 16)), weight=MEDIUM),
        shape(((1.5, 17), (3, 17.6), (15.4, 9.4), (14.2, 8)), weight=MEDIUM),
    )
    return (
        *(line((x, 12), (x + 1.4, 12), weight=MEDIUM) for x in (0.8, 3.6, 6.4)),
        *blades,
        oval((18.4, 6.2), (4, 3.2), "none", 0.8),
        oval((18.4, 17.8), (4, 3.2), "none", 0.8),
    )


def wrap() -> Strokes:
    """A strip of paper with a curve, round a tube."""
    curve = tuple((7 + 10 * i / 12, 8.5 - 3 * abs(1 - i / 6) ** 1.6) for i in range(13))
    return (
        box(8, 1, 16, 23),
        shape((*curve, (22.5, 3.2), (22.5, 15.5), (17, 18.5), (7, 18.5)), "white"),
        line((17, 18.5), (17, 5.5), weight=MEDIUM),
        arc((12, 1), (4, 1.2), 0, 180),
        line(*curve, weight=THICK),
    )


def mitre() -> Strokes:
    """The end of a tube that fits round another one."""
    mouth = around((12, 17.5), 7.4, 222, 318)
    return *ring((12, 17.5), 5.6, 1.8), shape(((6.5, 1), *mouth, (17.5, 1)), "grey"), line(*mouth, weight=THICK)


def check_size() -> Strokes:
    """A calliper on a tube."""
    return (
        box(1, 2.5, 23, 6.5, "white"),
        *(line((8 + 2 * i, 2.5), (8 + 2 * i, 4.8), weight=MEDIUM) for i in range(8)),
        *ring((10.2, 14.5), 5, 1.6),
        shape(((1.8, 1), (5, 1), (5, 19), (3.6, 21.5), (1.8, 12))),
        shape(((15.4, 6.5), (18.6, 6.5), (18.6, 12), (16.8, 21.5), (15.4, 19))),
        line((14, 7.6), (20.6, 7.6), weight=HEAVY),
    )


SIGNS: Mapping[str, Callable[[], Strokes]] = {
    "measure": measure, "mark": mark, "saw": saw, "file": file, "drill": drill, "slot": slot, "cut out": cut_out,
    "wrap": wrap, "mitre": mitre, "crown": crown, "hold": hold, "turn": turn, "swap": swap, "bend": bend,
    "check size": check_size,
}  # fmt: skip
"""Name -> its strokes, in the order of the legend."""
