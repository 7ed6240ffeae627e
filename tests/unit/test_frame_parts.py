"""Links, springs, offsets, contacts, chains of bent tube, stresses. Expectations: statics and closed forms."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from frames_made import ROUND, UNEVEN, frame, nodes, straight_members
from handbarrow.laws.frame.chain import Stuff, chain
from handbarrow.laws.frame.second_order import solve_second_order
from handbarrow.laws.frame.sections import beam_section, shear_coefficient, torsion_constant
from handbarrow.laws.frame.solve import solve
from handbarrow.laws.frame.stress import equivalent_along, section_points, stresses, von_mises
from handbarrow.laws.frame.values import (
    Contact,
    Distributed,
    Frame,
    Freedom,
    Link,
    LoadCase,
    Mass,
    Member,
    NodeLoad,
    Spring,
    Support,
)
from handbarrow.laws.geometry.path import Centreline, length
from handbarrow.laws.geometry.section import Section

E = 210000.0
TUBE = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
BOX = Section(shape="rectangular tube", height=40, width=20, wall=2)
FLAT = Section(shape="flat", height=30, width=5)
ALL = [
    TUBE,
    BOX,
    FLAT,
    Section(shape="round bar", height=10, width=10),
    Section(shape="square bar", height=10, width=10),
    Section(shape="square tube", height=15, width=15, wall=1.5),
]
ANGLE = Section(shape="angle", height=30, width=20, wall=3)


# ------------------------------------------------------------------------------------------------ joints
def test_a_stiff_offset_does_what_a_very_stiff_stub_does() -> None:
    p = LoadCase(name="p", loads=(NodeLoad(node="c", force=(30, 20, -100)),))
    offset = frame({"a": (0, 0, 0), "c": (600, 40, 25)}, [("a", "c")], ["a"], UNEVEN)
    member = replace(offset.members[0], start_offset=(0, 40, 0), end_offset=(0, 0, -25))
    offset = replace(offset, members=(member,))
    hard = replace(UNEVEN, area=1e7, inertia_height=1e10, inertia_width=1e10, torsion=1e10, shear_height=1e7,
                   shear_width=1e7)  # fmt: skip
    places = {"a": (0.0, 0.0, 0.0), "a2": (0.0, 40.0, 0.0), "c2": (600.0, 40.0, 0.0), "c": (600.0, 40.0, 25.0)}
    stubs = frame(places, [("a", "a2"), ("a2", "c2"), ("c2", "c")], ["a"], UNEVEN)
    stubs = replace(stubs, members=tuple(m if m.name == "a2c2" else replace(m, section=hard) for m in stubs.members))
    one, other = solve(offset, [p]), solve(stubs, [p])
    assert one.displacements[0, 1] == pytest.approx(other.displacements[0, 3], rel=1e-4, abs=1e-9)
    assert one.reactions[0, 0] == pytest.approx(other.reactions[0, 0], rel=1e-6, abs=1e-6)


def test_a_stiff_link_does_what_a_stiff_offset_does() -> None:
    p = LoadCase(name="p", loads=(NodeLoad(node="c", force=(30, 20, -100)),), field_mm_s2=(0, 0, -9810))
    linked = frame({"a": (0, 0, 0), "b": (600, 40, 0), "c": (600, 40, 25)}, [("a", "b")], ["a"], UNEVEN)
    linked = replace(linked, links=(Link(name="arm", first="b", second="c"),))
    offset = frame({"a": (0, 0, 0), "c": (600, 40, 25)}, [("a", "c")], ["a"], UNEVEN)
    offset = replace(offset, members=(replace(offset.members[0], end_offset=(0, 0, -25)),))
    one, other = solve(linked, [p]), solve(offset, [p])
    assert one.displacements[0, 2] == pytest.approx(other.displacements[0, 1], rel=1e-9)
    assert one.end_forces[0] == pytest.approx(other.end_forces[0], rel=1e-9, abs=1e-7)


def test_links_hang_on_links() -> None:
    made = frame({"a": (0, 0, 0), "b": (600, 0, 0), "c": (600, 0, 50), "d": (600, 90, 50)}, [("a", "b")], ["a"])
    # told in the wrong order on purpose
    made = replace(made, links=(Link(name="2", first="c", second="d"), Link(name="1", first="b", second="c")))
    down = LoadCase(name="down", loads=(NodeLoad(node="d", force=(0, 0, -10)),))
    moment = LoadCase(name="same", loads=(NodeLoad(node="b", force=(0, 0, -10), moment=(-900, 0, 0)),))
    found = solve(made, [down, moment])
    assert found.displacements[0] == pytest.approx(found.displacements[1], rel=1e-9, abs=1e-12)


def test_a_hinge_that_is_told_as_a_link_or_as_a_free_end_is_the_same() -> None:
    places = {"a": (0.0, 0.0, 0.0), "b": (400.0, 0.0, 0.0), "c": (1000.0, 0.0, 0.0)}
    free = frame(places, [("a", "b"), ("b", "c")], ["a", "c"], UNEVEN)
    free = replace(free, members=(free.members[0], replace(free.members[1], start_free=frozenset({"turn u"}))))
    linked = Frame(
        nodes=nodes({**places, "b2": places["b"]}),
        members=straight_members([("a", "b"), ("b2", "c")], UNEVEN),
        supports=free.supports,
        links=(Link(name="hinge", first="b", second="b2", free=(Freedom(kind="turn", axis=(0, 1, 0)),)),),
    )
    p = LoadCase(name="p", loads=(NodeLoad(node="b", force=(0, 30, -100)),), field_mm_s2=(0, 0, -9810))
    one, other = solve(free, [p]), solve(linked, [p])
    assert one.displacements[0, :3] == pytest.approx(other.displacements[0, :3], rel=1e-9, abs=1e-12)
    assert one.end_forces[0] == pytest.approx(other.end_forces[0], rel=1e-8, abs=1e-6)


def test_a_slanting_roller_pushes_square_to_its_plane() -> None:
    slope = math.radians(30)
    way = (math.cos(slope), 0.0, math.sin(slope))
    frees = (Freedom(kind="slide", axis=way), Freedom(kind="turn", axis=(0, 1, 0)))
    made = frame({"a": (0, 0, 0), "b": (800, 0, 0)}, [("a", "b")], [])
    made = replace(
        made,
        links=(
            Link(name="pin", first=None, second="a", free=(Freedom(kind="turn", axis=(0, 1, 0)),)),
            Link(name="roller", first=None, second="b", free=frees),
        ),
    )
    found = solve(made, [LoadCase(name="load", loads=(Distributed(member="ab", first=(0, 0, -1)),))])
    push = found.reactions[0, 1, :3]
    assert push[2] == pytest.approx(400, rel=1e-9)
    assert float(push @ np.array(way)) == pytest.approx(0, abs=1e-9)
    assert found.reactions[0].sum(axis=0)[:3] == pytest.approx([0, 0, 800], abs=1e-8)


def test_springs_between_nodes_share_a_load_by_their_stiffness() -> None:
    made = Frame(
        nodes=nodes({"a": (0, 0, 0), "b": (0, 0, 100), "c": (0, 0, 250)}),
        members=(),
        supports=(
            Support(node="a"),
            Support(node="c"),
            Support(node="b", held=(True, True, False, True, True, True)),
        ),
        springs=(
            Spring(name="low", first="a", second="b", stiffness=(0, 0, 30, 0, 0, 0)),
            Spring(name="high", first="b", second="c", stiffness=(0, 0, 10, 0, 0, 0)),
        ),
    )
    found = solve(made, [LoadCase(name="down", loads=(NodeLoad(node="b", force=(0, 0, -80)),))])
    assert found.displacements[0, 1, 2] == pytest.approx(-2)
    assert found.spring_forces[0, :, 2] == pytest.approx([-60, 20])
    assert found.reactions[0, [0, 2], 2] == pytest.approx([60, 20])


def test_a_mass_on_an_arm_weighs_and_turns() -> None:
    made = frame({"a": (0, 0, 0), "b": (500, 0, 0)}, [("a", "b")], ["a"])
    made = replace(made, masses=(Mass(node="b", mass_kg=10, at=(500, 80, 0)),))
    light = replace(made, members=(replace(made.members[0], material=replace(made.members[0].material,
                                                                             density_kg_mm3=0.0)),))  # fmt: skip
    found = solve(light, [LoadCase(name="weight", field_mm_s2=(0, 0, -9810))])
    assert found.reactions[0, 0] == pytest.approx([0, 0, 98.1, 98.1 * 80, -98.1 * 500, 0], abs=1e-6)


# ------------------------------------------------------------------------------------------------ contact
def cot(gap: float = 0.0) -> Frame:
    """A stiff bar that lies on two posts' heads, and is guided from moving sideways and turning."""
    return Frame(
        nodes=nodes({"left": (0, 0, 0), "right": (1000, 0, 0), "middle": (500, 0, 0)}),
        members=straight_members([("left", "middle"), ("middle", "right")]),
        supports=(Support(node="middle", held=(True, True, False, True, False, True)),),
        contacts=(
            Contact(name="left", first=None, second="left", direction=(0, 0, 1)),
            Contact(name="right", first=None, second="right", direction=(0, 0, 1), gap=gap),
        ),
    )


