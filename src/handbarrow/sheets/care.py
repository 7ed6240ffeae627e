"""Use and care: one sheet for the owner, in large type. It gives no number that was not computed or measured."""

from __future__ import annotations

from handbarrow.design.values import Bought
from handbarrow.job.values import Job
from handbarrow.sheets.blocks import Block, section
from handbarrow.sheets.release import wheels
from handbarrow.sheets.shown import soft
from handbarrow.sheets.words_release import CARE

__all__ = ["care_page"]

GROUPS = (
    ("before_pins", ("pin",)),
    ("before_straps", ("strap",)),
    ("before_seen", ("reflector", "lamp", "light", "bell", "brake")),
)
"""Bought parts named before each ride, by words of their names."""


def care_page(job: Job) -> Block:
    """Return the owner's sheet."""
    rolls = bool(wheels(job))
    named = [
        CARE[key].format(names=", ".join(names)) for key, signs in GROUPS if (names := _named(job, signs))
    ]  # fmt: skip
    comes_off = [a.name for a in job.design.assemblies if a.positions and a.within is None]
    if comes_off:
        named.append(CARE["before_moves"].format(names=", ".join(comes_off)))
    before = [*([CARE["before_tyres"], CARE["before_wheels"]] if rolls else []), *named, CARE["before_welds"]]
    straps = bool(_named(job, ("strap",)))
    groups = [
        (CARE["load"], [CARE["load_1" if rolls else "load_plain"], CARE["load_2"], CARE["load_3"]]),
        (CARE["before"], before),
        (CARE["way"], [CARE["way_1"], CARE["way_2"], CARE["way_3"]]),
        (
            CARE["later"],
            [CARE["later_1"], CARE["later_2"], CARE["later_3"], CARE["store" if rolls or straps else "store_plain"]],
        ),
    ]
    return {
        **section(CARE["title"], lead=CARE["for_owner"].format(name=soft(job.design.name)), code="+use-and-care"),
        "care": {
            "boxes": [
                {"label": CARE["serial"], "unit": "", "sub": ""},
                {"label": CARE["most"], "unit": job.workshop.show_mass, "sub": CARE["most_sub"]},
            ],
            "groups": [{"title": title, "lines": [soft(line, 24) for line in lines]} for title, lines in groups],
            "shop": CARE["shop"].format(shop=job.workshop.name, revision=job.design.revision),
        },
    }


def _named(job: Job, signs: tuple[str, ...]) -> list[str]:
    """Titles of bought parts whose name or item holds one of the words, each once."""
    out: dict[str, None] = {}
    for part in job.parts:
        shape = job.design.part(part.id).shape
        if isinstance(shape, Bought) and any(sign in f"{part.title} {part.stock}".lower().split() for sign in signs):
            out.setdefault(part.title)
    return list(out)
