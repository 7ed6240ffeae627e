"""When a carrier tips: parked on its feet, towed, on slopes, in turns, over a kerb."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.ride.loads import Carrier
from handbarrow.laws.ride.mass import GRAVITY

__all__ = [
    "KerbJump",
    "ParkedTipping",
    "kerb_jump",
    "parked_tipping",
    "parking_slope",
    "tipping_threshold",
    "turning_speed",
]

Floats = NDArray[np.float64]


class ParkedTipping(NamedTuple):
    """Steepest slopes on which a parked carrier stands, by the way it would fall [rad]; below 0: it falls on the level.

    forward, backward, left, right: over the edge of its feet that lies that way; any: over whichever edge is nearest.
    """

    forward: float
    backward: float
    left: float
    right: float
    any: float


def _hull(points: Sequence[tuple[float, float]]) -> Floats:
    """Corners of the smallest convex outline, counter-clockwise."""
    spots = sorted(set(points))

    def half(some: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        out: list[tuple[float, float]] = []
        for p in some:
            while len(out) > 1:
                (ax, ay), (bx, by) = out[-2], out[-1]
                if (bx - ax) * (p[1] - ay) - (by - ay) * (p[0] - ax) > 1e-9:
                    break
                out.pop()
            out.append(p)
        return out[:-1]

    return np.array(half(spots) + half(spots[::-1]))


def parked_tipping(feet: Sequence[tuple[float, float]], centre: Vec3) -> ParkedTipping:
    """Return the slopes on which a carrier tips when it stands still [rad].

    Args:
        feet: Where it touches the ground: wheels, stand, hitch if it lies on the ground: (x, y) [mm].
        centre: Of all masses [mm].

    Raises:
        ValueError: If it stands on fewer than three places, or all on one line.

    Source: statics: it tips when the centre's plumb line leaves the outline of its feet; tan = distance / height; as
    the tilting table of ISO 7176-1 (scope read, it sets no pass angle).

    >>> stand = parked_tipping([(0, 450), (0, -450), (1000, 0)], (300, 0, 600))
    >>> round(math.degrees(stand.backward), 2)
    26.57
    """
    outline = _hull([(float(x), float(y)) for x, y in feet])
    if len(outline) < 3:
        raise ValueError(f"{len(outline)} feet that span no surface cannot hold a carrier up")
    if not centre[2] > 0:
        raise ValueError(f"the centre at {centre[2]:g} mm must lie above the ground")
    step = np.roll(outline, -1, axis=0) - outline
    out = np.column_stack((step[:, 1], -step[:, 0])) / np.hypot(*step.T)[:, None]
    clear = ((outline - np.asarray(centre[:2])) * out).sum(axis=1)

    def towards(x: float, y: float) -> float:
        """Slope downhill that way: the plumb line runs out that way until the first edge."""
        speed = out @ np.array([x, y])
        ahead = speed > 1e-9
        behind = clear[~ahead]
        if len(behind) and float(behind.min()) < 0:  # already beyond an edge that it cannot cross back
            return math.atan2(float(behind.min()), centre[2])
        return math.atan2(float(np.min(clear[ahead] / speed[ahead])), centre[2])

    return ParkedTipping(
        towards(1, 0), towards(-1, 0), towards(0, 1), towards(0, -1), math.atan2(float(clear.min()), centre[2])
    )


def tipping_threshold(carrier: Carrier, centre: ArrayLike, *, aside: ArrayLike = 0.0) -> Floats:
    """Return (...) the sideways pull over weight at which a towed carrier tips [-]; infinite: it slides, never tips.

    Args:
        carrier: Its wheels and hitch; the hitch is held by the bicycle.
        centre: (..., 3) [mm].
        aside: (...) how far the centre lies to the side that it tips to, as a hanging person does in a turn [mm].

    Returns:
        Sideways acceleration in g; its arc tangent is the side slope.

    Source: statics about the line from the outer wheel's foot to the hitch; without load on the hitch it is
    half the track over the height, the static rollover threshold (one pair read, the rest closed form).

    >>> cart = Carrier(axle=0, track=900, hitch=(1500, 400))
    >>> float(tipping_threshold(cart, (0.0, 0.0, 600.0)))
    0.75
    """
    at = np.asarray(centre, float)
    share = (at[..., 0] - carrier.axle) / carrier.reach
    lever = carrier.track / 2 * (1 - share) - at[..., 1] - np.asarray(aside, float)
    height = at[..., 2] - share * carrier.hitch[1]
    lever, height = np.broadcast_arrays(lever, height)
    out = np.divide(lever, height, out=np.full(lever.shape, math.inf), where=height > 0)
    return np.asarray(np.where(lever < 0, np.minimum(out, 0.0), out))


def turning_speed(
    threshold: ArrayLike, radius: ArrayLike, *, track: float = 1.0, kerb: ArrayLike = 0.0, bank_rad: ArrayLike = 0.0
) -> Floats:
    """Return (...) the speed at which a carrier tips in a turn [mm/s].

    Args:
        threshold: (...) sideways pull over weight at which it tips [-].
        radius: (...) of the carrier's path [mm].
        track: Between the tyres [mm]; only for a kerb.
        kerb: (...) height that the inner wheel stands higher, as on a kerb or a stone [mm].
        bank_rad: (...) how far the road leans to the outside [rad].

    Source: statics on leaning ground: v^2 = g R tan(atan(threshold) - lean), lean = bank + asin(kerb / track)
    (closed form). Tyres give, so the true speed is lower.

    >>> round(float(turning_speed(0.6, 5000.0)) / 1000 * 3.6, 1)
    19.5
    """
    lean = np.asarray(bank_rad, float) + np.arcsin(np.clip(np.asarray(kerb, float) / track, -1, 1))
    left = np.maximum(np.arctan(np.asarray(threshold, float)) - lean, 0.0)
    steep = np.tan(np.minimum(left, math.pi / 2))
    steep = np.where(left >= math.pi / 2 - 1e-12, np.inf, steep)
    out: Floats = np.sqrt(GRAVITY * 1000 * np.asarray(radius, float) * steep)
    return out


class KerbJump(NamedTuple):
    """What one wheel does at a kerb.

    lean_rad: how far the carrier leans while the wheel rolls along on it [rad].
    throws_mm_s: speed from which it is thrown over if nothing gives [mm/s].
    """

    lean_rad: float
    throws_mm_s: float


def kerb_jump(
    track: float, centre: tuple[float, float], gyration: float, wheel_radius: float, kerb: float
) -> KerbJump | None:
    """Return what happens when one wheel runs up a kerb, square to it; None: too high for the wheel to run up.

    Args:
        track: Between the tyres [mm].
        centre: Of all masses: from the wheel that stays down, sideways, and above the ground [mm].
        gyration: Radius of gyration about the centre, along x [mm].
        wheel_radius: [mm].
        kerb: Its height [mm].

    Source: a hard wheel turns about the kerb's edge and rises with v sqrt(2 R k - k^2) / (R - k); energy of the roll
    about the other wheel, from the lean that the kerb itself makes, against the rise of the centre to above that wheel
    (closed form, computed here). Tyre and frame take most of the blow: an indicator on the safe side.
    """
    if kerb >= wheel_radius or kerb >= track:
        return None
    side, high = centre
    lean = math.asin(kerb / track)
    radius = math.hypot(side, high)
    now = radius * math.sin(math.atan2(high, side) + lean)
    room = radius - now if math.atan2(high, side) + lean < math.pi / 2 else 0.0
    rise = math.sqrt(2 * wheel_radius * kerb - kerb**2) / (wheel_radius - kerb)
    rate = math.sqrt(2 * GRAVITY * 1000 * room / (radius**2 + gyration**2))
    return KerbJump(lean, rate * track / rise if rise > 0 else math.inf)


def parking_slope(
    axle: float, foot: float, centre: Vec3, friction: float, *, nose: Literal["up", "down"] = "up",
    brake: float = math.inf, weight: float = 0.0,
) -> float:  # fmt: skip
    """Return the steepest slope on which braked wheels hold a parked carrier [rad].

    Args:
        axle: Place of the braked wheels [mm].
        foot: Place of the stand or of a small free wheel, which holds nothing along the slope [mm].
        centre: Of all masses [mm].
        friction: Of the tyres on the ground [-].
        nose: `up` or `down` the hill (x points there).
        brake: Largest force of the brakes at the ground [N].
        weight: Of the carrier [N]; only with `brake`.

    Source: statics: wheels carry W (cos (f - x) +- z sin) / (f - a); they slip when W sin exceeds friction times that
    (closed form). Where that never happens: pi/2, it tips first.

    >>> round(math.tan(parking_slope(0.0, 1000.0, (200.0, 0.0, 500.0), 0.5)), 3)
    0.533
    """
    span = foot - axle
    sign = 1.0 if nose == "up" else -1.0
    carried, left = friction * (foot - centre[0]) / span, 1 - sign * friction * centre[2] / span
    slips = math.atan2(carried, left) if left > 0 else math.pi / 2
    holds = math.asin(min(brake / weight, 1.0)) if weight > 0 else math.pi / 2
    return max(min(slips, holds), 0.0)