def down(at: str, force: float = 100.0) -> LoadCase:
    return LoadCase(name=f"{at} {force:g}", loads=(NodeLoad(node=at, force=(0, 0, -force)),))


def test_a_bar_on_two_posts_rests_on_both() -> None:
    found = solve(cot(), [down("middle"), down("left")])
    assert found.contact_forces[0] == pytest.approx([50, 50], rel=1e-6)
    assert found.contact_forces[1] == pytest.approx([100, 0], abs=1e-4)


def test_a_bar_that_is_lifted_is_loose_and_named_only_in_that_case() -> None:
    found = solve(cot(), [down("middle"), down("middle", -100)])
    assert [c.name for c in found.cases] == ["middle 100"]
    members = {name for m in found.loose["middle -100"] for motion in m.motions for name in motion.members}
    assert members == {"leftmiddle", "middleright"}


def test_a_contact_with_play_touches_only_when_the_play_is_used_up() -> None:
    # a cantilever's tip over a stop 3 mm below: F L^3 / 3 E I = 3 mm at F0; beyond it the stop takes the rest
    ends = frame({"a": (0, 0, 0), "tip": (800, 0, 0)}, [("a", "tip")], ["a"])
    stop = Contact(name="stop", first=None, second="tip", direction=(0, 0, 1), gap=3.0, stiffness=1e6)
    made = replace(ends, contacts=(stop,))
    touch = 3.0 * 3 * E * ROUND.inertia_height / 800**3
    found = solve(made, [down("tip", 0.5 * touch), down("tip", 2 * touch)])
    assert found.touch[:, 0].tolist() == [False, True]
    assert found.displacements[0, 1, 2] == pytest.approx(-1.5, rel=1e-9)
    assert found.displacements[1, 1, 2] == pytest.approx(-3.0, abs=1e-3)
    assert found.contact_forces[1, 0] == pytest.approx(touch, rel=1e-3)
    assert found.residual.max() < 1e-9


