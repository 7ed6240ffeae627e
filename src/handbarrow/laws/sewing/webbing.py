"""Cut lengths of webbing and cord: folded ends, loops, splices, knots, lacing; and what they may carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import girth

__all__ = [
    "PP_ROPE_STRENGTH_N",
    "WebbingEnd",
    "cord_cut",
    "knot_from_trial",
    "knot_guess",
    "lacing_length",
    "lacing_places",
    "rubber_pull",
    "splice_length",
    "webbing_cut",
    "working_pull",
]

Floats = NDArray[np.float64]

PP_ROPE_STRENGTH_N = {6.0: 5000.0, 8.0: 7610.0, 10.0: 10800.0, 12.0: 16800.0}
"""Breaking strength of polypropylene rope by diameter [mm: N], read on a page of rope tables. Polypropylene loses its
strength within a year of full sun (read)."""
TREFOIL = 16.372
"""Length of the tightest closed trefoil over the cord's diameter [-], read on a page about knots: no tied overhand
knot takes less."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WebbingEnd:
    """One end of a piece of webbing.

    Attributes:
        kind: `cut`: melted or cut off; `folded`: turned under and sewn; `loop`: round a tube or a ring, sewn back on
            itself.
        overlap: What is sewn back on the webbing: the fold, or the flat part behind a loop [mm].
        turn_under: The very end, turned under [mm].
        around: The tube or bar in a loop.
        webbing: Thickness of the webbing, which lies round the tube [mm].
    """

    kind: Literal["cut", "folded", "loop"] = "cut"
    overlap: float = 0.0
    turn_under: float = 0.0
    around: Section | None = None
    webbing: float = 0.0

    def __post_init__(self) -> None:
        if (self.kind == "loop") != (self.around is not None):
            raise ValueError("a loop, and only a loop, goes round something")
        if (self.kind == "cut") != (self.overlap == 0 and self.turn_under == 0):
            raise ValueError(
                f"overlap {self.overlap:g} mm, turn_under {self.turn_under:g} mm do not go with {self.kind}"
            )


def _end_takes(end: WebbingEnd) -> float:
    """Beyond the finished end: the fold, or the axis of the tube in a loop [mm]."""
    if end.around is None:
        return end.overlap + end.turn_under
    half = (girth(end.around) + np.pi * end.webbing) / 2  # round the far half of the tube, its middle line
    reach = end.around.outside / 2
    return float(half + reach + end.overlap + end.turn_under)


def webbing_cut(finished: float, start: WebbingEnd, end: WebbingEnd) -> float:
    """Return the length of webbing to cut [mm].

    Args:
        finished: Between the finished ends, or from the axis of the tube in a loop [mm].
        start: The end at its start.
        end: The end at its end.

    Source: plane geometry. A loop takes half the girth at the middle of the webbing, the way back to beside the tube's
    axis (half its outside size), the overlap and the turn-under; that the two layers run together at an angle just
    behind the tube is left out (some millimetres too long).

    >>> webbing_cut(300.0, WebbingEnd(), WebbingEnd(kind="folded", overlap=25.0, turn_under=12.0))
    337.0
    """
    return finished + _end_takes(start) + _end_takes(end)


def splice_length(damage: float, overlap: float) -> float:
    """Return the length of a piece sewn over damaged webbing [mm].

    Args:
        damage: Length of the damage [mm].
        overlap: Beyond it at each side [mm].

    Source: rule of a parachute repair manual, read: 4 in beyond each side.

    >>> splice_length(76.2, 101.6)
    279.4
    """
    return damage + 2 * overlap


def knot_from_trial(before: float, after: float, knots: int) -> float:
    """Return what one knot takes, from a strip measured before and after n knots were tied in it [mm].

    Args:
        before: Its length without knots [mm].
        after: Its length with them, pulled tight [mm].
        knots: How many.

    Raises:
        ValueError: If there is no knot, or the strip got longer.

    Source: closed form, (before - after) / n; the shop's own trial.

    >>> knot_from_trial(1000.0, 640.0, 4)
    90.0
    """
    if knots < 1 or after > before:
        raise ValueError(f"{knots} knots, {before:g} mm before and {after:g} mm after: no trial")
    return (before - after) / knots


