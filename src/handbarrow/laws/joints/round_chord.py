"""The wall of a round chord under a brace or a plate: EN 1993-1-8 section 7.4, and the AISC 360 form beside it."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.language import said
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import area, plastic_modulus
from handbarrow.laws.joints.values import JointResistance, Limit, Mode, TubeJoint, passed

__all__ = [
    "aisc_round_joint",
    "face_resistance",
    "gap_factor",
    "plate_on_round",
    "push_factor",
    "round_joint",
    "round_range",
]

Floats = NDArray[np.float64]

EN_ROUND = said(
    "EN 1993-1-8 tables 7.1, 7.2, 7.5: axial T and Y, moment in the plane read as formulas in a public code; the others"
    " from memory"
)
EN_ROUND_BOX = said("EN 1993-1-8 table 7.4, from memory")
EN_PLATE = said("EN 1993-1-8 table 7.3, from memory")
AISC = said("AISC 360 tables K3.1 and K4.1, read in an extract of Design Guide 24")


def push_factor(chord_push: ArrayLike) -> Floats:
    """Return k_p [-]: what push in the chord leaves of a round joint.

    Args:
        chord_push: (...) largest push stress of the chord over its yield [-]; pull, or nothing: 0.

    Source: EN 1993-1-8 table 7.2 (from memory), 1 - 0.3 n (1 + n); AISC Q_f has the same form (read at second hand).

    >>> push_factor([0.0, 0.5]).tolist()
    [1.0, 0.775]
    """
    n = np.maximum(np.asarray(chord_push, float), 0.0)
    return np.asarray(np.maximum(1 - 0.3 * n * (1 + n), 0.0))


def gap_factor(slenderness: float, gap: float, wall: float) -> float:
    """Return k_g [-]: what the gap of a K does.

    Args:
        slenderness: Half the chord's outside over its wall [-].
        gap: Between the braces along the chord [mm].
        wall: Of the chord [mm].

    Source: EN 1993-1-8 table 7.2 (from memory) and AISC Q_g (read in an extract of Design Guide 24): one formula.

    >>> round(gap_factor(10.0, 1e9, 2.0), 3)
    1.585
    """
    over = math.exp(min(0.5 * gap / wall - 1.33, 700.0))
    return float(slenderness**0.2 * (1 + 0.024 * slenderness**1.2 / (1 + over)))


def round_range(joint: TubeJoint) -> tuple[Limit, ...]:
    """Return which limits a joint on a round chord lies beyond [mm, rad, -].

    Source: EN 1993-1-8 7.1.1, 7.1.2 and table 7.1 (from memory): walls 2.5 mm and more, angle 30 degrees and more,
    0.2 <= d1 / d0 <= 1, 10 <= d0 / t0 <= 50 (40 for X), d1 / t1 <= 50, gap t1 + t2 at least, yield 460 MPa at most.
    """
    chord, brace = joint.chord, joint.brace
    out = (
        *passed("wall", min(chord.wall, brace.wall), low=2.5),
        *passed("angle_rad", joint.angle_rad, low=math.radians(30)),
        *passed("width ratio", brace.width / chord.width, 0.2, 1.0),
        *passed("chord slenderness", chord.height / chord.wall, 10.0, 40.0 if joint.kind == "X" else 50.0),
        *passed("brace slenderness", brace.outside / brace.wall, high=50.0 if brace.is_round else 35.0),
        *passed("yield_mpa", max(joint.yield_mpa, joint.brace_yield), high=460.0),
    )
    if joint.kind == "K":
        out += passed("gap", joint.gap, low=brace.wall + joint.second.wall)
    return out


def round_joint(joint: TubeJoint, chord_push: ArrayLike = 0.0, partial: float = 1.0) -> JointResistance:
    """Return what a brace on a round chord carries [N, N mm].

    Args:
        joint: The joint; its brace round or rectangular tube.
        chord_push: (...) largest push stress of the chord over its yield [-].
        partial: gamma_M5 [-].

    Source: EN 1993-1-8 tables 7.2, 7.4, 7.5: what was read and what is from memory stands in the result. Moments on a K
    are taken as on a T (common practice, no source).
    """
    if joint.chord.shape != "round tube":
        raise ValueError(f"the chord is {joint.chord.designation}, not a round tube")
    if not joint.brace.is_round:
        return _box_on_round(joint, chord_push, partial)
    t, d, sine = joint.chord.wall, joint.brace.width, math.sin(joint.angle_rad)
    punched = (math.inf,) * 3
    if d <= joint.chord.width - 2 * t:
        shear = joint.yield_mpa / math.sqrt(3) * t / partial
        punched = (
            shear * math.pi * d * (1 + sine) / (2 * sine**2),
            shear * d**2 * (1 + 3 * sine) / (4 * sine**2),
            shear * d**2 * (3 + sine) / (4 * sine**2),
        )
    return _least(joint, face_resistance(joint, chord_push, partial), punched, square=True, source=EN_ROUND)


def face_resistance(
    joint: TubeJoint, chord_push: ArrayLike = 0.0, partial: float = 1.0
) -> tuple[Floats, Floats, Floats]:
    """Return what the wall of a round chord carries in bending under a round brace: force [N], moments [N mm].

    Args:
        joint: The joint, round on round.
        chord_push: (...) largest push stress of the chord over its yield [-].
        partial: gamma_M5 [-].

    Source: EN 1993-1-8 table 7.2 (T, Y axial read in a public code), table 7.5 (moment in the plane read there; the
    sideways one from memory). Punching and the brace itself are not in it: see `round_joint`.
    """
    t, d = joint.chord.wall, joint.brace.width
    beta = d / joint.chord.width
    base = push_factor(chord_push) * joint.yield_mpa * t**2 / math.sin(joint.angle_rad) / partial
    in_plane = base * 4.85 * math.sqrt(joint.slenderness) * beta * d
    return base * _axial(joint), in_plane, base * d * 2.7 / (1 - 0.81 * beta)


def _axial(joint: TubeJoint) -> float:
    """The factor of fy t^2 / sin under a force along the brace."""
    beta, gamma = joint.brace.width / joint.chord.width, joint.slenderness
    if joint.kind == "X":
        return 5.2 / (1 - 0.81 * beta)
    if joint.kind == "K":
        return (1.8 + 10.2 * beta) * gap_factor(gamma, joint.gap, joint.chord.wall)
    return float(gamma**0.2) * (2.8 + 14.2 * beta**2)


def _box_on_round(joint: TubeJoint, chord_push: ArrayLike, partial: float) -> JointResistance:
    """Rectangular tube on round."""
    beta, eta = joint.brace.width / joint.chord.width, joint.brace.height / joint.chord.width
    base = push_factor(chord_push) * joint.yield_mpa * joint.chord.wall**2 / partial
    shape = 5 / (1 - 0.81 * beta) if joint.kind == "X" else 4 + 20 * beta**2
    face = base * shape * (1 + 0.25 * eta)
    force = face / math.sin(joint.angle_rad)
    faces = (force, joint.brace.height * face, 0.5 * joint.brace.width * face)
    return _least(joint, faces, (math.inf,) * 3, square=True, source=EN_ROUND_BOX)


def _least(
    joint: TubeJoint,
    face: tuple[Floats, Floats, Floats],
    punched: tuple[float, ...],
    *,
    square: bool,
    source: str,
) -> JointResistance:
    """The smallest of face, punching and the brace's own strength for each kind of load."""
    brace, fy = joint.brace, joint.brace_yield
    own = (
        area(brace) * fy,
        plastic_modulus(brace, "height") * fy,
        plastic_modulus(brace, "width") * fy,
    )
    found: list[tuple[Floats, Mode]] = []
    for of_face, of_punch, of_brace in zip(face, punched, own, strict=True):
        most = np.minimum(np.minimum(of_face, of_punch), of_brace)
        low = float(np.min(most))
        mode: Mode = "brace" if low == of_brace else "punching" if low == of_punch else "chord face"
        found.append((most, mode))
    (n, n_mode), (ip, ip_mode), (op, op_mode) = found
    return JointResistance(
        force=n, in_plane=ip, out_of_plane=op, force_mode=n_mode, in_plane_mode=ip_mode, out_of_plane_mode=op_mode,
        square=square, beyond=round_range(joint), source=source,
    )  # fmt: skip


