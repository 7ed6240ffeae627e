"""A slung bed against a finite-difference membrane, the exact cable, a general minimiser, and what must always hold.

The finite differences and the series are made here; scipy stands in as an independent solver.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from handbarrow.laws.sewing.cable import loaded_cable
from handbarrow.laws.sewing.edges import ClothEdge, ClothPanel, cut_panel, finished_panel
from handbarrow.laws.sewing.membrane import Cloth, LoopStay, SlungBed, patch_loads, slung_bed
from handbarrow.laws.sewing.webbing import cord_cut, knot_from_trial, lacing_length, lacing_places


def clamped(ny: int, nx: int) -> np.ndarray:
    held = np.zeros((ny, nx), dtype=bool)
    held[[0, -1]] = True
    held[:, [0, -1]] = True
    return held


def membrane_by_finite_differences(
    n: int, m: int, sizes: tuple[float, float], pulls: tuple[float, float], q: float
) -> np.ndarray:
    """w of T_x w_xx + T_y w_yy = -q on a rectangle held at its edges; n x m joints."""
    hx, hy = sizes[0] / (n - 1), sizes[1] / (m - 1)
    inside = [(r, c) for r in range(1, m - 1) for c in range(1, n - 1)]
    number = {joint: i for i, joint in enumerate(inside)}
    matrix = np.zeros((len(inside), len(inside)))
    for (r, c), i in number.items():
        matrix[i, i] = 2 * pulls[0] / hx**2 + 2 * pulls[1] / hy**2
        for joint, share in (
            ((r, c - 1), pulls[0] / hx**2),
            ((r, c + 1), pulls[0] / hx**2),
            ((r - 1, c), pulls[1] / hy**2),
            ((r + 1, c), pulls[1] / hy**2),
        ):
            if joint in number:
                matrix[i, number[joint]] = -share
    w = np.zeros((m, n))
    solved = np.linalg.solve(matrix, np.full(len(inside), q))
    for (r, c), i in number.items():
        w[r, c] = solved[i]
    return w


@pytest.mark.parametrize(("warp", "weft"), [(100.0, 100.0), (100.0, 25.0)])
def test_stretched_cloth_under_a_small_load_is_the_finite_difference_membrane(warp: float, weft: float) -> None:
    x, y = np.linspace(0, 600, 13), np.linspace(0, 400, 9)
    cloth = Cloth(along=x, across=y, warp=warp, weft=weft, prestrain=(0.01, 0.01))
    q = 1e-6
    bed = slung_bed(cloth, [], patch_loads(x, y, [(0, 600, 0, 400, q * 600 * 400)]), clamped(9, 13))
    # pull per width of the flat cloth: stiffness x strain over the stretched length
    pulls = (warp * 0.01, weft * 0.01)
    w = membrane_by_finite_differences(13, 9, (600, 400), pulls, q)
    assert -bed.places[..., 2] == pytest.approx(w, rel=1e-3, abs=1e-9)


def test_square_membrane_goes_to_the_series_as_the_grid_gets_finer() -> None:
    # closed form: Fourier series, 0.07367 q a^2 / T at the middle (computed here); error as mesh squared
    odd = range(1, 200, 2)
    k = 16 / math.pi**4 * sum((-1) ** ((m + n) // 2 - 1) / (m * n * (m * m + n * n)) for m in odd for n in odd)
    assert k == pytest.approx(0.07367, abs=2e-5)
    off = []
    for n in (9, 17):
        x = np.linspace(0, 600, n)
        cloth = Cloth(along=x, across=x, warp=100.0, weft=100.0, prestrain=(0.01, 0.01))
        bed = slung_bed(cloth, [], patch_loads(x, x, [(0, 600, 0, 600, 0.36)]), clamped(n, n))
        off.append(abs(bed.deepest - k * 1e-6 * 600**2))
    assert off[0] / off[1] == pytest.approx(4, abs=0.3)
    assert off[1] < 0.004 * k * 0.36


def test_bed_hung_on_its_two_long_sides_sags_as_the_exact_cable() -> None:
    # closed form of equilibrium, found by another solver: each thread across is a cable on two loops; large sag
    nx, ny, width = 5, 17, 400.0
    x, y = np.linspace(0, 800, nx), np.linspace(0, width, ny)
    cloth = Cloth(along=x, across=y, warp=50.0, weft=80.0)
    share = np.array([0.5, 1, 1, 1, 0.5]) * 200
    stays = [
        LoopStay(
            row=r, column=c, anchor=(x[c], -60.0 if r == 0 else 460.0, 0.0), slack=60.0, stiffness_n_mm=0.1 * share[c]
        )
        for r in (0, ny - 1)
        for c in range(nx)
    ]
    q = 2e-3
    loads = np.zeros((ny, nx))
    loads[1:-1] = q * width / (ny - 1) * share
    bed = slung_bed(cloth, stays, loads)
    slack = np.concatenate([[60.0], np.full(ny - 1, width / (ny - 1)), [60.0]])
    stiff = np.concatenate([[0.1 * 60], np.full(ny - 1, 80.0), [0.1 * 60]])
    hung = np.concatenate([[0.0], np.full(ny - 2, q * width / (ny - 1)), [0.0]])
    cable = loaded_cable(slack, stiff, hung, 520.0)
    assert cable.sag > 70  # more than an eighth of the span
    for c in range(nx):
        assert bed.places[:, c, 1:] * (1, -1) == pytest.approx(cable.places[1:-1] - (60.0, 0.0), abs=1e-3)
    assert bed.loop_pulls == pytest.approx(np.tile(cable.pulls[0] * share, 2), rel=1e-5)


def hut_bed(nx: int, ny: int, person_n: float = 950.0, loop: float = 15.0) -> SlungBed:
    """1900 x 400 on loops every 316 mm along the sides and at the corners and middles of the ends."""
    x, y = np.linspace(0, 1900, nx), np.linspace(0, 400, ny)
    cloth = Cloth(along=x, across=y, warp=60.0, weft=60.0, bias=3.0)
    every = (nx - 1) // 6
    stays = [
        LoopStay(row=r, column=c, anchor=(x[c], -50.0 if r == 0 else 450.0, 0.0), slack=50.0, stiffness_n_mm=loop)
        for r in (0, ny - 1)
        for c in range(0, nx, every)
    ]
    stays += [
        LoopStay(row=r, column=c, anchor=(-50.0 if c == 0 else 1950.0, y[r], 0.0), slack=50.0, stiffness_n_mm=loop)
        for c in (0, nx - 1)
        for r in (0, (ny - 1) // 2, ny - 1)
    ]
    patches = [(0.35 * 1900, 0.75 * 1900, 80.0, 320.0, 0.7 * person_n), (100.0, 600.0, 100.0, 300.0, 0.3 * person_n)]
    bed = slung_bed(cloth, stays, patch_loads(x, y, patches))
    up = sum(
        pull * (0.0 - bed.places[s.row, s.column, 2]) / math.dist(s.anchor, bed.places[s.row, s.column])
        for s, pull in zip(stays, bed.loop_pulls, strict=True)
    )
    assert up == pytest.approx(person_n, rel=1e-6)  # the loops carry the person, all of it
    return bed


def test_person_hangs_in_the_loops_and_a_finer_grid_says_the_same() -> None:
    coarse, fine = hut_bed(13, 9), hut_bed(25, 17)
    assert coarse.rest < 1e-4
    assert fine.deepest == pytest.approx(coarse.deepest, rel=0.06)
    assert fine.loop_pulls.max() == pytest.approx(coarse.loop_pulls.max(), rel=0.1)


def test_heavier_person_hangs_deeper_and_stiffer_loops_hold_higher() -> None:
    depths = [hut_bed(13, 9, person).deepest for person in (500.0, 800.0, 1100.0)]
    assert depths == sorted(depths)
    assert hut_bed(13, 9, loop=60.0).deepest < hut_bed(13, 9, loop=15.0).deepest


def test_a_general_minimiser_finds_no_lower_energy() -> None:
    # scipy L-BFGS from a start of its own, on an energy written here
    x, y = np.linspace(0, 600, 5), np.linspace(0, 300, 4)
    cloth = Cloth(along=x, across=y, warp=30.0, weft=20.0)
    stays = [
        LoopStay(
            row=r, column=c, anchor=(x[c] * 1.1 - 30, -40.0 if r == 0 else 340.0, 10.0), slack=38.0, stiffness_n_mm=5.0
        )
        for r in (0, 3)
        for c in range(5)
    ]
    loads = patch_loads(x, y, [(100, 400, 50, 250, 300.0), (0, 600, 0, 300, 20.0)])
    bed = slung_bed(cloth, stays, loads)
    half = {"x": np.array([0.5, 1, 1, 1, 0.5]) * 150, "y": np.array([0.5, 1, 1, 0.5]) * 100}

    def energy(flat: np.ndarray) -> float:
        p = flat.reshape(4, 5, 3)
        along = np.maximum(np.linalg.norm(np.diff(p, axis=1), axis=2) - 150, 0)
        across = np.maximum(np.linalg.norm(np.diff(p, axis=0), axis=2) - 100, 0)
        total = (0.5 * 30 / 150 * half["y"][:, None] * along**2).sum() + (0.5 * 20 / 100 * half["x"] * across**2).sum()
        for s in stays:
            total += 0.5 * 5.0 * max(math.dist(s.anchor, p[s.row, s.column]) - 38.0, 0) ** 2
        return float(total + (loads * p[..., 2]).sum())

    start = np.stack([*np.meshgrid(x, y), np.full((4, 5), -30.0)], axis=-1).ravel()
    found = minimize(energy, start, method="L-BFGS-B", options={"maxiter": 4000, "maxfun": 400000, "ftol": 1e-14})
    mine = energy(bed.places.ravel())
    assert mine <= found.fun + 1e-6 * abs(found.fun)
    assert bed.deepest == pytest.approx(-found.x.reshape(-1, 3)[:, 2].min(), abs=1.0)


def test_cloth_that_nothing_holds_and_loads_beside_it_are_refused() -> None:
    x = np.linspace(0, 100, 3)
    with pytest.raises(ValueError, match="nothing holds"):
        slung_bed(Cloth(along=x, across=x, warp=1.0, weft=1.0), [], np.ones((3, 3)))
    with pytest.raises(ValueError, match="not on the cloth"):
        patch_loads(x, x, [(50, 150, 0, 100, 10.0)])


@given(
    st.integers(1, 12).flatmap(lambda n: st.lists(st.floats(5, 300), min_size=n + 1, max_size=n + 1)),
    st.floats(0.5, 1.3),
    st.floats(-0.2, 0.2),
    st.floats(50, 1e5),
    st.data(),
)
@settings(max_examples=60)
def test_every_joint_of_a_loaded_cable_is_in_balance(
    slack: list[float], reach: float, drop: float, ea: float, data: Any
) -> None:
    loads = np.array(data.draw(st.lists(st.floats(0.5, 400), min_size=len(slack) - 1, max_size=len(slack) - 1)))
    span = reach * sum(slack)
    cable = loaded_cable(np.array(slack), np.full(len(slack), ea), loads, span, drop * span)
    ways = np.diff(cable.places, axis=0)
    lengths = np.hypot(*ways.T)
    taut = cable.pulls > 0
    force = ways / np.maximum(lengths, 1e-12)[:, None] * cable.pulls[:, None]
    assert cable.miss < 1e-5 * span
    assert np.diff(force[:, 0]) == pytest.approx(np.zeros(len(loads)), abs=1e-6 * cable.pulls.max())
    assert -np.diff(force[:, 1]) == pytest.approx(loads, rel=1e-6, abs=1e-6 * cable.pulls.max())
    assert lengths[taut] == pytest.approx((np.array(slack) * (1 + cable.pulls / ea))[taut], rel=1e-6)
    assert np.all(lengths[~taut] <= np.array(slack)[~taut] * (1 + 1e-6))  # a loose piece is shorter than its length


def test_piece_that_is_too_long_hangs_loose_and_the_load_hangs_straight_below() -> None:
    # closed form: 5 stretched to 5.1; from there to the other end 8.66, and the other piece is 9 long
    cable = loaded_cable(np.array([5.0, 9.0]), np.full(2, 50.0), np.array([1.0]), 7.0)
    assert cable.places[1] == pytest.approx((0.0, 5.1), abs=1e-6)
    assert cable.pulls == pytest.approx((1.0, 0.0), abs=1e-6)


edges = st.one_of(
    st.just(ClothEdge()),
    st.builds(ClothEdge, kind=st.sampled_from(["hem", "double hem", "seam"]), width=st.floats(5, 60)),
)


@given(edges, edges, edges, edges, st.floats(100, 3000), st.floats(100, 2000))
def test_finished_size_to_cut_size_and_back(
    head: ClothEdge, foot: ClothEdge, left: ClothEdge, right: ClothEdge, length: float, width: float
) -> None:
    around = {"head": head, "foot": foot, "left": left, "right": right}
    cut = cut_panel(ClothPanel(length=length, width=width, **around))
    assert finished_panel(ClothPanel(length=cut[0], width=cut[1], **around)) == pytest.approx((length, width))


def test_edges_that_take_the_whole_panel_are_refused() -> None:
    hem = ClothEdge(kind="double hem", width=60.0)
    with pytest.raises(ValueError, match="take all of it"):
        finished_panel(ClothPanel(length=200.0, width=500.0, head=hem, foot=hem, left=hem, right=hem))
    with pytest.raises(ValueError, match="does not go with the edge"):
        ClothEdge(kind="raw", width=10.0)


@given(st.floats(10, 200), st.integers(1, 8), st.floats(100, 4000))
def test_trial_of_a_knot_gives_the_cut_length_of_the_strip_it_was_tied_in(knot: float, knots: int, tied: float) -> None:
    before = tied + knots * knot
    assert cord_cut(tied, knots, knot_from_trial(before, tied, knots)) == pytest.approx(before)


def test_zigzag_lacing_is_its_slopes_and_straight_lacing_its_crossings() -> None:
    # closed forms: 2 n slopes of hypot(pitch / 2, gap); n crossings and n - 1 ways along the edge
    pitch, gap, n = 40.0, 70.0, 10
    first = [i * pitch for i in range(n + 1)]
    second = [(i + 0.5) * pitch for i in range(n)]
    assert lacing_length(lacing_places(first, second, gap)) == pytest.approx(2 * n * math.hypot(pitch / 2, gap))
    straight = lacing_places(first[:n], first[:n], gap, straight=True)
    assert lacing_length(straight) == pytest.approx(n * gap + (n - 1) * pitch)
