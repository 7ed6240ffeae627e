"""A design file read and evaluated: every key of the format, sizes in order, copies in the order of the page."""

from __future__ import annotations

import hashlib
import math
import re

import numpy as np
import pytest

from bad_files import HEAD, RAIL, STOCK, part, rail, sizes
from cloths import COT, HOOD
from designs import EVERY_KEY
from handbarrow.design.reader import DesignSource, read_design
from handbarrow.design.values import Bought, Design, PlateShape, Run, Size, StepsRoute, Target
from handbarrow.findings import Finding, with_places


def source_of(text: str) -> DesignSource:
    source, findings = read_design(text, "cart.yaml")
    assert findings == []
    assert source is not None
    return source


def design_of(text: str) -> Design:
    design, findings = source_of(text).evaluate()
    assert findings == []
    assert design is not None
    return design


def run_of(design: Design, name: str) -> Run:
    shape = design.part(name).shape
    assert isinstance(shape, Run)
    return shape


def size_of(design: Design, name: str) -> Size:
    return next(size for size in design.sizes if size.name == name)


@pytest.fixture(scope="module")
def whole() -> Design:
    return design_of(EVERY_KEY)


# ---------------------------------------------------------------- head, stock, sizes
def test_head_and_digest(whole: Design) -> None:
    assert (whole.name, whole.revision, whole.about) == ("Hut supply trailer", "B", "One line for the cover.")
    assert whole.digest == hashlib.sha256(EVERY_KEY.encode()).hexdigest()[:12]
    from_bytes, _ = read_design(EVERY_KEY.encode(), "cart.yaml")
    assert from_bytes is not None
    assert from_bytes.digest == whole.digest


def test_stock_roles_have_the_labels_of_the_workshop(whole: Design) -> None:
    assert {role: stock.label for role, stock in whole.stock.items()} == {
        "main": "tube 26.9x2.3",
        "bow": "square tube 15x1.5",
        "rail": "rectangular tube 40x20x2",
        "pin": "bar 8",
        "brace": "flat 30x5",
        "axle angle": "angle 30x30x3",
        "gusset": "plate 5",
        "tin": "sheet 1",
        "wheel": "wheel 47-406",
    }


def test_sizes_are_reckoned_in_the_order_they_need(whole: Design) -> None:
    assert size_of(whole, "half_bed") == Size(name="half_bed", value=950.0, formula="bed_length / 2")
    assert size_of(whole, "axle_gap").says == "hub 100 mm and half a millimetre of play"
    backwards = design_of(sizes("a: b + c", "b: 2 * c", "c: d", "d: 10"))
    assert [(s.name, s.value) for s in backwards.sizes] == [("a", 30.0), ("b", 20.0), ("c", 10.0), ("d", 10.0)]


def test_a_size_tells_its_unit_as_written_or_as_used(whole: Design) -> None:
    units = {size.name: size.unit for size in whole.sizes}
    assert units["bed_length"] == units["half_bed"] == units["pivot_x"] == "mm"
    assert units["slope"] == "deg"
    assert units["lean"] == "deg", "a plain number that bends are made of"
    assert units["bows"] == "", "a count"
    assert units["ratio"] == "", "a factor"
    assert units["hub_load"] == "kg"
    assert size_of(whole, "lean").value == pytest.approx(math.radians(20))


def test_formulas_reckon_in_degrees_and_know_the_stock() -> None:
    design = design_of(
        sizes(
            "slope: 30 deg",
            "rise: 100 * sin(slope)",
            "back: asin(rise / 100) * 1",
            "most: max(1, 2, main.wall * 2) + abs(-1) + hypot(3, 4)",
            "steps: round(main.outside) + round(12, 5) + floor(2.7) + ceil(2.2) + sqrt(16)",
            "full: 2 * pi * wheel.radius + wheel.diameter + gusset.thickness",
            "quarter: cos(90) + sin(180) + tan(45) + atan2(1, 1) + acos(0) + atan(1) + tan(180)",
            "power: -2 ** 2 + +3",
        )
    )
    values = {size.name: size.value for size in design.sizes}
    assert values["rise"] == pytest.approx(50.0)
    assert size_of(design, "back").unit == "deg"
    assert values["back"] == pytest.approx(math.radians(30))
    assert values["most"] == pytest.approx(4.6 + 1 + 5)
    assert values["steps"] == pytest.approx(27 + 10 + 2 + 3 + 4)
    assert values["full"] == pytest.approx(2 * math.pi * 250 + 500 + 5)
    # a sum of plain numbers and angles: shown in degrees
    assert math.degrees(values["quarter"]) == pytest.approx(0 + 0 + 1 + 45 + 90 + 45)
    assert values["power"] == -1.0


