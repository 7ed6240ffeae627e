"""The cover: what the pack is for, its named results, mass and price, cautions, and what was not checked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from handbarrow.design.contacts import not_checked
from handbarrow.drawings.widths import broken, text_width
from handbarrow.findings import Severity
from handbarrow.job.checks import checked
from handbarrow.job.frame_values import Strength
from handbarrow.job.values import Job
from handbarrow.language import spoken
from handbarrow.laws.units.shown import short_text
from handbarrow.sheets.blocks import Block
from handbarrow.sheets.shown import batch, fixed, soft, title_of
from handbarrow.sheets.signs import CAUTION_SIGNS
from handbarrow.sheets.words import CAUTION_NAMES, CAUTIONS, NOT_CHECKED, WORDS

__all__ = ["cover", "cover_height"]

MOST_RESULTS = 12
"""Named results on the cover; all are in the job data."""
COVERED: Mapping[str, tuple[str, ...]] = {
    "tubes": ("stress-",), "welds": ("welds-",), "fatigue": ("fatigue-",), "wheels": ("tyre-load-", "ride-wheel-"),
    "balance": ("tipping-",), "brakes": ("braking-",),
}  # fmt: skip
"""What the cover calls not checked, and the checks that take it off the list: how their names begin."""
MOST_NAMED = 6
"""Parts named in one sentence."""
ACROSS, SIGN, EM, LINE = 184.0, 8.5, 3.53, 4.5
"""Room across the sheet; side of a sign of a caution, em of its words and height of a line, as in pack.typ [mm]."""


def cover(job: Job, date: str) -> Block:
    """Return the cover without its view."""
    shown, (found, _) = job.workshop.shown, checked(job)
    made = any(one.id.startswith(COVERED["tubes"]) and one.verdict != "not checked" for one in found.checks)
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
            *_check_facts(found),
        ],
        "results": _results(job),
        "print": WORDS["units_read"].format(length=spoken(shown.length_name), mass=shown.mass_unit),
        "cautions": [(CAUTION_SIGNS[key], CAUTION_NAMES[key], said) for key, said in CAUTIONS.items()],
        "not_checked_lead": WORDS["not_proven_lead" if made else "not_checked_lead"],
        "not_checked": ", ".join([*_left_out(found), *_contacts(job)]) + ".",
    }


def _check_facts(found: Strength) -> list[tuple[str, str]]:
    """How many checks fail, are doubtful, hold; nothing where none was made."""
    count = Counter(check.verdict for check in found.checks)
    if not count["fails"] + count["doubtful"] + count["holds"]:
        return []
    words = WORDS["checks_made"].format(fails=count["fails"], doubtful=count["doubtful"], holds=count["holds"])
    return [(WORDS["checks_fact"], words)]


def _left_out(found: Strength) -> list[str]:
    """What no check of this job covers, and the checks that could not be made."""
    made = [check.id for check in found.checks if check.verdict != "not checked"]
    taken = {key for key, begins in COVERED.items() if any(name.startswith(begins) for name in made)}
    if "brakes" not in taken:
        taken.add("heat")  # said by the line on brakes
    out = [words for key, words in NOT_CHECKED.items() if key not in taken]
    if "tubes" not in taken:
        return out
    return [*out, *(spoken(check.title) for check in found.checks if check.verdict == "not checked")]


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
    facts = 5.0 * max(len(block["facts"]) + 1, len(block["results"]) + 1)
    about = 2 + 5 * (1 + len(block["about"]) // 95) if block["about"] else 0
    name = 11 * (len(block["name"]) // 28)
    return 22 + name + about + facts + 36 + _caution_height(block["cautions"])


def _caution_height(rows: Sequence[tuple[Sequence[str], str, str]]) -> float:
    """Height of the cautions [mm]: each at least as high as its signs."""
    signs = max(SIGN / 9 * (10 * len(names) - 1) for names, _, _ in rows)
    room = ACROSS - 12.0 - signs - max(text_width(name, EM, bold=True) for _, name, _ in rows)
    return sum(1.0 + max(SIGN, LINE * len(broken(said, 0.95 * room, EM))) for _, _, said in rows)


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
