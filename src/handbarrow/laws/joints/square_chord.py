"""The walls of a square or rectangular chord under a brace: EN 1993-1-8 section 7.5, all of it from memory.

The chord's width is the face that the brace stands on, its height the depth of its side walls.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.language import said
from handbarrow.laws.geometry.section_properties import area, plastic_modulus
from handbarrow.laws.joints.values import JointResistance, Limit, Mode, TubeJoint, passed

__all__ = ["column_factor", "face_push_factor", "square_joint", "square_range"]

Floats = NDArray[np.float64]

EN_SQUARE = said(
    "EN 1993-1-8 tables 7.8, 7.11, 7.12, 7.14, from memory; face forces agree with yield lines (computed here)"
)
NARROW = 0.85
"""Width ratio up to which the face alone decides [-]."""
YOUNGS_MPA = 210000.0


def face_push_factor(chord_push: ArrayLike, width_ratio: float) -> Floats:
    """Return k_n [-]: what push in the chord leaves of the bending strength of its face.

    Args:
        chord_push: (...) largest push stress of the chord over its yield [-]; pull, or nothing: 0.
        width_ratio: Of brace and chord [-].

    Source: EN 1993-1-8 table 7.11 (from memory): 1.3 - 0.4 n / beta, 1 at most.

    >>> [round(float(k), 6) for k in face_push_factor([0.0, 0.6], 0.5)]
    [1.0, 0.82]
    """
    n = np.maximum(np.asarray(chord_push, float), 0.0)
    return np.asarray(np.clip(1.3 - 0.4 * n / width_ratio, 0.0, 1.0))


def column_factor(slenderness: float, imperfection: float = 0.49) -> float:
    """Return chi [-]: what buckling leaves of a strut's strength.

    Args:
        slenderness: Root of yield force over Euler's force [-].
        imperfection: 0.49, curve c: cold-formed sections.

    Source: EN 1993-1-1 6.3.1.2 (from memory).

    >>> round(column_factor(1.0), 3)
    0.54
    """
    if slenderness <= 0.2:
        return 1.0
    phi = 0.5 * (1 + imperfection * (slenderness - 0.2) + slenderness**2)
    return min(1.0, 1 / (phi + math.sqrt(phi**2 - slenderness**2)))


def square_range(joint: TubeJoint) -> tuple[Limit, ...]:
    """Return which limits a joint on a rectangular chord lies beyond [mm, rad, -].

    Source: EN 1993-1-8 7.1.1, 7.1.2 and table 7.8 (from memory): walls 2.5 mm and more, angle 30 degrees and more,
    b1 / b0 >= 0.25 (K: 0.35 and 0.1 + b0 / 100 t0; round braces 0.4 to 0.8), b / t <= 35, 0.5 <= h / b <= 2, gap of a K
    0.5 to 1.5 times b0 - b1 and t1 + t2 at least, yield 460 MPa at most.
    """
    chord, brace = joint.chord, joint.brace
    beta = brace.width / chord.width
    least = max(0.35, 0.1 + 0.01 * chord.width / chord.wall) if joint.kind == "K" else 0.25
    widths = (0.4, 0.8) if brace.is_round else (least, 1.0)
    out = (
        *passed("wall", min(chord.wall, brace.wall), low=2.5),
        *passed("angle_rad", joint.angle_rad, low=math.radians(30)),
        *passed("width ratio", beta, *widths),
        *passed("chord slenderness", chord.outside / chord.wall, high=35.0),
        *passed("brace slenderness", brace.outside / brace.wall, high=50.0 if brace.is_round else 35.0),
        *passed("height ratio", chord.height / chord.width, 0.5, 2.0),
        *passed("yield_mpa", max(joint.yield_mpa, joint.brace_yield), high=460.0),
    )
    if joint.kind == "K":
        room = 1 - joint.width_ratio
        out += passed("gap ratio", joint.gap / chord.width, 0.5 * room, 1.5 * room)
        out += passed("gap", joint.gap, low=brace.wall + joint.second.wall)
    return out


class _Sizes(NamedTuple):
    """b0, h0, t0, b1, h1, t1 [mm], beta, eta, sine, yields [MPa]."""

    b0: float
    h0: float
    t0: float
    b: float
    h: float
    t: float
    beta: float
    eta: float
    sine: float
    fy: float
    fy1: float

    @property
    def working(self) -> float:
        """Width of a brace's wall across the chord that carries [mm]."""
        wide = 10 * self.t0 / self.b0 * self.fy * self.t0 / (self.fy1 * self.t) * self.b
        return min(wide, self.b)

    @property
    def punched(self) -> float:
        """The same for punching [mm]."""
        return min(10 * self.t0 / self.b0 * self.b, self.b)


