"""Two runs of weld beside each other, against tables of weld properties."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handbarrow.laws.welds.runs import PIECES, crossing_ring, force_on_runs, groove_width, runs_use, two_runs
from handbarrow.laws.welds.strength import WELD_STEELS

DEEP, WIDE = 60.0, 40.0  # length of each run, distance between them [mm]
LINE = two_runs(np.array([-30.0, 0, 0]), np.array([30.0, 0, 0]), np.array([0.0, 20.0, 0.0]), np.array([0.0, 0.0, 1.0]))


def most(moment: tuple[float, float, float]) -> float:
    """Largest force on a millimetre, at the end of a run: straight on from the middles of the pieces."""
    force = force_on_runs(LINE, np.array([[0.0, 0.0, 0.0, *moment]]), LINE.middle)[0]
    assert np.allclose(LINE.length @ force, 0.0, atol=1e-9)
    each = (force @ force.T).diagonal()
    return float(np.sqrt(each.max()))


def test_twist_as_the_table_of_weld_properties_has_it() -> None:
    # J_u = d (3 b^2 + d^2) / 6, two runs d long, b apart (Shigley, torsional properties of fillets; from memory)
    polar = DEEP * (3 * WIDE**2 + DEEP**2) / 6
    middle = math.hypot(DEEP / 2 * (1 - 1 / PIECES), WIDE / 2)  # of the last piece
    assert most((0.0, 0.0, 1e5)) == pytest.approx(1e5 * middle / polar, rel=1e-9)


def test_bending_as_the_table_of_weld_properties_has_it() -> None:
    # I_u = d^3 / 6 for two runs d long in the plane of bending, b d^2 / 2 if they lie across (Shigley, from memory)
    assert most((0.0, 1e5, 0.0)) == pytest.approx(1e5 * DEEP / 2 * (1 - 1 / PIECES) / (DEEP**3 / 6), rel=1e-9)
    assert most((1e5, 0.0, 0.0)) == pytest.approx(1e5 * (WIDE / 2) / (DEEP * WIDE**2 / 2), rel=1e-9)


def test_a_shear_along_both_runs_is_the_shear_strength_of_the_throat() -> None:
    # EN 1993-1-8 4.5.3 (read at second hand): 207.8 MPa for S235, computed here
    throat = 2.0
    force = 207.846 * throat * 2 * DEEP
    use = runs_use(LINE, throat, np.array([[force, 0, 0, 0, 0, 0]]), LINE.middle, WELD_STEELS[0])
    assert use.directional[0] == pytest.approx(1.0, rel=1e-4)
    assert use.simplified[0] == pytest.approx(1.0, rel=1e-4)


def test_a_groove_beside_a_round_bar_is_as_deep_as_the_circle_says() -> None:
    # depth of a circle of radius r at x: r - sqrt(r^2 - x^2); closed form
    for radius, depth in ((10.65, 1.0), (13.45, 2.3)):
        x = groove_width(radius, math.inf, depth)
        assert radius - math.sqrt(radius**2 - x**2) == pytest.approx(depth, rel=1e-9)


def test_the_ring_at_a_crossing_is_an_ellipse() -> None:
    ring = crossing_ring(np.zeros(3), (np.array([1.0, 0, 0]), np.array([0, 1.0, 0])), (8.0, 5.0))
    assert np.allclose((ring[:, 0] / 8) ** 2 + (ring[:, 1] / 5) ** 2, 1.0)
