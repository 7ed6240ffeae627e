"""A board to scale on the paper, with running coordinates from its two datum edges."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from handbarrow.drawings.faces import SCALES, scale_words
from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, Point, Stroke, Text
from handbarrow.drawings.placing import Room
from handbarrow.drawings.running import running
from handbarrow.drawings.widths import CAPITAL, text_width
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import Shown

__all__ = ["BoardSheet", "distinct", "set_board", "side_lines"]

FOOT, EDGE, NEAR = 6.5, 3.0, 0.05
"""Room for the legend; white at the edges [mm]; coordinates nearer than this are one number [mm]."""
REACH = (0.0, 2.0, 4.5, 7.0, 10.0, 14.0, 19.0)
"""How much further than the nearest place a number may stand from its point [mm]; further off it gets a line."""


@dataclass(slots=True)
class BoardSheet:
    """A board set on the paper: what is drawn of it so far, and where its points land."""

    width: float
    height: float
    scale: float
    left: float
    top: float
    board: Vec2
    room: Room
    strokes: list[Stroke] = field(default_factory=list)
    words: list[Text] = field(default_factory=list)
    left_out: int = 0
    """Numbers for which there was no place."""

    def at(self, point: Sequence[float]) -> Point:
        """Place on the paper of a point of the board."""
        return (self.left + point[0] * self.scale, self.top + (self.board[1] - point[1]) * self.scale)

    def draw(self, strokes: Iterable[Stroke], *, taken: bool = True) -> None:
        """Draw strokes; `taken`: no number may cross them."""
        drawn = list(strokes)
        self.strokes += drawn
        if taken:
            self.room.block(drawn)

    def say(self, text: Text) -> None:
        """Write a text where it stands."""
        self.words.append(self.room.take(text, 0.3))

    def label(self, point: Sequence[float], label: str, *, gap: float, away: float | None = None) -> None:
        """Write a label beside a point of the board, away from it in a direction if it can be [rad, board axes]."""
        x, y = self.at(point)
        size = NUMBER * 0.83
        wide, high = text_width(label, size, True), CAPITAL * size
        first = 0.0 if away is None else away
        turns = sorted((k * math.pi / 8 for k in range(16)), key=lambda a: abs(math.remainder(a, 2 * math.pi)))
        text = Text(x=x, y=y, string=label, size=size, anchor="middle", bold=True, layer="numbers")
        for more in REACH:
            for turn in turns:
                c, s = math.cos(first + turn), math.sin(first + turn)
                far = gap + more + abs(c) * wide / 2 + abs(s) * high / 2
                tried = replace(text, x=x + c * far, y=y - s * far + high / 2)
                if not self.room.is_clear(tried, 0.4):
                    continue
                near = (x + c * gap * 0.8, y - s * gap * 0.8)
                to = (x + c * (gap + more), y - s * (gap + more))
                line = [Stroke(points=(near, to), weight=FINE, layer="numbers")]
                if more >= 4.0:
                    if self.room.is_crossed(line):
                        continue
                    self.draw(line)
                self.words.append(self.room.take(tried, 0.4))
                return
        self.left_out += 1


def distinct(values: Iterable[float]) -> list[float]:
    """Return sorted values without those that would print the same [mm]."""
    out: list[float] = []
    for value in sorted(values):
        if not out or value - out[-1] > NEAR:
            out.append(value)
    return out


def set_board(size: Vec2, box: Vec2, points: Sequence[Vec2], shown: Shown, legend: str) -> BoardSheet:
    """Set a board on the paper as large as it goes, with its edges, legend and running coordinates of points.

    Args:
        size: Of the board [mm].
        box: Room on the paper [mm].
        points: Whose coordinates are written along the edges, board axes [mm].
        shown: How lengths are written.
        legend: What is written below, with `{scale}`.
    """
    xs, ys = distinct(x for x, _ in points), distinct(y for _, y in points)
    wide = max((text_width(shown.length(v), NUMBER) for v in (*xs, *ys)), default=0.0)
    band = wide + 2.0 + 5.4 + EDGE
    for scale in SCALES:
        width, height = size[0] * scale, size[1] * scale
        if width + 2 * band <= box[0] and height + 2 * band + FOOT <= box[1]:
            break
    else:
        scale = SCALES[-1]
        width, height = size[0] * scale, size[1] * scale
    whole = (width + 2 * band, height + 2 * band + FOOT)
    sheet = BoardSheet(
        width=whole[0], height=whole[1], scale=scale, left=band, top=band, board=size, room=Room(*whole)
    )  # fmt: skip
    corners = [sheet.at(p) for p in ((0.0, size[1]), (0.0, 0.0), (size[0], 0.0), (size[0], size[1]))]
    sheet.draw([Stroke(points=tuple(corners), weight=MEDIUM, closed=True, layer="board")])
    sheet.draw([Stroke(points=tuple(corners[:3]), weight=2 * HEAVY, layer="board")])
    _coordinates(sheet, xs, shown, across=True)
    _coordinates(sheet, ys, shown, across=False)
    text = legend.format(scale=scale_words(scale))
    sheet.say(Text(x=whole[0] / 2, y=whole[1] - 1.5, string=text, anchor="middle", size=NUMBER * 0.83, layer="legend"))
    return sheet


def _coordinates(sheet: BoardSheet, values: list[float], shown: Shown, *, across: bool) -> None:
    """Running coordinates along the datum edge; where they are too many, every second one on the other side."""
    size = sheet.board[0 if across else 1] * sheet.scale
    before = EDGE + (sheet.left if across else sheet.top) - 2 * EDGE
    for groups in ([values], [values[::2], values[1::2]]):
        made = [
            running([_wanted(sheet, v, across, before) for v in _way(group, across)],
                    [shown.length(v) for v in _way(group, across)], size + 2 * before, upright=True)
            for group in groups if group
        ]  # fmt: skip
        if all(one is not None for one in made):
            break
    else:
        return
    for number, one in enumerate(made):
        if one is None:
            continue
        for stroke in one.strokes:
            points = tuple(_turned(sheet, p, one.top, before, across, number) for p in stroke.points)
            sheet.draw([replace(stroke, points=points)])
        for text in one.words:
            sheet.say(_text_turned(sheet, text, one.top, before, across, number))


def _way(values: list[float], across: bool) -> list[float]:
    """Across: from the left; up: from the top of the paper down."""
    return values if across else values[::-1]


def _wanted(sheet: BoardSheet, value: float, across: bool, before: float) -> float:
    return before + (value if across else sheet.board[1] - value) * sheet.scale


def _turned(sheet: BoardSheet, p: Point, top: float, before: float, across: bool, number: int) -> Point:
    """A place of the strip of numbers on the paper: below the board or above it, left of it or right of it."""
    along, off = p[0] - before, top - p[1]
    if across:
        edge = sheet.top + sheet.board[1] * sheet.scale
        return (sheet.left + along, edge + off if number == 0 else sheet.top - off)
    edge = sheet.left + sheet.board[0] * sheet.scale
    return (sheet.left - off if number == 0 else edge + off, sheet.top + along)


def _text_turned(sheet: BoardSheet, text: Text, top: float, before: float, across: bool, number: int) -> Text:
    """A number of the strip, upright along x and level along y: it runs away from the board from its line's end."""
    middle = (text.x - CAPITAL * NUMBER / 2, text.y)
    x, y = _turned(sheet, middle, top, before, across, number)
    half = CAPITAL * NUMBER / 2
    if across:
        anchor = "end" if number == 0 else "start"
        return replace(text, x=x + half, y=y, anchor=anchor)  # type: ignore[arg-type]
    anchor = "end" if number == 0 else "start"
    return replace(text, x=x, y=y + half, rotation_rad=0.0, anchor=anchor)  # type: ignore[arg-type]


def side_lines(line: Sequence[Vec2], left: float, right: float) -> list[Vec2]:
    """Return the closed outline of a run in plan: its centreline moved to both sides, mitred at its points [mm].

    Points in one place (an upright run) give no outline.
    """
    points = [line[0]]
    for p in line[1:]:
        if math.dist(p, points[-1]) > 1e-6:
            points.append(p)
    if len(points) < 2:
        return []
    ways = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(points)]
    sides: list[list[Vec2]] = [[], []]
    for i, (x, y) in enumerate(points):
        before, after = ways[max(i - 1, 0)], ways[min(i, len(ways) - 1)]
        turn = math.remainder(after - before, 2 * math.pi)
        way, grow = before + turn / 2, 1 / max(math.cos(turn / 2), 0.2)
        for out, off in ((sides[0], left), (sides[1], -right)):
            out.append((x - math.sin(way) * off * grow, y + math.cos(way) * off * grow))
    return [*sides[0], *reversed(sides[1])]
