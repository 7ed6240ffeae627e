"""What holds for every frame: balance, two-way agreement, sums of loads, and that nobody cares where it stands."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frames_made import UNEVEN, random_frame
from handbarrow.laws.frame.along import displacements_along, section_forces
from handbarrow.laws.frame.beams import Runs, places
from handbarrow.laws.frame.model import model
from handbarrow.laws.frame.second_order import solve_second_order
from handbarrow.laws.frame.solve import Solution, solve
from handbarrow.laws.frame.values import (
    Arc,
    Contact,
    Distributed,
    Frame,
    LoadCase,
    Mass,
    Member,
    Node,
    NodeLoad,
    PointOnMember,
)
from handbarrow.laws.frame.vibration import natural_frequencies
from handbarrow.laws.geometry.path import Vec3, crown_by_rule, rotation, vec3

seeds = st.integers(0, 10**6)


def bent(frame: Frame, chance: np.random.Generator) -> Frame:
    """Every second member becomes an arc."""
    out = []
    at = {n.name: np.array(n.at) for n in frame.nodes}
    for k, m in enumerate(frame.members):
        chord = at[m.end] - at[m.start]
        way = np.asarray(crown_by_rule(vec3(chord / np.linalg.norm(chord))))
        arc = Arc(normal=vec3(way), angle_rad=float(chance.uniform(0.2, 2.5)))
        out.append(replace(m, arc=arc, crown=vec3(way)) if k % 2 else replace(m, crown=vec3(way)))
    return replace(frame, members=tuple(out))


def some_case(frame: Frame, chance: np.random.Generator, name: str = "loads") -> LoadCase:
    def three(size: float) -> Vec3:
        return vec3(chance.uniform(-size, size, 3))

    loads = [NodeLoad(node=n.name, force=three(300), moment=three(9000)) for n in frame.nodes]
    along = [Distributed(member=m.name, first=three(1), last=three(1)) for m in frame.members]
    points = [PointOnMember(member=m.name, along=20, force=three(200), moment=three(900)) for m in frame.members[:2]]
    return LoadCase(name=name, loads=(*loads, *along, *points), field_mm_s2=three(20000))


def made(seed: int) -> tuple[Frame, np.random.Generator]:
    chance = np.random.default_rng(seed)
    return bent(random_frame(chance), chance), chance


def total(frame: Frame, found: Solution, case: LoadCase) -> np.ndarray:
    """All forces and their moments about the origin: loads and supports."""
    bare = replace(frame, supports=())
    ready = model(bare)
    out = np.zeros(6)

    def add(force: np.ndarray, moment: np.ndarray, at: np.ndarray) -> None:
        out[:3] += force
        out[3:] += moment + np.cross(at, force)

    for load in case.loads:
        if isinstance(load, NodeLoad):
            add(np.array(load.force), np.array(load.moment), ready.at[ready.numbers[load.node]])
    for k, reaction in enumerate(found.reactions[0]):
        add(reaction[:3], reaction[3:], ready.at[k])
    # loads on members, by fine strips along each
    for m, member in enumerate(frame.members):
        run = ready.beams.runs.chosen(np.array([m]))
        size, start = float(run.length[0]), ready.at[ready.numbers[member.start]]
        x, weight = np.polynomial.legendre.leggauss(40)
        x, weight = size * (x + 1) / 2, size * weight / 2
        place, _ = _places(run, x)
        at = start + place @ run.axes[0]
        for load in case.loads:
            if isinstance(load, Distributed) and load.member == member.name:
                first, last = np.array(load.first), np.array(load.last or load.first)
                for p, s, w in zip(at, x, weight, strict=True):
                    add((first + (last - first) * s / size) * w, np.zeros(3), p)
            if isinstance(load, PointOnMember) and load.member == member.name:
                spot, _ = _places(run, np.array([load.along]))
                add(np.array(load.force), np.array(load.moment), start + spot[0] @ run.axes[0])
        pull = np.array(case.field_mm_s2) * run.mass[0] / 1000
        for p, w in zip(at, weight, strict=True):
            add(pull * w, np.zeros(3), p)
    return out


def _places(run: Runs, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    place, turned = places(run, x[None])
    return place[0], turned[0]


@given(seeds)
@settings(max_examples=25, deadline=None)
def test_loads_and_supports_balance(seed: int) -> None:
    frame, chance = made(seed)
    case = some_case(frame, chance)
    found = solve(frame, [case])
    left = total(frame, found, case)
    forces, moments = np.abs(found.reactions[0, :, :3]).max(), np.abs(found.reactions[0, :, 3:]).max()
    assert np.abs(left[:3]).max() < 1e-7 * forces
    assert np.abs(left[3:]).max() < 1e-7 * max(moments, 1000 * forces)
    assert found.residual[0] < 1e-8


@given(seeds)
@settings(max_examples=25, deadline=None)
def test_what_a_moves_at_b_is_what_b_moves_at_a(seed: int) -> None:
    # Maxwell and Betti
    frame, chance = made(seed)
    a, b = frame.nodes[1].name, frame.nodes[3].name
    f, g = vec3(chance.uniform(-1, 1, 3)), vec3(chance.uniform(-1, 1, 3))
    at_a, at_b = NodeLoad(node=a, force=f), NodeLoad(node=b, force=g)
    cases = [LoadCase(name="a", loads=(at_a,)), LoadCase(name="b", loads=(at_b,))]
    d = solve(frame, cases).displacements
    there, back = float(d[0, 3, :3] @ np.array(g)), float(d[1, 1, :3] @ np.array(f))
    assert there == pytest.approx(back, rel=1e-7, abs=1e-9 * float(np.abs(d).max()))


@given(seeds)
@settings(max_examples=20, deadline=None)
def test_loads_together_do_what_they_do_one_by_one(seed: int) -> None:
    frame, chance = made(seed)
    one, other = some_case(frame, chance, "one"), some_case(frame, chance, "other")
    field = vec3(np.array(one.field_mm_s2) + np.array(other.field_mm_s2))
    both = LoadCase(name="both", loads=(*one.loads, *other.loads), field_mm_s2=field)
    found = solve(frame, [one, other, both])
    for values in (found.displacements, found.end_forces, section_forces(found, [0.3, 0.9])):
        assert np.abs(values[0] + values[1] - values[2]).max() < 1e-8 * np.abs(values).max()


def moved(frame: Frame, case: LoadCase, turn: np.ndarray, shift: np.ndarray) -> tuple[Frame, LoadCase]:
    def way(v: Vec3 | None) -> Vec3 | None:
        return None if v is None else vec3(turn @ np.array(v))

    def sure(v: Vec3) -> Vec3:
        return vec3(turn @ np.array(v))

    nodes = tuple(Node(name=n.name, at=vec3(turn @ np.array(n.at) + shift)) for n in frame.nodes)
    members = tuple(
        replace(m, crown=way(m.crown), arc=m.arc and replace(m.arc, normal=sure(m.arc.normal))) for m in frame.members
    )
    loads = []
    for load in case.loads:
        if isinstance(load, Distributed):
            loads.append(replace(load, first=sure(load.first), last=way(load.last)))
        else:
            loads.append(replace(load, force=sure(load.force), moment=sure(load.moment)))  # type: ignore[arg-type]
    return replace(frame, nodes=nodes, members=members), LoadCase(
        name=case.name, loads=tuple(loads), field_mm_s2=sure(case.field_mm_s2)
    )


@given(seeds, st.floats(-3, 3), st.floats(-3, 3))
@settings(max_examples=25, deadline=None)
def test_a_frame_stands_as_well_anywhere(seed: int, about_z: float, about_x: float) -> None:
    frame, chance = made(seed)
    case = some_case(frame, chance)
    turn = rotation((0, 0, 1), about_z) @ rotation((1, 0, 0), about_x)
    there, loads = moved(frame, case, turn, np.array((5000.0, -3000.0, 700.0)))
    here, then = solve(frame, [case]), solve(there, [loads])
    for part in (slice(0, 3), slice(3, 6)):
        expected = here.displacements[0][:, part] @ turn.T
        assert np.abs(then.displacements[0][:, part] - expected).max() < 1e-7 * np.abs(expected).max()
    assert np.abs(then.end_forces - here.end_forces).max() < 1e-7 * np.abs(here.end_forces).max()


@given(seeds, st.floats(0.1, 0.9))
@settings(max_examples=25, deadline=None)
def test_a_node_more_in_the_middle_changes_nothing(seed: int, share: float) -> None:
    frame, chance = made(seed)
    case = LoadCase(name="weight", field_mm_s2=vec3(chance.uniform(-20000, 20000, 3)))
    whole = solve(frame, [case])
    m = int(chance.integers(0, len(frame.members)))
    member = frame.members[m]
    run = model(frame).beams.runs.chosen(np.array([m]))
    along = share * float(run.length[0])
    place, turned = _places(run, np.array([along]))
    start = np.array({n.name: n.at for n in frame.nodes}[member.start])
    node = Node(name="new", at=vec3(start + place[0] @ run.axes[0]))
    arcs: list[Arc | None] = [None, None]
    if member.arc is not None:
        arcs = [Arc(normal=member.arc.normal, angle_rad=member.arc.angle_rad * f) for f in (share, 1 - share)]
    crown = vec3((turned[0] @ run.axes[0])[1])
    parts = (
        Member(name="p", start=member.start, end="new", section=UNEVEN, crown=member.crown, arc=arcs[0]),
        Member(name="q", start="new", end=member.end, section=UNEVEN, crown=crown, arc=arcs[1]),
    )
    members = (*frame.members[:m], *frame.members[m + 1 :], *parts)
    cut = solve(replace(frame, nodes=(*frame.nodes, node), members=members), [case])
    size = np.abs(whole.displacements).max()
    assert np.abs(cut.displacements[0, :-1] - whole.displacements[0]).max() < 1e-6 * size
    inside = displacements_along(whole, [share])[0, m, 0]
    assert np.abs(inside - cut.displacements[0, -1]).max() < 1e-6 * size
    here = section_forces(whole, [share])[0, m, 0]
    assert np.abs(here - cut.end_forces[0, -2, 6:]).max() < 1e-6 * np.abs(whole.end_forces).max()


@given(seeds)
@settings(max_examples=25, deadline=None)
def test_contacts_push_where_they_touch_and_nothing_passes_through(seed: int) -> None:
    frame, chance = made(seed)
    ways = chance.normal(size=(len(frame.nodes), 3))
    rests = tuple(
        Contact(
            name=f"c{k}",
            first=None if chance.random() < 0.6 else frame.nodes[(k + 2) % len(frame.nodes)].name,
            second=node.name,
            direction=vec3(ways[k]),
            gap=float(chance.normal() * 0.3),
            stiffness=float(10 ** chance.uniform(2, 6)),
        )
        for k, node in enumerate(frame.nodes[1:])
    )
    resting = replace(frame, contacts=rests)
    found = solve(resting, [some_case(frame, chance, f"{k}") for k in range(3)])
    assert found.loose == {}
    assert found.unsettled == ()
    ready = found.model
    moved = np.concatenate((found.displacements, np.zeros((3, 1, 6))), axis=1)
    approach = (ready.touch_rows * moved[:, ready.touch_nodes].reshape(3, -1, 12)).sum(axis=2)
    deep = approach - np.array([c.gap for c in rests])
    size = np.abs(deep).max()
    assert np.all(found.contact_forces >= -1e-6 * np.abs(found.contact_forces).max())
    assert np.all(deep[~found.touch] <= 1e-7 * size)
    assert np.all(found.contact_forces[~found.touch] == 0)
    assert found.residual.max() < 1e-6


@given(seeds)
@settings(max_examples=15, deadline=None)
def test_second_order_under_small_loads_is_first_order(seed: int) -> None:
    frame, chance = made(seed)
    case = some_case(frame, chance)
    small = LoadCase(
        name="small",
        loads=tuple(
            NodeLoad(node=load.node, force=vec3(np.array(load.force) * 1e-6))
            for load in case.loads
            if isinstance(load, NodeLoad)
        ),
    )
    first, second = solve(frame, [small]), solve_second_order(frame, [small])
    size = np.abs(first.displacements).max()
    assert np.abs(first.displacements - second.displacements).max() < 1e-5 * size
    assert second.residual[0] < 1e-7


@given(seeds)
@settings(max_examples=15, deadline=None)
def test_adding_mass_never_makes_a_frame_swing_faster(seed: int) -> None:
    frame, chance = made(seed)
    light = natural_frequencies(frame, 4).frequency_hz
    loaded = replace(frame, masses=(Mass(node=frame.nodes[2].name, mass_kg=float(chance.uniform(0.1, 30))),))
    heavy = natural_frequencies(loaded, 4).frequency_hz
    assert len(light) == len(heavy) == 4
    assert np.all(heavy <= light * (1 + 1e-9))
    assert np.all(np.diff(heavy) >= -1e-9 * heavy[:-1])