def _sizes(joint: TubeJoint) -> _Sizes:
    c, b = joint.chord, joint.brace
    return _Sizes(
        c.width, c.height, c.wall, b.width, b.height, b.wall, b.width / c.width, b.height / c.width,
        math.sin(joint.angle_rad), joint.yield_mpa, joint.brace_yield,
    )  # fmt: skip


def square_joint(joint: TubeJoint, chord_push: ArrayLike = 0.0, partial: float = 1.0) -> JointResistance:
    """Return what a brace on a square or rectangular chord carries [N, N mm].

    Args:
        joint: The joint; its brace rectangular or round tube.
        chord_push: (...) largest push stress of the chord over its yield [-].
        partial: gamma_M5 [-].

    Source: EN 1993-1-8 tables 7.11, 7.12, 7.14 (from memory). Pull and push are both given the lower value of push;
    a round brace counts pi/4 of the square one round it. Moments on leaning braces and on a K are taken as on a T.
    """
    if joint.chord.shape not in ("square tube", "rectangular tube"):
        raise ValueError(f"the chord is {joint.chord.designation}, not a square or rectangular tube")
    z = _sizes(joint)
    k = face_push_factor(chord_push, joint.width_ratio)
    chord = _k_force(joint, z, k) if joint.kind == "K" else _force(joint, z, k)
    n, n_mode = chord
    ip, ip_mode = _in_plane(joint, z, k)
    op, op_mode = _out_of_plane(joint, z, k)
    whole = math.pi / 4 if joint.brace.is_round else 1.0
    found = []
    own = (
        area(joint.brace) * z.fy1,
        plastic_modulus(joint.brace, "height") * z.fy1,
        plastic_modulus(joint.brace, "width") * z.fy1,
    )
    for (value, mode), of_brace in zip(((n, n_mode), (ip, ip_mode), (op, op_mode)), own, strict=True):
        most = np.minimum(whole * value / partial, of_brace)
        named: Mode = "brace" if float(np.min(most)) == of_brace else mode
        found.append((most, named))
    return JointResistance(
        force=found[0][0], in_plane=found[1][0], out_of_plane=found[2][0], force_mode=found[0][1],
        in_plane_mode=found[1][1], out_of_plane_mode=found[2][1], square=False, beyond=square_range(joint),
        source=EN_SQUARE,
    )  # fmt: skip


def _smallest(ways: list[tuple[Floats | float, Mode]]) -> tuple[Floats, Mode]:
    lowest = min(ways, key=lambda way: float(np.min(way[0])))
    out: Floats = np.asarray(ways[0][0], float)
    for value, _ in ways[1:]:
        out = np.minimum(out, value)
    return out, lowest[1]


def _face(z: _Sizes, beta: float) -> float:
    """Yield lines in the face [N], before push in the chord."""
    return z.fy * z.t0**2 / ((1 - beta) * z.sine) * (2 * z.eta / z.sine + 4 * math.sqrt(1 - beta))


def _side(joint: TubeJoint, z: _Sizes) -> float:
    """Side walls of a brace as wide as its chord [N]."""
    slender = 3.46 * (z.h0 / z.t0 - 2) * math.sqrt(1 / z.sine) / (math.pi * math.sqrt(YOUNGS_MPA / z.fy))
    strength = column_factor(slender) * z.fy * (0.8 * z.sine if joint.kind == "X" else 1.0)
    return strength * z.t0 / z.sine * (2 * z.h / z.sine + 10 * z.t0)


