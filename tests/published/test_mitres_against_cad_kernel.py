"""Mitres judged by a CAD kernel.

[OCCT] Open CASCADE Technology by way of the package cadquery-ocp-novtk, a general-purpose reference library; every
expectation here is computed here by it. The judge sweeps the receiver's own outline along its centreline into a
solid and asks where lines along the cut tube meet that solid. It shares no geometry with the program: lines, solids
and section outlines are built in this file. Tolerance 0.01 mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepIntCurveSurface import BRepIntCurveSurface_Inter
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Lin, gp_Pnt
from OCP.TopoDS import TopoDS_Shape, TopoDS_Wire

from handbarrow.laws.geometry.path import Centreline
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.frame import EndFrame
from handbarrow.laws.mitre.outline import outline
from handbarrow.laws.mitre.receiver import Receiver, hits

TOLERANCE = 0.01
Point = tuple[float, float, float]


def round_tube(diameter: float, wall: float = 2.0) -> Section:
    return Section(shape="round tube", height=diameter, width=diameter, wall=wall)


def square_tube(side: float, wall: float = 2.0) -> Section:
    return Section(shape="square tube", height=side, width=side, wall=wall)


# ------------------------------------------------------------------------------------------------ the judge
def unit(v: np.ndarray) -> np.ndarray:
    return v / np.linalg.norm(v)


def pnt(p: np.ndarray) -> gp_Pnt:
    return gp_Pnt(*(float(x) for x in p))


def profile(section: Section, at: np.ndarray, t: np.ndarray, v: np.ndarray) -> TopoDS_Shape:
    """A face: the section's outside, its centre (an angle's heel) at `at`, the height along v."""
    u = np.cross(t, v)
    if section.is_round:
        circle = gp_Circ(gp_Ax2(pnt(at), gp_Dir(*t)), section.height / 2)
        return BRepBuilderAPI_MakeFace(
            BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire(), True
        ).Face()
    h, w, wall = section.height, section.width, section.wall
    if section.shape == "angle":
        corners = [(0, 0), (w, 0), (w, wall), (wall, wall), (wall, h), (0, h)]
    else:
        corners = [(-w / 2, -h / 2), (w / 2, -h / 2), (w / 2, h / 2), (-w / 2, h / 2)]
    rounding = 2 * wall if section.shape in ("square tube", "rectangular tube") else 0.0  # EN 10219-2: about 2 t
    return BRepBuilderAPI_MakeFace(outside_wire([at + a * u + b * v for a, b in corners], rounding), True).Face()


def outside_wire(corners: list[np.ndarray], rounding: float) -> TopoDS_Wire:
    """A closed wire through right-angled corners, each rounded by an arc."""
    wire = BRepBuilderAPI_MakeWire()
    n = len(corners)
    for k in range(n):
        before, here, after = corners[k - 1], corners[k], corners[(k + 1) % n]
        back, on = unit(before - here), unit(after - here)
        if rounding:
            middle = here + (back + on) * rounding * (1 - math.sqrt(0.5))
            arc = GC_MakeArcOfCircle(pnt(here + back * rounding), pnt(middle), pnt(here + on * rounding))
            wire.Add(BRepBuilderAPI_MakeEdge(arc.Value()).Edge())
        wire.Add(BRepBuilderAPI_MakeEdge(pnt(here + on * rounding), pnt(after - on * rounding)).Edge())
    return wire.Wire()


def solid(section: Section, points: list[Point], radius: float, v: Point) -> TopoDS_Shape:
    """Sweep the outline along straight legs joined by an arc at each corner."""
    p = [np.asarray(x, float) for x in points]
    wire, here = BRepBuilderAPI_MakeWire(), p[0]
    for before, corner, after in zip(p, p[1:], p[2:], strict=False):
        t_in, t_out = unit(corner - before), unit(after - corner)
        angle = math.acos(float(t_in @ t_out))
        back = radius * math.tan(angle / 2)
        start, stop = corner - back * t_in, corner + back * t_out
        inward = unit(t_out - t_in)
        middle = corner + inward * (radius / math.cos(angle / 2) - radius)
        wire.Add(BRepBuilderAPI_MakeEdge(pnt(here), pnt(start)).Edge())
        wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(pnt(start), pnt(middle), pnt(stop)).Value()).Edge())
        here = stop
    wire.Add(BRepBuilderAPI_MakeEdge(pnt(here), pnt(p[-1])).Edge())
    face = profile(section, p[0], unit(p[1] - p[0]), np.asarray(v, float))
    return BRepOffsetAPI_MakePipe(wire.Wire(), face).Shape()


def first_reached(shape: TopoDS_Shape, start: np.ndarray, into: np.ndarray, limit: float) -> float:
    """The largest x <= limit at which the line start + x into meets the solid; nan if there is none."""
    finder, found = BRepIntCurveSurface_Inter(), [math.nan]
    finder.Init(shape, gp_Lin(pnt(start), gp_Dir(*into)), 1e-7)
    while finder.More():
        if abs(finder.W()) <= limit:
            found.append(finder.W())
        finder.Next()
    return float(np.nanmax(found)) if len(found) > 1 else math.nan


# ------------------------------------------------------------------------------------------------ the cases
@dataclass(frozen=True)
class Case:
    name: str
    branch: Section
    receiver: Section
    into: Point
    crown: Point
    point: Point = (0.0, 0.0, 0.0)
    points: list[Point] = field(default_factory=lambda: [(-300.0, 0.0, 0.0), (300.0, 0.0, 0.0)])
    radius: float = 0.0
    receiver_v: Point = (0.0, 0.0, 1.0)
    limit: float = 120.0

    def frame(self) -> tuple[EndFrame, np.ndarray, np.ndarray, np.ndarray]:
        """The end of the cut tube, datum end here: t = into, u = t x v."""
        into = unit(np.asarray(self.into, float))
        v = np.asarray(self.crown, float)
        v = unit(v - into * (v @ into))
        u = np.cross(into, v)
        return EndFrame(self.point, tuple(into), tuple(u), tuple(v)), into, u, v


def slanted(angle_deg: float, turned_deg: float = 0.0) -> Point:
    """A direction at an angle to +x, in the x-z plane turned about x."""
    a, b = math.radians(angle_deg), math.radians(turned_deg)
    return (math.cos(a), math.sin(a) * math.sin(b), math.sin(a) * math.cos(b))


ELBOW: list[Point] = [(-400.0, 0.0, 0.0), (0.0, 0.0, 0.0), (0.0, 400.0, 0.0)]
TWIST: list[Point] = [(-300.0, 0.0, 0.0), (0.0, 0.0, 0.0), (150.0, 150.0, 0.0), (150.0, 260.0, 190.0)]


def on_elbow(angle_deg: float, radius: float, beside: float = 0.0) -> Point:
    """A point on (or beside) the arc of ELBOW, angle counted from its start."""
    a, r = math.radians(angle_deg), radius + beside
    return (-radius + r * math.sin(a), radius - r * math.cos(a), 0.0)


UP: Point = (0.0, 0.0, 1.0)
X: Point = (1.0, 0.0, 0.0)
CASES = [
    Case("25 square on 32", round_tube(25, 1.5), round_tube(32), UP, X),
    Case("equal diameters at 45 degrees", round_tube(26.9), round_tube(26.9), slanted(45), X),
    Case("20 on 32 at 35 degrees, turned", round_tube(20), round_tube(32), slanted(35, 40), (0.0, 1.0, 0.3)),
    Case("25 on 38 at 60 degrees, 5 mm offset", round_tube(25), round_tube(38), slanted(60), X, (0.0, 5.0, 0.0)),
    Case("offset until it nearly passes", round_tube(20), round_tube(38), slanted(75), UP, (0.0, 8.9, 0.0)),
    Case("round square on square", round_tube(25), square_tube(30), UP, X),
    Case("round on square at 50 degrees", round_tube(25), square_tube(30), slanted(50, 0), X),
    Case("round on the corner of a square", round_tube(20), square_tube(30), slanted(80, 40), X),
    Case(
        "round on rectangular, slanting two ways",
        round_tube(20),
        Section(shape="rectangular tube", height=40, width=20, wall=2),
        slanted(55, 25),
        X,
    ),
    Case("square on round", square_tube(15, 1.5), round_tube(26.9), UP, X),
    Case("square on round, turned and slanted", square_tube(20), round_tube(26.9), slanted(50), (0.3, 1.0, 0.2)),
    Case("square on square at 45 degrees", square_tube(15, 1.5), square_tube(25), slanted(45), (0.0, 1.0, 0.0)),
    Case(
        "rectangular on round at 70 degrees",
        Section(shape="rectangular tube", height=25, width=15, wall=1.5),
        round_tube(32),
        slanted(70, 15),
        (0.0, 1.0, 0.0),
    ),
    Case("round on flat", round_tube(20), Section(shape="flat", height=60, width=5), slanted(65, 90), X),
    Case("round on the heel of an angle", round_tube(16), Section(shape="angle", height=30, width=30, wall=3),
         (0.2, 1.0, -1.0), X),
    Case("round in the hollow of an angle", round_tube(12), Section(shape="angle", height=40, width=40, wall=4),
         (0.1, -1.0, 1.0), X),
    Case("angle on round", Section(shape="angle", height=30, width=20, wall=3), round_tube(48.3), UP, (0.0, 1.0, 0.0),
         (0.0, -14.0, 0.0)),
    Case("flat on round", Section(shape="flat", height=25, width=4), round_tube(26.9), slanted(60), (0.0, 1.0, 0.0)),
    Case("on the middle of a bend, from above", round_tube(25), round_tube(32), UP, X,
         on_elbow(45, 82), ELBOW, 82.0),
    Case("on a bend, from its inside", round_tube(20), round_tube(26.9), (-0.6, 0.9, 0.3), UP,
         on_elbow(40, 79), ELBOW, 79.0),
    Case("on a bend, from its outside", round_tube(20), round_tube(26.9), (0.8, -0.6, 0.4), UP,
         on_elbow(52, 79), ELBOW, 79.0),
    Case("on a bend, 4 mm offset", round_tube(16), round_tube(26.9), (0.1, 0.2, 1.0), X,
         on_elbow(30, 79, 4.0), ELBOW, 79.0),
    Case("over the seam of straight and bend", round_tube(25), round_tube(32), (0.1, 0.0, 1.0), X,
         on_elbow(2, 60), ELBOW, 60.0),
    Case("over the seam, slanting along it", round_tube(25), round_tube(26.9), (-1.0, 0.3, 0.9), X,
         (-58.0, 0.0, 0.0), ELBOW, 60.0),
    Case("over the far seam, in the plane", round_tube(20), round_tube(26.9), (1.0, 0.3, 0.1), UP,
         on_elbow(88, 70), ELBOW, 70.0),
    Case("between two bends of different planes", round_tube(20), round_tube(25), (0.3, -0.9, 0.6), UP,
         (75.0, 75.0, 0.0), TWIST, 80.0),
    Case("square tube on a bend", square_tube(15, 1.5), round_tube(32), (0.2, -0.1, 1.0), X,
         on_elbow(60, 82), ELBOW, 82.0),
    Case("round on the bend of a square tube", round_tube(12, 1.5), square_tube(20, 1.5), (0.5, -0.8, 0.3), UP,
         on_elbow(35, 75), ELBOW, 75.0),
    Case("round over the seam of a bent square tube", round_tube(12, 1.5), square_tube(20, 1.5), (0.3, -0.9, 0.5), UP,
         on_elbow(3, 75), ELBOW, 75.0),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_every_line_along_the_tube_is_cut_where_the_cad_kernel_meets_the_receiver(case: Case) -> None:
    frame, into, u, v = case.frame()
    ring = outline(case.branch)
    receiver = Receiver(
        case.receiver, Centreline(tuple(case.points), (case.radius,) * (len(case.points) - 2)), case.receiver_v
    )
    got = hits(frame, ring.uv, receiver)
    assert got.known
    shape = solid(case.receiver, case.points, case.radius, case.receiver_v)
    # Stations half a step off the symmetric ones: a line that only touches is nothing to compare.
    chosen = range(5, len(ring.s), 10)
    starts = [np.asarray(case.point) + ring.uv[k, 0] * u + ring.uv[k, 1] * v for k in chosen]
    judged = np.array([first_reached(shape, start, into, case.limit) for start in starts])
    assert len(judged) >= 10
    assert not np.isnan(judged).any()
    assert np.max(np.abs(got.h[5::10] - judged)) < TOLERANCE
    assert np.max(got.beside[5::10]) == 0.0


def test_lines_that_pass_beside_are_those_that_the_cad_kernel_cannot_meet() -> None:
    # A 38 tube on a 25 one, 4 mm offset: some lines pass beside on both sides.
    case = Case("wider", round_tube(38), round_tube(25), slanted(70), X, (0.0, 4.0, 0.0))
    frame, into, u, v = case.frame()
    ring = outline(case.branch)
    got = hits(frame, ring.uv, Receiver(case.receiver, Centreline(tuple(case.points)), case.receiver_v))
    shape = solid(case.receiver, case.points, 0.0, case.receiver_v)
    starts = [np.asarray(case.point) + ring.uv[k, 0] * u + ring.uv[k, 1] * v for k in range(5, 361, 10)]
    judged = np.array([first_reached(shape, start, into, 120.0) for start in starts])
    assert 0 < np.isnan(judged).sum() < len(judged)
    assert np.array_equal(np.isnan(judged), got.beside[5::10] > 0)
    met = ~np.isnan(judged)
    assert np.max(np.abs(got.h[5::10][met] - judged[met])) < TOLERANCE


def test_an_end_that_meets_two_members_goes_as_deep_as_the_deeper_one() -> None:
    # A 20 tube into the corner of a 26.9 and a 32 tube; the judge takes one solid after the other.
    case = Case("corner", round_tube(20), round_tube(26.9), (1.0, 0.9, 0.5), UP)
    frame, into, u, v = case.frame()
    ring = outline(case.branch)
    lines: list[tuple[Section, list[Point]]] = [
        (round_tube(26.9), [(-300.0, 0.0, 0.0), (300.0, 0.0, 0.0)]),
        (round_tube(32), [(0.0, -300.0, 0.0), (0.0, 300.0, 0.0)]),
    ]
    ours = np.maximum(*(hits(frame, ring.uv, Receiver(s, Centreline(tuple(p)), UP)).h for s, p in lines))
    solids = [solid(s, p, 0.0, UP) for s, p in lines]
    winners = set()
    for k in range(5, 361, 10):
        start = ring.uv[k, 0] * u + ring.uv[k, 1] * v
        both = [first_reached(shape, start, into, 120.0) for shape in solids]
        winners.add(int(np.argmax(both)))
        assert abs(ours[k] - max(both)) < TOLERANCE
    assert winners == {0, 1}


def test_a_bend_taken_for_a_straight_tube_would_be_wrong_by_a_millimetre() -> None:
    # Recorded with the reference data of the mitres (computed there with [OCCT]): 0.7 to 2.2 mm for tubes of our sizes.
    # A 25 tube square on the outside of a bend of radius 82, in its plane; the judge takes the tangent tube.
    half = math.pi / 4
    tangent = np.array([math.cos(half), math.sin(half), 0.0])
    case = Case("outside", round_tube(25), round_tube(32), (math.sin(half), -math.cos(half), 0.0), UP, on_elbow(45, 82))
    frame, into, u, v = case.frame()
    uv = outline(case.branch).uv
    bent = hits(frame, uv, Receiver(case.receiver, Centreline(tuple(ELBOW), (82.0,)), UP)).h
    tube = solid(case.receiver, [tuple(np.asarray(case.point) + k * tangent) for k in (-200.0, 200.0)], 0.0, UP)
    errors = [
        abs(bent[k] - first_reached(tube, np.asarray(case.point) + uv[k] @ np.array([u, v]), into, 100.0))
        for k in range(0, 361, 15)
    ]
    assert 0.7 < max(errors) < 2.2
