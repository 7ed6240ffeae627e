"""Large drawings spread over sheets: nothing is lost, neighbours agree, no sheet is printed for nothing."""

from __future__ import annotations

import math

import pytest

from drilled_parts import box, plate, with_parts
from factories import make_job
from handbarrow.drawings.fullsize import bending_template, is_flat_bent, template_size
from handbarrow.drawings.model import Drawing, Stroke
from handbarrow.drawings.plates import plate_view
from handbarrow.drawings.tiles import OVERLAP, settled, sheet_map, sheet_name, tile, tiling

WINDOW = (186.0, 214.0)
JOB = make_job()
HOOP = bending_template(JOB, "outer-hoop")


def ring(size: float) -> Drawing:
    """A square of lines with nothing inside."""
    corners = ((1.0, 1.0), (size - 1, 1.0), (size - 1, size - 1), (1.0, size - 1))
    return Drawing(
        width=size, height=size, alt="ring", scale=1.0, name="ring", strokes=(Stroke(points=corners, closed=True),)
    )


def test_sheets_inside_a_ring_are_not_printed() -> None:
    spread = tiling(ring(700.0), *WINDOW)
    assert (spread.rows, spread.columns) == (4, 4)
    inner = {(1, 1), (1, 2), (2, 1), (2, 2)}
    assert set(spread.used) == {(r, c) for r in range(4) for c in range(4)} - inner


@pytest.mark.parametrize("size", [20.0, 181.0, 181.1, 357.0, 1000.0])
def test_sheets_cover_the_drawing_and_never_one_row_too_many(size: float) -> None:
    spread = tiling(ring(size), *WINDOW)
    wide = spread.columns * spread.pitch[0] + OVERLAP
    assert wide >= size and wide - spread.pitch[0] < size + 10.0
    assert spread.origin[0] == pytest.approx((size - wide) / 2)


@pytest.mark.parametrize("drawing", [ring(700.0), HOOP, bending_template(JOB, "outer-hoop", turned=True)])
def test_every_point_of_every_line_is_on_a_printed_sheet(drawing: Drawing) -> None:
    spread = tiling(drawing, *WINDOW)
    shown = {cell: tile(drawing, spread, cell) for cell in spread.used}
    assert len(shown) > 3
    for stroke in drawing.strokes:
        for x, y in stroke.points:
            homes = [
                cell
                for cell in spread.used
                if 0 <= x - spread.corner(cell)[0] <= spread.width and 0 <= y - spread.corner(cell)[1] <= spread.height
            ]
            assert homes
            for cell in homes:
                a, b = spread.corner(cell)
                assert any(
                    math.hypot(p - (x - a), q - (y - b)) < 1e-6
                    for s in shown[cell].strokes
                    if s.layer == stroke.layer
                    for p, q in s.points
                )


def test_crosses_of_neighbours_lie_on_each_other() -> None:
    spread = tiling(HOOP, *WINDOW)

    def crosses(cell: tuple[int, int]) -> set[tuple[float, float]]:
        x, y = spread.corner(cell)
        arms = [s.points for s in tile(HOOP, spread, cell).strokes if s.layer == "crosses"]
        return {(round(x + (a[0] + b[0]) / 2, 6), round(y + (a[1] + b[1]) / 2, 6)) for a, b in arms}

    for row, column in spread.used:
        for other in ((row, column + 1), (row + 1, column)):
            if other in spread.used:
                assert len(crosses((row, column)) & crosses(other)) == 2


def test_a_drawing_not_at_true_size_is_refused() -> None:
    with pytest.raises(ValueError, match="not at 1:1"):
        tiling(Drawing(width=10, height=10, alt="x", scale=0.5), *WINDOW)


def test_the_map_shows_the_printed_sheets_and_where_this_one_is() -> None:
    spread = tiling(ring(700.0), *WINDOW)
    drawn = sheet_map(ring(700.0), spread, (0, 1))
    boxes = [s for s in drawn.strokes if s.layer == "map" and s.weight > 0]
    assert len(boxes) == len(spread.used) == 12
    assert len([s for s in drawn.strokes if s.fill == "grey"]) == 1
    assert "this is A2" in drawn.alt and "D4" in drawn.alt and "B2" not in drawn.alt.split(";")[0]


def test_no_sheet_cuts_the_number_of_a_size_where_it_can_stand_elsewhere() -> None:
    spread = tiling(HOOP, *WINDOW)
    for dimension in settled(HOOP, spread).dimensions:
        x, y = (sum(c) / 2 for c in zip(*dimension.ends, strict=True))
        assert dimension.value > 0 and 0 <= x <= HOOP.width and 0 <= y <= HOOP.height


# ------------------------------------------------------------------------------------------------ bending templates
def test_a_template_is_as_large_as_the_bent_part() -> None:
    # the hoop's true size: its dimensions over all say what its outline measures on the paper
    lines = [p for s in HOOP.strokes if s.layer in ("outline", "ends") for p in s.points]
    xs, ys = zip(*lines, strict=True)
    wide, high = template_size(JOB.part("outer-hoop"))
    assert max(xs) - min(xs) == pytest.approx(wide, abs=1e-6)
    assert max(ys) - min(ys) == pytest.approx(high, abs=1e-6)
    assert [d.value for d in HOOP.dimensions] == pytest.approx([wide, high])
    assert [d.on_paper for d in HOOP.dimensions] == pytest.approx([wide, high])


def test_both_sides_of_a_bend_are_arcs_at_radius_plus_and_minus_half_the_tube() -> None:
    # closed form: lines beside an arc of radius R are arcs of R - d / 2 and R + d / 2; chords within 0.01 mm
    part = JOB.part("outer-hoop")
    assert part.section is not None and part.centreline is not None
    half, radius = part.section.height / 2, part.centreline.radii[0]
    sides = [s for s in HOOP.strokes if s.layer == "outline"]
    centres = [s for s in HOOP.strokes if s.layer == "centreline"]
    assert len(sides) == 2 and len(centres) == 1
    for stroke, wanted in ((sides[0], None), (sides[1], None), (centres[0], radius)):
        arc = stroke.points[1 : len(stroke.points) // 2 - 1]
        a, b, c = arc[0], arc[len(arc) // 2], arc[-1]
        found = _circle_radius(a, b, c)
        allowed = (wanted,) if wanted else (radius - half, radius + half)
        assert min(abs(found - w) for w in allowed) < 0.01


def _circle_radius(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    """Source: circumradius of a triangle, product of the sides over four times the area (closed form)."""
    area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2
    return math.dist(a, b) * math.dist(b, c) * math.dist(c, a) / (4 * area)


def test_a_part_bent_in_two_planes_has_no_template() -> None:
    assert not is_flat_bent(JOB.part("drawbar"))
    with pytest.raises(ValueError, match="lies flat"):
        bending_template(JOB, "drawbar")


def test_a_template_turned_is_the_same_part() -> None:
    turned = bending_template(JOB, "outer-hoop", turned=True)
    assert sorted(d.value for d in turned.dimensions) == pytest.approx(sorted(d.value for d in HOOP.dimensions))
    assert (turned.width, turned.height) == pytest.approx((HOOP.height, HOOP.width))


def test_a_large_plate_is_spread_as_it_is_marked_out() -> None:
    shield = plate("shield", box(460, 198))
    drawing = plate_view(with_parts(shield), "shield")
    spread = tiling(drawing, *WINDOW)
    assert spread.columns == 3
    assert [sheet_name(c) for c in spread.used][:3] == ["A1", "A2", "A3"]
