"""Straight things drawn lying down: the straight tube with its marks, and a bar with its cuts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, WORD, Anchor, Point, Stroke, Text, rounded
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room, spread
from handbarrow.drawings.shapes import CHAIN, arrow, balloon, hatched
from handbarrow.drawings.widths import CAPITAL, broken, text_width
from handbarrow.job.values import BendRow, CutBar, CutPiece, Job, JobHole, JobPart

__all__ = ["cutting_bar", "tube_strip"]

PITCH = 5.0
"""Room that an upright number takes along the strip [mm]."""
TUBE, BAR = 9.0, 9.0
"""Height of the tube and of a bar on the paper [mm]."""
SIDE, ROW = 4.0, 5.4
"""White at both ends; pitch of rows of names [mm]."""
SIDES: tuple[Anchor, Anchor] = ("start", "end")


def _running(
    places: Sequence[Point], numbers: Sequence[str], base: float, right: float
) -> tuple[list[Stroke], list[Text]]:
    """Upright numbers above a strip, each with a line down to its place (x, y), moved apart where they are close."""
    wanted = [x for x, _ in places]
    shown = spread(wanted, PITCH, PITCH / 2, right - PITCH / 2)
    strokes, words = [], []
    for (x, y), at, number in zip(places, shown, numbers, strict=True):
        points = ((x, y), (x, base + 3.4)) if abs(at - x) < 0.05 else ((x, y), (x, base + 4.6), (at, base + 1.6))
        strokes.append(Stroke(points=(*points, (at, base + 0.6)), weight=FINE, layer="running"))
        words.append(
            Text(
                x=at + CAPITAL * NUMBER / 2, y=base, string=number, size=NUMBER, rotation_rad=-math.pi / 2,
                layer="running",
            )
        )  # fmt: skip
    return strokes, words


# ------------------------------------------------------------------------------------------------ tube
@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """A place on the straight tube: distance from the datum end, what is printed, the bend or hole it belongs to."""

    at: float
    x: float
    number: str
    row: BendRow | None = None
    hole: JobHole | None = None


def tube_strip(job: Job, part_id: str, width: float) -> Drawing:
    """Return the straight tube with its bend marks and holes, numbers running from the datum end.

    Args:
        job: The job.
        part_id: A tube or bar.
        width: Of the drawing [mm].

    Marks that would stand too close are moved apart on the paper; the numbers stay true and the drawing says so.

    Raises:
        ValueError: If the part is no tube or bar.
    """
    part = job.part(part_id)
    if part.cut_length is None or part.section is None:
        raise ValueError(f"{part_id} is no tube or bar")
    left, right = SIDE + 2.0, width - SIDE - 2.0
    marks, true = _marks(part, part.cut_length, left, right)
    base = max(text_width(m.number, NUMBER) for m in marks) + 2.0
    top = base + 8.0
    strokes = _tube(left, right, top) + _feet(part, left, right, top)
    words: list[Text] = []
    for mark in marks:
        if mark.row is not None:
            strokes += _bend_mark(mark, part.cut_length, (left, right), top)
        elif mark.hole is not None:
            strokes += _hole_mark(mark, top)
    lines, numbers = _running([(m.x, top) for m in marks], [m.number for m in marks], base, width)
    strokes += lines
    words += numbers
    y = top + TUBE
    rows = [m for m in marks if m.row is not None]
    more, said, y = _bend_words(rows, y, width)
    strokes += more
    words += said
    words += _strip_words(part, left, right, top, y, true)
    return Drawing(
        width=width, height=y + 7.0, strokes=tuple(strokes), words=tuple(words),
        scale=(right - left) / part.cut_length if true else None,
        alt=f"Straight tube for {part.title}, {rounded(part.cut_length)} mm long, with its marks from the datum end: "
        + ", ".join(m.number for m in marks),
        name=f"strip-{part.id}",
    )  # fmt: skip


def _marks(part: JobPart, length: float, left: float, right: float) -> tuple[list[_Mark], bool]:
    """Marks, holes and both ends with their places on the paper; whether they stand to scale."""
    scale = (right - left) / length
    items: list[tuple[float, BendRow | None, JobHole | None]] = [(0.0, None, None), (length, None, None)]
    items += [(row.mark, row, None) for row in (part.card.rows if part.card else ())]
    items += [(hole.x, None, hole) for hole in part.holes]
    items.sort(key=lambda item: item[0])
    wanted = [left + min(max(at, 0.0), length) * scale for at, _, _ in items]
    placed = spread(wanted, PITCH * 1.3, left, right)
    true = all(abs(a - b) < 0.05 for a, b in zip(wanted, placed, strict=True))
    marks = [
        _Mark(at=at, x=x, number=rounded(at), row=row, hole=hole)
        for (at, row, hole), x in zip(items, placed, strict=True)
    ]
    return marks, true


def _tube(left: float, right: float, top: float) -> list[Stroke]:
    """The tube from outside with its crown line along the middle."""
    corners = ((left, top), (right, top), (right, top + TUBE), (left, top + TUBE))
    middle = top + TUBE / 2
    return [
        Stroke(points=corners, weight=HEAVY, closed=True, layer="tube"),
        Stroke(points=((left, middle), (right, middle)), weight=FINE, dash=CHAIN, layer="crown"),
    ]


def _feet(part: JobPart, left: float, right: float, top: float) -> list[Stroke]:
    """Mitred ends get a curved line inside the tube's end, so that they are not taken for square ones."""
    out = []
    for cut, x, sign in ((part.start, left, 1.0), (part.end, right, -1.0)):
        if cut is None or cut.kind == "square":
            continue
        depth = 2.6 * sign
        points = tuple((x + depth * math.sin(math.pi * i / 12), top + TUBE * i / 12) for i in range(13))
        out.append(Stroke(points=points, weight=MEDIUM, layer="tube"))
    return out


