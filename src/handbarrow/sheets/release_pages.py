"""The sheets for a finished unit, in the pack and as a copy to fill in on a screen."""

from __future__ import annotations

from handbarrow.job.values import Job
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.care import care_page
from handbarrow.sheets.inspection import inspection_pages

__all__ = ["release_pages"]


def release_pages(job: Job) -> list[Block]:
    """Return final inspection, load test, test ride, and the owner's sheet."""
    return [*inspection_pages(job), care_page(job)]
