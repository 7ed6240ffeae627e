"""The glTF scene judged by the specification and by another reader.

[GLTF] Khronos Group, glTF 2.0 Specification, 2.0.1: 3.4 coordinate system and units, 3.5.3 transformations, 3.6.2
accessors (bounds, alignment), 3.7.2 geometry, 3.7.4 instantiation (winding), 4 GLB layout. Read.
[READER] trimesh, a general-purpose reader of meshes: volumes, tightness and boxes are computed here by it.
Masses and centrelines come from the job; the volume that they stand for is plane geometry (computed here).
"""

from __future__ import annotations

import io
import json
import math
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from handbarrow.cli.loading import load_job
from handbarrow.drawings.gltf import product_glb
from handbarrow.job.soft_values import PanelWork, StrapWork
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.geometry.section_properties import area

ROOT = Path(__file__).parents[2]
DENSITY = 7.85e-6
"""Steel [kg/mm3], as in the job's masses."""
CHORD = 0.02
CLOTH = 1.0
"""Cloth is shown so thick [mm]."""
DESIGNS = ("hut-trailer", "handcart")


def made(design: str) -> Job:
    job, _ = load_job(ROOT / f"examples/{design}.yaml", ROOT / "examples/ridge-workshop.yaml", 1)
    assert job is not None
    return job


@pytest.fixture(scope="module", params=DESIGNS)
def job(request: pytest.FixtureRequest) -> Job:
    return made(request.param)


@pytest.fixture(scope="module")
def glb(job: Job) -> bytes:
    return product_glb(job, CHORD)


@pytest.fixture(scope="module")
def document(glb: bytes) -> dict[str, Any]:
    return chunks(glb)[0]


def chunks(glb: bytes) -> tuple[dict[str, Any], bytes]:
    """The two chunks, read by the layout of [GLTF] 4.4."""
    size, kind = struct.unpack_from("<I4s", glb, 12)
    assert kind == b"JSON"
    text, at = glb[20 : 20 + size], 20 + size
    more, kind = struct.unpack_from("<I4s", glb, at)
    assert kind == b"BIN\0"
    assert at + 8 + more == len(glb)
    return json.loads(text), glb[at + 8 :]


def values(document: dict[str, Any], content: bytes, number: int) -> np.ndarray:
    accessor = document["accessors"][number]
    view = document["bufferViews"][accessor["bufferView"]]
    kind = {5126: "<f4", 5123: "<u2", 5125: "<u4"}[accessor["componentType"]]
    wide = {"SCALAR": 1, "VEC3": 3}[accessor["type"]]
    at = view["byteOffset"] + accessor["byteOffset"]
    return np.frombuffer(content, kind, accessor["count"] * wide, at).reshape(-1, wide)


def scene_of(glb: bytes) -> trimesh.Scene:
    scene = trimesh.load(io.BytesIO(glb), file_type="glb")
    assert isinstance(scene, trimesh.Scene)
    return scene


def solid(scene: trimesh.Scene, geometry: str) -> trimesh.Trimesh:
    """The mesh in mm, points that stand twice for their normals made one."""
    mesh = scene.geometry[geometry].copy()
    mesh.merge_vertices(merge_norm=True, merge_tex=True, digits_vertex=8)
    mesh.apply_scale(1000)
    return mesh


# ------------------------------------------------------------------------------------------------ the file
def test_header_counts_the_whole_file_and_chunks_are_multiples_of_four(glb: bytes) -> None:
    magic, version, size = struct.unpack_from("<4sII", glb)
    assert (magic, version, size) == (b"glTF", 2, len(glb))
    document, content = chunks(glb)
    assert len(content) % 4 == 0
    assert struct.unpack_from("<I", glb, 12)[0] % 4 == 0
    assert 0 <= len(content) - document["buffers"][0]["byteLength"] <= 3
    assert "uri" not in document["buffers"][0]
    assert document["asset"]["version"] == "2.0"


def test_views_and_accessors_lie_where_the_specification_wants_them(document: dict[str, Any], glb: bytes) -> None:
    content, views = chunks(glb)[1], document["bufferViews"]
    for view in views:
        assert view["byteOffset"] + view["byteLength"] <= document["buffers"][0]["byteLength"]
    for number, accessor in enumerate(document["accessors"]):
        view = views[accessor["bufferView"]]
        size = {5126: 4, 5123: 2, 5125: 4}[accessor["componentType"]]
        wide = {"SCALAR": 1, "VEC3": 3}[accessor["type"]]
        assert (view["byteOffset"] + accessor["byteOffset"]) % size == 0
        assert accessor["byteOffset"] + accessor["count"] * size * wide <= view["byteLength"]
        if accessor["type"] == "VEC3":
            assert view["target"] == 34962
            assert view["byteStride"] == 12
            assert accessor["byteOffset"] % 4 == 0
        else:
            assert view["target"] == 34963
            assert "byteStride" not in view
        assert np.isfinite(values(document, content, number)).all()


