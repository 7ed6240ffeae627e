"""How parts, ends and holes are said on paper, in the units that the shop reads."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from handbarrow.job.values import EndCut, Job, JobHole, JobPart, MaterialLine
from handbarrow.language import spoken
from handbarrow.laws.units.shown import Shown, rounded_text, short_text
from handbarrow.laws.units.table import of_inside
from handbarrow.sheets.words import DRILLED, WORDS
from handbarrow.sheets.words_hardware import HOLES

__all__ = [
    "batch",
    "bought_words",
    "degrees",
    "end_words",
    "fixed",
    "head",
    "holes_words",
    "item_words",
    "named",
    "pieces",
    "soft",
    "title_of",
]

LONGEST_WORD = 16
"""Letters after which a word may be broken in a column."""


BREAK = "\u200b"
"""A place to break at, of no width."""


def head(key: str, unit: str) -> str:
    """The heading of a column with its unit, as `Mark (mm)`."""
    return f"{WORDS[key]} ({unit})"


def fixed(value: float, places: int = 1) -> str:
    """A number that is no length (degrees, money) in a column: always the same count of places.

    >>> fixed(413.45), fixed(100.0), fixed(0.125, 2)
    ('413.5', '100.0', '0.13')
    """
    return rounded_text(value, 10.0**-places)


def degrees(angle_rad: float) -> str:
    """An angle to 0.1 degree, without its sign for degrees.

    >>> degrees(math.pi / 2)
    '90'
    """
    return short_text(math.degrees(angle_rad))


def soft(text: str, longest: int = LONGEST_WORD) -> str:
    """Say a text; words of more than `longest` letters may break: designations must not run out of their column."""
    words = spoken(text).split(" ")
    return " ".join(word if len(word) <= longest else _breakable(word, longest) for word in words)


def _breakable(word: str, longest: int) -> str:
    for sign in "./_[":
        word = word.replace(sign, sign + BREAK)
    chunks = (c[i : i + longest] for c in word.split(BREAK) for i in range(0, len(c), longest))
    return BREAK.join(chunks)


def batch(job: Job) -> str:
    """As `8 units`."""
    return WORDS["batch_one"] if job.units == 1 else WORDS["batch"].format(units=job.units)


def named(part: JobPart) -> str:
    """Words and mark of a part; the mark alone is not repeated where it says the same."""
    same = part.id.replace("-", " ") == part.title.lower()
    return soft(part.title if same else f"{part.title} ({part.id})")


def title_of(job: Job, part_id: str) -> str:
    """Words for a part id; the id itself if there is no such part."""
    titles = {part.id: part.title for part in job.design.parts} | {part.id: part.title for part in job.parts}
    return titles.get(part_id, part_id)


def pieces(job: Job, part: JobPart) -> str:
    """Pieces of a part in the batch, the other hand counted apart where it is another piece."""
    count, mirrored = part.quantity * job.units, part.mirrored * job.units
    if mirrored and part.other_hand:
        return WORDS["pieces_hands"].format(plain=count - mirrored, mirrored=mirrored)
    return WORDS["pieces_plain"].format(count=count)


def end_words(job: Job, part: JobPart, end: str) -> str:
    """Say how an end is cut."""
    cut = part.start if end == "start" else part.end
    name = WORDS[f"end_{end}"]
    if cut is None:
        return ""
    if cut.kind == "square":
        return WORDS["end_square"].format(end=name)
    return "; ".join([_kind_words(job, cut, name), *_after_words(cut, job.workshop.shown)])


def _kind_words(job: Job, cut: EndCut, name: str) -> str:
    if cut.kind == "plane":
        return WORDS["end_plane"].format(end=name, angle=degrees(math.pi / 2 - cut.angle_rad))
    against = " + ".join(title_of(job, part) for part in cut.against) or WORDS["none"]
    if cut.kind == "double":
        return WORDS["end_double"].format(end=name, against=against)
    offset = ""
    if abs(cut.offset) >= 0.05:
        offset = WORDS["end_offset"].format(offset=job.workshop.shown.length(abs(cut.offset), with_unit=True))
    return WORDS["end_cope"].format(end=name, against=against, angle=degrees(cut.angle_rad), offset=offset)


def _after_words(cut: EndCut, shown: Shown) -> list[str]:
    out = []
    if cut.bevel_depth >= 0.05:
        out.append(WORDS["end_bevel"].format(bevel=shown.length(cut.bevel_depth, with_unit=True)))
    if not cut.checked:
        out.append(WORDS["end_unchecked"])
    return out


def holes_words(holes: Iterable[JobHole], shown: Shown, plate: bool = False) -> str:
    """Say holes and slots; those that differ only in where they are along the part are said once."""
    groups: dict[JobHole, list[str]] = {}
    for hole in holes:
        alike = replace(hole, x=0.0, y=0.0 if plate else hole.y)
        where = f"({shown.length(hole.x)}, {shown.length(hole.y)})" if plate else shown.length(hole.x)
        groups.setdefault(alike, []).append(where)
    return "; ".join(_hole_words(hole, ", ".join(places), shown, plate) for hole, places in groups.items())


def _hole_words(hole: JobHole, where: str, shown: Shown, plate: bool) -> str:
    slot, screw = hole.length > 0, ""
    if hole.screw:
        screw = HOLES["note_tapped" if hole.fit == "tapped" else "note_for"].format(screw=hole.screw)
    if hole.face == "middle":
        return HOLES["drilled_to"].format(hole=shown.length(hole.diameter, "fine"), screw=hole.screw)
    wide, long = shown.length(hole.diameter, "fine"), shown.length(hole.length, "fine")
    text = WORDS["slot" if slot else "hole"].format(diameter=wide, length=long, x=where) + screw
    if not plate:
        text += WORDS["hole_face"].format(face=DRILLED.get(hole.face, hole.face))
        text += WORDS["hole_across"].format(y=shown.length(hole.y)) if abs(hole.y) >= 0.05 else ""
        text += WORDS["hole_through"] if hole.through else ""
    if slot and abs(hole.angle_rad) > 1e-6:
        text += WORDS["hole_angle"].format(angle=degrees(hole.angle_rad))
    text += WORDS["hole_open"] if hole.open_edge else ""
    return text + (f" ({hole.note})" if hole.note else "")


def item_words(line: MaterialLine, shown: Shown) -> str:
    """Something to buy; a bar with its length."""
    if line.length is None:
        return spoken(line.item)
    return f"{line.item.rpartition(', ')[0]}, {shown.length(line.length, with_unit=True)}"


def bought_words(line: MaterialLine, shown: Shown) -> tuple[float, str]:
    """How much of something to buy, and in what."""
    if line.unit == "kg":
        return of_inside(line.quantity, shown.mass_unit), shown.mass_unit
    return line.quantity, line.unit
