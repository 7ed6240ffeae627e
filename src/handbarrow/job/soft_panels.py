"""Panels of cloth: cut size from finished size, folds, seams, stations, thread and minutes; hoods laid flat."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import cast

import numpy as np

from handbarrow.design.soft_shapes import OnPanel, Panel, Side, Strap
from handbarrow.design.values import Member, Part, Product
from handbarrow.findings import Finding, Severity
from handbarrow.job.soft_values import FoldLine, PanelWork, Seam, SeamKind, Station
from handbarrow.language import said
from handbarrow.laws.geometry.path import Floats, Vec2, Vec3, sample, spaced_evenly, vec3
from handbarrow.laws.geometry.polygon import area_and_centroid
from handbarrow.laws.sewing.develop import FlatStrip, develop_strip, offset_outline
from handbarrow.laws.sewing.edges import ClothEdge, edge_takes, hem_lines
from handbarrow.laws.sewing.stitching import boxed_cross, sewing_minutes, thread_needed
from handbarrow.workshop.values import Workshop

__all__ = ["panel_work", "sewn"]

SIDES: tuple[Side, ...] = ("right", "foot", "left", "head")
"""Edges in the order of the outline, from the corner at the named end on the right."""
BOW_STEPS = 100
BEND_CHORD = math.radians(2.0)
TWISTED = math.radians(15.0)
"""Cloth that turns more than this along a line from bow to bow puckers: common practice, no source."""


def sewn(seams: Sequence[Seam], workshop: Workshop) -> tuple[float, float]:
    """Return thread (needle and bobbin together) [mm] and minutes for some seams."""
    how, stitched = workshop.sewing, sum(seam.stitched for seam in seams)
    ends = sum(seam.rows * seam.count for seam in seams)
    thread = thread_needed(stitched, how.thread_ratio, ends=ends, tail=how.tail)
    return thread, sewing_minutes(stitched, how.stitch, how.speed, how.handling)


def panel_work(part: Part, panel: Panel, product: Product, workshop: Workshop) -> tuple[PanelWork, list[Finding]]:
    """Return everything about a panel, and what is wrong with it."""
    findings: list[Finding] = []
    strip: FlatStrip | None = None
    space: list[tuple[Vec3, Vec3, Vec3]] = []
    if panel.size is not None:
        (length, width), owner = panel.size, [0, 1, 2, 3]
        outline = np.array([(0.0, -width / 2), (length, -width / 2), (length, width / 2), (0.0, width / 2)])
    elif panel.outline:
        outline, owner = np.array(panel.outline), [3] * len(panel.outline)
    else:
        curves = _bows(panel, product)
        if curves is None:
            return _nothing(panel), [_no_bows(part)]
        strip = develop_strip(*curves)
        outline, owner = _strip_outline(strip)
        space = _in_space(curves, strip)
        findings += [_twisted(part, strip)] if strip.twist_rad > TWISTED else []
    edges = [panel.edges.of(SIDES[k]) for k in owner]
    takes = [edge_takes(edge) for edge in edges]
    cut = offset_outline(outline, takes)
    seams = tuple(_seams(panel, outline, owner, product))
    thread, minutes = sewn(seams, workshop)
    work = PanelWork(
        named=panel.named, finished=_size(outline), cut=_size(cut), outline=_pairs(outline), cut_outline=_pairs(cut),
        lines=tuple(_lines(outline, edges, rectangle=panel.size is not None)), seams=seams,
        stations=tuple(_stations(panel)), area=area_and_centroid(_pairs(cut))[0], thread=thread, minutes=minutes,
        twist_rad=None if strip is None else strip.twist_rad,
        space=tuple(space or _flat_space(panel, outline, product.lift)),
    )  # fmt: skip
    return work, findings


def _pairs(points: Floats) -> tuple[Vec2, ...]:
    return tuple((float(x), float(y)) for x, y in points)


def _size(points: Floats) -> Vec2:
    spread = np.ptp(points, axis=0)
    return float(spread[0]), float(spread[1])


def _nothing(panel: Panel) -> PanelWork:
    square: tuple[Vec2, ...] = ((0.0, -0.5), (1.0, -0.5), (1.0, 0.5), (0.0, 0.5))
    return PanelWork(
        named=panel.named, finished=(1.0, 1.0), cut=(1.0, 1.0), outline=square, cut_outline=square, lines=(), seams=(),
        stations=(), area=1.0, thread=0.0, minutes=0.0,
    )  # fmt: skip


# ------------------------------------------------------------------------------------------------ between bows
def _bows(panel: Panel, product: Product) -> tuple[Floats, Floats] | None:
    """The outer sides of both bows as points; the second turned round if it runs the other way."""
    members = [product.members.get(name) for name in panel.bows]
    if len(members) != 2 or any(member is None for member in members):
        return None
    first, second = (_outer(cast("Member", member)) for member in members)
    straight = np.linalg.norm(first[0] - second[0]) + np.linalg.norm(first[-1] - second[-1])
    turned = np.linalg.norm(first[0] - second[-1]) + np.linalg.norm(first[-1] - second[0])
    return first, second[::-1] if turned < straight else second


def _outer(member: Member) -> Floats:
    """Points along a bow where the cloth lies on it: outside its curve."""
    points = spaced_evenly(sample(member.centreline, BEND_CHORD), BOW_STEPS + 1)
    chord = points[-1] - points[0]
    away = points.mean(axis=0) - (points[0] + points[-1]) / 2
    if float(np.linalg.norm(chord)) < 1e-9 or float(np.linalg.norm(np.cross(chord, away))) < 1e-6:
        return points
    normal = np.cross(chord, away)
    ways = np.gradient(points, axis=0)
    out = np.cross(ways, normal / np.linalg.norm(normal))
    out /= np.maximum(np.linalg.norm(out, axis=1), 1e-12)[:, None]
    middle = (points[0] + points[-1]) / 2
    sign = np.sign(float(((points - middle) * out).sum()))
    moved: Floats = points + sign * out * member.section.outside / 2
    return moved


def _strip_outline(strip: FlatStrip) -> tuple[Floats, list[int]]:
    outline = np.vstack([strip.first[:1], strip.second, strip.first[:0:-1]])
    n, m = len(strip.first), len(strip.second)
    return outline, [0] + [1] * (m - 1) + [2] + [3] * (n - 1)


def _in_space(curves: tuple[Floats, Floats], strip: FlatStrip) -> list[tuple[Vec3, Vec3, Vec3]]:
    a, b = curves
    out = []
    for (i, j), (k, m) in pairwise(strip.rulings.tolist()):
        out.append((vec3(a[i]), vec3(b[j]), vec3(a[k] if k > i else b[m])))
    return out


def _flat_space(panel: Panel, outline: Floats, lift: float) -> Iterator[tuple[Vec3, Vec3, Vec3]]:
    """A fan of triangles from the middle of a flat panel."""
    x, z = np.asarray(panel.along, float), np.asarray(panel.facing, float)
    axes = np.array([x, np.cross(z, x)])
    corners = np.add(panel.at, (0.0, 0.0, lift)) + outline @ axes
    middle = vec3(corners.mean(axis=0))
    for i in range(len(corners)):
        yield middle, vec3(corners[i]), vec3(corners[(i + 1) % len(corners)])


# ------------------------------------------------------------------------------------------------ lines and seams
def _lines(outline: Floats, edges: Sequence[ClothEdge], rectangle: bool) -> Iterator[FoldLine]:
    """Of a rectangle all folds and stitches from edge to edge of the cut cloth; of another shape its finished edge."""
    if not rectangle:
        yield FoldLine(kind="fold", points=(*_pairs(outline), _pairs(outline)[0]))
        return
    takes = [edge_takes(edge) for edge in edges]
    low, high = outline.min(axis=0), outline.max(axis=0)
    cut_low = (low[0] - takes[3], low[1] - takes[0])
    cut_high = (high[0] + takes[1], high[1] + takes[2])
    for k, edge in enumerate(edges):
        lines = hem_lines(edge)
        for i, distance in enumerate(lines):
            kind = "stitch" if i == len(lines) - 1 else "fold"
            if k in (0, 2):
                y = cut_low[1] + distance if k == 0 else cut_high[1] - distance
                ends: tuple[Vec2, ...] = ((float(cut_low[0]), float(y)), (float(cut_high[0]), float(y)))
            else:
                x = cut_high[0] - distance if k == 1 else cut_low[0] + distance
                ends = ((float(x), float(cut_low[1])), (float(x), float(cut_high[1])))
            yield FoldLine(kind=kind, points=ends)  # type: ignore[arg-type]


def _seams(panel: Panel, outline: Floats, owner: Sequence[int], product: Product) -> Iterator[Seam]:
    lengths = np.linalg.norm(np.roll(outline, -1, axis=0) - outline, axis=1)
    for k, side in enumerate(SIDES):
        edge = panel.edges.of(side)
        length = float(sum(lengths[i] for i in range(len(owner)) if owner[i] == k))
        if edge.kind != "raw" and length > 0:
            kind: SeamKind = "seam" if edge.kind == "seam" else "hem"
            yield Seam(kind=kind, on=side if panel.size or panel.bows else "", length=length, rows=panel.edges.rows)
    yield from (seam for one in panel.on_it if (seam := _round(one)) is not None)
    yield from _sewn_straps(panel, product)


def _sewn_straps(panel: Panel, product: Product) -> Iterator[Seam]:
    """Box and cross of each strap that is sewn on, alike ones together."""
    counts: Counter[tuple[str, float]] = Counter()
    for hung in panel.hung:
        if hung.sewn and not hung.laced:
            counts[(hung.by, hung.sewn)] += len(hung.places)
    for (name, length), count in counts.items():
        strap = product.design.part(name).shape
        soft = product.design.stock[strap.stock].soft if isinstance(strap, Strap) else None
        if isinstance(strap, Strap) and soft is not None and strap.rows:
            box = boxed_cross(length, soft.width)
            yield Seam(kind="strap", on=name, length=box, rows=strap.rows, count=count)


def _round(one: OnPanel) -> Seam | None:
    """A pocket is open towards the named end; windows and patches are sewn all round; a row runs its own length."""
    along, across = one.size
    length = {
        "pocket": 2 * along + across, "window": 2 * (along + across), "patch": 2 * (along + across),
        "row": math.hypot(along, across), "eyelet": 0.0,
    }[one.kind]  # fmt: skip
    if one.kind == "eyelet" or length <= 0 or one.rows == 0:
        return None
    return Seam(kind=one.kind, on=one.note, length=length, rows=one.rows)


def _stations(panel: Panel) -> Iterator[Station]:
    for hung in panel.hung:
        on_long = hung.edge in ("left", "right")
        before = edge_takes(panel.edges.head if on_long else panel.edges.left)
        for place, gap in zip(hung.places, hung.gaps, strict=True):
            yield Station(
                edge=hung.edge, by=hung.by, at=place, on_cut=place + before, gap=gap, sewn=hung.sewn,
                laced=hung.laced,
            )  # fmt: skip


# ------------------------------------------------------------------------------------------------ findings
def _no_bows(part: Part) -> Finding:
    return Finding(
        code="panel-without-bows",
        where=f"{part.path}.panel.bows",
        wrong=said("the cloth {part} is not given two bows", part=part.id),
        expected=said("two parts that are tube or bar, as `bows: [hood-bow, visor-bow]`"),
        fix=said("name the two runs that it is stretched over"),
    )


def _twisted(part: Part, strip: FlatStrip) -> Finding:
    degrees = math.degrees(strip.twist_rad)
    return Finding(
        code="cloth-will-not-lie",
        where=f"{part.path}.panel.bows",
        wrong=said("the cloth {part} turns {degrees:.0f} degrees from bow to bow", part=part.id, degrees=degrees),
        expected=said("at most {most:.0f} degrees; flat cloth puckers beyond", most=math.degrees(TWISTED)),
        fix=said("put a bow between the two, take in darts after fitting, or make the bows more alike"),
        severity=Severity.WARNING,
    )
