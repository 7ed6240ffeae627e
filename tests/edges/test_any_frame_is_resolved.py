"""Whatever is drawn, the answer is a product and findings, never a traceback."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from handbarrow.design.resolve import resolve
from handbarrow.design.values import (
    Bought,
    Copy,
    Corner,
    EndSpec,
    Part,
    PlateShape,
    Result,
    ResultPoint,
    Run,
    StockRole,
    Target,
)
from handbarrow.laws.geometry.rigid import matrix4
from invented import LEFT_RIGHT, STOCK, design, die_80, part, shifted

PAGES = Path(__file__).parents[2] / "docs/findings"
NAMES = ("a", "b", "c", "d")
grid = st.sampled_from([-200.0, -13.45, -7.0, 0.0, 0.9, 7.0, 100.0, 200.0, 1e5])
point = st.tuples(grid, grid, grid)
way = point.filter(lambda p: math.hypot(*p) > 0)
target = st.builds(Target, part=st.sampled_from([*NAMES, "e"]), copy=st.integers(0, 3))
end = st.builds(
    EndSpec,
    kind=st.sampled_from(["auto", "square", "free", "meets", "angled"]),
    against=st.lists(target, min_size=1, max_size=2).map(tuple),
    normal=st.none() | point,
    gap=st.sampled_from([0.0, 1.0]),
)
corner = st.builds(Corner, at=point, radius=st.none() | st.sampled_from([0.1, 80.0, 500.0]))
runs = st.builds(
    Run,
    stock=st.sampled_from(["main", "light", "bow", "angle", "flat", "gusset"]),
    corners=st.lists(corner, min_size=1, max_size=5).map(tuple),
    face=st.none() | way,
    turned_rad=st.sampled_from([0.0, 1.0]),
    start=end,
    end=end,
)
plates = st.builds(
    PlateShape,
    stock=st.sampled_from(["gusset", "main"]),
    outline=st.just(((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (20.0, 20.0), (0.0, 40.0))),
    at=point,
    along=st.just((1.0, 0.0, 0.0)),
    facing=st.sampled_from([(0.0, 0.0, 1.0), (0.0, -1.0, 0.5)]),
)
bought = st.builds(
    Bought, item=st.just("hook"), at=st.none() | point, axis=way, wheel=st.sampled_from([None, STOCK["wheel"].wheel])
)
turn_over = Copy(transform=matrix4(np.diag([1.0, -1.0, -1.0, 1.0])))
copies = st.lists(st.sampled_from([LEFT_RIGHT, shifted(0, 7, 0), shifted(0, 0, 0), turn_over]), max_size=2)


@st.composite
def parts(draw: st.DrawFn) -> list[Part]:
    out = []
    for name in draw(st.lists(st.sampled_from(NAMES), unique=True, max_size=4)):
        on = draw(st.lists(target, max_size=2))
        made = part(name, draw(st.one_of(runs, runs, plates, bought)), draw(copies), ())
        out.append(Part(**{f: getattr(made, f) for f in ("id", "title", "shape", "assembly", "copies")}, on=tuple(on)))
    return out


places = st.sampled_from(["start", "end", "middle", "centre", "corner 0", "corner 9"])
results = st.lists(
    st.builds(
        Result,
        name=st.sampled_from(["r", "s"]),
        kind=st.sampled_from(["height", "distance", "length", "value"]),
        points=st.lists(st.builds(ResultPoint, target=target, at=places), min_size=1, max_size=2).map(tuple),
        along=st.sampled_from([None, "x", "z"]),
        part=st.sampled_from(NAMES),
    ),
    max_size=2,
)


def some_die(role: StockRole, angle_rad: float, wanted: float | None) -> float | None:
    return None if angle_rad > 2 else die_80(role, angle_rad, wanted)


@given(parts(), results)
@settings(max_examples=300, deadline=None)
def test_anything_drawn_is_resolved_or_told(drawn: list[Part], asked: list[Result]) -> None:
    product, findings = resolve(design(*drawn, results=asked), some_die)
    for finding in findings:
        assert finding.where.split(".")[0] in ("parts", "results", "assemblies")
        assert finding.wrong and finding.expected and finding.fix
        assert "nan" not in finding.wrong.lower().split()
        assert (PAGES / f"{finding.code}.md").exists()
    if product is None:
        assert findings
        return
    assert math.isfinite(product.lift)
    assert all(math.isfinite(value) for value in product.results.values())
    for member in product.members.values():
        assert math.isclose(math.hypot(*member.crown), 1.0, abs_tol=1e-9)
        first = np.subtract(member.centreline.points[1], member.centreline.points[0])
        assert abs(float(first @ member.crown)) <= 1e-6 * float(np.linalg.norm(first))
    assert len(product.joints) == 2 * len(product.members)
    for joint in product.joints:
        assert len(joint.stretch) == len(joint.offset) == len(joint.against) or joint.kind in ("plane", "square")
        assert all(np.isfinite(joint.offset))
        if joint.kind in ("plane", "plate"):
            assert joint.normal is not None
            assert joint.plane_point is not None
            member = product.members[joint.part]
            points = member.centreline.points
            at, after = (points[0], points[1]) if joint.end == "start" else (points[-1], points[-2])
            assert float(np.subtract(after, at) @ joint.normal) > 0, "the normal points into the run"