def test_bounds_normals_and_corner_numbers_are_those_of_the_specification(document: dict[str, Any], glb: bytes) -> None:
    content = chunks(glb)[1]
    for mesh in document["meshes"]:
        for primitive in mesh["primitives"]:
            place = document["accessors"][primitive["attributes"]["POSITION"]]
            points = values(document, content, primitive["attributes"]["POSITION"])
            assert np.array_equal(np.float32(place["min"]), points.min(axis=0))
            assert np.array_equal(np.float32(place["max"]), points.max(axis=0))
            normals = values(document, content, primitive["attributes"]["NORMAL"])
            assert len(normals) == len(points)
            assert np.abs(np.linalg.norm(normals.astype(float), axis=1) - 1).max() < 1e-5
            corners = values(document, content, primitive["indices"])
            assert len(corners) % 3 == 0
            assert corners.max() < len(points)
            largest = 65535 if document["accessors"][primitive["indices"]]["componentType"] == 5123 else 2**32 - 1
            assert corners.max() < largest, "the largest number is kept for other use"
            assert 0 <= primitive["material"] < len(document["materials"])


def test_nodes_are_one_tree_and_matrices_neither_skew_nor_scale(document: dict[str, Any]) -> None:
    nodes = document["nodes"]
    children = [child for node in nodes for child in node.get("children", [])]
    assert sorted([*document["scenes"][0]["nodes"], *children]) == list(range(len(nodes)))
    for node in nodes:
        if "matrix" in node:
            m = np.array(node["matrix"]).reshape(4, 4).T
            assert np.abs(m[:3, :3] @ m[:3, :3].T - np.eye(3)).max() < 1e-8
            assert m[3].tolist() == [0, 0, 0, 1]


def test_same_job_gives_the_same_bytes(job: Job, glb: bytes) -> None:
    assert product_glb(made("hut-trailer" if "trailer" in job.design.name else "handcart"), CHORD) == glb


# ------------------------------------------------------------------------------------------------ the scene
def test_each_piece_is_a_node_below_its_assembly_and_says_what_it_is(job: Job, document: dict[str, Any]) -> None:
    nodes = document["nodes"]
    above = {child: node["name"] for node in nodes for child in node.get("children", [])}
    said = {}
    for k, node in enumerate(nodes):
        extras = node.get("extras", {})
        if "part" not in extras:
            continue
        part = job.part(extras["part"])
        assert node["name"] == f"{part.id} copy {extras['copy']}"
        assert (extras["title"], extras["kind"], extras["assembly"]) == (part.title, part.kind, part.assembly)
        assert job.parts[extras["number"] - 1].id == part.id
        assert above[k] == part.assembly
        said[(part.id, extras["copy"])] = node
    assert set(said) == {(p.part, p.copy) for p in job.placements}
    for assembly in job.design.assemblies:
        k = next(i for i, n in enumerate(nodes) if n.get("extras") == {"assembly": assembly.name})
        assert above[k] == (assembly.within or job.design.name)
    shared = {node.get("mesh") for (part, _), node in said.items() if part == job.parts[0].id}
    assert len(shared) == 1, "copies share one mesh"


def test_a_mirrored_copy_turns_the_winding_by_its_determinant(job: Job, document: dict[str, Any]) -> None:
    nodes = {(n["extras"]["part"], n["extras"]["copy"]): n for n in document["nodes"] if "part" in n.get("extras", {})}
    seen = 0
    for place in job.placements:
        node = nodes[(place.part, place.copy)]
        if "mesh" in node:
            m = np.array(node.get("matrix", np.eye(4).ravel())).reshape(4, 4)
            assert (np.linalg.det(m[:3, :3]) < 0) == place.mirrored
            seen += place.mirrored
    assert seen > 2


def test_up_is_y_forward_is_z_and_lengths_are_metres(job: Job, glb: bytes) -> None:
    scene = scene_of(glb)
    low, high = scene.bounds
    assert low[1] == pytest.approx(0, abs=5e-4), "the wheels stand on the ground"
    wheels = [
        scene.graph[n][0] @ [*scene.geometry[scene.graph[n][1]].centroid, 1] for n in nodes_of(scene, "wheel copy")
    ]
    design = job.design.part("wheel").shape
    assert sorted(w[0] for w in wheels) == pytest.approx([-design.at[1] / 1000, design.at[1] / 1000], abs=1e-4)
    assert [w[2] for w in wheels] == pytest.approx([design.at[0] / 1000] * 2, abs=1e-4)
    points = [p for part in job.parts if part.centreline for p in part.centreline.points]
    reach = max(p[0] for p in points) / 1000
    bolts = 0.16 if any(part.fastener for part in job.parts) else 0.06  # those of the hitch lie before the last tube
    assert high[2] == pytest.approx(reach, abs=bolts), "forward is towards +z"