def test_a_row_of_contacts_settles_as_one_by_one_search_would() -> None:
    # a beam on 9 posts of unlike height under a load at one end: every state that is found keeps both rules
    places = {f"n{k}": (150.0 * k, 0.0, 0.0) for k in range(9)}
    pairs = [(f"n{k}", f"n{k + 1}") for k in range(8)]
    made = Frame(
        nodes=nodes(places),
        members=straight_members(pairs),
        supports=(Support(node="n4", held=(True, True, False, True, False, True)),),
        contacts=tuple(
            Contact(name=f"c{k}", first=None, second=f"n{k}", direction=(0, 0, 1), gap=0.2 * math.sin(5.0 * k))
            for k in range(9)
        ),
    )
    cases = [LoadCase(name=f"{k}", loads=(NodeLoad(node=f"n{k}", force=(0, 0, -900)),), field_mm_s2=(0, 0, -9810))
             for k in (0, 3, 8)]  # fmt: skip
    found = solve(made, cases)
    assert found.loose == {}
    assert found.unsettled == ()
    gaps = np.array([c.gap for c in made.contacts])
    sunk = -found.displacements[:, :, 2] - gaps
    assert np.all(found.contact_forces >= -1e-6)
    assert np.all(sunk[~found.touch] <= 1e-7)
    assert found.contact_forces == pytest.approx(np.where(found.touch, 1e5 * sunk, 0), abs=1e-4)
    weight = 9.81 * 7.85e-6 * ROUND.area * 1200 + 900
    assert found.contact_forces.sum(axis=1) == pytest.approx([weight] * 3, rel=1e-6)


def test_second_order_keeps_contacts() -> None:
    found, plain = solve_second_order(cot(1.0), [down("right")]), solve(cot(1.0), [down("right")])
    assert found.contact_forces == pytest.approx(plain.contact_forces, rel=1e-4, abs=1e-3)


# ------------------------------------------------------------------------------------------------ chains
BOW = Centreline(((0, 0, 0), (0, 0, 400), (600, 0, 400), (600, 0, 0)), (80.0, 80.0))