def _bend_mark(mark: _Mark, length: float, ends: Point, top: float) -> list[Stroke]:
    """The mark right round the tube, the stretch that is bent in grey, and an arrow to the side that is swept."""
    row = mark.row
    if row is None:
        return []
    scale = (ends[1] - ends[0]) / length
    sign = 1.0 if row.feed == "start" else -1.0
    begin = mark.x + sign * row.reference_offset * scale
    end = begin + sign * row.uses * scale
    lo, hi = max(min(begin, end), ends[0] + 0.4), min(max(begin, end), ends[1] - 0.4)
    grey = ((lo, top + 0.4), (hi, top + 0.4), (hi, top + TUBE - 0.4), (lo, top + TUBE - 0.4))
    y = top + TUBE * 0.75
    return [
        Stroke(points=grey, weight=0.0, closed=True, fill="grey", layer="bent"),
        Stroke(points=((mark.x, top - 1.0), (mark.x, top + TUBE + 1.5)), weight=HEAVY, layer="marks"),
        *arrow((mark.x, y), (mark.x + sign * 4.4, y), layer="marks", size=2.2),
    ]


def _hole_mark(mark: _Mark, top: float) -> list[Stroke]:
    """A cross for a hole's centre."""
    y = top + TUBE / 2
    return [
        Stroke(points=((mark.x - 1.6, y), (mark.x + 1.6, y)), weight=MEDIUM, layer="holes"),
        Stroke(points=((mark.x, y - 1.6), (mark.x, y + 1.6)), weight=MEDIUM, layer="holes"),
        Stroke(points=((mark.x, top - 1.0), (mark.x, top)), weight=FINE, layer="holes"),
    ]


def _bend_words(marks: Sequence[_Mark], y: float, width: float) -> tuple[list[Stroke], list[Text], float]:
    """Below the tube, for each bend: its number in a circle, the turn in the bender before it, the angle to set."""
    if not marks:
        return [], [], y + 1.0
    lines = [_said(m.row) for m in marks if m.row is not None]
    widest = max(text_width(text, WORD) for pair in lines for text in pair) + 3.0
    rows_needed = max(1, math.ceil(widest * len(marks) / width))
    strokes: list[Stroke] = []
    words: list[Text] = []
    depth = 8.0 + 2 * 5.0 + 2.0
    for k in range(rows_needed):
        mine = range(k, len(marks), rows_needed)
        places = spread([marks[i].x for i in mine], widest, widest / 2, width - widest / 2)
        for i, x in zip(mine, places, strict=True):
            at = y + 6.5 + k * depth
            row = marks[i].row
            ring, number = balloon((x, at), str(row.number) if row else "")
            strokes.append(Stroke(points=((marks[i].x, y + 1.5), (x, at - 3.3)), weight=FINE, layer="marks"))
            strokes.append(ring)
            words.append(number)
            for j, text in enumerate(lines[i]):
                words.append(Text(x=x, y=at + 7.2 + 5.0 * j, string=text, anchor="middle", layer="bends"))
    return strokes, words, y + rows_needed * depth


