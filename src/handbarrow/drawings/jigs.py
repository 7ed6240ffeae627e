"""Jigs on paper: fixture boards, boards to check bent parts on, spacing rods."""

from __future__ import annotations

import math
from itertools import pairwise

from handbarrow.drawings.boards import BoardSheet, set_board, side_lines
from handbarrow.drawings.dimensions import dimension_text
from handbarrow.drawings.dxf import DxfHole
from handbarrow.drawings.ink import FINE, MEDIUM, NUMBER, Dimension, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.shapes import CHAIN, circle, scale_rule
from handbarrow.drawings.widths import text_width
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.jig_pins import SUPPORT
from handbarrow.job.jig_values import Fixture, FormBoard, JigMember, JigSpot, SpacingRod
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import short_text

__all__ = ["board_plan", "fixture_view", "form_plan", "form_view", "jig_holes", "part_number", "rod_view"]

LEAST = 0.8
"""Least radius of a pin on the paper, so that it is seen [mm]."""


def part_number(job: Job, part_id: str) -> int:
    """Return the number of a part, as on the parts list."""
    return next(number for number, part in enumerate(job.parts, start=1) if part.id == part_id)


# ------------------------------------------------------------------------------------------------ fixtures
def fixture_view(job: Job, fixture: Fixture, box: Vec2) -> Drawing:
    """Return the board from above to scale: parts light, pins and supports numbered, coordinates along the edges.

    Args:
        job: The job.
        fixture: What to draw.
        box: Room on the paper [mm].
    """
    points = [(spot.x, spot.y) for spot in fixture.spots]
    sheet = set_board((fixture.width, fixture.height), box, points, job.workshop.shown, DRAWN["board"])
    for member in fixture.members:
        sheet.draw(_member(sheet, member))
    for spot in fixture.spots:
        sheet.mark((spot.x, spot.y), _half(sheet, fixture, spot), _spot(sheet, fixture, spot))
    for spot in fixture.spots:
        away = math.atan2(-spot.pushes[1], -spot.pushes[0]) if spot.kind != "support" else None
        sheet.label((spot.x, spot.y), str(spot.number), gap=_half(sheet, fixture, spot) + 0.8, away=away)
    for member in fixture.members:
        sheet.ring(_places(member.line), str(part_number(job, member.part)))
    return Drawing(
        width=sheet.width, height=sheet.height, strokes=tuple(sheet.strokes), words=tuple(sheet.words),
        alt=ALT["fixture"].format(
            assembly=fixture.assembly, width=f"{fixture.width:g}", height=f"{fixture.height:g}",
            count=len(fixture.spots),
        ),
        scale=sheet.scale, name=fixture.id,
    )  # fmt: skip


def _member(sheet: BoardSheet, member: JigMember) -> list[Stroke]:
    """A part in light lines; dashed where it lies above the others."""
    dash = () if member.lies == "flat" else (2.0, 1.2)
    outline = side_lines(member.line, member.left, member.right)
    if not outline:
        ring = circle(sheet.at(member.line[0]), max(member.left, member.right) * sheet.scale, FINE, "parts")
        return [Stroke(points=ring.points, weight=FINE, closed=True, dash=dash, layer="parts")]
    points = tuple(sheet.at(p) for p in outline)
    return [Stroke(points=points, weight=FINE, closed=True, dash=dash, layer="parts")]


def _half(sheet: BoardSheet, fixture: Fixture, spot: JigSpot) -> float:
    """Half of a spot's size on the paper [mm]."""
    return max((SUPPORT if spot.kind == "support" else fixture.pin.diameter / 2) * sheet.scale, LEAST)


def _spot(sheet: BoardSheet, fixture: Fixture, spot: JigSpot) -> list[Stroke]:
    """A pin is a black disc, an end stop a black square, a support an open square with a cross."""
    (x, y), r = sheet.at((spot.x, spot.y)), _half(sheet, fixture, spot)
    if spot.kind == "pin":
        return [circle((x, y), r, 0.0, "pins", "black")]
    corners = ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r))
    if spot.kind == "end stop":
        return [Stroke(points=corners, weight=0.0, closed=True, fill="black", layer="pins")]
    box = Stroke(points=corners, weight=MEDIUM, closed=True, layer="supports")
    across = [Stroke(points=(corners[i], corners[i + 2]), weight=FINE, layer="supports") for i in (0, 1)]
    return [box, *across]


