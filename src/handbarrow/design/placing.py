"""Where everything stands: the wheels set the height, copies are placed, assemblies are posed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from handbarrow.design.lines import corners_as_made, member_of
from handbarrow.design.naming import called, mm
from handbarrow.design.sheet_flat import own_axes
from handbarrow.design.values import (
    Bought,
    Corner,
    Design,
    Member,
    Part,
    Placement,
    PlateShape,
    RadiusRule,
    Run,
    Sheet,
    Target,
)
from handbarrow.findings import Finding, Severity
from handbarrow.language import Said, said
from handbarrow.laws.geometry.path import Floats, Matrix4, Vec3
from handbarrow.laws.geometry.rigid import from_raised_zero, is_rigid, matrix4, moved

__all__ = ["PlateFrame", "Scene", "lift_of", "pose", "position_findings", "twin_copies"]

SAME_HEIGHT = 0.5
"""Wheels whose lowest points differ by less than this stand on one ground [mm]."""
SAME_PLACE = 0.5
"""Copies whose points differ by less than this lie in one place [mm]."""
LEVEL = math.sin(math.radians(0.1))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateFrame:
    """A copy of a plate in product axes: origin, unit axes x, y, z as rows, thickness along z."""

    part: Part
    copy: int
    origin: Floats
    axes: Floats
    thickness: float
    outline: Floats

    def own(self, points: Floats) -> Floats:
        """Return points (n, 3) in the plate's own axes."""
        out: Floats = (points - self.origin) @ self.axes.T
        return out

    def corners(self) -> Floats:
        """Return the corners of both faces, (n, 3)."""
        flat = np.column_stack([self.outline, np.zeros(len(self.outline))])
        faces = np.vstack([flat, flat + np.array([0.0, 0.0, self.thickness])])
        out: Floats = self.origin + faces @ self.axes
        return out

    def at(self, copy: int, transform: Floats) -> PlateFrame:
        """Return another copy, from copy 1 and the transform from it."""
        return PlateFrame(
            part=self.part,
            copy=copy,
            origin=transform[:3, :3] @ self.origin + transform[:3, 3],
            axes=self.axes @ transform[:3, :3].T,
            thickness=self.thickness,
            outline=self.outline,
        )


class Scene:
    """A design in product axes, built part by part as it is asked for. What is wrong is gathered on the way."""

    def __init__(self, design: Design, rule: RadiusRule) -> None:
        """Set the wheels on the ground; nothing else is built yet."""
        self.design = design
        self.rule = rule
        self.lift, self.findings = lift_of(design)
        self.parts: dict[str, Part] = {part.id: part for part in design.parts}
        self._members: dict[str, Member | None] = {}
        self._corners: dict[str, tuple[Corner, ...] | None] = {}
        self._transforms: dict[tuple[str, int], Floats] = {}

    def member(self, part_id: str) -> Member | None:
        """Return copy 1 of a run; None if the part is no run or makes no centreline."""
        if part_id not in self._members:
            self._members[part_id] = self._build(self.parts[part_id])
        return self._members[part_id]

    def _build(self, part: Part) -> Member | None:
        corners = self.corners(part.id)
        if corners is None:
            return None
        role = self.design.stock[part.shape.stock or ""]
        member, found = member_of(part, corners, role, self.rule, self.lift)
        self.findings += found
        return member

    def corners(self, part_id: str) -> tuple[Corner, ...] | None:
        """Return the corners P0..Pn of a run, design axes; None if the part is no run, or of no tube or bar."""
        if part_id not in self._corners:
            part = self.parts[part_id]
            self._corners[part_id] = None
            if isinstance(part.shape, Run):
                role = self.design.stock.get(part.shape.stock)
                if role is None or role.section is None:
                    self.findings.append(_wrong_stock(part, part.shape.stock, said("tube or bar")))
                else:
                    self._corners[part_id] = corners_as_made(part.shape, role, self.rule)
        return self._corners[part_id]

    def transform(self, part_id: str, copy: int) -> Floats:
        """Return the transform from copy 1 to a copy, product axes (4, 4)."""
        key = (part_id, copy)
        if key not in self._transforms:
            self._transforms[key] = from_raised_zero(self.parts[part_id].copies[copy - 1].transform, self.lift)
        return self._transforms[key]

    def raised(self, point: Vec3) -> Floats:
        """Return a point of the design in product axes."""
        return np.array([point[0], point[1], point[2] + self.lift])

    def plates(self) -> list[PlateFrame]:
        """Return all copies of all plates."""
        out = []
        for part in self.design.parts:
            if isinstance(part.shape, PlateShape):
                frame = self.plate(part.id, 1)
                if frame is not None:
                    out += [frame, *(frame.at(k, self.transform(part.id, k)) for k in range(2, len(part.copies) + 1))]
        return out

    def plate(self, part_id: str, copy: int) -> PlateFrame | None:
        """Return one copy of a plate; None if the part is none, or its stock is no plate."""
        part = self.parts[part_id]
        shape = part.shape
        if not isinstance(shape, PlateShape):
            return None
        role = self.design.stock.get(shape.stock)
        if role is None or role.thickness is None:
            found = _wrong_stock(part, shape.stock, said("plate"))
            if found not in self.findings:
                self.findings.append(found)
            return None
        frame = PlateFrame(
            part=part,
            copy=1,
            origin=self.raised(shape.at),
            axes=own_axes(shape),
            thickness=role.thickness,
            outline=np.asarray(shape.outline, dtype=float),
        )
        return frame if copy == 1 else frame.at(copy, self.transform(part_id, copy))

    def placements(self) -> tuple[Placement, ...]:
        """Return all copies of all parts."""
        return tuple(
            Placement(part=p.id, copy=k, transform=matrix4(self.transform(p.id, k)), mirrored=copy.mirrored)
            for p in self.design.parts
            for k, copy in enumerate(p.copies, start=1)
        )


