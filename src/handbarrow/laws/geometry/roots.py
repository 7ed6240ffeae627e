"""A root of a function of one number between two bounds."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["Root", "bracketed_root"]


@dataclass(frozen=True, slots=True)
class Root:
    """What the search came to.

    Attributes:
        x: Where the function is nearest to 0 [unit of the bounds].
        residual: Its value there [unit of the function].
        calls: How often it was called, the two bounds not counted.
    """

    x: float
    residual: float
    calls: int


def bracketed_root(
    f: Callable[[float], float],
    low: tuple[float, float],
    high: tuple[float, float],
    *,
    near_x: float = 1e-12,
    near_f: float = 0.0,
    most_calls: int = 100,
) -> Root:
    """Return a root of a continuous function between two bounds at which it has different signs.

    The first guess is the chord's, so that a straight line is done after one call; then inverse quadratic
    interpolation where it is safe, else halving.

    Args:
        f: The function [any unit].
        low: One bound and the value there.
        high: The other bound and the value there.
        near_x: Stop once the bracket is smaller than this, times the size of the root where that is above 1.
        near_f: Stop once the function is this near to 0.
        most_calls: Give up after so many calls.

    Raises:
        ValueError: If the values at the bounds have the same sign.

    Source: T. R. Chandrupatla, A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear
    function without using derivatives, Advances in Engineering Software 28 (1997) 145-149 (from memory); the chord as
    first guess is ours.

    >>> round(bracketed_root(lambda x: x**3 - 2, (0, -2), (2, 6)).x, 9)
    1.25992105
    """
    (a, fa), (b, fb) = low, high
    if not (fa <= 0.0 <= fb or fb <= 0.0 <= fa):
        raise ValueError(f"the function has the same sign at {a:g} and {b:g}")
    best = (a, fa) if abs(fa) <= abs(fb) else (b, fb)
    t = fa / (fa - fb) if fa != fb else 0.0
    calls = 0
    while calls < most_calls and abs(best[1]) > near_f and abs(b - a) > near_x * max(1.0, abs(best[0])):
        x = a + t * (b - a)
        fx = f(x)
        calls += 1
        if math.isnan(fx):
            break
        if (fx > 0) == (fa > 0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = x, fx
        best = (a, fa) if abs(fa) <= abs(fb) else (b, fb)
        t = _step(a, b, c, fa, fb, fc)
        edge = 0.5 * near_x * max(1.0, abs(best[0])) / abs(b - a) if b != a else 0.5
        t = min(max(t, edge), 1 - edge) if edge < 0.5 else 0.5
    return Root(best[0], best[1], calls)


def _step(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    """Where to look next, as a share of the way from a to b: inverse quadratic where safe, else the middle."""
    if fb in (fa, fc) or b == c:
        return 0.5
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    if not (1 - math.sqrt(max(1 - xi, 0.0)) < phi < math.sqrt(max(xi, 0.0))):
        return 0.5
    if fa == fc:
        return 0.5
    return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
