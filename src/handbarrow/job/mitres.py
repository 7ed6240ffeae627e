"""The cut at both ends of every run: what the sheets, the data and the cut lengths are read from."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Joint, Member, Product
from handbarrow.findings import Finding
from handbarrow.job import mitre_findings as tell
from handbarrow.job.mitre_copies import check_copies
from handbarrow.job.mitre_surfaces import LEAST_ANGLE_RAD, Against, Plane, Scene, end_frame
from handbarrow.job.values import EndCut, SquareCut
from handbarrow.language import said
from handbarrow.laws.geometry.path import layout
from handbarrow.laws.mitre.cope import bevel_depth
from handbarrow.laws.mitre.outline import Outline, outline
from handbarrow.laws.mitre.receiver import Hits, Receiver
from handbarrow.laws.mitre.straight_cuts import StraightCut, one_cut, pointed_cuts, straight_cut, two_cuts
from handbarrow.workshop.values import Workshop

__all__ = ["end_cuts"]

Floats = NDArray[np.float64]

FLAT_CUT = 1e-6
"""A cut whose h varies by less than this is square [mm]."""
WORTH_A_CUT = 0.05
"""Metal that is less than this before the true curve is no reason for a second straight cut [mm]."""


class _Sum(NamedTuple):
    """The cut of one end at the stations: outside, inside of the wall, and each receiver by itself.

    In `each` a receiver that a line misses does not count if another is met; `met` tells of each receiver alone.
    """

    h: Floats
    inner: Floats | None
    each: tuple[Floats, ...]
    met: tuple[Hits, ...]
    beside: Floats
    past_end: Floats


def end_cuts(product: Product, workshop: Workshop) -> tuple[dict[tuple[str, str], EndCut], list[Finding]]:
    """Return the cut at each end of each run, keyed (part, end), and what a person must know before cutting.

    Args:
        product: The placed product; joints are read for what meets what, all geometry is computed afresh.
        workshop: The shop. Straight-cut stand-ins are computed for every shop; which one is printed is the sheets'
            choice.

    Returns:
        Cuts of copy 1 in product axes, and findings.
    """
    scene = Scene(product)
    cuts: dict[tuple[str, str], EndCut] = {}
    findings: list[Finding] = []
    for part_id, member in product.members.items():
        for end in ("start", "end"):
            joint = product.joint(part_id, end)
            cut, found = _end_cut(scene, member, joint)
            cuts[(part_id, end)] = cut
            findings += found
        findings += _room(member, cuts[(part_id, "start")], cuts[(part_id, "end")])
    return cuts, findings


def _end_cut(scene: Scene, member: Member, joint: Joint) -> tuple[EndCut, list[Finding]]:
    names = tuple(t.part for t in joint.against)
    known = EndCut(
        kind="square",
        against=names,
        against_copies=tuple(t.copy for t in joint.against),
        angle_rad=np.pi / 2,
        shortest=joint.gap,
        deepest=joint.gap,
    )
    if joint.kind == "square":
        return known, []
    met, findings = _met(scene, member, joint)
    if not met:
        return replace(known, kind="plane" if joint.kind in ("plane", "plate") else "cope", checked=False), findings
    ring = outline(member.section)
    total, surface_known = _total(ring, met, joint.gap)
    if not surface_known:
        findings.append(tell.not_checked(member, joint, said("it is bent out of line with its faces there")))
        return replace(known, kind="cope", checked=False, angle_rad=met[0].angle_rad), findings
    found = tell.doubts(member, joint, [a.angle_rad for a in met], total.beside, total.past_end)
    jump = float(np.max(np.abs(np.diff(total.h))))
    if len(met) == 1 and isinstance(met[0].surface, Receiver) and jump > _most_jump(met[0].surface):
        found.append(tell.comes_back(member, joint, jump))
    findings += found + check_copies(scene, member, joint, total.met)
    cut = _filled(known, ring, met, total)
    return replace(cut, checked=not found), findings


def _most_jump(receiver: Receiver) -> float:
    """Neighbouring stations on one side of a round tube never differ by its radius; other sections have steps."""
    return receiver.section.height / 2 if receiver.section.is_round else math.inf


def _met(scene: Scene, member: Member, joint: Joint) -> tuple[list[Against], list[Finding]]:
    """What the end meets, seen from copy 1; empty with a finding where that cannot be cut to."""
    frame = end_frame(member, joint.end)
    if joint.kind == "plane":
        if joint.normal is None or joint.plane_point is None:
            return [], [tell.not_checked(member, joint, said("the cutting plane is not known"))]
        target = joint.against[0] if joint.against else tell.nothing(joint)
        met = [Against(target, Plane(joint.normal, joint.plane_point), frame)]
    else:
        met = []
        for target in joint.against:
            faces = scene.against(joint, target, frame)
            if not faces:
                return [], [tell.not_checked(member, joint, said("{part} has no surface to cut to", part=target.part))]
            met.append(faces[0])
    flattest = min((a.angle_rad for a in met), default=0.0)
    if flattest < LEAST_ANGLE_RAD:
        return [], [tell.lies_along(member, joint, flattest)]
    return met, []


def _total(ring: Outline, met: list[Against], gap: float) -> tuple[_Sum, bool]:
    """The deeper of the cuts at each station; a receiver that a line misses does not count if another is met."""
    n = len(ring.s)
    uv = ring.uv if ring.inner_uv is None else np.vstack((ring.uv, ring.inner_uv))
    found: list[Hits] = [a.cut(uv, gap) for a in met]
    if not all(f.known for f in found):
        return _Sum(np.zeros(n), None, (), (), np.zeros(n), np.zeros(n)), False
    beside = np.min([f.beside for f in found], axis=0)
    each = [np.where((f.beside > 0) & (beside == 0), -np.inf, f.h) for f in found]
    winner = np.argmax(each, axis=0)
    h = np.max(each, axis=0)
    past = np.choose(winner, [f.past_end for f in found])
    inner = None if ring.inner_uv is None else h[n:]
    alone = tuple(Hits(f.h[:n], f.beside[:n], f.past_end[:n], True) for f in found)
    return _Sum(h[:n], inner, tuple(e[:n] for e in each), alone, beside[:n], past[:n]), True


def _filled(known: EndCut, ring: Outline, met: list[Against], total: _Sum) -> EndCut:
    h, plane = total.h, len(met) == 1 and isinstance(met[0].surface, Plane)
    low, high = float(h.min()), float(h.max())
    cut = replace(known, angle_rad=met[0].angle_rad, offset=met[0].offset, shortest=low, deepest=high)
    inner = h if total.inner is None else total.inner
    if max(high, float(inner.max())) - min(low, float(inner.min())) < FLAT_CUT:
        return cut
    return replace(
        cut,
        kind="plane" if plane else ("double" if len(met) > 1 else "cope"),
        wrap=tuple(zip(ring.s.tolist(), h.tolist(), strict=True)),
        inner_wrap=() if total.inner is None else tuple(total.inner.tolist()),
        # A saw that cuts along a plane makes the inner edge right by itself.
        bevel_depth=0.0 if plane or total.inner is None else bevel_depth(h, total.inner),
        square_cuts=_straight(ring, met, total),
    )


def _straight(ring: Outline, met: list[Against], total: _Sum) -> tuple[tuple[SquareCut, ...], ...]:
    tilts = [a.tilt() for a in met]
    if len(met) > 1:
        cuts = pointed_cuts(ring.uv, (total.each[0], total.each[1]), (tilts[0][0], tilts[1][0]))
        return (tuple(_square_cut(c) for c in cuts),)
    tilt, across = tilts[0]
    if isinstance(met[0].surface, Plane):
        at = float(np.mean(total.h - ring.uv @ tilt))
        return ((_square_cut(straight_cut(tilt, at, 0.0)),),)
    one = one_cut(ring.uv, total.h, tilt, across)
    two = two_cuts(ring.uv, total.h, tilt, across)
    if one.depth < WORTH_A_CUT or max(c.depth for c in two) > 0.9 * one.depth:
        return ((_square_cut(one),),)
    return ((_square_cut(one),), tuple(_square_cut(c) for c in two))


def _square_cut(cut: StraightCut) -> SquareCut:
    return SquareCut(
        direction_rad=cut.direction_rad,
        angle_rad=cut.angle_rad,
        at=cut.at,
        greatest_gap=cut.depth,
        filing_depth=cut.depth,
    )


def _room(member: Member, start: EndCut, end: EndCut) -> list[Finding]:
    """Cuts must stay on the straight that they are made in, and leave something of a straight run."""
    straights = layout(member.centreline).straights
    if len(straights) == 1:
        lack = start.deepest + end.deepest - float(straights[0])
        return [tell.cuts_meet(member, lack)] if lack > 0 else []
    return [
        tell.reaches_bend(member, name, cut.deepest, float(room))
        for name, cut, room in (("start", start, straights[0]), ("end", end, straights[-1]))
        if cut.deepest > float(room)
    ]
