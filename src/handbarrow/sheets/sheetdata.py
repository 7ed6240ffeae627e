"""Blanks of plates and of sheet, and sheets as they are cut, in the job data."""

from __future__ import annotations

import math
from typing import Any

from handbarrow.job.sheet_values import CutSheet, SheetFold, SheetJob
from handbarrow.job.values import CuttingPlan, JobPart
from handbarrow.sheets.jsonnumbers import fine, num, nums, opt
from handbarrow.workshop.sheet_values import SheetWork

__all__ = ["blank_document", "sheet_cutting_documents"]

Json = dict[str, Any]


def blank_document(part: JobPart) -> Json:
    """Return the flat blank of a plate or of a part of sheet, own axes."""
    xs, ys = zip(*part.outline, strict=True)
    out: Json = {
        "outline": [nums(point) for point in part.outline],
        "thickness": opt(part.thickness),
        "corner_radius": num(part.corner_radius),
        "length": num(max(xs) - min(xs)),
        "width": num(max(ys) - min(ys)),
    }
    return out if part.sheet is None else out | _folded(part.sheet)


def _folded(sheet: SheetJob) -> Json:
    out: Json = {"rule": sheet.rule, "grain": sheet.grain, "folds": [_fold(fold) for fold in sheet.folds]}
    if sheet.rolled is not None:
        rolled = sheet.rolled
        out["rolled"] = {
            "inside_radius": num(rolled.inside_radius),
            "arc": num(math.degrees(rolled.arc_rad)),
            "chord": num(rolled.chord),
            "rise": num(rolled.rise),
            "outside_arc": num(rolled.outside_arc),
        }
    return out


def _fold(fold: SheetFold) -> Json:
    return {
        "number": fold.number,
        "order": fold.order or None,
        "side": fold.side,
        "line": [nums(fold.start), nums(fold.end)],
        "angle": num(math.degrees(fold.angle_rad)),
        "way": fold.way,
        "radius": num(fold.radius),
        "uses": num(fold.uses),
        "hem": fold.hem,
        "turned_over": fold.turned_over,
        "height": num(fold.height),
    }


def sheet_cutting_documents(plan: CuttingPlan, work: SheetWork) -> list[Json]:
    """Return the sheets as they are cut; copies of a part are counted through the plan."""
    copies: dict[str, int] = {}
    return [_sheet(sheet, work, copies) for sheet in plan.sheets]


def _sheet(sheet: CutSheet, work: SheetWork, copies: dict[str, int]) -> Json:
    layout = []
    seen: dict[str, int] = {}
    for piece in sheet.pieces:
        copies[piece.part] = copies.get(piece.part, 0) + 1
        seen[piece.part] = seen.get(piece.part, 0) + 1
        layout.append(
            {
                "part": piece.part, "copy": copies[piece.part], "at": nums((piece.x, piece.y)),
                "length": num(piece.length), "width": num(piece.width), "turned": piece.turned,
            }
        )  # fmt: skip
    for part, count in seen.items():
        copies[part] += count * (sheet.count - 1)
    return {
        "stock": sheet.stock,
        "form": "sheet",
        "source": "shop",
        "length": num(sheet.length),
        "width": num(sheet.width),
        "kerf": num(work.kerf),
        "trim": num(work.trim),
        "count": sheet.count,
        "layout": layout,
        "cuts": [nums(cut) for cut in sheet.cuts],
        "left": 0.0,
        "used": fine((sheet.used,))[0],
        "price": opt(sheet.price),
    }
