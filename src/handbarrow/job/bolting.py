"""Bolts whose length follows from what they clamp: stack, washers, nut, thread that shows, what is bought."""

from __future__ import annotations

from typing import NamedTuple, cast

import numpy as np

from handbarrow.design.values import Bolted, Bought, Part
from handbarrow.findings import Finding
from handbarrow.job import bolt_findings as tell
from handbarrow.job.bolt_stack import Layer, Line, layers
from handbarrow.job.bolt_values import Clamped, Fastener, FastenerItem
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.values import JobPart
from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.hardware.bolts import BoltChoice, bolt_for
from handbarrow.laws.hardware.nuts import NUT_STANDARDS, bolt_mass_kg, nut_height, nut_mass_kg, washer_mass_kg
from handbarrow.laws.hardware.sizes import FastenerSize, clearance_hole, fastener_size
from handbarrow.workshop.values import Workshop

__all__ = ["bought_items", "fastener_of"]

NAMES = {"ISO 4014": "Hex bolt", "ISO 4017": "Hex screw"}
SAME_GRIP = 0.2
"""Grips of copies that differ by less are one [mm]."""
TOO_WIDE = 1.0
"""A hole may be so much wider than the coarse one before its washer covers too little [mm]: practice, no source."""


class _Stack(NamedTuple):
    """What one copy of a bolt goes through, from its head on, and the parts that it misses."""

    copy: int
    chain: tuple[Layer, ...]
    missed: tuple[tuple[str, float | None], ...]


def bought_items(part: JobPart) -> tuple[FastenerItem, ...]:
    """Return what is bought for one copy: the item, a wheel with its packing, a bolt with its washers and nut."""
    if part.fastener is not None:
        return part.fastener.items
    mass = (part.mass_kg or 0.0) / part.items
    return (FastenerItem(item=part.stock, standard=part.standard, count=part.items, mass_kg=mass), *part.beside)


def fastener_of(part: Part, scene: Scene, workshop: Workshop) -> tuple[Fastener | None, list[Finding]]:
    """Return the bolt of a part that says `bolted`, with its washers and nut; and findings.

    Args:
        part: The part.
        scene: The placed product.
        workshop: The shop, for masses in its price list.

    Returns:
        None where the design does not make clear what is clamped, or no standard length fits: a finding says which.
    """
    shape = cast(Bought, part.shape)
    bolted, size = cast(Bolted, shape.bolted), fastener_size(cast(Bolted, shape.bolted).thread)
    if size is None or shape.at is None:
        return None, []
    stacks = [_stack(part, bolted, scene, copy) for copy in scene.copies.get(part.id, [])]
    findings = [tell.misses(part, stack.copy, *one) for stack in stacks for one in stack.missed]
    if findings or not stacks:
        return None, findings[:1]
    grips = [_grip(stack.chain, bolted) for stack in stacks]
    if max(grips) - min(grips) > SAME_GRIP:
        findings.append(tell.grips_differ(part, min(grips), max(grips)))
    stack = stacks[max(range(len(grips)), key=grips.__getitem__)]
    findings += _holes(part, bolted, size, stack.chain)
    choice = _choice(bolted, size, stack.chain)
    if choice is None:
        return None, [*findings, tell.no_length(part, size, _grip(stack.chain, bolted))]
    return _made(bolted, size, choice, stack.chain, workshop), findings


def _stack(part: Part, bolted: Bolted, scene: Scene, copy: int) -> _Stack:
    """Follow the bolt's line from its place, both ways, as far as one part follows on the other."""
    shape = cast(Bought, part.shape)
    own = Line(np.add(cast(Vec3, shape.at), (0.0, 0.0, scene.product.lift)), np.asarray(shape.axis, float))
    line = own.moved(scene.transforms[(part.id, copy)])
    named = list(dict.fromkeys(target.part for target in bolted.through))
    found = sorted((layer for name in named for layer in layers(scene, name, line)), key=lambda one: one.start)
    room = bolted.bridges + 0.01
    groups: list[list[Layer]] = []
    for layer in found:
        if groups and layer.start - max(one.end for one in groups[-1]) <= room:
            groups[-1].append(layer)
        else:
            groups.append([layer])

    def away(group: list[Layer]) -> float:
        return max(group[0].start, -max(one.end for one in group), 0.0)

    chain = min(groups, key=away) if groups else []
    if chain and away(chain) > room:
        chain = []
    reached = {layer.piece.part for layer in chain}
    missed = tuple((name, _nearest(found, chain, name)) for name in named if name not in reached)
    return _Stack(copy, tuple(chain), missed)


