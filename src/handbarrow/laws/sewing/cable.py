"""Cables: closed forms of parabola, catenary and point loads; and a cable of elastic pieces, exact.

Sags and drops count downwards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.roots import bracketed_root

__all__ = [
    "Catenary",
    "LoadedCable",
    "catenary_from_length",
    "catenary_from_sag",
    "loaded_cable",
    "low_point",
    "parabola_length",
    "parabola_pull",
    "point_load_depths",
    "point_load_pull",
    "sag_for_pull",
    "slung_strip_pull",
]

Floats = NDArray[np.float64]
LOOSE = 1e-8
"""A piece with less than this share of the largest pull carries nothing."""


def parabola_pull(load: float, span: float, sag: float) -> tuple[float, float]:
    """Return horizontal and largest pull of a cable under a load even along the span [N].

    Args:
        load: Per length of span [N/mm].
        span: Between supports of the same height [mm].
        sag: At the middle [mm].

    Source: closed form, H = w L^2 / (8 d), T = sqrt(H^2 + (w L / 2)^2).

    >>> parabola_pull(0.5, 800.0, 100.0)[0]
    400.0
    """
    level = load * span**2 / (8 * sag)
    return level, math.hypot(level, load * span / 2)


def parabola_length(span: float, sag: float) -> float:
    """Return the length of a parabola between supports of the same height [mm].

    Args:
        span: Between the supports [mm].
        sag: At the middle [mm].

    Source: closed form, S/2 (sqrt(1 + u^2) + asinh(u) / u), u = 4 d / S.

    >>> round(parabola_length(30.0, 0.5), 6)
    30.022207
    """
    u = 4 * sag / span
    return span if u == 0 else span / 2 * (math.sqrt(1 + u * u) + math.asinh(u) / u)


def sag_for_pull(load: float, span: float, largest_pull: float) -> float:
    """Return the smallest sag at which a cable's pull stays below a largest one [mm].

    Args:
        load: Per length of span [N/mm].
        span: Between supports of the same height [mm].
        largest_pull: At the supports [N].

    Raises:
        ValueError: If even half the load is more than the pull.

    Source: closed form, d = L / (4 sqrt((2 T / (w L))^2 - 1)).

    >>> round(sag_for_pull(3e-3, 30e3, 400.0), 3)
    849.141
    """
    share = 2 * largest_pull / (load * span)
    if share <= 1:
        raise ValueError(f"each end carries {load * span / 2:g} N: no sag keeps the pull at {largest_pull:g} N")
    return span / (4 * math.sqrt(share**2 - 1))


def low_point(span: float, drop_a: float, drop_b: float) -> float:
    """Return the distance of a parabola's low point from end B [mm].

    Args:
        span: Between the supports, level [mm].
        drop_a: Of the low point below end A [mm].
        drop_b: Below end B [mm].

    Source: closed form, x_B = S / (1 + sqrt(drop_a / drop_b)).

    >>> low_point(20.0, 4.5, 2.0)
    8.0
    """
    return span / (1 + math.sqrt(drop_a / drop_b))


@dataclass(frozen=True, slots=True, kw_only=True)
class Catenary:
    """A cable under its own weight between supports of the same height.

    Attributes:
        parameter: Horizontal pull over weight per length [mm].
        span: [mm].
        sag: [mm].
        length: [mm].
    """

    parameter: float
    span: float
    sag: float
    length: float


def catenary_from_length(length: float, *, span: float | None = None, sag: float | None = None) -> Catenary:
    """Return the catenary of a given length, from its span or its sag [mm].

    Args:
        length: Of the cable [mm].
        span: Between the supports [mm]; or
        sag: at the middle [mm].

    Raises:
        ValueError: If not one of the two is given, or it does not go with the length.

    Source: closed forms, c = (s^2 - h^2) / (2 h) with s half the length; or the root of 2 c sinh(S / 2c) = L.

    >>> round(catenary_from_length(1002.54, span=1000.0).sag, 3)
    30.89
    """
    if (span is None) == (sag is None):
        raise ValueError("say span or sag, one of the two")
    if sag is not None:
        if not 0 < sag < length / 2:
            raise ValueError(f"sag {sag:g} mm of a cable {length:g} mm long")
        c = ((length / 2) ** 2 - sag**2) / (2 * sag)
        return Catenary(parameter=c, span=2 * c * math.asinh(length / 2 / c), sag=sag, length=length)
    level = float(span or 0.0)
    if not 0 < level < length:
        raise ValueError(f"a cable {length:g} mm long over {level:g} mm")
    half = _half_angle(length / level)
    c = level / (2 * half)
    return Catenary(parameter=c, span=level, sag=2 * c * math.sinh(half / 2) ** 2, length=length)


def _half_angle(ratio: float) -> float:
    """The u with sinh(u) / u = ratio, also for ratios next to 1."""

    def off(u: float) -> float:
        over = u * u / 6 * (1 + u * u / 20 * (1 + u * u / 42)) if u < 0.3 else math.sinh(u) / u - 1
        return over - (ratio - 1)

    high = math.sqrt(6 * (ratio - 1)) + 1e-12
    return bracketed_root(off, (0.0, off(0.0)), (high, max(off(high), 0.0)), near_x=1e-15).x


def catenary_from_sag(span: float, sag: float) -> Catenary:
    """Return the catenary of a given span and sag [mm].

    Args:
        span: Between supports of the same height [mm].
        sag: At the middle [mm].

    Source: root of c (cosh(S / 2c) - 1) = h.

    >>> round(catenary_from_sag(200.0, 25.0).parameter, 3)
    204.036
    """
    if not (span > 0 and sag > 0):
        raise ValueError(f"span {span:g} mm and sag {sag:g} mm must be positive")

    def off(u: float) -> float:  # u = S / 2c
        return math.sinh(u / 2) ** 2 / u - sag / span if u > 0 else -sag / span

    high = 1.0
    while off(high) < 0:
        high *= 2
    u = bracketed_root(off, (0.0, off(0.0)), (high, off(high)), near_x=1e-15).x
    c = span / (2 * u)
    return Catenary(parameter=c, span=span, sag=sag, length=2 * c * math.sinh(u))


def point_load_depths(places: Floats, loads: Floats, span: float, level_pull: float, drop: float = 0.0) -> Floats:
    """Return how deep a weightless cable hangs under each of its loads, below end A [mm].

    Args:
        places: (n,) horizontal distances of the loads from end A, increasing [mm].
        loads: (n,) loads, downwards [N].
        span: Between the ends, level [mm].
        level_pull: Horizontal pull [N].
        drop: Of end B below end A [mm]; negative where B is higher.

    Source: closed form: moment of a beam of the same span over the pull, and the line between the ends.

    >>> point_load_depths(np.array([400.0]), np.array([200.0]), 800.0, 400.0).tolist()
    [100.0]
    """
    x, p = np.asarray(places, dtype=float), np.asarray(loads, dtype=float)
    return _beam_moments(x, p, span) / level_pull + drop * x / span


def _beam_moments(x: Floats, p: Floats, span: float) -> Floats:
    at_a = float((p * (span - x)).sum()) / span
    arms = np.maximum(x[:, None] - x[None, :], 0.0)
    moments: Floats = at_a * x - arms @ p
    return moments


def point_load_pull(
    places: Floats, loads: Floats, span: float, known: tuple[int, float], drop: float = 0.0
) -> tuple[float, float, float]:
    """Return the horizontal pull of a cable with point loads, and the vertical pulls at its ends A and B [N].

    Args:
        places: (n,) horizontal distances of the loads from end A, increasing [mm].
        loads: (n,) loads, downwards [N].
        span: Between the ends, level [mm].
        known: Number of one load, from 0, and how deep it hangs below end A [mm].
        drop: Of end B below end A [mm].

    Source: statics; vertical pulls upwards.

    >>> point_load_pull(np.array([400.0]), np.array([200.0]), 800.0, (0, 100.0))
    (400.0, 100.0, 100.0)
    """
    x, p = np.asarray(places, dtype=float), np.asarray(loads, dtype=float)
    number, depth = known
    level = float(_beam_moments(x, p, span)[number] / (depth - drop * x[number] / span))
    at_a = float((p * (span - x)).sum()) / span + level * drop / span
    return level, at_a, float(p.sum()) - at_a


def slung_strip_pull(load: float, span: float, slack: float, compliance: float) -> tuple[float, float]:
    """Return horizontal pull [N] and sag [mm] of a shallow elastic strip on elastic stays.

    Args:
        load: Even along the span [N/mm].
        span: Between the anchors [mm].
        slack: Slack length of strip and stays together, less the span [mm]; negative: stretched when unloaded.
        compliance: Lengthening per pull of strip and stays together [mm/N].

    Raises:
        ValueError: If nothing gives and there is no slack.

    Source: closed form for sags up to about a tenth of the span: w^2 S^3 / (24 H^2) = slack + compliance x H, a cubic
    with one positive root (computed here).

    >>> pull, sag = slung_strip_pull(0.5, 800.0, 0.0, 0.05)
    >>> round(pull, 1), round(sag, 2)
    (474.3, 84.34)
    """
    if compliance < 0 or (compliance == 0 and slack <= 0):
        raise ValueError("a strip without slack that does not give has no sag")
    known = load**2 * span**3 / 24
    if known == 0:
        return max(-slack / compliance, 0.0) if compliance else 0.0, 0.0
    if compliance == 0:
        level = math.sqrt(known / slack)
    else:
        high = ((known / compliance) ** (1 / 3) + abs(slack) / compliance) * (1 + 1e-9)

        def off(h: float) -> float:
            return (compliance * h + slack) * h * h - known

        level = bracketed_root(off, (0.0, -known), (high, off(high)), near_x=1e-14).x
    return level, load * span**2 / (8 * level)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedCable:
    """A cable in equilibrium.

    Attributes:
        places: (n + 1, 2) places of its joints: along the span and downwards from end A [mm].
        pulls: (n,) in its pieces [N]; 0 where a piece is loose: it then hangs in a way of its own between its joints.
        level_pull: Horizontal pull, the same in all pieces [N].
        down_pull: Vertical part of the pull in the first piece, which end A carries upwards [N].
        miss: By how much the last joint misses end B [mm].
    """

    places: Floats
    pulls: Floats
    level_pull: float
    down_pull: float
    miss: float

    @property
    def sag(self) -> float:
        """Depth of the deepest joint below end A [mm]."""
        return float(self.places[:, 1].max())


def loaded_cable(slack: Floats, stiffness_n: Floats, loads: Floats, span: float, drop: float = 0.0) -> LoadedCable:
    """Return the equilibrium of elastic pieces joined end to end, with loads at the joints; large sags, exact.

    Args:
        slack: (n,) lengths of the pieces without pull [mm].
        stiffness_n: (n,) pull per strain of each piece [N]; infinite where it does not give.
        loads: (n - 1,) loads at the joints between them, downwards [N].
        span: Of end B from end A, level [mm].
        drop: Of end B below end A [mm].

    Raises:
        ValueError: If there is no load and no pull, so that the shape is open.

    Source: least complementary energy of (H, V), a convex function: sum of l0 (T + T^2 / 2 EA) - H span - V drop
    (computed here); Newton's steps.

    >>> vee = loaded_cable(np.array([500.0, 500.0]), np.full(2, np.inf), np.array([300.0]), 800.0)
    >>> round(vee.sag, 6), round(vee.level_pull, 6)
    (300.0, 200.0)
    """
    l0, load = np.asarray(slack, dtype=float), np.asarray(loads, dtype=float)
    give = 1.0 / np.asarray(stiffness_n, dtype=float)
    carried = np.concatenate([[0.0], np.cumsum(load)])
    whole = float(np.abs(load).sum())
    if whole == 0 and math.hypot(span, drop) <= l0.sum():
        raise ValueError("a slack cable without load has no shape of its own")
    if not give.any() and math.hypot(span, drop) >= l0.sum():
        raise ValueError(f"a cable {l0.sum():g} mm long that does not give does not reach over {span:g} mm")
    at = np.array([max(whole, 1.0), float(load.sum()) / 2])
    for rounded in [max(whole, 1.0) * 0.2**k for k in range(16)] + [0.0]:
        near = 1e-3 if rounded else 1e-12
        at = _least(_Complementary(l0, give, carried, (span, drop), rounded), at, near * float(l0.sum()))
    level, down = float(at[0]), float(at[1]) - carried
    pulls = np.hypot(level, down)
    longer = l0 * (1 / pulls + give)
    ways = np.stack([level * longer, down * longer], axis=1)
    places = np.vstack([np.zeros(2), np.cumsum(ways, axis=0)])
    end = np.array([span, drop])
    loose = np.flatnonzero(pulls < LOOSE * pulls.max())
    if len(loose):
        pulls[loose] = 0.0
        places = _past_loose(places, ways, end, (int(loose[0]), int(loose[-1]) + 1))
    miss = float(np.hypot(*(places[-1] - end)))
    return LoadedCable(places=places, pulls=pulls, level_pull=level, down_pull=float(at[1]), miss=miss)


def _past_loose(places: Floats, ways: Floats, end: Floats, loose: tuple[int, int]) -> Floats:
    """Places of the joints where pieces from one joint to another carry nothing: laid from both ends of the cable."""
    first, last = loose
    back = end - np.cumsum(np.vstack([np.zeros(2), ways[last:][::-1]]), axis=0)
    out = np.vstack([places[: first + 1], np.zeros((last - first - 1, 2)), back[::-1]])
    share = np.arange(1, last - first)[:, None] / (last - first)
    out[first + 1 : last] = out[first] + share * (out[last] - out[first])
    return out


class _Complementary:
    """Complementary energy, its slopes (by how much the end is missed) and their slopes.

    The energy has a kink where a piece carries nothing; it is rounded by a small pull and the rounding taken away.
    """

    def __init__(self, l0: Floats, give: Floats, carried: Floats, to: tuple[float, float], rounded: float) -> None:
        self.l0, self.give, self.carried, self.to, self.rounded = l0, give, carried, to, rounded

    def __call__(self, at: Floats) -> tuple[float, Floats, Floats]:
        h, v, l0, give = float(at[0]), at[1] - self.carried, self.l0, self.give
        t = np.sqrt(h * h + v * v + self.rounded**2 + 1e-24)
        energy = float((l0 * (t + (h * h + v * v) * give / 2)).sum()) - h * self.to[0] - float(at[1]) * self.to[1]
        longer = l0 * (1 / t + give)
        gradient = np.array([float((h * longer).sum()) - self.to[0], float((v * longer).sum()) - self.to[1]])
        hh = float((l0 * ((t * t - h * h) / t**3 + give)).sum())
        vv = float((l0 * ((t * t - v * v) / t**3 + give)).sum())
        hv = -float((l0 * h * v / t**3).sum())
        return energy, gradient, np.array([[hh, hv], [hv, vv]]) + 1e-15 * np.eye(2)


def _least(function: _Complementary, at: Floats, near: float) -> Floats:
    """Least value of a convex function of two numbers by Newton's steps, shortened where needed, to slopes `near` 0."""
    energy, gradient, hessian = function(at)
    for _ in range(60):
        if float(np.abs(gradient).max()) < near:
            break
        step = -np.linalg.solve(hessian, gradient)
        share, fall = 1.0, float(gradient @ step)
        while True:
            new = function(at + share * step)
            if new[0] <= energy + 1e-4 * share * fall:
                break
            share /= 2
            if share < 1e-10:
                return at
        at = at + share * step
        energy, gradient, hessian = new
        if share == 1.0 and float(np.abs(step).max()) < 1e-14 * float(np.abs(at).max()):
            break
    return at
