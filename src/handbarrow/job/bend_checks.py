"""Sizes to measure on a bent part before it is welded: legs, widths, diagonals, flatness, angles."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.job.values import CheckSize, EndCut
from handbarrow.language import Said, said
from handbarrow.laws.bending.blank import RIGHT_ANGLE_RAD
from handbarrow.laws.geometry.path import Centreline, Layout, cross, layout, vec3
from handbarrow.workshop.values import Limits

__all__ = ["check_sizes", "is_planar"]

Floats = NDArray[np.float64]
PLANAR_RAD = math.radians(0.1)
PARALLEL_RAD = math.radians(0.1)
SHORTEST_OVERLAP = 10.0
MOST_PAIRS = 2


def is_planar(place: Layout) -> bool:
    """Whether all bends lie in one plane (turns of 0 or 180 degrees)."""
    return bool(np.all(np.abs(np.sin(place.turns)) < PLANAR_RAD))


class _Part(NamedTuple):
    place: Layout
    halves: Sequence[float]
    start: Floats
    end: Floats
    limits: Limits

    @property
    def last(self) -> int:
        """Number of bends; legs count from 0 to this."""
        return len(self.place.angles)

    def half(self, leg: int) -> float:
        return self.halves[min(leg, self.last - 1)]

    def from_(self, leg: int) -> Floats:
        """Where a leg's straight starts."""
        point: Floats = self.start if leg == 0 else self.place.tangents_out[leg - 1]
        return point

    def to(self, leg: int) -> Floats:
        """Where a leg's straight ends."""
        point: Floats = self.end if leg == self.last else self.place.tangents_in[leg]
        return point


def check_sizes(
    line: Centreline, halves: Sequence[float], ends: tuple[EndCut, EndCut], limits: Limits
) -> tuple[CheckSize, ...]:
    """Return the sizes to measure on a bent part, product axes.

    Ends are taken where the longest points of the cuts lie: measure before an end is coped. Legs are measured where
    the bend beside them is a right angle or more, so that there is an outside to measure to; other parts are measured
    by the distance of their ends and of the far end from the first leg.

    Args:
        line: Centreline with radii as made.
        halves: Half the outside size in the plane of each bend [mm].
        ends: Start and end cut.
        limits: What the shop promises.
    """
    place = layout(line)
    part = _Part(
        place=place,
        halves=halves,
        start=place.start + place.directions[0] * ends[0].shortest,
        end=place.end - place.directions[-1] * ends[1].shortest,
        limits=limits,
    )
    planar = is_planar(place)
    sizes = [*_legs(part), *_widths(part)]
    diagonals = list(_diagonals(part)) if planar and part.last >= 2 else []
    sizes += diagonals
    if not diagonals:
        sizes.append(_ends(part))
    if not planar:
        sizes += _out_of_plane(part)
    elif float(place.angles.min()) < RIGHT_ANGLE_RAD:
        sizes.append(_offset(part))
    if planar and part.last >= 2:
        sizes.append(_flatness(limits))
    return tuple(sizes + _angles(part))


def _flatness(limits: Limits) -> CheckSize:
    return CheckSize(
        id="flatness",
        title=said("flat on the bench, largest gap"),
        value=0.0,
        minus=0.0,
        plus=limits.flatness,
        measured="flat",
    )


def _size(
    part: _Part, name: str, title: Said, points: tuple[Floats, Floats], measured: Literal["outside", "centreline"]
) -> CheckSize:
    allowed = part.limits.bent_part
    return CheckSize(
        id=name,
        title=title,
        value=float(np.linalg.norm(points[1] - points[0])),
        minus=allowed,
        plus=allowed,
        measured=measured,
        from_point=vec3(points[0]),
        to_point=vec3(points[1]),
    )


def _legs(part: _Part) -> Iterator[CheckSize]:
    place = part.place
    for leg in range(part.last + 1):
        t, low, high = place.directions[leg], part.from_(leg), part.to(leg)
        words: list[Said] = []
        if leg == 0:
            words.append(said("start"))
        elif place.angles[leg - 1] >= RIGHT_ANGLE_RAD:
            low = low - t * (place.radii[leg - 1] + part.halves[leg - 1])
            words.append(said("outside of bend {number}", number=leg))
        if leg == part.last:
            words.append(said("end"))
        elif place.angles[leg] >= RIGHT_ANGLE_RAD:
            high = high + t * (place.radii[leg] + part.halves[leg])
            words.append(said("outside of bend {number}", number=leg + 1))
        if len(words) == 2:
            title = said("leg {number}, {one} to {other}", number=leg + 1, one=words[0], other=words[1])
            yield _size(part, f"leg-{leg + 1}", title, (low, high), "outside")


