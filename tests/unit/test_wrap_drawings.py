"""Mitre wraps on paper: true width, true heights, and right way round when they are laid on the tube."""

import math
from dataclasses import replace

import numpy as np
import pytest

from factories import BOW, MAIN, cope, job_with, make_job, on, tube_part
from factories import MAIN_DIE as DIE
from handbarrow.drawings.model import Drawing, Stroke
from handbarrow.drawings.wraps import has_wrap, wrap, wrap_width
from handbarrow.job.values import EndCut, JobPart
from handbarrow.laws.geometry.path import Centreline, Vec3, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.mitre.outline import outline

T26 = Section(shape="round tube", height=26.9, width=26.9, wall=2.3)
TOP = 9.0


def layer(drawing: Drawing, name: str) -> list[Stroke]:
    return [s for s in drawing.strokes if s.layer == name]


def slanted(receiver: float, tilt_deg: float, offset: float, section: Section = MAIN) -> tuple[JobPart, Vec3]:
    """A straight run with both ends coped round a member at a slant and off its axis; the member's axis."""
    line = Centreline(((100.0, 50.0, 300.0), (500.0, 50.0, 300.0)))
    tilt = math.radians(tilt_deg)
    axis = vec3((math.cos(tilt), math.sin(tilt) * 0.8, math.sin(tilt) * 0.6))
    first = cope(section, (1, 0, 0), (1, 0, 0), (0, 0, 1), (axis, receiver), offset)
    last = cope(section, (-1, 0, 0), (1, 0, 0), (0, 0, 1), (axis, receiver), offset)
    part = tube_part("slant", "slanted tube", line, section, DIE, (on(first, "front-beam"), on(last, "front-beam")))
    return part, axis


def test_a_wrap_is_pi_times_diameter_plus_paper_wide() -> None:
    """Closed form: the middle of the paper lies half its thickness outside the tube."""
    assert wrap_width(T26, 0.1) == pytest.approx(math.pi * 27.0, abs=1e-12)
    drawing = wrap(make_job(), "outer-hoop", "start")
    crown = layer(drawing, "crown")
    xs = sorted({round(p[0], 9) for s in crown for p in s.points})
    assert len(xs) == 2
    assert xs[1] - xs[0] == pytest.approx(math.pi * 27.0, abs=1e-9)
    assert drawing.scale == 1.0


def test_a_wrap_for_square_tube_is_its_girth_and_the_paper_round_its_corners() -> None:
    drawing = wrap(make_job(), "hood-bow", "end")
    xs = [p[0] for s in layer(drawing, "crown") for p in s.points]
    assert max(xs) - min(xs) == pytest.approx(outline(BOW).girth + math.pi * 0.1, abs=1e-9)


@pytest.mark.parametrize("end", ["start", "end"])
def test_heights_of_a_square_on_cope_follow_the_closed_form(end: str) -> None:
    """Closed form: h = sqrt(R^2 - (r cos phi)^2), the crown square to the receiver's axis; equal tubes here."""
    r = 26.9 / 2
    drawing = wrap(make_job(), "cross-tube", end)
    cut = layer(drawing, "cut")[0]
    left = min(p[0] for p in cut.points)
    for x, y in cut.points:
        phi = 2 * math.pi * (x - left) / (math.pi * 27.0)
        assert y - TOP == pytest.approx(math.sqrt(max(r * r - (r * math.cos(phi)) ** 2, 0.0)), abs=1e-6)


@pytest.mark.parametrize("end", ["start", "end"])
@pytest.mark.parametrize(
    ("receiver", "tilt_deg", "offset"), [(16.85, 90.0, 0.0), (21.2, 55.0, 3.0), (30.0, 40.0, -6.0)]
)
def test_paper_laid_on_the_tube_meets_the_receiver(receiver: float, tilt_deg: float, offset: float, end: str) -> None:
    """Closed form, and the bench's own rule: the paper is laid on printed side out, its top out of the tube, its edges
    on the crown. Each point of its curve must then lie on the receiver's surface: a mirrored wrap would not.
    """
    part, axis = slanted(receiver, tilt_deg, offset)
    job = job_with(part)
    drawing = wrap(job, "slant", end)
    cut = layer(drawing, "cut")[0]
    left = min(p[0] for p in cut.points)
    into = np.array([1.0, 0, 0]) if end == "start" else np.array([-1.0, 0, 0])
    point = np.array([100.0, 50, 300]) if end == "start" else np.array([500.0, 50, 300])
    crown, up = np.array([0.0, 0, 1]), -into
    a, d = np.asarray(axis), into
    side = np.cross(a, d)
    middle = point + side / np.linalg.norm(side) * offset
    shortest = (part.start if end == "start" else part.end).shortest  # type: ignore[union-attr]
    off = []
    for x, y in cut.points:
        theta = 2 * math.pi * (x - left) / (math.pi * 27.0)
        # for an eye outside the tube, with `up` up, the paper runs to the right along up x outward normal
        normal = math.cos(theta) * crown + math.sin(theta) * np.cross(up, crown)
        h = y - TOP + shortest
        where = point + 13.45 * normal + h * into - middle
        off.append(float(np.linalg.norm(where - a * (where @ a))) - receiver)
    assert np.abs(off).max() < 1e-6


