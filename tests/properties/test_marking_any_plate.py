"""Any plate and any bar can be marked out: nothing lies on anything else, every number is true, nothing is lost."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drilled_parts import ANGLE, FLAT, bar, hole, plate, with_parts
from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.drawings.contours import area_of, flattened, notched, rectangle, rounded
from handbarrow.drawings.drilled import bar_views
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.plates import plate_view
from handbarrow.drawings.tiles import OVERLAP, tiling
from handbarrow.job.values import JobHole, JobPart
from handbarrow.laws.geometry.approach import outline_distance

sizes = st.floats(30.0, 240.0)


@st.composite
def plates(draw: st.DrawFn) -> JobPart:
    """Star-shaped plates with a few holes that do not touch."""
    corners = draw(st.integers(3, 8))
    turns = [(i + draw(st.floats(0.1, 0.9))) * 2 * math.pi / corners for i in range(corners)]
    outline = tuple((r * math.cos(t), r * math.sin(t)) for t in turns for r in [draw(sizes)])
    spots = draw(st.lists(st.tuples(st.integers(-2, 2), st.integers(-2, 2)), max_size=9, unique=True))
    points = np.array([(x * 22.0, y * 22.0) for x, y in spots]).reshape(-1, 2)
    within = outline_distance(np.array(outline), points) == 0.0
    inside = [(float(x), float(y)) for x, y in points[within]]
    holes = [hole(x, y, draw(st.sampled_from((5.5, 8.5, 12.5)))) for x, y in inside]
    return plate("any", outline, draw(st.sampled_from((0.0, 3.0, 10.0))), *holes)


def centres(drawing: Drawing) -> list[tuple[float, float]]:
    out = []
    for stroke in drawing.strokes:
        if stroke.layer == "drill":
            xs, ys = zip(*stroke.points, strict=True)
            out.append(((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2))
    return out


@settings(max_examples=60, deadline=None)
@given(plates())
def test_any_plate_is_marked_out_with_no_text_on_another(part: JobPart) -> None:
    drawing = plate_view(with_parts(part), "any")
    assert overlaps(drawing) == []
    assert outside(drawing) == []
    found = centres(drawing)
    assert len(found) == len(part.holes)
    # true size whatever way it is laid: holes keep their distances
    for i in range(1, len(found)):
        wanted = math.dist((part.holes[0].x, part.holes[0].y), (part.holes[i].x, part.holes[i].y))
        assert math.dist(found[0], found[i]) == pytest.approx(wanted, abs=0.01)
    assert sum(t.layer == "names" and t.string.startswith("Ø") for t in drawing.words) == len(part.holes)


@settings(max_examples=40, deadline=None)
@given(
    st.floats(60.0, 3000.0),
    st.lists(st.floats(0.02, 0.98), min_size=1, max_size=12),
    st.sampled_from((ANGLE, FLAT)),
    st.floats(80.0, 250.0),
)
def test_any_bar_is_drawn_within_the_width_with_every_hole_once(
    length: float, places: list[float], section: object, width: float
) -> None:
    kept: list[float] = []
    for at in sorted(p * length for p in places):
        if not kept or at - kept[-1] > 12.0:
            kept.append(at)
    is_angle = section is ANGLE
    holes = [
        JobHole(x=x, y=20.0 if is_angle else 0.0, face="height leg" if is_angle else "left", diameter=6.0) for x in kept
    ]
    drawn = bar_views(with_parts(bar("any", section, length, *holes)), "any", width)  # type: ignore[arg-type]
    assert sum(len(centres(d)) for d in drawn) == len(kept)
    for drawing in drawn:
        assert drawing.width <= width + 1e-9
        assert overlaps(drawing) == [] and outside(drawing) == []


@settings(max_examples=80, deadline=None)
@given(st.floats(20.0, 300.0), st.floats(20.0, 300.0), st.floats(0.0, 40.0))
def test_rounding_takes_the_same_area_off_whichever_way_it_is_reckoned(w: float, h: float, r: float) -> None:
    contour, sharp = rounded(((0, 0), (w, 0), (w, h), (0, h)), r)
    flat = flattened(contour, 0.0005)
    shoelace = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(flat, flat[1:] + flat[:1], strict=True)) / 2
    assert area_of(contour) == pytest.approx(shoelace, abs=0.0005 * (2 * w + 2 * h) + 1e-9)
    assert area_of(contour) == pytest.approx(w * h - (4 - sharp) * r * r * (1 - math.pi / 4), abs=1e-6)


@settings(max_examples=80, deadline=None)
@given(st.floats(4.0, 12.0), st.floats(0.2, 0.8), st.floats(1.2, 4.0), st.sampled_from((0, 1, 2, 3)))
def test_an_open_slot_takes_its_area_whichever_edge_it_runs_out_over(
    width: float, along: float, deep: float, side: int
) -> None:
    # closed form: rectangle from the round end's centre to the edge, and half a circle
    size = 100.0
    way = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[side]
    depth = width * deep / 2
    middle = 10.0 + along * 80.0
    at = {0: (size - depth, middle), 1: (middle, size - depth), 2: (depth, middle), 3: (middle, depth)}[side]
    cut = notched(rectangle(size, size), at, width, width, way)
    assert cut is not None
    assert cut[1] == pytest.approx(at)
    assert size * size - area_of(cut[0]) == pytest.approx(width * depth + math.pi * width**2 / 8, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(5.0, 3000.0), st.floats(5.0, 3000.0), st.floats(60.0, 300.0), st.floats(60.0, 300.0))
def test_sheets_always_cover_what_is_drawn(w: float, h: float, wide: float, high: float) -> None:
    from handbarrow.drawings.model import Stroke

    corners = ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))
    drawing = Drawing(width=w, height=h, alt="box", scale=1.0, strokes=(Stroke(points=corners, closed=True),))
    spread = tiling(drawing, wide, high)
    for x, y in corners:
        assert any(
            spread.corner(c)[0] - 1e-9 <= x <= spread.corner(c)[0] + wide + 1e-9
            and spread.corner(c)[1] - 1e-9 <= y <= spread.corner(c)[1] + high + 1e-9
            for c in spread.used
        )
    assert spread.columns * (wide - OVERLAP) + OVERLAP >= w
    assert spread.rows * (high - OVERLAP) + OVERLAP >= h
