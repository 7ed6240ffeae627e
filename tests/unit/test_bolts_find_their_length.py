"""A bolt is as long as what it clamps asks for. Sums by hand; sizes of nuts and washers as their tables say."""

from __future__ import annotations

import pytest

from bolted_parts import LUGGED, worked_out
from handbarrow.drawings.mesh import part_bodies
from handbarrow.job.bolt_values import Fastener
from handbarrow.job.values import Job
from handbarrow.sheets.jobdata import job_document, job_schema


def made(text: str, units: int = 1) -> tuple[Job, Fastener]:
    job, findings = worked_out(text, units)
    assert job is not None, findings
    assert {f.code for f in findings} <= {"price-missing", "cutting-without-prices"}, findings
    fastener = job.part("lug-bolt").fastener
    assert fastener is not None
    return job, fastener


def test_a_bolt_through_a_tube_between_two_plates() -> None:
    _, bolt = made(LUGGED)
    assert bolt.grip == pytest.approx(5 + 26.9 + 5)
    # by hand: 36.9 + two washers of 1.6 (ISO 7089) + lock nut of 9.5 (ISO 7040) + two turns of 1.25 = 52.1
    assert bolt.length == 55
    assert bolt.showing == pytest.approx(55 - 36.9 - 3.2 - 9.5)
    assert [one.part for one in bolt.clamped] == ["lug", "rail", "lug"]
    assert [(one.item, one.count) for one in bolt.items] == [
        ("Hex bolt ISO 4014 M8x55", 1),
        ("Washer ISO 7089 8", 2),
        ("Lock nut ISO 7040 M8", 1),
    ]


@pytest.mark.parametrize(
    ("with_", "length", "items"),
    [
        # by hand: 36.9 + 3.2 + 6.8 (ISO 4032) + 2.5 = 49.4
        ("nut: plain", 50, ["Hex bolt ISO 4014 M8x50", "Washer ISO 7089 8", "Hex nut ISO 4032 M8"]),
        # 36.9 + 0 + 4.0 (ISO 4035) + 2.5 = 43.4
        ("nut: thin, washers: 0", 45, ["Hex bolt ISO 4014 M8x45", "Thin nut ISO 4035 M8"]),
        # 36.9 + 1.6 + 6.8 + 2.5 = 47.8
        ("nut: welded", 50, ["Hex bolt ISO 4014 M8x50", "Washer ISO 7089 8", "Hex nut ISO 4032 M8"]),
        # 52.1 + 4 = 56.1
        ("undrawn: 4", 60, ["Hex bolt ISO 4014 M8x60", "Washer ISO 7089 8", "Lock nut ISO 7040 M8"]),
        ("full thread: yes", 55, ["Hex screw ISO 4017 M8x55", "Washer ISO 7089 8", "Lock nut ISO 7040 M8"]),
    ],
)
def test_nut_washers_and_what_is_not_drawn_count(with_: str, length: float, items: list[str]) -> None:
    _, bolt = made(LUGGED.replace("thread: M8}", f"thread: M8, {with_}}}"))
    assert bolt.length == length
    assert [one.item for one in bolt.items] == items


def test_the_length_follows_the_stock_of_the_role() -> None:
    text = LUGGED.replace("tube 26.9x2.3", "tube 33.7x2.6").replace("13.45", "16.85")
    job, findings = worked_out(text)
    assert job is not None and {f.code for f in findings} >= {"price-missing"}, findings
    fastener = job.part("lug-bolt").fastener
    assert fastener is not None
    assert fastener.length == 60  # by hand: 43.7 + 3.2 + 9.5 + 2.5 = 58.9


def test_a_thread_in_the_last_part_is_not_clamped_and_needs_no_nut() -> None:
    text = LUGGED.replace("    mirrored: left-right\n", "").replace("at: [20, 0], for: M8", "at: [20, 0], tapped: M8")
    _, bolt = made(text.replace("thread: M8}", "thread: M8, nut: tapped}"))
    # by hand: 26.9 + one washer of 1.6 + 5 of thread in the plate + 2.5 = 36.0
    assert (bolt.grip, bolt.length) == (pytest.approx(26.9), 40)
    assert [one.item for one in bolt.items] == ["Hex bolt ISO 4014 M8x40", "Washer ISO 7089 8"]


def test_room_between_parts_is_bridged_where_the_design_says_so() -> None:
    text = (
        LUGGED.replace("13.45", "16.45").replace("    on: rail\n", "").replace("thread: M8}", "thread: M8, bridges: 3}")
    )
    job, _ = worked_out(text)
    assert job is not None
    bolt = job.part("lug-bolt").fastener
    assert bolt is not None
    assert bolt.grip == pytest.approx(26.9 + 2 * 3 + 2 * 5)
    assert [one.before for one in bolt.clamped] == pytest.approx([0, 3, 3])


