"""A folded strip seen from its end: flats and folds, its blank, and where each point of the blank comes to lie.

The strip runs from its start to its end. A fold of positive angle turns the rest of the strip up (to the left of the
way along it), a negative one down. Heights over the blank count from its lower face.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.folding.uses import fold_uses, neutral_share, outside_reach

__all__ = [
    "Face",
    "Fold",
    "FoldMark",
    "FoldedStrip",
    "Measured",
    "fold_marks",
    "folded_outline",
    "folded_points",
    "strip_corners",
    "strip_from_corners",
    "strip_from_sizes",
    "strip_sizes",
]

Floats = NDArray[np.float64]
Measured = Literal["outside", "inside", "flat"]
"""What a size runs to: the outside or the inside of the folds beside it, or only the flat between them."""
Face = Literal["upper", "lower"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """A fold.

    Attributes:
        angle_rad: By how much the strip turns: positive up, negative down [rad].
        radius: Inside radius [mm].
        share: Where the neutral line lies, from the inside face over the thickness [-]; None: DIN 6935.
    """

    angle_rad: float
    radius: float
    share: float | None = None

    def __post_init__(self) -> None:
        if not 0 < abs(self.angle_rad) <= math.pi:
            raise ValueError(f"a fold of {math.degrees(self.angle_rad):g} degrees; more than 0 and at most 180")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedStrip:
    """A strip: n + 1 flats and the n folds between them.

    Attributes:
        thickness: Of the sheet [mm].
        flats: Lengths between the folds [mm].
        folds: From the start to the end.
    """

    thickness: float
    flats: tuple[float, ...]
    folds: tuple[Fold, ...]

    def __post_init__(self) -> None:
        if len(self.flats) != len(self.folds) + 1:
            raise ValueError(f"{len(self.folds)} folds need {len(self.folds) + 1} flats, not {len(self.flats)}")
        for number, flat in enumerate(self.flats, 1):
            if not flat >= 0:
                raise ValueError(f"side {number} has no room for its folds: {flat:.2f} mm of flat are left")
        if min(self.uses, default=1.0) <= 0:
            raise ValueError("a fold without radius whose neutral line lies on its inside face uses no sheet")

    @property
    def uses(self) -> tuple[float, ...]:
        """What each fold uses of the blank [mm]."""
        return tuple(fold_uses(f.angle_rad, f.radius, self.thickness, f.share) for f in self.folds)

    @property
    def blank(self) -> float:
        """Length of the blank [mm]."""
        return sum(self.flats) + sum(self.uses)

    def neutral_height(self, fold: Fold) -> float:
        """Height of the neutral line over the lower face of the blank, in a fold [mm]."""
        share = neutral_share(fold.radius, self.thickness) if fold.share is None else fold.share
        return self.thickness * (1 - share if fold.angle_rad > 0 else share)


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldMark:
    """A fold on the blank.

    Attributes:
        at: Of the fold line, the middle of the fold, from the start of the blank [mm].
        start: Where the fold begins [mm].
        end: Where it ends [mm].
        angle_rad: Positive: fold up [rad].
    """

    at: float
    start: float
    end: float
    angle_rad: float


def _reaches(fold: Fold, thickness: float, measured: Measured) -> float:
    if measured == "flat":
        return 0.0
    return outside_reach(fold.angle_rad, fold.radius + (thickness if measured == "outside" else 0.0))


def _beside(folds: Sequence[Fold], i: int) -> Sequence[Fold]:
    return folds[max(i - 1, 0) : i + 1]


def strip_from_sizes(
    sizes: Sequence[float], folds: Sequence[Fold], thickness: float, measured: Measured | Sequence[Measured] = "outside"
) -> FoldedStrip:
    """Return the strip that has given sizes when it is folded.

    Args:
        sizes: Of its n + 1 sides [mm].
        folds: The n folds between them.
        thickness: Of the sheet [mm].
        measured: What the sizes run to, for all sides or side by side.

    Raises:
        ValueError: If a side is too short for its folds.

    Source: plane geometry; sizes beyond a square fold run to its outermost point, as in DIN 6935.

    >>> square = Fold(angle_rad=math.pi / 2, radius=4.0)
    >>> round(strip_from_sizes([25.0, 20.0, 15.0], [square, square], 2.0).blank, 2)
    51.08
    """
    how = [measured] * len(sizes) if isinstance(measured, str) else list(measured)
    flats = tuple(size - sum(_reaches(f, thickness, how[i]) for f in _beside(folds, i)) for i, size in enumerate(sizes))
    return FoldedStrip(thickness=thickness, flats=flats, folds=tuple(folds))


def strip_sizes(strip: FoldedStrip, measured: Measured = "outside") -> tuple[float, ...]:
    """Return the sizes of the folded strip's sides [mm]. Source: plane geometry, `strip_from_sizes` turned round."""
    return tuple(
        flat + sum(_reaches(f, strip.thickness, measured) for f in _beside(strip.folds, i))
        for i, flat in enumerate(strip.flats)
    )


