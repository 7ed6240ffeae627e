"""The product as a glTF 2.0 scene in one binary file: a node for each piece, assemblies as nodes above them.

Metres, right-handed, y up, z forward, x to the left, as glTF 2.0 wants it (read: Khronos glTF 2.0 specification, 3.4):
product axes (x forward, y left, z up) become (z, x, y). Copies share one mesh. A mirrored copy has a matrix with a
negative determinant; the specification then turns the winding round (3.7.4, read), so the same mesh serves.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from handbarrow.design.values import Bought, Placement
from handbarrow.drawings.mesh import CHORD, Body, Matter, part_bodies
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.geometry.path import Floats

__all__ = ["product_glb", "y_up"]

MM = 1e-3
FLOAT, SHORT, INT = 5126, 5123, 5125
VERTICES, CORNERS = 34962, 34963
VIEWS = ("point", "lean", "short", "int")

LOOKS: dict[Matter, tuple[str, tuple[float, float, float], float, float]] = {
    "tube": ("mild steel tube", (0.27, 0.31, 0.35), 0.35, 0.55),
    "bar": ("mild steel bar", (0.34, 0.36, 0.37), 0.35, 0.6),
    "plate": ("mild steel plate", (0.42, 0.44, 0.45), 0.35, 0.6),
    "cloth": ("cloth", (0.42, 0.36, 0.24), 0.0, 0.95),
    "tyre": ("tyre", (0.035, 0.035, 0.038), 0.0, 0.9),
    "rim": ("rim and hub", (0.55, 0.56, 0.57), 0.5, 0.45),
}
"""Name, colour (linear red, green, blue), how metallic, how rough."""


def y_up(points: Floats) -> Floats:
    """Return points or directions (n, 3) of product axes in the axes of glTF; lengths as they are.

    >>> y_up(np.array([[1.0, 2.0, 3.0]])).tolist()
    [[2.0, 3.0, 1.0]]
    """
    out: Floats = points[..., [1, 2, 0]]
    return out


def product_glb(job: Job, chord: float = CHORD, positions: Mapping[str, str] | None = None) -> bytes:
    """Return the product as a binary glTF file.

    Args:
        job: The job; of its units one is shown.
        chord: How far a chord may lie from the true curve [mm].
        positions: Assembly -> the position that it is shown in; left out: as drawn.

    Returns:
        The file. The same job gives the same bytes.
    """
    store, meshes = _Store(), {}
    for part in job.parts:
        bodies = part_bodies(job, part, chord)
        if bodies:
            meshes[part.id] = len(store.meshes)
            store.add(part, bodies)
    nodes = _nodes(job, meshes)
    _move(job, nodes, positions or {})
    design = {"design": job.design.name, "revision": job.design.revision}
    digests = {"digest": job.design.digest, "workshop_digest": job.workshop.digest}
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "Handbarrow", "extras": design | digests},
        "scene": 0,
        "scenes": [{"name": job.design.name, "nodes": [0]}],
        "nodes": nodes,
    }
    return _file(document | store.document())


# ------------------------------------------------------------------------------------------------ nodes
def _nodes(job: Job, meshes: dict[str, int]) -> list[dict[str, Any]]:
    """The product first, then its assemblies, then every piece."""
    nodes: list[dict[str, Any]] = [{"name": job.design.name}]
    places = {a.name: k for k, a in enumerate(job.design.assemblies, start=1)}
    nodes += [{"name": a.name, "extras": {"assembly": a.name}} for a in job.design.assemblies]
    below: list[list[int]] = [[] for _ in nodes]
    for assembly in job.design.assemblies:
        below[places.get(assembly.within or "", 0)].append(places[assembly.name])
    pieces = {p.id: [q for q in job.placements if q.part == p.id] for p in job.parts}
    for number, part in enumerate(job.parts, start=1):
        for placement in pieces[part.id]:
            below[places.get(part.assembly, 0)].append(len(nodes))
            nodes.append(_piece(job, part, placement, number, meshes.get(part.id)))
    for node, children in zip(nodes, below, strict=False):
        if children:
            node["children"] = children
    return nodes


def _piece(job: Job, part: JobPart, placement: Placement, number: int, mesh: int | None) -> dict[str, Any]:
    """A piece in its place. One without a body stands where its middle is, as far as the design says."""
    said = {"part": part.id, "copy": placement.copy, "assembly": part.assembly, "number": number}
    node: dict[str, Any] = {"name": f"{part.id} copy {placement.copy}"}
    node["extras"] = said | {"title": part.title, "kind": part.kind}
    m = np.asarray(placement.transform, float)
    if mesh is not None:
        node["mesh"] = mesh
    else:
        shape = job.design.part(part.id).shape
        if isinstance(shape, Bought) and shape.at is not None:
            here = np.eye(4)
            here[:3, 3] = np.add(shape.at, (0.0, 0.0, job.product.lift))
            m = m @ here
    turn, shift = y_up(y_up(m[:3, :3]).T).T, y_up(m[:3, 3]) * MM
    _turn(node, turn, shift)
    return node


def _turn(node: dict[str, Any], turn: Floats, shift: Floats) -> None:
    """Give a node its matrix, column by column; none where nothing moves."""
    columns = np.eye(4)
    columns[:3, :3], columns[3, :3] = turn.T, shift
    if not np.array_equal(columns, np.eye(4)):
        node["matrix"] = [float(v) for v in (columns.round(9) + 0.0).ravel()]


def _move(job: Job, nodes: list[dict[str, Any]], positions: Mapping[str, str]) -> None:
    """Put assemblies in positions. A position is said from as drawn, so one within another is carried along."""
    up = np.eye(4)
    up[2, 3] = job.product.lift
    for node, assembly in zip(nodes[1:], job.design.assemblies, strict=False):
        wanted = positions.get(assembly.name)
        for position in assembly.positions:
            if position.name == wanted:
                m = up @ np.asarray(position.transform, float) @ np.linalg.inv(up)
                _turn(node, y_up(y_up(m[:3, :3]).T).T, y_up(m[:3, 3]) * MM)


# ------------------------------------------------------------------------------------------------ what they are made of
@dataclass(slots=True)
class _Store:
    """Meshes and the numbers that they are made of, as they come."""

    meshes: list[dict[str, Any]] = field(default_factory=list)
    accessors: list[dict[str, Any]] = field(default_factory=list)
    views: dict[str, bytearray] = field(default_factory=lambda: {name: bytearray() for name in VIEWS})
    looks: list[Matter] = field(default_factory=list)

    def add(self, part: JobPart, bodies: Sequence[Body]) -> None:
        """Add the mesh of a part."""
        primitives = []
        for body in bodies:
            points = (y_up(body.skin.points) * MM).round(7).astype("<f4") + np.float32(0)
            leans = y_up(body.skin.normals).astype("<f4") + np.float32(0)
            small = len(points) < 65535  # the largest number of a kind is kept for other use (specification, 3.7.2.1)
            corners = body.skin.triangles.ravel().astype("<u2" if small else "<u4")
            place = self._accessor("point", points, "VEC3", FLOAT)
            self.accessors[place] |= {"min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()}
            lean = self._accessor("lean", leans, "VEC3", FLOAT)
            corner = self._accessor("short" if small else "int", corners, "SCALAR", SHORT if small else INT)
            if body.matter not in self.looks:
                self.looks.append(body.matter)
            primitives.append({"attributes": {"POSITION": place, "NORMAL": lean}, "indices": corner,
                               "material": self.looks.index(body.matter)})  # fmt: skip
        self.meshes.append({"name": part.id, "primitives": primitives})

    def _accessor(self, view: str, values: np.ndarray, kind: str, component: int) -> int:
        content = self.views[view]
        self.accessors.append({"bufferView": view, "byteOffset": len(content), "componentType": component,
                               "count": len(values), "type": kind})  # fmt: skip
        content += values.tobytes()
        content += bytes(-len(content) % 4)
        return len(self.accessors) - 1

    def document(self) -> dict[str, Any]:
        """Everything below the nodes, with the binary chunk under `bin`. A product without any body has none of it."""
        if not self.meshes:
            return {"bin": b""}
        content, places = bytearray(), dict[str, int]()
        views: list[dict[str, int]] = []
        for name, part in self.views.items():
            if not part:
                continue
            places[name] = len(views)
            view = {"buffer": 0, "byteOffset": len(content), "byteLength": len(part)}
            is_vertex = name in ("point", "lean")
            view |= {"byteStride": 12, "target": VERTICES} if is_vertex else {"target": CORNERS}
            views.append(view)
            content += part
        return {
            "meshes": self.meshes,
            "materials": [_material(matter) for matter in self.looks],
            "accessors": [a | {"bufferView": places[a["bufferView"]]} for a in self.accessors],
            "bufferViews": views,
            "buffers": [{"byteLength": len(content)}],
            "bin": bytes(content),
        }


def _material(matter: Matter) -> dict[str, Any]:
    name, colour, metallic, rough = LOOKS[matter]
    look = {"baseColorFactor": [*colour, 1.0], "metallicFactor": metallic, "roughnessFactor": rough}
    return {"name": name, "pbrMetallicRoughness": look}


# ------------------------------------------------------------------------------------------------ the file
def _file(document: dict[str, Any]) -> bytes:
    """The container: a header of 12 bytes, a chunk of JSON, a chunk of numbers; each a multiple of 4 bytes long."""
    content = document.pop("bin")
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode()
    chunks = _chunk(b"JSON", text + b" " * (-len(text) % 4))
    if content:
        chunks += _chunk(b"BIN\x00", content + bytes(-len(content) % 4))
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack("<I4s", len(content), kind) + content
