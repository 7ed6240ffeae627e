"""Drill and slot sheets: plates and bars at true size, several to a sheet; holes in tubes as rows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from handbarrow.drawings.drilled import is_drilled_bar
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.widths import broken
from handbarrow.job.values import Job, JobHole, JobPart
from handbarrow.sheets.blocks import Block, Cell, picture, section, strong, table, ticks
from handbarrow.sheets.filling import Item, filled
from handbarrow.sheets.shown import head, named, pieces, soft
from handbarrow.sheets.words import WORDS

__all__ = ["drill_keys", "drill_pages", "drill_rows", "is_oversize"]

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
    return [part.id for part in job.parts if part.kind == "plate" or is_drilled_bar(part)]


def is_oversize(drawing: Drawing, width: float, height: float) -> bool:
    """Whether a drawing with a short caption is too large for a sheet's room [mm]."""
    return drawing.width > width or drawing.height + NAME_LINE + 3 * LINE + TICK_ROW + 2.0 > height


def _lead(large: Sequence[str]) -> str:
    """How to use the sheets, said once, and which parts are not on them."""
    return WORDS["drilling_lead"] + (" " + WORDS["drill_large"].format(parts=", ".join(large)) if large else "")


def drill_pages(job: Job, drawings: Faces, width: float, first: float, other: float) -> list[Block]:
    """Lay plates and bars on sheets, tall ones first; those that are too large are named on the first sheet.

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
        part, drawn = job.part(part_id), drawings(part_id, width)
        if any(is_oversize(one, width, first) for one in drawn):
            large.append(part.title)
        else:
            items += _items(job, part, drawn, width)
    items.sort(key=lambda item: -item.height)
    out: list[Block] = []
    while items:
        room = other if out else first
        taken, items = filled(items, width, room)
        if not taken:
            raise ValueError(f"a drawing of {items[0].height:.0f} mm does not fit {room:.0f} mm")
        heading = (
            {} if out else {"title": WORDS["drilling"], "lead": _lead(large), "caution": WORDS["drilling_caution"]}
        )
        out.append({"first": not out, "height": room, "wraps": taken, "code": "+drilling", **heading})
    return out


def _items(job: Job, part: JobPart, drawn: Sequence[Drawing], width: float) -> Iterator[Item]:
    """A part's drawings, each with its caption; the boxes to tick stand by the first."""
    count = part.quantity * job.units
    for number, drawing in enumerate(drawn):
        across = min(width, max(drawing.width, LEAST_WIDTH))
        names = broken(part.title, across, NAME_EM, bold=True)
        lines = [piece for line in _caption(job, part) for piece in broken(line, across, LINE_EM)]
        boxes = min(count, int(across / TICK)) if number == 0 and count <= int(across / TICK) else 0
        caption = NAME_LINE * len(names) + LINE * len(lines) + (TICK_ROW if boxes else 0.0) + 1.0
        block: Block = {
            "w": across,
            "caption_h": caption,
            "names": names,
            "lines": lines,
            "ticks": boxes,
            "drawing": picture(drawing),
            "turned": False,
            "clip_x": 0.0,
            "clip_w": 0.0,
        }
        yield Item(width=across, height=drawing.height + caption, block=block)


def _caption(job: Job, part: JobPart) -> list[str]:
    shown = job.workshop.shown
    stock = part.stock
    if part.cut_length is not None:
        stock += WORDS["drill_long"].format(length=shown.length(part.cut_length, with_unit=True))
    lines = [f"{stock}  ·  {pieces(job, part)}"]
    if part.mirrored and part.other_hand:
        lines.append(WORDS["drill_hands"])
    lines += [hole.note for hole in part.holes if hole.note]
    return lines + ([part.note] if part.note else [])


# ------------------------------------------------------------------------------------------------ tubes
def drill_rows(job: Job, level: int) -> list[Block]:
    """Return one row for each hole in a tube: where along it, where round it, how wide. Level 1 starts a sheet."""
    parts = [part for part in job.parts if part.section is not None and part.section.is_hollow and part.holes]
    rows = [_row(job, part, hole, number) for part in parts for number, hole in enumerate(_sorted(part.holes))]
    if not rows:
        return []
    unit = job.workshop.show_length
    columns = [
        (WORDS["part"], 2, "l"),
        (WORDS["in_batch"], 0, "r"),
        (head("drill_at", unit), 1, "r"),
        (WORDS["drill_face"], 2, "l"),
        (head("drill_size", unit), 1.2, "r"),
        (WORDS["drill_walls"], 1.1, "l"),
        (WORDS["done"], 0, "c"),
    ]
    lead, content = WORDS["drill_tubes_lead"], table(columns, rows)
    return [section(WORDS["drill_tubes"], content, level=level, lead=lead, remarks=[WORDS["drilling_caution"]])]


def _sorted(holes: Sequence[JobHole]) -> list[JobHole]:
    return sorted(holes, key=lambda hole: hole.x)


def _row(job: Job, part: JobPart, hole: JobHole, number: int) -> list[Cell]:
    shown = job.workshop.shown
    first = number == 0
    mirrored = WORDS["holes_mirrored"] if part.mirrored and part.other_hand and first else ""
    wide = shown.length(hole.diameter, "fine")
    size = f"Ø{wide}" if hole.length <= hole.diameter else f"{wide} × {shown.length(hole.length, 'fine')}"
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
        strong(size),
        WORDS["drill_through" if hole.through else "drill_one"],
        ticks(),
    ]
