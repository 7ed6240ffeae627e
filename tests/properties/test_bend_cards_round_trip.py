"""A card bent in simulation gives back the designed tube. Closed form: the design itself is the expectation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.design.values import Corner, Member, Part, Run
from handbarrow.job.bends import bend_card, choose_die, stop_list
from handbarrow.job.values import BendCard, EndCut
from handbarrow.laws.bending.simulate import BendInstruction, BentTube, bend_tube
from handbarrow.laws.geometry.path import (
    Centreline,
    Steps,
    crown_on_straights,
    from_steps,
    layout,
    rotation,
    to_steps,
    vec3,
)
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Bender, Box, Die, Limits, SetAngleLaw, StockItem, Workshop

TUBE = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
LABEL = "tube 26.9x2.3"
IDENTITY = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))


def size(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


dies = st.builds(
    Die,
    name=st.just("D"),
    stock=st.just(LABEL),
    radius=size(40, 140),
    law=st.builds(SetAngleLaw, a=size(0.9, 1.0), b_rad=size(0.0, 0.05), test_bends=st.just(6)),
    stretch_per_rad=size(-1.0, 3.0),
    reference_offset=size(-20.0, 40.0),
    straight_before=size(0.0, 90.0),
    straight_after=size(0.0, 90.0),
)
shops = st.builds(
    lambda die, stop, longest: Workshop(
        name="test",
        digest="",
        currency="EUR",
        stock={LABEL: StockItem(label=LABEL, yield_mpa=290.0)},
        dies=(die,),
        bender=Bender(
            obstacles=(Box(name="bench", low=(-700.0, -300.0, -500.0), high=(400.0, 500.0, -400.0)),),
            clearance=5.0,
            stop=stop,
            longest_stop=longest,
        ),
    ),
    dies,
    st.sampled_from(["end", "leg"]),
    st.one_of(st.none(), size(300, 1500)),
)


@st.composite
def tubes(draw: st.DrawFn, shop: Workshop, most: int = 6) -> tuple[Member, tuple[EndCut, EndCut]]:
    """A tube of 1 to `most` bends somewhere in space, radii as made by the shop's die, coped ends."""
    count = draw(st.integers(1, most))
    angles = [draw(size(0.15, 2.6)) for _ in range(count)]
    turns = [0.0, *(draw(size(-math.pi, math.pi)) for _ in range(count - 1))]
    straights = [draw(size(45, 700)) for _ in range(count + 1)]
    radii = []
    for angle in angles:
        chosen = choose_die(shop, LABEL, TUBE, angle, None)
        assert chosen is not None
        radii.append(chosen.radius)
    heading = np.array([draw(size(-1, 1)), draw(size(-1, 1)), draw(size(0.2, 1))])
    heading = heading / np.linalg.norm(heading)
    normal = np.cross(heading, [0.3, 1.0, -0.2])
    normal = rotation(heading, draw(size(-3, 3))) @ (normal / np.linalg.norm(normal))
    steps = Steps(tuple(straights), tuple(angles), tuple(turns), tuple(radii))
    line = from_steps((draw(size(-500, 500)), 30.0, 700.0), vec3(heading), vec3(normal), steps)
    crown = rotation(heading, draw(st.sampled_from([0.0, 0.7, -2.0]))) @ layout(line).normals[0]
    run = Run(stock="main", corners=tuple(Corner(at=p) for p in line.points))
    part = Part(id="rail", title="rail", shape=run, assembly="frame", copies=())
    ends = (EndCut(kind="cope", shortest=draw(size(-5, 30))), EndCut(kind="cope", shortest=draw(size(-5, 30))))
    return Member(part=part, section=TUBE, centreline=line, crown=vec3(crown)), ends


def bent_by_card(card: BendCard, shop: Workshop, ends: tuple[EndCut, EndCut]) -> BentTube:
    """Bend a straight tube of the cut length by nothing but the card."""
    die = shop.dies[0]
    cut_length = sum(card.straights) + sum(r.uses for r in card.rows) - ends[0].shortest - ends[1].shortest
    lines = [
        BendInstruction(
            feed=row.feed,
            mark=row.mark,
            set_angle_rad=row.set_angle_rad,
            turn_rad=row.bender_turn_rad,
            die_radius=die.radius,
            a=row.law.a,
            b_rad=row.law.b_rad,
            stretch_per_rad=die.stretch_per_rad,
            reference_offset=die.reference_offset,
        )
        for row in card.in_order
    ]
    return bend_tube(cut_length, lines, card.in_order[0].crown_rad)


@given(data=st.data())
@settings(max_examples=150, deadline=None)
def test_bending_by_nothing_but_the_card_gives_back_the_designed_tube(data: st.DataObject) -> None:
    shop = data.draw(shops)
    member, ends = data.draw(tubes(shop))
    card, findings = bend_card(member, LABEL, shop, ends)
    if card is None or findings:  # could not be clamped: the card says so, and no order exists to be bent by
        assert {f.code for f in findings} <= {"bend-cannot-be-clamped", "bend-hits-obstacle"}
        return
    made = bent_by_card(card, shop, ends)
    # Put the designed tube into the frame of the bent one: datum end at 0, first straight along x, crown along z.
    place = layout(member.centreline)
    t, c = place.directions[0], np.asarray(member.crown)
    frame = np.array([t, np.cross(c, t), c])
    start = place.start + t * ends[0].shortest
    wanted = (np.asarray(member.centreline.points) - start) @ frame.T
    wanted[0] = 0.0
    wanted[-1] -= frame @ place.directions[-1] * ends[1].shortest
    assert np.abs(made.points - wanted).max() < 0.01
    assert np.abs(made.radii - np.asarray(member.centreline.radii)).max() < 0.01
    far = frame @ crown_on_straights(member.centreline, member.crown)[-1]
    assert np.abs(made.far_crown - far).max() < 1e-6