def test_a_wrap_says_part_end_partner_and_count_and_carries_its_own_rule() -> None:
    drawing = wrap(make_job(units=8), "outer-hoop", "start")
    said = " ".join(t.string for t in drawing.texts)
    for words in ("outer hoop", "START", "meets front beam", "8 pieces", "waste", "tube", "84.82 mm wide"):
        assert words in said
    rule = [p[0] for s in layer(drawing, "rule") for p in s.points]
    assert max(rule) - min(rule) == pytest.approx(100.0, abs=1e-9)
    bare = wrap(make_job(), "outer-hoop", "start", alone=False)
    assert not layer(bare, "rule") and bare.width < 95


def test_degrees_run_left_at_the_start_and_right_at_the_far_end() -> None:
    for end, first in (("start", "270°"), ("end", "90°")):
        words = sorted(
            (t for t in wrap(make_job(), "outer-hoop", end).words if t.layer == "quarters"), key=lambda t: t.x
        )
        assert [t.string for t in words][1] == first


def test_an_unchecked_cut_is_called_unchecked_on_its_paper() -> None:
    part, _ = slanted(21.2, 40.0, 0.0)
    assert part.start is not None
    job = job_with(replace(part, start=replace(part.start, checked=False)))
    assert any("NOT CHECKED" in t.string for t in wrap(job, "slant", "start").words)
    assert not any("NOT CHECKED" in t.string for t in wrap(job, "slant", "end").words)


def test_straight_cuts_for_a_hacksaw_leave_metal_inside_the_paper() -> None:
    drawing = wrap(make_job(), "outer-hoop", "start", hacksaw=True)
    (line,) = layer(drawing, "hacksaw")
    assert {round(y, 6) for _, y in line.points} == {TOP}  # one square cut at the longest point
    assert not layer(wrap(make_job(), "outer-hoop", "start", hacksaw=False), "hacksaw")


def test_a_thin_bar_has_its_words_beside_its_wrap() -> None:
    pin = Section(shape="round bar", height=8.0, width=8.0)
    part, _ = slanted(13.45, 90.0, 0.0, pin)
    drawing = wrap(job_with(part), "slant", "start", alone=False)
    edge = max(p[0] for s in layer(drawing, "crown") for p in s.points)
    assert all(t.x > edge for t in drawing.words if t.layer == "words")


def test_an_angle_gets_one_paper_folded_over_its_heel() -> None:
    angle = Section(shape="angle", height=30.0, width=25.0, wall=3.0)
    ring = outline(angle)
    wraps = tuple((float(s), float(0.4 * v + 0.1 * u)) for s, (u, v) in zip(ring.s, ring.uv, strict=True))
    heights = [h for _, h in wraps]
    cut = EndCut(kind="plane", wrap=wraps, shortest=min(heights), deepest=max(heights))
    line = Centreline(((0.0, 0.0, 0.0), (400.0, 0.0, 0.0)))
    part = replace(tube_part("slant", "axle angle", line, T26, DIE), section=angle, start=cut, end=cut)
    for end, sign in (("start", -1.0), ("end", 1.0)):
        drawing = wrap(job_with(part), "slant", end)
        (heel,) = layer(drawing, "heel")
        curve = layer(drawing, "cut")[0].points
        assert max(x for x, _ in curve) - min(x for x, _ in curve) == pytest.approx(55.0)
        tip = max(curve, key=lambda p: sign * (p[0] - heel.points[0][0]))
        assert abs(tip[0] - heel.points[0][0]) == pytest.approx(30.0)  # the height leg lies on that side
        deeper = max(0.4 * 30.0, 0.4 * 30.0 + 0.1 * 3.0)
        assert tip[1] - TOP == pytest.approx(deeper - cut.shortest)


def test_a_square_end_has_no_wrap() -> None:
    job = make_job()
    assert not has_wrap(job.part("front-beam"), "start")
    with pytest.raises(ValueError, match="front-beam: the start is cut square"):
        wrap(job, "front-beam", "start")
