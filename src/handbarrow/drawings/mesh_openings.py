"""Holes and slots in tubes and bars, cut into the skin of a run.

A place on the long side of a run is (s, x): s round the section as on a wrap, x along the finished centreline. Every
opening has a row of stations; at each of them it reaches from `low` to `high`. Lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from handbarrow.drawings.mesh_flat import Skin
from handbarrow.laws.geometry.path import Centreline, Floats, cross, layout
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import outline

__all__ = ["BarOpening", "Cells", "Openings", "Rings", "cut_cells", "openings_of"]

FACES = {"crown": (0.0, 1.0), "right": (0.25, -1.0), "bottom": (0.5, -1.0), "left": (0.75, 1.0)}
"""Middle of each face as a part of the girth, and whether s grows (1) or falls (-1) the way `across` counts."""
ROOM = 0.05
"""An opening keeps at least this far from the edges of its face and the ends of its straight [mm]."""


@dataclass(frozen=True, slots=True)
class BarOpening:
    """A hole (`length` 0) or slot in a run, as in the design file; `along` counts along the finished centreline."""

    along: float
    face: str
    across: float
    diameter: float
    length: float = 0.0
    runs_across: bool = False
    open_edge: bool = False
    through: bool = False


class Rings(NamedTuple):
    """Rings along a run: middles, directions of width and height, direction along, place along it [mm]."""

    at: Floats
    v: Floats
    u: Floats
    t: Floats
    along: Floats


class _Mouth(NamedTuple):
    """Where an opening comes out: `lateral` across its face, `s` round the section, reach before and after its middle.

    Attributes:
        s: (m,) ascending; may run past the girth.
        side: (m,) the same places across the face, for finding the matching place of the other mouth.
        half: (m,) half its length along the run there.
    """

    s: Floats
    side: Floats
    half: Floats


class _Opening(NamedTuple):
    """An opening: its middle along the run, and its mouths. `joined`: one mouth that runs round the edge."""

    along: float
    mouths: tuple[_Mouth, ...]
    joined: bool
    through_wall: bool


class Openings(NamedTuple):
    """All openings of a run and the stations that they need round its section."""

    each: tuple[_Opening, ...]
    stations: Floats


# ------------------------------------------------------------------------------------------------ where they are
def openings_of(section: Section, line: Centreline, given: Sequence[BarOpening], chord: float) -> Openings:
    """Return the openings that can be cut; one in a bend or beyond an edge is left out: findings tell of it."""
    each = []
    for hole in given:
        made = _opening(section, hole, chord)
        reach = max((float(m.half.max()) for m in made.mouths), default=0.0) if made else 0.0
        if made is not None and _on_straight(line, hole.along, reach):
            each.append(made)
    s = [mouth.s for opening in each for mouth in opening.mouths]
    return Openings(tuple(each), np.concatenate(s) if s else np.zeros(0))


def _on_straight(line: Centreline, at: float, reach: float) -> bool:
    place, run = layout(line), 0.0
    arcs = [*place.arcs.tolist(), 0.0]
    for straight, arc in zip(place.straights.tolist(), arcs, strict=True):
        if run + reach + ROOM <= at <= run + straight - reach - ROOM:
            return True
        run += straight + arc
    return False


def _opening(section: Section, hole: BarOpening, chord: float) -> _Opening | None:
    side, half = _shape(hole, chord)
    if section.shape == "angle":
        return _in_angle(section, hole, side, half)
    girth, tall = outline(section).girth, hole.face in ("crown", "bottom")
    face = (section.width if tall else section.height) / 2
    part, sign = FACES.get(hole.face, (0.0, 1.0))
    middle, across = part * girth, sign * hole.across
    if hole.open_edge and not section.is_hollow and not section.is_round:
        way = 1.0 if across >= 0 else -1.0
        if across * way - max(hole.length, hole.diameter) / 2 < ROOM - face:
            return None  # it would cut the bar in two
        other = (section.height if tall else section.width) / 2
        return _over_edge(hole, (middle, middle + way * 2 * (face + other), way), across * way, face)
    lateral = across + side
    if float(np.abs(lateral).max()) > face - ROOM:
        return None
    turn = face * np.arcsin(np.clip(lateral / face, -1, 1)) if section.is_round else lateral
    mouths = [_Mouth(middle + turn, lateral, half)]
    if hole.through or not section.is_hollow:
        mouths.append(_Mouth(middle + girth / 2 - turn[::-1], lateral[::-1], half[::-1]))
    return _Opening(hole.along, tuple(mouths), False, section.is_hollow)


def _shape(hole: BarOpening, chord: float) -> tuple[Floats, Floats]:
    """Places across the face about the middle, ascending, and half the length along the run at each."""
    r = hole.diameter / 2
    reach = max(hole.length - hole.diameter, 0.0) / 2
    steps = max(3, math.ceil(math.pi / 4 / math.acos(max(0.0, 1 - min(chord, r) / r))))
    turn = np.pi / 2 * np.arange(-steps, steps + 1) / steps
    side, half = r * np.sin(turn), r * np.cos(turn)
    half[[0, -1]] = 0.0
    if not reach:
        return side, half
    if not hole.runs_across:
        return side, half + reach
    return np.concatenate([side[: steps + 1] - reach, side[steps:] + reach]), np.concatenate(
        [half[: steps + 1], half[steps:]]
    )


def _in_angle(section: Section, hole: BarOpening, side: Floats, half: Floats) -> _Opening | None:
    """Through one leg of an angle, outside and inside; s of both runs the other way."""
    h, w, t = section.height, section.width, section.wall
    tall = hole.face == "height leg"
    leg = h if tall else w
    if hole.open_edge:
        # Outside at distance a from the heel, over the tip, to the inside at the same distance.
        outside, inside = (h + 2 * w, t + h) if tall else (h + 2 * w, h - t)
        spans = (outside, inside + 2 * (h + w), 1.0) if tall else (outside, inside, -1.0)
        return _over_edge(hole, spans, hole.across, leg)
    lateral = hole.across + side
    if lateral[0] < t + ROOM or lateral[-1] > leg - ROOM:
        return None
    if tall:
        mouths = (_Mouth(h + 2 * w + lateral, lateral, half), _Mouth(t + h - lateral[::-1], lateral[::-1], half[::-1]))
    else:
        mouths = (_Mouth(h + 2 * w - lateral[::-1], lateral[::-1], half[::-1]), _Mouth(h - t + lateral, lateral, half))
    return _Opening(hole.along, mouths, False, False)


def _over_edge(hole: BarOpening, spans: tuple[float, float, float], middle: float, edge: float) -> _Opening | None:
    """A slot across the run that runs out over an edge.

    Args:
        hole: The slot.
        spans: s of the front face's zero, s of the back face's zero, and whether s grows (1) or falls (-1) on the
            front towards the edge; on the back it runs the other way.
        middle: Of the slot, counted across from the zero towards the edge [mm].
        edge: From the zero to the edge [mm].
    """
    r = hole.diameter / 2
    deep = middle - max(hole.length, hole.diameter) / 2
    turn = np.pi / 2 * np.arange(0, 9) / 8
    side = np.append(deep + r - r * np.cos(turn), edge)
    half = np.append(r * np.sin(turn), r)
    if side[-2] > edge - ROOM:
        return None
    front, back, way = spans
    there = front + way * side
    here = back - way * side[::-1]
    s = np.concatenate([there, here])
    both_side, both_half = np.concatenate([side, side[::-1]]), np.concatenate([half, half[::-1]])
    if way < 0:
        s, both_side, both_half = s[::-1], both_side[::-1], both_half[::-1]
    return _Opening(hole.along, (_Mouth(s, both_side, both_half),), True, False)


# ------------------------------------------------------------------------------------------------ cut into the skin
class _Cut(NamedTuple):
    """A mouth on the stations as they are: numbers of the stations, place across, from x to x at each of them."""

    stations: list[int]
    side: Floats
    low: Floats
    high: Floats
    ring: int
    """The ring before it."""


@dataclass(frozen=True, slots=True)
class Cells:
    """The skin's cells, one between two stations and two rings, and the mouths that lie in them."""

    rings: Rings
    openings: tuple[tuple[_Opening, tuple[_Cut, ...]], ...]

    def _cuts(self) -> Iterator[_Cut]:
        for _, cuts in self.openings:
            yield from cuts

    def _touched(self, n: int) -> list[tuple[int, int]]:
        """(ring, station) of the cells that a mouth lies in or touches."""
        out = {(cut.ring, k % n) for cut in self._cuts() for k in (cut.stations[0] - 1, *cut.stations)}
        return sorted(out)

    def whole(self, k: int, n: int) -> np.ndarray:
        """(k, n) whether a cell is whole."""
        out = np.ones((k, n), dtype=bool)
        for ring, station in self._touched(n):
            out[ring, station] = False
        return out

    def _ends(self, grid: Floats, cut: _Cut, rows: Sequence[int] | None = None) -> tuple[Floats, Floats]:
        """Where a mouth begins and ends along the run, (m, 3) each, at its stations or at some of them."""
        own = np.arange(len(cut.stations)) if rows is None else np.asarray(rows)
        start, t = grid[cut.ring, np.asarray(cut.stations)[own] % grid.shape[1]], self.rings.t[cut.ring]
        x = float(self.rings.along[cut.ring]) + ((start - self.rings.at[cut.ring]) * t).sum(axis=1)
        low, high = ((side[own] - x)[:, None] * t + start for side in (cut.low, cut.high))
        return low, high

    def pieces(
        self, grid: Floats, axes: tuple[Floats, Floats], normals: tuple[Floats, Floats], way: float
    ) -> list[Skin]:
        """What is left of the cells that are not whole, outwards (way 1) or into the tube (way -1)."""
        n, size = grid.shape[1], 0
        points: list[Floats] = []
        leans: list[Floats] = []
        triangles: list[tuple[int, int, int]] = []
        mouths = [
            _Mouths(cut, *self._ends(grid, cut), {k % n: i for i, k in enumerate(cut.stations)}) for cut in self._cuts()
        ]
        for ring, a in self._touched(n):
            t = self.rings.t[ring]
            lean = [way * (m[a, 0] * axes[0][ring] + m[a, 1] * axes[1][ring]) for m in normals]
            for left, right in _chains(grid, mouths, ring, (a, (a + 1) % n)):
                places = (np.array(left + right) @ t).tolist()
                tri = _zipped(places[: len(left)], places[len(left) :])
                triangles += [(i + size, j + size, k + size) for i, j, k in tri]
                points += left + right
                leans += [lean[0]] * len(left) + [lean[1]] * len(right)
                size = len(points)
        if not points:
            return []
        corners = np.array(triangles, dtype=np.int64)
        return [_whole(Skin(np.array(points), np.array(leans), corners if way > 0 else corners[:, ::-1]))]

    # -------------------------------------------------------------------------------------------- sides of openings
    def walls(self, outer: Floats, inner: Floats) -> list[Skin]:
        """The sides of openings through the wall of a tube, between its outside and its inside."""
        out = []
        for _, cuts in self.openings:
            for cut in cuts:
                rows = range(len(cut.stations))
                out += self._sides((outer, inner), (cut, cut), (rows, rows), closed=True)
        return out

    def through(self, grid: Floats) -> list[Skin]:
        """The sides of openings through a solid bar or one leg, between both mouths."""
        out = []
        for opening, cuts in self.openings:
            if opening.joined:
                cut = cuts[0]
                half = int(np.argmax(cut.side))
                rows = range(half + 1), range(len(cut.stations) - 1, len(cut.stations) - 2 - half, -1)
                back = [i for i in range(len(cut.stations) - 1, half, -1) if i > half]
                out += self._sides((grid, grid), (cut, cut), (rows[0], back), closed=False)
            elif len(cuts) == 2:
                back = list(range(len(cuts[1].stations) - 1, -1, -1))
                out += self._sides((grid, grid), cuts, (range(len(cuts[0].stations)), back), closed=True)
        return out

    def _sides(
        self,
        grids: tuple[Floats, Floats],
        cuts: tuple[_Cut, ...],
        rows: tuple[Sequence[int], Sequence[int]],
        *,
        closed: bool,
    ) -> list[Skin]:
        """Skin between two mouths: along the low side, along the high side, and across where they end straight."""
        (low_a, high_a), (low_b, high_b) = (
            self._ends(grid, cut, list(own)) for grid, cut, own in zip(grids, cuts, rows, strict=True)
        )
        places = [np.abs(cut.side[list(own)] - cut.side[own[0]]) for cut, own in zip(cuts, rows, strict=True)]
        tri = np.array(_zipped(places[0].tolist(), places[1].tolist()), dtype=np.int64)
        out = [_flat(np.concatenate([low_a, low_b]), tri[:, ::-1]), _flat(np.concatenate([high_a, high_b]), tri)]
        for k in (0, -1) if closed else (0,):
            corners = np.array([low_a[k], high_a[k], high_b[k], low_b[k]])
            quad = np.array([(0, 1, 2), (0, 2, 3)])
            out.append(_flat(corners, quad if k == -1 else quad[:, ::-1]))
        return out


