"""The cover: what the pack is for, its named results, mass and price, cautions, and what was not checked."""

from __future__ import annotations

from handbarrow.design.contacts import not_checked
from handbarrow.findings import Severity
from handbarrow.job.values import Job
from handbarrow.laws.units.shown import short_text
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.shown import batch, fixed, soft, title_of
from handbarrow.sheets.words import CAUTION_NAMES, CAUTIONS, NOT_CHECKED, WORDS

__all__ = ["cover", "cover_height"]

MOST_RESULTS = 12
"""Named results on the cover; all are in the job data."""
MOST_NAMED = 6
"""Parts named in one sentence."""


def cover(job: Job, date: str) -> Block:
    """Return the cover without its view."""
    shown = job.workshop.shown
    return {
        "name": soft(job.design.name),
        "subtitle": WORDS["cover_about"].format(units=batch(job), shop=job.workshop.name),
        "about": soft(job.design.about),
        "facts": [
            (WORDS["made_on"], date),
            (WORDS["revision_fact"], job.design.revision),
            (WORDS["design_digest"], soft(job.design.digest)),
            (WORDS["shop_digest"], soft(job.workshop.digest)),
            (WORDS["mass_one"], _mass_words(job)),
            (WORDS["price_batch"], _price_words(job)),
            (WORDS["warnings"], _warning_words(job)),
        ],
        "results": _results(job),
        "print": WORDS["units_read"].format(length=shown.length_name, mass=shown.mass_unit),
        "cautions": [(CAUTION_NAMES[key], said) for key, said in CAUTIONS.items()],
        "not_checked_lead": WORDS["not_checked_lead"],
        "not_checked": ", ".join([*NOT_CHECKED.values(), *_contacts(job)]) + ".",
    }


def _results(job: Job) -> list[tuple[str, str]]:
    """Named results; those that are no length between points are plain numbers whose unit only the design knows."""
    kinds, shown = {result.name: result.kind for result in job.design.results}, job.workshop.shown
    out = []
    for name, value in list(job.product.results.items())[:MOST_RESULTS]:
        if kinds.get(name) == "value":
            said = short_text(value)
            said = said if shown.length_unit == "mm" else WORDS["plain_value"].format(value=said)
        else:
            said = shown.length(value, with_unit=True)
        out.append((soft(name.replace("_", " ")), said))
    return out


def _contacts(job: Job) -> list[str]:
    """Say of which bought parts nobody checked that they touch what they are fixed to."""
    titles = [title_of(job, part) for part in not_checked(job.design)]
    if not titles:
        return []
    more = WORDS["and_more"].format(count=len(titles) - MOST_NAMED) if len(titles) > MOST_NAMED else ""
    return [WORDS["contacts"].format(parts=", ".join(titles[:MOST_NAMED]) + more)]


def cover_height(block: Block) -> float:
    """Height of the cover without its view [mm], reckoned on the safe side."""
    facts = 6.0 * max(len(block["facts"]) + 1, len(block["results"]) + 1)
    about = 2 + 5 * (1 + len(block["about"]) // 95) if block["about"] else 0
    name = 11 * (len(block["name"]) // 28)
    return 22 + name + about + facts + 72


def _mass_words(job: Job) -> str:
    if not job.masses:
        return WORDS["mass_unknown"]
    whole = job.masses[-1]
    mass = job.workshop.shown.mass(whole.mass_kg, with_unit=True)
    return WORDS["mass_partly"].format(mass=mass) if whole.missing else mass


def _price_words(job: Job) -> str:
    known = [line.price for line in job.materials if line.price is not None]
    if not known:
        return WORDS["price_unknown"]
    price = f"{fixed(sum(known), 2)} {job.workshop.currency}"
    return price if len(known) == len(job.materials) else WORDS["price_partly"].format(price=price)


def _warning_words(job: Job) -> str:
    count = sum(finding.severity is not Severity.NOTE for finding in job.findings)
    return WORDS["warnings_some"].format(count=count) if count else WORDS["warnings_none"]
