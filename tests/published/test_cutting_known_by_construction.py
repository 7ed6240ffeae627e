"""Cutting problems whose answer is known before anything is computed.

Triplets: bars are cut up at random into three pieces without waste, so the least number of bars is known by
construction (the idea of E. Falkenauer's triplet instances, Journal of Heuristics 2 (1996) 5-30, from memory).

[Fieldhouse] M. Fieldhouse, The duality gap in trim problems, SICUP Bulletin 5 (1990): pieces 44, 33, 12 wanted 2, 3, 6
times from bars of 132, whose linear program lies at 259/132 while three bars are needed (from memory; three is proved
here again by trying all assignments).

[Paper mill] The cutting-stock example of an encyclopaedia, 13 widths from rolls of 5600, 73 rolls (read).
"""

from __future__ import annotations

import itertools
import random

import pytest

from handbarrow.laws.cutting.problem import Meter, Problem, plan_cost
from handbarrow.laws.cutting.program import whole_program
from handbarrow.laws.cutting.solve import Effort, solve

WIDTHS = (2200, 2150, 2140, 2100, 2050, 2000, 1930, 1880, 1820, 1710, 1560, 1520, 1380)
DEMANDS = (20, 18, 16, 14, 12, 10, 20, 18, 18, 14, 12, 25, 22)


def triplets(bars: int, seed: int, bar: int) -> dict[int, int]:
    """Pieces of `bars` bars cut into three without waste, none shorter than a quarter of the bar."""
    chance = random.Random(seed)  # noqa: S311
    wanted: dict[int, int] = {}
    for _ in range(bars):
        first = chance.randint(38 * bar // 100, 49 * bar // 100)
        second = chance.randint(bar // 4, (bar - first) // 2)
        for size in (first, second, bar - first - second):
            wanted[size] = wanted.get(size, 0) + 1
    return wanted


def problem(wanted: dict[int, int], bar: int) -> Problem:
    sizes = tuple(sorted(wanted, reverse=True))
    return Problem(sizes, tuple(wanted[s] for s in sizes), (bar,), (1,), (None,))


@pytest.mark.parametrize(("bars", "seed"), [(10, 1), (13, 3), (20, 1), (20, 4), (40, 7)])
def test_pieces_that_were_whole_bars_are_found_again(bars: int, seed: int) -> None:
    solved = solve(problem(triplets(bars, seed, 1000), 1000), Effort())
    assert (solved.cost, solved.bound) == (bars, bars)


def test_a_gap_between_fraction_and_whole_bars_is_proven_not_guessed() -> None:
    # [Fieldhouse] by trying all ways to put eleven pieces into two bars of 132
    pieces = [44] * 2 + [33] * 3 + [12] * 6
    assert sum(pieces) <= 2 * 132
    assert all(sum(pieces) - load > 132 or load > 132 for load in sums_of_any(pieces))
    solved = solve(problem({44: 2, 33: 3, 12: 6}, 132), Effort())
    assert (solved.cost, solved.bound) == (3, 3)


def sums_of_any(pieces: list[int]) -> set[int]:
    sums = {0}
    for piece in pieces:
        sums |= {s + piece for s in sums}
    return sums


@pytest.mark.parametrize("bars", [1, 5, 11])
def test_with_full_bars_beside_it_the_plan_lies_between_area_and_sum(bars: int) -> None:
    # Both together never need more bars than each by itself, and never fewer than their length: bars + 259 / 132.
    wanted = triplets(bars, bars, 13200)
    for size, count in ((4400, 2), (3300, 3), (1200, 6)):
        wanted[size] = wanted.get(size, 0) + count
    solved = solve(problem(wanted, 13200), Effort())
    assert solved.bound <= solved.cost <= bars + 3
    assert solved.bound >= bars + 2


def maximal_patterns() -> list[tuple[int, tuple[int, ...]]]:
    """All ways to fill a roll so that not even the narrowest width fits any more, by plain enumeration."""
    out = []
    for count in (2, 3, 4):
        for chosen in itertools.combinations_with_replacement(range(len(WIDTHS)), count):
            used = sum(WIDTHS[i] for i in chosen)
            if 5600 - min(WIDTHS) < used <= 5600:
                out.append((0, tuple(chosen.count(i) for i in range(len(WIDTHS)))))
    return out


def test_whole_number_program_finds_the_paper_mills_seventy_three_rolls_and_no_plan_of_seventy_two() -> None:
    mill = Problem(WIDTHS, DEMANDS, (5600,), (1,), (None,))
    rows = maximal_patterns()
    plan, refused = whole_program(mill, rows, 73, 4000, Meter(1e12))
    assert plan is not None
    assert plan_cost(plan, mill.costs) == 73
    assert not refused
    plan, refused = whole_program(mill, rows, 72, 4000, Meter(1e12))
    assert plan is None
    assert refused
    assert whole_program(mill, [], 73, 10, Meter(1e12)) == (None, True)
