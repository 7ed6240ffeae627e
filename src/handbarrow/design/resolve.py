"""From a design to the product of one workshop: radii as made, wheels on the ground, joints found, results told."""

from __future__ import annotations

from collections.abc import Iterable

from handbarrow.design.contacts import contact_findings
from handbarrow.design.joints import find_joints
from handbarrow.design.measures import measure
from handbarrow.design.placing import Scene, position_findings, twin_copies
from handbarrow.design.values import Design, Product, RadiusRule, Run
from handbarrow.findings import Finding

__all__ = ["resolve", "results_only"]


def resolve(design: Design, radius_rule: RadiusRule) -> tuple[Product | None, list[Finding]]:
    """Resolve a design for one workshop.

    Args:
        design: The design, its formulas evaluated.
        radius_rule: What radius the shop's dies make.

    Returns:
        The product in product axes, and all findings. No product if a run has no centreline or a part no stock;
        with other errors there is one, so that more can be checked, but nothing is to be made from it.
    """
    scene = Scene(design, radius_rule)
    runs = {part.id: scene.member(part.id) for part in design.parts if isinstance(part.shape, Run)}
    members = {name: member for name, member in runs.items() if member is not None}
    joints, found = find_joints(scene, members)
    results, told = measure(scene, design.results)
    findings = scene.findings + position_findings(design) + twin_copies(scene) + found
    findings += contact_findings(scene, joints) + told
    if len(members) < len(runs) or any(f.code == "stock-of-wrong-kind" for f in findings):
        return None, findings
    product = Product(
        design=design,
        lift=scene.lift,
        members=members,
        placements=scene.placements(),
        joints=joints,
        results=results,
    )
    return product, findings


def results_only(design: Design, radius_rule: RadiusRule, names: Iterable[str]) -> dict[str, float]:
    """Return some named results, building no more than they need. One that cannot be told is left out.

    Args:
        design: The design, its formulas evaluated.
        radius_rule: What radius the shop's dies make.
        names: Names of results.
    """
    wanted = set(names)
    values, _ = measure(Scene(design, radius_rule), [r for r in design.results if r.name in wanted])
    return values
