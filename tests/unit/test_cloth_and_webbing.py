"""Cloth, webbing, cord and lacing of a cot: what is cut, sewn, laid on the roll; how the bed hangs.

Cut sizes are reckoned here by hand; the hanging bed is held against the closed form of a cable and against statics.
"""

from __future__ import annotations

import io
import math

import ezdxf
import jsonschema
import numpy as np
import pytest
from shapely.geometry import Polygon

from cloths import BED, COT, FACTOR, HEAD, HOOD, SHOP, STRAPS, job_of, worked
from handbarrow.design.soft_shapes import Panel
from handbarrow.drawings.cloths import panel_dxf, panel_view, roll_view
from handbarrow.drawings.mesh import part_bodies
from handbarrow.drawings.product import part_solids
from handbarrow.drawings.solids import Mesh
from handbarrow.job.checks import checked
from handbarrow.job.frame_values import Subject
from handbarrow.job.soft_bed import GRAVITY, SEATED, hung_under_load
from handbarrow.job.soft_rolls import roll_plans
from handbarrow.job.soft_values import PanelWork, StrapWork
from handbarrow.job.values import Job
from handbarrow.sheets.jobdata import job_document, job_schema
from handbarrow.sheets.sewing import sewing_pages


@pytest.fixture(scope="module")
def cot() -> Job:
    return job_of(COT)


def panel(job: Job, name: str = "bed") -> PanelWork:
    found = job.part(name).soft
    assert isinstance(found, PanelWork)
    return found


def strap(job: Job, name: str) -> StrapWork:
    found = job.part(name).soft
    assert isinstance(found, StrapWork)
    return found


# ------------------------------------------------------------------------------------------------ panels
def test_cloth_cut_500_by_2000_with_hems_of_50_all_round_finishes_at_400_by_1900() -> None:
    """Common practice, no source."""
    text = HEAD + BED.split("    sewn on")[0].replace("1700", "1900").replace("460", "400") + "    on: rail\n"
    work = panel(job_of(text.replace("{double hem: 40, turned under: 15}", "{hem: 50}")))
    assert work.cut == (2000.0, 500.0)
    assert work.finished == (1900.0, 400.0)
    assert work.is_rectangle


def test_places_on_the_cut_cloth_count_from_its_edge_at_the_named_end(cot: Job) -> None:
    work = panel(cot)
    assert work.cut == (1700.0 + 2 * 55, 460.0 + 2 * 55)
    left = [s for s in work.stations if s.edge == "left"]
    assert [s.on_cut for s in left] == [155.0, 655.0, 1155.0, 1655.0]
    assert [s.gap for s in left] == [45.0, 45.0, 55.0, 55.0]
    xs = sorted({line.points[0][0] for line in work.lines if line.points[0][0] == line.points[1][0]})
    assert xs[:3] == [-40.0, 0.0, 37.0]  # two folds and the stitches, 3 mm from the inner fold: FM 10-16, read


def test_thread_is_two_and_a_half_times_the_rows_and_two_tails_each(cot: Job) -> None:
    """Ratio 2.5 of a lockstitch: read on a sewing page. A box with a cross: four sides and two diagonals."""
    work = panel(cot)
    box = 2 * (70 + 40) + 2 * math.hypot(70, 40)
    rows = 2 * 2 * (1700 + 460) + (2 * 200 + 150) + 8 * 2 * box
    ends = 4 * 2 + 1 + 8 * 2
    assert work.thread == pytest.approx(2.5 * rows + ends * 2 * 100.0)
    assert work.minutes == pytest.approx(rows / 3.5 / 500 / (1 - 0.6))


def test_cloth_weighs_what_is_cut(cot: Job) -> None:
    assert cot.part("bed").mass_kg == pytest.approx(1.81 * 0.57 * 0.4)
    assert cot.part("loop").centre_of_mass == cot.part("bed").centre_of_mass


# ------------------------------------------------------------------------------------------------ straps
def test_loops_have_two_lengths_where_the_bed_has_two_gaps(cot: Job) -> None:
    """Gap, what is sewn on the cloth, half way round tube and webbing, back to beside the axis, sewn, turned under."""
    pieces = strap(cot, "loop").pieces
    assert [(p.gauge, p.count, p.edge) for p in pieces] == [(45.0, 4, "left, right"), (55.0, 4, "left, right")]
    round_it = math.pi * (21.3 + 2) / 2 + 21.3 / 2
    assert pieces[0].cut == pytest.approx(45 + 70 + 12 + round_it + 60 + 12, abs=1e-6)
    assert pieces[1].cut - pieces[0].cut == pytest.approx(10.0)


def test_lacing_is_cut_shorter_than_its_way_by_its_stretch_and_longer_by_its_knots(cot: Job) -> None:
    way = 8 * math.hypot(50.0, 75.0)
    assert strap(cot, "lacing").pieces[0].cut == pytest.approx(way / 1.3 + 2 * (1000 - 700) / 3 + 60)


