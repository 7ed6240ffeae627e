"""Drill and slot sheets: plates and bars at true size, several to a sheet; holes in tubes as rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from handbarrow.drawings.blanks import FLAT_KINDS
from handbarrow.drawings.drilled import is_drilled_bar
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.widths import broken
from handbarrow.job.values import Job, JobHole, JobPart
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks
from handbarrow.sheets.filling import Item, filled
from handbarrow.sheets.shown import head, named, pieces, soft
from handbarrow.sheets.signs import CAUTION_SIGNS, with_signs
from handbarrow.sheets.words import WORDS
from handbarrow.sheets.words_hardware import HOLES

__all__ = ["counted_openings", "drill_keys", "drill_pages", "drill_rows", "on_sheet"]

NAME_EM, NAME_LINE = 4.23, 5.4
"""Letter size of a part's name above its drawing (12 pt) and the height of its lines [mm]."""
LINE_EM, LINE = 3.18, 4.4
"""Letter size of a caption (9 pt) and the height of its lines [mm], as in pack.typ."""
TICK_ROW, TICK = 5.6, 5.0
"""Height of the row of boxes to tick and the pitch of boxes [mm]."""
LEAST_WIDTH = 58.0
"""A caption needs this much [mm]."""

Faces = Callable[[str, float], Sequence[Drawing]]


def drill_keys(job: Job) -> list[str]:
    """Parts that are drawn to be drilled: plates, and bars with holes."""
    return [part.id for part in job.parts if part.kind in FLAT_KINDS or is_drilled_bar(part)]


def on_sheet(job: Job, part: JobPart, drawn: Sequence[Drawing], width: float, height: float) -> list[Item] | None:
    """Return a part's drawings with their captions; None: one of them is too large for the room on a sheet [mm]."""
    items = list(_items(job, part, drawn, width))
    fits = all(one.width <= width for one in drawn) and all(item.height <= height for item in items)
    return items if fits else None


def _lead(large: Sequence[str]) -> str:
    """How to use the sheets, said once, and which parts are not on them."""
    return WORDS["drilling_lead"] + (" " + WORDS["drill_large"].format(parts=", ".join(large)) if large else "")


def drill_pages(job: Job, drawings: Faces, width: float, first: float, other: float) -> list[Block]:
    """Lay plates and bars on sheets, tall ones first; plates that are too large are named on the first sheet.

    Args:
        job: The job.
        drawings: Part id, width -> its drawings at true size, one for a plate.
        width: Room across [mm].
        first: Room down on the first sheet, which has a heading [mm].
        other: Room down on the other sheets [mm].
    """
    items: list[Item] = []
    large: list[str] = []
    for part_id in drill_keys(job):
        part = job.part(part_id)
        found = on_sheet(job, part, drawings(part_id, width), width, other)
        items += found or []
        large += [part.title] if found is None and part.kind in FLAT_KINDS else []
    items.sort(key=lambda item: -item.height)
    out: list[Block] = []
    while items or (large and not out):
        room = other if out else first
        taken, items = filled(items, width, room)
        out.append({"first": not out, "height": room, "wraps": taken, "code": "+drilling"})
    if out:
        out[0] |= {"title": WORDS["drilling"], "lead": _lead(large), "caution": _caution()}
    return out


def _caution() -> Block:
    return with_signs(WORDS["drilling_caution"], *CAUTION_SIGNS["drilling"])


def _items(job: Job, part: JobPart, drawn: Sequence[Drawing], width: float) -> Iterator[Item]:
    """A part's drawings, each with its caption; the boxes to tick stand by the first."""
    count = part.quantity * job.units
    for number, drawing in enumerate(drawn):
        across = min(width, max(drawing.width, LEAST_WIDTH))
        names = broken(part.title, across, NAME_EM, bold=True)
        lines = [piece for line in _caption(job, part) for piece in broken(line, across, LINE_EM)]
        boxes = count if number == 0 and count <= int(across / TICK) else 0
        tally = number == 0 and not boxes
        caption = NAME_LINE * len(names) + LINE * len(lines) + (TICK_ROW if number == 0 else 0.0) + 1.0
        block: Block = {
            "w": across,
            "caption_h": caption,
            "names": names,
            "lines": lines,
            "ticks": boxes,
            "tally": WORDS["drill_tally"] if tally else "",
            "drawing": picture(drawing),
            "turned": False,
            "clip_x": 0.0,
            "clip_w": 0.0,
        }
        yield Item(width=across, height=drawing.height + caption, block=block)


