"""The job as one JSON document: what programs outside read, and what outside checks are run on.

Units mm, N, kg, degrees. The keys are a contract, described one by one in `jobdata.schema.json` and in
docs/reference/job-data.md. A key whose feature does not exist yet is absent, never faked.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from handbarrow.design.values import Position, Size
from handbarrow.findings import Finding, as_record
from handbarrow.job.values import BendCard, BendRow, CheckSize, CutBar, CuttingPlan, EndCut, Job, JobHole, JobPart
from handbarrow.job.values import SquareCut as Cut
from handbarrow.laws.geometry.path import Matrix4
from handbarrow.laws.geometry.section import Section
from handbarrow.sheets.fastenerdata import fastener_document
from handbarrow.sheets.jsonnumbers import fine as _fine
from handbarrow.sheets.jsonnumbers import num as _num
from handbarrow.sheets.jsonnumbers import nums as _nums
from handbarrow.sheets.jsonnumbers import opt as _opt
from handbarrow.sheets.jsontext import job_text
from handbarrow.sheets.pulldata import pull_document
from handbarrow.sheets.schema import job_schema, schema_text
from handbarrow.sheets.sheetdata import blank_document, sheet_cutting_documents
from handbarrow.sheets.softdata import roll_bounds, roll_documents, soft_document

__all__ = ["SCHEMA_VERSION", "job_document", "job_schema", "job_text", "positions_data", "schema_text"]

SCHEMA_VERSION = 1

Json = dict[str, Any]


def job_document(job: Job, *, making: bool = True, checks: bool = False) -> Json:
    """Return the job as plain values, keys as in the contract.

    Numbers are rounded to a millionth, direction cosines finer.

    Args:
        job: The job.
        making: Whether `jigs` and `fit_up` are worked out too; without them the keys are absent.
        checks: Whether `loads` and `checks` are; without them the keys are absent, and nothing is said of strength.

    Raises:
        ValueError: If a number of the job is not finite.
    """
    return {
        "schema": SCHEMA_VERSION,
        "design": {"name": job.design.name, "revision": job.design.revision, "digest": job.design.digest},
        "workshop": {"name": job.workshop.name, "digest": job.workshop.digest},
        "units": job.units,
        "sizes": {size.name: _size(size) for size in job.sizes},
        "results": {name: _num(value) for name, value in job.product.results.items()},
        "parts": [_part(part) | _steel(job, part) for part in job.parts],
        "placements": [
            {"part": p.part, "copy": p.copy, "transform": _matrix(p.transform), "mirrored": p.mirrored}
            for p in job.placements
        ],
        "positions": positions_data(job),
        "cutting": [
            *(_bar(bar, job.cutting) for bar in job.cutting.bars),
            *sheet_cutting_documents(job.cutting, job.workshop.sheet_work),
            *roll_documents(job),
        ],
        "cutting_bounds": [*_bounds(job.cutting), *roll_bounds(job)],
        "rack_after": [
            {"stock": line.stock, "length": _num(line.length), "count": line.count} for line in job.cutting.rack_after
        ],
        "stops": _stops(job),
        **(_making(job) if making else {}),
        **(_strength(job) if checks else {}),
        "materials": _materials(job),
        "masses": _masses(job),
        "totals": {
            "mass_kg": _num(job.masses[-1].mass_kg * job.units) if job.masses else None,
            "mass_complete": bool(job.masses) and not job.masses[-1].missing,
            "price": _opt(job.price),
            "price_known": _num(math.fsum(line.price for line in job.materials if line.price is not None)),
            "currency": job.workshop.currency,
        },
        "findings": [_finding(finding) for finding in job.findings],
    }


def _making(job: Job) -> Json:
    """Jigs and fit-up; imported only where they are wanted, so that plain job data stay quick."""
    from handbarrow.job.fitup import fit_up
    from handbarrow.job.jigs import build_jigs
    from handbarrow.sheets.fitdata import fit_up_document
    from handbarrow.sheets.jigdata import jigs_document

    return {"jigs": jigs_document(build_jigs(job)), "fit_up": fit_up_document(fit_up(job))}


def _strength(job: Job) -> Json:
    """Loads and checks; imported only where they are wanted: solving frames takes its time."""
    from handbarrow.job.checks import checked
    from handbarrow.job.clearance import clearances
    from handbarrow.job.frame_values import Subject
    from handbarrow.job.ride_checks import ride
    from handbarrow.job.swivel import reaches
    from handbarrow.sheets.ridedata import ride_document
    from handbarrow.sheets.strengthdata import strength_document
    from handbarrow.sheets.swiveldata import swivel_document

    subject = Subject(job.product, job.workshop, job.parts)
    turns = [swivel_document(reach, job.product.lift) for reach in reaches(subject)]
    return {**strength_document(checked(job)[0], clearances(subject)), "swivel": turns, **ride_document(ride(subject))}


# ------------------------------------------------------------------------------------------------ numbers
def _deg(value_rad: float) -> float | int:
    return _num(math.degrees(value_rad))


def _kpa(value_mpa: float) -> float | int:
    return _num(value_mpa * 1000)


def _matrix(transform: Matrix4) -> list[list[float | int]]:
    return [_fine(row) for row in transform]


# ------------------------------------------------------------------------------------------------ sizes, positions
def _size(size: Size) -> Json:
    shown = {"deg": _deg, "kPa": _kpa}.get(size.unit, _num)
    out: Json = {"value": shown(size.value), "unit": size.unit, "formula": size.formula}
    if size.find is not None:
        find = size.find
        between = [shown(find.low), shown(find.high)]
        out["find"] = {"result": find.result, "equals": _num(find.equals), "between": between}
    if size.says:
        out["says"] = size.says
    return out


def positions_data(job: Job) -> list[Json]:
    """Return every position of every assembly: `assembly`, `name`, `transform` in product axes."""
    return [
        _position(assembly.name, position, job.product.lift)
        for assembly in job.design.assemblies
        for position in assembly.positions
    ]


def _position(assembly: str, position: Position, lift: float) -> Json:
    """A position's transform, carried from the design's axes (any zero for z) to the product's (ground at zero)."""
    up = np.eye(4)
    up[2, 3] = lift
    moved = up @ np.asarray(position.transform, float) @ np.linalg.inv(up)
    return {"assembly": assembly, "name": position.name, "transform": [_fine(map(float, row)) for row in moved]}