def test_a_chain_is_as_long_as_its_tube_and_ends_where_it_ends() -> None:
    made = chain("bow", BOW, Stuff(section=TUBE), [100.0, 300.0, 420.0])
    assert made.along[-1] == pytest.approx(length(BOW))
    assert made.nodes[0].at == (0, 0, 0)
    assert made.nodes[-1].at == pytest.approx((600, 0, 0), abs=1e-9)
    assert len(made.members) == 8
    assert made.node_at(300.0) == made.nodes[made.along.index(300.0)].name
    assert made.members[0].name == "bow 1"


def test_more_nodes_on_a_chain_change_nothing() -> None:
    load = (0, 40, -100)
    tips = []
    for wanted in ([], [100.0, 350.0, 370.0, 900.0]):
        made = chain("bow", BOW, Stuff(section=BOX), wanted)
        whole = Frame(nodes=made.nodes, members=made.members, supports=(Support(node="bow 0"),))
        case = LoadCase(name="tip", loads=(NodeLoad(node=made.nodes[-1].name, force=load),), field_mm_s2=(0, 0, -9810))
        tips.append(solve(whole, [case]).displacements[0, -1])
    assert tips[0] == pytest.approx(tips[1], rel=1e-8)


def test_soft_bends_give_more() -> None:
    tips = []
    for soft in (False, True):
        made = chain("bow", BOW, Stuff(section=TUBE, soft_bends=soft))
        whole = Frame(nodes=made.nodes, members=made.members, supports=(Support(node="bow 0"),))
        case = LoadCase(name="tip", loads=(NodeLoad(node=made.nodes[-1].name, force=(0, 0, -100)),))
        found = solve(whole, [case])
        tips.append(found.displacements[0, -1, 2])
        assert np.all(equivalent_along(found, [0, 0.5, 1]) >= 0)
    assert 1.02 < tips[1] / tips[0] < 1.3


def test_a_place_beside_the_tube_is_refused() -> None:
    with pytest.raises(ValueError, match="bow: nodes wanted at 1 to 5000 mm"):
        chain("bow", BOW, Stuff(section=TUBE), [1.0, 5000.0])
    tight = Centreline(((0, 0, 0), (0, 0, 100), (600, 0, 100)), (200.0,))
    with pytest.raises(ValueError, match="no room for its bends"):
        chain("tight", tight, Stuff(section=TUBE))


# ------------------------------------------------------------------------------------------------ sections and stresses
@pytest.mark.parametrize("section", [*ALL, ANGLE], ids=lambda s: s.designation)
def test_normal_stresses_at_the_outmost_points_are_those_of_the_section_moduli(section: Section) -> None:
    beam, points = beam_section(section), section_points(section)
    pull = stresses(points, np.array([1000.0, 0, 0, 0, 0, 0]))
    assert pull[:, 0] == pytest.approx(1000 / beam.area)
    if section.shape != "angle":
        about_u = stresses(points, np.array([0, 0, 0, 0, 0, 1e5]))
        about_v = stresses(points, np.array([0, 0, 0, 0, 1e5, 0]))
        assert about_u[:, 0].max() == pytest.approx(1e5 * section.height / 2 / beam.inertia_height)
        assert about_v[:, 0].max() == pytest.approx(1e5 * section.width / 2 / beam.inertia_width)
        assert about_u[np.argmax(points.v), 0] < 0  # moment about u = t x v pulls the side away from v


def test_stress_of_an_angle_gives_its_moments_back() -> None:
    # integrate stress over the two legs
    beam, t = beam_section(ANGLE), ANGLE.wall
    points = section_points(ANGLE)
    moment = np.array([0, 0, 0, 0, 3e4, -2e4])
    sigma = stresses(points, moment)[:, 0]
    # the field is linear: fit it, then integrate it exactly
    a, b = np.linalg.lstsq(np.stack((points.v, points.u), axis=1), sigma, rcond=None)[0]
    about_v = a * beam.product + b * beam.inertia_width
    about_u = -(a * beam.inertia_height + b * beam.product)
    assert (about_v, about_u) == pytest.approx((3e4, -2e4))
    assert t == 3


def test_shear_round_a_tube_adds_up_to_the_force_and_the_twist() -> None:
    thin = Section(shape="round tube", height=100, width=100, wall=0.5)
    points = section_points(thin)
    for k, force in ((1, 1000.0), (2, 1000.0)):
        stress = stresses(points, np.eye(6)[k] * force)
        flow = stress[:, k] * thin.wall * math.pi * 99.5 / len(points.v)
        assert flow.sum() == pytest.approx(force, rel=0.006)
    twist = stresses(points, np.array([0, 0, 0, 1e5, 0, 0]))
    round_it = (points.v * twist[:, 2] - points.u * twist[:, 1]) * thin.wall * math.pi * 99.5 / len(points.v)
    assert round_it.sum() == pytest.approx(1e5, rel=0.016)