def nodes_of(scene: trimesh.Scene, name: str) -> list[str]:
    """Nodes of a part's largest body: the reader makes one of each of its materials."""
    found = [n for n in scene.graph.nodes_geometry if n.startswith(name)]
    most = max(scene.geometry[scene.graph[n][1]].volume for n in found)
    return [n for n in found if scene.geometry[scene.graph[n][1]].volume == most]


def test_a_bought_part_without_a_known_body_is_a_node_where_the_design_puts_it(document: dict[str, Any]) -> None:
    bare = [n for n in document["nodes"] if n.get("extras", {}).get("kind") == "bought" and "mesh" not in n]
    if not bare:
        pytest.skip("this design has none")
    for node in bare:
        assert "matrix" in node or node["extras"]["copy"] == 1


# ------------------------------------------------------------------------------------------------ what it weighs
def expected_volume(part: JobPart) -> float:
    """Metal of a part from its mass.

    A die that stretches the tube makes it longer than the metal that went in, and masses count a cope by its outside
    alone: through the wall the cut runs straight from the outside to the inside (r dr integrated, closed form).
    """
    assert part.mass_kg is not None
    volume = part.mass_kg / DENSITY
    if part.section is None:
        return volume
    if part.card is not None:
        volume += area(part.section) * sum(row.radius * row.angle_rad - row.uses for row in part.card.rows)
    for cut in (part.start, part.end):
        if cut.inner_wrap and part.section.is_round:
            s, h = np.array(cut.wrap).T
            more = np.trapezoid(np.array(cut.inner_wrap) - h, s) / s[-1]
            ro, ri = part.section.height / 2, part.section.height / 2 - part.section.wall
            volume -= more * inner_share(ro, ri)
    return volume


def inner_share(ro: float, ri: float) -> float:
    """2 pi times the integral of (ro - r) / (ro - ri) r dr through the wall [mm2]."""
    return 2 * math.pi / (ro - ri) * (ro * (ro**2 - ri**2) / 2 - (ro**3 - ri**3) / 3)


def drilled(part: JobPart) -> float:
    """What holes of bars and tubes take away: the job's masses do not count it. Thin walls are taken as flat."""
    if part.section is None:
        return 0.0
    deep = part.section.wall or part.section.width
    out = 0.0
    for hole in part.holes:
        r = hole.diameter / 2
        across = (hole.length - r) * hole.diameter + math.pi * r**2 / 2 if hole.open_edge else math.pi * r**2
        out += across * deep * (2 if hole.through and part.section.is_hollow else 1)
    return out


def shoelace(outline: tuple[tuple[float, float], ...]) -> float:
    """Area of a plane figure [mm2], Gauss's formula."""
    x, y = np.array(outline).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def test_every_mesh_is_tight_and_weighs_what_the_job_says(job: Job, glb: bytes) -> None:
    scene = scene_of(glb)
    for part in job.parts:
        if part.kind == "bought" or part.mass_kg is None:
            continue
        if isinstance(part.soft, StrapWork):  # webbing and cord have no shape in space
            assert part.id not in scene.geometry
            continue
        mesh = solid(scene, part.id)
        assert mesh.is_watertight, part.id
        assert mesh.is_winding_consistent, part.id
        if isinstance(part.soft, PanelWork):  # its mass is of cut cloth with its hems; the skin is the finished panel
            if part.soft.twist_rad is None:
                assert mesh.volume == pytest.approx(math.prod(part.soft.finished) * CLOTH, rel=0.001), part.id
            else:
                assert mesh.volume == pytest.approx(shoelace(part.soft.outline) * CLOTH, rel=0.007), part.id
            continue
        wanted = expected_volume(part) - drilled(part)
        assert mesh.volume == pytest.approx(wanted, rel=0.007), f"{part.id}: chords of 0.02 mm take up to 0.6 %"


