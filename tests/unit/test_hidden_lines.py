"""Which lines of a view are seen: closed forms on two tubes, and rays sampled step by step on a small scene.

The sampling (computed here) shares nothing with the program: it walks along a ray in steps of 0.5 mm and asks a
distance rule of each solid whether the place lies inside.
"""

import math
from collections.abc import Callable

import numpy as np
import pytest

from handbarrow.drawings import hidden
from handbarrow.drawings.hidden import look, named_view, view_along
from handbarrow.drawings.solids import box, cylinder, plate, run, triangulated, wheel
from handbarrow.laws.geometry.path import Centreline, Floats
from handbarrow.laws.geometry.section import Section

TUBE = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
THIN = Section(shape="round tube", height=20.0, width=20.0, wall=2.0)
BOX_TUBE = Section(shape="square tube", height=30.0, width=30.0, wall=2.0)
UP = (0.0, 0.0, 1.0)

along_x = run("low", Centreline(((-100, 0, 0), (100, 0, 0))), TUBE, UP)
along_y = run("high", Centreline(((0, -100, 50), (0, 100, 50))), THIN, UP)


def total(lines: tuple[tuple[str, Floats], ...], name: str) -> float:
    """Length of all lines of a part [mm]."""
    return sum(float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) for n, line in lines if n == name)


def test_a_tube_that_passes_over_another_hides_as_much_as_it_is_wide() -> None:
    """Closed form: seen from above, the lower tube's two outlines are hidden over the upper tube's diameter."""
    lines = look([along_x, along_y], named_view("top"), hidden=True)
    whole = total(lines.seen, "low") + total(lines.hidden, "low")
    gaps = [line for name, line in lines.hidden if name == "low" and abs(float(line[0, 1])) > 13.4]
    for gap in gaps:
        wide = float(np.ptp(gap[:, 0]))
        assert wide == pytest.approx(20.0 * hidden.SHRINK, abs=0.05)  # what hides is shrunk by that factor
        assert float(gap[:, 0].mean()) == pytest.approx(0.0, abs=0.05)
    assert len(gaps) == 2
    assert not [line for name, line in lines.hidden if name == "high" and np.ptp(line[:, 1]) > 1]
    # Two outlines of 200 mm; the rings at the ends, outside and bore, are seen edge on (twice the diameter each).
    assert whole == pytest.approx(2 * 200 + 2 * 2 * (26.9 + 22.3), abs=0.5)


def test_from_below_the_lower_tube_hides_the_upper_one() -> None:
    lines = look([along_x, along_y], view_along((0, 0, -1), (0, 1, 0)), hidden=True)
    assert not [line for name, line in lines.hidden if name == "low" and np.ptp(line[:, 0]) > 1]
    gaps = [float(np.ptp(line[:, 1])) for name, line in lines.hidden if name == "high" and np.ptp(line[:, 1]) > 1]
    assert gaps == pytest.approx([26.9 * hidden.SHRINK] * 2, abs=0.05)


def test_a_bend_seen_square_on_shows_both_its_true_radii() -> None:
    """Closed form: outlines of a bend of centreline radius R in plan are circles of R - r and R + r."""
    elbow = Centreline(((0, 0, 0), (300, 0, 0), (300, 300, 0)), (100.0,))
    lines = look([run("elbow", elbow, TUBE, UP)], named_view("top"))
    arc = np.concatenate([line for _, line in lines.seen])
    apart = np.linalg.norm(arc - (200.0, 100.0), axis=1)
    on_bend = (arc[:, 0] > 201) & (arc[:, 1] < 99)
    assert on_bend.sum() > 10
    off = np.minimum(np.abs(apart[on_bend] - 113.45), np.abs(apart[on_bend] - 86.55))
    assert off.max() < 1e-9


def test_a_box_seen_from_a_corner_shows_nine_edges_and_hides_three() -> None:
    lines = look([box("box", (0, 0, 0), (40, 30, 20))], named_view("isometric"), hidden=True)
    edges = 4 * (40 * math.sqrt(2 / 3) + 30 * math.sqrt(2 / 3) + 20 * math.sqrt(2 / 3))
    assert total(lines.seen, "box") + total(lines.hidden, "box") == pytest.approx(edges, abs=1e-6)
    assert total(lines.hidden, "box") == pytest.approx((40 + 30 + 20) * math.sqrt(2 / 3), abs=0.3)


def test_a_square_tube_end_on_is_a_square_and_a_round_one_a_circle() -> None:
    lines = look([run("post", Centreline(((0, 0, 0), (0, 0, 200))), BOX_TUBE, (1.0, 0.0, 0.0))], named_view("top"))
    assert lines.low == pytest.approx((-15, -15)) and lines.high == pytest.approx((15, 15))
    lines = look([run("bar", Centreline(((0, 0, 0), (0, 0, 200))), TUBE, (1.0, 0.0, 0.0))], named_view("top"))
    outer = max(float(np.linalg.norm(line, axis=1).max()) for _, line in lines.seen)
    assert outer == pytest.approx(13.45)


def test_a_mirrored_view_is_the_mirror_image() -> None:
    elbow = Centreline(((0, 0, 0), (300, 0, 0), (300, 200, 120)), (60.0,))
    mirror = Centreline(((0, 0, 0), (300, 0, 0), (300, -200, 120)), (60.0,))
    right = look([run("a", elbow, TUBE, (0, 0, 1))], view_along((0, -1, 1)))
    left = look([run("a", mirror, TUBE, (0, 0, 1))], view_along((0, 1, 1)))
    assert total(right.seen, "a") == pytest.approx(total(left.seen, "a"), rel=2e-3)
    assert right.low[0] == pytest.approx(-left.high[0]) and right.high[1] == pytest.approx(left.high[1])


