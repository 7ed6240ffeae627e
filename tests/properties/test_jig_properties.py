"""Whatever the frame: no pin runs into a tube, every tube is held, every place counts from the datum edges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.drawings.boxes import outside, overlaps
from handbarrow.drawings.jigs import fixture_view
from handbarrow.job.jig_values import Fixture, JigMember
from handbarrow.job.jigs import build_jigs
from handbarrow.job.values import Job
from jig_frames import centreline_on_board, example, job_of, reaches

SAMPLED = 0.05
"""How much a distance to points 2 mm apart is too large at most, near pins [mm]."""


def checked(job: Job, *, all_held: bool = True) -> None:
    """Everything that must hold of the fixtures of a job."""
    for fixture in build_jigs(job).fixtures:
        lines = {(m.part, m.copy): centreline_on_board(job, fixture, m) for m in fixture.members}
        no_pin_in_a_tube(job, fixture, lines)
        what_is_called_held_is_held(fixture, lines)
        places_are_on_the_board(fixture)
        assert fixture.lifts_off
        assert not all_held or all(m.held for m in fixture.members if m.lies == "flat")


def no_pin_in_a_tube(job: Job, fixture: Fixture, lines: dict[tuple[str, int], np.ndarray]) -> None:
    for spot in fixture.spots:
        for member in fixture.members:
            line, (half, down) = lines[member.part, member.copy], reaches(job, member)
            gap = np.hypot(line[:, 0] - spot.x, line[:, 1] - spot.y)
            way = np.gradient(line, axis=0)
            level = np.hypot(way[:, 0], way[:, 1]) > 0.05 * np.linalg.norm(way, axis=1)
            under = line[:, 2] - np.where(level, down, 0.0)
            own = (spot.part, spot.copy) == (member.part, member.copy)
            radius = 15.0 if spot.kind == "support" else fixture.pin.diameter / 2
            least = half + radius + fixture.clearance
            if own and spot.kind == "end stop":
                least -= half
            in_the_way = under < spot.height - 1e-6
            if in_the_way.any():
                assert gap[in_the_way].min() >= least - 1e-6, (fixture.id, spot, member.part, member.copy)
            if own and spot.kind == "pin":
                assert gap.min() == pytest.approx(least, abs=SAMPLED)


def what_is_called_held_is_held(fixture: Fixture, lines: dict[tuple[str, int], np.ndarray]) -> None:
    flat = [m for m in fixture.members if m.lies == "flat"]
    for member in (m for m in flat if m.held):
        rows = contacts(fixture, member, flat, lines)
        assert len(rows) >= 3
        assert np.linalg.matrix_rank(rows, tol=1e-3) == 3
        # and both ways: no small movement, tried in many directions, gets away from all contacts
        ways = np.random.default_rng(1).normal(size=(4000, 3))
        assert bool(((ways @ rows.T) < 0).any(axis=1).all())


def contacts(
    fixture: Fixture, member: JigMember, flat: list[JigMember], lines: dict[tuple[str, int], np.ndarray]
) -> np.ndarray:
    """Force and moment (over 1 m) of each contact: pins push from their axis to the nearest point of the centreline."""
    line, rows = lines[member.part, member.copy][:, :2], []

    def push(at: np.ndarray, force: np.ndarray) -> None:
        arm = (at - line.mean(axis=0)) / 1000.0
        rows.append((*force, arm[0] * force[1] - arm[1] * force[0]))

    for spot in fixture.spots:
        if (spot.part, spot.copy) == (member.part, member.copy) and spot.kind != "support":
            at = np.array([spot.x, spot.y])
            to = line[np.argmin(np.hypot(*(line - at).T))] - at
            push(at, to / np.linalg.norm(to))
    for other in flat:
        theirs = lines[other.part, other.copy][:, :2]
        if other is member:
            continue
        for mine, met, sign in ((line, theirs, 1.0), (theirs, line, -1.0)):
            for end, inner in ((mine[0], mine[1]), (mine[-1], mine[-2])):
                if np.hypot(*(met - end).T).min() <= 1.01:  # an end in the centreline of another tube
                    push(end, sign * (inner - end) / np.linalg.norm(inner - end))
    return np.array(rows)


def places_are_on_the_board(fixture: Fixture) -> None:
    for spot in fixture.spots:
        assert 0 < fixture.pin.diameter / 2 < spot.x < fixture.width - fixture.pin.diameter / 2
        assert 0 < fixture.pin.diameter / 2 < spot.y < fixture.height - fixture.pin.diameter / 2
        assert spot.height > 0
    assert [spot.number for spot in fixture.spots] == list(range(1, len(fixture.spots) + 1))


def test_fixtures_of_the_handcart_hold_and_clear_every_tube() -> None:
    checked(example("handcart"))


def test_fixtures_of_the_hut_trailer_hold_and_clear_every_tube() -> None:
    job = example("hut-trailer")
    assert [f.assembly for f in build_jigs(job).fixtures] == ["frame", "cot", "back rest"]
    checked(job)


@st.composite
def frames(draw: st.DrawFn, least_over: int = 35) -> str:
    """A U hoop of either tube on a beam that is longer by `least_over` or more, cross tubes, posts."""
    length, half = draw(st.integers(700, 1800)), draw(st.integers(180, 400))
    stock, beam = draw(st.sampled_from(["main", "light"])), half + draw(st.integers(least_over, 80))
    lines = [
        f"  hoop: {{stock: {stock}, points: [[0, {half}, 0], [{length}, {half}, 0], [{length}, -{half}, 0],"
        f" [0, -{half}, 0]]}}",
        f"  beam: {{stock: main, points: [[0, {beam}, 0], [0, -{beam}, 0]], start: free, end: free}}",
    ]
    for i, share in enumerate(sorted(draw(st.lists(st.integers(2, 7), max_size=3, unique=True)))):
        x, lean = length * share / 10, draw(st.integers(-60, 60)) if share < 6 else 0
        lines.append(f"  cross-{i + 1}: {{stock: light, points: [[{x}, {half}, 0], [{x + lean}, -{half}, 0]]}}")
    if draw(st.booleans()):
        x, up = length * 0.15, draw(st.sampled_from([150, -150]))
        lines.append(
            f"  post: {{stock: light, points: [[{x}, {half}, 0], [{x}, {half}, {up}]],"
            " end: free, mirrored: left-right}"
        )
    return "\n".join(lines) + "\n"


@settings(max_examples=15, deadline=None)
@given(frames())
def test_any_frame_has_a_fixture_that_holds_and_clears_every_tube(text: str) -> None:
    job = job_of(text)
    assert len(build_jigs(job).fixtures) == 1
    checked(job)


@settings(max_examples=10, deadline=None)
@given(frames(least_over=1))
def test_where_a_weld_leaves_no_room_for_a_stop_nothing_is_called_held_that_is_not(text: str) -> None:
    checked(job_of(text), all_held=False)


@settings(max_examples=6, deadline=None)
@given(frames(), st.integers(105, 140))
def test_numbers_of_any_board_stand_clear_of_each_other(text: str, height: int) -> None:
    job = job_of(text)
    (fixture,) = build_jigs(job).fixtures
    drawing = fixture_view(job, fixture, (186.0, float(height)))
    said = [text.string for text in drawing.texts if text.layer == "numbers"]
    assert sorted(said, key=int) == [str(spot.number) for spot in fixture.spots]
    assert overlaps(drawing) == []
    assert outside(drawing) == []


@settings(max_examples=10, deadline=None)
@given(frames(), st.sampled_from([0.0, 0.5, 1.0, 2.5, 4.0]))
def test_any_clearance_is_kept_exactly(text: str, clearance: float) -> None:
    job = job_of(text)
    (fixture,) = build_jigs(job, clearance).fixtures
    lines = {(m.part, m.copy): centreline_on_board(job, fixture, m) for m in fixture.members}
    no_pin_in_a_tube(job, fixture, lines)
    places_are_on_the_board(fixture)
