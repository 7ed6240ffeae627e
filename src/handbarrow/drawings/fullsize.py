"""Bent parts that lie flat, at full size: the finished part is laid on it. Outline, centreline, bends, marks, ends."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from handbarrow.drawings.contours import TOLERANCE
from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, WORD, Dimension, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room
from handbarrow.drawings.shapes import CHAIN
from handbarrow.drawings.solids import section_outline
from handbarrow.drawings.widths import text_width
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.values import BendRow, EndCut, Job, JobPart
from handbarrow.laws.geometry.path import Centreline, Floats, Layout, Vec3, crown_on_straights, layout
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.units.shown import Shown, short_text

__all__ = ["bending_template", "is_flat_bent", "template_size"]

EDGE, DIM = 4.0, 10.0
"""White round the part, and where a dimension stands [mm]."""
ABOVE = 1.4
"""Baseline of the words in the tube from its centreline [mm]."""
OUT = 5.0
"""How far the lines where a bend starts and ends reach beyond the tube [mm]."""


OnPaper = Callable[[Floats], tuple[Point, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Flat:
    """A part that lies flat, and the plane it is drawn in: right and up of the paper, and the view's direction."""

    part: JobPart
    place: Layout
    section: Section
    crowns: Floats
    right: Floats
    up: Floats
    normal: Floats

    def flat(self, points: Floats | Sequence[Floats]) -> Floats:
        """Places (n, 2) in the plane, y up [mm]."""
        p = np.atleast_2d(np.asarray(points, dtype=float))
        return np.stack([p @ self.right, p @ self.up], axis=1)

    def lateral(self, t: Floats) -> Floats:
        """To the left of a direction in the plane."""
        return np.cross(self.normal, t)

    def sides(self) -> tuple[float, float]:
        """How far the section reaches to the right (negative) and to the left of the centreline [mm]."""
        if self.section.is_round:
            return -self.section.height / 2, self.section.height / 2
        t, v = self.place.directions[0], self.crowns[0]
        left, u = self.lateral(t), np.cross(t, v)
        reach = [a * float(v @ left) + b * float(u @ left) for a, b in section_outline(self.section)]
        return min(reach), max(reach)


def is_flat_bent(part: JobPart) -> bool:
    """Whether a part is bent and lies flat."""
    return part.card is not None and bool(part.card.rows) and part.card.planar


def template_size(part: JobPart) -> tuple[float, float]:
    """Width and height of a bent flat part [mm].

    Raises:
        ValueError: If the part is not bent, or does not lie flat.
    """
    flat = _flat(part, turned=False)
    points = np.concatenate([flat.flat(line) for line in (*_silhouettes(flat), *_end_rings(flat))])
    low, high = points.min(axis=0), points.max(axis=0)
    return float(high[0] - low[0]), float(high[1] - low[1])


def bending_template(job: Job, part_id: str, turned: bool = False) -> Drawing:
    """Return a bent part that lies flat at 1:1.

    Args:
        job: The job.
        part_id: A bent part.
        turned: Whether its longest leg stands upright instead of lying across.

    Raises:
        ValueError: If the part is not bent, or does not lie flat.
    """
    part, shown = job.part(part_id), job.workshop.shown
    flat = _flat(part, turned)
    sides = [flat.flat(side) for side in _silhouettes(flat)]
    ends = [flat.flat(ring) for ring in _end_rings(flat)]
    everything = np.concatenate([*sides, *ends])
    low, high = everything.min(axis=0), everything.max(axis=0)
    below, to_left = _dense_sides(sides, low, high)
    shift = np.array([EDGE - low[0] + (DIM if to_left else 0.0), EDGE + high[1] + (0.0 if below else DIM)])
    width, height = (float(v) + 2 * EDGE + DIM for v in high - low)

    def on(points: Floats) -> tuple[Point, ...]:
        return tuple((float(shift[0] + x), float(shift[1] - y)) for x, y in points)

    strokes = [Stroke(points=on(line), weight=HEAVY, layer="outline") for line in sides]
    strokes += [Stroke(points=on(line), weight=MEDIUM, layer="ends") for line in ends]
    strokes.append(Stroke(points=on(flat.flat(_offset(flat.place, flat.normal, 0.0, (0.0, 0.0)))), weight=FINE,
                          dash=CHAIN, layer="centreline"))  # fmt: skip
    strokes += [Stroke(points=on(flat.flat(a)), weight=w, layer=layer) for a, w, layer in _bend_lines(flat)]
    dimensions = _overall(on(np.array([low, high])), (below, to_left), high - low, shown)
    room = Room(width, height)
    room.block(strokes)
    words = _words(flat, room, on, shown)
    return Drawing(
        width=width, height=height, strokes=tuple(strokes), words=tuple(words), dimensions=dimensions, scale=1.0,
        name=f"template-{part.id}",
        alt=ALT["template"].format(
            part=part.title, width=shown.length(high[0] - low[0]), height=shown.length(high[1] - low[1])
        ),
    )  # fmt: skip


