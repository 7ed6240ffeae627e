"""Exploded views: pieces moved away from what they are on, along an axis of the product, with lines back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from handbarrow.design.values import Target
from handbarrow.drawings.fitup import COARSE, Scenery
from handbarrow.drawings.hidden import look, named_view
from handbarrow.drawings.ink import FINE, MEDIUM, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room
from handbarrow.drawings.product import part_way, put_balloon
from handbarrow.drawings.shapes import CHAIN
from handbarrow.drawings.solids import Round, Solid, placed
from handbarrow.drawings.words import ALT
from handbarrow.job.fitup_values import FitJoint, Side
from handbarrow.laws.geometry.path import Floats, Matrix4, Vec3
from handbarrow.laws.geometry.rigid import matrix4

__all__ = ["Body", "bodies_of_pieces", "exploded_view", "shifts", "ways_of"]

MARGIN = 12.0
"""White round the view for the part numbers [mm]."""
APART = 0.09
"""Gap between what is moved and what it is on, as a part of the whole's size."""
LEANING = 0.2
"""Something that lies this far to one side of what it is on goes that way."""
OPPOSITE: Mapping[Side, Side] = {
    "front": "rear", "rear": "front", "left": "right", "right": "left", "top": "bottom", "bottom": "top",
}  # fmt: skip
OUTSIDE = 0.75
"""Something that lies this far out of what it is on (1: wholly) is moved outwards; else along its thin side."""


WAYS: Mapping[Side, Vec3] = {
    "front": (1, 0, 0), "rear": (-1, 0, 0), "left": (0, 1, 0), "right": (0, -1, 0), "top": (0, 0, 1),
    "bottom": (0, 0, -1),
}  # fmt: skip


class Body(NamedTuple):
    """Something that is moved as one: its name, its pieces, the name of the body it is on (empty: none).

    `way`: the side of that body it is on; None: it is met from several sides.
    """

    name: str
    pieces: tuple[Target, ...]
    on: str
    way: Side | None = None


def bodies_of_pieces(
    pieces: Sequence[Target], on: Mapping[Target, Target], ways: Mapping[Target, Side | None]
) -> list[Body]:
    """Return one body for each piece, on what was there before it."""
    return [Body(_name(p), (p,), _name(on[p]) if p in on else "", ways.get(p)) for p in pieces]


def ways_of(joints: Sequence[FitJoint]) -> dict[Target, Side | None]:
    """Return for each piece that is added the side of the others on which it is joined; None: several."""
    out: dict[Target, set[Side]] = {}
    for joint in joints:
        if not joint.place.leg:
            out[joint.added] = {"top", "bottom"}
            continue
        side = joint.place.side if joint.contact.piece == joint.added else OPPOSITE[joint.place.side]
        out.setdefault(joint.added, set()).add(side)
    return {piece: next(iter(sides)) if len(sides) == 1 else None for piece, sides in out.items()}


def _name(piece: Target) -> str:
    return f"{piece.part}#{piece.copy}"


def shifts(boxes: Mapping[str, tuple[Floats, Floats]], bodies: Sequence[Body]) -> dict[str, Floats]:
    """Return how far each body is moved [mm], product axes.

    Args:
        boxes: Low and high corners of each body as it stands.
        bodies: What is moved, each after what it is on.

    A body that is on one side of another goes off that way. Of the others, one that lies mostly outside goes on that
    way, one that lies within goes along the thin side of what it is on (upwards out of a flat frame). It clears the
    box of what it is on.
    """
    low = np.min([b[0] for b in boxes.values()], axis=0)
    high = np.max([b[1] for b in boxes.values()], axis=0)
    gap = APART * float(np.linalg.norm(high - low))
    out: dict[str, Floats] = {}
    for body in bodies:
        out[body.name] = np.zeros(3)
        if body.on not in out or body.name not in boxes or body.on not in boxes:
            continue
        (a, b), (c, d) = boxes[body.name], boxes[body.on]
        apart = (a + b - c - d) / 2
        halves = np.maximum((b - a + d - c) / 2, 1e-6)
        ratio = np.abs(apart) / halves
        k = int(np.argmax(ratio)) if float(ratio.max()) >= OUTSIDE else int(np.argmin(d - c))
        sign = -1.0 if float(ratio[k]) > LEANING and apart[k] < 0 else 1.0
        if body.way is not None:
            way = np.asarray(WAYS[body.way], float)
            k = int(np.argmax(np.abs(way)))
            sign = float(way[k])
        move = np.zeros(3)
        move[k] = sign * (max(float(halves[k] - sign * apart[k]), 0.0) + gap)
        out[body.name] = out[body.on] + move
    return out