def _force(joint: TubeJoint, z: _Sizes, k: Floats) -> tuple[Floats, Mode]:
    if z.beta <= NARROW:
        ways: list[tuple[Floats | float, Mode]] = [(k * _face(z, z.beta), "chord face")]
    else:
        share = min((z.beta - NARROW) / (1 - NARROW), 1.0)
        between = (1 - share) * k * _face(z, NARROW) + share * _side(joint, z)
        ways = [(between, "side wall"), (z.fy1 * z.t * (2 * z.h - 4 * z.t + 2 * z.working), "brace")]
    if z.beta > NARROW and z.beta <= 1 - 2 * z.t0 / z.b0:
        ways.append((z.fy * z.t0 / (math.sqrt(3) * z.sine) * (2 * z.h / z.sine + 2 * z.punched), "punching"))
    return _smallest(ways)


def _k_force(joint: TubeJoint, z: _Sizes, k: Floats) -> tuple[Floats, Mode]:
    second = joint.second
    mean = (z.b + z.h + second.width + second.height) / (4 * z.b0)
    face = 8.9 * k * z.fy * z.t0**2 * math.sqrt(z.b0 / (2 * z.t0)) / z.sine * mean
    part = math.sqrt(1 / (1 + 4 * joint.gap**2 / (3 * z.t0**2)))
    sheared = z.fy * (2 * z.h0 + part * z.b0) * z.t0 / (math.sqrt(3) * z.sine)
    ways: list[tuple[Floats | float, Mode]] = [
        (face, "chord face"),
        (sheared, "chord shear"),
        (z.fy1 * z.t * (2 * z.h - 4 * z.t + z.b + z.working), "brace"),
    ]
    if z.beta <= 1 - 2 * z.t0 / z.b0:
        ways.append((z.fy * z.t0 / (math.sqrt(3) * z.sine) * (2 * z.h / z.sine + z.b + z.punched), "punching"))
    return _smallest(ways)


def _in_plane(joint: TubeJoint, z: _Sizes, k: Floats) -> tuple[Floats, Mode]:
    if z.beta <= NARROW:
        shape = 1 / (2 * z.eta) + 2 / math.sqrt(1 - z.beta) + z.eta / (1 - z.beta)
        return k * z.fy * z.t0**2 * z.h * shape, "chord face"
    crushed = 0.5 * (0.8 if joint.kind == "X" else 1.0) * z.fy * z.t0 * (z.h + 5 * z.t0) ** 2
    torn = z.fy1 * (plastic_modulus(joint.brace, "height") - (1 - z.working / z.b) * z.b * z.h * z.t)
    return _smallest([(crushed, "side wall"), (max(torn, 0.0), "brace")])


def _out_of_plane(joint: TubeJoint, z: _Sizes, k: Floats) -> tuple[Floats, Mode]:
    bent = 2 * z.fy * z.t0 * (z.h * z.t0 + math.sqrt(z.b0 * z.h0 * z.t0 * (z.b0 + z.h0)))
    ways: list[tuple[Floats | float, Mode]] = [] if joint.kind == "X" else [(bent, "side wall")]
    if z.beta <= NARROW:
        around = z.h * (1 + z.beta) / (2 * (1 - z.beta)) + math.sqrt(2 * z.b0 * z.b * (1 + z.beta) / (1 - z.beta))
        return _smallest([(k * z.fy * z.t0**2 * around, "chord face"), *ways])
    crushed = (0.8 if joint.kind == "X" else 1.0) * z.fy * z.t0 * (z.b0 - z.t0) * (z.h + 5 * z.t0)
    torn = z.fy1 * (plastic_modulus(joint.brace, "width") - 0.5 * (1 - z.working / z.b) ** 2 * z.b**2 * z.t)
    return _smallest([(crushed, "side wall"), (max(torn, 0.0), "brace"), *ways])
