"""Loads that lie on several straights at once, and bodies that a blow speeds up: forces and what balances them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.path import cross

__all__ = ["Blow", "accelerations", "blow", "inertia", "spread"]

Floats = NDArray[np.float64]


def spread(starts: Floats, ends: Floats, force: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Share a force at a point out over straight lines: evenly, and so that the moment comes out right.

    Args:
        starts: (n, 3) starts of the lines [mm].
        ends: (n, 3) ends of the lines [mm].
        force: (3,) the force [N].
        at: (3,) where it acts [mm].

    Returns:
        Force per length at the starts and at the ends of the lines (n, 3) [N/mm], changing evenly between them.

    Source: least squares (closed form): f = a + b x r about the centre of the lines, a from the force, b from the
    moment; force and moment of what comes out are those of the force, as long as the lines are not all on one line.

    Raises:
        ValueError: If the lines lie on one line that the force passes at a distance.

    >>> first, last = spread(*(np.array(v, float) for v in
    ...     ([(0, 0, 0), (0, 2, 0)], [(10, 0, 0), (10, 2, 0)], (0, 0, -40), (5, 0.5, 0))))
    >>> first[:, 2].round(6).tolist(), last[:, 2].round(6).tolist()
    ([-3.0, -1.0], [-3.0, -1.0])
    """
    size = np.linalg.norm(ends - starts, axis=1)
    whole = float(size.sum())
    middle = (size @ (starts + ends)) / (2 * whole)
    r, q = starts - middle, ends - middle
    # integral of r r^T along straights: exact for ends r, q
    each = (np.einsum("ni,nj->nij", r, r) + np.einsum("ni,nj->nij", q, q)) / 3
    mixed = np.einsum("ni,nj->nij", r, q)
    squares = np.einsum("n,nij->ij", size, each + (mixed + np.swapaxes(mixed, 1, 2)) / 6)
    turning = np.trace(squares) * np.eye(3) - squares
    moment = np.cross(at - middle, force)
    b = np.linalg.pinv(turning, rcond=1e-9, hermitian=True) @ moment
    missing = float(np.abs(turning @ b - moment).max())
    if missing > 1e-6 * max(float(np.abs(moment).max()), 1e-6 * whole * float(np.abs(force).max()), 1e-9):
        raise ValueError("the lines lie on one line; nothing there keeps the load from turning about it")
    a = force / whole
    return a + cross(np.broadcast_to(b, r.shape), r), a + cross(np.broadcast_to(b, q.shape), q)


class Blow(NamedTuple):
    """How a free body is sped up: acceleration of its centre of mass, about it [mm/s2, rad/s2]; where that is [mm]."""

    slide: Floats
    turn: Floats
    centre: Floats


def inertia(masses: Floats, places: Floats) -> tuple[float, Floats, Floats]:
    """Return mass [kg], centre of mass [mm] and inertia about it (3, 3) [kg mm2] of point masses.

    Source: definitions.
    """
    whole = float(masses.sum())
    centre = masses @ places / whole
    r = places - centre
    squares = np.einsum("n,ni,nj->ij", masses, r, r)
    return whole, centre, np.trace(squares) * np.eye(3) - squares


def blow(masses: Floats, places: Floats, force: Floats, at: Floats) -> Blow:
    """Return how a force speeds a free stiff body of point masses up.

    Args:
        masses: (n,) [kg].
        places: (n, 3) [mm].
        force: (3,) [N].
        at: (3,) where it acts [mm].

    Returns:
        Accelerations [mm/s2, rad/s2].

    Source: Newton and Euler from rest; 1 N = 1000 kg mm/s2.

    >>> found = blow(np.array([1.0, 1.0]), np.array([(-1.0, 0, 0), (1.0, 0, 0)]), np.array([0, 0, 2.0]), np.zeros(3))
    >>> found.slide.tolist()
    [0.0, 0.0, 1000.0]
    """
    whole, centre, turning = inertia(masses, places)
    moment = np.cross(at - centre, force) * 1000
    return Blow(force * 1000 / whole, np.linalg.pinv(turning, rcond=1e-9, hermitian=True) @ moment, centre)


def accelerations(found: Blow, places: Floats) -> Floats:
    """Return the accelerations (n, 3) of places of a stiff body [mm/s2]. Source: a + alpha x r, from rest."""
    r = places - found.centre
    out: Floats = found.slide + cross(np.broadcast_to(found.turn, r.shape), r)
    return out
