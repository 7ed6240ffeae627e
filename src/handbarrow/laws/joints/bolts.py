"""Bolts and screws: shear, bearing, pull, pulling through, stripping of threads; EN 1993-1-8 table 3.4."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handbarrow.laws.hardware.sizes import FastenerSize, stress_area

__all__ = [
    "BOLT_CLASSES",
    "BoltClass",
    "bolt_bearing",
    "bolt_break_force",
    "bolt_class",
    "bolt_punching",
    "bolt_shear",
    "bolt_together",
    "screw_bearing",
    "thread_strip",
]

Floats = NDArray[np.float64]

PARTIAL = 1.25
"""gamma_M2 [-]: EN 1993-1-8 table 2.1, read at second hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltClass:
    """A property class: tensile strength and yield [MPa], and what threads in the shear plane leave (alpha_v) [-]."""

    name: str
    strength_mpa: float
    yield_mpa: float
    threads_sheared: float


BOLT_CLASSES = (
    BoltClass(name="4.6", strength_mpa=400.0, yield_mpa=240.0, threads_sheared=0.6),
    BoltClass(name="5.6", strength_mpa=500.0, yield_mpa=300.0, threads_sheared=0.6),
    BoltClass(name="8.8", strength_mpa=800.0, yield_mpa=640.0, threads_sheared=0.6),
    BoltClass(name="10.9", strength_mpa=1000.0, yield_mpa=900.0, threads_sheared=0.5),
)
"""EN 1993-1-8 table 3.1, read on a page about steel design; alpha_v of 10.9 from memory."""


def bolt_class(name: str) -> BoltClass | None:
    """Return a property class by its name, as `8.8`; strengths [MPa].

    Source: EN 1993-1-8 table 3.1 (read at second hand).

    >>> found = bolt_class("8.8")
    >>> found.strength_mpa if found else 0
    800.0
    """
    return next((one for one in BOLT_CLASSES if one.name == name), None)


def bolt_break_force(size: FastenerSize, grade: BoltClass) -> float:
    """Return the least pull at which a bolt breaks [N].

    Args:
        size: The bolt.
        grade: Its class.

    Source: ISO 898-1 (table of least ultimate loads, read at second hand): stress area times R_m; 8.8 above M16 has
    830 MPa.

    >>> from handbarrow.laws.hardware.sizes import fastener_size
    >>> size, grade = fastener_size("M8"), bolt_class("8.8")
    >>> round(bolt_break_force(size, grade)) if size and grade else 0
    29287
    """
    strength = 830.0 if grade.name == "8.8" and size.diameter > 16 else grade.strength_mpa
    return strength * stress_area(size)


def bolt_shear(size: FastenerSize, grade: BoltClass, *, threads: bool = True, partial: float = PARTIAL) -> float:
    """Return the design shear of one shear plane [N].

    Args:
        size: The bolt.
        grade: Its class.
        threads: Whether the plane goes through the thread.
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 table 3.4 (read at second hand): alpha_v f_ub A / gamma_M2; 0.6 through the shank.
    """
    if threads:
        return grade.threads_sheared * grade.strength_mpa * stress_area(size) / partial
    return 0.6 * grade.strength_mpa * math.pi * size.diameter**2 / 4 / partial


def bolt_bearing(
    size: FastenerSize, grade: BoltClass, plate: tuple[float, float], edges: tuple[float, float], hole: float,
    partial: float = PARTIAL,
) -> float:  # fmt: skip
    """Return the design bearing of one bolt in one plate [N].

    Args:
        size: The bolt.
        grade: Its class.
        plate: Thickness [mm], tensile strength [MPa].
        edges: From the middle of the hole to the end it is pulled towards, and to the side [mm].
        hole: Its diameter [mm].
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 table 3.4 (read at second hand; edge terms from memory):
    k1 alpha_b f_u d t, k1 = 2.8 e2/d0 - 1.7 up to 2.5, alpha_b = e1 / 3 d0 up to 1 and f_ub / f_u.

    >>> from handbarrow.laws.hardware.sizes import fastener_size
    >>> size, grade = fastener_size("M8"), bolt_class("8.8")
    >>> bolt_bearing(size, grade, (1.0, 360.0), (27.0, 20.0), 9.0) if size and grade else 0
    5760.0
    """
    thickness, strength = plate
    end, side = edges
    along = min(end / (3 * hole), grade.strength_mpa / strength, 1.0)
    across = max(min(2.8 * side / hole - 1.7, 2.5), 0.0)
    return across * along * strength * size.diameter * thickness / partial


