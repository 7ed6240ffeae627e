"""Fit-up as plain values for the job data. Keys are described in `jobdata.schema.json`."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from handbarrow.design.values import Target
from handbarrow.job.fitup_values import FitCheck, FitJoint, Place, Weldment
from handbarrow.sheets.jsonnumbers import num, nums, opt

__all__ = ["fit_up_document"]

Json = dict[str, Any]


def fit_up_document(weldments: Iterable[Weldment]) -> list[Json]:
    """Return everything that is welded, one entry for each thing."""
    return [
        {
            "assembly": weldment.assembly,
            "base": _piece(weldment.base),
            "steps": [
                {
                    "number": step.number,
                    "part": step.part,
                    "copies": [piece.copy for piece in step.pieces],
                    "slide_on_first": [{"piece": _piece(a), "around": _piece(b)} for a, b in step.threaded],
                }
                for step in weldment.steps
            ],
            "joints": [_joint(joint) for joint in weldment.joints],
            "checks": [_check(check) for check in weldment.checks],
            "welded_around": [{"piece": _piece(a), "around": _piece(b)} for a, b in weldment.around],
        }
        for weldment in weldments
    ]


def _piece(piece: Target) -> Json:
    return {"part": piece.part, "copy": piece.copy}


def _joint(joint: FitJoint) -> Json:
    weld, contact = joint.weld, joint.contact
    out: Json = {
        "number": joint.number,
        "step": joint.step,
        "piece": _piece(contact.piece),
        "end": contact.end or None,
        "to": _piece(contact.to),
        "kind": contact.kind,
        "place": _place(joint.place),
        "angle": None if joint.angle_rad is None else num(math.degrees(joint.angle_rad)),
        "offset": num(joint.offset),
        "weld": {
            "kind": weld.kind,
            "all_round": weld.all_round,
            "sides": weld.sides,
            "length": opt(weld.length),
            "throat": num(weld.throat),
            "tacks": weld.tacks,
            "strength": "not checked",
        },
    }
    if joint.own is not None:
        out["own_place"] = _place(joint.own)
    if joint.reach is not None:
        reach = joint.reach
        out["reach"] = [
            {"side": reach.one_side, "length": num(reach.one)},
            {"side": reach.other_side, "length": num(reach.other)},
        ]
    return out


def _place(place: Place) -> Json:
    return {
        "from": place.datum,
        "leg": place.leg or None,
        "bend": place.bend or None,
        "leg_side": place.leg_side,
        "from_side": place.datum_side,
        "near": num(place.near),
        "centre": num(place.centre),
        "far": num(place.far),
        "across": num(place.across),
        "side": place.side,
        "lean": num(math.degrees(place.lean_rad)),
        "lean_to": place.lean_to,
        "point": nums(place.point),
    }


def _check(check: FitCheck) -> Json:
    is_angle = check.kind == "angle"
    return {
        "kind": check.kind,
        "value": num(math.degrees(check.value) if is_angle else check.value),
        "limit": num(math.degrees(check.limit) if is_angle else check.limit),
        "unit": "deg" if is_angle else "mm",
        "joints": list(check.joints),
        "points": [nums(point) for point in check.points],
        "pieces": [_piece(piece) for piece in check.pieces],
    }