def _places(line: tuple[Vec2, ...]) -> list[Vec2]:
    """Points along a run to try, from its middle outwards."""
    runs = [math.dist(a, b) for a, b in pairwise(line)]
    whole = sum(runs)
    out = []
    for share in (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9):
        left = share * whole
        for (a, b), run in zip(pairwise(line), runs, strict=True):
            if left <= run and run > 0:
                f = left / run
                out.append((a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])))
                break
            left -= run
    return out or [line[0]]


def board_plan(job: Job, fixture: Fixture) -> Drawing:
    """Return the board at 1:1 in its own coordinates, for a plotter: outline, parts and numbers (holes go beside)."""
    strokes = [_rectangle(fixture.width, fixture.height)]
    words = []
    for member in fixture.members:
        outline = side_lines(member.line, member.left, member.right)
        if outline:
            points = tuple((x, fixture.height - y) for x, y in outline)
            layer = "parts" if member.lies == "flat" else "parts above"
            strokes.append(Stroke(points=points, weight=FINE, closed=True, layer=layer))
    for spot in fixture.spots:
        if spot.kind == "support":
            x, y = spot.x, fixture.height - spot.y
            box = ((x - SUPPORT, y - SUPPORT), (x + SUPPORT, y - SUPPORT), (x + SUPPORT, y + SUPPORT),
                   (x - SUPPORT, y + SUPPORT))  # fmt: skip
            strokes.append(Stroke(points=box, weight=FINE, closed=True, layer="supports"))
        words.append(
            Text(x=spot.x + 9.0, y=fixture.height - spot.y - 9.0, string=str(spot.number), size=12.0, layer="numbers")
        )
    return Drawing(
        width=fixture.width, height=fixture.height, strokes=tuple(strokes), words=tuple(words),
        alt=ALT["fixture_plan"].format(assembly=fixture.assembly), scale=1.0, name=fixture.id,
    )  # fmt: skip


def jig_holes(fixture: Fixture) -> list[DxfHole]:
    """Return the holes of a board: layer, place from its lower left corner, diameter [mm]; of supports the middle."""
    out = []
    for spot in fixture.spots:
        if spot.kind == "support":
            out.append(DxfHole(layer="support middles", x=spot.x, y=spot.y, diameter=0.0))
        else:
            drill = fixture.pin.clearance_hole
            out.append(DxfHole(layer=f"drill {short_text(drill)}", x=spot.x, y=spot.y, diameter=drill))
    return out


def _rectangle(width: float, height: float) -> Stroke:
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return Stroke(points=corners, weight=MEDIUM, closed=True, layer="board")


# ------------------------------------------------------------------------------------------------ form boards
def form_view(job: Job, board: FormBoard, box: Vec2) -> Drawing:
    """Return a form board to scale: outline, centreline, arc centres (C), tangent points (A into, B out of a bend)."""
    marks = _marks(board)
    title = job.part(board.part).title
    points = [place for _, place in marks]
    sheet = set_board((board.width, board.height), box, points, job.workshop.shown, DRAWN["board"])
    outline = tuple(sheet.at(p) for p in side_lines(board.line, board.outer, board.outer))
    sheet.draw([Stroke(points=outline, weight=MEDIUM, closed=True, layer="outline")])
    middle = tuple(sheet.at(p) for p in board.line)
    sheet.draw([Stroke(points=middle, weight=FINE, dash=CHAIN, layer="centreline")])
    for _, place in marks:
        x, y = sheet.at(place)
        cross = [((x - 1.6, y), (x + 1.6, y)), ((x, y - 1.6), (x, y + 1.6))]
        sheet.draw([Stroke(points=line, weight=FINE, layer="marks") for line in cross])
    for label, place in marks:
        sheet.label(place, label, gap=1.8)
    return Drawing(
        width=sheet.width, height=sheet.height, strokes=tuple(sheet.strokes), words=tuple(sheet.words),
        alt=ALT["form"].format(part=title),
        scale=sheet.scale, name=f"form-{board.part}",
    )  # fmt: skip