def test_sizes_in_inches_stand_in_formulas_as_mm() -> None:
    design = design_of(sizes("gap: 1 1/4 in", "twice: gap * 2"))
    assert [size.value for size in design.sizes] == [31.75, 63.5]


def test_a_size_asked_for_is_the_middle_of_its_interval_unless_it_is_overridden(whole: Design) -> None:
    riser = size_of(whole, "riser")
    assert riser.value == 220.0
    assert riser.find is not None
    assert (riser.find.result, riser.find.equals, riser.find.low, riser.find.high) == ("tow_eye_height", 780, 40, 400)
    source = source_of(EVERY_KEY)
    lower, findings = source.evaluate({"riser": 100.0, "lean": math.radians(30), "bows": 2.0})
    assert findings == []
    assert lower is not None
    assert size_of(lower, "riser").value == 100.0
    assert len(lower.part("bow").copies) == 4
    route = run_of(lower, "drawbar").route
    assert route is not None
    assert route.bends[0].value == pytest.approx(math.radians(30))
    assert route.steps[-1].value == pytest.approx(300.0)


def test_an_interval_of_angles_is_kept_in_radians() -> None:
    text = sizes("lean: {find: h, equals: 780, between: [10 deg, 40 deg]}") + "    turned: lean\n"
    design = design_of(text + "results: {h: {height of: rail end}}\n")
    find = design.sizes[0].find
    assert find is not None
    assert (find.low, find.high) == pytest.approx((math.radians(10), math.radians(40)))
    assert run_of(design, "rail").turned_rad == pytest.approx(math.radians(25))


def test_evaluating_again_gives_the_same_value_and_other_sizes_do_not_stick() -> None:
    source = source_of(EVERY_KEY)
    first, _ = source.evaluate()
    source.evaluate({"bed_length": 2400.0})
    assert source.evaluate()[0] == first
    assert source.evaluate({"bed_length": 1900.0})[0] == first


@pytest.mark.parametrize(
    "change", [{"bed_length": 2100.0}, {"riser": 60.0, "bows": 3.0}, {"half_width": 300.0}, {"ratio": 1.0}]
)
def test_evaluating_with_other_sizes_equals_reading_a_file_with_those_sizes(change: dict[str, float]) -> None:
    text = EVERY_KEY
    for name, value in change.items():
        text = re.sub(rf"^  {name}: (?!\{{).*$", f"  {name}: {value:g}", text, flags=re.MULTILINE)
    text = (
        text.replace("between: [40, 400]", f"between: [{change['riser'] - 9}, {change['riser'] + 9}]")
        if "riser" in change
        else text
    )
    source = source_of(EVERY_KEY)
    source.evaluate({"pivot_x": 3.0, "lean": 0.2})
    there, findings = source.evaluate(change)
    assert there is not None
    assert findings == []
    again = design_of(text)
    assert there.parts == again.parts
    assert there.assemblies == again.assemblies
    assert there.results == again.results
    assert [size.value for size in there.sizes] == [size.value for size in again.sizes]


def test_an_evaluation_that_fails_says_where() -> None:
    source = source_of(sizes("gap: 3", "half: 900 / gap") + "    holes: [{from start: half, diameter: gap}]\n")
    design, findings = source.evaluate({"gap": 0.0})
    assert design is None
    assert [f.code for f in findings] == ["formula-without-value", "number-out-of-range"]
    assert [f.place.line for f in findings if f.place] == [9, 14]


