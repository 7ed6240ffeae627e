"""What is said about bends that the shop cannot make, or can make only with care."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from handbarrow.findings import Finding, Severity
from handbarrow.laws.bending.order import Shortfall
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Die, SetAngleLaw

__all__ = [
    "TIGHT_RADIUS",
    "angle_too_large",
    "law_is_guess",
    "needs_test_bends",
    "needs_two_cards",
    "no_die_for_radius",
    "no_die_for_stock",
    "no_order",
    "no_room",
    "not_about_axis",
    "tight_radius",
]

TIGHT_RADIUS = 3.0
"""Centreline radius over outside size below which hand-bent tube is at risk (ikz.de 2/2000 p. 8, read)."""


def no_die_for_stock(where: str, label: str) -> Finding:
    """No die at all bends this stock."""
    return Finding(
        code="bend-radius-has-no-die",
        where=where,
        wrong=f"no die bends {label}",
        expected=f"a die, former or vice bend for {label} in the workshop file",
        fix=f"add a die with `for: {label}` to the workshop file, or make the part of stock that the shop can bend",
    )


def no_die_for_radius(where: str, wanted: float | None, made: Sequence[tuple[str, float]]) -> Finding:
    """Dies there are, but none makes the wanted radius."""
    offers = ", ".join(f"{radius:.1f} mm ({name})" for name, radius in made)
    nearest = min((radius for _, radius in made), key=lambda r: abs(r - (wanted or 0.0)))
    return Finding(
        code="bend-radius-has-no-die",
        where=where,
        wrong=f"radius {wanted or 0.0:g} mm; no die makes it within 5 %",
        expected=f"a centreline radius as made of {offers}",
        fix=f"write `radius: {nearest:.0f}`, leave the radius out, or add the die to the workshop file",
    )


def angle_too_large(where: str, angle_rad: float, die: Die) -> Finding:
    """The bend goes further round than any die."""
    largest = math.degrees(die.largest_angle_rad)
    return Finding(
        code="bend-angle-too-large",
        where=where,
        wrong=f"a bend of {math.degrees(angle_rad):.1f} degrees",
        expected=f"at most {largest:g} degrees, the largest angle of die {die.name}",
        fix="make two bends with a straight between them, or use a die that goes further round",
    )


def needs_test_bends(where: str, die: Die, section: Section) -> Finding:
    """Physics has no guess for this die."""
    reason = "an angle twists as it bends" if section.shape == "angle" else "by the reckoning nothing stays bent"
    return Finding(
        code="die-needs-test-bends",
        where=where,
        wrong=f"die {die.name} has no set-angle law and there is no first guess for it: {reason}",
        expected="`set angle: {a: ..., b: ..., test bends: ...}` from bends made on it",
        fix="make test bends (3 angles, 2 of each) and write the law into the workshop file",
    )


def no_room(where: str, between: str, straight: float) -> Finding:
    """Two bends, or a bend and an end, overlap."""
    return Finding(
        code="bend-without-room",
        where=where,
        wrong=f"the straight {between} is {straight:.1f} mm: {-straight:.1f} mm are lacking for the bends' set-back",
        expected="a straight of 0 mm or more between tangent points",
        fix=f"move the corners {-straight:.1f} mm apart, or use a smaller radius",
    )


def not_about_axis(where: str, number: int, off_rad: float) -> Finding:
    """A square or flat section would have to bend over its edge."""
    return Finding(
        code="bend-not-about-section-axis",
        where=where,
        wrong=f"bend {number} is turned {math.degrees(off_rad):.1f} degrees away from the faces of the section",
        expected="turns of 0, 90, 180 or 270 degrees: only round tube bends in any direction",
        fix="turn the bend to a multiple of 90 degrees, set `face` along the bend's normal, or use round tube",
    )


def no_order(where: str, short: Shortfall, die: Die, end_names: tuple[str, str]) -> Finding:
    """No order and feed works. `end_names`: what lies next to the bend on the held and on the swept side."""
    number, before = short.bend + 1, _after(short.made)
    if short.kind == "obstacle":
        into = short.lack - short.needed
        near = f"runs {into:.0f} mm into" if into > 0 else f"comes {short.lack:.0f} mm too near to"
        return Finding(
            code="bend-hits-obstacle",
            where=where,
            wrong=f"bend {number}{before}: the {short.part} side of the tube {near} {short.box}",
            expected=f"{short.needed:.0f} mm from centreline to {short.box} in some order of bends, fed either way",
            fix=f"clear {short.box} out of the way, change the leg that meets it, or make the part of two "
            "pieces with a sleeve",
        )
    there = short.needed - short.lack
    towards = end_names[0] if short.kind == "held" else end_names[1]
    return Finding(
        code="bend-cannot-be-clamped",
        where=where,
        wrong=f"bend {number}{before}: {there:.1f} mm of straight {towards} on the {short.kind} side, "
        f"{short.lack:.1f} mm are lacking",
        expected=f"{short.needed:g} mm for die {die.name} in some order of bends, fed either way",
        fix=f"make that straight {short.lack:.1f} mm longer, use a die that clamps shorter, or make the part of two "
        "pieces with a sleeve",
    )


def needs_two_cards(found: Finding) -> Finding:
    """The same finding where the piece as drawn and its mirror image could be bent, but not by one card."""
    return replace(
        found,
        wrong=f"{found.wrong}, if the piece as drawn and its mirror image are bent in one order",
        fix="make the mirrored copies a part of their own (it gets its own card), or clear the place",
    )


def _after(made: tuple[int, ...]) -> str:
    if not made:
        return ""
    return f" after bend{'s' if len(made) > 1 else ''} {', '.join(str(k + 1) for k in made)}"


def law_is_guess(where: str, die: Die, law: SetAngleLaw, yield_mpa: float) -> Finding:
    """No test bend stands behind the set angles."""
    return Finding(
        code="die-law-is-a-guess",
        where=where,
        wrong=f"die {die.name} has no test bends; finished = {law.a:.3f} x set - {math.degrees(law.b_rad):.2f} degrees "
        f"is a first guess for a yield of {yield_mpa:g} MPa, good to about 1 degree at 90",
        expected="test bends: 3 angles (20, 60, 110 degrees), 2 of each",
        fix="make the test bends before the batch is cut and write `set angle` into the workshop file",
        severity=Severity.WARNING,
    )


def tight_radius(where: str, die: Die, outside: float) -> Finding:
    """The die is tighter than what is usual for hand-bent tube."""
    return Finding(
        code="bend-radius-tight",
        where=where,
        wrong=f"die {die.name}: radius {die.radius:g} mm is {die.radius / outside:.2f} x the outside, {outside:g} mm",
        expected=f"{TIGHT_RADIUS:g} x the outside size or more for tube bent by hand without filling",
        fix="bend one piece, look at its inside for wrinkles and measure the flattening; if it is good, go on",
        severity=Severity.WARNING,
    )
