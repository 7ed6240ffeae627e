"""Pieces on a roll: all there, none over another (shapely is the judge), never below the bound; hems back and forth."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.strtree import STRtree

from handbarrow.laws.sewing.develop import develop_strip, offset_outline
from handbarrow.laws.sewing.roll import RollPiece, lay_on_roll

PIECES = st.lists(st.tuples(st.integers(50, 2000), st.integers(50, 1400), st.integers(1, 6)), min_size=1, max_size=4)


@given(PIECES, st.sampled_from([0.0, 5.0]))
@settings(max_examples=25, deadline=None)
def test_all_pieces_lie_on_the_roll_and_apart(sizes: list[tuple[int, int, int]], gap: float) -> None:
    pieces = [RollPiece(name=str(i), length=a, width=b, count=n) for i, (a, b, n) in enumerate(sizes)]
    made = lay_on_roll(pieces, 1480.0, gap)
    counts = np.bincount([p.piece for p in made.places], minlength=len(pieces))
    assert counts.tolist() == [n for _, _, n in sizes]
    boxes = [
        box(p.along, p.across, p.along + pieces[p.piece].length, p.across + pieces[p.piece].width) for p in made.places
    ]
    assert max(b.bounds[3] for b in boxes) <= 1480.0 + 1e-6
    assert max(b.bounds[2] for b in boxes) <= made.length + 1e-6
    for i, j in STRtree(boxes).query(boxes, predicate="intersects").T:
        assert i == j or boxes[i].intersection(boxes[j]).area < 1e-3
        assert gap == 0.0 or i == j
    assert made.lower_bound <= made.length + 1e-9
    assert made.lower_bound >= sum(a * b * n for a, b, n in sizes) / 1480.0 - 1e-6
    assert made.proven == (made.length - made.lower_bound <= 1e-6 * made.length)


@given(st.integers(1, 7), st.integers(1, 12))
@settings(max_examples=20, deadline=None)
def test_strips_of_one_kind_lie_in_whole_rows_and_that_is_proven(side: int, count: int) -> None:
    made = lay_on_roll([RollPiece(name="a", length=900.0, width=1480.0 / side, count=count)], 1480.0)
    assert abs(made.length - 900.0 * -(-count // side)) < 1e-6
    assert made.proven


@given(st.floats(50, 400), st.floats(50, 400), st.floats(0, 500), st.floats(0.5, 3.0))
@settings(max_examples=20, deadline=None)
def test_a_cone_between_round_bows_is_laid_flat_as_its_ring(r: float, more: float, high: float, turn: float) -> None:
    """Closed form: the slant is sqrt(dr^2 + h^2), the area half the turn times the sum of the radii times the slant."""
    t = np.linspace(0.0, turn, 61)
    first = np.column_stack([r * np.cos(t), r * np.sin(t), 0 * t])
    second = np.column_stack([(r + more) * np.cos(t), (r + more) * np.sin(t), 0 * t + high])
    flat = develop_strip(first, second)
    slant = np.hypot(more, high)
    assert abs(flat.area - turn / 2 * (2 * r + more) * slant) < 2e-3 * flat.area
    for bow, shape in ((first, flat.first), (second, flat.second)):
        there = np.linalg.norm(np.diff(bow, axis=0), axis=1).sum()
        assert abs(np.linalg.norm(np.diff(shape, axis=0), axis=1).sum() - there) < 1e-6 * there


@given(st.floats(0, 80), st.floats(0, 80), st.floats(0, 80), st.floats(0, 80))
def test_an_outline_grows_by_what_its_edges_take(a: float, b: float, c: float, d: float) -> None:
    grown = offset_outline(np.array([(0.0, 0.0), (900.0, 0.0), (900.0, 400.0), (0.0, 400.0)]), [a, b, c, d])
    assert np.allclose(np.ptp(grown, axis=0), [900.0 + b + d, 400.0 + a + c])
