"""Parts of sheet through the whole program: blank, folds in their order, mass, solids, drawings, DXF, data, pages."""

from __future__ import annotations

import io
import math
from collections import Counter

import ezdxf
import numpy as np
import pytest
from jsonschema import Draft202012Validator

from bad_sheet import FOLDER, HEAD, RAIL, SHOP
from handbarrow.design.reader import read_design
from handbarrow.drawings.blanks import blank_dxf, blank_view
from handbarrow.drawings.fold_sketch import fold_sketch
from handbarrow.drawings.product import part_solids
from handbarrow.drawings.sheet_bodies import sheet_skin
from handbarrow.drawings.sheet_layout import sheet_layout, useful_cuts
from handbarrow.drawings.solids import Mesh
from handbarrow.job.build import build_job
from handbarrow.job.sheet_values import SheetJob
from handbarrow.job.values import Job
from handbarrow.sheets.jobdata import job_document, job_schema
from handbarrow.sheets.pictures import drawing_files
from handbarrow.sheets.sheetmetal import folder_pages, shears_pages
from handbarrow.workshop.reader import read_workshop

DENSITY = 7.85e-6
"""Of steel [kg / mm3]."""
TRAY = """\
  tray:
    stock: tin
    flat: [[0, 0], [300, 0], [300, 200], [0, 200]]
    folds:
      - {edge: 2, height: 40}
      - {edge: 4, height: 40}
      - {edge: 1, height: 60, then: [{height: 20, way: down}]}
      - {edge: 3, height: 40, hem: {kind: closed, width: 10}}
    holes: [{at: [40, 50], diameter: 6}, {fold: 1, at: [30, 20], diameter: 5}]
    slots: [{at: [150, 100], width: 8, length: 30, angle: 45}]
    screws: [{fold: 3, side: 2, count: 4, from edge: 8, from ends: 20, for: M4}]
    at: [0, -100, 10.65]
    on: rail
"""
COVER = """\
  cover:
    stock: tin
    rolled: {inside radius: 268, angle: 150, width: 90}
    hems: [{edge: left, kind: open, width: 12, gap: 3}]
    screws: [{edge: right, pitch: 150, from edge: 15, from ends: 20, diameter: 4.5}]
    at: [300, 400, 0]
    on: shield
  shield:
    stock: tin
    flat: {arc: {inside: 80, outside: 269, angle: 150}}
    at: [300, 355, 0]
    along: forward
    facing: right
    on: cover
"""


def made(parts: str = TRAY + COVER, shop: str = SHOP + FOLDER, units: int = 6) -> Job:
    source, found = read_design(HEAD + RAIL + parts, "tray.yaml")
    assert source is not None, found
    workshop, found, _ = read_workshop(shop, "shop.yaml")
    assert workshop is not None, found
    job, findings = build_job(source, workshop, units)
    assert job is not None, findings
    assert not findings
    return job


@pytest.fixture(scope="module")
def job() -> Job:
    return made()


def sheet(job: Job, part: str) -> SheetJob:
    found = job.part(part).sheet
    assert found is not None
    return found


def test_the_blank_is_as_long_as_din_6935_has_it(job: Job) -> None:
    # k = 0.65 at r = s (DIN 6935, formula read at second hand): a square fold of 1 mm uses pi/2 (1 + 0.325)
    uses = math.pi / 2 * 1.325
    assert sheet(job, "tray").length == pytest.approx(300 - 2 * 2 + 2 * uses + 2 * (40 - 2))
    hem = math.pi * 0.5  # the middle of the sheet round nothing
    width = 200 - 4 + 2 * uses + (60 - 4) + uses + (20 - 2) + (40 - 2 - 1) + hem + (10 - 1)
    assert sheet(job, "tray").width == pytest.approx(width)


def test_test_folds_of_the_shop_take_the_place_of_the_standard() -> None:
    tests = "folder:\n  name: f\n  clamp depth: 60\n  beam width: 30\n  clamp in pieces: yes\n  test folds:\n"
    job = made(TRAY, SHOP + tests + "    - {for: sheet 1, blank: 98.3, sides: [50, 50], radius: 1}\n")
    share = (98.3 - 100 + 4) / (math.pi / 2) - 1  # computed here: what the strip's fold used, less its inside radius
    uses = math.pi / 2 * (1 + share)
    assert sheet(job, "tray").length == pytest.approx(300 - 4 + 2 * uses + 2 * 38)
    assert sheet(job, "tray").rule == "test folds"


def test_masses_are_those_of_the_blanks_less_their_holes(job: Job) -> None:
    ring = (268.5) * math.radians(150)
    hem = 90 - 2.5 + math.pi * 2.0 + 12 - 2.5
    holes = math.pi / 4 * 4.5**2 * len(job.part("cover").holes)
    assert job.part("cover").mass_kg == pytest.approx((ring * hem - holes) * DENSITY, rel=1e-6)
    sector = math.radians(150) / 2 * (269**2 - 80**2)
    assert job.part("shield").mass_kg == pytest.approx(sector * DENSITY, rel=2e-3)  # its edge is cut in chords


