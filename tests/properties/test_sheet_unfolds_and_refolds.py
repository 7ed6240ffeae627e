"""Parts of sheet: the developed blank, folded again, is the part that was designed. Closed forms, computed here."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.laws.folding.edge_sides import SideWish, set_sides, side_strip
from handbarrow.laws.folding.flat_part import FlatPart, rolled_strip
from handbarrow.laws.folding.hems import SheetHem
from handbarrow.laws.folding.strip import Fold
from handbarrow.laws.folding.tray import Tray, tray_blank

RAW = SheetHem(kind="raw")
CLOSE = 0.05
angles = st.floats(20, 135).map(math.radians) | st.floats(-135, -20).map(math.radians)
BOX = np.array([(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)])


def side(edge: int, heights: tuple[float, ...], turns: tuple[float, ...], r: float, hem: SheetHem = RAW) -> SideWish:
    folds = tuple(Fold(angle_rad=turn, radius=r) for turn in turns)
    return SideWish(edge=edge, heights=heights, folds=folds, hem=hem, hem_up=True)


def part(t: float, *wishes: SideWish, outline: np.ndarray = BOX) -> FlatPart:
    return FlatPart(outline=outline, thickness=t, sides=set_sides(outline, wishes, t))


def test_a_tray_has_the_blank_that_the_law_of_trays_gives() -> None:
    sides = [side(e, (40.0,), (math.pi / 2,), 1.0) for e in (1, 3, 0, 2)]
    blank = part(1.0, *sides).blank
    law = tray_blank(Tray(length=300, width=200, height=40, thickness=1, radius=1)).outline
    ours = np.array(sorted(map(tuple, (blank - (150, 100)).round(6) + 0.0)))
    assert ours == pytest.approx(np.array(sorted(map(tuple, law.round(6) + 0.0))), abs=1e-5)


def test_a_folded_tray_fills_the_box_that_was_asked_for() -> None:
    tray = part(1.5, *(side(e, (40.0,), (math.pi / 2,), 2.0) for e in (1, 3, 0, 2)))
    points = []
    for zone in tray.zones():
        for height in (0.0, 1.5):
            points.append(tray.folded(zone.side, zone.outline, np.full(len(zone.outline), height)))
    found = np.vstack(points)
    assert found.min(axis=0) == pytest.approx([0, 0, 0], abs=CLOSE)
    assert found.max(axis=0) == pytest.approx([300, 200, 40], abs=CLOSE)


@settings(max_examples=60, deadline=None)
@given(st.lists(angles, min_size=1, max_size=4), st.floats(0.6, 3.0), st.floats(0.5, 4.0))
def test_every_flat_of_a_refolded_blank_lies_in_the_face_that_was_designed(
    turns: list[float], t: float, r: float
) -> None:
    heights = tuple(60.0 + 10 * k for k in range(len(turns)))
    bent = part(t, side(2, heights, tuple(turns), r))
    strip = bent.sides[0].strip
    at, heading = 200.0, 0.0  # a walk along the neutral faces of the designed profile: y outwards, z up
    middle = np.array([at - bent.sides[0].inset, 0.0])
    u = 0.0
    for k, turn in enumerate(turns):
        u += strip.flats[k]
        middle = middle + strip.flats[k] * np.array([math.cos(heading), math.sin(heading)])
        lower = r + (t if turn > 0 else 0.0)  # radius of the face that lay below on the blank
        left = 1.0 if turn > 0 else -1.0
        centre = middle + left * lower * np.array([-math.sin(heading), math.cos(heading)])
        heading += turn
        middle = centre - left * lower * np.array([-math.sin(heading), math.cos(heading)])
        u += strip.uses[k]
        blank = bent.on_blank(0, np.array([bent.sides[0].start]), np.array([u]))
        folded = bent.folded(0, blank, np.zeros(1))[0]
        assert folded[1:] == pytest.approx(middle, abs=CLOSE)


@settings(max_examples=40, deadline=None)
@given(angles, st.floats(0.6, 2.0), st.floats(0.5, 3.0), st.floats(30, 90))
def test_an_unfolded_part_is_its_blank_and_folding_keeps_the_length_of_the_neutral_line(
    turn: float, t: float, r: float, height: float
) -> None:
    bent = part(t, side(1, (height,), (turn,), r, SheetHem(kind="closed", width=12.0)))
    for zone in bent.zones():
        flat = bent.folded(zone.side, zone.outline, np.zeros(len(zone.outline)), share=0.0)
        assert np.abs(flat[:, :2] - zone.outline).max() < 1e-9
    one = bent.sides[0]
    u = np.linspace(0, one.first_uses, 400)
    neutral = np.full(400, one.strip.neutral_height(one.strip.folds[0]))
    line = bent.folded(0, bent.on_blank(0, np.full(400, 50.0), u), neutral)
    assert np.linalg.norm(np.diff(line, axis=0), axis=1).sum() == pytest.approx(one.first_uses, rel=1e-4)


def test_the_outside_sizes_of_a_square_side_are_those_asked_for() -> None:
    bent = part(2.0, side(0, (35.0, 20.0), (math.pi / 2, -math.pi / 2), 2.5))
    end = bent.on_blank(0, np.array([100.0]), np.array([bent.sides[0].strip.blank]))
    lower, upper = (bent.folded(0, end, np.array([h]))[0] for h in (0.0, 2.0))
    # up 35 to the upper face of the rim; the rim runs 20 on from the inner face of the side, which stands 2 inside
    assert (lower[2], upper[2]) == pytest.approx((33.0, 35.0), abs=CLOSE)
    assert lower[1] == pytest.approx(2.0 - 20.0, abs=CLOSE)


@pytest.mark.parametrize("arc", [60.0, 150.0, 300.0])
def test_a_rolled_strip_lies_on_its_cylinders_and_is_as_wide_as_asked(arc: float) -> None:
    strip = rolled_strip(268.0, math.radians(arc), 90.0, 1.5, (RAW, SheetHem(kind="closed", width=12.0)))
    length = strip.blank[:, 0].max() - strip.blank[:, 0].min()
    assert length == pytest.approx((268.0 + 0.75) * math.radians(arc))  # the middle of the sheet keeps its length
    for zone in strip.zones():
        if zone.side is None:
            for height, radius in ((0.0, 268.0), (1.5, 269.5)):
                points = strip.folded(None, zone.outline, np.full(len(zone.outline), height))
                assert np.hypot(points[:, 0], points[:, 2]) == pytest.approx(radius, abs=1e-9)
    everything = np.vstack([
        strip.folded(z.side, z.outline, np.full(len(z.outline), h)) for z in strip.zones() for h in (0.0, 1.5)
    ])  # fmt: skip
    assert everything[:, 1].min() == pytest.approx(-45.0, abs=CLOSE)
    assert everything[:, 1].max() == pytest.approx(45.0, abs=CLOSE)
    assert np.hypot(everything[:, 0], everything[:, 2]).min() == pytest.approx(268.0 - 1.5, abs=CLOSE)


def test_a_tab_inside_an_edge_gets_slots_beside_it_that_reach_past_the_fold() -> None:
    wish = SideWish(edge=0, heights=(25.0,), folds=(Fold(angle_rad=math.pi / 2, radius=1.5),), hem=RAW, hem_up=True,
                    start=100.0, end=140.0)  # fmt: skip
    blank = part(1.5, wish).blank
    at_tab = blank[(blank[:, 0] > 98) & (blank[:, 0] < 101)]
    assert at_tab[:, 1].max() == pytest.approx(1.5 + 2 * 1.5)  # radius and twice the thickness (common practice)
    assert side_strip(wish, 1.5)[1] == pytest.approx(3.0)
