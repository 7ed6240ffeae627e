"""Fit-up step by step: what is added is drawn heavy, what was there light; details, sizes and lettered points."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Target
from handbarrow.drawings.clipping import clipped
from handbarrow.drawings.hidden import View, look, named_view
from handbarrow.drawings.ink import FINE, MEDIUM, Dimension, Point, Stroke, Text, dashed
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room
from handbarrow.drawings.product import part_solids, part_way, put_balloon
from handbarrow.drawings.shapes import circle
from handbarrow.drawings.solids import Round, Solid, placed
from handbarrow.drawings.words import ALT
from handbarrow.job.fitup_values import FitJoint, Weldment
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Floats, Vec3

__all__ = [
    "ADDED",
    "COARSE",
    "THERE",
    "Scenery",
    "checks_view",
    "detail_view",
    "laid_view",
    "piece_solids",
    "step_view",
]

ADDED, THERE = 0.6, FINE
"""Line weights of what a step adds and of what was there before [mm]."""
MARGIN = 9.0
"""White round the view for numbers [mm]."""
OFFSETS = (5.0, 7.5, 10.0, 13.0, 16.0, -5.0, -7.5, -10.0, -13.0, -16.0)
"""How far beside the tube a dimension may stand [mm on paper]."""
COARSE = 90
"""Small pictures are tried at so many points across."""
RING = 24
"""Points round the end of a tube in small pictures."""
SMALL_SHARE, WHOLE_SHARE = 0.2, 0.6
"""What is smaller than this share of the whole is drawn enlarged beside it; share of the width that the whole keeps."""
DETAIL = 4.0
"""A detail shows this many times the size of what is added at one joint."""


class Scenery(NamedTuple):
    """Solids of every piece of a job, by piece; made once for all pictures."""

    job: Job
    solids: Mapping[Target, tuple[Solid, ...]]


def piece_solids(job: Job) -> Scenery:
    """Return the solids of every piece that has a shape, each named as `part#copy`."""
    out: dict[Target, tuple[Solid, ...]] = {}
    for part in job.parts:
        first = [_lighter(solid) for solid in part_solids(job, part)]
        for place in job.placements:
            if place.part == part.id and first:
                key = Target(part=part.id, copy=place.copy)
                name = _name(key)
                out[key] = tuple(replace(placed(solid, place.transform), name=name) for solid in first)
    return Scenery(job, out)


def _lighter(solid: Solid) -> Solid:
    """A solid with fewer points round its ends and along its bends: enough for small pictures."""
    if not isinstance(solid, Round):
        return solid
    steps = [max(1, len(ring) // RING) for ring in solid.rings]
    rings = tuple(np.vstack([ring[:-1:k], ring[-1:]]) for ring, k in zip(solid.rings, steps, strict=True))
    bends = np.sum(solid.tangents[1:] * solid.tangents[:-1], axis=1) < 1 - 1e-9
    inner = np.zeros(len(solid.spine), dtype=bool)
    inner[1:-1] = bends[1:] & bends[:-1]
    keep = ~inner | (np.arange(len(inner)) % 2 == 0)
    return replace(solid, spine=solid.spine[keep], tangents=solid.tangents[keep], rings=rings)


def _name(piece: Target) -> str:
    return f"{piece.part}#{piece.copy}"


class _Paper(NamedTuple):
    """How real points come onto the paper."""

    view: View
    low: tuple[float, float]
    high: tuple[float, float]
    scale: float
    left: float
    top: float

    def flat(self, line: Floats) -> tuple[Point, ...]:
        """Points of a view (x right, y up) on the paper."""
        x = self.left + (line[:, 0] - self.low[0]) * self.scale
        y = self.top + (self.high[1] - line[:, 1]) * self.scale
        return tuple(zip(x.tolist(), y.tolist(), strict=True))

    def at(self, point: Vec3 | Floats) -> Point:
        """A point of the product on the paper."""
        return self.flat(np.asarray(self.view.matrix @ np.asarray(point, float))[None, :])[0]


def _paper(view: View, low: Point, high: Point, box: Point, margin: float) -> _Paper:
    wide, tall = max(high[0] - low[0], 1.0), max(high[1] - low[1], 1.0)
    scale = min((box[0] - 2 * margin) / wide, (box[1] - 2 * margin) / tall)
    return _Paper(view, low, high, scale, (box[0] - wide * scale) / 2, (box[1] - tall * scale) / 2)


def _lines(
    scenery: Scenery, light: Iterable[Target], heavy: Iterable[Target], view: View
) -> tuple[list[tuple[str, Floats]], set[str], tuple[float, float], tuple[float, float]]:
    """Seen lines by piece, the names of what is heavy, and the corners of all."""
    heavy_names = {_name(p) for p in heavy}
    pieces = dict.fromkeys([*light, *heavy])
    solids = [s for p in pieces for s in scenery.solids.get(p, ())]
    every = np.concatenate([_extent(s) for s in solids]) if solids else np.zeros((1, 3))
    flat = every @ view.matrix.T
    span = float(np.ptp(flat[:, :2], axis=0).max())
    seen = look(solids, view, step=max(span / COARSE, 1.0))
    return list(seen.seen), heavy_names, seen.low, seen.high


def _extent(solid: Solid) -> Floats:
    return solid.spine if isinstance(solid, Round) else solid.points


# ------------------------------------------------------------------------------------------------ a step
def step_view(
    scenery: Scenery, weldment: Weldment, number: int, box: tuple[float, float], joints: Sequence[FitJoint]
) -> Drawing:
    """Return a step of a weldment as an isometric view.

    Args:
        scenery: The job's solids.
        weldment: What is welded.
        number: Number of the step.
        box: Width and height of the drawing [mm].
        joints: Joints whose place is dimensioned: from where the tape starts to the near side.
    """
    job = scenery.job
    step = weldment.steps[number - 1]
    light = [p for s in weldment.steps[: number - 1] for p in s.pieces]
    heavy = [*step.pieces, *(outer for outer, _ in step.threaded)]
    view = named_view("isometric")
    seen, names, low, high = _lines(scenery, light, heavy, view)
    paper = _paper(view, low, high, box, MARGIN)
    strokes = _strokes(seen, names, paper)
    room = Room(*box)
    room.block(strokes)
    dimensions = _places(room, paper, job, joints)
    more, words = _numbers(job, room, paper, seen, [step.part, *(outer.part for outer, _ in step.threaded)], box)
    title = job.part(step.part).title
    return Drawing(
        width=box[0], height=box[1], strokes=(*strokes, *more), words=tuple(words), dimensions=tuple(dimensions),
        alt=ALT["step"].format(assembly=weldment.assembly, number=number, part=title), scale=paper.scale,
        name=f"{weldment.assembly}-step-{number}",
    )  # fmt: skip


def _strokes(seen: Iterable[tuple[str, Floats]], heavy: set[str], paper: _Paper) -> list[Stroke]:
    """Light lines first, so that the heavy ones lie over them."""
    light = [Stroke(points=paper.flat(line), weight=THERE, layer="there") for n, line in seen if n not in heavy]
    return [*light, *(Stroke(points=paper.flat(line), weight=ADDED, layer="added") for n, line in seen if n in heavy)]


def _places(room: Room, paper: _Paper, job: Job, joints: Sequence[FitJoint]) -> list[Dimension]:
    """Dimensions along the receivers, each where it is clear."""
    out = []
    for joint in joints:
        place = joint.place
        start, end = np.asarray(place.datum_point), np.asarray(place.point)
        run = float(np.linalg.norm(end - start))
        if place.datum not in ("start", "end", "bend") or not place.leg or run < 1.0:
            continue
        near = start + (end - start) / run * place.near
        p, q = paper.at(start), paper.at(near)
        direction = float(np.arctan2(q[1] - p[1], q[0] - p[0]))
        said = job.workshop.shown.length(place.near)
        tried = Dimension(p1=p, p2=q, line=p, value=place.near, text=said, direction_rad=direction)
        put = room.put_dimension(tried, OFFSETS)
        if put is not None:
            out.append(put)
    return out


def _numbers(
    job: Job, room: Room, paper: _Paper, seen: Iterable[tuple[str, Floats]], parts: Iterable[str], box: Point
) -> tuple[list[Stroke], list[Text]]:
    """Part numbers in balloons, each once."""
    wanted = list(dict.fromkeys(parts))
    numbers = {part.id: str(k) for k, part in enumerate(job.parts, start=1)}
    longest: dict[str, tuple[Point, ...]] = {}
    for name, line in seen:
        part, flat = name.partition("#")[0], paper.flat(line)
        if part in wanted and (part not in longest or _run(flat) > _run(longest[part])):
            longest[part] = flat
    strokes: list[Stroke] = []
    words: list[Text] = []
    for part in wanted:
        if part not in longest:
            continue
        anchors = [part_way(longest[part], f) for f in (0.5, 0.3, 0.7, 0.15, 0.85)]
        found = put_balloon(room, numbers[part], anchors, (box[0] / 2, box[1] / 2))
        if found is not None:
            strokes += found[0]
            words.append(found[1])
    return strokes, words


def _run(line: Sequence[Point]) -> float:
    return sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(line))


# ------------------------------------------------------------------------------------------------ a detail
def detail_view(
    scenery: Scenery, weldment: Weldment, number: int, box: tuple[float, float], joint: FitJoint
) -> Drawing | None:
    """Return one joint of a step enlarged; None where the step's own view shows it well."""
    step = weldment.steps[number - 1]
    added = joint.added
    here = np.concatenate([_extent(s) for s in scenery.solids.get(added, ())] or [np.zeros((1, 3))])
    view = named_view("isometric")
    flat = here @ view.matrix.T
    size = float(np.ptp(flat[:, :2], axis=0).max()) + 30.0
    light = [p for s in weldment.steps[: number - 1] for p in s.pieces]
    near = [p for p in light if _touches(scenery, p, here, size)]
    seen, names, _, _ = _lines(scenery, near, step.pieces, view)
    middle = flat[:, :2].mean(axis=0)
    half = np.array([box[0], box[1]]) / min(box) * size * 0.62
    low, high = middle - half, middle + half
    paper = _paper(
        view, (float(low[0]), float(low[1])), (float(high[0]), float(high[1])), box, 0.5
    )  # fmt: skip
    cut = [(n, piece) for n, line in seen for piece in clipped(line, low, high)]
    strokes = _strokes(cut, names, paper)
    frame = Stroke(
        points=((0.3, 0.3), (box[0] - 0.3, 0.3), (box[0] - 0.3, box[1] - 0.3), (0.3, box[1] - 0.3)),
        weight=FINE, closed=True, layer="frame",
    )  # fmt: skip
    title = scenery.job.part(added.part).title
    return Drawing(
        width=box[0], height=box[1], strokes=(frame, *strokes), scale=paper.scale,
        alt=ALT["detail"].format(assembly=weldment.assembly, number=number, part=title),
        name=f"{weldment.assembly}-detail-{number}",
    )  # fmt: skip


