"""How a tube lies in the bender just before a bend: die, held side, mark, stop, legs bent before, which way it swings.

The half-bent tube comes from the bender's laws (`laws.bending.blank`), in bender axes. Long straights are drawn short,
with a gap that says so; directions, bend angles and turns are true.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from handbarrow.drawings.hidden import View, look, view_along
from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, NUMBER, WORD, Anchor, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room
from handbarrow.drawings.shapes import CHAIN, arrow
from handbarrow.drawings.solids import Solid, box, curves, cylinder, ring, run, spine
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.values import BendRow, Job, JobPart
from handbarrow.laws.bending.blank import Blank, BlankBend, Feed
from handbarrow.laws.bending.clearance import sweep
from handbarrow.laws.geometry.path import Centreline, Floats, Steps, Vec3, from_steps, layout, rotation, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.units.shown import short_text

__all__ = ["TubeAtBender", "at_bender_view", "tube_at_bender"]

LONGEST = 3.2
"""Straights are drawn no longer than this many radii of the die."""
FROM_HELD_END = (-1.0, -0.95, 0.95)
"""Direction of the viewer: behind the held end, outside of the bend, from above. Turns are seen from there too."""
WAYS = tuple((math.cos(a), math.sin(a)) for a in np.radians([20, 160, -90, -20, -160, 90, 50, 130, -50, -130]))
"""Where a word may stand from what it names: beside it first."""
UP = np.array([0.0, 0.0, 1.0])


# ------------------------------------------------------------------------------------------------ the tube
@dataclass(frozen=True, slots=True, kw_only=True)
class TubeAtBender:
    """A half-bent tube in bender axes, from its datum end to its far end.

    Attributes:
        row: The bend that is about to be made.
        line: Centreline with the bends made so far, ends square; straights may be drawn short.
        crown: Direction of the crown line at the datum end.
        crown_here: Its direction on the straight that lies in the die.
        section: Its section.
        held, swept: The first straight on either side of the bend, as drawn [mm].
        stop: Where along x the tube meets the stop, as drawn [mm]; None: no stop.
        gaps: (segment of `line`, place on it): where a straight is drawn short.
    """

    row: BendRow
    line: Centreline
    crown: Vec3
    crown_here: Vec3
    section: Section
    held: float
    swept: float
    stop: float | None
    gaps: tuple[tuple[int, Vec3], ...] = ()


def tube_at_bender(part: JobPart, number: int, *, mirrored: bool = False, longest: float = math.inf) -> TubeAtBender:
    """Return a bent part as it lies in the bender just before one of its bends.

    Args:
        part: The part.
        number: Number of the bend along the tube, from 1.
        mirrored: Whether it is a piece of the other hand: what stands above the bender's plane hangs below it.
        longest: Straights are drawn no longer than this [mm].

    Raises:
        ValueError: If the part is not bent.
    """
    blank, section = _blank(part)
    rows = part.card.rows if part.card else ()
    row = rows[number - 1]
    k, made = number - 1, sum(1 << (r.number - 1) for r in rows if r.order < row.order)
    away: Feed = "end" if row.feed == "start" else "start"
    held_steps, swept_steps = blank.side(k, row.feed, made), blank.side(k, away, made)
    held = from_steps((0.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, -1.0), _short(held_steps, longest))
    swept = from_steps((row.uses, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), _short(swept_steps, longest))
    first = len(held.radii)
    gaps = [(first - i, at) for i, at in _gaps(held, held_steps, longest)]
    gaps += [(first + i, at) for i, at in _gaps(swept, swept_steps, longest)]
    points, radii = (*held.points[:0:-1], *swept.points[1:]), (*held.radii[::-1], *swept.radii)
    if row.feed == "end":
        first, last = len(radii) - first, len(points) - 2
        points, radii, gaps = points[::-1], radii[::-1], [(last - i, at) for i, at in gaps]
    line = Centreline(points, radii)
    crown_here = vec3(rotation((1.0, 0.0, 0.0), blank.crown_rad(k, row.feed)) @ UP)
    free = min(held_steps.straights[0], longest)
    found = TubeAtBender(
        row=row, line=line, crown=_crown_at_datum(line, first, crown_here), crown_here=crown_here, section=section,
        held=free, swept=min(swept_steps.straights[0], longest), stop=_stop_at(row, held, free, section),
        gaps=tuple(sorted(gaps)),
    )  # fmt: skip
    return _mirror(found) if mirrored else found


def _blank(part: JobPart) -> tuple[Blank, Section]:
    """The straight tube of a card with the bends to be made, straights counted to the longest points of the cuts."""
    card = part.card
    if card is None or not card.rows or part.section is None:
        raise ValueError(f"{part.id} is not bent")
    straights = list(card.straights)
    straights[0] -= card.datum_shift
    straights[-1] -= part.end.shortest if part.end else 0.0
    first = card.rows[0]
    normal = -first.crown_rad if first.feed == "start" else first.crown_rad - math.pi
    half, bends = part.section.outside / 2, []
    for row in card.rows:
        normal += row.turn_rad if row.number > 1 else 0.0
        bend = BlankBend(
            angle_rad=row.angle_rad, set_angle_rad=row.set_angle_rad, radius=row.radius, die_radius=row.die_radius,
            used=row.uses, offset=row.reference_offset, normal_rad=normal, half_outside=half, die=row.die,
        )  # fmt: skip
        bends.append(bend)
    return Blank(tuple(straights), tuple(bends)), part.section


def _short(steps: Steps, longest: float) -> Steps:
    return replace(steps, straights=tuple(min(s, longest) for s in steps.straights))


def _gaps(side: Centreline, true: Steps, longest: float) -> list[tuple[int, Vec3]]:
    """(segment, its place) of the straights of one side that are drawn short."""
    place = layout(side)
    outs, ins = [place.start, *place.tangents_out], [*place.tangents_in, place.end]
    return [(i, vec3((outs[i] + ins[i]) / 2)) for i, straight in enumerate(true.straights) if straight > longest + 1e-9]


def _crown_at_datum(line: Centreline, straight: int, crown_here: Vec3) -> Vec3:
    """Carry the crown line from the straight that lies in the die back to the datum end."""
    place, carried = layout(line), np.eye(3)
    for normal, angle in zip(place.normals[:straight], place.angles[:straight], strict=True):
        carried = rotation(normal, float(angle)) @ carried
    return vec3(carried.T @ np.asarray(crown_here))


def _stop_at(row: BendRow, held: Centreline, free: float, section: Section) -> float | None:
    if row.stop is None or row.stop_touches == "none":
        return None
    return -free - (held.radii[0] + section.outside / 2 if row.stop_touches == "leg" and held.radii else 0.0)


def _mirror(tube: TubeAtBender) -> TubeAtBender:
    def flipped(p: Vec3) -> Vec3:
        return (p[0], p[1], -p[2])

    line = Centreline(tuple(flipped(p) for p in tube.line.points), tube.line.radii)
    gaps = tuple((i, flipped(p)) for i, p in tube.gaps)
    return replace(tube, line=line, crown=flipped(tube.crown), crown_here=flipped(tube.crown_here), gaps=gaps)


# ------------------------------------------------------------------------------------------------ the solids
def _tube_solids(tube: TubeAtBender) -> list[Solid]:
    """The tube in pieces with a gap where it is drawn short, its crown line and its mark."""
    half = tube.section.outside / 2
    reach = half if tube.section.shape != "angle" else tube.section.height
    out: list[Solid] = []
    for line, crown in _pieces(tube):
        points, _, turns = spine(line, half)
        out += [run("tube", line, tube.section, crown), curves("crown", [points + reach * (turns @ np.asarray(crown))])]
    mark = ring(np.array([-tube.row.reference_offset, 0.0, 0.0]), np.array([1.0, 0.0, 0.0]), UP, tube.section)
    return [*out, curves("mark", [mark])]


def _pieces(tube: TubeAtBender) -> list[tuple[Centreline, Vec3]]:
    """Cut the centreline at its gaps; each piece with the crown direction where it starts."""
    line, half = tube.line, tube.section.outside / 2
    place, crown = layout(line), np.asarray(tube.crown)
    crowns = [crown]
    for normal, angle in zip(place.normals, place.angles, strict=True):
        crowns.append(rotation(normal, float(angle)) @ crowns[-1])
    at, before, first = line.points[0], 0, 0
    out = []
    for segment, middle in [*tube.gaps, (len(line.points) - 2, None)]:
        t = place.directions[segment]
        end = line.points[-1] if middle is None else vec3(np.asarray(middle) - t * half * 0.8)
        points = (at, *line.points[before + 1 : segment + 1], end)
        out.append((Centreline(points, line.radii[before:segment]), vec3(crowns[first])))
        if middle is not None:
            at, before, first = vec3(np.asarray(middle) + t * half * 0.8), segment, segment
    return out


def _tool_solids(tube: TubeAtBender) -> list[Solid]:
    """The die as a grooved disc, the block that holds the tube, and the stop."""
    r, half = tube.row.die_radius, tube.section.outside / 2
    rim = max(5.0, 0.4 * half)
    disc: list[Solid] = [
        cylinder("die", (0.0, r, 0.0), (0.0, 0.0, 1.0), r - half, 2 * half),
        *(cylinder("die", (0.0, r, s * (half + rim / 2)), (0.0, 0.0, 1.0), r, rim) for s in (1, -1)),
        cylinder("die", (0.0, r, half + 1.5 * rim), (0.0, 0.0, 1.0), 0.18 * r, rim),
    ]
    x, top = -tube.row.reference_offset, half + rim
    edge = r - math.sqrt(max(r * r - x * x, 0.0))
    out = [*disc, curves("reference", [np.array([(x, edge, top), (x, edge + 0.5 * r, top)])])]
    block = min(0.8 * tube.held, 0.9 * r)
    if block > 0.3 * half:
        out.append(box("block", (-block, -1.9 * half, -0.8 * half), (0.0, -0.6 * half, 0.8 * half)))
    if tube.stop is not None:
        out.append(box("stop", (tube.stop - 0.7 * half, -2 * half, -2 * half), (tube.stop, 2 * half, 2 * half)))
    return out


# ------------------------------------------------------------------------------------------------ the picture
@dataclass(frozen=True, slots=True)
class _Frame:
    """From bender axes to the paper."""

    view: View
    scale: float
    left: float
    top: float

    def at(self, points: Floats) -> tuple[Point, ...]:
        """Points (k, 3) in bender axes on the paper."""
        return self.flat(np.asarray(points) @ self.view.matrix.T)

    def flat(self, points: Floats) -> tuple[Point, ...]:
        """Points (k, 2 or more) of the view on the paper."""
        return tuple((self.left + float(p[0]) * self.scale, self.top - float(p[1]) * self.scale) for p in points)


def at_bender_view(
    job: Job, part_id: str, number: int, size: tuple[float, float] = (86.0, 52.0), *, mirrored: bool = False
) -> Drawing:
    """Return a small hidden-line picture of a tube in the bender just before one of its bends.

    Args:
        job: The job.
        part_id: A bent part.
        number: Number of the bend, from 1.
        size: Width and height of the drawing [mm].
        mirrored: Whether it is a piece of the other hand.

    Raises:
        ValueError: If the part is not bent.
    """
    part = job.part(part_id)
    if part.card is None:
        raise ValueError(f"{part_id} is not bent")
    reach = LONGEST * part.card.rows[number - 1].die_radius
    tube = tube_at_bender(part, number, mirrored=mirrored, longest=reach)
    view = view_along(FROM_HELD_END)
    seen = look([*_tool_solids(tube), *_tube_solids(tube)], view, step=reach / 60).seen
    notes = _notes(tube)
    every = np.concatenate([*(line for _, line in seen), *((p @ view.matrix.T)[:, :2] for p in notes.values())])
    low, high = every.min(axis=0), every.max(axis=0)
    strokes: list[Stroke] = []
    words: list[Text] = []
    for part_of in (1.0, 0.88, 0.76, 0.64):
        scale = part_of * min((size[0] - 6.0) / float(high[0] - low[0]), (size[1] - 6.0) / float(high[1] - low[1]))
        left, top = (size[0] - scale * float(high[0] + low[0])) / 2, (size[1] + scale * float(high[1] + low[1])) / 2
        frame = _Frame(view, scale, left, top)
        strokes = [_stroke(name, frame.flat(line)) for name, line in seen] + _note_strokes(notes, frame)
        words = _words(job, tube, {name: frame.at(p) for name, p in notes.items()}, strokes, size)
        if len(words) == len(notes):
            break
    return Drawing(
        width=size[0], height=size[1], strokes=tuple(strokes), words=tuple(words), scale=None,
        name=f"at-bender-{part.id}-{number}{'-mirrored' if mirrored else ''}",
        alt=ALT["at_bender_mirrored" if mirrored else "at_bender"].format(
            part=part.title, number=number, made=len(tube.line.radii), bends=len(part.card.rows)
        ),
    )  # fmt: skip


def _stroke(name: str, points: tuple[Point, ...]) -> Stroke:
    if name == "crown":
        return Stroke(points=points, weight=FINE, dash=CHAIN, layer="crown")
    if name in ("mark", "reference"):
        return Stroke(points=points, weight=HEAVY * 1.4, layer="mark")
    return Stroke(points=points, weight=HEAVY if name == "tube" else FINE, layer=name)


def _notes(tube: TubeAtBender) -> dict[str, Floats]:
    """What is drawn over the picture, in bender axes: the swing, the crown line's direction, where words point."""
    row, half = tube.row, tube.section.outside / 2
    far = np.array([[max(row.uses + tube.swept, 2.2 * row.die_radius), 0.0, 0.0]])
    count = max(6, math.ceil(row.set_angle_rad / math.radians(6)))
    swing = sweep(far, row.die_radius, np.linspace(0.08, 1.0, count) * row.set_angle_rad)[:, 0, :]
    out = {"swing": swing}
    behind = tube.held > 1.5 * row.die_radius
    at = np.array([-0.8 * tube.held if behind else row.uses + 0.75 * tube.swept, 0.0, 0.0])
    crown = np.asarray(tube.crown_here)
    out["crown"] = np.array([at + crown * half, at + crown * 5.5 * half])
    out["mark"] = np.array([(-row.reference_offset, 0.0, half)])
    if tube.stop is not None:
        out["stop"] = np.array([(tube.stop, 0.0, 2 * half)])
    return out