def knot_guess(diameter: float) -> float:
    """Return a first guess of what an overhand knot takes [mm]; a trial in the shop counts instead.

    Args:
        diameter: Of the cord [mm].

    Source: the tightest closed trefoil takes 16.372 diameters (read, a lower limit), 25 % added as in a field guide to
    knots (read, a rule of thumb).

    >>> round(knot_guess(6.0))
    123
    """
    return 1.25 * TREFOIL * diameter


def cord_cut(path: float, knots: int = 0, knot: float = 0.0, tails: float = 0.0, stretch: float = 0.0) -> float:
    """Return the length of cord to cut, slack [mm].

    Args:
        path: Its way as tied and under pull [mm].
        knots: How many.
        knot: What one takes [mm].
        tails: Left free, all together [mm].
        stretch: How much longer it is under pull, over its slack length [-].

    Source: closed form, path / (1 + stretch) and knots and tails.

    >>> cord_cut(1200.0, knots=2, knot=90.0, tails=60.0, stretch=0.25)
    1200.0
    """
    if stretch < 0:
        raise ValueError(f"stretch={stretch:g} must not be negative")
    return path / (1 + stretch) + knots * knot + tails


def lacing_places(first: Sequence[float], second: Sequence[float], gap: float, *, straight: bool = False) -> Floats:
    """Return the way of a lacing between two rows of holes as (n, 2) places [mm].

    Args:
        first: Places along the first row, at y = 0 [mm].
        second: Places along the second row, at y = gap [mm].
        gap: Between the rows [mm].
        straight: Out and back at the same place, along the row in between; else a zigzag.

    Raises:
        ValueError: If the rows do not go together.

    Source: plane geometry.

    >>> lacing_places([0, 40, 80], [20, 60], 50).tolist()[:3]
    [[0.0, 0.0], [20.0, 50.0], [40.0, 0.0]]
    """
    a, b = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    if straight:
        if len(a) != len(b):
            raise ValueError(f"{len(a)} and {len(b)} holes: straight lacing needs as many in both rows")
        pairs = [
            [(x, 0.0), (y, gap)] if i % 2 == 0 else [(y, gap), (x, 0.0)]
            for i, (x, y) in enumerate(zip(a, b, strict=True))
        ]
        return np.array([place for pair in pairs for place in pair])
    if len(a) - len(b) not in (0, 1):
        raise ValueError(f"{len(a)} and {len(b)} holes: a zigzag needs as many, or one more in the first row")
    out = np.zeros((len(a) + len(b), 2))
    out[0::2, 0], out[1::2, 0], out[1::2, 1] = a, b, gap
    return out


def lacing_length(places: Floats, around: float = 0.0) -> float:
    """Return the length of a lacing [mm].

    Args:
        places: (n, 2) or (n, 3) places in the order in which it runs [mm].
        around: What it takes more at each place but the first and last, as where it goes round a tube [mm].

    Source: plane geometry: straights between the places.

    >>> lacing_length(np.array([[0.0, 0.0], [30.0, 40.0], [60.0, 0.0]]), around=5.0)
    105.0
    """
    p = np.asarray(places, dtype=float)
    return float(np.linalg.norm(np.diff(p, axis=0), axis=1).sum()) + around * max(len(p) - 2, 0)


def rubber_pull(area: float, shear_mpa: float, stretched: float) -> float:
    """Return the pull of a rubber strip [N].

    Args:
        area: Of its section, slack [mm2].
        shear_mpa: Shear modulus [MPa]; about 0.4 for soft natural rubber, but measure the shop's own.
        stretched: Its length over its slack length [-].

    Source: neo-Hookean solid, G (l - 1/l^2) A (from memory); against figures of a maker at second hand 12 % too high at
    l = 3. The law ends near l = 4, where rubber stiffens.

    >>> rubber_pull(60.0, 0.4, 2.0)
    42.0
    """
    if stretched < 1:
        return 0.0
    return area * shear_mpa * (stretched - 1 / stretched**2)


def working_pull(strength_n: float, factor: float) -> float:
    """Return what webbing, rope or a loop may carry [N].

    Args:
        strength_n: Breaking strength as used: knots and seams counted [N].
        factor: That the workshop asks for [-]; 12 for rope (read on a page of rope tables).

    Source: strength over factor.

    >>> working_pull(10800.0, 12.0)
    900.0
    """
    if factor < 1:
        raise ValueError(f"factor={factor:g} must be 1 or more")
    return strength_n / factor
