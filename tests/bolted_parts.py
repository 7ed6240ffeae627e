"""A small design that is bolted, to be changed by tests, and what is said of it."""

from __future__ import annotations

from handbarrow.design.reader import read_design
from handbarrow.findings import Finding
from handbarrow.job.build import build_job
from handbarrow.job.values import Job
from handbarrow.workshop.reader import read_workshop

__all__ = ["LUGGED", "worked_out"]

SHOP = """\
handbarrow: workshop 1
name: Test shop
stock:
  tube 26.9x2.3: {steel: S235JR, lengths: [{length: 6000, price: 12}]}
  plate 5: {steel: S235JR, price per kg: 2}
prices:
  Washer ISO 7089 8: {price: 0.03, mass: 0.002 kg}
"""
LUGGED = """\
handbarrow: design 1
name: Lugs
stock: {main: tube 26.9x2.3, gusset: plate 5}
parts:
  rail:
    stock: main
    points: [[0, 0, 0], [300, 0, 0]]
    start: free
    end: free
    holes: [{from start: 50, face: left, for: M8, through: yes}]
  lug:
    stock: gusset
    outline: [[0, -20], [40, -20], [40, 20], [0, 20]]
    holes: [{at: [20, 0], for: M8}]
    at: [30, 13.45, 0]
    facing: left
    mirrored: left-right
    on: rail
  lug-bolt:
    bolted: {through: [lug, rail], thread: M8}
    at: [50, 0, 0]
    axis: left
"""
"""Two plates of 5 mm on either side of a tube of 26.9 mm, and a bolt through the three."""


def worked_out(text: str, units: int = 1) -> tuple[Job | None, list[Finding]]:
    """The job of a design in a small shop, and all findings."""
    shop, told, _ = read_workshop(SHOP, "shop.yaml")
    assert shop is not None, told
    source, findings = read_design(text, "lugs.yaml")
    if source is None:
        return None, findings
    job, found = build_job(source, shop, units, with_cutting=False)
    return job, [*findings, *found]
