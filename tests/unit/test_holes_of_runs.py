"""Where holes and slots of a run lie on the straight piece, counted from either end. Closed forms."""

from __future__ import annotations

import math

import pytest

from handbarrow.design.reader import read_design
from handbarrow.findings import Finding
from handbarrow.job.build import build_job
from handbarrow.job.values import JobPart
from handbarrow.workshop.reader import read_workshop

SHOP = """\
handbarrow: workshop 1
name: Test shop
stock:
  square tube 15x1.5: {steel: S235JR, lengths: [{length: 6000, price: 12}]}
dies:
  - name: F15
    for: square tube 15x1.5
    radius: 60
    set angle: {a: 0.975, b: 1.2, test bends: 6}
    stretch: 0.4 per 90
    straight before: 50
    straight after: 50
    tool: vice
"""

DESIGN = """\
handbarrow: design 1
name: Bow
stock:
  bow: square tube 15x1.5
parts:
  hood-bow:
    stock: bow
    points: [[0, 300, 0], [0, 300, 400], [0, -300, 400], [0, -300, 0]]
    start: free
    end: free
"""


def bow(*lines: str) -> tuple[JobPart | None, list[Finding]]:
    """The bow with some more lines, and what is said about it (a part alone meets nothing: left out)."""
    text = DESIGN + "".join(f"    {line}\n" for line in lines)
    source, findings = read_design(text, "bow.yaml")
    shop, found, _ = read_workshop(SHOP, "shop.yaml")
    assert shop is not None
    assert not found
    if source is None:
        return None, findings
    job, found = build_job(source, shop, 1, with_cutting=False)
    return (None if job is None else job.part("hood-bow")), findings + found


def test_a_hole_from_the_end_lies_as_far_from_the_cut_length_as_its_twin_from_zero() -> None:
    made, findings = bow(
        "holes:", "  - {from start: 15, face: left, diameter: 8.5}", "  - {from end: 15, face: left, diameter: 8.5}"
    )
    assert findings == []
    assert made is not None
    assert made.cut_length is not None
    first, last = made.holes
    assert first.x == pytest.approx(15)
    assert last.x == pytest.approx(made.cut_length - 15)
    # By hand: 0.4 mm of stretch in each right angle is length that is not cut from the bar.
    radius = made.card.rows[0].radius if made.card else 0.0
    by_hand = 2 * (400 - radius) + (600 - 2 * radius) + 2 * (radius * math.pi / 2 - 0.4)
    assert made.cut_length == pytest.approx(by_hand, abs=1e-6)


def test_a_slot_may_be_placed_from_the_end_too() -> None:
    made, findings = bow("slots: [{from end: 40, face: left, width: 6, length: 20}]")
    assert findings == []
    assert made is not None
    assert made.cut_length is not None
    assert made.holes[0].x == pytest.approx(made.cut_length - 40)


def test_a_hole_past_the_start_is_told_with_the_key_that_was_written() -> None:
    made, findings = bow("holes: [{from end: 2000, diameter: 8.5}]")
    assert made is None
    told = next(f for f in findings if f.code == "hole-outside-part")
    assert (told.where, told.wrong) == ("parts.hood-bow.holes[0]", "a hole 2000.0 mm from the end")
    assert told.fix == "change `from end`"


def test_a_slot_in_a_bend_is_told_at_its_own_place_in_the_file() -> None:
    made, findings = bow("holes: [{from start: 15, diameter: 8.5}]", "slots: [{from end: 380, width: 6, length: 20}]")
    assert made is not None
    told = [f for f in findings if f.code == "hole-in-bend"]
    assert [f.where for f in told] == ["parts.hood-bow.slots[0]"]
    assert "380.0 mm from the end" in told[0].wrong


def test_a_hole_without_a_place_or_with_two_is_refused() -> None:
    made, findings = bow("holes: [{diameter: 8.5}]")
    assert made is None
    assert [f.code for f in findings] == ["key-missing"]
    made, findings = bow("holes: [{from start: 15, from end: 15, diameter: 8.5}]")
    assert made is None
    assert [f.code for f in findings] == ["hole-place-unclear"]
