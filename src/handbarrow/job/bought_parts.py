"""Bought parts of a job: their masses, bolts that find their length, nuts that are drilled out."""

from __future__ import annotations

import re

from handbarrow.design.values import Bought, Part
from handbarrow.findings import Finding, Severity
from handbarrow.job.bolting import fastener_of
from handbarrow.job.masses import own_centre
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.values import JobHole, JobPart
from handbarrow.job.wheel_fit import packing_items, wheel_fit
from handbarrow.language import said
from handbarrow.laws.hardware.sizes import fastener_size
from handbarrow.workshop.values import Workshop

__all__ = ["bought_part"]

THREAD = re.compile(r"\bM([0-9]{1,2})\b")
LEAST_WALL = 1.5
"""What must be left of a nut between its flats and the hole that it is drilled to [mm]: common practice, no source."""


def bought_part(part: Part, shape: Bought, scene: Scene, workshop: Workshop) -> tuple[JobPart, list[Finding]]:
    """Return a bought part with all that is known of it, and findings."""
    fastener, findings = fastener_of(part, scene, workshop) if shape.bolted else (None, [])
    item = fastener.items[0].item if fastener else shape.item
    listed = workshop.prices.get(item)
    mass = shape.mass_kg
    if mass is None and fastener is not None:
        mass = sum(one.mass_kg * one.count for one in fastener.items)
    elif mass is None and listed is not None:
        mass = listed.mass_kg
    if mass is None and shape.bolted is None:
        findings.append(_no_mass(part, item))
    holes, found = _drilled_out(part, shape)
    made = JobPart(
        id=part.id,
        title=part.title,
        kind="bought",
        assembly=part.assembly,
        quantity=len(part.copies),
        mirrored=sum(copy.mirrored for copy in part.copies),
        other_hand=False,
        stock=item,
        mass_kg=None if mass is None else mass * shape.count,
        centre_of_mass=own_centre(part, scene.product),
        items=shape.count,
        standard=fastener.items[0].standard if fastener else shape.standard,
        note=part.note,
        holes=holes,
        fastener=fastener,
        beside=() if shape.wheel is None else packing_items(wheel_fit(part, scene, workshop)),
    )
    return made, [*findings, *found]


def _no_mass(part: Part, item: str) -> Finding:
    return Finding(
        code="mass-missing",
        where=part.path,
        wrong=said("no mass is known for {item}", item=item),
        expected=said("a mass in the design, or in the workshop's price list"),
        fix=said("weigh one and write `mass: ... kg`; until then the mass sums leave it out and say so"),
        severity=Severity.NOTE,
    )


def _drilled_out(part: Part, shape: Bought) -> tuple[tuple[JobHole, ...], list[Finding]]:
    """The hole of a nut that is drilled out; a finding if nothing would be left of the nut, or nothing is drilled."""
    if not shape.drilled_for:
        return (), []
    hole = JobHole(
        x=0.0, y=0.0, face="middle", diameter=shape.drilled, through=True, screw=shape.drilled_for, fit="fine"
    )
    named = THREAD.search(shape.item)
    nut = fastener_size(f"M{named[1]}") if named else None
    if nut is None:
        wrong = said("the name {item} does not say which thread the nut has", item=shape.item)
    elif nut.diameter > shape.drilled or (nut.flats - shape.drilled) / 2 < LEAST_WALL:
        wrong = said("{item} cannot be drilled to {hole:g} mm", item=shape.item, hole=shape.drilled)
    else:
        return (hole,), []
    return (hole,), [
        Finding(
            code="nut-not-to-be-drilled",
            where=f"{part.path}.drilled out",
            wrong=wrong,
            expected=said(
                "a nut whose thread is narrower than the hole, with {wall:g} mm of wall left at its flats",
                wall=LEAST_WALL,
            ),
            fix=said("name the nut with its thread, as `Hex nut ISO 4032 M10`, and one that fits the bolt"),
            severity=Severity.WARNING,
        )
    ]