# ------------------------------------------------------------------------------------------------ parts
def _steel(job: Job, part: JobPart) -> Json:
    item = job.workshop.stock.get(part.stock)
    return {"steel": item.steel} if item is not None and item.steel else {}


def _part(part: JobPart) -> Json:
    out: Json = {
        "id": part.id,
        "name": part.title,
        "kind": part.kind,
        "assembly": part.assembly,
        "quantity": part.quantity,
        "mirrored": part.mirrored,
        "other_hand": part.other_hand,
        "stock": part.stock,
        "mass_kg": _opt(part.mass_kg),
    }
    if part.centre_of_mass is not None:
        out["centre_of_mass"] = _nums(part.centre_of_mass)
    if part.items != 1:
        out["items"] = part.items
    if part.standard:
        out["standard"] = part.standard
    if part.note:
        out["note"] = part.note
    if part.section is not None:
        _add_run(out, part, part.section)
    if part.holes or part.section is not None or part.outline:
        out["holes"] = [_hole(hole) for hole in part.holes]
    if part.outline:
        out["blank"] = blank_document(part)
    out |= soft_document(part.soft)
    if part.fastener is not None:
        out["fastener"] = fastener_document(part.fastener)
    return out


def _add_run(out: Json, part: JobPart, section: Section) -> None:
    out["section"] = {
        "shape": section.shape,
        "outside": _num(section.outside),
        "height": _num(section.height),
        "width": _num(section.width),
        "wall": _num(section.wall),
    }
    if part.centreline is not None:
        points = [_nums(point) for point in part.centreline.points]
        out["centreline"] = {"points": points, "radii": _nums(part.centreline.radii)}
    if part.developed_length is not None:
        out["developed_length"] = _num(part.developed_length)
    if part.cut_length is not None:
        out["cut_length"] = _num(part.cut_length)
    if part.crown is not None:
        out["crown"] = _fine(part.crown)
    if part.card is not None:
        _add_card(out, part.card)
    if part.pull is not None:
        out["pull"] = pull_document(part.pull)
    out["straights"] = _nums(part.straights)
    ends = {"start": part.start, "end": part.end}
    out["ends"] = {name: _end(cut) for name, cut in ends.items() if cut is not None}


def _hole(hole: JobHole) -> Json:
    out: Json = {
        "x": _num(hole.x),
        "y": _num(hole.y),
        "face": hole.face,
        "diameter": _num(hole.diameter),
        "length": _num(hole.length),
        "angle": _deg(hole.angle_rad),
        "open_edge": hole.open_edge,
        "through": hole.through,
    }
    out |= {key: value for key, value in (("note", hole.note), ("screw", hole.screw), ("fit", hole.fit)) if value}
    return out


def _add_card(out: Json, card: BendCard) -> None:
    out["bends"] = [_bend(row) for row in card.rows]
    out["datum_shift"] = _num(card.datum_shift)
    out["planar"] = card.planar
    out["seam"] = {
        "from_crown": _deg(card.seam.from_crown_rad),
        "clear": card.seam.clear,
        "taken_by": list(card.seam.taken_by),
        "side": card.seam.side,
    }
    out["check_sizes"] = [_check_size(size) for size in card.check_sizes]


