"""A bar of the cutting plan, to scale: its pieces in groups of equal ones, running cut marks, what is left over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, WORD, Anchor, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room
from handbarrow.drawings.running import PITCH, Running, running
from handbarrow.drawings.shapes import hatched
from handbarrow.drawings.widths import CAPITAL, broken, text_width
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.values import CutBar, CutPiece, Job
from handbarrow.laws.units.shown import Shown

__all__ = ["cutting_bar"]

BAR, TICK, LINE = 11.0, 2.4, 4.1
"""Height of a bar on the paper, of the cut marks between equal pieces; pitch of two lines in a bar [mm]."""
SIDE, ROW = 4.0, 5.2
"""White at both ends; pitch of lines of words [mm]."""
STRAY = 8.0
"""How far a number may stand from its cut before the numbers of equal pieces are said in words instead [mm]."""
LEVEL_PITCH = 16.0
"""Equal pieces longer than this on the paper have room for level numbers [mm]."""
SIDES: tuple[Anchor, Anchor] = ("start", "end")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Equal pieces one after the other, and what they are called."""

    pieces: tuple[CutPiece, ...]
    name: str
    size: str

    @property
    def said(self) -> str:
        """As `5 × outer hoop  973.4`."""
        return f"{self.many}{self.name}  {self.size}"

    @property
    def many(self) -> str:
        """As `5 × `; nothing for one piece."""
        return f"{len(self.pieces)} × " if len(self.pieces) > 1 else ""

    @property
    def cuts(self) -> list[float]:
        """Where the saw's first side goes, piece by piece, from the bar's end [mm]."""
        return [piece.at + piece.length for piece in self.pieces]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bar:
    """A bar on the paper."""

    bar: CutBar
    groups: tuple[_Group, ...]
    shown: Shown
    scale: float
    kerf: float

    def x(self, at: float) -> float:
        """Place of a distance along the bar on the paper."""
        return SIDE + at * self.scale


def cutting_bar(job: Job, bar: CutBar, width: float) -> Drawing:
    """Return a bar to scale: equal neighbours as one group with its name, count and length, cut marks for each piece.

    Every cut has its mark. Where the numbers of the marks between equal pieces have no room, they are said in words.

    Args:
        job: The job.
        bar: A pattern of the cutting plan.
        width: Of the drawing [mm].
    """
    shown = job.workshop.shown
    groups = _groups(job, bar, shown)
    lie = _Bar(bar=bar, groups=groups, shown=shown, scale=(width - 2 * SIDE) / bar.length, kerf=job.cutting.kerf)
    numbers, unsaid = _numbers(lie, width)
    top = numbers.top
    strokes, words, outside = _pieces(lie, top)
    hung, said, y = _below(outside, unsaid, top + BAR, width)
    ground, left_over = _left_over(lie, top)
    return Drawing(
        width=width, height=y + 1.6, strokes=(*numbers.strokes, *strokes, *hung, *ground),
        words=(*numbers.words, *words, *said, *left_over), scale=lie.scale,
        alt=ALT["bar"].format(
            stock=bar.stock, length=shown.length(bar.length, with_unit=True),
            pieces=", ".join(group.said for group in groups), left=shown.length(bar.left),
        ),
        name="bar",
    )  # fmt: skip


def _groups(job: Job, bar: CutBar, shown: Shown) -> tuple[_Group, ...]:
    titles = {part.id: part.title for part in job.parts}

    def named(piece: CutPiece) -> tuple[str, str]:
        name = titles.get(piece.part, piece.part) if piece.part else DRAWN["test_piece"].format(die=piece.die)
        return name, shown.length(piece.length)

    return tuple(
        _Group(pieces=tuple(pieces), name=name, size=size) for (name, size), pieces in groupby(bar.pieces, named)
    )


# ------------------------------------------------------------------------------------------------ cut marks
def _numbers(lie: _Bar, width: float) -> tuple[Running, list[str]]:
    """Numbers of the cut marks, and in words those that have no room between equal pieces.

    Level numbers are read best. Upright ones are taken where level ones would stray, or leave out more.
    """
    ends = {group.cuts[-1] for group in lie.groups}
    ends |= {at for at in (lie.groups[0].pieces[0].at,) if at > 0} if lie.groups else {lie.bar.length}
    every = ends | {cut for group in lie.groups for cut in group.cuts}
    level = ends | {cut for group in lie.groups for cut in group.cuts if _pitch(lie, group) > LEVEL_PITCH}
    upright = ends | {cut for group in lie.groups for cut in group.cuts if _pitch(lie, group) > PITCH}
    for wanted, stands in ((every, False), (level, False), (every, True), (upright, True), (ends, True)):
        set_out = _set_out(lie, wanted, width, upright=stands)
        if set_out is not None and (set_out.moved <= STRAY or wanted is ends):
            return set_out, _unsaid(lie, wanted)
    few = set(sorted(ends)[: int(width / PITCH) - 1])
    bare = _set_out(lie, few, width, upright=True)
    if bare is None:
        raise ValueError(f"no room for numbers on {width:g} mm")
    return bare, _unsaid(lie, few)


def _pitch(lie: _Bar, group: _Group) -> float:
    return group.pieces[0].length * lie.scale


def _set_out(lie: _Bar, wanted: set[float], width: float, *, upright: bool) -> Running | None:
    places = sorted(wanted)
    return running([lie.x(at) for at in places], [lie.shown.length(at) for at in places], width, upright)


