"""Invented frames as design texts, worked out for the ridge workshop, for tests of jigs."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.reader import read_design
from handbarrow.findings import errors
from handbarrow.job.build import build_job
from handbarrow.job.jig_values import Fixture, JigMember
from handbarrow.job.values import Job
from handbarrow.laws.geometry.path import layout, rotation
from handbarrow.workshop.reader import read_workshop

ROOT = Path(__file__).parents[1]
Points = NDArray[np.float64]

HEAD = """\
handbarrow: design 1
name: Invented frame
revision: A
stock:
  main: tube 26.9x2.3
  light: tube 21.3x2
  bow: square tube 15x1.5
  gusset: plate 5
  wheel: wheel 47-406
parts:
"""
HOOP = """\
  hoop:
    stock: main
    points: [[0, 300, 0], [1000, 300, 0], [1000, -300, 0], [0, -300, 0]]
  beam:
    stock: main
    points: [[0, 340, 0], [0, -340, 0]]
    start: free
    end: free
"""
RECTANGLE = """\
  front: {stock: main, points: [[0, 0, 50], [0, 500, 50]]}
  left: {stock: main, points: [[0, 500, 50], [800, 500, 50]]}
  back: {stock: main, points: [[800, 500, 50], [800, 0, 50]]}
  right: {stock: main, points: [[800, 0, 50], [0, 0, 50]]}
"""
BY = ROOT / "examples/ridge-workshop.yaml"


def job_of(parts: str) -> Job:
    """The job of a design with these parts."""
    return job_from((HEAD + parts).encode())


def job_from(text: bytes) -> Job:
    """The job of a design text, one unit, no cutting plan."""
    source, found = read_design(text, "frame.yaml")
    assert source is not None, found
    shop, _, _ = read_workshop(BY.read_bytes(), str(BY))
    assert shop is not None
    job, found = build_job(source, shop, 1, with_cutting=False)
    assert job is not None, errors(found)
    return job


@cache
def example(name: str) -> Job:
    """The job of an example."""
    return job_from((ROOT / f"examples/{name}.yaml").read_bytes())


def centreline_on_board(job: Job, fixture: Fixture, member: JigMember) -> Points:
    """(k, 3) points of a member's centreline in board axes, 2 mm apart or closer.

    Made anew from straights and arcs and the transforms of copy and board: nothing of the jig's own sampling.
    """
    part = job.part(member.part)
    assert part.centreline is not None
    place, rows = layout(part.centreline), []
    starts = [place.start, *place.tangents_out]
    for k, (at, way, size) in enumerate(zip(starts, place.directions, place.straights, strict=True)):
        rows.append(at + np.linspace(0, float(size), max(2, int(size / 2) + 2))[:, None] * way)
        if k < len(place.angles):
            spoke = place.tangents_in[k] - place.centres[k]
            turns = np.linspace(0, float(place.angles[k]), max(3, int(place.arcs[k]) + 2))
            rows.append(np.array([place.centres[k] + rotation(place.normals[k], float(a)) @ spoke for a in turns]))
    points = np.concatenate(rows)
    (placed,) = (p for p in job.product.of_part(member.part) if p.copy == member.copy)
    for matrix in (placed.transform, fixture.to_board):
        m = np.asarray(matrix)
        points = points @ m[:3, :3].T + m[:3, 3]
    return points


def reaches(job: Job, member: JigMember) -> tuple[float, float]:
    """Half of a member's section across and down, for round and square sections."""
    section = job.part(member.part).section
    assert section is not None
    assert section.shape in ("round tube", "square tube", "round bar")
    return section.outside / 2, section.outside / 2
