"""The hut trailer's own frame in PyNiteFEA 3.2, an independent open-source frame solver (MIT), run here.

PyNite has no arcs, no shear of members, no stiff links, no contacts. So both get the same trailer without them: a bend
is its chord, what is welded over a distance hangs on a stout bar, the cot is fixed where it rests. The frame as the
program uses it is then held beside that one, to see that none of this changes what the trailer does.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from examples_checked import example_job
from handbarrow.job.frame_cases import cargo_of, carried
from handbarrow.job.frame_checks import settings
from handbarrow.job.frame_values import Subject
from handbarrow.laws.frame.solve import solve
from handbarrow.laws.frame.values import BeamSection, Distributed, Frame, LoadCase, Member, Node, Support
from handbarrow.laws.geometry.path import vec3
from pynite_frames import crown_like_pynite, displacements, end_forces, pynite_model

STOUT = BeamSection(area=2e4, inertia_height=4e6, inertia_width=4e6, torsion=8e6)
GROUND = (False, False, True, False, False, False)
HITCH = (True, True, True, False, False, False)
SAME = 1e-3


@cache
def trailer() -> tuple[Frame, LoadCase, str]:
    """The frame on its wheels, a load spread over the cot with the weight of the tubes, the tow bush's node."""
    job = example_job("hut-trailer")
    ways, _ = settings(Subject(job.product, job.workshop, job.parts))
    way = next(w for w in ways if w.id == "rolling")
    cargo = cargo_of(job.product, way.found, job.design.uses.carries[0])
    down = np.array((0.0, 0.0, -9810.0))
    weights = [
        Distributed(member=m.name, first=(0.0, 0.0, -m.section.area * m.material.density_kg_mm3 * 9.81))
        for m in way.frame.members
    ]
    held = next(s.second for s in way.frame.springs if s.name == way.holds[0].name)
    return way.frame, LoadCase(name="standing", loads=(*carried(cargo, down), *weights)), held


def plain() -> tuple[Frame, LoadCase]:
    """The same with chords, stout bars for stiff joints, and fixed rests."""
    frame, case, held = trailer()
    at = {n.name: np.array(n.at) for n in frame.nodes}
    pairs = [(link.first, link.second) for link in frame.links if link.first]
    joined = [(s.first, s.second) for s in (*frame.springs, *frame.contacts) if s.first is not None]
    root = {name: name for name in at}

    def of(name: str) -> str:
        while root[name] != name:
            name = root[name]
        return name

    for a, b in [*pairs, *joined]:
        assert a is not None
        if np.linalg.norm(at[a] - at[b]) < SAME:
            root[of(b)] = of(a)
    members = [
        replace(m, start=of(m.start), end=of(m.end), arc=None, softer=1.0, start_offset=(0, 0, 0), end_offset=(0, 0, 0),
                section=replace(m.section, product=0.0, shear_height=np.inf, shear_width=np.inf))
        for m in frame.members
    ]  # fmt: skip
    stout = {(of(a), of(b)) for a, b in [*pairs, *joined] if a is not None and of(a) != of(b)}
    places = [(n.name, n.at) for n in frame.nodes if root[n.name] == n.name]
    supports = [Support(node=of(held), held=HITCH)]
    for k, contact in enumerate(c for c in frame.contacts if c.first is None):
        assert contact.at is not None
        places.append((f"tyre {k}", contact.at))
        stout.add((of(contact.second), f"tyre {k}"))
        supports.append(Support(node=f"tyre {k}", held=(False, k == 0, True, False, False, False)))
    for k, (a, b) in enumerate(sorted(stout)):
        members.append(Member(name=f"stout {k}", start=a, end=b, section=STOUT))
    # PyNite joins a member to every node on its line, also where one bar only passes by another: no three in line
    aside = np.random.default_rng(5).uniform(-0.02, 0.02, (len(places), 3))
    places = [(n, vec3(np.array(p) + a)) for (n, p), a in zip(places, aside, strict=True)]
    where = dict(places)
    turned = tuple(
        replace(m, crown=crown_like_pynite(np.array(where[m.start]), np.array(where[m.end]))) for m in members
    )
    out = Frame(nodes=tuple(Node(name=n, at=p) for n, p in places), members=turned, supports=tuple(supports))
    return out, case


def test_the_trailers_frame_moves_and_carries_as_an_independent_solver_says() -> None:
    frame, case = plain()
    assert len(frame.members) > 200
    ours = solve(frame, [case])
    assert ours.cases, ours.loose
    theirs = pynite_model(frame, [case])
    theirs.analyze_linear(check_stability=False)
    moved, carried_there = displacements(theirs, frame, case.name), end_forces(theirs, frame, case.name)
    for part in (slice(0, 3), slice(3, 6)):
        apart = np.abs(ours.displacements[0][:, part] - moved[:, part]).max()
        assert apart / np.abs(moved[:, part]).max() < 1e-6
    for rows in ([0, 1, 2, 6, 7, 8], [3, 4, 5, 9, 10, 11]):
        apart = np.abs(ours.end_forces[0][:, rows] - carried_there[:, rows]).max()
        assert apart / np.abs(carried_there[:, rows]).max() < 1e-6


def test_arcs_contacts_and_stiff_joints_change_little_of_what_the_trailer_does() -> None:
    # recorded tolerance, no source: mostly the cot, which the plain frame holds fast where it only rests
    frame, case, _ = trailer()
    full = solve(frame, [case])
    plainer, same = plain()
    other = solve(plainer, [same])
    names = [n.name for n in frame.nodes]
    kept = [n.name for n in plainer.nodes]
    both = [name for name in kept if name in names]
    down = np.array([full.displacements[0, names.index(n), 2] for n in both])
    there = np.array([other.displacements[0, kept.index(n), 2] for n in both])
    assert np.abs(down - there).max() < 0.25 * np.abs(down).max()
