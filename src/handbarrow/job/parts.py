"""Each part of the product with everything computed: lengths, cards, cuts, holes, masses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import cast

import numpy as np

from handbarrow.design.values import BarHole, Bought, Panel, Part, PlateShape, Product, Run, Sheet, Strap
from handbarrow.findings import Finding, Severity
from handbarrow.job.bought_parts import bought_part
from handbarrow.job.formers import pull_of
from handbarrow.job.hands import Drilled, is_other_hand
from handbarrow.job.masses import plate_mass, run_mass
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.plate_findings import plate_findings
from handbarrow.job.sheet_parts import sheet_part
from handbarrow.job.soft_parts import panel_part, strap_part, with_panels
from handbarrow.job.values import BendCard, EndCut, JobHole, JobPart
from handbarrow.language import said
from handbarrow.laws.geometry.path import layout, vec3
from handbarrow.workshop.values import Workshop

__all__ = ["build_parts"]

Cuts = Mapping[tuple[str, str], EndCut]


def build_parts(
    product: Product, workshop: Workshop, cuts: Cuts, cards: Mapping[str, BendCard]
) -> tuple[tuple[JobPart, ...], list[Finding]]:
    """Return the parts in the order of the design file, and findings about holes and masses."""
    parts: list[JobPart] = []
    findings: list[Finding] = []
    scene = Scene(product)
    for part in product.design.parts:
        if isinstance(part.shape, Run):
            made, found = _run(part, part.shape, product, cuts, cards.get(part.id))
            made, more = _pulled(made, product, workshop, cuts)
            found += more
        elif isinstance(part.shape, PlateShape):
            made, found = _plate(part, part.shape, product), plate_findings(part, part.shape)
        elif isinstance(part.shape, Sheet):
            made, found = sheet_part(part, part.shape, product, workshop)
        elif isinstance(part.shape, Panel):
            made, found = panel_part(part, part.shape, product, workshop)
        elif isinstance(part.shape, Strap):
            made, found = strap_part(part, part.shape, product, workshop)
        elif isinstance(part.shape, Bought):
            made, found = bought_part(part, part.shape, scene, workshop)
        parts.append(made)
        findings += found
    return tuple(_settled(with_panels(parts), product)), findings


def _settled(parts: list[JobPart], product: Product) -> list[JobPart]:
    """Give bought parts without a place the centre of mass of what they are on: a bolt weighs where it sits."""
    made = {part.id: part for part in parts}
    moves = {(p.part, p.copy): np.asarray(p.transform) for p in product.placements}
    for _ in range(len(parts)):  # a nut may be on a bolt that is on a plate
        waiting = [p for p in made.values() if p.kind in ("bought", "webbing") and p.centre_of_mass is None]
        for part in waiting:
            on = next(iter(product.design.part(part.id).on), None)
            host = made.get(on.part) if on else None
            if on is not None and host is not None and host.centre_of_mass is not None:
                m = moves.get((on.part, on.copy), np.eye(4))
                at = m[:3, :3] @ np.asarray(host.centre_of_mass) + m[:3, 3]
                made[part.id] = replace(part, centre_of_mass=vec3(at))
        if all(made[p.id].centre_of_mass is None for p in waiting):
            break
    return [made[part.id] for part in parts]


def _hands(part: Part) -> tuple[int, int]:
    return len(part.copies), sum(copy.mirrored for copy in part.copies)


def _run(part: Part, run: Run, product: Product, cuts: Cuts, card: BendCard | None) -> tuple[JobPart, list[Finding]]:
    member = product.members[part.id]
    place = layout(member.centreline)
    start, end = cuts[(part.id, "start")], cuts[(part.id, "end")]
    used = sum(row.uses for row in card.rows) if card else float(place.arcs.sum())
    developed = float(place.straights.sum()) + used
    cut_length = developed - start.shortest - end.shortest
    mass, centre = run_mass(member.section, member.centreline, cut_length, (start, end))
    quantity, mirrored = _hands(part)
    holes, findings = _holes(part, run, product, card, start.shortest)
    made = JobPart(
        id=part.id,
        title=part.title,
        kind=member.section.kind,
        assembly=part.assembly,
        quantity=quantity,
        mirrored=mirrored,
        other_hand=bool(mirrored)
        and is_other_hand(
            member.centreline,
            start,
            end,
            section=member.section,
            crown=member.crown,
            drilled=Drilled(cut_length, holes),
        ),
        stock=product.design.stock[run.stock].label,
        mass_kg=mass,
        centre_of_mass=centre,
        section=member.section,
        centreline=member.centreline,
        crown=member.crown,
        developed_length=developed,
        cut_length=cut_length,
        card=card,
        straights=tuple(float(s) for s in place.straights),
        start=start,
        end=end,
        holes=holes,
        note=part.note,
    )
    return made, findings


def _pulled(made: JobPart, product: Product, workshop: Workshop, cuts: Cuts) -> tuple[JobPart, list[Finding]]:
    """The part with what it takes to pull it round a former, where it is made so."""
    ends = cuts[(made.id, "start")], cuts[(made.id, "end")]
    pull, findings = pull_of(product.members[made.id], made.stock, workshop, ends, made.quantity)
    return (made, findings) if pull is None else (replace(made, pull=pull), findings)


def _holes(
    part: Part, run: Run, product: Product, card: BendCard | None, shift: float
) -> tuple[tuple[JobHole, ...], list[Finding]]:
    """Holes of a run, moved from the finished centreline to the straight piece as it lies on the drill."""
    out: list[JobHole] = []
    findings: list[Finding] = []
    finished, straight, bend_spans = _stations(product, part.id, card)
    drilled = sum(not hole.length for hole in run.holes)  # the reader puts them before the slots
    for i, hole in enumerate(run.holes):
        where = f"{part.path}.slots[{i - drilled}]" if hole.length else f"{part.path}.holes[{i}]"
        at, place, key = _place(hole, finished[-1])
        if not 0 <= at <= finished[-1]:
            findings.append(
                Finding(
                    code="hole-outside-part",
                    where=where,
                    wrong=said("a hole {place}", place=place),
                    expected=said(
                        "between 0 and {length:.1f} mm, the finished length of {part}",
                        length=finished[-1],
                        part=part.id,
                    ),
                    fix=said("change `{key}`", key=key),
                )
            )
            continue
        if any(low < at < high for low, high in bend_spans):
            findings.append(
                Finding(
                    code="hole-in-bend",
                    where=where,
                    wrong=said("the hole {place} lies in a bend", place=place),
                    expected=said(
                        "holes in straight stretches: a drilled tube kinks, and the place moves when it is bent"
                    ),
                    fix=said("move the hole, or drill it after bending and note it"),
                    severity=Severity.WARNING,
                )
            )
        out.append(_job_hole(hole, float(np.interp(at, finished, straight)) - shift))
    return tuple(out), findings


def _place(hole: BarHole, length: float) -> tuple[float, str, str]:
    """Where a hole lies along the finished centreline [mm], in words, and the key that says so."""
    if hole.from_end is not None:
        return length - hole.from_end, said("{at:.1f} mm from the end", at=hole.from_end), "from end"
    at = hole.from_start or 0.0
    return at, said("{at:.1f} mm from the start", at=at), "from start"


def _job_hole(hole: BarHole, x: float) -> JobHole:
    return JobHole(
        x=x,
        y=hole.across,
        face=hole.face,
        diameter=hole.diameter,
        length=hole.length,
        angle_rad=np.pi / 2 if hole.length and hole.slot_along == "across" else 0.0,
        open_edge=hole.open_edge,
        through=hole.through,
        note=hole.note,
        screw=hole.screw,
        fit=hole.fit,
    )


def _stations(
    product: Product, part_id: str, card: BendCard | None
) -> tuple[list[float], list[float], list[tuple[float, float]]]:
    """Return matching places along the finished centreline and along the straight tube, and where bends lie."""
    place = layout(product.members[part_id].centreline)
    uses = [row.uses for row in card.rows] if card else [float(a) for a in place.arcs]
    finished, straight = [0.0], [0.0]
    spans: list[tuple[float, float]] = []
    for k, s in enumerate(place.straights):
        finished.append(finished[-1] + float(s))
        straight.append(straight[-1] + float(s))
        if k < len(place.arcs):
            spans.append((finished[-1], finished[-1] + float(place.arcs[k])))
            finished.append(finished[-1] + float(place.arcs[k]))
            straight.append(straight[-1] + uses[k])
    return finished, straight, spans


def _plate(part: Part, shape: PlateShape, product: Product) -> JobPart:
    role = product.design.stock[shape.stock]
    thickness = cast(float, role.thickness)
    mass, centre = plate_mass(shape, thickness, product.lift)
    quantity, mirrored = _hands(part)
    return JobPart(
        id=part.id,
        title=part.title,
        kind="plate",
        assembly=part.assembly,
        quantity=quantity,
        mirrored=mirrored,
        other_hand=False,  # a flat plate turned over is its own mirror image
        stock=role.label,
        mass_kg=mass,
        centre_of_mass=centre,
        outline=shape.outline,
        corner_radius=shape.corner_radius,
        thickness=thickness,
        holes=tuple(
            JobHole(
                x=h.at[0],
                y=h.at[1],
                face="",
                diameter=h.diameter,
                length=h.length,
                angle_rad=h.angle_rad,
                open_edge=h.open_edge,
                through=True,
                note=h.note,
                screw=h.screw,
                fit=h.fit,
            )
            for h in shape.holes
        ),
        note=part.note,
    )