def test_a_size_nobody_knows_is_a_fault_of_the_caller() -> None:
    with pytest.raises(KeyError):
        source_of(EVERY_KEY).evaluate({"no_such_size": 1.0})


# ---------------------------------------------------------------- results and assemblies
def test_results_name_points_of_parts(whole: Design) -> None:
    results = {result.name: result for result in whole.results}
    assert results["tow_eye_height"].kind == "height"
    assert results["tow_eye_height"].points[0].at == "end"
    assert results["track"].along == "y"
    assert [p.target.copy for p in results["track"].points] == [1, 2]
    assert results["hoop_length"].part == "outer-hoop"
    assert results["bed_over_gap"].value == 1900 - 100.5


def test_assemblies_carry_each_other_and_have_positions(whole: Design) -> None:
    cot, rest = whole.assemblies[1], whole.assemblies[2]
    assert [assembly.name for assembly in whole.assemblies] == ["frame", "cot", "back rest", "hood"]
    assert rest.within == "cot"
    assert cot.positions[0].transform[2][3] == 400.0
    # raised by 40 degrees about the axis to the left through (475, 0, 20): the pivot stays, a point behind it sinks
    raised = np.asarray(rest.positions[0].transform)
    assert raised @ [475, 0, 20, 1] == pytest.approx([475, 0, 20, 1])
    ahead = raised @ [575, 7, 20, 1]
    turn = math.radians(40)
    assert ahead == pytest.approx([475 + 100 * math.cos(turn), 7, 20 - 100 * math.sin(turn), 1])


def test_turn_comes_before_move() -> None:
    text = HEAD + STOCK + "assemblies:\n  a:\n    positions:\n      p: {move: [5, 0, 0], turn: 90, axis: up}\n" + RAIL
    moved = np.asarray(design_of(text).assemblies[0].positions[0].transform) @ [1, 0, 0, 1]
    assert moved == pytest.approx([5, 1, 0, 1])


def test_without_assemblies_the_product_is_one() -> None:
    design = design_of(HEAD + STOCK + RAIL)
    assert [assembly.name for assembly in design.assemblies] == ["product"]
    assert design.part("rail").assembly == "product"


# ---------------------------------------------------------------- parts
def test_copies_come_in_the_order_of_the_page() -> None:
    design = design_of(
        rail("repeated: {count: 3, step: [0, 100, 10]}")
        + "    also at: [{move: [0, 0, 7]}, {turn: 180, axis: up, about: [450, 0, 0]}]\n    mirrored: left-right\n"
    )
    copies = design.part("rail").copies
    assert [copy.mirrored for copy in copies] == [False] * 5 + [True] * 5
    ends = [np.asarray(copy.transform) @ [900, 1, 2, 1] for copy in copies]
    expected = [(900, 1, 2), (900, 101, 12), (900, 201, 22), (900, 1, 9), (0, -1, 2)]
    expected += [(x, -y, z) for x, y, z in expected]
    for end, point in zip(ends, expected, strict=True):
        assert end[:3] == pytest.approx(point, abs=1e-9)
    fronts = design_of(rail("mirrored: front-back")).part("rail").copies
    assert np.asarray(fronts[1].transform) @ [900, 1, 2, 1] == pytest.approx([-900, 1, 2, 1])


def test_corners_take_the_radius_of_the_run_or_their_own(whole: Design) -> None:
    assert [corner.radius for corner in run_of(whole, "outer-hoop").corners] == [None, 77.0, 90.0, None]
    assert run_of(whole, "outer-hoop").corners[2].at == (1900.0, -280.0, 0.0)


def test_ends_holes_and_slots(whole: Design) -> None:
    hoop, beam, plate = run_of(whole, "outer-hoop"), run_of(whole, "front-beam"), run_of(whole, "axle-plate")
    assert (hoop.start.kind, hoop.start.against, hoop.start.gap) == ("meets", (Target(part="front-beam"),), 0.0)
    assert hoop.end.gap == 1.0
    assert (beam.start.kind, beam.end.kind) == ("square", "free")
    assert run_of(whole, "bow").start.kind == "auto"
    assert run_of(whole, "drawbar").end.normal == pytest.approx((-math.sqrt(0.5), 0.0, math.sqrt(0.5)))
    assert (hoop.holes[0].face, hoop.holes[0].through, hoop.holes[0].from_start) == ("crown", True, 40.0)
    hole, slot = plate.holes
    assert (hole.face, hole.diameter, hole.across, hole.length) == ("height leg", 9.0, 18.0, 0.0)
    assert (slot.diameter, slot.length, slot.slot_along, slot.open_edge) == (10.5, 24.0, "across", True)


