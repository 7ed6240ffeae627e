"""A panel of cloth as it is marked out, to scale, numbers from the named end; and cloth on the roll."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from handbarrow.design.soft_shapes import OnPanel, Panel
from handbarrow.drawings.dxf_document import DxfFile
from handbarrow.drawings.ink import FINE, HEAVY, MEDIUM, WORD, Point, Stroke, Text
from handbarrow.drawings.marking import Marked, Running, distinct, set_out
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.shapes import circle
from handbarrow.drawings.widths import text_width
from handbarrow.drawings.words_cloth import CLOTH_DRAWN
from handbarrow.job.soft_rolls import RollPlan
from handbarrow.job.soft_values import PanelWork
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.units.shown import Shown

__all__ = ["panel_dxf", "panel_view", "roll_view"]

FOLD, STITCH = (5.0, 2.0), (1.6, 1.2)
"""Folds are dashed, stitches finely dashed [mm]."""
ROOM = 34.0
"""Room for the numbers at the side and above [mm]."""
MOST_NUMBERS = 26
TICK = 3.2


class _Lie:
    """How the cut cloth lies on the paper: the named end to the left, its left edge above."""

    def __init__(self, work: PanelWork, scale: float) -> None:
        xs, ys = zip(*work.cut_outline, strict=True)
        self.low, self.high, self.scale = (min(xs), min(ys)), (max(xs), max(ys)), scale

    def at(self, p: Vec2) -> Point:
        return (p[0] - self.low[0]) * self.scale, (self.high[1] - p[1]) * self.scale

    @property
    def size(self) -> Vec2:
        return (self.high[0] - self.low[0]) * self.scale, (self.high[1] - self.low[1]) * self.scale


def panel_view(job: Job, part_id: str, box: tuple[float, float]) -> Drawing:
    """Return a panel as it is marked out on the cloth, as large as fits a box [mm].

    Args:
        job: The job.
        part_id: A panel.
        box: Width and height.

    Raises:
        ValueError: If the part is no panel.
    """
    part, shown = job.part(part_id), job.workshop.shown
    work, panel = part.soft, job.design.part(part_id).shape
    if not isinstance(work, PanelWork) or not isinstance(panel, Panel):
        raise ValueError(f"{part_id} is no panel of cloth")
    scale = min((box[0] - ROOM) / work.cut[0], (box[1] - ROOM) / work.cut[1], 1.0)
    lie = _Lie(work, scale)
    notes = [*_named(work, lie), *_on_it(panel, work, lie, shown)]
    marked = Marked(
        width=lie.size[0], height=lie.size[1], strokes=tuple(_strokes(panel, work, lie)), openings=(),
        across=tuple(_across(work, lie, shown)), down=tuple(_down(work, lie, shown)), notes=tuple(notes),
    )  # fmt: skip
    size = f"{shown.length(work.cut[0])} × {shown.length(work.cut[1])}"
    alt = CLOTH_DRAWN["panel"].format(part=part.title, size=size, named=work.named)
    return replace(set_out(marked, shown, f"panel-{part_id}", alt), scale=scale)


def _strokes(panel: Panel, work: PanelWork, lie: _Lie) -> Iterator[Stroke]:
    yield Stroke(points=tuple(lie.at(p) for p in work.cut_outline), weight=HEAVY, closed=True, layer="outline")
    for line in work.lines:
        dash = FOLD if line.kind == "fold" else STITCH
        yield Stroke(points=tuple(lie.at(p) for p in line.points), weight=FINE, dash=dash, layer=line.kind)
    for one in panel.on_it:
        if one.kind == "eyelet":
            x, y = lie.at(_place(one, work))
            yield circle((x, y), max(one.size[0] / 2 * lie.scale, 0.8), MEDIUM, "cut")
            continue
        x, y = _place(one, work)
        corners = ((x, y), (x + one.size[0], y), (x + one.size[0], y - one.size[1]), (x, y - one.size[1]))
        lines = STITCH if one.kind == "row" else ()
        points = (corners[0], corners[2]) if one.kind == "row" else corners
        drawn = tuple(lie.at(p) for p in points)
        yield Stroke(points=drawn, weight=MEDIUM, dash=lines, closed=one.kind != "row", layer="mark")
    for place, edge in _stations(work):
        x, y = lie.at(place)
        dx, dy = {"left": (0.0, -1.0), "right": (0.0, 1.0), "head": (1.0, 0.0), "foot": (-1.0, 0.0)}[edge]
        yield Stroke(points=((x, y), (x + TICK * dx, y + TICK * dy)), weight=HEAVY, layer="mark")


def _place(one: OnPanel, work: PanelWork) -> Vec2:
    """From `from the named end, from the left edge` to the panel's own axes."""
    return one.at[0], work.finished[1] / 2 - one.at[1]


