"""A bend as made is not the die: the set-angle law, the radius as made, the length that a bend uses.

Set to an angle A_set on a die of radius R, a tube springs back to A = a A_set - b. The arc keeps its length, so the
finished radius is R_f = R A_set / A. Axial drag stretches the tube by `stretch_per_rad` for each radian of finished
bend; it can only be measured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

__all__ = [
    "Calibration",
    "finished_angle",
    "fit_set_angle_law",
    "length_used",
    "radius_as_made",
    "set_angle",
    "set_back",
    "stretch_per_radian",
]


def finished_angle(set_angle_rad: float, a: float, b_rad: float) -> float:
    """Return the angle [rad] that is left when a bend set to `set_angle_rad` [rad] springs back; never below 0.

    Source: linear law A = a A_set - b; elastic unloading of the arc gives the slope, of the straight legs the constant
    (computed here; see `springback`).

    >>> round(math.degrees(finished_angle(math.radians(92.1), 0.984, math.radians(0.6))), 3)
    90.026
    """
    return max(a * set_angle_rad - b_rad, 0.0)


def set_angle(angle_rad: float, a: float, b_rad: float) -> float:
    """Return the angle to set [rad] for a finished angle [rad]. Source: inverse of `finished_angle`.

    >>> round(math.degrees(set_angle(math.radians(90), 0.984, math.radians(0.6))), 3)
    92.073
    """
    return (angle_rad + b_rad) / a


def radius_as_made(die_radius: float, angle_rad: float, a: float, b_rad: float) -> float:
    """Return the centreline radius R_f = R A_set / A [mm] of a bend of finished angle A [rad], die radius R [mm].

    Source: the arc keeps its length while it springs back (closed form).

    >>> round(radius_as_made(80.0, math.radians(90), 0.984, math.radians(0.6)), 3)
    81.843
    """
    return die_radius * set_angle(angle_rad, a, b_rad) / angle_rad


def length_used(radius: float, angle_rad: float, stretch_per_rad: float) -> float:
    """Return the length of straight tube [mm] that one bend of radius [mm] and angle [rad] uses.

    Source: R_f A - stretch, with stretch = stretch_per_rad [mm/rad] x A from the die's calibration.

    >>> round(length_used(100.0, math.pi / 2, 0.0), 4)
    157.0796
    """
    return radius * angle_rad - stretch_per_rad * angle_rad


def set_back(radius: float, angle_rad: float) -> float:
    """Return the distance from a bend's corner to its tangent points [mm].

    Source: R tan(A/2), plane geometry.

    >>> round(set_back(100.0, math.radians(120)), 4)
    173.2051
    """
    return radius * math.tan(angle_rad / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """A die's set-angle law fitted to test bends, A = a A_set - b, with standard uncertainties.

    Attributes:
        a: Slope [-].
        b_rad: Constant [rad].
        bends: How many test bends.
        scatter_rad: Standard deviation of one bend about the line [rad]; None with two bends (nothing is left over).
        u_a: Standard uncertainty of `a`; None likewise.
        u_b_rad: Standard uncertainty of `b` [rad]; None likewise.
        mean_set_rad: Mean of the set angles [rad].
        spread_rad2: Sum of their squared deviations from the mean [rad2].
    """

    a: float
    b_rad: float
    bends: int
    scatter_rad: float | None
    u_a: float | None
    u_b_rad: float | None
    mean_set_rad: float
    spread_rad2: float

    def systematic_rad(self, set_angle_rad: float) -> float | None:
        """Return the standard uncertainty of the mean finished angle at a set angle [rad]; None if it is not known.

        Source: straight line by least squares, s sqrt(1/n + (x - mean)^2 / Sxx) (from memory, any statistics text).
        """
        if self.scatter_rad is None:
            return None
        away = set_angle_rad - self.mean_set_rad
        return self.scatter_rad * math.sqrt(1 / self.bends + away**2 / self.spread_rad2)


def fit_set_angle_law(set_angles_rad: Sequence[float], finished_angles_rad: Sequence[float]) -> Calibration:
    """Fit A = a A_set - b to test bends by least squares.

    Args:
        set_angles_rad: n set angles [rad], at least two different ones.
        finished_angles_rad: The n angles measured after springback [rad].

    Returns:
        The law with its standard uncertainties.

    Raises:
        ValueError: If there are fewer than two different set angles, or the two lists differ in length.

    Source: ordinary least squares for a straight line (closed form).

    >>> law = fit_set_angle_law([0.5, 1.0, 2.0], [0.48, 0.97, 1.95])
    >>> round(law.a, 6), round(law.b_rad, 6)
    (0.98, 0.01)
    """
    x, y = np.asarray(set_angles_rad, float), np.asarray(finished_angles_rad, float)
    if x.shape != y.shape or x.ndim != 1:
        raise ValueError(f"{x.size} set angles and {y.size} finished angles do not pair up")
    n = len(x)
    spread = float(((x - x.mean()) ** 2).sum()) if n else 0.0
    if n < 2 or spread < 1e-12:
        raise ValueError(f"{n} test bends at fewer than two different set angles fix no line")
    a = float(((x - x.mean()) * (y - y.mean())).sum()) / spread
    b = a * float(x.mean()) - float(y.mean())
    scatter = u_a = u_b = None
    if n > 2:
        scatter = math.sqrt(float(((y - a * x + b) ** 2).sum()) / (n - 2))
        u_a = scatter / math.sqrt(spread)
        u_b = scatter * math.sqrt(1 / n + float(x.mean()) ** 2 / spread)
    return Calibration(
        a=a,
        b_rad=b,
        bends=n,
        scatter_rad=scatter,
        u_a=u_a,
        u_b_rad=u_b,
        mean_set_rad=float(x.mean()),
        spread_rad2=spread,
    )


def stretch_per_radian(
    blank: float, straights: Sequence[float], die_radius: float, set_angles_rad: Sequence[float], angle_sum_rad: float
) -> float:
    """Return how much longer a tube gets in one radian of finished bend, from one measured blank [mm/rad].

    Args:
        blank: Length of the straight tube before bending [mm].
        straights: Straights between tangent points, measured after bending [mm].
        die_radius: Centreline radius of the die [mm].
        set_angles_rad: Set angle of each bend in it [rad].
        angle_sum_rad: Sum of the finished angles [rad].

    Source: length balance, stretch = straights + R sum(A_set) - blank, shared out over the finished angles.
    """
    return (sum(straights) + die_radius * sum(set_angles_rad) - blank) / angle_sum_rad