def _unsaid(lie: _Bar, said: set[float]) -> list[str]:
    """Say the cuts of a group that have no number."""
    out = []
    for group in lie.groups:
        left = [lie.shown.length(cut) for cut in group.cuts if cut not in said]
        if left:
            out.append(
                DRAWN["also_at"].format(piece=f"{group.many}{group.name}", size=group.size, cuts=", ".join(left))
            )
    return out


# ------------------------------------------------------------------------------------------------ pieces
def _pieces(lie: _Bar, top: float) -> tuple[list[Stroke], list[Text], list[tuple[str, float]]]:
    """The bar and its groups: strokes, names inside, and (name, x) of groups too short to hold theirs."""
    x0, x1 = lie.x(0.0), lie.x(lie.bar.length)
    strokes = [_box((x0, top), (x1, top + BAR), MEDIUM, "none", "bar")]
    words: list[Text] = []
    outside: list[tuple[str, float]] = []
    for group in lie.groups:
        x0, x1 = lie.x(group.pieces[0].at), lie.x(group.cuts[-1])
        strokes.append(_box((x0, top), (x1, top + BAR), HEAVY, "white", "pieces"))
        for cut in group.cuts[:-1]:
            x = lie.x(cut)
            strokes.append(Stroke(points=((x, top), (x, top + TICK)), weight=FINE, layer="pieces"))
        inside = _inside(group, x1 - x0 - 1.6, (x0 + x1) / 2, top)
        words += inside
        if not inside:
            outside.append((group.said, (x0 + x1) / 2))
    return strokes, words, outside


def _box(low: Point, high: Point, weight: float, fill: str, layer: str) -> Stroke:
    points = (low, (high[0], low[1]), high, (low[0], high[1]))
    return Stroke(points=points, weight=weight, closed=True, fill="white" if fill == "white" else "none", layer=layer)


def _inside(group: _Group, room: float, x: float, top: float) -> list[Text]:
    """Name and length within a group, below its cut marks: in one line, in two, or not at all."""
    high = top + (TICK if len(group.pieces) > 1 else 0.0)
    for lines in ((group.said,), (f"{group.many}{group.name}", group.size)):
        if max(text_width(line, WORD) for line in lines) <= room:
            tall = CAPITAL * WORD + LINE * (len(lines) - 1)
            y = (high + top + BAR - tall) / 2 + CAPITAL * WORD
            return [
                Text(x=x, y=y + LINE * i, string=line, anchor="middle", layer="pieces") for i, line in enumerate(lines)
            ]
    return []


# ------------------------------------------------------------------------------------------------ below the bar
def _below(
    outside: Sequence[tuple[str, float]], unsaid: Sequence[str], y: float, width: float
) -> tuple[list[Stroke], list[Text], float]:
    """Names of groups that are too short to hold them, hung below the bar; those without room, and cuts, in words."""
    ways = [_hang(outside, y, width, sides, back) for back in (True, False) for sides in (SIDES, SIDES[::-1])]
    strokes, words, left = min(ways, key=lambda way: (len(way[2]), max((w.y for w in way[1]), default=y)))
    low = max((word.y for word in words), default=y)
    said = "; ".join([DRAWN["not_named"].format(pieces=", ".join(left))] * bool(left) + list(unsaid))
    lines = broken(said, width - 2 * SIDE, WORD)
    words += [Text(x=SIDE, y=low + ROW * (i + 1), string=line, layer="pieces") for i, line in enumerate(lines)]
    return strokes, words, low + ROW * len(lines)


def _hang(
    outside: Sequence[tuple[str, float]], y: float, width: float, sides: Sequence[Anchor], back: bool
) -> tuple[list[Stroke], list[Text], list[str]]:
    """Hang names below the bar from one end to the other; return those that have no room too."""
    room = Room(width, y + 200.0)
    room.block([Stroke(points=((0.0, y), (width, y)))])
    strokes: list[Stroke] = []
    words: list[Text] = []
    left: list[str] = []
    rows = [y + 4.6 + ROW * row for row in range(len(outside) + 1)]
    for text, x in sorted(outside, key=lambda item: item[1], reverse=back):
        tries = (_hung(room, text, x, (y, low), side) for low in rows for side in sides)
        found = next((hung for hung in tries if hung is not None), None)
        if found is None:
            left.append(text)
            continue
        strokes.append(found[0])
        words.append(found[1])
    return strokes, words, left


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


# ------------------------------------------------------------------------------------------------ left over
def _left_over(lie: _Bar, top: float) -> tuple[list[Stroke], list[Text]]:
    """What the pieces leave hatched; the useful length of it on a white ground, where there is room."""
    end = min(lie.bar.length, max((p.at + p.length + lie.kerf for g in lie.groups for p in g.pieces), default=0.0))
    x0, x1 = lie.x(end), lie.x(lie.bar.length)
    strokes = hatched((x0, top), (x1, top + BAR)) if x1 - x0 > 0.3 else []
    string = lie.shown.length(lie.bar.left)
    size = text_width(string, NUMBER, True)
    x1 = x0 + lie.bar.left * lie.scale
    if lie.bar.left <= 0 or x1 - x0 < size + 4.0:
        return strokes, []
    middle, y = (x0 + x1) / 2, top + BAR / 2
    ground = _box((middle - size / 2 - 1.0, y - 2.4), (middle + size / 2 + 1.0, y + 2.4), 0.0, "white", "left over")
    text = Text(
        x=middle, y=y + CAPITAL * NUMBER / 2, string=string, size=NUMBER, anchor="middle", bold=True, layer="left over"
    )
    return [*strokes, ground], [text]
