"""Rectangles cut from a roll: shortest length found, and a length below which none exists.

The layout is made of sections across the roll; a section holds columns of pieces, one behind the other. Which sections
and how many of each is an integer program; layouts that mix kinds in a column are tried beside it. The bound is a
linear program over all ways to fill the width.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.laws.sewing.lowest import laid_lowest

__all__ = ["RollLayout", "RollPiece", "RollPlace", "lay_on_roll"]

MOST_WAYS = 4000
"""More ways to fill the width than this are not all looked at; the layout is not called proven then."""
NODES = 20_000
"""Of the search; counted and not timed, so that the same batch gives the same layout everywhere."""
NEAR = 1e-6
MOST_MIXED = 600
"""More pieces than this are only laid in sections."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RollPiece:
    """Pieces of one kind: length along the roll, width across it [mm]."""

    name: str
    length: float
    width: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RollPlace:
    """A piece on the roll: number of its kind, its corner along and across from the start and the left edge [mm]."""

    piece: int
    along: float
    across: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RollLayout:
    """A layout.

    Attributes:
        places: One per piece.
        length: Of the roll that is used [mm].
        lower_bound: No layout is shorter [mm].
        proven: Whether the two are the same.
        used: Area of the pieces over that of the roll used [-].
    """

    places: tuple[RollPlace, ...]
    length: float
    lower_bound: float
    proven: bool
    used: float


def lay_on_roll(pieces: Sequence[RollPiece], width: float, gap: float = 0.0) -> RollLayout:
    """Return a short layout of rectangles that keep their direction on a roll.

    Args:
        pieces: What is cut [mm].
        width: Useful width of the roll [mm].
        gap: Between pieces [mm].

    Raises:
        ValueError: If a piece is wider than the roll, or has no size.

    Source: integer program of sections and columns; bound by the linear program of cross-sections, no less than area
    over width (computed here).

    >>> made = lay_on_roll([RollPiece(name="a", length=2000.0, width=500.0, count=5)], 1500.0)
    >>> made.length, made.lower_bound, made.proven
    (4000.0, 4000.0, True)
    """
    for piece in pieces:
        if not (piece.length > 0 and 0 < piece.width <= width + NEAR and piece.count >= 0):
            raise ValueError(f"{piece.name}: {piece.length:g} x {piece.width:g} mm on a roll {width:g} mm wide")
    kinds = [i for i, piece in enumerate(pieces) if piece.count > 0]
    if not kinds:
        return RollLayout(places=(), length=0.0, lower_bound=0.0, proven=True, used=1.0)
    sizes = np.array([[pieces[i].length + gap, pieces[i].width + gap] for i in kinds])
    counts = np.array([pieces[i].count for i in kinds])
    ways, complete = _ways(sizes[:, 1], counts, width + gap)
    sections = _sections(sizes[:, 0], ways, counts)
    chosen = _choose(sections, counts)
    places = _laid([sections[k] for k in chosen], kinds, sizes, counts)
    places = min((places, *_mixed(pieces, kinds, width, gap)), key=lambda one: round(_reach(pieces, one), 6))
    length = _reach(pieces, places)
    bound = _bound(sizes[:, 0], ways, counts, gap, complete)
    area = sum(p.length * p.width * p.count for p in pieces)
    bound = min(max(bound, area / width, max(pieces[i].length for i in kinds)), length)
    near = length - bound <= 1e-6 * length
    return RollLayout(
        places=tuple(places), length=length, lower_bound=length if near else bound, proven=near,
        used=area / (length * width),
    )  # fmt: skip


def _reach(pieces: Sequence[RollPiece], places: Sequence[RollPlace]) -> float:
    """How much of the roll a layout takes [mm]."""
    return max(place.along + pieces[place.piece].length for place in places)


def _mixed(pieces: Sequence[RollPiece], kinds: Sequence[int], width: float, gap: float) -> Iterator[list[RollPlace]]:
    """Layouts whose columns mix kinds: one piece after the other in some orders, each where least is used yet."""
    if sum(pieces[i].count for i in kinds) > MOST_MIXED:
        return
    for order in (
        sorted(kinds, key=lambda i: (-pieces[i].length, -pieces[i].width)),
        sorted(kinds, key=lambda i: (-pieces[i].width, -pieces[i].length)),
        sorted(kinds, key=lambda i: -pieces[i].length * pieces[i].width),
    ):
        row = [i for i in order for _ in range(pieces[i].count)]
        seats = laid_lowest([(pieces[i].length + gap, pieces[i].width + gap) for i in row], width + gap)
        yield [RollPlace(piece=i, along=x, across=y) for i, (x, y) in zip(row, seats, strict=True)]


