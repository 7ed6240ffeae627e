"""Load cases and checks in the job data."""

from __future__ import annotations

from typing import Any

from handbarrow.job.clearance import Clearance, Room
from handbarrow.job.frame_values import Check, LoadedCase, Strength, Worst
from handbarrow.sheets.jsonnumbers import num, nums, opt

__all__ = ["strength_document"]

Json = dict[str, Any]


def strength_document(strength: Strength, room: Room) -> Json:
    """Return `loads`, `checks` and `clearances` as plain values."""
    worst = {f"stress-{one.part}": one for one in strength.worst}
    return {
        "loads": [_case(case) for case in strength.cases],
        "checks": [_check(check, worst.get(check.id)) for check in strength.checks],
        "clearances": [_clearance(near) for near in room.near],
    }


def _clearance(near: Clearance) -> Json:
    out: Json = {
        "one": near.one.part,
        "one_copy": near.one.copy,
        "other": near.other.part,
        "other_copy": near.other.copy,
        "gap": num(near.gap),
        "points": [nums(near.at_one), nums(near.at_other)],
        "kind": near.kind,
        "when": near.when,
    }
    if near.assembly:
        out |= {"assembly": near.assembly, "position": near.position, "share": num(near.share)}
    return out


def _case(case: LoadedCase) -> Json:
    out: Json = {
        "id": case.id,
        "title": case.title,
        "carried": case.carried,
        "says": case.says,
        "source": case.source,
        "state": case.state,
    }
    if case.state == "solved":
        out |= {
            "wheels": [nums(force) for force in case.ground],
            "held": [{"name": name, "force": nums(force)} for name, force in case.hands],
            "residual": num(case.residual),
        }
    return out


def _check(check: Check, worst: Worst | None) -> Json:
    out: Json = {
        "id": check.id,
        "title": check.title,
        "value": opt(check.value),
        "limit": opt(check.limit),
        "unit": check.unit,
        "margin": opt(check.margin),
        "verdict": check.verdict,
        "rule": check.rule,
        "assumes": check.assumes,
        "parts": list(check.parts),
    }
    if check.case:
        out["case"] = check.case
    if worst is not None:
        out["place"] = {
            "part": worst.part,
            "copy": worst.copy,
            "along": num(worst.along),
            "point": nums(worst.at),
            "in_bend": worst.in_bend,
        }
    return out
