"""Ends of square, rectangular and angle sections in views: on the job's own cut, against planes and cylinders.

Closed forms (computed here): a mitre is a plane, a cope round a tube is a cylinder, and both give h at any place of the
section. The job's wrap is what the shop cuts to.
"""

import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest

from handbarrow.drawings.ends import cut_round
from handbarrow.drawings.hidden import look, named_view
from handbarrow.drawings.product import job_solids
from handbarrow.drawings.solids import Mesh, Round, placed, run, section_outline
from handbarrow.laws.geometry.path import Centreline, Floats
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import outline
from jig_frames import job_of

SQUARE = Section(shape="square tube", height=30.0, width=30.0, wall=2.0)
OBLONG = Section(shape="rectangular tube", height=40.0, width=20.0, wall=2.0)
FLAT = Section(shape="flat", height=20.0, width=4.0)
ANGLE = Section(shape="angle", height=40.0, width=30.0, wall=4.0)
ROUND = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
SECTIONS = (SQUARE, OBLONG, FLAT, ANGLE)
UP = (0.0, 0.0, 1.0)
CLOSE = 0.05
"""A drawn end lies this near to the cut [mm]."""

Rule = Callable[[Floats], Floats]


def mitre(uv: Floats) -> Floats:
    """A plane at 45 degrees about u, leaning a little about v."""
    return np.asarray(4.0 + uv[:, 1] + 0.2 * uv[:, 0])


def cope(uv: Floats) -> Floats:
    """A tube of 60.3 mm set square across the run, its axis along v and at the run's end."""
    return np.asarray(np.sqrt(30.15**2 - uv[:, 0] ** 2))


def wrap_of(section: Section, rule: Rule) -> tuple[tuple[float, float], ...]:
    """(s, h) of a section cut by a rule for h at (u, v)."""
    ring = outline(section)
    return tuple(zip(ring.s.tolist(), rule(ring.uv).tolist(), strict=True))


def ends_of(solid: Mesh, at: float, inward: float) -> Floats:
    """Columns u, v, h of the points of an end of a run along x with its crown up: u = x cross z = -y."""
    near = solid.points[np.abs(solid.points[:, 0] - at) < 60]
    return np.column_stack((-near[:, 1], near[:, 2], (near[:, 0] - at) * inward))


@pytest.mark.parametrize("section", SECTIONS, ids=lambda s: s.shape)
@pytest.mark.parametrize("rule", [mitre, cope])
def test_every_drawn_point_of_an_end_lies_on_the_cut(section: Section, rule: Rule) -> None:
    wrap = wrap_of(section, rule)
    solid = run("bar", Centreline(((0, 0, 0), (400, 0, 0))), section, UP, (wrap, wrap))
    assert isinstance(solid, Mesh)
    for at, inward in ((0.0, 1.0), (400.0, -1.0)):
        found = ends_of(solid, at, inward)
        assert len(found) >= len(section_outline(section))
        assert np.abs(found[:, 2] - rule(found[:, :2])).max() < CLOSE


@pytest.mark.parametrize("section", SECTIONS, ids=lambda s: s.shape)
def test_the_drawn_cut_passes_every_station_of_the_jobs_wrap_that_lies_on_a_face(section: Section) -> None:
    wrap = wrap_of(section, cope)
    rows, corners = cut_round(section, section_outline(section), wrap)
    ring, checked = outline(section), 0
    for uv, (_, h) in zip(ring.uv, wrap, strict=True):
        for one, two in zip(rows, np.roll(rows, -1, axis=0), strict=True):
            way, off = two[:2] - one[:2], uv - one[:2]
            part = float(off @ way) / float(way @ way)
            if abs(way[0] * off[1] - way[1] * off[0]) < 1e-6 and 0 <= part <= 1:
                assert one[2] + part * (two[2] - one[2]) == pytest.approx(h, abs=CLOSE)
                checked += 1
                break
    assert checked > 40
    assert len(corners) == len(section_outline(section))


@pytest.mark.parametrize("section", SECTIONS, ids=lambda s: s.shape)
def test_long_edges_end_on_the_cut_in_a_side_view(section: Section) -> None:
    """Closed form: from the side, a mitre about u alone is one straight line and edges end on it."""

    def lean(uv: Floats) -> Floats:
        return np.asarray(uv[:, 1] + 30.0)

    solid = run("bar", Centreline(((0, 0, 0), (400, 0, 0))), section, UP, (wrap_of(section, lean), None))
    lines = look([solid], named_view("side"), hidden=True)
    points = np.concatenate([line for _, line in (*lines.seen, *lines.hidden)])
    assert np.min(points[:, 0] - points[:, 1]) == pytest.approx(30.0, abs=1e-6)
    long = [line for _, line in lines.seen if abs(line[0, 1] - line[-1, 1]) < 1e-9 and np.ptp(line[:, 0]) > 200]
    assert long
    for line in long:
        first = line[np.argmin(line[:, 0])]
        assert first[0] - first[1] == pytest.approx(30.0, abs=CLOSE)


