"""Which die makes a bend, by which law, and what radius comes of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Part, RadiusRule, Run, StockRole
from handbarrow.findings import Finding
from handbarrow.job.bend_findings import angle_too_large, needs_test_bends, no_die_for_radius, no_die_for_stock
from handbarrow.laws.bending.calibration import radius_as_made, set_angle
from handbarrow.laws.bending.springback import springback_guess
from handbarrow.laws.geometry.path import cross
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Die, SetAngleLaw, Workshop

__all__ = [
    "WANTED_WITHIN",
    "ChosenDie",
    "choose_die",
    "law_of",
    "leg_path",
    "radius_rule",
    "reckoned_yield",
    "wanted_at_corners",
    "why_no_die",
]

WANTED_WITHIN = 0.05
"""A die makes a wanted radius if what it makes lies within this share of it."""
LEAST_YIELD_MPA = 235.0
"""Yield taken for the guess where the shop states none [MPa]: least value of S235 (EN 10025-2, from memory)."""
SLACK_RAD = 1e-6
NO_BEND_RAD = 1e-6
"""A corner that changes direction by less is no bend; the design room leaves it out of the centreline."""


class ChosenDie(NamedTuple):
    """A die, the law it works by, and the bend that it makes [mm, rad]."""

    die: Die
    law: SetAngleLaw
    radius: float
    set_angle_rad: float


def reckoned_yield(workshop: Workshop, label: str) -> float:
    """Return the yield strength that the springback guess reckons with [MPa]."""
    item = workshop.stock.get(label)
    return LEAST_YIELD_MPA if item is None or item.yield_mpa is None else item.yield_mpa


@lru_cache(maxsize=512)
def _guess(section: Section, radius: float, yield_mpa: float) -> SetAngleLaw | None:
    if section.shape == "angle":
        return None
    # The section's height lies along the bend's normal, as the crown rule turns it.
    guess = springback_guess(section, radius, yield_mpa)
    return SetAngleLaw(a=guess.a, b_rad=guess.b_rad) if guess.a > 0.05 else None


def law_of(die: Die, section: Section, yield_mpa: float) -> SetAngleLaw | None:
    """Return the die's law, else the physics' first guess; None where there is none (an angle, or it stays elastic)."""
    return die.law if die.law is not None else _guess(section, die.radius, yield_mpa)


def _made(die: Die, section: Section, yield_mpa: float, angle_rad: float) -> ChosenDie | None:
    law = law_of(die, section, yield_mpa)
    if law is None:
        return None
    if angle_rad < NO_BEND_RAD:
        return ChosenDie(die=die, law=law, radius=die.radius, set_angle_rad=0.0)
    return ChosenDie(
        die=die,
        law=law,
        radius=radius_as_made(die.radius, angle_rad, law.a, law.b_rad),
        set_angle_rad=set_angle(angle_rad, law.a, law.b_rad),
    )


def _candidates(workshop: Workshop, label: str, section: Section, angle_rad: float) -> list[ChosenDie]:
    dies = [d for d in workshop.dies_for(label) if angle_rad <= d.largest_angle_rad + SLACK_RAD]
    strength = reckoned_yield(workshop, label)
    return [made for d in dies if (made := _made(d, section, strength, angle_rad)) is not None]


def choose_die(
    workshop: Workshop, label: str, section: Section, angle_rad: float, wanted: float | None
) -> ChosenDie | None:
    """Choose the die for one bend.

    Args:
        workshop: The shop.
        label: The stock.
        section: Its section.
        angle_rad: Finished angle.
        wanted: Wanted centreline radius [mm]; None: the smallest die.

    Returns:
        The die that bends so far and makes the wanted radius within 5 % (the nearest one), or the smallest; None if
        there is none.
    """
    found = _candidates(workshop, label, section, angle_rad)
    if wanted is None:
        return found[0] if found else None
    near = [c for c in found if abs(c.radius - wanted) <= WANTED_WITHIN * wanted]
    return min(near, key=lambda c: (abs(c.radius - wanted), c.die.radius, c.die.name)) if near else None


def radius_rule(workshop: Workshop) -> RadiusRule:
    """Return the rule by which the design room asks for the centreline radius as made [mm]."""

    @lru_cache(maxsize=4096)
    def radius(label: str, section: Section, angle_rad: float, wanted: float | None) -> float | None:
        chosen = choose_die(workshop, label, section, angle_rad, wanted)
        return None if chosen is None else chosen.radius

    def rule(role: StockRole, angle_rad: float, wanted: float | None) -> float | None:
        return None if role.section is None else radius(role.label, role.section, angle_rad, wanted)

    return rule


def wanted_at_corners(part: Part, bends: int) -> list[tuple[str, float | None]]:
    """Return for each bend of a run its path in the design file and the radius wanted there [mm] or None.

    Args:
        part: The part; its shape is a run.
        bends: How many bends its centreline has; corners in line with their neighbours make none.
    """
    run = part.shape
    assert isinstance(run, Run)  # noqa: S101 - by contract
    if run.route is not None:
        rows = [i for i, step in enumerate(run.route.steps) if step.kind == "bend" and abs(step.value) >= NO_BEND_RAD]
        found = [(f"{part.path}.steps[{i}]", run.route.steps[i].radius) for i in rows]
    else:
        points = np.array([corner.at for corner in run.corners])
        t = np.diff(points, axis=0)
        across = np.linalg.norm(cross(t[:-1], t[1:]), axis=1)
        turning = np.arctan2(across, np.sum(t[:-1] * t[1:], axis=1)) >= NO_BEND_RAD
        kept = [int(k) + 1 for k in np.flatnonzero(turning)]
        found = [(f"{part.path}.points[{k}]", run.corners[k].radius) for k in kept]
    return found if len(found) == bends else [(part.path, None)] * bends


def leg_path(part: Part, corners: Sequence[str], k: int) -> str:
    """Return the path in the design file of the leg that ends at bend k, or at the end of the run (k from 0).

    Args:
        part: The part; its shape is a run.
        corners: Paths of its bends, as `wanted_at_corners` gives them.
        k: Which leg.
    """
    run = part.shape
    assert isinstance(run, Run)  # noqa: S101 - by contract
    if part.path in corners:
        return part.path
    if run.route is None:
        return corners[k] if k < len(corners) else f"{part.path}.points[{len(run.corners) - 1}]"
    legs = [f"{part.path}.steps[{i}]" for i, step in enumerate(run.route.steps) if step.kind not in ("bend", "turn")]
    bends = [f"{part.path}.steps[{i}]" for i, step in enumerate(run.route.steps) if step.kind == "bend"]
    return legs[bends.index(corners[k])] if k < len(corners) else legs[-1]


def why_no_die(
    where: str, workshop: Workshop, label: str, section: Section, bend: tuple[float, float | None]
) -> Finding:
    """Return the finding for a bend (angle [rad], wanted radius [mm] or None) that `choose_die` has no die for."""
    angle_rad, wanted = bend
    dies = workshop.dies_for(label)
    if not dies:
        return no_die_for_stock(where, label)
    strength = reckoned_yield(workshop, label)
    known = [d for d in dies if law_of(d, section, strength) is not None]
    if not known:
        return needs_test_bends(f"dies[{workshop.dies.index(dies[0])}]", dies[0], section)
    able = _candidates(workshop, label, section, angle_rad)
    if not able:
        return angle_too_large(where, angle_rad, max(known, key=lambda d: d.largest_angle_rad))
    return no_die_for_radius(where, wanted, [(c.die.name, c.radius) for c in able])
