"""Panels, straps and rolls in the job data."""

from __future__ import annotations

import math
from typing import Any

from handbarrow.job.soft_rolls import RollPlan, roll_plans
from handbarrow.job.soft_values import PanelWork, Seam, StrapWork
from handbarrow.job.values import Job
from handbarrow.sheets.jsonnumbers import num, nums, opt

__all__ = ["roll_bounds", "roll_documents", "soft_document"]

Json = dict[str, Any]


def soft_document(soft: PanelWork | StrapWork | None) -> Json:
    """Return `panel` or `strap` of a part; empty for any other."""
    if isinstance(soft, PanelWork):
        return {"panel": _panel(soft)}
    return {} if soft is None else {"strap": _strap(soft)}


def _panel(work: PanelWork) -> Json:
    out: Json = {
        "named_end": work.named,
        "finished": nums(work.finished),
        "cut": nums(work.cut),
        "outline": [nums(point) for point in work.outline],
        "cut_outline": [nums(point) for point in work.cut_outline],
        "lines": [{"kind": line.kind, "points": [nums(p) for p in line.points]} for line in work.lines],
        "stations": [
            {
                "edge": s.edge, "by": s.by, "at": num(s.at), "on_cut": num(s.on_cut), "gap": num(s.gap),
                "sewn": num(s.sewn), "laced": s.laced,
            }
            for s in work.stations
        ],
        "area_m2": num(work.area * 1e-6),
        **_sewing(work.seams, work.thread, work.minutes),
    }  # fmt: skip
    if work.twist_rad is not None:
        out["twist"] = num(math.degrees(work.twist_rad))
    return out


def _strap(work: StrapWork) -> Json:
    return {
        "pieces": [
            {
                "cut": num(piece.cut), "finished": num(piece.finished), "count": piece.count, "edge": piece.edge,
                "gauge": opt(piece.gauge),
            }
            for piece in work.pieces
        ],
        "length": num(work.length),
        "knots": work.knots,
        "knot": num(work.knot),
        "knot_tried": bool(work.knots) and not work.knot_guessed,
        "around": list(work.around),
        **_sewing(work.seams, work.thread, work.minutes),
    }  # fmt: skip


def _sewing(seams: tuple[Seam, ...], thread: float, minutes: float) -> Json:
    return {
        "seams": [
            {"kind": seam.kind, "on": seam.on, "length": num(seam.length), "rows": seam.rows, "count": seam.count}
            for seam in seams
        ],
        "thread": num(thread),
        "minutes": num(minutes, 2),
    }


def roll_documents(job: Job) -> list[Json]:
    """Return how the cloth of the batch is cut; each roll is one entry of `cutting`."""
    return [_roll(job, plan) for plan in roll_plans(job.parts, job.workshop, job.units)]


def _roll(job: Job, plan: RollPlan) -> Json:
    soft = job.workshop.soft(plan.stock)
    price_m = soft.price_m if soft is not None else None
    copies: dict[int, int] = {}
    layout = []
    for place in plan.layout.places:
        copies[place.piece] = copies.get(place.piece, 0) + 1
        piece = plan.pieces[place.piece]
        layout.append({
            "part": piece.name, "copy": copies[place.piece], "at": num(place.along), "across": num(place.across),
            "length": num(piece.length), "width": num(piece.width), "turned": plan.turned[place.piece],
        })  # fmt: skip
    length = plan.layout.length
    return {
        "stock": plan.stock, "form": "roll", "source": "shop", "length": num(length), "width": num(plan.width),
        "kerf": num(job.workshop.sewing.gap), "trim": 0, "count": 1, "layout": layout, "left": 0,
        "price": None if price_m is None else num(price_m * length / 1000), "used": num(plan.layout.used),
    }  # fmt: skip


def roll_bounds(job: Job) -> list[Json]:
    """Return how good each layout is; `used` and `lower_bound` are lengths of roll [m]."""
    out = []
    for plan in roll_plans(job.parts, job.workshop, job.units):
        used, bound = plan.layout.length / 1000, plan.layout.lower_bound / 1000
        gap = (used - bound) / bound if bound > 0 else 0.0
        out.append({
            "stock": plan.stock, "used": num(used), "lower_bound": num(bound), "proven": plan.layout.proven,
            "unit": "m", "gap": num(gap), "bars": 1,
        })  # fmt: skip
    return out
