"""How numbers, parts and ends are said on paper: one rule for all sheets and tables."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from handbarrow.drawings.model import rounded
from handbarrow.job.values import EndCut, Job, JobHole, JobPart
from handbarrow.sheets.words import WORDS

__all__ = ["batch", "degrees", "end_words", "fixed", "holes_words", "mm", "named", "pieces", "soft", "title_of"]

LONGEST_WORD = 16
"""Letters after which a word may be broken in a column."""


BREAK = "\u200b"
"""A place to break at, of no width."""


def mm(value: float) -> str:
    """A length in a sentence, to 0.1 mm, without needless zeros."""
    return rounded(value)


def fixed(value: float, places: int = 1) -> str:
    """A number in a column: same rounding, but always the same count of places.

    >>> fixed(413.45), fixed(100.0), fixed(0.125, 2)
    ('413.5', '100.0', '0.13')
    """
    return f"{float(rounded(value, places)):.{places}f}"


def degrees(angle_rad: float) -> str:
    """An angle to 0.1 degree, without its sign for degrees.

    >>> degrees(math.pi / 2)
    '90'
    """
    return rounded(math.degrees(angle_rad))


def soft(text: str, longest: int = LONGEST_WORD) -> str:
    """Let words of more than `longest` letters break: paths and designations must not run out of their column."""
    return " ".join(word if len(word) <= longest else _breakable(word, longest) for word in text.split(" "))


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
    return next((part.title for part in job.parts if part.id == part_id), part_id)


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
    return "; ".join([_kind_words(job, cut, name), *_after_words(cut)])


def _kind_words(job: Job, cut: EndCut, name: str) -> str:
    if cut.kind == "plane":
        return WORDS["end_plane"].format(end=name, angle=degrees(math.pi / 2 - cut.angle_rad))
    against = " + ".join(title_of(job, part) for part in cut.against) or WORDS["none"]
    if cut.kind == "double":
        return WORDS["end_double"].format(end=name, against=against)
    offset = WORDS["end_offset"].format(offset=mm(abs(cut.offset))) if abs(cut.offset) >= 0.05 else ""
    return WORDS["end_cope"].format(end=name, against=against, angle=degrees(cut.angle_rad), offset=offset)


def _after_words(cut: EndCut) -> list[str]:
    out = []
    if cut.bevel_depth >= 0.05:
        out.append(WORDS["end_bevel"].format(bevel=mm(cut.bevel_depth)))
    if not cut.checked:
        out.append(WORDS["end_unchecked"])
    return out


def holes_words(holes: Iterable[JobHole], plate: bool = False) -> str:
    """Say holes and slots; those that differ only in where they are along the part are said once."""
    groups: dict[JobHole, list[str]] = {}
    for hole in holes:
        alike = replace(hole, x=0.0, y=0.0 if plate else hole.y)
        where = f"({mm(hole.x)}, {mm(hole.y)})" if plate else mm(hole.x)
        groups.setdefault(alike, []).append(where)
    return "; ".join(_hole_words(hole, ", ".join(places), plate) for hole, places in groups.items())


def _hole_words(hole: JobHole, where: str, plate: bool) -> str:
    slot = hole.length > 0
    text = WORDS["slot" if slot else "hole"].format(diameter=mm(hole.diameter), length=mm(hole.length), x=where)
    if not plate:
        text += WORDS["hole_face"].format(face=hole.face)
        text += WORDS["hole_across"].format(y=mm(hole.y)) if abs(hole.y) >= 0.05 else ""
        text += WORDS["hole_through"] if hole.through else ""
    if slot and abs(hole.angle_rad) > 1e-6:
        text += WORDS["hole_angle"].format(angle=degrees(hole.angle_rad))
    text += WORDS["hole_open"] if hole.open_edge else ""
    return text + (f" ({hole.note})" if hole.note else "")
