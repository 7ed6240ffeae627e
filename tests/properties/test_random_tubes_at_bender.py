"""Whatever the card, the tube in the picture is the one that simulation has bent so far (closed form: rigid motion)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from factories import MAIN, make_job, tube_part
from handbarrow.design.values import Corner, Member, Part, Run
from handbarrow.drawings.at_bender import at_bender_view, tube_at_bender
from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.job.bends import bend_card, choose_die
from handbarrow.job.values import EndCut, JobPart
from handbarrow.laws.bending.simulate import BendInstruction, BentTube, bend_tube
from handbarrow.laws.geometry.path import Centreline, Steps, crown_on_straights, from_steps, layout, vec3
from handbarrow.workshop.values import Bender, Box, Die, SetAngleLaw, StockItem, Workshop

LABEL = "tube 26.9x2.3"
DIE = Die(
    name="D", stock=LABEL, radius=82.0, law=SetAngleLaw(a=0.984, b_rad=0.01, test_bends=6), stretch_per_rad=0.6,
    reference_offset=14.0, straight_before=40.0, straight_after=40.0,
)  # fmt: skip
# The bench makes some tubes be held by their far end: the order of bends swaps them end for end.
BENCH = Box(name="bench", low=(-700.0, -300.0, -500.0), high=(400.0, 500.0, -120.0))
SHOP = Workshop(
    name="test", digest="", currency="EUR", stock={LABEL: StockItem(label=LABEL, yield_mpa=290.0)}, dies=(DIE,),
    bender=Bender(obstacles=(BENCH,), clearance=5.0, longest_stop=1500.0),
)  # fmt: skip
lengths, angles = st.floats(60, 700), st.floats(0.2, 2.2)


@st.composite
def bent_parts(draw: st.DrawFn) -> JobPart | None:
    """A part with a card as the job makes it; None: it cannot be bent in this shop."""
    count = draw(st.integers(1, 4))
    bends = [draw(angles) for _ in range(count)]
    radii = []
    for angle in bends:
        chosen = choose_die(SHOP, LABEL, MAIN, angle, None)
        assert chosen is not None
        radii.append(chosen.radius)
    turns = (0.0, *(draw(st.floats(-math.pi, math.pi)) for _ in range(count - 1)))
    steps = Steps(tuple(draw(lengths) for _ in range(count + 1)), tuple(bends), turns, tuple(radii))
    line = from_steps((0.0, 0.0, 700.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), steps)
    run = Run(stock="main", corners=tuple(Corner(at=p) for p in line.points))
    part = Part(id="rail", title="rail", shape=run, assembly="frame", copies=())
    ends = (EndCut(kind="cope", shortest=draw(st.floats(-5, 20))), EndCut(kind="square"))
    card, findings = bend_card(
        Member(part=part, section=MAIN, centreline=line, crown=(0.0, 0.0, 1.0)), LABEL, SHOP, ends
    )
    if card is None or findings:
        return None
    return replace(tube_part("rail", "rail", line, MAIN, DIE, ends), card=card, stock=LABEL)


def simulated(part: JobPart, count: int) -> BentTube:
    assert part.card is not None
    lines = [
        BendInstruction(
            feed=row.feed, mark=row.mark, set_angle_rad=row.set_angle_rad, turn_rad=row.bender_turn_rad,
            die_radius=row.die_radius, a=row.law.a, b_rad=row.law.b_rad, stretch_per_rad=DIE.stretch_per_rad,
            reference_offset=row.reference_offset,
        )
        for row in part.card.in_order[:count]
    ]  # fmt: skip
    used = sum(row.uses for row in part.card.rows)
    length = sum(part.card.straights) + used - part.card.datum_shift
    return bend_tube(length, lines, part.card.in_order[0].crown_rad)


@given(part=bent_parts())
@settings(max_examples=60, deadline=None)
def test_every_half_bent_tube_is_the_simulated_one(part: JobPart | None) -> None:
    if part is None or part.card is None:
        return
    for row in part.card.in_order:
        tube, true = tube_at_bender(part, row.number), simulated(part, row.order - 1)
        place = layout(tube.line)
        wanted = layout(Centreline(tuple(vec3(p) for p in true.points), tuple(float(r) for r in true.radii)))
        np.testing.assert_allclose(place.straights, wanted.straights, atol=0.02)
        np.testing.assert_allclose(place.angles, wanted.angles, atol=1e-6)
        np.testing.assert_allclose(np.exp(1j * place.turns), np.exp(1j * wanted.turns), atol=1e-5)
        first, last = crown_on_straights(tube.line, tube.crown)[[0, -1]]
        frame = np.column_stack([place.directions[0], np.cross(first, place.directions[0]), first])
        np.testing.assert_allclose(frame.T @ last, true.far_crown, atol=1e-5)
        # it lies in the die: the straight along x at the start of the bend, in the feed direction
        k = sum(1 for r in part.card.rows if r.order < row.order and r.number < row.number)
        a, b = (place.start, *place.tangents_out)[k], (*place.tangents_in, place.end)[k]
        assert max(abs(float(v)) for v in (a[1], a[2], b[1], b[2])) < 1e-6
        assert (b[0] > a[0]) == (row.feed == "start")
        assert min(a[0], b[0]) < 1e-6 and max(a[0], b[0]) > row.uses - 1e-6


@given(part=bent_parts(), mirrored=st.booleans())
@settings(max_examples=25, deadline=None)
def test_every_picture_stays_in_its_box_with_its_words_apart(part: JobPart | None, mirrored: bool) -> None:
    if part is None or part.card is None:
        return
    job = replace(make_job(), parts=(part,))
    for row in part.card.rows:
        drawing = at_bender_view(job, "rail", row.number, mirrored=mirrored)
        assert overlaps(drawing) == [] and outside(drawing) == []
        assert all(0 <= x <= 86 and 0 <= y <= 52 for s in drawing.strokes for x, y in s.points)


def test_the_bench_makes_some_tubes_be_held_by_their_far_end() -> None:
    feeds = set()

    @given(part=bent_parts())
    @settings(max_examples=60, deadline=None, derandomize=True)
    def look(part: JobPart | None) -> None:
        if part is not None and part.card is not None:
            feeds.update(row.feed for row in part.card.rows)

    look()
    assert feeds == {"start", "end"}