def counted_openings(holes: Sequence[JobHole], shown: Shown) -> str:
    """Say how many holes of which size, without their places: those are drawn."""
    counted = Counter(opening_words(hole, shown) for hole in holes)
    return ", ".join(f"{count} × {words}" for words, count in counted.items())


def opening_words(hole: JobHole, shown: Shown) -> str:
    """Say a hole or slot without its place."""
    wide = shown.length(hole.diameter, "fine")
    if hole.length <= hole.diameter:
        key = "tapped" if hole.fit == "tapped" else "for_screw"
        return HOLES[key].format(hole=f"Ø{wide}", screw=hole.screw) if hole.screw else f"Ø{wide}"
    size = f"{wide} × {shown.length(hole.length, 'fine')}"
    return WORDS["drill_open" if hole.open_edge else "drill_slot"].format(size=size)


def _caption(job: Job, part: JobPart) -> list[str]:
    shown = job.workshop.shown
    stock = part.stock
    if part.cut_length is not None:
        stock += WORDS["drill_long"].format(length=shown.length(part.cut_length, with_unit=True))
    lines = [f"{stock}  ·  {pieces(job, part)}"]
    lines += [counted_openings(part.holes, shown)] if part.holes else []
    if part.mirrored and part.other_hand:
        lines.append(WORDS["drill_hands"])
    lines += [hole.note for hole in part.holes if hole.note]
    return lines + ([part.note] if part.note else [])


# ------------------------------------------------------------------------------------------------ holes as rows
def drill_rows(job: Job, drawings: Faces, room: tuple[float, float], level: int) -> list[Block]:
    """Return one row for each hole in a tube: where along it, where round it, how wide.

    Args:
        job: The job.
        drawings: As for `drill_pages`; a bar that is too large to be drawn on a sheet gets rows too.
        room: Across and down a sheet [mm].
        level: 1 starts a sheet.
    """
    parts = [part for part in job.parts if _has_rows(job, part, drawings, room)]
    rows = [_row(job, part, hole, number) for part in parts for number, hole in enumerate(_sorted(part.holes))]
    if not rows:
        return []
    unit = job.workshop.show_length
    columns = [
        (WORDS["part"], 2, "l"),
        (WORDS["in_batch"], 0, "r"),
        (head("drill_at", unit), 1, "r"),
        (WORDS["drill_face"], 2, "l"),
        (head("drill_size", unit), 1.5, "r"),
        (WORDS["drill_walls"], 1.1, "l"),
        (WORDS["done"], 0, "c"),
    ]
    lead, content = WORDS["drill_tubes_lead"], table(columns, rows)
    return [section(WORDS["drill_tubes"], content, level=level, lead=lead, remarks=[_caution()])]


def _has_rows(job: Job, part: JobPart, drawings: Faces, room: tuple[float, float]) -> bool:
    if part.section is None or not part.holes:
        return False
    return not is_drilled_bar(part) or on_sheet(job, part, drawings(part.id, room[0]), *room) is None


def _sorted(holes: Sequence[JobHole]) -> list[JobHole]:
    return sorted(holes, key=lambda hole: hole.x)


def _row(job: Job, part: JobPart, hole: JobHole, number: int) -> list[Cell]:
    shown = job.workshop.shown
    first = number == 0
    mirrored = WORDS["holes_mirrored"] if part.mirrored and part.other_hand and first else ""
    face = WORDS[f"face_{hole.face}"]
    if abs(hole.y) >= 0.05:
        face += WORDS["hole_across"].format(y=shown.length(hole.y))
    if hole.length > hole.diameter and abs(hole.angle_rad) > 1e-6:
        face += WORDS["drill_slot_across"]
    return [
        {"plain": named(part) if first else "", "sub": "; ".join(s for s in (soft(part.stock), mirrored) if s)}
        if first
        else "",
        str(part.quantity * job.units) if first else "",
        strong(shown.column(hole.x), shown.tape(hole.x)),
        face + (f"; {hole.note}" if hole.note else ""),
        strong(opening_words(hole, shown)),
        WORDS["drill_through" if hole.through else "drill_one"],
        ticks(),
    ]