def _touches(scenery: Scenery, piece: Target, here: Floats, reach: float) -> bool:
    """Whether any of a piece lies within reach of points, by its box."""
    points = np.concatenate([_extent(s) for s in scenery.solids.get(piece, ())] or [np.zeros((1, 3))])
    low, high = points.min(axis=0) - reach, points.max(axis=0) + reach
    return bool(np.any(np.all((here >= low) & (here <= high), axis=1)))


# ------------------------------------------------------------------------------------------------ checks
def checks_view(
    scenery: Scenery, weldment: Weldment, points: Mapping[str, Vec3], pairs: Sequence[tuple[str, str]],
    box: tuple[float, float],
) -> Drawing:  # fmt: skip
    """Return a weldment from above, light, with lettered points and lines between those measured.

    Args:
        scenery: The job's solids.
        weldment: What is welded.
        points: Letter -> point, product axes.
        pairs: Letters that are measured between.
        box: Width and height of the drawing [mm].
    """
    view = named_view("top")
    seen, _, low, high = _lines(scenery, weldment.pieces, (), view)
    paper = _paper(view, low, high, box, MARGIN)
    strokes = [Stroke(points=paper.flat(line), weight=THERE, layer="there") for _, line in seen]
    room = Room(*box)
    room.block(strokes)
    for a, b in pairs:
        line = (paper.at(points[a]), paper.at(points[b]))
        strokes.append(dashed(line, layer="measured", weight=MEDIUM))
    words: list[Text] = []
    for letter, point in points.items():
        x, y = paper.at(point)
        strokes.append(circle((x, y), 0.9, 0.0, "points", fill="black"))
        found = put_balloon(room, letter, [(x, y)], (box[0] / 2, box[1] / 2))
        if found is not None:
            strokes += found[0]
            words.append(found[1])
    return Drawing(
        width=box[0], height=box[1], strokes=tuple(strokes), words=tuple(words), scale=paper.scale,
        alt=ALT["points"].format(assembly=weldment.assembly, points=", ".join(points)),
        name=f"{weldment.assembly}-checks",
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ assembly
def laid_view(
    scenery: Scenery, light: Sequence[Target], heavy: Sequence[Target], dots: Mapping[str, Sequence[Vec3]],
    box: tuple[float, float],
) -> Drawing:  # fmt: skip
    """Return what is put on something: it is heavy, what it goes on light; bought parts without a shape are dots.

    Args:
        scenery: The job's solids.
        light: Pieces that are there.
        heavy: Pieces that are added.
        dots: Part id -> places of bought parts, product axes.
        box: Width and height of the drawing [mm].
    """
    view = named_view("isometric")
    seen, names, low, high = _lines(scenery, light, heavy, view)
    titles = ", ".join(dict.fromkeys(scenery.job.part(p).title for p in [*(q.part for q in heavy), *dots]))
    scene = _Laid(scenery.job, seen, names, [p.part for p in heavy], dots)
    window = _window([line for name, line in seen if name in names], max(high[0] - low[0], high[1] - low[1]))
    if window is None:
        paper = _paper(view, low, high, box, MARGIN)
        strokes, words = _laid_lines(scene, paper, box)
    else:
        paper = _paper(view, low, high, (box[0] * WHOLE_SHARE, box[1]), MARGIN)
        strokes, words = _laid_with_detail(scene, paper, window, box)
    return Drawing(
        width=box[0], height=box[1], strokes=tuple(strokes), words=tuple(words), scale=paper.scale,
        alt=ALT["where"].format(parts=titles), name="assembly",
    )  # fmt: skip


class _Laid(NamedTuple):
    """Lines of what is put on something and what it goes on, the names of what is heavy, its parts; bought parts."""

    job: Job
    seen: Sequence[tuple[str, Floats]]
    heavy: set[str]
    parts: Sequence[str]
    dots: Mapping[str, Sequence[Vec3]]


def _window(added: Sequence[Floats], span: float) -> tuple[Floats, float] | None:
    """Middle and half size of what is added, where it is too small to be read in the whole; else None."""
    if not added:
        return None
    points = np.concatenate([line[:, :2] for line in added])
    low, high = points.min(axis=0), points.max(axis=0)
    size = float(np.max(high - low))
    return None if size > SMALL_SHARE * span else ((low + high) / 2, size * 0.75)


def _laid_lines(scene: _Laid, paper: _Paper, box: Point) -> tuple[list[Stroke], list[Text]]:
    """What is put on something, with balloons, on paper of a size."""
    strokes = _strokes(scene.seen, scene.heavy, paper)
    room = Room(*box)
    room.block(strokes)
    more, words = _numbers(scene.job, room, paper, scene.seen, scene.parts, box)
    strokes += more
    numbers = {part.id: str(k) for k, part in enumerate(scene.job.parts, start=1)}
    spots: dict[str, Point] = {}
    for part, places in scene.dots.items():
        for x, y in (paper.at(place) for place in places):
            if 0.0 < x < box[0] and 0.0 < y < box[1]:
                strokes.append(circle((x, y), 1.0, 0.0, "bought", fill="black"))
                spots.setdefault(part, (x, y))
    for part, spot in spots.items():
        found = put_balloon(room, numbers[part], [spot], (box[0] / 2, box[1] / 2))
        if found is not None:
            strokes += found[0]
            words.append(found[1])
    return strokes, words


def _laid_with_detail(
    scene: _Laid, paper: _Paper, window: tuple[Floats, float], box: Point
) -> tuple[list[Stroke], list[Text]]:
    """The whole with a ring round what is added, and beside it what is in the ring, enlarged."""
    middle, reach = window
    x, y = paper.flat(middle[None, :])[0]
    strokes = _strokes(scene.seen, scene.heavy, paper)
    strokes.append(circle((x, y), reach * 1.4 * paper.scale, MEDIUM, "detail"))
    left, wide = box[0] * WHOLE_SHARE, box[0] * (1 - WHOLE_SHARE)
    close = (wide, box[1])
    half = np.array(close) / min(close) * reach * 1.4
    low, high = middle - half, middle + half
    near = _paper(paper.view, (float(low[0]), float(low[1])), (float(high[0]), float(high[1])), close, 0.5)
    cut = [(name, piece) for name, line in scene.seen for piece in clipped(line, low, high)]
    lines, words = _laid_lines(scene._replace(seen=cut), near, close)
    lines.append(circle((wide / 2, box[1] / 2), min(close) / 2 - 0.5, MEDIUM, "detail"))
    strokes += [replace(one, points=tuple((x + left, y) for x, y in one.points)) for one in lines]
    return strokes, [replace(text, x=text.x + left) for text in words]
