"""What is said about bends that the shop cannot make, or can make only with care."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from handbarrow.findings import Finding, Severity
from handbarrow.language import Said, listed, said
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
        wrong=said("no die bends {stock}", stock=label),
        expected=said("a die, former or vice bend for {stock} in the workshop file", stock=label),
        fix=said(
            "add a die with `for: {stock}` to the workshop file, or make the part of stock that the shop can bend",
            stock=label,
        ),
    )


def no_die_for_radius(where: str, wanted: float | None, made: Sequence[tuple[str, float]]) -> Finding:
    """Dies there are, but none makes the wanted radius."""
    offers = listed(said("{radius:.1f} mm ({name})", radius=radius, name=name) for name, radius in made)
    nearest = min((radius for _, radius in made), key=lambda r: abs(r - (wanted or 0.0)))
    return Finding(
        code="bend-radius-has-no-die",
        where=where,
        wrong=said("radius {radius:g} mm; no die makes it within 5 %", radius=wanted or 0.0),
        expected=said("a centreline radius as made of {offers}", offers=offers),
        fix=said(
            "write `radius: {nearest:.0f}`, leave the radius out, or add the die to the workshop file", nearest=nearest
        ),
    )


def angle_too_large(where: str, angle_rad: float, die: Die) -> Finding:
    """The bend goes further round than any die."""
    largest = math.degrees(die.largest_angle_rad)
    return Finding(
        code="bend-angle-too-large",
        where=where,
        wrong=said("a bend of {angle:.1f} degrees", angle=math.degrees(angle_rad)),
        expected=said("at most {largest:g} degrees, the largest angle of die {die}", largest=largest, die=die.name),
        fix=said("make two bends with a straight between them, or use a die that goes further round"),
    )


def needs_test_bends(where: str, die: Die, section: Section) -> Finding:
    """Physics has no guess for this die."""
    reason = said("by the reckoning nothing stays bent")
    if section.shape == "angle":
        reason = said("an angle twists as it bends")
    return Finding(
        code="die-needs-test-bends",
        where=where,
        wrong=said(
            "die {die} has no set-angle law and there is no first guess for it: {reason}", die=die.name, reason=reason
        ),
        expected=said("`set angle: {a: ..., b: ..., test bends: ...}` from bends made on it"),
        fix=said("make test bends (3 angles, 2 of each) and write the law into the workshop file"),
    )


def no_room(where: str, between: tuple[str, str], straight: float) -> Finding:
    """Two bends, or a bend and an end, overlap. `between`: what the straight lies between."""
    return Finding(
        code="bend-without-room",
        where=where,
        wrong=said(
            "the straight between {one} and {other} is {straight:.1f} mm: {gap:.1f} mm are lacking for the "
            "bends' set-back",
            one=between[0],
            other=between[1],
            straight=straight,
            gap=-straight,
        ),
        expected=said("a straight of 0 mm or more between tangent points"),
        fix=said("move the corners {gap:.1f} mm apart, or use a smaller radius", gap=-straight),
    )


def not_about_axis(where: str, number: int, off_rad: float) -> Finding:
    """A square or flat section would have to bend over its edge."""
    return Finding(
        code="bend-not-about-section-axis",
        where=where,
        wrong=said(
            "bend {number} is turned {off:.1f} degrees away from the faces of the section",
            number=number,
            off=math.degrees(off_rad),
        ),
        expected=said("turns of 0, 90, 180 or 270 degrees: only round tube bends in any direction"),
        fix=said("turn the bend to a multiple of 90 degrees, set `face` along the bend's normal, or use round tube"),
    )


def no_order(where: str, short: Shortfall, die: Die, end_names: tuple[str, str]) -> Finding:
    """No order and feed works. `end_names`: what lies next to the bend on the held and on the swept side."""
    bend = _bend(short)
    if short.kind == "obstacle":
        return Finding(
            code="bend-hits-obstacle",
            where=where,
            wrong=_in_the_way(bend, short),
            expected=said(
                "{needed:.0f} mm from centreline to {box} in some order of bends, fed either way",
                needed=short.needed,
                box=short.box,
            ),
            fix=said(
                "clear {box} out of the way, change the leg that meets it, or make the part of two "
                "pieces with a sleeve",
                box=short.box,
            ),
        )
    return Finding(
        code="bend-cannot-be-clamped",
        where=where,
        wrong=said(
            "{bend}: {there:.1f} mm of straight {towards} on the held side, {lack:.1f} mm are lacking",
            bend=bend,
            there=short.needed - short.lack,
            towards=end_names[0],
            lack=short.lack,
        )
        if short.kind == "held"
        else said(
            "{bend}: {there:.1f} mm of straight {towards} on the swept side, {lack:.1f} mm are lacking",
            bend=bend,
            there=short.needed - short.lack,
            towards=end_names[1],
            lack=short.lack,
        ),
        expected=said(
            "{needed:g} mm for die {die} in some order of bends, fed either way", needed=short.needed, die=die.name
        ),
        fix=said(
            "make that straight {lack:.1f} mm longer, use a die that clamps shorter, or make the "
            "part of two pieces with a sleeve",
            lack=short.lack,
        ),
    )


def needs_two_cards(found: Finding) -> Finding:
    """The same finding where the piece as drawn and its mirror image could be bent, but not by one card."""
    return replace(
        found,
        wrong=said("{first}, if the piece as drawn and its mirror image are bent in one order", first=found.wrong),
        fix=said("make the mirrored copies a part of their own (it gets its own card), or clear the place"),
    )


def _bend(short: Shortfall) -> Said:
    """The bend that does not go, and which were made before it."""
    number, made = short.bend + 1, ", ".join(str(k + 1) for k in short.made)
    if not made:
        return said("bend {number}", number=number)
    if len(short.made) == 1:
        return said("bend {number} after bend {made}", number=number, made=made)
    return said("bend {number} after bends {made}", number=number, made=made)


def _in_the_way(bend: Said, short: Shortfall) -> Said:
    """Which side of the tube meets what stands round the bender, and by how much."""
    into = short.lack - short.needed
    if into > 0:
        if short.part == "held":
            return said(
                "{bend}: the held side of the tube runs {depth:.0f} mm into {box}", bend=bend, depth=into, box=short.box
            )
        return said(
            "{bend}: the swept side of the tube runs {depth:.0f} mm into {box}", bend=bend, depth=into, box=short.box
        )
    if short.part == "held":
        return said(
            "{bend}: the held side of the tube comes {lack:.0f} mm too near to {box}",
            bend=bend,
            lack=short.lack,
            box=short.box,
        )
    return said(
        "{bend}: the swept side of the tube comes {lack:.0f} mm too near to {box}",
        bend=bend,
        lack=short.lack,
        box=short.box,
    )


def law_is_guess(where: str, die: Die, law: SetAngleLaw, yield_mpa: float) -> Finding:
    """No test bend stands behind the set angles."""
    return Finding(
        code="die-law-is-a-guess",
        where=where,
        wrong=said(
            "die {die} has no test bends; finished = {a:.3f} x set - {b:.2f} degrees is a "
            "first guess for a yield of {strength:g} MPa, good to about 1 degree at 90",
            die=die.name,
            a=law.a,
            b=math.degrees(law.b_rad),
            strength=yield_mpa,
        ),
        expected=said("test bends: 3 angles (20, 60, 110 degrees), 2 of each"),
        fix=said("make the test bends before the batch is cut and write `set angle` into the workshop file"),
        severity=Severity.WARNING,
    )


def tight_radius(where: str, die: Die, outside: float) -> Finding:
    """The die is tighter than what is usual for hand-bent tube."""
    return Finding(
        code="bend-radius-tight",
        where=where,
        wrong=said(
            "die {die}: radius {radius:g} mm is {ratio:.2f} x the outside, {outside:g} mm",
            die=die.name,
            radius=die.radius,
            ratio=die.radius / outside,
            outside=outside,
        ),
        expected=said("{least:g} x the outside size or more for tube bent by hand without filling", least=TIGHT_RADIUS),
        fix=said("bend one piece, look at its inside for wrinkles and measure the flattening; if it is good, go on"),
        severity=Severity.WARNING,
    )