def cut_cells(s: Floats, girth: float, rings: Rings, openings: Openings) -> Cells:
    """Lay openings on the stations and rings of a run."""
    out = []
    for opening in openings.each:
        ring = int(np.searchsorted(rings.along, opening.along)) - 1
        out.append((opening, tuple(_cut(mouth, opening.along, s, girth, ring) for mouth in opening.mouths)))
    return Cells(rings, tuple(out))


def _cut(mouth: _Mouth, along: float, s: Floats, girth: float, ring: int) -> _Cut:
    """A mouth on all stations between its first and its last, which are stations themselves."""
    shift = math.floor(float(mouth.s[0]) / girth) * girth
    own = mouth.s - shift
    wide = np.concatenate([s, s + girth])
    low, high = (int(np.argmin(np.abs(wide - at))) for at in (own[0], own[-1]))
    stations = list(range(low, high + 1))
    at = wide[low : high + 1]
    half, side = np.interp(at, own, mouth.half), np.interp(at, own, mouth.side)
    half[[0, -1]] = mouth.half[[0, -1]]
    return _Cut(stations, side, along - half, along + half, ring)


class _Mouths(NamedTuple):
    """A mouth with its points: where it begins and ends at each of its stations, and the row of each station."""

    cut: _Cut
    low: Floats
    high: Floats
    rows: dict[int, int]