def plate_on_round(
    chord: Section, plate: tuple[float, float], way: Literal["along", "across"], yield_mpa: float,
    chord_push: ArrayLike = 0.0,
) -> JointResistance:  # fmt: skip
    """Return what the wall of a round tube carries under a plate square on it [N, N mm].

    Args:
        chord: The tube.
        plate: Width of its welded edge, thickness [mm].
        way: Whether the edge lies along the tube or across it.
        yield_mpa: Of the tube [MPa].
        chord_push: (...) largest push stress of the tube over its yield [-].

    Returns:
        Moments are in the plate's own plane; those that bend the plate have resistance 0.

    Source: EN 1993-1-8 table 7.3 (from memory): along 5 (1 + 0.25 b / d0), across 4 + 20 (b / d0)^2, times fy t0^2;
    moment along: b N, across: 0.5 b N.
    """
    width, thickness = plate
    base = push_factor(chord_push) * yield_mpa * chord.wall**2
    ratio = width / chord.width
    force = base * (5 * (1 + 0.25 * min(ratio, 4.0)) if way == "along" else 4 + 20 * ratio**2)
    none = np.zeros_like(force)
    beyond = (
        *passed("wall", min(chord.wall, thickness), low=2.5),
        *passed("width ratio", ratio, *((0.0, 4.0) if way == "along" else (0.4, 1.0))),
        *passed("chord slenderness", chord.height / chord.wall, 10.0, 50.0),
    )
    return JointResistance(
        force=force, in_plane=width * force if way == "along" else none,
        out_of_plane=none if way == "along" else 0.5 * width * force, force_mode="chord face",
        in_plane_mode="chord face" if way == "along" else "not covered",
        out_of_plane_mode="not covered" if way == "along" else "chord face",
        square=True, beyond=beyond, source=EN_PLATE,
    )  # fmt: skip