def fold_marks(strip: FoldedStrip) -> tuple[FoldMark, ...]:
    """Return where the folds lie on the blank [mm]. Source: plane geometry, flats and uses added up."""
    marks, at = [], 0.0
    for flat, used, fold in zip(strip.flats, strip.uses, strip.folds, strict=False):
        at += flat
        marks.append(FoldMark(at=at + used / 2, start=at, end=at + used, angle_rad=fold.angle_rad))
        at += used
    return tuple(marks)


def folded_points(
    strip: FoldedStrip, along: Floats, height: Floats, angles_rad: Sequence[float] | None = None
) -> Floats:
    """Return where points of the blank lie once it is folded, fully or in part.

    Args:
        strip: The strip; its start lies at the origin and runs along +x.
        along: (n,) distances from the start of the blank [mm].
        height: (n,) heights over its lower face [mm].
        angles_rad: How far each fold has got [rad]; None: all the way.

    Returns:
        (n, 2) places [mm].

    Source: plane geometry; the neutral line keeps its length, the sheet its thickness.

    >>> ell = strip_from_sizes([30.0, 20.0], [Fold(angle_rad=math.pi / 2, radius=2.0)], 2.0)
    >>> folded_points(ell, np.array([ell.blank]), np.array([0.0])).round(6).tolist()
    [[30.0, 20.0]]
    """
    angles = [f.angle_rad for f in strip.folds] if angles_rad is None else list(angles_rad)
    out = np.zeros((len(along), 2))
    base, heading, at = np.zeros(2), 0.0, 0.0  # base: the lower face at `at`
    last, uses = len(strip.folds), strip.uses
    for i, flat in enumerate(strip.flats):
        t, n = _frame(heading)
        here = along >= at if i else np.ones(len(along), dtype=bool)
        out[here] = base + np.outer(along[here] - at, t) + np.outer(height[here], n)
        base, at = base + flat * t, at + flat
        if i == last:
            break
        used = uses[i]
        neutral = strip.neutral_height(strip.folds[i])
        here = along >= at
        out[here] = _in_fold(base, heading, (used, angles[i], neutral), (along[here] - at, height[here]))
        base = _in_fold(base, heading, (used, angles[i], neutral), (np.array([used]), np.zeros(1)))[0]
        heading, at = heading + angles[i], at + used
    return out


def _frame(heading: float) -> tuple[Floats, Floats]:
    c, s = math.cos(heading), math.sin(heading)
    return np.array([c, s]), np.array([-s, c])


def _in_fold(base: Floats, heading: float, fold: tuple[float, float, float], points: tuple[Floats, Floats]) -> Floats:
    """Places in a fold of (uses, angle, neutral height) that begins at a base."""
    (used, angle, neutral), (along, height) = fold, points
    t, n = _frame(heading)
    if abs(angle) < 1e-12 or used == 0:
        return base + np.outer(along, t) + np.outer(height, n)
    reach = used / angle  # signed distance from the neutral line to the centre of the fold, along n
    turned = angle * along / used
    radius = reach - (height - neutral)
    centre = base + (neutral + reach) * n
    return centre + np.outer(radius * np.sin(turned), t) - np.outer(radius * np.cos(turned), n)


