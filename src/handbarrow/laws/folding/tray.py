"""A tray: a flat base with a side folded up along each edge, its corners butted."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.folding.strip import Fold, FoldedStrip, fold_marks, strip_from_sizes

__all__ = ["Tray", "TrayBlank", "tray_blank"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """A tray by its outside sizes.

    Attributes:
        length: Along x [mm].
        width: Along y [mm].
        height: [mm].
        thickness: Of the sheet [mm].
        radius: Inside radius of the folds [mm].
        gap: Left between two sides at a corner, for the weld [mm].
        share: Neutral line of the folds [-]; None: DIN 6935.
    """

    length: float
    width: float
    height: float
    thickness: float
    radius: float
    gap: float = 0.0
    share: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayBlank:
    """The blank of a tray, its middle at the origin.

    Attributes:
        outline: (28, 2) corners, counter-clockwise [mm].
        fold_x: Distance of the two fold lines across x from the middle [mm].
        fold_y: Distance of the two fold lines across y from the middle [mm].
        strips: The end views along x and along y.
    """

    outline: Floats
    fold_x: float
    fold_y: float
    strips: tuple[FoldedStrip, FoldedStrip]


def tray_blank(tray: Tray) -> TrayBlank:
    """Return the blank of a tray; the sides across y stand between those across x, the corners cut out for the folds.

    Args:
        tray: The tray [mm].

    Raises:
        ValueError: If a side is too short for its folds.

    Source: plane geometry. The cut-out of a corner reaches to where both folds begin, so that neither tears.

    >>> blank = tray_blank(Tray(length=300, width=200, height=40, thickness=1, radius=1))
    >>> blank.outline.max(axis=0).round(3).tolist()
    [188.081, 138.081]
    """
    fold = Fold(angle_rad=math.pi / 2, radius=tray.radius, share=tray.share)
    along = strip_from_sizes([tray.height, tray.length, tray.height], [fold, fold], tray.thickness)
    across = strip_from_sizes([tray.height, tray.width, tray.height], [fold, fold], tray.thickness)
    (bx, fx, ex), (by, fy, ey) = _half(along), _half(across)
    outer = tray.width / 2
    inner = tray.length / 2 - tray.thickness - tray.gap
    corner = [
        (along.blank / 2, outer),
        (ex, outer),
        (ex, by),
        (bx, by),
        (bx, ey),
        (inner, ey),
        (inner, across.blank / 2),
    ]
    quarter = np.array(corner)
    outline = np.vstack([quarter, quarter[::-1] * (-1, 1), quarter * (-1, -1), quarter[::-1] * (1, -1)])
    return TrayBlank(outline=outline, fold_x=fx, fold_y=fy, strips=(along, across))


def _half(strip: FoldedStrip) -> tuple[float, float, float]:
    """Where the last fold begins, its middle, and where it ends, from the middle of the blank [mm]."""
    mark, middle = fold_marks(strip)[-1], strip.blank / 2
    return mark.start - middle, mark.at - middle, mark.end - middle