def _widths(part: _Part) -> Iterator[CheckSize]:
    """Over two legs that run back along each other, at both ends of where they do."""
    t = part.place.directions
    found = 0
    for i in range(part.last - 1):
        for j in range(i + 2, part.last + 1):
            if np.linalg.norm(t[i] + t[j]) > PARALLEL_RAD or found >= MOST_PAIRS:
                continue
            origin = part.from_(i)
            low = max(0.0, float((part.to(j) - origin) @ t[i]))
            high = min(float((part.to(i) - origin) @ t[i]), float((part.from_(j) - origin) @ t[i]))
            apart = part.from_(j) - origin
            apart = apart - t[i] * float(apart @ t[i])
            wide = float(np.linalg.norm(apart))
            if high - low < SHORTEST_OVERLAP or wide < 2 * part.half(i):
                continue
            across = apart / wide
            mark = "" if found == 0 else f"-{found + 1}"
            found += 1
            beside = _width(i, j, said("beside bend {number}", number=i + 1))
            if i == 0 and low == 0.0:
                away = _width(i, j, said("at the start"))
            elif j == part.last:
                away = _width(i, j, said("at the end"))
            else:
                away = _width(i, j, said("beside bend {number}", number=i))
            for name, along, title in (("start", low, away), ("end", high, beside)):
                foot = origin + t[i] * along
                points = (foot - across * part.half(i), foot + apart + across * part.half(j))
                yield _size(part, f"width{mark}-{name}", title, points, "outside")


def _width(i: int, j: int, place: Said) -> Said:
    return said("width over legs {one} and {other} {place}", one=i + 1, other=j + 1, place=place)


def _outermost(part: _Part, k: int, seen_from: Floats) -> Floats | None:
    """Return the place of bend k's outside that is furthest from a point; None if it is not on the arc."""
    place = part.place
    out = place.centres[k] - seen_from
    size = float(np.linalg.norm(out))
    if size < 1e-9:
        return None
    out = out / size
    spoke = (place.tangents_in[k] - place.centres[k]) / place.radii[k]
    side = cross(place.normals[k], spoke)
    round_rad = math.atan2(float(out @ side), float(out @ spoke))
    if not 0 <= round_rad <= place.angles[k]:
        return None
    point: Floats = place.centres[k] + out * (place.radii[k] + part.halves[k])
    return point


def _diagonals(part: _Part) -> Iterator[CheckSize]:
    """From an end to the outside of the next bend but one, and between bends two apart; two at most."""
    last, centres = part.last, part.place.centres
    pairs: list[tuple[int, int]] = [(i, i + 2) for i in range(1, last - 1)]
    if last <= 3:
        pairs = [(0, 2), *pairs, (last - 1, last + 1)]
    count = 0
    for i, j in pairs:
        seen = (part.start if i == 0 else centres[i - 1], part.end if j == last + 1 else centres[j - 1])
        low = part.start if i == 0 else _outermost(part, i - 1, seen[1])
        high = part.end if j == last + 1 else _outermost(part, j - 1, seen[0])
        if low is None or high is None or count >= 2:
            continue
        count += 1
        if j <= last:
            one = said("start") if i == 0 else said("bend {number}", number=i)
            title = said("diagonal, {one} to outside of bend {other}", one=one, other=j)
        else:
            title = said("diagonal, outside of bend {number} to end", number=i)
        yield _size(part, f"diagonal-{count}", title, (low, high), "outside")


def _ends(part: _Part) -> CheckSize:
    return _size(part, "ends", said("start to end, middles of the tube's ends"), (part.start, part.end), "centreline")


def _offset(part: _Part) -> CheckSize:
    t = part.place.directions[0]
    foot = part.start + t * float((part.end - part.start) @ t)
    return _size(part, "offset", said("end from the line of leg 1, middle to middle"), (foot, part.end), "centreline")


def _out_of_plane(part: _Part) -> list[CheckSize]:
    """How far the end stands off the bench with the first two legs lying on it."""
    n = part.place.normals[0]
    foot = part.end - n * float((part.end - part.start) @ n)
    if float(np.linalg.norm(part.end - foot)) < 1.0:
        return []
    title = said("end off the bench, legs 1 and 2 lying on it, middle to middle")
    return [_size(part, "stand-off", title, (foot, part.end), "centreline")]


def _angles(part: _Part) -> list[CheckSize]:
    allowed = part.limits.angle_rad
    return [
        CheckSize(
            id=f"angle-{k + 1}",
            title=said("bend {number}", number=k + 1),
            value=float(angle),
            minus=allowed,
            plus=allowed,
            measured="centreline",
            kind="angle",
        )
        for k, angle in enumerate(part.place.angles)
    ]
