"""What a design says of its use and cannot be: findings with what to do; what is not checked never reads as passed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broken_frames import FRAMES, broken
from examples_checked import checked, example_job, job_of, text_of
from handbarrow.design.reader import read_design
from handbarrow.findings import Severity
from handbarrow.job.frame_checks import strength


@pytest.mark.parametrize("code", FRAMES)
def test_what_stands_in_the_way_of_a_check_is_told(code: str) -> None:
    _, findings = broken(code)
    assert code in {finding.code for finding in findings}
    for finding in findings:
        assert finding.wrong and finding.expected and finding.fix
        assert (finding.severity is Severity.ERROR) == (finding.code == "no-such-point")


def test_a_back_rest_without_its_stop_is_named_and_nothing_is_said_of_its_cases() -> None:
    text = text_of("hut-trailer").replace("    on: cot-cross copy 2\n", "", 1)
    found, findings = strength(job_of(text))
    (told, *_) = [f for f in findings if f.code == "frame-not-held"]
    assert "back-hoop" in told.wrong and "turns freely" in told.wrong
    assert {case.state for case in found.cases} == {"loose"}
    assert {check.verdict for check in found.checks} == {"not checked"}
    assert all(check.value is None for check in found.checks)


def test_two_hands_in_one_line_let_the_cot_roll_over() -> None:
    four = "carry-handle corner 1, carry-handle corner 2, carry-handle copy 2 corner 1, carry-handle copy 2 corner 2"
    text = text_of("hut-trailer")
    assert four in text
    found, findings = strength(job_of(text.replace(four, "carry-handle middle, carry-handle copy 2 middle")))
    (told,) = [f for f in findings if f.code == "frame-not-held"]
    assert told.wrong.startswith("carried by two: ") and "[1, " in told.wrong.replace("-1", "1")
    assert {c.state for c in found.cases if c.id.startswith("lift-by-two")} == {"loose"}
    assert {c.state for c in found.cases if not c.id.startswith("lift-by-two")} == {"solved"}


def test_a_design_that_does_not_say_what_it_carries_is_not_checked() -> None:
    job = example_job("handcart")
    bare = replace(job.product, design=replace(job.design, uses=replace(job.design.uses, carries=())))
    found, findings = strength(replace(job, product=bare))
    assert (found.cases, found.worst, findings) == ((), (), [])
    assert {check.verdict for check in found.checks} == {"not checked"}
    assert any("does not say what it carries" in check.assumes for check in found.checks)


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("mass: 100 kg, on", "mas: 100 kg, on", "unknown-key"),
        ("mass: 100 kg, on", "mass: 0 kg, on", "number-out-of-range"),
        ("mass: 100 kg, on", "mass: 30 mm, on", "wrong-unit"),
        ("on: frame-hoop, at: [bed_rear", "on: rail-hoop, at: [bed_rear", "unknown-part"),
        ("held at: [grip centre", "held at: [grip copy 3 centre", "unknown-copy"),
        ("held at: [grip centre", "held at: [in the middle", "point-unclear"),
        ("stands on: [foot centre, foot copy 2 centre]", "stands on: []", "list-length"),
        ("stands on:", "km a week: 0\nstands on:", "number-out-of-range"),
        ("stands on:", "km a week: 60 kg\nstands on:", "wrong-unit"),
        ("stands on:", "km a week: often\nstands on:", "name-unknown"),
        ("stands on:", "lifts: {by two: {lifts: cart, at: [handle start]}}\nstands on:", "unknown-assembly"),
        ("stands on:", "lifts: {by two: {}}\nstands on:", "key-missing"),
    ],
)
def test_a_use_that_makes_no_sense_is_told_at_its_place(old: str, new: str, code: str) -> None:
    text = text_of("handcart")
    assert old in text
    source, findings = read_design(text.replace(old, new, 1), "cart.yaml")
    assert source is None
    assert code in {finding.code for finding in findings}
    assert all(finding.place is not None and finding.place.line > 1 for finding in findings)


def test_what_is_not_computed_says_so_in_the_examples() -> None:
    for name in ("handcart", "hut-trailer"):
        found, _ = checked(name)
        silent = {check.id for check in found.checks if check.verdict == "not checked"}
        assert {"joints-left-out", "plates", "bought"} <= silent
        assert all(check.value is None and check.margin is None and check.assumes for check in found.checks
                   if check.verdict == "not checked")  # fmt: skip
        assert all(check.rule for check in found.checks if check.verdict != "not checked")
