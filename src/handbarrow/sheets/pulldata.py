"""Parts that are pulled round formers, in the job data."""

from __future__ import annotations

import math
from typing import Any

from handbarrow.job.former_values import Pull, PulledBend
from handbarrow.sheets.jsonnumbers import num, nums

__all__ = ["pull_document"]

Json = dict[str, Any]


def pull_document(pull: Pull) -> Json:
    """Return how a part is pulled, as plain values."""
    return {
        "over": pull.over,
        "yield_mpa": num(pull.yield_mpa),
        "trial": pull.trial,
        "before": num(pull.before),
        "after": num(pull.after),
        "hand_n": num(pull.hand_n),
        "pieces": pull.pieces,
        "saw_length": num(pull.saw_length),
        "marks": [nums(mark) for mark in pull.marks],
        "bends": [_bend(bend) for bend in pull.bends],
    }


def _bend(bend: PulledBend) -> Json:
    return {
        "number": bend.number,
        "radius": num(bend.radius),
        "on_former": num(bend.on_former),
        "face": num(bend.face),
        "pulled": num(math.degrees(bend.pulled_rad)),
        "moment": num(bend.moment_nmm, 3),
        "chord": num(bend.chord),
        "rise": num(bend.rise),
        "steps": nums(bend.steps),
    }