def _note_strokes(notes: dict[str, Floats], frame: _Frame) -> list[Stroke]:
    swing = frame.at(notes["swing"])
    out = [Stroke(points=swing[:-1], weight=MEDIUM, layer="notes"), *arrow(swing[-2], swing[-1], MEDIUM, "notes", 3.2)]
    tail, tip = frame.at(notes["crown"])
    return out + arrow(tail, tip, MEDIUM, "notes", 2.2)


# ------------------------------------------------------------------------------------------------ its words
def _words(
    job: Job, tube: TubeAtBender, notes: dict[str, tuple[Point, ...]], strokes: list[Stroke], size: tuple[float, float]
) -> list[Text]:
    """Say angle, mark, stop and crown line where there is room; leaders are added to `strokes`."""
    shown, row = job.workshop.shown, tube.row
    room = Room(*size)
    room.block(strokes)
    said = [("swing", f"{short_text(math.degrees(row.set_angle_rad))}°", True), ("crown", DRAWN["crown_line"], False)]
    said.append(("mark", DRAWN["mark"].format(mark=shown.length(row.mark)), False))
    if tube.stop is not None and row.stop is not None:
        said.append(("stop", DRAWN["stop"].format(stop=shown.length(row.stop)), False))
    out: list[Text] = []
    for name, string, bold in said:
        put = _beside(room, string, notes[name][-1], bold)
        if put is None:
            continue
        text, leader = put
        out.append(text)
        if name in ("mark", "stop") or (name == "crown" and math.dist(*leader.points) > 4.0):
            strokes.append(leader)
            room.block([leader])
    return out


def _beside(room: Room, string: str, target: Point, bold: bool) -> tuple[Text, Stroke] | None:
    """Put a word near a point, and draw a line to it if it stands off."""
    em = NUMBER if bold else WORD
    for reach in (2.5, 5.5, 9.0, 13.0, 18.0, 25.0, 34.0):
        for c, s in WAYS:
            x, y = target[0] + reach * c, target[1] + reach * s + 0.357 * em
            anchor: Anchor = "start" if c > 0.1 else "end" if c < -0.1 else "middle"
            text = Text(x=x, y=y, string=string, size=em, anchor=anchor, bold=bold, layer="notes")
            if not room.is_clear(text, 0.7):
                continue
            end = (target[0] + max(reach - 0.9, 0.5) * c, target[1] + max(reach - 1.8 * abs(s) - 0.6, 0.5) * s)
            leader = Stroke(points=(target, end), weight=FINE, layer="notes")
            if room.is_crossed([leader]):
                continue
            room.take(text, 0.7)
            return text, leader
    return None