def folded_outline(
    strip: FoldedStrip, chord_rad: float = math.radians(5), angles_rad: Sequence[float] | None = None
) -> Floats:
    """Return the closed outline of the folded strip's end view, lower face first, as (n, 2) places [mm].

    Args:
        strip: The strip.
        chord_rad: Largest turn between two points of an arc [rad].
        angles_rad: How far each fold has got [rad]; None: all the way.

    Source: plane geometry.
    """
    stations = [0.0]
    for mark in fold_marks(strip):
        steps = max(1, math.ceil(abs(mark.angle_rad) / chord_rad))
        stations += np.linspace(mark.start, mark.end, steps + 1).tolist()
    u = np.array([*stations, strip.blank])
    lower = folded_points(strip, u, np.zeros(len(u)), angles_rad)
    upper = folded_points(strip, u, np.full(len(u), strip.thickness), angles_rad)
    return np.vstack([lower, upper[::-1]])


def _corner_reach(fold: Fold, thickness: float, face: Face) -> float:
    """From the end of the flat to where a face's two flats would meet [mm]."""
    outside = (fold.angle_rad > 0) == (face == "lower")
    return (fold.radius + (thickness if outside else 0.0)) * math.tan(abs(fold.angle_rad) / 2)


def strip_from_corners(
    corners: Sequence[Sequence[float]], radii: Sequence[float], thickness: float, face: Face = "lower"
) -> FoldedStrip:
    """Return the strip one face of which runs through given corners.

    Args:
        corners: n + 2 points of the end view: start, the n corners, end [mm].
        radii: The n inside radii [mm].
        thickness: Of the sheet [mm].
        face: Which face runs through the corners; the lower one is on the right of the way from the start.

    Raises:
        ValueError: If a fold turns straight back or not at all, or a side is too short for its folds.

    Source: plane geometry.

    >>> bracket = strip_from_corners([(0, 0), (40, 0), (40, 30)], [2.0], 2.0)
    >>> [round(size, 6) for size in strip_sizes(bracket)]
    [40.0, 30.0]
    """
    p = np.asarray(corners, dtype=float)
    ways = np.diff(p, axis=0)
    lengths = np.hypot(ways[:, 0], ways[:, 1])
    headings = np.arctan2(ways[:, 1], ways[:, 0])
    turns = (np.diff(headings) + math.pi) % (2 * math.pi) - math.pi
    if np.any(np.abs(turns) > math.pi - 1e-6):
        raise ValueError("a fold straight back on itself has no corner: say it by its sizes")
    folds = [Fold(angle_rad=float(a), radius=float(r)) for a, r in zip(turns, radii, strict=True)]
    flats = tuple(
        float(length) - sum(_corner_reach(f, thickness, face) for f in _beside(folds, i))
        for i, length in enumerate(lengths)
    )
    return FoldedStrip(thickness=thickness, flats=flats, folds=tuple(folds))


def strip_corners(strip: FoldedStrip, face: Face = "lower") -> Floats:
    """Return the (n + 2, 2) corners of a face of the folded strip, its start at the origin along +x [mm].

    Source: plane geometry, `strip_from_corners` turned round.
    """
    lengths = [
        flat + sum(_corner_reach(f, strip.thickness, face) for f in _beside(strip.folds, i))
        for i, flat in enumerate(strip.flats)
    ]
    headings = np.concatenate([[0.0], np.cumsum([f.angle_rad for f in strip.folds])])
    ways = np.stack([np.cos(headings), np.sin(headings)], axis=1) * np.array(lengths)[:, None]
    return np.vstack([np.zeros(2), np.cumsum(ways, axis=0)])