def test_a_bolt_along_a_bush_clamps_its_whole_length() -> None:
    text = """\
handbarrow: design 1
name: Bush
stock: {main: tube 26.9x2.3, gusset: plate 5}
parts:
  bush:
    stock: main
    points: [[0, 0, 0], [0, 0, 60]]
    start: free
    end: free
  cheek:
    stock: gusset
    outline: [[-20, -20], [20, -20], [20, 20], [-20, 20]]
    holes: [{at: [0, 0], for: M12}]
    at: [0, 0, 60]
    also at: [{move: [0, 0, -65]}]
    on: bush
  lug-bolt:
    bolted: {through: [cheek, bush], thread: M12}
    at: [0, 0, 30]
    axis: down
"""
    _, bolt = made(text)
    assert bolt.grip == pytest.approx(5 + 60 + 5)
    assert [one.part for one in bolt.clamped] == ["cheek", "bush", "cheek"]
    assert bolt.length == 100  # by hand: 70 + 2 x 2.5 + 14.9 (ISO 7040) + 3.5 = 93.4


def test_the_batch_buys_bolts_washers_and_nuts_and_an_unknown_mass_is_reckoned() -> None:
    job, bolt = made(LUGGED, units=7)
    bought = {line.item: (line.quantity, line.standard) for line in job.materials if line.kind == "bought"}
    assert bought == {
        "Hex bolt ISO 4014 M8x55": (7, "ISO 4014"),
        "Washer ISO 7089 8": (14, "ISO 7089"),
        "Lock nut ISO 7040 M8": (7, "ISO 7040"),
    }
    assert bolt.items[1].mass_kg == 0.002  # the price list's
    part = job.part("lug-bolt")
    assert part.mass_kg == pytest.approx(sum(one.mass_kg * one.count for one in bolt.items))


def test_holes_know_their_screw_and_the_job_data_are_as_their_schema_says() -> None:
    import jsonschema

    job, _ = made(LUGGED)
    document = job_document(job, making=False)
    jsonschema.validate(document, job_schema())
    parts = {part["id"]: part for part in document["parts"]}
    (hole,) = parts["lug"]["holes"]
    assert (hole["diameter"], hole["screw"], hole["fit"]) == (9.0, "M8", "medium")  # ISO 273
    assert parts["lug-bolt"]["fastener"]["length"] == 55


def test_holes_by_their_screw() -> None:
    rows = (
        ("for: M8", 9.0, "medium"), ("for: M8, fit: fine", 8.4, "fine"), ("for: m10, fit: coarse", 12.0, "coarse"),
        ("tapped: M6", 5.0, "tapped"),
    )  # fmt: skip
    for words, diameter, fit in rows:  # ISO 273 and tap drills, as tests/published/test_hardware_records.py has them
        text = LUGGED.replace("at: [20, 0], for: M8", f"at: [10, 0], {words}")
        job, _ = worked_out(text)
        assert job is not None
        (hole,) = job.part("lug").holes
        assert (hole.diameter, hole.fit) == (diameter, fit)


def test_a_nut_that_is_drilled_out_turns_on_its_bolt() -> None:
    text = LUGGED + (
        "  eye-nut:\n    bought: Hex nut ISO 4032 M10\n    drilled out: {for: M10}\n    mass: 0.01 kg\n    on: rail\n"
    )
    job, findings = worked_out(text)
    assert job is not None, findings
    (hole,) = job.part("eye-nut").holes
    assert 10.0 < hole.diameter <= 10.5  # ISO 273 fine; 10 to 10.5: common practice, no source


def test_a_bolt_is_drawn_where_it_sits() -> None:
    job, _ = made(LUGGED)
    bodies = part_bodies(job, job.part("lug-bolt"))
    spans = [(body.skin.points[:, 1].min(), body.skin.points[:, 1].max()) for body in bodies]
    # by hand: plates end at 18.45 either side; washer 1.6; head 5.3, nut 9.5; 55 from under the head
    assert spans == [
        (pytest.approx(-25.35), pytest.approx(-20.05)),
        (pytest.approx(-20.05), pytest.approx(34.95)),
        (pytest.approx(20.05), pytest.approx(29.55)),
    ]


def test_a_long_row_of_bolts_finds_the_copies_that_it_goes_through() -> None:
    row = "repeated: {count: 40, step: [0, 0, 100]}"
    text = LUGGED.replace("    mirrored: left-right\n", f"    {row}\n    mirrored: left-right\n")
    text = text.replace("    axis: left\n", f"    axis: left\n    {row}\n")
    text = text.replace("    end: free\n", f"    end: free\n    {row}\n")
    job, _ = worked_out(text)
    assert job is not None
    fastener = job.part("lug-bolt").fastener
    assert fastener is not None
    assert (fastener.length, job.part("lug-bolt").quantity) == (55, 40)
    assert [one.part for one in fastener.clamped] == ["lug", "rail", "lug"]