def _stations(work: PanelWork) -> Iterator[tuple[Vec2, str]]:
    """Where the panel hangs, on its finished edge."""
    length, width = work.finished
    for s in work.stations:
        if s.edge in ("left", "right"):
            yield (s.at, width / 2 if s.edge == "left" else -width / 2), s.edge
        else:
            yield (0.0 if s.edge == "head" else length, width / 2 - s.at), s.edge


def _across(work: PanelWork, lie: _Lie, shown: Shown) -> list[Running]:
    """From the cut edge at the named end: ends, folds, places along the long edges; corners of shaped cloth."""
    places = [(lie.low[0], 0.0), (lie.high[0], 0.0)]
    if work.is_rectangle:
        places += [(line.points[0][0], 0.0) for line in work.lines if line.kind == "fold" and _upright(line.points)]
        places += [(place[0], 0.0) for place, edge in _stations(work) if edge in ("left", "right")]
    else:
        places += [(x, 0.0) for x, _ in _few(work.cut_outline)]
    return [
        Running(at=(x - lie.low[0]) * lie.scale, number=shown.length(x - lie.low[0]), reach=reach)
        for x, reach in distinct(places)
    ]


def _down(work: PanelWork, lie: _Lie, shown: Shown) -> list[Running]:
    """From the cut left edge, which lies above."""
    places = [(-lie.high[1], 0.0), (-lie.low[1], 0.0)]
    if work.is_rectangle:
        places += [
            (-line.points[0][1], 0.0) for line in work.lines if line.kind == "fold" and not _upright(line.points)
        ]
        places += [(-place[1], 0.0) for place, edge in _stations(work) if edge in ("head", "foot")]
    else:
        places += [(-y, 0.0) for _, y in _few(work.cut_outline)]
    return [
        Running(at=(y + lie.high[1]) * lie.scale, number=shown.length(y + lie.high[1]), reach=reach)
        for y, reach in distinct(places)
    ]


def _upright(points: tuple[Vec2, ...]) -> bool:
    return abs(points[0][0] - points[-1][0]) < abs(points[0][1] - points[-1][1])