def test_a_square_end_off_its_working_point_is_drawn_where_it_is_sawn() -> None:
    line = Centreline(((0, 0, 0), (400, 0, 0)))
    bar = run("bar", line, SQUARE, UP, (((0.0, 15.0),), ((0.0, -3.0),)))
    tube = run("tube", line, ROUND, UP, (((0.0, 15.0),), None))
    assert isinstance(bar, Mesh) and isinstance(tube, Round)
    assert (bar.points[:, 0].min(), bar.points[:, 0].max()) == pytest.approx((15.0, 403.0))
    assert (tube.spine[0, 0], tube.spine[-1, 0]) == pytest.approx((15.0, 400.0))
    again = run("tube", line, ROUND, UP)
    assert isinstance(again, Round) and again.spine[0, 0] == 0.0  # what is shared was not changed


def test_a_bent_bar_keeps_its_mesh_closed_where_its_ends_are_cut() -> None:
    """Closed form: in a closed skin every edge belongs to two triangles; volume by the divergence theorem."""
    line = Centreline(((0, 0, 0), (300, 0, 0), (300, 300, 0)), (100.0,))
    wrap = wrap_of(FLAT, mitre)
    solid = run("bar", line, FLAT, UP, (wrap, wrap))
    assert isinstance(solid, Mesh)
    edges: dict[tuple[int, int], int] = {}
    for a, b, c in solid.triangles.tolist():
        for one, two in ((a, b), (b, c), (c, a)):
            edges[min(one, two), max(one, two)] = edges.get((min(one, two), max(one, two)), 0) + 1
    assert set(edges.values()) == {2}
    for a, b in solid.sharp:
        assert (min(a, b), max(a, b)) in edges


def test_a_moved_copy_of_a_coped_tube_looks_as_the_first_one_does() -> None:
    """Closed form: moved along the paper, a view moves and nothing else in it changes."""
    phi = np.linspace(0, 2 * math.pi, 361)
    wrap = tuple(zip((13.45 * phi).tolist(), (20 + 12 * np.cos(phi)).tolist(), strict=True))
    first = run("tube", Centreline(((0, 0, 0), (400, 0, 0))), ROUND, UP, (wrap, wrap))
    shift = np.eye(4)
    shift[:3, 3] = (0.0, 500.0, 250.0)
    here, there = (look([solid], named_view("side")) for solid in (first, placed(first, shift.tolist())))
    assert len(here.seen) == len(there.seen)
    for (_, one), (_, two) in zip(here.seen, there.seen, strict=True):
        assert two == pytest.approx(one + np.array((0.0, 250.0)), abs=1e-6)


FRAME = """\
  front: {stock: bow, points: [[0, 0, 50], [0, 120, 50]]}
  left: {stock: bow, points: [[0, 120, 50], [160, 120, 50]]}
  back: {stock: bow, points: [[160, 120, 50], [160, 0, 50]]}
  right: {stock: bow, points: [[160, 0, 50], [0, 0, 50]]}
  strut: {stock: bow, points: [[0, 60, 50], [60, 60, 110]]}
  cross: {stock: main, points: [[60, 120, 110], [60, 0, 110]], start: free, end: free}
"""


def test_a_mitred_square_frame_is_drawn_with_its_mitres_and_outer_corners() -> None:
    """Closed form: frame 160 x 120 of 15 mm tube: seen from above 175 x 135 over all, four lines at 45 degrees."""
    job = job_of(FRAME)
    frame = [s for s in job_solids(job) if s.name in ("front", "left", "back", "right")]
    lines = look(frame, named_view("top"), hidden=True)
    assert np.subtract(lines.high, lines.low) == pytest.approx((175.0, 135.0), abs=1e-6)
    mitres = set()
    for _, line in lines.seen:
        for a, b in itertools.pairwise(line):
            over = np.abs(b - a)
            if over.min() > 1.0:
                assert over[0] == pytest.approx(over[1], abs=1e-6)
                mitres.add((bool(a[0] > 80), bool(a[1] > 60)))
    assert len(mitres) == 4


def test_a_strut_ends_on_the_face_and_on_the_tube_that_it_meets() -> None:
    """Closed forms: top face of the beam at z 57.5; surface of the cross tube 13.45 from its axis."""
    solid = next(s for s in job_solids(job_of(FRAME)) if s.name == "strut")
    assert isinstance(solid, Mesh)
    low = solid.points[solid.points[:, 2] < 80]
    tips = low[low[:, 0] < 7.5 - 3.0]  # beyond the rounded corner of the beam
    assert len(tips) >= 2 and np.abs(tips[:, 2] - 57.5).max() < CLOSE
    high = solid.points[solid.points[:, 2] > 80]
    apart = np.hypot(high[:, 0] - 60.0, high[:, 2] - 110.0)
    assert len(high) > 8 and np.abs(apart - 13.45).max() < CLOSE
