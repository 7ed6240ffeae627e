"""The bent part as it must come out: true view, or three views and an isometric one, with its sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

import numpy as np

from handbarrow.drawings.ends import Wrap, end_wrap
from handbarrow.drawings.faces import FOOT, LANE, SCALES, Face, faces_in, part_views, scale_words
from handbarrow.drawings.hidden import SeenLines, View, look
from handbarrow.drawings.ink import FINE, MEDIUM, NUMBER, WORD, Dimension, Point, Stroke, Text
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.placing import PLACES, Room
from handbarrow.drawings.shapes import CHAIN, balloon, balloon_text
from handbarrow.drawings.solids import Solid, curves, ring, run, spine
from handbarrow.drawings.widths import text_width
from handbarrow.drawings.words import ALT, DRAWN
from handbarrow.job.values import BendCard, Job, JobPart
from handbarrow.language import spoken
from handbarrow.laws.geometry.path import Centreline, Floats, Layout, Vec3, crown_on_straights, layout
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.units.shown import Shown

__all__ = ["card_view", "check_letters"]

Wraps = tuple[Wrap | None, Wrap | None]


def check_letters(card: BendCard) -> dict[str, str]:
    """Return the letter of each check size of a card by its id, in the order of the card: A, B, C ..."""
    return {size.id: chr(ord("A") + i) if i < 26 else f"Z{i - 25}" for i, size in enumerate(card.check_sizes)}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Size:
    """A size between two points in product axes. `across`: it may be drawn straight from point to point.

    `from_leg`: where the leg ends whose line, run on, reaches the first point.
    """

    a: Floats
    b: Floats
    label: str
    value: float
    across: bool
    from_leg: Floats | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bent:
    """A bent part with everything a card needs."""

    id: str
    title: str
    card: BendCard
    line: Centreline
    section: Section
    crown: Vec3
    wraps: Wraps
    shown: Shown

    @property
    def half(self) -> float:
        """Half the outside size [mm]."""
        return self.section.outside / 2


def _bent(part: JobPart, shown: Shown) -> _Bent:
    if part.card is None or part.centreline is None or part.section is None or part.crown is None:
        raise ValueError(f"{part.id} is not bent")
    return _Bent(
        id=part.id, title=part.title, card=part.card, line=part.centreline, section=part.section, crown=part.crown,
        wraps=(end_wrap(part.start), end_wrap(part.end)), shown=shown,
    )  # fmt: skip


@dataclass(slots=True)
class _Sheet:
    """What is drawn so far."""

    room: Room
    strokes: list[Stroke] = field(default_factory=list)
    words: list[Text] = field(default_factory=list)
    dimensions: list[Dimension] = field(default_factory=list)
    missing: tuple[_Size, ...] = ()
    """Sizes that a view could show true, but that had no room."""


def card_view(job: Job, part_id: str, box: tuple[float, float]) -> Drawing:
    """Return a bent part with its sizes.

    A part that lies flat is drawn in its true view, others from above, from the front, from the side and isometric.
    Plain sizes run from centreline to centreline; sizes with a letter are check sizes (`check_letters`).

    Args:
        job: The job.
        part_id: A bent tube or bar.
        box: Width and height of the drawing [mm].

    Raises:
        ValueError: If the part is not bent.
    """
    part = _bent(job.part(part_id), job.workshop.shown)
    seen = _seen(part.id, part.line, part.section, part.crown, part.wraps, planar=part.card.planar)
    scale, sheet = _best(part, seen, box)
    return Drawing(
        width=box[0], height=box[1], strokes=tuple(sheet.strokes), words=tuple(sheet.words),
        dimensions=tuple(sheet.dimensions), scale=scale, name=f"card-{part.id}",
        alt=ALT["bent_true" if len(seen) == 1 else "bent"].format(
            part=part.title, scale=scale_words(scale), sizes=", ".join(d.text for d in sheet.dimensions)
        ),
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ what is seen
@lru_cache(maxsize=64)
def _seen(
    part_id: str, line: Centreline, section: Section, crown: Vec3, wraps: Wraps, *, planar: bool
) -> tuple[tuple[str, View, SeenLines], ...]:
    """The views of a part with what is seen in each: the same in whatever box it is drawn."""
    solids = _solids(part_id, line, section, crown, wraps)
    return tuple((name, view, look(solids, view)) for name, view in part_views(layout(line), planar))


def _solids(part_id: str, line: Centreline, section: Section, crown: Vec3, wraps: Wraps) -> list[Solid]:
    """The tube, its crown line, and rings where bends start and end."""
    points, _, turns = spine(line, section.outside / 2)
    crowns = turns @ np.asarray(crown)
    reach = section.height / 2 if section.shape != "angle" else section.height
    place, carried = layout(line), crown_on_straights(line, crown)
    rings = []
    for k in range(len(place.angles)):
        rings.append(ring(place.tangents_in[k], place.directions[k], carried[k], section))
        rings.append(ring(place.tangents_out[k], place.directions[k + 1], carried[k + 1], section))
    tube = run(part_id, line, section, crown, wraps)
    return [tube, curves("crown", [points + reach * crowns]), curves("bend", rings)]


# ------------------------------------------------------------------------------------------------ drawing
def _best(part: _Bent, seen: Sequence[tuple[str, View, SeenLines]], box: tuple[float, float]) -> tuple[float, _Sheet]:
    """The largest scale at which every size has room, else that at which fewest lack."""
    fitting = [s for s in SCALES if faces_in(seen, s, box) is not None] or [SCALES[-1]]
    tried: list[tuple[float, _Sheet]] = []
    for scale in fitting[:TRIES]:
        faces = faces_in(seen, scale, box, force=True) or []
        sheet = _draw(part, faces, box, scale)
        if sheet.missing:  # those that had no room are put first now
            again = _draw(part, faces, box, scale, sheet.missing)
            sheet = min(sheet, again, key=lambda s: len(s.missing))
        tried.append((scale, sheet))
        if not sheet.missing:
            break
    return min(tried, key=lambda item: len(item[1].missing))


def _draw(
    part: _Bent, faces: Sequence[Face], box: tuple[float, float], scale: float, first: Sequence[_Size] = ()
) -> _Sheet:
    labels = {size.label for size in first}
    sheet = _Sheet(Room(*box))
    for face in faces:
        outline = _outline(face)
        sheet.strokes += outline
        sheet.room.block([s for s in outline if s.layer in ("outline", "crown")], hard=True)
    sheet.room.reserve((0.0, box[1] - FOOT), box)
    for face in faces:
        _name_view(sheet, face)
    sizes = sorted(_sizes(part), key=lambda size: (size.label not in labels, size.value))
    left = _put_sizes(sheet, faces, [size for size in sizes if size.across])
    for face in faces:
        _bend_numbers(part, sheet, face)
        _end_names(part, sheet, face)
    left += _put_sizes(sheet, faces, [size for size in sizes if not size.across])
    sheet.missing = tuple(size for size in left if any(_is_true_in(size, f.view) for f in faces if f.is_true))
    sheet.words += _legend(len(sheet.missing), box, scale, part.shown)
    return sheet


def _outline(face: Face) -> list[Stroke]:
    looks = {"crown": (FINE, CHAIN, "crown"), "bend": (FINE, (), "bends")}
    out = []
    for name, line in face.lines.seen:
        weight, dash, layer = looks.get(name, (MEDIUM, (), "outline"))
        out.append(Stroke(points=face.polyline(line), weight=weight, dash=dash, layer=layer))
    return out


TRIES = 3
"""Scales that are tried."""
FAR = 60.0
"""A dimension line lies no further than this from what it measures [mm]."""
ACROSS = (0.32, 0.68, 0.22, 0.78, 0.5)
"""Where the text of a diagonal stands: off the middle, where another diagonal may cross it."""
LEGENDS = ("card", "card_short", "card_letter", "card_unit")


def _legend(missing: int, box: tuple[float, float], scale: float, units: Shown) -> list[Text]:
    """The foot of a card: how many sizes could not be drawn, their unit, what the others are, the scale."""
    y = box[1] - 1.6
    shown = Text(x=box[0] - 1.0, y=y, string=scale_words(scale), size=NUMBER, anchor="end", bold=True, layer="notes")
    room = box[0] - text_width(shown.string, NUMBER, True) - 5.0
    said = [DRAWN[legend].format(unit=spoken(units.length_name)) for legend in LEGENDS]
    if missing:
        said = [DRAWN["undrawn" if missing > 1 else "undrawn_one"].format(count=missing, rest=rest) for rest in said]
    fitting = next((text for text in said if text_width(text, WORD) <= room), said[-1])
    return [Text(x=1.0, y=y, string=fitting, layer="notes"), shown] if fitting else [shown]


def _name_view(sheet: _Sheet, face: Face) -> None:
    if not face.name:
        return
    (x0, y0), (x1, y1) = face.lines.low, face.lines.high
    left, right = face.origin[0] + x0 * face.scale, face.origin[0] + x1 * face.scale
    top, low = face.origin[1] - y1 * face.scale, face.origin[1] - y0 * face.scale
    text = Text(x=0.0, y=0.0, string=face.name, layer="notes")
    places = [(left + dx, top - 9.0 - dy) for dy in (0.0, 3.0, -3.0, 5.0) for dx in (-12.0, 0.0, (right - left) / 2)]
    places += [(left + dx, low + 6.0 + dy) for dy in (0.0, 3.0, 6.0) for dx in (-12.0, 0.0, (right - left) / 2)]
    placed = sheet.room.put(text, places)
    if placed is not None:
        sheet.words.append(placed)


def _around(p: Point, towards: Point, distances: Sequence[float]) -> Iterator[Point]:
    """Places round a point, those in one direction first."""
    base = math.atan2(towards[1], towards[0]) if towards != (0.0, 0.0) else 0.0
    for turn in (0.0, 0.5, -0.5, 1.0, -1.0, 1.6, -1.6, 2.2, -2.2, math.pi):
        for d in distances:
            yield (p[0] + d * math.cos(base + turn), p[1] + d * math.sin(base + turn))


def _bend_numbers(part: _Bent, sheet: _Sheet, face: Face) -> None:
    """Numbers of the bends in circles, inside the bend where there is room."""
    place = layout(part.line)
    clear = part.half * face.scale + 4.2
    for k in range(len(place.angles)):
        spoke = _middle(place, k)
        p, c = face.at(spoke), face.at(place.centres[k])
        inward = (c[0] - p[0], c[1] - p[1])
        for x, y in _around(p, inward, (clear, clear + 2.5, clear + 5.0, clear + 8.0)):
            number = balloon_text((x, y), str(k + 1), layer="bend numbers")
            if sheet.room.is_clear(number, 1.9):
                ring_, _ = balloon((x, y), str(k + 1), layer="bend numbers")
                sheet.room.take(number, 1.9)
                sheet.room.block([ring_])
                sheet.strokes.append(ring_)
                sheet.words.append(number)
                break


def _middle(place: Layout, k: int) -> Floats:
    """The point half-way round the arc of bend k [mm]."""
    a = place.tangents_in[k] - place.centres[k]
    b = place.tangents_out[k] - place.centres[k]
    half = a + b
    size = float(np.linalg.norm(half))
    if size < 1e-9:
        half, size = np.cross(place.normals[k], a), float(np.linalg.norm(a))
    return np.asarray(place.centres[k] + half / size * float(place.radii[k]))


def _end_names(part: _Bent, sheet: _Sheet, face: Face) -> None:
    place = layout(part.line)
    clear = part.half * face.scale
    for name, at, out in (
        (DRAWN["start"], place.start, -place.directions[0]),
        (DRAWN["end"], place.end, place.directions[-1]),
    ):
        p, q = face.at(at), face.at(at + out)
        away = (q[0] - p[0], q[1] - p[1])
        half = text_width(name, WORD, True) / 2
        text = Text(x=0.0, y=0.0, string=name, anchor="middle", bold=True, layer="ends")
        places = [
            (x, y + 1.2) for x, y in _around(p, away, (half + 2.0, clear + 4.0, half + clear + 4.0, half + clear + 8.0))
        ]
        placed = sheet.room.put(text, places, 0.8)
        if placed is not None:
            sheet.words.append(placed)


# ------------------------------------------------------------------------------------------------ sizes
def _sizes(part: _Bent) -> Iterator[_Size]:
    """Check sizes with their letters, then the legs from corner to corner."""
    letters = check_letters(part.card)
    legs = np.diff(np.asarray(part.line.points, dtype=float), axis=0)
    for size in part.card.check_sizes:
        if size.from_point is None or size.to_point is None or size.kind != "length" or size.value <= 0:
            continue
        a, b = np.asarray(size.from_point, dtype=float), np.asarray(size.to_point, dtype=float)
        apart = float(np.linalg.norm(b - a))
        if apart < 1e-6:
            continue
        grow = (b - a) / apart * (size.value - apart) / 2
        t = (b - a) / apart
        is_leg = any(abs(float(t @ leg)) > 0.9998 * float(np.linalg.norm(leg)) for leg in legs)
        square = any(abs(float(t @ leg)) < 0.02 * float(np.linalg.norm(leg)) for leg in legs)
        yield _Size(
            a=a - grow, b=b + grow, label=f"{letters[size.id]}  {part.shown.length(size.value)}", value=size.value,
            across=not (is_leg or square), from_leg=_run_on(part, a) if size.id == "offset" else None,
        )  # fmt: skip
    points = [np.asarray(p, dtype=float) for p in part.line.points]
    for a, b in pairwise(points):
        value = float(np.linalg.norm(b - a))
        yield _Size(a=a, b=b, label=part.shown.length(value), value=value, across=False)


def _run_on(part: _Bent, point: Floats) -> Floats | None:
    """Where leg 1 ends, if a point of its line lies beyond it."""
    start, corner = (np.asarray(p, dtype=float) for p in part.line.points[:2])
    return corner if float((point - corner) @ (corner - start)) > 0 else None


def _is_true_in(size: _Size, view: View) -> bool:
    """Whether a size lies square to the line of sight."""
    d = size.b - size.a
    return abs(float(d @ np.asarray(view.towards))) < 1e-3 * float(np.linalg.norm(d)) + 1e-6


def _put_sizes(sheet: _Sheet, faces: Sequence[Face], sizes: Sequence[_Size]) -> list[_Size]:
    """Draw sizes, each in the first view that shows it true and has room; return those left over."""
    left = list(sizes)
    for face in faces:
        if face.is_true:
            left = [size for size in left if not _is_true_in(size, face.view) or not _put_size(sheet, face, size)]
    return left


def _put_size(sheet: _Sheet, face: Face, size: _Size) -> bool:
    """Draw a size in a view if there is room for it."""
    p, q = face.at(size.a), face.at(size.b)
    angle = math.atan2(q[1] - p[1], q[0] - p[0])
    if angle <= -math.pi / 2 + 1e-9 or angle > math.pi / 2 + 1e-9:
        p, q, angle = q, p, math.atan2(p[1] - q[1], p[0] - q[0])
    dimension = Dimension(
        p1=p, p2=q, line=p, direction_rad=angle, value=size.value, text=size.label
    )  # fmt: skip
    places = ACROSS if size.across else PLACES
    put = sheet.room.put_dimension(dimension, _offsets(face, dimension, size.across), places)
    if put is None:
        return False
    sheet.dimensions.append(put)
    if size.from_leg is not None:
        line = [Stroke(points=(face.at(size.from_leg), face.at(size.a)), weight=FINE, layer="run on")]
        if not sheet.room.is_crossed(line):
            sheet.room.block(line)
            sheet.strokes += line
    return True


def _offsets(face: Face, dimension: Dimension, across: bool) -> list[float]:
    """Distances of the dimension line from the measured points: beyond the outline, and close by."""
    c, s = math.cos(dimension.direction_rad), math.sin(dimension.direction_rad)
    (px, py), length = dimension.p1, math.dist(dimension.p1, dimension.p2)
    outline = np.concatenate([face.on_paper(line) for name, line in face.lines.seen if name != "bend"])
    u = (outline[:, 0] - px) * c + (outline[:, 1] - py) * s
    v = -(outline[:, 0] - px) * s + (outline[:, 1] - py) * c
    beside = v[(u > -3.0) & (u < length + 3.0)]
    low, high = (float(beside.min()), float(beside.max())) if len(beside) else (0.0, 0.0)
    out = [side + sign * (5.5 + LANE * k) for k in range(5) for side, sign in ((low, -1.0), (high, 1.0))]
    inner = [sign * (5.5 + LANE * k) for k in range(4) for sign in (-1.0, 1.0)]
    near = sorted({round(d, 3) for d in out + inner if abs(d) < FAR})
    return [0.0, *near] if across else near
