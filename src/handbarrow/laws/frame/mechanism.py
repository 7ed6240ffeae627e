"""What moves in a frame that is not held: which members and nodes turn or slide without any force."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.factor import factored, scaled
from handbarrow.laws.frame.model import Model
from handbarrow.laws.geometry.path import Vec3, vec3

if TYPE_CHECKING:
    from scipy.sparse import csc_array

__all__ = ["Mechanism", "Motion", "mechanisms"]

Floats = NDArray[np.float64]

NO_STIFFNESS = 1e-13
"""Stiffness against a movement, as a share of that of its parts, below which nothing holds it: rounding is 1e-16."""
SHIFT = 1e-11
DENSE = 240
"""Up to so many movements all eigenvalues are worked out at once."""
STILL = 1e-6
"""Share of the largest movement below which a thing stands still."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """Parts that move together as one stiff body.

    Attributes:
        kind: `turns` about an axis, or `slides` along it.
        axis: Unit direction.
        through: A point of the axis of turning [mm]; of a slide: where the part is.
        members: Names of the members that move so.
        nodes: Names of the nodes that move so.
    """

    kind: Literal["turns", "slides"]
    axis: Vec3
    through: Vec3
    members: tuple[str, ...]
    nodes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mechanism:
    """One way in which a frame can move without any force: the motions of its parts, largest group first."""

    motions: tuple[Motion, ...]


def mechanisms(ready: Model, matrix: csc_array) -> tuple[Mechanism, ...]:
    """Return every way in which a frame moves without force; none if it is held.

    Args:
        ready: The frame.
        matrix: Its stiffness (q, q) [N/mm, N, N mm].

    Returns:
        As many mechanisms as there are independent movements without stiffness, told apart by what moves most.

    Source: null space of the scaled stiffness by inverse iteration (Bathe, Finite Element Procedures, subspace
    iteration; from memory), brought to echelon form.
    """
    found = [_spinning(ready, m) for m in ready.beams.loose]
    free = _null_space(matrix)
    if free.shape[1]:
        size = max(float(np.ptp(ready.at, axis=0).max(initial=0.0)), 1.0) / 10
        weight = np.tile(np.repeat((1.0, size), 3), len(ready.at) + 1)
        full = ready.spread(free).reshape(free.shape[1], -1) * weight
        for row in _echelon(full) / weight:
            found.append(_mechanism(ready, row.reshape(-1, 6), size))
    return tuple(found)


def _null_space(matrix: csc_array) -> Floats:
    """Movements (q, k) that meet no stiffness."""
    ready, scale = scaled(matrix)
    n = len(scale)
    if n <= DENSE:
        values, vectors = np.linalg.eigh(ready.toarray())
        few: Floats = scale[:, None] * vectors[:, np.abs(values) < NO_STIFFNESS]
        return few
    factor = factored(matrix, SHIFT)
    count = 12
    while factor is not None:
        block = np.cos(np.outer(np.arange(1.0, n + 1), np.arange(1.0, count + 1)) * 0.7390851)
        for _ in range(8):
            block, _ = np.linalg.qr(factor.lower_upper.solve(block))
        values, vectors = np.linalg.eigh(block.T @ (ready @ block))
        none = np.abs(values) < NO_STIFFNESS
        if not none.all() or count >= n:
            many: Floats = scale[:, None] * (block @ vectors[:, none])
            return many
        count = min(2 * count, n)
    return np.zeros((n, 0))


def _echelon(rows: Floats) -> Floats:
    """Combine rows so that each is alone in moving one thing; each row's largest entry is 1."""
    out = rows.copy()
    used: list[int] = []
    for k in range(len(out)):
        rest = np.abs(out[k:])
        rest[:, used] = 0.0
        i, j = np.unravel_index(int(np.argmax(rest)), rest.shape)
        out[[k, k + int(i)]] = out[[k + int(i), k]]
        out[k] /= out[k, j]
        others = np.arange(len(out)) != k
        out[others] -= np.outer(out[others, j], out[k])
        used.append(int(j))
    found: Floats = out / np.abs(out).max(axis=1, keepdims=True)
    return found


def _spinning(ready: Model, m: int) -> Mechanism:
    runs = ready.beams.runs
    name, start = ready.frame.members[m].name, int(runs.nodes[m, 0])
    axis = vec3(runs.axes[m, 0])
    one = Motion(kind="turns", axis=axis, through=vec3(ready.at[start]), members=(name,), nodes=())
    return Mechanism(motions=(one,))


def _mechanism(ready: Model, moved: Floats, size: float) -> Mechanism:
    """Sort members and nodes by how they move: each movement as turn and as slide of the product's origin."""
    groups: dict[tuple[float, ...], tuple[list[str], list[int]]] = {}
    places: dict[tuple[float, ...], Floats] = {}
    runs = ready.beams.runs
    both = moved[runs.nodes].reshape(-1, 12)
    metal = (ready.beams.follow @ (ready.beams.to_own @ both[..., None]))[..., 0]
    offsets = np.array([m.start_offset for m in ready.frame.members], float).reshape(-1, 3)
    for m, member in enumerate(ready.frame.members):
        at = ready.at[runs.nodes[m, 0]] + offsets[m]
        key = _key(metal[m, :3] @ runs.axes[m], metal[m, 3:6] @ runs.axes[m], at, size)
        if key is not None:
            groups.setdefault(key, ([], []))[0].append(member.name)
            places.setdefault(key, at)
    for n in range(len(ready.frame.nodes)):
        key = _key(moved[n, :3], moved[n, 3:], ready.at[n], size)
        if key is not None:
            groups.setdefault(key, ([], []))[1].append(n)
            places.setdefault(key, ready.at[n])
    order = sorted(groups, key=lambda k: (-len(groups[k][0]), -len(groups[k][1]), k))
    return Mechanism(motions=tuple(_motion(ready, k, groups[k], places[k], size) for k in order))


def _key(slide: Floats, turn: Floats, at: Floats, size: float) -> tuple[float, ...] | None:
    """A stiff body's movement, the same for all its places: turn x size, and slide of the origin, rounded."""
    if float(np.hypot(np.linalg.norm(slide), size * np.linalg.norm(turn))) < STILL:
        return None
    whole = np.concatenate((turn * size, slide - np.cross(turn, at)))
    return tuple((np.round(whole, 5) + 0.0).tolist())


def _motion(
    ready: Model, key: tuple[float, ...], found: tuple[list[str], list[int]], at: Floats, size: float
) -> Motion:
    turn, slide = np.array(key[:3]) / size, np.array(key[3:])
    names = tuple(ready.frame.nodes[n].name for n in found[1])
    about = float(np.linalg.norm(turn))
    if about * size < 1e-4:
        here = slide + np.cross(turn, at)
        axis = here / np.linalg.norm(here)
        return Motion(kind="slides", axis=_plain(axis), through=_plain(at), members=tuple(found[0]), nodes=names)
    axis = turn / about
    foot = np.cross(turn, slide) / about**2
    through = foot + axis * float(axis @ (at - foot))
    return Motion(kind="turns", axis=_plain(axis), through=_plain(through), members=tuple(found[0]), nodes=names)


def _plain(v: Floats) -> Vec3:
    """Rounded to what can be told, the first number that is not nought above nought for directions."""
    return vec3(np.round(v, 4) + 0.0)