def _said(row: BendRow) -> tuple[str, str]:
    turn = "–" if row.order == 1 else f"{rounded(math.degrees(row.bender_turn_rad))}°"
    return f"turn {turn}", f"set {rounded(math.degrees(row.set_angle_rad))}°"


def _strip_words(part: JobPart, left: float, right: float, top: float, y: float, true: bool) -> list[Text]:
    """Names of the ends and of the crown line, and whether the drawing is to scale."""
    say = "crown line up; grey: bent; arrow: the side that is swept" if part.card else "crown line up"
    scale = "" if true else "; not to scale, numbers true"
    low = y + 5.0
    start = Text(x=left - 2.0, y=low, string="START = datum end", bold=True, layer="ends")
    end = Text(x=right + 2.0, y=low, string="END", anchor="end", bold=True, layer="ends")
    words = [start, end]
    between = (left + text_width(start.string, WORD, True) + right - text_width("END", WORD, True)) / 2
    room = right - left - text_width(start.string + "END", WORD, True) - 6.0
    for text in (say + scale, "grey: bent" + scale, scale.lstrip("; ")):
        if text and text_width(text, WORD) <= room:
            words.append(Text(x=between, y=low, string=text, anchor="middle", layer="notes"))
            break
    return words


# ------------------------------------------------------------------------------------------------ bars
def cutting_bar(job: Job, bar: CutBar, width: float) -> Drawing:
    """Return a bar to scale: its pieces with names and lengths, running cut marks above, the left-over hatched.

    Args:
        job: The job.
        bar: A pattern of the cutting plan.
        width: Of the drawing [mm].
    """
    left, right = SIDE, width - SIDE
    scale = (right - left) / bar.length
    cuts = [piece.at + piece.length for piece in bar.pieces]
    numbers = ["0", *(rounded(cut) for cut in cuts), rounded(bar.length)]
    base = max(text_width(n, NUMBER) for n in numbers) + 2.0
    top = base + 6.0
    places = [(left + at * scale, top) for at in (0.0, *cuts, bar.length)]
    strokes, words = _running(places, numbers, base, width)
    corners = ((left, top), (right, top), (right, top + BAR), (left, top + BAR))
    strokes.append(Stroke(points=corners, weight=MEDIUM, closed=True, layer="bar"))
    outside: list[tuple[CutPiece, Point]] = []
    for piece in bar.pieces:
        x0, x1 = left + piece.at * scale, left + (piece.at + piece.length) * scale
        box = ((x0, top), (x1, top), (x1, top + BAR), (x0, top + BAR))
        strokes.append(Stroke(points=box, weight=HEAVY, closed=True, fill="white", layer="pieces"))
        inside = _inside(job, piece, x1 - x0)
        if inside is None:
            outside.append((piece, ((x0 + x1) / 2, top + BAR)))
        else:
            y = top + BAR / 2 + CAPITAL * WORD / 2
            words.append(Text(x=(x0 + x1) / 2, y=y, string=inside, anchor="middle", layer="pieces"))
    more, said, y = _below(job, outside, top + BAR, width)
    strokes += more + _left_over(job, bar, left, scale, top)
    ground, left_over = _left_words(bar, left + _end_of_pieces(job, bar) * scale, scale, top)
    strokes += ground
    words += said + left_over
    return Drawing(
        width=width, height=y + 2.0, strokes=tuple(strokes), words=tuple(words), scale=scale,
        alt=f"Bar of {bar.stock}, {rounded(bar.length)} mm: "
        + ", ".join(f"{_named(job, p)} {rounded(p.length)}" for p in bar.pieces)
        + f", left {rounded(bar.left)}",
        name="bar",
    )  # fmt: skip