def bolt_punching(size: FastenerSize, plate: tuple[float, float], partial: float = PARTIAL) -> float:
    """Return the pull at which head or nut goes through a plate [N].

    Args:
        size: The bolt.
        plate: Thickness [mm], tensile strength [MPa].
        partial: gamma_M2 [-].

    Source: EN 1993-1-8 table 3.4 (from memory): 0.6 pi d_m t f_u / gamma_M2, d_m = mean of flats and corners.
    """
    mean = size.flats * (1 + 2 / math.sqrt(3)) / 2
    return 0.6 * math.pi * mean * plate[0] * plate[1] / partial


def bolt_together(shear: ArrayLike, pull: ArrayLike, shear_limit: float, pull_limit: float) -> Floats:
    """Return how much of a bolt is used by shear and pull together [-].

    Args:
        shear: (...) [N].
        pull: (...) [N].
        shear_limit: Design shear [N].
        pull_limit: Design pull [N].

    Source: EN 1993-1-8 table 3.4 (from memory): F_v / F_v,Rd + F_t / 1.4 F_t,Rd, and F_t / F_t,Rd by itself.

    >>> float(bolt_together(500.0, 1400.0, 1000.0, 2000.0))
    1.0
    """
    v, t = np.abs(np.asarray(shear, float)) / shear_limit, np.maximum(np.asarray(pull, float), 0.0) / pull_limit
    out: Floats = np.maximum(v + t / 1.4, t)
    return out


def thread_strip(size: FastenerSize, engaged: float, strength_mpa: float, *, inside: bool) -> float:
    """Return the pull at which a thread strips [N]: an indicator, for sharp threads without clearance.

    Args:
        size: The screw.
        engaged: Length of thread that bites [mm].
        strength_mpa: Tensile strength of the part whose thread strips [MPa].
        inside: Whether that is the nut or tapped hole, not the screw.

    Source: basic profile of ISO 68-1 (from memory): threads are 7/8 pitch thick at the outside, 3/4 at the core
    d - 1.0825 P; shear strength f_u / sqrt(3). Tolerances take a fifth or more of it.

    >>> from handbarrow.laws.hardware.sizes import fastener_size
    >>> size = fastener_size("M8")
    >>> round(thread_strip(size, 3.0, 360.0, inside=True)) if size else 0
    13712
    """
    core = size.diameter - 1.0825318 * size.pitch
    area = 7 / 8 * size.diameter if inside else 3 / 4 * core
    return math.pi * area * engaged * strength_mpa / math.sqrt(3)


def screw_bearing(diameter: float, sheets: tuple[float, float], strength_mpa: float, partial: float = PARTIAL) -> float:
    """Return the design bearing of a self-drilling screw or a rivet through two sheets [N].

    Args:
        diameter: Of the screw, 3 to 8 mm [mm].
        sheets: Thickness of the thinner and of the other sheet [mm].
        strength_mpa: Tensile strength of the sheets [MPa].
        partial: gamma_M2 [-].

    Source: EN 1993-1-3 table 8.2 (from memory): alpha f_u d t, alpha = 3.2 sqrt(t/d) up to 2.1 for equal sheets, 2.1
    from 2.5 t on, between them straight. Edges and distances 3 d at least (read on a page about the standard).

    >>> round(screw_bearing(5.5, (1.0, 1.0), 360.0))
    2161
    """
    thin, other = sheets
    equal = min(3.2 * math.sqrt(thin / diameter), 2.1)
    share = min(max((other / thin - 1) / 1.5, 0.0), 1.0)
    return (equal + share * (2.1 - equal)) * strength_mpa * diameter * thin / partial
