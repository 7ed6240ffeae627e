"""Lowest natural frequencies: consistent mass of the members, masses on nodes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.along import shapes
from handbarrow.laws.frame.beams import arms, gauss, places, swept
from handbarrow.laws.frame.factor import factored
from handbarrow.laws.frame.mechanism import Mechanism, mechanisms
from handbarrow.laws.frame.model import Model, assembled, model, unsprung
from handbarrow.laws.frame.solve import DOUBTFUL_PIVOT
from handbarrow.laws.frame.values import Frame

if TYPE_CHECKING:
    from scipy.sparse import csc_array

__all__ = ["Vibration", "mass_matrix", "member_masses", "natural_frequencies"]

Floats = NDArray[np.float64]

MASS_POINTS = 5
DENSE = 60
"""Up to so many movements all frequencies are worked out at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Vibration:
    """How a frame swings.

    Attributes:
        frequency_hz: (k,) natural frequencies, lowest first; empty where something is loose or nothing has mass.
        shape: (k, n, 6) how the nodes move, the largest slide or turn times a tenth of the frame's size being 1.
        loose: What moves without any force.
    """

    frequency_hz: Floats
    shape: Floats
    loose: tuple[Mechanism, ...] = ()


def natural_frequencies(frame: Frame | Model, count: int = 6) -> Vibration:
    """Return the lowest natural frequencies of a frame, contacts taken as closed both ways.

    Args:
        frame: The frame; its springs to the ground are what it stands on.
        count: How many at most.

    Returns:
        Frequencies (1/s, from stiffness [N/mm] and mass [kg]) and shapes.

    Source: K x = w2 M x with consistent masses, turning of the sections among them; 1 N/mm = 1000 kg/s2.
    """
    ready = frame if isinstance(frame, Model) else model(frame)
    stiff = assembled(ready, ready.stiff)
    factor = factored(stiff)
    none = np.zeros((0, len(ready.at), 6))
    if factor is None or factor.smallest < DOUBTFUL_PIVOT or factor.negative or ready.beams.loose:
        moving = mechanisms(ready, stiff)
        if moving or factor is None:
            return Vibration(frequency_hz=np.zeros(0), shape=none, loose=moving)
    mass = mass_matrix(ready)
    movements, squares = _lowest(stiff, mass, min(count, ready.count))
    if len(squares) == 0:
        return Vibration(frequency_hz=np.zeros(0), shape=none)
    shape = ready.spread(movements)[:, :-1]
    size = max(float(np.ptp(ready.at, axis=0).max()), 1.0) / 10
    largest = np.abs(shape * np.repeat((1.0, size), 3)).reshape(len(shape), -1).max(axis=1)
    return Vibration(frequency_hz=np.sqrt(1000 * squares) / (2 * math.pi), shape=shape / largest[:, None, None])


def _lowest(stiff: csc_array, mass: csc_array, count: int) -> tuple[Floats, Floats]:
    """Movements (q, k) and squares of speed [N/mm/kg], lowest first."""
    from scipy.linalg import eigh
    from scipy.sparse.linalg import LinearOperator, eigsh

    n = stiff.shape[0]
    if not mass.nnz:
        return np.zeros((n, 0)), np.zeros(0)
    if n <= max(DENSE, 2 * count + 2):
        # 1 / w2 from M x = (1 / w2) K x: K is positive definite even where M is not
        values, vectors = eigh(mass.toarray(), stiff.toarray())
        values, vectors = values[::-1][:count], vectors[:, ::-1][:, :count]
        kept = values > 1e-12 * max(float(values[0]), 1e-300)
        return vectors[:, kept], 1 / values[kept]
    factor = factored(stiff)
    if factor is None:
        return np.zeros((n, 0)), np.zeros(0)
    inverse = LinearOperator((n, n), matvec=lambda x: factor.solved(np.asarray(x, float).reshape(-1, 1))[:, 0])
    start = np.cos(np.arange(1.0, n + 1) * 0.7390851)
    values, vectors = eigsh(stiff, count, mass, sigma=0.0, OPinv=inverse, v0=start)
    order = np.argsort(values)
    return vectors[:, order], values[order]


def mass_matrix(ready: Model) -> csc_array:
    """Return the mass matrix (q, q) [kg, kg mm, kg mm2] of the independent movements.

    Source: consistent mass: the shapes of the unloaded members; masses on stiff arms.
    """
    masses, bare = ready.frame.masses, unsprung(ready)
    nodes = np.array([ready.numbers[m.node] for m in masses], np.int64)
    at = np.array([ready.at[n] if m.at is None else m.at for n, m in zip(nodes, masses, strict=True)]).reshape(-1, 3)
    rows = np.zeros((len(masses), 6, 12))
    rows[:, :3, 6:] = np.swapaxes(arms(at - ready.at[nodes]), 1, 2)[:, :3]
    kg = np.array([m.mass_kg for m in masses]).reshape(-1, 1) * np.array((1.0, 1.0, 1.0, 0.0, 0.0, 0.0))
    pairs = np.stack((np.full(len(masses), len(ready.at)), nodes), axis=1)
    return assembled(replace(bare, spring_rows=rows, spring_nodes=pairs, spring_stiff=kg), member_masses(ready))


def member_masses(ready: Model) -> Floats:
    """Return (m, 12, 12) mass of the members between nodes [kg, kg mm, kg mm2].

    Source: integral of density times the squares of the shapes, five Gauss points.
    """
    beams = ready.beams
    runs = beams.runs
    share, weight = gauss(np.zeros(1), np.ones(1), MASS_POINTS)
    spread = shapes(beams, share[0])
    _, turned = places(runs, runs.length[:, None] * share[0])
    in_section = swept(turned) @ spread
    heavy = np.concatenate((np.repeat(runs.mass[:, None], 3, axis=1), runs.turning), axis=1)
    weighted = in_section * (heavy[:, None] * weight[0][:, None] * runs.length[:, None, None])[..., None]
    m, k = weighted.shape[:2]
    own = np.swapaxes(in_section.reshape(m, 6 * k, 12), 1, 2) @ weighted.reshape(m, 6 * k, 12)
    ends = beams.follow @ beams.to_own
    out: Floats = np.swapaxes(ends, 1, 2) @ own @ ends
    return out