def test_ears_cut_off_a_polygon_cover_its_area() -> None:
    """Closed form: the triangles' areas add up to the shoelace area, also where the polygon is not convex."""
    shape = [(0, 0), (60, 0), (60, 40), (35, 40), (30, 15), (25, 40), (0, 40)]
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(shape, shape[1:] + shape[:1], strict=True)) / 2
    cut = triangulated(shape)
    assert len(cut) == len(shape) - 2
    pieces = []
    for i, j, k in cut:
        (ax, ay), (bx, by), (cx, cy) = shape[i], shape[j], shape[k]
        pieces.append(((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / 2)
    assert min(pieces) > 0
    assert sum(pieces) == pytest.approx(area)


# ------------------------------------------------------------------------------------------------ rays, step by step
Inside = Callable[[Floats], Floats]


def bar_distance(a: Floats, b: Floats, r: float) -> Inside:
    """Distance to a flat-ended bar (negative inside). Source: closed form."""
    e = (b - a) / np.linalg.norm(b - a)
    size = float(np.linalg.norm(b - a))

    def rule(p: Floats) -> Floats:
        along = (p - a) @ e
        across = np.linalg.norm(p - a - along[:, None] * e, axis=1) - r
        return np.maximum(across, np.maximum(-along, along - size))

    return rule


def box_distance(low: Floats, high: Floats) -> Inside:
    """How far outside a box (negative inside)."""
    return lambda p: np.max(np.maximum(low - p, p - high), axis=1)


def torus_distance(centre: Floats, axis: int, big: float, small: float) -> Inside:
    """Distance to a torus about an axis of space."""

    def rule(p: Floats) -> Floats:
        q = p - centre
        flat = np.linalg.norm(np.delete(q, axis, axis=1), axis=1) - big
        return np.hypot(flat, q[:, axis]) - small

    return rule


@pytest.mark.parametrize("towards", [(1, -1, 1), (0, 0, 1), (0.3, 0.9, 0.2), (-1, 0.2, 0.4)])
def test_what_is_hidden_agrees_with_rays_walked_step_by_step(towards: tuple[float, float, float]) -> None:
    solids = [
        along_x,
        cylinder("post", (20.0, 30.0, 20.0), (0.0, 0.0, 1.0), 12.0, 120.0),
        box("block", (-70, -60, -20), (-30, -20, 40)),
        run("square", Centreline(((60, -80, 30), (60, 80, 30))), BOX_TUBE, UP),
        *wheel("wheel", (0.0, 70.0, 0.0), (0.0, 1.0, 0.0), 30.0, 110.0)[:1],
    ]
    rules = [
        bar_distance(np.array([-100.0, 0, 0]), np.array([100.0, 0, 0]), 13.45),
        bar_distance(np.array([20.0, 30, -40]), np.array([20.0, 30, 80]), 12.0),
        box_distance(np.array([-70.0, -60, -20]), np.array([-30.0, -20, 40])),
        box_distance(np.array([45.0, -80, 15]), np.array([75.0, 80, 45])),
        torus_distance(np.array([0.0, 70, 0]), 1, 70.0, 15.0),
    ]
    view = view_along(towards)
    m = view.matrix
    random = np.random.default_rng(5)
    points = random.uniform((-110, -100, -90), (110, 100, 100), (500, 3))
    cylinders, triangles = [], []
    for solid in solids:
        if isinstance(solid, hidden.Round):
            cylinders.append(hidden._round_cylinders(solid, m))
        else:
            triangles.append((solid.points @ m.T)[solid.triangles])
    flat = (points @ m.T)[:, :2]
    hides = hidden._Hiders(cylinders, triangles, flat.min(axis=0), float(np.ptp(flat, axis=0).max()))
    found = hides.hidden(points @ m.T)
    steps = np.arange(1.0, 420.0, 0.5)
    wrong = 0
    for point, is_hidden in zip(points, found, strict=True):
        ray = point + steps[:, None] * np.asarray(view.towards)
        nearest = min(float(rule(ray).min()) for rule in rules)
        here = min(float(rule(point[None])[0]) for rule in rules)
        if abs(nearest) < 0.8 or abs(here) < 1.5:
            continue  # a ray that grazes, or a point on a surface: what hides is shrunk on purpose
        wrong += (nearest < 0) != bool(is_hidden)
    assert wrong == 0
    assert 30 < int(found.sum()) < 470


def test_a_plate_with_a_hole_shows_the_hole_on_the_side_that_is_seen() -> None:
    hole = [(20 + 5 * math.cos(2 * math.pi * i / 24), 20 + 5 * math.sin(2 * math.pi * i / 24)) for i in range(24)]
    solid = plate("tow-plate", [(0, 0), (60, 0), (60, 40), (0, 40)], 5.0, np.eye(4), [hole])
    lines = look([solid], named_view("top"), hidden=True)
    circle = 24 * 2 * 5 * math.sin(math.pi / 24)
    assert total(lines.seen, "tow-plate") >= 200 + circle - 0.5
    assert total(lines.hidden, "tow-plate") >= circle - 0.5  # the hole's far edge: what hides knows no holes
