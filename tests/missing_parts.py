"""A job without one of its parts, everything else the same."""

from __future__ import annotations

from dataclasses import replace

from handbarrow.design.values import Product
from handbarrow.job.values import Job


def without(job: Job, part_id: str) -> Job:
    """Return a job as if its design had never had a part."""
    parts = tuple(p for p in job.parts if p.id != part_id)
    placements = tuple(p for p in job.placements if p.part != part_id)
    bars = tuple(b for b in job.cutting.bars if all(piece.part != part_id for piece in b.pieces))
    uses = ((stop, tuple(use for use in stop.uses if use[0] != part_id)) for stop in job.stops)
    stops = tuple(replace(stop, uses=left) for stop, left in uses if left)
    cutting, product = replace(job.cutting, bars=bars), product_without(job.product, part_id)
    return replace(
        job, parts=parts, placements=placements, stops=stops, cutting=cutting, product=product, design=product.design
    )


def product_without(product: Product, part_id: str) -> Product:
    parts = tuple(
        replace(part, on=tuple(target for target in part.on if target.part != part_id))
        for part in product.design.parts
        if part.id != part_id
    )
    return replace(
        product,
        design=replace(product.design, parts=parts),
        members={name: member for name, member in product.members.items() if name != part_id},
        placements=tuple(p for p in product.placements if p.part != part_id),
        joints=tuple(joint for joint in product.joints if joint.part != part_id),
    )
