"""(design, workshop, units) -> the job. Pure: the same input gives the same job on any machine, at any hour."""

from __future__ import annotations

from typing import Literal

from handbarrow.design.find import Source, solve
from handbarrow.design.values import Product
from handbarrow.findings import Finding, Severity, errors, told_once
from handbarrow.job.bends import bend_cards, radius_rule, stop_list
from handbarrow.job.consumables import consumables
from handbarrow.job.cutting import plan_cutting
from handbarrow.job.masses import sums
from handbarrow.job.materials import materials, total_price
from handbarrow.job.mitres import end_cuts
from handbarrow.job.parts import build_parts
from handbarrow.job.values import CuttingPlan, Job, MaterialLine
from handbarrow.language import said
from handbarrow.workshop.consumable_values import NOTHING_USED
from handbarrow.workshop.values import Workshop

__all__ = ["MOST_UNITS", "build_job", "build_product"]

MOST_UNITS = 10_000
"""More units than any small workshop makes in one batch."""
NO_DIE = ("bend-radius-has-no-die", "bend-angle-too-large", "die-needs-test-bends")
"""Why no die makes a bend. The design knows only the first; bend cards say which it is, and what the dies make."""


def build_product(source: Source, workshop: Workshop) -> tuple[Product | None, list[Finding]]:
    """Return the design placed for this shop, its `find` sizes found, and what is wrong with it."""
    _, product, findings = solve(source, radius_rule(workshop))
    return product, findings


def build_job(
    source: Source,
    workshop: Workshop,
    units: int,
    *,
    choice: Literal["exact", "kit"] = "exact",
    with_cutting: bool = True,
) -> tuple[Job | None, list[Finding]]:
    """Compute everything that the shop needs for a number of units.

    Args:
        source: The design file as read.
        workshop: The shop.
        units: How many units, 1 to `MOST_UNITS`.
        choice: Cutting plans of least cost (`exact`), or one repeated set of bars (`kit`).
        with_cutting: Whether to plan the cutting of bars; without it, materials hold no bars and nothing used up.

    Returns:
        The job, None if a finding of weight `error` stands against it; and all findings. Paths of findings from the
        workshop begin with its own keys (`stock`, `dies`, `prices`, ...).
    """
    if not 1 <= units <= MOST_UNITS:
        return None, [_bad_units(units)]
    product, findings = build_product(source, workshop)
    if product is None:
        return None, findings
    cuts, found = end_cuts(product, workshop)
    findings += found
    cards, found = bend_cards(product, workshop, cuts)
    if any(f.code in NO_DIE for f in found):
        findings = [f for f in findings if f.code != NO_DIE[0]]
    findings = told_once(findings, found)
    parts, found = build_parts(product, workshop, cuts, cards)
    findings += found
    plan = CuttingPlan(bars=(), bounds=(), rack_after=(), kerf=workshop.saw.kerf, trim=workshop.saw.end_trim)
    if with_cutting and not errors(findings):
        plan, found = plan_cutting(parts, workshop, units, choice=choice)
        findings += found
    used_up: tuple[MaterialLine, ...] = ()
    if with_cutting and not errors(findings) and workshop.consumables != NOTHING_USED:
        used_up = consumables(product, parts, plan, workshop, units)
    lines, found = materials(parts, plan, workshop, units, used_up)
    findings += found
    if errors(findings):
        return None, findings
    quantities = {p.id: p.quantity * units for p in parts}
    job = Job(
        design=product.design,
        workshop=workshop,
        product=product,
        units=units,
        sizes=product.design.sizes,
        parts=parts,
        placements=product.placements,
        cutting=plan,
        stops=stop_list(cards, quantities, workshop),
        materials=lines,
        masses=sums(parts, product),
        price=total_price(lines),
        findings=tuple(findings),
    )
    return job, findings


def _bad_units(units: int) -> Finding:
    return Finding(
        code="units-out-of-range",
        where="units",
        wrong=said("{units} units asked for", units=units),
        expected=said("a whole number from 1 to {most}", most=MOST_UNITS),
        fix=said("give the number of units of this batch with `--units`"),
        severity=Severity.ERROR,
    )
