"""Blank to folded strip and back: random strips, and the outline of the designed solid drawn another way.

Closed form: the designed face is drawn in the test from its corners, rounded by `polygon.rounded` (plane geometry of
its own), and every point of the refolded blank's face must lie on it.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.laws.folding.hems import SheetHem, hemmed_strip
from handbarrow.laws.folding.rolled import RolledGuard, guard_sizes, ring_sector, spaced_places
from handbarrow.laws.folding.strip import (
    Fold,
    FoldedStrip,
    fold_marks,
    folded_outline,
    folded_points,
    strip_corners,
    strip_from_corners,
    strip_from_sizes,
    strip_sizes,
)
from handbarrow.laws.folding.tray import Tray, tray_blank
from handbarrow.laws.geometry.polygon import area_and_centroid

angles = st.floats(10, 150).flatmap(lambda a: st.sampled_from([math.radians(a), -math.radians(a)]))
folds = st.builds(Fold, angle_rad=angles, radius=st.floats(0.3, 6), share=st.none() | st.floats(0.25, 0.5))


@st.composite
def strips(draw: Any) -> FoldedStrip:
    made = draw(st.lists(folds, min_size=1, max_size=6))
    flats = draw(st.lists(st.floats(1, 300), min_size=len(made) + 1, max_size=len(made) + 1))
    return FoldedStrip(thickness=draw(st.floats(0.5, 4)), flats=tuple(flats), folds=tuple(made))


@given(strips(), st.sampled_from(["outside", "inside", "flat"]))
def test_sizes_to_strip_and_back(strip: FoldedStrip, measured: Any) -> None:
    again = strip_from_sizes(strip_sizes(strip, measured), strip.folds, strip.thickness, measured)
    assert again.flats == pytest.approx(strip.flats, abs=1e-8)
    assert again.blank == pytest.approx(strip.blank, abs=1e-8)


@given(strips(), st.sampled_from(["lower", "upper"]))
def test_corners_to_strip_and_back(strip: FoldedStrip, face: Any) -> None:
    corners = strip_corners(strip, face)
    again = strip_from_corners(corners, [f.radius for f in strip.folds], strip.thickness, face)
    assert again.flats == pytest.approx(strip.flats, abs=1e-6)
    assert [f.angle_rad for f in again.folds] == pytest.approx([f.angle_rad for f in strip.folds], abs=1e-9)


def off_the_arcs(points: np.ndarray, corners: np.ndarray, radii: list[float]) -> float:
    """Largest distance of points from a polyline whose corners are rounded, arcs exact: drawn here independently."""
    pieces: list[tuple[str, Any]] = []
    start = corners[0]
    for before, at, after, radius in zip(corners, corners[1:], corners[2:], radii, strict=False):
        d1, d2 = (at - before) / math.dist(at, before), (after - at) / math.dist(after, at)
        bisector = d2 - d1
        half = math.acos(float(np.clip(-d1 @ d2, -1, 1))) / 2  # half the opening
        tangent = radius / math.tan(half)
        pieces.append(("line", (start, at - d1 * tangent)))
        pieces.append(("arc", (at + bisector / np.hypot(*bisector) * radius / math.sin(half), radius)))
        start = at + d2 * tangent
    pieces.append(("line", (start, corners[-1])))
    best = np.full(len(points), np.inf)
    for kind, what in pieces:
        if kind == "arc":
            off = np.abs(np.hypot(*(points - what[0]).T) - what[1])
        else:
            a, b = what
            along = b - a
            s = np.clip((points - a) @ along / max(along @ along, 1e-12), 0, 1)
            off = np.hypot(*(points - a - s[:, None] * along).T)
        best = np.minimum(best, off)
    return float(best.max())


@settings(max_examples=60)
@given(strips())
def test_refolded_blank_lies_on_the_designed_faces(strip: FoldedStrip) -> None:
    u = np.linspace(0, strip.blank, 400)
    for height, face in ((0.0, "lower"), (strip.thickness, "upper")):
        folded = folded_points(strip, u, np.full(400, height))
        corners = strip_corners(strip, face) + np.array([0.0, height])  # type: ignore[arg-type]
        outside = [(f.angle_rad > 0) == (face == "lower") for f in strip.folds]
        radii = [f.radius + strip.thickness * out for f, out in zip(strip.folds, outside, strict=True)]
        assert off_the_arcs(folded, corners, radii) < 0.05
        assert off_the_arcs(folded, corners, radii) < 1e-6  # closed form


@given(strips())
def test_folded_flats_keep_their_length_and_the_sheet_its_thickness(strip: FoldedStrip) -> None:
    u = np.linspace(0, strip.blank, 200)
    lower = folded_points(strip, u, np.zeros(200))
    upper = folded_points(strip, u, np.full(200, strip.thickness))
    assert np.hypot(*(upper - lower).T) == pytest.approx(strip.thickness)
    for mark, used, fold in zip(fold_marks(strip), strip.uses, strip.folds, strict=True):
        assert mark.end - mark.start == pytest.approx(used)
        line = np.linspace(mark.start, mark.end, 2001)
        places = folded_points(strip, line, np.full(2001, strip.neutral_height(fold)))
        length = np.hypot(*np.diff(places, axis=0).T).sum()
        assert length == pytest.approx(used, rel=1e-6)  # the neutral line keeps its length


def test_area_of_a_refolded_end_view() -> None:
    # closed form: flats x t, and a ring sector per fold, whatever the neutral line
    strip = strip_from_sizes([40.0, 60.0, 25.0], [Fold(angle_rad=a, radius=3.0) for a in (math.pi / 2, -1.0)], 2.0)
    area, _ = area_and_centroid(folded_outline(strip, math.radians(0.2)))
    rings = sum(abs(f.angle_rad) * (5.0**2 - 3.0**2) / 2 for f in strip.folds)
    assert area == pytest.approx(sum(strip.flats) * 2.0 + rings, rel=1e-5)


@given(
    st.floats(80, 400),
    st.sampled_from(["closed", "open", "double"]),
    st.floats(6, 15),
    st.floats(0.4, 1.5),
)
def test_hemmed_strip_folded_in_simulation_has_its_finished_size(
    size: float, kind: Any, width: float, t: float
) -> None:
    gap = 3.0 if kind == "open" else 0.0
    hem = SheetHem(kind=kind, width=width, gap=gap)
    strip = hemmed_strip(size, hem, hem, t)
    outline = folded_outline(strip, math.radians(1))
    extent = outline.max(axis=0) - outline.min(axis=0)
    high = {"closed": 2 * t, "open": 2 * t + gap, "double": 3 * t}[kind]
    flat_folds = math.radians(1) ** 2 / 8 * (2 * t + gap)
    assert extent == pytest.approx([size, high], abs=2 * flat_folds + 1e-9)


@given(st.floats(60, 900), st.floats(60, 900), st.floats(12, 60), st.floats(0.5, 3), st.floats(0.5, 4))
def test_tray_blank_folded_up_is_the_tray(length: float, width: float, height: float, t: float, r: float) -> None:
    tray = Tray(length=length, width=width, height=height, thickness=t, radius=r, gap=0.2)
    blank = tray_blank(tray)
    outline = blank.outline
    assert area_and_centroid(outline)[0] > 0
    for axis, strip, size in ((0, blank.strips[0], length), (1, blank.strips[1], width)):
        u = outline[:, axis] + strip.blank / 2
        folded = np.vstack([folded_points(strip, u, np.zeros(len(u))), folded_points(strip, u, np.full(len(u), t))])
        extent = folded.max(axis=0) - folded.min(axis=0)
        assert extent == pytest.approx([height, size], abs=0.05)  # the first side lies along x
    # the sides along x reach over the whole width; those along y stand between them, the gap left at each end
    side = outline[np.isclose(outline[:, 0], outline[:, 0].max())]
    assert np.ptp(side[:, 1]) == pytest.approx(width)
    end = outline[np.isclose(outline[:, 1], outline[:, 1].max())]
    assert np.ptp(end[:, 0]) == pytest.approx(length - 2 * t - 0.4)


def test_guard_over_a_wheel() -> None:
    # closed forms of the circle; 54-559 (radius 333.5) with 25 mm of room, 150 degrees, hems of 8
    hem = SheetHem(kind="closed", width=8.0)
    guard = RolledGuard(inside_radius=358.5, arc_rad=math.radians(150), width=80.0, thickness=0.8, left=hem, right=hem)
    sizes = guard_sizes(guard)
    assert sizes.blank_length == pytest.approx((358.5 + 0.4) * math.radians(150))
    assert sizes.blank_width == pytest.approx(80 + 2 * (8 - 0.8 * (2 - math.pi / 2)))
    assert (sizes.chord / 2) ** 2 + (358.5 - sizes.rise) ** 2 == pytest.approx(358.5**2)
    assert sizes.hem_creep == pytest.approx(0.8 * math.radians(150))
    assert sizes.inside_arc < sizes.blank_length < sizes.outside_arc


def test_side_plate_has_the_area_of_its_ring() -> None:
    # closed form
    plate = ring_sector(340.0, 400.0, math.radians(150), math.radians(0.2))
    assert abs(area_and_centroid(plate)[0]) == pytest.approx(math.radians(150) * (400**2 - 340**2) / 2, rel=1e-5)


@given(st.floats(60, 3000), st.floats(5, 30), st.floats(20, 400))
def test_screws_along_an_edge_are_even_and_no_further_apart_than_asked(
    length: float, edge: float, pitch: float
) -> None:
    places = spaced_places(length, edge, pitch=pitch)
    gaps = np.diff(places)
    assert places[0] == pytest.approx(edge)
    assert places[-1] == pytest.approx(length - edge)
    assert np.all(gaps <= pitch + 1e-6)
    assert gaps == pytest.approx(np.full(len(gaps), gaps[0]))
    fewer = len(places) - 1
    assert fewer < 2 or (length - 2 * edge) / (fewer - 1) > pitch - 1e-6  # one less would be too far apart
