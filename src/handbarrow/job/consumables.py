"""What the batch uses up, reckoned from its welds, cuts and surfaces: estimates, each with its rule."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from handbarrow.design.values import Product
from handbarrow.job.fitup import THROAT, wall_of
from handbarrow.job.fitup_contacts import contacts
from handbarrow.job.fitup_sits import welded_sits
from handbarrow.job.masses import mean_cut
from handbarrow.job.values import CuttingPlan, JobPart, MaterialLine
from handbarrow.language import Said, said
from handbarrow.laws.geometry.polygon import area_and_centroid, rounded
from handbarrow.laws.geometry.section_properties import STEEL_DENSITY_KG_MM3, area, girth
from handbarrow.laws.hardware.consumables import (
    DEPOSITION,
    PAINT_LOSS,
    electrodes_needed,
    fillet_metal_kg,
    paint_litres,
    wire_needed_kg,
)
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.workshop.values import Workshop

__all__ = ["Welds", "consumables", "outer_surface", "used_line", "welds_of"]


class Welds(NamedTuple):
    """The welds of one unit: length [mm], weld metal [kg], how many there are, and how many have no length."""

    length: float
    metal_kg: float
    joints: int
    unknown: int


def consumables(
    product: Product, parts: tuple[JobPart, ...], plan: CuttingPlan, workshop: Workshop, units: int
) -> tuple[MaterialLine, ...]:
    """Return what a batch uses up, as far as the workshop says how it welds, paints, cuts and greases.

    Args:
        product: The placed product.
        parts: Its parts.
        plan: How the bars are cut.
        workshop: The shop.
        units: How many units.
    """
    used = workshop.consumables
    out: list[MaterialLine] = []
    if used.welding is not None:
        out += _welding(welds_of(product, parts, workshop), workshop, units)
    if used.paint is not None:
        out += _paint(parts, workshop, units)
    if used.discs is not None:
        out += _discs(parts, plan, workshop)
    if used.grease is not None:
        out += _grease(product, parts, workshop, units)
    return tuple(out)


def used_line(item: str, need: float, unit: str, rule: Said, workshop: Workshop) -> MaterialLine:
    """Return a line, rounded up to whole packs where the price list says what one holds, else to whole pieces."""
    listed = workshop.prices.get(item)
    pack = listed.pack if listed is not None else None
    quantity = math.ceil(need - 1e-9) if unit == "piece" else need
    price = None if listed is None else listed.price * quantity
    if pack is not None:
        packs = math.ceil(need / pack - 1e-9)
        quantity, price = packs * pack, listed.price * packs if listed is not None else None
    return MaterialLine(
        item=item,
        quantity=quantity,
        unit=unit,
        mass_kg=quantity if unit == "kg" else None,
        price=price,
        supplier=listed.supplier if listed is not None else "",
        kind="consumable",
        needed=need,
        rule=rule,
    )


# ------------------------------------------------------------------------------------------------ welds
def welds_of(product: Product, parts: tuple[JobPart, ...], workshop: Workshop) -> Welds:
    """Return the welds of one unit, as fit-up has them: every two pieces of an assembly that meet and are not loose."""
    by_id = {part.id: part for part in parts}
    length, metal, count, unknown = 0.0, 0.0, 0, 0
    for contact, sits in welded_sits(product, workshop, parts).items():
        count += 1
        if sits.length is None:
            unknown += 1
            continue
        runs = sits.length * (2 if sits.both_sides else 1)
        throat = THROAT * min(wall_of(by_id[contact.piece.part]), wall_of(by_id[contact.to.part]))
        length += runs
        metal += fillet_metal_kg(math.sqrt(2) * throat, runs)
    return Welds(length, metal, count, unknown)


def _welding(welds: Welds, workshop: Workshop, units: int) -> Iterator[MaterialLine]:
    how = workshop.consumables.welding
    if how is None or not welds.joints:
        return
    metal, metres = welds.metal_kg * units, welds.length * units / 1000
    rule = said(
        "estimate: {metres:.1f} m of fillet, throat 0.7 x the thinner wall, 15 % over; {by}; {count} crossings without "
        "a length left out (a filler maker's sheet, read; the 15 % assumed)",
        metres=metres,
        by=how.by,
        count=welds.unknown * units,
    )
    if how.electrode:
        need = electrodes_needed(metal, how.electrode, how.length)
        yield used_line(how.item, need.count, "piece", rule, workshop)
        return
    yield used_line(how.item, wire_needed_kg(metal, DEPOSITION[how.by]), "kg", rule, workshop)
    if how.gas and how.speed:
        minutes = welds.length * units / how.speed
        flows = said(
            "estimate: {minutes:.0f} min of arc at {speed:g} mm a minute, {litres:g} l a minute (arc time alone)",
            minutes=minutes,
            speed=how.speed,
            litres=how.gas_per_minute,
        )
        yield used_line(how.gas, minutes * how.gas_per_minute, "l", flows, workshop)


# ------------------------------------------------------------------------------------------------ paint
def outer_surface(part: JobPart) -> float | None:
    """Return what of one piece is painted [mm2]: its outside, edges and both faces; None: its shape is not known."""
    if part.section is not None and part.cut_length is not None:
        cuts = [cut for cut in (part.start, part.end) if cut is not None]
        length = part.cut_length - sum(mean_cut(cut) - cut.shortest for cut in cuts)
        return girth(part.section) * length
    if part.outline and part.thickness is not None:
        ring = rounded(part.outline, part.corner_radius)
        holes = sum(math.pi / 4 * hole.diameter**2 for hole in part.holes if not hole.length)
        edge = sum(math.dist(a, b) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True))
        return 2 * (abs(area_and_centroid(ring)[0]) - holes) + edge * part.thickness
    if part.kind != "bought" and part.thickness is not None and part.mass_kg is not None:
        return 2 * part.mass_kg / (STEEL_DENSITY_KG_MM3 * part.thickness)
    return None


def _paint(parts: Sequence[JobPart], workshop: Workshop, units: int) -> Iterator[MaterialLine]:
    paint = workshop.consumables.paint
    surface = units * sum((outer_surface(part) or 0.0) * part.quantity for part in parts)
    if paint is None or not surface:
        return
    loss = PAINT_LOSS[paint.by][1]
    rule = said(
        "estimate: {area:.2f} m2, coats: {coats}, {dry:g} micrometres dry each, {loss:.0f} % lost by {by} (paint "
        "makers' sheets, read)",
        area=surface / 1e6,
        coats=paint.coats,
        dry=paint.dry * 1000,
        loss=100 * loss,
        by=paint.by,
    )
    litres = paint_litres(surface, paint.coats, paint.solids, paint.dry * 1000, loss)
    yield used_line(paint.item, litres, "l", rule, workshop)


# ------------------------------------------------------------------------------------------------ discs, grease
def _discs(parts: Sequence[JobPart], plan: CuttingPlan, workshop: Workshop) -> Iterator[MaterialLine]:
    """Discs by the metal that they go through: each piece has one cut, each new bar the one that trims it."""
    discs = workshop.consumables.discs
    stock = parse_stock(discs.of) if discs is not None else None
    if discs is None or not isinstance(stock, Stock) or stock.section is None:
        return
    sections = {part.stock: part.section for part in parts if part.section is not None}
    cut = 0.0
    for bar in plan.bars:
        section = sections.get(bar.stock)
        if section is not None:
            cut += bar.count * (len(bar.pieces) + 1) * area(section)
    if not cut:
        return
    rule = said(
        "estimate: {cm2:.0f} cm2 of steel cut through; one disc does {cuts:g} cuts of {of} (the shop's count); "
        "mitres and grinding left out",
        cm2=cut / 100,
        cuts=discs.cuts,
        of=discs.of,
    )
    yield used_line(discs.item, cut / (discs.cuts * area(stock.section)), "piece", rule, workshop)


def _grease(product: Product, parts: Sequence[JobPart], workshop: Workshop, units: int) -> Iterator[MaterialLine]:
    """Grease for what turns: a piece round another, a nut that is drilled out."""
    grease = workshop.consumables.grease
    sleeves = sum(contact.joined == "sleeve" for contact in contacts(product, workshop))
    drilled = sum(part.quantity * part.items for part in parts if part.kind == "bought" and part.holes)
    places = (sleeves + drilled) * units
    if grease is None or not places:
        return
    rule = said("estimate: {count} places that turn (the shop's own amount for each)", count=places)
    yield used_line(grease.item, places * grease.each_kg, "kg", rule, workshop)