@pytest.mark.parametrize("section", ALL, ids=lambda s: s.designation)
def test_largest_twist_stress_of_each_shape(section: Section) -> None:
    stress = stresses(section_points(section), np.array([0, 0, 0, 1e5, 0, 0]))
    largest = float(np.abs(stress[:, 1:]).max())
    if section.is_round:
        expected = 1e5 * section.height / 2 / torsion_constant(section)
    elif section.is_hollow:  # Bredt; rounded corners 2 t and t take a little of the area
        h, w, t = section.height - section.wall, section.width - section.wall, section.wall
        expected = 1e5 / (2 * (h * w - (4 - math.pi) * (1.5 * t) ** 2) * t)
    else:  # T / (alpha long short^2): Timoshenko and Goodier, table of rectangles, from memory
        alpha = {"square bar": 0.208, "flat": 0.299}[section.shape]
        expected = 1e5 / (alpha * section.height * section.width**2)
    assert largest == pytest.approx(expected, rel=0.004)


def test_twist_of_rectangles_by_the_table() -> None:
    # Timoshenko and Goodier, Theory of Elasticity, table for rectangular bars, from memory: beta, alpha by side ratio
    for ratio, beta, alpha in ((1, 0.1406, 0.208), (1.5, 0.196, 0.231), (2, 0.229, 0.246), (4, 0.281, 0.282)):
        flat = Section(shape="flat", height=10.0 * ratio, width=10.0)
        assert torsion_constant(flat) == pytest.approx(beta * ratio * 1e4, rel=0.003)
        stress = stresses(section_points(flat), np.array([0, 0, 0, 1e4, 0, 0]))
        assert np.abs(stress).max() == pytest.approx(1e4 / (alpha * ratio * 1e3), rel=0.003)


def test_shear_areas_lie_near_what_the_shop_would_guess() -> None:
    # limits of Cowper's forms at nu = 0: thin ring 1/2, rectangle 5/6, bar 6/7
    thin = Section(shape="round tube", height=1000, width=1000, wall=0.1)
    assert shear_coefficient(thin, poisson=0.0) == pytest.approx(0.5, rel=1e-3)
    assert shear_coefficient(FLAT, poisson=0.0) == pytest.approx(5 / 6)
    assert shear_coefficient(ALL[3], poisson=0.0) == pytest.approx(6 / 7)
    # a box: about its two webs
    webs = 2 * 2 * (40 - 2) / beam_section(BOX).area
    assert shear_coefficient(BOX) == pytest.approx(webs, rel=0.2)


def test_equivalent_stress_of_a_twisted_bent_cantilever() -> None:
    tube = beam_section(TUBE)
    made = frame({"a": (0, 0, 0), "b": (400, 0, 0)}, [("a", "b")], ["a"], tube)
    case = LoadCase(name="end", loads=(NodeLoad(node="b", force=(0, 0, -50), moment=(8000, 0, 0)),))
    found = equivalent_along(solve(made, [case]), [0.0])[0, 0, 0]
    r = 26.9 / 2
    by_hand = math.hypot(50 * 400 * r / tube.inertia_height, math.sqrt(3) * 8000 * r / tube.torsion)
    assert found == pytest.approx(by_hand, rel=0.002)
    assert float(von_mises(np.array([0.0, 1.0, 0.0]))) == pytest.approx(math.sqrt(3))


def test_an_angle_bends_aside_under_a_load_down() -> None:
    # deflection of an unsymmetric section: d_v = F L^3 / 3 E  I_width / det, d_u = -F L^3 / 3 E  product / det
    angle = replace(beam_section(ANGLE), shear_height=math.inf, shear_width=math.inf)
    made = Frame(
        nodes=nodes({"a": (0, 0, 0), "b": (500, 0, 0)}),
        members=(Member(name="ab", start="a", end="b", section=angle, crown=(0, 0, 1)),),
        supports=(Support(node="a"),),
    )
    d = solve(made, [LoadCase(name="end", loads=(NodeLoad(node="b", force=(0, 0, -100)),))]).displacements[0, 1]
    det = angle.inertia_height * angle.inertia_width - angle.product**2
    down_by = 100 * 500**3 / (3 * E) * angle.inertia_width / det
    aside = 100 * 500**3 / (3 * E) * angle.product / det
    assert d[2] == pytest.approx(-down_by, rel=1e-9)
    assert d[1] == pytest.approx(-aside, rel=1e-9)  # u = t x v = x cross z = -y
