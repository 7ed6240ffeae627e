"""Whether the mirror image of a run is a different piece."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.job.values import EndCut, JobHole
from handbarrow.laws.bending.blank import wrapped
from handbarrow.laws.geometry.path import Centreline, Vec3, cross, layout
from handbarrow.laws.geometry.section import Section

__all__ = ["Drilled", "is_other_hand"]

Floats = NDArray[np.float64]
STATIONS = 360
SAME_MM, SAME_RAD, SAME_WRAP_MM, SAME_PLACE_RAD = 0.05, math.radians(0.02), 0.3, math.radians(0.75)
FACES_RAD = {"crown": 0.0, "right": math.pi / 2, "bottom": math.pi, "left": -math.pi / 2}
LEGS = {"height leg": "width leg", "width leg": "height leg"}


class Drilled(NamedTuple):
    """Holes of a run on its straight piece of length `cut_length` [mm]."""

    cut_length: float
    holes: tuple[JobHole, ...] = ()


@dataclass(frozen=True, slots=True)
class _Piece:
    """What tells one piece from another; directions round the girth count from the first bend's normal.

    `holes`: (place along the tube, direction, offset, and all that describes the hole itself).
    """

    straights: tuple[float, ...]
    angles: tuple[float, ...]
    turns: tuple[float, ...]
    radii: tuple[float, ...]
    start: Floats
    end: Floats
    length: float
    holes: tuple[tuple[float, float, float, tuple[object, ...]], ...]

    @property
    def bent(self) -> bool:
        return bool(self.angles)

    def mirrored(self) -> _Piece:
        """The mirror image: turns change sign; a direction d becomes pi - d from the mirrored normal, else -d."""
        base = math.pi if self.bent else 0.0
        turns = tuple(-t for t in self.turns)
        holes = tuple((x, base - d, -y, rest) for x, d, y, rest in self.holes)
        return _Piece(
            self.straights, self.angles, turns, self.radii, _flip(self.start, base), _flip(self.end, base),
            self.length, holes,
        )  # fmt: skip

    def read_back(self) -> _Piece:
        """The same piece read from its far end: its first normal is the last one turned round."""
        base = math.pi + sum(self.turns) if self.bent else 0.0
        holes = tuple((self.length - x, base - d, -y, rest) for x, d, y, rest in self.holes)
        turns = (0.0, *self.turns[:0:-1]) if self.bent else ()
        return _Piece(
            self.straights[::-1], self.angles[::-1], turns, self.radii[::-1],
            _flip(self.end, base), _flip(self.start, base), self.length, holes,
        )  # fmt: skip


def _flip(wrap: Floats, base_rad: float) -> Floats:
    """Return the wrap w'(d) = w(base - d)."""
    at: Floats = (base_rad / (2 * math.pi) * STATIONS - np.arange(STATIONS, dtype=np.float64)) % STATIONS
    return _at(wrap, at)


def _at(wrap: Floats, at: Floats) -> Floats:
    """Values of a closed wrap between its stations."""
    low = np.floor(at).astype(int)
    part = at - low
    out: Floats = wrap[low % STATIONS] * (1 - part) + wrap[(low + 1) % STATIONS] * part
    return out


def is_other_hand(
    line: Centreline,
    start: EndCut,
    end: EndCut,
    *,
    section: Section | None = None,
    crown: Vec3 | None = None,
    drilled: Drilled | None = None,
) -> bool:
    """Return whether the mirror image of a run is a different piece, however it is turned or swapped end for end.

    Args:
        line: Its centreline.
        start: Cut of the datum end.
        end: Cut of the far end.
        section: Its section; left out, a round one.
        crown: Crown direction at the datum end, from which wraps count; left out, the first bend's normal.
        drilled: Its holes.
    """
    if section is not None and section.shape == "angle":
        return _angle_other_hand(line, start, end, section, drilled)
    piece = _piece(line, start, end, crown, drilled)
    image = piece.mirrored()
    tries = [image]
    if section is None or section.height == section.width or abs(math.sin(sum(piece.turns))) < 1e-3:
        tries.append(image.read_back())
    return not any(_same(piece, other, section) for other in tries)