Section = tuple[float, tuple[int, ...], tuple[int, ...]]
"""Its length; how many columns of each kind; how many pieces one behind the other in each of them."""


def _ways(widths: np.ndarray, counts: np.ndarray, room: float) -> tuple[list[tuple[int, ...]], bool]:
    """All numbers of columns side by side to which no further one can be added; and whether these are all."""
    out: list[tuple[int, ...]] = []
    most = [min(int(counts[i]), int((room + NEAR) / widths[i])) for i in range(len(widths))]

    def fill(i: int, taken: list[int], left: float) -> bool:
        if len(out) >= MOST_WAYS:
            return False
        if i == len(widths):
            full = all(taken[k] >= most[k] or widths[k] > left + NEAR for k in range(i))
            if full and any(taken):
                out.append(tuple(taken))
            return True
        top = min(most[i], int((left + NEAR) / widths[i]))
        return all(fill(i + 1, [*taken, n], left - n * float(widths[i])) for n in range(top, -1, -1))

    return (out, True) if fill(0, [], room) else (out or [tuple(int(k == 0) for k in range(len(widths)))], False)


def _sections(lengths: np.ndarray, ways: list[tuple[int, ...]], counts: np.ndarray) -> list[Section]:
    """Each way with each length that a column of one kind gives it; of the rest as many as fit behind each other."""
    out: dict[Section, None] = {}
    for way in ways:
        heights = {
            round(float(lengths[i]) * n, 9)
            for i in range(len(way)) if way[i]
            for n in range(1, min(int(counts[i]), 4) + 1)
        }  # fmt: skip
        for height in sorted(heights):
            stacks = tuple(int((height + NEAR) / float(lengths[i])) if way[i] else 0 for i in range(len(way)))
            out[(height, way, stacks)] = None
    for i in range(len(lengths)):  # a single piece alone: there is always a layout
        alone = tuple(int(k == i) for k in range(len(lengths)))
        out[(float(lengths[i]), alone, alone)] = None
    return list(out)


def _choose(sections: Sequence[Section], counts: np.ndarray) -> list[int]:
    from scipy.optimize import Bounds, LinearConstraint, milp

    cost = np.array([s[0] for s in sections])
    holds = np.array([np.array(s[1]) * np.array(s[2]) for s in sections], dtype=float).T
    found = milp(
        cost, constraints=LinearConstraint(holds, lb=counts.astype(float)), integrality=np.ones(len(cost)),
        bounds=Bounds(0, float(counts.max())), options={"node_limit": NODES, "mip_rel_gap": 0.0},
    )  # fmt: skip
    if found.x is None:
        raise ArithmeticError("no layout was found")
    return [k for k, n in enumerate(np.rint(found.x).astype(int)) for _ in range(int(n))]


def _laid(sections: Sequence[Section], kinds: Sequence[int], sizes: np.ndarray, counts: np.ndarray) -> list[RollPlace]:
    """Places of all pieces, long sections first; what a section holds too much is left out."""
    left = counts.copy()
    out: list[RollPlace] = []
    along = 0.0
    for _, way, stacks in sorted(sections, key=lambda s: -s[0]):
        across, reached = 0.0, along
        for i, columns in enumerate(way):
            for _ in range(columns):
                n = min(stacks[i], int(left[i]))
                left[i] -= n
                out += [
                    RollPlace(piece=kinds[i], along=along + k * float(sizes[i, 0]), across=across) for k in range(n)
                ]
                if n:
                    reached = max(reached, along + n * float(sizes[i, 0]))
                    across += float(sizes[i, 1])
        along = reached
    return out


def _bound(
    lengths: np.ndarray, ways: Sequence[tuple[int, ...]], counts: np.ndarray, gap: float, complete: bool
) -> float:
    """Every cross-section holds one of the ways; each kind needs its length in columns. 0 where ways are missing."""
    from scipy.optimize import linprog

    if not complete:
        return 0.0
    need = lengths * counts
    found = linprog(
        np.ones(len(ways)), A_ub=-np.array(ways, dtype=float).T, b_ub=-need, bounds=(0, None), method="highs"
    )  # fmt: skip
    whole = [_whole_rows(lengths, ways, counts, i) for i in range(len(lengths))]
    return max(float(found.fun) if found.status == 0 else 0.0, *whole) - gap


def _whole_rows(lengths: np.ndarray, ways: Sequence[tuple[int, ...]], counts: np.ndarray, i: int) -> float:
    """Of one kind alone: so many rows of whole pieces."""
    side = max(way[i] for way in ways)
    return math.ceil(int(counts[i]) / side) * float(lengths[i])