def aisc_round_joint(joint: TubeJoint, chord_push: ArrayLike = 0.0) -> JointResistance:
    """Return the nominal strength of round on round by the American form [N, N mm]; phi (0.90, punching 0.95) left out.

    Args:
        joint: The joint, round on round.
        chord_push: (...) largest push stress of the chord over its yield [-].

    Source: AISC 360 tables K3.1, K4.1 (read in an extract of Design Guide 24). Punching of a leaning brace is printed
    in two ways: Pn = 0.6 Fy t pi Db (1 + sin) / (2 sin^2), the smaller, is taken; a public module has Pn sin there.
    """
    t, d, sine = joint.chord.wall, joint.brace.width, math.sin(joint.angle_rad)
    beta, gamma = d / joint.chord.width, joint.slenderness
    base = push_factor(chord_push) * joint.yield_mpa * t**2 / sine
    if joint.kind == "X":
        factor = 5.7 / (1 - 0.81 * beta)
    elif joint.kind == "K":
        factor = (2.0 + 11.33 * beta) * gap_factor(gamma, joint.gap, t)
    else:
        factor = float(gamma**0.2) * (3.1 + 15.6 * beta**2)
    punched = math.inf
    if d < joint.chord.width - 2 * t:
        punched = 0.6 * joint.yield_mpa * t * math.pi * d * (1 + sine) / (2 * sine**2)
    force = np.minimum(base * factor, punched)
    beyond = (
        *passed("angle_rad", joint.angle_rad, low=math.radians(30)),
        *passed("chord slenderness", joint.chord.height / t, high=40.0 if joint.kind == "X" else 50.0),
        *passed("width ratio", beta, 0.2, 1.0),
        *passed("yield_mpa", joint.yield_mpa, high=360.0),
    )
    mode: Mode = "punching" if float(np.min(force)) == punched else "chord face"
    return JointResistance(
        force=force, in_plane=base * 5.39 * math.sqrt(gamma) * beta * d,
        out_of_plane=base * d * 3.0 / (1 - 0.81 * beta), force_mode=mode, in_plane_mode="chord face",
        out_of_plane_mode="chord face", square=True, beyond=beyond, source=AISC,
    )  # fmt: skip