def _nearest(found: list[Layer], chain: list[Layer], name: str) -> float | None:
    """How far a part lies from what the bolt clamps, along its line; None: it does not meet that line [mm]."""
    low, high = (chain[0].start, max(one.end for one in chain)) if chain else (0.0, 0.0)
    gaps = [max(low - one.end, one.start - high) for one in found if one.piece.part == name]
    return min(gaps, default=None)


def _grip(chain: tuple[Layer, ...], bolted: Bolted) -> float:
    """From face to face [mm]; a last part that has the thread is not clamped."""
    end = chain[-1].start if bolted.nut == "tapped" else max(layer.end for layer in chain)
    return round(end - chain[0].start + bolted.undrawn, 6)


def _choice(bolted: Bolted, size: FastenerSize, chain: tuple[Layer, ...]) -> BoltChoice | None:
    last = chain[-1]
    nut = last.end - last.start if bolted.nut == "tapped" else nut_height(size, bolted.nut)
    grip = max(_grip(chain, bolted), 0.0)
    return bolt_for(size, grip, washers=bolted.washers, nut=nut, fully_threaded=bolted.full_thread)


def _holes(part: Part, bolted: Bolted, size: FastenerSize, chain: tuple[Layer, ...]) -> list[Finding]:
    """What is wrong with the holes on the bolt's way."""
    out = []
    for number, layer in enumerate(chain, start=1):
        threaded = bolted.nut == "tapped" and number == len(chain)
        seat = layer.seat
        if seat is None:
            out.append(tell.no_hole(part, layer, size, tapped=threaded))
        elif threaded != (seat.fit == "tapped") or (threaded and seat.screw != size.name):
            out.append(tell.thread_there(part, layer, size, tapped=threaded))
        elif not threaded and seat.width < size.diameter - 1e-6:
            out.append(tell.narrow(part, layer, size))
        elif not threaded and not seat.through:
            out.append(tell.one_wall(part, layer))
        elif not seat.bore and seat.width > clearance_hole(size, "coarse") + TOO_WIDE:
            out.append(tell.wide(part, layer, size))
    return out


# ------------------------------------------------------------------------------------------------ what is bought
def _made(
    bolted: Bolted, size: FastenerSize, choice: BoltChoice, chain: tuple[Layer, ...], workshop: Workshop
) -> Fastener:
    clamped, end = [], chain[0].start
    for layer in chain:
        clamped.append(
            Clamped(part=layer.piece.part, thickness=layer.end - layer.start, before=max(layer.start - end, 0.0))
        )
        end = max(end, layer.end)
    return Fastener(
        thread=size.name,
        length=choice.length,
        grip=_grip(chain, bolted),
        undrawn=bolted.undrawn,
        clamped=tuple(clamped),
        washers=bolted.washers,
        washer=size.washer[2],
        nut=bolted.nut,
        nut_height=nut_height(size, bolted.nut),
        showing=choice.showing,
        items=tuple(_items(bolted, size, choice, workshop)),
        start=round(chain[0].start, 6),
    )


def _items(bolted: Bolted, size: FastenerSize, choice: BoltChoice, workshop: Workshop) -> list[FastenerItem]:
    bolt = f"{NAMES[choice.standard]} {choice.standard} {size.name}x{choice.length:g}"
    out: list[tuple[str, str, int, float]] = [(bolt, choice.standard, 1, bolt_mass_kg(size, choice.length))]
    if bolted.washers:
        out.append((f"Washer ISO 7089 {size.diameter:g}", "ISO 7089", bolted.washers, washer_mass_kg(size)))
    if bolted.nut != "tapped":
        name, standard = NUT_STANDARDS[bolted.nut]
        out.append((f"{name} {standard} {size.name}", standard, 1, nut_mass_kg(size, bolted.nut)))
    return [
        FastenerItem(item=item, standard=standard, count=count, mass_kg=_mass(item, workshop, mass))
        for item, standard, count, mass in out
    ]


def _mass(item: str, workshop: Workshop, reckoned: float) -> float:
    listed = workshop.prices.get(item)
    return reckoned if listed is None or listed.mass_kg is None else listed.mass_kg