def _named(job: Job, piece: CutPiece) -> str:
    if not piece.part:
        return f"test piece, die {piece.die}"
    return next((p.title for p in job.parts if p.id == piece.part), piece.part)


def _inside(job: Job, piece: CutPiece, room: float) -> str | None:
    """What is written in a piece: name and length, the length alone, or nothing."""
    name, size = _named(job, piece), rounded(piece.length)
    text = f"{name}  {size}"
    return text if text_width(text, WORD) < room - 1.6 else None


def _below(
    job: Job, outside: Sequence[tuple[CutPiece, Point]], y: float, width: float
) -> tuple[list[Stroke], list[Text], float]:
    """Names of pieces that are too short to hold them: hung below the bar, or listed where lines would cross."""
    if not outside:
        return [], [], y
    room = Room(width, y + 200.0)
    room.block([Stroke(points=((0.0, y), (width, y)))])
    strokes: list[Stroke] = []
    words: list[Text] = []
    left: list[str] = []
    rows = [y + 5.0 + ROW * row for row in range(len(outside) + 1)]
    for piece, (x, foot) in sorted(outside, key=lambda item: -item[1][0]):
        text = f"{_named(job, piece)}  {rounded(piece.length)}"
        tries = (_hung(room, text, x, (foot, low), side) for side in SIDES for low in rows)
        found = next((hung for hung in tries if hung is not None), None)
        if found is None:
            left.insert(0, f"at {rounded(piece.at)}: {text}")
            continue
        strokes.append(found[0])
        words.append(found[1])
    low = max((word.y for word in words), default=y)
    lines = broken("; ".join(left), width - 2.0, WORD)
    words += [Text(x=1.0, y=low + ROW * (i + 1), string=line, layer="pieces") for i, line in enumerate(lines)]
    return strokes, words, low + ROW * len(lines)


def _hung(room: Room, string: str, x: float, ends: Point, side: Anchor) -> tuple[Stroke, Text] | None:
    """A name beside a line that hangs from a piece; None: no room here."""
    foot, low = ends
    leader = Stroke(points=((x, foot - 2.0), (x, low)), weight=FINE, layer="leaders")
    text = Text(x=x + (1.2 if side == "start" else -1.2), y=low, string=string, anchor=side, layer="pieces")
    if room.is_crossed((leader,)) or not room.is_clear(text, 0.3):
        return None
    room.take(text, 0.3)
    room.block((leader,))
    return leader, text


def _end_of_pieces(job: Job, bar: CutBar) -> float:
    kerf = job.cutting.kerf
    return min(bar.length, max((p.at + p.length + kerf for p in bar.pieces), default=0.0))


def _left_over(job: Job, bar: CutBar, left: float, scale: float, top: float) -> list[Stroke]:
    x0, x1 = left + _end_of_pieces(job, bar) * scale, left + bar.length * scale
    return hatched((x0, top), (x1, top + BAR)) if x1 - x0 > 0.3 else []


def _left_words(bar: CutBar, x0: float, scale: float, top: float) -> tuple[list[Stroke], list[Text]]:
    """The useful length that is left, on a white ground within the hatching, where there is room."""
    x1 = x0 + bar.left * scale
    size = text_width(rounded(bar.left), NUMBER, True)
    if bar.left <= 0 or x1 - x0 < size + 4.0:
        return [], []
    middle, y = (x0 + x1) / 2, top + BAR / 2
    a, b = middle - size / 2 - 1.0, middle + size / 2 + 1.0
    ground = ((a, y - 2.4), (b, y - 2.4), (b, y + 2.4), (a, y + 2.4))
    text = Text(
        x=middle, y=y + CAPITAL * NUMBER / 2, string=rounded(bar.left), size=NUMBER, anchor="middle", bold=True,
        layer="left over",
    )  # fmt: skip
    return [Stroke(points=ground, weight=0.0, closed=True, fill="white", layer="left over")], [text]