def test_a_knot_takes_what_the_trial_says_else_a_guess_that_is_told(cot: Job) -> None:
    assert strap(cot, "tie").pieces[0].cut == pytest.approx(600 + 90)
    untried = SHOP.replace(", cord 6: {before: 1000, after: 640, knots: 4}", "")
    job, findings = worked(COT, untried)
    assert job is not None
    assert "knot-not-tried" in [f.code for f in findings]
    assert strap(job, "tie").knot_guessed


# ------------------------------------------------------------------------------------------------ roll and prices
def test_two_beds_lie_side_by_side_on_the_roll_and_no_layout_is_shorter(cot: Job) -> None:
    (plan,) = roll_plans(cot.parts, cot.workshop, 3)
    assert plan.layout.length == pytest.approx(2 * 1810 + 5)
    assert plan.layout.proven
    boxes = []
    for place in plan.layout.places:
        piece, x, y = plan.pieces[place.piece], place.along, place.across
        box = [(x, y), (x + piece.length, y), (x + piece.length, y + piece.width), (x, y + piece.width)]
        assert y + piece.width <= 1480
        boxes.append(Polygon(box))
    assert len(boxes) == 3
    assert all(a.distance(b) >= 5 - 1e-9 for i, a in enumerate(boxes) for b in boxes[:i])


def test_cloth_and_webbing_are_bought_by_the_metre(cot: Job) -> None:
    lines = {line.item: line for line in cot.materials}
    assert lines["cloth canvas 400"].price == pytest.approx(36.25)
    assert lines["webbing 40x2"].quantity == pytest.approx(3 * strap(cot, "loop").length / 1000)
    assert lines["Thread 30"].quantity == 1000


def test_a_panel_wider_than_the_roll_is_told() -> None:
    job, findings = worked(COT, SHOP.replace("roll width: 1480", "roll width: 500"))
    assert job is None
    assert "panel-wider-than-roll" in [f.code for f in findings]


# ------------------------------------------------------------------------------------------------ hanging
def square_bed(mass: float) -> Job:
    """A panel of the size of a seat that hangs by stiff loops as closely as its threads: one cable beside the other."""
    places = ", ".join(f"{p:g}" for p in np.linspace(0, 350, 9))
    bed = f"""\
  bed:
    stock: canvas
    panel: {{length: 350, width: 350}}
    hung:
      - {{edge: left, by: loop, places: [{places}], gap: 40}}
      - {{edge: right, by: loop, places: [{places}], gap: 40}}
    at: [75, 0, 0]
"""
    return job_of(HEAD.replace("90 kg", f"{mass:g} kg") + bed + STRAPS.split("  lacing")[0])


def test_a_bed_that_hangs_by_close_loops_is_a_cable_on_elastic_stays() -> None:
    """Shallow cable loaded between its stays: half the square of its slope, all along, is what it gives, a cubic."""
    job = square_bed(12.0)
    shape = job.design.part("bed").shape
    assert isinstance(shape, Panel)
    case = next(c for c in hung_under_load(Subject(job.product, job.workshop, job.parts), shape) if c.name == "sitting")
    load = 12.0 * GRAVITY * SEATED / 350.0  # along the cable, of the whole bed [N/mm]
    cloth, loop = 100 / 50 / 0.020, 500 / 0.012
    give = 350 / (cloth * 350) + 2 * 40 / (loop * 9)  # nine loops a side; cloth as wide as it is long
    half = load * 350 / 2  # a stay's share, upwards
    pull = ((40 * half**2 + load**2 * 350**3 / 24) / give) ** (1 / 3)
    assert case.bed.deepest == pytest.approx((half * 40 + load * 350**2 / 8) / pull, rel=0.02)
    assert case.bed.rest < 1e-3


def test_loops_and_lacing_carry_what_lies_on_the_bed(cot: Job) -> None:
    """Statics: what they pull upwards is the weight, and sideways and along they hold each other."""
    shape = cot.design.part("bed").shape
    assert isinstance(shape, Panel)
    for case in hung_under_load(Subject(cot.product, cot.workshop, cot.parts), shape):
        whole, pull = np.zeros(3), iter(case.bed.loop_pulls)
        for hung in shape.hung:
            for place, gap in zip(hung.places, hung.gaps, strict=True):
                flat = {"left": (place, 460.0), "right": (place, 0.0), "foot": (1700.0, 460.0 - place)}[hung.edge]
                out = {"left": (0.0, gap), "right": (0.0, -gap), "foot": (gap, 0.0)}[hung.edge]
                column, row = np.abs(case.along - flat[0]).argmin(), np.abs(case.across - flat[1]).argmin()
                way = np.array([flat[0] + out[0], flat[1] + out[1], 0.0]) - case.bed.places[row, column]
                whole += next(pull) * way / np.linalg.norm(way)
        assert whole[2] == pytest.approx(case.on_it_kg * GRAVITY, rel=1e-6)
        assert np.abs(whole[:2]).max() < 1e-3
        assert 0 < case.on_it_kg <= 90.0 + 1e-9


