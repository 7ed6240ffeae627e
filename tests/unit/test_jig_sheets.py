"""Boards on paper and as files: every number printed once and clear of the others, holes where the table says."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.drawings.jigs import fixture_view, form_view, rod_view
from handbarrow.job.jigs import build_jigs
from handbarrow.job.values import Job
from handbarrow.laws.hardware.pin_holes import PinSize
from handbarrow.sheets.jigs import jig_files, jig_pages
from jig_frames import HOOP, RECTANGLE, example, job_of

BOX = (186.0, 126.0)


def in_inches(job: Job) -> Job:
    return replace(job, workshop=replace(job.workshop, show_length="in", show_mass="lb"))


JOBS = [
    pytest.param(job_of(HOOP), id="hoop"),
    pytest.param(job_of(RECTANGLE), id="rectangle"),
    pytest.param(example("handcart"), id="handcart"),
    pytest.param(in_inches(example("handcart")), id="handcart in inches"),
    pytest.param(example("hut-trailer"), id="hut trailer"),
]


@pytest.mark.parametrize("job", JOBS)
def test_every_pin_has_its_number_on_the_board_and_no_text_lies_on_another(job: Job) -> None:
    for fixture in build_jigs(job).fixtures:
        drawing = fixture_view(job, fixture, BOX)
        said = [text.string for text in drawing.texts if text.layer == "numbers"]
        assert sorted(said, key=int) == [str(n) for n in range(1, len(fixture.spots) + 1)]
        assert overlaps(drawing) == []
        assert outside(drawing) == []
        assert drawing.width <= BOX[0] and drawing.height <= BOX[1]


@pytest.mark.parametrize("height", [126.0, 134.0, 150.0])
@pytest.mark.parametrize("job", JOBS)
def test_running_coordinates_name_every_place_along_both_datum_edges(job: Job, height: float) -> None:
    shown = job.workshop.shown
    for fixture in build_jigs(job).fixtures:
        drawing = fixture_view(job, fixture, (BOX[0], height))
        said = {text.string for text in drawing.texts if text.layer == "running"}
        assert said >= {shown.length(spot.x) for spot in fixture.spots}
        assert said >= {shown.length(spot.y) for spot in fixture.spots}


@pytest.mark.parametrize("job", JOBS)
def test_pins_are_drawn_to_scale_where_the_table_says(job: Job) -> None:
    for fixture in build_jigs(job).fixtures:
        drawing = fixture_view(job, fixture, BOX)
        assert drawing.scale is not None
        board = next(s for s in drawing.strokes if s.layer == "board" and s.closed)
        left, low = min(x for x, _ in board.points), max(y for _, y in board.points)
        drawn = []
        for stroke in drawing.strokes:
            if stroke.layer in ("pins", "supports") and stroke.closed:
                xs, ys = zip(*stroke.points, strict=True)
                x, y = (min(xs) + max(xs)) / 2 - left, low - (min(ys) + max(ys)) / 2
                drawn.append((x / drawing.scale, y / drawing.scale))
        for spot in fixture.spots:
            assert min(abs(x - spot.x) + abs(y - spot.y) for x, y in drawn) < 0.5


@pytest.mark.parametrize("job", JOBS)
def test_check_boards_name_ends_centres_and_tangent_points_clear_of_each_other(job: Job) -> None:
    for board in build_jigs(job).boards:
        drawing = form_view(job, board, (186.0, 80.0))
        wanted = {"S", "E", *(f"{mark}{bend.number}" for bend in board.bends for mark in "ABC")}
        assert {text.string for text in drawing.texts if text.layer == "numbers"} == wanted
        assert overlaps(drawing) == []
        assert outside(drawing) == []


def test_a_spacing_rod_is_drawn_at_true_size_where_it_fits_and_says_so_where_not() -> None:
    job = example("hut-trailer")
    (rod,) = build_jigs(job).rods
    drawing = rod_view(job, rod, 186.0)
    assert drawing.scale == 1.0
    (body,) = (s for s in drawing.strokes if s.layer == "rod")
    xs = [x for x, _ in body.points]
    assert max(xs) - min(xs) == pytest.approx(rod.length, abs=1e-9)
    (size,) = drawing.dimensions
    assert (size.text, size.value) == ("100.5", rod.length)
    assert overlaps(drawing) == []
    long = rod_view(job, replace(rod, length=400.0), 186.0)
    assert long.scale is None
    assert long.width <= 186.0
    assert not any("100 mm" in text.string for text in long.texts)


def read_back(content: bytes) -> Any:
    document = ezdxf.read(io.StringIO(content.decode()))  # type: ignore[attr-defined]
    assert document.audit().errors == []
    return document.modelspace()


@pytest.mark.parametrize("name", ["handcart", "hut-trailer"])
def test_dxf_of_a_board_has_a_true_circle_and_a_point_for_every_hole(name: str) -> None:
    job = example(name)
    files = {file: make for folder, file, make in jig_files(job) if folder == "jigs"}
    for fixture in build_jigs(job).fixtures:
        space = read_back(files[fixture.id]("dxf"))
        holes = [spot for spot in fixture.spots if spot.kind != "support"]
        circles = list(space.query("CIRCLE"))
        assert {c.dxf.layer for c in circles} == {"drill 11"}
        assert {round(2 * c.dxf.radius, 9) for c in circles} == {fixture.pin.clearance_hole}
        found = sorted((round(c.dxf.center.x, 6), round(c.dxf.center.y, 6)) for c in circles)
        assert found == sorted((round(s.x, 6), round(s.y, 6)) for s in holes)
        points = {(round(p.dxf.location.x, 6), round(p.dxf.location.y, 6)) for p in space.query("POINT")}
        assert points == {(round(s.x, 6), round(s.y, 6)) for s in fixture.spots}
        (board,) = (line for line in space.query("LWPOLYLINE") if line.dxf.layer == "board")
        corners = {(round(x, 6), round(y, 6)) for x, y in board.get_points("xy")}
        assert corners == {(0, 0), (fixture.width, 0), (fixture.width, fixture.height), (0, fixture.height)}


def test_files_of_boards_are_the_same_each_time_and_measure_mm_whatever_the_shop_reads() -> None:
    for (_, _, make), (_, _, again) in zip(
        jig_files(example("handcart")), jig_files(in_inches(example("handcart"))), strict=True
    ):
        assert make("dxf") == again("dxf")
        assert make("svg") != again("svg")


# ------------------------------------------------------------------------------------------------ sheets
def words_of(value: Any) -> str:
    if isinstance(value, dict):
        return " ".join(words_of(v) for k, v in value.items() if k not in ("svg", "alt"))
    if isinstance(value, list | tuple):
        return " ".join(words_of(v) for v in value)
    return str(value)


def test_a_fixture_sheet_states_clearance_drill_and_what_was_not_checked() -> None:
    job = example("hut-trailer")
    pages = jig_pages(job, 186.0, 258.0)
    frame = next(page for page in pages if page["title"] == "Jig: frame")
    text = words_of(frame)
    for said in ("1.5 pin to tube", "half of what a bent part may be off", "11 (bolt and nut), or 8.5 and tap M10",
                 "Mask", "zinc", "Plywood burns", "Not checked", "shrinkage",
                 "drawbar × 1 (reaches under the board)"):  # fmt: skip
        assert said in text, said
    (fixture,) = (f for f in build_jigs(job).fixtures if f.assembly == "frame")
    _, spots = frame["tables"]
    assert len(spots["rows"]) == len(fixture.spots)
    assert spots["rows"][0][1:3] == [f"{fixture.spots[0].x:.1f}", f"{fixture.spots[0].y:.1f}"]


def test_sheets_in_inches_give_no_size_in_mm() -> None:
    for page in jig_pages(in_inches(example("handcart")), 191.9, 240.4):
        text = words_of({k: v for k, v in page.items() if k != "cautions"})
        assert " mm" not in text


def test_a_tube_that_pins_do_not_hold_is_named_on_the_sheet() -> None:
    short = HOOP.replace("340", "301")  # no room for stops before the beam's ends
    job = job_of(short)
    (fixture,) = build_jigs(job).fixtures
    assert [m.part for m in fixture.members if not m.held] == ["beam"]
    text = words_of(jig_pages(job, 186.0, 258.0))
    assert "Pins alone do not hold: beam. Clamp before you tack." in text
    assert "NOT by pins alone: clamp it" in text


def test_a_given_clearance_is_said_to_be_given() -> None:
    job = job_of(HOOP)
    text = words_of(jig_pages(job, 186.0, 258.0, build_jigs(job, 0.5)))
    assert "0.5 pin to tube as drawn: as asked for" in text


def test_slots_too_narrow_for_any_screw_are_said_to_need_a_pin() -> None:
    job = example("hut-trailer")
    jigs = build_jigs(job)
    narrow = replace(jigs, rods=(replace(jigs.rods[0], slot_width=4.0, stud=None),))
    assert "no screw goes through" in words_of(jig_pages(job, 186.0, 258.0, narrow))
    assert isinstance(jigs.rods[0].stud, PinSize)


def test_folder_of_boards_has_one_name_for_each() -> None:
    names = [Path(folder) / name for folder, name, _ in jig_files(example("hut-trailer"))]
    assert len(names) == len(set(names)) == 3 + 9
