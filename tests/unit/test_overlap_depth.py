import numpy as np
import pytest
from scipy.spatial import ConvexHull

from handbarrow.laws.clearance.depth import depth
from handbarrow.laws.clearance.solids import prism, run_solids
from handbarrow.laws.geometry.path import Centreline
from handbarrow.laws.geometry.section import Section

ROUND = Section(shape="round tube", height=20, width=20, wall=2)
SQUARE = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)])


@pytest.mark.parametrize("deep", [-3.0, 0.0, 0.4, 2.5])
def test_a_tube_that_is_let_into_a_plate_comes_free_by_that_much(deep: float) -> None:
    plate = prism(SQUARE, np.zeros(3), np.eye(3), 5.0)
    tube = run_solids(Centreline(((-50, 30, 15 - deep), (150, 30, 15 - deep))), ROUND, (0.0, 0.0, 1.0), (0.0, 0.0))
    assert depth(plate, tube, 0, 0) == pytest.approx(deep, abs=0.01)


def test_two_crossing_tubes_lie_in_each_other_by_their_radii_less_the_distance_of_their_axes() -> None:
    one = run_solids(Centreline(((-100, 0, 0), (100, 0, 0))), ROUND, (0.0, 0.0, 1.0), (0.0, 0.0))
    other = run_solids(Centreline(((10, -90, 13), (30, 100, 13))), ROUND, (0.0, 0.0, 1.0), (0.0, 0.0))
    assert depth(one, other, 0, 0) == pytest.approx(20 - 13, abs=0.01)


def test_two_boxes_set_askew_come_free_by_the_shortest_way() -> None:
    c, s = np.cos(0.3), np.sin(0.3)
    one = prism(SQUARE, np.zeros(3), np.eye(3), 50.0)
    turned = np.array([(c, s, 0), (-s, c, 0), (0, 0, 1)])
    other = prism(SQUARE, np.array([98.0, 20.0, 10.0]), turned, 10.0)
    apart = (one.points[0][:, None] - other.points[0][None]).reshape(-1, 3)
    hull = ConvexHull(apart)  # of all differences; the nearest of its faces is the shortest way out
    assert depth(one, other, 0, 0) == pytest.approx(-hull.equations[:, 3].max(), abs=0.02)