def test_the_room_under_a_bed_is_a_check_and_the_tube_under_it_is_named(cot: Job) -> None:
    found = {check.id: check for check in checked(cot)[0].checks}
    room = found["bed-room-bed"]
    assert room.value is not None
    assert room.value < 170 - 21.3 / 2
    higher = job_of(COT.replace("-170]", "-30]"))
    low = {check.id: check for check in checked(higher)[0].checks}["bed-room-bed"]
    assert low.verdict == "fails"
    assert "low" in low.parts


def test_loops_are_held_against_their_strength_with_the_factor_for_lifting_gear(cot: Job) -> None:
    found = {check.id: check for check in checked(cot)[0].checks}
    assert found["bed-straps-bed-loop"].limit == pytest.approx(8000 / FACTOR)
    assert found["bed-straps-bed-lacing"].limit == pytest.approx(900 / FACTOR)


@pytest.mark.parametrize(
    "line", ["  lifting factor: 7\n", "    trial: {length: 1000, width: 50, pull: 100 N, longer: 12}\n"]
)
def test_what_the_shop_has_not_tried_is_not_checked(line: str) -> None:
    job = job_of(COT, SHOP.replace(line, ""))
    found = {check.id: check.verdict for check in checked(job)[0].checks if check.id.startswith("bed-")}
    assert "not checked" in found.values()
    assert found["bed-cloth-bed"] == "not checked"


# ------------------------------------------------------------------------------------------------ hood
def test_a_hood_between_bows_is_laid_flat_with_its_area_and_the_lengths_of_its_bows() -> None:
    job = job_of(HEAD + HOOD)
    work = panel(job, "hood")
    triangles = np.array(work.space)
    area = (
        np.linalg.norm(np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]), axis=1).sum() / 2
    )
    assert Polygon(work.outline).area == pytest.approx(area, rel=1e-9)
    outer = Polygon(work.cut_outline)
    assert outer.is_valid
    assert outer.contains(Polygon(work.outline))
    assert outer.exterior.distance(Polygon(work.outline).exterior) == pytest.approx(20.0, abs=0.2)


# ------------------------------------------------------------------------------------------------ told and drawn
def test_job_data_tell_of_panels_straps_and_the_roll(cot: Job) -> None:
    document = job_document(cot, making=False)
    jsonschema.validate(document, job_schema())
    parts = {part["id"]: part for part in document["parts"]}
    assert parts["bed"]["kind"] == "fabric"
    assert parts["loop"]["kind"] == "webbing"
    assert parts["bed"]["panel"]["cut"] == [1810, 570]
    (roll,) = [plan for plan in document["cutting"] if plan["form"] == "roll"]
    assert [piece["part"] for piece in roll["layout"]] == ["bed"] * 3


def test_the_sewing_station_has_a_sheet_for_the_roll_each_panel_and_the_webbing(cot: Job) -> None:
    codes = [page.get("code") for page in sewing_pages(cot, 186.0) if page["level"] == 1]
    assert codes == ["+roll", "bed", "+straps"]


def test_the_drawing_of_a_panel_counts_from_the_named_end(cot: Job) -> None:
    drawing = panel_view(cot, "bed", (186.0, 105.0))
    numbers = {text.string for text in drawing.texts}
    assert {"0", "155", "655", "1155", "1655", "1810", "570"} <= numbers
    assert any("head" in text for text in numbers)
    assert drawing.width <= 186.0 + 1e-6
    (plan,) = roll_plans(cot.parts, cot.workshop, cot.units)
    assert roll_view(cot, plan, (186.0, 105.0)).width <= 186.0 + 1e-6


def test_a_panel_leaves_as_dxf_at_true_size(cot: Job) -> None:
    document = ezdxf.read(io.StringIO(panel_dxf(panel(cot)).decode()))
    (cut,) = [e for e in document.modelspace() if e.dxf.layer == "cut"]
    points = np.array([p[:2] for p in cut.get_points()])
    assert np.ptp(points, axis=0).tolist() == pytest.approx([1810.0, 570.0])


def test_cloth_is_closed_in_the_three_dimensional_views() -> None:
    job = job_of(HEAD + BED + STRAPS + HOOD)
    for name in ("bed", "hood"):
        (solid,) = part_solids(job, job.part(name))
        assert isinstance(solid, Mesh)
        (body,) = part_bodies(job, job.part(name))
        edges: dict[tuple[int, ...], int] = {}
        _, same = np.unique(np.round(body.skin.points, 6), axis=0, return_inverse=True)
        for a, b, c in same[body.skin.triangles].tolist():
            for edge in ((a, b), (b, c), (c, a)):
                edges[edge] = edges.get(edge, 0) + 1
        assert all(edges.get((b, a)) == count for (a, b), count in edges.items())
