"""Bolts that cannot be bought or do not go through, holes for no screw: told with what to do."""

from __future__ import annotations

import pytest

from bolted_parts import LUGGED, worked_out
from handbarrow.findings import Severity

HOLE = "holes: [{from start: 50, face: left, for: M8, through: yes}]"
PLATE = "at: [20, 0], for: M8"
BOLT = "thread: M8}"
BAD = (
    (BOLT, "thread: M7}", "thread-unknown", Severity.ERROR),
    (BOLT, "thread: M8, nut: wing}", "choice-unknown", Severity.ERROR),
    (BOLT, "thread: M8, washer: 2}", "unknown-key", Severity.ERROR),
    (BOLT, "thread: M8, washers: 9}", "number-out-of-range", Severity.ERROR),
    (BOLT, "thread: M8, bridges: -1}", "number-out-of-range", Severity.ERROR),
    ("through: [lug, rail], ", "", "key-missing", Severity.ERROR),
    ("through: [lug, rail]", "through: [lug, rial]", "unknown-part", Severity.ERROR),
    ("    axis: left\n", "", "key-missing", Severity.ERROR),
    ("    axis: left\n", "    axis: up\n", "bolt-misses-part", Severity.ERROR),
    ("at: [50, 0, 0]", "at: [90, 0, 0]", "bolt-misses-part", Severity.ERROR),
    ("at: [30, 13.45, 0]", "at: [30, 14.6, 0]", "bolt-misses-part", Severity.ERROR),
    ("M8}", "M3}", "bolt-length-missing", Severity.ERROR),
    (BOLT, "thread: M8, bridges: 60, undrawn: 60}", "bolt-length-missing", Severity.ERROR),
    (f"    {HOLE}\n", "", "bolt-without-hole", Severity.WARNING),
    ("through: yes", "through: no", "bolt-hole-unfit", Severity.WARNING),
    (PLATE, "at: [20, 0], diameter: 7", "bolt-hole-unfit", Severity.WARNING),
    (PLATE, "at: [20, 0], diameter: 14", "bolt-hole-unfit", Severity.WARNING),
    (PLATE, "at: [20, 0], tapped: M8", "bolt-hole-unfit", Severity.WARNING),
    (BOLT, "thread: M8, nut: tapped}", "bolt-hole-unfit", Severity.WARNING),
    (PLATE, "at: [26, 0], for: M8", "bolt-without-hole", Severity.WARNING),
    (PLATE, "at: [20, 0]", "key-missing", Severity.ERROR),
    (PLATE, "at: [20, 0], for: M8, tapped: M8", "hole-size-unclear", Severity.ERROR),
    (PLATE, "at: [20, 0], diameter: 9, fit: fine", "hole-size-unclear", Severity.ERROR),
    (PLATE, "at: [20, 0], for: M8, fit: loose", "choice-unknown", Severity.ERROR),
    ("face: left, for: M8", "face: left, for: M20", "bolt-hole-unfit", Severity.WARNING),
)


@pytest.mark.parametrize(("old", "new", "code", "severity"), BAD)
def test_it_is_told(old: str, new: str, code: str, severity: Severity) -> None:
    assert old in LUGGED
    job, findings = worked_out(LUGGED.replace(old, new))
    told = [f for f in findings if f.code == code]
    assert told, [f.code for f in findings]
    assert told[0].severity is severity
    assert (job is None) == (severity is Severity.ERROR)
    assert told[0].wrong and told[0].expected and told[0].fix


def test_a_hole_that_does_not_fit_its_tube_is_told() -> None:
    text = LUGGED.replace("26.9x2.3", "10x1").replace("13.45", "5")
    _, findings = worked_out(text.replace("face: left, for: M8", "face: left, for: M10"))
    assert "number-out-of-range" in {f.code for f in findings}


def test_how_much_nothing_lies_between_is_said() -> None:
    _, findings = worked_out(LUGGED.replace("at: [30, 13.45, 0]", "at: [30, 16.45, 0]"))
    (told,) = [f for f in findings if f.code == "bolt-misses-part"]
    assert "3.0 mm" in told.wrong


def test_copies_that_clamp_differently_are_told_and_the_longest_counts() -> None:
    # the second bolt, 100 mm on, has a plate on one side only
    text = LUGGED.replace("through: yes}]", "through: yes}, {from start: 150, face: left, for: M8, through: yes}]")
    text = text.replace("    axis: left\n", "    axis: left\n    also at: [{move: [100, 0, 0]}]\n")
    text = text.replace(
        "mirrored: left-right", "also at: [{turn: 180, axis: forward, about: [0, 0, 0]}, {move: [100, 0, 0]}]"
    )
    job, findings = worked_out(text)
    (told,) = [f for f in findings if f.code == "bolt-grips-differ"]
    assert "31.9 to 36.9 mm" in told.wrong
    assert job is not None
    fastener = job.part("lug-bolt").fastener
    assert fastener is not None
    assert fastener.length == 55


@pytest.mark.parametrize(
    "item", ["Hex nut ISO 4032 M5", "Hex nut ISO 4032 M12", "Nut from the tin", "Thin nut ISO 4035 M8"]
)
def test_a_nut_that_cannot_be_drilled_to_it_is_told(item: str) -> None:
    text = LUGGED + f"  eye-nut:\n    bought: {item}\n    drilled out: {{for: M10}}\n    on: rail\n"
    _, findings = worked_out(text)
    assert "nut-not-to-be-drilled" in {f.code for f in findings}