def exploded_view(scenery: Scenery, bodies: Sequence[Body], box: tuple[float, float], says: str) -> Drawing:
    """Return bodies pulled apart as an isometric view with part numbers.

    Args:
        scenery: The job's solids.
        bodies: What is moved, each after what it is on.
        box: Width and height of the drawing [mm].
        says: What it shows, in words.
    """
    solids = {b.name: [s for p in b.pieces for s in scenery.solids.get(p, ())] for b in bodies}
    boxes = {name: _box(found) for name, found in solids.items() if found}
    if not boxes:
        return Drawing(width=box[0], height=box[1], alt=ALT["nothing"].format(what=says), name="exploded")
    moves = shifts(boxes, [b for b in bodies if b.name in boxes])
    there = [placed(s, _shift(moves[name])) for name in boxes for s in solids[name]]
    view = named_view("isometric")
    span = float(np.linalg.norm(np.ptp(np.array([*moves.values()]), axis=0) + _whole(boxes)))
    seen = look(there, view, step=max(span / COARSE, 1.0))
    wide, tall = max(seen.high[0] - seen.low[0], 1.0), max(seen.high[1] - seen.low[1], 1.0)
    scale = min((box[0] - 2 * MARGIN) / wide, (box[1] - 2 * MARGIN) / tall)
    left, top = (box[0] - wide * scale) / 2, (box[1] - tall * scale) / 2

    def flat(line: Floats) -> tuple[Point, ...]:
        x, y = left + (line[:, 0] - seen.low[0]) * scale, top + (seen.high[1] - line[:, 1]) * scale
        return tuple(zip(x.tolist(), y.tolist(), strict=True))

    strokes = [Stroke(points=flat(line), weight=MEDIUM, layer="outline") for _, line in seen.seen]
    back = [_way_back(boxes, moves, body) for body in bodies if body.on in boxes and body.name in boxes]
    lines = [Stroke(points=flat(line @ view.matrix.T), weight=FINE, dash=CHAIN, layer="paths") for line in back]
    room = Room(*box)
    room.block(strokes)
    named = [(name.partition("#")[0], flat(line)) for name, line in seen.seen]
    more, words = _numbers(scenery, room, named, box)
    return Drawing(
        width=box[0], height=box[1], strokes=(*lines, *strokes, *more), words=tuple(words), scale=scale, alt=says,
        name="exploded",
    )  # fmt: skip


def _box(solids: Sequence[Solid]) -> tuple[Floats, Floats]:
    lows, highs = [], []
    for solid in solids:
        points, reach = (solid.spine, solid.radius) if isinstance(solid, Round) else (solid.points, 0.0)
        lows.append(points.min(axis=0) - reach)
        highs.append(points.max(axis=0) + reach)
    return np.min(lows, axis=0), np.max(highs, axis=0)


def _whole(boxes: Mapping[str, tuple[Floats, Floats]]) -> Floats:
    """Size of everything as it stands."""
    return np.asarray(np.max([b for _, b in boxes.values()], axis=0) - np.min([a for a, _ in boxes.values()], axis=0))


def _shift(move: Floats) -> Matrix4:
    m = np.eye(4)
    m[:3, 3] = move
    return matrix4(m)


def _way_back(boxes: Mapping[str, tuple[Floats, Floats]], moves: Mapping[str, Floats], body: Body) -> Floats:
    """From the middle of a body as moved to where it belongs beside what it is on, as that is moved."""
    middle = (boxes[body.name][0] + boxes[body.name][1]) / 2
    return np.array([middle + moves[body.on], middle + moves[body.name]])


def _numbers(
    scenery: Scenery, room: Room, seen: Sequence[tuple[str, tuple[Point, ...]]], box: tuple[float, float]
) -> tuple[list[Stroke], list[Text]]:
    longest: dict[str, tuple[Point, ...]] = {}
    for part, line in seen:
        if part not in longest or (len(line) > 1 and _size(line) > _size(longest[part])):
            longest[part] = line
    strokes: list[Stroke] = []
    words: list[Text] = []
    numbers = {part.id: str(number) for number, part in enumerate(scenery.job.parts, start=1)}
    for part, number in numbers.items():
        if part not in longest:
            continue
        anchors = [part_way(longest[part], f) for f in (0.5, 0.3, 0.7, 0.15, 0.85)]
        found = put_balloon(room, number, anchors, (box[0] / 2, box[1] / 2))
        if found is not None:
            strokes += found[0]
            words.append(found[1])
    return strokes, words


def _size(line: Sequence[Point]) -> float:
    return float(np.ptp(np.asarray(line), axis=0).sum())
