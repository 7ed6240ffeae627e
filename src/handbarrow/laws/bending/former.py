"""Curves pulled round a former: its radius, how much longer to cut, how to check and to learn from the first piece.

A bar pulled round a former springs back to a larger radius. The first guess comes from the section's plasticity; the
shop's own trial piece counts instead as soon as there is one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.bending.springback import STEEL_MODULUS_MPA, Axis, Hardening, bending_moment, section_fibres
from handbarrow.laws.geometry.roots import bracketed_root
from handbarrow.laws.geometry.section import Section

__all__ = [
    "Former",
    "LeastRadius",
    "PulledLengths",
    "chord_and_rise",
    "former_for",
    "least_former_radius",
    "pulled_lengths",
    "radius_from_rise",
    "radius_when_released",
    "step_marks",
    "yield_from_trial",
]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Former:
    """A former for one radius.

    Attributes:
        centreline: Radius of the centreline while the bar lies on the former [mm].
        face: Radius of the former's face [mm].
        angle_rad: How far round the bar must be pulled [rad].
        moment_nmm: Moment that pulls it there [N mm].
        strain: Of the outermost fibre on the former [-].
    """

    centreline: float
    face: float
    angle_rad: float
    moment_nmm: float
    strain: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PulledLengths:
    """What to cut for pieces that are pulled in one length and cut apart afterwards.

    Attributes:
        pieces: How many in one length.
        cut_length: To saw before bending [mm].
        held: At the start, in the clamp [mm].
        grip: At the end, for the lever or the hand [mm].
        marks: (pieces, 2) start and end of each piece from the start of the length [mm].
    """

    pieces: int
    cut_length: float
    held: float
    grip: float
    marks: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastRadius:
    """A smallest radius and where the rule comes from.

    Attributes:
        centreline: Of the bar as made [mm].
        source: Where the rule was found.
    """

    centreline: float
    source: str


def _stiffness(section: Section, axis: Axis, modulus_mpa: float) -> float:
    y, areas = section_fibres(section, axis)
    return modulus_mpa * float(2 * (y * y * areas).sum())


def radius_when_released(
    section: Section,
    centreline: float,
    yield_mpa: float,
    *,
    axis: Axis = "width",
    hardening: Hardening | None = None,
    modulus_mpa: float = STEEL_MODULUS_MPA,
) -> float:
    """Return the radius to which a bar springs back from a former; infinite where it comes back straight [mm].

    Args:
        section: Of the bar.
        centreline: Radius of its centreline on the former [mm].
        yield_mpa: Yield strength [MPa].
        axis: Along which section axis the stress varies: the one that points to the middle of the curve.
        hardening: Flow stress beyond yield; None: perfectly plastic.
        modulus_mpa: Modulus of elasticity [MPa].

    Source: elastic unloading, 1/R = 1/R_former - M/(E I) (computed here).

    >>> bar = Section(shape="round bar", height=10.0, width=10.0)
    >>> round(radius_when_released(bar, 300.0, 300.0))
    351
    """
    moment = bending_moment(section, centreline, yield_mpa, axis=axis, hardening=hardening, modulus_mpa=modulus_mpa)
    bent = 1 / centreline - moment / _stiffness(section, axis, modulus_mpa)
    return 1 / bent if bent > 1e-9 / centreline else math.inf


def former_for(
    section: Section,
    wanted: tuple[float, float],
    yield_mpa: float,
    *,
    axis: Axis = "width",
    hardening: Hardening | None = None,
    modulus_mpa: float = STEEL_MODULUS_MPA,
) -> Former | None:
    """Return the former round which a bar takes a wanted radius; None: the former would be inside out.

    Args:
        section: Of the bar.
        wanted: Centreline radius [mm] and angle [rad] of the piece as made.
        yield_mpa: Yield strength that the shop reckons with, or found from its trial [MPa].
        axis: Along which section axis the stress varies: the one that points to the middle of the curve.
        hardening: Flow stress beyond yield; None: perfectly plastic.
        modulus_mpa: Modulus of elasticity [MPa].

    Source: root of 1/R_former - M(R_former)/(E I) = 1/R_wanted, by integrating the section (computed here); a first
    guess, as `springback_guess` is. The arc keeps its length.

    >>> flat = Section(shape="flat", height=30.0, width=5.0)
    >>> former = former_for(flat, (1000.0, 3.14159), 300.0, modulus_mpa=206000.0)
    >>> round(former.centreline) if former else 0
    542
    """
    radius, angle = wanted
    stiffness = _stiffness(section, axis, modulus_mpa)

    def moment_at(curve: float) -> float:
        return bending_moment(section, 1 / curve, yield_mpa, axis=axis, hardening=hardening, modulus_mpa=modulus_mpa)

    def off(curve: float) -> float:
        return (curve - moment_at(curve) / stiffness) * radius - 1

    low, high = 1 / radius, 2 / radius
    while off(high) < 0:
        low, high = high, 2 * high
    curve = bracketed_root(off, (low, min(off(low), 0.0)), (high, off(high)), near_x=1e-13).x
    depth = section.width if axis == "width" else section.height
    on_former = 1 / curve
    if on_former <= depth / 2:
        return None
    return Former(
        centreline=on_former,
        face=on_former - depth / 2,
        angle_rad=angle * radius * curve,
        moment_nmm=moment_at(curve),
        strain=depth / 2 * curve,
    )


def yield_from_trial(
    section: Section,
    on_former: float,
    made: float,
    *,
    axis: Axis = "width",
    modulus_mpa: float = STEEL_MODULUS_MPA,
) -> float | None:
    """Return the yield strength that explains a trial piece; None: it came back less than any steel would [MPa].

    Args:
        section: Of the bar.
        on_former: Centreline radius on the former of the trial [mm].
        made: Centreline radius that it came back to [mm].
        axis: Along which section axis the stress varies.
        modulus_mpa: Modulus of elasticity [MPa].

    Returns:
        The yield strength of a perfectly plastic bar that would spring back as this one did; it takes hardening and
        all else of the shop's steel with it and is good for radii near that of the trial.

    Source: root of the springback of `radius_when_released` in the yield strength (computed here).

    >>> bar = Section(shape="round bar", height=10.0, width=10.0)
    >>> found = yield_from_trial(bar, 300.0, radius_when_released(bar, 300.0, 317.0))
    >>> round(found, 3) if found else 0.0
    317.0
    """
    if not 0 < on_former < made:
        return None
    stiffness = _stiffness(section, axis, modulus_mpa)
    wanted = stiffness * (1 / on_former - 1 / made)

    def off(strength: float) -> float:
        return bending_moment(section, on_former, strength, axis=axis, modulus_mpa=modulus_mpa) / wanted - 1

    depth = section.width if axis == "width" else section.height
    high = modulus_mpa * depth / 2 / on_former  # nothing yields: all comes back
    if off(high) <= 0:
        return None
    return bracketed_root(off, (0.0, -1.0), (high, off(high)), near_x=1e-12).x


def pulled_lengths(
    arc: float, pieces: int, kerf: float, *, moment_nmm: float, hand_n: float, held: float, trim: float = 0.0
) -> PulledLengths:
    """Return what to cut for one or more pieces that are pulled round a former in one length.

    Args:
        arc: Length of the centreline of one piece [mm].
        pieces: How many are pulled in one length and cut apart afterwards.
        kerf: Of the saw [mm].
        moment_nmm: Moment that pulls the bar round [N mm].
        hand_n: Force at the very end, square to the bar [N].
        held: Length in the clamp at the start [mm].
        trim: Cut away before the first and after the last piece, where the curve runs out [mm].

    Raises:
        ValueError: If there is no piece or no force.

    Source: statics: at the last tangent point the free end is the lever, so the grip is at least moment / force
    (computed here); a pipe slid over the end counts as grip.

    >>> pulled_lengths(600.0, 3, 2.0, moment_nmm=60000.0, hand_n=300.0, held=80.0).cut_length
    2084.0
    """
    if pieces < 1 or hand_n <= 0:
        raise ValueError(f"{pieces} pieces pulled with {hand_n:g} N: nothing to reckon")
    grip = moment_nmm / hand_n
    first = held + trim
    marks = tuple((first + i * (arc + kerf), first + i * (arc + kerf) + arc) for i in range(pieces))
    return PulledLengths(pieces=pieces, cut_length=marks[-1][1] + trim + grip, held=held, grip=grip, marks=marks)


def chord_and_rise(radius: float, angle_rad: float) -> tuple[float, float]:
    """Return the chord between the ends of an arc and its rise at the middle, to check a piece on the floor [mm].

    Args:
        radius: Of the arc that is measured [mm].
        angle_rad: How far it goes round [rad].

    Source: plane geometry.

    >>> [round(size, 6) for size in chord_and_rise(100.0, math.pi)]
    [200.0, 100.0]
    """
    return 2 * radius * math.sin(angle_rad / 2), radius * (1 - math.cos(angle_rad / 2))


def radius_from_rise(chord: float, rise: float) -> float:
    """Return the radius of an arc from a straight edge laid over it [mm].

    Args:
        chord: Length of the straight edge between the points where it touches [mm].
        rise: From its middle to the arc [mm].

    Source: plane geometry, c^2 / (8 h) + h / 2.

    >>> radius_from_rise(200.0, 100.0)
    100.0
    """
    if not (chord > 0 and rise > 0):
        raise ValueError(f"chord {chord:g} mm and rise {rise:g} mm must be positive")
    return chord**2 / (8 * rise) + rise / 2


def step_marks(arc: float, start: float, largest_step: float) -> Floats:
    """Return evenly spaced marks for a curve made in steps in a vice, the middle of each step [mm].

    Args:
        arc: Length of the centreline [mm].
        start: Where it begins, from the end of the bar [mm].
        largest_step: Between two marks [mm].

    Source: plane geometry; each step turns by angle / number of marks.

    >>> step_marks(100.0, 50.0, 30.0).tolist()
    [62.5, 87.5, 112.5, 137.5]
    """
    count = max(1, math.ceil(arc / largest_step - 1e-9))
    return start + (np.arange(count) + 0.5) * arc / count


def least_former_radius(section: Section, axis: Axis = "width") -> LeastRadius:
    """Return the smallest centreline radius that a bar takes cold round a former in a vice without creasing [mm].

    Args:
        section: Of the bar.
        axis: Along which section axis the stress varies.

    Source: round tube up to 33.7 mm 3 x outside (read in a heating trade paper); thicker tube and square tube 5 x its
    depth, solid bars and flats 2 x their depth (common practice, no source).

    >>> least_former_radius(Section(shape="square tube", height=15.0, width=15.0, wall=1.5)).centreline
    75.0
    """
    depth = section.width if axis == "width" else section.height
    if section.shape == "round tube" and section.height <= 33.7:
        return LeastRadius(centreline=3 * depth, source="hand bending of steel pipe up to DN 25, trade paper, read")
    factor = 5 if section.is_hollow else 2
    return LeastRadius(centreline=factor * depth, source="common practice, no source")
