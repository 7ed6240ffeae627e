"""Any run and any plate as a closed skin: tight, turned outwards, as large as plane geometry says (closed forms)."""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from handbarrow.drawings.mesh_flat import Skin, plate_skin, triangles_of, turned_skin
from handbarrow.drawings.mesh_openings import BarOpening
from handbarrow.drawings.mesh_runs import Cut, RunShape, run_skin
from handbarrow.laws.geometry.path import Centreline, crown_by_rule, layout, length, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import area
from handbarrow.laws.mitre.outline import outline

SECTIONS = (
    Section(shape="round tube", height=26.9, width=26.9, wall=2.3),
    Section(shape="square tube", height=15, width=15, wall=1.5),
    Section(shape="rectangular tube", height=40, width=20, wall=2),
    Section(shape="round bar", height=12, width=12),
    Section(shape="square bar", height=12, width=12),
    Section(shape="flat", height=30, width=5),
    Section(shape="angle", height=40, width=30, wall=4),
)
sections = st.sampled_from(SECTIONS)
STRAIGHT = Centreline(((0.0, 0.0, 0.0), (400.0, 0.0, 0.0)))


def volume(skin: Skin) -> float:
    p = skin.points[skin.triangles]
    return float(np.einsum("ij,ij->i", p[:, 0], np.cross(p[:, 1], p[:, 2])).sum() / 6)


def check_closed(skin: Skin) -> None:
    """Each side of each triangle has one neighbour that runs along it the other way; normals look outwards."""
    _, same = np.unique(skin.points.round(6) + 0.0, axis=0, return_inverse=True)
    tri = same.ravel()[skin.triangles]
    assert (tri[:, 0] != tri[:, 1]).all()
    assert (tri[:, 1] != tri[:, 2]).all()
    assert (tri[:, 2] != tri[:, 0]).all()
    sides = Counter(map(tuple, np.concatenate([tri[:, [0, 1]], tri[:, [1, 2]], tri[:, [2, 0]]]).tolist()))
    assert all(count == sides.get((b, a)) for (a, b), count in sides.items())
    assert np.abs(np.linalg.norm(skin.normals, axis=1) - 1).max() < 1e-9
    p = skin.points[skin.triangles]
    face = np.cross(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0])
    assert (np.einsum("ij,ikj->ik", face, skin.normals[skin.triangles]) > 0).all()


def straight(section: Section, *openings: BarOpening, start: Cut | None = None) -> RunShape:
    return RunShape(section=section, line=STRAIGHT, crown=(0.0, 0.0, 1.0), start=start or Cut(), openings=openings)


@st.composite
def lines(draw: st.DrawFn) -> Centreline:
    """One to four legs with room for their bends."""
    corner = st.tuples(*[st.floats(-600, 600)] * 3)
    points = draw(st.lists(corner, min_size=2, max_size=5))
    p = np.array(points)
    legs = np.diff(p, axis=0)
    sizes = np.linalg.norm(legs, axis=1)
    assume((sizes > 250).all())
    turns = np.array([float(a @ b) / np.linalg.norm(a) / np.linalg.norm(b) for a, b in pairwise(legs)])
    assume((turns > -0.3).all() and (turns < 0.99).all())
    return Centreline(tuple(vec3(q) for q in p), (60.0,) * (len(points) - 2))


@settings(max_examples=30)
@given(section=sections, line=lines(), start=st.floats(-20, 20), end=st.floats(-20, 20))
def test_any_bent_run_is_closed_and_as_large_as_its_section_times_its_length(
    section: Section, line: Centreline, start: float, end: float
) -> None:
    """Pappus (closed form): a section swept about its centroid; an angle is swept about its heel, so only straight."""
    assume(section.shape != "angle" or len(line.radii) == 0)
    place = layout(line)
    assume(min(place.straights) > 25)
    crown = vec3(place.normals[0]) if len(place.normals) else crown_by_rule(vec3(place.directions[0]))
    skin = run_skin(RunShape(section, line, crown, Cut(at=start), Cut(at=end)), 0.02)
    check_closed(skin)
    assert volume(skin) == pytest.approx(area(section) * (length(line) - start - end), rel=0.006)


