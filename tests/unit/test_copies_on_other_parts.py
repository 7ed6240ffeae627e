"""A copy may end on another part of the same section if its cut is the same, and on nothing else. Closed forms."""

from __future__ import annotations

import pytest

from handbarrow.design.values import Target
from handbarrow.findings import Finding, Severity
from mitre_scenes import LEFT_RIGHT, MAIN, RAIL, STAY, Given, cuts_of, onto, product, run, shifted

WIDE = run("wide", STAY, [(-500, 200, 0), (500, 200, 0)])


def post(*copies: tuple[float, float, float]) -> Given:
    return run("post", STAY, [(100, 0, 0), (100, 0, 300)], copies=tuple(shifted(*move) for move in copies))


def beam(y: float, z: float = 0.0, *, low: float = -500.0, high: float = 500.0) -> Given:
    return run("beam", MAIN, [(low, y, z), (high, y, z)])


def said(*given: Given, to: str | Target = "rail") -> list[Finding]:
    return cuts_of(product(list(given), onto("post", "start", to)))[1]


def test_a_copy_may_end_on_another_tube_of_the_same_section() -> None:
    assert said(RAIL, beam(200), post((0, 200, 0))) == []


def test_so_may_a_mirrored_copy() -> None:
    # post leans towards the middle at y = 100; its mirror image leans from the beam at -100, not from the rail at 100
    rail = run("rail", MAIN, [(-500, 100, 0), (500, 100, 0)])
    leaning = run("post", STAY, [(0, 100, 0), (40, 20, 200)], copies=(LEFT_RIGHT,))
    assert said(rail, beam(-100), leaning) == []
    told = said(rail, beam(-100, 3.0), leaning)
    assert [f.code for f in told] == ["copies-meet-differently"]


def test_another_section_is_cut_otherwise() -> None:
    # closed form: h at the sides is sqrt(R^2 - r^2), and R is 16 there, 12.5 here: 10 mm and 0
    (found,) = said(RAIL, WIDE, post((0, 200, 0)))
    assert found.code == "copies-meet-differently"
    assert found.severity is Severity.ERROR
    assert "copy 2 of post does not meet rail as copy 1 does at its start" in found.wrong


def test_the_same_section_at_another_height_is_told_with_the_difference() -> None:
    # closed form: the beam lies 2.5 mm lower, so every h is 2.5 mm less
    (found,) = said(RAIL, beam(200, -2.5), post((0, 200, 0)))
    assert "by 2.5 mm" in found.wrong
    (found,) = said(RAIL, beam(200, -0.5), post((0, 200, 0)))
    assert found.severity is Severity.WARNING
    assert said(RAIL, beam(200, -0.05), post((0, 200, 0))) == []


def test_a_copy_that_lands_on_nothing_is_told_even_if_such_tubes_lie_elsewhere() -> None:
    (found,) = said(RAIL, beam(200), post((0, 400, 0)))
    assert "it meets no copy of it, nor another part of that section" in found.wrong
    assert found.severity is Severity.ERROR


@pytest.mark.parametrize("beyond", [20.0, 60.0, 100.0])
def test_a_copy_that_lands_beyond_the_end_of_a_tube_meets_nothing(beyond: float) -> None:
    # the post's radius is 12.5: its middle further than that beyond the end leaves no metal below it
    for last in (shift_on_rail(beyond), (0.0, 200.0, 0.0)):
        (found,) = said(RAIL, beam(200, high=100 - beyond), post(last))
        assert "it meets no copy of it" in found.wrong


def shift_on_rail(beyond: float) -> tuple[float, float, float]:
    """A move that carries the post beyond the rail's end at x = 500."""
    return (400 + beyond, 0.0, 0.0)


def test_a_copy_half_over_the_end_of_a_tube_is_told_by_how_much() -> None:
    # 5 mm of the post's radius of 12.5 lie on the beam: 12.5 + 5 beyond its end
    (found,) = said(RAIL, beam(200, high=100 - 5), post((0, 200, 0)))
    assert "by 17.5 mm" in found.wrong


def test_what_copy_1_itself_lacks_is_not_asked_of_a_copy() -> None:
    # copy 1 stands over the rail's end, and so does its copy on the beam: told once, of copy 1
    short = run("rail", MAIN, [(-500, 0, 0), (105, 0, 0)])
    assert [f.code for f in said(short, beam(200, high=105), post((0, 200, 0)))] == ["receiver-ends-too-soon"]
