"""The STEP file read back by the CAD kernel, and the scene's boxes against the kernel's.

[OCCT] Open CASCADE Technology by way of cadquery-ocp-novtk, a general-purpose reference library: what it reads back
from the file is computed here by it. Masses are the job's; the volume that they stand for is plane geometry.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.STEPControl import STEPControl_Reader

from handbarrow.cli.app import app
from handbarrow.cli.loading import load_job
from handbarrow.drawings import step, step_solids
from handbarrow.drawings.mesh import part_bodies
from handbarrow.drawings.step import StepFile, product_step
from handbarrow.drawings.step_solids import solids_in, volume
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.geometry.section_properties import area

ROOT = Path(__file__).parents[2]
DAY = "2026-06-01"
DENSITY = 7.85e-6


@pytest.fixture(scope="module")
def job() -> Job:
    made, _ = load_job(ROOT / "examples/hut-trailer.yaml", ROOT / "examples/ridge-workshop.yaml", 1)
    assert made is not None
    return made


@pytest.fixture(scope="module")
def file(job: Job) -> StepFile:
    return product_step(job, DAY)


@pytest.fixture(scope="module")
def solids(file: StepFile, tmp_path_factory: pytest.TempPathFactory) -> list[object]:
    path = tmp_path_factory.mktemp("step") / "product.step"
    path.write_bytes(file.content)
    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    return solids_in(reader.OneShape())


def with_body(job: Job) -> list[tuple[JobPart, int, np.ndarray]]:
    """(part, copy, transform) of every piece that has a body; cloth is no solid."""
    return [
        (job.part(p.part), p.copy, np.asarray(p.transform, float))
        for p in job.placements
        if job.part(p.part).soft is None and part_bodies(job, job.part(p.part))
    ]


def test_no_end_and_no_hole_is_left_uncut(file: StepFile) -> None:
    assert file.uncut == ()
    assert b"not cut" not in file.content


def test_there_are_as_many_sound_solids_as_pieces_and_three_to_a_wheel_or_a_bolt(
    job: Job, solids: list[object]
) -> None:
    pieces = with_body(job)
    bought = [part for part, _, _ in pieces if part.kind == "bought"]
    assert {part.fastener is None for part in bought} == {True, False}
    others = [p for p in pieces if p[0].sheet is None]
    sheet = [skin_box(job, part, transform) for part, _, transform in pieces if part.sheet is not None]
    assert sheet
    flat = [s for s in solids if any(lies_in(bounds(s), box) for box in sheet)]
    assert len(flat) > len(sheet)  # one flat piece beside the other
    assert len(solids) - len(flat) == len(others) + 2 * len(bought)  # a wheel: tyre, rim, hub; a bolt: head, shank, nut
    assert all(BRepCheck_Analyzer(solid).IsValid() for solid in solids)
    assert all(volume(solid) > 0 for solid in solids), "a mirrored solid is not inside out"


def test_solids_weigh_what_the_job_says(job: Job, solids: list[object]) -> None:
    """Piece by piece: the solid that lies in the piece's box weighs its mass.

    A die's stretch is added, drilled metal taken off; masses count a cope by its outside alone.
    """
    found = [(bounds(solid), volume(solid)) for solid in solids]
    for part, copy, transform in with_body(job):
        if part.kind == "bought" or part.mass_kg is None:
            continue
        box = skin_box(job, part, transform)
        if part.sheet is not None:
            inside = [(b, v) for b, v in found if lies_in(b, box)]
            around = np.array([np.min([b[0] for b, _ in inside], axis=0), np.max([b[1] for b, _ in inside], axis=0)])
            assert np.abs(around - box).max() < 0.15, f"{part.id} copy {copy}: box"
            assert sum(v for _, v in inside) == pytest.approx(metal(part), rel=2e-3), part.id  # folds in narrow pieces
            continue
        near = min(found, key=lambda f: float(np.abs(f[0] - box).max()))
        assert np.abs(near[0] - box).max() < 0.15, f"{part.id} copy {copy}: box"
        assert near[1] == pytest.approx(metal(part), rel=0.012 if part.start and part.start.wrap else 1e-3), part.id


def metal(part: JobPart) -> float:
    out = part.mass_kg / DENSITY
    if part.section is None:
        return out
    if part.card is not None:
        out += area(part.section) * sum(row.radius * row.angle_rad - row.uses for row in part.card.rows)
    deep = part.section.wall or part.section.width
    for hole in part.holes:
        r = hole.diameter / 2
        shape = (hole.length - r) * hole.diameter + math.pi * r**2 / 2 if hole.open_edge else math.pi * r**2
        out -= shape * deep * (2 if hole.through and part.section.is_hollow else 1)
    return out


def bounds(solid: object) -> np.ndarray:
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(solid, box, False, False)
    corner = [getattr(box, f"Corner{end}")() for end in ("Min", "Max")]
    return np.array([(c.X(), c.Y(), c.Z()) for c in corner])


def lies_in(inner: np.ndarray, outer: np.ndarray) -> bool:
    return bool(np.all(inner[0] >= outer[0] - 0.15) and np.all(inner[1] <= outer[1] + 0.15))


def skin_box(job: Job, part: JobPart, transform: np.ndarray) -> np.ndarray:
    points = part_bodies(job, part, 0.05)[0].skin.points @ transform[:3, :3].T + transform[:3, 3]
    return np.array([points.min(axis=0), points.max(axis=0)])


def test_pieces_and_assemblies_keep_their_names(job: Job, file: StepFile) -> None:
    text = file.content.decode()
    products = set(re.findall(r"PRODUCT\('([^']*)'", text))
    assert {job.design.name, *(part.id for part, _, _ in with_body(job))} <= products
    placed = re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('(\d+)','([^']*)'", text)
    assert [int(number) for number, _ in placed] == list(range(1, len(placed) + 1))
    assert {f"{part.id} copy {copy}" for part, copy, _ in with_body(job)} <= {name for _, name in placed}
    inside = {a.name for a in job.design.assemblies} & {name for _, name in placed}
    assert inside == {a.name for a in job.design.assemblies}


def test_cloth_is_not_among_the_solids(job: Job, file: StepFile) -> None:
    cloth = [part.id for part in job.parts if part.soft is not None]
    assert cloth
    assert not any(f"'{name}".encode() in file.content for name in cloth)


def test_same_job_and_date_give_the_same_bytes_and_the_head_says_the_date(job: Job, file: StepFile) -> None:
    assert product_step(job, DAY).content == file.content
    assert f"'{DAY}T00:00:00'".encode() in file.content[:600]


def test_a_tube_that_the_kernel_cannot_cut_is_left_square_and_says_so(
    monkeypatch: pytest.MonkeyPatch, job: Job
) -> None:
    few = replace(job, parts=tuple(p for p in job.parts if p.id in ("cross-member", "rear-cross", "axle-plate")))

    def stubborn(job: Job, part: JobPart, spare: float | None = 0.0) -> tuple[object, ...]:
        if part.id == "cross-member" and spare is not None:
            raise step_solids.Failure("no")
        return real(job, part, spare)

    real = step_solids.part_solids
    monkeypatch.setattr(step_solids, "part_solids", stubborn)
    made = product_step(few, DAY)
    assert made.uncut == ("cross-member",)
    assert b"cross-member (ends and holes not cut)" in made.content
    assert b"rear-cross (ends" not in made.content


def test_without_the_kernel_the_command_says_what_to_install_and_writes_nothing(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(step, "has_kernel", lambda: False)
    into = tmp_path / "out"
    shop = ["--workshop", str(ROOT / "examples/ridge-workshop.yaml"), "--into", str(into), "--step"]
    done = CliRunner().invoke(app, ["sheets", str(ROOT / "examples/handcart.yaml"), *shop])
    assert done.exit_code == 2
    assert "handbarrow[step]" in done.output
    assert not into.exists()


def test_step_goes_with_the_whole_folder_only(tmp_path: Path) -> None:
    shop = ["--workshop", str(ROOT / "examples/ridge-workshop.yaml"), "--into", str(tmp_path / "out"), "--step"]
    done = CliRunner().invoke(app, ["sheets", str(ROOT / "examples/handcart.yaml"), *shop, "--station", "saw"])
    assert done.exit_code == 2
    assert "whole folder" in done.output