def test_bodies_of_wheels_are_tight_and_as_large_as_the_tyre_is(job: Job, glb: bytes) -> None:
    """ISO 5775: outside diameter = bead seat + 2 x width (common practice); a ring's volume by Pappus (closed form)."""
    scene, wheel = scene_of(glb), job.design.part("wheel").shape.wheel
    bodies = [
        solid(scene, name) for name in scene.geometry if name.startswith("wheel") and not name.startswith("wheel-")
    ]
    assert len(bodies) == 3
    assert all(body.is_watertight for body in bodies)
    tyre = max(bodies, key=lambda b: float(b.volume))
    assert max(tyre.extents) == pytest.approx(wheel.bead_seat + 2 * wheel.width, abs=0.1)
    middle, r = wheel.bead_seat / 2 + wheel.width / 2, wheel.width / 2
    assert tyre.volume == pytest.approx(2 * math.pi * middle * math.pi * r**2, rel=0.003)


def test_coarser_chords_give_smaller_files_that_are_still_tight() -> None:
    job = made("handcart")
    coarse, fine = product_glb(job, 1.0), product_glb(job, 0.02)
    assert len(coarse) < len(fine) / 2
    scene = scene_of(coarse)
    assert all(solid(scene, name).is_watertight for name in scene.geometry)


# ------------------------------------------------------------------------------------------------ shape
def test_every_point_of_a_round_tube_lies_on_it_and_every_chord_within_the_error() -> None:
    """The hut trailer's cot hoop: plane, square ends. Points are judged by their distance from straights and arcs."""
    job = made("hut-trailer")
    part = job.part("cot-hoop")
    assert part.centreline is not None
    mesh = solid(scene_of(product_glb(job, 0.1)), "cot-hoop")
    points, radii = np.array(part.centreline.points), part.centreline.radii
    away = lambda p: from_line(p[:, [2, 0, 1]], points, radii)  # noqa: E731
    r = part.section.height / 2
    rims = np.minimum(np.abs(away(mesh.vertices) - r), np.abs(away(mesh.vertices) - (r - part.section.wall)))
    assert rims.max() < 1e-3
    sides = mesh.triangles.mean(axis=1)
    inside = np.minimum(np.abs(away(sides) - r), np.abs(away(sides) - (r - part.section.wall)))
    ends = (np.abs(mesh.face_normals[:, 2]) > 0.999) & (np.abs(sides[:, 2] - points[0, 0]) < 0.01)
    assert inside[~ends].max() < 0.2, "two chords, one round the tube and one along the bend"


def from_line(p: np.ndarray, corners: np.ndarray, radii: tuple[float, ...]) -> np.ndarray:
    """Distance of points from straights joined by arcs, corner by corner (plane geometry, own lines)."""
    best, here = np.full(len(p), np.inf), corners[0]
    for k in range(1, len(corners)):
        if k < len(corners) - 1:
            a, b = corners[k - 1] - corners[k], corners[k + 1] - corners[k]
            a, b = a / np.linalg.norm(a), b / np.linalg.norm(b)
            half = math.acos(float(a @ b)) / 2
            back = radii[k - 1] / math.tan(half)
            stop = corners[k] + a * back
        else:
            stop = corners[k]
        way = stop - here
        f = np.clip((p - here) @ way / (way @ way), 0, 1)
        best = np.minimum(best, np.linalg.norm(p - here - f[:, None] * way, axis=1))
        if k < len(corners) - 1:
            centre = corners[k] + (a + b) / np.linalg.norm(a + b) * radii[k - 1] / math.sin(half)
            n = np.cross(a, b) / np.linalg.norm(np.cross(a, b))
            flat = (p - centre) - ((p - centre) @ n)[:, None] * n
            ring = centre + flat / np.linalg.norm(flat, axis=1)[:, None] * radii[k - 1]
            on = (flat @ (corners[k] - centre)) / np.linalg.norm(flat, axis=1) / np.linalg.norm(corners[k] - centre)
            near = on >= math.cos(math.pi / 2 - half) - 1e-9
            best = np.where(near, np.minimum(best, np.linalg.norm(p - ring, axis=1)), best)
            here = corners[k] + b * back
    return best


def test_a_coped_end_lies_on_the_tube_that_it_meets_inside_and_outside() -> None:
    """The cross member's start meets a straight of the inner hoop: its cut lies one radius from that axis."""
    job = made("hut-trailer")
    part, hoop = job.part("cross-member"), job.part("inner-hoop")
    mesh = solid(scene_of(product_glb(job, 0.05)), "cross-member")
    y, z = hoop.centreline.points[0][1], hoop.centreline.points[0][2]
    r = hoop.section.height / 2
    p = mesh.vertices[:, [2, 0, 1]]
    cut = p[p[:, 1] > part.centreline.points[0][1] - r - 1]
    axis = np.hypot(cut[:, 1] - y, cut[:, 2] - z)
    assert len(cut) > 40
    assert np.abs(axis - r).max() < 1e-3
