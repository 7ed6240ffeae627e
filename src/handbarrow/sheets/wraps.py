"""Mitre wraps laid out on sheets at true size, with their captions."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from handbarrow.drawings.boxes import text_box
from handbarrow.drawings.model import Drawing, moved
from handbarrow.drawings.widths import text_width
from handbarrow.job.values import EndCut, Job, JobPart
from handbarrow.language import said
from handbarrow.laws.units.shown import Shown
from handbarrow.sheets.blocks import Block, PackError, picture
from handbarrow.sheets.filling import Item, filled
from handbarrow.sheets.signs import sawing_caution
from handbarrow.sheets.words import WORDS

__all__ = ["WrapKey", "compact", "wrap_keys", "wrap_pages", "wraps_lead"]

WrapKey = tuple[str, str]
"""(part id, `start` or `end`)."""

GLUE = 10.0
"""How far a strip of a wide wrap reaches under the next one [mm]."""
LINE_EM, LINE = 3.18, 4.4
"""Letter size of a caption (9 pt) and the height of its lines [mm]."""
EDGE = 0.5
"""White left round a cropped wrap [mm]."""
SHARED = ("rule", "notes")
"""Layers of a wrap that the sheet has once for all its wraps."""


def wrap_keys(job: Job) -> list[WrapKey]:
    """Ends that get a wrap, part by part."""
    return [(part.id, end) for part in job.parts for end in ("start", "end") if (cut := _cut(part, end)) and cut.wrap]


def wraps_lead(job: Job) -> str:
    """How to use the wraps, said once."""
    saw = f" {WORDS['wraps_saw']}" if job.workshop.saw.only_hacksaw else ""
    return WORDS["wraps_lead"] + saw


def wrap_pages(job: Job, drawings: Mapping[WrapKey, Drawing], width: float, first: float, other: float) -> list[Block]:
    """Lay the wraps on sheets, row by row, tall ones first.

    Args:
        job: The job.
        drawings: Drawing of each wrap.
        width: Room across [mm].
        first: Room down on the first sheet, which has a heading [mm].
        other: Room down on the other sheets [mm].

    Raises:
        PackError: If a wrap is higher than a sheet.
    """
    items = [item for key in wrap_keys(job) for item in _items(job, key, drawings[key], width, first)]
    items.sort(key=lambda item: -item.height)
    pages: list[Block] = []
    while items:
        room = other if pages else first
        taken, items = filled(items, width, room)
        if not taken:
            raise PackError(
                said(
                    "a wrap of {height:.0f} mm does not fit a sheet with room for {room:.0f} mm",
                    height=items[0].height,
                    room=room,
                )
            )
        pages.append({"first": not pages, "height": room, "wraps": taken})
    if pages:
        pages[0]["caution"] = sawing_caution()
    return pages


def _items(job: Job, key: WrapKey, drawing: Drawing, width: float, height: float) -> list[Item]:
    part = job.part(key[0])
    cut = _cut(part, key[1])
    if cut is None:
        raise ValueError(f"the {key[1]} of {key[0]} is not cut")
    lines = _caption(job, part, cut)
    drawing = compact(drawing)
    turned = drawing.width > width and drawing.height <= width
    across = drawing.height if turned else drawing.width
    if across <= width:
        down = drawing.width if turned else drawing.height
        if down + _caption_height(lines, across) <= height:
            return [_item(drawing, lines, (across, down), turned=turned)]
    return _strips(drawing, lines, width, job.workshop.shown)


def _strips(drawing: Drawing, lines: Sequence[str], width: float, shown: Shown) -> list[Item]:
    """Cut a wide wrap into strips; each reaches under the next one, which is glued on."""
    step = width - GLUE
    count = max(1, math.ceil((drawing.width - GLUE) / step - 1e-9))
    out = []
    for number in range(count):
        x = number * step
        size = min(width, drawing.width - x)
        more = [*lines, WORDS["wrap_tile"].format(n=number + 1, m=count, glue=shown.length(GLUE, with_unit=True))]
        out.append(_item(drawing, more, (size, drawing.height), clip=(x, size)))
    return out


def _item(
    drawing: Drawing,
    lines: Sequence[str],
    size: tuple[float, float],
    *,
    turned: bool = False,
    clip: tuple[float, float] = (0.0, 0.0),
) -> Item:
    broken = [piece for line in lines for piece in _broken(line, size[0], LINE_EM)]
    caption = _caption_height(lines, size[0])
    block: Block = {
        "w": size[0],
        "caption_h": caption,
        "lines": broken,
        "drawing": picture(drawing),
        "turned": turned,
        "clip_x": clip[0],
        "clip_w": clip[1],
    }
    return Item(width=size[0], height=size[1] + caption, block=block)


def _caption_height(lines: Sequence[str], width: float) -> float:
    return sum(len(_broken(line, width, LINE_EM)) for line in lines) * LINE + 1.0


def _caption(job: Job, part: JobPart, cut: EndCut) -> list[str]:
    """What the sheet's heading does not say for all wraps; part, end and what it meets stand on the paper itself."""
    lines = [WORDS["wrap_for"].format(section=part.section.designation)] if part.section else []
    count, mirrored = part.quantity * job.units, part.mirrored * job.units
    if mirrored and part.other_hand:
        lines.append(WORDS["wrap_hands"].format(plain=count - mirrored, mirrored=mirrored))
    if cut.bevel_depth >= 0.05:
        lines.append(WORDS["wrap_bevel"].format(bevel=job.workshop.shown.length(cut.bevel_depth, with_unit=True)))
    if not cut.checked:
        lines.append(WORDS["wrap_unchecked"])
    return lines


def compact(drawing: Drawing) -> Drawing:
    """Return a wrap without its own rule and general notes (the sheet has both), cropped to what is left."""
    strokes = tuple(stroke for stroke in drawing.strokes if stroke.layer not in SHARED)
    words = tuple(text for text in drawing.words if text.layer not in SHARED)
    kept = replace(drawing, strokes=strokes, words=words)
    boxes = [text_box(text) for text in kept.texts]
    points = [point for group in (*boxes, *(stroke.points for stroke in kept.all_strokes)) for point in group]
    if not points:
        return drawing
    xs, ys = zip(*points, strict=True)
    left, top = min(xs) - EDGE, min(ys) - EDGE
    strokes, words, dimensions = moved(kept, -left, -top)
    width, height = max(xs) + EDGE - left, max(ys) + EDGE - top
    return replace(kept, strokes=strokes, words=words, dimensions=dimensions, width=width, height=height)


def _broken(text: str, width: float, em: float) -> list[str]:
    """Break a line of caption so that it stays over its wrap [mm]."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, em) > width:
            lines.append(word)
        else:
            lines[-1] = longer
        while len(lines[-1]) > 1 and text_width(lines[-1], em) > width:
            keep = max(1, int(len(lines[-1]) * width / text_width(lines[-1], em)))
            lines[-1:] = [lines[-1][:keep], lines[-1][keep:]]
    return lines


def _cut(part: JobPart, end: str) -> EndCut | None:
    return part.start if end == "start" else part.end
