"""One fault is told once: what two rooms find of one bend, and what is found again when a file is evaluated anew."""

from __future__ import annotations

from pathlib import Path

from handbarrow.cli.loading import load_job
from handbarrow.findings import Finding, Place, Severity, told_once

SHOP = """\
handbarrow: workshop 1
name: Test shop
stock:
  tube 26.9x2.3: {steel: S235JRH, lengths: [{length: 6000, price: 23}]}
  tube 30x2: {steel: E220, lengths: [{length: 6000, price: 26}]}
dies:
"""
D27 = """\
  - {name: D27, for: tube 26.9x2.3, radius: 80, set angle: {a: 1, b: 0, test bends: 6}, largest angle: 120}
"""
D30 = """\
  - {name: D30, for: tube 30x2, radius: 90, set angle: {a: 1, b: 0, test bends: 6}, tool: bender}
"""


def told(tmp_path: Path, shop: str, *lines: str) -> list[Finding]:
    """What is said about one run of the given lines that touches a beam."""
    design = tmp_path / "cart.yaml"
    design.write_text(
        "handbarrow: design 1\nname: Cart\nstock:\n  main: tube 26.9x2.3\nparts:\n"
        "  beam: {stock: main, points: [[0, -400, 0], [0, 400, 0]], start: free, end: free}\n"
        "  hoop:\n    stock: main\n    start: {meets: beam}\n    end: free\n"
        + "".join(f"    {line}\n" for line in lines)
    )
    workshop = tmp_path / "shop.yaml"
    workshop.write_text(SHOP + shop)
    _, findings = load_job(design, workshop, 1)
    return findings


U = "points: [[0, 300, 0], [900, 300, 0], [900, -300, 0], [0, -300, 0]]"


def test_a_part_that_no_die_bends_is_told_once_with_the_stock_that_needs_a_die(tmp_path: Path) -> None:
    findings = told(tmp_path, D30, U)
    assert [(f.code, f.where) for f in findings] == [("bend-radius-has-no-die", "parts.hoop.points[1]")]
    assert findings[0].wrong == "no die bends tube 26.9x2.3"


def test_a_radius_that_no_die_makes_is_told_with_the_radii_of_the_dies(tmp_path: Path) -> None:
    findings = told(tmp_path, D27, U, "radius: 45")
    assert [(f.code, f.where) for f in findings] == [("bend-radius-has-no-die", "parts.hoop.points[1]")]
    assert "80.0 mm (D27)" in findings[0].expected


def test_each_radius_that_no_die_makes_is_told_at_its_own_corner(tmp_path: Path) -> None:
    corners = "points: [[0, 300, 0], {at: [900, 300, 0], radius: 45}, {at: [900, -300, 0], radius: 50}, [0, -300, 0]]"
    findings = told(tmp_path, D27, corners)
    assert [f.where for f in findings] == ["parts.hoop.points[1]", "parts.hoop.points[2]"]


def test_a_bend_that_goes_too_far_round_is_told_as_that_alone(tmp_path: Path) -> None:
    findings = told(tmp_path, D27, "points: [[0, 0, 0], [900, 0, 0], [100, 300, 0]]")
    assert [f.code for f in findings] == ["bend-angle-too-large"]


def test_legs_without_room_are_told_once_each_wherever_they_are_written(tmp_path: Path) -> None:
    def without_room(*lines: str) -> list[str]:
        return [f.where for f in told(tmp_path, D27, *lines) if f.code == "bend-without-room"]

    legs = without_room("points: [[0, 0, 0], [900, 0, 0], [900, 100, 0], [960, 100, 0]]")
    assert legs == ["parts.hoop.points[2]", "parts.hoop.points[3]"]
    legs = without_room(
        "from: [0, 0, 0]",
        "heading: forward",
        "normal: up",
        "steps: [{to centreline: 900}, {bend: 90}, {to centreline: 100}, {turn: 180}, {bend: 90}, {to centreline: 60}]",
    )
    assert legs == ["parts.hoop.steps[2]", "parts.hoop.steps[5]"]


def test_what_is_found_again_later_replaces_what_was_said_before() -> None:
    def warning(where: str, wrong: str, place: Place | None = None) -> Finding:
        return Finding(
            code="hole-in-bend", where=where, wrong=wrong, expected="", fix="", severity=Severity.WARNING, place=place
        )  # fmt: skip

    at = Place(file="cart.yaml", line=3, column=1)
    first, again = warning("a", "1 mm", at), warning("a", "2 mm", at)
    other, more = warning("b", "1 mm", at), warning("a", "3 mm", at)
    assert told_once([first, other], [again, more, again]) == [other, again, more]
    assert told_once([first, first], []) == [first]
