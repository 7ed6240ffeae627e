"""From the steps of a run to its corners, once the radii that the shop makes are known. Lengths mm, angles rad."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from handbarrow.design.values import Corner, Run, Step, StepsRoute
from handbarrow.laws.geometry.path import rotation, vec3

__all__ = ["RadiusOf", "corners_of"]

RadiusOf = Callable[[float, float | None], float]
"""(bend angle [rad], wanted radius or None) -> centreline radius as made [mm]."""


def corners_of(run: Run, radius_of: RadiusOf) -> tuple[Corner, ...]:
    """Return the corners P0..Pn of a run, whether it is given by points or by steps.

    A `straight` lies between tangent points, so the corner is R tan(A/2) further on: it moves with the radius as made,
    and the finished straight stays as written. `to centreline` and `to outside` fix the corner itself, so the straight
    takes up the difference. This is why steps stay in the value until the shop is known.

    Args:
        run: The run.
        radius_of: Radius as made of a bend; asked only for steps, once a bend.

    Returns:
        The corners; each inner one keeps the wanted radius of its bend.

    Source: the conventions of `laws.geometry.path`; for `to outside` plane geometry: the outsides of two legs meet
    half_outside tan(A/2) beyond the corner; past 90 degrees the outermost point of the bend, R + half_outside beyond
    its start, is what a square measures.
    """
    if run.route is None:
        return run.corners
    route = run.route
    bends = route.bends
    angles = [bend.value for bend in bends]
    radii = [radius_of(bend.value, bend.radius) for bend in bends]
    legs = [step for step in route.steps if step.kind not in ("bend", "turn")]
    lengths = _corner_to_corner(legs, angles, radii, route.half_outside)
    at = np.asarray(route.origin, float)
    t, n = np.asarray(route.heading, float), np.asarray(route.normal, float)
    corners = [Corner(at=route.origin)]
    for length, bend, turn in zip(lengths, bends, _turns(route), strict=False):
        at = at + t * length
        corners.append(Corner(at=vec3(at), radius=bend.radius))
        n = rotation(t, turn) @ n
        t = rotation(n, bend.value) @ t
    corners.append(Corner(at=vec3(at + t * lengths[-1])))
    return tuple(corners)


def _turns(route: StepsRoute) -> list[float]:
    """Turn before each bend [rad]."""
    out, turn = [], 0.0
    for step in route.steps:
        if step.kind == "turn":
            turn += step.value
        elif step.kind == "bend":
            out.append(turn)
            turn = 0.0
    return out


def _corner_to_corner(
    legs: Sequence[Step], angles: Sequence[float], radii: Sequence[float], half: float
) -> list[float]:
    """Length of each leg between its corners [mm]."""
    setbacks = [0.0, *(r * math.tan(a / 2) for a, r in zip(angles, radii, strict=True)), 0.0]
    out = []
    for k, leg in enumerate(legs):
        if leg.kind == "straight":
            out.append(setbacks[k] + leg.value + setbacks[k + 1])
        elif leg.kind == "to outside":
            i = 0 if k == 0 else len(angles) - 1
            out.append(leg.value - _outside_beyond_corner(angles[i], radii[i], half))
        else:
            out.append(leg.value)
    return out


def _outside_beyond_corner(angle_rad: float, radius: float, half: float) -> float:
    """How far the outside of a bend lies beyond its corner, along the leg that ends there [mm]."""
    if angle_rad <= math.pi / 2:
        return half * math.tan(angle_rad / 2)
    return radius + half - radius * math.tan(angle_rad / 2)
