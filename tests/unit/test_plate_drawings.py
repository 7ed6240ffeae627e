"""Plates at true size: outlines, numbers from edges that a tape reaches, flat files read back by another library."""

from __future__ import annotations

import io
import math

import ezdxf
import ezdxf.path
import pytest

from drilled_parts import box, hole, plate, with_parts
from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.drawings.contours import area_of, bounds, notched, rectangle, rounded
from handbarrow.drawings.flat import LAYERS, flat_dxf
from handbarrow.drawings.marking import figure
from handbarrow.drawings.model import Drawing
from handbarrow.drawings.plates import plate_figure, plate_view
from handbarrow.job.values import JobHole, JobPart

CLAMP = plate("clamp", box(80, 90), 6.0, hole(40, 45, 16.5), hole(20, 15, 8.5), hole(60, 15, 8.5), hole(60, 75, 8.5))
GUSSET = plate("gusset", ((-80.0, 0.0), (10.0, 0.0), (10.0, 60.0), (-10.0, 60.0)))
SLOTTED = plate(
    "slotted", box(100, 60), 0.0,
    JobHole(x=30, y=30, face="", diameter=8.0, length=20.0, angle_rad=math.pi / 2, through=True),
    JobHole(x=88, y=30, face="", diameter=10.0, length=24.0, open_edge=True, through=True),
)  # fmt: skip


def view(part: JobPart) -> Drawing:
    return plate_view(with_parts(part), part.id)


def numbers(drawing: Drawing, *, across: bool) -> list[str]:
    """Running numbers: those across stand above, those up end at the left of the plate."""
    found = [t for t in drawing.words if t.layer == "running" and (t.anchor == "end") != across]
    return [t.string for t in sorted(found, key=lambda t: t.x if across else -t.y)]


def extent(drawing: Drawing, layer: str) -> tuple[float, float]:
    points = [p for s in drawing.strokes if s.layer == layer for p in s.points]
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


# ------------------------------------------------------------------------------------------------ outlines
def test_rounded_corners_take_the_known_area_off_a_plate() -> None:
    # closed form: each corner of radius r loses r2 (1 - pi / 4)
    contour, sharp = rounded(box(80, 90), 6.0)
    assert sharp == 0
    assert area_of(contour) == pytest.approx(80 * 90 - 36 * (4 - math.pi), abs=1e-9)
    assert bounds(contour) == pytest.approx((0, 0, 80, 90), abs=1e-9)


def test_a_reentrant_corner_is_rounded_the_other_way() -> None:
    # closed form: five corners lose r2 (1 - pi / 4) each, the inner one gains as much
    shape = ((0, 0), (60, 0), (60, 30), (30, 30), (30, 60), (0, 60))
    contour, sharp = rounded(shape, 5.0)
    assert sharp == 0
    assert area_of(contour) == pytest.approx(2700 - 4 * 25 * (1 - math.pi / 4), abs=1e-9)


def test_a_corner_without_room_for_its_radius_stays_sharp_and_is_counted() -> None:
    contour, sharp = rounded(box(80, 9), 6.0)
    assert sharp == 4
    assert area_of(contour) == pytest.approx(720)


def test_an_open_slot_takes_a_rectangle_and_half_a_circle_out_of_the_edge() -> None:
    # closed form: 10 wide, round end's centre 19 from the edge at x = 100: 10 x 19 + pi 5^2 / 2
    fig = plate_figure(SLOTTED)
    assert fig.missed == 0
    assert area_of(fig.contour) == pytest.approx(6000 - (190 + math.pi * 12.5), abs=1e-9)
    (closed, opened) = fig.openings
    assert closed.contour is not None and opened.contour is None and opened.runs_out
    assert opened.centres == ((pytest.approx(81.0), pytest.approx(30.0)),)
    assert area_of(closed.contour) == pytest.approx(8 * 12 + math.pi * 16, abs=1e-9)


@pytest.mark.parametrize("angle", [0.0, math.pi / 2, math.pi, -math.pi / 2])
def test_an_open_slot_runs_out_over_the_edge_that_is_nearer(angle: float) -> None:
    shape = figure(
        rectangle(100, 60), [JobHole(x=50, y=6, face="", diameter=6, length=20, angle_rad=angle, open_edge=True)]
    )
    assert shape.openings[0].runs_out
    low = min(v.y for v in shape.contour)
    assert low == pytest.approx(0.0, abs=1e-9)
    if abs(math.sin(angle)) > 0.5:
        assert shape.openings[0].centres[0][1] == pytest.approx(6 + 7)


def test_an_open_slot_may_run_out_over_a_rounded_corner() -> None:
    contour, _ = rounded(box(60, 40), 15.0)
    way = (math.sqrt(0.5), math.sqrt(0.5))
    cut = notched(contour, (48.0, 28.0), 8.0, 24.0, way)
    assert cut is not None
    assert area_of(contour) - area_of(cut[0]) > 8 * 12


# ------------------------------------------------------------------------------------------------ on the paper
@pytest.mark.parametrize("part", [CLAMP, GUSSET, SLOTTED], ids=lambda p: p.id)
def test_a_plate_is_drawn_at_true_size_with_no_text_on_another(part: JobPart) -> None:
    drawing = view(part)
    xs, ys = zip(*part.outline, strict=True)
    assert drawing.scale == 1.0
    assert extent(drawing, "cut") == pytest.approx((max(xs) - min(xs), max(ys) - min(ys)), abs=1e-6)
    assert overlaps(drawing) == [] and outside(drawing) == []


def test_numbers_run_from_two_edges_to_every_corner_and_centre() -> None:
    drawing = view(CLAMP)
    assert numbers(drawing, across=True) == ["0", "20", "40", "60", "80"]
    assert numbers(drawing, across=False) == ["0", "15", "45", "75", "90"]