@settings(max_examples=30)
@given(section=sections, tilt=st.floats(-1.2, 1.2), turn=st.floats(0, 6.28))
def test_any_plane_cut_leaves_the_section_times_the_length_of_its_middle(
    section: Section, tilt: float, turn: float
) -> None:
    """Plane geometry: a prism cut off by a plane is as large as its section times its length through the centroid."""
    ring = outline(section)
    slope = math.tan(tilt) * np.array([math.sin(turn), math.cos(turn)])
    inner = ring.uv if ring.inner_uv is None else ring.inner_uv
    middle = centroid(section) @ slope
    skin = run_skin(straight(section, start=Cut(tuple(ring.uv @ slope), tuple(inner @ slope))), 0.02)
    check_closed(skin)
    assert volume(skin) == pytest.approx(area(section) * (400 - middle), rel=0.006)


def centroid(section: Section) -> np.ndarray:
    """(u, v) of the middle of the metal: two legs of an angle by their first moments."""
    if section.shape != "angle":
        return np.zeros(2)
    h, w, t = section.height, section.width, section.wall
    upright, flat = h * t, (w - t) * t
    return np.array([upright * t / 2 + flat * (t + w) / 2, upright * h / 2 + flat * t / 2]) / (upright + flat)


@settings(max_examples=30)
@given(
    section=sections,
    face=st.sampled_from(("crown", "right", "bottom", "left", "height leg", "width leg")),
    diameter=st.floats(1.0, 12.0),
    long=st.floats(1.0, 3.0),
    across=st.floats(-12, 36),
    places=st.lists(st.floats(40, 360), min_size=1, max_size=3),
    kind=st.tuples(st.booleans(), st.booleans(), st.booleans()),
)
def test_any_openings_leave_a_closed_skin_that_is_no_larger(
    section: Section, face: str, diameter: float, long: float, across: float, places: list[float],
    kind: tuple[bool, bool, bool],
) -> None:  # fmt: skip
    assume((section.shape == "angle") == face.endswith("leg"))
    assume(all(abs(a - b) > 40 for i, a in enumerate(places) for b in places[:i]))
    runs_across, open_edge, through = kind
    holes = [
        BarOpening(at, face, across, diameter, diameter * long, runs_across or open_edge, open_edge, through)
        for at in places
    ]
    whole, drilled = (run_skin(straight(section, *some), 0.1) for some in ((), holes))
    check_closed(drilled)
    assert volume(drilled) < volume(whole) * 1.004  # more stations round a bend of the section take less off it


@settings(max_examples=30)
@given(
    corners=st.lists(st.tuples(st.floats(30, 90), st.floats(0.3, 1.0)), min_size=3, max_size=9),
    holes=st.lists(
        st.tuples(st.integers(-2, 2), st.integers(-2, 2), st.floats(0.5, 3.5)), max_size=8, unique_by=lambda h: h[:2]
    ),
    thickness=st.floats(1, 12),
)
def test_any_plate_with_holes_is_closed_and_as_large_as_its_outline_less_its_holes(
    corners: list[tuple[float, float]], holes: list[tuple[int, int, float]], thickness: float
) -> None:
    """Outlines are stars round the origin that leave a middle of 15 mm free, where holes lie on a grid of 4 mm."""
    turns = np.cumsum([share for _, share in corners])
    turns = turns / turns[-1] * 2 * math.pi
    assume(max(np.diff([0.0, *turns])) < 2.2)
    outer = tuple((r * math.cos(a), r * math.sin(a)) for (r, _), a in zip(corners, turns.tolist(), strict=True))
    near = [(4 * i, 4 * j, r / 2) for i, j, r in holes if math.hypot(4 * i, 4 * j) < 8.6]
    round_ = np.linspace(0, 2 * math.pi, 12, endpoint=False).tolist()
    loops = [tuple((x + r * math.cos(a), y + r * math.sin(a)) for a in round_) for x, y, r in near]
    skin = plate_skin(outer, tuple(loops), thickness)
    check_closed(skin)
    wanted = (surveyed(outer) - sum(surveyed(loop) for loop in loops)) * thickness
    assert volume(skin) == pytest.approx(wanted, rel=1e-9)