def test_every_fold_has_its_turn_and_hems_come_before_what_they_would_be_in_the_way_of(job: Job) -> None:
    folds = sheet(job, "tray").folds
    assert sorted(fold.order for fold in folds) == list(range(1, len(folds) + 1))
    (hem,) = (fold for fold in folds if fold.hem)
    assert hem.order < next(fold.order for fold in folds if fold.side == hem.side and not fold.hem)
    down = next(fold for fold in folds if fold.way == "down")
    assert down.turned_over


def test_screws_stand_on_the_rim_at_their_distance_from_its_edge(job: Job) -> None:
    part = job.part("tray")
    rim = [hole for hole in part.holes if hole.screw == "M4"]
    low = min(y for _, y in part.outline)
    assert [hole.y - low for hole in rim] == pytest.approx([8.0] * 4)
    assert [hole.x - rim[0].x for hole in rim] == pytest.approx([0, 86, 172, 258], abs=0.7)
    assert {hole.diameter for hole in rim} == {4.5}  # ISO 273, medium


@pytest.mark.parametrize("part", ["tray", "cover", "shield"])
def test_the_solid_is_closed_and_weighs_what_the_blank_weighs(job: Job, part: str) -> None:
    skin = sheet_skin(job, job.part(part))
    a, b, c = (skin.points[skin.triangles[:, k]] for k in range(3))
    volume = float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum()) / 6
    mass = job.part(part).mass_kg
    assert mass is not None
    assert volume * DENSITY == pytest.approx(mass, rel=0.01)
    names: dict[tuple[float, ...], int] = {}
    ids = np.array([names.setdefault(tuple(p), len(names)) for p in skin.points.tolist()])
    edges = Counter((i, j) for t in ids[skin.triangles].tolist() for i, j in zip(t, t[1:] + t[:1], strict=True))
    assert all(count == 1 and edges[(j, i)] == 1 for (i, j), count in edges.items())


def test_views_show_the_part_where_it_is(job: Job) -> None:
    (mesh,) = part_solids(job, job.part("tray"))
    assert isinstance(mesh, Mesh)
    low, high = mesh.points.min(axis=0), mesh.points.max(axis=0)
    assert high - low == pytest.approx([300, 200 + 20 - 1, 60], abs=0.05)  # the rim runs from the inner face


def test_dxf_has_its_lines_on_the_layers_that_say_what_is_done(job: Job) -> None:
    file = ezdxf.read(io.StringIO(blank_dxf(job.part("tray")).decode()))  # type: ignore[attr-defined]
    layers = Counter(entity.dxf.layer for entity in file.modelspace())
    assert layers["fold up"] == 5
    assert layers["fold down"] == 1
    assert layers["drill"] == 6
    assert layers["cut"] == 2


def test_blanks_are_drawn_true_and_leave_as_files(job: Job) -> None:
    drawing = blank_view(job, "tray")
    assert drawing.scale == 1.0
    outline = next(stroke for stroke in drawing.strokes if stroke.layer == "cut")
    xs = [x for x, _ in outline.points]
    assert max(xs) - min(xs) == pytest.approx(sheet(job, "tray").length)
    assert {("blanks", part) for part in ("tray", "cover", "shield")} <= {(f, n) for f, n, _ in drawing_files(job)}
    small = fold_sketch(job, "tray", (180, 80))
    assert small.height <= 80
    assert {word.string for word in small.words} == {str(k) for k in range(1, 7)}


def test_the_sheets_of_shears_and_folder_name_what_is_cut_and_folded(job: Job) -> None:
    shears, folder = shears_pages(job, 186.0), folder_pages(job, 186.0)
    assert shears[0]["code"] == "+shears"
    (one,) = job.cutting.sheets[:1]
    drawing = sheet_layout(job, one, (186.0, 118.0))
    assert drawing.width <= 186.0
    assert {"cuts", "blanks"} <= set(drawing.layers)
    assert len(useful_cuts(one)) >= len(one.pieces) - 1
    steps = next(block["table"]["rows"] for block in folder if block["table"])
    assert [row[0] for row in steps] == [str(k) for k in range(1, 7)]
    assert not shears_pages(made("  tray: {stock: light, points: [[0, 0, 0], [0, 300, 0]]}\n"), 186.0)


def test_materials_and_job_data_have_the_sheets(job: Job) -> None:
    document = job_document(job)
    Draft202012Validator(job_schema()).validate(document)
    sheets = [cut for cut in document["cutting"] if cut["form"] == "sheet"]
    placed = Counter(piece["part"] for cut in sheets for piece in cut["layout"] for _ in range(cut["count"]))
    assert placed == {"tray": 6, "cover": 6, "shield": 6}
    (line,) = (line for line in job.materials if line.kind == "sheet")
    assert line.quantity == sum(cut["count"] for cut in sheets)
    assert line.price == pytest.approx(24.0 * line.quantity)
    tray = next(part for part in document["parts"] if part["id"] == "tray")
    assert tray["kind"] == "sheet"
    assert len(tray["blank"]["folds"]) == 6
