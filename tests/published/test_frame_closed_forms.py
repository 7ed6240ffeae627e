"""Frames against closed forms: beams, portals, arcs, rings, helices, struts, and how they swing.

Every expectation is a closed form, computed here; where it stands in handbooks that is said.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from frames_made import PINNED, ROLLER, ROUND, UNEVEN, column, frame, nodes
from handbarrow.laws.frame.along import displacements_along, section_forces
from handbarrow.laws.frame.second_order import buckling_factors, solve_second_order
from handbarrow.laws.frame.sections import beam_section
from handbarrow.laws.frame.solve import solve
from handbarrow.laws.frame.values import (
    STEEL,
    Arc,
    BeamSection,
    Distributed,
    Frame,
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
from handbarrow.laws.geometry.section import Section

E, G = STEEL.youngs_mpa, STEEL.shear_mpa
INERTIA, J, A = ROUND.inertia_height, ROUND.torsion, ROUND.area
L, P, R = 1000.0, 100.0, 150.0


def beam(*, start: str = "", end: str = "", section: BeamSection = UNEVEN) -> Frame:
    """One member along x from node a (held) to node b (held), with `turn u` let free where `free` is said."""
    free = {"free": frozenset({"turn u"}), "": frozenset()}
    member = Member(
        name="ab", start="a", end="b", section=section, start_free=free[start], end_free=free[end]
    )  # fmt: skip
    return Frame(
        nodes=nodes({"a": (0, 0, 0), "b": (L, 0, 0)}),
        members=(member,),
        supports=(Support(node="a"), Support(node="b")),
    )


def test_tip_of_a_cantilever_bends_and_shears() -> None:
    made = frame({"a": (0, 0, 0), "b": (L, 0, 0)}, [("a", "b")], ["a"], UNEVEN)
    cases = [
        LoadCase(name="down", loads=(NodeLoad(node="b", force=(0, 0, -P)),)),
        LoadCase(name="aside", loads=(NodeLoad(node="b", force=(0, P, 0)),)),
    ]
    d = solve(made, cases).displacements[:, 1]
    down = P * L**3 / (3 * E * UNEVEN.inertia_height) + P * L / (G * UNEVEN.shear_height)
    aside = P * L**3 / (3 * E * UNEVEN.inertia_width) + P * L / (G * UNEVEN.shear_width)
    assert d[0, 2] == pytest.approx(-down, rel=1e-9)
    assert d[1, 1] == pytest.approx(aside, rel=1e-9)


def test_held_beam_under_own_weight() -> None:
    found = solve(beam(), [LoadCase(name="weight", field_mm_s2=(0, 0, -9810))])
    w = UNEVEN.area * STEEL.density_kg_mm3 * 9.81
    assert found.end_forces[0, 0, [1, 5, 7, 11]] == pytest.approx(
        [w * L / 2, w * L**2 / 12, w * L / 2, -w * L**2 / 12], rel=1e-9
    )


def test_propped_beam_carries_three_eighths_at_the_hinge() -> None:
    case = LoadCase(name="even", loads=(Distributed(member="ab", first=(0, 0, -1)),))
    found = solve(beam(end="free", section=ROUND), [case])
    assert found.end_forces[0, 0, 7] == pytest.approx(3 / 8 * L, rel=1e-9)
    assert found.end_forces[0, 0, 5] == pytest.approx(L**2 / 8, rel=1e-9)
    assert found.end_forces[0, 0, 11] == 0


def test_beam_on_two_hinges_sags_by_the_handbook() -> None:
    made = beam(start="free", end="free")
    cases = [
        LoadCase(name="middle", loads=(PointOnMember(member="ab", along=L / 2, force=(0, 0, -P)),)),
        LoadCase(name="even", loads=(Distributed(member="ab", first=(0, 0, -1)),)),
    ]
    sag = -displacements_along(solve(made, cases), [0.5])[:, 0, 0, 2]
    ei, ga = E * UNEVEN.inertia_height, G * UNEVEN.shear_height
    assert sag[0] == pytest.approx(P * L**3 / (48 * ei) + P * L / (4 * ga), rel=1e-9)
    assert sag[1] == pytest.approx(5 * L**4 / (384 * ei) + L**2 / (8 * ga), rel=1e-9)


def test_load_on_part_of_a_held_beam() -> None:
    # from 200 to 700 mm, rising from 1 to 3 N/mm: superposed from the closed form of a point load, P a b^2 / L^2
    case = LoadCase(
        name="part",
        loads=(Distributed(member="ab", first=(0, 0, -1), last=(0, 0, -3), begin=200, end=700),),
    )
    found = solve(beam(section=ROUND), [case])
    x, weight = np.polynomial.legendre.leggauss(6)
    x, weight = 450 + 250 * x, 250 * weight
    w = 1 + 2 * (x - 200) / 500
    assert found.end_forces[0, 0, 5] == pytest.approx(float(np.sum(weight * w * x * (L - x) ** 2)) / L**2, rel=1e-9)
    assert found.end_forces[0, 0, 11] == pytest.approx(-float(np.sum(weight * w * x**2 * (L - x))) / L**2, rel=1e-9)


def test_section_forces_of_a_held_beam_under_even_load() -> None:
    found = solve(beam(section=ROUND), [LoadCase(name="even", loads=(Distributed(member="ab", first=(0, 0, -1)),))])
    share = np.array([0.0, 0.25, 0.5, 1.0])
    forces = section_forces(found, share)[0, 0]
    x = share * L
    assert forces[:, 1] == pytest.approx(x - L / 2, abs=1e-7)  # what lies beyond pushes up less and less
    hogging = -(L**2) / 12 + L * x / 2 - x**2 / 2
    assert forces[:, 5] == pytest.approx(hogging, rel=1e-9)


def test_portal_with_held_feet_sways_by_the_handbook() -> None:
    # P h^3 / 12 E I (2 + 3 k) / (1 + 6 k), k = (I_beam / l) / (I_post / h); without stretch of the tubes
    h, span, stiff = 800.0, 1200.0, BeamSection(area=1e9, inertia_height=INERTIA, inertia_width=INERTIA, torsion=J)
    places = {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, h), "c": (span, 0.0, h), "d": (span, 0.0, 0.0)}
    made = frame(places, [("a", "b"), ("b", "c"), ("c", "d")], ["a", "d"], stiff)
    found = solve(made, [LoadCase(name="push", loads=(NodeLoad(node="b", force=(P, 0, 0)),))])
    k = h / span
    assert found.displacements[0, 1, 0] == pytest.approx(
        P * h**3 / (12 * E * INERTIA) * (2 + 3 * k) / (1 + 6 * k), rel=1e-5
    )
    foot = P * h / 2 * (1 + 3 * k) / (1 + 6 * k)
    assert abs(found.reactions[0, 0, 4]) == pytest.approx(foot, rel=1e-5)


# ------------------------------------------------------------------------------------------------ bent
def quarter(section: BeamSection = ROUND, pieces: int = 1) -> Frame:
    """A quarter circle from a (held, heading along x) to the last node, round the z axis."""
    angles = np.linspace(0, math.pi / 2, pieces + 1)
    places = {f"q{k}": (R * math.sin(t), R * (1 - math.cos(t)), 0.0) for k, t in enumerate(angles)}
    arc = Arc(normal=(0, 0, 1), angle_rad=math.pi / 2 / pieces)
    members = tuple(
        Member(name=f"arc {k}", start=f"q{k}", end=f"q{k + 1}", section=section, arc=arc, crown=(0, 0, 1))
        for k in range(pieces)
    )
    return Frame(nodes=nodes(places), members=members, supports=(Support(node="q0"),))


@pytest.mark.parametrize("pieces", [1, 3])
def test_quarter_circle_out_of_its_plane(pieces: int) -> None:
    case = LoadCase(name="up", loads=(NodeLoad(node=f"q{pieces}", force=(0, 0, P)),))
    d = solve(quarter(pieces=pieces), [case]).displacements[0, -1, 2]
    expected = P * R**3 * (math.pi / 4 / (E * INERTIA) + (3 * math.pi / 4 - 2) / (G * J))
    assert d == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("pieces", [1, 3])
def test_quarter_circle_in_its_plane(pieces: int) -> None:
    tip = f"q{pieces}"
    cases = [
        LoadCase(name="along", loads=(NodeLoad(node=tip, force=(0, P, 0)),)),
        LoadCase(name="across", loads=(NodeLoad(node=tip, force=(P, 0, 0)),)),
    ]
    d = solve(quarter(pieces=pieces), cases).displacements[:, -1]
    stretch = P * R * math.pi / (4 * E * A)
    assert d[0, 1] == pytest.approx(P * R**3 / (E * INERTIA) * (3 * math.pi / 4 - 2) + stretch, rel=1e-9)
    assert d[1, 0] == pytest.approx(P * R**3 / (E * INERTIA) * math.pi / 4 + stretch, rel=1e-9)


def test_quarter_circle_under_its_own_weight_out_of_plane_weighs_what_it_weighs() -> None:
    case = LoadCase(name="weight", field_mm_s2=(0, 0, -9810))
    found = solve(quarter(), [case])
    weight = A * STEEL.density_kg_mm3 * R * math.pi / 2 * 9.81
    # centroid of a quarter arc from its centre: 2 R / pi along both axes
    arm_x, arm_y = 2 * R / math.pi, R - 2 * R / math.pi
    assert found.reactions[0, 0] == pytest.approx(
        [0, 0, weight, weight * arm_y, -weight * arm_x, 0], rel=1e-9, abs=1e-9
    )


def test_loads_along_an_arc_do_the_same_whether_it_is_one_member_or_three() -> None:
    case = LoadCase(name="weight", field_mm_s2=(3000.0, -2000.0, -9810.0))
    one, three = (solve(quarter(UNEVEN, pieces), [case]) for pieces in (1, 3))
    assert one.displacements[0, -1] == pytest.approx(three.displacements[0, -1], rel=1e-8)
    middle = displacements_along(one, [1 / 3])[0, 0, 0]
    assert middle == pytest.approx(three.displacements[0, 1], rel=1e-7)


def test_ring_pulled_at_two_opposite_places_opens_by_the_handbook() -> None:
    # (pi / 4 - 2 / pi) P R^3 / E I (Roark, ring, case 1; from memory)
    stiff = BeamSection(area=1e9, inertia_height=INERTIA, inertia_width=INERTIA, torsion=J)
    arc = Arc(normal=(0, 0, 1), angle_rad=math.pi / 2)
    at = [(R, 0, 0), (0, R, 0), (-R, 0, 0), (0, -R, 0)]
    made = Frame(
        nodes=tuple(Node(name=str(k), at=p) for k, p in enumerate(at)),
        members=tuple(
            Member(name=str(k), start=str(k), end=str((k + 1) % 4), section=stiff, arc=arc, crown=(0, 0, 1))
            for k in range(4)
        ),
        supports=(
            Support(node="0", held=(False, True, True, True, True, True)),
            Support(node="1", held=(True, False, True, False, False, False)),
        ),
    )
    pull = (NodeLoad(node="0", force=(P, 0, 0)), NodeLoad(node="2", force=(-P, 0, 0)))
    d = solve(made, [LoadCase(name="pull", loads=pull)]).displacements[0]
    assert d[0, 0] - d[2, 0] == pytest.approx((math.pi / 4 - 2 / math.pi) * P * R**3 / (E * INERTIA), rel=1e-6)


def test_helical_spring_stretches_by_the_handbook() -> None:
    # 2 pi n P R^3 / cos a (cos^2 a / G J + sin^2 a / E I); straight members along the coil, so 0.2 % off
    turns, each, pitch = 3, 96, math.radians(5)
    t = np.linspace(0, 2 * math.pi * turns, turns * each + 1)
    # corners pushed out so that the length of the polygon is that of the coil
    r = R * (2 * math.pi / each / 2) / math.sin(math.pi / each)
    places = {f"h{k}": (r * math.cos(a), r * math.sin(a), R * math.tan(pitch) * a) for k, a in enumerate(t)}
    last = f"h{len(t) - 1}"
    pairs = [(f"h{k}", f"h{k + 1}") for k in range(len(t) - 1)]
    made = frame(places, pairs, ["h0"], ROUND)
    # the pull acts along the coil's axis: on an arm from its end, free to turn
    case = LoadCase(name="pull", loads=(NodeLoad(node=last, force=(0, 0, P), moment=(0, P * r, 0)),))
    found = solve(made, [case])
    d = found.displacements[0, -1]
    along_axis = d[2] + d[4] * r
    expected = 2 * math.pi * turns * P * R**3 / math.cos(pitch)
    expected *= math.cos(pitch) ** 2 / (G * J) + math.sin(pitch) ** 2 / (E * INERTIA)
    assert along_axis == pytest.approx(expected, rel=0.003)


# ------------------------------------------------------------------------------------------------ struts and swinging
@pytest.mark.parametrize(("hinged", "factor"), [(True, 1.0), (False, 0.25)])
def test_struts_buckle_at_eulers_load(hinged: bool, factor: float) -> None:
    parts, members = column(6, L, ROUND, STEEL)
    foot = Support(node="0", held=PINNED) if hinged else Support(node="0")
    made = Frame(nodes=parts, members=members, supports=(foot, Support(node="6", held=ROLLER)) if hinged else (foot,))
    push = LoadCase(name="push", loads=(NodeLoad(node="6", force=(0, 0, -1)),))
    euler = factor * math.pi**2 * E * INERTIA / L**2
    assert buckling_factors(made, push, 1)[0] == pytest.approx(euler, rel=2e-4)


def test_a_strut_beyond_eulers_load_has_no_numbers() -> None:
    parts, members = column(6, L, ROUND, STEEL)
    made = Frame(nodes=parts, members=members, supports=(Support(node="0"),))
    euler = math.pi**2 * E * INERTIA / L**2 / 4
    cases = [
        LoadCase(name=f"{share}", loads=(NodeLoad(node="6", force=(P, 0, -share * euler)),)) for share in (0.9, 1.1)
    ]
    found = solve_second_order(made, cases)
    assert [c.name for c in found.cases] == ["0.9"]
    assert found.unsettled == ("1.1",)


def test_buckling_of_a_great_frame_is_found_the_same_as_of_a_small_one() -> None:
    push = LoadCase(name="push", loads=(NodeLoad(node="top", force=(0, 0, -1)),))
    factors = []
    for count in (6, 24):
        parts, members = column(count, L, ROUND, STEEL)
        parts = (*parts[:-1], Node(name="top", at=parts[-1].at))
        last = members[-1]
        members = (*members[:-1], Member(name="last", start=last.start, end="top", section=ROUND, crown=(1, 0, 0)))
        factors.append(buckling_factors(Frame(nodes=parts, members=members, supports=(Support(node="0"),)), push, 2)[0])
    assert factors[0] == pytest.approx(factors[1], rel=1e-5)


def test_cantilever_swings_at_its_natural_frequencies() -> None:
    # Euler-Bernoulli: (1.8751, 4.6941)^2 / 2 pi sqrt(E I / m L^4) (Blevins, Natural Frequency; from memory)
    section = BeamSection(area=100, inertia_height=1000, inertia_width=2000, torsion=3000)
    parts, members = column(16, L, section, STEEL)
    found = natural_frequencies(Frame(nodes=parts, members=members, supports=(Support(node="0"),)), 3)
    speed = math.sqrt(E * 1000 / (STEEL.density_kg_mm3 * 100) * 1000) / L**2 / (2 * math.pi)
    expected = [1.8751041**2 * speed, 1.8751041**2 * speed * math.sqrt(2), 4.6940911**2 * speed]
    assert found.frequency_hz == pytest.approx(expected, rel=5e-4)
    assert np.abs(found.shape[0, -1, :2]).max() == pytest.approx(1.0)


def test_small_and_great_frames_swing_alike() -> None:
    section = BeamSection(area=100, inertia_height=1000, inertia_width=2000, torsion=3000)
    low = []
    for count in (8, 30):  # 48 and 180 movements: all at once, and by iteration
        parts, members = column(count, L, section, STEEL)
        low.append(
            natural_frequencies(Frame(nodes=parts, members=members, supports=(Support(node="0"),)), 2).frequency_hz
        )
    assert low[0] == pytest.approx(low[1], rel=1e-4)


def test_arc_swings_as_fast_as_the_same_arc_in_pieces() -> None:
    low = [natural_frequencies(quarter(ROUND, pieces), 1).frequency_hz[0] for pieces in (4, 8)]
    assert low[0] == pytest.approx(low[1], rel=1e-3)


def test_mass_on_a_spring() -> None:
    # sqrt(k / m) / 2 pi: 10 N/mm and 2 kg on a stiff post
    stiff = Material(youngs_mpa=2e5, shear_mpa=8e4)
    free = Frame(
        nodes=nodes({"a": (0, 0, 0), "b": (0, 0, 10)}),
        members=(Member(name="post", start="a", end="b", section=ROUND, material=stiff),),
        supports=(Support(node="a", held=(True, True, False, True, True, True)),),
        springs=(Spring(name="tyre", first=None, second="a", stiffness=(0, 0, 10, 0, 0, 0)),),
        masses=(Mass(node="b", mass_kg=2.0),),
    )
    expected = math.sqrt(10 * 1000 / 2.0) / (2 * math.pi)
    assert natural_frequencies(free, 1).frequency_hz[0] == pytest.approx(expected, rel=1e-5)


def test_thick_tube_in_shear_flexible_portal_is_softer_than_a_slender_one() -> None:
    tube = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
    beam_of = beam_section(tube)
    made = frame({"a": (0, 0, 0), "b": (300.0, 0, 0)}, [("a", "b")], ["a"], beam_of)
    d = solve(made, [LoadCase(name="p", loads=(NodeLoad(node="b", force=(0, 0, P)),))]).displacements[0, 1, 2]
    slender = P * 300**3 / (3 * E * beam_of.inertia_height)
    assert d == pytest.approx(slender + P * 300 / (G * beam_of.shear_height), rel=1e-9)
    assert 1.005 < d / slender < 1.02