def surveyed(loop: tuple[tuple[float, float], ...]) -> float:
    """Area by the surveyor's formula."""
    p = np.array(loop)
    q = np.roll(p, -1, axis=0)
    return float((p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]).sum() / 2)


def test_a_hole_whose_ray_meets_a_corner_of_the_outline_is_bridged_to_it() -> None:
    outer = [(-40, -25), (40, -25), (40, 0), (25, 59.45), (-25, 59.45), (-40, 0)]
    hole = [(6 * math.cos(a), 6 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 24, endpoint=False)]
    tri = np.array([*outer, *hole])[triangles_of(outer, [hole])]
    sizes = (
        np.cross(np.pad(tri[:, 1] - tri[:, 0], ((0, 0), (0, 1))), np.pad(tri[:, 2] - tri[:, 0], ((0, 0), (0, 1))))[:, 2]
        / 2
    )
    assert (sizes > 0).all()
    assert sizes.sum() == pytest.approx(surveyed(tuple(outer)) - surveyed(tuple(hole)))


def test_a_turned_ring_of_round_section_is_as_large_as_pappus_says() -> None:
    profile = tuple(
        (5 * math.sin(a), 60 - 5 * math.cos(a)) for a in np.linspace(0, 2 * math.pi, 180, endpoint=False).tolist()
    )
    skin = turned_skin(profile, 360)
    check_closed(skin)
    assert volume(skin) == pytest.approx(2 * math.pi * 60 * math.pi * 25, rel=1e-3)


def test_a_hole_through_a_flat_takes_its_cylinder_and_an_open_slot_its_length() -> None:
    flat, angle = SECTIONS[5], SECTIONS[6]
    hole = BarOpening(200.0, "left", 3.0, 8.0, through=True)
    slot = BarOpening(200.0, "height leg", 30.0, 10.0, 26.0, True, True)
    gone = volume(run_skin(straight(flat), 0.001)) - volume(run_skin(straight(flat, hole), 0.001))
    assert gone == pytest.approx(math.pi * 16 * 5, rel=2e-3)
    gone = volume(run_skin(straight(angle), 0.1)) - volume(run_skin(straight(angle, slot), 0.1))
    # Its round end begins 13 mm before its middle at 30, so it is 23 mm deep from the edge at 40.
    assert gone == pytest.approx((18 * 10 + math.pi * 25 / 2) * 4, rel=4e-3)


def test_openings_lie_on_the_side_that_the_design_names() -> None:
    """Looking along +x with the crown up, right is -y: `u = t x v` (docs/nomenclature.md)."""
    tube = SECTIONS[1]
    sides = {"crown": (2, 7.5), "bottom": (2, -7.5), "right": (1, -7.5), "left": (1, 7.5)}
    for face, (axis, at) in sides.items():
        skin = run_skin(straight(tube, BarOpening(200.0, face, 0.0, 6.0)), 0.1)
        rim = skin.points[(np.abs(skin.points[:, 0] - 200) < 3.001)]
        assert len(rim) > 20
        assert np.abs(rim[:, axis]).max() == pytest.approx(7.5)
        assert (np.sign(rim[:, axis]) == np.sign(at)).all(), face
    skin = run_skin(straight(tube, BarOpening(200.0, "left", 2.0, 6.0)), 0.1)
    rim = skin.points[np.abs(skin.points[:, 0] - 200) < 3.001]
    assert (rim[:, 2].min() + rim[:, 2].max()) / 2 == pytest.approx(2.0, abs=0.01), (
        "across counts towards the crown there"
    )
