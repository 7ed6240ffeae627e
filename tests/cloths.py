"""A cot with a slung bed and a hood, and a workshop that sews: small, invented, for tests."""

from __future__ import annotations

from handbarrow.design.reader import read_design
from handbarrow.findings import Finding
from handbarrow.job.values import Job
from handbarrow.job.work_out import work_out
from handbarrow.workshop.reader import read_shop

BED = """\
  bed:
    stock: canvas
    panel: {length: 1700, width: 460}
    named end: head
    edges: {all: {double hem: 40, turned under: 15}, foot: {double hem: 40, turned under: 15}, rows: 2}
    sewn on:
      - {pocket: [200, 150], at: [60, 60]}
      - {eyelet: 12, at: [30, 30]}
    hung:
      - {edge: left, by: loop, places: [100, 600, 1100, 1600], gap: [45, 55], sewn: 70}
      - {edge: right, by: loop, places: [100, 600, 1100, 1600], gap: [45, 55], sewn: 70}
      - {edge: foot, by: lacing, places: [30, 130, 230, 330, 430], gap: 75, laced: yes, stretched: 0.3}
    keep clear: 15
    at: [75, 0, 0]
    on: rail
"""
STRAPS = """\
  loop:
    stock: band
    strap: as hung
    start: {turned under: 12}
    end: {loop round: rail, sewn: 60, turned under: 12}
  lacing:
    stock: lace
    strap: as hung
    start: {knots: 1, tail: 30}
    end: {knots: 1, tail: 30}
  tie:
    stock: line
    strap: 600
    sewn rows: 2
    count: 4
    start: {knots: 1}
    on: rail
"""
HOOD = """\
  bow:
    stock: light
    points: [[300, 280, 0], [300, 280, 600], [300, -280, 600], [300, -280, 0]]
    on: rail
  visor:
    stock: light
    points: [[0, 280, 0], [-120, 280, 560], [-120, -280, 560], [0, -280, 0]]
    on: rail
  hood:
    stock: canvas
    panel: {bows: [visor, bow]}
    edges: {all: {hem: 20}}
"""
HEAD = """\
handbarrow: design 1
name: Cot
stock: {light: tube 21.3x2, canvas: cloth canvas 400, band: webbing 40x2, lace: elastic 8, line: cord 6}
carries:
  guest: {mass: 90 kg, on: rail, at: [900, 0, 110]}
parts:
  rail:
    stock: light
    points: [[-50, 280, 0], [1900, 280, 0]]
    start: free
    end: free
    mirrored: left-right
  low:
    stock: light
    points: [[1200, 280, -170], [1200, -280, -170]]
    start: free
    end: free
    on: rail
"""
SHOP = """\
handbarrow: workshop 1
name: Ridge workshop
stock:
  tube 21.3x2: {lengths: [{length: 6000, price: 10}]}
  cloth canvas 400:
    roll width: 1480
    strength: 2500 N
    strength across: 2000 N
    trial: {length: 1000, width: 50, pull: 100 N, longer: 12}
    trial across: {length: 1000, width: 50, pull: 100 N, longer: 20}
    price per m: 10
  webbing 40x2: {mass per m: 48 g, strength: 8000 N, trial: {length: 1000, pull: 500 N, longer: 12}, price per m: 2}
  elastic 8: {mass per m: 42 g, strength: 900 N, trial: {length: 500, pull: 60 N, longer: 200}, price per m: 1}
  cord 6: {mass per m: 22 g, price per m: 0.4}
dies:
  - name: D21
    for: tube 21.3x2
    radius: 65
    set angle: {a: 1, b: 0, test bends: 5, date: 2026-01-01}
    stretch: 0 per 90
    reference offset: 0
prices:
  Thread 30: {price: 9, pack: 1000}
sewing:
  thread: Thread 30
  thread strength: 60 N
  needle: 110/18
  stitch: 3.5
  speed: 500
  standing: 0.6
  lifting factor: 7
  between pieces: 5
  knots: {elastic 8: {before: 1000, after: 700, knots: 3}, cord 6: {before: 1000, after: 640, knots: 4}}
"""
COT = HEAD + BED + STRAPS
FACTOR = 7.0


def job_of(text: str, shop: str = SHOP, units: int = 3) -> Job:
    """The job of a design that is right."""
    job, findings = worked(text, shop, units)
    assert job is not None, findings
    return job


def worked(text: str, shop: str = SHOP, units: int = 3) -> tuple[Job | None, list[Finding]]:
    source, found = read_design(text, "cot.yaml")
    return work_out(source, read_shop(shop, "shop.yaml"), found, units)
