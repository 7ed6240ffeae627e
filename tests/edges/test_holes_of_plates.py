"""Holes of a plate that lie beside it are told with the line that says so."""

from __future__ import annotations

import pytest

from bolted_parts import worked_out
from handbarrow.findings import Finding

DESIGN = """\
handbarrow: design 1
name: Plate
stock: {main: tube 26.9x2.3, gusset: plate 5}
parts:
  rail:
    stock: main
    points: [[0, 0, 0], [500, 0, 0]]
    start: free
    end: free
  tab:
    stock: gusset
    outline: [[0, 0], [60, 0], [60, 40], [0, 40]]
    at: [100, 0, 13.45]
    on: rail
"""


def told(line: str) -> list[Finding]:
    _, found = worked_out(DESIGN + f"    {line}\n")
    return [finding for finding in found if finding.code == "hole-outside-part"]


def test_a_hole_beside_its_plate_is_told_with_how_far() -> None:
    (finding,) = told("holes: [{at: [20, 20], diameter: 8}, {at: [80, 20], diameter: 8}]")
    assert finding.where == "parts.tab.holes[1]"
    assert finding.wrong == "a hole at (80.0, 20.0) mm, 20.0 mm outside the plate"


def test_a_slot_counts_among_the_slots() -> None:
    finding = told("slots: [{at: [20, 20], width: 6, length: 20}, {at: [20, 60], width: 6, length: 20}]")[0]
    assert finding.where == "parts.tab.slots[1]"


@pytest.mark.parametrize("at", ["[20, 20]", "[60, 20]", "[64, 20]"])
def test_an_open_slot_may_have_its_middle_beyond_the_edge(at: str) -> None:
    assert told(f"slots: [{{at: {at}, width: 6, length: 20, open: yes}}]") == []


def test_a_closed_slot_may_not() -> None:
    assert len(told("slots: [{at: [64, 20], width: 6, length: 20}]")) == 1