def test_a_side_without_an_edge_is_not_measured_from() -> None:
    # the gusset ends in a point at the left: numbers count from its right edge
    drawing = view(GUSSET)
    assert numbers(drawing, across=True) == ["90", "20", "0"]
    heavy = [s for s in drawing.strokes if s.layer == "datum"]
    assert len(heavy) == 2
    right = max(x for s in drawing.strokes if s.layer == "cut" for x, _ in s.points)
    assert any(all(x == pytest.approx(right) for x, _ in s.points) for s in heavy)


def test_a_slanting_plate_is_laid_on_its_longest_edge() -> None:
    c, s = math.cos(0.4), math.sin(0.4)
    outline = tuple((x * c - y * s, x * s + y * c) for x, y in box(70, 30))
    slanted = plate("slanted", outline, 0.0, hole(20 * c - 10 * s, 20 * s + 10 * c, 9))
    drawing = view(slanted)
    assert extent(drawing, "cut") == pytest.approx((70, 30), abs=1e-6)
    assert numbers(drawing, across=True) in (["0", "20", "70"], ["0", "50", "70"])


def test_every_centre_to_punch_has_its_cross_and_its_name() -> None:
    drawing = view(CLAMP)
    circles = [s for s in drawing.strokes if s.layer == "drill"]
    assert len(circles) == 4
    names = [t.string for t in drawing.words if t.layer == "names"]
    assert sorted(names) == ["R6", "Ø16.5", "Ø8.5", "Ø8.5", "Ø8.5"]
    for circle in circles:
        xs, ys = zip(*circle.points, strict=True)
        middle = ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2)
        crosses = [s for s in drawing.strokes if s.layer == "mark" and not s.dash]
        assert (
            sum(
                abs((s.points[0][0] + s.points[1][0]) / 2 - middle[0]) < 1e-6
                and abs((s.points[0][1] + s.points[1][1]) / 2 - middle[1]) < 1e-6
                for s in crosses
            )
            == 2
        )


def test_a_slot_shows_both_ends_to_drill_and_an_open_one_its_round_end() -> None:
    drawing = view(SLOTTED)
    assert numbers(drawing, across=True) == ["0", "30", "81", "100"]
    assert numbers(drawing, across=False) == ["0", "24", "30", "36", "60"]
    names = {t.string for t in drawing.words if t.layer == "names"}
    assert names == {"slot 8 × 20", "open slot 10"}


def test_a_shop_that_reads_inches_gets_inches() -> None:
    drawing = plate_view(with_parts(CLAMP, length="in"), "clamp")
    assert numbers(drawing, across=True) == ["0", "0.79", "1.57", "2.36", "3.15"]  # computed here: mm / 25.4


# ------------------------------------------------------------------------------------------------ flat files
def read(part: JobPart) -> ezdxf.document.Drawing:
    return ezdxf.read(io.StringIO(flat_dxf(plate_figure(part)).decode("utf-8")))


@pytest.mark.parametrize("part", [CLAMP, GUSSET, SLOTTED], ids=lambda p: p.id)
def test_a_flat_file_passes_the_audit_and_has_nothing_but_cut_drill_and_mark(part: JobPart) -> None:
    document = read(part)
    auditor = document.audit()
    assert not auditor.errors and not auditor.fixes
    assert document.units == ezdxf.units.MM
    assert {e.dxf.layer for e in document.modelspace()} <= set(LAYERS)
    assert flat_dxf(plate_figure(part)) == flat_dxf(plate_figure(part))


def test_a_flat_file_read_back_has_the_plates_size_and_its_holes() -> None:
    space = read(CLAMP).modelspace()
    (outline,) = space.query("LWPOLYLINE")
    # ezdxf flattens the arcs itself: an independent reader of our bulges
    flat = list(ezdxf.path.make_path(outline).flattening(1e-4))
    xs, ys = [p.x for p in flat], [p.y for p in flat]
    assert (min(xs), min(ys), max(xs), max(ys)) == pytest.approx((0, 0, 80, 90), abs=1e-6)
    area = abs(sum(a.x * b.y - b.x * a.y for a, b in zip(flat, flat[1:] + flat[:1], strict=True))) / 2
    assert area == pytest.approx(80 * 90 - 36 * (4 - math.pi), abs=0.05)  # its arcs are Bezier curves
    arcs = [e for e in outline.virtual_entities() if e.dxftype() == "ARC"]
    assert [a.dxf.radius for a in arcs] == pytest.approx([6.0] * 4)
    found = sorted((c.dxf.center.x, c.dxf.center.y, 2 * c.dxf.radius) for c in space.query("CIRCLE"))
    for circle, wanted in zip(found, sorted((h.x, h.y, h.diameter) for h in CLAMP.holes), strict=True):
        assert circle == pytest.approx(wanted, abs=1e-9)
    assert len(space.query("LINE")) == 8  # a cross for each of four holes


def test_a_flat_file_cuts_an_open_slot_as_part_of_the_outline() -> None:
    space = read(SLOTTED).modelspace()
    outlines = space.query("LWPOLYLINE")
    assert len(outlines) == 2 and not space.query("CIRCLE")
    areas = []
    for outline in outlines:
        flat = list(ezdxf.path.make_path(outline).flattening(1e-4))
        areas.append(abs(sum(a.x * b.y - b.x * a.y for a, b in zip(flat, flat[1:] + flat[:1], strict=True))) / 2)
    assert sorted(areas) == pytest.approx([96 + 16 * math.pi, 6000 - 190 - 12.5 * math.pi], abs=0.05)