def _bend(row: BendRow) -> Json:
    return {
        "number": row.number,
        "order": row.order,
        "feed": row.feed,
        "mark": _num(row.mark),
        "angle": _deg(row.angle_rad),
        "set_angle": _deg(row.set_angle_rad),
        "turn": _deg(row.turn_rad),
        "bender_turn": _deg(row.bender_turn_rad),
        "crown_from_up": _deg(row.crown_rad),
        "uses": _num(row.uses),
        "die": row.die,
        "die_radius": _num(row.die_radius),
        "radius": _num(row.radius),
        "reference_offset": _num(row.reference_offset),
        "stop": _opt(row.stop),
        "stop_touches": row.stop_touches,
        "stop_end": _opt(row.stop_end),
        "stop_leg": _opt(row.stop_leg),
        "law": {
            "a": _num(row.law.a),
            "b": _deg(row.law.b_rad),
            "test_bends": row.law.test_bends,
            "guess": row.law.is_guess,
            "date": row.law.date,
        },
    }


def _check_size(size: CheckSize) -> Json:
    shown = _deg if size.kind == "angle" else _num
    out: Json = {
        "id": size.id,
        "title": size.title,
        "kind": size.kind,
        "value": shown(size.value),
        "minus": shown(size.minus),
        "plus": shown(size.plus),
        "measured": size.measured,
    }
    if size.from_point is not None and size.to_point is not None:
        out["from"] = _nums(size.from_point)
        out["to"] = _nums(size.to_point)
    return out


def _end(cut: EndCut) -> Json:
    out: Json = {"kind": cut.kind, "against": cut.against[0] if cut.against else None}
    copies = [*cut.against_copies, *([1] * (len(cut.against) - len(cut.against_copies)))]
    if copies and copies[0] != 1:
        out["against_copy"] = copies[0]
    if len(cut.against) > 1:
        pairs = zip(cut.against[1:], copies[1:], strict=False)
        out["also_against"] = [{"part": part, "copy": copy} for part, copy in pairs]
    out |= {
        "offset": _num(cut.offset),
        "angle": _deg(cut.angle_rad),
        "wrap": [[_num(s, 4), _num(h, 4)] for s, h in cut.wrap],
        "inner_wrap": [_num(h, 4) for h in cut.inner_wrap],
        "shortest": _num(cut.shortest),
        "deepest": _num(cut.deepest),
        "bevel_depth": _num(cut.bevel_depth),
        "square_cuts": [[_square_cut(one) for one in way] for way in cut.square_cuts],
        "checked": cut.checked,
    }
    return out


def _square_cut(cut: Cut) -> Json:
    return {
        "direction": _deg(cut.direction_rad),
        "angle": _deg(cut.angle_rad),
        "at": _num(cut.at),
        "greatest_gap": _num(cut.greatest_gap),
        "filing_depth": _num(cut.filing_depth),
    }


# ------------------------------------------------------------------------------------------------ batch
def _bar(bar: CutBar, plan: CuttingPlan) -> Json:
    layout = []
    for piece in bar.pieces:
        one: Json = {"part": piece.part, "copy": piece.copy, "at": _num(piece.at), "length": _num(piece.length)}
        if piece.die:
            one["test_piece_for"] = piece.die
        layout.append(one)
    return {
        "stock": bar.stock,
        "form": "bar",
        "source": bar.source,
        "length": _num(bar.length),
        "width": None,
        "kerf": _num(plan.kerf),
        "trim": _num(plan.trim),
        "count": bar.count,
        "layout": layout,
        "left": _num(bar.left),
        "price": _opt(bar.price),
    }


def _bounds(plan: CuttingPlan) -> list[Json]:
    return [
        {
            "stock": bound.stock,
            "used": _num(bound.cost),
            "lower_bound": _num(bound.lower_bound),
            "proven": bound.proven,
            "unit": bound.unit,
            "gap": _num(bound.gap),
            "bars": bound.used,
        }
        for bound in plan.bounds
    ]


def _stops(job: Job) -> list[Json]:
    return [
        {
            "value": _num(stop.value),
            "touches": stop.touches,
            "die": stop.die,
            "uses": [{"part": part, "bend": bend, "pieces": pieces} for part, bend, pieces in stop.uses],
        }
        for stop in job.stops
    ]


def _materials(job: Job) -> list[Json]:
    return [
        {
            "item": line.item,
            "quantity": _num(line.quantity),
            "unit": line.unit,
            "mass_kg": _opt(line.mass_kg),
            "price": _opt(line.price),
            "supplier": line.supplier,
            "standard": line.standard,
            "kind": line.kind,
            **({} if line.length is None else {"length": _num(line.length)}),
            **({} if line.needed is None else {"needed": _num(line.needed), "rule": line.rule}),
        }
        for line in job.materials
    ]


def _masses(job: Job) -> list[Json]:
    return [
        {
            "name": line.name,
            "mass_kg": _num(line.mass_kg),
            "centre": None if line.centre is None else _nums(line.centre),
            "missing": list(line.missing),
            "unplaced": list(line.unplaced),
        }
        for line in job.masses
    ]


def _finding(finding: Finding) -> Json:
    out: Json = {**as_record(finding)}
    if finding.place is not None:
        out["place"] = {"file": finding.place.file, "line": finding.place.line, "column": finding.place.column}
    return out
