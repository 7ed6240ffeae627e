"""A welded joint of tubes as frozen values: what stands on what, what it carries, which limits it lies beyond."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.geometry.section import Section

__all__ = ["JointKind", "JointResistance", "Limit", "Mode", "TubeJoint", "joint_use", "passed"]

Floats = NDArray[np.float64]

JointKind = Literal["T", "Y", "X", "K"]
"""T: one tube square on the chord; Y: leaning; X: one on each side, force going through; K: two that share it."""
Mode = Literal["chord face", "punching", "side wall", "chord shear", "brace", "not covered"]
"""What gives first: the chord's face bends, the brace is punched through it, its side walls buckle, it is sheared in
the gap, the brace itself yields; `not covered`: the rules have no formula for it."""
LimitName = Literal[
    "wall", "angle_rad", "width ratio", "chord slenderness", "brace slenderness", "yield_mpa", "gap", "gap ratio",
    "height ratio", "steel ratio",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeJoint:
    """A tube welded on another one.

    Attributes:
        kind: How the force goes through it.
        chord: The tube that goes through.
        brace: The tube that stands on it, cut to fit and welded all round; its height lies in the plane of the joint.
        angle_rad: Between their axes, above 0 to pi/2 [rad].
        yield_mpa: Of the chord [MPa].
        brace_yield_mpa: Of the brace [MPa]; None: as the chord.
        gap: Of a K, between the two braces along the chord's face [mm].
        other: Of a K, the second brace; None: as the first.
    """

    kind: JointKind
    chord: Section
    brace: Section
    angle_rad: float
    yield_mpa: float
    brace_yield_mpa: float | None = None
    gap: float = 0.0
    other: Section | None = None

    def __post_init__(self) -> None:
        if not self.chord.is_hollow:
            raise ValueError(f"the chord is {self.chord.designation}, not a tube")
        if not self.brace.is_hollow:
            raise ValueError(f"the brace is {self.brace.designation}, not a tube")
        if not 0 < self.angle_rad <= math.pi / 2 + 1e-9:
            raise ValueError(f"angle_rad={self.angle_rad:g} must lie above 0 and not above pi/2")
        for name in ("yield_mpa", "brace_yield"):
            value = self.yield_mpa if name == "yield_mpa" else self.brace_yield
            if not (value > 0 and math.isfinite(value)):
                raise ValueError(f"{name}={value:g} MPa must be above 0")

    @property
    def brace_yield(self) -> float:
        """Yield of the brace [MPa]."""
        return self.yield_mpa if self.brace_yield_mpa is None else self.brace_yield_mpa

    @property
    def second(self) -> Section:
        """The second brace of a K."""
        return self.other or self.brace

    @property
    def width_ratio(self) -> float:
        """Beta [-]: width of the brace over that of the chord, of a K the mean of both braces."""
        brace = (self.brace.width + self.second.width) / 2 if self.kind == "K" else self.brace.width
        return brace / self.chord.width

    @property
    def slenderness(self) -> float:
        """Gamma [-]: half the chord's width over its wall."""
        return self.chord.width / (2 * self.chord.wall)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A limit of a rule that a joint lies beyond.

    Attributes:
        name: What is limited; `_rad` angles in radians, `_mpa` in MPa, `wall` and `gap` in mm, the others bare ratios.
        value: Of the joint.
        low: Least value of the rule.
        high: Largest value of the rule.
    """

    name: LimitName
    value: float
    low: float = -math.inf
    high: float = math.inf


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointResistance:
    """What a joint carries.

    Attributes:
        force: (...) along the brace [N].
        in_plane: (...) moment in the plane of both axes [N mm]; 0: the rules give none.
        out_of_plane: (...) moment that bends the brace sideways [N mm]; 0: the rules give none.
        force_mode: What gives first under the force.
        in_plane_mode: Under the moment in the plane.
        out_of_plane_mode: Under the sideways moment.
        square: Whether the moment in the plane counts squared beside the others (round chords).
        beyond: Limits of the rule that the joint lies beyond. With any of them the figures are an indicator only.
        source: The rule and how it was read.
    """

    force: Floats
    in_plane: Floats
    out_of_plane: Floats
    force_mode: Mode
    in_plane_mode: Mode
    out_of_plane_mode: Mode
    square: bool
    beyond: tuple[Limit, ...]
    source: str

    @property
    def indicator(self) -> bool:
        """Whether the joint lies outside the range of its rule: then only a proof load can tell."""
        return bool(self.beyond)


def passed(name: LimitName, value: float, low: float = -math.inf, high: float = math.inf) -> tuple[Limit, ...]:
    """Return the limit if a value [any unit] lies beyond it, else nothing.

    Args:
        name: What is limited.
        value: Of the joint.
        low: Least value.
        high: Largest value.

    Source: comparison; a hair (1e-9 of the value) is let through.

    >>> len(passed("wall", 1.5, low=2.5)), passed("wall", 2.5, low=2.5)
    (1, ())
    """
    hair = 1e-9 * max(abs(value), 1.0)
    if low - hair <= value <= high + hair:
        return ()
    return (Limit(name=name, value=value, low=low, high=high),)


def joint_use(resistance: JointResistance, forces: Floats) -> Floats:
    """Return how much of a joint is used [-].

    Args:
        resistance: What it carries.
        forces: (..., 3) force along the brace [N], moment in the plane, moment out of it [N mm], signs do not matter.

    Returns:
        (...); infinite where a moment acts for which the rules give no resistance.

    Source: EN 1993-1-8 7.4.2(3) round: N + M_ip^2 + M_op; 7.5.2.1 rectangular: N + M_ip + M_op, each over its
    resistance (from memory; AISC 360 chapter K has the same form, read at second hand).
    """
    shares = []
    for k, limit in enumerate((resistance.force, resistance.in_plane, resistance.out_of_plane)):
        acts = np.abs(np.asarray(forces, float)[..., k])
        acts, most = np.broadcast_arrays(acts, np.asarray(limit, float))
        none = np.where(acts > 0, np.inf, 0.0)
        shares.append(np.divide(acts, most, out=none, where=most > 0))
    in_plane = shares[1] ** 2 if resistance.square else shares[1]
    out: Floats = shares[0] + in_plane + shares[2]
    return out
