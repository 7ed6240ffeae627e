"""The two examples worked out with their checks, shared by the tests of loads and checks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from handbarrow.design.reader import read_design
from handbarrow.findings import Finding
from handbarrow.job.build import build_job
from handbarrow.job.checks import checked as all_checks
from handbarrow.job.frame_values import Strength
from handbarrow.job.values import Job
from handbarrow.workshop.reader import read_workshop

EXAMPLES = Path(__file__).parents[1] / "examples"


def job_of(text: str, shop: str | None = None) -> Job:
    """A design as text, built in the ridge workshop."""
    source, findings = read_design(text, "design.yaml")
    assert source is not None, findings
    shop = shop or (EXAMPLES / "ridge-workshop.yaml").read_text()
    workshop, found, _ = read_workshop(shop, "shop.yaml")
    assert workshop is not None, found
    job, told = build_job(source, workshop, 1, with_cutting=False)
    assert job is not None, told
    return job


def text_of(name: str) -> str:
    """The text of an example."""
    return (EXAMPLES / f"{name}.yaml").read_text()


@cache
def example_job(name: str) -> Job:
    """An example as it stands."""
    return job_of(text_of(name))


@cache
def checked(name: str) -> tuple[Strength, tuple[Finding, ...]]:
    """An example with all its checks."""
    found, findings = all_checks(example_job(name))
    return found, tuple(findings)
