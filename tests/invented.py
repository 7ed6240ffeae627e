"""Invented parts, built directly as values, for tests of what a design means. No reader, no workshop."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np

from handbarrow.design.values import (
    Assembly,
    Bought,
    Copy,
    Corner,
    Design,
    EndSpec,
    Part,
    PlateShape,
    Result,
    ResultPoint,
    Run,
    Size,
    StockRole,
    Target,
    WheelSize,
)
from handbarrow.findings import Finding
from handbarrow.laws.geometry.path import Vec3
from handbarrow.laws.geometry.rigid import IDENTITY, matrix4
from handbarrow.laws.geometry.section import Section

STOCK = {
    "main": StockRole(
        role="main",
        label="tube 26.9x2.3",
        section=Section(shape="round tube", height=26.9, width=26.9, wall=2.3),
    ),
    "light": StockRole(
        role="light", label="tube 21.3x2", section=Section(shape="round tube", height=21.3, width=21.3, wall=2)
    ),
    "bow": StockRole(
        role="bow",
        label="square tube 15x1.5",
        section=Section(shape="square tube", height=15, width=15, wall=1.5),
    ),
    "angle": StockRole(
        role="angle", label="angle 30x30x3", section=Section(shape="angle", height=30, width=30, wall=3)
    ),
    "flat": StockRole(role="flat", label="flat 30x5", section=Section(shape="flat", height=30, width=5)),
    "gusset": StockRole(role="gusset", label="plate 5", thickness=5.0),
    "wheel": StockRole(role="wheel", label="wheel 53-559", wheel=WheelSize(width=53, bead_seat=559)),
}
LEFT_RIGHT = Copy(
    transform=((1.0, 0.0, 0.0, 0.0), (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0)), mirrored=True
)
AS_DRAWN = Copy(transform=IDENTITY)


def die_80(role: StockRole, angle_rad: float, wanted: float | None) -> float | None:
    """A shop with one die of 80 mm for every stock; it makes that radius or none."""
    return 80.0 if wanted is None or abs(wanted - 80.0) < 5.0 else None


def shifted(x: float, y: float, z: float) -> Copy:
    """A copy moved from copy 1."""
    return Copy(transform=matrix4(np.array([[1, 0, 0, x], [0, 1, 0, y], [0, 0, 1, z], [0, 0, 0, 1.0]])))


def run(
    name: str,
    *points: Vec3,
    stock: str = "main",
    copies: Sequence[Copy] = (),
    on: str | Sequence[str] = (),
    **more: object,
) -> Part:
    """A tube or bar by its corners; `on` and ends by name."""
    shape = Run(stock=stock, corners=tuple(Corner(at=p) for p in points), **more)  # type: ignore[arg-type]
    return part(name, shape, copies, on)


def plate(name: str, *outline: tuple[float, float], on: str | Sequence[str] = (), **more: object) -> Part:
    """A plate of `gusset`."""
    return part(name, PlateShape(stock="gusset", outline=outline, **more), (), on)  # type: ignore[arg-type]


def wheel(name: str, at: Vec3 | None, *, copies: Sequence[Copy] = (), axis: Vec3 = (0.0, 1.0, 0.0)) -> Part:
    """A wheel of the role `wheel`."""
    shape = Bought(item="wheel 53-559", stock="wheel", wheel=STOCK["wheel"].wheel, at=at, axis=axis)
    return part(name, shape, copies, ())


def part(name: str, shape: Run | PlateShape | Bought, copies: Sequence[Copy], on: str | Sequence[str]) -> Part:
    """A part of the one assembly."""
    return Part(
        id=name,
        title=name.replace("-", " "),
        shape=shape,
        assembly="frame",
        copies=(AS_DRAWN, *copies),
        on=tuple(target(t) for t in ([on] if isinstance(on, str) else on)),
    )


def target(text: str) -> Target:
    """As written in a design file: `leg copy 2`."""
    name, _, copy = text.partition(" copy ")
    return Target(part=name, copy=int(copy or 1))


def meets(*names: str, gap: float = 0.0) -> EndSpec:
    """An end that is cut against named parts."""
    return EndSpec(kind="meets", against=tuple(target(n) for n in names), gap=gap)


def design(
    *parts: Part,
    results: Iterable[Result] = (),
    sizes: Iterable[Size] = (),
    assemblies: Iterable[Assembly] = (Assembly(name="frame"),),
) -> Design:
    """A design of invented parts."""
    return Design(
        name="invented",
        revision="A",
        digest="0",
        sizes=tuple(sizes),
        stock=STOCK,
        assemblies=tuple(assemblies),
        parts=parts,
        results=tuple(results),
    )


def height(name: str, of: str, at: str) -> Result:
    """Height of a point above ground."""
    return Result(name=name, kind="height", points=(ResultPoint(target=target(of), at=at),))


def distance(name: str, a: tuple[str, str], b: tuple[str, str], along: str | None = None) -> Result:
    """Distance of two points."""
    points = tuple(ResultPoint(target=target(p), at=at) for p, at in (a, b))
    return Result(name=name, kind="distance", points=points, along=along)  # type: ignore[arg-type]


def codes(findings: Iterable[Finding]) -> list[str]:
    """Codes of findings, in order."""
    return [finding.code for finding in findings]


def only(findings: Iterable[Finding], code: str) -> Finding:
    """The one finding of that code."""
    (found,) = [finding for finding in findings if finding.code == code]
    return found


class Drawn:
    """A design file that can be evaluated: sizes in, parts out."""

    def __init__(self, sizes: Sequence[Size], draw: Callable[[Mapping[str, float]], Design | None]) -> None:
        self.sizes = sizes
        self.draw = draw
        self.calls = 0

    def evaluate(self, overrides: Mapping[str, float] | None = None) -> tuple[Design | None, list[Finding]]:
        self.calls += 1
        values = {size.name: size.value for size in self.sizes} | dict(overrides or {})
        return self.draw(values), []


def deg(value: float) -> float:
    """Degrees as radians."""
    return math.radians(value)
