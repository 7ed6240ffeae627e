"""From the corners of a run to its centreline with radii as made, and to its crown direction."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from handbarrow.design.naming import mm
from handbarrow.design.routes import corners_of
from handbarrow.design.values import Corner, Member, Part, RadiusRule, Run, StockRole
from handbarrow.findings import Finding, Severity
from handbarrow.language import Said, said
from handbarrow.laws.geometry.path import (
    Centreline,
    Floats,
    Layout,
    Vec3,
    cross,
    crown_by_rule,
    crown_on_straights,
    layout,
    rotation,
    vec3,
)
from handbarrow.laws.geometry.section import Section

__all__ = ["corners_as_made", "member_of"]

COINCIDE = 1e-3
"""Points nearer than this are one [mm]."""
IN_LINE_RAD = 1e-6
"""A corner that changes direction by less than this is no bend; it moves nothing by more than 0.01 mm [rad]."""
DOUBLES_BACK_RAD = math.pi - 1e-4
ALONG = math.sin(math.radians(1.0))
"""A face direction within 1 degree of the run lies along it."""
AGREES = math.cos(math.radians(1.0))


def corners_as_made(run: Run, role: StockRole, rule: RadiusRule) -> tuple[Corner, ...]:
    """Return the corners P0..Pn of a run; those of steps follow from the radii as made."""
    made = _rule_of(run, rule)
    return corners_of(run, lambda angle, wanted: _made(role, made, angle, wanted)[0])


def _rule_of(run: Run, rule: RadiusRule) -> RadiusRule:
    """The shop's rule for its dies; a former is made so that the wanted radius comes of it."""
    return rule if run.over == "die" else lambda _role, _angle, wanted: wanted


def member_of(
    part: Part, corners: tuple[Corner, ...], role: StockRole, rule: RadiusRule, lift: float
) -> tuple[Member | None, list[Finding]]:
    """Return copy 1 of a run in product axes, None if its points make no centreline.

    Args:
        part: The part; its shape is a run.
        corners: Its corners P0..Pn, design axes.
        role: Its stock; has a section.
        rule: What radius the shop's dies make.
        lift: Height of the design's zero above ground [mm].
    """
    run, section = part.shape, role.section
    assert isinstance(run, Run)  # noqa: S101 - by contract
    assert section is not None  # noqa: S101
    angles, findings = _angles(part, corners)
    if angles is None:
        return None, findings
    bends, found = _bends(part, role, _rule_of(run, rule), corners, angles)
    kept = [0, *(bend[0] for bend in bends), len(corners) - 1]
    points = tuple((x, y, z + lift) for x, y, z in (corners[k].at for k in kept))
    line = Centreline(points, tuple(bend[1] for bend in bends))
    place = layout(line)
    findings += found + _room(part, place, kept)
    crown, found = _crown(part, run, section, line, place)
    return Member(part=part, section=section, centreline=line, crown=crown), findings + found


# ------------------------------------------------------------------------------------------------ corners
def _path(part: Part, k: int, what: Literal["corner", "leg"]) -> str:
    """Path in the file of corner k, or of the leg that ends at point k."""
    route = part.shape.route if isinstance(part.shape, Run) else None
    if route is None:
        return f"{part.path}.points[{k}]"
    bends = [i for i, step in enumerate(route.steps) if step.kind == "bend"]
    legs = [i for i, step in enumerate(route.steps) if step.kind not in ("bend", "turn")]
    rows = bends if what == "corner" else legs
    return f"{part.path}.steps[{rows[k - 1]}]" if 1 <= k <= len(rows) else f"{part.path}.steps"