@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_every_chosen_order_leaves_straight_tube_enough_to_clamp(data: st.DataObject) -> None:
    shop = data.draw(shops)
    member, ends = data.draw(tubes(shop))
    card, findings = bend_card(member, LABEL, shop, ends)
    if card is None or findings:
        return
    die = shop.dies[0]
    # Straight tube beside a bend, counted on the blank: up to where a made bend lies, else to the tube's end.
    length = sum(card.straights) + sum(r.uses for r in card.rows) - ends[0].shortest - ends[1].shortest
    made: list[tuple[float, float]] = []
    for row in card.in_order:
        if row.feed == "start":
            low = row.mark + die.reference_offset
            high = low + row.uses
        else:
            high = row.mark - die.reference_offset
            low = high - row.uses
        before = low - max((b for _, b in made if b <= low + 1e-6), default=0.0)
        after = min((a for a, _ in made if a >= high - 1e-6), default=length) - high
        held, swept = (before, after) if row.feed == "start" else (after, before)
        assert held >= die.straight_before - 1e-5
        assert swept >= die.straight_after - 1e-5
        made.append((low, high))
    assert sorted(row.order for row in card.rows) == list(range(1, len(card.rows) + 1))


@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_stop_list_covers_every_bend_that_has_a_stop_exactly_once(data: st.DataObject) -> None:
    shop = data.draw(shops)
    cards = {}
    for i in range(data.draw(st.integers(1, 4))):
        member, ends = data.draw(tubes(shop, most=4))
        card, findings = bend_card(member, LABEL, shop, ends)
        if card is not None and not findings:
            cards[f"part-{i}"] = card
    quantities = dict.fromkeys(cards, 8)
    settings_list = stop_list(cards, quantities, shop)
    covered = [(part, number) for setting in settings_list for part, number, _ in setting.uses]
    wanted = [(part, row.number) for part, card in cards.items() for row in card.rows if row.stop is not None]
    assert sorted(covered) == sorted(wanted)
    # Each within half of what may be merged, and in the order in which the part is bent.
    for part, card in cards.items():
        rows = {row.number: row for row in card.rows}
        seen = [(rows[n], s) for s in settings_list for p, n, _ in s.uses if p == part]
        assert [row.order for row, _ in seen] == sorted(row.order for row, _ in seen)
        for row, setting in seen:
            assert row.stop == pytest.approx(setting.value, abs=Limits().merge_stops / 2 + 1e-9)
            assert (setting.die, setting.touches) == (row.die, row.stop_touches)


@given(data=st.data())
@settings(max_examples=150, deadline=None)
def test_steps_to_points_to_steps_is_the_identity(data: st.DataObject) -> None:
    count = data.draw(st.integers(0, 6))
    steps = Steps(
        tuple(data.draw(size(1, 900)) for _ in range(count + 1)),
        tuple(data.draw(size(0.01, 2.9)) for _ in range(count)),
        (0.0, *(data.draw(size(-3.1, 3.1)) for _ in range(count - 1)))[:count],
        tuple(data.draw(size(10, 200)) for _ in range(count)),
    )
    back = to_steps(from_steps((10.0, -20.0, 300.0), (1.0, 0.0, 0.0), (0.0, 0.6, 0.8), steps))
    for one, other in ((steps.straights, back.straights), (steps.angles, back.angles), (steps.radii, back.radii)):
        assert np.allclose(one, other, atol=1e-6)
    assert np.allclose(np.sin(np.subtract(steps.turns, back.turns)), 0.0, atol=1e-6)
    assert np.allclose(np.cos(np.subtract(steps.turns, back.turns)), 1.0, atol=1e-6)


def test_simulation_knows_a_plain_elbow() -> None:
    """Closed form: 300 + R_f pi/2 + 200 of tube bent by 90 degrees after springback."""
    law, set_rad = SetAngleLaw(a=0.98, b_rad=0.01, test_bends=6), math.pi / 2 / 0.98 + 0.01 / 0.98
    radius = 80 * set_rad / (math.pi / 2)
    line = BendInstruction(
        feed="start", mark=286.0, set_angle_rad=set_rad, turn_rad=0.0, die_radius=80.0, a=law.a, b_rad=law.b_rad,
        reference_offset=14.0,
    )  # fmt: skip
    tube = bend_tube(500.0 + 80 * set_rad, [line], 0.0)
    wanted = [[0, 0, 0], [300 + radius, 0, 0], [300 + radius, radius + 200, 0]]
    assert np.allclose(tube.points, wanted, atol=1e-9)
    assert tube.radii[0] == pytest.approx(radius)


def test_simulation_refuses_to_bend_where_a_bend_is() -> None:
    line = BendInstruction(
        feed="start", mark=200.0, set_angle_rad=1.0, turn_rad=0.0, die_radius=80.0, a=1.0, b_rad=0.0
    )  # fmt: skip
    with pytest.raises(ValueError, match="no straight tube"):
        bend_tube(1000.0, [line, line], 0.0)


def test_points_one_to_a_corner() -> None:
    """Closed form: two bends of 90 degrees turned by 180 make a step whose ends are parallel."""
    line = Centreline(((0, 0, 0), (300, 0, 0), (300, 400, 0), (700, 400, 0)), (80.0, 80.0))
    assert [round(math.degrees(t)) for t in to_steps(line).turns] == [0, 180]
