"""Distances between solids beside those of the CAD kernel, pair by pair.

[OCCT] Open CASCADE Technology, BRepExtrema, by way of the package cadquery-ocp-novtk, a general-purpose reference
library; every expectation here is computed here by it, from solids that it builds itself.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism, BRepPrimAPI_MakeTorus
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape
from scipy.optimize import minimize

from handbarrow.laws.clearance.gaps import gaps, least_gaps
from handbarrow.laws.clearance.solids import SAGITTA, Solids, prism, run_solids, wheel_solid
from handbarrow.laws.geometry.path import Centreline
from handbarrow.laws.geometry.section import Section

Both = tuple[Solids, TopoDS_Shape]
ROUND = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
BOX = Section(shape="square tube", height=20, width=20, wall=1.5)


def _pnt(v: np.ndarray) -> gp_Pnt:
    return gp_Pnt(*map(float, v))


def straight(a: tuple[float, ...], b: tuple[float, ...], across: float = 26.9) -> Both:
    section = Section(shape="round tube", height=across, width=across, wall=2.0)
    line = Centreline((a, b))
    way = np.subtract(b, a)
    up = np.cross(way, (0.3, 0.5, 0.8))
    ours = run_solids(line, section, tuple(up / np.linalg.norm(up)), (0.0, 0.0))
    axis = gp_Ax2(_pnt(np.array(a)), gp_Dir(*map(float, way)))
    return ours, BRepPrimAPI_MakeCylinder(axis, across / 2, float(np.linalg.norm(way))).Shape()


def elbow(at: tuple[float, ...], radius: float) -> Both:
    """A quarter bend in the plane z = at[2] round `at`, from +x to +y, with straights of 0.01 at its ends."""
    x, y, z = at
    line = Centreline(((x + radius, y - 0.01, z), (x + radius, y + radius, z), (x - 0.01, y + radius, z)), (radius,))
    ours = run_solids(line, ROUND, (0.0, 0.0, 1.0), (0.0, 0.0))
    axis = gp_Ax2(gp_Pnt(*at), gp_Dir(0, 0, 1), gp_Dir(1, 0, 0))
    return ours, BRepPrimAPI_MakeTorus(axis, radius, ROUND.outside / 2, math.pi / 2).Shape()


def plate(outline: list[tuple[float, float]], at: tuple[float, ...], axes: np.ndarray, thickness: float) -> Both:
    ours = prism(np.array(outline, float), np.array(at), axes, thickness)
    wire = BRepBuilderAPI_MakePolygon()
    for x, y in outline:
        wire.Add(_pnt(np.array(at) + x * axes[0] + y * axes[1]))
    wire.Close()
    face = BRepBuilderAPI_MakeFace(wire.Wire()).Face()
    return ours, BRepPrimAPI_MakePrism(face, gp_Vec(*map(float, axes[2] * thickness))).Shape()


def square_bar(a: tuple[float, ...], long: float) -> Both:
    line = Centreline((a, (a[0] + long, a[1], a[2])))
    ours = run_solids(line, BOX, (0.0, 0.0, 1.0), (0.0, 0.0))
    return ours, BRepPrimAPI_MakeBox(gp_Pnt(a[0], a[1] - 10, a[2] - 10), long, 20, 20).Shape()


def wheel(at: tuple[float, ...], axis: tuple[float, ...], radius: float, width: float) -> Both:
    ours = wheel_solid(np.array(at), np.array(axis), radius, width)
    way = np.array(axis) / np.linalg.norm(axis)
    rim = gp_Ax2(gp_Pnt(*at), gp_Dir(*axis))
    torus = BRepPrimAPI_MakeTorus(rim, radius - width / 2, width / 2).Shape()
    foot = gp_Ax2(_pnt(np.array(at) - way * width / 2), gp_Dir(*axis))
    disc = BRepPrimAPI_MakeCylinder(foot, radius - width / 2, width).Shape()
    both, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(both)
    builder.Add(both, torus)
    builder.Add(both, disc)
    return ours, both


def turned(degrees: float) -> np.ndarray:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])


L_SHAPE = [(0.0, 0.0), (120.0, 0.0), (120.0, 30.0), (30.0, 30.0), (30.0, 90.0), (0.0, 90.0)]
GUSSET = [(0.0, 0.0), (80.0, 0.0), (60.0, 40.0), (10.0, 50.0)]
FLAT = np.eye(3)
TUBE = ((0.0, 0.0, 0.0), (500.0, 0.0, 0.0))

PAIRS: dict[str, tuple[Both, Both]] = {
    "crossing tubes": (straight(*TUBE), straight((250, -200, 60), (250, 200, 90), 21.3)),
    "parallel tubes": (straight(*TUBE), straight((100, 50, 20), (400, 50, 20))),
    "side by side, apart along": (straight(*TUBE), straight((520, 30, 0), (900, 30, 0))),
    "end of one at the side of the other": (straight(*TUBE), straight((300, 40, 5), (330, 300, 60), 21.3)),
    "end to end, askew": (straight(*TUBE), straight((530, 12, 9), (800, 200, 150))),
    "ends of both": (straight(*TUBE), straight((540, 60, 30), (600, 400, 300), 48.3)),
    "tube over a bend": (elbow((0, 0, 0), 80), straight((-100, 60, 70), (200, 60, 40), 21.3)),
    "tube inside a bend": (elbow((0, 0, 0), 120), straight((10, 12, -200), (14, 20, 200), 21.3)),
    "bends of two sizes in one plane": (elbow((0, 0, 0), 200), elbow((0, 0, 1), 100)),
    "wide bend and plate": (elbow((0, 0, 0), 400), plate(GUSSET, (300, 300, 25), turned(20), 5)),
    "tube and plate face": (straight(*TUBE), plate(GUSSET, (100, -20, 30), turned(10), 5)),
    "tube and plate edge": (straight(*TUBE), plate(GUSSET, (100, 40, -25), FLAT, 5)),
    "tube in the corner of a plate": (straight((60, 60, -99), (64, 58, 99), 21.3), plate(L_SHAPE, (0, 0, 0), FLAT, 8)),
    "two plates": (plate(L_SHAPE, (0, 0, 0), FLAT, 8), plate(GUSSET, (40, 45, 3), turned(55), 5)),
    "square bar and tube": (square_bar((0, 0, 0), 300), straight((150, 30, 30), (160, 200, 220))),
    "square bar and plate": (square_bar((0, 0, 0), 300), plate(GUSSET, (310, 14, 12), turned(30), 5)),
    "two square bars": (square_bar((0, 0, 0), 300), square_bar((330, 40, 25), 200)),
    "wheel and tube": (wheel((0, 0, 250), (0, 1, 0), 250, 47), straight((-300, 60, 200), (300, 70, 210))),
    "wheel and tube over the tyre": (wheel((0, 0, 250), (0, 1, 0), 250, 47), straight((-300, 5, 540), (300, -9, 550))),
    "wheel and plate": (wheel((0, 0, 250), (0, 1, 0.1), 250, 47), plate(L_SHAPE, (280, -30, 300), turned(15), 5)),
    "two wheels": (wheel((0, 0, 250), (0, 1, 0), 250, 47), wheel((520, 20, 240), (0.1, 1, 0.05), 250, 47)),
}  # fmt: skip


@pytest.mark.parametrize("name", PAIRS)
def test_two_solids_are_as_far_apart_as_the_cad_kernel_says(name: str) -> None:
    (a, theirs_a), (b, theirs_b) = PAIRS[name]
    i, j = (grid.ravel() for grid in np.meshgrid(np.arange(len(a)), np.arange(len(b))))
    one, other = a.rows(i), b.rows(j)
    found = gaps(one, other)
    best = int(np.argmin(found.gap))
    judge = BRepExtrema_DistShapeShape(theirs_a, theirs_b)
    assert judge.IsDone()
    assert found.gap[best] == pytest.approx(judge.Value(), abs=SAGITTA + 1e-3)
    assert judge.Value() > 0.5, "a pair that touches tells nothing of distances"
    assert np.linalg.norm(found.one[best] - found.other[best]) == pytest.approx(found.gap[best], abs=2e-3)
    assert np.all(least_gaps(one, other) <= found.gap + 2e-3), "the quick answer is never above the exact one"


def test_solids_that_overlap_have_no_distance_left() -> None:
    a, _ = straight(*TUBE)
    b, _ = straight((250, -200, 10), (250, 200, 10), 21.3)
    assert gaps(a, b).gap[0] == pytest.approx(10 - 26.9 / 2 - 21.3 / 2, abs=1e-9), "axis to axis, less the radii"
    c, _ = plate(GUSSET, (100, -20, -2), FLAT, 5)
    d, _ = square_bar((110, 5, 0), 300)
    assert gaps(c, d).gap[0] <= 0


def test_two_bends_are_as_far_apart_as_their_middle_lines_less_the_radii() -> None:
    """The judge here is scipy's minimiser: the kernel's own answer for two rings is a tenth of a millimetre too far."""
    a, b = elbow((0, 0, 0), 80)[0], elbow((30, 20, 60), 80)[0]
    i, j = (grid.ravel() for grid in np.meshgrid(np.arange(len(a)), np.arange(len(b))))
    ours = gaps(a.rows(i), b.rows(j)).gap.min()

    def apart(angles: np.ndarray) -> float:
        c, s = np.cos(angles), np.sin(angles)
        return math.dist((80 * c[0], 80 * s[0], 0), (30 + 80 * c[1], 20 + 80 * s[1], 60))

    starts = [(p, q) for p in np.linspace(0, math.pi / 2, 5) for q in np.linspace(0, math.pi / 2, 5)]
    best = min(minimize(apart, start, bounds=[(0, math.pi / 2)] * 2, tol=1e-12).fun for start in starts)
    assert ours == pytest.approx(best - ROUND.outside, abs=SAGITTA + 1e-3)