def _wrong_stock(part: Part, role: str, wanted: Said) -> Finding:
    return Finding(
        code="stock-of-wrong-kind",
        where=f"{part.path}.stock",
        wrong=said("`{role}` is no {wanted}", role=role, wanted=wanted),
        expected=said("a role under `stock` that is {wanted}", wanted=wanted),
        fix=said("name a role that is {wanted}, or add one under `stock`", wanted=wanted),
    )


# ------------------------------------------------------------------------------------------------ wheels
def lift_of(design: Design) -> tuple[float, list[Finding]]:
    """Return how far the design must be raised to stand on its wheels [mm], and what is wrong with them.

    The lowest point of all wheels touches the ground; without wheels nothing is moved.
    """
    lifts: list[tuple[float, str, Part]] = []
    findings: list[Finding] = []
    for part in design.parts:
        wheel = part.shape
        if not isinstance(wheel, Bought) or wheel.wheel is None:
            continue
        if wheel.at is None:
            findings.append(_no_place(part))
            continue
        for k, copy in enumerate(part.copies, start=1):
            m = np.asarray(copy.transform, dtype=float)
            hub = m[:3, :3] @ np.asarray(wheel.at, dtype=float) + m[:3, 3]
            axis = m[:3, :3] @ np.asarray(wheel.axis, dtype=float)
            lean = float(axis[2]) / max(float(np.linalg.norm(axis)), 1e-12)
            if abs(lean) > LEVEL and k == 1:
                findings.append(_not_level(part, math.degrees(math.asin(min(1.0, abs(lean))))))
            reach = wheel.wheel.radius * math.sqrt(max(0.0, 1 - lean * lean))
            lifts.append((reach - float(hub[2]), called(Target(part=part.id, copy=k)), part))
    if not lifts:
        return 0.0, findings
    lowest = max(lifts, key=lambda entry: entry[0])
    highest = min(lifts, key=lambda entry: entry[0])
    if lowest[0] - highest[0] > SAME_HEIGHT:
        findings.append(_different_heights(lowest, highest))
    return lowest[0], findings


def _no_place(part: Part) -> Finding:
    return Finding(
        code="wheel-without-place",
        where=part.path,
        wrong=said("the wheel has no `at`, so the height of the product above ground is not known"),
        expected=said("the centre of its hub"),
        fix=said("add `at: [x, y, z]`, the centre of the hub"),
    )


def _not_level(part: Part, degrees: float) -> Finding:
    return Finding(
        code="wheel-axis-not-level",
        where=f"{part.path}.axis",
        wrong=said("the axis of {part} leans {degrees:.1f} degrees out of level", part=part.id, degrees=degrees),
        expected=said("a level axis, as `left`"),
        fix=said("write `axis: left`, or leave it if the wheel shall lean"),
        severity=Severity.WARNING,
    )


def _different_heights(lowest: tuple[float, str, Part], highest: tuple[float, str, Part]) -> Finding:
    return Finding(
        code="wheels-at-different-heights",
        where=f"{highest[2].path}.at",
        wrong=said(
            "{wheel} hangs {gap} above the ground on which {other} stands",
            wheel=highest[1],
            gap=mm(lowest[0] - highest[0]),
            other=lowest[1],
        ),
        expected=said("the lowest points of all wheels at one height"),
        fix=said(
            "move the hub of {wheel} down by {gap}, or leave it if it shall hang",
            wheel=highest[1],
            gap=mm(lowest[0] - highest[0]),
        ),
        severity=Severity.WARNING,
    )