def test_an_end_may_ask_for_a_gap_alone() -> None:
    end = run_of(design_of(rail("end: {gap: 1.5}")), "rail").end
    assert (end.kind, end.gap) == ("auto", 1.5)


def test_steps_are_kept_until_the_shop_is_known(whole: Design) -> None:
    run = run_of(whole, "drawbar")
    assert run.corners == ()
    assert isinstance(run.route, StepsRoute)
    assert [step.kind for step in run.route.steps] == [
        "straight", "turn", "bend", "to centreline", "bend", "to outside",
    ]  # fmt: skip
    assert [step.radius for step in run.route.bends] == [None, 90.0]
    assert run.route.half_outside == pytest.approx(26.9 / 2)
    assert (run.route.heading, run.route.normal) == ((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


@pytest.mark.parametrize(
    ("stock", "half"),
    [("tube 26.9x2.3", 13.45), ("square tube 15x1.5", 7.5), ("rectangular tube 40x20x2", 10.0), ("flat 30x5", 2.5)],
)
def test_outside_in_the_plane_of_the_bend_is_half_the_side_across_it(stock: str, half: float) -> None:
    # by the crown rule the height of a bent section lies along the bend's normal, so its width lies in the plane
    text = HEAD + f"stock: {{main: {stock}}}\nparts:\n  bow:\n    stock: main\n    from: [0, 0, 0]\n"
    text += "    heading: forward\n    steps: [{to outside: 200}, {bend: 90}, {to outside: 300}]\n"
    route = run_of(design_of(text), "bow").route
    assert route is not None
    assert route.half_outside == half


def test_normal_left_out_is_the_one_nearest_to_up() -> None:
    lines = ("stock: main", "from: [0, 0, 0]", "steps: [{straight: 9}]")
    flat = run_of(design_of(part(*lines, "heading: forward")), "lug").route
    steep = run_of(design_of(part(*lines, "heading: up")), "lug").route
    assert flat is not None
    assert steep is not None
    assert flat.normal == (0.0, 0.0, 1.0)
    assert steep.normal == (0.0, 1.0, 0.0)


def test_plates_lie_as_said_and_their_outline_runs_counter_clockwise(whole: Design) -> None:
    plate = whole.part("tow-plate").shape
    assert isinstance(plate, PlateShape)
    assert plate.outline == ((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0))
    assert (plate.at, plate.along, plate.facing) == ((900.0, -30.0, 5.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    assert [hole.length for hole in plate.holes] == [0.0, 0.0, 0.0, 20.0]
    assert plate.holes[3].angle_rad == pytest.approx(math.pi / 2)


def test_wheels_and_bought_items(whole: Design) -> None:
    wheel, bolt = whole.part("left-wheel").shape, whole.part("axle-bolt").shape
    assert isinstance(wheel, Bought)
    assert (wheel.item, wheel.at, wheel.mass_kg) == ("wheel 47-406", (950.0, 330.0, 0.0), 1.9)
    assert wheel.wheel is not None
    assert wheel.wheel.radius == 250.0
    assert isinstance(bolt, Bought)
    assert (bolt.item, bolt.standard, bolt.count) == ("Hex bolt ISO 4014 M10x90", "ISO 4014", 2)
    assert bolt.mass_kg == pytest.approx(0.07)
    assert whole.part("axle-bolt").on == (Target(part="axle-plate", copy=2),)


def test_titles_are_the_key_in_words_unless_a_name_is_given(whole: Design) -> None:
    assert whole.part("outer-hoop").title == "outer hoop"
    assert whole.part("front-beam").title == "front beam of the frame"
    assert whole.part("outer-hoop").note == "Seam up."


def test_one_line_swaps_the_tube_and_everything_follows(whole: Design) -> None:
    other = design_of(EVERY_KEY.replace("main: tube 26.9x2.3", "main: tube 30x2"))
    before, after = run_of(whole, "axle-plate").corners[0].at, run_of(other, "axle-plate").corners[0].at
    assert (before[1], after[1]) == (280 + 13.45, 280 + 15.0)


def test_parts_and_copies_that_are_not_there_are_told_where_they_are_named() -> None:
    text = EVERY_KEY.replace("on: axle-plate copy 2", "on: axle-plate copy 3").replace(
        "end: {meets: front-beam, gap: 1}", "end: {meets: [front-beam, front-bean], gap: 1}"
    )
    source, findings = read_design(text, "cart.yaml")
    assert source is None
    assert [(f.code, f.where) for f in findings] == [
        ("unknown-part", "parts.outer-hoop.end.meets[1]"),
        ("unknown-copy", "parts.axle-bolt.on"),
    ]


# ---------------------------------------------------------------- places
def test_findings_of_other_rooms_get_the_line_of_their_path() -> None:
    source = source_of(EVERY_KEY)
    lines = EVERY_KEY.splitlines()

    def line_of(where: str) -> str:
        finding = Finding(code="x", where=where, wrong="", expected="", fix="")
        place = with_places([finding], source.places)[0].place
        assert place is not None
        assert place.text == lines[place.line - 1]
        return place.text[place.column - 1 :]

    assert line_of("parts.outer-hoop.points[2].radius").startswith("90}")
    assert line_of("parts.outer-hoop.points[1]") == "[bed_length, half_width, 0]"
    assert line_of("parts.outer-hoop.points[1].radius") == "[bed_length, half_width, 0]"
    assert line_of("parts.drawbar.steps[2]") == "bend: lean"
    assert line_of("parts.drawbar").startswith("drawbar:")
    assert line_of("sizes.riser.between[1]").startswith("400]")
    assert line_of("assemblies.back rest.positions.raised").startswith("{turn: 40")
    assert line_of("nothing.of.the.kind").startswith("handbarrow:")


def test_every_documented_key_stands_in_the_example_of_every_key() -> None:
    # the page's own blocks name the keys; the examples must hold each of them, so that none goes untried
    tried = EVERY_KEY + COT + HOOD
    page = re.sub(r"\s+#.*", "", open_page())
    keys = set(re.findall(r"^\s*(?:- )?\{?([a-z][a-z ]*):", page, re.MULTILINE)) | set(
        re.findall(r"[{,] ?([a-z][a-z ]*):", page)
    )
    own = {"main", "bow", "rail", "pin", "brace", "gusset", "wheel", "frame", "cot", "slope", "play", "track", "riser"}
    own |= {"one lying person", "crates", "by two"}
    lacking = {key for key in keys - own if not re.search(rf"(?<![a-z]){re.escape(key)}:", tried)}
    assert lacking == set()


def open_page() -> str:
    from pathlib import Path

    text = (Path(__file__).parents[2] / "docs/reference/design-file.md").read_text()
    return "\n".join(re.findall(r"```yaml\n(.*?)```", text, re.DOTALL))


def test_what_a_design_is_for_is_read_with_its_units_and_formulas() -> None:
    source, findings = read_design(EVERY_KEY, "trailer.yaml")
    assert source is not None, findings
    design, _ = source.evaluate()
    assert design is not None
    uses = design.uses
    (person,) = uses.carries
    assert (person.name, person.mass_kg, person.at) == ("one lying person", 90.0, (950.0, 0.0, 100.0))
    assert [t.part for t in person.on] == ["outer-hoop"]
    assert uses.towed_at is not None and uses.towed_at.at == "end"
    assert [p.at for p in uses.held_at] == ["start", "end"]
    assert [(lift.name, lift.assembly, len(lift.at)) for lift in uses.lifts] == [("by two", "frame", 2)]
    wider, _ = source.evaluate({"bed_length": 2000.0})
    assert wider is not None and wider.uses.carries[0].at == (1000.0, 0.0, 100.0)
