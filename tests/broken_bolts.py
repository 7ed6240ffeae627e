"""Bolts, nuts and parts of sheet that are wrong in one way each, and everything that is said of them."""

from __future__ import annotations

from collections.abc import Iterator

from bad_sheet import JOB_FAULTS
from bolted_parts import LUGGED, worked_out
from handbarrow.design.reader import read_design
from handbarrow.findings import Finding
from handbarrow.job.build import build_job
from handbarrow.workshop.reader import read_workshop

BOLTS = (
    ("    axis: left\n", "    axis: up\n"),
    ("at: [30, 13.45, 0]", "at: [30, 16.45, 0]"),
    ("M8}", "M3}"),
    ("at: [20, 0], for: M8", "at: [26, 0], for: M8"),
    ("through: yes", "through: no"),
    ("at: [20, 0], for: M8", "at: [20, 0], diameter: 7"),
    ("at: [20, 0], for: M8", "at: [20, 0], tapped: M8"),
    ("thread: M8}", "thread: M8, nut: tapped}"),
)
"""What is taken out of the design, what is put in."""
NUTS = ("Hex nut ISO 4032 M5", "Nut from the tin")


def of_bolts() -> Iterator[tuple[str, list[Finding]]]:
    """Bolts and nuts."""
    for old, new in BOLTS:
        assert old in LUGGED
        text = LUGGED.replace(old, new)
        yield text, worked_out(text)[1]
    for item in NUTS:
        text = LUGGED + f"  eye-nut:\n    bought: {item}\n    drilled out: {{for: M10}}\n    on: rail\n"
        yield text, worked_out(text)[1]
    two = LUGGED.replace("through: yes}]", "through: yes}, {from start: 150, face: left, for: M8, through: yes}]")
    two = two.replace("    axis: left\n", "    axis: left\n    also at: [{move: [100, 0, 0]}]\n")
    turned = "also at: [{turn: 180, axis: forward, about: [0, 0, 0]}, {move: [100, 0, 0]}]"
    two = two.replace("mirrored: left-right", turned)
    yield two, worked_out(two)[1]


def of_sheet() -> Iterator[tuple[str, list[Finding]]]:
    """Parts of sheet."""
    for design, shop in JOB_FAULTS.values():
        source, found = read_design(design, "tray.yaml")
        workshop, told, _ = read_workshop(shop, "shop.yaml")
        assert source is not None, found
        assert workshop is not None, told
        yield design + shop, build_job(source, workshop, 3)[1]