def _angles(part: Part, corners: tuple[Corner, ...]) -> tuple[Floats | None, list[Finding]]:
    """Change of direction at each inner corner [rad], or what keeps the points from being a centreline."""
    if len(corners) < 2:
        return None, [
            Finding(
                code="run-without-length",
                where=f"{part.path}.points",
                wrong=said("one point") if len(corners) == 1 else said("{count} points", count=len(corners)),
                expected=said("two points at least: where the run starts and where it ends"),
                fix=said("add the missing point"),
            )
        ]
    points = np.array([corner.at for corner in corners], dtype=float)
    legs = np.diff(points, axis=0)
    lengths = np.sqrt(np.einsum("ij,ij->i", legs, legs))
    findings = [_coincide(part, int(k), corners) for k in np.flatnonzero(lengths < COINCIDE)]
    if findings:
        return None, findings
    t = legs / lengths[:, None]
    sideways = cross(t[:-1], t[1:])
    angles = np.arctan2(np.sqrt(np.einsum("ij,ij->i", sideways, sideways)), np.einsum("ij,ij->i", t[:-1], t[1:]))
    route = part.shape.route if isinstance(part.shape, Run) else None
    if route is not None:  # as written, without the rounding of the way round
        angles = np.array([abs(bend.value) for bend in route.bends])
    findings = [_doubles_back(part, int(k) + 1) for k in np.flatnonzero(angles > DOUBLES_BACK_RAD)]
    return (None if findings else angles), findings


def _coincide(part: Part, k: int, corners: tuple[Corner, ...]) -> Finding:
    at = ", ".join(f"{v:g}" for v in corners[k].at)
    return Finding(
        code="points-coincide",
        where=_path(part, k + 1, "leg"),
        wrong=said(
            "points {k} and {next_one} both lie at [{at}] (the first point is number 0)", k=k, next_one=k + 1, at=at
        ),
        expected=said("neighbouring points apart from each other"),
        fix=said("move one of them, or take point {k} out", k=k + 1),
    )


def _doubles_back(part: Part, k: int) -> Finding:
    return Finding(
        code="corner-doubles-back",
        where=_path(part, k, "corner"),
        wrong=said("at point {k} the run goes back the way it came", k=k),
        expected=said("a change of direction of less than 180 degrees"),
        fix=said("make a U of two corners, as far apart as twice the bend radius"),
    )


def _made(role: StockRole, rule: RadiusRule, angle_rad: float, wanted: float | None) -> tuple[float, bool]:
    """Radius as made [mm] and whether a die makes it; else a stand-in, so that the rest can be checked."""
    if angle_rad < IN_LINE_RAD:
        return 0.0, True
    made = rule(role, angle_rad, wanted)
    if made is not None and math.isfinite(made) and made > 0:
        return made, True
    assert role.section is not None  # noqa: S101
    return (wanted if wanted and wanted > 0 else 3 * role.section.outside), False


def _bends(
    part: Part, role: StockRole, rule: RadiusRule, corners: tuple[Corner, ...], angles: Floats
) -> tuple[list[tuple[int, float]], list[Finding]]:
    """Corners that bend with the radius made at each, and what no die makes."""
    bends: list[tuple[int, float]] = []
    findings: list[Finding] = []
    without: dict[float | None, list[int]] = {}
    for k, angle in enumerate(angles, start=1):
        if angle < IN_LINE_RAD:
            findings.append(_in_line(part, k))
            continue
        wanted = corners[k].radius
        made, by_die = _made(role, rule, float(angle), wanted)
        bends.append((k, made))
        if not by_die:
            without.setdefault(wanted, []).append(k)
    return bends, findings + [_no_die(part, role, wanted, at) for wanted, at in without.items()]


def _in_line(part: Part, k: int) -> Finding:
    return Finding(
        code="corner-in-line",
        where=_path(part, k, "corner"),
        wrong=said("point {k} lies in line with its neighbours; no bend is made there", k=k),
        expected=said("a corner where the run changes direction"),
        fix=said("take point {k} out, or leave it if a formula brings it into line", k=k),
        severity=Severity.NOTE,
    )


def _no_die(part: Part, role: StockRole, wanted: float | None, corners: list[int]) -> Finding:
    at = said("corners {corners}", corners=", ".join(str(k) for k in corners))
    if len(corners) == 1:
        at = said("corner {corner}", corner=corners[0])
    radius = said("no radius is wanted") if wanted is None else said("radius {radius} is wanted", radius=mm(wanted))
    return Finding(
        code="bend-radius-has-no-die",
        where=_path(part, corners[0], "corner"),
        wrong=said(
            "{corners} of {part}: {wanted}, and no die of the shop bends {stock} so",
            corners=at,
            part=part.id,
            wanted=radius,
            stock=role.label,
        ),
        expected=said("a radius and an angle that a die for {stock} makes", stock=role.label),
        fix=said("write the radius of a die that the shop has, or add a die to the workshop file"),
    )


