"""Small products put together by hand, with their joints named: for trying the cuts at ends."""

from __future__ import annotations

import numpy as np

from handbarrow.design.values import (
    Copy,
    Corner,
    Design,
    Joint,
    Member,
    Part,
    Placement,
    PlateShape,
    Product,
    Run,
    StockRole,
    Target,
)
from handbarrow.findings import Finding
from handbarrow.job.mitres import end_cuts
from handbarrow.job.values import EndCut
from handbarrow.laws.geometry.path import Centreline, Matrix4, Vec3, crown_by_rule, layout, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.workshop.values import Workshop

SHOP = Workshop(name="Ridge", digest="", currency="EUR", stock={}, dies=())
SAME = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
LEFT_RIGHT = ((1.0, 0.0, 0.0, 0.0), (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
MAIN = Section(shape="round tube", height=32, width=32, wall=2)
STAY = Section(shape="round tube", height=25, width=25, wall=1.5)
PLATE_5 = StockRole(role="plate", label="plate 5", thickness=5.0)
Given = tuple[Part, Member | None]


def shifted(x: float, y: float, z: float) -> Matrix4:
    return ((1.0, 0.0, 0.0, x), (0.0, 1.0, 0.0, y), (0.0, 0.0, 1.0, z), (0.0, 0.0, 0.0, 1.0))


def run(
    name: str,
    section: Section,
    points: list[Vec3],
    *,
    radius: float = 80.0,
    crown: Vec3 | None = None,
    copies: tuple[Matrix4, ...] = (),
) -> Given:
    line = Centreline(tuple(points), (radius,) * (len(points) - 2))
    place = layout(line)
    rule = vec3(place.normals[0]) if len(place.normals) else crown_by_rule(vec3(place.directions[0]))
    shape = Run(stock=name, corners=tuple(Corner(at=p) for p in points))
    part = Part(id=name, title=name, shape=shape, assembly="frame", copies=placed(copies))
    return part, Member(part=part, section=section, centreline=line, crown=crown or rule)


def plate(name: str, at: Vec3, facing: Vec3, along: Vec3) -> Given:
    shape = PlateShape(stock="plate", outline=((-40, -40), (40, -40), (40, 40), (-40, 40)), at=at, along=along,
                       facing=facing)  # fmt: skip
    return Part(id=name, title=name, shape=shape, assembly="frame", copies=placed(())), None


def placed(others: tuple[Matrix4, ...]) -> tuple[Copy, ...]:
    return tuple(Copy(transform=m, mirrored=bool(np.linalg.det(np.asarray(m)) < 0)) for m in (SAME, *others))


def product(given: list[Given], *joints: Joint, lift: float = 0.0) -> Product:
    parts = tuple(part for part, _ in given)
    design = Design(name="d", revision="A", digest="", sizes=(), stock={"plate": PLATE_5}, assemblies=(), parts=parts,
                    results=())  # fmt: skip
    members = {part.id: member for part, member in given if member is not None}
    placements = tuple(
        Placement(part=p.id, copy=i + 1, transform=c.transform, mirrored=c.mirrored)
        for p in parts
        for i, c in enumerate(p.copies)
    )
    said = {(j.part, j.end) for j in joints}
    rest = tuple(
        Joint(part=m, end=end, kind="square")
        for m in members
        for end in ("start", "end")
        if (m, end) not in said
    )  # fmt: skip
    return Product(design=design, lift=lift, members=members, placements=placements, joints=joints + rest)


def onto(part: str, end: str, *others: str | Target, gap: float = 0.0) -> Joint:
    targets = tuple(Target(part=o) if isinstance(o, str) else o for o in others)
    return Joint(part=part, end=end, kind="member", against=targets, gap=gap)  # type: ignore[arg-type]


def cuts_of(made: Product) -> tuple[dict[tuple[str, str], EndCut], list[Finding]]:
    return end_cuts(made, SHOP)


def h_of(cut: EndCut) -> np.ndarray:
    return np.array([h for _, h in cut.wrap])


RAIL = run("rail", MAIN, [(-500, 0, 0), (500, 0, 0)])
