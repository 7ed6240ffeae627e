"""Frames that are not held, or hardly: what moves is named, and no number comes out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from frames_made import ROUND, UNEVEN, frame, nodes, straight_members
from handbarrow.laws.frame.along import displacements_along, section_forces
from handbarrow.laws.frame.second_order import buckling_factors, solve_second_order
from handbarrow.laws.frame.solve import Solution, solve
from handbarrow.laws.frame.stress import equivalent_along
from handbarrow.laws.frame.values import (
    Arc,
    BeamSection,
    Distributed,
    Frame,
    Freedom,
    Link,
    LoadCase,
    Mass,
    Material,
    Member,
    Node,
    NodeLoad,
    PointOnMember,
    Spring,
    Support,
)
from handbarrow.laws.frame.vibration import natural_frequencies

WEIGHT = LoadCase(name="weight", field_mm_s2=(0, 0, -9810))
TURNS = tuple(Freedom(kind="turn", axis=axis) for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))


def empty(found: Solution) -> bool:
    return found.cases == () and len(found.displacements) == len(found.end_forces) == len(found.reactions) == 0


def test_a_frame_in_the_air_moves_in_six_ways() -> None:
    made = frame({"a": (0, 0, 0), "b": (500, 0, 0)}, [("a", "b")], [])
    found = solve(made, [WEIGHT])
    assert empty(found)
    moving = found.loose["weight"]
    assert len(moving) == 6
    assert all(m.motions[0].members == ("ab",) and m.motions[0].nodes == ("a", "b") for m in moving)


def test_an_upright_that_is_pinned_at_its_foot_turns_about_it() -> None:
    made = Frame(
        nodes=nodes({"foot": (100, 200, 0), "top": (100, 200, 900)}),
        members=straight_members([("foot", "top")]),
        supports=(Support(node="foot", held=(True, True, True, True, False, True)),),
    )
    (moving,) = solve(made, [WEIGHT]).loose["weight"]
    (motion,) = moving.motions
    assert motion.kind == "turns"
    assert np.abs(motion.axis) == pytest.approx([0, 1, 0])
    assert motion.through == pytest.approx((100, 200, 0), abs=0.01)
    assert motion.members == ("foottop",)


def swinging() -> Frame:
    """A held post, and a drawbar hung on it by a hinge about y."""
    return Frame(
        nodes=nodes({"foot": (0, 0, 0), "eye": (0, 0, 500), "pin": (0, 0, 500), "hitch": (800, 0, 500)}),
        members=straight_members([("foot", "eye"), ("pin", "hitch")]),
        supports=(Support(node="foot"),),
        links=(Link(name="pivot", first="eye", second="pin", free=(Freedom(kind="turn", axis=(0, 1, 0)),)),),
    )


def test_a_drawbar_on_a_hinge_is_named_and_the_post_is_not() -> None:
    found = solve(swinging(), [WEIGHT])
    assert empty(found)
    (moving,) = found.loose["weight"]
    (motion,) = moving.motions
    assert motion.members == ("pinhitch",)
    assert motion.nodes == ("pin", "hitch")
    assert np.abs(motion.axis) == pytest.approx([0, 1, 0], abs=1e-6)
    assert (motion.through[0], motion.through[2]) == pytest.approx((0, 500), abs=0.01)


def test_a_drawbar_that_is_held_up_carries_half_at_each_end() -> None:
    held = replace(
        swinging(), springs=(Spring(name="rider", first=None, second="hitch", stiffness=(0, 0, 50, 0, 0, 0)),)
    )
    found = solve(held, [WEIGHT])
    half = ROUND.area * 7.85e-6 * 9.81 * 800 / 2
    assert found.loose == {}
    assert found.spring_forces[0, 0, 2] == pytest.approx(-half, rel=1e-9)
    assert found.end_forces[0, 1, 4:6] == pytest.approx([0, 0], abs=1e-6)
    assert found.displacements[0, 3, 2] == pytest.approx(-half / 50, rel=1e-9)
    assert found.residual[0] < 1e-9


def test_two_loose_things_are_told_apart() -> None:
    far = Frame(
        nodes=(*swinging().nodes, *nodes({"peg": (0, 400, 0), "wheel": (0, 600, 0)})),
        members=(*swinging().members, *straight_members([("peg", "wheel")])),
        supports=(*swinging().supports, Support(node="peg", held=(True, True, True, True, False, True))),
        links=swinging().links,
    )
    moving = solve(far, [WEIGHT]).loose["weight"]
    assert sorted(m.motions[0].members for m in moving) == [("pegwheel",), ("pinhitch",)]
    assert all(len(m.motions) == 1 for m in moving)


def test_four_bars_on_pins_lean_together_each_in_its_own_way() -> None:
    pin = frozenset({"turn u"})
    places = {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 400.0), "c": (700.0, 0.0, 400.0), "d": (700.0, 0.0, 0.0)}
    up = {"crown": (1.0, 0.0, 0.0)}
    made = Frame(
        nodes=nodes(places),
        members=(
            Member(name="left", start="a", end="b", section=ROUND, start_free=pin, **up),
            Member(name="rail", start="b", end="c", section=ROUND, start_free=pin, end_free=pin),
            Member(name="right", start="d", end="c", section=ROUND, start_free=pin, **up),
        ),
        supports=(Support(node="a"), Support(node="d")),
    )
    (moving,) = solve(made, [WEIGHT]).loose["weight"]
    kinds = {name: m.kind for m in moving.motions for name in m.members}
    assert kinds == {"left": "turns", "right": "turns", "rail": "slides"}


def test_a_tube_free_to_spin_between_its_ends_is_named() -> None:
    spin = frozenset({"turn t"})
    made = frame({"a": (0, 0, 0), "b": (500, 0, 0)}, [("a", "b")], ["a", "b"])
    made = replace(made, members=(replace(made.members[0], start_free=spin, end_free=spin),))
    (moving,) = solve(made, [WEIGHT]).loose["weight"]
    assert moving.motions[0].members == ("ab",)
    assert moving.motions[0].axis == pytest.approx((1, 0, 0))


def test_a_node_that_nothing_touches_is_named() -> None:
    made = frame({"a": (0, 0, 0), "b": (500, 0, 0), "lost": (9, 9, 9)}, [("a", "b")], ["a"])
    moving = solve(made, [WEIGHT]).loose["weight"]
    assert {n for m in moving for motion in m.motions for n in motion.nodes} == {"lost"}


def test_a_loose_part_of_a_great_frame_is_found_too() -> None:
    count = 60
    places = {f"n{k}": (100.0 * k, 0.0, 20.0 * (k % 3)) for k in range(count)}
    pairs = [(f"n{k}", f"n{k + 1}") for k in range(count - 1)]
    made = frame(places, pairs, ["n0"])
    hung = replace(
        made,
        nodes=(*made.nodes, *nodes({"pin": places["n30"], "tip": (3000.0, 300.0, 0.0)})),
        members=(*made.members, *straight_members([("pin", "tip")])),
        links=(Link(name="ball", first="n30", second="pin", free=TURNS),),
    )
    assert solve(made, [WEIGHT]).loose == {}
    moving = solve(hung, [WEIGHT]).loose["weight"]
    assert len(moving) == 3
    assert all([m.motions[0].members, len(m.motions)] == [("pintip",), 1] for m in moving)


def test_a_frame_with_a_very_short_stub_is_stiff_not_loose() -> None:
    made = frame({"a": (0, 0, 0), "b": (0.5, 0, 0), "c": (2500, 0, 0)}, [("a", "b"), ("b", "c")], ["a"])
    found = solve(made, [LoadCase(name="tip", loads=(NodeLoad(node="c", force=(0, 0, -10)),))])
    expected = 10 * 2500**3 / (3 * 210000 * ROUND.inertia_height)
    assert found.loose == {}
    assert found.displacements[0, 2, 2] == pytest.approx(-expected, rel=1e-5)


def test_loose_frames_do_not_swing_buckle_or_bend_twice() -> None:
    assert len(natural_frequencies(swinging()).frequency_hz) == 0
    assert natural_frequencies(swinging()).loose[0].motions[0].members == ("pinhitch",)
    assert len(buckling_factors(swinging(), WEIGHT)) == 0
    assert empty(solve_second_order(swinging(), [WEIGHT]))


def test_a_frame_without_mass_does_not_swing() -> None:
    light = Material(youngs_mpa=2e5, shear_mpa=8e4)
    made = frame({"a": (0, 0, 0), "b": (500, 0, 0)}, [("a", "b")], ["a"], ROUND, light)
    found = natural_frequencies(made)
    assert len(found.frequency_hz) == 0
    assert found.loose == ()
    one = replace(made, masses=(Mass(node="b", mass_kg=3.0),))
    stiff = 3 * 2e5 * ROUND.inertia_height / 500**3
    assert natural_frequencies(one, 2).frequency_hz == pytest.approx(
        [math.sqrt(stiff * 1000 / 3) / (2 * math.pi)] * 2, rel=1e-6
    )


def test_no_cases_and_no_stresses_where_nothing_holds() -> None:
    found = solve(swinging(), [WEIGHT])
    assert section_forces(found, [0.5]).shape == (0, 2, 1, 6)
    assert displacements_along(found, [0.5]).shape == (0, 2, 1, 6)
    assert solve(frame({"a": (0, 0, 0), "b": (9, 0, 0)}, [("a", "b")], ["a"]), []).displacements.shape == (0, 2, 6)


# ------------------------------------------------------------------------------------------------ refused
AB = {"a": (0.0, 0.0, 0.0), "b": (500.0, 0.0, 0.0)}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"nodes": nodes({**AB, "c": (0, 0, 0)}) + nodes({"c": (1, 0, 0)})}, "node c stands twice"),
        ({"members": straight_members([("a", "b"), ("a", "b")])}, "member ab stands twice"),
        ({"members": straight_members([("a", "x")])}, "there is no node x"),
        ({"supports": (Support(node="y"),)}, "there is no node y"),
        ({"links": (Link(name="k", first="b", second="a"),)}, "held and linked"),
    ],
)
def test_a_frame_that_contradicts_itself_is_refused(change: dict[str, object], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        replace(frame(AB, [("a", "b")], ["a"]), **change)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("load", "said"),
    [
        (NodeLoad(node="z"), "there is no node z"),
        (PointOnMember(member="z", along=0), "there is no member z"),
        (PointOnMember(member="ab", along=501), "lies beside ab"),
        (Distributed(member="ab", first=(0, 0, 1), begin=300, end=200), "lies beside ab"),
    ],
)
def test_a_load_that_lies_beside_the_frame_is_refused(load: NodeLoad | PointOnMember | Distributed, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        solve(frame(AB, [("a", "b")], ["a"]), [LoadCase(name="case", loads=(load,))])


def test_members_without_length_or_with_a_crown_along_them_are_refused() -> None:
    with pytest.raises(ValueError, match="no length"):
        solve(frame({"a": (0, 0, 0), "b": (0, 0, 0)}, [("a", "b")], ["a"]), [WEIGHT])
    made = frame(AB, [("a", "b")], ["a"])
    with pytest.raises(ValueError, match="crown of member ab"):
        solve(replace(made, members=(replace(made.members[0], crown=(1, 0, 0)),)), [WEIGHT])
    with pytest.raises(ValueError, match="normal of member ab"):
        arc = Arc(normal=(1, 0, 0), angle_rad=1.0)
        solve(replace(made, members=(replace(made.members[0], arc=arc),)), [WEIGHT])


def test_links_in_a_circle_are_refused() -> None:
    made = Frame(
        nodes=nodes(AB),
        members=straight_members([("a", "b")]),
        links=(Link(name="one", first="a", second="b"), Link(name="two", first="b", second="a")),
    )
    with pytest.raises(ValueError, match="links go round in a circle: one, two"):
        solve(made, [WEIGHT])


def test_values_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="area=-1"):
        BeamSection(area=-1, inertia_height=1, inertia_width=1, torsion=1)
    with pytest.raises(ValueError, match="youngs_mpa=nan"):
        Material(youngs_mpa=math.nan, shear_mpa=1)
    with pytest.raises(ValueError, match="angle_rad"):
        Arc(normal=(0, 0, 1), angle_rad=math.pi)
    with pytest.raises(ValueError, match="no release"):
        Member(name="m", start="a", end="b", section=ROUND, end_free=frozenset({"bend"}))  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="spring s"):
        Spring(name="s", first=None, second="a", stiffness=(0, 0, -1, 0, 0, 0))


def test_stresses_need_a_shape() -> None:
    found = solve(frame(AB, [("a", "b")], ["a"], UNEVEN), [WEIGHT])
    with pytest.raises(ValueError, match="member ab: the section has no shape"):
        equivalent_along(found, [0.0])
    assert Node(name="n", at=(0, 0, 0)).name == "n"
