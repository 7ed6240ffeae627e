"""How a tube lies in the bender: the picture's tube is the one that simulation bends by nothing but the card."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from factories import make_job
from handbarrow.cli.loading import load_job
from handbarrow.drawings.at_bender import TubeAtBender, at_bender_view, tube_at_bender
from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.job.values import BendRow, Job, JobPart
from handbarrow.laws.bending.simulate import BendInstruction, BentTube, bend_tube
from handbarrow.laws.geometry.path import Centreline, crown_on_straights, layout, to_steps, vec3

ROOT = Path(__file__).parents[2]
TRAILER = ("hut-trailer.yaml", "ridge-workshop.yaml")
HANDCART = ("handcart.yaml", "ridge-workshop.yaml")


@cache
def job_of(design: str, shop: str) -> Job:
    job, _ = load_job(ROOT / "examples" / design, ROOT / "examples" / shop, 8)
    assert job is not None
    return job


def bends(job: Job) -> Iterator[tuple[JobPart, BendRow]]:
    for part in job.parts:
        for row in part.card.in_order if part.card and part.pull is None else ():
            yield part, row


def simulated(job: Job, part: JobPart, count: int) -> BentTube:
    """The straight tube after the first `count` lines of its card. Closed form: rigid motion about the die."""
    assert part.card is not None and part.cut_length is not None
    dies = {die.name: die for die in job.workshop.dies_for(part.stock)}
    lines = [
        BendInstruction(
            feed=row.feed, mark=row.mark, set_angle_rad=row.set_angle_rad, turn_rad=row.bender_turn_rad,
            die_radius=row.die_radius, a=row.law.a, b_rad=row.law.b_rad,
            stretch_per_rad=dies[row.die].stretch_per_rad, reference_offset=row.reference_offset,
        )
        for row in part.card.in_order[:count]
    ]  # fmt: skip
    return bend_tube(part.cut_length, lines, part.card.in_order[0].crown_rad)


@pytest.mark.parametrize("files", [TRAILER, HANDCART])
def test_legs_in_the_picture_are_those_of_the_tube_that_simulation_bends_by_the_card(files: tuple[str, str]) -> None:
    job = job_of(*files)
    tried = 0
    for part, row in bends(job):
        tube, true = tube_at_bender(part, row.number), simulated(job, part, row.order - 1)
        place = layout(tube.line)
        wanted = layout(Centreline(tuple(vec3(p) for p in true.points), tuple(float(r) for r in true.radii)))
        assert place.straights == pytest.approx(wanted.straights, abs=0.01)
        assert place.angles == pytest.approx(wanted.angles, abs=1e-6)
        assert np.cos(place.turns) == pytest.approx(np.cos(wanted.turns), abs=1e-6)
        assert np.sin(place.turns) == pytest.approx(np.sin(wanted.turns), abs=1e-6)
        # the crown line at both ends, against the first leg: whoever draws it on the tube finds it where it is drawn
        first, last = crown_on_straights(tube.line, tube.crown)[[0, -1]]
        frame = np.column_stack([place.directions[0], np.cross(first, place.directions[0]), first])
        assert frame.T @ last == pytest.approx(true.far_crown, abs=1e-6)
        tried += 1
    assert tried >= 4


@pytest.mark.parametrize("files", [TRAILER, HANDCART])
def test_the_tube_lies_in_the_die_where_simulation_puts_it(files: tuple[str, str]) -> None:
    """The held side does not move in a bend: after it, it lies where the picture showed it before."""
    job = job_of(*files)
    for part, row in bends(job):
        tube, after = tube_at_bender(part, row.number), simulated(job, part, row.order)
        assert part.card is not None
        made = sorted(r.number for r in part.card.rows if r.order <= row.order)
        k, forward = made.index(row.number), row.feed == "start"
        place = layout(Centreline(tuple(vec3(p) for p in after.points), tuple(float(r) for r in after.radii)))
        t = place.directions[k] if forward else -place.directions[k + 1]
        up = place.normals[k] if forward else -place.normals[k]
        origin = place.tangents_in[k] if forward else place.tangents_out[k]
        axes = np.array([t, np.cross(up, t), up])
        held = after.points[: k + 1] if forward else after.points[k + 2 :]
        drawn = tube.line.points[: k + 1] if forward else tube.line.points[-len(held) :]
        assert np.asarray(drawn) == pytest.approx((held - origin) @ axes.T, abs=0.02)


def test_the_crown_line_stands_as_the_card_says() -> None:
    for part, row in bends(job_of(*TRAILER)):
        here = np.asarray(tube_at_bender(part, row.number).crown_here)
        # right-handed about the feed direction x: up turns towards -y
        assert here == pytest.approx((0.0, -math.sin(row.crown_rad), math.cos(row.crown_rad)), abs=1e-9)


def test_straights_are_drawn_short_but_every_direction_stays_true() -> None:
    shortened = 0
    for part, row in bends(job_of(*TRAILER)):
        true, short = tube_at_bender(part, row.number), tube_at_bender(part, row.number, longest=300.0)
        a, b = layout(true.line), layout(short.line)
        assert b.directions == pytest.approx(a.directions, abs=1e-9)
        assert b.angles == pytest.approx(a.angles, abs=1e-9)
        long = sum(1 for s in a.straights if s > 600.0 + row.uses + 1e-6)
        assert len(short.gaps) >= long
        assert all(s <= 600.0 + row.uses + 1e-6 for s in b.straights)
        shortened += len(short.gaps)
        assert true.gaps == ()
    assert shortened > 20


def test_a_mirrored_piece_hangs_below_where_the_other_stands_above() -> None:
    for part, row in bends(job_of(*TRAILER)):
        one = tube_at_bender(part, row.number)
        other: TubeAtBender = tube_at_bender(part, row.number, mirrored=True)
        flip = np.array([1.0, 1.0, -1.0])
        assert np.asarray(other.line.points) == pytest.approx(np.asarray(one.line.points) * flip)
        steps = to_steps(one.line), to_steps(other.line)
        assert np.sin(steps[1].turns) == pytest.approx(-np.sin(steps[0].turns), abs=1e-9)


def test_a_leg_stop_touches_the_outside_of_the_leg_bent_before() -> None:
    # closed form: the leg's outside lies radius + half the tube beyond the straight
    part = make_job().part("outer-hoop")
    tube = tube_at_bender(part, 2)
    row = tube.row
    assert row.stop_touches == "leg" and row.stop is not None and tube.stop is not None
    assert tube.stop == pytest.approx(-(row.stop + row.reference_offset), abs=0.01)


@pytest.mark.parametrize("files", [TRAILER, HANDCART])
def test_words_in_the_picture_are_clear_of_each_other_and_inside(files: tuple[str, str]) -> None:
    for part, row in bends(job_of(*files)):
        for mirrored in (False, True):
            drawing = at_bender_view(job_of(*files), part.id, row.number, mirrored=mirrored)
            assert overlaps(drawing) == [] and outside(drawing) == []
            said = " ".join(text.string for text in drawing.words)
            assert "°" in said and "mark" in said and "crown line" in said
            assert ("stop" in said) == (row.stop is not None)
            for stroke in drawing.strokes:
                for x, y in stroke.points:
                    assert -0.01 <= x <= drawing.width + 0.01 and -0.01 <= y <= drawing.height + 0.01


def test_square_tube_and_guessed_dies_are_drawn_too() -> None:
    drawing = at_bender_view(make_job(), "hood-bow", 2, (70.0, 44.0))
    assert any(stroke.layer == "tube" for stroke in drawing.strokes)
    assert "1 of 2 bends made" in drawing.alt


def test_a_straight_part_has_no_picture() -> None:
    with pytest.raises(ValueError, match="not bent"):
        at_bender_view(make_job(), "cross-tube", 1)
