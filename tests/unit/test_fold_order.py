"""What a simple folder can fold, and in which order: cases that can be drawn on the back of an envelope."""

from __future__ import annotations

import math
from itertools import permutations

import pytest

from handbarrow.laws.folding.folder import Folder, FoldStep, fold_clash, fold_order
from handbarrow.laws.folding.strip import Fold, FoldedStrip, strip_from_sizes

SQUARE = math.pi / 2
FOLDER = Folder(
    nose_rad=math.radians(60), nose_height=80.0, clamp_height=100.0, clamp_depth=90.0, bed_depth=200.0, beam_width=60.0
)


def strip(*sizes: float, turns: tuple[float, ...]) -> FoldedStrip:
    return strip_from_sizes(sizes, [Fold(angle_rad=math.radians(t), radius=1.0) for t in turns], 1.0)


def made(steps: tuple[FoldStep, ...] | None) -> set[int]:
    assert steps is not None
    return {step.fold for step in steps}


def test_one_fold_up_needs_no_turning() -> None:
    assert fold_order(strip(60, 40, turns=(90,)), FOLDER) == (FoldStep(fold=0, held="start", over=False),)


def test_wide_channel_is_folded_from_both_ends() -> None:
    steps = fold_order(strip(30, 200, 30, turns=(90, 90)), FOLDER)
    assert made(steps) == {0, 1}


def test_deep_narrow_channel_hits_the_clamp_and_no_order_helps() -> None:
    # sides of 70 over a base of 40: the clamp, 90 deep and 100 high, must stand inside, whichever is folded first
    deep = strip(70, 40, 70, turns=(90, 90))
    assert fold_clash(deep, frozenset({0}), 1, "start", FOLDER) == "hits the clamp"
    assert fold_order(deep, FOLDER) is None


def test_same_channel_over_a_narrow_clamp_can_be_made() -> None:
    narrow = Folder(nose_rad=math.radians(80), clamp_depth=25.0, clamp_height=90.0)
    assert made(fold_order(strip(70, 40, 70, turns=(90, 90)), narrow)) == {0, 1}


def test_zed_is_turned_over_between_its_folds() -> None:
    steps = fold_order(strip(40, 90, 40, turns=(90, -90)), FOLDER)
    assert steps is not None
    assert sorted(step.over for step in steps) == [False, True]


def test_side_shorter_than_the_beam_takes() -> None:
    short = strip(60, 7, turns=(90,))
    assert fold_clash(short, frozenset(), 0, "start", FOLDER) == "swung side too short"
    assert fold_clash(short, frozenset(), 0, "end", FOLDER) == "clamped side too short"
    assert fold_order(short, FOLDER) is None


def test_swinging_further_than_the_nose_leaves_room_hits_the_clamp() -> None:
    # a nose of 60 degrees lets the sheet swing to 120 degrees, less the 3 that it must be swung too far
    assert fold_clash(strip(60, 60, turns=(115,)), frozenset(), 0, "start", FOLDER) is None
    assert fold_clash(strip(60, 60, turns=(125,)), frozenset(), 0, "start", FOLDER) == "hits the clamp"


def test_down_side_before_the_clamp_hits_the_bed() -> None:
    # folded down 20 mm behind the fold to make: the bed is in the way
    zed = strip(40, 20, 40, turns=(-90, 90))
    assert fold_clash(zed, frozenset({0}), 1, "start", FOLDER) == "hits the bed"


def test_down_side_on_the_beam() -> None:
    zed = strip(80, 20, 40, turns=(90, -90))
    assert fold_clash(zed, frozenset({1}), 0, "start", FOLDER) == "hits the beam"


def test_folds_toward_each_other_are_made_from_the_outside_in() -> None:
    # a lip on a deep side: the lip first, while the side is flat
    lipped = strip(12, 50, 150, turns=(90, 90))
    steps = fold_order(lipped, FOLDER)
    assert steps is not None
    assert [step.fold for step in steps] == [0, 1]
    assert fold_clash(lipped, frozenset({1}), 0, "end", FOLDER) == "hits the clamp"


def test_order_found_is_free_at_every_step_and_none_means_none() -> None:
    # all orders tried one by one, in the test
    for sizes, turns in (
        ((12, 50, 150, 30), (90, 90, -60)),
        ((15, 30, 30, 15), (90, -90, 90)),
        ((70, 40, 70, 20), (90, 90, -45)),
        ((20, 25, 30, 25, 20), (45, 90, 90, 45)),
    ):
        one = strip(*map(float, sizes), turns=turns)
        steps = fold_order(one, FOLDER)
        free = {
            (done, fold): any(fold_clash(one, done, fold, held, FOLDER) is None for held in ("start", "end"))  # type: ignore[arg-type]
            for order in permutations(range(len(turns)))
            for i, fold in enumerate(order)
            for done in [frozenset(order[:i])]
        }
        possible = any(
            all(free[frozenset(order[:i]), fold] for i, fold in enumerate(order))
            for order in permutations(range(len(turns)))
        )
        assert (steps is not None) == possible
        for i, step in enumerate(steps or ()):
            before = frozenset(s.fold for s in (steps or ())[:i])
            assert fold_clash(one, before, step.fold, step.held, FOLDER) is None


def test_sharp_fold_needs_the_share_of_a_test_fold() -> None:
    with pytest.raises(ValueError, match="give the neutral share of a test fold"):
        strip_from_sizes([60.0, 80.0], [Fold(angle_rad=SQUARE, radius=0.0)], 1.0)
    with pytest.raises(ValueError, match="uses no sheet"):
        strip_from_sizes([60.0, 80.0], [Fold(angle_rad=SQUARE, radius=0.0, share=0.0)], 1.0)
    sharp = [Fold(angle_rad=a, radius=0.0, share=0.41) for a in (SQUARE, -SQUARE)]
    assert made(fold_order(strip_from_sizes([60.0, 80.0, 40.0], sharp, 1.0), FOLDER)) == {0, 1}


@pytest.mark.parametrize("bad", [0.0, math.radians(181)])
def test_fold_of_no_angle_or_too_much_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="more than 0 and at most 180"):
        Fold(angle_rad=bad, radius=1.0)
