"""Drilled bars at true size: legs of an angle folded out, long bars in stretches, numbers true whatever is left out."""

from __future__ import annotations

import pytest

from drilled_parts import ANGLE, AXLE_SLOT, FLAT, bar, with_parts
from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.drawings.drilled import bar_views, is_drilled_bar
from handbarrow.drawings.model import Drawing
from handbarrow.job.values import JobHole, JobPart
from handbarrow.laws.geometry.section import Section

WIDTH = 186.0


def face(x: float, side: str = "left", diameter: float = 8.5, y: float = 0.0) -> JobHole:
    return JobHole(x=x, y=y, face=side, diameter=diameter, through=True)


AXLE_PLATE = bar("axle-plate", ANGLE, 120.0, AXLE_SLOT)
STAY = bar("back-stay", FLAT, 400.0, face(15), face(305), face(345), face(385))


def views(part: JobPart) -> tuple[Drawing, ...]:
    return bar_views(with_parts(part), part.id, WIDTH)


def running(drawing: Drawing, *, across: bool) -> list[str]:
    found = [t for t in drawing.words if t.layer == "running" and (t.anchor == "end") != across]
    return [t.string for t in sorted(found, key=lambda t: t.x if across else t.y)]


def cut_box(drawing: Drawing) -> tuple[float, float]:
    xs, ys = zip(*(p for s in drawing.strokes if s.layer == "cut" for p in s.points), strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def test_legs_of_an_angle_are_folded_out_about_the_heel() -> None:
    (drawing,) = views(AXLE_PLATE)
    assert drawing.scale == 1.0
    assert cut_box(drawing) == pytest.approx((120.0, 80.0), abs=1e-9)
    assert running(drawing, across=True) == ["0", "60", "120"]
    assert running(drawing, across=False) == [
        "40",
        "0",
        "22",
        "40",
    ]  # width leg, heel, round end of the slot, free edge
    assert {"height leg", "width leg", "START"} <= {t.string for t in drawing.words}


def test_an_open_slot_in_a_leg_runs_out_over_its_free_edge_not_over_the_heel() -> None:
    (drawing,) = views(AXLE_PLATE)
    heel = next(s.points[0][1] for s in drawing.strokes if s.layer == "datum" and s.points[0][1] == s.points[1][1])
    slot = [p for s in drawing.strokes if s.layer == "cut" for p in s.points if heel + 16.0 < p[1] < heel + 39.9]
    assert min(y for _, y in slot) == pytest.approx(heel + 16.75, abs=0.01)  # axle seat 22 less half of 10.5
    xs = sorted({round(x, 3) for x, y in slot if y == pytest.approx(heel + 22.0)})
    assert xs[-1] - xs[0] == pytest.approx(10.5, abs=1e-6)
    # nothing bridges the slot at the free edge
    left, right = xs[0], xs[-1]
    for stroke in drawing.strokes:
        if stroke.layer == "cut":
            pairs = [*zip(stroke.points, stroke.points[1:], strict=False)]
            assert not any(
                abs(p[1] - heel - 40) < 1e-6 and abs(q[1] - heel - 40) < 1e-6 and min(p[0], q[0]) < left + 1
                and max(p[0], q[0]) > right - 1
                for p, q in pairs
            )  # fmt: skip


def test_a_long_flat_is_broken_between_its_holes_and_its_numbers_stay_true() -> None:
    (drawing,) = views(STAY)
    assert drawing.width <= WIDTH
    assert running(drawing, across=True) == ["0", "15", "305", "345", "385", "400"]
    assert running(drawing, across=False) == ["0", "10", "20"]
    assert len([s for s in drawing.strokes if s.layer == "break"]) == 2
    middles = sorted(
        (max(x for x, _ in s.points) + min(x for x, _ in s.points)) / 2 for s in drawing.strokes if s.layer == "drill"
    )
    assert middles[3] - middles[1] == pytest.approx(80.0, abs=1e-6)  # 385 - 305: within a stretch all is 1:1


@pytest.mark.parametrize("count", [1, 5, 12, 25])
def test_every_hole_of_a_long_bar_is_drawn_once_however_many_rows_it_takes(count: int) -> None:
    holes = [face(30.0 + 70.0 * i) for i in range(count)]
    drawn = views(bar("rail", FLAT, 70.0 * count + 60, *holes))
    assert sum(s.layer == "drill" for d in drawn for s in d.strokes) == count
    said = {t for d in drawn for t in running(d, across=True)}
    assert {f"{h.x:g}" for h in holes} <= said
    for d in drawn:
        assert d.width <= WIDTH and overlaps(d) == [] and outside(d) == []


def test_holes_close_together_all_along_a_bar_are_split_into_rows() -> None:
    holes = [face(10.0 + 20.0 * i) for i in range(30)]
    drawn = views(bar("comb", FLAT, 610.0, *holes))
    assert len(drawn) > 2
    assert sum(s.layer == "drill" for d in drawn for s in d.strokes) == 30


def test_each_drilled_face_of_a_square_bar_has_its_own_view() -> None:
    section = Section(shape="square bar", height=12.0, width=12.0)
    drawn = views(bar("pin", section, 100.0, face(20, "crown", 5.0, y=2.0), face(60, "left", 4.0)))
    assert len(drawn) == 2
    # seen from outside with the start to the left, a hole towards the right of the crown lies below the middle
    assert running(drawn[0], across=False) == ["0", "8", "12"]
    assert any("crown face, its left side above" in t.string for t in drawn[0].words)


def test_a_round_bar_is_measured_from_its_crown_line_not_from_an_edge() -> None:
    section = Section(shape="round bar", height=12.0, width=12.0)
    (drawing,) = views(bar("axle", section, 730.0, face(6, "crown", 3.5), face(724, "crown", 3.5)))
    assert running(drawing, across=True) == ["0", "6", "724", "730"]
    assert running(drawing, across=False) == []


def test_tubes_are_marked_on_their_strip_not_here() -> None:
    job = with_parts(AXLE_PLATE)
    assert not any(is_drilled_bar(part) for part in job.parts if part.kind == "tube")
    with pytest.raises(ValueError, match="no bar with holes"):
        bar_views(job, "drawbar", WIDTH)
