"""Ends that do not fit all round: what a person is told before sawing."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handbarrow.findings import Finding, Severity
from handbarrow.laws.geometry.path import vec3
from handbarrow.laws.geometry.section import Section
from mitre_scenes import (
    MAIN,
    RAIL,
    STAY,
    cuts_of,
    h_of,
    onto,
    product,
    run,
)


def test_a_branch_wider_than_its_receiver_is_told_and_not_called_checked() -> None:
    thin = run("rail", STAY, [(-500, 0, 0), (500, 0, 0)])
    post = run("post", MAIN, [(0, 0, 0), (0, 0, 300)], crown=(1.0, 0.0, 0.0))
    cuts, findings = cuts_of(product([thin, post], onto("post", "start", "rail")))
    assert [f.code for f in findings] == ["branch-misses-receiver"]
    assert "by up to 3.5 mm" in findings[0].wrong  # 16 - 12.5
    cut = cuts[("post", "start")]
    assert not cut.checked
    # Beside the receiver the cut runs to its silhouette: there, square on, h = 0.
    assert h_of(cut)[90] == pytest.approx(0.0, abs=1e-3)
    assert np.max(np.abs(np.diff(h_of(cut)))) < 3.0


def test_an_offset_that_is_too_large_is_told() -> None:
    post = run("post", STAY, [(0, 6, 0), (0, 6, 300)])
    findings = cuts_of(product([RAIL, post], onto("post", "start", "rail")))[1]
    assert [f.code for f in findings] == ["branch-misses-receiver"]
    assert "by up to 2.5 mm" in findings[0].wrong  # 6 + 12.5 - 16


def test_equal_diameters_miss_nothing() -> None:
    post = run("post", MAIN, [(0, 0, 0), (0, 0, 300)])
    cuts, findings = cuts_of(product([RAIL, post], onto("post", "start", "rail")))
    assert findings == []
    assert cuts[("post", "start")].shortest == pytest.approx(0.0, abs=1e-3)


def test_a_receiver_that_stops_at_the_joint_is_told_with_the_lack() -> None:
    short = run("rail", MAIN, [(-500, 0, 0), (4, 0, 0)])
    post = run("post", STAY, [(0, 0, 0), (0, 0, 300)])
    cuts, findings = cuts_of(product([short, post], onto("post", "start", "rail")))
    assert [f.code for f in findings] == ["receiver-ends-too-soon"]
    assert "by up to 8.5 mm" in findings[0].wrong  # 12.5 - 4
    assert not cuts[("post", "start")].checked


def test_a_flat_angle_is_told_and_one_along_the_rail_is_an_error() -> None:
    def leaning(degrees: float) -> list[Finding]:
        a = math.radians(degrees)
        stay = run("stay", STAY, [(0, 0, 0), (900 * math.cos(a), 0, 900 * math.sin(a))])
        return cuts_of(product([RAIL, stay], onto("stay", "start", "rail")))[1]

    assert leaning(31) == []
    assert [(f.code, f.severity) for f in leaning(25)] == [("cut-too-flat", Severity.WARNING)]
    assert [(f.code, f.severity) for f in leaning(2)] == [("cut-too-flat", Severity.ERROR)]


def test_a_cut_that_reaches_into_the_bend_is_an_error() -> None:
    hook = run("hook", STAY, [(0, 0, 0), (0, 0, 90), (0, 300, 90)])
    findings = cuts_of(product([RAIL, hook], onto("hook", "start", "rail")))[1]
    assert [f.code for f in findings] == ["cut-deeper-than-straight"]
    assert "16.0 mm" in findings[0].wrong and "10.0 mm" in findings[0].wrong


def test_a_spacer_that_two_cuts_eat_up_is_an_error() -> None:
    other = run("other", MAIN, [(-500, 0, 30), (500, 0, 30)])
    spacer = run("spacer", STAY, [(0, 0, 0), (0, 0, 30)])
    made = product([RAIL, other, spacer], onto("spacer", "start", "rail"), onto("spacer", "end", "other"))
    assert [f.code for f in cuts_of(made)[1]] == ["cut-deeper-than-straight"]


def test_a_receiver_bent_across_its_faces_is_not_guessed() -> None:
    turned = vec3(np.array([0, 1, 1]) * math.sqrt(0.5))
    bow = run("bow", Section(shape="square tube", height=30, width=30, wall=2),
              [(-400, 0, 0), (0, 0, 0), (0, 400, 0)], crown=turned)  # fmt: skip
    at = np.array([-80.0, 80.0, 0.0]) + 80.0 * np.array([1, -1, 0]) * math.sqrt(0.5)
    post = run("post", STAY, [vec3(at), vec3(at + np.array([0, 0, 300.0]))])
    cuts, findings = cuts_of(product([bow, post], onto("post", "start", "bow")))
    assert [(f.code, f.severity) for f in findings] == [("mitre-not-checked", Severity.WARNING)]
    assert cuts[("post", "start")].wrap == () and not cuts[("post", "start")].checked


def test_a_run_that_comes_back_to_its_own_bend_is_not_called_checked() -> None:
    hoop = run("hoop", MAIN, [(-400, 0, 0), (0, 0, 0), (-100, 300, 0)], radius=80)
    start = -80 * math.tan(math.atan2(300, -100) / 2)
    a = math.radians(40)
    stay = run("stay", STAY, [(start, 0, 5), (start + 300 * math.cos(a), 300 * math.sin(a), 5)])
    cuts, findings = cuts_of(product([hoop, stay], onto("stay", "start", "hoop")))
    assert "runs into hoop again" in findings[-1].wrong
    assert not cuts[("stay", "start")].checked


def test_a_joint_on_the_straight_beside_such_a_bend_is_computed() -> None:
    turned = vec3(np.array([0, 1, 1]) * math.sqrt(0.5))
    bow = run("bow", Section(shape="square tube", height=30, width=30, wall=2),
              [(-400, 0, 0), (0, 0, 0), (0, 400, 0)], crown=turned)  # fmt: skip
    post = run("post", STAY, [(-130, 0, 0), (-130, 0, 300)])
    cuts, findings = cuts_of(product([bow, post], onto("post", "start", "bow")))
    assert findings == []
    # On its edge: the rounded corner (radius 4) stands 15 sqrt(2) - 4 (sqrt(2) - 1) high.
    assert cuts[("post", "start")].deepest == pytest.approx(15 * math.sqrt(2) - 4 * (math.sqrt(2) - 1))