# ------------------------------------------------------------------------------------------------ copies
def twin_copies(scene: Scene) -> list[Finding]:
    """Return copies of one part that lie in one place: mirrored about a plane in which the part itself lies."""
    findings = []
    for part in scene.design.parts:
        marks = _marks(scene, part)
        if marks is None or len(part.copies) < 2:
            continue
        all_marks = np.array([moved(scene.transform(part.id, k), marks) for k in range(1, len(part.copies) + 1)])
        middles = all_marks.mean(axis=1)
        for k in range(1, len(middles)):
            apart = np.abs(middles[:k] - middles[k]).max(axis=1)
            twin = next(
                (int(i) for i in np.flatnonzero(apart < SAME_PLACE) if _alike(all_marks[i], all_marks[k])), None
            )
            if twin is not None:
                findings.append(_twins(part, twin + 1, k + 1))
                break
    return findings


def _alike(here: Floats, there: Floats) -> bool:
    """Whether two sets of points are one, in whatever order."""
    gaps = np.linalg.norm(here[:, None, :] - there[None, :, :], axis=2)
    return max(float(gaps.min(axis=1).max()), float(gaps.min(axis=0).max())) < SAME_PLACE


def _marks(scene: Scene, part: Part) -> Floats | None:
    """Points that show where copy 1 of a part lies."""
    if isinstance(part.shape, PlateShape):
        frame = scene.plate(part.id, 1)
        return None if frame is None else frame.corners()
    if isinstance(part.shape, Bought):
        return None if part.shape.at is None else scene.raised(part.shape.at)[None, :]
    if isinstance(part.shape, Sheet):
        axes = np.vstack([np.zeros(3), own_axes(part.shape) * np.array([[100.0], [110.0], [120.0]])])
        found: Floats = scene.raised(part.shape.at) + axes
        return found
    member = scene.member(part.id)
    return None if member is None else np.asarray(member.centreline.points)


def _twins(part: Part, first: int, second: int) -> Finding:
    return Finding(
        code="copies-in-one-place",
        where=part.path,
        wrong=said(
            "copies {first} and {second} of {part} lie in the same place", first=first, second=second, part=part.id
        ),
        expected=said("each copy in a place of its own"),
        fix=said("take `mirrored`, `repeated` or `also at` out, or move the part"),
    )


# ------------------------------------------------------------------------------------------------ positions
def position_findings(design: Design) -> list[Finding]:
    """Return what is wrong with assemblies and their positions: carriers unknown or in a ring, motions that stretch."""
    findings = []
    carriers = {assembly.name: assembly.within for assembly in design.assemblies}
    for assembly in design.assemblies:
        where = f"assemblies.{assembly.name}"
        chain, at = [assembly.name], assembly.within
        while at is not None and at in carriers and at not in chain:
            chain.append(at)
            at = carriers[at]
        if at is not None:
            known = at in carriers
            findings.append(
                Finding(
                    code="assembly-within",
                    where=f"{where}.within",
                    wrong=said(
                        "`{name}` is carried by itself: {chain}",
                        name=assembly.name,
                        chain=" within ".join([*chain, at]),
                    )
                    if known
                    else said("`{at}` is not an assembly", at=at),
                    expected=said("the assembly that carries this one"),
                    fix=said("write the carrying assembly's key, or take `within` out"),
                )
            )
        findings += [
            Finding(
                code="position-not-rigid",
                where=f"{where}.positions.{position.name}",
                wrong=said("position `{name}` stretches or bends the assembly", name=position.name),
                expected=said("a turn, a move, or both"),
                fix=said("check `axis`, `turn` and `move`"),
            )
            for position in assembly.positions
            if not is_rigid(position.transform)
        ]
    return findings


def pose(design: Design, chosen: Mapping[str, str]) -> dict[str, Matrix4]:
    """Return for each assembly the transform from as drawn, product axes.

    Args:
        design: The design.
        chosen: Name of the position of each assembly that is not as drawn. An assembly is carried along by the one
            it stands within, then moved by its own position.

    Raises:
        KeyError: If there is no such assembly or position.
    """
    lift, _ = lift_of(design)
    own: dict[str, Floats] = {}
    for assembly in design.assemblies:
        own[assembly.name] = np.eye(4)
        if assembly.name in chosen:
            names = {position.name: position for position in assembly.positions}
            own[assembly.name] = from_raised_zero(names[chosen[assembly.name]].transform, lift)
    unknown = [name for name in chosen if name not in own]
    if unknown:
        raise KeyError(unknown[0])
    carriers = {assembly.name: assembly.within for assembly in design.assemblies}
    out = {}
    for name in own:
        whole, at, seen = own[name], carriers[name], {name}
        while at is not None and at in own and at not in seen:
            whole = own[at] @ whole
            seen.add(at)
            at = carriers[at]
        out[name] = matrix4(whole)
    return out
