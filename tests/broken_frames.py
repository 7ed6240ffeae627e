"""Designs whose use is wrong or incomplete in one way each, and what the checks of strength say of them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from examples_checked import EXAMPLES, job_of, text_of
from handbarrow.findings import Finding
from handbarrow.job.frame_checks import strength

HANDS = "held at: [grip centre, grip copy 2 centre]\nstands on: [foot centre, foot copy 2 centre]\n"
MYSTERY = (re.compile(r"(  bar 16:[^\n]*\n    steel: )C45\+C(.*?)    yield: 430 MPa\n", re.DOTALL), r"\1heirloom\2")
FRAMES: dict[str, tuple[str, str, str]] = {
    "holds-not-given": ("handcart", HANDS, ""),
    "load-not-carried": ("handcart", "on: frame-hoop, at: [bed_rear", "on: axle, at: [bed_rear"),
    "lift-held-outside": ("hut-trailer", "at: [cot-leg start,", "at: [bearer start,"),
    "frame-not-held": ("hut-trailer", "    on: cot-cross copy 2\n", ""),
    "no-such-point": ("handcart", "held at: [grip centre", "held at: [grip start"),
    "yield-unknown": ("handcart", "", ""),
}
"""Code -> the example, what is taken out of it, what is put in."""


def broken(code: str) -> tuple[str, list[Finding]]:
    """The design and what the checks say of it."""
    name, old, new = FRAMES[code]
    text = text_of(name)
    assert old in text
    text = text.replace(old, new, 1)
    shop = (EXAMPLES / "ridge-workshop.yaml").read_text()
    if code == "yield-unknown":
        shop, found = MYSTERY[0].subn(MYSTERY[1], shop, count=1)
        assert found
    return text, strength(job_of(text, shop))[1]


def of_frames() -> Iterator[tuple[str, list[Finding]]]:
    """All of them."""
    for code in FRAMES:
        yield broken(code)
