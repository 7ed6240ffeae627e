"""One frame with many choices of sections: each comes out as if the frame had been made with it.

Held against `solve`, which is itself held against printed examples and PyNiteFEA; a beam against its closed form.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frames_made import ROUND
from handbarrow.laws.frame.sections import beam_section
from handbarrow.laws.frame.solve import solve
from handbarrow.laws.frame.values import (
    Contact,
    Distributed,
    Frame,
    LoadCase,
    Mass,
    Material,
    Member,
    Node,
    NodeLoad,
    Support,
)  # fmt: skip
from handbarrow.laws.frame.variants import choices, solve_chosen
from handbarrow.laws.geometry.section import Section

TUBES = tuple(
    beam_section(Section(shape="round tube", height=d, width=d, wall=t))
    for d, t in ((21.3, 2.0), (26.9, 2.3), (33.7, 2.6))
)
STEEL = Material(youngs_mpa=210000.0, shear_mpa=80000.0, density_kg_mm3=7.85e-6)


def portal() -> tuple[Frame, list[LoadCase]]:
    """Two posts, a beam, a stop beside it that only pushes, something heavy on it; three cases."""
    at = {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 800.0), "c": (1200.0, 0.0, 800.0), "d": (1200.0, 300.0, 0.0)}
    frame = Frame(
        nodes=tuple(Node(name=n, at=p) for n, p in at.items()),
        members=tuple(
            Member(name=f"{i}{j}", start=i, end=j, section=ROUND, material=STEEL, crown=(0.1, 1.0, 0.2))
            for i, j in ("ab", "bc", "cd")
        ),
        supports=(Support(node="a"), Support(node="d")),
        contacts=(Contact(name="stop", first=None, second="c", direction=(-1.0, 0.0, 0.0), stiffness=500.0),),
        masses=(Mass(node="c", mass_kg=12.0),),
    )
    down = (0.0, 0.0, -9810.0)
    cases = [
        LoadCase(name="own weight", field_mm_s2=down),
        LoadCase(name="pushed", loads=(NodeLoad(node="b", force=(900.0, 200.0, 0.0)),), field_mm_s2=down),
        LoadCase(name="pulled", loads=(
            NodeLoad(node="b", force=(-900.0, 0.0, 0.0)), Distributed(member="bc", first=(0.0, 0.0, -0.7)),
        )),
    ]  # fmt: skip
    return frame, cases


@given(st.lists(st.tuples(*[st.integers(0, 2)] * 3), min_size=1, max_size=4))
@settings(max_examples=15, deadline=None)
def test_each_choice_comes_out_as_if_the_frame_were_made_of_it(rows: list[tuple[int, ...]]) -> None:
    frame, cases = portal()
    for row, found in zip(rows, solve_chosen(choices(frame, cases, TUBES), np.array(rows)), strict=True):
        members = tuple(replace(m, section=TUBES[k]) for m, k in zip(frame.members, row, strict=True))
        alone = solve(replace(frame, members=members), cases)
        assert found.answer is not None and found.kept.all()
        assert np.array_equal(found.answer.touch, alone.touch)
        for mine, theirs in ((found.answer.moved[:, :-1], alone.displacements), (found.answer.ends, alone.end_forces)):
            assert mine == pytest.approx(theirs, rel=1e-9, abs=1e-9 * float(np.abs(theirs).max()))


def test_a_cantilever_gives_as_its_inertia_says() -> None:
    # closed form F l^3 / 3 E I + F l / G A_s; mass rho A l
    nodes = (Node(name="a", at=(0.0, 0.0, 0.0)), Node(name="b", at=(900.0, 0.0, 0.0)))
    beam = Member(name="ab", start="a", end="b", section=ROUND, material=STEEL, crown=(0.0, 0.0, 1.0))
    frame = Frame(nodes=nodes, members=(beam,), supports=(Support(node="a"),))
    case = LoadCase(name="f", loads=(NodeLoad(node="b", force=(0.0, 0.0, -100.0)),))
    for tube, found in zip(TUBES, solve_chosen(choices(frame, [case], TUBES), np.arange(3)[:, None]), strict=True):
        assert found.answer is not None
        deep = 100 * 900.0**3 / (3 * 210000 * tube.inertia_height) + 100 * 900 / (80000 * tube.shear_height)
        assert -found.answer.moved[0, 1, 2] == pytest.approx(deep, rel=1e-6)
        assert found.mass_kg == pytest.approx(7.85e-6 * tube.area * 900, rel=1e-12)


def test_what_hangs_on_nothing_has_no_numbers() -> None:
    frame, cases = portal()
    loose = replace(frame, supports=(), contacts=())
    [found] = solve_chosen(choices(loose, cases, TUBES), np.zeros((1, 3), int))
    assert found.answer is None and not found.kept.any()


@pytest.mark.parametrize(("rows", "says"), [([[0, 1]], "3 members"), ([[0, 1, 3]], "0 to 2"), ([[0, -1, 1]], "0 to 2")])
def test_a_choice_that_names_no_section_is_refused(rows: list[list[int]], says: str) -> None:
    frame, cases = portal()
    with pytest.raises(ValueError, match=says):
        list(solve_chosen(choices(frame, cases, TUBES), np.array(rows)))