def _too_short(part: Part, first: int, second: int, lack: float, beside: list[int]) -> Said:
    if len(beside) == 1:
        return said(
            "the leg from point {first} to point {second} of {part} is {gap} too short for the bend at {corner}",
            first=first,
            second=second,
            part=part.id,
            gap=mm(lack),
            corner=beside[0],
        )
    return said(
        "the leg from point {first} to point {second} of {part} is {gap} too short for the bends at {one} and {other}",
        first=first,
        second=second,
        part=part.id,
        gap=mm(lack),
        one=beside[0],
        other=beside[1],
    )


def _room(part: Part, place: Layout, kept: list[int]) -> list[Finding]:
    """Straights that the bends beside them have eaten up."""
    out = []
    for k in np.flatnonzero(place.straights < -1e-6):
        beside = [kept[i] for i in (k, k + 1) if 1 <= i <= len(kept) - 2]
        lack = float(-place.straights[k])
        out.append(
            Finding(
                code="bend-without-room",
                where=_path(part, kept[k + 1], "leg"),
                wrong=_too_short(part, kept[k], kept[k + 1], lack, beside),
                expected=said("a leg at least as long as the set-backs of the bends at its ends"),
                fix=said(
                    "make the leg {gap} longer, or take a die of smaller radius", gap=mm(math.ceil(lack * 10) / 10)
                ),
            )
        )
    return out


# ------------------------------------------------------------------------------------------------ crown
def _crown(part: Part, run: Run, section: Section, line: Centreline, place: Layout) -> tuple[Vec3, list[Finding]]:
    """Crown direction at the datum end (unit): along the first bend's normal, or as the file turns the section."""
    t = place.directions[0]
    bent = len(place.angles) > 0
    rule = place.normals[0] if bent else np.array(crown_by_rule(vec3(t)))
    turned = run.turned_rad != 0.0
    if bent and section.is_round:
        return vec3(rule), [_not_used(part)] if run.face is not None or turned else []
    findings = []
    crown = rule
    if run.face is not None:
        face = np.asarray(run.face, dtype=float)
        flat = face - t * float(face @ t)
        size = float(np.linalg.norm(flat))
        if size > ALONG * max(float(np.linalg.norm(face)), 1e-9):
            crown = flat / size
        else:
            findings.append(_along(part))
    if turned:
        crown = rotation(vec3(t), run.turned_rad) @ crown
    if bent:
        findings += _against_bends(part, vec3(crown), line, place)
    return vec3(crown), findings


def _not_used(part: Part) -> Finding:
    return Finding(
        code="face-not-used",
        where=f"{part.path}.face",
        wrong=said("a bent round tube takes its crown from its first bend; `face` and `turned` change nothing"),
        expected=said("`face` on straight runs, or on square, rectangular, flat and angle stock"),
        fix=said("take `face` and `turned` out"),
        severity=Severity.NOTE,
    )


def _along(part: Part) -> Finding:
    return Finding(
        code="face-along-run",
        where=f"{part.path}.face",
        wrong=said("the face of {part} points along the run", part=part.id),
        expected=said("a direction across the first straight of the run"),
        fix=said("give a direction square to the run, or leave `face` out"),
    )


def _against_bends(part: Part, crown: Vec3, line: Centreline, place: Layout) -> list[Finding]:
    """A section with sides bends over a side: each bend's normal lies along its height or its width."""
    for k, v in enumerate(crown_on_straights(line, crown)[:-1]):
        n = place.normals[k]
        aside = float(n @ cross(place.directions[k], v))
        if max(abs(float(n @ v)), abs(aside)) < AGREES:
            off = math.degrees(math.atan2(aside, float(n @ v)))
            off = (off + 45.0) % 90.0 - 45.0
            return [
                Finding(
                    code="face-against-bends",
                    where=f"{part.path}.face",
                    wrong=said(
                        "the plane of bend {k} lies {off:.1f} degrees out of the section's sides", k=k + 1, off=abs(off)
                    ),
                    expected=said("each bend along the height or along the width of the section"),
                    fix=said(
                        "turn the face to the plane of the bend, or draw all bends in planes that are square "
                        "to each other"
                    ),
                )
            ]
    return []