def _flat(part: JobPart, turned: bool) -> _Flat:
    if not is_flat_bent(part) or part.centreline is None or part.section is None or part.crown is None:
        raise ValueError(f"{part.id} is no bent part that lies flat")
    line: Centreline = part.centreline
    crown: Vec3 = part.crown
    place = layout(line)
    normal = place.normals[0]
    right = place.directions[int(np.argmax(place.straights))]
    up = np.cross(normal, right)
    if turned:
        right, up = -up, right
    return _Flat(
        part=part, place=place, section=part.section, crowns=crown_on_straights(line, crown), right=right, up=up,
        normal=normal,
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ lines
def _silhouettes(flat: _Flat) -> list[Floats]:
    """Both long sides, from where the start is cut to where the end is cut."""
    return [_offset(flat.place, flat.normal, side, _trims(flat, side)) for side in flat.sides()]


def _trims(flat: _Flat, side: float) -> Point:
    """How far into the tube each end is cut at one side [mm]."""
    out = []
    for cut, t, v in _ends(flat):
        if cut is None or not cut.wrap:
            out.append(cut.shortest if cut is not None else 0.0)
            continue
        across, h = _ring(flat, cut, t, v)
        out.append(float(h[int(np.argmin(np.abs(across - side)))]))
    return out[0], out[1]


def _ends(flat: _Flat) -> list[tuple[EndCut | None, Floats, Floats]]:
    place = flat.place
    return [
        (flat.part.start, place.directions[0], flat.crowns[0]),
        (flat.part.end, place.directions[-1], flat.crowns[-1]),
    ]


def _ring(flat: _Flat, cut: EndCut, t: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Where the stations of a cut lie to the left of the centreline, and how far into the tube they are cut."""
    girth = outline(flat.section)
    left, u = flat.lateral(t), np.cross(t, v)
    across = girth.uv[:, 0] * float(u @ left) + girth.uv[:, 1] * float(v @ left)
    s, h = np.asarray(cut.wrap, dtype=float).T
    return across, np.interp(girth.s, s, h)


def _end_rings(flat: _Flat) -> Iterator[Floats]:
    """The cut of each end as it is seen."""
    place = flat.place
    low, high = flat.sides()
    for (cut, t, v), at, inward in zip(_ends(flat), (place.start, place.end), (1.0, -1.0), strict=True):
        if cut is not None and cut.wrap:
            across, h = _ring(flat, cut, t, v)
        else:
            across, h = np.array([low, high]), np.full(2, cut.shortest if cut is not None else 0.0)
        yield at + np.outer(across, flat.lateral(t)) + np.outer(h * inward, t)


def _offset(place: Layout, normal: Floats, aside: float, trims: Point) -> Floats:
    """Points (n, 3) of a line beside the centreline, arcs as chords within TOLERANCE."""
    points = [place.start + np.cross(normal, place.directions[0]) * aside + place.directions[0] * trims[0]]
    for k, angle in enumerate(float(a) for a in place.angles):
        sense = 1.0 if float(place.normals[k] @ normal) > 0 else -1.0
        radius = float(place.radii[k]) - sense * aside
        step = 2 * math.acos(max(0.5, 1 - TOLERANCE / max(abs(radius), 1.0)))
        turns = np.linspace(0.0, angle, max(2, math.ceil(angle / step) + 1))
        spoke = place.tangents_in[k] - place.centres[k]
        spoke = spoke / np.linalg.norm(spoke)
        ahead = place.directions[k]
        points += list(place.centres[k] + radius * (np.outer(np.cos(turns), spoke) + np.outer(np.sin(turns), ahead)))
    points.append(place.end + np.cross(normal, place.directions[-1]) * aside - place.directions[-1] * trims[1])
    return np.array(points)


def _bend_lines(flat: _Flat) -> Iterator[tuple[Floats, float, str]]:
    """Lines across the tube where a bend starts and ends, and the die's marks where they lie on a straight."""
    low, high = flat.sides()
    place = flat.place
    for k in range(len(place.angles)):
        for at, t in ((place.tangents_in[k], place.directions[k]), (place.tangents_out[k], place.directions[k + 1])):
            across = flat.lateral(t)
            yield np.array([at + across * (low - OUT), at + across * (high + OUT)]), FINE, "bends"
    for row in flat.part.card.rows if flat.part.card else ():
        found = _mark(place, row)
        if found is not None:
            at, t = found
            across = flat.lateral(t)
            yield np.array([at + across * low, at + across * high]), HEAVY, "marks"


def _mark(place: Layout, row: BendRow) -> tuple[Floats, Floats] | None:
    """Where the mark of a bend lies on the finished part, if it lies on the straight before it."""
    k = row.number - 1
    ahead = row.feed == "start"
    leg = k if ahead else k + 1
    if not 0 < row.reference_offset <= float(place.straights[leg]):
        return None
    t = place.directions[leg]
    at = place.tangents_in[k] if ahead else place.tangents_out[k]
    return at + t * (-row.reference_offset if ahead else row.reference_offset), t


# ------------------------------------------------------------------------------------------------ sizes and words
def _dense_sides(sides: Sequence[Floats], low: Floats, high: Floats) -> tuple[bool, bool]:
    """Whether more of the part lies along the lower than the upper side, along the left than the right one."""
    steps = np.concatenate([np.diff(side, axis=0) for side in sides])
    middles = np.concatenate([(side[1:] + side[:-1]) / 2 for side in sides])
    sizes = np.linalg.norm(steps, axis=1)
    near = 0.2 * (high - low)
    begin = [float(sizes[middles[:, i] < low[i] + near[i]].sum()) for i in (0, 1)]
    finish = [float(sizes[middles[:, i] > high[i] - near[i]].sum()) for i in (0, 1)]
    return begin[1] >= finish[1], begin[0] >= finish[0]


def _overall(corners: Sequence[Point], sides: tuple[bool, bool], size: Floats, shown: Shown) -> tuple[Dimension, ...]:
    """Width and height over all, beside the sides that the part lies along: they prove the glued template."""
    (x0, y1), (x1, y0) = corners
    below, to_left = sides
    y, off_y = (y1, 8.0) if below else (y0, -8.0)
    x, off_x = (x0, -8.0) if to_left else (x1, 8.0)
    wide, high = float(size[0]), float(size[1])
    return (
        Dimension(p1=(x0, y), p2=(x1, y), line=(x0, y + off_y), value=wide, text=shown.length(wide)),
        Dimension(
            p1=(x, y1), p2=(x, y0), line=(x + off_x, y1), value=high, text=shown.length(high),
            direction_rad=-math.pi / 2,
        ),
    )  # fmt: skip


def _words(flat: _Flat, room: Room, on: OnPaper, shown: Shown) -> list[Text]:
    """What stands in the tube along its legs, then angle and radius of each bend beside it."""
    place, last = flat.place, len(flat.place.straights) - 1
    longest = int(np.argmax(place.straights))
    inside = [(0, DRAWN["start"], 0.0), (last, DRAWN["end"], 1.0), (longest, flat.part.title, 0.5)]
    words = [text for leg, says, where in inside if (text := _along(flat, on, leg, (says, where))) is not None]
    for text in words:
        room.take(text)
    for k, angle in enumerate(place.angles):
        radius = shown.length(float(place.radii[k]))
        says = DRAWN["bend"].format(number=k + 1, angle=short_text(math.degrees(float(angle))), radius=radius)
        put = room.put(Text(x=0.0, y=0.0, string=says, anchor="middle", layer="bends"), _beside(flat, on, k))
        words += [put] if put else []
    return words


def _along(flat: _Flat, on: OnPaper, leg: int, said: tuple[str, float]) -> Text | None:
    """A text in the tube, beside the centreline, at the start (0), the middle or the end (1) of a leg."""
    place, (string, where) = flat.place, said
    t, straight = place.directions[leg], float(place.straights[leg])
    size = text_width(string, WORD, True)
    if size + 8.0 > straight:
        return None
    begin = place.start if leg == 0 else place.tangents_out[leg - 1]
    # Room for a cut end: the text stands clear of the deepest of it.
    cut = max(c.deepest if c is not None else 0.0 for c in (flat.part.start, flat.part.end))
    far = min(max(straight * where, size / 2 + 4.0 + cut), straight - size / 2 - 4.0 - cut)
    (p, q) = on(flat.flat([begin + t * far, begin + t * (far + 1.0)]))
    angle = math.atan2(q[1] - p[1], q[0] - p[0])
    if angle > math.pi / 2 - 1e-6 or angle < -math.pi / 2 - 1e-6:
        angle = math.remainder(angle + math.pi, 2 * math.pi)
    # Above the centreline as it is read.
    x, y = p[0] + math.sin(angle) * ABOVE, p[1] - math.cos(angle) * ABOVE
    return Text(x=x, y=y, string=string, anchor="middle", rotation_rad=angle, bold=True, layer="names")


def _beside(flat: _Flat, on: OnPaper, k: int) -> Iterator[Point]:
    """Places for a bend's words: inside the bend, then outside it."""
    place = flat.place
    middle = place.tangents_in[k] - place.centres[k] + place.tangents_out[k] - place.centres[k]
    spoke = middle / np.linalg.norm(middle)
    half = max(abs(side) for side in flat.sides())
    for away in (-1.0, 1.0):
        for more in (8.0, 14.0, 22.0, 32.0, 44.0, 60.0):
            at = place.centres[k] + spoke * (float(place.radii[k]) + away * (half + more))
            x, y = on(flat.flat(at))[0]
            yield from ((x + dx, y) for dx in (0.0, 16.0, -16.0, 32.0, -32.0))
