"""The sheets of the welding and the assembly stations of a job."""

from __future__ import annotations

from functools import cached_property

from handbarrow.drawings.fitup import Scenery, piece_solids
from handbarrow.job.fitup import fit_up, laid
from handbarrow.job.fitup_contacts import contacts
from handbarrow.job.fitup_values import Contact
from handbarrow.job.values import Job
from handbarrow.sheets.assembly import assembly_pages
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.fitup import fitup_pages
from handbarrow.sheets.hitch import hitch_pages
from handbarrow.sheets.weld_on import weld_on_pages

__all__ = ["Making"]


class Making:
    """What both stations share is worked out once, when it is first asked for."""

    def __init__(self, job: Job, across: float) -> None:
        """Keep the job and the room across a sheet [mm]."""
        self.job, self.across = job, across

    @cached_property
    def met(self) -> tuple[Contact, ...]:
        """What meets what."""
        return contacts(self.job.product, self.job.workshop)

    @cached_property
    def scenery(self) -> Scenery:
        """The solids of all pieces."""
        return piece_solids(self.job)

    def weld_pages(self) -> list[Block]:
        """Return the fit-up and weld sheets."""
        pages = fitup_pages(self.job, fit_up(self.job, self.met), self.scenery, self.across)
        return [*pages, *weld_on_pages(self.job)]

    def assembly_pages(self) -> list[Block]:
        """Return the assembly sheets and that of the hitch."""
        pages = assembly_pages(self.job, laid(self.job, self.met), self.met, self.scenery, self.across)
        return [*pages, *hitch_pages(self.job, self.scenery, self.across)]
