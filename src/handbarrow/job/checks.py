"""All checks of a job, family by family. What no family reckons stays in the list as "not checked"."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from handbarrow.design.values import Product
from handbarrow.findings import Finding
from handbarrow.job import clearance_checks, frame_mishaps, joint_checks, ride_checks, soft_checks, swivel, wheel_checks
from handbarrow.job.frame_checks import strength
from handbarrow.job.frame_values import Check, Strength, Subject
from handbarrow.job.remembered import remembered
from handbarrow.job.values import Job, JobPart
from handbarrow.workshop.values import Workshop

__all__ = ["FAMILIES", "Family", "checked"]

Family = Callable[[Subject], tuple[tuple[Check, ...], Sequence[Finding]]]
"""What is checked -> checks, and what a person must know of them."""

FAMILIES: tuple[Family, ...] = (
    frame_mishaps.checks, joint_checks.checks, clearance_checks.checks, wheel_checks.checks, swivel.checks,
    ride_checks.checks, soft_checks.checks,
)  # fmt: skip
"""Those besides the frame. A check named `welds` or `welds-...` takes the place of the "not checked" line `welds`."""


def checked(job: Job) -> tuple[Strength, list[Finding]]:
    """Return load cases, all checks, the worst place of each part; and what a person must know of them."""
    found, findings = _checked(job.product, job.workshop, job.parts)
    return found, list(findings)


@remembered
def _checked(product: Product, workshop: Workshop, parts: tuple[JobPart, ...]) -> tuple[Strength, tuple[Finding, ...]]:
    subject = Subject(product, workshop, parts)
    frame, said = strength(subject)
    told: list[Finding] = [*said]
    more: list[Check] = []
    for family in FAMILIES:
        checks, found = family(subject)
        more += checks
        told += found
    kept = [check for check in frame.checks if not (check.verdict == "not checked" and _taken(check.id, more))]
    return replace(frame, checks=(*kept, *more)), tuple(told)


def _taken(name: str, checks: Sequence[Check]) -> bool:
    return any(check.id == name or check.id.startswith(f"{name}-") for check in checks)