def _few(outline: tuple[Vec2, ...]) -> list[Vec2]:
    """So many points of an outline that their numbers have room."""
    step = -(-len(outline) // MOST_NUMBERS * 2) if len(outline) > MOST_NUMBERS else 1
    return list(outline[::step])


def _named(work: PanelWork, lie: _Lie) -> Iterator[tuple[Text, tuple[Point, ...]]]:
    """The words of the named end, inside the cloth by its edge."""
    x, y = lie.at((work.finished[0] * 0.05, 0.0))
    string = CLOTH_DRAWN["named"].format(named=work.named)
    text = Text(x=0.0, y=0.0, string=string, size=WORD, bold=True, layer="names")
    yield text, tuple((x + dx, y + dy) for dx in (0.0, 6.0, 14.0, 30.0) for dy in (1.2, 8.0, -6.0, 16.0, -14.0))


def _on_it(panel: Panel, work: PanelWork, lie: _Lie, shown: Shown) -> Iterator[tuple[Text, tuple[Point, ...]]]:
    for one in panel.on_it:
        size = shown.length(one.size[0])
        size = size if one.kind == "eyelet" else f"{size} × {shown.length(one.size[1])}"
        string = one.note or CLOTH_DRAWN[one.kind].format(size=size)
        x, y = lie.at(_place(one, work))
        text = Text(x=0.0, y=0.0, string=string, size=WORD, layer="names")
        yield text, tuple((x + dx, y + dy) for dy in (5.0, 10.0, -1.5, 16.0, -7.0) for dx in (1.5, 8.0, 20.0, -10.0))


def panel_dxf(work: PanelWork) -> bytes:
    """Return a panel as DXF R2010 at true size: layers `cut`, `fold`, `stitch`, `mark`."""
    out = DxfFile()
    for layer in ("cut", "fold", "stitch", "mark"):
        out.add_layer(layer)
    out.polyline(work.cut_outline, "cut", closed=True)
    for line in work.lines:
        for a, b in pairwise(line.points):
            out.line(a, b, line.kind)
    for (x, y), _ in _stations(work):
        out.line((x - 5.0, y), (x + 5.0, y), "mark")
        out.line((x, y - 5.0), (x, y + 5.0), "mark")
    return out.to_bytes()


# ------------------------------------------------------------------------------------------------ on the roll
def roll_view(job: Job, plan: RollPlan, box: tuple[float, float]) -> Drawing:
    """Return how the cloth of the batch lies on the roll, its length across the paper [mm]."""
    shown, layout = job.workshop.shown, plan.layout
    scale = min((box[0] - ROOM) / max(layout.length, 1.0), (box[1] - ROOM) / plan.width)
    strokes = [Stroke(points=_ring(0.0, 0.0, layout.length * scale, plan.width * scale), weight=HEAVY, closed=True)]
    notes: list[tuple[Text, tuple[Point, ...]]] = []
    along, across = {0.0, layout.length}, {0.0, plan.width}
    for place in layout.places:
        piece = plan.pieces[place.piece]
        x, y, w, h = (v * scale for v in (place.along, place.across, piece.length, piece.width))
        strokes.append(Stroke(points=_ring(x, y, w, h), weight=MEDIUM, closed=True, layer="cut"))
        along |= {place.along, place.along + piece.length}
        across |= {place.across, place.across + piece.width}
        size = f"{shown.length(piece.length)} × {shown.length(piece.width)}"
        title = job.part(piece.name).title
        fits = text_width(title, WORD) <= w - 2.0 and text_width(size, WORD) <= w - 2.0
        lines = [title, size] if fits else [str(place.piece + 1)]
        for k, string in enumerate(lines if h > 4.6 * len(lines) + 1.0 else lines[:1]):
            text = Text(x=0.0, y=0.0, string=string, size=WORD, layer="names")
            notes.append((text, ((x + 1.2, y + 4.4 + 4.6 * k),)))
    marked = Marked(
        width=layout.length * scale, height=plan.width * scale, strokes=tuple(strokes), openings=(),
        across=_numbers(along, scale, shown), down=_numbers(across, scale, shown), notes=tuple(notes),
    )  # fmt: skip
    alt = CLOTH_DRAWN["roll"].format(
        stock=plan.stock, length=shown.length(layout.length), width=shown.length(plan.width)
    )
    return replace(set_out(marked, shown, f"roll-{plan.stock.replace(' ', '-')}", alt), scale=scale)


def _ring(x: float, y: float, w: float, h: float) -> tuple[Point, ...]:
    return ((x, y), (x + w, y), (x + w, y + h), (x, y + h))


def _numbers(places: set[float], scale: float, shown: Shown) -> tuple[Running, ...]:
    """As many as have room: of cuts close to each other the later one is kept."""
    kept: list[float] = []
    for place in sorted(places):
        if kept and (place - kept[-1]) * scale < 2.0:
            kept[-1] = place
        else:
            kept.append(place)
    return tuple(Running(at=place * scale, number=shown.length(place), reach=0.0) for place in kept)