def _marks(board: FormBoard) -> list[tuple[str, Vec2]]:
    out = [("S", board.start)]
    for bend in board.bends:
        out += [(f"A{bend.number}", bend.start), (f"C{bend.number}", bend.centre), (f"B{bend.number}", bend.end)]
    return [*out, ("E", board.end)]


def form_plan(job: Job, board: FormBoard) -> Drawing:
    """Return a form board at 1:1 in its own coordinates, for a plotter."""

    def flipped(points: list[Vec2] | tuple[Vec2, ...]) -> tuple[Point, ...]:
        return tuple((x, board.height - y) for x, y in points)

    outline = side_lines(board.line, board.outer, board.outer)
    strokes = (
        _rectangle(board.width, board.height),
        Stroke(points=flipped(outline), weight=MEDIUM, closed=True, layer="outline"),
        Stroke(points=flipped(board.line), weight=FINE, layer="centreline"),
    )
    words = tuple(
        Text(x=x + 4.0, y=board.height - y - 4.0, string=label, size=12.0, layer="marks")
        for label, (x, y) in _marks(board)
    )
    return Drawing(
        width=board.width, height=board.height, strokes=strokes, words=words, scale=1.0, name=f"form-{board.part}",
        alt=ALT["form_plan"].format(part=job.part(board.part).title),
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ spacing rods
def rod_view(job: Job, rod: SpacingRod, width: float) -> Drawing:
    """Return a spacing rod from the side, at 1:1 with the check rule if it fits the width, else to scale.

    It is drawn as a piece of tube with the stud through it and a plate at each end.
    """
    shown = job.workshop.shown
    stud = rod.stud.diameter if rod.stud is not None else rod.slot_width
    plate, out = 5.0, 16.0
    scale = 1.0 if rod.length + 2 * (plate + out) + 12.0 <= width else None
    real = (width - 12.0) / (rod.length + 2 * (plate + out))
    k = scale if scale is not None else real
    tube = max(stud + 6.0, 2.0 * stud) * k / 2
    length, left, axis = rod.length * k, 6.0 + (plate + out) * k, 18.0 + 20.0
    right, half = left + length, stud * k / 2

    def box(x0: float, x1: float, r: float, layer: str, weight: float = MEDIUM) -> Stroke:
        corners = ((x0, axis - r), (x1, axis - r), (x1, axis + r), (x0, axis + r))
        return Stroke(points=corners, weight=weight, closed=True, fill="white", layer=layer)

    strokes = [box(left - (plate + out) * k, right + (plate + out) * k, half, "stud")]
    for x in (left - plate * k, right):
        strokes.append(box(x, x + plate * k, 20.0, "plates", FINE))
    strokes.append(box(left, right, tube, "rod", 0.5))
    middle = ((2.0, axis), (right + left - 2.0, axis))
    strokes.append(Stroke(points=middle, weight=FINE, dash=CHAIN, layer="centreline"))
    size = Dimension(
        p1=(left, axis - tube), p2=(right, axis - tube), line=(left, 9.0), value=rod.length,
        text=shown.length(rod.length, "fine"),
    )  # fmt: skip
    words = []
    bottom = axis + 20.0 + 2.0
    whole = right + left
    if scale is not None:
        rule = scale_rule(inches=shown.length_unit == "in")
        whole = max(whole, rule.width)
        strokes += [_down(s, bottom) for s in rule.strokes]
        words += [Text(x=t.x, y=t.y + bottom, string=t.string, size=t.size, anchor=t.anchor, layer=t.layer)
                  for t in rule.words]  # fmt: skip
        bottom += rule.height
    whole = max(whole, text_width(dimension_text(size).string, NUMBER) + 20.0)
    return Drawing(
        width=whole, height=bottom, strokes=tuple(strokes), words=tuple(words), dimensions=(size,), scale=scale,
        alt=ALT["rod_true" if scale else "rod"].format(length=f"{rod.length:g}"),
        name=f"spacing-rod-{rod.wheel}",
    )  # fmt: skip


def _down(stroke: Stroke, by: float) -> Stroke:
    return Stroke(
        points=tuple((x, y + by) for x, y in stroke.points), weight=stroke.weight, dash=stroke.dash,
        closed=stroke.closed, fill=stroke.fill, layer=stroke.layer,
    )  # fmt: skip