def _piece(line: Centreline, start: EndCut, end: EndCut, crown: Vec3 | None, drilled: Drilled | None) -> _Piece:
    place = layout(line)
    shift = 0.0
    if crown is not None and len(place.angles):
        n, t, c = place.normals[0], place.directions[0], np.asarray(crown)
        shift = math.atan2(float(cross(c, n) @ t), float(c @ n))
    holes = []
    for hole in drilled.holes if drilled else ():
        rest = (hole.diameter, hole.length, hole.open_edge, round(math.sin(hole.angle_rad), 3))
        for turn in (0.0, math.pi) if hole.through else (0.0,):
            offset = -hole.y if turn else hole.y
            holes.append((hole.x, FACES_RAD.get(hole.face, 0.0) + turn - shift, offset, rest))
    return _Piece(
        tuple(float(s) for s in place.straights),
        tuple(float(a) for a in place.angles),
        tuple(float(t) for t in place.turns),
        tuple(float(r) for r in place.radii),
        _wrap(start, shift),
        _wrap(end, shift),
        drilled.cut_length if drilled else 0.0,
        tuple(holes),
    )


def _wrap(cut: EndCut, shift_rad: float) -> Floats:
    """Depth of the cut at equal steps round the girth, from the first bend's normal."""
    if not cut.wrap:
        return np.full(STATIONS, cut.shortest)
    table = np.fromiter(chain.from_iterable(cut.wrap), float, 2 * len(cut.wrap)).reshape(-1, 2)
    girth = float(table[-1, 0] - table[0, 0])  # the last station lies on the first
    at = (np.arange(STATIONS) / STATIONS + shift_rad / (2 * math.pi)) % 1.0 * girth + table[0, 0]
    depth: Floats = np.interp(at, table[:, 0], table[:, 1])
    return depth


def _same(one: _Piece, other: _Piece, section: Section | None) -> bool:
    if not (
        np.allclose(one.straights, other.straights, atol=SAME_MM)
        and np.allclose(one.angles, other.angles, atol=SAME_RAD)
        and np.allclose(one.radii, other.radii, atol=SAME_MM)
        and all(abs(wrapped(a - b)) < SAME_RAD for a, b in zip(one.turns, other.turns, strict=True))
    ):
        return False
    return any(_same_features(one, other, turn) for turn in _free_turns(one, section))


def _free_turns(piece: _Piece, section: Section | None) -> Iterator[int]:
    """Turns of a piece about its own run that leave its shape as it is, in stations."""
    if piece.bent:
        yield 0
    elif section is None or section.is_round:
        yield from range(STATIONS)
    else:
        yield from range(0, STATIONS, STATIONS // (4 if section.height == section.width else 2))


def _same_features(one: _Piece, other: _Piece, turn: int) -> bool:
    for a, b in ((one.start, other.start), (one.end, other.end)):
        if float(np.abs(a - np.roll(b, turn)).max()) > SAME_WRAP_MM:
            return False
    return _same_holes(one.holes, [(x, d + turn * 2 * math.pi / STATIONS, y, rest) for x, d, y, rest in other.holes])


def _same_holes(
    ones: Sequence[tuple[float, float, float, tuple[object, ...]]],
    others: list[tuple[float, float, float, tuple[object, ...]]],
) -> bool:
    left = list(others)
    for x, d, y, rest in ones:
        for k, (x2, d2, y2, rest2) in enumerate(left):
            near = abs(x - x2) < SAME_MM and abs(y - y2) < SAME_MM and abs(wrapped(d - d2)) < SAME_PLACE_RAD
            if near and rest == rest2:
                del left[k]
                break
        else:
            return False
    return not left


def _angle_other_hand(line: Centreline, start: EndCut, end: EndCut, section: Section, drilled: Drilled | None) -> bool:
    """An angle's image in a plane across its run keeps its legs; only what is along it changes places."""
    if line.radii:
        return True
    length, holes = (drilled.cut_length, drilled.holes) if drilled else (0.0, ())
    rows = sorted((h.x, h.face, h.y, h.diameter, h.length, h.angle_rad, h.open_edge) for h in holes)
    swapped = sorted((length - x, face, *rest) for x, face, *rest in rows)
    same_ends = (start.wrap, start.shortest) == (end.wrap, end.shortest) or not (start.wrap or end.wrap)
    if same_ends and _near(rows, swapped):
        return False
    legs = sorted((x, LEGS.get(face, face), *rest) for x, face, *rest in rows)
    return not (section.height == section.width and not (start.wrap or end.wrap) and _near(rows, legs))


def _near(ones: Sequence[tuple[object, ...]], others: Sequence[tuple[object, ...]]) -> bool:
    """Whether two lists of rows are equal within SAME_MM."""
    return all(
        all(
            abs(a - b) < SAME_MM if isinstance(a, float) and isinstance(b, float) else a == b
            for a, b in zip(x, y, strict=True)
        )
        for x, y in zip(ones, others, strict=True)
    )
