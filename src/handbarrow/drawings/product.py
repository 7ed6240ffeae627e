"""The product, or one assembly of it, as a hidden-line view with its parts numbered."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np

from handbarrow.design.values import Bought, PlateShape, Sheet
from handbarrow.drawings.ends import end_wrap
from handbarrow.drawings.hidden import look, named_view
from handbarrow.drawings.ink import FINE, MEDIUM, Point, Stroke, Text, dashed
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import Room
from handbarrow.drawings.shapes import balloon, balloon_radius, balloon_text, circle
from handbarrow.drawings.sheet_bodies import sheet_mesh
from handbarrow.drawings.soft_bodies import cloth_mesh
from handbarrow.drawings.solids import Solid, placed, plate, run, wheel
from handbarrow.drawings.words import ALT
from handbarrow.job.soft_values import PanelWork
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.geometry.path import Floats, Vec2

__all__ = ["assembly_members", "job_solids", "part_solids", "part_way", "product_view", "put_balloon"]

MARGIN = 12.0
"""White round the view for the part numbers [mm]."""


def assembly_members(job: Job, assembly: str | None) -> set[str]:
    """Return the parts of an assembly and of those within it; None: all parts."""
    if assembly is None:
        return {p.id for p in job.parts}
    inside, size = {assembly}, 0
    while len(inside) != size:
        size = len(inside)
        inside |= {a.name for a in job.design.assemblies if a.within in inside}
    return {p.id for p in job.parts if p.assembly in inside}


def job_solids(job: Job, assembly: str | None = None) -> list[Solid]:
    """Return every copy of every part that has a shape, in product axes. Bought parts other than wheels have none."""
    wanted = assembly_members(job, assembly)
    out: list[Solid] = []
    for part in job.parts:
        if part.id not in wanted:
            continue
        first = part_solids(job, part)
        for place in job.placements:
            if place.part == part.id:
                out += [placed(solid, place.transform) for solid in first]
    return out


def part_solids(job: Job, part: JobPart) -> list[Solid]:
    """Copy 1 of a part."""
    if part.centreline is not None and part.section is not None and part.crown is not None:
        ends = (end_wrap(part.start), end_wrap(part.end))
        return [_run(part.id, part.centreline, part.section, part.crown, ends)]
    if isinstance(part.soft, PanelWork):
        return [cloth_mesh(part.id, part.soft)]
    shape = job.design.part(part.id).shape
    lift = job.product.lift
    if isinstance(shape, PlateShape):
        return [_plate_solid(part, shape, lift)]
    if isinstance(shape, Sheet):
        return [sheet_mesh(job, part)]
    if isinstance(shape, Bought) and shape.wheel is not None and shape.at is not None:
        x, y, z = shape.at
        return wheel(part.id, (x, y, z + lift), shape.axis, shape.wheel.width, shape.wheel.bead_seat)
    return []


_run = lru_cache(maxsize=256)(run)
"""Tubes are asked for by every view and by the sizes over all."""


def _plate_solid(part: JobPart, shape: PlateShape, lift: float) -> Solid:
    x, z = np.asarray(shape.along, dtype=float), np.asarray(shape.facing, dtype=float)
    z = z / np.linalg.norm(z)
    x = x - z * float(x @ z)
    x = x / np.linalg.norm(x)
    frame = np.eye(4)
    frame[:3, 0], frame[:3, 1], frame[:3, 2] = x, np.cross(z, x), z
    frame[:3, 3] = np.add(shape.at, (0.0, 0.0, lift))
    outline = rounded_corners(shape.outline, shape.corner_radius)
    holes = [
        hole_outline(hole.at, hole.diameter, hole.length, hole.angle_rad) for hole in shape.holes if not hole.open_edge
    ]
    return plate(part.id, outline, part.thickness or 1.0, frame, holes)


def rounded_corners(outline: Sequence[Vec2], radius: float, steps: int = 6) -> list[Vec2]:
    """Return a polygon with its corners rounded [mm]; a corner without room for the radius stays sharp."""
    if radius <= 0:
        return list(outline)
    out: list[Vec2] = []
    n = len(outline)
    for i in range(n):
        p, q, r = (np.asarray(outline[j % n], dtype=float) for j in (i - 1, i, i + 1))
        a, b = (p - q) / np.linalg.norm(p - q), (r - q) / np.linalg.norm(r - q)
        half = math.acos(max(-1.0, min(1.0, float(a @ b)))) / 2
        back = radius / math.tan(half) if half > 1e-6 else math.inf
        if back > 0.5 * min(float(np.linalg.norm(p - q)), float(np.linalg.norm(r - q))):
            out.append((float(q[0]), float(q[1])))
            continue
        middle = q + (a + b) / np.linalg.norm(a + b) * radius / math.sin(half)
        first, last = q + a * back - middle, q + b * back - middle
        turn = math.atan2(first[0] * last[1] - first[1] * last[0], float(first @ last))
        for k in range(steps + 1):
            c, s = math.cos(turn * k / steps), math.sin(turn * k / steps)
            out.append((float(middle[0] + first[0] * c - first[1] * s), float(middle[1] + first[0] * s + first[1] * c)))
    return out


def hole_outline(at: Vec2, diameter: float, length: float, angle_rad: float) -> list[Vec2]:
    """Return the outline of a hole, or of a slot with round ends `length` long over all [mm]."""
    reach, r = max(0.0, length - diameter) / 2, diameter / 2
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    out = []
    for i in range(24):
        phi = 2 * math.pi * i / 24
        x, y = r * math.cos(phi) + (reach if math.cos(phi) >= 0 else -reach), r * math.sin(phi)
        out.append((at[0] + x * c - y * s, at[1] + x * s + y * c))
    return out


# ------------------------------------------------------------------------------------------------ the view
def product_view(
    job: Job,
    view: str = "isometric",
    box: tuple[float, float] = (180.0, 120.0),
    assembly: str | None = None,
    numbers: bool = True,
    hidden: bool = False,
) -> Drawing:
    """Return the product, or one assembly, as a hidden-line view that fills a box.

    Args:
        job: The job.
        view: `isometric`, `front`, `side` or `top`.
        box: Width and height of the drawing [mm].
        assembly: Only this assembly and those within it; None: everything.
        numbers: Whether to number the parts, in the order of `job.parts`.
        hidden: Whether to draw hidden lines dashed.

    Raises:
        ValueError: If there is no such view.
    """
    lines = look(job_solids(job, assembly), named_view(view), hidden)
    if not lines.seen:
        return Drawing(width=box[0], height=box[1], alt=ALT["nothing"].format(what=job.design.name), name="product")
    margin = MARGIN if numbers else 2.0
    wide, high = max(lines.high[0] - lines.low[0], 1.0), max(lines.high[1] - lines.low[1], 1.0)
    scale = min((box[0] - 2 * margin) / wide, (box[1] - 2 * margin) / high)
    left, top = (box[0] - wide * scale) / 2, (box[1] - high * scale) / 2

    def at(line: Floats) -> tuple[Point, ...]:
        return tuple(
            (left + (float(x) - lines.low[0]) * scale, top + (lines.high[1] - float(y)) * scale) for x, y in line
        )

    strokes = [Stroke(points=at(line), weight=MEDIUM, layer="outline") for _, line in lines.seen]
    strokes += [dashed(at(line)) for _, line in lines.hidden]
    words: list[Text] = []
    if numbers:
        more, words = _balloons(job, [(name, at(line)) for name, line in lines.seen], strokes, box)
        strokes += more
    return Drawing(
        width=box[0], height=box[1], strokes=tuple(strokes), words=tuple(words), scale=scale,
        alt=ALT[f"{view}_dashed" if hidden else view].format(
            what=job.design.name if assembly is None else f"{job.design.name}, {assembly}"
        ),
        name=f"product-{view}" if assembly is None else f"{assembly}-{view}",
    )  # fmt: skip


def _balloons(
    job: Job, seen: Iterable[tuple[str, tuple[Point, ...]]], outline: Sequence[Stroke], box: tuple[float, float]
) -> tuple[list[Stroke], list[Text]]:
    """Number each part once, at the middle of its longest line that is seen, with a line to it."""
    longest: dict[str, tuple[Point, ...]] = {}
    for name, line in seen:
        if name not in longest or _length(line) > _length(longest[name]):
            longest[name] = line
    room = Room(*box)
    room.block(outline)
    middle = (box[0] / 2, box[1] / 2)
    strokes: list[Stroke] = []
    words: list[Text] = []
    for number, part in enumerate(job.parts, start=1):
        if part.id not in longest:
            continue
        anchors = [part_way(longest[part.id], f) for f in (0.5, 0.3, 0.7, 0.15, 0.85)]
        found = put_balloon(room, str(number), anchors, middle)
        if found is not None:
            strokes += found[0]
            words.append(found[1])
    return strokes, words


def put_balloon(room: Room, label: str, anchors: Sequence[Point], middle: Point) -> tuple[list[Stroke], Text] | None:
    """A number at the nearest clear place from an anchor, outwards first; None: there is no clear place."""
    for x, y in anchors:
        out = math.atan2(y - middle[1], x - middle[0])
        for reach in (8.0, 11.0, 15.0, 20.0, 26.0, 34.0):
            for turn in (0.0, 0.4, -0.4, 0.8, -0.8, 1.3, -1.3, 1.9, -1.9, 2.6, -2.6):
                c, s = math.cos(out + turn), math.sin(out + turn)
                text = balloon_text((x + reach * c, y + reach * s), label)
                if not room.is_clear(text, 2.2):
                    continue
                inner = max(reach - balloon_radius(label), 0.5)
                leader = Stroke(points=((x, y), (x + inner * c, y + inner * s)), weight=FINE, layer="balloons")
                if room.is_crossed((leader,)):
                    continue
                ring, _ = balloon((x + reach * c, y + reach * s), label)
                room.take(text, 2.2)
                room.block((leader,))
                return [leader, circle((x, y), 0.45, 0.0, "balloons", fill="black"), ring], text
    return None


def _length(line: Sequence[Point]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(line))


def part_way(line: Sequence[Point], part: float) -> Point:
    """The point a part 0..1 of the way along a line."""
    left = _length(line) * part
    for a, b in pairwise(line):
        run_ = math.dist(a, b)
        if run_ >= left and run_ > 0:
            f = left / run_
            return (a[0] + (b[0] - a[0]) * f, a[1] + (b[1] - a[1]) * f)
        left -= run_
    return line[-1]
