"""The same frame for PyNiteFEA, an independent frame solver (tests and benchmarks only): straight members, no shear."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from Pynite import FEModel3D

from handbarrow.laws.frame.values import RELEASES, Distributed, Frame, LoadCase, NodeLoad, PointOnMember

DOFS = ("DX", "DY", "DZ", "RX", "RY", "RZ")


def crown_like_pynite(start: np.ndarray, end: np.ndarray) -> tuple[float, float, float]:
    """PyNite's local y: nearest to +y; for members along y it is -x (upward) or +x."""
    t = (end - start) / np.linalg.norm(end - start)
    if abs(t[0]) < 1e-9 and abs(t[2]) < 1e-9:
        return (-1.0, 0.0, 0.0) if t[1] > 0 else (1.0, 0.0, 0.0)
    return (0.0, 1.0, 0.0)


def pynite_model(frame: Frame, cases: Sequence[LoadCase]) -> FEModel3D:
    """Build it; one load combination for each case, named like the case."""
    out = FEModel3D()
    for node in frame.nodes:
        out.add_node(node.name, *node.at)
    known: dict[object, str] = {}
    for m in frame.members:
        if m.material not in known:
            known[m.material] = f"material {len(known)}"
            steel = m.material
            out.add_material(known[steel], steel.youngs_mpa, steel.shear_mpa, steel.poisson, 0.0)
        if m.section not in known:
            known[m.section] = f"section {len(known)}"
            s = m.section
            out.add_section(known[s], s.area, s.inertia_width, s.inertia_height, s.torsion)
        out.add_member(m.name, m.start, m.end, known[m.material], known[m.section])
        if m.start_free or m.end_free:
            out.def_releases(m.name, *(r in f for f in (m.start_free, m.end_free) for r in RELEASES))
    for support in frame.supports:
        out.def_support(support.node, *support.held)
    for case in cases:
        _load(out, case)
        out.add_load_combo(case.name, {case.name: 1.0})
    return out


def _load(out: FEModel3D, case: LoadCase) -> None:
    for load in case.loads:
        if isinstance(load, NodeLoad):
            for way, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), (*load.force, *load.moment), strict=True):
                out.add_node_load(load.node, way, value, case.name)
        elif isinstance(load, PointOnMember):
            for way, value in zip(("FX", "FY", "FZ"), load.force, strict=True):
                out.add_member_pt_load(load.member, way, value, load.along, case.name)
        elif isinstance(load, Distributed):
            for way, first, last in zip(("FX", "FY", "FZ"), load.first, load.last or load.first, strict=True):
                out.add_member_dist_load(load.member, way, first, last, load.begin, load.end, case.name)


def displacements(model: FEModel3D, frame: Frame, case: str) -> np.ndarray:
    return np.array([[getattr(model.nodes[n.name], d)[case] for d in DOFS] for n in frame.nodes])


def end_forces(model: FEModel3D, frame: Frame, case: str) -> np.ndarray:
    return np.array([np.asarray(model.members[m.name].f(case), float).ravel() for m in frame.members])
