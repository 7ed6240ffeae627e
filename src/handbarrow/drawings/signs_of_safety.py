"""Signs of what hurts and what keeps whole. The pictures are our own, their frames those of ISO 3864 and ISO 7010.

A filled disc says must, a triangle says danger, a ring with a bar says no.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from handbarrow.drawings.ink import HEAVY, MEDIUM, Fill, Stroke
from handbarrow.drawings.sign_parts import THICK, around, box, disc, line, oval, shape, turned

__all__ = ["SIGNS"]

Strokes = tuple[Stroke, ...]
MIDDLE = (12.0, 12.0)


# ------------------------------------------------------------------------------------------------ must
def _must(*inside: Stroke) -> Strokes:
    return disc(MIDDLE, 11.8), *inside


def _face(fill: Fill = "white") -> Strokes:
    """A head from the front, with shoulders."""
    shoulders = (*around((12, 20.8), (6.4, 2.8), 200, 340), *around(MIDDLE, 10.4, 45, 135))
    return shape(shoulders, fill, 0.0), oval((12, 10.4), (5.2, 7), fill, 0.0)


def eyes() -> Strokes:
    """A head with goggles."""
    return _must(
        *_face(),
        box(5.4, 7.8, 18.6, 10.4, "black", HEAVY),
        oval((9.2, 9.4), (2.6, 2.4), "white", THICK),
        oval((14.8, 9.4), (2.6, 2.4), "white", THICK),
    )


def ears() -> Strokes:
    """A head with ear muffs."""
    band = (*around((12, 9.6), (7.6, 7.8), 180, 360), *around((12, 9.6), (6, 6.2), 360, 180))
    return _must(
        *_face(),
        shape(band, "white", HEAVY),
        oval((5.4, 10.4), (2.2, 3.4), "white", HEAVY),
        oval((18.6, 10.4), (2.2, 3.4), "white", HEAVY),
    )


def mask() -> Strokes:
    """A head with a mask over mouth and nose."""
    cover = ((7, 11.6), (12, 9), (17, 11.6), (15.6, 15.6), (12, 17.6), (8.4, 15.6))
    return _must(
        *_face(),
        disc((9.9, 7), 0.9),
        disc((14.1, 7), 0.9),
        shape(cover, "white", 0.6),
        oval((7.2, 14.8), 2.7, "black", HEAVY),
        oval((16.8, 14.8), 2.7, "black", HEAVY),
        disc((7.2, 14.8), 1.9, "white"),
        disc((16.8, 14.8), 1.9, "white"),
    )


def weld_mask() -> Strokes:
    """A welder's shield with its window."""
    shield = ((5.6, 6.4), *around((12, 6.6), (6.4, 4.4), 180, 360), (18.4, 6.4), (17.6, 15.6), (12, 20.6), (6.4, 15.6))
    return _must(shape(shield, "white", 0.0), box(7.6, 8, 16.4, 12, "black"))


def _hand(fill: Fill, weight: float) -> Strokes:
    """A glove, fingers up."""
    fingers = []
    for x, top in ((7.4, 6.2), (9.9, 4.6), (12.4, 4.6), (14.9, 6.0)):
        fingers += [(x, top + 1.1), *around((x + 1.05, top + 1.1), 1.05, 180, 360), (x + 2.1, 11.4)]
    thumb = ((17, 14.6), (19, 11.8), *around((20, 12.4), 1.2, 200, 400), (17.4, 18), (16.4, 18.6))
    return (
        shape(((7.4, 11.4), *fingers, *thumb, (8.2, 18.6)), fill, weight),
        shape(((7.6, 19.4), (17, 19.4), (17, 21.2), (7.6, 21.2)), fill, weight),
    )


def gloves() -> Strokes:
    """A glove."""
    cuts = (line((x, 7.4), (x, 11.6), weight=MEDIUM) for x in (9.7, 12.2, 14.7))
    return _must(*_hand("white", 0.0), *cuts)


# ------------------------------------------------------------------------------------------------ no
def _no(*inside: Stroke) -> Strokes:
    """A ring with a bar across, over what is in it."""
    bar = turned((box(0.8, 10.9, 23.2, 13.1, "black", 0.0),), MIDDLE, 45)
    edge = turned((box(2.4, 10.2, 21.6, 13.8, "white", 0.0),), MIDDLE, 45)
    hoop = shape((*around(MIDDLE, 11.8, 0, 360), *around(MIDDLE, 9.8, 360, 0)), "black", 0.0)
    return disc(MIDDLE, 11, "white"), *inside, *edge, *bar, hoop


def no_gloves() -> Strokes:
    """No gloves."""
    return _no(*_hand("black", 0.0))


def keep_away() -> Strokes:
    """Nobody here."""
    return _no(
        disc((12, 5.6), 2.3),
        line((12, 9.4), (12, 14), weight=1.6),
        line((12, 14), (9.6, 20), weight=1.0),
        line((12, 14), (14.4, 20), weight=1.0),
        line((12, 9.6), (7.6, 13.4), weight=0.8),
        line((12, 9.6), (16.4, 13.4), weight=0.8),
    )


# ------------------------------------------------------------------------------------------------ danger
def _danger(*inside: Stroke) -> Strokes:
    return shape(((12, 1.6), (23, 21.8), (1, 21.8)), "white", THICK), *inside


def fire() -> Strokes:
    """A flame."""
    flame = (
        (12.4, 6.4), (14.2, 9.4), (15.2, 11.4), (16, 11), (16.2, 9.8), (17.4, 12.6), (17.4, 15.6), (16.2, 18),
        (13.6, 19.4), (10.4, 19.4), (7.8, 18), (6.6, 15.6), (7, 13), (8.2, 11.2), (8.8, 13), (9.6, 13.2), (10.2, 10.4),
    )  # fmt: skip
    inner = ((12.2, 12.8), (13.8, 15.4), (13.6, 17.4), (12, 18.4), (10.4, 17.4), (10.4, 15.8))
    return _danger(shape(flame, weight=0.0), shape(inner, "white", 0.0))


def hot() -> Strokes:
    """Heat that rises from metal."""
    waves = [
        line(*((x + 0.9 * s, y) for s, y in ((0, 15.6), (1, 14.2), (0, 12.8), (-1, 11.4), (0, 10))), weight=0.8)
        for x in (8.6, 12, 15.4)
    ]
    return _danger(*waves, box(5, 17, 19, 19.6, "black", 0.0))


def arc_light() -> Strokes:
    """The light of the arc."""
    centre = (12.0, 14.6)
    ray = line((15.6, 14.6), (17.6, 14.6), weight=0.6)
    rays = (one for angle in range(0, 360, 45) for one in turned((ray,), centre, angle))
    return _danger(disc(centre, 2.4), *rays)


def crush() -> Strokes:
    """A block that comes down on fingers."""
    hand = (
        replace(one, points=tuple((4.4 + 0.56 * x, 8.4 + 0.57 * y) for x, y in one.points))
        for one in _hand("black", 0.0)
    )
    return _danger(*hand, box(8.4, 7.6, 15.6, 10.2, "black", 0.0))


SIGNS: Mapping[str, Callable[[], Strokes]] = {
    "eyes": eyes, "ears": ears, "gloves": gloves, "mask": mask, "weld mask": weld_mask, "no gloves": no_gloves,
    "keep away": keep_away, "arc light": arc_light, "fire": fire, "hot": hot, "crush": crush,
}  # fmt: skip
"""Name -> its strokes, in the order of the legend."""
