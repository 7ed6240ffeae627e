"""A board to scale on the paper, with running coordinates from its two datum edges."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import NamedTuple

from handbarrow.drawings.faces import SCALES, scale_words
from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, Point, Stroke, Text
from handbarrow.drawings.placing import Room
from handbarrow.drawings.running import PITCH, running
from handbarrow.drawings.shapes import balloon
from handbarrow.drawings.widths import CAPITAL, text_width
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import Shown

__all__ = ["BoardSheet", "distinct", "set_board", "side_lines"]

SMALL = 0.83 * NUMBER
"""Em of labels on the board [mm]: capitals 2.5 mm high."""
FOOT, EDGE, NEAR, RISE = 5.0, 3.0, 0.05, 40.0
"""Room for the legend; white at the edges; coordinates nearer than this are one number; how far numbers may run up past
the board's upper edge [mm]."""
REACH = (0.0, 2.0, 4.5, 7.0, 10.0, 14.0, 19.0, 25.0, 32.0, 40.0)
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

    def ring(self, points: Sequence[Vec2], label: str) -> None:
        """Write a part's number in a circle on one of some points of the board, else beside the first with a line.

        It hides no pin; where there is no room it is left out.
        """
        ring, text = balloon((0.0, 0.0), label, size=SMALL)
        half = max(x for x, _ in ring.points)
        places = [(self.at(p), 0.0) for p in points]
        x, y = self.at(points[0])
        places += [
            ((x + far * math.cos(k * math.pi / 8), y - far * math.sin(k * math.pi / 8)), far)
            for far in (7.0, 9.0, 12.0, 16.0) for k in range(16)
        ]  # fmt: skip
        for (px, py), far in places:
            quad = Text(x=px, y=py + half, string="0", size=2 * half / CAPITAL, anchor="middle")
            if not self.room.is_clear(quad, 0.2, cross_lines=True):
                continue
            line = [Stroke(points=((x, y), (px, py)), weight=FINE, layer="numbers")]
            if far and self.room.is_crossed(line):
                continue
            ring, text = balloon((px, py), label, size=SMALL)
            self.draw([*(line if far else []), ring])
            self.words.append(text)
            self.room.reserve((px - half, py - half), (px + half, py + half))
            return

    def mark(self, point: Sequence[float], half: float, strokes: Iterable[Stroke]) -> None:
        """Draw what marks a point of the board; no text may hide it. `half`: half of its size [mm on paper]."""
        self.draw(strokes)
        x, y = self.at(point)
        self.room.reserve((x - half, y - half), (x + half, y + half))

    def label(self, point: Sequence[float], label: str, *, gap: float, away: float | None = None) -> None:
        """Write a label beside a point of the board, away from it in a direction if it can be [rad, board axes]."""
        x, y = self.at(point)
        size = SMALL
        wide, high = text_width(label, size, True), CAPITAL * size
        first = 0.0 if away is None else away
        turns = sorted((k * math.pi / 8 for k in range(16)), key=lambda a: abs(math.remainder(a, 2 * math.pi)))
        text = Text(x=x, y=y, string=label, size=size, anchor="middle", bold=True, layer="numbers")
        passes = ((True, False), (False, False), (True, True), (False, True))  # on the board, clear of thin lines
        ways = ((more, turn, *way) for way in passes for more in REACH for turn in turns)
        for more, turn, inside, over in ways:
            c, s = math.cos(first + turn), math.sin(first + turn)
            far = gap + more + abs(c) * wide / 2 + abs(s) * high / 2
            tried = replace(text, x=x + c * far, y=y - s * far + high / 2)
            if (inside and not self._is_inside(tried, wide)) or not self.room.is_clear(tried, 0.4, over):
                continue
            line = [Stroke(points=_beam((x, y), (c, s), gap * 0.8, gap + more), weight=FINE, layer="numbers")]
            if more >= 4.0:
                if self.room.is_crossed(line):
                    continue
                self.draw(line)
            self.words.append(self.room.take(tried, 0.4))
            return
        self.left_out += 1

    def _is_inside(self, text: Text, width: float) -> bool:
        """Whether a text lies on the board."""
        low, high = self.at((0.0, self.board[1])), self.at((self.board[0], 0.0))
        across = low[0] + 0.6 <= text.x - width / 2 and text.x + width / 2 <= high[0] - 0.6
        return across and low[1] + 0.6 <= text.y - CAPITAL * text.size and text.y <= high[1] - 0.6


def _beam(at: Point, way: Point, start: float, end: float) -> tuple[Point, Point]:
    """A piece of a line from a place in a direction (y up), from one distance to another."""
    (x, y), (c, s) = at, way
    return (x + c * start, y - s * start), (x + c * end, y - s * end)


def distinct(values: Iterable[float]) -> list[float]:
    """Return sorted values without those that would print the same [mm]."""
    out: list[float] = []
    for value in sorted(values):
        if not out or value - out[-1] > NEAR:
            out.append(value)
    return out


