"""From files that were read to a job whose findings have their places."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Literal, Protocol

from handbarrow.design.find import Source
from handbarrow.findings import Finding, Place, errors, told_once, with_places
from handbarrow.job.build import build_job
from handbarrow.job.values import Job
from handbarrow.workshop.values import Workshop

__all__ = ["PlacedSource", "ReadShop", "work_out"]

WORKSHOP_ONLY = (
    "name", "currency", "paper", "language", "show", "dies", "bender", "formers", "saw", "limits", "prices",
    "consumables", "packing washers", "sewing",
)  # fmt: skip


class PlacedSource(Source, Protocol):
    """A design as read, with the place of every path in its file."""

    @property
    def places(self) -> Mapping[str, Place]:
        """File, line and column by path."""


class ReadShop(Protocol):
    """A workshop as read: the shop (None if an error stands against it), its findings, the place of every path."""

    @property
    def shop(self) -> Workshop | None:
        """The shop."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Of reading it."""

    @property
    def places(self) -> Mapping[str, Place]:
        """File, line and column by path."""


def work_out(
    source: PlacedSource | None,
    read: ReadShop,
    findings: Iterable[Finding],
    units: int,
    *,
    choice: Literal["exact", "kit"] = "exact",
    with_cutting: bool = True,
    with_checks: bool = False,
    meanwhile: Callable[[Job], object] | None = None,
) -> tuple[Job | None, list[Finding]]:
    """Work the job out from files that were read.

    Args:
        source: The design file as read; None if it could not be.
        read: The workshop file as read.
        findings: Those of reading the design.
        units: Units of the batch.
        choice: Cutting plans of least cost, or one repeated set of bars.
        with_cutting: Whether to plan the cutting; without it, materials hold no bars.
        with_checks: Whether to make the checks too; what stands in the way of that is among the findings then.
        meanwhile: Told of the job before it is checked, which takes a while; its findings are not all yet.

    Returns:
        The job, None if a finding of weight `error` stands against it; and all findings with their places.
    """
    earlier = [*findings, *read.findings]
    if source is None or read.shop is None or errors(earlier):
        return None, earlier
    job, found = build_job(source, read.shop, units, choice=choice, with_cutting=with_cutting)
    if with_checks and job is not None:
        if meanwhile:
            meanwhile(job)
        found = [*found, *check_findings(job)]
        job = None if errors(found) else job
    told = told_once(earlier, _placed(found, source, read.places))
    return (None if job is None else replace(job, findings=tuple(told))), told


def check_findings(job: Job) -> list[Finding]:
    """Return what a person must know of the checks; imported only where they are wanted."""
    from handbarrow.job.checks import checked

    return checked(job)[1]


def _placed(findings: Iterable[Finding], source: PlacedSource, shop_places: Mapping[str, Place]) -> list[Finding]:
    """Give findings of the pure rooms their places: those about the shop in its file, the rest in the design."""

    def about_shop(finding: Finding) -> bool:
        head = finding.where.split(".")[0].split("[")[0]
        if head == "stock":
            return finding.where not in source.places
        return head in WORKSHOP_ONLY and finding.where not in source.places

    out: list[Finding] = []
    for finding in findings:
        if finding.where == "units":
            out.append(finding)
        else:
            out += with_places([finding], shop_places if about_shop(finding) else source.places)
    return out