def _chains(
    grid: Floats, mouths: Sequence[_Mouths], ring: int, strip: tuple[int, int]
) -> Iterator[tuple[list[Floats], list[Floats]]]:
    """Pairs of chains that bound what is left between two stations, from one ring to the next."""
    chains = tuple([[grid[ring, station]]] for station in strip)
    inside = sorted((m for m in mouths if m.cut.ring == ring), key=lambda m: float(m.cut.low.min()))
    for mouth in inside:
        a, b = (mouth.rows.get(station) for station in strip)
        crossing = a is not None and b == a + 1
        for chain, row in zip(chains, (a, b), strict=True):
            if row is None:
                continue
            chain[-1].append(mouth.low[row])
            if crossing:
                chain.append([mouth.high[row]])
            elif mouth.cut.high[row] > mouth.cut.low[row]:
                chain[-1].append(mouth.high[row])
    for chain, station in zip(chains, strip, strict=True):
        chain[-1].append(grid[ring + 1, station])
    yield from zip(*chains, strict=True)


# ------------------------------------------------------------------------------------------------ triangles
def _zipped(left: Sequence[float], right: Sequence[float]) -> list[tuple[int, int, int]]:
    """Triangles between two chains by their places; the right one's points are numbered after the left one's."""
    out: list[tuple[int, int, int]] = []
    i, j, n = 0, 0, len(left)
    while i < n - 1 or j < len(right) - 1:
        if j == len(right) - 1 or (i < n - 1 and left[i + 1] < right[j + 1]):
            out.append((i, n + j, i + 1))
            i += 1
        else:
            out.append((i, n + j, n + j + 1))
            j += 1
    return out


def _whole(skin: Skin) -> Skin:
    """Without triangles of no size."""
    p = skin.points[skin.triangles]
    wide = np.abs(cross(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0])).max(axis=1) > 1e-9
    return skin._replace(triangles=skin.triangles[wide])


def _flat(points: Floats, tri: np.ndarray) -> Skin:
    """Triangles each with its own normal."""
    p = points[tri]
    normal = cross(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0])
    size = np.linalg.norm(normal, axis=1)
    p, normal = p[size > 1e-9], normal[size > 1e-9] / size[size > 1e-9][:, None]
    return Skin(p.reshape(-1, 3), np.repeat(normal, 3, axis=0), np.arange(3 * len(p)).reshape(-1, 3))