def set_board(size: Vec2, box: Vec2, points: Sequence[Vec2], shown: Shown, legend: str) -> BoardSheet:
    """Set a board on the paper as large as it goes, with its edges, legend and running coordinates of points.

    A scale at which all numbers find a place goes before a larger one.

    Args:
        size: Of the board [mm].
        box: Room on the paper [mm].
        points: Whose coordinates are written along the edges, board axes [mm].
        shown: How lengths are written.
        legend: What is written below, with `{scale}`.
    """
    values = (distinct(x for x, _ in points), distinct(y for _, y in points))
    low, band = (
        max((text_width(shown.length(v), NUMBER) for v in group), default=0.0) + 2.0 + 5.4 + EDGE for group in values
    )
    tried = [_fit(size, values, scale, (low, band), shown) for scale in SCALES]
    fitting = [fit for fit in tried if fit.wanted[0] <= box[0] and fit.wanted[1] <= box[1]]
    fit = next((one for one in fitting if one.across and one.up), (fitting or tried[-1:])[0])
    scale, wanted, across, up = fit.scale, fit.wanted, fit.across, fit.up
    sheet = BoardSheet(
        width=wanted[0], height=wanted[1], scale=scale, left=band, top=fit.top, board=size, room=Room(*wanted)
    )  # fmt: skip
    corners = [sheet.at(p) for p in ((0.0, size[1]), (0.0, 0.0), (size[0], 0.0), (size[0], size[1]))]
    sheet.draw([Stroke(points=tuple(corners), weight=MEDIUM, closed=True, layer="board")])
    sheet.draw([Stroke(points=tuple(corners[:3]), weight=2 * HEAVY, layer="board")])
    for axis, sides in ((0, across), (1, up)):
        for number in range(sides):
            _coordinates(sheet, values[axis][number::sides], shown, axis, number)
    text = legend.format(scale=scale_words(scale))
    sheet.say(Text(x=wanted[0] / 2, y=wanted[1] - 1.5, string=text, anchor="middle", size=SMALL, layer="legend"))
    return sheet


class _Fit(NamedTuple):
    """A scale tried: what the board with its numbers needs, and on how many sides numbers are written; 0: nowhere."""

    scale: float
    wanted: Vec2
    top: float
    across: int
    up: int


def _fit(size: Vec2, values: tuple[list[float], list[float]], scale: float, ends: Vec2, shown: Shown) -> _Fit:
    """Room on the paper of a board at a scale; `ends`: room of the numbers below it and left of it [mm]."""
    low, band = ends
    across, up = (_sides(values[k], size[k] * scale, k * RISE, shown) for k in (0, 1))
    rise = max([0.0, *(PITCH * len(values[1][i::up]) - size[1] * scale for i in range(up))])
    top = max(low if across == 2 else 2 * EDGE, rise + 3 * EDGE if rise > 0 else 0.0)
    wide = size[0] * scale + band + (band if up == 2 else 2 * EDGE)
    return _Fit(scale, (wide, size[1] * scale + low + top + FOOT), top, across, up)


def _sides(values: list[float], size: float, more: float, shown: Shown) -> int:
    """On how many sides of the board numbers are written: on one, on two where they are too many; 0: no room at all."""
    for sides, room in ((1, size), (2, size), (2, size + more)):
        groups = [[shown.length(v) for v in values[i::sides]] for i in range(sides)]
        if all(not g or running([0.0] * len(g), g, room, upright=True) is not None for g in groups):
            return sides
    return 0


def _coordinates(sheet: BoardSheet, values: list[float], shown: Shown, axis: int, number: int) -> None:
    """Running coordinates along the datum edge (number 0) or the edge across from it (1).

    The strip of numbers may run on past one end of the edge, where no other numbers stand.
    """
    size = sheet.board[axis] * sheet.scale
    if axis == 0:
        before, after = 0.0, max(sheet.width - sheet.left - size - 2 * EDGE, 0.0) if number == 0 else 0.0
        places = [v * sheet.scale for v in values]
    else:
        values = values[::-1]  # from the top of the paper down
        before, after = max(sheet.top - 2 * EDGE, 0.0), 0.0
        places = [before + (sheet.board[1] - v) * sheet.scale for v in values]
    made = running(places, [shown.length(v) for v in values], before + size + after, upright=True) if values else None
    if made is None:
        return
    for stroke in made.strokes:
        points = tuple(_turned(sheet, (x - before, made.top - y), axis, number) for x, y in stroke.points)
        sheet.draw([replace(stroke, points=points)])
    half = CAPITAL * NUMBER / 2
    for text in made.words:
        x, y = _turned(sheet, (text.x - half - before, made.top - text.y), axis, number)
        if axis == 0:
            sheet.say(replace(text, x=x + half, y=y, anchor="end" if number == 0 else "start"))
        else:
            sheet.say(replace(text, x=x, y=y + half, rotation_rad=0.0, anchor="end" if number == 0 else "start"))


def _turned(sheet: BoardSheet, p: Point, axis: int, number: int) -> Point:
    """A place along an edge and off it, on the paper: below the board or above it, left of it or right of it."""
    along, off = p
    if axis == 0:
        edge = sheet.top + sheet.board[1] * sheet.scale
        return (sheet.left + along, edge + off if number == 0 else sheet.top - off)
    edge = sheet.left + sheet.board[0] * sheet.scale
    return (sheet.left - off if number == 0 else edge + off, sheet.top + along)


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
