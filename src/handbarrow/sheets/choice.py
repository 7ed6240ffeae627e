"""Sheets for one part, one station or one assembly instead of the whole pack, and another paper or language."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, cast

from handbarrow.design.naming import nearest_names
from handbarrow.job.values import Job
from handbarrow.language import Words
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.codes import slug

__all__ = ["STATIONS", "TEMPLATES", "WHOLE", "Choice", "Chosen", "as_chosen", "wrong_choice"]

TEMPLATES = "templates"
STATIONS = (
    "lists", "saw", "shears", "folder", "bender", "mitre", "drill", "weld", "assembly", "jigs", "buying", "inspection",
    "sewing", TEMPLATES,
)  # fmt: skip
"""Stations whose sheets can be asked for. `lists`: parts and findings; `buying`: materials; `templates`: a book apart;
with a part also its own, however large."""

Make = Callable[[], Sequence[Block]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which sheets: all that is given must hold. Nothing given: the whole pack on the shop's paper in its language."""

    part: str = ""
    station: str = ""
    assembly: str = ""
    paper: str = ""
    language: str = ""

    @property
    def whole(self) -> bool:
        """Whether every sheet is wanted."""
        return not (self.part or self.station or self.assembly)

    @property
    def file(self) -> str:
        """Name of the file: `pack.pdf`, or `pack-part-drawbar.pdf` and the like."""
        given = [
            f"{kind}-{slug(name, 60)}" for kind in ("part", "assembly", "station") if (name := getattr(self, kind))
        ]
        return "-".join(["pack", *given, *(word.lower() for word in (self.paper, self.language) if word)]) + ".pdf"


WHOLE = Choice()
NO_SUCH = Words(
    "no such sheet",
    {
        "part": "there is no part {asked!r}; there is {names}",
        "assembly": "there is no assembly {asked!r}; there is {names}",
        "station": "there is no station {asked!r}; there is {names}",
    },
)


@dataclass(frozen=True, slots=True)
class Chosen:
    """A choice among the sheets of a job. `job` has the chosen parts only."""

    choice: Choice
    job: Job = field(init=False)
    whole_job: Job

    def __post_init__(self) -> None:
        wanted = tuple(
            part
            for part in self.whole_job.parts
            if self.choice.part in ("", part.id) and self.choice.assembly in ("", part.assembly)
        )
        object.__setattr__(self, "job", replace(self.whole_job, parts=wanted))

    def batch(self, station: str, make: Make) -> list[Block]:
        """Sheets of the whole batch: there are none for one part or one assembly."""
        return [] if self.choice.part or self.choice.assembly else self.parts(station, make)

    def parts(self, station: str, make: Make) -> list[Block]:
        """Sheets made from the chosen parts."""
        return list(make()) if self.choice.station in ("", station) else []

    def tagged(self, station: str, make: Make) -> list[Block]:
        """Sheets that say whose they are: an assembly's by `assembly`, a part's own by `part` or `code`."""
        blocks = self.parts(station, make)
        if not (self.choice.part or self.choice.assembly):
            return blocks
        out: list[Block] = []
        keep = False
        for block in blocks:
            if block.get("level", 1) == 1:
                keep = self._is_own(block)
                out += [block] if keep else []
            elif keep or self._is_own(block):
                out.append(block if out else _first(block))
        return out

    def _is_own(self, block: Block) -> bool:
        if block.get("part", block.get("code")) in {part.id for part in self.job.parts}:
            return True
        return not self.choice.part and block.get("assembly") == self.choice.assembly


def _first(block: Block) -> Block:
    """A block that went on after a sheet that was left out: it begins the sheet now."""
    own = {"title": block["own"], "own": ""} if block.get("own") and not block["title"] else {}
    return {**block, **own, "level": 1}


def wrong_choice(choice: Choice, job: Job) -> str:
    """Say what is wrong with a choice; empty if nothing is."""
    known = {
        "part": [part.id for part in job.parts],
        "assembly": list(dict.fromkeys(part.assembly for part in job.parts)),
        "station": list(STATIONS),
    }
    for kind, names in known.items():
        asked = getattr(choice, kind)
        if asked and asked not in names:
            return NO_SUCH[kind].format(asked=asked, names=nearest_names(asked, names))
    return ""


def as_chosen(job: Job, choice: Choice) -> Job:
    """Return the job with the paper and the language of a choice."""
    shop = job.workshop
    paper = cast('Literal["A4", "A3", "Letter"]', choice.paper or shop.paper)
    return replace(job, workshop=replace(shop, paper=paper, language=choice.language or shop.language))
